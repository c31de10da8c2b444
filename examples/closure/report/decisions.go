package report

import (
	"fmt"
	"time"

	"example.org/earthbasin/units"
)

// pageDecisions lists each decision of the plan with the figure it rests on and
// what would change it.
func (p *pages) pageDecisions() Step {
	t := &Table{Head: []string{"Decision", "Rests on", "Another figure would change it"}, Left: 3}
	add := func(decision, rests, change string) { t.Rows = append(t.Rows, []string{decision, rests, change}) }
	r, w := p.r, &p.r.Works
	v := r.Sludge.Volume
	add("Sludge to plan for: "+gallons(v.Volume), fmt.Sprintf("%d soundings over the floor as built; %.0f %% of the variance is how the sludge meets the banks", v.Counts.Soundings, 100*v.BanksShare),
		fmt.Sprintf("at %.0f %% confidence it may be %s to %s; volume, loads and phosphorus go with it", 100*v.Confidence, gallons(v.Interval.Low), gallons(v.Interval.High)))
	add("Route: "+r.Route.String(), p.whyRoute(), "solids after agitation, what stays behind, prices of the machines")
	for _, f := range r.Fields {
		add("Slurry on "+f.Name+": at most "+f.Sludge.Rate.String(), "limit that binds: "+label(f.Sludge.Limits[0]), "")
	}
	t.Rows[len(t.Rows)-1][2] = "on all fields: soil test, yield, credits, distance to water, a fresh sample"
	change := "crops, soil tests"
	if r.OneYear != nil {
		change = fmt.Sprintf("were phosphorus held to the removal of one year on all of it, %s would be needed", r.OneYear.Area.Text(units.Acre, 0))
	}
	add("Land: where it goes", p.placed(), change)
	if r.Emptying.Empty {
		add("Agitation starts "+time.Time(p.Task("remove").Start).Format("2 January 2006"), fmt.Sprintf("%d days of pumping and weather for %s", len(r.Emptying.Days), gallons(p.DrawnOff()+r.Emptying.Extra)), "rain, breakdowns, wet fields")
	}
	add("Soil brought in: "+w.Balance.Import.Loose.Text(units.CubicYard, 0)+" loose", fmt.Sprintf("the berm gives %s of the %s that basin and crown take, compacted", w.Balance.Cut.Compacted.Text(units.CubicYard, 0), w.Balance.Fill.Compacted.Text(units.CubicYard, 0)),
		"option B below the sludge, a lower crown, shrinkage as measured")
	add(fmt.Sprintf("Crown built at %.1f %%", 100*p.s.Works.Crown.Grade), fmt.Sprintf("settlement leaves %.1f %% where it is least; wanted %.1f %%", 100*min(w.Settled.GradeOverBank, w.Settled.GradeOverBase), 100*p.s.Works.LeastGrade), "compaction of the fill")
	next := r.Cover.Planting.Next
	add("Seed from "+next.Start.Format("2 January 2006"), fmt.Sprintf("ground ready, %s window, %d days of waiting", next.Window.Name, next.Wait), fmt.Sprintf("a year of bare ground loses %s", r.Cover.SoilLoss.BareMass.Text(units.Ton, 0)))
	return Step{
		Name:    "What each decision rests on",
		OwnPage: true,
		Blocks:  []Block{{Caption: "Decisions", Table: t}},
	}
}
