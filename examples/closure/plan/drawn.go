package plan

import (
	"context"
	"math"

	"example.org/earthbasin/examples/closure/closing"
	"example.org/earthbasin/examples/closure/land"
	"example.org/earthbasin/nutrient/allocation"
	"example.org/earthbasin/units"
)

// Worker returns what works out one draw after the other: values are those of the paths,
// in their order and in SI units. Each goroutine has to have its own. A value that no
// plan can have is a fault of its path. The days of the calendar, and with them the rain in
// the open pit, stay those of the plan.
func (d *Draws) Worker(ctx context.Context) func(values []float64) (Outcome, error) {
	return drawn(ctx, d, func(s *Scenario, in *inputs) (Outcome, error) { return d.outcome(ctx, s, in) })
}

// Questions returns what works out, as [Draws.Worker] does, the question of the allocation
// on the route that the plan takes: what goes to the land, what it holds, and what the
// fields may take. It is nil where there is nothing to spread.
func (d *Draws) Questions(ctx context.Context) func(values []float64) (*allocation.AllocateSpec, error) {
	return drawn(ctx, d, d.question)
}

// drawn works out draws by of, which gets the scenario and the stages before the routes.
func drawn[T any](ctx context.Context, d *Draws, of func(s *Scenario, in *inputs) (T, error)) func(values []float64) (T, error) {
	found := newFinder(*d.p.s)
	places := make([]place, len(d.paths))
	for i, path := range d.paths {
		if path != SludgeVolume {
			places[i], _ = found.find(path) // which With has found
		}
	}
	memory := allocation.Allocator{Brief: true}
	return func(values []float64) (none T, err error) {
		var f units.Faults
		if len(values) != len(d.paths) {
			f.Count("values", len(values), "values", "%v, one for each path", len(d.paths))
			return none, f.Err()
		}
		volume := math.NaN()
		for i, x := range values {
			if !(math.Abs(x) <= 1e15) {
				f.Fault(units.FaultRange, d.paths[i], x, "a number that a plan can have")
				continue
			}
			if places[i].set != nil {
				places[i].set(x)
			} else {
				volume = x
			}
		}
		if err := f.Err(); err != nil {
			return none, err
		}
		in, err := d.inputs(ctx, found.s, volume)
		if err != nil {
			return none, err
		}
		in.allocator = &memory
		return of(found.s, &in)
	}
}

// inputs works out again the stages before the routes that the changed figures of s have
// to do with; sludge is the volume in place of that of the scenario, NaN for none.
func (d *Draws) inputs(ctx context.Context, s *Scenario, sludge float64) (in inputs, err error) {
	in = *d.p.in
	if d.contents {
		if in.contents, err = contents(ctx, s); err != nil {
			return in, err
		}
	}
	if !math.IsNaN(sludge) {
		if err := in.contents.hold(units.Volume(sludge)); err != nil {
			return in, err
		}
	}
	if d.sampled {
		if in.sampled, err = sampled(s, meansOnly); err != nil {
			return in, err
		}
	}
	if d.removal {
		c := in.contents
		if c.Sludge != nil { // the best figure alone
			alone := *c.Sludge
			alone.Interval = nil
			c.Sludge = &alone
		}
		if in.removal, _, err = removed(s, &c, &in.sampled); err != nil {
			return in, err
		}
	}
	if d.land {
		if in.fields, err = d.fields(s); err != nil {
			return in, err
		}
	} else if d.prices {
		in.fields = in.fields.WithPrices(s.Land.Prices)
	}
	if d.days {
		in.goBy(s, s.terms(in.fields))
	}
	return in, nil
}

// question asks where the streams of the route go that the plan takes.
func (d *Draws) question(s *Scenario, in *inputs) (*allocation.AllocateSpec, error) {
	_, q, err := d.p.question(s, in)
	if q == nil || err != nil {
		return nil, err
	}
	return &q.spec, nil
}

