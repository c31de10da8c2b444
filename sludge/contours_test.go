package sludge

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// checkContours holds contours to what they promise: areas that add up, bands
// whose regions are simple rings of the right direction with holes inside, and
// lines on which the surface has the level.
func checkContours(t *testing.T, s *Survey, c *Contours, value func(p plane.Point) float64, tol float64) {
	t.Helper()
	require.Len(t, c.Bands, len(c.Levels)+1)
	total := 0.0
	for _, b := range c.Bands {
		area := 0.0
		for _, r := range b.Regions {
			require.Greater(t, float64(r.Outer.SignedArea()), 0.0)
			area += float64(r.Outer.SignedArea())
			for _, h := range r.Holes {
				require.Less(t, float64(h.SignedArea()), 0.0)
				require.True(t, r.Outer.Contains(middle(h)))
				area += float64(h.SignedArea())
			}
			for _, other := range b.Regions { // the least outer ring around a hole is its own
				for _, h := range other.Holes {
					if r.Outer.Area() < other.Outer.Area() {
						require.False(t, r.Outer.Contains(middle(h)))
					}
				}
			}
		}
		require.InDelta(t, area, float64(b.Area), 1e-9*float64(s.Area()))
		total += float64(b.Area)
	}
	require.InEpsilon(t, float64(s.Area()), total, 1e-11)
	for _, l := range c.Lines {
		for _, p := range l.Points {
			require.InDelta(t, float64(l.Level), value(p), tol)
		}
	}
}

// A closed line ends where it began, an open one does not.
func TestContourSeries(t *testing.T) {
	l := ContourLine{Points: []plane.Point{{X: 1, Y: 2}, {X: 3, Y: 4}}}
	require.Equal(t, units.Series{{100, 200}, {300, 400}}, l.Series(units.Centimetre))
	l.Closed = true
	s := l.Series(units.Metre)
	require.Equal(t, 3, s.Len())
	x, y := s.XY(2)
	require.Equal(t, []float64{1, 2}, []float64{x, y})
	require.Zero(t, ContourLine{Closed: true}.Series(units.Metre).Len())
}

func TestTINContours(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for round := range 20 {
		var places []mesh.XY
		for range 5 + rng.IntN(300) {
			places = append(places, mesh.XY{X: 20 * rng.Float64(), Y: 20 * rng.Float64()})
		}
		s := surveyAt(t, star(10, 10, 9.5, 12), []plane.Polygon{rectangle(8, 8, 11, 9)}, places, func(int) float64 {
			if round%2 == 0 {
				return float64(rng.IntN(5)) // many corners at a level
			}
			return 4 * rng.Float64()
		})
		tin := tinOf(t, s, []EdgeRule{EdgeZero, EdgeNearest}[round/2%2])
		c, err := tin.Contours(context.Background(), []units.Length{1, 2, 3})
		require.NoError(t, err)
		checkContours(t, s, c, func(p plane.Point) float64 {
			z, ok := tin.At(p)
			if !ok { // rounded off the edge
				z, ok = tin.At(at(float64(p.X)+1e-9*(10-float64(p.X)), float64(p.Y)+1e-9*(10-float64(p.Y))))
			}
			if !ok { // at a reentrant corner or the island: not worth a search
				for _, l := range c.Lines {
					for _, q := range l.Points {
						if q == p {
							return float64(l.Level)
						}
					}
				}
			}
			return float64(z)
		}, 1e-4) // rounding may cross into a sliver with a steep slope
		for _, level := range c.Levels {
			if round%2 == 0 {
				continue // flat triangles at a level belong to the band above and to the split's lower side
			}
			split, err := tin.Split(level)
			require.NoError(t, err)
			above := 0.0
			for _, b := range c.Bands {
				if b.Low >= level {
					above += float64(b.Area)
				}
			}
			require.InDelta(t, float64(split.AreaAbove), above, 1e-9, "a band holds what the split does")
		}
	}
}

// middle returns the middle of the longest side of a ring: a hole may touch its
// outer ring at corners, but not there.
func middle(ring plane.Polygon) plane.Point {
	var p plane.Point
	var most units.Length
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if d := a.Distance(b); d > most {
			most, p = d, plane.Point{X: a.X + (b.X-a.X)/2, Y: a.Y + (b.Y-a.Y)/2}
		}
	}
	return p
}

// bump is a surface with two hills and a basin between them.
func bump(p plane.Point) float64 {
	x, y := float64(p.X)-10, float64(p.Y)-10
	return 3*math.Exp(-((x-4)*(x-4)+y*y)/8) + 2.5*math.Exp(-((x+4)*(x+4)+y*y)/8) - math.Exp(-(x*x+y*y)/3)
}

