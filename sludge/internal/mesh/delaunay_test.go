package mesh

import (
	"context"
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge/internal/fixtures"
	"example.org/earthbasin/units"
)

// roundedPlaces returns the places and the values of fixtures.Rounded, written with
// six decimals as in a file.
func roundedPlaces(n int) (places []XY, z []float64) {
	round := func(v units.Length) float64 { return math.Round(float64(v)*1e6) / 1e6 }
	at, values := fixtures.Rounded(n)
	for i, p := range at {
		places, z = append(places, XY{round(p.X), round(p.Y)}), append(z, round(values[i]))
	}
	return places, z
}

// awkward returns point sets that break weak triangulators.
func awkward() map[string][]XY {
	rng := rand.New(rand.NewPCG(1, 1))
	sets := map[string][]XY{}
	add := func(name string, n int, at func(i int) XY) {
		for i := range n {
			sets[name] = append(sets[name], at(i))
		}
	}
	add("uniform", 3000, func(int) XY { return XY{rng.Float64(), rng.Float64()} })
	add("long", 3000, func(int) XY { return XY{rng.Float64() * 1e6, rng.Float64()} })
	add("integers", 3000, func(int) XY { return XY{float64(rng.IntN(60)), float64(rng.IntN(60))} })
	add("grid", 2500, func(i int) XY { return XY{float64(i % 50), float64(i / 50)} })
	add("grid of tenths", 2500, func(i int) XY { return XY{float64(i%50) * 0.1, float64(i/50) * 0.1} })
	add("grid far away", 2500, func(i int) XY { return XY{500000 + float64(i%50)*0.3, 5e6 + float64(i/50)*0.3} })
	add("turned grid", 2500, func(i int) XY { return XY{float64(i%50*3 - i/50*4), float64(i%50*4 + i/50*3)} })
	add("hexagons", 2500, func(i int) XY { return XY{float64(i%50) + 0.5*float64(i/50%2), float64(i/50) * math.Sqrt(0.75)} })
	add("circle", 1000, func(i int) XY { s, c := math.Sincos(2 * math.Pi * float64(i) / 1000); return XY{c, s} })
	add("circle with centre", 501, func(i int) XY {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 500)
		return XY{c * float64(i/500^1), s * float64(i/500^1)}
	})
	for a := -65; a <= 65; a++ {
		for b := -65; b <= 65; b++ {
			if a*a+b*b == 65*65 {
				sets["exact circle"] = append(sets["exact circle"], XY{float64(a), float64(b)})
			}
		}
	}
	add("nearly a line", 1000, func(i int) XY { return XY{float64(i) * 0.1, float64(i) * 0.1 * (1 + 1e-15*rng.Float64())} })
	add("clusters", 3000, func(i int) XY { return XY{float64(i%7) + 1e-9*rng.Float64(), float64(i%5) + 1e-9*rng.Float64()} })
	add("tracks", 3000, func(i int) XY { return XY{float64(i%300) * 0.05, float64(i/300) * 8} })
	add("fan", 1001, func(i int) XY { return XY{float64(i % 1000), float64(i/1000) * 500} })
	add("powers", 600, func(i int) XY { return XY{math.Ldexp(1, -i), math.Ldexp(rng.Float64(), -i/2)} })
	add("duplicates", 2000, func(int) XY { return XY{float64(rng.IntN(20)) / 3, float64(rng.IntN(20)) / 7} })
	return sets
}

func TestDelaunayAwkward(t *testing.T) {
	for name, places := range awkward() {
		t.Run(name, func(t *testing.T) {
			tr := Delaunay(context.Background(), places, 1)
			checkDelaunay(t, places, tr)
		})
	}
}

// Large sets are split among workers; the result has the same bits.
func TestDelaunayWorkers(t *testing.T) {
	places, _ := roundedPlaces(50000)
	for i := range 30000 {
		places = append(places, XY{float64(i % 300), float64(i / 300)})
	}
	want := Delaunay(context.Background(), places, 1)
	checkDelaunay(t, places, want)
	for _, workers := range []int{2, 3, 8} {
		require.True(t, reflect.DeepEqual(want, Delaunay(context.Background(), places, workers)), "%d workers", workers)
	}
}

