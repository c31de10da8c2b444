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

// clipped returns the area of the convex outline with each edge moved inward by
// its slope times t: the common part of half planes.
func clipped(p plane.Polygon, z []float64, t float64) float64 {
	cut := append(plane.Polygon{}, p...)
	for i, a := range p {
		b := p[(i+1)%len(p)]
		l := float64(a.Distance(b))
		nx, ny := -float64(b.Y-a.Y)/l, float64(b.X-a.X)/l
		side := func(q plane.Point) float64 {
			return nx*float64(q.X-a.X) + ny*float64(q.Y-a.Y) - z[i]*t
		}
		var next plane.Polygon
		for k, q := range cut {
			w := cut[(k+1)%len(cut)]
			s, u := side(q), side(w)
			if s >= 0 {
				next = append(next, q)
			}
			if (s >= 0) != (u >= 0) {
				x := units.Length(s / (s - u))
				next = append(next, plane.Point{X: q.X + x*(w.X-q.X), Y: q.Y + x*(w.Y-q.Y)})
			}
		}
		cut = next
	}
	if len(cut) < 3 {
		return 0
	}
	return float64(cut.SignedArea())
}

// randomConvex draws corners on an ellipse.
func randomConvex(r *rand.Rand) (plane.Polygon, []float64) {
	n := 3 + r.IntN(9)
	var p plane.Polygon
	var z []float64
	for i := range n {
		a := 2 * math.Pi * (float64(i) + 0.8*r.Float64()) / float64(n)
		p = append(p, plantest.Pt(60*math.Cos(a), 40*math.Sin(a)))
		z = append(z, 0.5+3*r.Float64())
	}
	return p, z
}

func TestPolygonConvexEvents(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		p, z := randomConvex(r)
		b, err := NewPolygon(PolygonSpec{Outline: p, At: ReferenceTop, Depth: 1000, Slopes: z})
		require.Nil(t, b)
		plantest.RequireFields(t, err, "depth")
		sk, err := skeleton.Follow(vecs(p), z, 1000)
		require.NoError(t, err)
		depth := sk.Last()
		b = mustPolygon(t, PolygonSpec{Outline: p, At: ReferenceTop, Depth: units.Length(depth), Slopes: z})
		for i := range 40 {
			h := depth * float64(i) / 40
			require.InDelta(t, clipped(p, z, depth-h), float64(b.AreaAt(units.Length(h))), 1e-8)
		}
		require.InDelta(t, 0, float64(b.AreaAt(0)), 1e-8)
	}
}

func vecs(p plane.Polygon) []skeleton.Vec {
	var list []skeleton.Vec
	for _, c := range p {
		list = append(list, skeleton.Vec{X: float64(c.X), Y: float64(c.Y)})
	}
	return list
}

func TestPolygonConcaveAgainstNumericIntegration(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for run := range 12 {
		c := plantest.RandomCells(r, 9, 120)
		p, dirs := c.Outline()
		var z [4]float64
		for i := range z {
			z[i] = 0.4 + r.Float64()
			if run%2 == 0 {
				z[i] = 1
			}
		}
		slopes := make([]float64, len(p))
		for i, d := range dirs {
			slopes[i] = z[d]
		}
		sk, err := skeleton.Follow(vecs(p), slopes, 100)
		require.NoError(t, err, "%v", p)
		depth := sk.Last() * (0.3 + 0.7*r.Float64())
		b := mustPolygon(t, PolygonSpec{Outline: turned(p, float64(run), 700, 900), At: ReferenceTop, Depth: units.Length(depth), Slopes: slopes})
		const n = 40 // samples per cell and axis
		var sum float64
		for i := range len(c) * n {
			for j := range len(c) * n {
				x, y := (float64(i)+0.5)/n, (float64(j)+0.5)/n
				if c.Has(int(x), int(y)) {
					sum += c.Reach(x, y, z, depth)
				}
			}
		}
		require.InEpsilon(t, sum/(n*n), float64(Capacity(b)), 0.0015, "run %d: %v %v", run, p, slopes)
	}
}

