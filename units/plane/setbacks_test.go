package plane

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

func square(x, y, side units.Length) Polygon {
	return Polygon{{x, y}, {x + side, y}, {x + side, y + side}, {x, y + side}}
}

// By hand, on a square of 100 m.
func TestSetbacksByHand(t *testing.T) {
	field := []Region{{Outer: square(0, 0, 100)}}
	at := func(x, y units.Length) []Point { return []Point{{x, y}} }
	for _, c := range []struct {
		name  string
		areas []Region
		list  []Setback
		off   float64
	}{
		{"none", field, nil, 0},
		{"a well inside", field, []Setback{{Points: at(50, 50), Distance: 20}}, math.Pi * 400},
		{"a well at a corner", field, []Setback{{Points: at(0, 0), Distance: 20}}, math.Pi * 100},
		{"a well on a side", field, []Setback{{Points: at(0, 50), Distance: 20}}, math.Pi * 200},
		{"far away", field, []Setback{{Points: at(500, 500), Distance: 20}}, 0},
		{"touching from outside", field, []Setback{{Points: at(-20, 50), Distance: 20}}, 0},
		{"the whole field", field, []Setback{{Points: at(50, 50), Distance: 200}}, 10_000},
		{"twice the same well", field, []Setback{{Points: at(50, 50), Distance: 20}, {Points: at(50, 50), Distance: 20}}, math.Pi * 400},
		{"a stream along a side", field, []Setback{{Points: []Point{{0, 0}, {100, 0}}, Distance: 10}}, 1000},
		{"a stream through it", field, []Setback{{Points: []Point{{50, -50}, {50, 50}, {50, 150}}, Distance: 10}}, 2000},
		{"a slanting stream through it", field, []Setback{{Points: []Point{{-100, -100}, {200, 200}}, Distance: 5 * math.Sqrt2}}, 10_000 - 90*90},
		{"a ditch that ends", field, []Setback{{Points: []Point{{20, 50}, {80, 50}, {80, 50}}, Distance: 10}}, 1200 + math.Pi*100},
		{"a pond", field, []Setback{{Points: square(40, 40, 20), Closed: true, Distance: 10}}, 400 + 800 + math.Pi*100},
		{"a house without distance", field, []Setback{{Points: square(40, 40, 20), Closed: true}}, 400},
		{"a house over the edge", field, []Setback{{Points: square(90, 90, 20), Closed: true}}, 100},
		// Two circles of radius r at the distance r have 2 pi/3 - sqrt(3)/2 in common.
		{"two wells", field, []Setback{{Points: at(40, 50), Distance: 20}, {Points: at(60, 50), Distance: 20}}, 800*math.Pi - 400*(2*math.Pi/3-math.Sqrt(3)/2)},
		{"around a hole", []Region{{Outer: square(0, 0, 100), Holes: []Polygon{square(40, 40, 20).Reversed()}}}, []Setback{{Points: at(50, 50), Distance: 30}}, math.Pi*900 - 400},
		{"two parts", []Region{{Outer: square(0, 0, 100)}, {Outer: square(100, 0, 100)}}, []Setback{{Points: at(100, 50), Distance: 20}}, math.Pi * 400},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, turn := range []float64{0, 0.3, math.Pi / 2} { // the answer does not turn
				spec := SetbacksSpec{Areas: turned(c.areas, turn), Tolerance: 0.01}
				for _, s := range c.list {
					s.Points = turnedRing(s.Points, turn)
					spec.Setbacks = append(spec.Setbacks, s)
				}
				r, err := Setbacks(spec)
				require.NoError(t, err)
				require.InDelta(t, c.off, float64(r.Off), 1e-6)
				require.InDelta(t, float64(r.Whole), float64(r.Off+r.Left), 1e-6)
				sums(t, &spec, &r)
			}
		})
	}
}

func turnedRing(ring []Point, angle float64) []Point {
	sin, cos := math.Sincos(angle)
	out := make([]Point, len(ring))
	for i, p := range ring {
		x, y := float64(p.X), float64(p.Y)
		out[i] = Point{units.Length(x*cos - y*sin), units.Length(x*sin + y*cos)}
	}
	return out
}

