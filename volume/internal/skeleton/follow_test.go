package skeleton

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"

	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume/internal/plantest"
)

func vecs(p plane.Polygon) []Vec {
	list := make([]Vec, len(p))
	for i, c := range p {
		list[i] = Vec{float64(c.X), float64(c.Y)}
	}
	return list
}

// halfPlane is what lies to the left of an edge that has moved inward by its slope.
type halfPlane struct{ x, y, c float64 }

func (h halfPlane) ahead(p Vec) float64 { return h.x*p.X + h.y*p.Y - h.c }

// common returns what convex fronts leave at a time, as the common part of half planes,
// and the bank above it per time: each side by its length and its slant.
func common(outline []Vec, slopes []float64, t float64) (area, bank float64) {
	n := len(outline)
	planes := make([]halfPlane, n)
	for i, a := range outline {
		b := outline[(i+1)%n]
		l := math.Hypot(b.X-a.X, b.Y-a.Y)
		x, y := (a.Y-b.Y)/l, (b.X-a.X)/l
		planes[i] = halfPlane{x, y, x*a.X + y*a.Y + slopes[i]*t}
	}
	type side struct {
		from Vec
		of   int
	}
	ring := []side{{Vec{-1e4, -1e4}, -1}, {Vec{1e4, -1e4}, -1}, {Vec{1e4, 1e4}, -1}, {Vec{-1e4, 1e4}, -1}}
	for k, h := range planes {
		var next []side
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			da, db := h.ahead(a.from), h.ahead(b.from)
			meet := Vec{a.from.X + da/(da-db)*(b.from.X-a.from.X), a.from.Y + da/(da-db)*(b.from.Y-a.from.Y)}
			switch {
			case da >= 0 && db >= 0:
				next = append(next, a)
			case da >= 0:
				next = append(next, a, side{meet, k})
			case db >= 0:
				next = append(next, side{meet, a.of})
			}
		}
		ring = next
	}
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		area += (a.from.X*b.from.Y - a.from.Y*b.from.X) / 2
		if a.of >= 0 {
			bank += math.Hypot(a.from.X-b.from.X, a.from.Y-b.from.Y) * math.Sqrt(1+slopes[a.of]*slopes[a.of])
		}
	}
	return area, bank
}

// areaAt is the area that the wavefront encloses at a time.
func areaAt(s *Skeleton, t float64) (sum float64) {
	for _, r := range s.Rings {
		if t >= r.From && t < r.Until {
			a, b, c := r.Area()
			x := t - r.From
			sum += a + x*(b+x*c)
		}
	}
	return sum
}

// convex draws corners on an ellipse.
func convex(r *rand.Rand) (outline []Vec, slopes []float64) {
	n := 3 + r.IntN(9)
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.8*r.Float64()) / float64(n))
		outline, slopes = append(outline, Vec{60 * cos, 40 * sin}), append(slopes, plantest.Between(r, 0.5, 3.5))
	}
	return outline, slopes
}

