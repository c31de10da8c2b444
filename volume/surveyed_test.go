package volume

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/plantest"
)

// contours samples b at n equal steps from elevation 100.
func contours(b Basin, n int) []SurveyedArea {
	var list []SurveyedArea
	for i := range n + 1 {
		h := b.Depth() * units.Length(i) / units.Length(n)
		list = append(list, SurveyedArea{100 + h, b.AreaAt(h)})
	}
	return list
}

func mustSurveyed(t testing.TB, s SurveyedSpec) *Surveyed {
	t.Helper()
	b, err := NewSurveyed(s)
	require.NoError(t, err)
	return b
}

func TestSurveyedPrismoidalIsExact(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 100 {
		b := mustRectangular(t, randomRectangular(r))
		s := mustSurveyed(t, SurveyedSpec{Areas: contours(b, 2*(1+r.IntN(5))), Method: MethodPrismoidal})
		for range 10 {
			h := units.Length(r.Float64()) * b.Depth()
			require.InDelta(t, float64(b.VolumeAt(h)), float64(s.VolumeAt(h)), 1e-9*float64(Capacity(b)))
			require.InEpsilon(t, float64(b.AreaAt(h)), float64(s.AreaAt(h)), 1e-9)
		}
	}
}

func TestSurveyedConicIsExactForCones(t *testing.T) {
	c, err := NewCircular(CircularSpec{Diameter: 30, At: ReferenceFloor, Depth: 4, Slopes: []float64{2}})
	require.NoError(t, err)
	s := mustSurveyed(t, SurveyedSpec{Areas: contours(c, 3), Method: MethodConic})
	for _, h := range []units.Length{0.3, 1.4, 2, 3.9, 4} {
		require.InEpsilon(t, float64(c.VolumeAt(h)), float64(s.VolumeAt(h)), 1e-12)
		require.InEpsilon(t, float64(c.AreaAt(h)), float64(s.AreaAt(h)), 1e-12)
	}
	require.Equal(t, units.Length(100), s.FloorElevation())
	require.Equal(t, MethodConic, s.Method())
}

func TestSurveyedOrderOfMethods(t *testing.T) {
	// Conic <= exact <= end area on every basin with plane banks.
	r := rand.New(rand.NewPCG(1, 1))
	for range 100 {
		b := mustRectangular(t, randomRectangular(r))
		list := contours(b, 1)
		conic := Capacity(mustSurveyed(t, SurveyedSpec{Areas: list, Method: MethodConic}))
		end := Capacity(mustSurveyed(t, SurveyedSpec{Areas: list, Method: MethodEndArea}))
		require.LessOrEqual(t, conic, Capacity(b)*(1+1e-12))
		require.GreaterOrEqual(t, end, Capacity(b)*(1-1e-12))
	}
}

func TestSurveyedUnequalSteps(t *testing.T) {
	s := mustSurveyed(t, SurveyedSpec{Method: MethodEndArea, Areas: []SurveyedArea{{-2, 0}, {-1.5, 100}, {1, 400}, {1.2, 400}}})
	require.InDelta(t, 25+625+80, float64(Capacity(s)), 1e-9)
	require.InDelta(t, 25+0.5*(100+130)/2*0.5, float64(s.VolumeAt(0.75)), 1) // partial slice: area linear in it
	require.InDelta(t, 130, float64(s.AreaAt(0.75)), 1e-9)
	require.InDelta(t, 25+0.25*115, float64(s.VolumeAt(0.75)), 1e-9)
}

