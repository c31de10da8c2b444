package report

import (
	"slices"
	"strconv"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient/allocation"
	"example.org/earthbasin/units"
)

// Who has to confirm what this plan assumes.
const (
	regulator  = "State regulator"
	laboratory = "Laboratory"
	engineer   = "Licensed engineer"
	planning   = "Certified nutrient planner"
)

// annex is every working, in the order of the work.
func (p *pages) annex() []Page {
	list := []func() (Page, bool){p.allOpen, p.basin, p.sludge, p.materials, p.removal, p.drawdown, p.fields, p.allocation, p.budgets, p.machines, p.closing, p.cover, p.bill}
	if p.doubt != nil {
		list = append(list, p.costs, p.drivers, p.safe)
	}
	return chosen(list...)
}

func (p *pages) basin() (Page, bool) {
	c := &p.r.Contents
	t := &Table{Head: []string{"Over the floor", "Area", "Volume below"}}
	for _, s := range c.StagesIn(p.System) {
		t.Rows = append(t.Rows, []string{p.lengths(s.Height, p.stageDecimals()), p.Text(s.Area), p.liquids(s.Volume)})
	}
	page := Page{
		Key: "basin", Name: "What the basin is",
		Intro:   []string{p.say("The basin is %v deep. Every later volume rests on this solid; the layers are drawn as if the sludge lay level.", p.lengths(c.Depth, 1))},
		Confirm: []Confirm{{engineer, "as-built dimensions of banks and floor, and whether the embankment counts as a dam."}},
	}
	page.Blocks = append(page.Blocks, working(p, "Layers, from the top of the bank down", c.Layers)...)
	page.Blocks = append(page.Blocks, Block{Caption: "Stage and storage", Table: t}, Block{Caption: "Stage-storage curve", Picture: p.stagePicture()})
	return page, true
}

func (p *pages) sludge() (Page, bool) {
	r := p.r.Contents.Sludge
	if r == nil {
		return Page{}, false
	}
	page := Page{
		Key: "sludge", Name: "How much sludge, and how sure",
		Intro:    []string{p.say("The figure rests on %v. It comes with an interval where one is known, because cost and land both hang on it.", r.From)},
		Cautions: p.r.Contents.Cautions,
		Confirm:  []Confirm{{regulator, "whether this number and layout of soundings is accepted."}},
	}
	if r.Survey == nil {
		return page, true
	}
	t := &Table{Head: []string{"Sounding", "East", "North", "To sludge", "To floor", "Thickness"}, Left: 1}
	for i, s := range r.Survey.Readings() {
		if i == mostReadings {
			break
		}
		t.Rows = append(t.Rows, []string{s.Name, p.lengths(s.At.X, 0), p.lengths(s.At.Y, 0), p.lengths(s.ToSludge, 2), p.lengths(s.ToFloor, 2), p.lengths(s.Thickness, 2)})
	}
	readings := Block{Caption: "Soundings", Table: t}
	if n := r.Survey.N(); n > mostReadings {
		readings.Notes = []string{p.say("The first %v of %v; the scenario has all.", mostReadings, n)}
	}
	page.Blocks = append(page.Blocks, Block{Caption: "Sludge thickness", Picture: p.sludgePicture()}, readings)
	page.Blocks = append(page.Blocks, working(p, "Sludge volume with its interval", r.Estimate)...)
	page.Blocks = append(page.Blocks, working(p, "The same volume by triangles between the soundings, cut at the floor", r.TIN)...)
	return page, true
}

// mostReadings is how many soundings a table lists.
const mostReadings = 100

