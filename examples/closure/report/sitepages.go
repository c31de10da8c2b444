package report

import (
	"fmt"
	"time"

	"example.org/earthbasin/units"
)

func (p *pages) pageEmptying() Step {
	step := Step{
		Name:     "Drawing the liquid off, with the weather",
		Intro:    "Nothing is drawn off first: all of it is agitated and goes out as slurry.",
		Cautions: p.r.Emptying.Cautions,
	}
	if pump := p.PumpOff(); pump != nil {
		step.Intro = "Rain falls on the whole area inside the top of the bank while the pump runs; what it adds is spread too, and the allocation to the fields counts it. " +
			"Pump and hours a day are those of the removal, with the time to move the hose."
		step.Blocks = []Block{{Caption: "Water balance of the draw-down, from " + time.Time(p.Task("draw").Start).Format("2 January 2006"), Working: p.r.Emptying.Working()}}
	}
	return step
}

func (p *pages) pagePipes() Step {
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

func (p *pages) pageEarth() Step {
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

func (p *pages) pageCover() Step {
	c := &p.r.Cover
	rules := &Table{Head: []string{"Rule", "Plan", "Wanted", "Verdict"}, Left: 4}
	for _, f := range c.Findings {
		rules.Rows = append(rules.Rows, []string{f.Rule, f.Value.String(), f.Want.String(), f.Verdict.String()})
	}
	loss := &Table{Head: []string{"Month", "Rain energy", "Bare", "Covered", "Lost by waiting", "Of it over the edge"}, Left: 1}
	for _, m := range c.SoilLoss.Months {
		edge := "not known"
		if m.DelaySediment != nil {
			edge = m.DelaySediment.Text(units.Ton, 1)
		}
		loss.Rows = append(loss.Rows, []string{m.Month.String(), fmt.Sprintf("%.0f %%", 100*m.ShareR), m.Bare.Text(units.TonPerAcre, 2), m.Covered.Text(units.TonPerAcre, 2), m.DelayMass.Text(units.Ton, 1), edge})
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

func (p *pages) pageCosts() Step {
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

func (p *pages) pageOrder() Step {
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

func (p *pages) pageEvidence() Step {
	var keep []string
	keep = append(keep,
		"Notice of closure and the regulator's answer; this plan with its scenario file.",
		fmt.Sprintf("Survey: %d soundings with positions, liquid level and the interval on the volume.", p.Survey.N()),
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
