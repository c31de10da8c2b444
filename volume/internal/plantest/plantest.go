package plantest

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// Pt returns a place in metres.
func Pt(x, y float64) plane.Point { return plane.Point{X: units.Length(x), Y: units.Length(y)} }

// Between draws a number from lo to hi.
func Between(r *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }

// Star is a simple polygon around a place, in general not convex.
func Star(r *rand.Rand, at plane.Point, max float64) plane.Polygon {
	n := 3 + r.IntN(9)
	p := make(plane.Polygon, n)
	for k := range p {
		s, c := math.Sincos(2 * math.Pi * (float64(k) + 0.8*r.Float64()) / float64(n))
		d := max * (0.3 + 0.7*r.Float64())
		p[k] = plane.Point{X: at.X + units.Length(d*c), Y: at.Y + units.Length(d*s)}
	}
	return p
}

// OffsetArea is the area of p with every side moved outward by d, from the
// intersections of the moved sides.
func OffsetArea(p plane.Polygon, d float64) float64 {
	n := len(p)
	moved := make(plane.Polygon, n)
	line := func(i int) (x, y, dx, dy float64) {
		a, e := p[i%n], p[(i+1)%n].Sub(p[i%n])
		l := math.Hypot(float64(e.X), float64(e.Y))
		dx, dy = float64(e.X)/l, float64(e.Y)/l
		return float64(a.X) + d*dy, float64(a.Y) - d*dx, dx, dy
	}
	for i := range n {
		ax, ay, adx, ady := line(i + n - 1)
		bx, by, bdx, bdy := line(i)
		t := ((bx-ax)*bdy - (by-ay)*bdx) / (adx*bdy - ady*bdx)
		moved[i] = plane.Point{X: units.Length(ax + t*adx), Y: units.Length(ay + t*ady)}
	}
	return moved.Area().SI()
}

// RequireFields asserts that err consists of faults at exactly these fields.
func RequireFields(t *testing.T, err error, fields ...string) {
	t.Helper()
	var got []string
	for _, e := range units.FieldErrors(err) {
		got = append(got, e.Field)
	}
	if !slices.Equal(fields, got) {
		t.Fatalf("faults at %q, want %q: %v", got, fields, err)
	}
}

// Must fails the test when a computation that has to work does not.
func Must[T any](t *testing.T) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}