func TestPolygonSectionsAreBoxes(t *testing.T) {
	// Downward the ground around the plan grows by the boxes of its cells, upward
	// the plan does; pockets between arms close on the way. Both areas are exact.
	r := rand.New(rand.NewPCG(2, 1))
	for range 120 {
		c := plantest.RandomCells(r, 9, 120)
		p, dirs := c.Outline()
		var z [4]float64
		for i := range z {
			z[i] = 0.4 + r.Float64()
			if r.IntN(3) == 0 {
				z[i] = 1
			}
		}
		slopes := make([]float64, len(p))
		for i, d := range dirs {
			slopes[i] = z[d]
		}
		sk, err := skeleton.Follow(vecs(p), slopes, 100)
		require.NoError(t, err)
		water := units.Length(sk.Last())
		b := mustPolygon(t, PolygonSpec{Outline: p, At: ReferenceWaterLine, WaterDepth: water, Depth: water + 2, Slopes: slopes})
		for range 25 {
			h := b.Depth() * units.Length(r.Float64())
			var boxes [][4]float64
			for u := range c {
				for v := range c {
					x, y, d := float64(u), float64(v), math.Abs(float64(h-water))
					switch {
					case h < water && !c[u][v]:
						boxes = append(boxes, [4]float64{x - d*z[1], x + 1 + d*z[3], y - d*z[2], y + 1 + d*z[0]})
					case h >= water && c[u][v]:
						boxes = append(boxes, [4]float64{x - d*z[3], x + 1 + d*z[1], y - d*z[0], y + 1 + d*z[2]})
					}
				}
			}
			want := plantest.Covered(boxes, -10, 20)
			if h < water {
				want = 81 - plantest.Covered(boxes, 0, 9)
			}
			require.InDelta(t, want, float64(b.AreaAt(h)), 1e-8)
		}
	}
}

func TestPolygonFineArcsAreDistance(t *testing.T) {
	// With every reflex corner replaced by many small turns, the mitred section
	// is the one of equal distance from the outline, which sampling knows.
	r := rand.New(rand.NewPCG(3, 1))
	for range 6 {
		var sharp plane.Polygon
		n := 9
		for i := range n {
			a := 2 * math.Pi * (float64(i) + 0.6*r.Float64()) / float64(n)
			d := 15 + 25*r.Float64()
			sharp = append(sharp, plantest.Pt(d*math.Cos(a), d*math.Sin(a)))
		}
		var p plane.Polygon
		for i, c := range sharp {
			turn := skeleton.TurnAt(sharp, i)
			if turn > 0 {
				p = append(p, c)
				continue
			}
			const radius, parts = 0.02, 24
			in := c.Sub(sharp[(i+n-1)%n])
			a := math.Atan2(float64(in.Y), float64(in.X)) + math.Pi/2
			// The centre lies to the right, where the ground is.
			w := radius / math.Cos(turn/2)
			cx, cy := float64(c.X)-w*math.Cos(a+turn/2), float64(c.Y)-w*math.Sin(a+turn/2)
			for k := range parts + 1 {
				b := a + turn*float64(k)/parts
				p = append(p, plantest.Pt(cx+radius*math.Cos(b), cy+radius*math.Sin(b)))
			}
		}
		const depth, z, step = 3.0, 1.5, 0.25
		b := mustPolygon(t, PolygonSpec{Outline: p, At: ReferenceTop, Depth: depth, Slopes: []float64{z}})
		var sum float64
		low, high := sharp.Bounds()
		for x := low.X + step/2; x < high.X; x += step {
			for y := low.Y + step/2; y < high.Y; y += step {
				q := plane.Point{X: x, Y: y}
				if sharp.Contains(q) {
					sum += min(toOutline(sharp, q)/z, depth)
				}
			}
		}
		require.InEpsilon(t, sum*step*step, float64(Capacity(b)), 0.002)
	}
}

