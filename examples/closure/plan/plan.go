package plan

import (
	"time"

	"example.org/earthbasin/calibrate"
	"example.org/earthbasin/cover"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/sludge"
	"example.org/earthbasin/sludge/geostat"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
)

// Results is what the library answered, by step.
type Results struct {
	Basin struct {
		Stages volume.StageTable   `json:"stages"`
		Layers volume.LayersResult `json:"layers"`
		Liquid units.Volume        `json:"liquid"` // over the sludge
	} `json:"basin"`
	Sludge struct {
		Volume sludge.VolumeResult `json:"volume"`
		TIN    sludge.TINVolume    `json:"triangulated"`
		Next   geostat.NextResult  `json:"next"`
		Gaps   *sludge.GapsResult  `json:"gaps,omitempty"` // in place of next where nothing was kriged
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
	Allocated nutrient.AllocationResult `json:"allocation"`
	// AllocatedHigh is the same with the sludge at the high end of its interval,
	// what is more counting as slurry of the same content.
	AllocatedHigh *nutrient.AllocationResult `json:"allocationAtHighVolume,omitempty"`
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
		Plugs   []volume.PlugResult       `json:"plugs"`
		Liner   volume.LinerResult        `json:"liner"`
		Drain   volume.DrainResult        `json:"drain"`
		Berm    volume.BermResult         `json:"berm"`
		Crown   volume.CrownResult        `json:"crown"`
		Settled volume.SettledCrownResult `json:"settledCrown"`
		Balance volume.BalanceResult      `json:"balance"`
		Topsoil volume.TopsoilResult      `json:"topsoil"`
		Profile volume.ProfileResult      `json:"profile"`
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
	Costs     []Cost `json:"costs"`
	WorkOrder []Task `json:"workOrder"`
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

// planner works through the scenario and collects faults and results.
type planner struct {
	Plan
	s      *Scenario // that of the plan
	r      *Results
	faults units.Faults
	tin    *sludge.TIN
}

// New works out the plan of s. All steps that can run do, so that the faults
// of independent parts are reported together, with their paths in the scenario.
func New(s Scenario) (*Plan, error) {
	p := &planner{Plan: Plan{Scenario: s, Results: &Results{}}}
	p.s, p.r = &p.Scenario, p.Results
	if time.Time(s.Date).IsZero() {
		p.faults.Missing("date", "the day of the plan, such as 2026-06-01")
	}
	holds := p.holds()
	removal := p.removal(holds)
	emptying := p.emptying(removal)
	works := p.works(holds)
	lab := p.lab(removal)
	fields := p.fields(lab)
	p.checkMoney()
	planted := p.cover()
	if p.faults.Err() == nil && works && emptying && fields && planted {
		p.allocate()
	}
	p.machines()
	if p.faults.Err() == nil {
		p.order()
		p.money()
	}
	if err := p.faults.Err(); err != nil {
		return nil, err
	}
	return &p.Plan, nil
}

// try records a fault of the part of the scenario at path and reports success.
func (p *planner) try(path string, err error) bool {
	p.faults.Sub(path, err)
	return err == nil
}
