package geostat

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"

	"example.org/earthbasin/sludge/internal/fixtures"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/evidence"
	"example.org/earthbasin/units/plane"
)

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
	data, err := os.ReadFile("../../testdata/meuse-reference.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, &ref))
	return table(t, "meuse.csv", math.Log), ref
}

// square is the variance of an estimate.
func square(sd units.Length) float64 { return float64(sd) * float64(sd) }

func TestPublishedVariogram(t *testing.T) {
	samples, ref := loadMeuse(t)
	v, err := Variogram(context.Background(), VariogramSpec{Samples: samples})
	require.NoError(t, err)
	require.Len(t, v.Classes, len(ref.Variogram.Pairs))
	var checks []evidence.Check
	add := func(what string, got, want, tol float64, unit, source string, kind evidence.Kind) {
		checks = append(checks, evidence.Check{Quantity: what, Got: got, Want: want, Tol: tol, Unit: unit, Source: source, Kind: kind})
	}
	for i, c := range v.Classes {
		at := fmt.Sprintf("variogram of meuse log zinc, class %d: ", i+1)
		add(at+"pairs", float64(c.Pairs), float64(ref.Variogram.Pairs[i]), evidence.Exact, "1", fixtures.MeuseSource, evidence.Reference)
		add(at+"mean distance", float64(c.Distance), ref.Variogram.Dist[i], 1e-9, "m", fixtures.MeuseSource, evidence.Reference)
		add(at+"semivariance", float64(c.Gamma), ref.Variogram.Gamma[i], 1e-13, "1", fixtures.MeuseSource, evidence.Reference)
	}
	// Second source of two classes, printed to 7 digits.
	printed := "test output variogram.Rout.save of the R package gstat"
	add("variogram of meuse log zinc, first class as printed", float64(v.Classes[0].Gamma), 0.1234479, 5e-8, "1", printed, evidence.Reference)
	add("variogram of meuse log zinc, last class as printed", float64(v.Classes[14].Gamma), 0.5748227, 5e-8, "1", printed, evidence.Reference)

	coal := table(t, "coal75.csv", same)
	classical, err := Variogram(context.Background(), VariogramSpec{Samples: coal, Lags: LagCentred, Width: 7, Classes: 10})
	require.NoError(t, err)
	robust, err := Variogram(context.Background(), VariogramSpec{Samples: coal, Lags: LagCentred, Width: 7, Classes: 10, Estimator: EstimatorRobust})
	require.NoError(t, err)
	source := fixtures.CoalSource + "; computed with numpy"
	for i, want := range [][4]float64{
		{7, 2.6447, 0.03357, 0.02841}, {82, 7.2895, 0.39372, 0.20979}, {138, 14.1597, 1.17942, 1.00794},
		{169, 21.0828, 2.79885, 3.01831}, {205, 27.9259, 4.60244, 4.81069}, {213, 35.1676, 5.92779, 5.99043},
		{214, 42.1977, 7.51806, 8.10398}, {250, 48.7753, 7.22102, 7.53261}, {247, 56.1560, 7.19524, 8.06616},
		{281, 62.8917, 6.84454, 8.27921}, {250, 69.9269, 6.35768, 8.14402},
	} {
		at := fmt.Sprintf("variogram of 75 seam thicknesses, centred class %d: ", i)
		c := classical.Classes[i]
		add(at+"pairs", float64(c.Pairs), want[0], evidence.Exact, "1", source, evidence.Reference)
		add(at+"mean distance", float64(c.Distance), want[1], 5e-5, "1000 ft", source, evidence.Reference)
		add(at+"semivariance", float64(c.Gamma), want[2], 5e-6, "ft2", source, evidence.Reference)
		add(at+"robust semivariance", float64(robust.Classes[i].Gamma), want[3], 5e-6, "ft2", source, evidence.Reference)
	}
	evidence.Run(t, "sludge/geostat", checks)
}

