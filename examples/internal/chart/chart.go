// Package chart draws the pictures of the example programs as SVG: axes, lines,
// filled areas, points and bars in shades of grey and hatches, so that a print in
// black and white can be read. Each picture carries a title and a description for
// readers who cannot see it.
package chart

import (
	"fmt"
	"html"
	"math"
	"strconv"
	"strings"
)

// XY is a place in data coordinates.
type XY struct{ X, Y float64 }

// Chart is a picture under construction. Give X and Y ranges in data units;
// Equal keeps both axes at one scale, as a map needs.
type Chart struct {
	ID             string // unique on the page
	Title, Desc    string
	XLabel, YLabel string
	XMin, XMax     float64
	YMin, YMax     float64
	Equal          bool
	Names          []string // categories at x = 0, 1, 2 ... in place of numbers
	YNames         []string // categories at y = 0, -1, -2 ... in place of numbers, with room for longer ones
	Height         float64  // of the drawing in pixels, 320 when 0

	body   strings.Builder
	legend []entry
}

type entry struct{ kind, style, text string }

const (
	width  = 720.0
	left   = 64.0
	right  = 16.0
	top    = 12.0
	bottom = 46.0
)

// Shade is the name of fill number i of n, light to dark.
func Shade(i, n int) string {
	if n < 2 {
		return "fill:#ddd"
	}
	g := 245 - 175*i/(n-1)
	return fmt.Sprintf("fill:rgb(%d,%d,%d)", g, g, g)
}

// Fill styles that differ without colour.
const (
	Hatch = "fill:url(#hatch)"
	Dots  = "fill:url(#dots)"
	Solid = "fill:#555"
	Plain = "fill:#fff;stroke:#000"
)

// Line styles that differ without colour.
const (
	Full   = "stroke:#000;stroke-width:1.6"
	Thin   = "stroke:#000;stroke-width:.7"
	Dashed = "stroke:#000;stroke-width:1.4;stroke-dasharray:7 4"
	Dotted = "stroke:#000;stroke-width:1.6;stroke-dasharray:1.5 3.5"
)

func (c *Chart) height() float64 {
	if c.Equal {
		return (width-left-right)*(c.YMax-c.YMin)/(c.XMax-c.XMin) + top + bottom
	}
	if c.Height > 0 {
		return c.Height
	}
	return 320
}

// left is the room for the axis on the left.
func (c *Chart) left() float64 {
	if c.YNames != nil {
		return 230
	}
	return left
}

func (c *Chart) px(p XY) (x, y float64) {
	left := c.left()
	w, h := width-left-right, c.height()-top-bottom
	return left + w*(p.X-c.XMin)/(c.XMax-c.XMin), top + h*(c.YMax-p.Y)/(c.YMax-c.YMin)
}

func (c *Chart) path(pts []XY, closed bool) string {
	var b strings.Builder
	for i, p := range pts {
		x, y := c.px(p)
		if i == 0 {
			b.WriteByte('M')
		} else {
			b.WriteByte('L')
		}
		fmt.Fprintf(&b, "%.1f %.1f", x, y)
	}
	if closed {
		b.WriteByte('Z')
	}
	return b.String()
}

// Area fills the rings by the even-odd rule, so that inner rings are holes.
func (c *Chart) Area(style string, rings ...[]XY) {
	c.body.WriteString(`<path fill-rule="evenodd" style="` + style + `" d="`)
	for _, r := range rings {
		c.body.WriteString(c.path(r, true))
	}
	c.body.WriteString("\"/>\n")
}

// Line draws an open line through the points.
func (c *Chart) Line(style string, pts ...XY) {
	fmt.Fprintf(&c.body, `<path style="fill:none;%s" d="%s"/>`+"\n", style, c.path(pts, false))
}

// Bar fills the rectangle from the base to the value between x0 and x1.
func (c *Chart) Bar(style string, x0, x1, value float64) {
	c.Area(style+";stroke:#000;stroke-width:.7", []XY{{x0, 0}, {x1, 0}, {x1, value}, {x0, value}})
}

// Mark draws a cross at p with a label beside it, inside the frame, empty for none.
func (c *Chart) Mark(p XY, label string) {
	x, y := c.px(p)
	fmt.Fprintf(&c.body, `<path style="fill:none;%s" d="M%.1f %.1fh8m-4 -4v8"/>`, Full, x-4, y)
	if label != "" {
		if x > width-right-30 {
			c.label(x-6, y-4, label, "end")
		} else {
			c.label(x+6, y-4, label, "start")
		}
	}
}

// Text writes a label centred on p.
func (c *Chart) Text(p XY, label string) {
	x, y := c.px(p)
	c.label(x, y+3.5, label, "middle")
}

// label writes text with a white rim, so that it reads on any shade.
func (c *Chart) label(x, y float64, s, anchor string) {
	fmt.Fprintf(&c.body, `<text class="rim" x="%.1f" y="%.1f" text-anchor="%s">%s</text>`+"\n", x, y, anchor, html.EscapeString(s))
}

// Key adds an entry to the legend: a fill style or a line style with its
// meaning.
func (c *Chart) Key(style, text string) {
	kind := "line"
	if strings.HasPrefix(style, "fill") {
		kind = "fill"
	}
	c.legend = append(c.legend, entry{kind, style, text})
}

