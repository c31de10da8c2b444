package closing

import (
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/earthwork"
)

// Result is the alternatives side by side.
type Result struct {
	Chosen Alternative `json:"chosen"` // as in the spec
	// Outcomes are fill and crown, breach and grade, and the pond, in this order, or the
	// chosen one alone where the spec asks for figures.
	Outcomes []Outcome `json:"outcomes"`
}

// Of is the outcome of an alternative.
func (r Result) Of(a Alternative) Outcome {
	for _, o := range r.Outcomes {
		if o.Alternative == a {
			return o
		}
	}
	return Outcome{}
}

// Outcome is one alternative to its end.
type Outcome struct {
	Alternative Alternative `json:"alternative"` // which it is
	Verdict     Verdict     `json:"verdict"`     // whether it can be done
	// Why it cannot be done, or what is missing to say so; empty where it can.
	Why        units.Phrase `json:"why,omitzero"`
	Conditions []Condition  `json:"conditions"` // on which it is allowed
	// Stays is what stays in the ground or on it, for the deed and the next owner.
	Stays []units.Phrase `json:"stays"`

	Items    []stage.Item     `json:"items"`              // quantities, hours and cost
	Tasks    []stage.Task     `json:"tasks"`              // with what they wait for
	Evidence []stage.Evidence `json:"evidence"`           // to keep
	Open     []stage.Open     `json:"open"`               // what is not planned, and what it hangs on
	Cost     stage.Cost       `json:"cost"`               // of the rows that have one, contingency included
	Unpriced []string         `json:"unpriced,omitempty"` // keys of the rows that have none
	Hours    units.Duration   `json:"hours"`              // of crew and machines, of the rows that have them
	PerUnit  []Figure         `json:"perUnit"`            // what a bid can be held against
	Cautions []string         `json:"cautions"`           // what can hurt people, and who decides
	// Bare is the ground that the work leaves to be seeded: the closed basin, where the berm
	// stood, the work area and the borrow area, or the banks of a pond above its water. 0
	// where the berm is not known.
	Bare units.Area `json:"bare,omitzero"`
	// Grounds are those that the work lays open, each with the tasks that go on there.
	Grounds []Ground `json:"grounds,omitempty"`

	// The results that the rows rest on; nil where a part is missing.
	Soaked     *volume.LinerResult         `json:"soaked,omitempty"`     // soil soaked up to the highest level
	Berm       *earthwork.BermResult       `json:"berm,omitempty"`       // that comes down
	Crown      *earthwork.CrownForResult   `json:"crown,omitempty"`      // that is built
	Levels     *Levels                     `json:"levels,omitempty"`     // of the crown, for the stakes
	Section    *earthwork.ProfileResult    `json:"section,omitempty"`    // across the crown the short way: as found, settled, to build; nil where the basin has no such section
	Compaction *earthwork.CompactionResult `json:"compaction,omitempty"` // of the fill
	Bridging   *earthwork.BridgingResult   `json:"bridging,omitempty"`   // over a soft floor
	Borrow     *earthwork.BorrowResult     `json:"borrow,omitempty"`     // with its stripping and closing
	Account    *earthwork.AccountResult    `json:"account,omitempty"`    // of every soil
	Drain      *earthwork.DrainResult      `json:"drain,omitempty"`      // through a liner that stays
	Plugs      []earthwork.PlugResult      `json:"plugs,omitempty"`      // of pipes, in their order
	Trenches   []earthwork.TrenchResult    `json:"trenches,omitempty"`   // of pipes, in their order
	Breach     *earthwork.BreachResult     `json:"breach,omitempty"`     // the notch
	FillLevel  units.Length                `json:"fillLevel,omitzero"`   // over the floor, that the basin is filled to
	Pond       *volume.PondResult          `json:"pond,omitempty"`       // with its rinses and refill
}

// Condition is something on which an alternative is allowed.
type Condition struct {
	Key    string       `json:"key"`              // by which it is answered
	What   units.Phrase `json:"what"`             // has to hold
	Who    stage.Who    `json:"who"`              // decides it
	Met    *bool        `json:"met,omitempty"`    // nil while it is open
	Source string       `json:"source,omitempty"` // where the condition is from
}

// Figure is money for each of something.
type Figure struct {
	Key    string       `json:"key"`    // such as "closing.perFill"
	What   units.Phrase `json:"what"`   // in plain words
	Low    any          `json:"low"`    // a units.Price, or one with the unit that earth is paid by
	Likely any          `json:"likely"` // of the same type
	High   any          `json:"high"`   // of the same type
}

// Item is the row with a key, empty when there is none.
func (o Outcome) Item(key string) stage.Item {
	for _, i := range o.Items {
		if i.Key == key {
			return i
		}
	}
	return stage.Item{}
}
