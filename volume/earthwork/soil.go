package earthwork

import (
	"slices"

	"example.org/earthbasin/units"
)

// State is the state in which a volume of soil is counted. The zero value is
// no state and refused.
type State = units.Enum[stateWords]

// States of soil.
const (
	StateBank      State = iota + 1 // "bank": in place, before digging
	StateLoose                      // "loose": dug, in the truck or the heap
	StateCompacted                  // "compacted": placed and compacted
)

var stateNames = units.Names{StateBank: "bank", StateLoose: "loose", StateCompacted: "compacted"}

type stateWords struct{}

func (stateWords) Names() units.Names { return stateNames }

// SoilSpec says how the volume of a soil changes from state to state. Swell and
// shrink never default. Each comes from exactly one place: the class, the number,
// or a pair of densities; what no place gives is unknown, and a conversion that
// needs it is refused.
type SoilSpec struct {
	Class            SoilClass     `json:"class,omitzero"`            // a row of SoilTable
	Swell            *float64      `json:"swell,omitzero"`            // loose = bank (1 + swell), 0 to 2
	Shrink           *float64      `json:"shrink,omitzero"`           // compacted = bank (1 - shrink), -1 to 0.9, below 0 for rock
	BankDensity      units.Density `json:"bankDensity,omitzero"`      // swell = bank/loose - 1
	LooseDensity     units.Density `json:"looseDensity,omitzero"`     // as dug, for swell
	CompactedDensity units.Density `json:"compactedDensity,omitzero"` // shrink = 1 - bank/compacted
}

// Soil converts volumes between states. NewSoil makes it.
type Soil struct {
	swell, shrink *float64
	looseDensity  units.Density // 0 when not known
	working       units.Working
}

// NewSoil checks the spec. A factor given twice, out of range, or none at all is
// a [units.FieldError] with the json field.
func NewSoil(spec SoilSpec) (*Soil, error) {
	var f units.Faults
	s := &Soil{}
	row := SoilRow{}
	if spec.Class != 0 {
		if !soilClassNames.Has(int(spec.Class)) {
			f.Add("class", spec.Class, soilClassNames.Want())
			return nil, f.Err()
		}
		row = soilTable[spec.Class-1]
	}
	for _, d := range []struct {
		field string
		value units.Density
	}{{"bankDensity", spec.BankDensity}, {"looseDensity", spec.LooseDensity}, {"compactedDensity", spec.CompactedDensity}} {
		if d.value != 0 {
			f.UpTo(d.field, d.value, 100*units.GramPerMillilitre)
		}
	}
	if spec.CompactedDensity != 0 && spec.BankDensity == 0 {
		f.Missing("bankDensity", "the density in place, to which the compacted density is compared")
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	var byDensity struct{ swell, shrink *float64 }
	if spec.BankDensity != 0 && spec.LooseDensity != 0 {
		byDensity.swell = new(float64(spec.BankDensity/spec.LooseDensity) - 1)
	}
	if spec.BankDensity != 0 && spec.CompactedDensity != 0 {
		byDensity.shrink = new(1 - float64(spec.BankDensity/spec.CompactedDensity))
	}
	s.swell = s.factor(&f, "swell", 0, 2, spec.Swell, row.Swell, byDensity.swell, row.Source, "bank density / loose density - 1")
	s.shrink = s.factor(&f, "shrink", -1, 0.9, spec.Shrink, row.Shrink, byDensity.shrink, row.Source, "1 - bank density / compacted density")
	if s.swell == nil && s.shrink == nil {
		f.Missing("swell", "swell or shrink: by class, as a number or by densities")
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	switch {
	case spec.LooseDensity != 0:
		s.looseDensity = spec.LooseDensity
	case spec.BankDensity != 0 && s.swell != nil:
		s.looseDensity = spec.BankDensity / units.Density(1+*s.swell)
	}
	return s, nil
}

// factor picks the one place that gives the factor and records where it came
// from.
func (s *Soil) factor(f *units.Faults, field string, lo, hi float64, given, class, density *float64, source, formula string) *float64 {
	var got *float64
	n := 0
	for _, p := range []struct {
		value *float64
		how   string
	}{{given, "given"}, {class, source}, {density, formula}} {
		if p.value == nil {
			continue
		}
		if n++; n == 1 {
			got = new(*p.value)
			s.working.Add(field, *got, p.how)
		}
	}
	if n > 1 {
		f.Count(field, n, "sources", "1 of class, number and densities")
	}
	if got != nil {
		f.NumberBetween(field, *got, lo, hi)
	}
	return got
}

// Convert returns the volume, in the state to, of the soil that fills v in the
// state from: loose = bank (1 + swell), compacted = bank (1 - shrink). Mass is
// kept, so a round trip returns v. A volume below zero or not finite, a value that
// is no state, and a factor that the soil does not have are a [units.FieldError].
func (s *Soil) Convert(v units.Volume, from, to State) (units.Volume, error) {
	var f units.Faults
	f.ZeroTo("volume", v, units.MaxVolume)
	checkState(&f, "from", from)
	checkState(&f, "to", to)
	if err := f.Err(); err != nil {
		return 0, err
	}
	if from != to {
		s.needs(&f, "", from, to)
	}
	if err := f.Err(); err != nil {
		return 0, err
	}
	return s.convert(v, from, to), nil
}

// checkState records a fault when st is no state.
func checkState(f *units.Faults, field string, st State) {
	if !stateNames.Has(int(st)) {
		f.Add(field, st, stateNames.Want())
	}
}

// needs records a fault for each state whose factor the soil does not have.
func (s *Soil) needs(f *units.Faults, path string, states ...State) {
	var sub units.Faults
	for _, st := range states {
		switch {
		case st == StateLoose && s.swell == nil:
			sub.Missing("swell", "the swell of this soil, to count it loose")
		case st == StateCompacted && s.shrink == nil:
			sub.Missing("shrink", "the shrink of this soil, to count it compacted")
		}
	}
	f.Sub(path, sub.Err())
}

// convert is Convert for checked arguments.
func (s *Soil) convert(v units.Volume, from, to State) units.Volume {
	if from == to {
		return v
	}
	return v * units.Volume(s.perBank(to)/s.perBank(from))
}

// perBank returns the volume in the state that one volume in place gives.
func (s *Soil) perBank(st State) float64 {
	switch st {
	case StateLoose:
		return 1 + *s.swell
	case StateCompacted:
		return 1 - *s.shrink
	}
	return 1
}

// Working returns the factors and where they come from.
func (s *Soil) Working() units.Working { return slices.Clone(s.working) }

// soilFor makes the soil of a spec at path and records what keeps it from being
// counted in the given states. It returns nil after a fault.
func soilFor(f *units.Faults, path string, spec SoilSpec, states ...State) *Soil {
	s, err := NewSoil(spec)
	if err != nil {
		f.Sub(path, err)
		return nil
	}
	s.needs(f, path, states...)
	return s
}

// earth shows a volume in the unit in which earth is bought and hauled.
func earth(v units.Volume) units.Shown { return units.As(v, units.CubicYard, 1) }
