package plan

import (
	"context"
	"errors"
	"slices"
	"sync"
	"time"

	"example.org/earthbasin/calibrate"
	"example.org/earthbasin/cover"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/nutrient/allocation"
	"example.org/earthbasin/sludge"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/earthwork"
)

// Results is what the library answered, by step.
type Results struct {
	Basin struct {
		Stages volume.StageTable   `json:"stages"`
		Layers volume.LayersResult `json:"layers"`
		Liquid units.Volume        `json:"liquid"` // over the sludge
	} `json:"basin"`
	Sludge struct {
		Volume sludge.VolumeResult        `json:"volume"`
		TIN    sludge.SurfaceVolumeResult `json:"triangulated"` // cut at the floor
		Next   []sludge.NextSounding      `json:"next"`
	} `json:"sludge"`
	Removal   removal.PlanResult        `json:"removal"`
	Route     removal.Route             `json:"route"` // that the plan takes
	Effluent  MaterialResults           `json:"effluent"`
	Sampled   nutrient.SamplesResult    `json:"sampledSludge"`
	Slurry    MaterialResults           `json:"slurry"` // the sludge with the liquid agitated with it
	Emptying  volume.EmptyingResult     `json:"emptying"`
	Fields    []FieldResults            `json:"fields"`
	LandBase  nutrient.LandBaseResult   `json:"landBase"`
	OneYear   *nutrient.LandBaseResult  `json:"landBaseOfOneYear,omitempty"` // should several years of P not be allowed
	Allocated allocation.AllocateResult `json:"allocation"`
	// AllocatedHigh is the same with the sludge at the high end of its interval,
	// what is more counting as slurry of the same content.
	AllocatedHigh *allocation.AllocateResult `json:"allocationAtHighVolume,omitempty"`
	Machines      struct {
		Sheets        calibrate.SheetsResult                                      `json:"sheets"`
		SheetsCorrect calibrate.CorrectResult[units.MassPerArea]                  `json:"sheetsCorrection"`
		Loads         calibrate.LoadAreaResult[units.Volume, units.VolumePerArea] `json:"loads"`
		LoadsCorrect  calibrate.CorrectResult[units.VolumePerArea]                `json:"loadsCorrection"`
		Hose          calibrate.SolveResult                                       `json:"hose"`
		HoseCorrect   calibrate.CorrectResult[units.VolumePerArea]                `json:"hoseCorrection"`
		Gauges        calibrate.GaugesResult                                      `json:"gauges"`
		GaugesCorrect calibrate.CorrectResult[units.VolumePerArea]                `json:"gaugesCorrection"`
		Settings      []Setting                                                   `json:"settings"`
	} `json:"machines"`
	Works struct {
		Plugs   []earthwork.PlugResult       `json:"plugs"`
		Liner   volume.LinerResult           `json:"liner"`
		Drain   earthwork.DrainResult        `json:"drain"`
		Berm    earthwork.BermResult         `json:"berm"`
		Crown   earthwork.CrownResult        `json:"crown"`
		Settled earthwork.SettledCrownResult `json:"settledCrown"`
		Balance earthwork.BalanceResult      `json:"balance"`
		Topsoil earthwork.TopsoilResult      `json:"topsoil"`
		Profile earthwork.ProfileResult      `json:"profile"`
	} `json:"works"`
	Cover struct {
		Mix        cover.MixResult        `json:"mix"`
		Findings   []cover.Finding        `json:"findings"`
		Nurse      cover.NurseResult      `json:"nurse"`
		LimeNeed   cover.LimeNeedResult   `json:"limeNeed"`
		Lime       cover.LimeResult       `json:"lime"`
		Fertilizer cover.FertilizerResult `json:"fertilizer"`
		Mulch      cover.MulchResult      `json:"mulch"`
		Planting   cover.PlantingResult   `json:"planting"`
		SoilLoss   cover.SoilLossResult   `json:"soilLoss"`
		Payment    cover.PaymentResult    `json:"payment"`
	} `json:"cover"`
	// Doubts is where the figures rest on too little.
	Doubts    []string `json:"doubts,omitempty"`
	Costs     []Cost   `json:"costs"`
	WorkOrder []Task   `json:"workOrder"`
}

// MaterialResults is what one material holds and what of it counts.
type MaterialResults struct {
	Samples   nutrient.SamplesResult   `json:"samples"`
	Available nutrient.AvailableResult `json:"available"`
	Stock     nutrient.Amount          `json:"stock"`
	Holds     map[string]units.Mass    `json:"holds"` // in the whole stock
	Metals    nutrient.MetalsResult    `json:"metals"`
	Worth     *nutrient.WorthResult    `json:"worth,omitempty"` // on the first field that may take it, at its rate there
}

// FieldResults is one field's room and the rate of each material.
type FieldResults struct {
	Name      string                      `json:"name"`
	Area      units.Area                  `json:"area"` // that may be spread on
	Crop      nutrient.CropNutrients      `json:"crop"`
	Nitrogen  nutrient.NitrogenRoomResult `json:"nitrogen"`
	SiteLimit nutrient.SiteLimit          `json:"siteLimit"`
	P2O5      *units.MassPerArea          `json:"p2o5,omitempty"` // room over all seasons; none when the site is N-based
	Effluent  *nutrient.FieldRateResult   `json:"effluent,omitempty"`
	Sludge    nutrient.FieldRateResult    `json:"sludge"`
	Budget    nutrient.BudgetResult       `json:"budget"` // of P and K, with what the plan brings
}

