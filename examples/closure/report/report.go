package report

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"example.org/earthbasin/examples/closure/doubt"
	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
)

// Options say for whom a document is.
type Options struct {
	Style units.Style // units, signs and words
	Parts []string    // of PartKeys, in their order; empty for all
	// Doubt is how sure the plan is, by doubt.Of; nil leaves those pages out.
	Doubt *doubt.Result
}

// pages is a plan on its way to paper.
type pages struct {
	figures
	*plan.Plan
	s     *plan.Scenario
	r     *plan.Results
	route *plan.RouteResult // that the plan takes, nil for none
	doubt *doubt.Result     // nil: not worked out
}

// New lays a plan out. A page whose part is not planned is left out; what it hangs on
// stands among the open points.
func New(of *plan.Plan, o Options) *Document {
	p := &pages{figures{o.Style}, of, &of.Scenario, of.Results, of.Results.Taken(), o.Doubt}
	p.Days = cmp.Or(p.Days, dayLayout)
	if d := p.doubt; d != nil && d.Draws == 0 {
		p.doubt = nil
	}
	if m := p.s.Money; m != nil {
		p.Currency = cmp.Or(p.Currency, m.Currency)
	}
	d := &Document{Title: p.s.Title, Site: p.s.Site, Date: p.date(p.s.Date)}
	if d.Title == "" {
		d.Title = "Closure plan"
	}
	for _, part := range []struct {
		key, name string
		pages     func() []Page
	}{{"summary", "Summary", p.summary}, {"sheets", "Sheets to carry", p.sheets}, {"annex", "Annex: every working", p.annex}} {
		if len(o.Parts) == 0 || slices.Contains(o.Parts, part.key) {
			d.Parts = append(d.Parts, Part{Key: part.key, Name: part.name, Pages: part.pages()})
		}
	}
	return d
}

// chosen are the pages that have something to say.
func chosen(list ...func() (Page, bool)) []Page {
	var out []Page
	for _, page := range list {
		if p, ok := page(); ok {
			out = append(out, p)
		}
	}
	return out
}

// brief is the pages with no more figures than readers of a summary want.
func (p *pages) brief() *pages {
	q := *p
	q.Round = 3
	return &q
}

// say writes a template with its values in the style.
func (p *pages) say(text string, args ...any) string { return p.Phrase(units.Words(text, args...)) }

// phrases writes phrases in the style.
func (p *pages) phrases(list []units.Phrase) []string {
	var out []string
	for _, x := range list {
		out = append(out, p.Phrase(x))
	}
	return out
}

// working is a block with the working of a result, none where it is missing.
func working[R interface{ Working() units.Working }](p *pages, caption string, r *R) []Block {
	if r == nil {
		return nil
	}
	t := &Table{Left: 3}
	for _, l := range p.Lines((*r).Working()) {
		t.Rows = append(t.Rows, []string{l.Item, l.Value, l.How})
	}
	return []Block{{Caption: caption, Table: t}}
}

func (p *pages) date(d stage.Date) string {
	if d.IsZero() {
		return ""
	}
	return p.Text(d)
}

// dayLayout is how days are written where a style does not say.
const dayLayout = "2 January 2006"

// short is a day with its weekday, for a row.
func short(d stage.Date) string {
	return strings.ReplaceAll(time.Time(d).Format("Mon 2 Jan 2006"), " ", "\u00a0")
}

func (p *pages) percent(x float64, decimals int) string {
	return p.Phrase(units.Phrase{Text: "%." + string(rune('0'+decimals)) + "f\u00a0%%", Args: []any{100 * x}})
}

func (p *pages) liquids(v units.Volume) string { return shown(p.figures, liquid, v, 0) }

func (p *pages) areas(a units.Area) string { return shown(p.figures, acres, a, 1) }

func (p *pages) lengths(l units.Length, decimals int) string {
	return shown(p.figures, site, l, decimals)
}

func (p *pages) perArea(r units.MassPerArea) string { return shown(p.figures, perLand, r, 0) }

func (p *pages) masses(m units.Mass) string { return shown(p.figures, mass, m, 0) }

func title(s string) string {
	r := []rune(s)
	if len(r) == 0 {
		return s
	}
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}

// sentence begins with a capital and ends with one point.
func sentence(s string) string { return title(strings.TrimRight(s, ".")) + "." }

// plural is a count of things.
func (p *pages) plural(n int, one, many string) string {
	if n == 1 {
		many = one
	}
	return p.Text(units.Count{N: n, Of: many})
}
