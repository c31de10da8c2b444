package plan

import (
	"cmp"
	"context"
	"slices"
	"time"

	"example.org/earthbasin/examples/closure/calendar"
	"example.org/earthbasin/examples/closure/land"
	"example.org/earthbasin/examples/closure/ledger"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/nutrient/allocation"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
)

// RouteResult is one way to empty the basin, planned to the fields.
type RouteResult struct {
	Route    removal.Route          `json:"route"`
	Removal  removal.RouteResult    `json:"removal"`            // with the hauling of its fleets, which the fields count instead
	Drawdown *volume.EmptyingResult `json:"drawdown,omitempty"` // nil where nothing is drawn off first, or the weather is not known
	Spread   Spread                 `json:"spread"`
	Out      []units.Phrase         `json:"out,omitempty"` // why it cannot be done; none: it can
	// Cost is the parts that differ from route to route.
	Cost RouteCost `json:"cost"`
	Days int       `json:"days"` // worked

	streams []Stream // that leave the basin
}

// RouteCost is what a route costs on the whole.
type RouteCost struct {
	Removal float64 `json:"removal"` // pumps, agitator and diggers, without their hauling
	Spread  float64 `json:"spread"`  // hauling and spreading
	Leaving float64 `json:"leaving"` // of what no field takes, where it has a price
	Worth   float64 `json:"worth"`   // of nutrients that fields need
	Net     float64 `json:"net"`     // the first three less the worth
	// Complete says that all of it is placed or has a price: without that, Net cannot be
	// held against that of another route.
	Complete bool `json:"complete"`
}

// Routes is the ways to empty the basin, and the one that the plan takes.
type Routes struct {
	stage.Rows `json:"-"`
	Library    *removal.PlanResult `json:"library,omitempty"` // nil where the removal is not planned
	Routes     []RouteResult       `json:"routes,omitempty"`
	Taken      removal.Route       `json:"taken,omitempty"`    // 0: none
	Asked      bool                `json:"asked,omitempty"`    // as the scenario asks, whatever it costs
	Cheapest   removal.Route       `json:"cheapest,omitempty"` // on the whole; 0 for none
	Low        *RouteResult        `json:"low,omitempty"`      // the route taken, at the low end of the sludge volume
	High       *RouteResult        `json:"high,omitempty"`     // and at the high end
	// AtLow and AtHigh are the routes that would be chosen at the ends of the sludge volume,
	// by the same rule; 0 where the volume has no ends, or none can be done there.
	AtLow  removal.Route `json:"atLow,omitempty"`
	AtHigh removal.Route `json:"atHigh,omitempty"`
}

// taken is the route that the plan takes, nil for none.
func (r *Routes) taken() *RouteResult {
	for i := range r.Routes {
		if r.Routes[i].Route == r.Taken {
			return &r.Routes[i]
		}
	}
	return nil
}

// routes plans each route to the fields and takes the one that is asked for, or that
// costs least on the whole. With ends it shows what the routes that are out would come to,
// and works the one taken out at the ends of the sludge volume too.
func routes(ctx context.Context, s *Scenario, in *inputs, ends bool) (Routes, error) {
	r := Routes{Library: in.removal}
	if in.removal == nil {
		return r, nil
	}
	var f units.Faults
	best := in.removal.Best()
	for i := range best.Routes {
		if !ends && !best.Routes[i].Feasible && len(best.Routes) > 1 && s.Removal.Route != best.Routes[i].Route {
			continue // it is out, and nobody looks at where it would go
		}
		route, err := planned(ctx, s, in, &best, i)
		if err != nil {
			f.Sub("", err)
			continue
		}
		r.Routes = append(r.Routes, route)
	}
	if f.Err() != nil {
		return r, f.Err()
	}
	r.choose(s)
	t := r.taken()
	if t == nil {
		return r, nil
	}
	r.Rows.Add(t.Spread.Rows)
	if ends && len(in.removal.Cases) == 3 {
		r.AtLow, r.Low = r.atEnd(ctx, s, in, &in.removal.Cases[0])
		r.AtHigh, r.High = r.atEnd(ctx, s, in, &in.removal.Cases[2])
	}
	return r, ctx.Err()
}

