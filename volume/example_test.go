package volume_test

import (
	"context"
	"fmt"
	"slices"
	"time"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/units/strict"
	"example.org/earthbasin/volume"
)

// northPond is the basin of the examples: 300 x 180 ft at the top of the bank,
// 10 ft deep, 3:1.
func northPond() *volume.Rectangular {
	b, err := volume.NewRectangular(volume.RectangularSpec{
		Length: 300 * units.Foot, Width: 180 * units.Foot, At: volume.ReferenceTop,
		Depth: 10 * units.Foot, Slopes: []float64{3},
	})
	if err != nil {
		panic(err)
	}
	return b
}

func point(x, y float64) plane.Point {
	return plane.Point{X: units.Length(x) * units.Foot, Y: units.Length(y) * units.Foot}
}

func Example() {
	b, err := volume.NewRectangular(volume.RectangularSpec{
		Length: 300 * units.Foot, Width: 180 * units.Foot, At: volume.ReferenceTop,
		Depth: 10 * units.Foot, Slopes: []float64{3},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	held := b.VolumeAt(8 * units.Foot)
	level, err := volume.HeightFor(b, held/2)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(held.Text(units.Gallon, 0))
	fmt.Println("half of it stands", level.Text(units.Foot, 2), "deep")
	// Output:
	// 2,286,526 gal
	// half of it stands 4.51 ft deep
}

// Worksheet 10A-2 of the Agricultural Waste Management Field Handbook, line 16:
// a floor of 100 x 425 ft, 3:1, 6.2 ft deep.
func ExampleNewRectangular() {
	b, err := volume.NewRectangular(volume.RectangularSpec{
		Length: 425 * units.Foot, Width: 100 * units.Foot, At: volume.ReferenceFloor,
		Depth: 6.2 * units.Foot, Slopes: []float64{3},
	})
	fmt.Println(volume.Capacity(b).Text(units.CubicFoot, 0), err)
	l, w := b.SizeAt(b.Depth())
	fmt.Println(l.Text(units.Foot, 1), "x", w.Text(units.Foot, 1), "at the top, banks of", b.SlopeAreaAt(b.Depth()).Text(units.SquareFoot, 0))
	_, err = volume.NewRectangular(volume.RectangularSpec{Length: 60 * units.Foot, At: volume.ReferenceTop, Depth: 12 * units.Foot, Slopes: []float64{3}})
	fmt.Println(err)
	// Output:
	// 326,903 ft3 <nil>
	// 462.2 ft x 137.2 ft at the top, banks of 22,045 ft2
	// width: got 0 ft, want 0.03937 in to 62.14 mi
}

// Half way up the bank at the start, on the floor, and beyond the basin.
func ExampleRectangular_FloorAt() {
	b := northPond()
	for _, p := range []plane.Point{point(15, 90), point(150, 90), point(-1, 90)} {
		h, ok := b.FloorAt(p)
		fmt.Println(h.Text(units.Foot, 1), ok)
	}
	// Output:
	// 5.0 ft true
	// 0.0 ft true
	// 0.0 ft false
}

func ExampleNewCircular() {
	b, err := volume.NewCircular(volume.CircularSpec{
		Diameter: 120 * units.Foot, At: volume.ReferenceTop, Depth: 10 * units.Foot, Slopes: []float64{2.5},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(b.DiameterAt(0).Text(units.Foot, 0), "at the floor")
	fmt.Println(volume.Capacity(b).Text(units.Gallon, 0))
	// Output:
	// 70 ft at the floor
	// 542,476 gal
}

func ExampleNewPolygon() {
	// An L with a flatter bank on its first side.
	b, err := volume.NewPolygon(volume.PolygonSpec{
		Outline: plane.Polygon{point(0, 0), point(300, 0), point(300, 120), point(140, 120), point(140, 260), point(0, 260)},
		At:      volume.ReferenceTop, Depth: 12 * units.Foot, Slopes: []float64{4, 3, 3, 3, 3, 3},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(volume.Capacity(b).Text(units.Gallon, 0), "below banks of", b.SlopeAreaAt(b.Depth()).Text(units.SquareFoot, 0))
	for _, ring := range b.SectionAt(0) {
		fmt.Println("floor of", len(ring), "corners,", ring.Area().Text(units.SquareFoot, 0))
	}
	// Output:
	// 3,200,705 gal below banks of 39,625 ft2
	// floor of 6 corners, 17,728 ft2
}

func ExampleNewSurveyed() {
	b, err := volume.NewSurveyed(volume.SurveyedSpec{
		Areas: []volume.SurveyedArea{
			{Elevation: 612 * units.Foot, Area: 21000 * units.SquareFoot},
			{Elevation: 615 * units.Foot, Area: 26500 * units.SquareFoot},
			{Elevation: 617.5 * units.Foot, Area: 31400 * units.SquareFoot},
		},
		Method: volume.MethodConic,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(b.VolumeAt(616*units.Foot-b.FloorElevation()).Text(units.CubicFoot, 0), "below 616 ft")
	// Output:
	// 98,540 ft3 below 616 ft
}

func ExampleNewFloor() {
	b, err := volume.NewFloor(context.Background(), volume.FloorSpec{
		Grid: &volume.LevelGrid{
			StepX: 50 * units.Foot, StepY: 40 * units.Foot,
			Levels: [][]units.Length{
				{620 * units.Foot, 620 * units.Foot, 620 * units.Foot, 620 * units.Foot},
				{620 * units.Foot, 611.5 * units.Foot, 612 * units.Foot, 620 * units.Foot},
				{620 * units.Foot, 611 * units.Foot, 611.8 * units.Foot, 620 * units.Foot},
				{620 * units.Foot, 620 * units.Foot, 620 * units.Foot, 620 * units.Foot},
			},
		},
		Top: 620 * units.Foot,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(b.LowestLevel().Text(units.Foot, 1), "is the lowest level")
	fmt.Println(volume.Capacity(b).Text(units.CubicFoot, 0))
	// Output:
	// 611.0 ft is the lowest level
	// 67,400 ft3
}

// A surface that is known at any place, here a floor that falls 1 % to the east,
// becomes a basin inside an outline.
func ExampleNewFloor_sampled() {
	b, err := volume.NewFloor(context.Background(), volume.FloorSpec{
		Sampled: &volume.SampledSpec{
			Places:  falling{},
			Outline: plane.Polygon{point(0, 0), point(300, 0), point(260, 150), point(0, 150)},
			Step:    10 * units.Foot,
		},
		Top: 620 * units.Foot,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(volume.Capacity(b).Text(units.CubicFoot, 0))
	// Output:
	// 394,900 ft3
}

type falling struct{}

func (falling) At(p plane.Point) (units.Length, bool) { return 612*units.Foot - p.X/100, true }

func ExampleVolumeUnder() {
	// Sludge 2 ft thick on one side and none on the other.
	sludge := ramp{
		{point(0, 0), point(200, 0), point(200, 100)},
		{point(0, 0), point(200, 100), point(0, 100)},
	}
	v, err := volume.VolumeUnder(sludge, 0)
	fmt.Println(v.Text(units.CubicFoot, 0), err)
	// Output: 20,000 ft3 <nil>
}

// ramp is a surface that rises 1 ft in 100 ft to the east.
type ramp [][3]plane.Point

func (r ramp) Len() int { return len(r) }

func (r ramp) Triangle(i int) (corners [3]plane.Point, levels [3]units.Length) {
	for k, c := range r[i] {
		levels[k] = c.X / 100
	}
	return r[i], levels
}

func ExampleNewBasin() {
	var spec volume.BasinSpec
	err := strict.Decode([]byte(`{"circular": {"diameter": "120 ft", "at": "top of bank", "depth": "10 ft", "slopes": [2.5]}}`), &spec)
	if err != nil {
		fmt.Println(err)
		return
	}
	b, err := volume.NewBasin(context.Background(), spec)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(volume.Capacity(b).Text(units.Gallon, 0))
	// Output:
	// 542,476 gal
}

func ExampleHeightFor() {
	b := northPond()
	h, err := volume.HeightFor(b, 1_000_000*units.Gallon)
	fmt.Println(h.Text(units.Foot, 2), err)
	_, err = volume.HeightFor(b, 4_000_000*units.Gallon)
	fmt.Println(err)
	// Output:
	// 4.01 ft <nil>
	// volume: got 4,000,000 gal, want 0 to the capacity of 3,052,052 gal
}

func ExampleCapacity() {
	fmt.Println(volume.Capacity(northPond()).Text(units.AcreFoot, 2))
	// Output: 9.37 acre-ft
}

func ExampleStageStorage() {
	table, err := volume.StageStorage(volume.StageStorageSpec{Basin: northPond(), Step: 2.5 * units.Foot})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Print(table)
	// Output:
	// height        area       volume         volume
	//    0.00 ft  28,800 ft2        0 ft3          0 gal
	//    2.50 ft  34,425 ft2   78,938 ft3    590,494 gal
	//    5.00 ft  40,500 ft2  172,500 ft3  1,290,390 gal
	//    7.50 ft  47,025 ft2  281,813 ft3  2,108,104 gal
	//   10.00 ft  54,000 ft2  408,000 ft3  3,052,052 gal
}

func ExampleCompareMethods() {
	list, err := volume.CompareMethods(volume.CompareMethodsSpec{Basin: northPond(), Low: 0, High: 10 * units.Foot})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, m := range list {
		fmt.Printf("%-16v %s %+.2f %%\n", m.Method, m.Volume.Text(units.CubicFoot, 0), 100*m.RelativeError)
	}
	// Output:
	// average end area 414,000 ft3 +1.47 %
	// conic            407,453 ft3 -0.13 %
	// prismoidal       408,000 ft3 +0.00 %
	// mid-area         405,000 ft3 -0.74 %
}

func ExampleSlice() {
	v, err := volume.Slice(volume.SliceSpec{
		Method: volume.MethodEndArea, Bottom: 78400 * units.SquareFoot, Top: 89162 * units.SquareFoot, Depth: 2.5 * units.Foot,
	})
	fmt.Println(v.Text(units.CubicFoot, 1), err)
	// Output: 209,452.5 ft3 <nil>
}

func ExampleLayers() {
	b := northPond()
	r, err := volume.Layers(volume.LayersSpec{
		Basin:     b,
		FromFloor: []volume.LayerSpec{{Name: "sludge", Thickness: 2 * units.Foot}, {Name: "liquid", Volume: 900_000 * units.Gallon}},
		FromTop:   []volume.LayerSpec{{Name: "freeboard", Thickness: 1 * units.Foot}, {Name: "storm", Thickness: 0.5 * units.Foot}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	_, err = volume.Layers(volume.LayersSpec{
		Basin:     b,
		FromFloor: []volume.LayerSpec{{Name: "sludge", Thickness: 4.7 * units.Foot}, {Name: "liquid", Thickness: 5.6 * units.Foot}},
	})
	fmt.Println(err)
	// Output:
	// freeboard  393,266 gal    9 ft to 10 ft above the floor; 393,243 gal by mid-area
	// storm      188,722 gal    8.5 ft to 9 ft above the floor; 188,719 gal by mid-area
	// unused     1,106,152 gal  5.241 ft to 8.5 ft above the floor; 1,105,375 gal by mid-area
	// liquid     900,000 gal    2 ft to 5.241 ft above the floor; 899,236 gal by mid-area
	// sludge     463,912 gal    0 ft to 2 ft above the floor; 463,732 gal by mid-area
	//
	// fromFloor[1].thickness: got 5.6 ft, want at most 5.3 ft, the depth left above the layers below
}

func ExampleEmptying() {
	months := make([]volume.Weather, 12)
	for i := range months {
		months[i] = volume.Weather{Rain: 0.12 * units.Inch, Evaporation: 0.14 * units.Inch}
	}
	r, err := volume.Emptying(volume.EmptyingSpec{
		Basin: northPond(), StartLevel: 8.5 * units.Foot, StopLevel: 2 * units.Foot,
		Start: time.Date(2027, 4, 12, 0, 0, 0, 0, time.UTC), Until: time.Date(2027, 10, 31, 0, 0, 0, 0, time.UTC),
		Pump: 350 * units.GallonPerMinute, HoursPerDay: 6 * units.Hour, RestDays: []time.Weekday{time.Sunday},
		Months:  months,
		Days:    []volume.DatedWeather{{Date: time.Date(2027, 4, 20, 0, 0, 0, 0, time.UTC), Weather: volume.Weather{Rain: 3 * units.Inch}}},
		Seepage: 0.02 * units.InchPerDay,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// stored above the stop level          2,006,152 gal  15.9 days of pumping by itself
	// rain                                 173,698 gal    on the area inside the top of the bank
	// runoff                               0 gal          from the catchment
	// inflow                               0 gal
	// evaporation                          66,023 gal     from the liquid surface
	// seepage                              9,967 gal      through the area of the liquid surface
	// land applied                         2,103,860 gal
	// more than was stored                 97,708 gal     rain + runoff + inflow - evaporation - seepage - spill
	// because of rain                      169,058 gal    beyond the same weather without rain, where it takes 18 days
	// greatest fall of the level in a day  5.812 in       on 2027-04-29; wet banks slump when it is fast: ask a licensed engineer whether it may be
	// empty on                             2027-04-30     after 19 days
}

func ExamplePond() {
	r, err := volume.Pond(volume.PondSpec{
		Basin: northPond(), WaterLevel: 9 * units.Foot,
		DepthRules: []volume.DepthRule{{Name: "fish over winter", Depth: 8 * units.Foot, Share: 0.25}},
		Left:       100_000 * units.Gallon, LeftN: 450 * units.MilligramPerLitre,
		Rinse: 400_000 * units.Gallon, CleanN: 1 * units.MilligramPerLitre,
		TargetN: 4 * units.MilligramPerLitre, MaxRinses: 6,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// pond              2,658,786 gal
	// fish over winter  met                  8 ft or deeper below 61 % of the surface, 25 % wanted
	// without a rinse   0.1493 lb/1000 gal   nitrogen if refilled now
	// after rinse 1     0.03653 lb/1000 gal  nitrogen if refilled now
	// after rinse 2     0.01398 lb/1000 gal  nitrogen if refilled now
	// rinse water       800,000 gal          carries 366.4 lb of nitrogen to the land
}

func ExampleSlopeDepth() {
	z, err := volume.SlopeOfAngle(70)
	if err != nil {
		fmt.Println(err)
		return
	}
	d, err := volume.SlopeDepth(volume.SlopeDepthSpec{Along: 6.6 * units.Metre, Slope: z})
	fmt.Println(d.Text(units.Metre, 1), err)
	// Output: 6.2 m <nil>
}

func ExampleSlopeOfAngle() {
	z, err := volume.SlopeOfAngle(18.435)
	fmt.Printf("%.2f:1 %v\n", z, err)
	// Output: 3.00:1 <nil>
}

func ExampleShorelineArea() {
	a, err := volume.ShorelineArea(520 * units.Foot)
	fmt.Println(a.Text(units.Acre, 3), err)
	// Output: 0.494 acre <nil>
}

func ExampleMeanDepth() {
	soundings := []units.Length{0, 2 * units.Foot, 5 * units.Foot, 6 * units.Foot, 3 * units.Foot, 0}
	for _, rule := range []volume.ShoreRule{volume.ShoreRuleIn, volume.ShoreRuleOut} {
		d, err := volume.MeanDepth(volume.MeanDepthSpec{Soundings: soundings, Rule: rule})
		fmt.Println(rule, d.Text(units.Foot, 2), err)
	}
	// Output:
	// zeros in 2.67 ft <nil>
	// zeros out 4.00 ft <nil>
}

func ExampleStageTable_Series() {
	table, err := volume.StageStorage(volume.StageStorageSpec{Basin: northPond(), Step: 5 * units.Foot})
	if err != nil {
		fmt.Println(err)
		return
	}
	curve := table.Series(units.Foot, 1000*units.Gallon) // a plotter.XYer of gonum
	for i := range curve.Len() {
		x, y := curve.XY(i)
		fmt.Printf("%.0f ft %.0f\n", x, y)
	}
	// Output:
	// 0 ft 0
	// 5 ft 1290
	// 10 ft 3052
}

func ExampleLiner() {
	b := northPond()
	r, err := volume.Liner(volume.LinerSpec{Basin: b, Thickness: 1 * units.Foot, Method: volume.LinerMethodOffset})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// floor      0.6612 acre
	// banks      0.6098 acre  along the slope up to 10 ft over the floor
	// thickness  1 ft         square to the surface
	// layer      2,110.1 yd3  outer solid - basin
}

// Three inches of rain on two days after the draw-off.
func ExampleOpenPit() {
	storm := volume.Weather{Rain: 3 * units.Inch, Evaporation: 0.05 * units.Inch}
	day := func(d int) time.Time { return time.Date(2027, 5, d, 0, 0, 0, 0, time.UTC) }
	r, err := volume.OpenPit(volume.OpenPitSpec{
		Basin: northPond(), Start: day(1), Filled: day(31), FillFrom: day(17), FillTo: 8 * units.Foot,
		Pump: 500 * units.GallonPerMinute, HoursPerDay: 8 * units.Hour, WetDay: 0.25 * units.Inch,
		Months: slices.Repeat([]volume.Weather{{Rain: 0.1 * units.Inch, Evaporation: 0.12 * units.Inch}}, 12),
		Days:   []volume.DatedWeather{{Date: day(6), Weather: storm}, {Date: day(7), Weather: storm}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// open                            31           days, to 2027-05-31
	// rain                            299,595 gal  on the area inside the top of the bank
	// runoff                          0 gal        from the catchment
	// inflow                          0 gal
	// evaporation                     76,179 gal   from the liquid surface
	// seepage                         0 gal        through the area of the liquid surface
	// dirty water to pump and spread  223,416 gal  on 26 days
	// most on one day                 201,212 gal  on 2027-05-08
	// left in it                      0 gal        on the last day
	// evenings with water in it       2
	// highest level without pumping   8.607 ft     on 2027-05-31: 7.279 in of water over the fill, which is 8 ft high then
}

// A basin with plane banks has the offset solid; one known by its areas has not.
func ExampleLinerMethods() {
	fmt.Println(volume.LinerMethods(northPond()))
	// Output: [offset solid area x thickness]
}