func (p *pages) materials() (Page, bool) {
	s := &p.r.Sampled
	page := Page{
		Key: "materials", Name: "What it holds as fertilizer",
		Intro:   []string{"Means of the laboratory samples, followed through the emptying so that as much comes out as goes in. Available nitrogen at its high end sets the rates."},
		Confirm: []Confirm{{laboratory, "that the reports are per volume as received, N as N, P and K as oxides; a fresh sample while pumping replaces these figures."}},
	}
	page.Blocks = append(page.Blocks, working(p, "Liquid, as sampled", s.Effluent)...)
	page.Blocks = append(page.Blocks, working(p, "Sludge, as sampled", s.Sludge)...)
	if p.route == nil {
		return page, len(page.Blocks) > 0
	}
	stock := &Table{Head: []string{"Material", "Amount", "Solids", "Total N", "Available N, first year", "P2O5", "K2O"}, Left: 1}
	for i := range p.route.Spread.Materials {
		m := &p.route.Spread.Materials[i]
		stock.Rows = append(stock.Rows, []string{m.Name, p.Text(m.Stock), p.percent(float64(m.Stream.Slurry.Solids), 1), p.masses(m.Holds["total N"]),
			p.masses(m.Holds[plan.OfN]), p.masses(m.Holds[plan.OfP2O5]), p.masses(m.Holds[plan.OfK2O])})
		page.Blocks = append(page.Blocks, working(p, title(m.Name)+", as it goes out", &m.Analysis)...)
		page.Blocks = append(page.Blocks, working(p, title(m.Name)+": what becomes available", m.Available)...)
		page.Blocks = append(page.Blocks, working(p, title(m.Name)+": metals against the rule", m.Metals)...)
	}
	page.Blocks = append([]Block{{Caption: "Stock", Table: stock}}, page.Blocks...)
	return page, true
}

func (p *pages) removal() (Page, bool) {
	if p.r.Routes.Library == nil {
		return Page{}, false
	}
	t := &Table{Head: []string{"Route", "Removal", "Haul and spread", "What is left over", "Less worth", "Net", "Days", "Verdict"}, Left: 1}
	var out []string
	for _, r := range p.r.Routes.Routes {
		verdict := "can be done"
		switch {
		case len(r.Out) > 0:
			verdict = "out"
		case r.Route == p.r.Routes.Taken && p.r.Routes.Asked && r.Route != p.r.Routes.Cheapest:
			verdict = "taken, as asked"
		case r.Route == p.r.Routes.Taken:
			verdict = "taken"
		}
		for _, why := range p.phrases(r.Out) {
			out = append(out, title(r.Route.String())+" is out: "+why)
		}
		c := r.Cost
		t.Rows = append(t.Rows, []string{r.Route.String(), p.cash(c.Removal), p.cash(c.Spread), p.cash(c.Leaving), p.cash(-c.Worth), p.cash(c.Net), p.Text(r.Days), verdict})
	}
	page := Page{
		Key: "removal", Name: "How to get it out",
		Intro:    []string{sentence(p.brief().Phrase(p.r.Routes.Why()))},
		Cautions: p.r.Routes.Library.Cautions,
		Confirm:  []Confirm{{engineer, "that the banks carry the machines, and what has to be left standing until the basin is filled."}},
	}
	if p.route != nil {
		for _, note := range p.phrases(p.route.Removal.Notes) {
			out = append(out, p.say("To doubt or mend: %v", note))
		}
	}
	page.Blocks = append(page.Blocks, Block{Caption: "The routes, each taken to the fields", Table: t, Notes: out})
	page.Blocks = append(page.Blocks, working(p, "Stages at the best volume", p.r.Routes.Library)...)
	return page, true
}

func (p *pages) drawdown() (Page, bool) {
	if p.route == nil || p.route.Drawdown == nil {
		return Page{}, false
	}
	d := p.route.Drawdown
	return Page{
		Key: "drawdown", Name: "Drawing the liquid off, with the weather", Cautions: d.Cautions,
		Intro:  []string{"Rain falls on the whole area inside the top of the bank while the pump runs; what it adds is spread too, and the allocation to the fields counts it. Pump and hours a day are those of the removal, with the time to move the hose."},
		Blocks: working(p, p.say("Water balance of the draw-down, from %v", d.Days[0].Date), d),
	}, len(d.Days) > 0
}