// Within a convex outline a section is the common part of half planes, the time at a place
// that of the edge that reaches it first, and the bank and the content are the integrals of
// sides and sections.
func TestConvexFronts(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 40 {
		outline, slopes := convex(r)
		s, err := Follow(outline, slopes, 1000)
		require.NoError(t, err)
		last := s.Last()
		var bank, content float64
		for k := range 20 {
			from, to := last*float64(k)/20, last*float64(k+1)/20
			area, _ := common(outline, slopes, from)
			require.InDelta(t, area, areaAt(s, from), 1e-8)
			sides := quad.Fixed(func(x float64) float64 { _, b := common(outline, slopes, x); return b }, from, to, 12, quad.Legendre{}, 0)
			require.InDelta(t, sides, s.BankBetween(from, to), 0.02*sides+1e-6)
			bank += s.BankBetween(from, to)
			content += quad.Fixed(func(x float64) float64 { a, _ := common(outline, slopes, x); return a }, from, to, 12, quad.Legendre{}, 0)
		}
		require.InEpsilon(t, content, s.Volume(), 1e-4)
		require.InDelta(t, bank, s.BankBetween(-5, 2000), 1e-8*bank)
		require.Zero(t, s.BankBetween(last/2, last/2))
		require.Zero(t, s.BankBetween(last+1, last+2))
		// Cut off before it closes it is what it was up to there.
		half, err := Follow(outline, slopes, last/2)
		require.NoError(t, err)
		require.Equal(t, last/2, half.Last())
		require.InDelta(t, areaAt(s, last/4), areaAt(half, last/4), 1e-9)
		roof, low := NewRoof(s, false), NewRoof(half, false)
		for range 100 {
			p := Vec{plantest.Between(r, -65, 65), plantest.Between(r, -45, 45)}
			first, inside := math.Inf(1), true
			for i, a := range outline {
				b := outline[(i+1)%len(outline)]
				l := math.Hypot(b.X-a.X, b.Y-a.Y)
				d := ((b.X-a.X)*(p.Y-a.Y) - (b.Y-a.Y)*(p.X-a.X)) / l
				first, inside = min(first, d/slopes[i]), inside && d >= 0
			}
			if math.Abs(first) < 1e-6 {
				continue
			}
			got, within := roof.TimeAt(p)
			require.Equal(t, inside, within, "%v", p)
			require.InDelta(t, max(first, 0), got, 1e-8)
			got, within = low.TimeAt(p)
			require.Equal(t, inside, within, "%v", p)
			require.InDelta(t, min(max(first, 0), last/2), got, 1e-8)
		}
	}
}

// On plans of unit squares the front inward is the reach of a box, and outward the plan
// grown by the boxes of its squares.
func TestFrontsOfSquares(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 1))
	for range 40 {
		cells := plantest.RandomCells(r, 9, 120)
		plan, dirs := cells.Outline()
		var z [4]float64
		for i := range z {
			z[i] = plantest.Between(r, 0.4, 1.4)
			if r.IntN(3) == 0 {
				z[i] = 1
			}
		}
		slopes := make([]float64, len(plan))
		for i, d := range dirs {
			slopes[i] = z[d]
		}
		s, err := Follow(vecs(plan), slopes, 100)
		require.NoError(t, err)
		roof := NewRoof(s, false)
		for range 60 {
			x, y := plantest.Between(r, 0, 9), plantest.Between(r, 0, 9)
			got, within := roof.TimeAt(Vec{x, y})
			require.Equal(t, cells.Has(int(x), int(y)), within)
			if within {
				require.InDelta(t, cells.Reach(x, y, z, 100), got, 1e-5) // Reach halves 100 down to 6e-6
			}
		}
		back, backSlopes := Backward(vecs(plan), slopes)
		out, err := Follow(back, backSlopes, 2)
		require.NoError(t, err)
		ground := NewRoof(out, true)
		for range 10 {
			at := 2 * r.Float64()
			var boxes [][4]float64
			for u := range cells {
				for v := range cells {
					if x, y := float64(u), float64(v); cells[u][v] {
						boxes = append(boxes, [4]float64{x - at*z[3], x + 1 + at*z[1], y - at*z[0], y + 1 + at*z[2]})
					}
				}
			}
			require.InDelta(t, -plantest.Covered(boxes, -10, 20), areaAt(out, at), 1e-8)
			x, y := plantest.Between(r, -4, 13), plantest.Between(r, -4, 13)
			if passes, within := ground.TimeAt(Vec{x, y}); within {
				in := false
				for _, b := range boxes {
					in = in || x > b[0] && x < b[1] && y > b[2] && y < b[3]
				}
				if math.Abs(passes-at) > 1e-6 {
					require.Equal(t, passes < at, in)
				}
			}
		}
	}
}

