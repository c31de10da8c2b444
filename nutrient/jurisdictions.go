package nutrient

import (
	"slices"

	"example.org/earthbasin/units"
)

// RuleInUse is a table or a rule that a plan goes by.
type RuleInUse struct {
	What         string `json:"what"`              // it is used for, such as "availability of N"
	ID           string `json:"id"`                // of the table or rule
	Jurisdiction string `json:"jurisdiction"`      // where it is in force
	Federal      bool   `json:"federal,omitempty"` // in force beside those of any state: mixes nothing
	Reason       string `json:"reason,omitempty"`  // why the caller takes it from elsewhere, in his words
}

// JurisdictionsSpec is what [Jurisdictions] works from.
type JurisdictionsSpec struct {
	// In is the jurisdiction in which the fields lie; empty: that of the first rule that
	// is not federal.
	In    string      `json:"in,omitempty"`
	Rules []RuleInUse `json:"rules"` // 1 to 1000
}

// JurisdictionsResult says whose rules a plan goes by.
type JurisdictionsResult struct {
	In      string      `json:"in"`      // where the fields lie
	Rules   []RuleInUse `json:"rules"`   // as in the spec
	Foreign []RuleInUse `json:"foreign"` // those of another jurisdiction, which belongs on the first page; none when all are of one
}

// Jurisdictions tells which of the rules of a plan are of another jurisdiction than the
// fields. Coefficients and limits of one state are made to go together; a mixture is
// for the reader to know. Faults are [units.FieldError].
func Jurisdictions(spec JurisdictionsSpec) (JurisdictionsResult, error) {
	var f units.Faults
	f.CountBetween("rules", len(spec.Rules), "rules", 1, 1000)
	for i, r := range spec.Rules[:min(len(spec.Rules), 1000)] {
		at := f.At("rules", i)
		if r.What == "" {
			at.Missing("what", "what it is used for")
		}
		if r.Jurisdiction == "" {
			at.Missing("jurisdiction", "where it is in force")
		}
	}
	if err := f.Err(); err != nil {
		return JurisdictionsResult{}, err
	}
	r := JurisdictionsResult{In: spec.In, Rules: slices.Clone(spec.Rules), Foreign: []RuleInUse{}}
	for _, x := range r.Rules {
		if !x.Federal && r.In == "" {
			r.In = x.Jurisdiction
		}
	}
	for _, x := range r.Rules {
		if !x.Federal && x.Jurisdiction != r.In {
			r.Foreign = append(r.Foreign, x)
		}
	}
	return r, nil
}

// Mixed reports whether a rule is of another jurisdiction.
func (r JurisdictionsResult) Mixed() bool { return len(r.Foreign) > 0 }

// Working lists the rules, those of another jurisdiction first.
func (r JurisdictionsResult) Working() units.Working {
	var w units.Working
	w.Add("jurisdiction", r.In, "")
	for _, x := range r.Foreign {
		how := units.Words("of another jurisdiction")
		if x.Reason != "" {
			how = how.And(": %s", units.Word(x.Reason))
		}
		w.Put(units.Words("%s", units.Word(x.What)), x.Jurisdiction, how)
	}
	for _, x := range r.Rules {
		if x.Federal || x.Jurisdiction == r.In {
			w.Put(units.Words("%s", units.Word(x.What)), x.Jurisdiction, units.Phrase{})
		}
	}
	return w
}

// String is the table of the working.
func (r JurisdictionsResult) String() string { return r.Working().String() }
