package plan

import (
	"example.org/earthbasin/calibrate"
	"example.org/earthbasin/examples/closure/calendar"
	"example.org/earthbasin/examples/closure/closing"
	"example.org/earthbasin/examples/closure/evidence"
	"example.org/earthbasin/examples/closure/land"
	"example.org/earthbasin/examples/closure/ledger"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/examples/scenarios/study"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/sludge"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
)

// Scenario is the whole input of a plan. Its parts are the library's own specs under
// their own names. All but the basin may be left out: what hangs on a part that is
// missing is then no figure of the plan but one of its open points.
type Scenario struct {
	Title string     `json:"title,omitzero"` // of the paper
	Site  string     `json:"site,omitzero"`  // farm and place
	Date  stage.Date `json:"date,omitzero"`  // of the plan
	Start stage.Date `json:"start,omitzero"` // first day of work on the site
	// Confidence is that of every interval, 0.5 to 0.999; 0 stands for 0.95.
	Confidence float64 `json:"confidence,omitzero"`

	Basin     Basin          `json:"basin"`              // the solid and how high the liquid stands
	Sludge    *Sludge        `json:"sludge,omitzero"`    // how much lies in it
	Materials []Material     `json:"materials,omitzero"` // what leaves it, at most 20
	Removal   *Removal       `json:"removal,omitzero"`   // the machines that empty it
	Weather   *Weather       `json:"weather,omitzero"`   // while it is emptied
	Land      *land.Spec     `json:"land,omitzero"`      // the fields, and the rules that hold there
	Metals    *Metals        `json:"metals,omitzero"`    // rule on metals
	Machines  []Machine      `json:"machines,omitzero"`  // that put it on the land, at most 100
	Closing   *closing.Spec  `json:"closing,omitzero"`   // what becomes of the empty basin; the tasks before it come from the plan
	Cover     *Cover         `json:"cover,omitzero"`     // the vegetation and what it needs
	Evidence  *Evidence      `json:"evidence,omitzero"`  // what offices and site ask for, and the days they take
	Layout    *Layout        `json:"layout,omitzero"`    // where things lie on the site
	Terms     calendar.Terms `json:"terms,omitzero"`     // crews with their hours and days of rest, windows, days that are fit
	Money     *Money         `json:"money,omitzero"`     // prices that no other part names, and payments
	// AsOf is the day of the account of what was done, and Done what was written down until
	// then.
	AsOf stage.Date  `json:"asOf,omitzero"`
	Done ledger.Book `json:"done,omitzero"`
	// Doubt is what is known of figures that are not certain; package doubt works out what
	// it does to the plan.
	Doubt *Doubt `json:"doubt,omitzero"`
}

// Doubt is a study of the scenario that goes with its plan. Its paths are those of the
// scenario.
type Doubt struct {
	study.Spec
	Draws int64 `json:"draws,omitzero"` // whole plans that are worked out, 100 to 10,000; 0 stands for 300
	// Keep is the share of the draws in which the allocation has to keep every limit, 0.5
	// to 1; 0 stands for 0.95.
	Keep float64 `json:"keep,omitzero"`
}

// check finds what is wrong whatever the scenario.
func (d *Doubt) check() error {
	var f units.Faults
	f.Sub("", d.Spec.Check())
	if d.Draws != 0 {
		f.NumberBetween("draws", float64(d.Draws), leastDraws, mostDraws)
	}
	if d.Keep != 0 {
		f.NumberBetween("keep", d.Keep, 0.5, 1)
	}
	return f.Err()
}

const leastDraws, mostDraws = 100, 10_000

// Basin is the solid, designed or as built, where it lies and what stands in it. Of
// the three ways to tell the level of the liquid one is given, or none where nobody
// read it.
type Basin struct {
	volume.BasinSpec
	Floor       *units.Length `json:"floorElevation,omitzero"` // of the lowest point of the floor over Datum, -500 to 9000 m
	Datum       string        `json:"datum,omitzero"`          // that elevations refer to, such as a benchmark on the site
	LiquidDepth *units.Length `json:"liquidDepth,omitzero"`    // liquid surface over the lowest point of the floor
	LiquidLevel *units.Length `json:"liquidLevel,omitzero"`    // its elevation over Datum; needs FloorElevation
	Freeboard   *units.Length `json:"freeboard,omitzero"`      // from it up to the top of the bank
}

// Sludge is how much sludge lies in the basin, told in one of three ways, or not at all.
type Sludge struct {
	// Survey is soundings one by one or along tracks; its floor comes from the basin
	// where that has banks all around.
	Survey *sludge.SurveySpec `json:"survey,omitzero"`
	// Estimate says how sure the soundings are and how many more are to be named. Left
	// out: error-free readings, and three.
	Estimate  sludge.NextSpec  `json:"estimate,omitzero"`
	Volume    *StatedVolume    `json:"volume,omitzero"`    // from elsewhere
	Thickness *StatedThickness `json:"thickness,omitzero"` // mean over the floor
}

// StatedVolume is a volume of sludge that was worked out elsewhere.
type StatedVolume struct {
	Volume   units.Volume               `json:"volume"`            // above 0
	Interval *units.Range[units.Volume] `json:"interval,omitzero"` // that holds Volume, by the source
	Source   string                     `json:"source"`            // who worked it out, how and when
}

// StatedThickness is a mean thickness of sludge, laid level on the floor.
type StatedThickness struct {
	Mean   units.Length `json:"mean"`        // above 0
	SD     units.Length `json:"sd,omitzero"` // standard deviation of Mean, 0 where nobody can tell
	Source string       `json:"source"`      // who measured it, how and when
}

