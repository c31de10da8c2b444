package sludge

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge/internal/fixtures"
	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// surveyAt makes a survey of direct thickness z at places.
func surveyAt(t testing.TB, boundary plane.Polygon, islands []plane.Polygon, places []mesh.XY, z func(i int) float64) *Survey {
	t.Helper()
	spec := SurveySpec{Boundary: boundary, Islands: islands, Outside: OutsideKeep, Duplicates: DuplicatesMean}
	for i, p := range places {
		spec.Soundings = append(spec.Soundings, core(p.X, p.Y, z(i)))
	}
	s, err := NewSurvey(context.Background(), spec)
	require.NoError(t, err)
	return s
}

func tinOf(t testing.TB, s *Survey, edge EdgeRule) *TIN {
	t.Helper()
	tin, err := NewTIN(context.Background(), s, TINSpec{Edge: edge})
	require.NoError(t, err)
	return tin
}

// star is a concave ring.
func star(cx, cy, r float64, corners int) plane.Polygon {
	var p plane.Polygon
	for i := range corners {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(corners))
		q := r * (1 - 0.4*float64(i%2))
		p = append(p, at(cx+q*c, cy+q*s))
	}
	return p
}

// Planes come out exactly: volume, values and split, for soundings that reach
// beyond a concave boundary with islands.
func TestTINPlane(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	boundary := star(50, 50, 45, 40)
	islands := []plane.Polygon{star(40, 50, 5, 8), rectangle(60, 55, 63, 59)}
	for _, n := range []int{10, 300, 5000} {
		places := xys(0, 0, 100, 0, 0, 100, 100, 100)
		for range n {
			places = append(places, mesh.XY{X: 100 * rng.Float64(), Y: 100 * rng.Float64()})
		}
		f := func(x, y float64) float64 { return 9 + 0.03*x - 0.05*y }
		s := surveyAt(t, boundary, islands, places, func(i int) float64 { return f(places[i].X, places[i].Y) })
		want, area := 0.0, 0.0
		for _, r := range s.rings {
			c := r.Centroid()
			want += float64(r.SignedArea()) * f(float64(c.X), float64(c.Y))
			area += float64(r.SignedArea())
		}
		for _, edge := range []EdgeRule{EdgeNearest, EdgeRefuse} {
			tin := tinOf(t, s, edge)
			v := tin.Volume()
			require.InEpsilon(t, area, float64(v.Area), 1e-12)
			require.InEpsilon(t, want, float64(v.Volume), 1e-12)
			split, err := tin.Split(8)
			require.NoError(t, err)
			require.InEpsilon(t, area, float64(split.AreaAbove+split.AreaBelow), 1e-12)
			require.InEpsilon(t, want-8*area, float64(split.Above-split.Below), 1e-9)
			for range 2000 {
				p := at(100*rng.Float64(), 100*rng.Float64())
				z, ok := tin.At(p)
				require.Equal(t, s.Contains(p), ok)
				if ok {
					require.InDelta(t, f(float64(p.X), float64(p.Y)), float64(z), 1e-10)
				}
			}
			for _, r := range s.rings {
				for i, c := range r {
					_, ok := tin.At(c)
					require.True(t, ok, "corner %d", i)
				}
			}
		}
	}
}

// The sides of the boundary and the islands are in the mesh, the triangles in the
// area add up to it, and every side that is not fixed is Delaunay.
func TestConstrained(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 1))
	for round := range 60 {
		boundary := star(0.5, 0.5, 0.48, 6+2*rng.IntN(30))
		islands := []plane.Polygon{star(0.5, 0.5, 0.08, 8)}
		var places []mesh.XY
		for range rng.IntN(400) + 1 {
			p := mesh.XY{X: rng.Float64(), Y: rng.Float64()}
			if round%2 == 0 { // ties, and places on straight edges
				p = mesh.XY{X: float64(rng.IntN(21)) / 20, Y: float64(rng.IntN(21)) / 20}
				boundary = plane.Polygon{at(0, 0), at(1, 0), at(1, 1), at(0.5, 0.25), at(0, 1)}
				islands = []plane.Polygon{rectangle(0.25, 0.125, 0.75, 0.1875)}
			}
			places = append(places, p)
		}
		s := surveyAt(t, boundary, islands, places, func(int) float64 { return 1 })
		tin := tinOf(t, s, EdgeZero)
		m := tin.mesh
		area := 0.0
		tin.each(func(a, b, c int32) { area += triangleArea(m.Pt[a], m.Pt[b], m.Pt[c]) })
		require.InEpsilon(t, float64(s.Area()), area, 1e-12)
		for i := range m.Corner {
			k := int32(i)
			require.Equal(t, 1, mesh.Orient(m.Pt[m.From(k)], m.Pt[m.To(k)], m.Pt[m.Apex(k)]))
			w := m.Twin[k]
			if w == mesh.None {
				continue
			}
			require.Equal(t, k, m.Twin[w])
			require.Equal(t, m.Fixed(k), m.Fixed(w))
			if m.Fixed(k) {
				continue
			}
			require.Equal(t, tin.in[k/3], tin.in[w/3], "the area changes at fixed sides only")
			require.False(t, mesh.InCircle(m.Pt[m.From(k)], m.Pt[m.To(k)], m.Pt[m.Apex(k)], m.Pt[m.Apex(w)]))
		}
	}
}

