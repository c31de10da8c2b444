package geostat

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge/internal/fixtures"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/evidence"
	"example.org/earthbasin/units/plane"
)

func TestPublishedKriging(t *testing.T) {
	var checks []evidence.Check
	add := func(what string, got, want, tol float64, unit, source string, kind evidence.Kind) {
		checks = append(checks, evidence.Check{Quantity: what, Got: got, Want: want, Tol: tol, Unit: unit, Source: source, Kind: kind})
	}
	samples, ref := loadMeuse(t)
	all, err := NewKriging(context.Background(), KrigingSpec{Samples: samples, Model: ref.Fit.OneCall.model()})
	require.NoError(t, err)
	near, err := NewKriging(context.Background(), KrigingSpec{Samples: samples, Model: ref.Fit.OneCall.model(), Neighbours: 16})
	require.NoError(t, err)
	for _, p := range ref.Points {
		at := fmt.Sprintf("kriging of meuse log zinc at (%.0f, %.0f): ", p.X, p.Y)
		e, err := all.Estimate(pointAt(p.X, p.Y))
		require.NoError(t, err)
		add(at+"all samples", float64(e.Value), p.Value, 1e-12, "1", fixtures.MeuseSource, evidence.Reference)
		add(at+"all samples, variance", square(e.SD), p.Variance, 1e-13, "1", fixtures.MeuseSource, evidence.Reference)
		e, err = near.Estimate(pointAt(p.X, p.Y))
		require.NoError(t, err)
		add(at+"16 nearest", float64(e.Value), p.Value16, 1e-12, "1", fixtures.MeuseSource, evidence.Reference)
		add(at+"16 nearest, variance", square(e.SD), p.Variance16, 1e-13, "1", fixtures.MeuseSource, evidence.Reference)
	}

	// Seven samples, target (65, 137); ranges are effective ones.
	seven := []Sample{sampleAt(61, 139, 477), sampleAt(63, 140, 696), sampleAt(64, 129, 227), sampleAt(68, 128, 646),
		sampleAt(71, 140, 606), sampleAt(73, 141, 791), sampleAt(75, 128, 783)}
	recomputed := fixtures.Book1989 + "; recomputed with numpy and gstat 2.1.0"
	for _, c := range []struct {
		name                   string
		model                  Model
		printed, variance      float64 // 0: not printed
		tol, tolVariance       float64
		kind                   evidence.Kind
		value, exact, multiply float64
		weights                [7]float64
	}{
		{"exponential", Model{Shape: Exponential, Sill: 10, Range: 10}, 593, 8.96, 0.5, 0.005, evidence.Published, 592.728943, 8.956053, -0.9066,
			[7]float64{0.1729, 0.3178, 0.1287, 0.0864, 0.1511, 0.0572, 0.0858}},
		{"exponential of double sill", Model{Shape: Exponential, Sill: 20, Range: 10}, 593, 17.91, 0.5, 0.005, evidence.Published, 592.728943, 17.912106, -1.8132,
			[7]float64{0.1729, 0.3178, 0.1287, 0.0864, 0.1511, 0.0572, 0.0858}},
		{"Gaussian", Model{Shape: Gaussian, Sill: 10, Range: 10}, 559, 4.78, 0.5, 0.005, evidence.Published, 559.37, 4.7806, -0.3583,
			[7]float64{-0.0215, 0.6760, 0.1659, -0.0128, 0.4441, -0.2884, 0.0367}},
		{"exponential with nugget", Model{Shape: Exponential, Nugget: 5, Sill: 5, Range: 10}, 597, 10.31, 0.5, 0.005, evidence.Published, 596.777, 10.3059, -1.1510,
			[7]float64{0.1790, 0.2262, 0.1314, 0.1117, 0.1368, 0.1038, 0.1110}},
		{"pure nugget", Model{Nugget: 10}, 603.7, 11.43, 0.05, 0.005, evidence.Memory, 603.7143, 11.4286, -1.4286,
			[7]float64{0.142857, 0.142857, 0.142857, 0.142857, 0.142857, 0.142857, 0.142857}},
	} {
		c.model.RangeAs = RangeEffective
		k, err := NewKriging(context.Background(), KrigingSpec{Samples: seven, Model: c.model})
		require.NoError(t, err)
		s, err := k.System(pointAt(65, 137))
		require.NoError(t, err)
		at := "kriging from seven samples, " + c.name + ": "
		value, variance := float64(s.Estimate.Value), square(s.Estimate.SD)
		add(at+"estimate as printed", value, c.printed, c.tol, "ppm", fixtures.Book1989, c.kind)
		add(at+"variance as printed", variance, c.variance, c.tolVariance, "ppm2", fixtures.Book1989, c.kind)
		add(at+"estimate", value, c.value, 5e-5, "ppm", recomputed, evidence.Reference)
		add(at+"variance", variance, c.exact, 5e-5, "ppm2", recomputed, evidence.Reference)
		add(at+"multiplier", float64(s.Multiplier), c.multiply, 5e-5, "ppm2", recomputed, evidence.Reference)
		for i, w := range s.Weights {
			require.Equal(t, i, w.Sample)
			add(fmt.Sprintf("%sweight %d", at, i+1), w.Weight, c.weights[i], 5e-5, "1", recomputed, evidence.Reference)
		}
		if c.name != "exponential" {
			continue
		}
		for i, want := range []float64{10, 5.1129, 0.4363, 0.2001, 0.4905, 0.2600, 0.0479} {
			add(fmt.Sprintf("%scovariance of samples 1 and %d", at, i+1), float64(s.Covariances[0][i]), want, 5e-5, "ppm2", recomputed, evidence.Reference)
		}
		for i, want := range []float64{2.6142, 3.3903, 0.8904, 0.5807, 1.3366, 0.6834, 0.1767} {
			add(fmt.Sprintf("%scovariance of sample %d and target", at, i+1), float64(s.ToTarget[i]), want, 5e-5, "ppm2", recomputed, evidence.Reference)
		}
		add(at+"corner of the inverse", s.Corner, -2.1802, 5e-5, "ppm2", recomputed, evidence.Reference)
	}

	// Four corners of a square, then two of them.
	corners := []Sample{sampleAt(-0.5, -0.5, 1), sampleAt(0.5, -0.5, 2), sampleAt(-0.5, 0.5, 3), sampleAt(0.5, 0.5, 4)}
	covtable := "test output covtable.Rout.save of the R package gstat 2.1-5"
	for _, c := range []struct {
		n               int
		value, variance float64
	}{{4, 2.5, 1.017767}, {2, 1.5, 1.267767}} {
		k, err := NewKriging(context.Background(), KrigingSpec{Samples: corners[:c.n], Model: Model{Sill: 1, Range: 1}})
		require.NoError(t, err)
		e, err := k.Estimate(pointAt(0, 0))
		require.NoError(t, err)
		at := fmt.Sprintf("kriging from %d corners of a square: ", c.n)
		add(at+"estimate", float64(e.Value), c.value, 1e-12, "1", covtable, evidence.Reference)
		add(at+"variance", square(e.SD), c.variance, 5e-7, "1", covtable, evidence.Reference)
	}

	// A straight variogram is the beginning of a very long spherical one.
	straight := func(nugget, slope float64) Model {
		const far = 1e7
		return Model{Nugget: units.Area(nugget), Sill: units.Area(slope * far / 1.5), Range: far}
	}
	hydro := "Introduction to Geostatistics: Applications in Hydrogeology, Cambridge University Press, 1997, example 3.2, as carried in the test suite of PyKrige (tests/test_core.py)"
	k, err := NewKriging(context.Background(), KrigingSpec{Samples: []Sample{sampleAt(9.7, 47.6, 1.22), sampleAt(43.8, 24.6, 2.822)}, Model: straight(0.1, 0.006)})
	require.NoError(t, err)
	s, err := k.System(pointAt(18.8, 67.9))
	require.NoError(t, err)
	add("two wells, straight variogram: estimate", float64(s.Estimate.Value), 1.6364, 5e-5, "m", hydro, evidence.Published)
	add("two wells, straight variogram: variance", square(s.Estimate.SD), 0.4201, 5e-5, "m2", hydro, evidence.Published)
	add("two wells, straight variogram: first weight", s.Weights[0].Weight, 0.74008, 5e-6, "1", hydro+"; recomputed", evidence.Reference)
	e, err := k.Estimate(pointAt(43.8, 24.6))
	require.NoError(t, err)
	add("two wells, at a well: estimate", float64(e.Value), 2.822, evidence.Exact, "m", "kriging without an error of measurement gives back its samples", evidence.Identity)
	add("two wells, at a well: variance", square(e.SD), 0, evidence.Exact, "m2", "kriging without an error of measurement gives back its samples", evidence.Identity)

	wells := "Statistics and Data Analysis in Geology, Wiley, water levels of three wells"
	k, err = NewKriging(context.Background(), KrigingSpec{Samples: []Sample{sampleAt(3, 4, 120), sampleAt(6.3, 3.4, 103), sampleAt(2, 1.3, 142)}, Model: straight(0, 4)})
	require.NoError(t, err)
	s, err = k.System(pointAt(3, 3))
	require.NoError(t, err)
	add("three wells, straight variogram: estimate", float64(s.Estimate.Value), 125.3, 0.05, "m", wells, evidence.Memory)
	add("three wells, straight variogram: variance", square(s.Estimate.SD), 5.28, 0.005, "m2", wells, evidence.Memory)
	for i, want := range []float64{0.6039, 0.0868, 0.3093} {
		add(fmt.Sprintf("three wells, straight variogram: weight %d", i+1), s.Weights[i].Weight, want, 5e-5, "1", wells, evidence.Memory)
	}

	// 75 seam thicknesses.
	coal := table(t, "coal75.csv", same)
	computed := fixtures.CoalSource + "; computed with numpy and gstat 2.1.0"
	for _, c := range []struct {
		model       Model
		tol         float64
		tolVariance float64
		want        [4][2]float64
	}{
		{Model{Sill: 7.5, Range: 60}, 5e-8, 5e-9, [4][2]float64{{37.9314142, 1.56611745}, {41.0616411, 1.39977800}, {40.3051527, 1.08858931}, {38.6073317, 1.91551625}}},
		{Model{Shape: Gaussian, Sill: 7.4599, Range: 30.1111}, 5e-8, 5e-7, [4][2]float64{{38.0411500, 2.751e-4}, {41.0399650, 2.863e-5}, {40.2701016, 6.15e-6}, {38.4655115, 3.003e-4}}},
	} {
		k, err := NewKriging(context.Background(), KrigingSpec{Samples: coal, Model: c.model})
		require.NoError(t, err)
		for i, p := range []plane.Point{pointAt(50, 50), pointAt(20, 80), pointAt(75, 25), pointAt(60, 60)} {
			e, err := k.Estimate(p)
			require.NoError(t, err)
			at := fmt.Sprintf("kriging from 75 seam thicknesses, %v, at (%.0f, %.0f): ", c.model.Shape, float64(p.X), float64(p.Y))
			add(at+"estimate", float64(e.Value), c.want[i][0], c.tol, "ft", computed, evidence.Reference)
			add(at+"variance", square(e.SD), c.want[i][1], c.tolVariance, "ft2", computed, evidence.Reference)
		}
	}
	evidence.Run(t, "sludge/geostat", checks)
}

