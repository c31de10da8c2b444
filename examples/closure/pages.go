package main

import (
	"fmt"
	"time"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
)

// Who has to confirm what this plan assumes.
const (
	regulator  = "State regulator"
	laboratory = "Laboratory"
	engineer   = "Licensed engineer"
	planning   = "Certified nutrient planner"
)

// document lays the results out in the order of the work.
func (p *planner) document() *Plan {
	d := &Plan{Title: p.s.Title, Site: p.s.Site, Date: time.Time(p.s.Date).Format("2 January 2006"), Results: p.r}
	v, r := p.r.Sludge.Volume, p.r
	d.Decision = []string{
		fmt.Sprintf("The basin holds %s of liquid over %s of sludge; the sludge lies between %s and %s at %.0f %% confidence.",
			gallons(r.Basin.Liquid), gallons(v.Volume), gallons(v.Interval.Low), gallons(v.Interval.High), 100*v.Confidence),
		fmt.Sprintf("Take it out by this route: %s. %s", r.Route, p.whyRoute()),
		p.placed(),
		fmt.Sprintf("Work order: %s to %s. Cost %s, payments %s, net %s.", p.day(0), p.day(len(r.WorkOrder)-1),
			p.cash(r.Cover.Payment.Spec.Cost), p.cash(r.Cover.Payment.Payment), p.cash(r.Cover.Payment.Net)),
		"This plan is arithmetic on the figures of the scenario. It does not say that anything is safe or allowed: local codes, the regulator and licensed practice decide.",
	}
	d.Steps = []Step{
		p.pageBasin(), p.pageSludge(), p.pageMaterials(), p.pageRemoval(), p.pageFields(), p.pageAllocation(), p.pageMachines(),
		p.pageEmptying(), p.pagePipes(), p.pageEarth(), p.pageCover(), p.pageDecisions(), p.pageCosts(), p.pageOrder(), p.pageEvidence(),
	}
	return d
}

func (p *planner) whyRoute() string {
	best := p.r.Removal.Best()
	if len(best.Routes) < 2 {
		return "No other was asked for."
	}
	a, b := best.Routes[0], best.Routes[1]
	s := fmt.Sprintf("With the haul in it, %s comes to %s and %s to %s", a.Route, p.cash(a.Cost), b.Route, p.cash(b.Cost))
	switch {
	case p.r.Removal.Cheapest == 0:
		return s + "."
	case p.r.Removal.CheapestHolds:
		return s + "; the order is the same at the low and the high end of the sludge volume."
	}
	return s + "; the interval on the sludge volume does not settle which is cheaper."
}

func (p *planner) placed() string {
	a := p.r.Allocated
	if a.Shortage == nil {
		s := fmt.Sprintf("The fields take all of it within every limit, for %s of hauling and spreading and %s worth of nutrients that crops need.", p.cash(a.Cost), p.cash(a.Credit))
		switch high := p.r.AllocatedHigh; {
		case high == nil:
		case high.Shortage == nil:
			s += " They also take the high end of the sludge volume."
		default:
			s += " They do NOT take the high end of the sludge volume."
		}
		return s
	}
	s := "The fields do NOT take all of it. Left over:"
	for _, m := range a.Materials {
		if m.Left.SI() > 0 {
			s += fmt.Sprintf(" %s of %s;", m.Left, m.Name)
		}
	}
	return s + " see the allocation for what is missing."
}

func (p *planner) pageBasin() Step {
	b, slopes := p.s.Basin, p.basin.Slopes()
	t := &Table{Head: []string{"Over the floor", "Area", "Volume below", "Volume below"}}
	for _, s := range p.r.Basin.Stages {
		t.Rows = append(t.Rows, []string{s.Height.Text(units.Foot, 1), s.Area.Text(units.SquareFoot, 0), s.Volume.Text(units.CubicFoot, 0), gallons(s.Volume)})
	}
	return Step{
		Name: "What the basin is",
		Intro: fmt.Sprintf("%s by %s measured at the %s, %s deep, the banks at %g, %g, %g and %g horizontal per vertical. Every later volume rests on this solid; the layers are drawn as if the sludge lay level.",
			feet(b.Length), feet(b.Width), b.At, b.Depth.Text(units.Foot, 1), slopes[0], slopes[1], slopes[2], slopes[3]),
		Blocks: []Block{
			{Caption: "Layers, from the top of the bank down", Working: p.r.Basin.Layers.Working()},
			{Caption: "Stage and storage", Table: t},
			{Caption: "Stage-storage curve", Picture: p.stagePicture()},
		},
		Confirm: []Confirm{{engineer, "as-built dimensions of banks and floor, and whether the embankment counts as a dam."}},
	}
}

