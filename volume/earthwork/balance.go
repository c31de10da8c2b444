package earthwork

import (
	"fmt"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/cautions"
	"example.org/earthbasin/volume/internal/limits"
)

// EarthPart is one piece of the earthwork: a berm taken down, a basin filled, a
// crown.
type EarthPart struct {
	Name   string       `json:"name"`
	Volume units.Volume `json:"volume"` // 0 or more
	State  State        `json:"state"`  // of Volume: usually bank for a cut, compacted for a fill
	// Unsuitable is the part of a cut, in the same state, that may not go into
	// the fill: topsoil, roots, liner soaked with waste. 0 for a fill.
	Unsuitable units.Volume `json:"unsuitable,omitzero"`
}

// BalanceSpec is the earthwork of a closure.
type BalanceSpec struct {
	Cuts  []EarthPart `json:"cuts"` // may be empty: everything is brought in
	Fills []EarthPart `json:"fills"`
	Soil  SoilSpec    `json:"soil"` // of the cuts; needs swell and shrink
	// Borrow is the soil that is brought in, when it is another than Soil.
	Borrow *SoilSpec `json:"borrow,omitzero"`
	Truck  TruckSpec `json:"truck"` // for what is brought in or taken away
}

// EarthVolume is one quantity of soil in its three states.
type EarthVolume struct {
	Bank      units.Volume `json:"bank"`
	Loose     units.Volume `json:"loose"`
	Compacted units.Volume `json:"compacted"`
}

// BalanceResult is what the cuts give against what the fills take. One of Import
// and Waste is zero; Unsuitable is apart from both.
type BalanceResult struct {
	Cut         EarthVolume `json:"cut"` // fit for fill
	Unsuitable  EarthVolume `json:"unsuitable"`
	Fill        EarthVolume `json:"fill"`
	Import      EarthVolume `json:"import"` // counted in the borrow soil
	Waste       EarthVolume `json:"waste"`
	ImportLoads int         `json:"importLoads"`
	WasteLoads  int         `json:"wasteLoads"`
	SpoilLoads  int         `json:"spoilLoads"` // of the unsuitable soil
	Cautions    []string    `json:"cautions"`
	shown
}

// Balance compares cut with fill in the compacted state, which is the state the
// fill has to have: usable cut = cut (1 - shrink), and the difference is brought in
// or left over, with its loose volume and truck loads rounded up. Errors are
// [units.FieldError] with the json field.
func Balance(spec BalanceSpec) (BalanceResult, error) {
	var f units.Faults
	checkParts(&f, "cuts", spec.Cuts, true)
	if len(spec.Fills) == 0 && len(spec.Cuts) == 0 {
		f.Missing("fills", "at least one cut or fill")
	}
	checkParts(&f, "fills", spec.Fills, false)
	soil := soilFor(&f, "soil", spec.Soil, StateLoose, StateCompacted)
	borrow := soil
	if spec.Borrow != nil {
		borrow = soilFor(&f, "borrow", *spec.Borrow, StateLoose, StateCompacted)
		spec.Truck.weighs(&f, "borrow", borrow)
	}
	spec.Truck.check(&f)
	spec.Truck.weighs(&f, "soil", soil)
	if err := f.Err(); err != nil {
		return BalanceResult{}, err
	}
	var cut, bad, fill units.Volume // bank, bank, compacted
	var r BalanceResult
	for _, p := range spec.Cuts {
		cut += soil.convert(p.Volume-p.Unsuitable, p.State, StateBank)
		bad += soil.convert(p.Unsuitable, p.State, StateBank)
		r.lines.Add("cut: "+p.Name, cubicYards(p.Volume), p.State.String()+unsuitable(p))
	}
	for _, p := range spec.Fills {
		fill += soil.convert(p.Volume, p.State, StateCompacted)
		r.lines.Add("fill: "+p.Name, cubicYards(p.Volume), p.State.String())
	}
	r.Cut, r.Unsuitable, r.Fill = soil.states(cut, StateBank), soil.states(bad, StateBank), soil.states(fill, StateCompacted)
	r.lines = append(r.lines, soil.working...)
	r.lines.Add("usable cut", cubicYards(r.Cut.Compacted), "compacted, from "+cubicYards(cut)+" bank")
	r.lines.Add("fill", cubicYards(fill), "compacted")
	count := func(item string, v EarthVolume, s *Soil) int {
		n, err := spec.Truck.loads(v.Loose, s)
		f.Sub("", err)
		r.lines.Add(item, cubicYards(v.Loose), "loose, %d loads; %s bank, %s compacted", n.Loads, cubicYards(v.Bank), cubicYards(v.Compacted))
		return n.Loads
	}
	if short := fill - r.Cut.Compacted; short > 0 {
		r.Import = borrow.states(short, StateCompacted)
		r.ImportLoads = count("to bring in", r.Import, borrow)
	} else {
		r.Waste = soil.states(-short, StateCompacted)
		r.WasteLoads = count("left over", r.Waste, soil)
	}
	if bad > 0 {
		r.SpoilLoads = count("not fit for fill", r.Unsuitable, soil)
	}
	r.Cautions = []string{cautions.Services, cautions.Banks, cautions.Drowning, cautions.Regulator, cautions.Quantities}
	if err := f.Err(); err != nil {
		return BalanceResult{}, err
	}
	return r, nil
}

func checkParts(f *units.Faults, path string, parts []EarthPart, cut bool) {
	for i, p := range parts {
		at := fmt.Sprintf("%s[%d].", path, i)
		limits.OrZero(f, at+"volume", p.Volume, limits.MaxVolume)
		checkState(f, at+"state", p.State)
		switch {
		case cut:
			if !(p.Unsuitable >= 0 && p.Unsuitable <= p.Volume) {
				f.Add(at+"unsuitable", p.Unsuitable, "0 to the volume of the cut")
			}
		case p.Unsuitable != 0:
			f.Add(at+"unsuitable", p.Unsuitable, "nothing: only a cut has soil that is not fit")
		}
	}
}

func unsuitable(p EarthPart) string {
	if p.Unsuitable == 0 {
		return ""
	}
	return ", of which " + cubicYards(p.Unsuitable) + " is not fit for fill"
}

// states returns v, counted in the state from, in all three.
func (s *Soil) states(v units.Volume, from State) EarthVolume {
	return EarthVolume{s.convert(v, from, StateBank), s.convert(v, from, StateLoose), s.convert(v, from, StateCompacted)}
}
