package volume

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume/internal/plantest"
	"example.org/earthbasin/volume/internal/skeleton"
)

func box(l, w float64) plane.Polygon {
	return plane.Polygon{plantest.Pt(0, 0), plantest.Pt(l, 0), plantest.Pt(l, w), plantest.Pt(0, w)}
}

// turned returns p turned about the origin and moved.
func turned(p plane.Polygon, angle, dx, dy float64) plane.Polygon {
	var q plane.Polygon
	s, c := math.Sincos(angle)
	for _, v := range p {
		x, y := float64(v.X), float64(v.Y)
		q = append(q, plantest.Pt(c*x-s*y+dx, s*x+c*y+dy))
	}
	return q
}

func mustPolygon(t testing.TB, s PolygonSpec) *Polygon {
	t.Helper()
	p, err := NewPolygon(s)
	require.NoError(t, err)
	return p
}

func TestPolygonIsRectangular(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		s := randomRectangular(r)
		b := mustRectangular(t, s)
		for _, at := range []Reference{ReferenceFloor, ReferenceTop, ReferenceWaterLine} {
			var water, h units.Length
			switch at {
			case ReferenceTop:
				h = s.Depth
			case ReferenceWaterLine:
				water = units.Length(0.1+0.8*r.Float64()) * s.Depth
				h = water
			}
			l, w := b.SizeAt(h)
			// Edges of the box: right of the width, end, left, start.
			z := []float64{s.Slopes[3], s.Slopes[1], s.Slopes[2], s.Slopes[0]}
			outline := turned(box(float64(l), float64(w)), r.Float64()*6, 5000, -3000)
			if r.IntN(2) == 0 {
				outline = outline.Reversed()
				z = []float64{z[2], z[1], z[0], z[3]}
			}
			p := mustPolygon(t, PolygonSpec{Outline: outline, At: at, Depth: s.Depth, WaterDepth: water, Slopes: z})
			for range 5 {
				x := units.Length(r.Float64()) * s.Depth
				require.InEpsilon(t, float64(b.VolumeAt(x)), float64(p.VolumeAt(x)), 1e-9)
				require.InEpsilon(t, float64(b.AreaAt(x)), float64(p.AreaAt(x)), 1e-9)
			}
			require.InEpsilon(t, float64(b.SlopeAreaAt(b.Depth())), float64(p.SlopeAreaAt(p.Depth())), 1e-9)
		}
	}
}

// randomStar draws a concave outline with a slope for each edge.
func randomStar(r *rand.Rand, n int) (plane.Polygon, []float64) {
	var p plane.Polygon
	var z []float64
	for i := range n {
		a := 2 * math.Pi * (float64(i) + 0.7*r.Float64()) / float64(n)
		d := 10 + 40*r.Float64()
		p = append(p, plantest.Pt(d*math.Cos(a), d*math.Sin(a)))
		z = append(z, 0.5+3*r.Float64())
	}
	return p, z
}

func TestPolygonIdentities(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1))
	for range 40 {
		p, z := randomStar(r, 5+r.IntN(30))
		sk, err := skeleton.Follow(vecs(p), z, 100)
		require.NoError(t, err)
		water := units.Length(0.9 * sk.Last())
		depth := water + 1
		b := mustPolygon(t, PolygonSpec{Outline: p, At: ReferenceWaterLine, WaterDepth: water, Depth: depth, Slopes: z})
		require.InEpsilon(t, float64(p.Area()), float64(b.AreaAt(water)), 1e-9)
		last := units.Area(0)
		for i := range 51 {
			h := depth * units.Length(i) / 50
			// Sections enclose the area, which never shrinks upward.
			var sum units.Area
			for _, ring := range b.SectionAt(h) {
				sum += ring.SignedArea()
			}
			require.InDelta(t, float64(b.AreaAt(h)), float64(sum), 1e-6)
			require.GreaterOrEqual(t, b.AreaAt(h), last-1e-9)
			last = b.AreaAt(h)
			// The derivative of the volume is the area.
			const e = 1e-6
			if h > e && h < depth-e {
				require.InDelta(t, float64(last), float64(b.VolumeAt(h+e)-b.VolumeAt(h-e))/(2*e), 1e-2+1e-5*float64(last))
			}
		}
		// Twice the size holds eight times as much.
		q := make(plane.Polygon, len(p))
		for i, c := range p {
			q[i] = plane.Point{X: 2 * c.X, Y: 2 * c.Y}
		}
		big := mustPolygon(t, PolygonSpec{Outline: q, At: ReferenceWaterLine, WaterDepth: 2 * water, Depth: 2 * depth, Slopes: z})
		require.InEpsilon(t, 8*float64(Capacity(b)), float64(Capacity(big)), 1e-9)
		require.InEpsilon(t, 4*float64(b.SlopeAreaAt(b.Depth())), float64(big.SlopeAreaAt(big.Depth())), 1e-9)
	}
}