func (p *pages) fields() (Page, bool) {
	r := p.r.Fields
	if r == nil || len(r.Fields) == 0 {
		return Page{}, false
	}
	room := &Table{Head: []string{"Field", "Crop year", "Crop", "Spreadable", "N room", "P rule", "P2O5 room"}, Left: 3}
	for _, f := range r.Fields {
		if f.Out != nil {
			room.Rows = append(room.Rows, []string{f.Name, "", "not planned: " + p.Phrase(*f.Out), p.areas(f.Area), "", "", ""})
			continue
		}
		for _, y := range f.Years {
			rule, p2o5 := "none", "not limited"
			if ph := y.Phosphorus; ph != nil {
				rule = ph.Limit.Allow.String()
				if ph.Limited {
					p2o5 = p.perArea(ph.Room)
				}
			}
			room.Rows = append(room.Rows, []string{f.Name, strconv.Itoa(y.Year), y.Crop.Crop + " " + p.Text(y.Crop.Yield), p.areas(f.Area), p.perArea(y.Nitrogen.Room), rule, p2o5})
		}
	}
	page := Page{
		Key: "fields", Name: "What each field may take",
		Cautions: []string{"Keep liquid and sludge off water, wells, sinkholes and neighbours by the distances of the local code, off frozen, flooded or saturated ground, and stop when anything runs off."},
		Blocks:   []Block{{Caption: "Room of the fields", Table: room}},
		Intro:    []string{"The rate is the least of the limits of nitrogen, phosphorus, metals, water and the machine."},
		Confirm: []Confirm{
			{planning, "soil tests, yields, credits and the phosphorus rule of each field."},
			{regulator, "setbacks, and whether several years of phosphorus may be brought at once."},
		},
	}
	if note := p.s.Land.SetbackNote; note != "" {
		page.Intro = append(page.Intro, note)
	}
	days := working(p, "Areas, rooms and days that are fit", &r)
	days[0].Notes = p.phrases(r.Notes)
	page.Blocks = append(page.Blocks, days...)
	return page, true
}

// leastArea is the ground that a placement needs, and from which others it is separate.
func (p *pages) leastArea(x *allocation.Placement) string {
	text := p.areas(x.Least)
	for i, n := range x.Apart {
		link := ", "
		if i == 0 {
			link = " on separate ground from "
		}
		text += link + n.Material
		if n.Season != x.Season {
			text += " in " + n.Season
		}
	}
	return text
}

func (p *pages) allocation() (Page, bool) {
	a := p.allocated()
	if a == nil {
		return Page{}, false
	}
	t := &Table{Head: []string{"Field", "Season", "Material", "Amount", "Loads", "Rate", "Least area", "Cost"}, Left: 3}
	for _, x := range a.Placements {
		t.Rows = append(t.Rows, []string{x.Field, x.Season, x.Material, p.Text(x.Amount), p.loads(&x), p.Text(x.Rate), p.leastArea(&x), p.cash(x.Cost)})
	}
	need, figures := p.nutrientPicture()
	page := Page{
		Key: "allocation", Name: "Where it goes at least cost", Intro: []string{p.placed()},
		Blocks: []Block{
			{Caption: "Placements", Table: t, Notes: []string{"The rate is that over the whole field. Where it is lower than a machine can spread, cover a part of the field, but not less than the least area: on less ground a limit of the field would be broken, what else goes on the field counted. Materials on separate ground share none of it, unless one of the two is over the whole field."}},
			{Caption: need.Title, Picture: need, Shows: figures},
		},
	}
	page.Blocks = append(page.Blocks, working(p, "Plan and limits", a)...)
	if l := p.r.LandBase; l != nil {
		page.Blocks = append(page.Blocks, working(p, "Land for all of it, were phosphorus held to removal everywhere, at the crop of "+l.Field, &l.All)...)
		page.Blocks = append(page.Blocks, working(p, "The same with the phosphorus of one year only", l.OneYear)...)
	}
	return page, true
}

