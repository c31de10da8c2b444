package volume

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/plantest"
)

func TestMethodsOnPlaneBanks(t *testing.T) {
	// With d the depth and a, b the sums of opposite slopes: end area is high by
	// abd³/6, mid-area low by half of that, conic low by d/6 (√(LW₁) - √(L₁W))²,
	// and prismoidal exact.
	r := rand.New(rand.NewPCG(1, 1))
	for range 500 {
		b := mustRectangular(t, randomRectangular(r))
		d, a, w := float64(b.Depth()), b.a, b.b
		got, err := CompareMethods(CompareMethodsSpec{Basin: b, Low: 0, High: b.Depth()})
		require.NoError(t, err)
		exact := float64(Capacity(b))
		tol := 1e-10 * exact
		over := map[Method]float64{}
		for _, m := range got {
			over[m.Method] = float64(m.Volume) - exact
			require.InDelta(t, over[m.Method]/exact, m.RelativeError, 1e-10)
		}
		require.InDelta(t, a*w*cube(d)/6, over[MethodEndArea], tol)
		require.InDelta(t, -a*w*cube(d)/12, over[MethodMidArea], tol)
		require.InDelta(t, 0, over[MethodPrismoidal], tol)
		top, side := b.SizeAt(b.Depth())
		gap := math.Sqrt(b.length*float64(side)) - math.Sqrt(float64(top)*b.width)
		require.InDelta(t, -d/6*gap*gap, over[MethodConic], tol)
	}
}

func TestMethodsOnCircles(t *testing.T) {
	c, err := NewCircular(CircularSpec{Diameter: 30, At: ReferenceFloor, Depth: 4, Slopes: []float64{2}})
	require.NoError(t, err)
	got, err := CompareMethods(CompareMethodsSpec{Basin: c, Low: 1, High: 3})
	require.NoError(t, err)
	exact := float64(c.VolumeAt(3) - c.VolumeAt(1))
	require.InDelta(t, exact+math.Pi*4*8/6, float64(got[0].Volume), 1e-9)
	require.InDelta(t, exact, float64(got[1].Volume), 1e-9)
	require.InDelta(t, exact, float64(got[2].Volume), 1e-9)
	require.InDelta(t, exact-math.Pi*4*8/12, float64(got[3].Volume), 1e-9)
}

func TestSliceOfLevelSections(t *testing.T) {
	// Sections bh + sh² with h linear along X: end area less prismoidal is
	// X s (dh)²/6. With equal ends conic and prismoidal agree on the prism.
	r := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		b, s, h0, h1, x := 10*r.Float64(), 3*r.Float64(), 4*r.Float64(), 4*r.Float64(), 1+50*r.Float64()
		area := func(h float64) units.Area { return units.Area(b*h + s*h*h) }
		end, err := Slice(SliceSpec{Method: MethodEndArea, Bottom: area(h0), Top: area(h1), Depth: units.Length(x)})
		require.NoError(t, err)
		exact, err := Slice(SliceSpec{Method: MethodPrismoidal, Bottom: area(h0), Mid: area((h0 + h1) / 2), Top: area(h1), Depth: units.Length(x)})
		require.NoError(t, err)
		require.InDelta(t, x*s*(h1-h0)*(h1-h0)/6, float64(end-exact), 1e-9)
		conic, err := Slice(SliceSpec{Method: MethodConic, Bottom: area(h0), Top: area(h0), Depth: units.Length(x)})
		require.NoError(t, err)
		require.InDelta(t, float64(area(h0))*x, float64(conic), 1e-9)
	}
}

func TestSliceFaults(t *testing.T) {
	_, err := Slice(SliceSpec{})
	plantest.RequireFields(t, err, "depth", "method")
	_, err = Slice(SliceSpec{Method: MethodMidArea, Bottom: 1, Mid: -2, Depth: units.Length(math.Inf(1))})
	plantest.RequireFields(t, err, "depth", "bottom", "mid")
	_, err = Slice(SliceSpec{Method: MethodConic, Bottom: 1, Mid: 2, Top: 3, Depth: 1})
	plantest.RequireFields(t, err, "mid")
	_, err = Slice(SliceSpec{Method: MethodEndArea, Bottom: 1e300, Top: 1e300, Depth: 1e200})
	plantest.RequireFields(t, err, "depth", "bottom", "top")
	b := formBasin(t)
	for _, h := range [][2]units.Length{{1, 1}, {2, 1}, {-1, 2}, {0, 99}, {units.Length(math.NaN()), 2}} {
		_, err = CompareMethods(CompareMethodsSpec{Basin: b, Low: h[0], High: h[1]})
		plantest.RequireFields(t, err, "high")
	}
	_, err = CompareMethods(CompareMethodsSpec{Basin: nil, Low: 0, High: 1})
	plantest.RequireFields(t, err, "basin")
}

func TestEnumerationsAsText(t *testing.T) {
	for _, v := range []interface {
		MarshalText() ([]byte, error)
		String() string
	}{ReferenceWaterLine, MethodConic, ShoreRuleOut} {
		text, err := v.MarshalText()
		require.NoError(t, err)
		require.Equal(t, v.String(), string(text))
	}
	var s struct {
		At     Reference `json:"at"`
		Method Method    `json:"method"`
		Shore  ShoreRule `json:"shore"`
	}
	require.NoError(t, json.Unmarshal([]byte(`{"at": "Top of Bank", "method": "mid-area", "shore": "zeros in"}`), &s))
	require.Equal(t, ReferenceTop, s.At)
	require.Equal(t, MethodMidArea, s.Method)
	require.Equal(t, ShoreRuleIn, s.Shore)
	require.Error(t, s.At.UnmarshalText([]byte("bottom")))
	_, err := Reference(0).MarshalText()
	require.Error(t, err)
}
