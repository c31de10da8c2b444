package mesh

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestNeighboursOnStrip: a thin strip of places needs few cells.
func TestNeighboursOnStrip(t *testing.T) {
	var places []XY
	for i := range 12 {
		places = append(places, XY{float64(i) * 1e8, float64(i%3) * 1e-4})
	}
	near := NewNeighbours(places)
	require.Less(t, near.l.Cols*near.l.Rows, 20)
	id, distance := make([]int32, 3), make([]float64, 3)
	require.Equal(t, 3, near.Find(XY{5.1e8, 0}, id, distance))
	require.Equal(t, []int32{5, 6, 4}, id)
}

// Find is held against sorting all distances, from inside and from far away, for few
// neighbours and for more than there are.
func TestNeighbours(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	sets := awkward()
	for _, n := range []int{1, 2, 5, 9, 15, 25, 40} {
		for range n {
			name := fmt.Sprint("few, ", n)
			sets[name] = append(sets[name], XY{10 * rng.Float64(), 7 * rng.Float64()})
		}
	}
	for name, places := range sets {
		n := NewNeighbours(places)
		low, high := bounds(places)
		for i := range 24 {
			q := places[rng.IntN(len(places))]
			switch i % 4 {
			case 1:
				q = XY{q.X + rng.NormFloat64(), q.Y + rng.NormFloat64()}
			case 2:
				q = XY{low.X + (3*rng.Float64()-1)*(high.X-low.X), low.Y + (3*rng.Float64()-1)*(high.Y-low.Y)}
			case 3:
				q = XY{low.X + rng.Float64()*(high.X-low.X), low.Y + rng.Float64()*(high.Y-low.Y)}
			}
			checkNearest(t, name, places, q, n.Find, []int{1, 3, 12, 47}[i%4])
		}
		if strings.HasPrefix(name, "few") { // all of them, from every cell and beside them
			for x := -1.5; x < 12; x += 0.7 {
				for y := -1.5; y < 9; y += 0.7 {
					checkNearest(t, name, places, XY{x, y}, n.Find, len(places)+1)
				}
			}
		}
	}
}

// checkNearest holds what find lists of the places nearest to q against all of them.
func checkNearest(t *testing.T, name string, places []XY, q XY, find func(XY, []int32, []float64) int, count int) {
	t.Helper()
	far := make([]float64, len(places))
	order := make([]int32, len(places))
	for i, p := range places {
		far[i], order[i] = (p.X-q.X)*(p.X-q.X)+(p.Y-q.Y)*(p.Y-q.Y), int32(i)
	}
	slices.SortFunc(order, func(a, b int32) int { return cmp.Or(cmp.Compare(far[a], far[b]), cmp.Compare(a, b)) })
	id, dist := make([]int32, count), make([]float64, count)
	found := find(q, id, dist)
	require.Equal(t, min(count, len(places)), found, name)
	require.Equal(t, order[:found], id[:found], "%s from %v", name, q)
	for k, i := range id[:found] {
		require.Equal(t, far[i], dist[k], name)
	}
}

// TestLattice: the cells cover the places, about one for each three of them, and a place
// outside belongs to the nearest cell.
func TestLattice(t *testing.T) {
	for name, places := range awkward() {
		l := latticeOver(places, 3)
		low, high := bounds(places)
		require.Equal(t, low, XY{l.X(0), l.Y(0)}, name)
		require.True(t, l.X(l.Cols) >= high.X && l.Y(l.Rows) >= high.Y, name)
		require.Less(t, l.Cols*l.Rows, len(places), name)
		if name == "uniform" {
			require.InDelta(t, len(places)/3, l.Cols*l.Rows, float64(len(places)/15))
		}
	}
	l := Lattice{X0: 10, Y0: -20, DX: 2, DY: 3, Cols: 5, Rows: 4}
	for p, want := range map[XY][2]int{{10, -20}: {0, 0}, {11.9, -17.1}: {0, 0}, {12, -17}: {1, 1}, {19.9, -8.1}: {4, 3}, {20, -8}: {4, 3}, {99, 99}: {4, 3}, {-99, -99}: {0, 0}, {14.5, -99}: {2, 0}, {-99, -13}: {0, 2}} {
		c, r := l.cell(p)
		require.Equal(t, want, [2]int{c, r}, "%v", p)
	}
	require.Equal(t, [2]float64{16, -11}, [2]float64{l.X(3), l.Y(3)})
	for _, alike := range [][]XY{{{3, 4}}, {{3, 4}, {3, 4}}} {
		l := latticeOver(alike, 3)
		require.Equal(t, [2]int{1, 1}, [2]int{l.Cols, l.Rows})
	}
}