// Nice returns about n round steps that cover lo to hi.
func Nice(lo, hi float64, n int) []float64 {
	if !(hi > lo) || math.IsInf(hi-lo, 0) {
		return nil
	}
	raw := (hi - lo) / float64(n)
	step := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, m := range []float64{1, 2, 2.5, 5, 10} {
		if step*m >= raw {
			step *= m
			break
		}
	}
	var out []float64
	for k := math.Ceil(lo/step - 1e-9); k*step <= hi+1e-9*step; k++ {
		out = append(out, k*step)
	}
	return out
}

// Number writes an axis number without needless digits.
func Number(x float64) string {
	if math.Abs(x) < 1e-12 {
		return "0"
	}
	s := strconv.FormatFloat(x, 'g', 6, 64)
	if strings.Contains(s, "e") {
		s = strconv.FormatFloat(x, 'f', 0, 64)
	}
	return s
}

// SVG returns the finished picture.
func (c *Chart) SVG() string {
	h := c.height()
	total := h + 18*float64(len(c.legend))
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="%s-t %s-d" viewBox="0 0 %.0f %.0f">`+"\n", c.ID, c.ID, width, total)
	fmt.Fprintf(&b, "<title id=\"%s-t\">%s</title>\n<desc id=\"%s-d\">%s</desc>\n", c.ID, html.EscapeString(c.Title), c.ID, html.EscapeString(c.Desc))
	b.WriteString(`<defs><pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse"><path d="M0 6L6 0" stroke="#000" stroke-width=".8"/></pattern>` +
		`<pattern id="dots" width="6" height="6" patternUnits="userSpaceOnUse"><circle cx="3" cy="3" r="1" fill="#000"/></pattern></defs>` + "\n" +
		`<style>text{font:12px sans-serif;fill:#000}.rim{paint-order:stroke;stroke:#fff;stroke-width:3px;stroke-linejoin:round}</style>` + "\n")
	c.axes(&b)
	b.WriteString(c.body.String())
	x0, y0 := c.px(XY{c.XMin, c.YMin})
	x1, y1 := c.px(XY{c.XMax, c.YMax})
	fmt.Fprintf(&b, `<rect x="%.1f" y="%.1f" width="%.1f" height="%.1f" style="fill:none;stroke:#000"/>`+"\n", x0, y1, x1-x0, y0-y1)
	for i, e := range c.legend {
		y := h + 18*float64(i)
		if e.kind == "fill" {
			fmt.Fprintf(&b, `<rect x="%.0f" y="%.1f" width="26" height="11" style="%s;stroke:#000;stroke-width:.7"/>`, left, y, e.style)
		} else {
			fmt.Fprintf(&b, `<path d="M%.0f %.1fh26" style="fill:none;%s"/>`, left, y+5.5, e.style)
		}
		fmt.Fprintf(&b, `<text x="%.0f" y="%.1f">%s</text>`+"\n", left+34, y+10, html.EscapeString(e.text))
	}
	b.WriteString("</svg>\n")
	// Several charts may stand on one page, so patterns carry the chart's name.
	return strings.NewReplacer("#hatch", "#"+c.ID+"-hatch", `"hatch"`, `"`+c.ID+`-hatch"`,
		"#dots", "#"+c.ID+"-dots", `"dots"`, `"`+c.ID+`-dots"`).Replace(b.String())
}

// yTicks are the numbers of the axis on the left.
func (c *Chart) yTicks() []float64 {
	if c.YNames != nil {
		return nil
	}
	return Nice(c.YMin, c.YMax, 6)
}

func (c *Chart) axes(b *strings.Builder) {
	if c.Names != nil {
		for i, n := range c.Names {
			x, y := c.px(XY{float64(i), c.YMin})
			fmt.Fprintf(b, `<text x="%.1f" y="%.1f" text-anchor="middle">%s</text>`, x, y+16, html.EscapeString(n))
		}
	} else {
		for _, t := range Nice(c.XMin, c.XMax, 8) {
			x, y := c.px(XY{t, c.YMin})
			fmt.Fprintf(b, `<path d="M%.1f %.1fv5" stroke="#000"/><text x="%.1f" y="%.1f" text-anchor="middle">%s</text>`, x, y, x, y+17, Number(t))
		}
	}
	for i, n := range c.YNames {
		x, y := c.px(XY{c.XMin, -float64(i)})
		fmt.Fprintf(b, `<text x="%.1f" y="%.1f" text-anchor="end">%s</text>`, x-8, y+4, html.EscapeString(n))
	}
	for _, t := range c.yTicks() {
		x, y := c.px(XY{c.XMin, t})
		fmt.Fprintf(b, `<path d="M%.1f %.1fh-5" stroke="#000"/><text x="%.1f" y="%.1f" text-anchor="end">%s</text>`, x, y, x-8, y+4, Number(t))
	}
	h, left := c.height(), c.left()
	fmt.Fprintf(b, `<text x="%.0f" y="%.1f" text-anchor="middle">%s</text>`, (left+width-right)/2, h-12, html.EscapeString(c.XLabel))
	fmt.Fprintf(b, `<text transform="translate(16 %.1f) rotate(-90)" text-anchor="middle">%s</text>`+"\n", (top+h-bottom)/2, html.EscapeString(c.YLabel))
}
