package chart

import (
	"fmt"
	"html"
	"math"
	"strings"
)

const (
	fontSize  = 12.0 // pixels, on every width
	lineStep  = 14.0 // from one line of a label to the next
	legendGap = 8.0
	edge      = 6.0 // around everything
	padding   = 4.0 // between an axis and its numbers

	barRoom     = 17.0  // of a row for its bar
	leastBeside = 500.0 // width from which names stand beside their rows
)

// drawing is a chart drawn for one width.
type drawing struct {
	*Chart
	width                    float64
	left, right, top, bottom float64 // of the frame, in pixels from the upper left corner
	below                    float64 // room under the frame for names, numbers and title
	turns                    int     // rows that the names below stand in by turns
	yNames, xNames           [][]string
	rowTops                  []float64 // of the rows of yNames
	over                     bool      // the names stand over their rows, not beside
	ticks                    []Tick
	b                        strings.Builder
	taken                    []box // by labels
}

type box struct{ x0, y0, x1, y1 float64 }

func (a box) overlap(b box) float64 {
	w, h := min(a.x1, b.x1)-max(a.x0, b.x0), min(a.y1, b.y1)-max(a.y0, b.y0)
	return max(0, w) * max(0, h)
}

// SVG returns the picture drawn for a width in pixels.
func (c *Chart) SVG(width float64) string {
	svg, _ := c.Draw(width)
	return svg
}

// Draw returns the picture drawn for a width in pixels, and its height.
func (c *Chart) Draw(width float64) (svg string, height float64) {
	d := &drawing{Chart: c, width: width}
	d.frame()
	for _, shape := range c.shapes {
		shape(d)
	}
	d.axes()
	for _, label := range c.labels {
		label(d)
	}
	h := d.keys()
	id := fmt.Sprintf("%s-%.0f", c.ID, width)
	head := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="%s-t %s-d" viewBox="0 0 %.0f %.0f" width="%.0f" height="%.0f">`+"\n", id, id, width, h, width, h) +
		fmt.Sprintf("<title id=\"%s-t\">%s</title>\n<desc id=\"%s-d\">%s</desc>\n", id, html.EscapeString(c.Title), id, html.EscapeString(c.Desc)) +
		`<defs><pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse"><path d="M0 6L6 0" stroke="#000" stroke-width=".8"/></pattern>` +
		`<pattern id="cross" width="6" height="6" patternUnits="userSpaceOnUse"><path d="M0 6L6 0M0 0L6 6" stroke="#000" stroke-width=".6"/></pattern>` +
		`<pattern id="dots" width="6" height="6" patternUnits="userSpaceOnUse"><circle cx="3" cy="3" r="1" fill="#000"/></pattern></defs>` + "\n" +
		`<style>text{font:12px sans-serif;fill:#000}.rim{paint-order:stroke;stroke:#fff;stroke-width:3px;stroke-linejoin:round}</style>` + "\n"
	text := head + d.b.String() + "</svg>\n"
	// Several pictures may stand on one page, so patterns carry the picture's name.
	var names []string
	for _, p := range []string{"hatch", "cross", "dots"} {
		names = append(names, "#"+p, "#"+id+"-"+p, `"`+p+`"`, `"`+id+"-"+p+`"`)
	}
	return strings.NewReplacer(names...).Replace(text), h
}

