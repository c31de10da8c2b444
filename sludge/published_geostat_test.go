package sludge

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/units/unitstest"
)

const (
	meuseSource = "data set meuse of the R package sp 1.6-0 (Burrough and McDonnell, Principles of Geographical Information Systems, Oxford University Press, 1998), computed with R 4.2.2 and gstat 2.1.0"
	coalSource  = "seam thickness at 75 places (SAS/STAT User's Guide, SAS Institute, spatial prediction)"
	book1989    = "An Introduction to Applied Geostatistics, Oxford University Press, 1989, chapter 12, seven samples"
)

// table reads x, y, value from a file in testdata at the top of the module.
func table(t testing.TB, name string, value func(float64) float64) []Sample {
	t.Helper()
	f, err := os.Open("../testdata/" + name)
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	var out []Sample
	for _, row := range rows[1:] {
		var v [3]float64
		for i := range v {
			v[i], err = strconv.ParseFloat(row[i], 64)
			require.NoError(t, err)
		}
		out = append(out, sampleAt(v[0], v[1], value(v[2])))
	}
	return out
}

func sampleAt(x, y, z float64) Sample { return Sample{pointAt(x, y), units.Length(z)} }

func pointAt(x, y float64) plane.Point {
	return plane.Point{X: units.Length(x), Y: units.Length(y)}
}

func same(x float64) float64 { return x }

// meuseReference is the part of the reference file that geostatistics needs.
type meuseReference struct {
	Variogram struct {
		Cutoff float64   `json:"cutoff"`
		Pairs  []int     `json:"np"`
		Dist   []float64 `json:"dist"`
		Gamma  []float64 `json:"gamma"`
	} `json:"sample_variogram_default"`
	Fit struct {
		OneCall   meuseModel `json:"one_call"`
		Restarted meuseModel `json:"restarted"`
	} `json:"fit_default"`
	Points []struct {
		X          float64 `json:"x"`
		Y          float64 `json:"y"`
		Value      float64 `json:"ok_log_zinc"`
		Variance   float64 `json:"ok_variance"`
		Value16    float64 `json:"ok16_log_zinc"`
		Variance16 float64 `json:"ok16_variance"`
	} `json:"grid_points"`
	Validation struct {
		ME   float64 `json:"ME"`
		RMSE float64 `json:"RMSE"`
		MSDR float64 `json:"MSDR"`
		MAE  float64 `json:"MAE"`
	} `json:"cross_validation_kriging_global"`
	Block struct {
		Regular struct {
			Mean     float64 `json:"mean"`
			Variance float64 `json:"variance"`
		} `json:"regular_points"`
		Gauss struct {
			Mean     float64 `json:"mean"`
			Variance float64 `json:"variance"`
		} `json:"gauss_4x4"`
	} `json:"block_mean_log_zinc"`
}

type meuseModel struct {
	Nugget float64 `json:"nugget"`
	Sill   float64 `json:"psill"`
	Range  float64 `json:"range"`
	Error  float64 `json:"sserr"`
}

func (m meuseModel) model() Model {
	return Model{Nugget: units.Area(m.Nugget), Sill: units.Area(m.Sill), Range: units.Length(m.Range)}
}

