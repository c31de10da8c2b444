package earthwork

import (
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/cautions"
	"example.org/earthbasin/volume/internal/limits"
)

// EarthPart is one piece of the earthwork: a berm taken down, a basin filled, a
// crown.
type EarthPart struct {
	Name   string       `json:"name"`   // for the working, such as north berm
	Volume units.Volume `json:"volume"` // 0 or more
	State  State        `json:"state"`  // of Volume: usually bank for a cut, compacted for a fill
	// Unsuitable is the part of a cut, in the same state, that may not go into
	// the fill: topsoil, roots, liner soaked with waste. 0 for a fill.
	Unsuitable units.Volume `json:"unsuitable,omitzero"`
}

// BalanceSpec is the earthwork of a closure.
type BalanceSpec struct {
	Cuts  []EarthPart `json:"cuts"`  // may be empty: everything is brought in
	Fills []EarthPart `json:"fills"` // may be empty when there are cuts: everything is taken away
	Soil  SoilSpec    `json:"soil"`  // of the cuts; needs swell and shrink
	// Borrow is the soil that is brought in, when it is another than Soil.
	Borrow *SoilSpec `json:"borrow,omitzero"`
	Truck  TruckSpec `json:"truck"` // for what is brought in or taken away
}

// EarthVolume is one quantity of soil in its three states.
type EarthVolume struct {
	Bank      units.Volume `json:"bank"`      // in place
	Loose     units.Volume `json:"loose"`     // in the truck
	Compacted units.Volume `json:"compacted"` // placed
}

// BalanceResult is what the cuts give against what the fills take. One of Import
// and Waste is zero; Unsuitable is apart from both.
type BalanceResult struct {
	Spec        BalanceSpec `json:"spec"`        // what was asked
	Cut         EarthVolume `json:"cut"`         // fit for fill
	Unsuitable  EarthVolume `json:"unsuitable"`  // cut that may not go into the fill
	Fill        EarthVolume `json:"fill"`        // that the fills take
	Import      EarthVolume `json:"import"`      // counted in the borrow soil
	Waste       EarthVolume `json:"waste"`       // left over of the cut
	ImportLoads int         `json:"importLoads"` // of Import, rounded up
	WasteLoads  int         `json:"wasteLoads"`  // of Waste, rounded up
	SpoilLoads  int         `json:"spoilLoads"`  // of the unsuitable soil
	Cautions    []string    `json:"cautions"`    // what can hurt people, and who decides
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
	r := BalanceResult{Spec: spec}
	for _, p := range spec.Cuts {
		cut += soil.convert(p.Volume-p.Unsuitable, p.State, StateBank)
		bad += soil.convert(p.Unsuitable, p.State, StateBank)
	}
	for _, p := range spec.Fills {
		fill += soil.convert(p.Volume, p.State, StateCompacted)
	}
	r.Cut, r.Unsuitable, r.Fill = soil.states(cut, StateBank), soil.states(bad, StateBank), soil.states(fill, StateCompacted)
	count := func(v EarthVolume, s *Soil) int {
		n, err := spec.Truck.loads(v.Loose, s)
		f.Sub("", err)
		return n.Loads
	}
	if short := fill - r.Cut.Compacted; short > 0 {
		r.Import = borrow.states(short, StateCompacted)
		r.ImportLoads = count(r.Import, borrow)
	} else {
		r.Waste = soil.states(-short, StateCompacted)
		r.WasteLoads = count(r.Waste, soil)
	}
	if bad > 0 {
		r.SpoilLoads = count(r.Unsuitable, soil)
	}
	r.Cautions = append(cautions.Digging(0), cautions.Banks, cautions.Drowning, cautions.Regulator)
	if err := f.Err(); err != nil {
		return BalanceResult{}, err
	}
	return r, nil
}

// Working shows cuts and fills, the factors of the soil, and what is over or short.
func (r BalanceResult) Working() units.Working {
	var w units.Working
	for _, p := range r.Spec.Cuts {
		how := units.Words("%v", p.State)
		if p.Unsuitable > 0 {
			how = units.Words("%v, of which %v is not fit for fill", p.State, earth(p.Unsuitable))
		}
		w.Put(units.Words("cut: %s", p.Name), earth(p.Volume), how)
	}
	for _, p := range r.Spec.Fills {
		w.Put(units.Words("fill: %s", p.Name), earth(p.Volume), units.Words("%v", p.State))
	}
	if soil, err := NewSoil(r.Spec.Soil); err == nil {
		w = append(w, soil.working...)
	}
	w.Add("usable cut", earth(r.Cut.Compacted), "compacted, from %v bank", earth(r.Cut.Bank))
	w.Add("fill", earth(r.Fill.Compacted), "compacted")
	haul := func(item string, v EarthVolume, loads int) {
		w.Add(item, earth(v.Loose), "loose, %v loads; %v bank, %v compacted", loads, earth(v.Bank), earth(v.Compacted))
	}
	if r.Import.Loose > 0 {
		haul("to bring in", r.Import, r.ImportLoads)
	} else {
		haul("left over", r.Waste, r.WasteLoads)
	}
	if r.Unsuitable.Loose > 0 {
		haul("not fit for fill", r.Unsuitable, r.SpoilLoads)
	}
	return w
}

// String prints the working.
func (r BalanceResult) String() string { return r.Working().String() }

func checkParts(f *units.Faults, path string, parts []EarthPart, cut bool) {
	for i, p := range parts {
		at := f.At(path, i)
		limits.OrZero(&at, "volume", p.Volume, limits.MaxVolume)
		checkState(&at, "state", p.State)
		switch {
		case cut:
			if !(p.Unsuitable >= 0 && p.Unsuitable <= p.Volume) {
				at.Add("unsuitable", p.Unsuitable, "0 to %v, the volume of the cut", p.Volume)
			}
		case p.Unsuitable != 0:
			at.Fault(units.FaultConflict, "unsuitable", p.Unsuitable, "left out: only a cut has soil that is not fit")
		}
	}
}

// states returns v, counted in the state from, in all three.
func (s *Soil) states(v units.Volume, from State) EarthVolume {
	return EarthVolume{s.convert(v, from, StateBank), s.convert(v, from, StateLoose), s.convert(v, from, StateCompacted)}
}