// box is a rectangle along the axes.
func box(x0, y0, x1, y1 float64) plane.Polygon {
	return plane.Polygon{pointAt(x0, y0), pointAt(x1, y0), pointAt(x1, y1), pointAt(x0, y1)}
}

func TestPublishedBlock(t *testing.T) {
	var checks []evidence.Check
	add := func(what string, got, want, tol float64, unit, source string, kind evidence.Kind) {
		checks = append(checks, evidence.Check{Quantity: what, Got: got, Want: want, Tol: tol, Unit: unit, Source: source, Kind: kind})
	}
	zinc := table(t, "meuse.csv", same)
	k, err := NewKriging(context.Background(), KrigingSpec{Samples: zinc, Model: Model{Nugget: 2.42e4, Sill: 1.34e5, Range: 800}, Neighbours: 40})
	require.NoError(t, err)
	printed := "test output blockkr.Rout.save of the R package gstat"
	block := box(181150, 333230, 181190, 333270)
	b, err := k.Block(BlockSpec{Boundary: block, Step: 10})
	require.NoError(t, err)
	require.Equal(t, 16, b.Points)
	add("block of 40 m, 4 x 4 points: mean zinc", float64(b.Mean), 268.7324, 5e-5, "mg/kg", printed, evidence.Reference)
	add("block of 40 m, 4 x 4 points: variance", square(b.SD), 19568.76, 0.005, "mg2/kg2", printed, evidence.Reference)
	add("block of 40 m, 4 x 4 points: within-block covariance", float64(b.Within), 128956.677, 5e-4, "mg2/kg2", printed+"; recomputed", evidence.Reference)
	b, err = k.Block(BlockSpec{Boundary: block, Rule: BlockGauss})
	require.NoError(t, err)
	add("block of 40 m, Gauss points: mean zinc", float64(b.Mean), 268.7576, 5e-5, "mg/kg", printed, evidence.Reference)
	add("block of 40 m, Gauss points: variance", square(b.SD), 19447.67, 0.005, "mg2/kg2", printed, evidence.Reference)
	b, err = k.Block(BlockSpec{Boundary: block, Step: 2})
	require.NoError(t, err)
	add("block of 40 m, 20 x 20 points: mean zinc", float64(b.Mean), 268.7565, 5e-5, "mg/kg", printed+"; recomputed", evidence.Reference)
	add("block of 40 m, 20 x 20 points: variance", square(b.SD), 19400.74, 0.005, "mg2/kg2", printed+"; recomputed", evidence.Reference)
	e, err := k.Estimate(pointAt(181170, 333250))
	require.NoError(t, err)
	add("point amid the block of 40 m: zinc", float64(e.Value), 268.3639, 5e-5, "mg/kg", printed+"; recomputed", evidence.Reference)
	add("point amid the block of 40 m: variance", square(e.SD), 48498.47, 0.005, "mg2/kg2", printed+"; recomputed", evidence.Reference)

	samples, ref := loadMeuse(t)
	k, err = NewKriging(context.Background(), KrigingSpec{Samples: samples, Model: ref.Fit.OneCall.model()})
	require.NoError(t, err)
	area := box(179600, 330800, 180000, 331000)
	b, err = k.Block(BlockSpec{Boundary: area, Step: 10})
	require.NoError(t, err)
	require.Equal(t, 800, b.Points)
	// The reference moves coincident points a little: it asks for 1e-7.
	add("block of 400 m by 200 m, 40 x 20 points: mean log zinc", float64(b.Mean), ref.Block.Regular.Mean, 1e-7, "1", fixtures.MeuseSource, evidence.Reference)
	add("block of 400 m by 200 m, 40 x 20 points: variance", square(b.SD), ref.Block.Regular.Variance, 1e-7, "1", fixtures.MeuseSource, evidence.Reference)
	b, err = k.Block(BlockSpec{Boundary: area, Rule: BlockGauss})
	require.NoError(t, err)
	add("block of 400 m by 200 m, Gauss points: mean log zinc", float64(b.Mean), ref.Block.Gauss.Mean, 1e-7, "1", fixtures.MeuseSource, evidence.Reference)
	add("block of 400 m by 200 m, Gauss points: variance", square(b.SD), ref.Block.Gauss.Variance, 1e-7, "1", fixtures.MeuseSource, evidence.Reference)

	k, err = NewKriging(context.Background(), KrigingSpec{Samples: table(t, "coal75.csv", same), Model: Model{Sill: 7.5, Range: 60}})
	require.NoError(t, err)
	computed := fixtures.CoalSource + "; computed with numpy and gstat 2.1.0"
	// The reference moves each point off itself by a little: 2e-7, not closer.
	for _, c := range []struct {
		n                         int
		mean, variance, tolerance float64
	}{{20, 40.015121, 0.0214066257, 2e-7}, {40, 40.014678, 0.02098421, 5e-9}} {
		b, err = k.Block(BlockSpec{Boundary: box(0, 0, 100, 100), Step: units.Length(100 / float64(c.n))})
		require.NoError(t, err)
		at := fmt.Sprintf("mean of the square of 75 seam thicknesses, %d x %d points: ", c.n, c.n)
		add(at+"mean", float64(b.Mean), c.mean, 5e-7, "ft", computed, evidence.Reference)
		add(at+"variance", square(b.SD), c.variance, c.tolerance, "ft2", computed, evidence.Reference)
	}

	// A constant surface stays what it is.
	constant := "weights that add up to 1 leave a constant as it is"
	flat := make([]Sample, 40)
	for i, s := range rounded(40) {
		flat[i] = Sample{s.At, 1.25}
	}
	variogram, err := Variogram(context.Background(), VariogramSpec{Samples: flat})
	require.NoError(t, err)
	fit, err := Fit(FitSpec{Variogram: variogram})
	require.NoError(t, err)
	require.Equal(t, FitFlat, fit.Status)
	var largest units.Area
	for _, c := range variogram.Classes {
		largest = max(largest, c.Gamma)
	}
	k, err = NewKriging(context.Background(), KrigingSpec{Samples: flat, Model: mound})
	require.NoError(t, err)
	b, err = k.Block(BlockSpec{Boundary: fixtures.Edge()})
	require.NoError(t, err)
	e, err = k.Estimate(pointAt(33, 44))
	require.NoError(t, err)
	left, err := k.Validate(context.Background())
	require.NoError(t, err)
	add("constant surface: largest semivariance", float64(largest), 0, evidence.Exact, "m2", constant, evidence.Identity)
	add("constant surface: kriging", float64(e.Value), 1.25, 1e-14, "m", constant, evidence.Identity)
	add("constant surface: block kriging", float64(b.Mean), 1.25, 1e-14, "m", constant, evidence.Identity)
	add("constant surface: leave-one-out error", float64(left.RMSE), 0, 1e-14, "m", constant, evidence.Identity)
	evidence.Run(t, "sludge/geostat", checks)
}

