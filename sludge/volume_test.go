package sludge

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"example.org/earthbasin/sludge/geostat"
	"example.org/earthbasin/sludge/internal/fixtures"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/units/strict"
)

// surveyOf makes a survey of thicknesses.
func surveyOf(t testing.TB, boundary plane.Polygon, samples []geostat.Sample, more ...func(*SurveySpec)) *Survey {
	t.Helper()
	spec := SurveySpec{Boundary: boundary, Outside: OutsideKeep}
	for i := range samples {
		spec.Soundings = append(spec.Soundings, Sounding{At: samples[i].At, Thickness: &samples[i].Value})
	}
	for _, m := range more {
		m(&spec)
	}
	s, err := NewSurvey(spec)
	require.NoError(t, err)
	return s
}

func TestVolumeWithInterval(t *testing.T) {
	truth := 0.9406 * 9406 // about: the mean of the mounds over the basin
	for _, n := range []int{60, 500, 3000} {
		r, err := VolumeWithInterval(surveyOf(t, fixtures.Edge(), rounded(n)), VolumeSpec{Confidence: 0.95})
		require.NoError(t, err)
		require.Equal(t, MethodKriging, r.Used, r.Why)
		require.InDelta(t, truth, float64(r.Volume), 0.04*truth)
		require.InDelta(t, float64(r.Design.Volume), float64(r.Volume), 0.05*truth)
		require.Less(t, r.Interval.Half(), r.Design.VolumeInterval.Half(), "%d soundings: kriging knows where they lie", n)
		require.Zero(t, r.Kriged.CutArea)
		require.InDelta(t, float64(r.Area.Times(r.Kriged.Block.Mean)), float64(r.Volume), 1e-9)
		require.Equal(t, n > maxKriged, r.Kriged.CellSide > 0)
		require.LessOrEqual(t, r.Kriged.Samples, maxKriged)
		require.Contains(t, r.String(), "block kriging")
	}
}

func TestVolumeFallsBack(t *testing.T) {
	few := surveyOf(t, fixtures.Edge(), rounded(8))
	r, err := VolumeWithInterval(few, VolumeSpec{Confidence: 0.95})
	require.NoError(t, err)
	require.Equal(t, MethodDesign, r.Used)
	require.Contains(t, r.Why, "8 of the 20 soundings")
	require.Empty(t, r.Notes)
	require.Equal(t, r.Design.Volume, r.Volume)
	require.Nil(t, r.Kriged)

	flat := make([]geostat.Sample, 30)
	for i, s := range rounded(30) {
		flat[i] = geostat.Sample{At: s.At, Value: 0.5}
	}
	r, err = VolumeWithInterval(surveyOf(t, fixtures.Edge(), flat), VolumeSpec{Confidence: 0.95})
	require.NoError(t, err)
	require.Equal(t, MethodDesign, r.Used)
	require.Equal(t, geostat.FitFlat, r.Fit.Status)
	require.Zero(t, r.Interval.Half())
	require.Contains(t, r.String(), "the soundings are all alike")

	_, err = VolumeWithInterval(surveyOf(t, fixtures.Edge(), flat), VolumeSpec{Confidence: 0.95, Method: MethodKriging})
	require.Equal(t, []string{"method"}, fields(err), "kriging that was asked for is never swapped in silence")

	r, err = VolumeWithInterval(surveyOf(t, fixtures.Edge(), rounded(1)), VolumeSpec{Confidence: 0.95})
	require.NoError(t, err)
	require.False(t, r.HasInterval)

	r, err = VolumeWithInterval(few, VolumeSpec{Confidence: 0.95, Placement: PlacementChosen})
	require.NoError(t, err)
	require.Equal(t, geostat.WeightingArea, r.Design.Weighting)
	require.NotEmpty(t, r.Notes)

	// A model that is given is no guess from few soundings.
	for _, from := range []int{0, 5} {
		r, err = VolumeWithInterval(few, VolumeSpec{Confidence: 0.95, Model: &mound, KrigingFrom: from})
		require.NoError(t, err)
		require.Equal(t, MethodKriging, r.Used)
		require.Equal(t, "the model was given", r.Why)
	}
	r, err = VolumeWithInterval(few, VolumeSpec{Confidence: 0.95, Model: &mound, KrigingFrom: 9})
	require.NoError(t, err)
	require.Equal(t, MethodDesign, r.Used)
	r, err = VolumeWithInterval(surveyOf(t, fixtures.Edge(), rounded(1)), VolumeSpec{Confidence: 0.95, Model: &mound})
	require.NoError(t, err)
	require.Equal(t, MethodKriging, r.Used)
	require.Positive(t, float64(r.SD))
}