// atEnd chooses again at an end of the sludge volume: the route that would be taken there,
// and the one that is taken, as it comes out there.
func (r *Routes) atEnd(ctx context.Context, s *Scenario, in *inputs, of *removal.Case) (removal.Route, *RouteResult) {
	var end Routes
	for i := range of.Routes {
		if !of.Routes[i].Feasible && of.Routes[i].Route != r.Taken {
			continue // it is out there too
		}
		if x, err := planned(ctx, s, in, of, i); err == nil {
			end.Routes = append(end.Routes, x)
		}
	}
	end.choose(s)
	chosen := end.Cheapest
	if chosen == 0 {
		chosen = end.Taken
	}
	i := slices.IndexFunc(end.Routes, func(x RouteResult) bool { return x.Route == r.Taken })
	if i < 0 {
		return chosen, nil
	}
	return chosen, &end.Routes[i]
}

// Holds says whether the route taken is also the one to choose at the low and the high of
// the sludge volume; empty where the volume has no ends.
func (r *Routes) Holds() units.Phrase {
	mean := r.Cheapest
	if mean == 0 {
		mean = r.Taken
	}
	switch {
	case r.AtLow == 0 || r.AtHigh == 0:
		return units.Phrase{}
	case r.AtLow == mean && r.AtHigh == mean:
		return units.Words("the choice holds at the low and the high of the sludge volume")
	case r.AtLow == mean:
		return units.Words("the choice flips at the high of the sludge volume, where %v is the one to take", r.AtHigh)
	case r.AtHigh == mean:
		return units.Words("the choice flips at the low of the sludge volume, where %v is the one to take", r.AtLow)
	}
	return units.Words("the choice flips within the doubt of the sludge volume: at its low %v is the one to take, at its high %v", r.AtLow, r.AtHigh)
}

// inputs is what the stages before the routes have found.
type inputs struct {
	lib      library
	contents Contents
	sampled  Sampled
	removal  *removal.PlanResult
	fields   *land.Result       // nil: no land
	start    stage.Date         // of pumping; none where nobody set one
	fit      []calendar.FitDays // days that are fit, by which pump and calendar go
	rests    []time.Time        // days on which the pump rests by them, as long as the draw-off may last
	rested   bool               // whether they say so, and not the rain of the day
	rows     stage.Rows         // of those stages
	done     *ledger.Result     // what was put on already; nil: nothing
	prices   *otherPrices       // at the ends of their ranges; nil where none has a range
	// schedules are those of the N of each material that were made before, for draws, and
	// allocator the memory of the draw before; nil in a plan.
	schedules map[string][]*nutrient.Schedule
	allocator *allocation.Allocator
}

// planned takes one route of a case to the fields.
func planned(ctx context.Context, s *Scenario, in *inputs, of *removal.Case, i int) (RouteResult, error) {
	r, list, err := emptied(s, in, &of.Routes[i])
	if err != nil {
		return r, err
	}
	if r.Spread, err = spread(ctx, s, in, list); err != nil {
		return r, err
	}
	r.price()
	return r, nil
}

// emptied is a route up to the streams that leave the basin.
func emptied(s *Scenario, in *inputs, of *removal.RouteResult) (RouteResult, []Stream, error) {
	r := RouteResult{Route: of.Route, Removal: *of}
	list := streams(s, &in.sampled, &r.Removal)
	if !r.Removal.Feasible {
		r.Out = append(r.Out, r.Removal.Why...)
	}
	spec, ok, err := drawdown(s, in, &r.Removal)
	if err == nil && ok {
		var d volume.EmptyingResult
		if d, err = volume.Emptying(spec); err == nil {
			r.Drawdown = &d
		}
	}
	var f units.Faults
	if err != nil {
		f.Sub("weather", err)
		return r, nil, f.Err()
	}
	if d := r.Drawdown; d != nil {
		if !d.Empty {
			r.Out = append(r.Out, units.Words("the draw-off does not come to its end: %v", d.Why))
		}
		for k := range list {
			if list[k].Kind == removal.StreamEffluent {
				list[k] = list[k].more(d.Total.Inflow).diluted(d.Extra - d.Total.Inflow)
			}
		}
	}
	r.streams = list
	return r, list, nil
}

