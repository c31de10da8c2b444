package plane

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

func point(x, y float64) Point { return Point{units.Length(x), units.Length(y)} }

// meetsSomewhere compares all pairs of sides.
func meetsSomewhere(rings []Polygon) bool {
	var sides []edge
	for r, ring := range rings {
		for i := range ring {
			sides = append(sides, edge{int32(r), int32(i)})
		}
	}
	for i, e := range sides {
		for _, g := range sides[:i] {
			p, q := rings[e.ring], rings[g.ring]
			a, b := p[e.start], p[(int(e.start)+1)%len(p)]
			c, d := q[g.start], q[(int(g.start)+1)%len(q)]
			if e.ring == g.ring && (d == a || b == c) {
				if d == a && b == c || d == a && Orient(c, d, b) == 0 && before(c, d) == before(b, d) || b == c && Orient(a, b, d) == 0 && before(a, b) == before(d, b) {
					return true
				}
				continue
			}
			if Meet(a, b, c, d) {
				return true
			}
		}
	}
	return false
}

// The sweep is held against all pairs, on a lattice where ties abound and off it.
func TestSweepAgainstAllPairs(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	met := 0
	for round := range 5000 {
		var rings []Polygon
		for range 1 + rng.IntN(3) {
			var p Polygon
			for range 3 + rng.IntN(3) {
				c := point(float64(rng.IntN(9)), float64(rng.IntN(9)))
				if round%3 == 0 {
					c = point(rng.Float64(), rng.Float64())
				}
				if len(p) == 0 || c != p[len(p)-1] {
					p = append(p, c)
				}
			}
			if len(p) >= 3 && p[0] != p[len(p)-1] {
				rings = append(rings, p)
			}
		}
		s := newSweep(rings, 20)
		s.run(func(int32, int32) {})
		want := meetsSomewhere(rings)
		require.Equal(t, want, len(s.found) > 0, "%v", rings)
		if want {
			met++
		}
	}
	require.Greater(t, met, 500)
	require.Less(t, met, 4900)
}

// Steps grow as n log n: twice the corners take less than 2.5 times the steps.
func TestSweepSteps(t *testing.T) {
	shapes := map[string]func(n int) []Polygon{
		"circle": func(n int) []Polygon {
			var p Polygon
			for i := range n {
				sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
				p = append(p, point(cos, sin))
			}
			return []Polygon{p}
		},
		"upright comb": func(n int) []Polygon {
			p := Polygon{point(-1, -1)}
			for i := range n / 2 {
				p = append(p, point(float64(i), 0), point(float64(i)+0.5, 1e5))
			}
			return []Polygon{append(p, point(float64(n), -1))}
		},
		"lying comb": func(n int) []Polygon {
			p := Polygon{point(-1, -1)}
			for i := range n / 2 {
				p = append(p, point(0, float64(i)), point(1e5, float64(i)+0.5))
			}
			return []Polygon{append(p, point(-1, float64(n)))}
		},
		"islands": func(n int) []Polygon {
			side := int(math.Sqrt(float64(n) / 4))
			rings := []Polygon{{point(-1, -1), point(float64(side), -1), point(float64(side), float64(side)), point(-1, float64(side))}}
			for i := range side * side {
				x, y := float64(i%side), float64(i/side)
				rings = append(rings, Polygon{point(x, y), point(x+0.5, y), point(x+0.5, y+0.5), point(x, y+0.5)})
			}
			return rings
		},
	}
	for name, shape := range shapes {
		var steps [2]int
		for k, n := range []int{16000, 32000} {
			rings := shape(n)
			s := newSweep(rings, 20)
			s.run(func(int32, int32) {})
			require.Empty(t, s.found, name)
			steps[k] = s.steps
			_, err := CheckRegion(rings[0], rings[1:])
			require.NoError(t, err, name)
		}
		require.Less(t, float64(steps[1]), 2.5*float64(steps[0]), name)
		require.Less(t, float64(steps[1]), 32000*8*math.Log2(32000), name)
	}
}

