package study

import (
	"slices"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

// Spec is what is known of the figures of a scenario: the file of a
type Spec struct {
	Title string `json:"title,omitzero"` // of the study
	// Inputs are the figures that are not certain, by their paths in the scenario. An
	// index * stands for each of a list, so that "materials[1].reports[*].p2o5" is one
	// figure for all reports. "sludge.volume" of a closure is the volume of sludge, also
	// where the scenario has a survey. Words and whole parts, such as the months of a year,
	// can be fixed or a list. 1 to 200.
	Inputs       []InputSpec   `json:"inputs"`
	Correlations []Correlation `json:"correlations,omitzero"` // rank correlations of pairs of paths; the others are independent
	// Show names the outputs that a picture shows; all but shares when left out.
	Show []string `json:"show,omitzero"`
	// Alternatives are what could be decided otherwise than the scenario has it, at most 20.
	// Each route of a closure that can be taken is an alternative by itself.
	Alternatives []Alternative `json:"alternatives,omitzero"`
	// Measures are what could be measured to know a figure better.
	Measures []Measure `json:"measures,omitzero"`
}

// Measure is a way to know a figure better.
type Measure struct {
	Path  string  `json:"path"`  // of an input
	How   string  `json:"how"`   // such as "twelve more soundings"
	Price float64 `json:"price"` // in the currency of the scenario, 0 to 1e9
}

// Alternative is a way to do the job: figures of the scenario that are decided, not
// uncertain.
type Alternative struct {
	Name string    `json:"name"` // each once
	Set  []Setting `json:"set"`  // 1 to 100
}

// Setting is one decided figure.
type Setting struct {
	Path  string `json:"path"`  // that is no input, such as "removal.agitate.target"
	Value Figure `json:"value"` // as the scenario would have it
}

const (
	mostUncertain    = 200
	mostAlternatives = 20
)

// ReadSpec reads the file of a study; faults have their places in it.
func ReadSpec(data []byte) (Spec, error) {
	var s Spec
	err := strict.Check(data, &s, func() error { return s.Check() })
	return s, err
}

// Check finds what is wrong whatever the scenario.
func (s *Spec) Check() error {
	var f units.Faults
	f.CountBetween("inputs", len(s.Inputs), "inputs", 1, mostUncertain)
	f.CountBetween("alternatives", len(s.Alternatives), "alternatives", 0, mostAlternatives)
	named := map[string]bool{}
	for i, a := range s.Alternatives {
		at := f.At("alternatives", i)
		at.Name("name", a.Name, "alternative", named)
		at.CountBetween("set", len(a.Set), "figures", 1, 100)
		for k, set := range a.Set {
			if slices.ContainsFunc(s.Inputs, func(in InputSpec) bool { return in.Path == set.Path }) {
				figure := at.At("set", k)
				figure.Say("path", set.Path+", an input", "a figure that is decided")
			}
		}
	}
	for i, m := range s.Measures {
		at := f.At("measures", i)
		at.NumberBetween("price", m.Price, 0, 1e9)
		if !slices.ContainsFunc(s.Inputs, func(in InputSpec) bool { return in.Path == m.Path }) {
			at.Say("path", "no input: "+m.Path, "the path of an input")
		}
	}
	return f.Err()
}