func (p *planner) pageSludge() Step {
	r := &p.r.Sludge
	t := &Table{Head: []string{"Sounding", "East", "North", "To sludge", "To floor", "Thickness"}, Left: 1}
	for _, s := range p.survey.Readings() {
		t.Rows = append(t.Rows, []string{s.Name, feet(s.At.X), feet(s.At.Y), s.ToSludge.Text(units.Foot, 2), s.ToFloor.Text(units.Foot, 2), s.Thickness.Text(units.Foot, 2)})
	}
	step := Step{
		Name:  "How much sludge, and how sure",
		Intro: "Soundings give the depth to the top of the sludge and to the hard floor. The volume comes with an interval, because cost and land both hang on it.",
		Cautions: []string{
			"Sound from a boat or a plank only with two people, life jackets and a line ashore; a crust does not carry. Gas can come up when the sludge is disturbed.",
		},
		Blocks: []Block{
			{Caption: "Soundings", Table: t},
			{Caption: "Sludge volume with its interval", Working: r.Volume.Working()},
		},
		Confirm: []Confirm{{regulator, "whether this number and layout of soundings is accepted."}},
	}
	if r.Volume.Fit != nil {
		step.Blocks = append(step.Blocks, Block{Caption: "Variogram and its model, on which the interval rests", Working: r.Volume.Fit.Working()})
	}
	if k := r.Volume.Kriged; k != nil && k.Validation != nil {
		step.Blocks = append(step.Blocks, Block{Caption: "Each sounding predicted from the others", Working: k.Validation.Working()})
	}
	step.Blocks = append(step.Blocks, Block{Caption: "The same volume by triangles between the soundings", Working: r.TIN.Working()})
	if len(r.Next.Places) > 0 {
		t := &Table{Head: []string{"Place", "East", "North", "Standard deviation of the mean then"}, Left: 1}
		for i, n := range r.Next.Places {
			t.Rows = append(t.Rows, []string{fmt.Sprint(i + 1), feet(n.At.X), feet(n.At.Y), n.SD.Text(units.Foot, 3)})
		}
		step.Blocks = append(step.Blocks, Block{Caption: fmt.Sprintf("Where to sound next (now %s)", r.Next.SD.Text(units.Foot, 3)), Table: t})
	}
	step.Blocks = append(step.Blocks, Block{Caption: "Sludge thickness", Picture: p.sludgePicture()})
	return step
}

