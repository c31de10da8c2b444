package plan

import (
	"context"
	"slices"
	"strings"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
)

// Prepared is a scenario made ready to be worked out many times with other figures: its
// tables, its basin, its survey and its fields are read and worked out once. It does not
// change and is safe for concurrent use.
type Prepared struct {
	s    *Scenario
	in   *inputs
	base *Results
}

// Prepare plans a scenario and keeps what stays the same. Faults are those of [New].
func Prepare(ctx context.Context, s Scenario) (*Prepared, error) {
	in, err := prepare(ctx, &s)
	if err == nil {
		var r *Results
		if r, err = finish(ctx, &s, in); err == nil {
			p := &Prepared{s: &s, in: in, base: r}
			p.keepSchedules()
			return p, nil
		}
	}
	if ctx.Err() != nil {
		return nil, context.Cause(ctx)
	}
	return nil, once(err)
}

// keepSchedules asks the states once how much of the N of each material counts.
func (p *Prepared) keepSchedules() {
	_, q, err := p.question(p.s, p.in)
	if err != nil || q == nil {
		return // the plan has worked it out, so that it does not come to an error
	}
	p.in.schedules = map[string][]*nutrient.Schedule{}
	for _, c := range q.counts {
		i := slices.IndexFunc(p.s.Materials, func(m Material) bool { return m.Name == c.Material })
		known := p.in.schedules[c.Material]
		if known == nil {
			known = make([]*nutrient.Schedule, 1+len(p.s.Materials[i].Ways))
		}
		if known[c.Way+1], err = p.in.lib.states[i].Schedule(c.Available.Query); err == nil {
			p.in.schedules[c.Material] = known
		}
	}
}

// question asks where what leaves the basin on the route that the plan takes goes, and
// what the works of closing bring, with other inputs; nil where there is nothing to ask.
func (p *Prepared) question(s *Scenario, in *inputs) (Spread, *asked, error) {
	if p.base.Taken() == nil {
		return Spread{}, nil, nil
	}
	_, list, err := p.route(s, in)
	if err != nil {
		return Spread{}, nil, err
	}
	return question(s, in, append(list, s.worksStreams(&in.sampled, outcome(p.base.Closing), p.base.pitWater())...))
}

// route is the route that the plan takes, up to the streams that leave the basin, with
// other inputs.
func (p *Prepared) route(s *Scenario, in *inputs) (RouteResult, []Stream, error) {
	best := in.removal.Best()
	i := slices.IndexFunc(best.Routes, func(x removal.RouteResult) bool { return x.Route == p.base.Routes.Taken })
	return emptied(s, in, &best.Routes[i])
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
		d.days = d.days || path == "weather.mostDays"
		d.routes = d.routes || first == "materials" || first == "weather" || first == "metals" || first == "machines"
		if strings.HasPrefix(path, "weather.days[") && p.s.Land != nil { // it rains on the fields, too
			d.land, d.days = true, true
		}
		d.closing = d.closing || first == "closing" || first == "basin"
		d.cover = d.cover || first == "cover"
	}
	d.removal = d.removal || d.contents || d.sampled
	d.routes = d.routes || d.removal || d.land || d.prices
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
