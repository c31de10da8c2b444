package sludge

import (
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// roundedPlaces returns the places and the thickness of rounded(n), written with
// six decimals as in a file.
func roundedPlaces(n int) (places []xy, z []float64) {
	round := func(v units.Length) float64 { return math.Round(float64(v)*1e6) / 1e6 }
	for _, s := range rounded(n) {
		places, z = append(places, xy{round(s.At.X), round(s.At.Y)}), append(z, round(s.Value))
	}
	return places, z
}

// awkward returns point sets that break weak triangulators.
func awkward() map[string][]xy {
	rng := rand.New(rand.NewPCG(1, 1))
	sets := map[string][]xy{}
	add := func(name string, n int, at func(i int) xy) {
		for i := range n {
			sets[name] = append(sets[name], at(i))
		}
	}
	add("uniform", 3000, func(int) xy { return xy{rng.Float64(), rng.Float64()} })
	add("long", 3000, func(int) xy { return xy{rng.Float64() * 1e6, rng.Float64()} })
	add("integers", 3000, func(int) xy { return xy{float64(rng.IntN(60)), float64(rng.IntN(60))} })
	add("grid", 2500, func(i int) xy { return xy{float64(i % 50), float64(i / 50)} })
	add("grid of tenths", 2500, func(i int) xy { return xy{float64(i%50) * 0.1, float64(i/50) * 0.1} })
	add("grid far away", 2500, func(i int) xy { return xy{500000 + float64(i%50)*0.3, 5e6 + float64(i/50)*0.3} })
	add("turned grid", 2500, func(i int) xy { return xy{float64(i%50*3 - i/50*4), float64(i%50*4 + i/50*3)} })
	add("hexagons", 2500, func(i int) xy { return xy{float64(i%50) + 0.5*float64(i/50%2), float64(i/50) * math.Sqrt(0.75)} })
	add("circle", 1000, func(i int) xy { s, c := math.Sincos(2 * math.Pi * float64(i) / 1000); return xy{c, s} })
	add("circle with centre", 501, func(i int) xy {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 500)
		return xy{c * float64(i/500^1), s * float64(i/500^1)}
	})
	for a := -65; a <= 65; a++ {
		for b := -65; b <= 65; b++ {
			if a*a+b*b == 65*65 {
				sets["exact circle"] = append(sets["exact circle"], xy{float64(a), float64(b)})
			}
		}
	}
	add("nearly a line", 1000, func(i int) xy { return xy{float64(i) * 0.1, float64(i) * 0.1 * (1 + 1e-15*rng.Float64())} })
	add("clusters", 3000, func(i int) xy { return xy{float64(i%7) + 1e-9*rng.Float64(), float64(i%5) + 1e-9*rng.Float64()} })
	add("tracks", 3000, func(i int) xy { return xy{float64(i%300) * 0.05, float64(i/300) * 8} })
	add("fan", 1001, func(i int) xy { return xy{float64(i % 1000), float64(i/1000) * 500} })
	add("powers", 600, func(i int) xy { return xy{math.Ldexp(1, -i), math.Ldexp(rng.Float64(), -i/2)} })
	add("duplicates", 2000, func(int) xy { return xy{float64(rng.IntN(20)) / 3, float64(rng.IntN(20)) / 7} })
	return sets
}

func TestDelaunayAwkward(t *testing.T) {
	for name, places := range awkward() {
		t.Run(name, func(t *testing.T) {
			tr := delaunay(places, 1)
			checkDelaunay(t, places, tr)
		})
	}
}

// Large sets are split among workers; the result has the same bits.
func TestDelaunayWorkers(t *testing.T) {
	places, _ := roundedPlaces(50000)
	for i := range 30000 {
		places = append(places, xy{float64(i % 300), float64(i / 300)})
	}
	want := delaunay(places, 1)
	checkDelaunay(t, places, want)
	for _, workers := range []int{2, 3, 8} {
		require.True(t, reflect.DeepEqual(want, delaunay(places, workers)), "%d workers", workers)
	}
}