// Setting is the speed at which a machine puts down the rate of a placement.
type Setting struct {
	Field    string                                              `json:"field"`
	Material string                                              `json:"material"`
	Machine  string                                              `json:"machine"`
	Rate     units.VolumePerArea                                 `json:"rate"`
	Speed    calibrate.Setting[units.Speed, units.VolumePerArea] `json:"speed"`
}

// Cost is a line of the page of quantities, hours and cost.
type Cost struct {
	Item     string  `json:"item"`
	Quantity string  `json:"quantity,omitempty"`
	Hours    string  `json:"hours,omitempty"`
	Amount   float64 `json:"cost"`
}

// Task is a line of the work order.
type Task struct {
	Key   string `json:"-"`
	Name  string `json:"name"`
	Start Date   `json:"start"`
	Days  int    `json:"days"`
	After string `json:"after"` // what must be done or signed before
}

// Plan is a finished plan: the scenario, with what one part takes from another filled
// in, the results by step, and the solids and surfaces that they came from.
type Plan struct {
	Scenario Scenario
	Results  *Results
	Basin    *volume.Rectangular
	Survey   *sludge.Survey
	Bands    []sludge.Band        // of thickness, for a map
	Route    *removal.RouteResult // that the plan takes
}

// planner works through the scenario and collects faults and results. Where a part
// of the scenario is at fault, what the demo has in its place stands in for it and for
// its results, so that the faults of what builds on it are found in the same round.
type planner struct {
	Plan
	s      *Scenario // that of the plan
	r      *Results
	faults units.Faults
	demo   bool // this is the demo itself
	tin    *sludge.TIN
	level  units.Length // of the liquid over the floor
	held   units.Volume // of liquid and sludge
}

// standIn is the demo, planned once.
var standIn struct {
	once sync.Once
	*planner
}

// other returns what stands in for a part at fault. The demo has none, and no fault.
func (p *planner) other() *planner {
	if p.demo {
		return p
	}
	standIn.once.Do(func() {
		s := Scenario{Money: notGiven()}
		err := strict.Decode([]byte(demo), &s)
		d := newPlanner(s)
		d.demo = true
		d.faults.Sub("", err)
		d.plan(context.Background())
		standIn.planner = d
	})
	return standIn.planner
}

// New works out the plan of s. The faults of all parts are reported together, with
// their paths in the scenario. When ctx ends it returns the cause.
func New(ctx context.Context, s Scenario) (*Plan, error) {
	p := newPlanner(s)
	if err := p.plan(ctx); err != nil {
		return nil, err
	}
	if err := p.faults.Err(); err != nil {
		return nil, once(err)
	}
	return &p.Plan, nil
}

// once leaves out faults that say what one before them says: what holds for all fields
// is found for each.
func once(err error) error {
	said := map[string]bool{}
	var list []error
	for _, f := range units.FieldErrors(err) {
		if !said[f.Error()] {
			list = append(list, f)
		}
		said[f.Error()] = true
	}
	return errors.Join(list...)
}

func newPlanner(s Scenario) *planner {
	s.Land.Fields, s.Money.Payment.Scenarios = slices.Clone(s.Land.Fields), slices.Clone(s.Money.Payment.Scenarios)
	p := &planner{Plan: Plan{Scenario: s, Results: &Results{}}}
	p.s, p.r = &p.Scenario, p.Results
	return p
}

// plan takes the steps one after the other until ctx ends.
func (p *planner) plan(ctx context.Context) error {
	var holds, removal bool
	for _, step := range []func(){
		p.dates,
		p.lists,
		func() { holds = p.holds(ctx) },
		func() { removal = p.removal() },
		func() { p.emptying(holds && removal) },
		func() { p.works(holds) },
		p.lab,
		p.fields,
		p.checkMoney,
		p.cover,
		func() { p.allocate(ctx) },
		p.machines,
		p.order,
		p.money,
	} {
		step()
		if err := ctx.Err(); err != nil {
			return err
		}
	}
	return nil
}

// dates checks the days of the plan.
func (p *planner) dates() {
	day := func(field string, d *Date, other func() Date) {
		switch y := time.Time(*d).Year(); {
		case time.Time(*d).IsZero():
			p.faults.Missing(field, "a day such as 2026-06-01")
		case y < 1900 || y > 2200:
			p.faults.Fault(units.FaultRange, field, units.Word(time.Time(*d).Format(time.DateOnly)), "a day of the years 1900 to 2200")
		default:
			return
		}
		*d = other()
	}
	day("date", &p.s.Date, func() Date { return p.other().s.Date })
	day("start", &p.s.Start, func() Date { return p.other().s.Start })
}

// mostParts is how many of each thing a scenario may list, far more than a farm has.
const mostParts = 1000

// lists checks how much a scenario lists.
func (p *planner) lists() {
	for field, n := range map[string]int{
		"materials.effluent.reports": len(p.s.Materials.Effluent.Reports), "materials.sludge.reports": len(p.s.Materials.Sludge.Reports),
		"emptying.storms": len(p.s.Emptying.Storms), "land.seasons": len(p.s.Land.Seasons), "land.fields": len(p.s.Land.Fields),
		"works.plugs": len(p.s.Works.Plugs), "money.others": len(p.s.Money.Others),
	} {
		if n > mostParts {
			p.faults.Count(field, n, "entries", "at most %v", mostParts)
		}
	}
}

// sound reports whether check records no fault.
func (p *planner) sound(check func()) bool {
	before := p.faults.Len()
	check()
	return p.faults.Len() == before
}

// try records a fault of the part of the scenario at path and reports success.
func (p *planner) try(path string, err error) bool {
	p.faults.Sub(path, err)
	return err == nil
}
