package sludge

import (
	"fmt"
	"math"

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

// StageCost is the price of one stage; what is left at 0 costs nothing.
type StageCost struct {
	Fixed         float64                     `json:"fixed,omitempty"`         // once, such as bringing in a machine
	PerVolume     units.Price[units.Volume]   `json:"perVolume,omitempty"`     // of the material as it is moved
	PerVolumeMile units.Price[units.Volume]   `json:"perVolumeMile,omitempty"` // added for each mile of the fleet's distance, one way
	PerMass       units.Price[units.Mass]     `json:"perMass,omitempty"`       // of the material
	PerLoad       float64                     `json:"perLoad,omitempty"`
	PerHour       units.Price[units.Duration] `json:"perHour,omitempty"`      // pump, loader or agitator with its crew
	PerTruckHour  units.Price[units.Duration] `json:"perTruckHour,omitempty"` // of each truck
}

// Equipment moves the material of a stage: a fleet or a hose, one of the two.
type Equipment struct {
	Fleet *Fleet    `json:"fleet,omitempty"`
	Hose  *DragHose `json:"hose,omitempty"`
	Cost  StageCost `json:"cost,omitzero"`
}

// DigSpec is how sludge is dug.
type DigSpec struct {
	Equipment
	Swell   float64            `json:"swell"`             // loose volume per volume in place, 1 to 2; 1 for wet sludge
	Drained units.MassFraction `json:"drained,omitempty"` // solids after draining in place, 0 when it is dug as it lies
}

// AgitateSpec is how sludge is mixed up and pumped.
type AgitateSpec struct {
	Mix         MixRule                     `json:"mix"`
	Target      units.MassFraction          `json:"target,omitempty"`      // most solids of the slurry; 0 means the limit of pumping in the classes
	Stays       float64                     `json:"stays"`                 // share of the dry solids that is not lifted or settles again, by the caller's experience; 0 to 1
	StaysSolids units.MassFraction          `json:"staysSolids,omitempty"` // solids of what stays; 0 means those of the sludge
	Agitation   units.Duration              `json:"agitation,omitempty"`   // before pumping starts; it goes on while pumping
	Fixed       float64                     `json:"fixed,omitempty"`       // cost of the agitation, once
	PerHour     units.Price[units.Duration] `json:"perHour,omitempty"`     // of the agitator, before and during pumping
	Water       units.Price[units.Volume]   `json:"water,omitempty"`       // of fresh water, when the liquid does not do
	Pump        Equipment                   `json:"pump"`
}

// RemovalSpec is what lies in the basin and what is there to move it.
type RemovalSpec struct {
	Sludge        units.Volume               `json:"sludge"`             // best figure, in place
	Interval      *units.Range[units.Volume] `json:"interval,omitempty"` // of the sludge volume; nil for no sensitivity
	Liquid        units.Volume               `json:"liquid,omitempty"`   // above the sludge; or Contents
	Contents      units.Volume               `json:"contents,omitempty"` // sludge and liquid together, which stays when the sludge volume is varied
	Solids        units.MassFraction         `json:"solids"`             // of the sludge in place, above 0 to below 100 %
	LiquidSolids  units.MassFraction         `json:"liquidSolids,omitempty"`
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
	Name     string         `json:"name"`
	Material Slurry         `json:"material"`        // as it is moved, before it swells; none for agitation
	Moved    units.Volume   `json:"moved"`           // with swell
	Class    SolidsClass    `json:"class,omitzero"`  // of the material
	Haul     *HaulResult    `json:"haul,omitempty"`  // by fleet
	Hose     *PumpResult    `json:"hose,omitempty"`  // by hose
	Fresh    units.Volume   `json:"fresh,omitempty"` // water brought in for agitation
	Hours    units.Duration `json:"hours"`
	Days     int            `json:"days"` // Hours over the working day, rounded up
	Cost     float64        `json:"cost"`
}

// RouteResult is one way to empty the basin.
type RouteResult struct {
	Route   Route          `json:"route"`
	Stages  []StageResult  `json:"stages"`
	In      Slurry         `json:"in"`    // sludge, liquid and fresh water together
	Out     Slurry         `json:"out"`   // what all stages move; equal to In
	Moved   units.Volume   `json:"moved"` // with swell
	Loads   int            `json:"loads"`
	Fresh   units.Volume   `json:"fresh"` // water brought in
	Hours   units.Duration `json:"hours"` // stages one after the other
	Days    int            `json:"days"`  // sum of the days of the stages
	Cost    float64        `json:"cost"`
	Remarks []string       `json:"remarks,omitempty"`
}

// RemovalCase is the plan for one sludge volume.
type RemovalCase struct {
	Name   string        `json:"name"` // low, best or high
	Sludge units.Volume  `json:"sludge"`
	Liquid units.Volume  `json:"liquid"`
	Routes []RouteResult `json:"routes"` // draw off and dig, then agitate and pump
}

// RemovalResult is the comparison.
type RemovalResult struct {
	Cases []RemovalCase `json:"cases"` // best alone, or low, best and high
	// Cheapest is the route that costs least at the best volume, 0 when only one was
	// asked for or they cost the same. CheapestHolds says that it is so at the low and
	// the high volume too.
	Cheapest      Route    `json:"cheapest,omitempty"`
	CheapestHolds bool     `json:"cheapestHolds"`
	Fastest       Route    `json:"fastest,omitempty"` // by days, in the same way
	FastestHolds  bool     `json:"fastestHolds"`
	Cautions      []string `json:"cautions"`
}

// Best returns the case of the best sludge volume.
func (r RemovalResult) Best() RemovalCase { return r.Cases[len(r.Cases)/2] }

// Removal plans the emptying of a basin by two routes and compares them: the liquid
// is pumped off and the sludge dug; or sludge and liquid are agitated, the slurry is
// pumped and what stays is dug. Each stage carries its solids and water, its loads
// or hose sets, its hours and its cost, and what goes in comes out. With an interval
// the whole plan is worked out again at its ends.
//
// The share of solids that stays, the swell and all prices are the caller's. Nutrients
// are not counted here. Quantities out of range, an interval that does not hold the
// best volume, equipment that is missing or doubled, and solids that no liquid could
// thin to the target are [units.FieldError].
func Removal(spec RemovalSpec) (RemovalResult, error) {
	var f units.Faults
	spec.check(&f)
	if err := f.Err(); err != nil {
		return RemovalResult{}, err
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
	var r RemovalResult
	for _, v := range volumes {
		p := planner{spec: spec, classes: classes, faults: &f}
		r.Cases = append(r.Cases, p.plan(v.name, v.of))
	}
	if err := f.Err(); err != nil {
		return RemovalResult{}, err
	}
	r.Cheapest, r.CheapestHolds = r.least(func(x RouteResult) float64 { return x.Cost })
	r.Fastest, r.FastestHolds = r.least(func(x RouteResult) float64 { return float64(x.Days) })
	r.Cautions = removalCautions(spec)
	return r, nil
}

// least returns the route with the least value at the best volume, and whether it
// is so in all cases.
func (r RemovalResult) least(value func(RouteResult) float64) (Route, bool) {
	pick := func(c RemovalCase) Route {
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

// check records what is wrong with the spec.
func (spec RemovalSpec) check(f *units.Faults) {
	f.Positive("sludge", spec.Sludge)
	high := spec.Sludge
	if i := spec.Interval; i != nil {
		f.NotNegative("interval.low", i.Low)
		f.NotNegative("interval.high", i.High)
		if !i.Has(spec.Sludge) {
			f.Add("interval", i.Low.Trade()+" to "+i.High.Trade(), "an interval that holds the best volume, "+spec.Sludge.Trade())
		}
		high = max(high, i.High)
	}
	f.NotNegative("liquid", spec.Liquid)
	f.NotNegative("contents", spec.Contents)
	if spec.Contents > 0 {
		if spec.Liquid != 0 {
			f.Add("liquid", spec.Liquid, "either liquid or contents, not both")
		}
		if spec.Contents < high {
			f.Add("contents", spec.Contents, "the largest sludge volume, "+high.Trade()+", or more")
		}
	}
	checkSolids(f, "solids", spec.Solids)
	if spec.Solids == 0 {
		f.Missing("solids", "the solids of the sludge, more than 0 %")
	}
	checkSolids(f, "liquidSolids", spec.LiquidSolids)
	if spec.LiquidSolids >= spec.Solids && spec.Solids > 0 {
		f.Add("liquidSolids", spec.LiquidSolids, "less than the solids of the sludge, "+spec.Solids.Trade())
	}
	if _, err := NewSlurry(SlurrySpec{Volume: 1, SolidsGravity: spec.SolidsGravity, WaterDensity: spec.WaterDensity}); err != nil {
		f.Sub("", err)
	}
	checkClasses(f, spec.Classes)
	if spec.Contents > 0 || spec.Liquid > 0 || spec.Dig.Drained > 0 {
		spec.PumpOff.check(f, "pumpOff")
	}
	spec.Dig.check(f, "dig")
	f.NumberBetween("dig.swell", spec.Dig.Swell, 1, 2)
	checkSolids(f, "dig.drained", spec.Dig.Drained)
	if d := spec.Dig.Drained; d != 0 && d < spec.Solids {
		f.Add("dig.drained", d, "the solids of the sludge, "+spec.Solids.Trade()+", or more")
	}
	f.Between("workDay", spec.WorkDay, units.Minute, units.Day)
	if a := spec.Agitate; a != nil {
		a.check(f, spec)
	}
}

func (a AgitateSpec) check(f *units.Faults, spec RemovalSpec) {
	if !mixNames.Has(int(a.Mix)) {
		f.Add("agitate.mix", a.Mix, mixNames.Want())
	}
	checkSolids(f, "agitate.target", a.Target)
	f.Fraction("agitate.stays", a.Stays)
	checkSolids(f, "agitate.staysSolids", a.StaysSolids)
	if s := a.StaysSolids; s != 0 && s < spec.Solids {
		f.Add("agitate.staysSolids", s, "the solids of the sludge, "+spec.Solids.Trade()+", or more")
	}
	f.NotNegative("agitate.agitation", a.Agitation)
	f.NotNegativeNumber("agitate.fixed", a.Fixed)
	f.NotNegative("agitate.perHour", a.PerHour)
	f.NotNegative("agitate.water", a.Water)
	a.Pump.check(f, "agitate.pump")
	classes := spec.Classes
	if len(classes) == 0 {
		classes = DefaultClasses()
	}
	limit := pumpLimit(classes)
	if target := a.target(classes); target >= limit && limit > 0 {
		f.Add("agitate.target", target, "less than the solids at which pumping ends in the classes, "+limit.Trade())
	} else if !(target > spec.LiquidSolids) {
		f.Add("agitate.target", target, "more than the solids of the liquid, "+spec.LiquidSolids.Trade())
	}
}

// target returns the most solids of the slurry. At the limit of pumping itself a
// material has to be dug already, so that without a target the limit is kept from
// below.
func (a AgitateSpec) target(classes []SolidsClass) units.MassFraction {
	if a.Target > 0 {
		return a.Target
	}
	return pumpLimit(classes) * (1 - 1e-6)
}

func (e Equipment) check(f *units.Faults, path string) {
	var inner units.Faults
	switch {
	case e.Fleet != nil && e.Hose != nil:
		f.Add(path, "a fleet and a hose", "one of the two")
	case e.Fleet != nil:
		e.Fleet.check(&inner)
		f.Sub(path+".fleet", inner.Err())
	case e.Hose != nil:
		e.Hose.check(&inner)
		f.Sub(path+".hose", inner.Err())
	default:
		f.Missing(path, "a fleet or a hose")
	}
	e.Cost.check(f, path+".cost.")
	if e.Fleet == nil && (e.Cost.PerLoad > 0 || e.Cost.PerTruckHour > 0) {
		f.Add(path+".cost", "a price per load or truck", "a fleet with it")
	}
	if e.Cost.PerVolumeMile > 0 && (e.Fleet == nil || e.Fleet.Travel > 0) {
		f.Add(path+".cost.perVolumeMile", e.Cost.PerVolumeMile, "a fleet with a distance")
	}
}

func (c StageCost) check(f *units.Faults, path string) {
	f.NotNegativeNumber(path+"fixed", c.Fixed)
	f.NotNegative(path+"perVolume", c.PerVolume)
	f.NotNegative(path+"perVolumeMile", c.PerVolumeMile)
	f.NotNegative(path+"perMass", c.PerMass)
	f.NotNegativeNumber(path+"perLoad", c.PerLoad)
	f.NotNegative(path+"perHour", c.PerHour)
	f.NotNegative(path+"perTruckHour", c.PerTruckHour)
}

// removalCautions returns what can hurt people on the stages of the plan.
func removalCautions(spec RemovalSpec) []string {
	list := []string{
		"Drowning: a crust or a dried edge looks like ground and carries neither people nor machines. Work by daylight and in pairs, mark the crest, keep the fence, a ring and a line.",
		"Entry: nobody goes into a tank, sump, reception pit or pipe of the system without air testing, forced air, supplied air, harness and line and people outside. Do not follow one who is down: call the emergency service. Find out which rules for confined spaces apply to farm and contractor.",
		"Bank: wet liners and loaded slopes slide under an excavator. Let a competent person say where it may stand, how far from the edge and how steep the cut may be; a cut into an embankment that holds water back is a matter for a licensed engineer.",
	}
	pressure := spec.PumpOff.Hose != nil || spec.Dig.Hose != nil
	if a := spec.Agitate; a != nil {
		list = append([]string{
			"Gas: agitation sets hydrogen sulfide free at once, in the open too; on still, humid days it lies on the ground. Before it starts move people and animals upwind and away, close or ventilate buildings, wear a gas monitor and leave when it sounds. Keep the jet below the surface and off the banks.",
			"Fire: no flame, smoking, welding or sparking tool near agitation; gas in foam can flash.",
		}, list...)
		pressure = pressure || a.Pump.Hose != nil
	}
	if pressure {
		list = append(list, "Hose: a hose or a pig under pressure strikes with force when it comes free. Relieve the pressure before uncoupling, stand clear of ends and pigs, keep the crew in radio contact, and guard every shaft.")
	}
	return append(list, "The plan counts quantities; it does not say that a site is safe or that a release is allowed. Ask the regulator before land application or discharge.")
}

// Working returns the best case stage by stage, then the totals of every case.
func (r RemovalResult) Working() units.Working {
	var w units.Working
	best := r.Best()
	w.Add("sludge", best.Sludge, "best figure")
	w.Add("liquid", best.Liquid, "above it")
	for _, route := range best.Routes {
		for _, s := range route.Stages {
			s.lines(&w, route.Route.String()+": "+s.Name)
		}
	}
	for _, c := range r.Cases {
		for _, route := range c.Routes {
			w.Add(c.Name+", "+route.Route.String(), money(route.Cost),
				fmt.Sprintf("sludge %s; %s moved, %d loads, %s, %d days", c.Sludge.Trade(), route.Moved.Trade(), route.Loads, route.Hours.Trade(), route.Days))
		}
	}
	say := func(item string, route Route, holds bool) {
		switch {
		case route == 0:
		case holds && len(r.Cases) > 1:
			w.Add(item, route.String(), "also at the low and the high sludge volume")
		case len(r.Cases) > 1:
			w.Add(item, route.String(), "at the best volume only: the interval does not settle it")
		default:
			w.Add(item, route.String(), "")
		}
	}
	say("cheapest", r.Cheapest, r.CheapestHolds)
	say("fastest", r.Fastest, r.FastestHolds)
	return w
}

// lines appends one stage.
func (s StageResult) lines(w *units.Working, name string) {
	if s.Material.Volume > 0 {
		w.Add(name, s.Moved, fmt.Sprintf("%s at %s solids, %s dry: %s", s.Material.Mass.Trade(), s.Material.Solids.Text(units.Percent, 1), s.Material.Dry.Trade(), s.Class.Name))
	} else {
		w.Add(name, s.Hours, "before pumping")
	}
	if s.Fresh > 0 {
		w.Add("  fresh water", s.Fresh, "the liquid does not thin the sludge enough")
	}
	if h := s.Haul; h != nil {
		w.Add("  loads", h.Loads, fmt.Sprintf("of %s; cycle %s, %d trucks keep the loader busy, %d never wait, with %d %s waits", h.PerLoad.Trade(), h.Cycle.Trade(), h.KeepBusy, h.NeverWait, h.Trucks, h.Waits))
	}
	if h := s.Hose; h != nil {
		w.Add("  hose sets", h.Sets, "on "+h.Area.Trade())
	}
	w.Add("  time, cost", s.Hours.Trade(), fmt.Sprintf("%d days; %s", s.Days, money(s.Cost)))
}

// money writes an amount in the currency of the caller.
func money(x float64) string { return fmt.Sprintf("%.2f", x) }

// String returns the working as a table.
func (r RemovalResult) String() string { return r.Working().String() }

// finiteCost reports whether x can be an amount of money.
func finiteCost(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
