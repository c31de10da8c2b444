// Package chart draws the pictures of the example programs as SVG: axes, lines, filled
// areas, points and bars in shades of grey and hatches, so that a print in black and
// white can be read. A picture is kept as what it shows and is drawn for a width: on a
// phone its text keeps its size, labels are broken or moved and never cut. Each picture
// carries a title and a description for readers who cannot see it.
package chart

import (
	"fmt"
	"math"
	"strconv"
)

// XY is a place in data coordinates.
type XY struct{ X, Y float64 }

// Tick is a number or a word on the axis below.
type Tick struct {
	At   float64
	Text string
}

// Chart is a picture under construction. Give X and Y ranges in data units; Equal keeps
// both axes at one scale, as a map needs.
type Chart struct {
	ID             string // unique on the page
	Title, Desc    string
	XLabel, YLabel string // quantity and unit
	XMin, XMax     float64
	YMin, YMax     float64
	Equal          bool
	Names          []string // categories at x = 0, 1, 2 ... in place of numbers
	YNames         []string // rows at y = 0, -1, -2 ... in place of numbers, each half a unit up and down
	XTicks         []Tick   // in place of round numbers
	Height         float64  // of the picture without its legend in pixels, 320 when 0; of a map the most, 420 when 0
	// ScaleBar is a length in data units that a map shows with its text in place of axes,
	// beside an arrow to the north; 0 for none.
	ScaleBar     float64
	ScaleBarText string

	shapes []func(*drawing)
	labels []func(*drawing) // over all shapes, so that none is covered
	legend []entry
}

type entry struct{ style, text string }

// Widths for which pages draw: a desk or a print, and a phone.
const (
	Wide   = 720.0
	Narrow = 340.0
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
	Cross = "fill:url(#cross)"
	Dots  = "fill:url(#dots)"
	Solid = "fill:#555"
	Light = "fill:#ddd"
	Plain = "fill:#fff;stroke:#000"
	None  = "fill:none"
)

// Line styles that differ without colour.
const (
	Full   = "stroke:#000;stroke-width:1.6"
	Thin   = "stroke:#000;stroke-width:.7"
	Dashed = "stroke:#000;stroke-width:1.4;stroke-dasharray:7 4"
	Dotted = "stroke:#000;stroke-width:1.6;stroke-dasharray:1.5 3.5"
)

// Area fills the rings by the even-odd rule, so that inner rings are holes.
func (c *Chart) Area(style string, rings ...[]XY) {
	c.shapes = append(c.shapes, func(d *drawing) { d.area(style, rings) })
}

// Line draws an open line through the points.
func (c *Chart) Line(style string, pts ...XY) {
	c.shapes = append(c.shapes, func(d *drawing) { d.line(style, pts) })
}

// Bar fills the rectangle from the base to the value between x0 and x1.
func (c *Chart) Bar(style string, x0, x1, value float64) {
	c.Area(style+";stroke:#000;stroke-width:.7", []XY{{x0, 0}, {x1, 0}, {x1, value}, {x0, value}})
}

// Span fills a bar of row i of YNames from x0 to x1; rows lie one below the other.
func (c *Chart) Span(style string, row int, x0, x1 float64) {
	y := -float64(row)
	c.Area(style+";stroke:#000;stroke-width:.7", []XY{{x0, y - 0.3}, {x1, y - 0.3}, {x1, y + 0.3}, {x0, y + 0.3}})
}

// Between draws the low and high of a value in row i of YNames: a line with two ends.
func (c *Chart) Between(row int, low, high float64) {
	y := -float64(row)
	c.Line(Full, XY{low, y}, XY{high, y})
	c.Line(Full, XY{low, y - 0.18}, XY{low, y + 0.18})
	c.Line(Full, XY{high, y - 0.18}, XY{high, y + 0.18})
}

// Mark draws a cross at p with a label beside it, empty for none.
func (c *Chart) Mark(p XY, label string) {
	c.shapes = append(c.shapes, func(d *drawing) { d.cross(p) })
	if label != "" {
		c.Beside(p, label)
	}
}

// Beside writes a label beside p, on what side it finds room.
func (c *Chart) Beside(p XY, label string) {
	c.labels = append(c.labels, func(d *drawing) { d.beside(p, label) })
}

// OnLine writes a label on a line, at the first of its points where there is room; a line
// without room stays without a label.
func (c *Chart) OnLine(pts []XY, label string) {
	c.labels = append(c.labels, func(d *drawing) { d.onLine(pts, label) })
}

// Text writes a label on p, or as near to it as it finds room.
func (c *Chart) Text(p XY, label string) {
	c.labels = append(c.labels, func(d *drawing) { d.on(p, label) })
}

// Key adds an entry to the legend: a fill style or a line style with its meaning.
func (c *Chart) Key(style, text string) { c.legend = append(c.legend, entry{style, text}) }

// Nice returns about n round steps that cover lo to hi.
func Nice(lo, hi float64, n int) []float64 {
	// Ends that only rounding tells apart have no steps between them.
	if !(hi-lo > 1e-12*max(math.Abs(lo), math.Abs(hi))) || math.IsInf(hi-lo, 0) {
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
	for k := math.Ceil(lo/step - 1e-9); k*step <= hi+1e-9*step && len(out) <= 20*n; k++ {
		out = append(out, k*step)
	}
	return out
}

// Number writes an axis number without needless digits, thousands grouped.
func Number(x float64) string {
	if math.Abs(x) < 1e-12 {
		return "0"
	}
	if math.Abs(x) >= 1e4 {
		s := strconv.FormatFloat(math.Abs(x), 'f', 0, 64)
		for i := len(s) - 3; i > 0; i -= 3 {
			s = s[:i] + "," + s[i:]
		}
		if x < 0 {
			s = "-" + s
		}
		return s
	}
	return strconv.FormatFloat(x, 'g', 6, 64)
}