// outcome works out the closing, the routes and what follows from both.
func (d *Draws) outcome(ctx context.Context, s *Scenario, in *inputs) (o Outcome, err error) {
	r := Results{Closing: d.p.base.Closing, Cover: d.p.base.Cover}
	if d.closing {
		if s.Closing != nil { // what else could be done is no figure of a draw
			own, figures := *s, *s.Closing
			figures.Figures = true
			own.Closing, s = &figures, &own
		}
		if r.Closing, _, err = closed(s, &in.contents, nil, d.p.base.Pit); err != nil {
			return o, err
		}
	}
	chosen := outcome(r.Closing)
	if area := sown(chosen); d.cover || area != sown(outcome(d.p.base.Closing)) {
		if r.Cover, err = vegetation(s, in.lib, area); err != nil {
			return o, err
		}
		r.Cover.Stops = d.p.base.Cover.Stops // no day hangs on a draw
	}
	all := &d.p.base.Routes
	if works := s.worksStreams(&in.sampled, chosen, d.p.base.pitWater()); d.routes || d.closing && len(works) > 0 {
		if all, err = d.emptying(ctx, s, in, works); err != nil {
			return o, err
		}
	}
	b, err := bill(s, nil, &in.contents, all, chosen, &r.Cover)
	if err != nil {
		return o, err
	}
	o.count(all.taken(), &b, chosen)
	return o, ctx.Err()
}

// emptying is the routes of a draw and what the works of closing bring on top. Where the
// scenario names its route no other is looked at, and the land is allocated once.
func (d *Draws) emptying(ctx context.Context, s *Scenario, in *inputs, works []Stream) (*Routes, error) {
	if in.removal == nil {
		return &Routes{}, nil
	}
	if s.Removal.Route == 0 {
		r, err := routes(ctx, s, in, false)
		if err != nil {
			return nil, err
		}
		return &r, r.withWorks(ctx, s, in, works)
	}
	x, list, err := d.p.route(s, in)
	if err != nil {
		return nil, err
	}
	if x.Spread, err = spread(ctx, s, in, append(list, works...)); err != nil {
		return nil, err
	}
	x.price()
	return &Routes{Routes: []RouteResult{x}, Taken: x.Route}, nil
}

// fields is the land of a draw. The days on which fields may be spread on take most of the
// time, and stay as they are where no figure of soil, weather or rule is drawn.
func (d *Draws) fields(s *Scenario) (*land.Result, error) {
	var f units.Faults
	if d.days {
		r, _, err := fields(s)
		return r, err
	}
	spec := *s.Land
	spec.Weather, spec.Soil = nil, nil
	r, err := land.Plan(spec)
	f.Sub("land", err)
	r.Windows = d.p.in.fields.Windows
	return &r, f.Err()
}

// hold puts a volume of sludge in place of the one that was found.
func (c *Contents) hold(v units.Volume) error {
	var f units.Faults
	most := c.Held
	if most == 0 {
		most = 1e9
	}
	f.UpTo(SludgeVolume, v, most)
	if err := f.Err(); err != nil {
		return err
	}
	own := *c.Sludge
	own.Volume, own.Interval = v, nil
	c.Sludge = &own
	if c.Level != nil {
		c.Liquid = new(c.Held - v)
	}
	return nil
}

// count takes the figures of a plan.
func (o *Outcome) count(t *RouteResult, b *Bill, c *closing.Outcome) {
	o.Cost, o.Worth = b.Cost.Likely, b.Worth
	o.Net = b.Net.Likely - b.Worth
	if c != nil && c.Account != nil {
		for _, row := range c.Account.Rows {
			o.Import += row.Import.Loose
			o.Loads += float64(row.ImportLoads)
		}
	}
	if t == nil {
		return
	}
	o.Route, o.Days = t.Route, float64(t.Days)
	o.Placed = t.Cost.Complete && len(t.Out) == 0
	a := t.Spread.Allocated
	if a == nil {
		o.Placed = false
		return
	}
	for _, x := range a.Placements {
		o.Loads += float64(x.Loads)
	}
	for _, x := range a.Fields {
		o.Area += x.Least
	}
	for i, m := range a.Materials {
		if m.Left.SI() > 0 && m.Stock.SI() > 0 {
			o.Placed = false
			o.Left += units.Volume(m.Left.SI()/m.Stock.SI()) * t.Spread.Materials[i].Stream.Slurry.Volume
		}
	}
}
