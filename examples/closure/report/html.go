package report

import (
	"bytes"
	_ "embed"
	"html/template"

	"example.org/earthbasin/examples/internal/chart"
)

//go:embed page.html
var pageSource string

var page = template.Must(template.New("page").Funcs(template.FuncMap{
	"t": unparted,
	// The chart package escapes what it draws.
	"wide":   func(c *chart.Chart) template.HTML { return template.HTML(c.SVG(chart.Wide)) },
	"narrow": func(c *chart.Chart) template.HTML { return template.HTML(c.SVG(chart.Narrow)) },
	"head": func(t *Table, i int) string {
		if i < len(t.Head) && len(t.Head) > 2 { // of two columns the first is the head of the second
			return t.Head[i]
		}
		return ""
	},
	// In a working the value stands out and how it came about is prose.
	"class": func(t *Table, i int, cell string) string {
		switch {
		case cell == Blank:
			return "blank"
		case t.Head == nil && i == 1:
			return "value"
		case t.Head == nil:
			return "how"
		case i < t.Left:
			return "t"
		}
		return "n"
	},
}).Parse(pageSource))

// HTML gives one page without any outside file.
func (d *Document) HTML() ([]byte, error) {
	var b bytes.Buffer
	err := page.Execute(&b, d)
	return b.Bytes(), err
}
