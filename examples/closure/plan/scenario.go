package plan

import (
	"strings"
	"time"

	"example.org/earthbasin/calibrate"
	"example.org/earthbasin/cover"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/nutrient/allocation"
	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/earthwork"
)

// Scenario is the whole input of a plan. What a step of the library needs and no
// other step provides stands here in the form of the library's own specs.
type Scenario struct {
	Title      string  `json:"title"`
	Site       string  `json:"site"`
	Date       Date    `json:"date"`  // of the plan
	Start      Date    `json:"start"` // first day of pumping
	Confidence float64 `json:"confidence"`

	Basin       volume.RectangularSpec `json:"basin"`
	LiquidDepth units.Length           `json:"liquidDepth"` // liquid surface over the floor, at the survey
	Survey      sludge.SurveySpec      `json:"survey"`
	// Estimate says how sure the soundings are, and how many more are to be named. Left
	// out: error-free readings, and three; its confidence is that of the scenario.
	Estimate    sludge.NextSpec `json:"estimate,omitzero"`
	Materials   Materials       `json:"materials"`
	Removal     Removal         `json:"removal"`
	Emptying    Emptying        `json:"emptying"`
	Land        Land            `json:"land"`
	Calibration Calibration     `json:"calibration"`
	Works       Works           `json:"works"`
	Cover       Cover           `json:"cover"`
	Money       Money           `json:"money"`
}

// Materials are the two things that the basin holds.
type Materials struct {
	Effluent Material `json:"effluent"`
	Sludge   Material `json:"sludge"`
}

// Material is how one of them was sampled and how it goes to the land.
type Material struct {
	Reports     []nutrient.AnalyzeSpec `json:"reports"` // one for each laboratory sample
	Set         string                 `json:"set"`     // id of a coefficient set of the library
	Query       nutrient.Query         `json:"query"`
	Spread      nutrient.UnitPrice     `json:"spread"` // beside what the removal counts for pumps and diggers
	HaulPerMile nutrient.UnitPrice     `json:"haulPerMile"`
	Load        nutrient.Amount        `json:"load,omitzero"`
	MostPerPass nutrient.Rate          `json:"mostPerPass,omitzero"`
}

// Emptying is the draw-down of the liquid before the sludge is taken out. The
// pump and the hours of a day are those of the removal.
type Emptying struct {
	WetDay   units.Length            `json:"wetDay"` // rain of a day on which nothing is spread; 0 none
	RestDays []Weekday               `json:"restDays"`
	MostDays int                     `json:"mostDays"` // looked at, from the start
	Months   []volume.Weather        `json:"months"`
	Storms   map[Date]volume.Weather `json:"storms"`
	Seepage  units.DepthRate         `json:"seepage"`
}

// Land is the fields and the rules that hold for them.
type Land struct {
	CropTable  string            `json:"cropTable"`
	SiteRule   string            `json:"siteRule"`
	Banking    *nutrient.Banking `json:"banking"`
	MetalTable string            `json:"metalTable"`
	// AnnualMetals says whether the limits of one year of the table bind.
	AnnualMetals nutrient.AnnualLimits `json:"annualMetals"`
	// P2O5PerPPM is the P2O5 that moves the soil test by 1 ppm.
	P2O5PerPPM  units.Range[units.MassPerArea] `json:"p2o5PerPpm"`
	Soil        nutrient.HydraulicSpec         `json:"soil"` // where effluent is irrigated
	Seasons     []string                       `json:"seasons"`
	Prices      []allocation.Price             `json:"prices"`
	Fields      []Field                        `json:"fields"`
	SetbackNote string                         `json:"setbackNote"`
}

// Field is one field. Its spreadable area is the area less what setbacks take.
type Field struct {
	Name     string                    `json:"name"`
	Area     units.Area                `json:"area"`
	Setback  units.Area                `json:"setback"`
	Distance units.Length              `json:"distance"`
	Crop     string                    `json:"crop"`
	Yield    nutrient.Yield            `json:"yield"`
	Nitrogen nutrient.NitrogenRoomSpec `json:"nitrogen"` // credits; the need when the crop table shall not give it
	Site     nutrient.Site             `json:"site"`
	Effluent bool                      `json:"effluent"` // the pipeline reaches it
}

