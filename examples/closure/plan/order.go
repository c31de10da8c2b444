package plan

import (
	"fmt"
	"math"
	"time"

	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
)

// daysBefore is the days worked before the pump starts: one to shut off and mark,
// one to calibrate.
const daysBefore = 2

// order sets the steps one after the other, on days that are worked.
func (p *planner) order() {
	if p.faults.Err() != nil {
		return // its own faults are found without it
	}
	w := &p.r.Works
	day := p.workday(time.Time(p.s.Start))
	add := func(key, name, after string, days int) {
		p.r.WorkOrder = append(p.r.WorkOrder, Task{Key: key, Name: name, Start: Date(day), Days: days, After: after})
		day = p.after(day, days)
	}
	add("ready", "Shut off and divert all inflow; mark buried lines, edges and setbacks", "regulator has agreed to this plan; contract for payments signed", 1)
	add("calibrate", "Calibrate every machine at its planned setting", "gas monitors, lifelines and a second person at hand", 1)
	if pumped := p.r.Emptying.Days; len(pumped) > 0 {
		worked := 0
		for _, d := range pumped {
			if d.Pumped > 0 {
				worked++
			}
		}
		add("draw", "Draw off the liquid and spread it", "calibration accepted; no rain in sight; setbacks flagged; sample sent", worked)
		day = p.workday(p.r.Emptying.EmptyOn.AddDate(0, 0, 1))
	}
	for _, s := range p.Route.Stages {
		if s.Kind != removal.StagePumpOff && s.Days > 0 {
			add("remove", title(s.Name), "people and animals upwind and away; monitors on", s.Days)
		}
	}
	add("pipes", "Plug pipes and take out pumps and ports", "engineer's word on lines under the embankment", 1)
	add("inspect", "Regulator inspects the empty basin; soil samples below the floor", "basin scraped clean", 1)
	add("dig", "Dig out the soil below the sludge (option A)", "inspection signed; regulator's decision between A and B", p.earthDays(w.Liner.Volume))
	add("fill", "Strip topsoil, take down the berm, fill the basin, shape the crown", "laboratory results of the floor; erosion controls in place", p.earthDays(w.Balance.Fill.Bank))
	add("topsoil", "Return topsoil, lime and fertilizer", "grade checked with a level", p.earthDays(w.Topsoil.Needed))
	if p.planting(day); p.r.Cover.Planting.Next.Wait > 14 {
		add("nurse", "Sow the nurse crop as temporary cover", "the window for the mix is far off", 1)
	}
	day = p.workday(p.r.Cover.Planting.Next.Start)
	add("seed", "Drill seed and mulch ("+p.r.Cover.Planting.Next.Window.Name+" window)", "firm seedbed; seed tags kept", p.s.Cover.SeedDays)
	add("hand over", "Survey of the finished grade, photographs, final inspection", "mulch anchored", 1)
	p.soilLoss(time.Time(p.Task("fill").Start))
}

// Task is the line of the work order with a key, without a name when there is none.
func (p *Plan) Task(key string) Task {
	for _, t := range p.Results.WorkOrder {
		if t.Key == key {
			return t
		}
	}
	return Task{}
}

// days is what the work order allows for a task.
func (p *planner) days(key string) string {
	if n := p.Task(key).Days; n != 1 {
		return fmt.Sprintf("%d days", n)
	}
	return "1 day"
}

// earthDays is the days that the machines need, at least one.
func (p *planner) earthDays(v units.Volume) int {
	return max(1, int(math.Ceil(v.OverFlow(p.s.Works.EarthRate).In(units.Day))))
}

// after is the day on which work goes on after n days worked from day on.
func (p *planner) after(day time.Time, n int) time.Time {
	for range n {
		day = p.workday(day.AddDate(0, 0, 1))
	}
	return day
}

// workday is day, or the first day after it that is no day of rest.
func (p *planner) workday(day time.Time) time.Time {
	for range 7 {
		rest := false
		for _, d := range p.s.Emptying.RestDays {
			rest = rest || time.Weekday(d) == day.Weekday()
		}
		if !rest {
			break
		}
		day = day.AddDate(0, 0, 1)
	}
	return day
}
