package report

import (
	"math"
	"slices"

	"example.org/earthbasin/examples/internal/chart"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// sitePicture is the plan of the site as it is; nil for a basin without an outline.
func (p *pages) sitePicture() *chart.Chart {
	l := p.r.Layout
	if l == nil {
		return nil
	}
	c := &chart.Chart{ID: "site", Title: "Plan of the site", Equal: true}
	rings := append([]plane.Polygon{l.BermToe}, l.Crest...)
	for _, x := range l.Places {
		rings = append(rings, x.Points)
	}
	for _, f := range l.Fields {
		if f.Way != nil { // room for arrows around
			low, high := bounds(rings)
			far := 0.12 * max(high.X-low.X, high.Y-low.Y)
			rings = append(rings, plane.Polygon{{X: low.X - far, Y: low.Y - far}, {X: high.X + far, Y: high.Y + far}})
			break
		}
	}
	p.bounds(c, rings...)
	if len(l.BermToe) > 0 {
		c.Area(chart.Light+";"+chart.Thin, p.xy(l.BermToe))
		c.Area(chart.Plain+";"+chart.Thin, p.xy(l.BermEdge))
		c.Key(chart.Light, "outer slope of the berm, down to the ground")
		c.Key(chart.Thin, "outer edge of the top of the berm")
	}
	p.rings(c, chart.Plain, l.Crest)
	p.rings(c, chart.None+";"+chart.Full, l.Crest)
	c.Key(chart.Full, "inside top of the bank")
	if len(l.Floor) > 0 {
		p.rings(c, chart.None+";"+chart.Dashed, l.Floor)
		c.Key(chart.Dashed, "foot of the bank, around the floor")
	}
	p.places(c)
	p.ways(c)
	c.Desc = p.say("Plan of the basin, %v deep, with what stands around it, as the scenario tells it. Levels and lines on the ground come from the surveyor.", p.lengths(p.r.Contents.Depth, 1))
	return c
}

// bounds are the corners of what holds all rings.
func bounds(rings []plane.Polygon) (low, high plane.Point) {
	return slices.Concat(rings...).Bounds()
}

// rings draws the outlines of a level section in the one style.
func (p *pages) rings(c *chart.Chart, style string, list []plane.Polygon) {
	var all [][]chart.XY
	for _, ring := range list {
		all = append(all, p.xy(ring))
	}
	c.Area(style, all...)
}

// places draws what stands on the site beside the basin.
func (p *pages) places(c *chart.Chart) {
	for _, x := range p.r.Layout.Places {
		pts := p.xy(x.Points)
		switch {
		case x.Closed:
			c.Area(chart.Dots+";"+chart.Full, pts)
			c.Text(p.xy(plane.Polygon{plane.Polygon(x.Points).Centroid()})[0], x.Name)
		case len(pts) == 1:
			c.Mark(pts[0], x.Name)
		default:
			c.Line(chart.Dotted, pts...)
			c.Beside(farther(c, pts[0], pts[len(pts)-1]), x.Name)
		}
	}
	for _, k := range []struct {
		is    func(points int, closed bool) bool
		style string
		text  string
	}{{func(n int, closed bool) bool { return !closed && n > 1 }, chart.Dotted, "line in the ground or on it, by its name"},
		{func(n int, closed bool) bool { return closed }, chart.Dots, "area, by its name"}} {
		for _, x := range p.r.Layout.Places {
			if k.is(len(x.Points), x.Closed) {
				c.Key(k.style, k.text)
				break
			}
		}
	}
}

// farther is the one of two points that lies farther from the middle of the map.
func farther(c *chart.Chart, a, b chart.XY) chart.XY {
	x, y := (c.XMin+c.XMax)/2, (c.YMin+c.YMax)/2
	if math.Hypot(b.X-x, b.Y-y) > math.Hypot(a.X-x, a.Y-y) {
		return b
	}
	return a
}

// ways are arrows at the rim toward the fields.
func (p *pages) ways(c *chart.Chart) {
	x, y := (c.XMin+c.XMax)/2, (c.YMin+c.YMax)/2
	for _, f := range p.r.Layout.Fields {
		if f.Way == nil {
			continue
		}
		dx, dy := float64(f.Way.X/units.Metre), float64(f.Way.Y/units.Metre)
		reach := min((c.XMax-x)/max(math.Abs(dx), 1e-9), (c.YMax-y)/max(math.Abs(dy), 1e-9))
		at := func(k, side float64) chart.XY {
			return chart.XY{X: x + reach*(k*dx-side*dy), Y: y + reach*(k*dy+side*dx)}
		}
		c.Line(chart.Full, at(0.9, 0), at(1, 0))
		c.Line(chart.Full, at(0.96, 0.025), at(1, 0), at(0.96, -0.025))
		label := f.Field
		if f.Distance > 0 {
			label = p.say("%v, %v", f.Field, shown(p.figures, road, f.Distance, 1))
		}
		c.Beside(at(0.95, 0), label)
	}
}

// gradePicture is the plan of the crown to build: its foot, ridge and the fall of the
// ground; nil where there is none.
func (p *pages) gradePicture() *chart.Chart {
	l := p.r.Layout
	if l == nil || len(l.Crown) == 0 {
		return nil
	}
	o := p.r.Closing.Of(p.r.Closing.Chosen)
	spec, peak := o.Crown.Build.Spec, o.Crown.Build.Peak
	c := &chart.Chart{ID: "grade", Title: "Plan of the grade to build", Equal: true, Height: 300}
	p.bounds(c, l.BermToe, l.Crown)
	if len(l.BermToe) > 0 {
		c.Area(chart.Light+";"+chart.Thin, p.xy(l.BermToe))
		c.Key(chart.Light, "where the berm stood: taken down to the ground, graded to drain")
	}
	c.Area(chart.Plain, p.xy(l.Crown))
	c.Area(chart.None+";"+chart.Full, p.xy(l.Crown))
	c.Key(chart.Full, "foot of the crown, at the edge of the filled basin")
	fall, low, high := "falls "+p.percent(spec.Grade, 1), chart.XY{}, chart.XY{}
	ridge := p.xy(l.Ridge)
	from, to := l.Crown.Bounds()
	box := p.xy(plane.Polygon{from, to})
	low, high = chart.XY{X: (box[0].X + box[1].X) / 2, Y: 0.85*box[0].Y + 0.15*box[1].Y}, chart.XY{X: (box[0].X + box[1].X) / 2, Y: 0.15*box[0].Y + 0.85*box[1].Y}
	if len(ridge) == 2 && ridge[0].X == ridge[1].X && ridge[0].Y != ridge[1].Y {
		low, high = chart.XY{X: 0.85*box[0].X + 0.15*box[1].X, Y: (box[0].Y + box[1].Y) / 2}, chart.XY{X: 0.15*box[0].X + 0.85*box[1].X, Y: (box[0].Y + box[1].Y) / 2}
	}
	top := p.say("top, %v above the foot", p.lengths(peak, 1))
	switch {
	case len(ridge) == 2 && ridge[0] != ridge[1]:
		c.Line(chart.Dashed, ridge...)
		c.Key(chart.Dashed, "ridge")
		top = p.say("ridge, %v above the foot", p.lengths(peak, 1))
		fallthrough
	case len(ridge) > 0:
		c.Text(chart.XY{X: (ridge[0].X + ridge[len(ridge)-1].X) / 2, Y: (ridge[0].Y + ridge[len(ridge)-1].Y) / 2}, top)
	}
	for _, hip := range l.Hips {
		c.Line(chart.Dotted, p.xy(hip[:])...)
	}
	if len(l.Hips) > 0 {
		c.Key(chart.Dotted, "hips")
	}
	c.Text(low, fall)
	c.Text(high, fall)
	c.Desc = p.say("The crown as built, %v high, falls at %v from its top to its foot, so that no water stands on the closed basin after it has settled.", p.lengths(peak, 1), p.percent(spec.Grade, 1))
	return c
}

// sectionPicture is the section across the crown, with its figures; nil where there is
// none.
func (p *pages) sectionPicture() (*chart.Chart, *Table) {
	o := p.r.Closing.Of(p.r.Closing.Chosen)
	if o.Section == nil || o.Levels == nil {
		return nil, nil
	}
	c := &chart.Chart{ID: "section", Title: "Section across the crown", Height: 250, XLabel: "along the section, " + unit(p.figures, site), YLabel: "height over the lowest point of the floor, " + unit(p.figures, site)}
	if o.Levels.Elevations {
		c.YLabel = "elevation, " + unit(p.figures, site)
	}
	lines := [3][]chart.XY{} // as found, settled, to build
	t := &Table{Head: []string{"Along the section", "As found", "When settled", "Grade to build"}}
	points := o.Section.Points
	for i, q := range points {
		x := number(p.figures, site, q.Station)
		for j, level := range []units.Length{q.Existing, q.Final, q.Built} {
			y := number(p.figures, site, level)
			lines[j] = append(lines[j], chart.XY{X: x, Y: y})
			if i == 0 && j == 0 {
				c.YMin, c.YMax = y, y
			}
			c.XMax, c.YMin, c.YMax = max(c.XMax, x), min(c.YMin, y), max(c.YMax, y)
		}
		t.Rows = append(t.Rows, []string{p.lengths(q.Station, 0), p.lengths(q.Existing, 1), p.lengths(q.Final, 1), p.lengths(q.Built, 1)})
	}
	margin := 0.08 * (c.YMax - c.YMin)
	c.YMin, c.YMax = c.YMin-margin, c.YMax+margin
	fill := slices.Clone(lines[2])
	for i, q := range slices.Backward(lines[0]) {
		fill = append(fill, chart.XY{X: q.X, Y: min(q.Y, lines[2][i].Y)})
	}
	c.Area(chart.Light, fill)
	c.Line(chart.Dotted, lines[0]...)
	c.Line(chart.Dashed, lines[1]...)
	c.Line(chart.Full, lines[2]...)
	c.Key(chart.Dotted, "as found: bank, berm and floor, the basin empty")
	c.Key(chart.Full, "grade to build")
	c.Key(chart.Dashed, "the same when it has settled")
	c.Key(chart.Light, "fill")
	c.Desc = p.say("Section the short way across the middle of the basin, heights drawn larger than lengths: foot of the crown at %v, ridge built at %v. Only the grade to build is staked out; the settled line is what it comes down to.",
		p.lengths(o.Levels.Foot, 1), p.lengths(o.Levels.Ridge, 1))
	return c, t
}

// siteSheet is where everything is and how far the fields lie.
func (p *pages) siteSheet() (Page, bool) {
	c := p.sitePicture()
	if c == nil {
		return Page{}, false
	}
	page := Page{Key: "site", Name: "Plan of the site", Alone: true, Cautions: []string{gas},
		Blocks: []Block{{Caption: c.Title, Picture: c}}}
	t := &Table{Head: []string{"Field", "Direction", "One way"}, Left: 2}
	for _, f := range p.r.Layout.Fields {
		row := []string{f.Field, "not told", "not told"}
		if f.Way != nil {
			row[1] = bearing(*f.Way)
		}
		if f.Distance > 0 {
			row[2] = shown(p.figures, road, f.Distance, 1)
		}
		t.Rows = append(t.Rows, row)
	}
	if len(t.Rows) > 0 {
		page.Blocks = append(page.Blocks, Block{Caption: "Way to the fields", Table: t})
	}
	return page, true
}

// gradeSheet is the shape to build, in plan and section.
func (p *pages) gradeSheet() (Page, bool) {
	page := Page{Key: "grade", Name: "Grade to build", Alone: true,
		Intro: []string{"A licensed engineer or the grade foreman sets the stakes from the site's bench mark; nothing is scaled from these pictures."}}
	if p.r.Closing == nil {
		return page, false
	}
	if c := p.gradePicture(); c != nil {
		page.Blocks = append(page.Blocks, Block{Caption: c.Title, Picture: c})
	}
	if c, t := p.sectionPicture(); c != nil {
		page.Blocks = append(page.Blocks, Block{Caption: c.Title, Picture: c, Shows: t})
	}
	return page, len(page.Blocks) > 0
}

// bearing is one of eight directions.
func bearing(to plane.Point) string {
	names := []string{"east", "north-east", "north", "north-west", "west", "south-west", "south", "south-east"}
	eighth := int(math.Round(math.Atan2(float64(to.Y), float64(to.X)) / (math.Pi / 4)))
	return names[(eighth+8)%8]
}
