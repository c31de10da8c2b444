package stage

import "example.org/earthbasin/units"

// Task is a piece of work for the calendar. Its days come from the calendar.
type Task struct {
	Key  string       `json:"key"`  // such as "closing.fill"
	Name units.Phrase `json:"name"` // what is done
	// Kind is the sort of work, by which the customary order is checked; empty where
	// none of them fits.
	Kind Kind `json:"kind,omitempty"`
	// Work is the time of the crew and its machines; a task of 0 is a moment, such as a
	// permit that arrives.
	Work units.Duration `json:"work"`
	// Who answers or confirms it, as with a permit or a laboratory; empty for what a crew does.
	Who Who `json:"who,omitempty"`
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
	// FromStart asks only that the task has begun, and counts the days from its start:
	// a slurry machine is calibrated while the basin is agitated.
	FromStart bool `json:"fromStart,omitempty"`
	// Days pass in the calendar between the end of that task and the start of this one:
	// the laboratory's, drying, notice. Likely is at least Least.
	Least  int `json:"least,omitempty"`
	Likely int `json:"likely,omitempty"`
	// Within is the most days that may pass before this task begins, as from bare soil
	// to its cover; 0 for any number.
	Within int `json:"within,omitempty"`
	// Life is the days for which what that task brought holds, as a utility ticket does:
	// it is asked for as late as can be, and again where it ends before this task does. 0
	// where it does not end.
	Life int `json:"life,omitempty"`
}

// Kind is a sort of work of which the trade knows what comes before it.
type Kind string

// The kinds of work.
const (
	Approval        Kind = "approval"               // the plan is agreed to by the regulator
	Locating        Kind = "locating"               // buried lines are marked
	StopInflow      Kind = "stop inflow"            // nothing runs into the basin any more
	Sampling        Kind = "sampling"               // samples are taken
	LabResult       Kind = "laboratory"             // the results are in
	DrawOff         Kind = "draw off"               // liquid is pumped off
	Agitation       Kind = "agitation"              // sludge is brought into suspension
	CalibrateLiquid Kind = "calibration of liquid"  // of machines for the liquid drawn off
	CalibrateSlurry Kind = "calibration of slurry"  // of machines for agitated slurry
	CalibrateSolids Kind = "calibration of solids"  // of machines for what is dug
	SpreadLiquid    Kind = "spreading of liquid"    // the liquid goes to the land
	SpreadSlurry    Kind = "spreading of slurry"    // agitated slurry goes to the land
	SpreadSolids    Kind = "spreading of solids"    // what is dug goes to the land
	DigSludge       Kind = "digging of sludge"      // what the pump left is dug
	PipeWork        Kind = "pipes"                  // lines are pulled or plugged
	Inspection      Kind = "inspection"             // the empty basin is inspected
	FloorSampling   Kind = "sampling of the floor"  // soil below the floor and the berm
	DigLiner        Kind = "digging of soaked soil" // soil below the sludge is taken out
	ErosionControl  Kind = "erosion controls"       // silt fence, inlets, entrance, in place
	EarthMoving     Kind = "earth moving"           // stripping, berm, fill, breach, crown
	ReturnTopsoil   Kind = "topsoil"                // topsoil is put back
	Refilling       Kind = "refilling"              // the rinsed basin becomes a pond
	Seeding         Kind = "seeding"                // permanent vegetation
	TemporaryCover  Kind = "temporary cover"        // nurse crop or mulch on bare soil
	FinalInspection Kind = "final inspection"       // the closed site is inspected
)

// Kinds lists the kinds of work in the order of a closure.
func Kinds() []Kind {
	return []Kind{
		Approval, Locating, StopInflow, Sampling, LabResult, DrawOff, Agitation, CalibrateLiquid,
		CalibrateSlurry, CalibrateSolids, SpreadLiquid, SpreadSlurry, SpreadSolids, DigSludge, PipeWork, Inspection,
		FloorSampling, DigLiner, ErosionControl, EarthMoving, ReturnTopsoil, Refilling, Seeding, TemporaryCover, FinalInspection,
	}
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
