package removal

import (
	"example.org/earthbasin/sludge/internal/limits"
	"example.org/earthbasin/units"
)

// Route is a way to empty a basin of liquid and sludge.
type Route int

const (
	_ Route = iota
	// RouteDrawOffDig pumps the liquid off and digs the sludge.
	RouteDrawOffDig
	// RouteAgitatePump agitates sludge with liquid, pumps the slurry, and digs what
	// stays.
	RouteAgitatePump
)

var routeNames = units.Names{"", "draw off and dig", "agitate and pump"}

// String returns the name that MarshalText writes.
func (r Route) String() string { return routeNames.String(int(r)) }

// MarshalText writes the name.
func (r Route) MarshalText() ([]byte, error) { return routeNames.Marshal(int(r)) }

// UnmarshalText reads a name; the error lists the names.
func (r *Route) UnmarshalText(text []byte) error { return units.UnmarshalName(routeNames, text, r) }

// MixRule says how much of the liquid is agitated with the sludge.
type MixRule int

const (
	_ MixRule = iota
	// MixNeeded keeps only the liquid that thins the sludge to the wanted solids; the
	// rest is pumped off first.
	MixNeeded
	// MixAll agitates all of the liquid.
	MixAll
)

var mixNames = units.Names{"", "needed", "all"}

// String returns the name that MarshalText writes.
func (r MixRule) String() string { return mixNames.String(int(r)) }

// MarshalText writes the name.
func (r MixRule) MarshalText() ([]byte, error) { return mixNames.Marshal(int(r)) }

// UnmarshalText reads a name; the error lists the names.
func (r *MixRule) UnmarshalText(text []byte) error { return units.UnmarshalName(mixNames, text, r) }

// StageKind is what a stage does.
type StageKind int

const (
	_ StageKind = iota
	// StagePumpOff pumps off liquid that is not agitated, and what the sludge drains.
	StagePumpOff
	// StageAgitate mixes sludge and liquid before pumping.
	StageAgitate
	// StagePump pumps the agitated slurry.
	StagePump
	// StageDig digs the sludge, or what agitation leaves of it.
	StageDig
)

var stageNames = units.Names{"", "pump off", "agitate", "pump", "dig"}

// String returns the name that MarshalText writes.
func (k StageKind) String() string { return stageNames.String(int(k)) }

// MarshalText writes the name.
func (k StageKind) MarshalText() ([]byte, error) { return stageNames.Marshal(int(k)) }

// UnmarshalText reads a name; the error lists the names.
func (k *StageKind) UnmarshalText(text []byte) error {
	return units.UnmarshalName(stageNames, text, k)
}

// StageCost is the price of one stage; what is left at 0 costs nothing.
type StageCost struct {
	Fixed         float64                     `json:"fixed,omitempty"`         // once, such as bringing in a machine
	PerVolume     units.Price[units.Volume]   `json:"perVolume,omitempty"`     // of the material as it is moved
	PerVolumeMile units.Price[units.Volume]   `json:"perVolumeMile,omitempty"` // added for each mile of the fleet's distance, one way
	PerMass       units.Price[units.Mass]     `json:"perMass,omitempty"`       // of the material
	PerLoad       float64                     `json:"perLoad,omitempty"`       // of each trip, with a fleet
	PerHour       units.Price[units.Duration] `json:"perHour,omitempty"`       // pump, loader or agitator with its crew
	PerTruckHour  units.Price[units.Duration] `json:"perTruckHour,omitempty"`  // of each truck
}

// Equipment moves the material of a stage: a fleet or a hose, one of the two.
type Equipment struct {
	Fleet *Fleet    `json:"fleet,omitempty"` // trucks, or
	Hose  *DragHose `json:"hose,omitempty"`  // a pump with a hose
	Cost  StageCost `json:"cost,omitzero"`   // of the stage; left out it costs nothing
}

// DigSpec is how sludge is dug.
type DigSpec struct {
	Equipment
	Swell   float64            `json:"swell"`             // loose volume per volume in place, 1 to 2; 1 for wet sludge
	Drained units.MassFraction `json:"drained,omitempty"` // solids after draining in place, 0 when it is dug as it lies
}

// AgitateSpec is how sludge is mixed up and pumped.
type AgitateSpec struct {
	Mix            MixRule                     `json:"mix"`                      // how much of the liquid is agitated
	Target         units.MassFraction          `json:"target,omitempty"`         // most solids of the slurry; 0 means the limit of pumping in the classes
	Residual       float64                     `json:"residual"`                 // share of the dry solids that is not lifted or settles again, by the caller's experience; 0 to 1
	ResidualSolids units.MassFraction          `json:"residualSolids,omitempty"` // solids of what stays; 0 means those of the sludge
	Agitation      units.Duration              `json:"agitation,omitempty"`      // before pumping starts; it goes on while pumping
	Fixed          float64                     `json:"fixed,omitempty"`          // cost of the agitation, once
	PerHour        units.Price[units.Duration] `json:"perHour,omitempty"`        // of the agitator, before and during pumping
	Water          units.Price[units.Volume]   `json:"water,omitempty"`          // of fresh water, when the liquid does not do
	Pump           Equipment                   `json:"pump"`                     // that takes the slurry away
}