func TestSurfaceContours(t *testing.T) {
	surface := SurfaceFunc(func(p plane.Point) (units.Length, bool) { return units.Length(bump(p)), true })
	for _, boundary := range []plane.Polygon{rectangle(0, 0, 20, 20), star(10, 10, 9.5, 14), {at(0, 0), at(20, 3), at(11, 19)}} {
		for _, spacing := range []units.Length{0.2, 0.7, 1, 5, 30} {
			s := surveyAt(t, boundary, []plane.Polygon{rectangle(9, 9, 10.1, 10.3)}, xys(1, 1), func(int) float64 { return 1 })
			c, err := SurfaceContours(context.Background(), s, surface, ContourSpec{Levels: []units.Length{-0.5, 0.5, 1, 2}, Spacing: spacing})
			require.NoError(t, err)
			checkContours(t, s, c, bump, 1.5*float64(spacing*spacing))
			if spacing < 1 && len(boundary) == 4 {
				require.Len(t, c.Bands[3].Regions, 2, "two hills between 1 and 2")
				require.Len(t, c.Bands[4].Regions, 2, "two tops")
				for _, r := range c.Bands[3].Regions {
					require.Len(t, r.Holes, 1, "each hill has its top as a hole")
				}
			}
		}
	}
}

// A TIN is a surface too: its contours on a fine lattice come close to its own.
func TestSurfaceContoursOfTIN(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	var places []mesh.XY
	for range 60 {
		places = append(places, mesh.XY{X: 20 * rng.Float64(), Y: 20 * rng.Float64()})
	}
	s := surveyAt(t, star(10, 10, 9.5, 12), []plane.Polygon{star(11, 9, 2, 8)}, places, func(i int) float64 { return 1 + math.Sin(places[i].X/3) })
	tin := tinOf(t, s, EdgeNearest)
	exact, err := tin.Contours(context.Background(), []units.Length{0.8, 1.5})
	require.NoError(t, err)
	near, err := SurfaceContours(context.Background(), s, tin, ContourSpec{[]units.Length{0.8, 1.5}, 0.1})
	require.NoError(t, err)
	for k := range exact.Bands {
		require.InDelta(t, float64(exact.Bands[k].Area), float64(near.Bands[k].Area), 1)
	}
}

// The rule for saddles: a mean of the corners at the level or above joins the high
// corners, a lower one the low corners.
func TestSaddle(t *testing.T) {
	for _, c := range []struct {
		z       [4]float64
		regions [2]int // below the level, at it or above
	}{
		{[4]float64{1, 0, 1, 0.2}, [2]int{2, 1}},
		{[4]float64{0, 1, 0.2, 1}, [2]int{2, 1}},
		{[4]float64{0.8, 0, 1, 0}, [2]int{1, 2}},
		{[4]float64{0, 0.8, 0, 1}, [2]int{1, 2}},
		{[4]float64{1, 0, 1, 0}, [2]int{2, 1}},
	} {
		square := cells{pt: xys(0, 0, 1, 0, 1, 1, 0, 1), z: c.z[:], count: 1,
			cell: func(int) []int32 { return []int32{0, 1, 2, 3} }, edge: [][2]int32{{0, 1}, {1, 2}, {2, 3}, {3, 0}}}
		got, err := square.contours(context.Background(), []units.Length{0.5})
		require.NoError(t, err)
		require.Len(t, got.Bands[0].Regions, c.regions[0], "%v", c.z)
		require.Len(t, got.Bands[1].Regions, c.regions[1], "%v", c.z)
		require.InDelta(t, 1, float64(got.Bands[0].Area+got.Bands[1].Area), 1e-15)
		require.Len(t, got.Lines, 2)
	}
}

func TestContourFaults(t *testing.T) {
	s := surveyAt(t, rectangle(0, 0, 4, 4), nil, xys(1, 1), func(int) float64 { return 1 })
	tin := tinOf(t, s, EdgeZero)
	for _, levels := range [][]units.Length{nil, {1, 1}, {2, 1}, {units.Length(math.NaN())}, make([]units.Length, 2000)} {
		_, err := tin.Contours(context.Background(), levels)
		require.NotEmpty(t, units.FieldErrors(err))
		_, err = SurfaceContours(context.Background(), s, tin, ContourSpec{levels, 1})
		require.NotEmpty(t, units.FieldErrors(err))
	}
	for _, spacing := range []units.Length{0, -1, 1e-9} {
		_, err := SurfaceContours(context.Background(), s, tin, ContourSpec{[]units.Length{1}, spacing})
		require.Error(t, err)
	}
	_, err := SurfaceContours(context.Background(), nil, nil, ContourSpec{})
	require.Len(t, units.FieldErrors(err), 3)
	_, err = SurfaceContours(context.Background(), s, SurfaceFunc(func(p plane.Point) (units.Length, bool) { return 0, p.X < 2 }), ContourSpec{[]units.Length{1}, 1})
	require.ErrorContains(t, err, "surface")
	c, err := tin.Contours(context.Background(), []units.Length{50})
	require.NoError(t, err)
	require.Empty(t, c.Bands[1].Regions)
	require.Empty(t, c.Lines)
}