// TestTree: the tree answers as the lattice does, and a box is never farther than the
// places in it, holds them, and lies along them.
func TestTree(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for name, places := range awkward() {
		tree := newTree(places)
		for i := range 12 {
			q := places[rng.IntN(len(places))]
			if i%2 == 0 {
				q = XY{q.X + rng.NormFloat64(), q.Y + rng.NormFloat64()}
			}
			checkNearest(t, name, places, q, tree.find, []int{1, 12, 30}[i%3])
		}
		var visit func(node int, from, to int32)
		visit = func(node int, from, to int32) {
			part := tree.places[from:to]
			b := &tree.box[node]
			require.InDelta(t, 1, math.Hypot(b.along.X, b.along.Y), 1e-15)
			q := XY{part[0].X + 3*rng.NormFloat64(), part[0].Y + 3*rng.NormFloat64()}
			nearest := math.Inf(1)
			holds := true
			for i, p := range part {
				holds = holds && places[tree.id[from:to][i]] == p && b.distance(p) <= 0
				nearest = min(nearest, (p.X-q.X)*(p.X-q.X)+(p.Y-q.Y)*(p.Y-q.Y))
			}
			require.True(t, holds, name)
			require.LessOrEqual(t, b.distance(q), nearest, name)
			if to-from > leafPlaces {
				mid := (from + to + 1) / 2
				visit(2*node, from, mid)
				visit(2*node+1, mid, to)
			}
		}
		visit(1, 0, int32(len(places)))
	}
	// A track in any direction lies in a box as narrow as itself, whose distance is that of
	// the track.
	for angle := 0.0; angle < 2*math.Pi; angle += 0.31 {
		sin, cos := math.Sincos(angle)
		var track []XY
		for i := range 200 {
			u, v := 50*float64(i)/199, 0.1*math.Sin(float64(i))
			track = append(track, XY{70 + u*cos - v*sin, -30 + u*sin + v*cos})
		}
		b := boxAround(track)
		require.InDelta(t, 50, b.high.X-b.low.X, 0.3)
		require.InDelta(t, 0.2, b.high.Y-b.low.Y, 0.05)
		require.InDelta(t, 1, math.Abs(b.along.X*cos+b.along.Y*sin), 1e-4)
		for u, v := range map[float64]float64{25: 8, -4: 0.01, 57: -0.05} {
			q := XY{70 + u*cos - v*sin, -30 + u*sin + v*cos}
			want := max(math.Abs(v)-0.1, 0)
			beyond := max(-u, u-50, 0)
			require.InDelta(t, math.Hypot(want, beyond), math.Sqrt(b.distance(q)), 0.1)
		}
	}
}

// crowded returns places that are not spread: on a line across the axes, in a
// cluster, along boat tracks, and at random for comparison.
func crowded(n int) map[string][]XY {
	rng := rand.New(rand.NewPCG(1, 1))
	sets := map[string][]XY{}
	for i := range n {
		t := rng.Float64()
		sets["random"] = append(sets["random"], XY{100 * rng.Float64(), 60 * rng.Float64()})
		sets["line"] = append(sets["line"], XY{100 * t, 20 + 30*t})
		cluster := XY{30 + 0.01*rng.NormFloat64(), 20 + 0.01*rng.NormFloat64()}
		if i%100 == 0 {
			cluster = XY{100 * rng.Float64(), 60 * rng.Float64()}
		}
		sets["cluster"] = append(sets["cluster"], cluster)
		sets["tracks"] = append(sets["tracks"], XY{100 * t, 5 + 10*float64(i%6) + 0.05*math.Sin(40*t)})
	}
	return sets
}