// frame settles where the frame lies: what stands around it has its room first.
func (d *drawing) frame() {
	d.right = d.width - edge - 8
	d.top = edge + 4
	if d.YLabel != "" && d.ScaleBar == 0 {
		d.top += lineStep * float64(len(broken(d.YLabel, d.width-2*edge)))
	}
	d.left = edge + 2
	switch {
	case d.YNames != nil:
		d.over = d.width < leastBeside
		most := 0.55 * d.width
		if d.over {
			most = d.right - d.left - 2*padding
		}
		for _, n := range d.YNames {
			lines := broken(n, most)
			d.yNames = append(d.yNames, lines)
			if !d.over {
				d.left = max(d.left, edge+widest(lines)+2*padding)
			}
		}
	case d.ScaleBar == 0:
		for _, t := range Nice(d.YMin, d.YMax, 6) {
			d.left = max(d.left, edge+textWidth(Number(t))+padding+6)
		}
	}
	d.below, d.turns = edge+2, 1
	switch {
	case d.ScaleBar > 0:
		d.below += 34
	case d.Names != nil:
		slot := (d.right-d.left)/float64(max(1, len(d.Names))) - 2
		for _, n := range d.Names {
			lines := broken(n, slot)
			d.xNames = append(d.xNames, lines)
			if widest(lines) > slot+2 {
				d.turns = 2 // words wider than their place
			}
		}
		d.below += 6 + lineStep*float64(d.rows())
	default:
		d.ticks = d.XTicks
		if d.ticks == nil {
			for _, t := range Nice(d.XMin, d.XMax, max(2, int((d.right-d.left)/75))) {
				d.ticks = append(d.ticks, Tick{t, Number(t)})
			}
		}
		if d.ticks = d.thinned(d.ticks); len(d.ticks) > 0 {
			d.below += 6 + lineStep
		}
	}
	if d.XLabel != "" && d.ScaleBar == 0 {
		d.below += lineStep*float64(len(d.middled(d.XLabel))) + 2
	}
	height := d.Height
	if height <= 0 {
		height = 320
	}
	if d.YNames != nil { // every row has room for its name
		at := d.top + padding
		for i := range d.yNames {
			d.rowTops = append(d.rowTops, at)
			at += d.rowHeight(i)
		}
		height = at + padding + d.below
	}
	if d.Equal {
		height = (d.right-d.left)*(d.YMax-d.YMin)/(d.XMax-d.XMin) + d.top + d.below
		most := 420.0
		if d.Height > 0 {
			most = d.Height
		}
		if most = min(1.3*d.width, most); height > most { // a tall map keeps to the page
			d.right = d.left + (most-d.top-d.below)*(d.XMax-d.XMin)/(d.YMax-d.YMin)
			height = most
		}
	}
	d.bottom = height - d.below
}

// rows is how many lines the names below the frame take.
func (d *drawing) rows() int {
	deepest := 0
	for _, n := range d.xNames {
		deepest = max(deepest, len(n))
	}
	return deepest * d.turns
}

// thinned leaves out ticks whose texts would touch.
func (d *drawing) thinned(ticks []Tick) []Tick {
	var out []Tick
	end := math.Inf(-1)
	for _, t := range ticks {
		x, _ := d.px(XY{t.At, 0})
		half := textWidth(t.Text) / 2
		if x-half < end+4 || x < d.left-1 || x > d.right+1 {
			continue
		}
		out = append(out, t)
		end = x + half
	}
	return out
}

func (d *drawing) px(p XY) (x, y float64) {
	x = d.left + (d.right-d.left)*(p.X-d.XMin)/(d.XMax-d.XMin)
	if d.rowTops != nil {
		return x, d.rowY(p.Y)
	}
	return x, d.bottom - (d.bottom-d.top)*(p.Y-d.YMin)/(d.YMax-d.YMin)
}

// rowHeight is the height of row i, with its name beside or over the bars.
func (d *drawing) rowHeight(i int) float64 {
	lines := lineStep * float64(len(d.yNames[i]))
	if d.over {
		return lines + barRoom + 2
	}
	return max(barRoom, lines+6)
}

// rowY is the height of y in the rows: bars keep their width however long the names are.
func (d *drawing) rowY(y float64) float64 {
	i := min(max(int(math.Floor(0.5-y)), 0), len(d.rowTops)-1)
	free := d.rowHeight(i) - barRoom
	if !d.over {
		free /= 2
	}
	return d.rowTops[i] + free + barRoom*(0.5-y-float64(i))
}

func (d *drawing) path(pts []XY, closed bool) string {
	var b strings.Builder
	for i, p := range pts {
		x, y := d.px(p)
		b.WriteByte("ML"[min(i, 1)])
		fmt.Fprintf(&b, "%.1f %.1f", x, y)
	}
	if closed {
		b.WriteByte('Z')
	}
	return b.String()
}

func (d *drawing) area(style string, rings [][]XY) {
	d.b.WriteString(`<path fill-rule="evenodd" style="` + style + `" d="`)
	for _, r := range rings {
		d.b.WriteString(d.path(r, true))
	}
	d.b.WriteString("\"/>\n")
}

func (d *drawing) line(style string, pts []XY) {
	fmt.Fprintf(&d.b, `<path style="fill:none;%s" d="%s"/>`+"\n", style, d.path(pts, false))
}