func (p *planner) pageMaterials() Step {
	e, s := &p.r.Effluent, &p.r.Slurry
	stock := &Table{Head: []string{"In the basin", "Amount", "Total N", "Available N, first year", "P2O5", "K2O"}, Left: 1}
	for _, m := range []struct {
		name string
		r    *MaterialResults
	}{{"effluent drawn off, with the rain", e}, {"sludge with the liquid mixed in", s}} {
		stock.Rows = append(stock.Rows, []string{m.name, m.r.Stock.String(), pounds(m.r.Holds["total N"]), pounds(m.r.Holds[ofN]), pounds(m.r.Holds[ofP2O5]), pounds(m.r.Holds[ofK2O])})
	}
	step := Step{
		Name:  "What it holds as fertilizer",
		Intro: "Means of the laboratory samples. Where liquid is agitated with the sludge, both count by volume. Available nitrogen at its high end sets the rates, at its low end the worth.",
		Blocks: []Block{
			{Caption: "Effluent, as sampled", Working: e.Samples.Working()},
			{Caption: "Effluent: what becomes available", Working: e.Available.Working(), Notes: e.Available.Notes},
			{Caption: "Sludge, as sampled", Working: p.r.Sampled.Working()},
			{Caption: "Slurry: sludge and the liquid agitated with it, by volume", Working: s.Samples.Analysis.Working()},
			{Caption: "Slurry: what becomes available", Working: s.Available.Working(), Notes: s.Available.Notes},
			{Caption: "Stock", Table: stock},
			{Caption: "Worth of the slurry on " + p.r.Fields[0].Name, Working: s.Worth.Working()},
		},
		Confirm: []Confirm{
			{laboratory, "that the reports are per volume as received, N as N, P and K as oxides; a fresh sample while pumping replaces these figures."},
			{planning, fmt.Sprintf("that the coefficients of %s hold here.", e.Available.Source.Title)},
		},
	}
	if e.Worth != nil {
		step.Blocks = append(step.Blocks, Block{Caption: "Worth of the effluent on the first field that its pipe reaches", Working: e.Worth.Working()})
	}
	if len(s.Metals.Metals) > 0 {
		step.Blocks = append(step.Blocks, Block{Caption: "Copper and zinc in the slurry against the rule", Working: s.Metals.Working()})
	}
	return step
}

func (p *planner) pageRemoval() Step {
	t := &Table{Head: []string{"Sludge", "Route", "Moved", "Loads", "Hours", "Days", "Cost"}, Left: 2}
	for _, c := range p.r.Removal.Cases {
		for _, r := range c.Routes {
			t.Rows = append(t.Rows, []string{c.Name + ", " + gallons(c.Sludge), r.Route.String(), gallons(r.Moved), fmt.Sprint(r.Loads), r.Hours.Text(units.Hour, 0), fmt.Sprint(r.Days), p.cash(r.Cost)})
		}
	}
	step := Step{
		Name:     "How to get it out",
		Intro:    p.whyRoute() + " The plan goes on with: " + p.r.Route.String() + ".",
		Cautions: p.r.Removal.Cautions,
		Blocks: []Block{
			{Caption: "The routes at the low, best and high sludge volume, haul included", Table: t},
			{Caption: "Stages at the best volume", Working: p.r.Removal.Working(), Notes: p.route.Notes},
		},
		Confirm: []Confirm{{engineer, "that the banks carry the machines, and what has to be left standing until the basin is filled."}},
	}
	return step
}

func (p *planner) pageEmptying() Step {
	step := Step{
		Name:     "Drawing the liquid off, with the weather",
		Intro:    "Nothing is drawn off first: all of it is agitated and goes out as slurry.",
		Cautions: p.r.Emptying.Cautions,
	}
	if pump := p.pumpOff(); pump != nil {
		step.Intro = "Rain falls on the whole area inside the top of the bank while the pump runs; what it adds is spread too, and the allocation to the fields counts it. " +
			"Pump and hours a day are those of the removal, with the time to move the hose."
		step.Blocks = []Block{{Caption: "Water balance of the draw-down, from " + time.Time(p.task("draw").Start).Format("2 January 2006"), Working: p.r.Emptying.Working()}}
	}
	return step
}

