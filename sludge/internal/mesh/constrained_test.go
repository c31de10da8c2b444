package mesh

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units/plane"
)

// fenced is places in and about a basin with a bay and an island, whose rings run through
// places besides their corners, and the rings as numbers of places.
func fenced(rng *rand.Rand, n int, whole bool) (places []XY, rings [][]int32, polygons []plane.Polygon) {
	corners := [][]XY{
		{{10, 10}, {90, 10}, {90, 50}, {60, 50}, {50, 20}, {40, 50}, {10, 50}},
		{{20, 20}, {20, 32}, {32, 32}, {32, 20}},
	}
	known := map[XY]int32{}
	add := func(p XY) int32 {
		if i, ok := known[p]; ok {
			return i
		}
		known[p] = int32(len(places))
		places = append(places, p)
		return known[p]
	}
	for range n {
		p := XY{5 * float64(rng.IntN(21)), 5 * float64(rng.IntN(13))}
		if !whole {
			p = XY{100 * rng.Float64(), 60 * rng.Float64()}
		}
		add(p)
	}
	add(XY{25, 10}) // on sides of the rings
	add(XY{45, 35})
	add(XY{20, 26})
	for _, r := range corners {
		var ring []int32
		var polygon plane.Polygon
		for _, p := range r {
			ring = append(ring, add(p))
			polygon = append(polygon, p.Point())
		}
		rings, polygons = append(rings, ring), append(polygons, polygon)
	}
	return places, rings, polygons
}

// checkMesh proves that m is a triangulation of its hull and that its links agree.
func checkMesh(t *testing.T, m *Mesh, hull float64) {
	t.Helper()
	var area float64
	for i := range m.Corner {
		k := int32(i)
		a, b, c := m.Pt[m.From(k)], m.Pt[m.To(k)], m.Pt[m.Apex(k)]
		if k%3 == 0 {
			require.Equal(t, 1, Orient(a, b, c))
			area += ((b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X)) / 2
		}
		require.Equal(t, k, NextSide(PrevSide(k)))
		require.Equal(t, k/3, NextSide(k)/3)
		if w := m.Twin[k]; w != None {
			require.Equal(t, k, m.Twin[w])
			require.Equal(t, [2]int32{m.To(k), m.From(k)}, [2]int32{m.From(w), m.To(w)})
			require.Equal(t, m.Fixed(k), m.Fixed(w))
		}
	}
	require.InDelta(t, hull, area, 1e-9)
	for v, k := range m.out {
		require.Equal(t, int32(v), m.From(k))
	}
}

// TestInside: the ways become sides, through the places on them, the triangles inside are
// those whose middle lies in the area, all other sides are Delaunay, and the places that
// one is joined to are those of its triangles.
func TestInside(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for run := range 40 {
		places, rings, polygons := fenced(rng, 10+5*run, run%2 == 0)
		m := New(context.Background(), places, 1)
		var hull float64
		for k := 0; k < len(m.Corner); k += 3 {
			a, b, c := m.Pt[m.Corner[k]], m.Pt[m.Corner[k+1]], m.Pt[m.Corner[k+2]]
			hull += ((b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X)) / 2
		}
		original := Ways(rings)
		require.Equal(t, [2]int32{rings[0][0], rings[0][1]}, original[0])
		require.Equal(t, [2]int32{rings[0][6], rings[0][0]}, original[6])
		ways := m.Places(original)
		for k, w := range ways {
			require.Equal(t, [2]XY{places[original[k][0]], places[original[k][1]]}, [2]XY{m.Pt[w[0]], m.Pt[w[1]]})
		}
		in := m.Inside(ways)
		checkMesh(t, m, hull)

		on := map[[2]int32]bool{} // the pieces of the ways, by the places on them in order
		for _, w := range ways {
			a, b := m.Pt[w[0]], m.Pt[w[1]]
			var along []int32
			for i, p := range m.Pt {
				if Orient(a, b, p) == 0 && between(a, b, p) {
					along = append(along, int32(i))
				}
			}
			slices.SortFunc(along, func(i, j int32) int {
				p, q := m.Pt[i], m.Pt[j]
				di, dj := math.Hypot(p.X-a.X, p.Y-a.Y), math.Hypot(q.X-a.X, q.Y-a.Y)
				if di < dj {
					return -1
				}
				return 1
			})
			for i := range len(along) - 1 {
				on[[2]int32{along[i], along[i+1]}], on[[2]int32{along[i+1], along[i]}] = true, true
			}
		}
		joined := make([]map[int32]bool, len(m.Pt))
		for i := range joined {
			joined[i] = map[int32]bool{}
		}
		var inside float64
		for i := range m.Corner {
			k := int32(i)
			require.Equal(t, on[[2]int32{m.From(k), m.To(k)}], m.Fixed(k))
			delete(on, [2]int32{m.From(k), m.To(k)})
			if w := m.Twin[k]; w == None {
				delete(on, [2]int32{m.To(k), m.From(k)})
			} else if !m.Fixed(k) {
				require.False(t, InCircle(m.Pt[m.From(k)], m.Pt[m.To(k)], m.Pt[m.Apex(k)], m.Pt[m.Apex(w)]))
			}
			joined[m.From(k)][m.To(k)], joined[m.To(k)][m.From(k)] = true, true
			if k%3 != 0 {
				continue
			}
			a, b, c := m.Pt[m.From(k)], m.Pt[m.To(k)], m.Pt[m.Apex(k)]
			middle := XY{(a.X + b.X + c.X) / 3, (a.Y + b.Y + c.Y) / 3}.Point()
			require.Equal(t, polygons[0].Contains(middle) && !polygons[1].Contains(middle), in[k/3])
			if in[k/3] {
				inside += ((b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X)) / 2
			}
		}
		require.Empty(t, on, "each piece is a side")
		require.InDelta(t, float64(polygons[0].Area()-polygons[1].Area()), inside, 1e-9)
		for v := range m.Pt {
			got := map[int32]bool{}
			for j := range m.Joined(int32(v)) {
				require.False(t, got[j], "once each")
				got[j] = true
			}
			require.Equal(t, joined[v], got)
			for range m.Joined(int32(v)) { // a caller may have enough
				break
			}
		}
		checkLocator(t, rng, m, in)
	}
}