func TestDelaunaySmall(t *testing.T) {
	for _, places := range [][]XY{nil, {{1, 2}}, {{1, 2}, {3, 4}}, {{1, 1}, {1, 1}, {1, 1}, {1, 1}}, {{0, 0}, {1, 1}, {2, 2}, {3, 3}}, {{0, 0}, {0, 5}, {0, 2}, {0, 2}}} {
		require.Empty(t, Delaunay(context.Background(), places, 2).Corner, "%v", places)
	}
	rng := rand.New(rand.NewPCG(1, 1))
	for range 20000 {
		places := make([]XY, 3+rng.IntN(9))
		for i := range places {
			places[i] = XY{float64(rng.IntN(4)), float64(rng.IntN(4))}
		}
		checkDelaunay(t, places, Delaunay(context.Background(), places, 1))
		if t.Failed() {
			t.Fatalf("%v", places)
		}
	}
}

// The triangulation depends on the places alone, ties included.
func TestDelaunayOrder(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for name, places := range awkward() {
		want := triangleSet(Delaunay(context.Background(), places, 1))
		shuffled := slices.Clone(places)
		rng.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		require.Equal(t, want, triangleSet(Delaunay(context.Background(), shuffled, 1)), name)
	}
}

// triangleSet lists the triangles by places, in an order of its own.
func triangleSet(tr Triangulation) [][3]XY {
	var list [][3]XY
	for k := 0; k < len(tr.Corner); k += 3 {
		t := [3]XY{tr.Pt[tr.Corner[k]], tr.Pt[tr.Corner[k+1]], tr.Pt[tr.Corner[k+2]]}
		for Less(t[1], t[0]) || Less(t[2], t[0]) {
			t[0], t[1], t[2] = t[1], t[2], t[0]
		}
		list = append(list, t)
	}
	slices.SortFunc(list, func(a, b [3]XY) int {
		for i := range 3 {
			if Less(a[i], b[i]) {
				return -1
			} else if Less(b[i], a[i]) {
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
func checkDelaunay(t *testing.T, places []XY, tr Triangulation) {
	t.Helper()
	require.Equal(t, len(tr.Corner), len(tr.Twin))
	distinct := map[XY]int32{} // of several at one place the first counts
	for i, p := range slices.Backward(places) {
		distinct[p] = int32(i)
	}
	require.Len(t, tr.ID, len(distinct))
	for i, id := range tr.ID {
		require.True(t, places[id] == tr.Pt[i] && distinct[places[id]] == id, "place %d", i)
	}
	places = tr.Pt
	hull, area, used := map[int32]int32{}, 0.0, map[int32]bool{}
	for i, c := range tr.Corner {
		k := int32(i)
		a, b, o := places[c], places[tr.Corner[NextSide(k)]], places[tr.Corner[NextSide(NextSide(k))]]
		used[c] = true
		if k%3 == 0 {
			require.Equal(t, 1, Orient(a, b, o), "triangle %d", k/3)
			area += ((b.X-a.X)*(o.Y-a.Y) - (b.Y-a.Y)*(o.X-a.X)) / 2
		}
		w := tr.Twin[k]
		if w == None {
			hull[c] = tr.Corner[NextSide(k)]
			continue
		}
		require.Equal(t, k, tr.Twin[w])
		require.Equal(t, c, tr.Corner[NextSide(w)])
		require.False(t, InCircle(a, b, o, places[tr.Corner[NextSide(NextSide(w))]]), "side %d", k)
	}
	if len(tr.Corner) == 0 {
		line := slices.Collect(func(yield func(XY) bool) {
			for p := range distinct {
				if !yield(p) {
					return
				}
			}
		})
		for _, p := range line {
			require.Zero(t, Orient(line[0], line[len(line)-1], p))
		}
		return
	}
	require.Len(t, used, len(distinct), "every place has a triangle")
	require.Equal(t, 2*len(distinct)-2-len(hull), len(tr.Corner)/3, "Euler")
	hullArea, first := 0.0, int32(-1)
	for a, b := range hull {
		first = max(first, a)
		c := hull[b]
		require.GreaterOrEqual(t, Orient(places[a], places[b], places[c]), 0, "the hull is convex")
	}
	steps := 0
	for a := first; ; {
		b := hull[a]
		p, q, o := places[a], places[b], places[first]
		hullArea += ((p.X-o.X)*(q.Y-o.Y) - (p.Y-o.Y)*(q.X-o.X)) / 2
		steps++
		if a = b; a == first {
			break
		}
	}
	require.Equal(t, len(hull), steps, "one hull")
	low, high := bounds(places)
	require.InDelta(t, hullArea, area, 1e-9*hullArea+1e-15*(high.X-low.X)*(high.Y-low.Y))
}

// TestPredicates compares both predicates with rational arithmetic on places that
// are close to ties.
func TestPredicates(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	rat := func(x float64) *big.Rat { return new(big.Rat).SetFloat64(x) }
	det := func(p [4]XY) int {
		sum := new(big.Rat)
		for i, sign := range []int64{1, -1, 1, -1} {
			q := [][4]XY{{p[1], p[2], p[3]}, {p[0], p[2], p[3]}, {p[0], p[1], p[3]}, {p[0], p[1], p[2]}}[i]
			lift := new(big.Rat).Add(new(big.Rat).Mul(rat(p[i].X), rat(p[i].X)), new(big.Rat).Mul(rat(p[i].Y), rat(p[i].Y)))
			minor := new(big.Rat)
			for j := range 3 {
				a, b := q[j], q[(j+1)%3]
				minor.Add(minor, new(big.Rat).Mul(rat(a.X), rat(b.Y)))
				minor.Sub(minor, new(big.Rat).Mul(rat(b.X), rat(a.Y)))
			}
			sum.Add(sum, lift.Mul(lift, minor).Mul(lift, big.NewRat(sign, 1)))
		}
		return sum.Sign()
	}
	ties := 0
	for i := range 20000 {
		scale := []float64{1, 0.1, 1e-3, 1e5, 1.0 / 3}[i%5]
		shift := []float64{0, 1, 1e6, 0.7}[i%4]
		var p [4]XY
		for k := range p {
			p[k] = XY{shift + scale*float64(rng.IntN(7)-3), shift - scale*float64(rng.IntN(7)-3)}
			if i%3 == 0 {
				p[k].X = math.Nextafter(p[k].X, math.Inf(rng.IntN(3)-1))
			}
		}
		wantOrient := new(big.Rat)
		for j := range 3 {
			a, b := p[j], p[(j+1)%3]
			wantOrient.Add(wantOrient, new(big.Rat).Mul(rat(a.X), rat(b.Y)))
			wantOrient.Sub(wantOrient, new(big.Rat).Mul(rat(b.X), rat(a.Y)))
		}
		require.Equal(t, wantOrient.Sign(), Orient(p[0], p[1], p[2]))
		if wantOrient.Sign() <= 0 || p[3] == p[0] || p[3] == p[1] || p[3] == p[2] {
			continue
		}
		want := det(p)
		require.Equal(t, want, inCircleBig(p[0], p[1], p[2], p[3]))
		if want == 0 {
			ties++
			least := slices.MinFunc(p[:], func(a, b XY) int {
				if Less(a, b) {
					return -1
				}
				return 1
			})
			// d is inside when the least place would be joined across: it is d, or
			// opposite to it.
			inside := InCircle(p[0], p[1], p[2], p[3])
			require.Equal(t, inside, InCircle(p[1], p[2], p[0], p[3]))
			if p[3] == least {
				require.True(t, inside)
			}
			continue
		}
		require.Equal(t, want > 0, InCircle(p[0], p[1], p[2], p[3]), "%v", p)
	}
	require.Greater(t, ties, 50)
}

// TestPairs: arithmetic on pairs is right wherever it decides, and it decides all places of
// few digits, ties too; the corners of a rectangle along the axes are a tie.
func TestPairs(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	size := func(p [4]XY) float64 {
		var far float64
		for _, q := range p[:3] {
			far = max(far, math.Abs(q.X-p[3].X), math.Abs(q.Y-p[3].Y))
		}
		return 12 * far * far * far * far
	}
	ties, near, rectangles := 0, 0, 0
	for i := range 20000 {
		var p [4]XY
		few := i%2 == 0
		for k := range p {
			p[k] = XY{float64(rng.IntN(7)) / 4, float64(rng.IntN(7)) / 4}
			switch {
			case few && i%4 == 0:
				p[k] = XY{p[k].X + 1<<20, p[k].Y - 1<<20}
			case !few && i%3 == 0:
				p[k].X = math.Nextafter(p[k].X, 9)
			case !few:
				s, c := math.Sincos(2 * math.Pi * rng.Float64())
				p[k] = XY{3 + c, 1 + s}
			}
		}
		want := inCircleBig(p[0], p[1], p[2], p[3])
		sign, ok := inCirclePairs(p[0], p[1], p[2], p[3], size(p))
		require.True(t, ok || !few, "%v", p)
		if ok {
			require.Equal(t, want, sign, "%v", p)
		}
		if few && want == 0 {
			ties++
		}
		if ok && !few {
			near++
		}
		box := boxed(p[0], p[1], p[2], p[3])
		along := func(a, b, c, d XY) bool { // a to b north or south, b to c east or west, and back
			return a.X == b.X && b.Y == c.Y && c.X == d.X && d.Y == a.Y
		}
		require.Equal(t, along(p[0], p[1], p[2], p[3]) || along(p[3], p[0], p[1], p[2]), box)
		if box {
			rectangles++
			require.Zero(t, want)
		}
	}
	require.Greater(t, ties, 1000)
	require.Greater(t, near, 5000)
	require.Greater(t, rectangles, 5)
	require.True(t, boxed(XY{0, 0}, XY{0, 3}, XY{2, 3}, XY{2, 0}) && boxed(XY{0, 0}, XY{2, 0}, XY{2, 3}, XY{0, 3}))
	require.False(t, boxed(XY{0, 0}, XY{2, 3}, XY{2, 0}, XY{0, 3}) || boxed(XY{0, 0}, XY{0, 3}, XY{2, 3}, XY{2, 1}))
}

// TestSortCells: about a cell for each place, in Z order, the places of each by x, then y.
func TestSortCells(t *testing.T) {
	sets := awkward()
	places, _ := roundedPlaces(40000) // several buckets
	sets["rounded"] = places
	sets["crowded"] = append(slices.Repeat([]XY{{3, 4}, {3, 1}, {2, 9}}, 30), XY{0, 0}, XY{1000, 1000})
	for name, places := range sets {
		d, id := sortCells(places, 2)
		low, high := bounds(places)
		cells := len(d.start) - 1
		side := 1
		for side*side < cells {
			side *= 2
		}
		require.Equal(t, side*side, cells, name)
		require.True(t, cells >= len(places) && cells < 4*len(places), "%s: %d cells for %d places", name, cells, len(places))
		require.Equal(t, int32(len(d.pt)), d.start[cells])
		require.Zero(t, d.start[0])
		require.Len(t, id, len(d.pt))
		along := func(v, low, high float64) int {
			return min(int((v-low)*(float64(side)/(high-low))), side-1)
		}
		for c := range cells {
			for i := d.start[c]; i < d.start[c+1]; i++ {
				p := d.pt[i]
				z := 0
				for bit := range 16 { // the bits of the column before those of the row
					z |= along(p.X, low.X, high.X)>>bit&1<<(2*bit+1) | along(p.Y, low.Y, high.Y)>>bit&1<<(2*bit)
				}
				require.Equal(t, z, c, "%s: %v", name, p)
				if i > d.start[c] {
					require.True(t, Less(d.pt[i-1], p), "%s: %v", name, p)
				}
			}
		}
	}
}

func BenchmarkDelaunay(b *testing.B) {
	for _, n := range []int{24, 1000, 100000, 1000000} {
		places, _ := roundedPlaces(n)
		for _, workers := range []int{1, 2} {
			b.Run(fmt.Sprintf("n=%d/workers=%d", n, workers), func(b *testing.B) {
				for b.Loop() {
					Delaunay(context.Background(), places, workers)
				}
			})
		}
	}
}
