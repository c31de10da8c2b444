package main

import (
	"context"
	"fmt"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/palette"
	"gonum.org/v1/plot/palette/moreland"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"example.org/earthbasin/calibrate"
	"example.org/earthbasin/examples/internal/chart"
	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
)

// sludgeMap draws the thickness of the sludge as a heat map, with the contours that
// the surface has exactly.
func sludgeMap() (picture, error) {
	survey, err := sludge.NewSurvey(context.Background(), lagoon())
	if err != nil {
		return picture{}, err
	}
	tin, err := sludge.NewTIN(context.Background(), survey, sludge.TINSpec{Edge: sludge.EdgeZero})
	if err != nil {
		return picture{}, err
	}
	grid, err := tin.Grid(context.Background(), sludge.GridSpec{Spacing: 1 * units.Foot})
	if err != nil {
		return picture{}, err
	}
	contours, err := tin.Contours(context.Background(), []units.Length{1 * units.Foot, 2 * units.Foot, 3 * units.Foot, 4 * units.Foot})
	if err != nil {
		return picture{}, err
	}
	view := grid.View(units.Foot)

	p := plot.New()
	p.Title.Text = "Sludge in the lagoon (invented)"
	p.X.Label.Text, p.Y.Label.Text = "east, ft", "north, ft"
	p.X.Tick.Marker, p.Y.Tick.Marker = plot.TickerFunc(round), plot.TickerFunc(round)
	p.Legend.Top, p.Legend.Padding = true, 2
	heat := plotter.NewHeatMap(view, palette.Reverse(moreland.Kindlmann()).Palette(24))
	heat.Rasterized = true
	p.Add(heat)
	for _, c := range contours.Lines {
		line, err := plotter.NewLine(c.Series(units.Foot))
		if err != nil {
			return picture{}, err
		}
		p.Add(line)
	}
	p.Legend.Add("thickness,")
	p.Legend.Add("lines each 1 ft")
	thumbs := plotter.PaletteThumbnailers(heat.Palette)
	for i := len(thumbs) - 1; i >= 0; i -= 4 {
		p.Legend.Add(fmt.Sprintf("%.1f ft", view.Min()+(float64(i)+0.5)/float64(len(thumbs))*(view.Max()-view.Min())), thumbs[i])
	}

	c, r := view.Dims()
	p.X.Max = 1.25 * view.X(c-1) // room for the legend
	width := 22 * vg.Centimeter  // the map keeps one scale, but for the axes
	return picture{"sludge", p, width, width*vg.Length(view.Y(r-1)/p.X.Max) + 1.5*vg.Centimeter}, nil
}

// storage draws the volume of a basin over the height of its surface.
func storage() (picture, error) {
	basin, err := volume.NewRectangular(basin())
	if err != nil {
		return picture{}, err
	}
	table, err := volume.StageStorage(volume.StageStorageSpec{Basin: basin, Step: 0.5 * units.Foot})
	if err != nil {
		return picture{}, err
	}
	return curve("storage", "Stage and storage of the basin (invented)", "height over the floor, ft", "volume, 1000 gal",
		table.Series(units.Foot, 1000*units.Gallon))
}

// catch draws what the trays caught across one pass of the spreader.
func catch() (picture, error) {
	return curve("catch", "Catch of one pass (invented)", "distance from the driving line, ft", "catch, lb",
		pattern().Series(units.Foot))
}

// overlap draws how even the field is at each distance between passes.
func overlap() (picture, error) {
	r, err := calibrate.Overlap(calibrate.OverlapSpec{Pattern: pattern(), Drive: calibrate.DriveToAndFro, MaxCV: 0.2})
	if err != nil {
		return picture{}, err
	}
	p, err := curve("overlap", "Evenness of the field", "distance between passes, ft", "CV, %", r.Series(units.Foot))
	if err != nil {
		return p, err
	}
	limit := plotter.NewFunction(func(float64) float64 { return 100 * r.Spec.MaxCV })
	limit.Dashes = []vg.Length{vg.Points(4), vg.Points(3)}
	p.plot.Add(limit)
	p.plot.Legend.Add("limit", limit)
	p.plot.Legend.Top, p.plot.Legend.Left = true, true
	return p, nil
}

// curve draws points with lines between them.
func curve(name, title, x, y string, points plotter.XYer) (picture, error) {
	p := plot.New()
	p.Title.Text, p.X.Label.Text, p.Y.Label.Text = title, x, y
	p.Y.Min = 0
	p.X.Tick.Marker, p.Y.Tick.Marker = plot.TickerFunc(round), plot.TickerFunc(round)
	line, marks, err := plotter.NewLinePoints(points)
	if err != nil {
		return picture{}, err
	}
	marks.Shape, marks.Radius = draw.CircleGlyph{}, vg.Points(2)
	p.Add(plotter.NewGrid(), line, marks)
	return picture{name, p, 16 * vg.Centimeter, 10 * vg.Centimeter}, nil
}

// round gives an axis round numbers.
func round(low, high float64) []plot.Tick {
	var list []plot.Tick
	for _, x := range chart.Nice(low, high, 6) {
		list = append(list, plot.Tick{Value: x, Label: chart.Number(x)})
	}
	return list
}
