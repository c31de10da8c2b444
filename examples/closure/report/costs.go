package report

import (
	"cmp"
	"slices"
	"strings"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/examples/internal/chart"
)

// mostBars is how many lines of the bill a picture shows.
const mostBars = 6

// costs is the picture of the bill: its largest lines with their intervals.
func (p *pages) costs() (Page, bool) {
	var items []stage.Item
	for _, i := range p.r.Bill.Items {
		if i.Cost != nil && i.Cost.High > 0 {
			items = append(items, i)
		}
	}
	if len(items) == 0 {
		return Page{}, false
	}
	slices.SortStableFunc(items, func(a, b stage.Item) int { return cmp.Compare(b.Cost.Likely, a.Cost.Likely) })
	shownItems := items[:min(mostBars, len(items))]
	c := &chart.Chart{ID: "costs", Title: "What the money goes for", XLabel: "cost, thousands"}
	if p.Currency != "" {
		c.XLabel = "cost, thousands of " + p.Currency
	}
	t := &Table{Head: []string{"Line", "Low", "Likely", "High"}, Left: 1}
	for row, i := range shownItems {
		t.Rows = append(t.Rows, []string{p.Phrase(i.What.Item), p.cash(i.Cost.Low), p.cash(i.Cost.Likely), p.cash(i.Cost.High)})
		c.YNames = append(c.YNames, p.Phrase(i.What.Item))
		c.XMax = max(c.XMax, 1.05*i.Cost.High/1000)
		c.Span(chart.Light, row, 0, max(0, i.Cost.Likely/1000))
		if i.Cost.High > i.Cost.Low {
			c.Between(row, i.Cost.Low/1000, i.Cost.High/1000)
		}
	}
	c.Key(chart.Light, "likely cost of the line")
	c.Key(chart.Full, "from its low to its high")
	c.Desc = "The largest lines of the bill, each with the range that prices and quantities leave open. The annex has every line."
	return Page{Key: "costs", Name: "What it costs", Blocks: []Block{{Caption: c.Title, Picture: c, Shows: t}}}, true
}

// bill is every line of the bill.
func (p *pages) bill() (Page, bool) {
	b := &p.r.Bill
	t := &Table{Head: []string{"Item", "Quantity", "How", "Low", "Likely", "High"}, Left: 3}
	for _, c := range b.Items {
		item, value, how := p.Phrase(c.What.Item), p.Text(c.What.Value), p.Phrase(c.What.How)
		row := []string{item, value, how, "", "no price", ""}
		if c.Cost != nil {
			row = []string{item, value, how, p.cash(c.Cost.Low), p.cash(c.Cost.Likely), p.cash(c.Cost.High)}
		}
		t.Rows = append(t.Rows, row)
	}
	t.Rows = append(t.Rows, []string{"All together", "", "", p.cash(b.Cost.Low), p.cash(b.Cost.Likely), p.cash(b.Cost.High)})
	page := Page{
		Key: "bill", Name: "Quantities, hours and cost", Alone: true,
		Intro:  []string{"Unit prices are those of the scenario; bids replace them. The low and the high end hold the low and the high of each price that has its own, the doubt of all others, and that of the sludge volume, and the high end what is kept for what nobody foresaw."},
		Blocks: []Block{{Caption: "Quantities and cost", Table: t}},
	}
	if len(b.Drivers) > 0 {
		var list []string
		for _, x := range b.Drivers {
			list = append(list, p.say("%v %v", p.Phrase(x.What), p.percent(x.Share, 0)))
		}
		page.Blocks[0].Notes = append(page.Blocks[0].Notes, p.say("Of the range from the low to the high: %v.", strings.Join(list, ", ")))
	}
	if len(b.PerUnit) > 0 {
		page.Blocks = append(page.Blocks, p.perUnit(b.PerUnit))
	}
	if pay := b.Payment; pay != nil {
		t.Rows = append(t.Rows, []string{"Less payments", "", "", "", p.cash(-pay.Payment), ""}, []string{"Net", "", "", p.cash(b.Net.Low), p.cash(b.Net.Likely), p.cash(b.Net.High)})
		page.Cautions = pay.Cautions
		page.Blocks = append(page.Blocks, working(p, "Cost-share payments", pay)...)
	}
	return page, len(b.Items) > 0
}