// budgets is the phosphorus of the fields over the years.
func (p *pages) budgets() (Page, bool) {
	t := &Table{Head: []string{"Field", "P2O5 brought", "Crops take off", "Balance", "Soil test, ppm", "No more manure"}, Left: 1}
	notes := []string{"No fertilizer is counted, and the soil test is moved by what is brought less what crops take off. Fields that get little are drawn down and will need fertilizer before the end."}
	end := 0
	for _, f := range p.r.Budgets {
		last := f.Budget.Seasons[len(f.Budget.Seasons)-1]
		end = max(end, last.Season)
		var sum, off units.MassPerArea
		rest, soil := "", "not told"
		for _, y := range f.Budget.Seasons {
			sum += y.AppliedP2O5
			off += y.RemovedP2O5.Mid()
			if y.RestsUntil > 0 {
				rest = p.say("after %v", units.Word(strconv.Itoa(y.RestsUntil)))
			}
		}
		if last.SoilP != nil {
			soil = p.say("%.0f", last.SoilP.Mid())
		}
		t.Rows = append(t.Rows, []string{f.Field, p.perArea(sum), p.perArea(off), p.perArea(last.BalanceP2O5.Mid()), soil, rest})
		for _, b := range f.Budget.Violations {
			notes = append(notes, p.say("%v, %v: %v is %v, wanted %v.", f.Field, units.Word(strconv.Itoa(b.Season)), b.Rule, b.Got, b.Want))
		}
	}
	return Page{Key: "budgets", Name: "Phosphorus over the years", Blocks: []Block{{Caption: "Phosphorus budget to the end of " + strconv.Itoa(end), Table: t, Notes: notes}}}, len(t.Rows) > 0
}

func (p *pages) machines() (Page, bool) {
	page := Page{
		Key: "machines", Name: "Do the machines put that rate on the ground", Cautions: p.r.Machines.Cautions,
		Intro: []string{"Each machine is judged against the highest rate that this plan asks of it. A machine whose verdict is to adjust runs at the new speed and is measured again before it spreads."},
	}
	for i := range p.r.Machines.Machines {
		page.Blocks = append(page.Blocks, p.machine(&p.r.Machines.Machines[i])...)
	}
	return page, len(page.Blocks) > 0
}

// machine is the workings of one machine.
func (p *pages) machine(x *plan.MachineResult) []Block {
	name := title(x.Name)
	var list []Block
	if x.Measured() {
		list = append(list, p.readings(x))
	}
	list = append(list, working(p, name+": rain gauges", x.Gauges)...)
	list = append(list, working(p, name+": sprinklers", x.SolidSet)...)
	list = append(list, working(p, name+": timed flow and course", x.Course)...)
	list = append(list, working(p, name+": loads over measured strips", x.Loads)...)
	if x.Sheets != nil { // the rates of the sheets stand beside their readings
		sheets := working(p, name+": ground sheets", x.Sheets)
		sheets[0].Table.Rows = sheets[0].Table.Rows[len(x.Sheets.Rates):]
		list = append(list, sheets...)
	}
	list = append(list, working(p, name+": weighed loads", x.Weighed)...)
	list = append(list, working(p, name+": correction", x.Liquid)...)
	return append(list, working(p, name+": correction", x.Solid)...)
}

// commonPractice is the source that a list need not repeat.
const commonPractice = "common practice, no source"

// evidence is what is kept on file.
func (p *pages) evidence() (Page, bool) {
	tables := map[stage.Phase]*Table{}
	for _, phase := range stage.Phases() {
		tables[phase] = &Table{Head: []string{"Do and keep", "When", "Confirmed by", "Done", "Day", "By"}, Left: 6}
	}
	var sources []string
	for _, e := range p.r.Evidence {
		what := title(p.Phrase(e.What))
		if e.Source != "" && e.Source != commonPractice {
			i := slices.Index(sources, e.Source)
			if i < 0 {
				i, sources = len(sources), append(sources, e.Source)
			}
			what += p.say(" (%v)", i+1)
		}
		t := tables[e.Phase]
		t.Rows = append(t.Rows, []string{what, p.Phrase(e.When), string(e.Who), Blank, Blank, Blank})
	}
	page := Page{Key: "evidence", Name: "Inspections, samples and records", Alone: true, Blocks: byPhase(tables),
		Confirm: []Confirm{{title(string(stage.Regulator)), "the list itself, and how long records are kept."}}}
	if n := len(page.Blocks); n > 0 {
		last := &page.Blocks[n-1]
		last.Sign = []string{"Inspector"}
		for i, s := range sources {
			last.Notes = append(last.Notes, p.say("(%v) %s.", i+1, s))
		}
		last.Notes = append(last.Notes, "Rows without a number: common practice, no source.")
	}
	return page, len(page.Blocks) > 0
}