func (p *planner) pageFields() Step {
	room := &Table{Head: []string{"Field", "Crop", "Spreadable", "N room", "P rule", "P2O5 room"}, Left: 2}
	rates := &Table{Head: []string{"Field", "Material", "Set by", "Next limit", "Rate", "Next would allow"}, Left: 4}
	for _, f := range p.r.Fields {
		p2o5 := "not limited"
		if f.P2O5 != nil {
			p2o5 = perAcre(*f.P2O5)
		}
		room.Rows = append(room.Rows, []string{f.Name, f.Crop.Crop + " " + f.Crop.Yield.String(), f.Area.Text(units.Acre, 1), perAcre(f.Nitrogen.Room), f.SiteLimit.Allow.String(), p2o5})
		if f.Effluent != nil {
			rates.Rows = append(rates.Rows, rateRow(f.Name, "effluent", *f.Effluent))
		}
		rates.Rows = append(rates.Rows, rateRow(f.Name, "slurry", f.Sludge))
	}
	step := Step{
		Name:     "What each field may take",
		Intro:    "The rate is the least of the limits of nitrogen, phosphorus, metals, water and the machine. " + p.s.Land.SetbackNote,
		Cautions: []string{"Keep liquid and sludge off water, wells, sinkholes and neighbours by the distances of the local code, off frozen, flooded or saturated ground, and stop when anything runs off."},
		Blocks: []Block{
			{Caption: "Room of the fields", Table: room},
			{Caption: "Rates and the limits that set them", Table: rates},
			{Caption: "First field in full: " + p.r.Fields[0].Name, Working: p.r.Fields[0].Sludge.Working()},
		},
		Confirm: []Confirm{
			{planning, "soil tests, yields, credits and the phosphorus rule of each field."},
			{regulator, "setbacks, and whether several years of phosphorus may be brought at once."},
		},
	}
	return step
}

func rateRow(field, material string, r nutrient.RateResult) []string {
	row := []string{field, material, label(r.Limits[0]), "none", r.Rate.String(), ""}
	for _, l := range r.Limits[1:] {
		if !l.Free {
			row[3], row[5] = label(l), l.Allows.String()
			break
		}
	}
	return row
}

func label(l nutrient.LimitState) string {
	if l.Name != "" {
		return l.Name
	}
	return l.Kind.String()
}

func (p *planner) pageAllocation() Step {
	a := p.r.Allocated
	t := &Table{Head: []string{"Season", "Field", "Material", "Amount", "Loads", "Rate", "Least acres", "Cost"}, Left: 3}
	for _, x := range a.Placements {
		loads := "pumped"
		if x.Loads > 0 {
			loads = fmt.Sprint(x.Loads)
		}
		t.Rows = append(t.Rows, []string{x.Season, x.Field, x.Material, x.Amount.String(), loads, x.Rate.String(), x.Least.Text(units.Acre, 1), p.cash(x.Cost)})
	}
	budget := &Table{Head: []string{"Field", "P2O5 brought", "crops take off", "balance", "soil test, ppm", "no more manure"}, Left: 1}
	for _, f := range p.r.Fields {
		last := f.Budget.Seasons[len(f.Budget.Seasons)-1]
		var sum, off units.MassPerArea
		rest := "-"
		for _, y := range f.Budget.Seasons {
			sum += y.AppliedP2O5
			off += y.RemovedP2O5.Mid()
			if y.RestsUntil > 0 {
				rest = fmt.Sprintf("after %d", y.RestsUntil)
			}
		}
		if sum == 0 {
			continue
		}
		soil := "-"
		if last.SoilP != nil {
			soil = fmt.Sprintf("%.0f", last.SoilP.Mid())
		}
		budget.Rows = append(budget.Rows, []string{f.Name, perAcre(sum), perAcre(off), perAcre(last.BalanceP2O5.Mid()), soil, rest})
	}
	var breaches []string
	for _, f := range p.r.Fields {
		for _, b := range f.Budget.Breaches {
			breaches = append(breaches, fmt.Sprintf("%s, %d: %s is %s, wanted %s.", f.Name, b.Season, b.Rule, b.Is, b.Want))
		}
	}
	notes := append([]string{"No fertilizer is counted, and the soil test is moved by what is brought less what crops take off. Fields that get little are drawn down and will need fertilizer before the end."}, breaches...)
	years := p.r.Fields[0].Budget.Seasons
	step := Step{
		Name:  "Where it goes at least cost",
		Intro: p.placed(),
		Blocks: []Block{
			{Caption: "Placements", Table: t, Notes: p.placementNotes()},
			{Caption: "Plan and limits", Working: a.Working()},
			{Caption: fmt.Sprintf("Phosphorus budget to the end of %d", years[len(years)-1].Season), Table: budget, Notes: notes},
			{Caption: "Land for all of it, were phosphorus held to removal everywhere, at " + p.r.Fields[0].Crop.Crop + " like " + p.r.Fields[0].Name, Working: p.r.LandBase.Working()},
		},
	}
	if p.r.OneYear != nil {
		step.Blocks = append(step.Blocks, Block{Caption: "The same with the phosphorus of one year only", Working: p.r.OneYear.Working()})
	}
	step.Blocks = append(step.Blocks, Block{Caption: "Nutrients against crop need", Picture: p.nutrientPicture()})
	return step
}

