package report

import (
	"slices"
	"strings"

	"example.org/earthbasin/examples/closure/calendar"
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
	said := p.say("By %v: ", p.date(a.AsOf)) + strings.Join(parts, "; ") + "."
	var next []string
	for _, x := range p.next(1) {
		next = append(next, p.Phrase(x.Name))
	}
	if next != nil {
		said += p.say(" Next, on %v: %s.", p.date(p.next(1)[0].Day), strings.Join(next, "; "))
	}
	return said
}

// next is the work of the days that come next.
func (p *pages) next(days int) []calendar.NextDay {
	if p.r.Planned == nil {
		return nil
	}
	return p.r.Calendar.Next(p.r.Account.AsOf, days)
}

// nextDays is how many days the account looks ahead.
const nextDays = 7

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
	if next := p.next(nextDays); len(next) > 0 {
		t := &Table{Head: []string{"Day", "Step", "Hours"}, Left: 2}
		for _, x := range next {
			hours := ""
			if x.Work > 0 {
				hours = p.Text(units.As(x.Work, units.Hour, 1))
			}
			t.Rows = append(t.Rows, []string{short(x.Day), title(p.Phrase(x.Name)), hours})
		}
		page.Blocks = append(page.Blocks, Block{Caption: "The next days of work", Table: t})
	}
	rows := a.Table()
	t := &Table{Left: 5}
	for i, row := range rows {
		var cells []string
		for _, v := range row {
			cells = append(cells, p.Text(v))
		}
		if i == 0 {
			for _, cell := range cells {
				t.Head = append(t.Head, title(cell))
			}
			continue
		}
		t.Rows = append(t.Rows, cells)
	}
	if len(t.Rows) > 0 {
		caption := "Ledger"
		for from := 0; from < len(t.Head); {
			to := from + ledgerColumns
			if from > 0 {
				to -= ledgerNames // they stand before the others
			}
			page.Blocks = append(page.Blocks, Block{Caption: caption, Table: columns(t, from, to)})
			caption, from = "Ledger, further columns", to
		}
	}
	return page, true
}

// ledgerColumns are as many as a page is wide enough for.
const ledgerColumns = 9

// ledgerNames are the columns that name a line of the ledger in each of its tables.
const ledgerNames = 3

// columns is a table with some columns of another, after those that name the line.
func columns(t *Table, from, to int) *Table {
	cut := func(row []string) []string {
		to := min(to, len(row))
		if from == 0 {
			return row[:to]
		}
		return slices.Concat(row[:ledgerNames], row[min(from, to):to])
	}
	part := &Table{Head: cut(t.Head), Left: t.Left}
	if from > 0 {
		part.Left = ledgerNames
	}
	for _, row := range t.Rows {
		part.Rows = append(part.Rows, cut(row))
	}
	return part
}