func TestPolygonRoundedCorners(t *testing.T) {
	// A square whose corners are rounded to a circle is the circular basin.
	for _, at := range []Reference{ReferenceFloor, ReferenceTop} {
		for _, z := range []float64{0, 2} {
			p := mustPolygon(t, PolygonSpec{Outline: box(40, 40), At: at, Depth: 4, Slopes: []float64{z}, CornerRadius: 20})
			c, err := NewCircular(CircularSpec{Diameter: 40, At: at, Depth: 4, Slopes: []float64{z}})
			require.NoError(t, err)
			for _, h := range []units.Length{0, 1, 2.5, 4} {
				require.InDelta(t, float64(c.AreaAt(h)), float64(p.AreaAt(h)), 1e-9)
				require.InDelta(t, float64(c.VolumeAt(h)), float64(p.VolumeAt(h)), 1e-9)
			}
			require.InDelta(t, float64(c.SlopeAreaAt(c.Depth())), float64(p.SlopeAreaAt(p.Depth())), 1e-9)
		}
	}
	// Below the height at which the radius is used up the corners are sharp.
	p := mustPolygon(t, PolygonSpec{Outline: box(40, 30), At: ReferenceTop, Depth: 4, Slopes: []float64{2}, CornerRadius: 3})
	require.InDelta(t, 24*14, float64(p.AreaAt(0)), 1e-9)
	require.InDelta(t, 39*29-(4-math.Pi)*2.5*2.5, float64(p.AreaAt(3.75)), 1e-9)
	require.InDelta(t, 35*25-(4-math.Pi)*0.25, float64(p.AreaAt(2.75)), 1e-9)
	// Steep banks, too: of 0.5:1 the radius of 1 m is used up 2 m below the top.
	p = mustPolygon(t, PolygonSpec{Outline: box(40, 30), At: ReferenceTop, Depth: 4, Slopes: []float64{0.5}, CornerRadius: 1})
	require.InDelta(t, 37*27, float64(p.AreaAt(1)), 1e-9)
	require.InDelta(t, 39*29-(4-math.Pi)*0.25, float64(p.AreaAt(3)), 1e-9)
	for _, h := range []units.Length{1, 2, 3, 4} {
		require.InDelta(t, float64(p.AreaAt(h)-p.AreaAt(0))*math.Sqrt(1.25)/0.5, float64(p.SlopeAreaAt(h)), 1e-9)
	}
}