func TestDelaunaySmall(t *testing.T) {
	for _, places := range [][]xy{nil, {{1, 2}}, {{1, 2}, {3, 4}}, {{1, 1}, {1, 1}, {1, 1}, {1, 1}}, {{0, 0}, {1, 1}, {2, 2}, {3, 3}}, {{0, 0}, {0, 5}, {0, 2}, {0, 2}}} {
		require.Empty(t, delaunay(places, 2).corner, "%v", places)
	}
	rng := rand.New(rand.NewPCG(1, 1))
	for range 20000 {
		places := make([]xy, 3+rng.IntN(9))
		for i := range places {
			places[i] = xy{float64(rng.IntN(4)), float64(rng.IntN(4))}
		}
		checkDelaunay(t, places, delaunay(places, 1))
		if t.Failed() {
			t.Fatalf("%v", places)
		}
	}
}

// The triangulation depends on the places alone, ties included.
func TestDelaunayOrder(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for name, places := range awkward() {
		want := triangleSet(delaunay(places, 1))
		shuffled := slices.Clone(places)
		rng.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		require.Equal(t, want, triangleSet(delaunay(shuffled, 1)), name)
	}
}

// triangleSet lists the triangles by places, in an order of its own.
func triangleSet(tr triangulation) [][3]xy {
	var list [][3]xy
	for k := 0; k < len(tr.corner); k += 3 {
		t := [3]xy{tr.pt[tr.corner[k]], tr.pt[tr.corner[k+1]], tr.pt[tr.corner[k+2]]}
		for less(t[1], t[0]) || less(t[2], t[0]) {
			t[0], t[1], t[2] = t[1], t[2], t[0]
		}
		list = append(list, t)
	}
	slices.SortFunc(list, func(a, b [3]xy) int {
		for i := range 3 {
			if less(a[i], b[i]) {
				return -1
			} else if less(b[i], a[i]) {
				return 1
			}
		}
		return 0
	})
	return list
}

// checkDelaunay proves tr right: all triangles turn left, twins match, no place
// lies inside the circle across any side (locally Delaunay everywhere is Delaunay),
// the hull turns left and every place is on its left, areas add up to the hull's,
// and Euler's count holds.
func checkDelaunay(t *testing.T, places []xy, tr triangulation) {
	t.Helper()
	require.Equal(t, len(tr.corner), len(tr.twin))
	distinct := map[xy]bool{}
	for _, p := range places {
		distinct[p] = true
	}
	for i, id := range tr.id {
		require.Equal(t, places[id], tr.pt[i])
	}
	places = tr.pt
	hull, area, used := map[int32]int32{}, 0.0, map[int32]bool{}
	for i, c := range tr.corner {
		k := int32(i)
		a, b, o := places[c], places[tr.corner[nextSide(k)]], places[tr.corner[nextSide(nextSide(k))]]
		used[c] = true
		if k%3 == 0 {
			require.Equal(t, 1, orient(a, b, o), "triangle %d", k/3)
			area += ((b.x-a.x)*(o.y-a.y) - (b.y-a.y)*(o.x-a.x)) / 2
		}
		w := tr.twin[k]
		if w == none {
			hull[c] = tr.corner[nextSide(k)]
			continue
		}
		require.Equal(t, k, tr.twin[w])
		require.Equal(t, c, tr.corner[nextSide(w)])
		require.False(t, inCircle(a, b, o, places[tr.corner[nextSide(nextSide(w))]]), "side %d", k)
	}
	if len(tr.corner) == 0 {
		line := slices.Collect(func(yield func(xy) bool) {
			for p := range distinct {
				if !yield(p) {
					return
				}
			}
		})
		for _, p := range line {
			require.Zero(t, orient(line[0], line[len(line)-1], p))
		}
		return
	}
	require.Len(t, used, len(distinct), "every place has a triangle")
	require.Equal(t, 2*len(distinct)-2-len(hull), len(tr.corner)/3, "Euler")
	hullArea, first := 0.0, int32(-1)
	for a, b := range hull {
		first = max(first, a)
		c := hull[b]
		require.GreaterOrEqual(t, orient(places[a], places[b], places[c]), 0, "the hull is convex")
	}
	steps := 0
	for a := first; ; {
		b := hull[a]
		p, q, o := places[a], places[b], places[first]
		hullArea += ((p.x-o.x)*(q.y-o.y) - (p.y-o.y)*(q.x-o.x)) / 2
		steps++
		if a = b; a == first {
			break
		}
	}
	require.Equal(t, len(hull), steps, "one hull")
	low, high := bounds(places)
	require.InDelta(t, hullArea, area, 1e-9*hullArea+1e-15*(high.x-low.x)*(high.y-low.y))
}