func TestVolumeFaults(t *testing.T) {
	_, err := VolumeWithInterval(nil, VolumeSpec{Method: 8, Placement: 9, KrigingFrom: -1, Variogram: geostat.VariogramSpec{Samples: rounded(1)},
		Fit: geostat.FitSpec{Variogram: geostat.VariogramResult{Classes: []geostat.LagClass{{}}}}, Model: &geostat.Model{}})
	require.Equal(t, []string{"survey", "confidence", "method", "placement", "krigingFrom", "variogram.samples", "fit.variogram.classes", "model.sill"}, fields(err))
	s := surveyOf(t, fixtures.Edge(), rounded(30))
	_, err = VolumeWithInterval(s, VolumeSpec{Confidence: 0.9, Variogram: geostat.VariogramSpec{Cutoff: -2}, Fit: geostat.FitSpec{Shape: 7}})
	require.Equal(t, []string{"variogram.cutoff"}, fields(err))
	_, err = VolumeWithInterval(s, VolumeSpec{Confidence: 0.9, Fit: geostat.FitSpec{Shape: 7}})
	require.Equal(t, []string{"fit.shape"}, fields(err))
	_, err = VolumeWithInterval(s, VolumeSpec{Confidence: 0.9, Step: -1})
	require.Equal(t, []string{"step"}, fields(err))
}

// bank is a floor that falls from the edge of a box at 3:1.
type bank struct{ low, high plane.Point }

func (b bank) Depth(p plane.Point) (units.Length, bool) {
	in := min(p.X-b.low.X, b.high.X-p.X, p.Y-b.low.Y, b.high.Y-p.Y)
	return min(in/3, 4), true
}

// TestVolumeCut: sludge of an even 1 m in a basin with banks of 3:1 fills them up
// to the floor, 1 m above which lies 3 m from the edge.
func TestVolumeCut(t *testing.T) {
	edge := rectangle(0, 0, 60, 40)
	var samples []geostat.Sample
	for i := range 24 {
		samples = append(samples, sampleAt(5+10*float64(i%6), 5+10*float64(i/6), 1+1e-6*float64(i*i%7)))
	}
	m := geostat.Model{Sill: 0.01, Range: 30}
	spec := VolumeSpec{Confidence: 0.95, Model: &m, Floor: bank{at(0, 0), at(60, 40)}, Step: 0.5}
	r, err := VolumeWithInterval(surveyOf(t, edge, samples), spec)
	require.NoError(t, err)
	// Frustum of 60 x 40 above 54 x 34, 1 m high.
	exact := (60*40 + 54*34 + 4*57*37) / 6.0
	require.InDelta(t, exact, float64(r.Volume), 1)
	require.InDelta(t, 60*40-54*34, float64(r.Kriged.CutArea), 20)
	require.Zero(t, r.Kriged.BelowZero)
	uncut, err := VolumeWithInterval(surveyOf(t, edge, samples), VolumeSpec{Confidence: 0.95, Model: &m, Step: 0.5})
	require.NoError(t, err)
	require.InDelta(t, float64(uncut.Volume-r.Volume), float64(r.Kriged.AtFloor), 1e-9)
	require.Less(t, float64(r.SD), float64(uncut.SD))
}