func TestPolygonFaults(t *testing.T) {
	ell := plane.Polygon{plantest.Pt(0, 0), plantest.Pt(20, 0), plantest.Pt(20, 10), plantest.Pt(10, 10), plantest.Pt(10, 20), plantest.Pt(0, 20)}
	straight := plane.Polygon{plantest.Pt(0, 0), plantest.Pt(10, 0), plantest.Pt(20, 0), plantest.Pt(20, 20), plantest.Pt(0, 20)}
	for name, c := range map[string]struct {
		spec   PolygonSpec
		fields []string
	}{
		"zero value": {PolygonSpec{}, []string{"outline", "depth", "at", "slopes"}},
		"crossing": {PolygonSpec{Outline: plane.Polygon{plantest.Pt(0, 0), plantest.Pt(9, 9), plantest.Pt(9, 0), plantest.Pt(0, 9)}, At: ReferenceTop, Depth: 1, Slopes: []float64{1}},
			[]string{"outline[2]", "outline"}},
		"closes": {PolygonSpec{Outline: ell, At: ReferenceTop, Depth: 6, Slopes: []float64{1}}, []string{"depth"}},
		"island": {PolygonSpec{Outline: ell, At: ReferenceTop, Depth: 1, Slopes: []float64{1}, Islands: []plane.Polygon{box(1, 1)}},
			[]string{"islands"}},
		"two slopes in a line": {PolygonSpec{Outline: straight, At: ReferenceTop, Depth: 1, Slopes: []float64{1, 2, 1, 1, 1}}, []string{"slopes[1]"}},
		"radius of a corner that turns inward": {PolygonSpec{Outline: ell, At: ReferenceTop, Depth: 1, Slopes: []float64{1}, CornerRadius: 1},
			[]string{"cornerRadius"}},
		"radius too large": {PolygonSpec{Outline: box(40, 30), At: ReferenceTop, Depth: 1, Slopes: []float64{1}, CornerRadius: 16},
			[]string{"cornerRadius", "cornerRadius"}},
		"radius with two slopes": {PolygonSpec{Outline: box(40, 30), At: ReferenceTop, Depth: 1, Slopes: []float64{1, 1, 1, 2}, CornerRadius: 1},
			[]string{"cornerRadius"}},
		"too many corners": {PolygonSpec{Outline: make(plane.Polygon, 501)}, []string{"outline"}},
		"too far off":      {PolygonSpec{Outline: plane.Polygon{{X: 1e20}, {X: 1e20 + 1e5}, {X: 1e20, Y: 1e4}}, At: ReferenceTop, Depth: 1, Slopes: []float64{1}}, []string{"outline[0].x", "outline[1].x", "outline[2].x"}},
		"too large":        {PolygonSpec{Outline: box(1e6, 1e6), At: ReferenceTop, Depth: 1, Slopes: []float64{1}}, []string{"outline"}},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := NewPolygon(c.spec)
			plantest.RequireFields(t, err, c.fields...)
		})
	}
	// An edge in a straight line counts as one bank.
	b := mustPolygon(t, PolygonSpec{Outline: straight, At: ReferenceTop, Depth: 2, Slopes: []float64{1}})
	require.InDelta(t, 256, float64(b.AreaAt(0)), 1e-9)
	// The arms of the L end in ridges 5 below the top, all at once.
	full := mustPolygon(t, PolygonSpec{Outline: ell, At: ReferenceTop, Depth: 5, Slopes: []float64{1}})
	require.InDelta(t, 0, float64(full.AreaAt(0)), 1e-9)
}

func TestPolygonNotch(t *testing.T) {
	// The walls of the notch between two arms meet 2 m up, and the arms become
	// one bank.
	u := plane.Polygon{plantest.Pt(0, 0), plantest.Pt(20, 0), plantest.Pt(20, 10), plantest.Pt(12, 10), plantest.Pt(12, 9), plantest.Pt(8, 9), plantest.Pt(8, 10), plantest.Pt(0, 10)}
	z := []float64{1, 1, 1, 1, 1, 1, 1, 1}
	b := mustPolygon(t, PolygonSpec{Outline: u, At: ReferenceFloor, Depth: 4, Slopes: z})
	require.InDelta(t, 28*18, float64(b.AreaAt(4)), 1e-9)
	require.Len(t, b.SectionAt(4), 1)
	require.Len(t, b.SectionAt(4)[0], 4)
	// A flatter bank at the back of the notch comes level with the arms half a
	// metre up. Two banks of different slopes then lie in one line, and nothing
	// says how the corner between them goes on.
	z[4] = 3
	_, err := NewPolygon(PolygonSpec{Outline: u, At: ReferenceFloor, Depth: 4, Slopes: z})
	plantest.RequireFields(t, err, "depth")
	require.ErrorContains(t, err, "at most 1.64 ft above the level of the outline")
	mustPolygon(t, PolygonSpec{Outline: u, At: ReferenceFloor, Depth: 0.5, Slopes: z})
}

