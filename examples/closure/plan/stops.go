package plan

import (
	"cmp"
	"slices"
	"strings"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/examples/closure/calendar"
	"example.org/earthbasin/examples/closure/closing"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// Stop is a time in which no work goes on on ground that lies open.
type Stop struct {
	Key    string       `json:"key"`           // of the ground
	What   units.Phrase `json:"what"`          // the ground
	Area   units.Area   `json:"area,omitzero"` // 0 where nobody knows it
	After  string       `json:"after"`         // key of the task that leaves it
	Before string       `json:"before"`        // key of the one that goes on there, or covers it
	From   stage.Date   `json:"from"`          // first day without work
	To     stage.Date   `json:"to"`            // last one
	Days   int          `json:"days"`          // without work
	// Covered says that a temporary cover is planned, since the ground would lie bare longer
	// than it may.
	Covered bool `json:"covered,omitempty"`
}

// usualBare is for how many days ground may lie bare where no rule is told: what permits
// usually ask for (common practice, no source).
const usualBare = 14

// leastStop is the days without work that are a stop; fewer are days of rest and rain.
const leastStop = 4

// mostBare is for how many days ground may lie bare on which no work goes on.
func (s *Scenario) mostBare() int {
	if s.Evidence == nil {
		return usualBare
	}
	return cmp.Or(s.Evidence.Figures.BareDays, usualBare)
}

// workedDay is a day on which a task is worked at.
type workedDay struct {
	day  stage.Date
	task string
}

// stops are the times without work on the ground that a closing lays open, up to its cover;
// that inside the open pit sheds no soil and has none.
func (s *Scenario) stops(o *closing.Outcome, c *calendar.Result) (list []Stop) {
	if o == nil || c == nil {
		return nil
	}
	for _, g := range o.Grounds {
		tasks := slices.Clone(g.Tasks)
		switch {
		case g.Inside:
			continue
		case g.Key == "stockpile": // put back
		case on(c, temporaryCover).Start.IsZero():
			tasks = append(tasks, "cover.seed")
		default:
			tasks = append(tasks, temporaryCover)
		}
		if g.Key == "stockpile" && g.Area == 0 {
			g.Area = s.stockpiled()
		}
		var worked []workedDay
		for _, key := range tasks {
			row, _ := c.Row(key)
			for _, w := range row.Worked {
				worked = append(worked, workedDay{w.Day, key})
			}
		}
		slices.SortStableFunc(worked, func(a, b workedDay) int { return cmp.Compare(0, a.day.Until(b.day)) })
		for i := 1; i < len(worked); i++ {
			a, b := worked[i-1], worked[i]
			if days := a.day.Until(b.day) - 1; days >= min(leastStop, s.mostBare()+1) {
				list = append(list, Stop{Key: g.Key, What: g.What, Area: g.Area, After: a.task, Before: b.task, From: a.day.Plus(1), To: b.day.Plus(-1), Days: days})
			}
		}
	}
	return list
}

// stockpiled is the area of the heaps that the layout shows, 0 for none.
func (s *Scenario) stockpiled() (area units.Area) {
	if s.Layout == nil {
		return 0
	}
	for _, p := range s.Layout.Places {
		if p.Closed && p.Kind == "stockpile" {
			area += plane.Polygon(p.Points).Area()
		}
	}
	return area
}

// tooLong adds to long the stops that last longer than ground may lie bare before work goes
// on there: the first after each task. What is bare from the last earthwork on has its own cover.
func (s *Scenario) tooLong(list, long []Stop) []Stop {
	for _, x := range list {
		if x.Days > s.mostBare() && !strings.HasPrefix(x.Before, "cover.") && !covers(long, &x) {
			long = append(long, x)
		}
	}
	return long
}

// covers is whether one of the stops has the cover of another.
func covers(list []Stop, x *Stop) bool {
	return slices.ContainsFunc(list, func(y Stop) bool { return y.cover() == x.cover() })
}

// cover is the key of the temporary cover of a stop.
func (x *Stop) cover() string {
	return coverOfStop + x.Key + "." + strings.TrimPrefix(x.After, "closing.")
}

const coverOfStop = "temporary."

// coveredStops are the stops whose covers are among the steps that are done.
func (s *Scenario) coveredStops() (list []Stop) {
	for _, x := range s.Done.Steps {
		if rest, ok := strings.CutPrefix(x.Key, coverOfStop); ok {
			ground, task, _ := strings.Cut(rest, ".")
			list = append(list, Stop{Key: ground, After: "closing." + task})
		}
	}
	return list
}

// stopTasks are the covers of stops. Where a task pauses its cover waits for the day.
func (s *Scenario) stopTasks(o *closing.Outcome, c *calendar.Result, long []Stop) (list []stage.Task) {
	if o == nil {
		return nil
	}
	for _, x := range long {
		i := slices.IndexFunc(o.Grounds, func(g closing.Ground) bool { return g.Key == x.Key && slices.Contains(g.Tasks, x.After) })
		if i < 0 {
			continue
		}
		need := stage.Need{Key: x.After, Within: s.mostBare()}
		if x.Before == x.After {
			need.FromStart = true
			need.Least = on(c, x.After).Start.Until(x.From)
			need.Likely = need.Least
			need.Within += need.Least
		}
		list = append(list, stage.Task{Key: x.cover(), Kind: stage.TemporaryCover, Name: units.Words("cover the %v, nurse crop or mulch, until work goes on there", o.Grounds[i].What), Work: s.hours(), Crew: "seeding",
			Needs: []stage.Need{need}, Fit: stage.DryDay})
	}
	return list
}

// judged marks the stops that are covered, adds the bill of their covers, and leaves open
// those that nothing covers.
func (r *CoverResult) judged(s *Scenario, list, long []Stop) {
	r.Stops = list
	for i := range r.Stops {
		x := &r.Stops[i]
		x.Covered = x.Days > s.mostBare() && covers(long, x)
		if x.Days <= s.mostBare() || x.Covered {
			continue
		}
		r.Open = append(r.Open, stage.Open{Key: "cover.bare." + x.Key, Who: stage.Contractor,
			What:  units.Words("what covers the %v: no work goes on there on %v days from %v on, and ground may lie bare for %v", x.What, x.Days, x.From, s.mostBare()),
			Needs: units.Words("seed or mulch within that time, or the next work sooner")})
	}
}

// stopItems are the rows of the bill for the covers of stops: the nurse crop sown alone,
// else mulch.
func (m *Money) stopItems(c *Cover, list []Stop) (items []stage.Item) {
	for _, x := range list {
		if !x.Covered {
			continue
		}
		item := stage.Item{Key: x.cover(), What: units.Line{Item: units.Words("temporary cover of the %v", x.What), How: units.Words("%v days without work from %v on", x.Days, x.From)}}
		if x.Area > 0 {
			item.What.Value = units.As(x.Area, units.Acre, 2)
			item.Cost = m.temporary(c, x.Area)
		}
		items = append(items, item)
	}
	return items
}

// temporary is what it costs to cover an area for a time; nil where no price was told.
func (m *Money) temporary(c *Cover, area units.Area) *stage.Cost {
	work := priced(m.SeedingWork, area)
	switch {
	case c == nil:
	case c.Nurse != nil && c.Nurse.Price > 0:
		spec := *c.Nurse
		spec.Share, spec.MostShare, spec.Area = 1, 1, area // sown alone
		if r, err := cover.Nurse(spec); err == nil {
			return stage.Sure(r.Cost).Plus(work)
		}
	case c.Mulch != nil && m.Mulch != nil:
		return priced(m.Mulch, c.Mulch.Rate.Times(area)).Plus(work)
	}
	return nil
}