// placementNotes says how the placements are meant.
func (p *planner) placementNotes() []string {
	notes := []string{"The rate is that over the whole field. Where it is lower than a machine can spread, cover a part of the field, but not less than the least acres, on which the limits of the field bind."}
	for _, s := range p.route.Stages {
		if s.Kind == sludge.StageDig && s.Haul != nil {
			notes = append(notes, fmt.Sprintf("Of the sludge, %s is dug and goes out in %d loads of the box spreader, in place of tank loads; have it sampled by itself, since it is thicker.", gallons(s.Material.Volume)+" in place", s.Haul.Loads))
		}
	}
	return notes
}

func (p *planner) pageMachines() Step {
	m := &p.r.Machines
	t := &Table{Head: []string{"Field", "Material", "Machine", "Rate", "Speed", "gives"}, Left: 3}
	for _, s := range m.Settings {
		speed := s.Speed.New.Text(units.MilePerHour, 2)
		if s.Speed.Limited {
			speed += " (its limit)"
		}
		t.Rows = append(t.Rows, []string{s.Field, s.Material, s.Machine, s.Rate.Trade(), speed, s.Speed.Rate.Trade()})
	}
	return Step{
		Name:  "Do the machines put that rate on the ground",
		Intro: "Hose, gun and tank spreader are judged against the highest rate that this plan puts on a field, the box spreader against that of the scenario for dug sludge. A machine whose verdict is to correct runs at the new speed and is measured again before it spreads.",
		Blocks: []Block{
			{Caption: "Box spreader for dug sludge: ground sheets", Working: m.Sheets.Working()},
			{Caption: "Box spreader: correction", Working: m.SheetsCorrect.Working()},
			{Caption: "Tank spreader for slurry: loads over measured strips", Working: m.Loads.Working()},
			{Caption: "Tank spreader: correction", Working: m.LoadsCorrect.Working()},
			{Caption: "Drag hose for effluent: timed flow and course", Working: m.Hose.Working()},
			{Caption: "Drag hose: correction", Working: m.HoseCorrect.Working()},
			{Caption: "Travelling gun for effluent: rain gauges", Working: m.Gauges.Working()},
			{Caption: "Travelling gun: correction", Working: m.GaugesCorrect.Working()},
			{Caption: "Speed for each placement", Table: t, Notes: []string{"By the calibrations above, the flow kept. A rate that a machine cannot reach within its speeds is marked; cover a part of the field then."}},
		},
		Cautions: union(m.Sheets.Cautions, m.Gauges.Cautions),
	}
}

func (p *planner) pagePipes() Step {
	step := Step{
		Name:    "Seal the pipes",
		Intro:   "No inflow may remain. Every line into the basin is pulled, or plugged at both ends.",
		Confirm: []Confirm{{regulator, "which lines are pulled and which may be plugged; photographs of each plug."}, {engineer, "every line that runs under the embankment or a road."}},
	}
	for i, r := range p.r.Works.Plugs {
		step.Blocks = append(step.Blocks, Block{Caption: p.s.Works.Plugs[i].Name, Working: r.Working()})
		step.Cautions = union(step.Cautions, r.Cautions)
	}
	return step
}