func TestPublishedFit(t *testing.T) {
	var checks []evidence.Check
	add := func(what string, got, want, tol float64, unit, source string, kind evidence.Kind) {
		checks = append(checks, evidence.Check{Quantity: what, Got: got, Want: want, Tol: tol, Unit: unit, Source: source, Kind: kind})
	}
	samples, ref := loadMeuse(t)
	v, err := Variogram(context.Background(), VariogramSpec{Samples: samples})
	require.NoError(t, err)
	r, err := Fit(FitSpec{Variogram: v, Weights: WeightsOverDistance})
	require.NoError(t, err)
	require.Equal(t, FitUsable, r.Status)
	// The reference stops with the objective flat to rounding: 8 digits.
	want := ref.Fit.Restarted
	at := "spherical fit to meuse log zinc, weights N/h2: "
	add(at+"nugget", float64(r.Model.Nugget), want.Nugget, 1e-8, "1", fixtures.MeuseSource, evidence.Reference)
	add(at+"sill", float64(r.Model.Sill), want.Sill, 1e-8, "1", fixtures.MeuseSource, evidence.Reference)
	add(at+"range", float64(r.Model.Range), want.Range, 2e-5, "m", fixtures.MeuseSource, evidence.Reference)
	add(at+"objective", r.Objective, want.Error, 1e-17, "1/m2", fixtures.MeuseSource, evidence.Reference)

	// Five classes of 100 m whose best nugget without a limit is negative.
	five := VariogramResult{MaxDistance: v.MaxDistance}
	near, err := Variogram(context.Background(), VariogramSpec{Samples: samples, Width: 100, Classes: 5})
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
	add("spherical fit, nugget held at zero: nugget", float64(r.Model.Nugget), 0, evidence.Exact, "1", printed, evidence.Reference)
	add("spherical fit, nugget held at zero: sill", float64(r.Model.Sill), 7.878195, 1e-3, "1", printed, evidence.Reference)
	add("spherical fit, nugget held at zero: range", float64(r.Model.Range), 1567.77, 0.2, "m", printed, evidence.Reference)

	coal, err := Variogram(context.Background(), VariogramSpec{Samples: table(t, "coal75.csv", same), Lags: LagCentred, Width: 7, Classes: 10})
	require.NoError(t, err)
	computed := fixtures.CoalSource + "; computed with scipy"
	for _, c := range []struct {
		shape     Shape
		weights   FitWeights
		sill, rng float64
		tol       float64
		kind      evidence.Kind
		source    string
	}{
		{Gaussian, WeightsCressie, 7.4599, 30.1111, 5e-5, evidence.Memory, fixtures.CoalSource},
		{Gaussian, WeightsOverGamma, 7.2881, 30.6239, 5e-5, evidence.Published, fixtures.CoalSource + ", output of the fit"},
		{Gaussian, WeightsEqual, 7.16279, 27.17067, 5e-6, evidence.Reference, computed},
		{Gaussian, WeightsPairs, 7.10997, 26.63153, 5e-6, evidence.Reference, computed},
		{Spherical, WeightsCressie, 7.191372, 63.235083, 5e-6, evidence.Reference, computed},
		{Exponential, WeightsCressie, 14.51, 80.58, 5e-3, evidence.Reference, computed},
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
			add(at+"half of the objective", r.Objective/2, half, 5e-7, "1", computed, evidence.Reference)
		}
	}
	evidence.Run(t, "sludge/geostat", checks)
}

func TestPublishedMean(t *testing.T) {
	var checks []evidence.Check
	add := func(what string, got, want, tol float64, unit, source string, kind evidence.Kind) {
		checks = append(checks, evidence.Check{Quantity: what, Got: got, Want: want, Tol: tol, Unit: unit, Source: source, Kind: kind})
	}
	coal := table(t, "coal75.csv", same)
	computed := fixtures.CoalSource + "; computed with numpy"
	spec := MeanSpec{Samples: coal, Boundary: box(0, 0, 100, 100), Confidence: 0.95}
	m, err := Mean(spec)
	require.NoError(t, err)
	add("75 seam thicknesses: mean", float64(m.Mean), 40.117333, 5e-7, "ft", computed, evidence.Reference)
	add("75 seam thicknesses: standard deviation", float64(m.SD), 2.376767, 5e-7, "ft", computed, evidence.Reference)
	add("75 seam thicknesses: t", m.T, 1.992543, 5e-7, "1", computed, evidence.Reference)
	add("75 seam thicknesses: design-based volume", float64(m.Volume), 401173, 0.5, "table units", computed, evidence.Reference)
	add("75 seam thicknesses: half of the design-based interval", float64(m.VolumeInterval.Half()), 5468, 0.5, "table units", computed, evidence.Reference)
	spec.Weighting = WeightingArea
	m, err = Mean(spec)
	require.NoError(t, err)
	add("75 seam thicknesses: mean with area weights", float64(m.Mean), 40.028174, 5e-7, "ft", computed, evidence.Reference)
	low, high := math.Inf(1), 0.0
	for _, s := range m.Shares {
		low, high = min(low, s), max(high, s)
	}
	add("75 seam thicknesses: smallest Voronoi cell", low*1e4, 23.494954, 5e-7, "table units", computed, evidence.Reference)
	// 436.0473759485 in exact fractions: the last digit of the reference is off.
	add("75 seam thicknesses: largest Voronoi cell", high*1e4, 436.047377, 2e-6, "table units", computed, evidence.Reference)

	const student = "Student's distribution, its density integrated in the test"
	for _, n := range []int{8, 12, 24, 40} {
		var some []Sample
		for i := range n {
			some = append(some, sampleAt(float64(i), 0, float64(i%2)))
		}
		m, err := Mean(MeanSpec{Samples: some, Boundary: box(0, 0, 1, 1), Confidence: 0.95})
		require.NoError(t, err)
		at := fmt.Sprintf("Student t of %d samples, ", n)
		add(at+"two-sided 95 %", m.T, studentT(n-1, 0.975), 1e-8, "1", student, evidence.Identity)
		add(at+"one-sided 95 %", float64((m.Upper-m.Mean)/m.Error), studentT(n-1, 0.95), 1e-8, "1", student, evidence.Identity)
	}
	evidence.Run(t, "sludge/geostat", checks)
}

// studentT is the t below which the share p of Student's distribution lies: the tangent
// of an angle, since the density along the angle is a power of its cosine.
func studentT(freedom int, p float64) float64 {
	below := func(angle float64) float64 {
		return quad.Fixed(func(x float64) float64 { return math.Pow(math.Cos(x), float64(freedom-1)) }, 0, angle, 200, quad.Legendre{}, 0)
	}
	half := below(math.Pi / 2)
	low, high := 0.0, math.Pi/2
	for range 60 {
		if mid := (low + high) / 2; 0.5+below(mid)/half/2 < p {
			low = mid
		} else {
			high = mid
		}
	}
	return math.Sqrt(float64(freedom)) * math.Tan(low)
}
