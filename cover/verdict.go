package cover

import (
	"fmt"

	"example.org/earthbasin/units"
)

// Verdict is the outcome of comparing a plan with a rule.
type Verdict = units.Enum[verdictsWords]

// Verdicts. The zero value is not one.
const (
	VerdictMet       Verdict = iota + 1 // "met"
	VerdictNotMet                       // "not met"
	VerdictCannotSay                    // "cannot say": the rule depends on something that was not given or is not known
)

var verdicts = units.Names{"", "met", "not met", "cannot say"}

type verdictsWords struct{}

func (verdictsWords) Names() units.Names { return verdicts }

// Finding is the verdict line of one rule.
type Finding struct {
	Rule    string       `json:"rule"`          // its name, and the limit
	Value   units.Phrase `json:"value"`         // what the plan has, with its unit
	Want    units.Phrase `json:"want"`          // what the rule asks
	Verdict Verdict      `json:"verdict"`       // met, not met or cannot say
	Why     string       `json:"why,omitempty"` // species concerned, or what is missing
}

// String returns the line of a report.
func (f Finding) String() string {
	s := fmt.Sprintf("%s: %s, want %s: %s", f.Rule, f.Value, f.Want, f.Verdict)
	if f.Why != "" {
		s += " (" + f.Why + ")"
	}
	return s
}

// verdict is met when every value from lo to hi lies in the bounds, not met when
// none does. Bounds are met within rounding, so that shares such as 1/4 of a sum
// do not fail by the last bit.
func verdict(lo, hi float64, least, most *float64) Verdict {
	const eps = 1e-9
	under := func(x float64) bool { return least != nil && x < *least*(1-eps) }
	over := func(x float64) bool { return most != nil && x > *most*(1+eps) }
	switch {
	case !under(lo) && !over(hi):
		return VerdictMet
	case under(hi) || over(lo):
		return VerdictNotMet
	}
	return VerdictCannotSay
}
