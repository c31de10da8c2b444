package plan

import (
	"context"
	"math"
	"slices"
	"strings"

	"example.org/earthbasin/examples/closure/calendar"
	"example.org/earthbasin/examples/closure/closing"
	"example.org/earthbasin/examples/closure/land"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
)

// Prepared is a scenario made ready to be worked out many times with other figures: its
// tables, its basin, its survey and its fields are read and worked out once. It does not
// change and is safe for concurrent use.
type Prepared struct {
	s     *Scenario
	in    *inputs
	base  *Results
	terms calendar.Terms
}

// Prepare plans a scenario and keeps what stays the same. Faults are those of [New].
func Prepare(ctx context.Context, s Scenario) (*Prepared, error) {
	in, err := prepare(ctx, &s)
	if err == nil {
		var r *Results
		if r, err = finish(ctx, &s, in); err == nil {
			return &Prepared{s: &s, in: in, base: r, terms: s.terms(in.fields)}, nil
		}
	}
	if ctx.Err() != nil {
		return nil, context.Cause(ctx)
	}
	return nil, once(err)
}

// Plan is the plan with the figures of the scenario.
func (p *Prepared) Plan() *Plan { return &Plan{Scenario: *p.s, Results: p.base} }

// Outcome is what a plan comes to, in figures.
type Outcome struct {
	Route  removal.Route `json:"route"`  // taken; 0 for none
	Cost   float64       `json:"cost"`   // of the bill, without the lines that have no price
	Worth  float64       `json:"worth"`  // of the nutrients that fields need
	Net    float64       `json:"net"`    // cost less payments and worth
	Days   float64       `json:"days"`   // worked at the basin to empty it
	Area   units.Area    `json:"area"`   // of the fields that does for all that is spread, at the highest rates
	Loads  float64       `json:"loads"`  // of all materials to the fields, and of soil
	Import units.Volume  `json:"import"` // soil brought in, loose
	Left   units.Volume  `json:"left"`   // that no field takes, of all materials as they lie in the basin
	Placed bool          `json:"placed"` // everything that leaves the basin has its field
}

// SludgeVolume is the path of the sludge volume itself, whichever way the scenario tells
// it: where it is surveyed, the draws are of what the survey leaves open.
const SludgeVolume = "sludge.volume"

// Draws works out a prepared scenario with other values at some paths.
type Draws struct {
	p     *Prepared
	paths []string
	// What has to be worked out again.
	contents, sampled, removal, land, days, prices, routes, closing, cover bool
}

// With makes draws that set the figures at paths, such as "materials[1].reports[0].p2o5"
// or [SludgeVolume]. A path that leads to no figure of the scenario is a fault.
func (p *Prepared) With(paths []string) (*Draws, error) {
	var f units.Faults
	d := &Draws{p: p, paths: slices.Clone(paths)}
	in := newFinder(*p.s)
	for i, path := range paths {
		first, _ := next(path)
		switch {
		case slices.Contains(paths[:i], path):
			f.Say(path, "given twice", "each path once")
		case path == SludgeVolume && p.in.contents.Sludge == nil:
			f.Sub("", missing(path))
		case path == SludgeVolume:
		default:
			_, err := in.find(path)
			f.Sub("", err)
		}
		d.contents = d.contents || path != SludgeVolume && (first == "basin" || first == "sludge")
		d.sampled = d.sampled || strings.Contains(path, "].reports")
		d.removal = d.removal || first == "removal" || first == "sludge"
		switch {
		case strings.HasPrefix(path, "land.prices["): // no room hangs on them
			d.prices = true
		case first == "land":
			d.land = true
			for _, part := range []string{"weather", "soil", "rule", "seasons", "closed"} {
				d.days = d.days || slices.Contains(steps(path), part)
			}
		}
		d.routes = d.routes || first == "materials" || first == "weather" || first == "metals" || first == "machines"
		d.closing = d.closing || first == "closing" || first == "basin"
		d.cover = d.cover || first == "cover"
	}
	d.removal = d.removal || d.contents || d.sampled
	d.routes = d.routes || d.removal || d.land || d.prices
	d.cover = d.cover || d.closing
	return d, f.Err()
}

// Value is the figure of the scenario at path i, in SI units.
func (d *Draws) Value(i int) float64 {
	if d.paths[i] == SludgeVolume {
		return float64(d.p.in.contents.Sludge.Volume)
	}
	at, err := newFinder(*d.p.s).find(d.paths[i])
	if err != nil {
		return 0
	}
	return at.get()
}

// Read reads a text as the file would have it at path i, such as "46 lb/1000 gal", in SI
// units.
func (d *Draws) Read(i int, text string) (float64, error) {
	if d.paths[i] == SludgeVolume {
		v, err := units.ParseVolume(text)
		return float64(v), err
	}
	at, err := newFinder(*d.p.s).find(d.paths[i])
	if err != nil {
		return 0, err
	}
	return at.read(text)
}

// Worker returns what works out one draw after the other: values are those of the paths,
// in their order and in SI units. Each goroutine has to have its own. A value that no
// plan can have is a fault of its path.
func (d *Draws) Worker(ctx context.Context) func(values []float64) (Outcome, error) {
	in := newFinder(*d.p.s)
	places := make([]place, len(d.paths))
	for i, path := range d.paths {
		if path != SludgeVolume {
			places[i], _ = in.find(path) // which With has found
		}
	}
	return func(values []float64) (Outcome, error) {
		var f units.Faults
		if len(values) != len(d.paths) {
			f.Count("values", len(values), "values", "%v, one for each path", len(d.paths))
			return Outcome{}, f.Err()
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
			return Outcome{}, err
		}
		return d.outcome(ctx, in.s, volume)
	}
}

// outcome works out what the changed figures of s have to do with; sludge is the volume
// in place of that of the scenario, NaN for none.
func (d *Draws) outcome(ctx context.Context, s *Scenario, sludge float64) (o Outcome, err error) {
	in := *d.p.in
	if d.contents {
		if in.contents, err = contents(ctx, s); err != nil {
			return o, err
		}
	}
	if !math.IsNaN(sludge) {
		if err := in.contents.hold(units.Volume(sludge)); err != nil {
			return o, err
		}
	}
	if d.sampled {
		if in.sampled, err = sampled(s, meansOnly); err != nil {
			return o, err
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
			return o, err
		}
	}
	if d.land {
		if in.fields, err = d.fields(s); err != nil {
			return o, err
		}
	} else if d.prices {
		in.fields = in.fields.WithPrices(s.Land.Prices)
	}
	all := &d.p.base.Routes
	if d.routes {
		in.start = d.p.in.start
		again, err := routes(ctx, s, &in, false)
		if err != nil {
			return o, err
		}
		all = &again
	}
	r := Results{Closing: d.p.base.Closing, Cover: d.p.base.Cover}
	if d.closing {
		if r.Closing, _, err = closed(s, &in.contents, nil, d.p.base.Pit); err != nil {
			return o, err
		}
	}
	if d.cover {
		if r.Cover, err = vegetation(s, in.lib, sown(outcome(r.Closing))); err != nil {
			return o, err
		}
	}
	b, err := bill(s, &in.contents, all, outcome(r.Closing), &r.Cover)
	if err != nil {
		return o, err
	}
	o.count(all.taken(), &b, outcome(r.Closing))
	return o, ctx.Err()
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
