package report

import (
	"fmt"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
)

func (p *pages) pageFields() Step {
	room := &Table{Head: []string{"Field", "Crop", "Spreadable", "N room", "P rule", "P2O5 room"}, Left: 2}
	rates := &Table{Head: []string{"Field", "Material", "Set by", "Next limit", "Rate", "Next would allow"}, Left: 4}
	first := p.r.Fields[p.FirstTaker()]
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
			{Caption: "First field in full: " + first.Name, Working: first.Sludge.Working()},
		},
		Confirm: []Confirm{
			{planning, "soil tests, yields, credits and the phosphorus rule of each field."},
			{regulator, "setbacks, and whether several years of phosphorus may be brought at once."},
		},
	}
	return step
}

func rateRow(field, material string, r nutrient.FieldRateResult) []string {
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

func (p *pages) pageAllocation() Step {
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
		for _, b := range f.Budget.Violations {
			breaches = append(breaches, fmt.Sprintf("%s, %d: %s is %s, wanted %s.", f.Name, b.Season, b.Rule, b.Got, b.Want))
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
		},
	}
	if first := p.r.Fields[p.FirstTaker()]; first.Sludge.Rate.SI() > 0 {
		step.Blocks = append(step.Blocks, Block{Caption: "Land for all of it, were phosphorus held to removal everywhere, at " + first.Crop.Crop + " like " + first.Name, Working: p.r.LandBase.Working()})
	}
	if p.r.OneYear != nil {
		step.Blocks = append(step.Blocks, Block{Caption: "The same with the phosphorus of one year only", Working: p.r.OneYear.Working()})
	}
	step.Blocks = append(step.Blocks, Block{Caption: "Nutrients against crop need", Picture: p.nutrientPicture()})
	return step
}

// placementNotes says how the placements are meant.
func (p *pages) placementNotes() []string {
	notes := []string{"The rate is that over the whole field. Where it is lower than a machine can spread, cover a part of the field, but not less than the least acres, on which the limits of the field bind."}
	for _, s := range p.Route.Stages {
		if s.Kind == removal.StageDig && s.Haul != nil {
			notes = append(notes, fmt.Sprintf("Of the sludge, %s is dug and goes out in %d loads of the box spreader, in place of tank loads; have it sampled by itself, since it is thicker.", gallons(s.Material.Volume)+" in place", s.Haul.Loads))
		}
	}
	return notes
}

func (p *pages) pageMachines() Step {
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
		Intro: "Hose, gun and tank spreader are judged against the highest rate that this plan puts on a field, the box spreader against that of the scenario for dug sludge. A machine whose verdict is to adjust runs at the new speed and is measured again before it spreads.",
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
