package geostat_test

import (
	"context"
	"fmt"

	"example.org/earthbasin/sludge/geostat"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// drift is kriging with a mean that changes with the distance from
// the inlet at the south-western corner.
func drift() *geostat.Drift {
	spec := geostat.DriftSpec{Samples: readings(), Model: model()}
	for _, r := range spec.Samples {
		spec.Covariates = append(spec.Covariates, []float64{r.At.Distance(plane.Point{}).In(100 * units.Foot)})
	}
	d, err := geostat.NewDrift(context.Background(), spec)
	if err != nil {
		panic(err)
	}
	return d
}

func ExampleKriging_At() {
	z, ok := kriging().At(plane.Point{X: 130 * units.Foot, Y: 75 * units.Foot})
	fmt.Println(z.Text(units.Foot, 2), ok)
	// Output: 3.21 ft true
}

func ExampleKriging_Estimate() {
	e, err := kriging().Estimate(plane.Point{X: 130 * units.Foot, Y: 75 * units.Foot})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(e.Value.Text(units.Foot, 2), "+-", e.SD.Text(units.Foot, 2))
	// Output: 3.21 ft +- 0.38 ft
}

func ExampleKriging_Notes() {
	samples := readings()
	smooth := geostat.Model{Shape: geostat.Gaussian, Sill: 0.6 * units.SquareFoot, Range: 2000 * units.Foot} // and no nugget
	k, err := geostat.NewKriging(context.Background(), geostat.KrigingSpec{Samples: samples, Model: smooth})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(len(kriging().Notes()), len(k.Notes()) > 0)
	// Output: 0 true
}

func ExampleModel_Check() {
	long := geostat.Anisotropy{Ratio: 2, Azimuth: 90} // minor over major, which is at most 1
	fmt.Println(geostat.Model{Sill: 0.06, Range: 50, Anisotropy: &long}.Check())
	// Output: anisotropy.ratio: got 2, want 1e-06 to 1
}

func ExampleDrift_Estimates() {
	p := plane.Point{X: 130 * units.Foot, Y: 75 * units.Foot}
	e, err := drift().Estimates(context.Background(), []plane.Point{p}, [][]float64{{p.Distance(plane.Point{}).In(100 * units.Foot)}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(e[0].Value.Text(units.Foot, 2), "+-", e[0].SD.Text(units.Foot, 2))
	// Output: 3.21 ft +- 0.38 ft
}

func ExampleDrift_Coefficients() {
	constant, slopes := drift().Coefficients()
	fmt.Printf("%s at the inlet, %.2f ft less for each 100 ft from it\n", constant.Text(units.Foot, 2), -units.Length(slopes[0]).In(units.Foot))
	// Output: 1.86 ft at the inlet, 0.08 ft less for each 100 ft from it
}

// field is the readings with nothing known of their covariance.
func field() *geostat.Field {
	k, err := geostat.NewField(context.Background(), geostat.FieldSpec{Samples: readings(), Confidence: 0.95})
	if err != nil {
		panic(err)
	}
	return k
}

func ExampleNewField() {
	fmt.Print(field())
	// Output:
	// samples     28        at 28 places
	// range       343.5 ft  smoothness 2.5, nugget 0.1 % of the variance, weight 52.24 %
	// range       343.5 ft  smoothness 2.5, nugget 0.01 % of the variance, weight 18.78 %
	// range       207.4 ft  smoothness 2.5, nugget 0.1 % of the variance, weight 11.76 %
	// range       207.4 ft  smoothness 2.5, nugget 1 % of the variance, weight 3.615 %
	// range       207.4 ft  smoothness 2.5, nugget 0.01 % of the variance, weight 3.332 %
	// structures  19        that weigh 0.0001 or more of the likeliest
}

func ExampleField_At() {
	e, err := field().At(plane.Point{X: 130 * units.Foot, Y: 75 * units.Foot})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(e.Value.Text(units.Foot, 2), "from", e.Interval.Low.Text(units.Foot, 2), "to", e.Interval.High.Text(units.Foot, 2))
	// Output: 3.32 ft from 3.17 ft to 3.46 ft
}

func ExampleField_Mean() {
	e, err := field().Mean(context.Background(), geostat.BlockSpec{Line: []plane.Point{{X: 20 * units.Foot, Y: 75 * units.Foot}, {X: 240 * units.Foot, Y: 75 * units.Foot}}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(e.Value.Text(units.Foot, 2), "from", e.Interval.Low.Text(units.Foot, 2), "to", e.Interval.High.Text(units.Foot, 2))
	// Output: 2.77 ft from 2.72 ft to 2.82 ft
}

func ExampleField_Structures() {
	best := field().Structures()[0]
	fmt.Println("smoothness", best.Smoothness, "range", best.Range.Text(units.Foot, 0), "nugget", best.Nugget)
	// Output: smoothness 2.5 range 344 ft nugget 0.001
}

func ExampleField_Working() {
	w := field().Working()
	fmt.Println(units.Style{}.Working(w[:1]))
	// Output: samples  28  at 28 places
}