func (p *planner) pageEarth() Step {
	w := &p.r.Works
	var crown []string
	if !w.Settled.ShedsWater {
		crown = []string{fmt.Sprintf("As planned the settled crown does NOT shed water everywhere: build it at %.1f %% or compact the fill more.", 100*w.Settled.GradeNeeded)}
	}
	return Step{
		Name:     "Take the berm down, fill, crown and grade",
		Intro:    "Nothing is filled or graded before the regulator has inspected the empty basin and has decided between options A and B. The crown is built higher by the settlement allowance so that it still sheds water afterwards.",
		Cautions: union(w.Liner.Cautions, w.Drain.Cautions, w.Berm.Cautions, w.Balance.Cautions, w.Settled.Cautions),
		Blocks: []Block{
			{Caption: "Soil below the sludge: option A, dig out over the whole interior (this plan)", Working: w.Liner.Working()},
			{Caption: "Soil below the sludge: option B, leave the liner and pierce it for drainage", Working: w.Drain.Working(), Notes: []string{
				fmt.Sprintf("Option A digs %s and fills it again, option B digs %s: a closed liner that is left whole holds water under the fill.", w.Liner.Volume.Text(units.CubicYard, 0), w.Drain.Volume.Text(units.CubicYard, 0)),
				"Soil dug from below the sludge holds nutrients: it goes on fields within their limits, or where the regulator says, not into the fill."}},
			{Caption: "Berm", Working: w.Berm.Working()},
			{Caption: "Crown", Working: w.Crown.Working()},
			{Caption: "Crown after settlement", Working: w.Settled.Working(), Notes: crown},
			{Caption: "Cut and fill", Working: w.Balance.Working()},
			{Caption: "Topsoil", Working: w.Topsoil.Working()},
			{Caption: "Section across the basin", Picture: p.sectionPicture()},
			{Caption: "Plan of the final grade", Picture: p.gradePicture()},
		},
		Confirm: []Confirm{
			{regulator, "inspection before grading; option A or B; soil and groundwater tests and their limits."},
			{engineer, "lowering of the embankment, compaction of the fill, slope stability, outlet of the surface water."},
		},
	}
}

func (p *planner) pageCover() Step {
	c := &p.r.Cover
	rules := &Table{Head: []string{"Rule", "Plan", "Wanted", "Verdict"}, Left: 4}
	for _, f := range c.Findings {
		rules.Rows = append(rules.Rows, []string{f.Rule, f.Value, f.Want, f.Verdict.String()})
	}
	loss := &Table{Head: []string{"Month", "Rain energy", "Bare", "Covered", "Lost by waiting", "Of it over the edge"}, Left: 1}
	for _, m := range c.SoilLoss.Months {
		loss.Rows = append(loss.Rows, []string{m.Month.String(), fmt.Sprintf("%.0f %%", 100*m.ShareR), m.Bare.Text(units.TonPerAcre, 2), m.Covered.Text(units.TonPerAcre, 2), m.DelayMass.Text(units.Ton, 1), m.DelaySediment.Text(units.Ton, 1)})
	}
	return Step{
		Name:     "Lime, fertilize, seed and mulch",
		Intro:    "Permanent vegetation closes the work. The seed order is in live seed first and in bulk second.",
		Cautions: union(c.Mix.Cautions, c.Lime.Cautions, c.Fertilizer.Cautions, c.Mulch.Cautions, c.SoilLoss.Cautions),
		Blocks: []Block{
			{Caption: "Seed order", Working: c.Mix.Working()},
			{Caption: "The mix against the rules", Table: rules},
			{Caption: "Nurse crop, at once as temporary cover where the window is far", Working: c.Nurse.Working()},
			{Caption: "Lime need", Working: c.LimeNeed.Working()},
			{Caption: "Lime", Working: c.Lime.Working()},
			{Caption: "Fertilizer", Working: c.Fertilizer.Working()},
			{Caption: "Mulch", Working: c.Mulch.Working()},
			{Caption: "Planting window", Working: c.Planting.Working()},
			{Caption: "Soil loss, bare against covered", Working: c.SoilLoss.Working()},
			{Caption: "Soil loss by month of delay", Table: loss},
			{Caption: "Soil loss by month, bare and covered", Picture: p.lossPicture()},
		},
		Confirm: []Confirm{{laboratory, "soil pH, buffer pH, phosphorus and potassium of the returned topsoil."}},
	}
}

