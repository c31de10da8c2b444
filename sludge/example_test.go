package sludge_test

import (
	"context"
	"fmt"
	"strings"
	"time"

	"example.org/earthbasin/sludge"
	"example.org/earthbasin/sludge/geostat"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// pole is a sounding with a pole from a boat, in feet.
func pole(x, y, toSludge, toFloor float64) sludge.Sounding {
	return sludge.Sounding{
		At:       plane.Point{X: units.Length(x) * units.Foot, Y: units.Length(y) * units.Foot},
		ToSludge: new(units.Length(toSludge) * units.Foot),
		ToFloor:  new(units.Length(toFloor) * units.Foot),
	}
}

// survey is eight soundings in an invented basin of 300 ft by 160 ft.
func survey() *sludge.Survey {
	s, err := sludge.NewSurvey(context.Background(), sludge.SurveySpec{
		Boundary: basin,
		Soundings: []sludge.Sounding{
			pole(40, 40, 5.2, 7.1), pole(115, 40, 4.9, 7.4), pole(190, 40, 5.0, 7.2), pole(260, 40, 5.6, 7.0),
			pole(40, 120, 4.6, 7.0), pole(115, 120, 4.1, 7.5), pole(190, 120, 4.4, 7.3), pole(260, 120, 5.3, 7.1),
		},
	})
	if err != nil {
		panic(err)
	}
	return s
}

func tin() *sludge.TIN {
	t, err := sludge.NewTIN(context.Background(), survey(), sludge.TINSpec{Edge: sludge.EdgeNearest})
	if err != nil {
		panic(err)
	}
	return t
}

func ExampleNewSurvey() {
	_, err := sludge.NewSurvey(context.Background(), sludge.SurveySpec{
		Boundary:  basin,
		Soundings: []sludge.Sounding{pole(40, 40, 5.2, 7.1), pole(115, 40, 7.4, 4.9), pole(400, 40, 5.0, 7.2)},
	})
	fmt.Println(err)
	// Output:
	// soundings[1].toFloor: got 4.9 ft, want at least the depth to the sludge top, 7.4 ft
	// soundings[2].at: (400 ft, 40 ft); want inside the boundary and off the islands
}

// Sonar gives the top alone while the liquid is drawn down: the floor comes from
// the drawings, and the depths from the gauge.
func ExampleNewSurvey_sonar() {
	start := time.Date(2026, 5, 4, 8, 0, 0, 0, time.UTC)
	s, err := sludge.NewSurvey(context.Background(), sludge.SurveySpec{
		Boundary: basin,
		Soundings: []sludge.Sounding{
			{At: plane.Point{X: 20, Y: 20}, ToSludge: new(5.0 * units.Foot), Time: start},
			{At: plane.Point{X: 60, Y: 20}, ToSludge: new(5.0 * units.Foot), Time: start.Add(time.Hour)},
		},
		Levels: []sludge.LevelReading{{Time: start, Level: 10 * units.Foot}, {Time: start.Add(2 * time.Hour), Level: 9.8 * units.Foot}},
		Floor:  sludge.FlatFloor(8 * units.Foot),
	})
	if err != nil {
		panic(err)
	}
	for _, r := range s.Readings() {
		fmt.Println(r.Thickness.Text(units.Foot, 2), "assumed floor:", r.FloorAssumed)
	}
	// Output:
	// 3.00 ft assumed floor: true
	// 2.90 ft assumed floor: true
}

func ExampleSurvey_Working() {
	fmt.Println(survey())
	// Output:
	// area                             1.102 acre  boundary less 0 islands
	// soundings in use                 8           places with a thickness
	// soundings merged into another    0           at one place; rule: refuse
	// soundings outside left out       0           rule: refuse
	// soundings outside kept           0           rule: refuse
	// soundings over an assumed floor  0           sludge top only; thickness rests on drawings
	// soundings set to zero thickness  0           sludge top below the assumed floor, within the tolerance
	// sides                            unknown     what the boundary is
}

func ExampleSurvey_Nodes() {
	nodes, err := survey().Nodes(80 * units.Foot)
	if err != nil {
		panic(err)
	}
	var area units.Area
	for _, n := range nodes {
		area += n.Area
	}
	fmt.Println(len(nodes), area.Text(units.SquareFoot, 0))
	// Output: 8 48,000 ft2
}

func ExampleSurvey_Gaps() {
	r, err := survey().Gaps(sludge.GapsSpec{Most: 3})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range r.Places {
		fmt.Println(p.At.X.Text(units.Foot, 0), p.At.Y.Text(units.Foot, 0), "is", p.Distance.Text(units.Foot, 0), "from any sounding")
	}
	// Output:
	// 155 ft 80 ft is 53 ft from any sounding
	// 5 ft 80 ft is 53 ft from any sounding
	// 80 ft 80 ft is 53 ft from any sounding
}

func ExampleNewTIN() {
	fmt.Println(tin().Volume())
	// Output:
	// triangles                           18           Delaunay triangulation of soundings and boundary corners
	// area                                1.102 acre   inside the boundary, less islands
	// sludge volume                       807,323 gal  sum of triangle area x mean of its three corners
	// mean thickness                      2.248 ft     volume / area
	// area that rests on the edge rule    0.6979 acre  triangles with a boundary corner; rule: nearest
	// volume that rests on the edge rule  482,818 gal  of the sludge volume
}

func ExampleTIN_Split() {
	r, err := tin().Split(2 * units.Foot)
	if err != nil {
		panic(err)
	}
	fmt.Println("above 2 ft:", r.Above.Text(units.CubicYard, 0), "on", r.AreaAbove.Text(units.SquareFoot, 0))
	// Output:
	// above 2 ft: 594 yd3 on 32,859 ft2
}

func ExampleTIN_At() {
	z, ok := tin().At(plane.Point{X: 150 * units.Foot, Y: 80 * units.Foot})
	fmt.Println(z.Text(units.Foot, 2), ok)
	// Output:
	// 2.72 ft true
}

func ExampleTIN_Grid() {
	g, err := tin().Grid(context.Background(), sludge.GridSpec{Spacing: 40 * units.Foot})
	if err != nil {
		panic(err)
	}
	v := g.View(units.Foot) // fits the grids of gonum's plotter
	columns, rows := v.Dims()
	for r := rows - 1; r >= 0; r-- {
		for c := range columns {
			fmt.Printf("%5.2f", v.Z(c, r))
		}
		fmt.Println()
	}
	// Output:
	// 2.40 2.88 2.83 2.75 2.68 2.60 2.36 1.79
	//  2.27 2.49 2.99 3.07 2.82 2.47 1.89 1.60
	//  2.15 2.24 2.55 2.62 2.46 2.12 1.69 1.50
	//  1.91 2.19 2.14 2.08 2.01 1.95 1.81 1.40
}

func ExampleTIN_Contours() {
	c, err := tin().Contours(context.Background(), []units.Length{2 * units.Foot, 3 * units.Foot})
	if err != nil {
		panic(err)
	}
	for _, b := range c.Bands {
		fmt.Println(b.Low.Text(units.Foot, 1), "to", b.High.Text(units.Foot, 1), b.Area.Text(units.SquareFoot, 0), len(b.Regions))
	}
	// Output:
	// 1.4 ft to 2.0 ft 15,141 ft2 1
	// 2.0 ft to 3.0 ft 29,977 ft2 1
	// 3.0 ft to 3.4 ft 2,882 ft2 1
}

func ExampleContourLine_Series() {
	c, err := tin().Contours(context.Background(), []units.Length{3 * units.Foot})
	if err != nil {
		panic(err)
	}
	for _, l := range c.Lines {
		line := l.Series(units.Foot) // a plotter.XYer of gonum
		x, y := line.XY(0)
		fmt.Printf("%d points from (%.1f, %.1f) ft, closed: %t\n", line.Len(), x, y, l.Closed)
	}
	// Output:
	// 7 points from (95.0, 98.7) ft, closed: true
}

// Any surface can be contoured: here inverse distance on the six nearest.
func ExampleSurfaceContours() {
	s := survey()
	surface, err := sludge.NewIDW(s, sludge.IDWSpec{Power: 2, Neighbours: 6})
	if err != nil {
		panic(err)
	}
	c, err := sludge.SurfaceContours(context.Background(), s, surface, sludge.ContourSpec{Levels: []units.Length{2 * units.Foot, 3 * units.Foot}, Spacing: 5 * units.Foot})
	if err != nil {
		panic(err)
	}
	for _, b := range c.Bands {
		fmt.Println(b.Low.Text(units.Foot, 1), "to", b.High.Text(units.Foot, 1), b.Area.Text(units.SquareFoot, 0), len(b.Regions))
	}
	// Output:
	// 1.4 ft to 2.0 ft 11,243 ft2 2
	// 2.0 ft to 3.0 ft 33,395 ft2 1
	// 3.0 ft to 3.4 ft 3,362 ft2 1
}

func ExampleNewIDW() {
	surface, err := sludge.NewIDW(survey(), sludge.IDWSpec{Power: 2, Neighbours: 4})
	if err != nil {
		panic(err)
	}
	z, _ := surface.At(plane.Point{X: 150 * units.Foot, Y: 80 * units.Foot})
	fmt.Println(z.Text(units.Foot, 2))
	// Output:
	// 2.76 ft
}

func ExampleSurfaceGrid() {
	slope := sludge.SurfaceFunc(func(p plane.Point) (units.Length, bool) { return p.X / 100, true })
	g, err := sludge.SurfaceGrid(context.Background(), survey(), slope, sludge.GridSpec{Columns: 3, Rows: 1})
	if err != nil {
		panic(err)
	}
	z, _ := g.Range()
	fmt.Println(z.Low.Text(units.Foot, 2), "to", z.High.Text(units.Foot, 2))
	// Output: 0.50 ft to 2.50 ft
}

func ExampleNewTangentPlane() {
	p, err := sludge.NewTangentPlane(sludge.TangentPlaneSpec{Origin: sludge.LonLat{Lon: -95.5, Lat: 41.25}, Height: 310})
	if err != nil {
		panic(err)
	}
	at, err := p.Local(sludge.LonLat{Lon: -95.499, Lat: 41.251})
	if err != nil {
		panic(err)
	}
	back, err := p.LonLat(at)
	if err != nil {
		panic(err)
	}
	fmt.Printf("%.3f %.3f %.6f %.6f\n", float64(at.X), float64(at.Y), back.Lon, back.Lat)
	// Output:
	// 83.819 111.065 -95.499000 41.251000
}

func ExampleGeoJSON() {
	frame, err := sludge.NewTangentPlane(sludge.TangentPlaneSpec{Origin: sludge.LonLat{Lon: -95.5, Lat: 41.25}})
	if err != nil {
		panic(err)
	}
	text, err := sludge.GeoJSON(sludge.GeoJSONSpec{Plane: frame, Survey: survey()})
	if err != nil {
		panic(err)
	}
	fmt.Println(string(text)[:132])
	// Output:
	// {"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"Polygon","coordinates":[[[-95.500000000,41.250000000],
}

func ExampleSurvey_XYZ() {
	text, err := survey().XYZ(units.Foot, 1)
	if err != nil {
		panic(err)
	}
	fmt.Print(strings.SplitAfterN(string(text), "\n", 3)[0])
	// Output: 40.0,40.0,1.9
}

func ExampleTreatmentZone() {
	r, err := sludge.TreatmentZone(sludge.ZoneSpec{
		MaxToPresent: 6 * units.Inch, MaxToMin: 20 * units.Inch,
		ToFloor: 8.2 * units.Foot, ToSludge: 5.1 * units.Foot, Allowed: 0.5,
	})
	if err != nil {
		panic(err)
	}
	fmt.Println(r)
	// Output:
	// present to minimum level  1.167 ft  maximum to minimum - maximum to present
	// sludge thickness          3.1 ft    mean depth to floor - mean depth to sludge
	// liquid treatment zone     3.933 ft  mean depth to sludge - present to minimum level
	// share of sludge           0.4408    sludge / (sludge + liquid treatment zone)
	// allowed share             0.5       within the allowed share
}

func ExampleAccumulation() {
	r, err := sludge.Accumulation(sludge.AccumulationSpec{
		Thickness: 3.1 * units.Foot, LiquidZone: 3.9 * units.Foot, Age: 14 * 365 * units.Day, Ahead: 2 * 365 * units.Day,
	})
	if err != nil {
		panic(err)
	}
	fmt.Printf("%.3f now, %.3f then\n", r.Share, r.ShareThen)
	// Output: 0.443 now, 0.506 then
}

func ExamplePlaneOf() {
	track := []sludge.LonLat{{Lon: -95.5010, Lat: 41.2500}, {Lon: -95.4990, Lat: 41.2510}}
	p, err := sludge.PlaneOf(track, 310)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, place := range track {
		local, err := p.Local(place)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%.1f m east, %.1f m north\n", float64(local.X), float64(local.Y))
	}
	// Output:
	// -83.8 m east, -55.5 m north
	// 83.8 m east, 55.5 m north
}

func Example() {
	spec := sludge.SurveySpec{Sides: sludge.SidesVertical, Boundary: plane.Polygon{
		{X: 0, Y: 0}, {X: 90 * units.Foot, Y: 0}, {X: 90 * units.Foot, Y: 60 * units.Foot}, {X: 0, Y: 60 * units.Foot}}}
	for i, thickness := range []units.Length{2.1, 2.6, 3.0, 2.4, 3.2, 3.5, 2.2, 2.9, 3.1} {
		thickness *= units.Foot
		spec.Soundings = append(spec.Soundings, sludge.Sounding{
			At:        plane.Point{X: units.Length(15+30*(i%3)) * units.Foot, Y: units.Length(10+20*(i/3)) * units.Foot},
			Thickness: &thickness,
		})
	}
	survey, err := sludge.NewSurvey(context.Background(), spec)
	if err != nil {
		fmt.Println(err)
		return
	}
	v, err := sludge.VolumeWithInterval(context.Background(), survey, sludge.VolumeSpec{Confidence: 0.95})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(v.Volume.Text(units.CubicYard, 0), "between", v.Interval.Low.Text(units.CubicYard, 0), "and", v.Interval.High.Text(units.CubicYard, 0))
	// Output:
	// 553 yd3 between 518 yd3 and 591 yd3
}

// basin is an invented basin of 300 ft by 160 ft, waterline to waterline.
var basin = plane.Polygon{
	{X: 0, Y: 0}, {X: 300 * units.Foot, Y: 0}, {X: 300 * units.Foot, Y: 160 * units.Foot}, {X: 0, Y: 160 * units.Foot},
}

// readings are 28 thicknesses on a grid, in feet, by rows from the south.
func readings() []geostat.Sample {
	feet := [4][7]float64{
		{1.4, 2.0, 2.4, 2.5, 2.0, 1.2, 0.9},
		{1.9, 2.9, 3.4, 3.1, 2.3, 1.6, 1.1},
		{2.1, 3.0, 3.3, 2.6, 2.2, 2.1, 1.8},
		{1.5, 2.1, 2.2, 1.9, 1.9, 2.2, 2.0},
	}
	var list []geostat.Sample
	for j, row := range feet {
		for i, t := range row {
			list = append(list, geostat.Sample{
				At:    plane.Point{X: units.Length(20+43*i) * units.Foot, Y: units.Length(20+40*j) * units.Foot},
				Value: units.Length(t) * units.Foot,
			})
		}
	}
	return list
}

func model() geostat.Model {
	return geostat.Model{Nugget: 0.02 * units.SquareFoot, Sill: 0.6 * units.SquareFoot, Range: 170 * units.Foot}
}

func ExampleVolumeWithInterval() {
	floor, err := sludge.NewSlopedFloor(sludge.SlopedFloorSpec{Waterline: basin, Slopes: []float64{3}, Depth: 8 * units.Foot})
	if err != nil {
		fmt.Println(err)
		return
	}
	spec := sludge.SurveySpec{Boundary: basin, Sides: sludge.SidesBanks, Floor: floor}
	for _, r := range readings() {
		spec.Soundings = append(spec.Soundings, sludge.Sounding{At: r.At, Thickness: &r.Value})
	}
	survey, err := sludge.NewSurvey(context.Background(), spec)
	if err != nil {
		fmt.Println(err)
		return
	}
	v, err := sludge.VolumeWithInterval(context.Background(), survey, sludge.VolumeSpec{Confidence: 0.95, ReadingSD: 0.1 * units.Foot})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(v.Volume.Text(units.CubicYard, 0), "between", v.Interval.Low.Text(units.CubicYard, 0), "and", v.Interval.High.Text(units.CubicYard, 0))
	fmt.Printf("%.0f %% of the variance is how the sludge meets the banks\n", 100*v.BanksShare)
	// Output:
	// 3,451 yd3 between 3,203 yd3 and 3,698 yd3
	// 93 % of the variance is how the sludge meets the banks
}

func ExampleNext() {
	spec := sludge.SurveySpec{Boundary: basin, Sides: sludge.SidesVertical}
	for _, r := range readings() {
		spec.Soundings = append(spec.Soundings, sludge.Sounding{At: r.At, Thickness: &r.Value})
	}
	survey, err := sludge.NewSurvey(context.Background(), spec)
	if err != nil {
		fmt.Println(err)
		return
	}
	next, err := sludge.Next(context.Background(), survey, sludge.NextSpec{Volume: sludge.VolumeSpec{Confidence: 0.95}, Most: 3})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range next.Places {
		fmt.Printf("%s, %s: interval narrower by %.0f %%\n", p.At.X.Text(units.Foot, 0), p.At.Y.Text(units.Foot, 0), 100*p.Narrower)
	}
	// Output:
	// 103 ft, 90 ft: interval narrower by 3 %
	// 141 ft, 70 ft: interval narrower by 5 %
	// 66 ft, 70 ft: interval narrower by 6 %
}

func ExampleDifference() {
	survey := func(less units.Length) *sludge.Survey {
		spec := sludge.SurveySpec{Boundary: basin, Sides: sludge.SidesVertical}
		for _, r := range readings() {
			thickness := r.Value - less
			spec.Soundings = append(spec.Soundings, sludge.Sounding{At: r.At, Thickness: &thickness})
		}
		s, err := sludge.NewSurvey(context.Background(), spec)
		if err != nil {
			panic(err)
		}
		return s
	}
	d, err := sludge.Difference(context.Background(), sludge.DifferenceSpec{Before: survey(0), After: survey(0.5 * units.Foot), Volume: sludge.VolumeSpec{Confidence: 0.95}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("taken out:", (-d.Change).Text(units.CubicYard, 0), "between", (-d.Interval.High).Text(units.CubicYard, 0), "and", (-d.Interval.Low).Text(units.CubicYard, 0))
	// Output:
	// taken out: 889 yd3 between 869 yd3 and 910 yd3
}

func ExampleContents() {
	r, err := sludge.Contents(sludge.ContentsSpec{
		Volume: 3800 * units.CubicYard, SD: 150 * units.CubicYard, Confidence: 0.95,
		Samples: []units.Concentration{88 * units.GramPerLitre, 96 * units.GramPerLitre, 79 * units.GramPerLitre, 91 * units.GramPerLitre},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("solids", r.Mass.Text(units.Ton, 0), "between", r.Interval.Low.Text(units.Ton, 0), "and", r.Interval.High.Text(units.Ton, 0))
	// Output:
	// solids 283 ton between 250 ton and 320 ton
}

func ExampleSurfaceVolume() {
	spec := sludge.SurveySpec{Boundary: basin, Sides: sludge.SidesBanks}
	floor, err := sludge.NewSlopedFloor(sludge.SlopedFloorSpec{Waterline: basin, Slopes: []float64{3}, Depth: 8 * units.Foot})
	if err != nil {
		fmt.Println(err)
		return
	}
	spec.Floor = floor
	for _, r := range readings() {
		spec.Soundings = append(spec.Soundings, sludge.Sounding{At: r.At, Thickness: &r.Value})
	}
	survey, err := sludge.NewSurvey(context.Background(), spec)
	if err != nil {
		fmt.Println(err)
		return
	}
	even := sludge.SurfaceFunc(func(plane.Point) (units.Length, bool) { return 2 * units.Foot, true })
	v, err := sludge.SurfaceVolume(context.Background(), survey, sludge.SurfaceVolumeSpec{Surface: even})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(v.Volume.Text(units.CubicYard, 0), "of", v.Uncut.Text(units.CubicYard, 0))
	// Output:
	// 3,356 yd3 of 3,556 yd3
}

// The rule on the sludge survey form of North Carolina (NC DEQ filing 2957628):
// eight points below 1.33 acres, else six for each acre, at most 24.
func ExamplePointsRule_Points() {
	rule := sludge.PointsRule{SmallBelow: 1.33 * units.Acre, SmallPoints: 8, AreaPer: units.Acre / 6, Most: 24}
	for _, acres := range []units.Area{1, 2.5, 4.5} {
		n, err := rule.Points(acres * units.Acre)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Println(n)
	}
	// Output:
	// 8
	// 15
	// 24
}

func ExampleKrigingGrid() {
	spec := sludge.SurveySpec{Boundary: basin}
	for _, r := range readings() {
		spec.Soundings = append(spec.Soundings, sludge.Sounding{At: r.At, Thickness: &r.Value})
	}
	survey, err := sludge.NewSurvey(context.Background(), spec)
	if err != nil {
		fmt.Println(err)
		return
	}
	k, err := geostat.NewKriging(context.Background(), geostat.KrigingSpec{Samples: survey.Samples(), Model: model()})
	if err != nil {
		fmt.Println(err)
		return
	}
	thickness, sd, err := sludge.KrigingGrid(context.Background(), survey, k, sludge.GridSpec{Columns: 6, Rows: 3})
	if err != nil {
		fmt.Println(err)
		return
	}
	t, _ := thickness.At(2, 1)
	d, _ := sd.At(2, 1)
	fmt.Println(t.Text(units.Foot, 2), "+-", d.Text(units.Foot, 2))
	// Output:
	// 3.24 ft +- 0.38 ft
}

func ExampleParseXYZ() {
	list, err := sludge.ParseXYZ([]byte("x,y,sludge\n40,40,1.9\n115,40,2.5\n"), units.Foot)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range list {
		fmt.Println(s.At.X.Text(units.Foot, 0), s.At.Y.Text(units.Foot, 0), s.Thickness.Text(units.Foot, 1))
	}
	// Output:
	// 40 ft 40 ft 1.9 ft
	// 115 ft 40 ft 2.5 ft
}

func ExampleNewSounding() {
	s := sludge.NewSounding(40*units.Foot, 40*units.Foot, 1.9*units.Foot)
	fmt.Println(s.Thickness.Text(units.Foot, 1))
	// Output:
	// 1.9 ft
}

func ExampleTIN_Triangle() {
	t := tin()
	fmt.Println(t.Len(), "triangles")
	corners, thickness := t.Triangle(0)
	for i, c := range corners {
		fmt.Println(c.X.Text(units.Foot, 0), c.Y.Text(units.Foot, 0), thickness[i].Text(units.Foot, 1))
	}
	// Output:
	// 18 triangles
	// 0 ft 0 ft 1.9 ft
	// 40 ft 40 ft 1.9 ft
	// 40 ft 120 ft 2.4 ft
}
