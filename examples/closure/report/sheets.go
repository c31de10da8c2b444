package report

import (
	"slices"
	"strconv"

	"example.org/earthbasin/examples/closure/land"
	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/nutrient/allocation"
	"example.org/earthbasin/units"
)

// sheets are the pages that people carry, one page each.
func (p *pages) sheets() []Page {
	list := chosen(p.account, p.workOrder, p.dangers, p.permits, p.siteSheet)
	if r := p.r.Fields; r != nil {
		for i := range r.Fields {
			list = append(list, chosen(func() (Page, bool) { return p.fieldSheet(&r.Fields[i], i) })...)
		}
	}
	for i := range p.r.Machines.Machines {
		if x := &p.r.Machines.Machines[i]; p.works(x.Name) {
			list = append(list, chosen(func() (Page, bool) { return p.machineSheet(x, i) })...)
		}
	}
	return onSheets(append(list, chosen(p.recordSheet, p.soundingSheet, p.gradeSheet, p.earthDangers, p.earthSheet, p.liftSheet, p.seedSheet, p.soilSheet, p.evidence)...))
}

// blankRow is a row to be filled in by hand.
func blankRow(n int) []string { return slices.Repeat([]string{Blank}, n) }

// fieldSheet is what a crew does on one field.
func (p *pages) fieldSheet(f *land.FieldResult, i int) (Page, bool) {
	a := p.ahead()
	if a == nil {
		return Page{}, false
	}
	t := &Table{Head: []string{"Material", "Season", "Machine", "Rate", "Speed", "Gear", "Amount", "Loads", "On at least"}, Left: 3}
	for _, x := range a.Placements {
		if x.Field != f.Name {
			continue
		}
		machine, speed := p.setting(&x)
		t.Rows = append(t.Rows, []string{x.Material, x.Season, machine, p.Text(x.Rate), speed, Blank, p.Text(x.Amount), p.loads(&x), p.leastArea(&x)})
	}
	page := Page{
		Key: "field-" + strconv.Itoa(i+1), Name: "Field: " + f.Name, Alone: true,
		Cautions: []string{
			gas,
			"Keep off the setbacks and off any water, well, tile inlet and sinkhole. Stop when anything ponds, runs or comes out of a tile.",
		},
	}
	grown := ""
	for _, y := range f.Years {
		grown += p.say(", for %s in %v", y.Crop.Crop, units.Word(strconv.Itoa(y.Year)))
	}
	page.Intro = []string{p.say("%v may be spread on%s.", p.areas(f.Area), grown)}
	page.Blocks = append(page.Blocks, Block{Caption: "What goes on", Table: t})
	if c := p.fieldMap(f, i); c != nil {
		page.Blocks = append(page.Blocks, Block{Caption: c.Title, Picture: c})
	}
	if days := p.fitDays(f.Name); len(days) > 0 {
		page.Blocks = append(page.Blocks, Block{Caption: "Days that are fit", Notes: days})
	}
	day := &Table{Head: []string{"Day", "Material", "Loads or meter", "Area done", "Wind, sky, soil", "By"}, Left: 6}
	for range 4 {
		day.Rows = append(day.Rows, blankRow(6))
	}
	page.Blocks = append(page.Blocks, Block{Caption: "Write down, every day", Table: day})
	return page, len(t.Rows) > 0
}

// ahead is what still goes out: from the day of the account on the rest, else all.
func (p *pages) ahead() *allocation.AllocateResult {
	if p.r.Account != nil {
		if p.r.Rest == nil {
			return nil
		}
		return p.r.Rest.Allocated
	}
	return p.allocated()
}

// loads is how many loads a placement is, and how it gets to the field without.
func (p *pages) loads(x *allocation.Placement) string {
	if x.Loads > 0 {
		return p.Text(x.Loads)
	}
	machine, _ := p.setting(x)
	for _, m := range p.r.Machines.Machines {
		if m.Name == machine && (m.Kind == plan.Box || m.Kind == plan.Tanker) {
			return "count them"
		}
	}
	return "pumped"
}

