package report

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.org/earthbasin/examples/closure/land"
	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/internal/chart"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// unit is the name of the unit of a measure in the document's system.
func unit[Q interface {
	~float64
	units.Quantity
}](f figures, m measure[Q]) string {
	_, name, _ := strings.Cut(parted(shown(f, m, m.in(f), 0)), " ")
	return name
}

func (p *pages) stagePicture() *chart.Chart {
	st := p.r.Contents.StagesIn(p.System)
	top := st[len(st)-1]
	c := &chart.Chart{ID: "stage", Title: "Stage-storage curve", XLabel: "volume below, thousands of " + unit(p.figures, liquid), YLabel: "height over the floor, " + unit(p.figures, site),
		XMax: number(p.figures, liquid, top.Volume) / 1000, YMax: number(p.figures, site, top.Height)}
	c.Desc = p.say("The volume grows from nothing at the floor to %v at the top of the bank, %v up. Dashed lines mark the top of the sludge and the liquid surface.", p.liquids(top.Volume), p.lengths(top.Height, 1))
	var line []chart.XY
	for _, s := range st {
		line = append(line, chart.XY{X: number(p.figures, liquid, s.Volume) / 1000, Y: number(p.figures, site, s.Height)})
	}
	c.Line(chart.Full, line...)
	if p.r.Contents.Layers == nil {
		return c
	}
	for _, l := range p.r.Contents.Layers.Layers {
		if l.Name == "freeboard" {
			continue
		}
		y := number(p.figures, site, l.Top)
		c.Line(chart.Dashed, chart.XY{X: 0, Y: y}, chart.XY{X: c.XMax, Y: y})
		c.Beside(chart.XY{X: 0.005 * c.XMax, Y: y}, "top of "+l.Name)
	}
	return c
}

// xy turns a ring of the plane into the document's unit of length.
func (p *pages) xy(ring plane.Polygon) []chart.XY {
	var out []chart.XY
	for _, q := range ring {
		out = append(out, chart.XY{X: number(p.figures, site, q.X), Y: number(p.figures, site, q.Y)})
	}
	return out
}

// bounds sets the ranges of a map to what it shows with a margin, and its scale bar.
func (p *pages) bounds(c *chart.Chart, rings ...plane.Polygon) {
	first := true
	for _, r := range rings {
		for _, q := range p.xy(r) {
			if first {
				c.XMin, c.XMax, c.YMin, c.YMax, first = q.X, q.X, q.Y, q.Y, false
			}
			c.XMin, c.XMax = min(c.XMin, q.X), max(c.XMax, q.X)
			c.YMin, c.YMax = min(c.YMin, q.Y), max(c.YMax, q.Y)
		}
	}
	margin := 0.05 * max(c.XMax-c.XMin, c.YMax-c.YMin)
	c.XMin, c.XMax, c.YMin, c.YMax = c.XMin-margin, c.XMax+margin, c.YMin-margin, c.YMax+margin
	step := math.Pow(10, math.Floor(math.Log10((c.XMax-c.XMin)/2)))
	for _, m := range []float64{5, 2, 1} {
		if m*step <= (c.XMax-c.XMin)/3 {
			step *= m
			break
		}
	}
	c.ScaleBar, c.ScaleBarText = step, chart.Number(step)+" "+unit(p.figures, site)
}

func (p *pages) sludgePicture() *chart.Chart {
	v := p.r.Contents.Sludge
	boundary, islands := v.Survey.Boundary()
	c := &chart.Chart{ID: "sludge", Title: "Sludge thickness", Equal: true}
	p.bounds(c, boundary)
	contours := v.Contours(p.System)
	if contours != nil {
		p.bands(c, contours)
	}
	c.Area(chart.None+";"+chart.Full, p.xy(boundary))
	for _, hole := range islands {
		c.Area(chart.Plain, p.xy(hole))
	}
	readings := v.Survey.Readings()
	for _, s := range readings {
		label := ""
		if len(readings) <= mostReadings {
			label = p.say("%.1f", number(p.figures, site, s.Thickness))
		}
		if len(readings) <= 10*mostReadings {
			c.Mark(chart.XY{X: number(p.figures, site, s.At.X), Y: number(p.figures, site, s.At.Y)}, label)
		}
	}
	if contours != nil { // after the readings, which have the first choice of room
		for _, line := range contours.Lines {
			half := len(line.Points) / 2
			c.OnLine(p.xy(slices.Concat(line.Points[half:], line.Points[:half])), p.level(line.Level))
		}
	}
	c.Desc = p.say("Map of the sludge between the soundings, the darker the thicker, with lines between the bands. Crosses are the %v soundings with their thickness in %v.", v.Survey.N(), units.Word(unit(p.figures, site)))
	return c
}

// level is a thickness as its line is labelled.
func (p *pages) level(h units.Length) string {
	return chart.Number(math.Round(100*number(p.figures, site, h)) / 100)
}

// bands fills the bands between the lines of one thickness.
func (p *pages) bands(c *chart.Chart, contours *sludge.Contours) {
	list := slices.DeleteFunc(slices.Clone(contours.Bands), func(b sludge.Band) bool { return b.Area == 0 })
	for i, band := range list {
		style := chart.Shade(i, len(list))
		for _, region := range band.Regions {
			rings := [][]chart.XY{p.xy(region.Outer)}
			for _, h := range region.Holes {
				rings = append(rings, p.xy(h))
			}
			c.Area(style+";"+chart.Thin, rings...)
		}
		c.Key(style, p.say("%v to %v thick", p.level(band.Low), p.level(band.High)+"\u00a0"+unit(p.figures, site)))
	}
}