func TestSurveyedFaults(t *testing.T) {
	nan := units.Area(math.NaN())
	for name, c := range map[string]struct {
		spec   SurveyedSpec
		fields []string
	}{
		"zero value":  {SurveyedSpec{}, []string{"areas"}},
		"no method":   {SurveyedSpec{Areas: []SurveyedArea{{0, 1}, {1, 2}}}, []string{"method"}},
		"mid-area":    {SurveyedSpec{Areas: []SurveyedArea{{0, 1}, {1, 2}}, Method: MethodMidArea}, []string{"method"}},
		"not numbers": {SurveyedSpec{Areas: []SurveyedArea{{0, nan}, {1, -2}}, Method: MethodConic}, []string{"areas[0].area", "areas[1].area"}},
		"downward":    {SurveyedSpec{Areas: []SurveyedArea{{1, 1}, {1, 2}, {0, 3}}, Method: MethodConic}, []string{"areas[1].elevation", "areas[2].elevation"}},
		"shrinking":   {SurveyedSpec{Areas: []SurveyedArea{{0, 3}, {1, 2}}, Method: MethodConic}, []string{"areas[1].area"}},
		"nothing":     {SurveyedSpec{Areas: []SurveyedArea{{0, 0}, {1, 0}}, Method: MethodConic}, []string{"areas[1].area"}},
		"odd slices":  {SurveyedSpec{Areas: []SurveyedArea{{0, 1}, {1, 2}, {2, 3}, {3, 4}}, Method: MethodPrismoidal}, []string{"areas"}},
		"not halfway": {SurveyedSpec{Areas: []SurveyedArea{{0, 1}, {1, 2}, {3, 3}}, Method: MethodPrismoidal}, []string{"areas[1].elevation"}},
		"wavy":        {SurveyedSpec{Areas: []SurveyedArea{{0, 0}, {1, 1}, {2, 100}}, Method: MethodPrismoidal}, []string{"areas[1].area"}},
		"below nothing": {SurveyedSpec{Areas: []SurveyedArea{{0, 0}, {1, 1}, {2, 100}}, Method: MethodPrismoidal, AllowShrinking: true},
			[]string{"areas[1].area"}},
		"finish": {SurveyedSpec{Areas: []SurveyedArea{{0, 1}, {1, 2}}, Method: MethodEndArea, FinishEndArea: true}, []string{"finishEndArea"}},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := NewSurveyed(c.spec)
			plantest.RequireFields(t, err, c.fields...)
		})
	}
	s := mustSurveyed(t, SurveyedSpec{Areas: []SurveyedArea{{0, 3}, {1, 1}, {2, 1.5}}, Method: MethodEndArea, AllowShrinking: true})
	require.InDelta(t, 3.25, float64(Capacity(s)), 1e-12)
	for _, h := range []units.Length{0.2, 1, 1.7} {
		got, err := HeightFor(s, s.VolumeAt(h))
		require.NoError(t, err)
		require.InDelta(t, float64(h), float64(got), 1e-9)
	}
}

// A parabola may touch the level at its ends: with 2 and 10 m2 around it the middle area
// is 4 to 8 m2, and no more and no less without leave to shrink.
func TestSurveyedParabolaAtItsEnds(t *testing.T) {
	spec := func(mid units.Area, shrinks bool) SurveyedSpec {
		return SurveyedSpec{Areas: []SurveyedArea{{0, 2}, {3, mid}, {6, 10}}, Method: MethodPrismoidal, AllowShrinking: shrinks}
	}
	for _, mid := range []units.Area{4, 6, 8} {
		s := mustSurveyed(t, spec(mid, false))
		require.InDelta(t, 2+4*mid.SI()+10, Capacity(s).SI(), 1e-9) // Simpson's rule
		require.InDelta(t, mid.SI(), s.AreaAt(3).SI(), 1e-9)
		require.InDelta(t, (3*2+6*mid.SI()-10)/8, s.AreaAt(1.5).SI(), 1e-9) // Lagrange's form at a quarter
		last := units.Area(0)
		for i := range 61 {
			a := s.AreaAt(units.Length(i) / 10)
			require.GreaterOrEqual(t, float64(a), float64(last)-1e-9)
			last = a
		}
	}
	for _, mid := range []units.Area{3.999, 8.001} {
		_, err := NewSurveyed(spec(mid, false))
		plantest.RequireFields(t, err, "areas[1].area")
		mustSurveyed(t, spec(mid, true))
	}
	// Through 5, 1 and 5 m2 the lowest point is the middle one; through 9, 1 and 1 it lies
	// at three quarters at 0, and a little less in the middle is below nothing.
	dip := func(a, b, c units.Area) SurveyedSpec {
		return SurveyedSpec{Areas: []SurveyedArea{{0, a}, {1, b}, {2, c}}, Method: MethodPrismoidal, AllowShrinking: true}
	}
	mustSurveyed(t, dip(5, 1, 5))
	mustSurveyed(t, dip(9, 1, 1))
	_, err := NewSurveyed(dip(9, 0.99, 1))
	plantest.RequireFields(t, err, "areas[1].area")
}

// Three slices of 1 m under the prismoidal method: a pair by Simpson's rule and the last
// by its end areas, with the area linear in it.
func TestSurveyedFinishedByEndArea(t *testing.T) {
	s := mustSurveyed(t, SurveyedSpec{Areas: []SurveyedArea{{7, 1}, {8, 2}, {9, 4}, {10, 10}}, Method: MethodPrismoidal, FinishEndArea: true})
	require.InDelta(t, (1+8+4)/3.0, s.VolumeAt(2).SI(), 1e-9)
	require.InDelta(t, (1+8+4)/3.0+7, Capacity(s).SI(), 1e-9)
	require.InDelta(t, 7, s.AreaAt(2.5).SI(), 1e-9)
	require.InDelta(t, (1+8+4)/3.0+0.5*5.5, s.VolumeAt(2.5).SI(), 1e-9)
	require.Equal(t, units.Length(7), s.FloorElevation())
	// An odd number of areas may be finished so as well, and then is not.
	s = mustSurveyed(t, SurveyedSpec{Areas: []SurveyedArea{{7, 1}, {8, 2}, {9, 4}}, Method: MethodPrismoidal, FinishEndArea: true})
	require.InDelta(t, (1+8+4)/3.0, Capacity(s).SI(), 1e-9)
}