func turned(areas []Region, angle float64) []Region {
	var out []Region
	for _, a := range areas {
		b := Region{Outer: turnedRing(a.Outer, angle)}
		for _, h := range a.Holes {
			b.Holes = append(b.Holes, turnedRing(h, angle))
		}
		out = append(out, b)
	}
	return out
}

// sums holds the regions of an answer to its areas: chords are off by no more than the
// tolerance along the arcs.
func sums(t *testing.T, spec *SetbacksSpec, r *SetbacksResult) {
	t.Helper()
	var arcs float64
	for _, s := range spec.Setbacks {
		arcs += 2 * math.Pi * float64(s.Distance) * float64(len(s.Points))
	}
	for _, x := range []struct {
		list []Region
		want units.Area
	}{{r.Kept, r.Left}, {r.Taken, r.Off}} {
		var sum units.Area
		for _, p := range x.list {
			sum += p.Area()
			require.Positive(t, p.Outer.SignedArea())
			for _, h := range p.Holes {
				require.Negative(t, h.SignedArea())
			}
		}
		require.InDelta(t, float64(x.want), float64(sum), 1e-3+arcs*float64(spec.Tolerance))
	}
}

// away is the distance of a place to a setback's points.
func away(q Point, s *Setback) float64 {
	if s.Closed && Polygon(s.Points).Contains(q) {
		return 0
	}
	least := math.Inf(1)
	for i, a := range s.Points {
		if i+1 == len(s.Points) && !s.Closed {
			least = min(least, float64(q.Distance(a)))
			break
		}
		b := s.Points[(i+1)%len(s.Points)]
		u, v := b.Sub(a), q.Sub(a)
		t := 0.0
		if l := float64(u.X*u.X + u.Y*u.Y); l > 0 {
			t = min(1, max(0, float64(u.X*v.X+u.Y*v.Y)/l))
		}
		least = min(least, float64(q.Distance(a.Toward(b, t))))
	}
	return least
}

// star is a ring around a place.
func star(r *rand.Rand, x, y, size float64, n int) Polygon {
	var p Polygon
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.8*r.Float64()) / float64(n))
		s := size * (0.4 + 0.6*r.Float64())
		p = append(p, Point{units.Length(x + s*cos), units.Length(y + s*sin)})
	}
	return p
}

// drawnSetbacks is a field of a star with a hole, and features of all kinds on it, some
// of them degenerate.
func drawnSetbacks(r *rand.Rand) SetbacksSpec {
	spec := SetbacksSpec{Areas: []Region{{Outer: star(r, 0, 0, 300, 3+r.IntN(20))}}, Tolerance: 0.05}
	if r.IntN(2) == 0 {
		if hole := star(r, 0, 0, 40, 3+r.IntN(5)); len(hole) > 2 {
			whole := Region{Outer: spec.Areas[0].Outer, Holes: []Polygon{hole.Reversed()}}
			if _, err := CheckRegion(whole.Outer, whole.Holes); err == nil {
				spec.Areas[0] = whole
			}
		}
	}
	place := func() Point { return Point{units.Length(r.NormFloat64() * 200), units.Length(r.NormFloat64() * 200)} }
	for range r.IntN(6) {
		s := Setback{Distance: units.Length(1 + 80*r.Float64()), Closed: r.IntN(3) == 0}
		p := place()
		for range 1 + r.IntN(12) {
			s.Points = append(s.Points, p)
			switch r.IntN(6) {
			case 0: // the same place again
			case 1:
				p.X += 30
			case 2:
				p.Y -= 30
			case 3:
				p = s.Points[r.IntN(len(s.Points))]
			default:
				p = Point{p.X + units.Length(60*r.NormFloat64()), p.Y + units.Length(60*r.NormFloat64())}
			}
		}
		spec.Setbacks = append(spec.Setbacks, s)
	}
	return spec
}

