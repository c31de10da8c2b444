package report

import (
	"slices"
	"strings"

	"example.org/earthbasin/examples/closure/doubt"
	"example.org/earthbasin/nutrient/allocation"
	"example.org/earthbasin/units"
)

// mostDrivers is how many inputs the summary names for a figure; the annex has more.
const mostDrivers = 2

// inAnnex are figures that the summary leaves to the annex.
var inAnnex = []string{"worth of nutrients", "left over"}

// sure is how sure the figures of the plan are, and what knowing better is worth.
func (p *pages) sure() (Page, bool) {
	d := p.doubt
	if d == nil {
		return Page{}, false
	}
	t := &Table{Head: []string{"Figure", "Hangs most on", "Low", "Middle", "High"}, Left: 2}
	for _, row := range d.Rows {
		if slices.Contains(inAnnex, row.Figure) {
			continue
		}
		var drivers []string
		for _, x := range row.Drivers[:min(len(row.Drivers), mostDrivers)] {
			drivers = append(drivers, p.say("%s %s", x.Name, p.percent(x.Share, 0)))
		}
		t.Rows = append(t.Rows, []string{title(p.Phrase(units.Words(row.Figure))), strings.Join(drivers, ", "), p.value(row.Low), p.value(row.Middle), p.value(row.High)})
	}
	block := Block{Caption: "Low and high of the plan", Table: t, Notes: []string{p.say("Everything finds its field in %s of the draws.", p.percent(d.Placed, 0))}}
	if r := d.Safe; r != nil && r.Level > 0 {
		block.Notes = append(block.Notes, p.safety(r))
	}
	if d.Knowing != nil {
		block.Notes = append(block.Notes, p.measured(d.Knowing))
	}
	page := Page{Key: "sure", Name: "How sure that is",
		Intro:  []string{p.say("Worked out %v, each time with other figures within their doubt: 5 of 100 results lie below the low and 5 above the high. The percentages are the part of a figure's doubt that each input makes. The range of cost above is wider: it takes every line at its low, or at its high, at once.", p.plural(int(d.Draws), "time", "times"))},
		Blocks: []Block{block}}
	if d.Refused > 0 {
		page.Cautions = append(page.Cautions, p.say("%v drew figures that no plan can have and are not counted.", p.plural(int(d.Refused), "more draw", "more draws")))
	}
	return page, true
}

// safety is what the allocation that holds costs: money, land, and what finds no place.
func (p *pages) safety(r *allocation.RobustResult) string {
	s := p.say("The fields and rates of this plan keep every limit in %s of the draws. Those in the annex do in %s and cost %s more",
		p.percent(r.PlainKept, 0), p.percent(r.Kept, 0), p.cash(r.Price))
	none := p.areas(0)
	if land := p.areas(max(r.ExtraArea, -r.ExtraArea)); land != none {
		s += p.say("; they take %s %s land", land, map[bool]string{true: "more", false: "less"}[r.ExtraArea > 0])
	}
	if left := p.leftOf(&r.Plan); left != nil {
		s += "; " + strings.Join(left, ", ") + " then finds no place"
	}
	return s + "."
}

// leftOf is what finds no place in an allocation, a text for each material.
func (p *pages) leftOf(of *allocation.AllocateResult) []string {
	var left []string
	for _, m := range of.Materials {
		if m.Left.SI() > 0 {
			left = append(left, p.say("%v of %s", m.Left, m.Name))
		}
	}
	return left
}

// holds is the allocation of the plan beside the one that holds.
func (p *pages) holds(r *allocation.RobustResult) Block {
	t := &Table{Head: []string{"Allocation", "Finds no place", "Keeps every limit in", "Spreading less worth"}, Left: 2}
	row := func(name string, of *allocation.AllocateResult, kept float64) {
		left := p.leftOf(of)
		if left == nil {
			left = []string{"nothing"}
		}
		t.Rows = append(t.Rows, []string{name, strings.Join(left, ", "), p.percent(kept, 0), p.cash(of.Net)})
	}
	row("Of this plan", &r.Plain, r.PlainKept)
	row("Made to hold", &r.Plan, r.Kept)
	return Block{Caption: "The allocation of the plan beside the one that holds", Table: t}
}