// TestVolumeWaterline: points of zero thickness pull the surface down at the edge.
func TestVolumeWaterline(t *testing.T) {
	edge := rectangle(0, 0, 60, 40)
	var samples []geostat.Sample
	for i := range 24 {
		samples = append(samples, sampleAt(5+10*float64(i%6), 5+10*float64(i/6), 1+0.1*math.Sin(float64(i))))
	}
	m := geostat.Model{Sill: 0.1, Range: 20}
	spec := VolumeSpec{Confidence: 0.95, Model: &m}
	without, err := VolumeWithInterval(surveyOf(t, edge, samples), spec)
	require.NoError(t, err)
	with, err := VolumeWithInterval(surveyOf(t, edge, samples, func(s *SurveySpec) { s.WaterlineSpacing = 5 }), spec)
	require.NoError(t, err)
	require.Less(t, float64(with.Volume), 0.9*float64(without.Volume))
	require.Equal(t, without.Design, with.Design)
	require.Equal(t, 24+40, with.Kriged.Samples)
	few, err := VolumeWithInterval(surveyOf(t, edge, samples[:9], func(s *SurveySpec) { s.WaterlineSpacing = 5 }), VolumeSpec{Confidence: 0.95})
	require.NoError(t, err)
	require.Contains(t, few.String(), "runs out at the waterline")
	_, err = VolumeWithInterval(surveyOf(t, edge, samples, func(s *SurveySpec) { s.WaterlineSpacing = 0.05 }), spec)
	require.Equal(t, []string{"survey"}, fields(err))
}

// TestCoverage draws 400 random surfaces by Cholesky factorization of their
// covariance, sounds each at 24 random places and asks how often the nominal 95 %
// interval holds the true mean. The count is binomial: with the seed fixed it must
// lie where 99.9 of 100 counts lie. With the model known the kriging interval is
// exact, and so is, about, the design interval at random places; with a model
// fitted to the same 24 soundings the kriging interval is somewhat too narrow, by
// how much the test states.
func TestCoverage(t *testing.T) {
	const surfaces, soundings, side = 400, 24, 20
	random := rand.New(rand.NewPCG(1, 1))
	m := geostat.Model{Nugget: 0.002, Sill: 0.02, Range: 30}
	edge := rectangle(0, 0, 80, 80)
	var nodes []plane.Point
	for i := range side * side {
		nodes = append(nodes, at((float64(i%side)+0.5)*80/side, (float64(i/side)+0.5)*80/side))
	}
	normal := distuv.Normal{Mu: 0, Sigma: 1, Src: random}
	factor := mat.NewTriDense(len(nodes), mat.Lower, nil)
	{
		c := mat.NewSymDense(len(nodes), nil)
		for i, p := range nodes {
			for j := range i + 1 {
				// The smooth part only: the nugget belongs to each sounding.
				c.SetSym(i, j, float64(m.Sill-m.Gamma(p, nodes[j]))+float64(m.Nugget))
			}
			c.SetSym(i, i, float64(m.Sill)*(1+1e-10))
		}
		var chol mat.Cholesky
		require.True(t, chol.Factorize(c))
		chol.LTo(factor)
	}
	var known, answer, fitted, design, usable int
	white, surface := mat.NewVecDense(len(nodes), nil), mat.NewVecDense(len(nodes), nil)
	for range surfaces {
		for i := range nodes {
			white.SetVec(i, normal.Rand())
		}
		surface.MulVec(factor, white)
		mean := 1 + mat.Sum(surface)/float64(len(nodes))
		var samples []geostat.Sample
		for _, i := range random.Perm(len(nodes))[:soundings] {
			z := 1 + surface.AtVec(i) + math.Sqrt(float64(m.Nugget))*normal.Rand()
			samples = append(samples, geostat.Sample{At: nodes[i], Value: units.Length(z)})
		}
		truth := units.Volume(mean) * units.Volume(edge.Area())
		s := surveyOf(t, edge, samples)
		r, err := VolumeWithInterval(s, VolumeSpec{Confidence: 0.95, Model: &m, Step: 80.0 / side})
		require.NoError(t, err)
		if r.Interval.Has(truth) {
			known++
		}
		if r.Design.VolumeInterval.Has(truth) {
			design++
		}
		r, err = VolumeWithInterval(s, VolumeSpec{Confidence: 0.95, Step: 80.0 / side})
		require.NoError(t, err)
		if r.Interval.Has(truth) {
			answer++ // by the method that auto takes
		}
		if r.Used == MethodKriging {
			usable++
			if r.Interval.Has(truth) {
				fitted++
			}
		}
	}
	t.Logf("of %d: model known %d, auto %d, design %d; model fitted %d of %d usable fits", surfaces, known, answer, design, fitted, usable)
	low, high := binomialLimits(surfaces, 0.95, 0.999)
	require.True(t, low <= known && known <= high, "model known: %d of %d, limits %d to %d", known, surfaces, low, high)
	require.True(t, low <= answer && answer <= high, "auto: %d of %d, limits %d to %d", answer, surfaces, low, high)
	require.Greater(t, usable, surfaces/2)
	require.Greater(t, float64(fitted), 0.88*float64(usable), "model fitted: narrower than it says, but not by much")
	require.True(t, low <= design && design <= high, "design: %d of %d, limits %d to %d", design, surfaces, low, high)
}