// Material is how one or several streams of the emptying were sampled and how they go to
// the land.
type Material struct {
	Name string `json:"name"` // each once
	// Streams are those of the removal that go out as this material, each stream in one
	// material: effluent and filtrate, slurry, sludge or residual.
	Streams []removal.StreamKind `json:"streams,omitzero"`
	// Works is what the closing of the empty basin brings in place of streams: dirty water of
	// the open pit, or soaked soil. Its reports are on itself, by volume or by weight with its
	// density as it lies; its limits are those of the fields beside all else that goes there.
	Works WorksKind `json:"works,omitzero"`
	// Reports are those of the laboratory on samples from the basin: of the liquid for a
	// material with effluent, of the sludge as it lies for others, whose reports count
	// together. What each stream holds follows from both by the balance of the removal.
	Reports []nutrient.AnalyzeSpec `json:"reports,omitzero"`
	Set     string                 `json:"set,omitzero"`         // id of a coefficient set of the library
	Query   nutrient.Query         `json:"query,omitzero"`       // how it is put on; form solid: handled by weight
	Ways    []land.Way             `json:"ways,omitzero"`        // where it is put on otherwise
	Machine string                 `json:"machine,omitzero"`     // name of the machine that puts it on
	Passes  int                    `json:"passes,omitzero"`      // most on a field in a season, up to 100; 0 stands for 1
	Spread  *nutrient.UnitPrice    `json:"spread,omitzero"`      // beside what the removal counts for pumps and diggers
	Haul    *nutrient.UnitPrice    `json:"haulPerMile,omitzero"` // of one-way distance
	Load    nutrient.Amount        `json:"load,omitzero"`        // goes out in whole loads of this size; none: pumped
	// Leave is the price of what no field takes: stored, exported, or spread later.
	Leave   *nutrient.UnitPrice `json:"leavePrice,omitzero"`
	Seasons []string            `json:"seasons,omitzero"` // in which it goes out; none: all
}

// Removal is the machines that empty the basin. The volumes come from the plan.
// Hauling is counted by the fields, not by the fleets of the removal.
type Removal struct {
	Route removal.Route `json:"route,omitzero"` // that is asked for; none: the one that costs least on the whole
	removal.PlanSpec
}

// Weather is that of the time in which the basin is emptied. A dated day that only one of
// it and the weather of the land has counts for both.
type Weather struct {
	Months   []volume.Weather      `json:"months"`            // mean day of each, January first
	Days     []volume.DatedWeather `json:"days,omitzero"`     // in place of the mean, such as storms
	WetDay   units.Length          `json:"wetDay,omitzero"`   // rain of a day on which no earth is moved, and nothing is spread where no soil-water balance says which days are fit; 0 none
	MostDays int                   `json:"mostDays,omitzero"` // that the draw-off may take, at most 3650; 0 stands for 365
	Seepage  units.DepthRate       `json:"seepage,omitzero"`  // through the liquid surface
	Inflow   units.Flow            `json:"inflow,omitzero"`   // wastewater that still arrives
}

// Metals is the rule on metals that holds for what is spread.
type Metals struct {
	Table string `json:"table"` // id of a table of the library
	// Annual says whether the limits of one year of the table bind.
	Annual nutrient.AnnualLimits `json:"annual,omitzero"`
}

// Evidence is what the offices and the site ask for: conditions, figures, days, and what a
// state, a county or a contract strikes from the list and adds to it.
type Evidence struct {
	evidence.Site
	Changes []evidence.Change `json:"changes,omitzero"` // at most 20
}

// Kind is what a machine is.
type Kind = units.Enum[kindWords]

// The kinds of machine. There is no usual case: the zero value is refused.
const (
	Irrigation Kind = iota + 1 // "irrigation": gun, pivot or solid set, measured with gauges
	Hose                       // "hose": drag hose with a toolbar, by flow, speed and width
	Tanker                     // "tanker": by loads over measured strips
	Box                        // "box": box or side-slinger spreader, by ground sheets or loads
)

var kindNames = units.Names{"", "irrigation", "hose", "tanker", "box"}

type kindWords struct{}

func (kindWords) Names() units.Names { return kindNames }

// Machine is one machine with its calibration, by one of the ways of the library, or
// none where it has not been measured yet.
type Machine struct {
	Name     string                                `json:"name"`               // each once
	Kind     Kind                                  `json:"kind"`               // what it is
	Most     nutrient.Rate                         `json:"most,omitzero"`      // most that it puts down in one pass
	Gauges   *calibrate.GaugesSpec                 `json:"gauges,omitzero"`    // irrigation
	SolidSet *calibrate.SolidSetSpec               `json:"solidSet,omitzero"`  // irrigation on a grid, by its sprinklers
	Course   *calibrate.SolveSpec                  `json:"course,omitzero"`    // hose: timed flow, course and width
	Loads    *calibrate.LoadAreaSpec[units.Volume] `json:"loads,omitzero"`     // tanker
	Sheets   *calibrate.SheetsSpec                 `json:"sheets,omitzero"`    // box
	Weighed  *calibrate.LoadAreaSpec[units.Mass]   `json:"weighed,omitzero"`   // box: weighed loads over measured strips
	Speed    *calibrate.Control[units.Speed]       `json:"speed,omitzero"`     // while it was measured, and how far it goes
	Accepted float64                               `json:"tolerance,omitzero"` // off the planned rate, above 0 to 0.5; 0 stands for 0.1
}