// nutrientPicture is what the crops of each field need beside what is brought, with its
// figures.
func (p *pages) nutrientPicture() (*chart.Chart, *Table) {
	var fields []land.FieldResult
	if p.r.Fields != nil {
		fields = p.r.Fields.Fields
	}
	c := &chart.Chart{ID: "need", Title: "Nutrients against crop need by field", YLabel: "nutrient, " + unit(p.figures, perLand), XLabel: "field", XMin: -0.5, XMax: float64(len(fields)) - 0.5}
	n, p2o5 := map[string]units.MassPerArea{}, map[string]units.MassPerArea{}
	for _, x := range p.allocated().Placements {
		n[x.Field] += p.route.Brings(x, func(m *plan.MaterialResult) nutrient.Content {
			if m.Available == nil || len(m.Available.Years) == 0 {
				return nutrient.Content{}
			}
			return m.Available.Years[0].N.High
		})
		p2o5[x.Field] += p.route.Brings(x, func(m *plan.MaterialResult) nutrient.Content { return m.Analysis.P2O5() })
	}
	t := &Table{Head: []string{"Field", "N needed", "N brought", "P2O5 allowed", "P2O5 brought"}, Left: 1}
	top := 1.0
	bars := make([][4]float64, len(fields))
	for i, f := range fields {
		c.Names = append(c.Names, f.Name)
		var need, room units.MassPerArea
		for _, y := range f.Years {
			need += y.Nitrogen.Room
			if y.Phosphorus != nil && y.Phosphorus.Limited {
				room = max(room, y.Phosphorus.Room)
			}
		}
		allowed := "no limit"
		if room > 0 {
			allowed = p.perArea(room)
		}
		t.Rows = append(t.Rows, []string{f.Name, p.perArea(need), p.perArea(n[f.Name]), allowed, p.perArea(p2o5[f.Name])})
		for j, v := range []units.MassPerArea{need, n[f.Name], room, p2o5[f.Name]} {
			bars[i][j] = number(p.figures, perLand, v)
			top = max(top, bars[i][j])
		}
	}
	c.YMax = 1.1 * top
	styles := []string{chart.Plain, chart.Hatch, chart.Dots, chart.Solid}
	for i, b := range bars {
		for j, v := range b {
			x := float64(i) - 0.4 + 0.2*float64(j)
			c.Bar(styles[j], x, x+0.18, v)
		}
	}
	c.Key(chart.Plain, "N that the crops need in the years served, less credits")
	c.Key(chart.Hatch, "available N brought in all seasons")
	c.Key(chart.Dots, "most P2O5 that the rule allows, none where it sets no limit")
	c.Key(chart.Solid, "P2O5 brought in all seasons")
	c.Desc = "For each field four bars: nitrogen needed and brought, phosphate allowed and brought. No field is given more than its limits allow; the tables hold the figures."
	return c, t
}

// fieldMap is a field with what setbacks take of it; nil without an outline.
func (p *pages) fieldMap(f *land.FieldResult, i int) *chart.Chart {
	if f.Shapes == nil || len(f.Shapes.Outline) == 0 {
		return nil
	}
	c := &chart.Chart{ID: "field" + strconv.Itoa(i+1), Title: "Map of " + f.Name, Equal: true, Height: 330}
	var outlines []plane.Polygon
	for _, r := range f.Shapes.Outline {
		outlines = append(outlines, r.Outer)
	}
	p.bounds(c, outlines...)
	fill := func(style string, regions []plane.Region) {
		for _, r := range regions {
			rings := [][]chart.XY{p.xy(r.Outer)}
			for _, h := range r.Holes {
				rings = append(rings, p.xy(h))
			}
			c.Area(style, rings...)
		}
	}
	fill(chart.Light, f.Shapes.Kept)
	fill(chart.Cross, f.Shapes.Taken)
	fill(chart.None+";"+chart.Full, f.Shapes.Outline)
	c.Key(chart.Light, "may be spread on")
	if len(f.Shapes.Taken) > 0 {
		from := ""
		for _, x := range f.OffBy {
			from += p.say(", %v of %s", x.Setback, cmp.Or(x.Feature, x.Kind))
		}
		c.Key(chart.Cross, "setback, nothing goes here: within"+strings.TrimPrefix(from, ","))
	}
	c.Desc = p.say("Map of the field with %v that may be spread on and %v within the setbacks.", p.areas(f.Area), p.areas(f.Off))
	return c
}

// lossPicture is the soil loss of each month, bare and covered.
func (p *pages) lossPicture() *chart.Chart {
	loss := p.r.Cover.SoilLoss
	c := &chart.Chart{ID: "loss", Title: "Soil loss by month, bare and covered", YLabel: "soil loss, " + unit(p.figures, lossRate), XLabel: "month", XMin: -0.5, XMax: float64(len(loss.Months)) - 0.5}
	for i, m := range loss.Months {
		c.Names = append(c.Names, m.Month.String()[:3])
		bare, covered := number(p.figures, lossRate, m.Bare), number(p.figures, lossRate, m.Covered)
		c.YMax = max(c.YMax, 1.1*bare)
		c.Bar(chart.Hatch, float64(i)-0.35, float64(i), bare)
		c.Bar(chart.Solid, float64(i), float64(i)+0.35, covered)
	}
	c.Key(chart.Hatch, "bare")
	c.Key(chart.Solid, "covered")
	c.Desc = p.say("Two bars for each month from the first in which the ground lies bare: what bare ground loses in the month, and covered ground. In a year bare ground loses %v and covered ground %v.",
		shown(p.figures, lossRate, loss.Bare, 1), shown(p.figures, lossRate, loss.Covered, 1))
	return c
}