// TestPredicates compares both predicates with rational arithmetic on places that
// are close to ties.
func TestPredicates(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	rat := func(x float64) *big.Rat { return new(big.Rat).SetFloat64(x) }
	det := func(p [4]xy) int {
		sum := new(big.Rat)
		for i, sign := range []int64{1, -1, 1, -1} {
			q := [][4]xy{{p[1], p[2], p[3]}, {p[0], p[2], p[3]}, {p[0], p[1], p[3]}, {p[0], p[1], p[2]}}[i]
			lift := new(big.Rat).Add(new(big.Rat).Mul(rat(p[i].x), rat(p[i].x)), new(big.Rat).Mul(rat(p[i].y), rat(p[i].y)))
			minor := new(big.Rat)
			for j := range 3 {
				a, b := q[j], q[(j+1)%3]
				minor.Add(minor, new(big.Rat).Mul(rat(a.x), rat(b.y)))
				minor.Sub(minor, new(big.Rat).Mul(rat(b.x), rat(a.y)))
			}
			sum.Add(sum, lift.Mul(lift, minor).Mul(lift, big.NewRat(sign, 1)))
		}
		return sum.Sign()
	}
	ties := 0
	for i := range 20000 {
		scale := []float64{1, 0.1, 1e-3, 1e5, 1.0 / 3}[i%5]
		shift := []float64{0, 1, 1e6, 0.7}[i%4]
		var p [4]xy
		for k := range p {
			p[k] = xy{shift + scale*float64(rng.IntN(7)-3), shift - scale*float64(rng.IntN(7)-3)}
			if i%3 == 0 {
				p[k].x = math.Nextafter(p[k].x, math.Inf(rng.IntN(3)-1))
			}
		}
		wantOrient := new(big.Rat)
		for j := range 3 {
			a, b := p[j], p[(j+1)%3]
			wantOrient.Add(wantOrient, new(big.Rat).Mul(rat(a.x), rat(b.y)))
			wantOrient.Sub(wantOrient, new(big.Rat).Mul(rat(b.x), rat(a.y)))
		}
		require.Equal(t, wantOrient.Sign(), orient(p[0], p[1], p[2]))
		if wantOrient.Sign() <= 0 || p[3] == p[0] || p[3] == p[1] || p[3] == p[2] {
			continue
		}
		want := det(p)
		require.Equal(t, want, inCircleBig(p[0], p[1], p[2], p[3]))
		if want == 0 {
			ties++
			least := slices.MinFunc(p[:], func(a, b xy) int {
				if less(a, b) {
					return -1
				}
				return 1
			})
			// d is inside when the least place would be joined across: it is d, or
			// opposite to it.
			inside := inCircle(p[0], p[1], p[2], p[3])
			require.Equal(t, inside, inCircle(p[1], p[2], p[0], p[3]))
			if p[3] == least {
				require.True(t, inside)
			}
			continue
		}
		require.Equal(t, want > 0, inCircle(p[0], p[1], p[2], p[3]), "%v", p)
	}
	require.Greater(t, ties, 50)
}

func BenchmarkDelaunay(b *testing.B) {
	for _, n := range []int{24, 1000, 100000, 1000000} {
		places, _ := roundedPlaces(n)
		for _, workers := range []int{1, 2} {
			b.Run(fmt.Sprintf("n=%d/workers=%d", n, workers), func(b *testing.B) {
				for b.Loop() {
					delaunay(places, workers)
				}
			})
		}
	}
}