// A star of uneven slopes: its sections shrink by their sides, its content is the sum of
// the times over its places, and a section lies where the roof has its time.
func TestFrontsOfStars(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	for range 30 {
		plan := plantest.Star(r, plane.Point{}, 50)
		slopes := make([]float64, len(plan))
		for i := range slopes {
			slopes[i] = plantest.Between(r, 0.5, 3)
		}
		s, err := Follow(vecs(plan), slopes, 100)
		if err != nil {
			require.ErrorAs(t, err, new(Stuck))
			continue
		}
		roof := NewRoof(s, false)
		low, high := plan.Bounds()
		const n = 70
		dx, dy := float64(high.X-low.X)/n, float64(high.Y-low.Y)/n
		var sum float64
		for i := range n {
			for j := range n {
				p := Vec{float64(low.X) + (float64(i)+0.5)*dx, float64(low.Y) + (float64(j)+0.5)*dy}
				got, within := roof.TimeAt(p)
				require.Equal(t, plan.Contains(plantest.Pt(p.X, p.Y)), within)
				if within {
					sum += got * dx * dy
				}
			}
		}
		require.InEpsilon(t, s.Volume(), sum, 5e-3)
		for _, ring := range s.Rings {
			dt := (ring.Until - ring.From) / 2
			for k := range ring.Edges {
				a, b := ring.Corner[k].Add(ring.Move[k], dt), ring.Corner[(k+1)%len(ring.Edges)].Add(ring.Move[(k+1)%len(ring.Edges)], dt)
				got, within := roof.TimeAt(a.Add(b.Add(a, -1), r.Float64()))
				require.True(t, within)
				require.InDelta(t, ring.From+dt, got, 1e-6)
			}
		}
	}
}

// Banks of 1:1 and 3:1 that come to lie in one line half way up cannot be followed on, and
// the error says from when.
func TestFollowStuck(t *testing.T) {
	notch := []Vec{{0, 0}, {20, 0}, {20, 10}, {12, 10}, {12, 9}, {8, 9}, {8, 10}, {0, 10}}
	outline, slopes := Backward(notch, []float64{1, 1, 1, 1, 3, 1, 1, 1})
	_, err := Follow(outline, slopes, 4)
	var at Stuck
	require.ErrorAs(t, err, &at)
	require.InDelta(t, 0.5, float64(at), 1e-9)
	require.Contains(t, err.Error(), "past 0.5")
	s, err := Follow(outline, slopes, 0.5)
	require.NoError(t, err)
	require.Equal(t, 0.5, s.Last())
	// With one slope the walls of the notch meet after 2 and are one side from then on.
	outline, slopes = Backward(notch, []float64{1, 1, 1, 1, 1, 1, 1, 1})
	s, err = Follow(outline, slopes, 4)
	require.NoError(t, err)
	require.Len(t, s.Rings, 2)
	require.InDelta(t, 2, s.Rings[0].Until, 1e-9)
	require.Len(t, s.Rings[1].Edges, 4)
	require.InDelta(t, -28*18, areaAt(s, 4-1e-12), 1e-6)
}

func TestVectors(t *testing.T) {
	a, b := Vec{3, 1}, Vec{-2, 5}
	require.Equal(t, Vec{-1, 11}, a.Add(b, 2))
	require.Equal(t, 17.0, a.Cross(b))
	require.InDelta(t, math.Sqrt(41), a.Dist(b), 1e-12)
	require.InDelta(t, math.Pi/2, Vec{1, 0}.Turn(Vec{0, 3}), 1e-12)
	require.InDelta(t, -math.Pi/4, Vec{0, 2}.Turn(Vec{1, 1}), 1e-12)
	require.InDelta(t, 5.0/4, Slant(0.75), 1e-12)
	plan := plane.Polygon{plantest.Pt(10, 20), plantest.Pt(14, 20), plantest.Pt(14, 28), plantest.Pt(12, 26), plantest.Pt(10, 28)}
	corners, middle := Vecs(plan)
	require.Equal(t, plantest.Pt(12, 24), middle)
	require.Equal(t, []Vec{{-2, -4}, {2, -4}, {2, 4}, {0, 2}, {-2, 4}}, corners)
	for i, want := range []float64{90, 90, 135, -90, 135} {
		require.InDelta(t, want, TurnAt(plan, i)*180/math.Pi, 1e-9)
	}
	back, slopes := Backward(corners, []float64{1, 2, 3, 4, 5})
	require.Equal(t, []Vec{{-2, 4}, {0, 2}, {2, 4}, {2, -4}, {-2, -4}}, back)
	require.Equal(t, []float64{4, 3, 2, 1, 5}, slopes)
}
