package removal

import (
	"math"

	"example.org/earthbasin/units"
)

// StageResult is one stage of a route.
type StageResult struct {
	Kind     StageKind      `json:"kind"`            // what is done
	Name     string         `json:"name"`            // for people, such as "dig the sludge"
	Material Slurry         `json:"material"`        // as it is moved, before it swells; none for agitation
	Moved    units.Volume   `json:"moved"`           // with swell
	Class    SolidsClass    `json:"class,omitzero"`  // of the material
	Haul     *HaulResult    `json:"haul,omitempty"`  // by fleet
	Hose     *PumpResult    `json:"hose,omitempty"`  // by hose
	Fresh    units.Volume   `json:"fresh,omitempty"` // water brought in for agitation
	Hours    units.Duration `json:"hours"`           // worked
	Days     int            `json:"days"`            // Hours over the working day, rounded up
	Cost     float64        `json:"cost"`            // in the currency of the prices
	Hauling  float64        `json:"hauling"`         // the part of Cost for the way to the land: by miles, loads, truck hours and the price of hauling
	AtBasin  float64        `json:"atBasin"`         // the rest of Cost, for who prices the way to the land elsewhere
	// Agitation is turnovers and positions, for agitation by a known machine.
	Agitation *AgitationResult `json:"agitation,omitempty"`
	Again     units.Duration   `json:"again,omitempty"`    // agitation on later days, within Hours
	Layer     units.Length     `json:"layer,omitempty"`    // thickness of what is dug, with a floor
	Cautions  []string         `json:"cautions,omitempty"` // for the crew of this stage
}

// RouteResult is one way to empty the basin.
type RouteResult struct {
	Route   Route         `json:"route"`   // which one
	Stages  []StageResult `json:"stages"`  // in the order of the work
	Streams []Stream      `json:"streams"` // what leaves the basin, in the order of the work
	In      Slurry        `json:"in"`      // sludge, liquid, fresh water and what joined them
	Out     Slurry        `json:"out"`     // what all stages move and what evaporated; equal to In
	// Balance is what came in and went out of each constituent.
	Balance    []BalanceResult `json:"balance,omitempty"`
	Joined     Slurry          `json:"joined"`               // rain and inflow, with what came in since the survey
	Evaporated units.Volume    `json:"evaporated,omitempty"` // water that left as vapour
	// Feasible says that every stage can be done with its equipment; Why says what
	// cannot. Hours and costs of a route that cannot be done mean nothing.
	Feasible bool           `json:"feasible"`
	Why      []units.Phrase `json:"why,omitempty"`   // reasons against it
	Moved    units.Volume   `json:"moved"`           // with swell
	Loads    int            `json:"loads"`           // of all fleets
	Fresh    units.Volume   `json:"fresh"`           // water brought in
	Hours    units.Duration `json:"hours"`           // stages one after the other
	Days     int            `json:"days"`            // sum of the days of the stages
	Cost     float64        `json:"cost"`            // of all stages
	Hauling  float64        `json:"hauling"`         // the part of Cost for the way to the land
	AtBasin  float64        `json:"atBasin"`         // the rest of Cost
	Notes    []units.Phrase `json:"notes,omitempty"` // what to doubt or mend
}

// Case is the plan for one sludge volume.
type Case struct {
	Name         string              `json:"name"`                   // low, best or high
	Sludge       units.Volume        `json:"sludge"`                 // volume in place
	Liquid       units.Volume        `json:"liquid"`                 // volume above it at the survey
	Constituents []ConstituentResult `json:"constituents,omitempty"` // that lie in the basin before the work
	Routes       []RouteResult       `json:"routes"`                 // draw off and dig, then agitate and pump
}

