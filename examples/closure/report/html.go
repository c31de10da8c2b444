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
	"inc": func(i int) int { return i + 1 },
	// The chart package escapes what it draws.
	"wide":   func(c *chart.Chart) template.HTML { return template.HTML(c.SVG(chart.Wide)) },
	"narrow": func(c *chart.Chart) template.HTML { return template.HTML(c.SVG(chart.Narrow)) },
}).Parse(pageSource))

// HTML gives one page without any outside file.
func (p *Document) HTML() ([]byte, error) {
	var b bytes.Buffer
	err := page.Execute(&b, p)
	return b.Bytes(), err
}