func (d *drawing) cross(p XY) {
	x, y := d.px(p)
	fmt.Fprintf(&d.b, `<path style="fill:none;%s" d="M%.1f %.1fh8m-4 -4v8"/>`+"\n", Full, x-4, y)
	d.taken = append(d.taken, box{x - 4, y - 4, x + 4, y + 4})
}

// write puts lines of text with the middle of the first line's left, middle or right at
// x and its base at y.
func (d *drawing) write(class string, x, y float64, anchor string, lines ...string) {
	for i, l := range lines {
		fmt.Fprintf(&d.b, `<text%s x="%.1f" y="%.1f" text-anchor="%s">%s</text>`+"\n", class, x, y+lineStep*float64(i), anchor, html.EscapeString(l))
	}
}

// place writes a label at the first of the places (upper left corners) where it lies in
// the frame and on no other, or else where it covers least.
func (d *drawing) place(lines []string, places []XY) {
	w, h := widest(lines), lineStep*float64(len(lines))
	best, least := box{}, math.Inf(1)
	for i, p := range places {
		x := min(max(p.X, d.left+2), max(d.left+2, d.right-w-2))
		y := min(max(p.Y, d.top+1), max(d.top+1, d.bottom-h-1))
		at := box{x, y, x + w, y + h}
		covers := float64(i) / 1000
		for _, t := range d.taken {
			covers += at.overlap(t)
		}
		if covers < least {
			best, least = at, covers
		}
	}
	d.taken = append(d.taken, best)
	d.write(` class="rim"`, (best.x0+best.x1)/2, best.y0+fontSize-1, "middle", lines...)
}

// beside writes a label near a mark.
func (d *drawing) beside(p XY, label string) {
	x, y := d.px(p)
	lines := broken(label, (d.right-d.left)/2)
	w, h := widest(lines), lineStep*float64(len(lines))
	d.place(lines, []XY{{x + 6, y - h}, {x - 6 - w, y - h}, {x + 6, y + 1}, {x - 6 - w, y + 1}, {x - w/2, y - h - 5}, {x - w/2, y + 6}})
}

// onLine writes a label where the line leaves room for it.
func (d *drawing) onLine(pts []XY, label string) {
	w, h := textWidth(label), lineStep
	for _, p := range pts {
		x, y := d.px(p)
		at := box{x - w/2, y - h/2, x + w/2, y + h/2}
		free := at.x0 >= d.left && at.x1 <= d.right && at.y0 >= d.top && at.y1 <= d.bottom
		for _, t := range d.taken {
			free = free && at.overlap(t) == 0
		}
		if free {
			d.taken = append(d.taken, at)
			d.write(` class="rim"`, x, at.y0+fontSize-1, "middle", label)
			return
		}
	}
}

// on writes a label on a place.
func (d *drawing) on(p XY, label string) {
	x, y := d.px(p)
	lines := broken(label, 0.9*(d.right-d.left))
	w, h := widest(lines), lineStep*float64(len(lines))
	var places []XY
	for _, dy := range []float64{0, -1, 1, -2, 2} {
		for _, dx := range []float64{0, -0.5, 0.5} {
			places = append(places, XY{x - w/2 + dx*w, y - h/2 + dy*(h+1)})
		}
	}
	d.place(lines, places)
}

// axes draws the frame with names, numbers and titles, or the scale of a map.
func (d *drawing) axes() {
	if d.ScaleBar > 0 {
		d.scale()
		return
	}
	fmt.Fprintf(&d.b, `<rect x="%.1f" y="%.1f" width="%.1f" height="%.1f" style="fill:none;stroke:#000"/>`+"\n", d.left, d.top, d.right-d.left, d.bottom-d.top)
	y := d.bottom + 6 + fontSize - 1
	rows := d.rows()
	for i, n := range d.xNames {
		x, _ := d.px(XY{float64(i), 0})
		half := widest(n) / 2
		x = min(max(x, edge+half), d.width-edge-half)
		d.write("", x, y+lineStep*float64(rows/d.turns*(i%d.turns)), "middle", n...)
	}
	for _, t := range d.ticks {
		rows = 1
		x, _ := d.px(XY{t.At, 0})
		fmt.Fprintf(&d.b, `<path d="M%.1f %.1fv5" stroke="#000"/>`, x, d.bottom)
		half := textWidth(t.Text) / 2
		d.write("", min(max(x, edge+half), d.width-edge-half), y, "middle", t.Text)
	}
	if d.XLabel != "" {
		d.write("", (d.left+d.right)/2, y+lineStep*float64(rows)+2, "middle", d.middled(d.XLabel)...)
	}
	for i, n := range d.yNames {
		if d.over {
			d.write("", d.left+padding, d.rowTops[i]+fontSize, "start", n...)
			continue
		}
		d.write("", d.left-padding, d.rowY(-float64(i))+4-lineStep*float64(len(n)-1)/2, "end", n...)
	}
	if d.yNames == nil {
		for _, t := range Nice(d.YMin, d.YMax, 6) {
			_, at := d.px(XY{d.XMin, t})
			fmt.Fprintf(&d.b, `<path d="M%.1f %.1fh-5" stroke="#000"/>`, d.left, at)
			d.write("", d.left-padding-4, at+4, "end", Number(t))
		}
	}
	if d.YLabel != "" {
		d.write("", edge, edge+fontSize-2, "start", broken(d.YLabel, d.width-2*edge)...)
	}
}

