package report

import (
	"fmt"

	"example.org/earthbasin/units"
)

func (p *pages) pageFields() (Step, bool) {
	r := p.r.Fields
	if r == nil || len(r.Fields) == 0 {
		return Step{}, false
	}
	room := &Table{Head: []string{"Field", "Crop year", "Crop", "Spreadable", "N room", "P rule", "P2O5 room"}, Left: 3}
	for _, f := range r.Fields {
		if f.Out != nil {
			room.Rows = append(room.Rows, []string{f.Name, "", "not planned", f.Area.Text(units.Acre, 1), "", "", ""})
			continue
		}
		for _, y := range f.Years {
			rule, p2o5 := "none", "not limited"
			if ph := y.Phosphorus; ph != nil {
				rule = ph.Limit.Allow.String()
				if ph.Limited {
					p2o5 = perAcre(ph.Room)
				}
			}
			room.Rows = append(room.Rows, []string{f.Name, fmt.Sprint(y.Year), y.Crop.Crop + " " + y.Crop.Yield.String(), f.Area.Text(units.Acre, 1), perAcre(y.Nitrogen.Room), rule, p2o5})
		}
	}
	step := Step{
		Name:     "What each field may take",
		Intro:    "The rate is the least of the limits of nitrogen, phosphorus, metals, water and the machine. " + p.s.Land.SetbackNote,
		Cautions: []string{"Keep liquid and sludge off water, wells, sinkholes and neighbours by the distances of the local code, off frozen, flooded or saturated ground, and stop when anything runs off."},
		Blocks:   []Block{{Caption: "Room of the fields", Table: room}, {Caption: "Areas, rooms and days that are fit", Working: r.Working(), Notes: texts(r.Notes)}},
		Confirm: []Confirm{
			{planning, "soil tests, yields, credits and the phosphorus rule of each field."},
			{regulator, "setbacks, and whether several years of phosphorus may be brought at once."},
		},
	}
	return step, true
}

func (p *pages) pageAllocation() (Step, bool) {
	if p.route == nil || p.route.Spread.Allocated == nil {
		return Step{}, false
	}
	a := p.route.Spread.Allocated
	t := &Table{Head: []string{"Season", "Field", "Material", "Amount", "Loads", "Rate", "Least acres", "Cost"}, Left: 3}
	for _, x := range a.Placements {
		loads := "pumped"
		if x.Loads > 0 {
			loads = fmt.Sprint(x.Loads)
		}
		t.Rows = append(t.Rows, []string{x.Season, x.Field, x.Material, x.Amount.String(), loads, x.Rate.String(), x.Least.Text(units.Acre, 1), p.cash(x.Cost)})
	}
	step := Step{
		Name:  "Where it goes at least cost",
		Intro: p.placed(),
		Blocks: []Block{
			{Caption: "Placements", Table: t, Notes: []string{"The rate is that over the whole field. Where it is lower than a machine can spread, cover a part of the field, but not less than the least acres, on which the limits of the field bind."}},
			{Caption: "Plan and limits", Working: a.Working()},
		},
	}
	if b, ok := p.budgets(); ok {
		step.Blocks = append(step.Blocks, b)
	}
	if l := p.r.LandBase; l != nil {
		step.Blocks = append(step.Blocks, Block{Caption: "Land for all of it, were phosphorus held to removal everywhere, at the crop of " + l.Field, Working: l.All.Working()})
		step.Blocks = append(step.Blocks, working("The same with the phosphorus of one year only", l.OneYear)...)
	}
	step.Blocks = append(step.Blocks, Block{Caption: "Nutrients against crop need", Picture: p.nutrientPicture()})
	return step, true
}

// budgets is the phosphorus of the fields over the years.
func (p *pages) budgets() (Block, bool) {
	if len(p.r.Budgets) == 0 {
		return Block{}, false
	}
	t := &Table{Head: []string{"Field", "P2O5 brought", "crops take off", "balance", "soil test, ppm", "no more manure"}, Left: 1}
	notes := []string{"No fertilizer is counted, and the soil test is moved by what is brought less what crops take off. Fields that get little are drawn down and will need fertilizer before the end."}
	end := 0
	for _, f := range p.r.Budgets {
		last := f.Budget.Seasons[len(f.Budget.Seasons)-1]
		end = max(end, last.Season)
		var sum, off units.MassPerArea
		rest, soil := "-", "-"
		for _, y := range f.Budget.Seasons {
			sum += y.AppliedP2O5
			off += y.RemovedP2O5.Mid()
			if y.RestsUntil > 0 {
				rest = fmt.Sprintf("after %d", y.RestsUntil)
			}
		}
		if last.SoilP != nil {
			soil = fmt.Sprintf("%.0f", last.SoilP.Mid())
		}
		t.Rows = append(t.Rows, []string{f.Field, perAcre(sum), perAcre(off), perAcre(last.BalanceP2O5.Mid()), soil, rest})
		for _, b := range f.Budget.Violations {
			notes = append(notes, fmt.Sprintf("%s, %d: %s is %s, wanted %s.", f.Field, b.Season, b.Rule, b.Got, b.Want))
		}
	}
	return Block{Caption: fmt.Sprintf("Phosphorus budget to the end of %d", end), Table: t, Notes: notes}, true
}

func (p *pages) pageMachines() (Step, bool) {
	m := &p.r.Machines
	t := &Table{Head: []string{"Field", "Material", "Machine", "Rate", "Speed"}, Left: 3}
	for _, s := range m.Settings {
		speed, limited := units.Speed(0), false
		if s.Liquid != nil {
			speed, limited = s.Liquid.New, s.Liquid.Limited
		} else if s.Solid != nil {
			speed, limited = s.Solid.New, s.Solid.Limited
		}
		text := speed.Text(units.MilePerHour, 2)
		if limited {
			text += " (its limit)"
		}
		t.Rows = append(t.Rows, []string{s.Field, s.Material, s.Machine, s.Rate.String(), text})
	}
	step := Step{
		Name:     "Do the machines put that rate on the ground",
		Intro:    "Each machine is judged against the highest rate that this plan asks of it. A machine whose verdict is to adjust runs at the new speed and is measured again before it spreads.",
		Cautions: m.Cautions,
	}
	for i := range m.Machines {
		x := &m.Machines[i]
		name := title(x.Name)
		step.Blocks = append(step.Blocks, working(name+": rain gauges", x.Gauges)...)
		step.Blocks = append(step.Blocks, working(name+": sprinklers", x.SolidSet)...)
		step.Blocks = append(step.Blocks, working(name+": timed flow and course", x.Course)...)
		step.Blocks = append(step.Blocks, working(name+": loads over measured strips", x.Loads)...)
		step.Blocks = append(step.Blocks, working(name+": ground sheets", x.Sheets)...)
		step.Blocks = append(step.Blocks, working(name+": weighed loads", x.Weighed)...)
		step.Blocks = append(step.Blocks, working(name+": correction", x.Liquid)...)
		step.Blocks = append(step.Blocks, working(name+": correction", x.Solid)...)
	}
	if len(t.Rows) > 0 {
		step.Blocks = append(step.Blocks, Block{Caption: "Speed for each placement", Table: t, Notes: []string{"By the calibrations above, the flow kept. A rate that a machine cannot reach within its speeds is marked; cover a part of the field then."}})
	}
	return step, len(step.Blocks) > 0
}