// PlanSpec is what lies in the basin and what is there to move it.
type PlanSpec struct {
	Sludge        units.Volume               `json:"sludge"`                 // best figure, in place
	Interval      *units.Range[units.Volume] `json:"interval,omitempty"`     // of the sludge volume; nil for no sensitivity
	Liquid        units.Volume               `json:"liquid,omitempty"`       // above the sludge; or Contents
	Contents      units.Volume               `json:"contents,omitempty"`     // sludge and liquid together, which stays when the sludge volume is varied
	Solids        units.MassFraction         `json:"solids"`                 // of the sludge in place, above 0 to below 100 %
	LiquidSolids  units.MassFraction         `json:"liquidSolids,omitempty"` // of the liquid, below those of the sludge; 0: clear water
	SolidsGravity float64                    `json:"solidsGravity"`          // specific gravity of the dry solids, 0.5 to 8
	WaterDensity  units.Density              `json:"waterDensity,omitempty"` // 0 means 1000 kg/m3
	Classes       []SolidsClass              `json:"classes,omitempty"`      // empty means DefaultClasses

	PumpOff Equipment      `json:"pumpOff"`           // for the liquid, on both routes
	Dig     DigSpec        `json:"dig"`               // on both routes
	Agitate *AgitateSpec   `json:"agitate,omitempty"` // nil compares nothing
	WorkDay units.Duration `json:"workDay"`           // hours worked in a day, above 0 to 24 h
}

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
	Hauling  float64        `json:"hauling"`         // the part of Cost by miles, loads and truck hours
}

// RouteResult is one way to empty the basin.
type RouteResult struct {
	Route   Route          `json:"route"`           // which one
	Stages  []StageResult  `json:"stages"`          // in the order of the work
	In      Slurry         `json:"in"`              // sludge, liquid and fresh water together
	Out     Slurry         `json:"out"`             // what all stages move; equal to In
	Moved   units.Volume   `json:"moved"`           // with swell
	Loads   int            `json:"loads"`           // of all fleets
	Fresh   units.Volume   `json:"fresh"`           // water brought in
	Hours   units.Duration `json:"hours"`           // stages one after the other
	Days    int            `json:"days"`            // sum of the days of the stages
	Cost    float64        `json:"cost"`            // of all stages
	Hauling float64        `json:"hauling"`         // the part of Cost by miles, loads and truck hours
	Notes   []units.Phrase `json:"notes,omitempty"` // what to doubt or mend
}

// Case is the plan for one sludge volume.
type Case struct {
	Name   string        `json:"name"`   // low, best or high
	Sludge units.Volume  `json:"sludge"` // volume in place
	Liquid units.Volume  `json:"liquid"` // volume above it
	Routes []RouteResult `json:"routes"` // draw off and dig, then agitate and pump
}

// PlanResult is the comparison.
type PlanResult struct {
	InPlace SolidsClass `json:"inPlace"` // class of the sludge as it lies
	// ToPump is the liquid of the basin's kind that thins the best sludge volume until
	// it can be pumped, by the classes; 0 when it can be already, and when no liquid
	// does it.
	ToPump units.Volume `json:"toPump"`
	Cases  []Case       `json:"cases"` // best alone, or low, best and high
	// Cheapest is the route that costs least at the best volume, 0 when only one was
	// asked for or they cost the same. CheapestHolds says that it is so at the low and
	// the high volume too.
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
// The share of solids that stays, the swell and all prices are the caller's. Nutrients
// are not counted here. Quantities out of range, an interval that does not hold the
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
		if limit := justBelow(pumpLimit(classes)); v.name == "best" && limit > spec.LiquidSolids {
			r.ToPump = p.sludge.liquidFor(limit, limits.NoSign(spec.LiquidSolids)).Volume
		}
	}
	r.InPlace = classOf(classes, spec.Solids)
	if err := f.Err(); err != nil {
		return PlanResult{}, err
	}
	r.Cheapest, r.CheapestHolds = r.least(func(x RouteResult) float64 { return x.Cost })
	r.Fastest, r.FastestHolds = r.least(func(x RouteResult) float64 { return float64(x.Days) })
	r.Cautions = cautions(spec)
	return r, nil
}

// least returns the route with the least value at the best volume, and whether it
// is so in all cases.
func (r PlanResult) least(value func(RouteResult) float64) (Route, bool) {
	pick := func(c Case) Route {
		if len(c.Routes) < 2 {
			return 0
		}
		switch a, b := value(c.Routes[0]), value(c.Routes[1]); {
		case a < b:
			return c.Routes[0].Route
		case b < a:
			return c.Routes[1].Route
		}
		return 0
	}
	best := pick(r.Best())
	holds := best != 0
	for _, c := range r.Cases {
		holds = holds && pick(c) == best
	}
	return best, holds
}