func TestTINEdgeRules(t *testing.T) {
	s := surveyAt(t, rectangle(0, 0, 4, 4), nil, xys(1, 1, 3, 1, 3, 3, 1, 3), func(int) float64 { return 2 })
	v := tinOf(t, s, EdgeNearest).Volume()
	require.InDelta(t, 32, float64(v.Volume), 1e-12)
	require.InDelta(t, 12, float64(v.AreaByRule), 1e-12)
	v = tinOf(t, s, EdgeZero).Volume()
	require.InDelta(t, 2*(16+4+8)/3.0, float64(v.Volume), 1e-12, "a frustum with planes on the sides")
	_, err := NewTIN(context.Background(), s, TINSpec{Edge: EdgeRefuse})
	require.Len(t, units.FieldErrors(err), 4)
	require.ErrorContains(t, err, "boundary[3]")
	s = surveyAt(t, plane.Polygon{at(0, 0), at(0, 4), at(3, 3), at(3, 1)}, nil, xys(1, 1, 3, 1, 3, 3, 1, 3), func(int) float64 { return 2 })
	_, err = NewTIN(context.Background(), s, TINSpec{Edge: EdgeRefuse})
	require.ErrorContains(t, err, "boundary[0]")
	require.ErrorContains(t, err, "boundary[1]: (0 ft, 13.12 ft)", "clockwise boundary")
	for _, spec := range []TINSpec{{}, {Edge: 9}, {Edge: EdgeZero, Workers: -1}} {
		_, err = NewTIN(context.Background(), s, spec)
		require.Error(t, err)
	}
	_, err = NewTIN(context.Background(), nil, TINSpec{Edge: EdgeZero})
	require.Error(t, err)
	_, err = tinOf(t, s, EdgeZero).Split(units.Length(math.NaN()))
	require.Error(t, err)

	// One sounding, and soundings on a line, are enough with a boundary.
	for _, places := range [][]mesh.XY{xys(1, 1), xys(1, 1, 2, 2, 3, 3)} {
		s := surveyAt(t, rectangle(0, 0, 4, 4), nil, places, func(int) float64 { return 3 })
		require.InDelta(t, 48, float64(tinOf(t, s, EdgeNearest).Volume().Volume), 1e-12)
	}
}

func TestSplitTriangle(t *testing.T) {
	for _, c := range []struct {
		h          [3]float64
		mean, part float64
	}{
		{[3]float64{1, 2, 3}, 2, 1}, {[3]float64{-1, -2, -3}, 0, 0}, {[3]float64{0, 0, 0}, 0, 0},
		{[3]float64{0, 0, 3}, 1, 1}, {[3]float64{-1, -1, 1}, 1.0 / 12, 0.25}, {[3]float64{-1, 1, 1}, 1.0/3 + 1.0/12, 0.75},
		{[3]float64{-1, 0, 1}, 1.0 / 6, 0.5},
	} {
		mean, part := aboveZero(c.h)
		require.InDelta(t, c.mean, mean, 1e-15, "%v", c.h)
		require.InDelta(t, c.part, part, 1e-15, "%v", c.h)
	}
}

// TestTINTriangles: the triangles that a TIN gives add up to its area and volume.
func TestTINTriangles(t *testing.T) {
	s := surveyOf(t, fixtures.Edge(), rounded(200))
	tin := tinOf(t, s, EdgeNearest)
	var area, volume float64
	for i := range tin.Len() {
		c, z := tin.Triangle(i)
		a := float64(plane.Polygon(c[:]).SignedArea())
		require.Positive(t, a)
		area += a
		volume += a * float64(z[0]+z[1]+z[2]) / 3
	}
	v := tin.Volume()
	require.Equal(t, v.Triangles, tin.Len())
	require.InEpsilon(t, float64(v.Area), area, 1e-12)
	require.InEpsilon(t, float64(v.Volume), volume, 1e-12)
	require.Zero(t, new(TIN).Len())
}
