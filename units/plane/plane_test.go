package plane_test

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/units/strict"
)

func ring(xy ...float64) plane.Polygon {
	var p plane.Polygon
	for i := 0; i < len(xy); i += 2 {
		p = append(p, plane.Point{X: units.Length(xy[i]), Y: units.Length(xy[i+1])})
	}
	return p
}

func TestPolygonOfAnL(t *testing.T) {
	l := ring(0, 0, 4, 0, 4, 2, 2, 2, 2, 6, 0, 6)
	require.NoError(t, l.Check())
	require.Equal(t, units.Area(16), l.SignedArea())
	require.Equal(t, units.Area(-16), l.Reversed().SignedArea())
	require.Equal(t, units.Area(16), l.Reversed().Area())
	require.Equal(t, units.Length(20), l.Perimeter())
	// (8 at (2,1) + 8 at (1,4)) / 16
	require.Equal(t, plane.Point{X: 1.5, Y: 2.5}, l.Centroid())
	for _, in := range ring(1, 1, 0, 0, 4, 1, 2, 4, 1, 6) {
		require.True(t, l.Contains(in), in)
	}
	for _, out := range ring(3, 3, 5, 1, -1, 2, 2.1, 4, 1, 6.1, 4.1, 2) {
		require.False(t, l.Contains(out), out)
	}
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		for _, out := range ring(bad, 1, 1, bad, bad, bad) {
			require.False(t, l.Contains(out), out)
			require.False(t, l.Reversed().Contains(out), out)
		}
	}
	low, high := l.Bounds()
	require.Equal(t, plane.Point{}, low)
	require.Equal(t, plane.Point{X: 4, Y: 6}, high)
}

// A tangle has a crossing for every pair of edges.
func TestPolygonCheckListsFew(t *testing.T) {
	var p plane.Polygon
	for i := range 401 {
		s, c := math.Sincos(float64(i) * 2 * math.Pi * 200 / 401)
		p = append(p, ring(c, s)...)
	}
	require.Len(t, units.FieldErrors(p.Check()), 20)
}

func TestPolygonOfNoArea(t *testing.T) {
	require.Equal(t, plane.Point{}, plane.Polygon(nil).Centroid())
	require.Equal(t, plane.Point{X: 2, Y: 1}, ring(0, 0, 4, 2).Centroid())
	require.Equal(t, plane.Point{X: 2, Y: 1}, ring(0, 0, 4, 2, 0, 0, 2, 1).Centroid())
}

func TestPolygonCheck(t *testing.T) {
	for name, c := range map[string]struct {
		p    plane.Polygon
		want string
	}{
		"two corners":  {ring(0, 0, 1, 1), "corners, want 3 or more"},
		"none":         {nil, "corners, want 3 or more"},
		"not a number": {ring(0, 0, math.NaN(), 0, 1, 1), "[1].x"},
		"too large":    {ring(0, 0, 1e200, 0, 0, 1e200), "[1].x"},
		"repeated":     {ring(0, 0, 1, 0, 1, 0, 0, 1), "[2]: the same place"},
		"closed twice": {ring(0, 0, 1, 0, 0, 1, 0, 0), "[0]: the same place"},
		"bow tie":      {ring(0, 0, 2, 2, 2, 0, 0, 2), "edges that do not cross"},
		"touching":     {ring(0, 0, 4, 0, 4, 4, 2, 0, 0, 4), "edges that do not cross"},
		"spike":        {ring(0, 0, 4, 0, 2, 0, 2, 3), "turns back"},
		"flat":         {ring(0, 0, 1, 0, 2, 0), "turns back"},
	} {
		require.ErrorContains(t, c.p.Check(), c.want, name)
	}
	require.NoError(t, ring(0, 0, 2, 0, 4, 0, 4, 4, 0, 4).Check(), "a corner on a straight edge is legal")
}

// A star-shaped ring: area, centroid and containment against a fine count of
// random points, which errs by about 1/sqrt(n).
func TestPolygonAgainstCounting(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 5 {
		var p plane.Polygon
		n := 5 + rng.IntN(8)
		for i := range n {
			a := 2 * math.Pi * (float64(i) + 0.8*rng.Float64()) / float64(n)
			r := 1 + 3*rng.Float64()
			p = append(p, plane.Point{X: units.Length(1e5 + r*math.Cos(a)), Y: units.Length(2e5 + r*math.Sin(a))})
		}
		require.NoError(t, p.Check())
		in, sx := 0, 0.0
		const draws = 200000
		for range draws {
			q := plane.Point{X: units.Length(1e5 - 4 + 8*rng.Float64()), Y: units.Length(2e5 - 4 + 8*rng.Float64())}
			if p.Contains(q) {
				in++
				sx += float64(q.X) - 1e5
			}
		}
		require.InEpsilon(t, 64*float64(in)/draws, float64(p.Area()), 0.02)
		require.InDelta(t, sx/float64(in), float64(p.Centroid().X)-1e5, 0.03)
	}
}

func ExamplePolygon() {
	basin := plane.Polygon{
		{X: 0, Y: 0}, {X: 200 * units.Foot, Y: 0},
		{X: 200 * units.Foot, Y: 120 * units.Foot}, {X: 0, Y: 120 * units.Foot},
	}
	if err := basin.Check(); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(basin.Area().Text(units.SquareFoot, 0), basin.Contains(plane.Point{X: 10, Y: 10}))
	// Output: 24,000 ft2 true
}

// A coordinate left out is no coordinate 0, however the point is read.
func TestPointInJSON(t *testing.T) {
	for text, want := range map[string][]string{
		`{"x":"3 ft","y":"-4 ft"}`:          nil,
		`{"y":"4 ft"}`:                      {"[0].x"},
		`{}`:                                {"[0].x", "[0].y"},
		`{"x":3,"y":"4 ft"}`:                {"[0].x"},
		`{"x":"3 ft","y":"4 ft","z":"0 m"}`: {"[0].z"},
		`{"x":"3 ft","y":null}`:             {"[0].y"},
		`7`:                                 {"[0]", "[0].x", "[0].y"},
	} {
		var p plane.Polygon
		var got []string
		err := strict.Decode([]byte("["+text+"]"), &p)
		for _, f := range units.FieldErrors(err) {
			got = append(got, f.Field)
		}
		require.Equal(t, want, got, text)
		require.Equal(t, err == nil, json.Unmarshal([]byte("["+text+"]"), &p) == nil, text)
	}
	p := plane.Point{X: 0.1, Y: -1e-300}
	text, err := json.Marshal(p)
	require.NoError(t, err)
	var back plane.Point
	require.NoError(t, json.Unmarshal(text, &back))
	require.Equal(t, p, back)
}