// toOutline returns the distance from q to the nearest edge.
func toOutline(p plane.Polygon, q plane.Point) float64 {
	least := math.Inf(1)
	for i, a := range p {
		b := p[(i+1)%len(p)]
		ux, uy := float64(b.X-a.X), float64(b.Y-a.Y)
		vx, vy := float64(q.X-a.X), float64(q.Y-a.Y)
		t := min(max((ux*vx+uy*vy)/(ux*ux+uy*uy), 0), 1)
		least = min(least, math.Hypot(vx-t*ux, vy-t*uy))
	}
	return least
}

func TestPolygonOnDisturbedGrid(t *testing.T) {
	// Plans on a grid have many events at one moment. Rounding of any size takes
	// them apart, and the result must not notice.
	r := rand.New(rand.NewPCG(5, 1))
	for size := -4.0; size >= -15; size -= 0.5 {
		for range 12 {
			c := plantest.RandomCells(r, 9, 120)
			p, dirs := c.Outline()
			z := [4]float64{0.4 + r.Float64(), 1, 0.4 + r.Float64(), 1}
			slopes := make([]float64, len(p))
			for i, d := range dirs {
				slopes[i] = z[d]
			}
			sk, err := skeleton.Follow(vecs(p), slopes, 100)
			require.NoError(t, err)
			depth := units.Length(0.8 * sk.Last())
			want := mustPolygon(t, PolygonSpec{Outline: p, At: ReferenceTop, Depth: depth, Slopes: slopes})
			q := turned(p, 6*r.Float64(), 0, 0)
			off := math.Pow(10, size)
			for i := range q {
				q[i].X += units.Length(off * (r.Float64() - 0.5))
				q[i].Y += units.Length(off * (r.Float64() - 0.5))
			}
			got := mustPolygon(t, PolygonSpec{Outline: q, At: ReferenceTop, Depth: depth, Slopes: slopes})
			require.InEpsilon(t, float64(Capacity(want)), float64(Capacity(got)), 1e-7+3*off)
		}
	}
}

func BenchmarkNewPolygon(b *testing.B) {
	for _, n := range []int{8, 40, 200, 500} {
		p, z := randomStar(rand.New(rand.NewPCG(1, 1)), n)
		sk, err := skeleton.Follow(vecs(p), z, 100)
		require.NoError(b, err)
		spec := PolygonSpec{Outline: p, At: ReferenceTop, Depth: units.Length(sk.Last()), Slopes: z}
		b.Run(fmt.Sprintf("%d corners", n), func(b *testing.B) {
			for b.Loop() {
				if _, err := NewPolygon(spec); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// comb is n teeth of ground of uneven length, of which every corner is an event.
func comb(n int) plane.Polygon {
	var p plane.Polygon
	for i := range n {
		x := float64(4 * i)
		p = append(p, plantest.Pt(x, 100+0.01*float64(i*i%7)), plantest.Pt(x+1, 100+0.02*float64(i*i%5)), plantest.Pt(x+1, 2), plantest.Pt(x+4, 2))
	}
	return append(p, plantest.Pt(float64(4*n), 0), plantest.Pt(0, 0))
}

// The work of a wavefront grows with the cube of the corners at most, which is why
// there may be 500 of them.
func TestSkeletonSteps(t *testing.T) {
	looks := func(teeth int) int {
		b, err := NewPolygon(PolygonSpec{Outline: comb(teeth), At: ReferenceFloor, Depth: 3, Slopes: []float64{3}})
		require.NoError(t, err)
		return b.inward.Looks + b.outward.Looks
	}
	few, many := looks(62), looks(124)
	require.LessOrEqual(t, many, 9*few)
	require.Less(t, many, 50_000_000)
}
