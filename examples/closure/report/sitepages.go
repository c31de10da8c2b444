package report

import (
	"fmt"
	"strings"
	"time"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/units"
)

func (p *pages) pageEmptying() (Step, bool) {
	if p.route == nil || p.route.Drawdown == nil {
		return Step{}, false
	}
	d := p.route.Drawdown
	return Step{
		Name:     "Drawing the liquid off, with the weather",
		Cautions: d.Cautions,
		Intro: "Rain falls on the whole area inside the top of the bank while the pump runs; what it adds is spread too, and the allocation to the fields counts it. " +
			"Pump and hours a day are those of the removal, with the time to move the hose.",
		Blocks: []Block{{Caption: "Water balance of the draw-down, from " + d.Days[0].Date.Format("2 January 2006"), Working: d.Working()}},
	}, true
}

// pageClosing is the ways to close side by side, and the chosen one to its end.
func (p *pages) pageClosing() (Step, bool) {
	r := p.r.Closing
	if r == nil {
		return Step{}, false
	}
	t := &Table{Head: []string{"Way", "Verdict", "Low", "Likely", "High", "Why"}, Left: 2}
	for _, o := range r.Outcomes {
		name := o.Alternative.String()
		if o.Alternative == r.Chosen {
			name += " (this plan)"
		}
		t.Rows = append(t.Rows, []string{name, o.Verdict.String(), p.cash(o.Cost.Low), p.cash(o.Cost.Likely), p.cash(o.Cost.High), o.Why.String()})
	}
	o := r.Of(r.Chosen)
	step := Step{
		Name:     "Close the empty basin: " + r.Chosen.String(),
		Intro:    "Nothing is filled, breached or flooded before the regulator has inspected the empty basin.",
		Cautions: o.Cautions,
		Blocks:   []Block{{Caption: "Ways to close, side by side", Table: t}},
		Confirm: []Confirm{
			{regulator, "inspection before grading; what becomes of the liner; soil and groundwater tests and their limits."},
			{engineer, "lowering of the embankment, compaction of the fill, slope stability, outlet of the surface water."},
		},
	}
	for i := range o.Plugs {
		step.Blocks = append(step.Blocks, Block{Caption: fmt.Sprintf("Pipe %d", i+1), Working: o.Plugs[i].Working()})
	}
	step.Blocks = append(step.Blocks, working("Soil below the waste", o.Soaked)...)
	step.Blocks = append(step.Blocks, working("Ways through a liner that stays", o.Drain)...)
	step.Blocks = append(step.Blocks, working("Berm", o.Berm)...)
	step.Blocks = append(step.Blocks, working("Crown", o.Crown)...)
	step.Blocks = append(step.Blocks, working("Compaction", o.Compaction)...)
	step.Blocks = append(step.Blocks, working("Earth account", o.Account)...)
	step.Blocks = append(step.Blocks, working("Pond", o.Pond)...)
	step.Blocks = append(step.Blocks, working("Rain in the open pit until it is filled", p.r.Pit)...)
	return step, true
}

func (p *pages) pageCover() (Step, bool) {
	c := &p.r.Cover
	step := Step{
		Name:     "Lime, fertilize, seed and mulch",
		Intro:    "Permanent vegetation closes the work. The seed order is in live seed first and in bulk second.",
		Cautions: c.Cautions,
		Confirm:  []Confirm{{laboratory, "soil pH, buffer pH, phosphorus and potassium of the returned topsoil."}},
	}
	step.Blocks = append(step.Blocks, working("Seed order", c.Mix)...)
	if len(c.Findings) > 0 {
		rules := &Table{Head: []string{"Rule", "Plan", "Wanted", "Verdict"}, Left: 4}
		for _, f := range c.Findings {
			rules.Rows = append(rules.Rows, []string{f.Rule, f.Value.String(), f.Want.String(), f.Verdict.String()})
		}
		step.Blocks = append(step.Blocks, Block{Caption: "The mix against the rules", Table: rules})
	}
	step.Blocks = append(step.Blocks, working("Nurse crop, at once as temporary cover where the window is far", c.Nurse)...)
	step.Blocks = append(step.Blocks, working("Lime need", c.LimeNeed)...)
	step.Blocks = append(step.Blocks, working("Lime", c.Lime)...)
	step.Blocks = append(step.Blocks, working("Fertilizer", c.Fertilizer)...)
	step.Blocks = append(step.Blocks, working("Mulch", c.Mulch)...)
	step.Blocks = append(step.Blocks, working("Planting window", c.Planting)...)
	step.Blocks = append(step.Blocks, working("Soil loss, bare against covered", c.SoilLoss)...)
	if c.SoilLoss != nil {
		step.Blocks = append(step.Blocks, lossTable(c.SoilLoss), Block{Caption: "Soil loss by month, bare and covered", Picture: p.lossPicture()})
	}
	return step, len(step.Blocks) > 0
}