// The bands at both ends reach as far as the surface, or to the level that it does not
// reach, and a line of two points is one.
func TestContourEnds(t *testing.T) {
	s := surveyAt(t, rectangle(0, 0, 10, 10), nil, xys(0, 0, 10, 0, 0, 10, 10, 10), func(i int) float64 { return []float64{1, 5, 1, 5}[i] })
	tin := tinOf(t, s, EdgeNearest)
	for _, c := range []struct{ levels, lows, highs []units.Length }{
		{[]units.Length{2, 4}, []units.Length{1, 2, 4}, []units.Length{2, 4, 5}},
		{[]units.Length{0.5, 7}, []units.Length{0.5, 0.5, 7}, []units.Length{0.5, 7, 7}},
		{[]units.Length{6}, []units.Length{1, 6}, []units.Length{6, 6}},
	} {
		got, err := tin.Contours(t.Context(), c.levels)
		require.NoError(t, err)
		for k, b := range got.Bands {
			require.Equal(t, c.lows[k], b.Low, "%v", c.levels)
			require.Equal(t, c.highs[k], b.High, "%v", c.levels)
		}
	}
	triangle := cells{pt: xys(0, 0, 4, 0, 0, 4), z: []float64{0, 4, 0}, count: 1,
		cell: func(int) []int32 { return []int32{0, 1, 2} }, edge: [][2]int32{{0, 1}, {1, 2}, {2, 0}}}
	got, err := triangle.contours(t.Context(), []units.Length{1, 3})
	require.NoError(t, err)
	require.Len(t, got.Lines, 2)
	require.Equal(t, []plane.Point{at(1, 3), at(1, 0)}, got.Lines[0].Points, "the thicker side on the left")
	require.InDeltaSlice(t, []float64{3.5, 4, 0.5}, []float64{float64(got.Bands[0].Area), float64(got.Bands[1].Area), float64(got.Bands[2].Area)}, 1e-12)
}

// The squares of a quilt are those of the lattice that lie in the area with no ring touching
// them, and with the triangles between them and the edge they fill the area.
func TestQuiltSquares(t *testing.T) {
	touches := func(a, b mesh.XY, x0, y0, x1, y1 float64) bool { // whether a side meets a square, by clipping it
		t0, t1 := 0.0, 1.0
		for _, c := range [4][2]float64{{a.X - b.X, a.X - x0}, {b.X - a.X, x1 - a.X}, {a.Y - b.Y, a.Y - y0}, {b.Y - a.Y, y1 - a.Y}} {
			switch p, q := c[0], c[1]; {
			case p == 0 && q < 0:
				return false
			case p < 0:
				t0 = max(t0, q/p)
			case p > 0:
				t1 = min(t1, q/p)
			}
		}
		return t0 <= t1
	}
	for _, boundary := range []plane.Polygon{rectangle(0, 0, 20, 20), star(10, 10, 9.5, 14), {at(0, 0), at(20, 3), at(11, 19)}} {
		s := surveyAt(t, boundary, []plane.Polygon{rectangle(9, 9, 10.1, 11)}, xys(1, 1), func(int) float64 { return 1 })
		var f units.Faults
		for _, spacing := range []units.Length{0.5, 1, 2.3} {
			l, ok := s.lattice("spacing", spacing, maxSquares, &f)
			require.True(t, ok)
			q, err := newQuilt(t.Context(), s, l)
			require.NoError(t, err)
			whole := map[[2]float64]bool{}
			for r := range l.Rows {
				for c := range l.Cols {
					x0, y0, x1, y1 := l.X(c), l.Y(r), l.X(c+1), l.Y(r+1)
					free := s.Contains(at((x0+x1)/2, (y0+y1)/2))
					for _, ring := range s.rings {
						for i, p := range ring {
							free = free && !touches(mesh.Of(p), mesh.Of(ring[(i+1)%len(ring)]), x0-1e-9, y0-1e-9, x1+1e-9, y1+1e-9)
						}
					}
					if free {
						whole[[2]float64{x0, y0}] = true
					}
				}
			}
			require.Len(t, q.squares, len(whole), "%v", spacing)
			area := 0.0
			for _, sq := range q.squares {
				a, b, c, d := q.places[sq[0]], q.places[sq[1]], q.places[sq[2]], q.places[sq[3]]
				require.True(t, whole[[2]float64{a.X, a.Y}])
				require.True(t, a.Y == b.Y && b.X == c.X && c.Y == d.Y && d.X == a.X)
				area += (b.X - a.X) * (c.Y - b.Y)
			}
			m := q.mesh
			for i, in := range q.in {
				if in {
					area += triangleArea(m.Pt[m.Corner[3*i]], m.Pt[m.Corner[3*i+1]], m.Pt[m.Corner[3*i+2]])
				}
			}
			require.InDelta(t, s.area, area, 1e-9)
		}
	}
}
