package report

import (
	"example.org/earthbasin/cover"
	"example.org/earthbasin/units"
)

// caveIn goes with every sheet of the earthwork.
const caveIn = "Cave-in: nobody enters a trench or stands at an unsupported face; slopes, benches or boxes as the competent person says. Utility ticket valid before anything is dug. No gas has been measured in a hollow: monitor before anybody bends into it."

const otherDangers = "The other dangers of this work stand on the sheet \"Earthwork: dangers\"; it is read to the crew first."

// earthDangers is read before the earthwork begins.
func (p *pages) earthDangers() (Page, bool) {
	if p.r.Closing == nil {
		return Page{}, false
	}
	return Page{Key: "earth-dangers", Name: "Earthwork: dangers", Alone: true,
		Cautions: append([]string{caveIn}, p.r.Closing.Of(p.r.Closing.Chosen).Cautions...),
		Blocks:   []Block{{Caption: "Read to the crew", Sign: []string{"Grade foreman"}}}}, true
}

// earthSheet is what the earthwork crew builds and checks.
func (p *pages) earthSheet() (Page, bool) {
	if p.r.Closing == nil {
		return Page{}, false
	}
	o := p.r.Closing.Of(p.r.Closing.Chosen)
	quantities := &Table{Head: []string{"Item", "Quantity", "Done", "By"}, Left: 1}
	for _, x := range o.Items {
		if value := p.Text(x.What.Value); value != "" {
			quantities.Rows = append(quantities.Rows, []string{p.Phrase(x.What.Item), value, Blank, Blank})
		}
	}
	levels := &Table{Head: []string{"Stake", "Level found", "Level to build", "Cut (-) or fill (+)", "Built", "By"}, Left: 1}
	over := ""
	if l := o.Levels; l != nil {
		switch {
		case l.Elevations && l.Datum != "":
			over = ": elevations, " + l.Datum
		case l.Elevations:
			over = ": elevations"
		default:
			over = ", over the lowest point of the floor"
		}
		levels.Rows = append(levels.Rows, []string{"foot of the crown", Blank, p.lengths(l.Foot, 1), Blank, Blank, Blank},
			[]string{"ridge of the crown", Blank, p.lengths(l.Ridge, 1), Blank, Blank, Blank})
	}
	for range 3 {
		levels.Rows = append(levels.Rows, blankRow(6))
	}
	return Page{
		Key: "earth", Name: "Earthwork: levels and quantities", Alone: true,
		Cautions: []string{caveIn},
		Intro:    []string{otherDangers},
		Blocks: []Block{
			{Caption: "Quantities", Table: quantities},
			{Caption: "Levels at the stakes" + over, Table: levels, Sign: []string{"Grade foreman"}},
		},
	}, true
}

// liftSheet is what is written down load by load and lift by lift.
func (p *pages) liftSheet() (Page, bool) {
	if p.r.Closing == nil {
		return Page{}, false
	}
	loads := &Table{Head: []string{"Day", "From", "To", "Loads", "Volume", "By"}, Left: 6}
	lifts := &Table{Head: []string{"Day", "Lift", "Area", "Passes", "Moisture", "Density, % of Proctor", "Accepted by"}, Left: 7}
	for range 8 {
		loads.Rows = append(loads.Rows, blankRow(6))
	}
	for range 6 {
		lifts.Rows = append(lifts.Rows, blankRow(7))
	}
	return Page{
		Key: "lifts", Name: "Earthwork: loads, lifts and tests", Alone: true,
		Cautions: []string{caveIn},
		Intro:    []string{otherDangers},
		Blocks: []Block{
			{Caption: "Loads", Table: loads},
			{Caption: "Lifts and tests", Table: lifts, Sign: []string{"Grade foreman", "Inspector"}},
		},
	}, true
}

// seedSheet is what is sown, and when.
func (p *pages) seedSheet() (Page, bool) {
	c := &p.r.Cover
	page := Page{Key: "seed", Name: "Seed order", Alone: true, Cautions: c.Cautions}
	if c.Mix != nil {
		page.Blocks = append(page.Blocks, p.seedOrder(c.Mix))
	}
	page.Blocks = append(page.Blocks, working(p, "Nurse crop", c.Nurse)...)
	page.Blocks = append(page.Blocks, working(p, "When", c.Planting)...)
	return page, len(page.Blocks) > 0
}

// seedOrder is the mix as it is ordered and as the drill is set; the annex has how it was
// worked out.
func (p *pages) seedOrder(m *cover.MixResult) Block {
	t := &Table{Head: []string{"Species", "Live seed (PLS) per area", "Live seed in all", "PLS of the lot", "Bulk seed per area", "Bulk seed to order", "Price", "Lot and tag"}, Left: 1}
	rate := func(r units.MassPerArea) string { return shown(p.figures, perLand, r, 2) }
	for _, row := range m.Rows {
		order, price := p.Text(row.BulkMass), "not told"
		if row.Bags > 0 {
			order += ", " + p.plural(row.Bags, "bag", "bags")
		}
		if row.Priced {
			price = p.Text(units.Money(row.Cost))
		}
		t.Rows = append(t.Rows, []string{row.Species.Common, rate(row.Rate), p.Text(row.PLSMass), p.percent(float64(row.PLS), 1), rate(row.BulkRate), order, price, Blank})
	}
	t.Rows = append(t.Rows, []string{"All", rate(m.Rate), p.Text(m.PLSMass), "", rate(m.BulkRate), p.Text(m.BulkMass), p.Text(units.Money(m.Cost)), ""})
	return Block{Caption: p.say("Seed for %v, %v", m.Spec.Area, m.Spec.Method), Table: t,
		Notes: []string{"The drill is set by bulk seed. A tag with another purity or germination than that of the lot changes both columns of bulk seed: live seed / PLS of the tag."}}
}

// soilSheet is what is brought onto the seedbed.
func (p *pages) soilSheet() (Page, bool) {
	c := &p.r.Cover
	page := Page{Key: "soil", Name: "Lime, fertilizer and mulch order", Alone: true, Cautions: c.Cautions}
	page.Blocks = append(page.Blocks, working(p, "Lime", c.Lime)...)
	page.Blocks = append(page.Blocks, working(p, "Fertilizer", c.Fertilizer)...)
	page.Blocks = append(page.Blocks, working(p, "Mulch", c.Mulch)...)
	return page, len(page.Blocks) > 0
}