// TestCrowdedPlaces: on a line, in a cluster and along tracks the nearest places and
// the triangle of a place are found in at most three times the steps of random
// places, and twice the places take hardly more.
func TestCrowdedPlaces(t *testing.T) {
	var walked [2]map[string]float64
	for k, n := range []int{20000, 40000} {
		walked[k] = map[string]float64{}
		for name, places := range crowded(n) {
			rng := rand.New(rand.NewPCG(2, 1))
			near := NewNeighbours(places)
			require.Equal(t, name != "random", near.tree != nil, name)
			for range 20 {
				q := XY{100 * rng.Float64(), 60 * rng.Float64()}
				id, dist := make([]int32, 12), make([]float64, 12)
				require.Equal(t, 12, near.Find(q, id, dist))
				less := 0
				for i, p := range places {
					d := (p.X-q.X)*(p.X-q.X) + (p.Y-q.Y)*(p.Y-q.Y)
					if d < dist[11] || d == dist[11] && int32(i) < id[11] {
						less++
					}
				}
				require.Equal(t, 11, less, name)
			}
			m := New(context.Background(), append(places, XY{0, 0}, XY{100, 0}, XY{100, 60}, XY{0, 60}), 1)
			l := NewLocator(m, nil)
			total := 0
			for range 2000 {
				p := XY{100 * rng.Float64(), 60 * rng.Float64()}
				side, steps := l.locate(p)
				require.NotEqual(t, None, side, "%s %v", name, p)
				for s := side - side%3; s < side-side%3+3; s++ {
					require.GreaterOrEqual(t, Orient(m.Pt[m.From(s)], m.Pt[m.To(s)], p), 0)
				}
				total += steps
				for _, q := range []XY{{p.X + 0.1, p.Y}, {p.X - 1, p.Y + 2}, {50, 30}, {-1, 70}} { // from close by and from afar
					found := l.FindFrom(side, q)
					require.Equal(t, q.X < 0 || q.X > 100 || q.Y < 0 || q.Y > 60, found == None, "%v", q)
					for s := found - found%3; found != None && s < found-found%3+3; s++ {
						require.GreaterOrEqual(t, Orient(m.Pt[m.From(s)], m.Pt[m.To(s)], q), 0)
					}
				}
			}
			walked[k][name] = float64(total) / 2000
			outside, _ := l.locate(XY{-1, 70})
			require.Equal(t, None, outside)
		}
	}
	t.Log(walked)
	for name, steps := range walked[1] {
		require.Less(t, steps, 3*walked[1]["random"], name)
		require.Less(t, steps, 1.5*walked[0][name], name)
	}
}

// TestTreeOpensFewLeaves: where places crowd, on a line too from whose far side many are
// hardly farther than the nearest, at most three times as many leaves may hold one of the
// nearest as among random places.
func TestTreeOpensFewLeaves(t *testing.T) {
	leaves := map[string]int{}
	for name, places := range crowded(20000) {
		tree := newTree(places)
		rng := rand.New(rand.NewPCG(2, 1))
		id, dist := make([]int32, 12), make([]float64, 12)
		for range 2000 {
			q := XY{100 * rng.Float64(), 60 * rng.Float64()}
			tree.find(q, id, dist)
			var count func(node int, from, to int32)
			count = func(node int, from, to int32) {
				if tree.box[node].distance(q) > dist[11] {
					return
				}
				if to-from <= leafPlaces {
					leaves[name]++
					return
				}
				mid := (from + to + 1) / 2
				count(2*node, from, mid)
				count(2*node+1, mid, to)
			}
			count(1, 0, int32(len(places)))
		}
	}
	t.Log(leaves)
	for name, n := range leaves {
		require.Less(t, n, 3*leaves["random"], name)
	}
}

// TestLocateOnLines: a place that lies on the line through a side, beyond its end, is in
// another triangle; soundings on a lattice are full of such lines.
func TestLocateOnLines(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		known := map[XY]bool{}
		var places []XY
		for range 5 + rng.IntN(150) {
			p := XY{float64(rng.IntN(12)), float64(rng.IntN(9))}
			if rng.IntN(5) == 0 {
				p = XY{12 * rng.Float64(), 9 * rng.Float64()}
			}
			if !known[p] {
				known[p] = true
				places = append(places, p)
			}
		}
		m := New(context.Background(), places, 1)
		if len(m.Corner) == 0 {
			continue
		}
		l := NewLocator(m, nil)
		for range 200 {
			p := XY{float64(rng.IntN(25)) / 2, float64(rng.IntN(19)) / 2}
			side := l.Find(p)
			inHull := true
			for k, w := range m.Twin {
				inHull = inHull && (w != None || Orient(m.Pt[m.From(int32(k))], m.Pt[m.To(int32(k))], p) >= 0)
			}
			require.Equal(t, inHull, side != None, "%v", p)
			if side == None {
				continue
			}
			for s := side - side%3; s < side-side%3+3; s++ {
				require.GreaterOrEqual(t, Orient(m.Pt[m.From(s)], m.Pt[m.To(s)], p), 0, "%v", p)
			}
		}
	}
}
