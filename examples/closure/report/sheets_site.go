package report

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
	for range 8 {
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
	for range 12 {
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
	page.Blocks = append(page.Blocks, working(p, "Seed", c.Mix)...)
	page.Blocks = append(page.Blocks, working(p, "Nurse crop", c.Nurse)...)
	page.Blocks = append(page.Blocks, working(p, "When", c.Planting)...)
	return page, len(page.Blocks) > 0
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