func TestPublishedValidation(t *testing.T) {
	var checks []evidence.Check
	add := func(what string, got, want, tol float64, unit, source string, kind evidence.Kind) {
		checks = append(checks, evidence.Check{Quantity: what, Got: got, Want: want, Tol: tol, Unit: unit, Source: source, Kind: kind})
	}
	samples, ref := loadMeuse(t)
	k, err := NewKriging(context.Background(), KrigingSpec{Samples: samples, Model: ref.Fit.OneCall.model()})
	require.NoError(t, err)
	v, err := k.Validate(context.Background())
	require.NoError(t, err)
	require.Equal(t, MSDRFits, v.Verdict)
	at := "leave-one-out of meuse log zinc: "
	add(at+"mean error", float64(v.MeanError), ref.Validation.ME, 1e-14, "1", fixtures.MeuseSource, evidence.Reference)
	add(at+"root mean square error", float64(v.RMSE), ref.Validation.RMSE, 1e-14, "1", fixtures.MeuseSource, evidence.Reference)
	add(at+"mean absolute error", float64(v.MAE), ref.Validation.MAE, 1e-14, "1", fixtures.MeuseSource, evidence.Reference)
	add(at+"mean squared deviation ratio", v.MSDR, ref.Validation.MSDR, 1e-13, "1", fixtures.MeuseSource, evidence.Reference)

	computed := fixtures.CoalSource + "; computed with numpy and gstat 2.1.0"
	coal := table(t, "coal75.csv", same)
	k, err = NewKriging(context.Background(), KrigingSpec{Samples: coal, Model: Model{Sill: 7.5, Range: 60}})
	require.NoError(t, err)
	v, err = k.Validate(context.Background())
	require.NoError(t, err)
	require.Equal(t, MSDRTooLow, v.Verdict)
	at = "leave-one-out of 75 seam thicknesses, spherical: "
	add(at+"mean error", float64(v.MeanError), 0.013395, 5e-7, "ft", computed, evidence.Reference)
	add(at+"root mean square error", float64(v.RMSE), 0.320598, 5e-7, "ft", computed, evidence.Reference)
	add(at+"mean absolute error", float64(v.MAE), 0.140697, 5e-7, "ft", computed, evidence.Reference)
	add(at+"mean squared deviation ratio", v.MSDR, 0.050384, 5e-7, "1", computed, evidence.Reference)

	k, err = NewKriging(context.Background(), KrigingSpec{Samples: coal, Model: Model{Shape: Gaussian, Sill: 7.4599, Range: 30.1111}})
	require.NoError(t, err)
	v, err = k.Validate(context.Background())
	require.NoError(t, err)
	require.Equal(t, MSDRTooHigh, v.Verdict)
	at = "leave-one-out of 75 seam thicknesses, Gaussian: "
	add(at+"mean error", float64(v.MeanError), 0.019165, 5e-7, "ft", computed, evidence.Reference)
	add(at+"root mean square error", float64(v.RMSE), 0.407212, 5e-7, "ft", computed, evidence.Reference)
	add(at+"mean squared deviation ratio", v.MSDR, 182.8, 0.05, "1", computed, evidence.Reference)
	s, err := k.System(pointAt(50, 50))
	require.NoError(t, err)
	require.Len(t, s.Notes, 1)
	// The reference is the 2-norm condition number; the 1-norm one lies within a
	// factor of sqrt(75) of it.
	add("75 seam thicknesses, Gaussian without nugget: logarithm of the condition number", math.Log10(s.Condition), math.Log10(1.46e8), math.Log10(75)/2, "1", computed, evidence.Reference)
	evidence.Run(t, "sludge/geostat", checks)
}