func loadMeuse(t testing.TB) (logZinc []Sample, ref meuseReference) {
	t.Helper()
	data, err := os.ReadFile("../testdata/meuse-reference.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, &ref))
	return table(t, "meuse.csv", math.Log), ref
}

// square is the variance of an estimate.
func square(sd units.Length) float64 { return float64(sd) * float64(sd) }

func TestPublishedVariogram(t *testing.T) {
	samples, ref := loadMeuse(t)
	v, err := Variogram(VariogramSpec{Samples: samples})
	require.NoError(t, err)
	require.Len(t, v.Classes, len(ref.Variogram.Pairs))
	var checks []unitstest.Check
	add := func(what string, got, want, tol float64, unit, source string, kind unitstest.Kind) {
		checks = append(checks, unitstest.Check{Quantity: what, Got: got, Want: want, Tol: tol, Unit: unit, Source: source, Kind: kind})
	}
	for i, c := range v.Classes {
		at := fmt.Sprintf("variogram of meuse log zinc, class %d: ", i+1)
		add(at+"pairs", float64(c.Pairs), float64(ref.Variogram.Pairs[i]), 0, "1", meuseSource, unitstest.Reference)
		add(at+"mean distance", float64(c.Distance), ref.Variogram.Dist[i], 1e-9, "m", meuseSource, unitstest.Reference)
		add(at+"semivariance", float64(c.Gamma), ref.Variogram.Gamma[i], 1e-13, "1", meuseSource, unitstest.Reference)
	}
	// Second source of two classes, printed to 7 digits.
	printed := "test output variogram.Rout.save of the R package gstat"
	add("variogram of meuse log zinc, first class as printed", float64(v.Classes[0].Gamma), 0.1234479, 5e-8, "1", printed, unitstest.Published)
	add("variogram of meuse log zinc, last class as printed", float64(v.Classes[14].Gamma), 0.5748227, 5e-8, "1", printed, unitstest.Published)

	coal := table(t, "coal75.csv", same)
	classical, err := Variogram(VariogramSpec{Samples: coal, Lags: LagCentred, Width: 7, Classes: 10})
	require.NoError(t, err)
	robust, err := Variogram(VariogramSpec{Samples: coal, Lags: LagCentred, Width: 7, Classes: 10, Estimator: EstimatorRobust})
	require.NoError(t, err)
	source := coalSource + "; computed with numpy"
	for i, want := range [][4]float64{
		{7, 2.6447, 0.03357, 0.02841}, {82, 7.2895, 0.39372, 0.20979}, {138, 14.1597, 1.17942, 1.00794},
		{169, 21.0828, 2.79885, 3.01831}, {205, 27.9259, 4.60244, 4.81069}, {213, 35.1676, 5.92779, 5.99043},
		{214, 42.1977, 7.51806, 8.10398}, {250, 48.7753, 7.22102, 7.53261}, {247, 56.1560, 7.19524, 8.06616},
		{281, 62.8917, 6.84454, 8.27921}, {250, 69.9269, 6.35768, 8.14402},
	} {
		at := fmt.Sprintf("variogram of 75 seam thicknesses, centred class %d: ", i)
		c := classical.Classes[i]
		add(at+"pairs", float64(c.Pairs), want[0], 0, "1", source, unitstest.Reference)
		add(at+"mean distance", float64(c.Distance), want[1], 5e-5, "1000 ft", source, unitstest.Reference)
		add(at+"semivariance", float64(c.Gamma), want[2], 5e-6, "ft2", source, unitstest.Reference)
		add(at+"robust semivariance", float64(robust.Classes[i].Gamma), want[3], 5e-6, "ft2", source, unitstest.Reference)
	}
	unitstest.Run(t, "sludge", checks)
}

func TestPublishedFit(t *testing.T) {
	var checks []unitstest.Check
	add := func(what string, got, want, tol float64, unit, source string, kind unitstest.Kind) {
		checks = append(checks, unitstest.Check{Quantity: what, Got: got, Want: want, Tol: tol, Unit: unit, Source: source, Kind: kind})
	}
	samples, ref := loadMeuse(t)
	v, err := Variogram(VariogramSpec{Samples: samples})
	require.NoError(t, err)
	r, err := Fit(FitSpec{Variogram: v, Weights: WeightsOverDistance})
	require.NoError(t, err)
	require.Equal(t, FitUsable, r.Status)
	// The reference stops with the objective flat to rounding: 8 digits.
	want := ref.Fit.Restarted
	at := "spherical fit to meuse log zinc, weights N/h2: "
	add(at+"nugget", float64(r.Model.Nugget), want.Nugget, 1e-8, "1", meuseSource, unitstest.Reference)
	add(at+"sill", float64(r.Model.Sill), want.Sill, 1e-8, "1", meuseSource, unitstest.Reference)
	add(at+"range", float64(r.Model.Range), want.Range, 2e-5, "m", meuseSource, unitstest.Reference)
	add(at+"objective", r.Objective, want.Error, 1e-17, "1/m2", meuseSource, unitstest.Reference)

	// Five classes of 100 m whose best nugget without a limit is negative.
	five := VariogramResult{MaxDistance: v.MaxDistance}
	near, err := Variogram(VariogramSpec{Samples: samples, Width: 100, Classes: 5})
	require.NoError(t, err)
	for i, g := range []units.Area{0.5, 1, 2, 3, 3} {
		c := near.Classes[i]
		c.Gamma = g
		five.Classes = append(five.Classes, c)
	}
	r, err = Fit(FitSpec{Variogram: five, Weights: WeightsOverDistance})
	require.NoError(t, err)
	require.True(t, r.AtZero)
	printed := "test output fit.Rout.save of the R package gstat"
	// That library stops a little before the minimum: 5 digits agree.
	add("spherical fit, nugget held at zero: nugget", float64(r.Model.Nugget), 0, 0, "1", printed, unitstest.Published)
	add("spherical fit, nugget held at zero: sill", float64(r.Model.Sill), 7.878195, 1e-3, "1", printed, unitstest.Published)
	add("spherical fit, nugget held at zero: range", float64(r.Model.Range), 1567.77, 0.2, "m", printed, unitstest.Published)

	coal, err := Variogram(VariogramSpec{Samples: table(t, "coal75.csv", same), Lags: LagCentred, Width: 7, Classes: 10})
	require.NoError(t, err)
	computed := coalSource + "; computed with scipy"
	for _, c := range []struct {
		shape     Shape
		weights   FitWeights
		sill, rng float64
		tol       float64
		kind      unitstest.Kind
		source    string
	}{
		{Gaussian, WeightsCressie, 7.4599, 30.1111, 5e-5, unitstest.Memory, coalSource},
		{Gaussian, WeightsOverGamma, 7.2881, 30.6239, 5e-5, unitstest.Published, coalSource + ", https://support.sas.com/documentation/cdl/en/statug/63033/HTML/default/statug_odsgraph_sect006.htm"},
		{Gaussian, WeightsEqual, 7.16279, 27.17067, 5e-6, unitstest.Reference, computed},
		{Gaussian, WeightsPairs, 7.10997, 26.63153, 5e-6, unitstest.Reference, computed},
		{Spherical, WeightsCressie, 7.191372, 63.235083, 5e-6, unitstest.Reference, computed},
		{Exponential, WeightsCressie, 14.51, 80.58, 5e-3, unitstest.Reference, computed},
	} {
		r, err := Fit(FitSpec{Variogram: coal, Shape: c.shape, Weights: c.weights, NoNugget: true})
		require.NoError(t, err)
		at := fmt.Sprintf("%v fit to 75 seam thicknesses, weights %v: ", c.shape, c.weights)
		add(at+"sill", float64(r.Model.Sill), c.sill, c.tol, "ft2", c.source, c.kind)
		add(at+"range", float64(r.Model.Range), c.rng, c.tol, "1000 ft", c.source, c.kind)
		if c.shape == Exponential {
			require.Equal(t, FitBeyondRange, r.Status)
		} else {
			require.Equal(t, FitUsable, r.Status, at)
		}
		if c.weights == WeightsCressie && c.shape != Exponential {
			half := map[Shape]float64{Gaussian: 11.433894, Spherical: 52.267908}[c.shape]
			add(at+"half of the objective", r.Objective/2, half, 5e-7, "1", computed, unitstest.Reference)
		}
	}
	unitstest.Run(t, "sludge", checks)
}

func TestPublishedKriging(t *testing.T) {
	var checks []unitstest.Check
	add := func(what string, got, want, tol float64, unit, source string, kind unitstest.Kind) {
		checks = append(checks, unitstest.Check{Quantity: what, Got: got, Want: want, Tol: tol, Unit: unit, Source: source, Kind: kind})
	}
	samples, ref := loadMeuse(t)
	all, err := NewKriging(KrigingSpec{Samples: samples, Model: ref.Fit.OneCall.model()})
	require.NoError(t, err)
	near, err := NewKriging(KrigingSpec{Samples: samples, Model: ref.Fit.OneCall.model(), Neighbours: 16})
	require.NoError(t, err)
	for _, p := range ref.Points {
		at := fmt.Sprintf("kriging of meuse log zinc at (%.0f, %.0f): ", p.X, p.Y)
		e, err := all.Estimate(pointAt(p.X, p.Y))
		require.NoError(t, err)
		add(at+"all samples", float64(e.Value), p.Value, 1e-12, "1", meuseSource, unitstest.Reference)
		add(at+"all samples, variance", square(e.SD), p.Variance, 1e-13, "1", meuseSource, unitstest.Reference)
		e, err = near.Estimate(pointAt(p.X, p.Y))
		require.NoError(t, err)
		add(at+"16 nearest", float64(e.Value), p.Value16, 1e-12, "1", meuseSource, unitstest.Reference)
		add(at+"16 nearest, variance", square(e.SD), p.Variance16, 1e-13, "1", meuseSource, unitstest.Reference)
	}

	// Seven samples, target (65, 137); ranges are effective ones.
	seven := []Sample{sampleAt(61, 139, 477), sampleAt(63, 140, 696), sampleAt(64, 129, 227), sampleAt(68, 128, 646),
		sampleAt(71, 140, 606), sampleAt(73, 141, 791), sampleAt(75, 128, 783)}
	recomputed := book1989 + "; recomputed with numpy and gstat 2.1.0"
	for _, c := range []struct {
		name                   string
		model                  Model
		printed, variance      float64 // 0: not printed
		tol, tolVariance       float64
		kind                   unitstest.Kind
		value, exact, multiply float64
		weights                [7]float64
	}{
		{"exponential", Model{Shape: Exponential, Sill: 10, Range: 10}, 593, 8.96, 0.5, 0.005, unitstest.Published, 592.728943, 8.956053, -0.9066,
			[7]float64{0.1729, 0.3178, 0.1287, 0.0864, 0.1511, 0.0572, 0.0858}},
		{"exponential of double sill", Model{Shape: Exponential, Sill: 20, Range: 10}, 593, 17.91, 0.5, 0.005, unitstest.Published, 592.728943, 17.912106, -1.8132,
			[7]float64{0.1729, 0.3178, 0.1287, 0.0864, 0.1511, 0.0572, 0.0858}},
		{"Gaussian", Model{Shape: Gaussian, Sill: 10, Range: 10}, 559, 4.78, 0.5, 0.005, unitstest.Published, 559.37, 4.7806, -0.3583,
			[7]float64{-0.0215, 0.6760, 0.1659, -0.0128, 0.4441, -0.2884, 0.0367}},
		{"exponential with nugget", Model{Shape: Exponential, Nugget: 5, Sill: 5, Range: 10}, 597, 10.31, 0.5, 0.005, unitstest.Published, 596.777, 10.3059, -1.1510,
			[7]float64{0.1790, 0.2262, 0.1314, 0.1117, 0.1368, 0.1038, 0.1110}},
		{"pure nugget", Model{Nugget: 10}, 603.7, 11.43, 0.05, 0.005, unitstest.Memory, 603.7143, 11.4286, -1.4286,
			[7]float64{0.142857, 0.142857, 0.142857, 0.142857, 0.142857, 0.142857, 0.142857}},
	} {
		c.model.RangeAs = RangeEffective
		k, err := NewKriging(KrigingSpec{Samples: seven, Model: c.model})
		require.NoError(t, err)
		s, err := k.System(pointAt(65, 137))
		require.NoError(t, err)
		at := "kriging from seven samples, " + c.name + ": "
		value, variance := float64(s.Estimate.Value), square(s.Estimate.SD)
		add(at+"estimate as printed", value, c.printed, c.tol, "ppm", book1989, c.kind)
		add(at+"variance as printed", variance, c.variance, c.tolVariance, "ppm2", book1989, c.kind)
		add(at+"estimate", value, c.value, 5e-5, "ppm", recomputed, unitstest.Reference)
		add(at+"variance", variance, c.exact, 5e-5, "ppm2", recomputed, unitstest.Reference)
		add(at+"multiplier", float64(s.Multiplier), c.multiply, 5e-5, "ppm2", recomputed, unitstest.Reference)
		for i, w := range s.Weights {
			require.Equal(t, i, w.Sample)
			add(fmt.Sprintf("%sweight %d", at, i+1), w.Weight, c.weights[i], 5e-5, "1", recomputed, unitstest.Reference)
		}
		if c.name != "exponential" {
			continue
		}
		for i, want := range []float64{10, 5.1129, 0.4363, 0.2001, 0.4905, 0.2600, 0.0479} {
			add(fmt.Sprintf("%scovariance of samples 1 and %d", at, i+1), float64(s.Covariances[0][i]), want, 5e-5, "ppm2", recomputed, unitstest.Reference)
		}
		for i, want := range []float64{2.6142, 3.3903, 0.8904, 0.5807, 1.3366, 0.6834, 0.1767} {
			add(fmt.Sprintf("%scovariance of sample %d and target", at, i+1), float64(s.ToTarget[i]), want, 5e-5, "ppm2", recomputed, unitstest.Reference)
		}
		add(at+"corner of the inverse", s.Corner, -2.1802, 5e-5, "ppm2", recomputed, unitstest.Reference)
	}

	// Four corners of a square, then two of them.
	corners := []Sample{sampleAt(-0.5, -0.5, 1), sampleAt(0.5, -0.5, 2), sampleAt(-0.5, 0.5, 3), sampleAt(0.5, 0.5, 4)}
	covtable := "test output covtable.Rout.save of the R package gstat 2.1-5"
	for _, c := range []struct {
		n               int
		value, variance float64
	}{{4, 2.5, 1.017767}, {2, 1.5, 1.267767}} {
		k, err := NewKriging(KrigingSpec{Samples: corners[:c.n], Model: Model{Sill: 1, Range: 1}})
		require.NoError(t, err)
		e, err := k.Estimate(pointAt(0, 0))
		require.NoError(t, err)
		at := fmt.Sprintf("kriging from %d corners of a square: ", c.n)
		add(at+"estimate", float64(e.Value), c.value, 1e-12, "1", covtable, unitstest.Published)
		add(at+"variance", square(e.SD), c.variance, 5e-7, "1", covtable, unitstest.Published)
	}

	// A straight variogram is the beginning of a very long spherical one.
	straight := func(nugget, slope float64) Model {
		const far = 1e7
		return Model{Nugget: units.Area(nugget), Sill: units.Area(slope * far / 1.5), Range: far}
	}
	hydro := "Introduction to Geostatistics: Applications in Hydrogeology, Cambridge University Press, 1997, example 3.2, as carried in the test suite of PyKrige (tests/test_core.py)"
	k, err := NewKriging(KrigingSpec{Samples: []Sample{sampleAt(9.7, 47.6, 1.22), sampleAt(43.8, 24.6, 2.822)}, Model: straight(0.1, 0.006)})
	require.NoError(t, err)
	s, err := k.System(pointAt(18.8, 67.9))
	require.NoError(t, err)
	add("two wells, straight variogram: estimate", float64(s.Estimate.Value), 1.6364, 5e-5, "m", hydro, unitstest.Published)
	add("two wells, straight variogram: variance", square(s.Estimate.SD), 0.4201, 5e-5, "m2", hydro, unitstest.Published)
	add("two wells, straight variogram: first weight", s.Weights[0].Weight, 0.74008, 5e-6, "1", hydro+"; recomputed", unitstest.Reference)
	e, err := k.Estimate(pointAt(43.8, 24.6))
	require.NoError(t, err)
	add("two wells, at a well: estimate", float64(e.Value), 2.822, 0, "m", hydro, unitstest.Published)
	add("two wells, at a well: variance", square(e.SD), 0, 0, "m2", hydro, unitstest.Published)

	wells := "Statistics and Data Analysis in Geology, Wiley, water levels of three wells"
	k, err = NewKriging(KrigingSpec{Samples: []Sample{sampleAt(3, 4, 120), sampleAt(6.3, 3.4, 103), sampleAt(2, 1.3, 142)}, Model: straight(0, 4)})
	require.NoError(t, err)
	s, err = k.System(pointAt(3, 3))
	require.NoError(t, err)
	add("three wells, straight variogram: estimate", float64(s.Estimate.Value), 125.3, 0.05, "m", wells, unitstest.Memory)
	add("three wells, straight variogram: variance", square(s.Estimate.SD), 5.28, 0.005, "m2", wells, unitstest.Memory)
	for i, want := range []float64{0.6039, 0.0868, 0.3093} {
		add(fmt.Sprintf("three wells, straight variogram: weight %d", i+1), s.Weights[i].Weight, want, 5e-5, "1", wells, unitstest.Memory)
	}

	// 75 seam thicknesses.
	coal := table(t, "coal75.csv", same)
	computed := coalSource + "; computed with numpy and gstat 2.1.0"
	for _, c := range []struct {
		model       Model
		tol         float64
		tolVariance float64
		want        [4][2]float64
	}{
		{Model{Sill: 7.5, Range: 60}, 5e-8, 5e-9, [4][2]float64{{37.9314142, 1.56611745}, {41.0616411, 1.39977800}, {40.3051527, 1.08858931}, {38.6073317, 1.91551625}}},
		{Model{Shape: Gaussian, Sill: 7.4599, Range: 30.1111}, 5e-8, 5e-7, [4][2]float64{{38.0411500, 2.751e-4}, {41.0399650, 2.863e-5}, {40.2701016, 6.15e-6}, {38.4655115, 3.003e-4}}},
	} {
		k, err := NewKriging(KrigingSpec{Samples: coal, Model: c.model})
		require.NoError(t, err)
		for i, p := range []plane.Point{pointAt(50, 50), pointAt(20, 80), pointAt(75, 25), pointAt(60, 60)} {
			e, err := k.Estimate(p)
			require.NoError(t, err)
			at := fmt.Sprintf("kriging from 75 seam thicknesses, %v, at (%.0f, %.0f): ", c.model.Shape, float64(p.X), float64(p.Y))
			add(at+"estimate", float64(e.Value), c.want[i][0], c.tol, "ft", computed, unitstest.Reference)
			add(at+"variance", square(e.SD), c.want[i][1], c.tolVariance, "ft2", computed, unitstest.Reference)
		}
	}
	unitstest.Run(t, "sludge", checks)
}

// box is a rectangle along the axes.
func box(x0, y0, x1, y1 float64) plane.Polygon {
	return plane.Polygon{pointAt(x0, y0), pointAt(x1, y0), pointAt(x1, y1), pointAt(x0, y1)}
}

func TestPublishedBlock(t *testing.T) {
	var checks []unitstest.Check
	add := func(what string, got, want, tol float64, unit, source string, kind unitstest.Kind) {
		checks = append(checks, unitstest.Check{Quantity: what, Got: got, Want: want, Tol: tol, Unit: unit, Source: source, Kind: kind})
	}
	zinc := table(t, "meuse.csv", same)
	k, err := NewKriging(KrigingSpec{Samples: zinc, Model: Model{Nugget: 2.42e4, Sill: 1.34e5, Range: 800}, Neighbours: 40})
	require.NoError(t, err)
	printed := "test output blockkr.Rout.save of the R package gstat"
	block := box(181150, 333230, 181190, 333270)
	b, err := k.Block(BlockSpec{Boundary: block, Step: 10})
	require.NoError(t, err)
	require.Equal(t, 16, b.Points)
	add("block of 40 m, 4 x 4 points: mean zinc", float64(b.Mean), 268.7324, 5e-5, "mg/kg", printed, unitstest.Published)
	add("block of 40 m, 4 x 4 points: variance", square(b.SD), 19568.76, 0.005, "mg2/kg2", printed, unitstest.Published)
	add("block of 40 m, 4 x 4 points: within-block covariance", float64(b.Within), 128956.677, 5e-4, "mg2/kg2", printed+"; recomputed", unitstest.Reference)
	b, err = k.Block(BlockSpec{Boundary: block, Rule: BlockGauss})
	require.NoError(t, err)
	add("block of 40 m, Gauss points: mean zinc", float64(b.Mean), 268.7576, 5e-5, "mg/kg", printed, unitstest.Published)
	add("block of 40 m, Gauss points: variance", square(b.SD), 19447.67, 0.005, "mg2/kg2", printed, unitstest.Published)
	b, err = k.Block(BlockSpec{Boundary: block, Step: 2})
	require.NoError(t, err)
	add("block of 40 m, 20 x 20 points: mean zinc", float64(b.Mean), 268.7565, 5e-5, "mg/kg", printed+"; recomputed", unitstest.Reference)
	add("block of 40 m, 20 x 20 points: variance", square(b.SD), 19400.74, 0.005, "mg2/kg2", printed+"; recomputed", unitstest.Reference)
	e, err := k.Estimate(pointAt(181170, 333250))
	require.NoError(t, err)
	add("point amid the block of 40 m: zinc", float64(e.Value), 268.3639, 5e-5, "mg/kg", printed+"; recomputed", unitstest.Reference)
	add("point amid the block of 40 m: variance", square(e.SD), 48498.47, 0.005, "mg2/kg2", printed+"; recomputed", unitstest.Reference)

	samples, ref := loadMeuse(t)
	k, err = NewKriging(KrigingSpec{Samples: samples, Model: ref.Fit.OneCall.model()})
	require.NoError(t, err)
	area := box(179600, 330800, 180000, 331000)
	b, err = k.Block(BlockSpec{Boundary: area, Step: 10})
	require.NoError(t, err)
	require.Equal(t, 800, b.Points)
	// The reference moves coincident points a little: it asks for 1e-7.
	add("block of 400 m by 200 m, 40 x 20 points: mean log zinc", float64(b.Mean), ref.Block.Regular.Mean, 1e-7, "1", meuseSource, unitstest.Reference)
	add("block of 400 m by 200 m, 40 x 20 points: variance", square(b.SD), ref.Block.Regular.Variance, 1e-7, "1", meuseSource, unitstest.Reference)
	b, err = k.Block(BlockSpec{Boundary: area, Rule: BlockGauss})
	require.NoError(t, err)
	add("block of 400 m by 200 m, Gauss points: mean log zinc", float64(b.Mean), ref.Block.Gauss.Mean, 1e-7, "1", meuseSource, unitstest.Reference)
	add("block of 400 m by 200 m, Gauss points: variance", square(b.SD), ref.Block.Gauss.Variance, 1e-7, "1", meuseSource, unitstest.Reference)

	k, err = NewKriging(KrigingSpec{Samples: table(t, "coal75.csv", same), Model: Model{Sill: 7.5, Range: 60}})
	require.NoError(t, err)
	computed := coalSource + "; computed with numpy and gstat 2.1.0"
	// The reference moves each point off itself by a little: 2e-7, not closer.
	for _, c := range []struct {
		n                         int
		mean, variance, tolerance float64
	}{{20, 40.015121, 0.0214066257, 2e-7}, {40, 40.014678, 0.02098421, 5e-9}} {
		b, err = k.Block(BlockSpec{Boundary: box(0, 0, 100, 100), Step: units.Length(100 / float64(c.n))})
		require.NoError(t, err)
		at := fmt.Sprintf("mean of the square of 75 seam thicknesses, %d x %d points: ", c.n, c.n)
		add(at+"mean", float64(b.Mean), c.mean, 5e-7, "ft", computed, unitstest.Reference)
		add(at+"variance", square(b.SD), c.variance, c.tolerance, "ft2", computed, unitstest.Reference)
	}

	// The volume over the square and both its intervals, as a survey gives them.
	survey := surveyOf(t, box(0, 0, 100, 100), table(t, "coal75.csv", same))
	v, err := VolumeWithInterval(survey, VolumeSpec{Confidence: 0.95, Model: &Model{Sill: 7.5, Range: 60}, Step: 5})
	require.NoError(t, err)
	at := "volume of the square of 75 seam thicknesses: "
	add(at+"block kriging", float64(v.Volume), 400151, 0.5, "table units", computed, unitstest.Reference)
	add(at+"half of the kriged interval", float64(v.Interval.Half()), 2868, 0.5, "table units", computed, unitstest.Reference)
	add(at+"design-based", float64(v.Design.Volume), 401173, 0.5, "table units", computed, unitstest.Reference)
	add(at+"half of the design-based interval", float64(v.Design.VolumeInterval.Half()), 5468, 0.5, "table units", computed, unitstest.Reference)

	// A constant surface stays what it is.
	constant := "weights that add up to 1 leave a constant as it is"
	flat := make([]Sample, 40)
	for i, s := range rounded(40) {
		flat[i] = Sample{s.At, 1.25}
	}
	variogram, err := Variogram(VariogramSpec{Samples: flat})
	require.NoError(t, err)
	fit, err := Fit(FitSpec{Variogram: variogram})
	require.NoError(t, err)
	require.Equal(t, FitFlat, fit.Status)
	var largest units.Area
	for _, c := range variogram.Classes {
		largest = max(largest, c.Gamma)
	}
	k, err = NewKriging(KrigingSpec{Samples: flat, Model: mound})
	require.NoError(t, err)
	b, err = k.Block(BlockSpec{Boundary: roundedEdge()})
	require.NoError(t, err)
	e, err = k.Estimate(pointAt(33, 44))
	require.NoError(t, err)
	left, err := k.Validate()
	require.NoError(t, err)
	add("constant surface: largest semivariance", float64(largest), 0, 0, "m2", constant, unitstest.Identity)
	add("constant surface: kriging", float64(e.Value), 1.25, 1e-14, "m", constant, unitstest.Identity)
	add("constant surface: block kriging", float64(b.Mean), 1.25, 1e-14, "m", constant, unitstest.Identity)
	add("constant surface: leave-one-out error", float64(left.RMSE), 0, 1e-14, "m", constant, unitstest.Identity)
	unitstest.Run(t, "sludge", checks)
}

func TestPublishedValidation(t *testing.T) {
	var checks []unitstest.Check
	add := func(what string, got, want, tol float64, unit, source string, kind unitstest.Kind) {
		checks = append(checks, unitstest.Check{Quantity: what, Got: got, Want: want, Tol: tol, Unit: unit, Source: source, Kind: kind})
	}
	samples, ref := loadMeuse(t)
	k, err := NewKriging(KrigingSpec{Samples: samples, Model: ref.Fit.OneCall.model()})
	require.NoError(t, err)
	v, err := k.Validate()
	require.NoError(t, err)
	require.Equal(t, MSDRFits, v.Verdict)
	at := "leave-one-out of meuse log zinc: "
	add(at+"mean error", float64(v.MeanError), ref.Validation.ME, 1e-14, "1", meuseSource, unitstest.Reference)
	add(at+"root mean square error", float64(v.RMSE), ref.Validation.RMSE, 1e-14, "1", meuseSource, unitstest.Reference)
	add(at+"mean absolute error", float64(v.MAE), ref.Validation.MAE, 1e-14, "1", meuseSource, unitstest.Reference)
	add(at+"mean squared deviation ratio", v.MSDR, ref.Validation.MSDR, 1e-13, "1", meuseSource, unitstest.Reference)

	computed := coalSource + "; computed with numpy and gstat 2.1.0"
	coal := table(t, "coal75.csv", same)
	k, err = NewKriging(KrigingSpec{Samples: coal, Model: Model{Sill: 7.5, Range: 60}})
	require.NoError(t, err)
	v, err = k.Validate()
	require.NoError(t, err)
	require.Equal(t, MSDRTooLow, v.Verdict)
	at = "leave-one-out of 75 seam thicknesses, spherical: "
	add(at+"mean error", float64(v.MeanError), 0.013395, 5e-7, "ft", computed, unitstest.Reference)
	add(at+"root mean square error", float64(v.RMSE), 0.320598, 5e-7, "ft", computed, unitstest.Reference)
	add(at+"mean absolute error", float64(v.MAE), 0.140697, 5e-7, "ft", computed, unitstest.Reference)
	add(at+"mean squared deviation ratio", v.MSDR, 0.050384, 5e-7, "1", computed, unitstest.Reference)

	k, err = NewKriging(KrigingSpec{Samples: coal, Model: Model{Shape: Gaussian, Sill: 7.4599, Range: 30.1111}})
	require.NoError(t, err)
	v, err = k.Validate()
	require.NoError(t, err)
	require.Equal(t, MSDRTooHigh, v.Verdict)
	at = "leave-one-out of 75 seam thicknesses, Gaussian: "
	add(at+"mean error", float64(v.MeanError), 0.019165, 5e-7, "ft", computed, unitstest.Reference)
	add(at+"root mean square error", float64(v.RMSE), 0.407212, 5e-7, "ft", computed, unitstest.Reference)
	add(at+"mean squared deviation ratio", v.MSDR, 182.8, 0.05, "1", computed, unitstest.Reference)
	s, err := k.System(pointAt(50, 50))
	require.NoError(t, err)
	require.Len(t, s.Notes, 1)
	// The reference is the 2-norm condition number; the 1-norm one lies within a
	// factor of sqrt(75) of it.
	add("75 seam thicknesses, Gaussian without nugget: logarithm of the condition number", math.Log10(s.Condition), math.Log10(1.46e8), math.Log10(75)/2, "1", computed, unitstest.Reference)
	unitstest.Run(t, "sludge", checks)
}

func TestPublishedMean(t *testing.T) {
	var checks []unitstest.Check
	add := func(what string, got, want, tol float64, unit, source string, kind unitstest.Kind) {
		checks = append(checks, unitstest.Check{Quantity: what, Got: got, Want: want, Tol: tol, Unit: unit, Source: source, Kind: kind})
	}
	form := "sludge survey form of an animal waste management plan, North Carolina Department of Environmental Quality, filing "
	rule := PointsRule{SmallBelow: 1.33 * units.Acre, SmallPoints: 8, AreaPer: units.Acre / 6, Most: 24}
	points := func(r PointsRule, acres float64) float64 {
		n, err := r.Points(units.Area(acres) * units.Acre)
		require.NoError(t, err)
		return float64(n)
	}
	forty := rule
	forty.Most = 40
	add("survey points on 1.975 acres", points(rule, 1.975), 12, 0, "1", form+"851173", unitstest.Published)
	add("survey points on 4.50 acres, cap 40", points(forty, 4.5), 27, 0, "1", form+"2757542", unitstest.Published)
	add("survey points on 4.50 acres, cap 24", points(rule, 4.5), 24, 0, "1", form+"2957628, its rule", unitstest.Identity)
	add("survey points on 2.5 acres, as the form shows", points(rule, 2.5), 8, 0, "1", form+"2957628", unitstest.Slip)
	add("survey points on 2.5 acres, by the rule", points(rule, 2.5), 15, 0, "1", form+"2957628, its rule", unitstest.Identity)

	coal := table(t, "coal75.csv", same)
	computed := coalSource + "; computed with numpy"
	spec := MeanSpec{Samples: coal, Boundary: box(0, 0, 100, 100), Confidence: 0.95}
	m, err := Mean(spec)
	require.NoError(t, err)
	add("75 seam thicknesses: mean", float64(m.Mean), 40.117333, 5e-7, "ft", computed, unitstest.Reference)
	add("75 seam thicknesses: standard deviation", float64(m.SD), 2.376767, 5e-7, "ft", computed, unitstest.Reference)
	add("75 seam thicknesses: t", m.T, 1.992543, 5e-7, "1", computed, unitstest.Reference)
	add("75 seam thicknesses: design-based volume", float64(m.Volume), 401173, 0.5, "table units", computed, unitstest.Reference)
	add("75 seam thicknesses: half of the design-based interval", float64(m.VolumeInterval.Half()), 5468, 0.5, "table units", computed, unitstest.Reference)
	spec.Weighting = WeightingArea
	m, err = Mean(spec)
	require.NoError(t, err)
	add("75 seam thicknesses: mean with area weights", float64(m.Mean), 40.028174, 5e-7, "ft", computed, unitstest.Reference)
	low, high := math.Inf(1), 0.0
	for _, s := range m.Shares {
		low, high = min(low, s), max(high, s)
	}
	add("75 seam thicknesses: smallest Voronoi cell", low*1e4, 23.494954, 5e-7, "table units", computed, unitstest.Reference)
	// 436.0473759485 in exact fractions: the last digit of the reference is off.
	add("75 seam thicknesses: largest Voronoi cell", high*1e4, 436.047377, 2e-6, "table units", computed, unitstest.Reference)

	for _, c := range []struct {
		n              int
		two, onePerTwo float64
	}{{8, 2.364624, 1.894579}, {12, 2.200985, 1.795885}, {24, 2.068658, 1.713872}, {40, 2.022691, 1.684875}} {
		var some []Sample
		for i := range c.n {
			some = append(some, sampleAt(float64(i), 0, float64(i%2)))
		}
		m, err := Mean(MeanSpec{Samples: some, Boundary: box(0, 0, 1, 1), Confidence: 0.95})
		require.NoError(t, err)
		at := fmt.Sprintf("Student t of %d samples, ", c.n)
		add(at+"two-sided 95 %", m.T, c.two, 5e-7, "1", "table of Student's t", unitstest.Identity)
		add(at+"one-sided 95 %", float64((m.Upper-m.Mean)/m.Error), c.onePerTwo, 5e-7, "1", "table of Student's t", unitstest.Identity)
	}
	unitstest.Run(t, "sludge", checks)
}
