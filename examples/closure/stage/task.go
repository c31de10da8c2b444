package stage

import "example.org/earthbasin/units"

// Task is a piece of work for the calendar. Its days come from the calendar.
type Task struct {
	Key  string       `json:"key"`  // such as "closing.fill"
	Name units.Phrase `json:"name"` // what is done
	// Work is the time of the crew and its machines; a task of 0 is a moment, such as a
	// permit that arrives.
	Work units.Duration `json:"work"`
	// Needs are the tasks that must be finished before it.
	Needs []Need `json:"needs,omitempty"`
	// Fit says which weather the task asks for.
	Fit Fitness `json:"fit,omitempty"`
	// Crew names what cannot be at two tasks at once; empty for nobody on the site.
	Crew string `json:"crew,omitempty"`
	// Cautions are for the crew on that day, in the row itself.
	Cautions []string `json:"cautions,omitempty"`
	// Hold is what must be signed, in place or at hand before it begins.
	Hold []units.Phrase `json:"hold,omitempty"`
}

// Need is a task that has to be finished, and the days that pass after it.
type Need struct {
	Key string `json:"key"`
	// Days pass in the calendar between the end of that task and the start of this one:
	// the laboratory's, drying, notice. Likely is at least Least.
	Least  int `json:"least,omitempty"`
	Likely int `json:"likely,omitempty"`
}

// Fitness is what a task asks of the weather and the ground.
type Fitness string

// The kinds of fitness.
const (
	AnyDay      Fitness = ""            // goes on in any weather
	DryDay      Fitness = "dry day"     // no rain to speak of on the day
	SpreadDay   Fitness = "spreading"   // soil that takes water, no rain forecast, not frozen, field open
	EarthDay    Fitness = "earthwork"   // soil dry enough to compact, not frozen
	PlantingDay Fitness = "planting"    // inside a planting window
	QuietDay    Fitness = "no freezing" // concrete and lime: no frost
)