func lossTable(r *cover.SoilLossResult) Block {
	loss := &Table{Head: []string{"Month", "Rain energy", "Bare", "Covered", "Lost by waiting", "Of it over the edge"}, Left: 1}
	for _, m := range r.Months {
		edge := "not known"
		if m.DelaySediment != nil {
			edge = m.DelaySediment.Text(units.Ton, 1)
		}
		loss.Rows = append(loss.Rows, []string{m.Month.String(), fmt.Sprintf("%.0f %%", 100*m.ShareR), m.Bare.Text(units.TonPerAcre, 2), m.Covered.Text(units.TonPerAcre, 2), m.DelayMass.Text(units.Ton, 1), edge})
	}
	return Block{Caption: "Soil loss by month of delay", Table: loss}
}

func (p *pages) pageCosts() (Step, bool) {
	b := &p.r.Bill
	t := &Table{Head: []string{"Item", "Quantity", "Low", "Likely", "High"}, Left: 1}
	for _, c := range b.Items {
		item, value, how := units.Style{}.Line(c.What)
		if how != "" {
			value += " " + how
		}
		row := []string{item, value, "", "no price", ""}
		if c.Cost != nil {
			row = []string{item, value, p.cash(c.Cost.Low), p.cash(c.Cost.Likely), p.cash(c.Cost.High)}
		}
		t.Rows = append(t.Rows, row)
	}
	t.Rows = append(t.Rows, []string{"All together", "", p.cash(b.Cost.Low), p.cash(b.Cost.Likely), p.cash(b.Cost.High)})
	step := Step{
		Name:    "Quantities, hours and cost",
		OwnPage: true,
		Intro:   "Unit prices are those of the scenario; bids replace them. The low and the high end hold the doubt of prices and of the sludge volume, and the high end what is kept for what nobody foresaw.",
		Blocks:  []Block{{Caption: "Quantities and cost", Table: t}},
	}
	if pay := b.Payment; pay != nil {
		t.Rows = append(t.Rows, []string{"Less payments", "", "", "-" + p.cash(pay.Payment), ""}, []string{"Net", "", p.cash(b.Net.Low), p.cash(b.Net.Likely), p.cash(b.Net.High)})
		step.Cautions = pay.Cautions
		step.Blocks = append(step.Blocks, Block{Caption: "Cost-share payments", Working: pay.Working()})
	}
	return step, len(b.Items) > 0
}

func (p *pages) pageOrder() (Step, bool) {
	c := p.r.Calendar
	if c == nil {
		return Step{}, false
	}
	t := &Table{Head: []string{"Start", "End", "Float", "Step", "Only after"}, Left: 0}
	t.Left = 5
	for _, w := range c.ByStart() {
		from, to := "not placed", ""
		if w.Placed {
			from, to = time.Time(w.Likely.Start).Format("Mon 2 Jan 2006"), time.Time(w.Likely.End).Format("Mon 2 Jan 2006")
		}
		t.Rows = append(t.Rows, []string{from, to, fmt.Sprint(w.Float), title(w.Task.Name.String()), strings.Join(texts(w.Task.Hold), "; ")})
	}
	first := ""
	for _, o := range p.r.Open {
		if o.Stops {
			first = "NOTHING STARTS before the open points that stop the work are answered. "
		}
	}
	var notes []string
	for _, b := range c.Broken {
		notes = append(notes, title(b.Why.String())+": "+b.Do.String()+".")
	}
	return Step{
		Name:    "Work order",
		OwnPage: true,
		Intro:   first + "Weather moves everything after it. The fence, its gate and its signs stay until the basin is filled; the stand is judged after its first season.",
		Blocks:  []Block{{Caption: "Steps and days", Table: t, Notes: append(notes, texts(c.Notes)...)}},
	}, len(t.Rows) > 0
}

func (p *pages) pageEvidence() (Step, bool) {
	keep := []string{
		"Notice of closure and the regulator's answer; this plan with its scenario file.",
		"Survey: soundings with positions, liquid level and the interval on the volume.",
		"Laboratory reports of effluent and sludge before and during pumping, with chain of custody.",
		"Calibration records of each machine, with date, setting and result.",
		"Spreading records: day, field, material, loads or meter readings, rate, weather, setbacks kept.",
		"Photographs and measurements of every plug and of the scraped floor; soil tests below the floor.",
		"The inspection that released the grading; truck tickets of soil brought in.",
		"Levels of the finished grade; seed tags, lime and fertilizer tickets, date of seeding; cover after the first season.",
	}
	return Step{
		Name:    "Evidence the regulator asks for",
		OwnPage: true,
		Blocks:  []Block{{Caption: "Keep and hand over", Notes: keep}},
		Confirm: []Confirm{{regulator, "the list itself, and how long records are kept."}},
	}, true
}
