package cover

import (
	"embed"
	"path"
	"slices"
	"sync"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

// StateSpec is what one jurisdiction asks of ground cover, as one file: its planting
// windows, rules of seed mixes, mulch and soil, and species, with the sources from
// which they were read. Every list but Sources may be empty. A row says by the id of
// a source of the file, and by a place in it, where it stands.
type StateSpec struct {
	ID           string           `json:"id"`                // short name, each once
	Jurisdiction string           `json:"jurisdiction"`      // whose rules these are; rows may name a narrower one
	Sources      []Source         `json:"sources"`           // of the rows, 1 to 1000
	Windows      []PlantingWindow `json:"windows,omitempty"` // names each once
	Rules        []RuleSetSpec    `json:"rules,omitempty"`   // ids each once
	Mulch        []MulchRule      `json:"mulch,omitempty"`   // ids each once
	Soil         []SoilRules      `json:"soil,omitempty"`    // ids each once
	Species      []Species        `json:"species,omitempty"` // names each once, at most 100,000
}

// State is a checked [StateSpec]. Make it with [NewState] or [ParseState]; one made
// otherwise is empty. Its rows are given to the functions that work with them: windows
// to [Planting], species to [Mix], mulch rules to [Mulch], soil rules to [SoilNeed].
type State struct {
	spec  StateSpec
	rules []*RuleSet
	names map[string]int // of each name of a species, the row
}

// NewState checks a state: what each row must have, names given twice, and sources
// that are not listed. All faults are reported together. A row without a
// jurisdiction has that of the state.
func NewState(spec StateSpec) (*State, error) {
	var f units.Faults
	required(&f, "id", spec.ID)
	required(&f, "jurisdiction", spec.Jurisdiction)
	spec = spec.clone()
	s := &State{spec: spec}
	sources, windows, rules, mulch, soil := map[string]bool{}, map[string]bool{}, map[string]bool{}, map[string]bool{}, map[string]bool{}
	cited := func(f *units.Faults, field, id string) {
		if id == "" {
			f.Missing(field, "the id of a listed source")
		} else if !sources[id] {
			f.Add(field, id, "the id of a listed source")
		}
	}
	once := func(at *units.Faults, field, name, of string, taken map[string]bool) {
		if name != "" { // a missing one is told by the row
			at.Name(field, name, of, taken)
		}
	}
	f.CountBetween("sources", len(spec.Sources), "sources", 1, mostLines)
	for i, row := range spec.Sources {
		at := f.At("sources", i)
		once(&at, "id", row.ID, "source", sources)
		at.Sub("", row.check())
	}
	for i, row := range spec.Windows {
		at := f.At("windows", i)
		once(&at, "name", row.Name, "window", windows)
		row.check(&at)
		cited(&at, "source", row.Source)
	}
	for i := range spec.Rules {
		at, row := f.At("rules", i), &spec.Rules[i]
		once(&at, "id", row.ID, "set of rules", rules)
		if row.Jurisdiction == "" {
			row.Jurisdiction = spec.Jurisdiction
		}
		set, err := NewRuleSet(*row)
		at.Sub("", err)
		if row.Source != "" { // a missing one is told by the set
			cited(&at, "source", row.Source)
		}
		s.rules = append(s.rules, set)
	}
	for i := range spec.Mulch {
		at, row := f.At("mulch", i), &spec.Mulch[i]
		once(&at, "id", row.ID, "rule", mulch)
		if row.Jurisdiction == "" {
			row.Jurisdiction = spec.Jurisdiction
		}
		at.Sub("", row.check())
		if row.Source != "" {
			cited(&at, "source", row.Source)
		}
	}
	for i := range spec.Soil {
		at, row := f.At("soil", i), &spec.Soil[i]
		at.Name("id", row.ID, "rule", soil)
		if row.Jurisdiction == "" {
			row.Jurisdiction = spec.Jurisdiction
		}
		at.Sub("", row.check())
		cited(&at, "source", row.Source)
	}
	f.CountBetween("species", len(spec.Species), "species", 0, 100_000)
	s.names = checkSpecies(&f, spec.Species, cited)
	if err := f.Err(); err != nil {
		return nil, err
	}
	return s, nil
}

// ParseState reads a state from JSON, a [StateSpec], strictly: unknown keys, values of
// the wrong kind and everything that [NewState] refuses are reported in one round, with
// line and column.
func ParseState(data []byte) (*State, error) { return strict.Make(data, NewState) }

//go:embed data/states/*.json
var stateFiles embed.FS

var publishedStates = sync.OnceValue(func() []*State {
	const folder = "data/states"
	entries := must(stateFiles.ReadDir(folder))
	list := make([]*State, len(entries))
	for i, e := range entries {
		list[i] = must(ParseState(must(stateFiles.ReadFile(path.Join(folder, e.Name())))))
	}
	return list
})

// PublishedStates returns the states that come with the package, by id. They show
// what some jurisdictions print; ask the office for what is in force.
func PublishedStates() []*State { return slices.Clone(publishedStates()) }

// PublishedState returns the published state of an id; the error lists the ids.
// "united-states" holds the species table and the national rules.
func PublishedState(id string) (*State, error) {
	return find("id", id, publishedStates(), func(s *State) string { return s.spec.ID })
}

// PublishedSpecies returns a copy of the species table that comes with the package:
// cover species with the numbers of seeds per pound that public sources print.
// Life form, season and nativity are general botany.
func PublishedSpecies() []Species { return clones(speciesTable().spec.Species, Species.clone) }

// speciesTable is the state that holds the species table.
var speciesTable = sync.OnceValue(func() *State { return must(PublishedState("united-states")) })

// PublishedRuleSet returns the rule set of an id among those of the published states;
// the error lists the ids.
func PublishedRuleSet(id string) (*RuleSet, error) {
	var list []*RuleSet
	for _, s := range publishedStates() {
		list = append(list, s.rules...)
	}
	return find("id", id, list, func(s *RuleSet) string { return s.spec.ID })
}

// every gathers one list of all published states.
func every[T any](list func(StateSpec) []T) []T {
	var all []T
	for _, s := range publishedStates() {
		all = append(all, list(s.spec)...)
	}
	return all
}

func publishedMulch() []MulchRule { return every(func(s StateSpec) []MulchRule { return s.Mulch }) }
func publishedSoil() []SoilRules  { return every(func(s StateSpec) []SoilRules { return s.Soil }) }

// find returns the row of an id, or a fault that lists the ids.
func find[T any](field, id string, list []T, of func(T) string) (T, error) {
	i := slices.IndexFunc(list, func(row T) bool { return of(row) == id })
	if i < 0 {
		var none T
		return none, units.Fault(units.FaultName, field, id, oneOf(list, of))
	}
	return list[i], nil
}

// Spec returns a copy of the state as data, with the jurisdiction on every row.
func (s *State) Spec() StateSpec { return s.spec.clone() }

// RuleSets returns the rule sets in the order of the file.
func (s *State) RuleSets() []*RuleSet { return slices.Clone(s.rules) }

// RuleSet returns the rule set of an id; the error lists the ids.
func (s *State) RuleSet(id string) (*RuleSet, error) {
	return find("id", id, s.rules, func(r *RuleSet) string { return r.spec.ID })
}

// Source returns the source of an id; the error lists the ids.
func (s *State) Source(id string) (Source, error) {
	return find("id", id, s.spec.Sources, func(r Source) string { return r.ID })
}

// FindSpecies returns the species of a common or botanical name or a synonym, without
// regard to case, spaces and hyphens; the error has the names that are near.
func (s *State) FindSpecies(name string) (Species, error) {
	i, ok := s.names[nameKey(name)]
	if !ok {
		return Species{}, units.Fault(units.FaultName, "species", name, "a species of %v%v", units.Word(s.spec.ID), near(s.spec.Species, name))
	}
	return s.spec.Species[i].clone(), nil
}

// clone returns a copy that shares nothing with s that can be written.
func (s StateSpec) clone() StateSpec {
	s.Sources, s.Windows = slices.Clone(s.Sources), slices.Clone(s.Windows)
	s.Rules = clones(s.Rules, RuleSetSpec.clone)
	s.Mulch = clones(s.Mulch, MulchRule.clone)
	s.Soil = clones(s.Soil, SoilRules.clone)
	s.Species = clones(s.Species, Species.clone)
	return s
}
