package report

import (
	"fmt"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/internal/chart"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

func (p *pages) stagePicture() *chart.Chart {
	st := p.r.Contents.Stages
	top := st[len(st)-1]
	c := &chart.Chart{ID: "stage", Title: "Stage-storage curve", XLabel: "volume below, 1000 gal", YLabel: "height over the floor, ft",
		XMax: top.Volume.In(1000 * units.Gallon), YMax: top.Height.In(units.Foot)}
	c.Desc = fmt.Sprintf("The volume grows from nothing at the floor to %s at the top of the bank, %s up. Dashed lines mark the top of the sludge and the liquid surface.",
		gallons(top.Volume), top.Height.Text(units.Foot, 1))
	var line []chart.XY
	for _, s := range st {
		line = append(line, chart.XY{X: s.Volume.In(1000 * units.Gallon), Y: s.Height.In(units.Foot)})
	}
	c.Line(chart.Full, line...)
	if p.r.Contents.Layers == nil {
		return c
	}
	for _, l := range p.r.Contents.Layers.Layers {
		if l.Name == "freeboard" {
			continue
		}
		y := l.Top.In(units.Foot)
		c.Line(chart.Dashed, chart.XY{X: 0, Y: y}, chart.XY{X: c.XMax, Y: y})
		c.Text(chart.XY{X: 0.9 * c.XMax, Y: y + 0.03*c.YMax}, "top of "+l.Name)
	}
	return c
}

// outline is the boundary of the survey.
func (p *pages) outline() plane.Polygon {
	boundary, _ := p.r.Contents.Sludge.Survey.Boundary()
	return boundary
}

// xy turns a ring of the plane into feet.
func xy(ring plane.Polygon) []chart.XY {
	var out []chart.XY
	for _, q := range ring {
		out = append(out, chart.XY{X: q.X.In(units.Foot), Y: q.Y.In(units.Foot)})
	}
	return out
}

func (p *pages) sludgePicture() *chart.Chart {
	low, high := p.outline().Bounds()
	c := &chart.Chart{ID: "sludge", Title: "Sludge thickness", XLabel: "east, ft", YLabel: "north, ft", Equal: true,
		XMin: low.X.In(units.Foot) - 5, XMax: high.X.In(units.Foot) + 5, YMin: low.Y.In(units.Foot) - 5, YMax: high.Y.In(units.Foot) + 5}
	for i, band := range p.r.Contents.Sludge.Bands {
		if band.Area == 0 {
			continue
		}
		style := chart.Shade(i, len(p.r.Contents.Sludge.Bands))
		for _, region := range band.Regions {
			rings := [][]chart.XY{xy(region.Outer)}
			for _, h := range region.Holes {
				rings = append(rings, xy(h))
			}
			c.Area(style+";"+chart.Thin, rings...)
		}
		c.Key(style, fmt.Sprintf("%s to %s", band.Low.Text(units.Foot, 1), band.High.Text(units.Foot, 1)))
	}
	c.Area("fill:none;"+chart.Full, xy(p.outline()))
	for _, s := range p.r.Contents.Sludge.Survey.Readings() {
		c.Mark(chart.XY{X: s.At.X.In(units.Foot), Y: s.At.Y.In(units.Foot)}, fmt.Sprintf("%.1f", s.Thickness.In(units.Foot)))
	}
	c.Desc = fmt.Sprintf("Map of the sludge between the soundings, the darker the thicker, with lines between the bands. Crosses are the %d soundings with their thickness in feet.", p.r.Contents.Sludge.Survey.N())
	return c
}

func (p *pages) nutrientPicture() *chart.Chart {
	c := &chart.Chart{ID: "need", Title: "Nutrients against crop need by field", YLabel: "lb/acre", XMin: -0.5, XMax: float64(len(p.r.Fields.Fields)) - 0.5}
	brought := map[string]map[string]units.MassPerArea{}
	for _, x := range p.route.Spread.Allocated.Placements {
		if brought[x.Field] == nil {
			brought[x.Field] = map[string]units.MassPerArea{}
		}
		brought[x.Field][plan.OfN] += p.route.Brings(x, func(m *plan.MaterialResult) nutrient.Content { return m.Available.Years[0].N.High })
		brought[x.Field][plan.OfP2O5] += p.route.Brings(x, func(m *plan.MaterialResult) nutrient.Content { return m.Analysis.P2O5() })
	}
	top := 1.0
	type bar struct {
		need, brought float64
	}
	bars := make([][2]bar, len(p.r.Fields.Fields))
	for i, f := range p.r.Fields.Fields {
		c.Names = append(c.Names, f.Name)
		for _, y := range f.Years {
			bars[i][0].need += y.Nitrogen.Room.In(units.PoundPerAcre)
			if ph := y.Phosphorus; ph != nil {
				bars[i][1].need = ph.Room.In(units.PoundPerAcre)
			}
		}
		bars[i][0].brought = brought[f.Name][plan.OfN].In(units.PoundPerAcre)
		bars[i][1].brought = brought[f.Name][plan.OfP2O5].In(units.PoundPerAcre)
		for _, b := range bars[i] {
			top = max(top, b.need, b.brought)
		}
	}
	c.YMax = 1.1 * top
	for i, pair := range bars {
		x := float64(i) - 0.4
		c.Bar(chart.Plain, x, x+0.18, pair[0].need)
		c.Bar(chart.Hatch, x+0.18, x+0.36, pair[0].brought)
		c.Bar(chart.Dots, x+0.44, x+0.62, pair[1].need)
		c.Bar(chart.Solid, x+0.62, x+0.8, pair[1].brought)
	}
	c.Key(chart.Plain, "N that the crop needs in a season, less credits")
	c.Key(chart.Hatch, "available N brought in all seasons")
	c.Key(chart.Dots, "P2O5 that the crops of the banked years take off")
	c.Key(chart.Solid, "P2O5 brought in all seasons")
	c.Desc = "For each field four bars: nitrogen needed and brought, phosphate taken off by the crops of the banked years and brought. No field is given more than its limits allow; the tables hold the figures."
	return c
}

// lossPicture is the soil loss of each month, bare and covered.
func (p *pages) lossPicture() *chart.Chart {
	loss := p.r.Cover.SoilLoss
	c := &chart.Chart{ID: "loss", Title: "Soil loss by month, bare and covered", YLabel: "ton/acre", XMin: -0.5, XMax: float64(len(loss.Months)) - 0.5}
	for _, m := range loss.Months {
		c.Names = append(c.Names, m.Month.String()[:3])
		c.YMax = max(c.YMax, 1.1*m.Bare.In(units.TonPerAcre))
	}
	for i, m := range loss.Months {
		c.Bar(chart.Hatch, float64(i)-0.35, float64(i), m.Bare.In(units.TonPerAcre))
		c.Bar(chart.Solid, float64(i), float64(i)+0.35, m.Covered.In(units.TonPerAcre))
	}
	c.Key(chart.Hatch, "bare")
	c.Key(chart.Solid, "covered")
	c.Desc = fmt.Sprintf("Two bars for each month from the first in which the ground lies bare: what bare ground loses in the month, and covered ground. In a year bare ground loses %s and covered ground %s.",
		loss.Bare.Text(units.TonPerAcre, 1), loss.Covered.Text(units.TonPerAcre, 1))
	return c
}