// Two edges in one line have one slope, whichever corner lies between them; edges that do
// not meet there may have others.
func TestPolygonSlopesInOneLine(t *testing.T) {
	corners := plane.Polygon{plantest.Pt(0, 0), plantest.Pt(10, 0), plantest.Pt(20, 0), plantest.Pt(20, 20), plantest.Pt(0, 20)}
	for turn := range corners { // the corner in the line has each place in turn
		outline, middle := append(append(plane.Polygon{}, corners[turn:]...), corners[:turn]...), (6-turn)%5
		at := func(i int) int { return (i + 5) % 5 }
		slopes := []float64{2, 2.5, 3, 3.5, 4}
		slopes[middle] = slopes[at(middle-1)]
		_, err := NewPolygon(PolygonSpec{Outline: outline, At: ReferenceTop, Depth: 1, Slopes: slopes})
		require.NoError(t, err)
		slopes[middle] = slopes[at(middle-2)]
		_, err = NewPolygon(PolygonSpec{Outline: outline, At: ReferenceTop, Depth: 1, Slopes: slopes})
		plantest.RequireFields(t, err, fmt.Sprintf("slopes[%d]", middle))
	}
}

// The largest radius that fits on the edges: half of the shorter side of a rectangle, and
// on the edge between corners of 60 and 90 degrees its length over their tangents.
func TestPolygonLargestRadius(t *testing.T) {
	shed := plane.Polygon{plantest.Pt(0, 0), plantest.Pt(30, 0), plantest.Pt(30, 20), plantest.Pt(20*math.Sqrt(1.0/3), 20)}
	for name, c := range map[string]struct {
		outline plane.Polygon
		radius  float64
		corner  string
	}{
		"rectangle": {box(40, 30), 15, "on the edge from corner 1"},
		"shed":      {shed, 20 * math.Sqrt(4.0/3) / (math.Sqrt(3) + math.Sqrt(1.0/3)), "on the edge from corner 3"},
	} {
		for _, outline := range []plane.Polygon{c.outline, c.outline.Reversed()} {
			spec := PolygonSpec{Outline: outline, At: ReferenceFloor, Depth: 1, Slopes: []float64{2}, CornerRadius: units.Length(c.radius)}
			_, err := NewPolygon(spec)
			require.NoError(t, err, name)
			spec.CornerRadius *= 1.0001
			_, err = NewPolygon(spec)
			require.ErrorContains(t, err, units.Length(c.radius).Trade(), name)
		}
		_, err := NewPolygon(PolygonSpec{Outline: c.outline, At: ReferenceFloor, Depth: 1, Slopes: []float64{2}, CornerRadius: units.Length(c.radius * 1.0001)})
		require.ErrorContains(t, err, c.corner, name)
	}
}

// At any height there is one section, also at the level of the outline and where sides
// meet or come apart: its outlines enclose the area.
func TestPolygonSectionsAtEvents(t *testing.T) {
	u := plane.Polygon{plantest.Pt(0, 0), plantest.Pt(20, 0), plantest.Pt(20, 10), plantest.Pt(12, 10), plantest.Pt(12, 9), plantest.Pt(8, 9), plantest.Pt(8, 10), plantest.Pt(0, 10)}
	dumbbell := plane.Polygon{plantest.Pt(0, 0), plantest.Pt(20, 0), plantest.Pt(20, 8), plantest.Pt(40, 8), plantest.Pt(40, 0), plantest.Pt(60, 0), plantest.Pt(60, 20), plantest.Pt(40, 20), plantest.Pt(40, 12), plantest.Pt(20, 12), plantest.Pt(20, 20), plantest.Pt(0, 20)}
	for name, c := range map[string]struct {
		spec  PolygonSpec
		at    []units.Length
		parts []int
	}{
		"notch":         {PolygonSpec{Outline: u, At: ReferenceFloor, Depth: 4}, []units.Length{0, 1, 2, 3, 4}, []int{1, 1, 1, 1, 1}},
		"notch in half": {PolygonSpec{Outline: u, At: ReferenceWaterLine, WaterDepth: 3, Depth: 7}, []units.Length{2, 3, 5, 7}, []int{1, 1, 1, 1}},
		"comes apart":   {PolygonSpec{Outline: dumbbell, At: ReferenceTop, Depth: 6}, []units.Length{0, 3, 5, 6}, []int{2, 2, 1, 1}},
	} {
		c.spec.Slopes = []float64{1}
		b := mustPolygon(t, c.spec)
		for i, h := range c.at {
			list := b.SectionAt(h)
			var sum units.Area
			for _, ring := range list {
				sum += ring.SignedArea()
			}
			require.InDelta(t, b.AreaAt(h).SI(), sum.SI(), 1e-9, "%s at %v", name, h)
			require.Len(t, list, c.parts[i], "%s at %v", name, h)
		}
	}
}