// middled breaks an axis title to the width that it has on both sides of its middle.
func (d *drawing) middled(text string) []string {
	middle := (d.left + d.right) / 2
	return broken(text, 2*min(middle-edge, d.width-edge-middle))
}

// scale draws a scale bar and an arrow to the north below a map.
func (d *drawing) scale() {
	y := d.bottom + 22
	x0, _ := d.px(XY{d.XMin, 0})
	x1, _ := d.px(XY{d.XMin + d.ScaleBar, 0})
	fmt.Fprintf(&d.b, `<path d="M%.1f %.1fv8M%.1f %.1fv8M%.1f %.1fh%.1f" style="fill:none;%s"/>`+"\n", x0, y-4, x1, y-4, x0, y, x1-x0, Full)
	d.write("", x1+6, y+4, "start", d.ScaleBarText)
	x := d.right - 10
	fmt.Fprintf(&d.b, `<path d="M%.1f %.1fv-24m-4 8l4 -8l4 8" style="fill:none;%s"/>`+"\n", x, y+8, Full)
	d.write("", x-8, y+4, "end", "N")
}

// keys draws the legend and returns the height of the picture.
func (d *drawing) keys() float64 {
	y := d.bottom + d.below
	if len(d.legend) > 0 {
		y += legendGap
	}
	x, rows := edge+2, 1 // entries stand side by side where they fit
	for i, e := range d.legend {
		lines := broken(e.text, d.width-2*edge-38)
		w := 36 + widest(lines) + 16
		if i > 0 && x+w-16 > d.width-edge {
			x, y, rows = edge+2, y+lineStep*float64(rows)+4, 1
		}
		if strings.HasPrefix(e.style, "fill") {
			fmt.Fprintf(&d.b, `<rect x="%.0f" y="%.1f" width="26" height="11" style="%s;stroke:#000;stroke-width:.7"/>`, x, y, e.style)
		} else {
			fmt.Fprintf(&d.b, `<path d="M%.0f %.1fh26" style="fill:none;%s"/>`, x, y+5.5, e.style)
		}
		d.write("", x+34, y+10, "start", lines...)
		x, rows = x+w, max(rows, len(lines))
	}
	if len(d.legend) > 0 {
		y += lineStep*float64(rows) + 4
	}
	return math.Ceil(y + 2)
}

// textWidth is about how wide text is set in pixels, on the safe side.
func textWidth(s string) float64 {
	w := 0.0
	for _, r := range s {
		switch {
		case strings.ContainsRune("ijl.,:;'|!()[]/ ft", r):
			w += 0.34
		case strings.ContainsRune("mwMW%@", r):
			w += 0.92
		case r >= 'A' && r <= 'Z' || r > 0x7f:
			w += 0.72
		default:
			w += 0.6
		}
	}
	return w * fontSize
}

func widest(lines []string) float64 {
	w := 0.0
	for _, l := range lines {
		w = max(w, textWidth(l))
	}
	return w
}

// broken cuts text at words into lines of at most width pixels, but for longer words; a
// number stays with its unit where a no-break space joins them.
func broken(text string, width float64) []string {
	var lines []string
	line := ""
	for word := range strings.FieldsFuncSeq(text, func(r rune) bool { return r == ' ' || r == '\n' }) {
		if line != "" && textWidth(line+" "+word) > width {
			lines, line = append(lines, line), ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	return append(lines, line)
}