// Calibration is what was measured with the machines.
type Calibration struct {
	Tolerance float64                              `json:"tolerance"`
	Sheets    calibrate.SheetsSpec                 `json:"sheets"` // the box spreader for sludge
	Loads     calibrate.LoadAreaSpec[units.Volume] `json:"loads"`  // the tank spreader
	Hose      calibrate.SolveSpec                  `json:"hose"`   // the drag hose
	Gauges    calibrate.GaugesSpec                 `json:"gauges"` // the travelling gun
	// SheetsTarget is for dug sludge, which has its own laboratory report; the
	// other targets are the highest rates that the plan puts on a field.
	SheetsTarget units.MassPerArea              `json:"sheetsTarget"`
	SheetsSpeed  calibrate.Control[units.Speed] `json:"sheetsSpeed"`
	LoadsSpeed   calibrate.Control[units.Speed] `json:"loadsSpeed"`
	HoseSpeed    calibrate.Control[units.Speed] `json:"hoseSpeed"`
	GaugesSpeed  calibrate.Control[units.Speed] `json:"gaugesSpeed"`
}

// Works is the earthwork after the basin is empty.
type Works struct {
	Berm       earthwork.BermSpec       `json:"berm"`
	Plugs      []Pipe                   `json:"plugs"`
	LinerDepth units.Length             `json:"linerDepth"` // soil taken out below the sludge
	Drain      earthwork.DrainSpec      `json:"drain"`
	Soil       earthwork.SoilSpec       `json:"soil"`
	Truck      earthwork.TruckSpec      `json:"truck"`
	Crown      earthwork.CrownSpec      `json:"crown"` // length and width come from the basin at the ground
	Settlement earthwork.SettlementSpec `json:"settlement"`
	LeastGrade float64                  `json:"leastGrade"`
	Topsoil    earthwork.TopsoilSpec    `json:"topsoil"`
	EarthRate  units.Flow               `json:"earthRate"` // bank volume that the machines move, by the day worked
}

// Pipe is a line into the basin that is closed.
type Pipe struct {
	Name string             `json:"name"`
	Plug earthwork.PlugSpec `json:"plug"`
}

// Cover is the vegetation and what it needs.
type Cover struct {
	Mix        cover.MixSpec          `json:"mix"`
	Rules      string                 `json:"rules"` // id of a rule set of the library
	LimeTest   cover.LimeNeedSpec     `json:"limeTest"`
	Lime       cover.LimeMaterial     `json:"lime"`
	Fertilizer cover.FertilizerSpec   `json:"fertilizer"`
	Mulch      cover.MulchSpec        `json:"mulch"`
	Windows    []cover.PlantingWindow `json:"windows"`
	Nurse      cover.NurseSpec        `json:"nurse"` // sown with the mix or, when the window is far, at once
	SeedDays   int                    `json:"seedDays"`
	Slope      cover.LSSpec           `json:"slope"`
	SoilLoss   cover.SoilLossSpec     `json:"soilLoss"` // LS, area and first month come from the plan
}

// Money is the prices that no other part names, and the payments.
type Money struct {
	Currency      string                    `json:"currency"`
	Survey        float64                   `json:"survey"`
	LabSample     float64                   `json:"labSample"`
	Concrete      units.Price[units.Volume] `json:"concrete"`
	Earthwork     units.Price[units.Volume] `json:"earthwork"`     // per bank volume dug and moved on the site
	Compaction    units.Price[units.Volume] `json:"compaction"`    // per compacted volume placed and shaped
	Import        units.Price[units.Volume] `json:"import"`        // per loose volume, delivered
	Topsoil       units.Price[units.Volume] `json:"topsoil"`       // per volume returned
	TopsoilImport units.Price[units.Volume] `json:"topsoilImport"` // per loose volume, delivered
	Mulch         units.Price[units.Mass]   `json:"mulch"`
	SeedingWork   units.Price[units.Area]   `json:"seedingWork"`
	Others        []Cost                    `json:"others"`  // that no quantity of the plan settles
	Payment       cover.PaymentSpec         `json:"payment"` // areas and cost come from the plan
	PaymentUnits  []string                  `json:"paymentUnits"`
}

// Date is a day of the calendar, written 2026-06-01.
type Date time.Time

// MarshalText writes the day.
func (d Date) MarshalText() ([]byte, error) { return []byte(time.Time(d).Format(time.DateOnly)), nil }

// UnmarshalText reads the day.
func (d *Date) UnmarshalText(text []byte) error {
	t, err := time.Parse(time.DateOnly, string(text))
	if err != nil {
		return units.Fault(units.FaultMalformed, "", string(text), "a day such as 2026-06-01")
	}
	*d = Date(t)
	return nil
}

// Weekday is a day of the week by its English name.
type Weekday time.Weekday

// MarshalText writes the name.
func (d Weekday) MarshalText() ([]byte, error) { return []byte(time.Weekday(d).String()), nil }

// UnmarshalText reads the name.
func (d *Weekday) UnmarshalText(text []byte) error {
	for day := time.Sunday; day <= time.Saturday; day++ {
		if strings.EqualFold(day.String(), string(text)) {
			*d = Weekday(day)
			return nil
		}
	}
	return units.Fault(units.FaultMalformed, "", string(text), "a day of the week such as %s", time.Sunday)
}
