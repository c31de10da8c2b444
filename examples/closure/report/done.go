package report

import (
	"strings"
	"time"

	"example.org/earthbasin/units"
)

// soFar says what was put on until the day of the account, and what went over.
func (p *pages) soFar() string {
	a := p.r.Account
	if a == nil {
		return ""
	}
	var parts []string
	for _, o := range a.Over {
		parts = append(parts, "OVER: "+p.Phrase(o.Why))
	}
	for _, s := range a.Stocks {
		parts = append(parts, p.say("%v of %v put on, %v left", s.Put, s.Material, s.Left))
	}
	return p.say("By %v: ", p.date(a.AsOf)) + strings.Join(parts, "; ") + "."
}

// account is the ledger of what was really put on, and where the rest goes.
func (p *pages) account() (Page, bool) {
	a := p.r.Account
	if a == nil {
		return Page{}, false
	}
	page := Page{Key: "account", Name: p.say("As it went until %v", p.date(a.AsOf)), Alone: true}
	if len(a.Over) > 0 {
		page.Intro = []string{"A limit was passed: tell the planner today, and the regulator where the permit says so."}
	}
	page.Blocks = append(page.Blocks, working(p, "Over, in stock, room left, planned beside done", a)...)
	if rest := p.r.Rest; rest != nil && rest.Allocated != nil && len(rest.Allocated.Placements) > 0 {
		t := p.placements(rest.Allocated.Placements)
		page.Blocks = append(page.Blocks, Block{Caption: "Where the rest goes, planned anew: this table holds for the crew", Table: t})
	}
	rows := a.Table()
	t := &Table{Left: 5}
	for i, row := range rows {
		var cells []string
		for _, v := range row {
			if day, ok := v.(time.Time); ok {
				v = units.Word(p.day(day))
			}
			cells = append(cells, p.Text(v))
		}
		if i == 0 {
			t.Head = cells
			continue
		}
		t.Rows = append(t.Rows, cells)
	}
	if len(t.Rows) > 0 {
		page.Blocks = append(page.Blocks, Block{Caption: "Ledger", Table: t})
	}
	return page, true
}
