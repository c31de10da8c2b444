package stage

import "example.org/earthbasin/units"

// Who answers an open point or confirms a piece of evidence.
type Who string

// The parties of a closure.
const (
	Producer   Who = "producer"
	Planner    Who = "nutrient planner"
	Regulator  Who = "regulator"
	Engineer   Who = "engineer"
	Laboratory Who = "laboratory"
	Contractor Who = "contractor"
	Utility    Who = "utility locator"
)

// Parties lists the parties of a closure.
func Parties() []Who {
	return []Who{Producer, Planner, Regulator, Engineer, Laboratory, Contractor, Utility}
}

// Open is a question that the scenario leaves open: what is not planned because of it,
// and what to measure or decide.
type Open struct {
	Key   string       `json:"key"`   // of the part that is missing, such as "cover.lime"
	What  units.Phrase `json:"what"`  // that is not planned or not sure
	Needs units.Phrase `json:"needs"` // what to measure, decide or ask for
	Who   Who          `json:"who"`   // answers it
	// Stops says that the work cannot begin before it is answered.
	Stops bool `json:"stops,omitempty"`
}

// Phase is a part of the time of a closure.
type Phase string

// The phases, in their order.
const (
	Before Phase = "before" // the basin is touched
	While  Phase = ""       // it is emptied and closed
	After  Phase = "after"  // it is closed
)

// Phases lists the phases in their order.
func Phases() []Phase { return []Phase{Before, While, After} }

// Evidence is something to do and to keep on file.
type Evidence struct {
	Key    string       `json:"key"`              // such as "sampling.floor"
	What   units.Phrase `json:"what"`             // is done, and how
	When   units.Phrase `json:"when"`             // in plain words
	Phase  Phase        `json:"phase,omitempty"`  // in which When lies
	Task   string       `json:"task,omitempty"`   // key of the task that it hangs on
	Who    Who          `json:"who"`              // confirms it
	Source string       `json:"source,omitempty"` // title, number, year; or "common practice, no source"
}