// checkLocator holds what a locator finds in the area, from anywhere, against all triangles:
// places inside, on sides and at corners, of the area and beside it.
func checkLocator(t *testing.T, rng *rand.Rand, m *Mesh, in []bool) {
	t.Helper()
	l := NewLocator(m, in)
	last := None
	for i := range 150 {
		p := XY{110*rng.Float64() - 5, 70*rng.Float64() - 5}
		k := int32(rng.IntN(len(m.Corner)))
		a, b := m.Pt[m.From(k)], m.Pt[m.To(k)]
		switch i % 4 {
		case 1:
			p = a
		case 2:
			p = XY{(a.X + b.X) / 2, (a.Y + b.Y) / 2}
		case 3: // about the rings
			p = XY{5 * float64(rng.IntN(21)), 5 * float64(rng.IntN(13))}
		}
		holds := func(k int32) bool {
			for s := k - k%3; s < k-k%3+3; s++ {
				if Orient(m.Pt[m.From(s)], m.Pt[m.To(s)], p) < 0 {
					return false
				}
			}
			return true
		}
		any := false
		for k := 0; k < len(m.Corner); k += 3 {
			any = any || in[k/3] && holds(int32(k))
		}
		for _, got := range []int32{l.Find(p), l.FindFrom(last, p)} {
			require.Equal(t, any, got != None, "%v", p)
			if got != None {
				require.True(t, in[got/3] && holds(got), "%v", p)
			}
		}
		last = l.Find(p)
	}
}

// On one line a place is between two others, or ahead of the one as the other is.
func TestBetweenAndAhead(t *testing.T) {
	a := XY{3, 7}
	for _, step := range []XY{{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {2, 1}, {-2, 1}, {2, -1}, {-1, -2}} {
		at := func(u float64) XY { return XY{a.X + u*step.X, a.Y + u*step.Y} }
		b := at(4)
		for u, want := range map[float64][2]bool{-3: {false, false}, -0.5: {false, false}, 0: {true, false}, 0.5: {true, true}, 4: {true, true}, 4.5: {false, true}, 9: {false, true}} {
			require.Equal(t, want[0], between(a, b, at(u)), "%v, %v", step, u)
			require.Equal(t, want[0], between(b, a, at(u)), "%v, %v", step, u)
			if u != 0 {
				require.Equal(t, want[1], ahead(a, b, at(u)), "%v, %v", step, u)
			}
		}
	}
}

// The places farthest out in eight directions, the first of those as far.
func TestExtremes(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for run := range 30 {
		var places []XY
		for range 40 {
			if run%2 == 0 {
				places = append(places, XY{float64(rng.IntN(9)), float64(rng.IntN(9))})
			} else {
				places = append(places, XY{10 * rng.NormFloat64(), 10 * rng.NormFloat64()})
			}
		}
		got := extremes(places)
		for j, d := range []XY{{1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}} {
			want := 0
			for i, p := range places {
				if p.X*d.X+p.Y*d.Y > places[want].X*d.X+places[want].Y*d.Y {
					want = i
				}
			}
			require.Equal(t, int32(want), got[j], "direction %d", j)
		}
	}
}

// Each level of a locator is a triangulation of every 32nd place of the finer one and of its
// outermost places, which know their numbers there; the coarsest has few.
func TestHierarchy(t *testing.T) {
	for name, places := range crowded(9000) {
		m := New(context.Background(), places, 1)
		levels := hierarchy(&m.Triangulation)
		require.NotEmpty(t, levels, name)
		finer := m.Pt
		for _, l := range slices.Backward(levels) {
			require.Greater(t, len(finer), 2*coarser)
			known := map[int32]bool{}
			for i, p := range l.Pt {
				require.Equal(t, finer[l.finer[i]], p, name)
				require.Equal(t, int32(i), l.Corner[l.out[i]])
				known[l.finer[i]] = true
			}
			for i := 0; i < len(finer); i += 32 {
				require.True(t, known[int32(i)])
			}
			for _, i := range extremes(finer) {
				require.True(t, known[i])
			}
			require.LessOrEqual(t, len(l.Pt), (len(finer)+31)/32+8)
			finer = l.Pt
		}
		require.LessOrEqual(t, len(finer), 2*coarser, name)
	}
	// From three places the nearest comes first.
	pt := []XY{{5, 0}, {0, 1}, {3, 4}, {2, 2}}
	for _, at := range [][3]int32{{0, 1, 2}, {2, 1, 0}, {1, 0, 2}, {1, 2, 0}, {3, 2, 0}} {
		byDistance(&at, pt, XY{0, 0})
		far := func(v int32) float64 { return pt[v].X*pt[v].X + pt[v].Y*pt[v].Y }
		require.True(t, far(at[0]) <= far(at[1]) && far(at[1]) <= far(at[2]), "%v", at)
	}
}