// Areas and regions agree with places at random.
func TestSetbacksAgreeWithSampling(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for n := range 150 {
		spec := drawnSetbacks(r)
		got, err := Setbacks(spec)
		require.NoError(t, err, n)
		sums(t, &spec, &got)
		require.InEpsilon(t, float64(spec.Areas[0].Area()), float64(got.Whole), 1e-9)
		low, high := spec.Areas[0].Outer.Bounds()
		box := float64((high.X - low.X) * (high.Y - low.Y))
		const draws = 600
		off, each := 0, make([]int, len(spec.Setbacks))
		for range draws {
			q := Point{low.X + units.Length(r.Float64())*(high.X-low.X), low.Y + units.Length(r.Float64())*(high.Y-low.Y)}
			inside := spec.Areas[0].has(q)
			within, near := false, false
			for i := range spec.Setbacks {
				d := away(q, &spec.Setbacks[i]) - float64(spec.Setbacks[i].Distance)
				if near = near || math.Abs(d) < 0.06; d <= 0 && inside {
					within = true
					each[i]++
				}
			}
			if within {
				off++
			}
			if !near {
				require.Equal(t, inside && !within, anyHas(got.Kept, q), "%d: %v", n, q)
				require.Equal(t, inside && within, anyHas(got.Taken, q), "%d: %v", n, q)
			}
		}
		sigma := func(p float64) float64 { return 5*math.Sqrt(max(p*(1-p), 5e-3)/draws)*box + 1e-6 }
		share := float64(got.Off) / box
		require.InDelta(t, float64(got.Off), float64(off)/draws*box, sigma(share), n)
		for i, a := range got.Each {
			require.InDelta(t, float64(a), float64(each[i])/draws*box, sigma(float64(a)/box), n)
			require.LessOrEqual(t, got.Only[i], a+1e-9)
			require.LessOrEqual(t, a, got.Off+1e-6)
		}
	}
}

func (r Region) has(q Point) bool {
	in := r.Outer.Contains(q)
	for _, h := range r.Holes {
		in = in && !h.Contains(q)
	}
	return in
}

func anyHas(list []Region, q Point) bool {
	for _, r := range list {
		if r.has(q) {
			return true
		}
	}
	return false
}

func TestSetbacksFaults(t *testing.T) {
	for _, c := range []struct {
		spec SetbacksSpec
		want []string
	}{
		{SetbacksSpec{}, []string{"areas", "tolerance"}},
		{SetbacksSpec{Areas: []Region{{Outer: square(0, 0, 1)[:2]}}, Tolerance: 1, Setbacks: []Setback{{}, {Points: []Point{{units.Length(math.NaN()), 0}}, Distance: 1e9}}},
			[]string{"areas[0].outer", "setbacks[0].points", "setbacks[0].distance", "setbacks[1].distance", "setbacks[1].points[0].x"}},
		{SetbacksSpec{Areas: []Region{{Outer: square(0, 0, 10)}, {Outer: square(5, 5, 10)}}, Tolerance: 1}, []string{"areas"}},
		{SetbacksSpec{Areas: []Region{{Outer: square(0, 0, 10), Holes: []Polygon{square(5, 5, 10)}}}, Tolerance: 1}, []string{"areas[0].holes[0][3]", "areas[0].holes[0][0]"}},
	} {
		_, err := Setbacks(c.spec)
		var paths []string
		for _, f := range units.FieldErrors(err) {
			paths = append(paths, f.Field)
		}
		require.Equal(t, c.want, paths, "%v", err)
	}
}

// A stream of 500 corners along a field of 200.
func BenchmarkSetbacks(b *testing.B) {
	for _, n := range []int{20, 200, 1000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			r := rand.New(rand.NewPCG(1, 1))
			spec := SetbacksSpec{Areas: []Region{{Outer: star(r, 0, 0, 400, 200)}}, Tolerance: 0.1}
			s := Setback{Distance: 30}
			for i := range n {
				s.Points = append(s.Points, Point{units.Length(-400 + 800*float64(i)/float64(n)), units.Length(100 * math.Sin(float64(i)*12/float64(n)))})
			}
			spec.Setbacks = []Setback{s}
			for b.Loop() {
				if _, err := Setbacks(spec); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