// PlanResult is the comparison.
type PlanResult struct {
	InPlace SolidsClass `json:"inPlace"` // class of the sludge as it lies
	// ToPump is the liquid of the basin's kind that thins the best sludge volume until
	// it can be pumped, by the classes; 0 when it can be already, and when no liquid
	// does it.
	ToPump units.Volume `json:"toPump"`
	Cases  []Case       `json:"cases"` // best alone, or low, best and high
	// Cheapest is, of the routes that can be done, the one that costs least at the best
	// volume, 0 when only one was asked for, none can be done or they cost the same.
	// CheapestHolds says that it is so at the low and the high volume too.
	Cheapest      Route    `json:"cheapest,omitempty"`
	CheapestHolds bool     `json:"cheapestHolds"`     // at every volume
	Fastest       Route    `json:"fastest,omitempty"` // by days, in the same way
	FastestHolds  bool     `json:"fastestHolds"`      // at every volume
	Cautions      []string `json:"cautions"`          // for the crew
}

// Best returns the case of the best sludge volume.
func (r PlanResult) Best() Case {
	if len(r.Cases) == 0 {
		return Case{}
	}
	return r.Cases[len(r.Cases)/2]
}

// Plan plans the emptying of a basin by two routes and compares them: the liquid
// is pumped off and the sludge dug; or sludge and liquid are agitated, the slurry is
// pumped and what stays is dug. Each stage carries its solids and water, its loads
// or hose sets, its hours and its cost, and what goes in comes out. With an interval
// the whole plan is worked out again at its ends.
//
// Constituents go with water and solids through every stage: of each, what comes in
// with sludge, liquid, rain and inflow leaves in the streams. A route whose material
// its equipment cannot take is worked out but marked, and is neither cheapest nor
// fastest. The share of solids that stays, the swell and all prices are the caller's.
// Quantities out of range, an interval that does not hold the
// best volume, equipment that is missing or doubled, and solids that no liquid could
// thin to the target are [units.FieldError].
func Plan(spec PlanSpec) (PlanResult, error) {
	var f units.Faults
	spec.check(&f)
	if err := f.Err(); err != nil {
		return PlanResult{}, err
	}
	classes := spec.Classes
	if len(classes) == 0 {
		classes = DefaultClasses()
	}
	type volume struct {
		name string
		of   units.Volume
	}
	volumes := []volume{{"best", spec.Sludge}}
	if i := spec.Interval; i != nil {
		volumes = []volume{{"low", i.Low}, {"best", spec.Sludge}, {"high", i.High}}
	}
	var r PlanResult
	for _, v := range volumes {
		p := planner{spec: spec, classes: classes, faults: &f}
		r.Cases = append(r.Cases, p.plan(v.name, v.of))
		if f.Err() != nil {
			return PlanResult{}, f.Err()
		}
		if limit := justBelow(pumpLimit(classes)); v.name == "best" && limit > spec.LiquidSolids {
			r.ToPump = p.sludge.liquidFor(limit, noSign(spec.LiquidSolids)).Volume
		}
	}
	r.InPlace = classOf(classes, spec.Solids)
	r.Cheapest, r.CheapestHolds = r.Least(func(x RouteResult) float64 { return x.Cost })
	r.Fastest, r.FastestHolds = r.Least(func(x RouteResult) float64 { return float64(x.Days) })
	r.Cautions = cautions(spec)
	return r, nil
}

// Least returns, of the routes that can be done, the one with the least value at the
// best volume, and whether it is so in all cases; 0 when only one was planned, none
// can be done or the least are equal but for rounding. It compares routes by a cost of the caller's, such
// as AtBasin with his own price of hauling each stream.
func (r PlanResult) Least(value func(RouteResult) float64) (route Route, holds bool) {
	if value == nil {
		return 0, false
	}
	pick := func(c Case) (route Route) {
		if len(c.Routes) < 2 {
			return 0
		}
		least := math.Inf(1)
		for _, x := range c.Routes {
			switch v := value(x); {
			case !x.Feasible, math.IsNaN(v):
			case less(v, least):
				least, route = v, x.Route
			case !less(least, v):
				route = 0
			}
		}
		return route
	}
	route = pick(r.Best())
	holds = route != 0
	for _, c := range r.Cases {
		holds = holds && pick(c) == route
	}
	return route, holds
}