func TestCheckRegion(t *testing.T) {
	square := func(x, y, side float64) Polygon {
		return Polygon{point(x, y), point(x+side, y), point(x+side, y+side), point(x, y+side)}
	}
	fields := func(boundary Polygon, islands ...Polygon) (list []string) {
		_, err := CheckRegion(boundary, islands)
		_, again := CheckRegion(boundary.Reversed(), islands)
		for i, p := range islands {
			islands[i] = p.Reversed()
		}
		_, turned := CheckRegion(boundary, islands)
		require.Equal(t, len(units.FieldErrors(err)), len(units.FieldErrors(again)))
		require.Equal(t, len(units.FieldErrors(err)), len(units.FieldErrors(turned)))
		for _, e := range units.FieldErrors(err) {
			list = append(list, e.Field)
		}
		return list
	}
	box := square(0, 0, 10)
	area, err := CheckRegion(box, []Polygon{square(1, 1, 2).Reversed(), square(5, 5, 1)})
	require.NoError(t, err)
	require.Equal(t, units.Area(95), area)
	require.Empty(t, fields(box, square(1, 1, 2), square(4, 1, 2), square(4, 4, 2)))
	require.Equal(t, []string{"islands[0]"}, fields(box, square(20, 1, 2)))
	require.Equal(t, []string{"islands[0]"}, fields(box, square(-20, 1, 2)))
	require.Equal(t, []string{"islands[0]"}, fields(box, square(5, 20, 2)), "above the boundary")
	require.Equal(t, []string{"islands[1]"}, fields(box, square(1, 1, 5), square(2, 2, 1)))
	require.Contains(t, fields(square(2, 2, 1), square(1, 1, 5)), "islands[0]", "around the boundary")
	require.NotEmpty(t, fields(box, square(0, 1, 2)), "touches the boundary")
	require.NotEmpty(t, fields(box, square(1, 1, 2), square(3, 3, 2)), "corner to corner")
	require.NotEmpty(t, fields(box, square(1, 1, 2), square(2, 2, 2)))
	require.Equal(t, []string{"islands[1]"}, fields(box, square(5, 5, 1), nil))

	// Thousands that overlap make no thousands of messages.
	var many []Polygon
	for i := range 2000 {
		many = append(many, square(1+float64(i)*1e-3, 1+float64(i)*1e-3, 3))
	}
	_, err = CheckRegion(box, many)
	require.Len(t, units.FieldErrors(err), 20)
	require.Less(t, len(err.Error()), 4000)
}

// What the sweep says of points is what Contains says of each, corners, edges and
// islands among them.
func TestInside(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	var boundary, island Polygon
	for i := range 400 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 400)
		r := 3 + float64(i%2)
		boundary = append(boundary, point(r*cos, r*sin))
		island = append(island, point(cos, sin))
	}
	points := slices.Concat(boundary, island, Polygon{point(0, 0), point(9, 9), point(math.NaN(), 0), point(0, math.Inf(1))})
	for i, c := range boundary[:100] {
		points = append(points, Point{(c.X + boundary[i+1].X) / 2, (c.Y + boundary[i+1].Y) / 2})
	}
	for range 3000 {
		points = append(points, point(10*rng.Float64()-5, 10*rng.Float64()-5))
	}
	for _, ring := range []Polygon{boundary, boundary.Reversed()} {
		got := Inside(ring, []Polygon{island}, points)
		for i, q := range points {
			on := slices.Contains(boundary, q) || slices.Contains(island, q)
			want := on || boundary.Contains(q) && !island.Contains(q)
			if i >= 804 && i < 904 {
				continue // between corners: rounding decides
			}
			require.Equal(t, want, got[i], "%v", q)
		}
	}
	square := Polygon{point(0, 0), point(4, 0), point(4, 4), point(0, 4)}
	hole := Polygon{point(1, 1), point(2, 1), point(2, 2), point(1, 2)}
	require.Equal(t, []bool{true, true, false, false, true}, Inside(square, []Polygon{hole}, []Point{point(0, 2), point(1, 1.5), point(1.5, 1.5), point(5, 5), point(3, 3)}))
}

func TestMeetExactly(t *testing.T) {
	// On a line through (0.1, 0.1) no product of float64 is exact.
	a, b := point(0.1, 0.1), point(0.7, 0.7)
	require.True(t, Meet(a, b, point(0.3, 0.3), point(5, 0)))
	require.Zero(t, Orient(a, b, point(0.3, 0.3)))
	require.Equal(t, 1, Orient(a, b, point(0.3, math.Nextafter(0.3, 1))))
	require.Equal(t, -1, Orient(a, b, point(0.3, math.Nextafter(0.3, 0))))
	require.False(t, Meet(a, b, point(0.3, math.Nextafter(0.3, 1)), point(0, 5)))
	list := []Point{a, b, point(1e-310, 3), point(-2, 1e100)}
	for _, p := range list {
		require.Zero(t, Orient(p, p, a))
	}
	require.True(t, slices.Contains(list, a))
}

func BenchmarkPolygonCheck(b *testing.B) {
	for _, n := range []int{100, 100000} {
		var p Polygon
		for i := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			p = append(p, point(cos, sin))
		}
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				if err := p.Check(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
