package mesh

import (
	"context"
	"math"
	"math/rand/v2"
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

// Find is held against sorting all distances.
func TestNeighbours(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for name, places := range awkward() {
		n := NewNeighbours(places)
		for range 50 {
			q := places[rng.IntN(len(places))]
			q = XY{q.X + rng.NormFloat64(), q.Y + rng.NormFloat64()}
			id, dist := make([]int32, 12), make([]float64, 12)
			require.Equal(t, min(12, len(places)), n.Find(q, id, dist))
			less := 0
			for i, p := range places {
				d := (p.X-q.X)*(p.X-q.X) + (p.Y-q.Y)*(p.Y-q.Y)
				if d < dist[11] || d == dist[11] && int32(i) < id[11] {
					less++
				}
			}
			require.Equal(t, 11, less, name)
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