// TestPreferentialPlaces: soundings that crowd where the sludge is deep break the
// plain mean and its interval; weights by area and kriging mend the mean.
func TestPreferentialPlaces(t *testing.T) {
	var deep, spread []geostat.Sample
	for i, s := range rounded(3000) {
		switch {
		case i < 30:
			spread = append(spread, s)
		case s.At.Distance(at(30, 25)) < 12 && len(deep) < 60: // on the mound
			deep = append(deep, s)
		}
	}
	var truth float64 // of the surface, by three thousand soundings
	for _, s := range rounded(3000) {
		truth += float64(s.Value) / 3000
	}
	samples := append(spread, deep...)
	r, err := VolumeWithInterval(surveyOf(t, fixtures.Edge(), samples), VolumeSpec{Confidence: 0.95, Placement: PlacementChosen, Model: &mound})
	require.NoError(t, err)
	plain, err := geostat.Mean(geostat.MeanSpec{Samples: samples, Boundary: fixtures.Edge(), Confidence: 0.95})
	require.NoError(t, err)
	require.Greater(t, float64(plain.Interval.Low), truth, "the plain interval misses")
	require.True(t, r.Design.Interval.Has(units.Length(truth)), "by area: %v, truth %v", r.Design.Interval, truth)
	require.True(t, r.Interval.Has(r.Area.Times(units.Length(truth))), "kriging: %v, truth %v", r.Mean, truth)
}

// binomialLimits returns the limits that hold a count of n with the chance p but
// for (1-confidence)/2 on either side.
func binomialLimits(n int, p, confidence float64) (low, high int) {
	b := distuv.Binomial{N: float64(n), P: p}
	tail := (1 - confidence) / 2
	for b.CDF(float64(low)) < tail {
		low++
	}
	for high = n; 1-b.CDF(float64(high-1)) < tail; high-- {
	}
	return low, high
}

func TestVolumeBesideTriangles(t *testing.T) {
	s := surveyOf(t, fixtures.Edge(), rounded(200))
	r, err := VolumeWithInterval(s, VolumeSpec{Confidence: 0.95, Edge: EdgeNearest})
	require.NoError(t, err)
	require.InDelta(t, float64(r.Volume), float64(r.TIN.Volume), 0.02*float64(r.Volume))
	require.Contains(t, r.String(), "edge rule: nearest")
	_, err = VolumeWithInterval(s, VolumeSpec{Confidence: 0.95, Edge: EdgeRefuse})
	require.NotEmpty(t, fields(err))
}

// TestVolumeResultJSON: a result with all its parts becomes JSON with units and
// comes back.
func TestVolumeResultJSON(t *testing.T) {
	r, err := VolumeWithInterval(surveyOf(t, fixtures.Edge(), rounded(60)), VolumeSpec{Confidence: 0.95, Edge: EdgeNearest})
	require.NoError(t, err)
	text, err := json.Marshal(r)
	require.NoError(t, err)
	var back VolumeResult
	require.NoError(t, json.Unmarshal(text, &back))
	require.NotNil(t, r.Kriged.Kriging())
	r.Kriged.kriging = nil // not part of the JSON
	require.Equal(t, r, back)
	text, err = json.Marshal(VolumeSpec{Confidence: 0.95})
	require.NoError(t, err, "no edge rule is none")
	var spec VolumeSpec
	require.NoError(t, strict.Decode(text, &spec))
	require.Equal(t, 0.95, spec.Confidence)
}