// safe is the allocation that holds, with its working.
func (p *pages) safe() (Page, bool) {
	if p.doubt == nil || p.doubt.Safe == nil || p.doubt.Safe.Level == 0 {
		return Page{}, false
	}
	r := p.doubt.Safe
	page := Page{Key: "safe", Name: "Fields and rates that hold",
		Intro: []string{"Each draw is a volume and a strength of every material that may turn out; all of it then goes where the plan sends it, at higher or lower rates. The limits are those of the fields."}}
	page.Blocks = append(page.Blocks, p.holds(r))
	page.Blocks = append(page.Blocks, working(p, "How often the limits hold, and what the safety costs", r)...)
	page.Blocks = append(page.Blocks, Block{Caption: "Where it goes so that the limits hold", Table: p.placements(r.Plan.Placements)})
	return page, true
}

// placements is a table of what goes where.
func (p *pages) placements(list []allocation.Placement) *Table {
	t := &Table{Head: []string{"Field", "Season", "Material", "Amount", "Rate"}, Left: 3}
	for _, x := range list {
		t.Rows = append(t.Rows, []string{x.Field, x.Season, x.Material, p.Text(x.Amount), p.Text(x.Rate)})
	}
	return t
}

// measured says whether measuring pays.
func (p *pages) measured(k *doubt.Knowing) string {
	var pays, not []string
	for _, x := range k.Inputs {
		switch of := p.say("%s for %s (worth %s at most)", x.Measure, p.cash(float64(x.Price)), p.cash(float64(x.Worth))); {
		case x.Measure == "":
		case x.Pays:
			pays = append(pays, of)
		default:
			not = append(not, of)
		}
	}
	s := p.say("Knowing every figure before deciding would gain %s at most.", p.cash(float64(k.Perfect)))
	if pays != nil {
		s += " It pays to have " + strings.Join(pays, ", ") + "."
	}
	if not != nil {
		s += " It does not pay to have " + strings.Join(not, ", ") + "."
	}
	return s
}

// knowing is what measuring is worth to the decisions, beside its price.
func (p *pages) knowing(k *doubt.Knowing) Block {
	t := &Table{Head: []string{"To know better", "By", "Verdict", "Price", "Worth at most"}, Left: 3}
	for _, x := range k.Inputs {
		by, price, verdict := x.Measure, p.cash(float64(x.Price)), "costs more than it can bring"
		switch {
		case x.Pays:
			verdict = "pays"
		case by == "":
			by, price, verdict = "nothing named", "", "measure it if it costs less"
		case x.Worth == 0:
			verdict = "changes no decision"
		}
		t.Rows = append(t.Rows, []string{x.Name, by, verdict, price, p.cash(float64(x.Worth))})
	}
	return Block{Caption: "What knowing a figure better is worth to the decision", Table: t,
		Notes: []string{p.say("Best as things are known: %s. Knowing every figure before deciding would gain %s at most.", k.Best, p.cash(float64(k.Perfect)))}}
}

// value shows money without cents and everything else as it is.
func (p *pages) value(v any) string {
	if m, ok := v.(units.Money); ok {
		return p.cash(float64(m))
	}
	return p.Text(v)
}

// drivers is what each figure hangs on, and how the decisions compare.
func (p *pages) drivers() (Page, bool) {
	d := p.doubt
	if d == nil {
		return Page{}, false
	}
	t := &Table{Head: []string{"Figure", "Hangs on", "Part of its doubt", "At the low end", "At the high end"}, Left: 2}
	for _, row := range d.Rows {
		for _, x := range row.Drivers {
			t.Rows = append(t.Rows, []string{title(p.Phrase(units.Words(row.Figure))), x.Name, p.percent(x.Share, 0), p.value(x.AtLow), p.value(x.AtHigh)})
		}
	}
	page := Page{Key: "drivers", Name: "What the figures hang on", Blocks: []Block{{Caption: "Mean of a figure where an input is at its low and at its high end", Table: t}}}
	if k := d.Knowing; k != nil {
		t := &Table{Head: []string{"Decision", "Cost less payments and worth, on average", "Best in"}, Left: 1}
		for _, x := range k.Decisions {
			t.Rows = append(t.Rows, []string{x.Name, p.cash(float64(x.Net)), p.percent(x.Best, 0)})
		}
		page.Blocks = append(page.Blocks, p.knowing(k), Block{Caption: "The decisions side by side", Table: t})
	}
	return page, true
}