// price adds up what the route costs.
func (r *RouteResult) price() {
	c := &r.Cost
	c.Removal = r.Removal.AtBasin
	c.Complete = r.Spread.complete()
	r.Days = r.Removal.Days
	if d := r.Drawdown; d != nil {
		worked := 0
		for _, day := range d.Days {
			if day.Pumped > 0 {
				worked++
			}
		}
		if i := pumpOff(&r.Removal); i >= 0 {
			r.Days += worked - r.Removal.Stages[i].Days
		}
	}
	if a := r.Spread.Allocated; a != nil {
		c.Spread, c.Leaving, c.Worth = a.Cost, a.Leaving, a.Credit
	}
	c.Net = c.Removal + c.Spread + c.Leaving - c.Worth
}

// choose takes the route that is asked for, else the one that can be done and costs
// least on the whole.
func (r *Routes) choose(s *Scenario) {
	for i := range r.Routes {
		x := &r.Routes[i]
		if len(x.Out) > 0 || !x.Cost.Complete {
			continue
		}
		if r.Cheapest == 0 || x.Cost.Net < r.cost(r.Cheapest) {
			r.Cheapest = x.Route
		}
	}
	able := slices.DeleteFunc(slices.Clone(r.Routes), func(x RouteResult) bool { return len(x.Out) > 0 })
	switch {
	case s.Removal.Route != 0:
		r.Taken, r.Asked = s.Removal.Route, true
	case r.Cheapest != 0:
		r.Taken = r.Cheapest
	case len(able) > 0:
		// None is placed to the end: the one that leaves least goes on.
		r.Taken = slices.MinFunc(able, func(a, b RouteResult) int { return cmp.Compare(a.left(), b.left()) }).Route
	}
	if t := r.taken(); t == nil || len(t.Out) > 0 {
		var why units.Phrase
		for _, x := range r.Routes {
			for _, out := range x.Out {
				if !why.IsZero() {
					why = why.And("; ")
				}
				why = why.And("%v", out)
			}
		}
		r.Open = append(r.Open, stage.Open{Key: "removal.route", Who: stage.Contractor, Stops: true,
			What: units.Words("how the sludge is taken out: %v", why), Needs: units.Words("machines that can handle it, or drainage before it is dug")})
	}
}

// cost is the whole cost of a route.
func (r *Routes) cost(of removal.Route) float64 {
	for _, x := range r.Routes {
		if x.Route == of {
			return x.Cost.Net
		}
	}
	return 0
}

// left is the mass that no field takes.
func (r *RouteResult) left() (sum float64) {
	if r.Spread.Allocated == nil {
		return 1e30
	}
	for _, m := range r.Spread.Allocated.Materials {
		if v, ok := m.Left.Volume(); ok {
			sum += float64(v) * 1000
		} else {
			sum += m.Left.SI()
		}
	}
	return sum
}

// Why says in one sentence why the route was taken.
func (r *Routes) Why() units.Phrase {
	t := r.taken()
	if t == nil {
		return units.Words("No route is planned.")
	}
	why := units.Words("emptying and spreading, less what the nutrients are worth, comes to %v", units.Money(t.Cost.Net))
	if holds := r.Holds(); !holds.IsZero() {
		why = why.And("; %v", holds)
	}
	for _, x := range r.Routes {
		switch {
		case x.Route == r.Taken:
		case len(x.Out) > 0:
			why = why.And("; %v is out: %v", x.Route, x.Out[0])
		case !x.Cost.Complete:
			why = why.And("; %v leaves what no field takes", x.Route)
		default:
			why = why.And("; %v would come to %v", x.Route, units.Money(x.Cost.Net))
		}
	}
	if r.Asked && r.Cheapest != 0 && r.Cheapest != r.Taken {
		why = why.And("; it costs more, and is taken as asked")
	} else if r.Asked {
		why = why.And("; it is taken as asked")
	}
	return why
}