func (p *planner) pageCosts() Step {
	t := &Table{Head: []string{"Item", "Quantity", "Time", "Cost"}, Left: 1}
	for _, c := range p.r.Costs {
		t.Rows = append(t.Rows, []string{c.Item, c.Quantity, c.Hours, p.cash(c.Amount)})
	}
	pay := p.r.Cover.Payment
	t.Rows = append(t.Rows,
		[]string{"All together", "", "", p.cash(pay.Spec.Cost)},
		[]string{"Less payments", "", "", "-" + p.cash(pay.Payment)},
		[]string{"Net", "", "", p.cash(pay.Net)})
	var notes []string
	if extra := p.r.Emptying.Extra; extra > 0 {
		notes = append(notes, fmt.Sprintf("The pump also takes %s of rain; it is in the hauling and spreading and in the days of the work order.", gallons(extra)))
	}
	return Step{
		Name:    "Quantities, hours and cost",
		OwnPage: true,
		Intro:   "Unit prices are those of the scenario; bids replace them. Hauling to the fields is that of the allocation, not of the comparison of routes.",
		Blocks: []Block{
			{Caption: "Quantities and cost", Table: t, Notes: notes},
			{Caption: "Cost-share payments", Working: pay.Working()},
		},
		Cautions: pay.Cautions,
	}
}

func (p *planner) pageOrder() Step {
	t := &Table{Head: []string{"Start", "Step", "Only after", "Days"}, Left: 3}
	for _, w := range p.r.WorkOrder {
		t.Rows = append(t.Rows, []string{time.Time(w.Start).Format("Mon 2 Jan 2006"), w.Name, w.After, fmt.Sprint(w.Days)})
	}
	first := ""
	if p.r.Allocated.Shortage != nil {
		first = "NOTHING STARTS before there is a place for what the fields do not take. "
	}
	return Step{
		Name:    "Work order",
		OwnPage: true,
		Intro:   first + "Days are days worked. Weather moves everything after it. The fence, its gate and its signs stay until the basin is filled; the stand is judged after its first season.",
		Blocks:  []Block{{Caption: "Steps and days", Table: t}},
	}
}

func (p *planner) pageEvidence() Step {
	var keep []string
	keep = append(keep,
		"Notice of closure and the regulator's answer; this plan with its scenario file.",
		fmt.Sprintf("Survey: %d soundings with positions, liquid level and the interval on the volume.", p.survey.N()),
		"Laboratory reports of effluent and sludge before and during pumping, with chain of custody.",
		"Calibration records of each machine, with date, setting and result.",
		"Spreading records: day, field, material, loads or meter readings, rate, weather, setbacks kept.",
		"Photographs and measurements of every plug and of the scraped floor; soil tests below the floor.",
		"The inspection that released the grading; truck tickets of soil brought in.",
		"Levels of the finished grade; seed tags, lime and fertilizer tickets, date of seeding; cover after the first season.",
	)
	return Step{
		Name:    "Evidence the regulator asks for",
		OwnPage: true,
		Blocks:  []Block{{Caption: "Keep and hand over", Notes: keep}},
		Confirm: []Confirm{{regulator, "the list itself, and how long records are kept."}},
	}
}

func (p *planner) day(i int) string {
	return time.Time(p.r.WorkOrder[i].Start).Format("2 January 2006")
}

func (p *planner) cash(x float64) string { return p.s.Money.Currency + group(fmt.Sprintf("%.0f", x)) }

func gallons(v units.Volume) string      { return v.Text(units.Gallon, 0) }
func feet(l units.Length) string         { return l.Text(units.Foot, 0) }
func pounds(m units.Mass) string         { return m.Text(units.Pound, 0) }
func perAcre(r units.MassPerArea) string { return r.Text(units.PoundPerAcre, 0) }

// union joins lists of cautions and says each once.
func union(lists ...[]string) []string {
	var out []string
	seen := map[string]bool{}
	for _, l := range lists {
		for _, s := range l {
			if !seen[s] {
				seen[s] = true
				out = append(out, s)
			}
		}
	}
	return out
}
