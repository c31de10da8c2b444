package sludge

import (
	"maps"
	"math"
	"slices"

	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// EdgeRule says which thickness a triangulated surface has at the corners of the
// boundary and of the islands, where nothing was measured. A basin is larger than
// the hull of its soundings, so that the volume depends on it.
type EdgeRule int

const (
	edgeUnnamed EdgeRule = iota
	// EdgeZero lets the sludge run out at the boundary and around the islands.
	EdgeZero
	// EdgeNearest gives a corner outside the hull of the soundings the thickness of
	// the nearest one. A corner inside the hull gets that of the triangulation of
	// the soundings alone.
	EdgeNearest
	// EdgeRefuse is EdgeNearest where every corner lies inside the hull, and an
	// error where one does not.
	EdgeRefuse
)

var edgeNames = units.Names{"", "zero", "nearest", "refuse"}

// String returns the name that MarshalText writes.
func (r EdgeRule) String() string { return edgeNames.String(int(r)) }

// MarshalText writes the name.
func (r EdgeRule) MarshalText() ([]byte, error) { return edgeNames.Marshal(int(r)) }

// UnmarshalText reads a name; the error lists the names.
func (r *EdgeRule) UnmarshalText(text []byte) error { return units.UnmarshalName(edgeNames, text, r) }

// withCorners adds to places the corners of the rings that are not among them and
// returns the rings as numbers of places.
func withCorners(places []mesh.XY, polygons []plane.Polygon) ([]mesh.XY, [][]int32) {
	known := map[mesh.XY]int32{}
	var maybe [1 << 10]bool // by a hash of x: spares most places the map
	for _, r := range polygons {
		for _, c := range r {
			known[mesh.Of(c)] = mesh.None
			maybe[hashX(mesh.Of(c))] = true
		}
	}
	for i, p := range places {
		if !maybe[hashX(p)] {
			continue
		}
		if _, ok := known[p]; ok {
			known[p] = int32(i)
		}
	}
	rings := make([][]int32, len(polygons))
	for k, r := range polygons {
		for _, c := range r {
			p := mesh.Of(c)
			if known[p] == mesh.None {
				known[p] = int32(len(places))
				places = append(places, p)
			}
			rings[k] = append(rings[k], known[p])
		}
	}
	return places, rings
}

// hashX returns 10 bits that are the same for equal x, -0 and 0 among them.
func hashX(p mesh.XY) uint64 { return math.Float64bits(p.X+0) * 0x9e3779b97f4a7c15 >> 54 }

// corner returns the part of f that is the corner of the spec at place i.
func (s *Survey) corner(f *units.Faults, rings [][]int32, i int32) units.Faults {
	for k, r := range rings {
		j := slices.Index(r, i)
		if j < 0 {
			continue
		}
		if s.turned[k] {
			j = len(r) - 1 - j
		}
		if k == 0 {
			return f.At("boundary", j)
		}
		return f.At("islands", k-1, j)
	}
	return f.At("")
}

// edgeThickness returns the thickness by the rule at the places of m, which is not yet
// cut to the boundary, beyond those with z.
func edgeThickness(m *mesh.Mesh, places []mesh.XY, z []float64, spec TINSpec, refuse func(i int32)) []float64 {
	corners := places[len(z):]
	list := make([]float64, len(corners))
	if spec.Edge == EdgeZero || len(corners) == 0 {
		return list
	}
	data := places[:len(z)]
	hull := mesh.ConvexHull(data)
	near := mesh.NewNeighbours(data)
	var without *holes
	var idx [1]int32
	var dist [1]float64
	for i, c := range corners {
		if !mesh.InConvex(hull, c) {
			if spec.Edge == EdgeRefuse {
				refuse(int32(len(z) + i))
			}
			near.Find(c, idx[:], dist[:])
			list[i] = z[idx[0]]
			continue
		}
		if without == nil {
			without = newHoles(m, int32(len(z)))
		}
		list[i] = without.at(c, int32(len(z)+i), places, z, spec)
	}
	return list
}

// holes are what is left of a triangulation when the corners are taken out of it:
// around each group of corners that are joined, a hole with soundings on its rim.
// Within it the triangulation of the soundings alone is that of the rim, since its
// circles are free of the other soundings too.
type holes struct {
	joined map[int32][]int32 // by the number of a corner: numbers of all places joined to it
	data   int32             // numbers from this on are corners
	tin    map[int32]*TIN    // of the rim, by each corner of the group
}

func newHoles(m *mesh.Mesh, data int32) *holes {
	h := &holes{joined: map[int32][]int32{}, data: data, tin: map[int32]*TIN{}}
	for k := range int32(len(m.Corner)) {
		a, b := m.ID[m.From(k)], m.ID[m.To(k)]
		if a >= data {
			h.joined[a] = append(h.joined[a], b)
		}
		if b >= data { // sides of the hull run one way only
			h.joined[b] = append(h.joined[b], a)
		}
	}
	return h
}

// at returns the thickness of the soundings alone at corner i, which is at c.
func (h *holes) at(c mesh.XY, i int32, places []mesh.XY, z []float64, spec TINSpec) float64 {
	if h.tin[i] == nil {
		group, rim := []int32{i}, map[int32]bool{}
		seen := map[int32]bool{i: true}
		for k := 0; k < len(group); k++ {
			for _, j := range h.joined[group[k]] {
				switch {
				case seen[j]:
				case j >= h.data:
					group = append(group, j)
				default:
					rim[j] = true
				}
				seen[j] = true
			}
		}
		var around []mesh.XY
		var values []float64
		for _, j := range slices.Sorted(maps.Keys(rim)) {
			around, values = append(around, places[j]), append(values, z[j])
		}
		t := newTIN(around, values, spec)
		for _, j := range group {
			h.tin[j] = t
		}
	}
	v, _ := h.tin[i].at(c)
	return v
}