// works says whether a machine puts something on the land; every one may where the plan
// does not say what goes where.
func (p *pages) works(machine string) bool {
	a := p.ahead()
	return a == nil || slices.ContainsFunc(a.Placements, func(x allocation.Placement) bool {
		name, _ := p.setting(&x)
		return name == machine
	})
}

// setting is the machine of a placement and the speed at which it is to go.
func (p *pages) setting(x *allocation.Placement) (machine, speed string) {
	for _, s := range p.r.Machines.Settings {
		if s.Field != x.Field || s.Season != x.Season || s.Material != x.Material {
			continue
		}
		limited := false
		switch {
		case s.Liquid != nil:
			speed, limited = p.speed(s.Liquid.New), s.Liquid.Limited
		case s.Solid != nil:
			speed, limited = p.speed(s.Solid.New), s.Solid.Limited
		default:
			speed = "calibrate first"
		}
		if limited {
			speed += " (its limit)"
		}
		if s.Passes > 1 {
			speed += p.say(", %v passes", s.Passes)
		}
		return s.Machine, speed
	}
	for _, m := range p.s.Materials {
		if m.Name == x.Material {
			return m.Machine, "calibrate first"
		}
	}
	return "", "calibrate first"
}

// recordSheet is the daily record of the whole site.
func (p *pages) recordSheet() (Page, bool) {
	t := &Table{Head: []string{"Day", "Field", "Material", "Machine", "Loads or meter", "Rate", "Weather and soil", "Setbacks kept", "By"}, Left: 9}
	for range 8 {
		t.Rows = append(t.Rows, blankRow(9))
	}
	return Page{Key: "record", Name: "Daily spreading record", Alone: true,
		Blocks: []Block{{Caption: "A line for each field, material and day", Table: t, Notes: []string{
			"Look at the tile outlets and the lower edge of the field before, during and after, and write it down.",
			"A rate above the plan is told to the planner on the same day."}, Sign: []string{"Foreman"}}}}, p.allocated() != nil
}

// soundingSheet is blank lines for soundings, with the places to sound next.
func (p *pages) soundingSheet() (Page, bool) {
	t := &Table{Head: []string{"Place", "East", "North", "To sludge", "To hard floor", "Remark"}, Left: 1}
	if v := p.r.Contents.Sludge; v != nil {
		for i, n := range v.Next {
			t.Rows = append(t.Rows, []string{p.say("next %v", i+1), p.lengths(n.At.X, 0), p.lengths(n.At.Y, 0), Blank, Blank,
				p.say("half of the interval then %v", about(p.figures, liquid, n.HalfWidth, nil))})
		}
	}
	for range 6 {
		t.Rows = append(t.Rows, blankRow(6))
	}
	return Page{Key: "sounding", Name: "Sounding sheet", Alone: true,
		Cautions: []string{"Drowning and gas: two people with life jackets in a stable boat, a line to a third on the bank, in moving air, never while the basin is agitated or pumped. A crust does not carry. Nobody enters the basin."},
		Intro:    []string{"Lower a flat disc until it rests on the sludge and read; push a rod to the hard floor and read. Depths are from the liquid surface. Write the level of the surface at the start and at the end."},
		Blocks:   []Block{{Caption: "Readings", Table: t, Notes: []string{"Level of the surface at the start ________ and at the end ________, read against ________________"}, Sign: []string{"Sounded by"}}}}, true
}

// fitDays tells how many days of each season are fit.
func (p *pages) fitDays(field string) []string {
	var list []string
	for i := range p.r.Fields.Windows {
		if w := &p.r.Fields.Windows[i]; w.Field == field && len(w.Days) > 0 {
			list = append(list, p.say("%v: %v of %v days from %v on.", w.Season, w.FitDays(), len(w.Days), p.date(w.From)))
		}
	}
	return list
}
