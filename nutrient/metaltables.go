package nutrient

import (
	"maps"
	"slices"

	"example.org/earthbasin/units"
)

// MetalTable is the metal limits of one rule, as [State.MetalTable] returns them. Metals that it does not name have
// no limit in it.
type MetalTable struct {
	ID     string       `json:"id"`              // of the state
	Source Source       `json:"source,omitzero"` // where the figures come from
	Limits []MetalLimit `json:"limits"`          // each metal once
}

// MetalLimit is the limits of one metal; 0 where the table gives none.
type MetalLimit struct {
	Metal      Element            `json:"metal,omitzero"`      // by symbol
	Ceiling    units.MassFraction `json:"ceiling,omitzero"`    // of dry matter, above which the material may not be spread at all
	Low        units.MassFraction `json:"low,omitzero"`        // of dry matter, up to which the rule asks for no account of the load
	Cumulative units.MassPerArea  `json:"cumulative,omitzero"` // of all years
	Annual     units.MassPerArea  `json:"annual,omitzero"`     // of one year
}

// MetalTable returns the limits that the state sets for metals, by its tables that give
// metalCeiling, metalLow, metalCumulative and metalAnnual; q holds what they ask for
// beside the metal, such as the cation exchange capacity of the soil. Where the state
// says of a metal that it has no limit, the limit is 0. Faults are those of
// [State.Answer]; a state without limits for metals is one on metal.
func (s *State) MetalTable(q Query) (MetalTable, error) {
	var f units.Faults
	i := s.keyIndex(KeyMetal)
	if i < 0 || s.lines["metalCeiling"] == nil && s.lines["metalCumulative"] == nil {
		f.Add(KeyMetal, units.Words("the state %v, which has no limits for metals", units.Word(s.spec.ID)), "a state that has some")
		return MetalTable{}, f.Err()
	}
	t := MetalTable{ID: s.spec.ID, Source: s.spec.Source}
	for _, name := range s.keys[i].Values {
		var l MetalLimit
		f.Sub(KeyMetal, l.Metal.UnmarshalText([]byte(name)))
		limit := func(gives string) float64 {
			if s.lines[gives] == nil || f.Err() != nil {
				return 0
			}
			q := maps.Clone(q)
			if q == nil {
				q = Query{}
			}
			q[KeyMetal] = name
			a, r := s.ask(q, &f), Answer{Gives: gives}
			if f.Err() == nil {
				a.answer(&r)
			}
			if a.lack != nil && !slices.ContainsFunc(a.lack.asks, func(d demand) bool { return d.key != i }) {
				f = units.Faults{}
				return 0
			}
			if f.Err() != nil {
				return 0
			}
			t.Source = a.steps[0].Source
			low, _, _ := r.Quantity()
			return low.SI()
		}
		l.Ceiling, l.Low = units.MassFraction(limit("metalCeiling")), units.MassFraction(limit("metalLow"))
		l.Annual, l.Cumulative = units.MassPerArea(limit("metalAnnual")), units.MassPerArea(limit("metalCumulative"))
		t.Limits = append(t.Limits, l)
		if f.Err() != nil {
			return MetalTable{}, f.Err()
		}
	}
	return t, nil
}

// Loads returns the metals of t that the laboratory reported in a, for
// [MetalsSpec]; what the field took before is left at zero. An analysis without
// solids or with none of the metals is a [units.FieldError].
func (t MetalTable) Loads(a Analysis) ([]MetalLoad, error) {
	if err := a.Check(); err != nil {
		return nil, err
	}
	list := make([]MetalLoad, 0, len(t.Limits))
	for _, l := range t.Limits {
		c, ok := a.Elements[l.Metal]
		if !ok {
			continue
		}
		dry, err := a.DryBasis(c)
		if err != nil {
			return nil, err
		}
		list = append(list, MetalLoad{Metal: l.Metal, Dry: &dry, Holds: c})
	}
	if len(list) == 0 {
		return nil, units.Fault(units.FaultMissing, "elements", nil, "at least one metal of the table %v", units.Word(t.ID))
	}
	return list, nil
}

// of returns the limits of metal m.
func (t *MetalTable) of(m Element) (MetalLimit, bool) {
	i := slices.IndexFunc(t.Limits, func(l MetalLimit) bool { return l.Metal == m })
	if i < 0 {
		return MetalLimit{}, false
	}
	return t.Limits[i], true
}
