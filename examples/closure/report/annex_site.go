package report

import (
	"strconv"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/examples/closure/closing"
	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/units"
)

// closing is the ways to close side by side, and the chosen one to its end.
func (p *pages) closing() (Page, bool) {
	r := p.r.Closing
	if r == nil {
		return Page{}, false
	}
	ways := &Table{Head: []string{"Way", "Verdict", "Why", "Low", "Likely", "High"}, Left: 3}
	for _, o := range r.Outcomes {
		name := o.Alternative.String()
		if o.Alternative == r.Chosen {
			name += " (this plan)"
		}
		ways.Rows = append(ways.Rows, []string{name, o.Verdict.String(), p.Phrase(o.Why), p.cash(o.Cost.Low), p.cash(o.Cost.Likely), p.cash(o.Cost.High)})
	}
	o := r.Of(r.Chosen)
	page := Page{
		Key: "closing", Name: "Close the empty basin: " + r.Chosen.String(), Cautions: o.Cautions,
		Intro:  []string{"Nothing is filled, breached or flooded before the regulator has inspected the empty basin."},
		Blocks: []Block{{Caption: "Ways to close, side by side", Table: ways}},
		Confirm: []Confirm{
			{regulator, "which lines are pulled and which may be plugged; inspection before grading; what becomes of the liner; soil and groundwater tests and their limits."},
			{engineer, "every line under the embankment or a road; lowering of the embankment, compaction of the fill, slope stability, outlet of the surface water."},
		},
	}
	add := func(blocks ...Block) { page.Blocks = append(page.Blocks, blocks...) }
	if len(o.Conditions) > 0 {
		conditions := &Table{Head: []string{"Allowed only if", "Decided by", "Holds", "Source"}, Left: 4}
		for _, c := range o.Conditions {
			holds := "open"
			if c.Met != nil {
				holds = map[bool]string{true: "yes", false: "NO"}[*c.Met]
			}
			conditions.Rows = append(conditions.Rows, []string{title(p.Phrase(c.What)), string(c.Who), holds, c.Source})
		}
		add(Block{Caption: "Conditions", Table: conditions})
	}
	for i := range o.Plugs {
		add(working(p, p.say("Pipe %v, plugged", i+1), &o.Plugs[i])...)
	}
	for i := range o.Trenches {
		add(working(p, p.say("Trench %v", i+1), &o.Trenches[i])...)
	}
	add(working(p, "Soil below the waste", o.Soaked)...)
	add(working(p, "Ways through a liner that stays", o.Drain)...)
	add(working(p, "Berm", o.Berm)...)
	add(working(p, "Crown to build", o.Crown)...)
	add(working(p, "Compaction", o.Compaction)...)
	add(working(p, "Soft floor", o.Bridging)...)
	add(working(p, "Borrow area", o.Borrow)...)
	add(working(p, "Earth account", o.Account)...)
	add(working(p, "Breach", o.Breach)...)
	add(working(p, "Pond", o.Pond)...)
	add(working(p, "Rain in the open pit until it is filled", p.r.Pit)...)
	if len(o.PerUnit) > 0 {
		add(p.perUnit(o.PerUnit))
	}
	return page, true
}

// perUnit is what bids can be held against.
func (p *pages) perUnit(list []closing.Figure) Block {
	bids := &Table{Head: []string{"A bid can be held against", "Low", "Likely", "High"}, Left: 1}
	for _, x := range list {
		bids.Rows = append(bids.Rows, []string{p.Phrase(x.What), p.Text(x.Low), p.Text(x.Likely), p.Text(x.High)})
	}
	return Block{Caption: "Cost for each unit", Table: bids}
}

func (p *pages) cover() (Page, bool) {
	c := &p.r.Cover
	page := Page{
		Key: "cover", Name: "Lime, fertilize, seed and mulch", Cautions: c.Cautions,
		Intro:   []string{"Permanent vegetation closes the work. The seed order is in live seed first and in bulk second."},
		Confirm: []Confirm{{laboratory, "soil pH, buffer pH, phosphorus and potassium of the returned topsoil."}},
	}
	add := func(blocks ...Block) { page.Blocks = append(page.Blocks, blocks...) }
	add(working(p, "Seed order", c.Mix)...)
	if len(c.Findings) > 0 {
		rules := &Table{Head: []string{"Rule", "Plan", "Wanted", "Verdict"}, Left: 4}
		for _, f := range c.Findings {
			rules.Rows = append(rules.Rows, []string{f.Rule, p.Text(f.Value), p.Text(f.Want), p.Text(f.Verdict)})
		}
		add(Block{Caption: "The mix against the rules", Table: rules})
	}
	add(working(p, "Nurse crop, at once as temporary cover where the window is far", c.Nurse)...)
	add(working(p, "Lime need", c.LimeNeed)...)
	add(working(p, "Lime", c.Lime)...)
	add(working(p, "Fertilizer", c.Fertilizer)...)
	add(working(p, "Mulch", c.Mulch)...)
	add(working(p, "Planting window", c.Planting)...)
	if c.SoilLoss != nil {
		add(working(p, "Soil loss, bare against covered", c.SoilLoss)...)
		add(p.lossTable(c.SoilLoss), Block{Caption: "Soil loss by month, bare and covered", Picture: p.lossPicture()})
	}
	if len(c.Stops) > 0 {
		add(p.stops(c.Stops))
	}
	return page, len(page.Blocks) > 0
}

var (
	lossRate = measure[units.MassPerArea]{units.TonPerAcre, units.TonnePerHectare}
	tons     = measure[units.Mass]{units.Ton, units.Tonne}
)

// stops are the times in which no work goes on on ground that lies open.
func (p *pages) stops(list []plan.Stop) Block {
	t := &Table{Head: []string{"Ground", "Left by", "Then", "Area", "From", "To", "Days"}, Left: 3}
	name := func(key string) string {
		for _, task := range p.r.Tasks {
			if task.Key == key {
				return title(p.Phrase(task.Name))
			}
		}
		return key
	}
	for _, x := range list {
		area, then := "not known", name(x.Before)
		if x.Area > 0 {
			area = shown(p.figures, acres, x.Area, 2)
		}
		if x.Covered {
			then = "covered for the time; " + then
		}
		t.Rows = append(t.Rows, []string{title(p.Phrase(x.What)), name(x.After), then, area, p.date(x.From), p.date(x.To), strconv.Itoa(x.Days)})
	}
	return Block{Caption: "Open ground on which no work goes on", Table: t}
}

func (p *pages) lossTable(r *cover.SoilLossResult) Block {
	loss := &Table{Head: []string{"Month", "Rain energy", "Bare", "Covered", "Lost by waiting", "Of it over the edge"}, Left: 1}
	for _, m := range r.Months {
		edge := "not known"
		if m.DelaySediment != nil {
			edge = shown(p.figures, tons, *m.DelaySediment, 1)
		}
		loss.Rows = append(loss.Rows, []string{m.Month.String(), p.percent(m.ShareR, 0), shown(p.figures, lossRate, m.Bare, 2), shown(p.figures, lossRate, m.Covered, 2),
			shown(p.figures, tons, m.DelayMass, 1), edge})
	}
	var notes []string
	if b := p.r.Cover.Bare; b != nil {
		notes = append(notes, p.say("Bare from %v, the first stripping or filling, to %v, until a cover is in: %v, %v in all.", b.From, b.To,
			shown(p.figures, lossRate, b.Lost, 2), shown(p.figures, tons, b.Mass, 1)))
	}
	return Block{Caption: "Soil loss by month of delay", Table: loss, Notes: notes}
}
