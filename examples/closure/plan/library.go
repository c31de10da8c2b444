package plan

import (
	"example.org/earthbasin/cover"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// library is the published tables that a scenario names, looked up once. What it does
// not name is nil.
type library struct {
	states []*nutrient.State // of the availability, by material
	metals *nutrient.MetalTable
	mixes  *cover.RuleSet
}

// look finds the tables of a scenario.
func look(s *Scenario) (library, error) {
	var f units.Faults
	l := library{states: make([]*nutrient.State, len(s.Materials))}
	for i, m := range s.Materials {
		at := f.At("materials", i)
		l.states[i] = named(&at, "set", m.Set, nutrient.PublishedState)
	}
	if s.Metals != nil {
		at := f.At("metals")
		l.metals = named(&at, "table", s.Metals.Table, func(id string) (*nutrient.MetalTable, error) {
			state, err := nutrient.PublishedState(id)
			if err != nil {
				return nil, err
			}
			t, err := state.MetalTable(nil)
			return &t, err
		})
	}
	if l.metals != nil && s.Metals.Annual == 0 {
		f.Missing("metals.annual", "apply, or do not apply: whether the limits of one year bind what is spread")
	}
	if s.Cover != nil {
		at := f.At("cover")
		l.mixes = named(&at, "rules", s.Cover.Rules, cover.PublishedRuleSet)
	}
	return l, f.Err()
}

// named returns the table of an id, nil for none and where there is no such table, whose
// fault stands at the field that holds the id.
func named[T any](f *units.Faults, field, id string, get func(id string) (*T, error)) *T {
	if id == "" {
		return nil
	}
	table, err := get(id)
	if err == nil {
		return table
	}
	for _, e := range units.FieldErrors(err) {
		f.Sub(field, e.At(""))
	}
	return nil
}
