package geostat_test

import (
	"context"
	"fmt"

	"example.org/earthbasin/sludge/geostat"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// basin is an invented lagoon of 300 ft by 160 ft, waterline to waterline.
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

func kriging() *geostat.Kriging {
	k, err := geostat.NewKriging(context.Background(), geostat.KrigingSpec{Samples: readings(), Model: model()})
	if err != nil {
		panic(err)
	}
	return k
}

func ExampleVariogram() {
	v, err := geostat.Variogram(context.Background(), geostat.VariogramSpec{Samples: readings(), Classes: 5, Cutoff: 180 * units.Foot})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range v.Classes {
		fmt.Printf("%3d pairs at %s: %s\n", c.Pairs, c.Distance.Text(units.Foot, 0), c.Gamma.Text(units.SquareFoot, 2))
	}
	// Output:
	// 81 pairs at 49 ft: 0.21 ft2
	//  88 pairs at 89 ft: 0.42 ft2
	//  79 pairs at 127 ft: 0.48 ft2
	//  64 pairs at 165 ft: 0.50 ft2
}

func ExampleFit() {
	v, err := geostat.Variogram(context.Background(), geostat.VariogramSpec{Samples: readings(), Classes: 5, Cutoff: 180 * units.Foot})
	if err != nil {
		fmt.Println(err)
		return
	}
	fit, err := geostat.Fit(geostat.FitSpec{Variogram: v, Weights: geostat.WeightsOverDistance})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(fit.Status)
	fmt.Println("range", fit.Model.Range.Text(units.Foot, 0), fit.Model.RangeAs)
	fmt.Println("sill", fit.Model.Sill.Text(units.SquareFoot, 2), "nugget", fit.Model.Nugget.Text(units.SquareFoot, 2))
	// Output:
	// usable
	// range 160 ft plain
	// sill 0.51 ft2 nugget 0.00 ft2
}

func ExampleNewKriging() {
	k, err := geostat.NewKriging(context.Background(), geostat.KrigingSpec{Samples: readings(), Model: model()})
	if err != nil {
		fmt.Println(err)
		return
	}
	e, err := k.Estimate(plane.Point{X: 130 * units.Foot, Y: 75 * units.Foot})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(e.Value.Text(units.Foot, 2), "+-", e.SD.Text(units.Foot, 2))
	// Output:
	// 3.21 ft +- 0.38 ft
}

func ExampleKriging_Block() {
	b, err := kriging().Block(geostat.BlockSpec{Boundary: basin})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("mean", b.Mean.Text(units.Foot, 2), "+-", b.SD.Text(units.Foot, 2))
	fmt.Println("volume", b.Area.Times(b.Mean).Text(units.CubicYard, 0))
	// Output:
	// mean 2.12 ft +- 0.05 ft
	// volume 3,774 yd3
}

func ExampleKriging_System() {
	s, err := kriging().System(plane.Point{X: 130 * units.Foot, Y: 75 * units.Foot})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, w := range s.Weights {
		if w.Weight > 0.1 {
			fmt.Printf("sample %d has weight %.2f\n", w.Sample, w.Weight)
		}
	}
	fmt.Printf("condition number %.0f\n", s.Condition)
	// Output:
	// sample 9 has weight 0.29
	// sample 10 has weight 0.35
	// sample 16 has weight 0.20
	// sample 17 has weight 0.24
	// condition number 65
}

func ExampleKriging_Validate() {
	v, err := kriging().Validate(context.Background())
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(v)
	// Output:
	// places left out in turn       28
	// mean error                    -0.1971 in  observed less predicted
	// root mean square error        2.538 in
	// mean absolute error           2.155 in
	// mean squared deviation ratio  0.196       the errors are only 0.442 times what the model expects: its intervals are too wide
}

func ExampleKriging_Influences() {
	list, err := kriging().Influences(context.Background(), geostat.BlockSpec{Boundary: basin})
	if err != nil {
		fmt.Println(err)
		return
	}
	most := list[0]
	for _, i := range list {
		if i.Change.SI() > most.Change.SI() {
			most = i
		}
	}
	fmt.Printf("sample %d of weight %.3f raises the mean by %s\n", most.Sample, most.Weight, most.Change.Text(units.Inch, 2))
	// Output:
	// sample 16 of weight 0.035 raises the mean by 0.15 in
}

func ExampleKriging_Next() {
	r, err := kriging().Next(context.Background(), geostat.NextSpec{Block: geostat.BlockSpec{Boundary: basin}, Most: 3})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("now", r.SD.Text(units.Inch, 2))
	for _, p := range r.Places {
		fmt.Println(p.At.X.Text(units.Foot, 0), p.At.Y.Text(units.Foot, 0), "gives", p.SD.Text(units.Inch, 2))
	}
	// Output:
	// now 0.61 in
	// 128 ft 80 ft gives 0.61 in
	// 217 ft 80 ft gives 0.60 in
	// 172 ft 5 ft gives 0.59 in
}

func ExampleMean() {
	m, err := geostat.Mean(geostat.MeanSpec{Samples: readings(), Boundary: basin, Confidence: 0.95})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(m)
	// Output:
	// samples             28           equal weights
	// mean                2.129 ft
	// area                1.102 acre   inside the boundary less islands
	// volume              764,295 gal  area x mean
	// standard deviation  7.56 in      n - 1
	// standard error      1.429 in
	// t                   2.0518       95 %, 27 degrees of freedom
	// volume, low         676,576 gal  area x (mean - t x error)
	// volume, high        852,014 gal  area x (mean + t x error)
}

func ExampleThin() {
	var track []geostat.Sample // a sounding each foot along a line
	for i := range 100 {
		track = append(track, geostat.Sample{At: plane.Point{X: units.Length(i) * units.Foot}, Value: 2 * units.Foot})
	}
	thin, err := geostat.Thin(track, 10*units.Foot)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(len(track), "become", len(thin))
	// Output:
	// 100 become 10
}

func ExampleModel_Gamma() {
	p, q := plane.Point{}, plane.Point{X: 85 * units.Foot}
	fmt.Println(model().Gamma(p, q).Text(units.SquareFoot, 4))
	fmt.Println(model().Gamma(p, p).Text(units.SquareFoot, 4))
	// Output:
	// 0.4325 ft2
	// 0.0000 ft2
}

func ExampleKriging_Estimates() {
	places := []plane.Point{{X: 60 * units.Foot, Y: 60 * units.Foot}, {X: 280 * units.Foot, Y: 150 * units.Foot}}
	list, err := kriging().Estimates(context.Background(), places, 2) // on two cores
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, e := range list {
		fmt.Println(e.Value.Text(units.Foot, 2), "+-", e.SD.Text(units.Foot, 2))
	}
	// Output:
	// 2.81 ft +- 0.25 ft
	// 2.02 ft +- 0.37 ft
}

func ExampleMeanResult_Needed() {
	m, err := geostat.Mean(geostat.MeanSpec{Samples: readings(), Boundary: basin, Confidence: 0.9})
	if err != nil {
		fmt.Println(err)
		return
	}
	n, err := m.Needed(1.5 * units.Inch)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(n, "soundings for +- 1.5 in at 90 %")
	// Output:
	// 71 soundings for +- 1.5 in at 90 %
}

func ExampleFitAnisotropy() {
	list := readings()
	for i := range 28 { // and between them, where the sludge changes faster across than along
		r := list[i]
		r.At.X, r.Value = r.At.X+20*units.Foot, r.Value+0.05*units.Foot
		list = append(list, r)
	}
	r, err := geostat.FitAnisotropy(context.Background(), geostat.AnisotropySpec{Samples: list, Classes: 5, Cutoff: 180 * units.Foot})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%v, gain %.2f\n", r.Status, r.Gain)
	fmt.Printf("ratio %.1f, azimuth %.0f\n", r.Model.Anisotropy.Ratio, r.Model.Anisotropy.Azimuth)
	// Output:
	// usable, gain 0.05
	// ratio 0.8, azimuth 30
}

// The thickness follows the depth of the floor.
func ExampleNewDrift() {
	floor := func(p plane.Point) float64 { // in metres: banks of 3:1 and no deeper than 3 m
		return min(3, float64(min(p.X, 300*units.Foot-p.X, p.Y, 160*units.Foot-p.Y))/3)
	}
	list := readings()
	spec := geostat.DriftSpec{Samples: list, Model: model()}
	for _, r := range list {
		spec.Covariates = append(spec.Covariates, []float64{floor(r.At)})
	}
	d, err := geostat.NewDrift(context.Background(), spec)
	if err != nil {
		fmt.Println(err)
		return
	}
	_, slopes := d.Coefficients()
	fmt.Printf("%.2f m of sludge for each metre of depth\n", slopes[0])
	p := plane.Point{X: 130 * units.Foot, Y: 75 * units.Foot}
	e, err := d.Estimates(context.Background(), []plane.Point{p}, [][]float64{{floor(p)}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(e[0].Value.Text(units.Foot, 2), "+-", e[0].SD.Text(units.Foot, 2))
	// Output:
	// 0.18 m of sludge for each metre of depth
	// 3.17 ft +- 0.38 ft
}

func ExampleBlockSpec_Nodes() {
	nodes, err := geostat.BlockSpec{Boundary: basin, Step: 80 * units.Foot}.Nodes()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(len(nodes), "parts of", nodes[0].Area.Text(units.SquareFoot, 0))
	// Output:
	// 8 parts of 6,000 ft2
}

func ExampleKriging_Values() {
	v, err := kriging().Values(context.Background(), []plane.Point{{X: 130 * units.Foot, Y: 75 * units.Foot}}, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(v[0].Text(units.Foot, 2))
	// Output:
	// 3.21 ft
}

func ExampleModel_EffectiveRange() {
	m := geostat.Model{Shape: geostat.Exponential, Sill: 0.02, Range: 10}
	fmt.Println(m.EffectiveRange().In(units.Metre), "m")
	// Output:
	// 30 m
}
