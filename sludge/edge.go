package sludge

import (
	"cmp"
	"math"
	"slices"

	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// EdgeRule says which thickness a triangulated surface has at the corners of the
// boundary and of the islands, where nothing was measured. A basin is larger than
// the hull of its soundings, so that the volume depends on it.
type EdgeRule = units.Enum[edgeWords]

const (
	// EdgeZero, "zero", lets the sludge run out at the boundary and around the islands.
	EdgeZero EdgeRule = iota + 1
	// EdgeNearest, "nearest", gives a corner outside the hull of the soundings the thickness of
	// the nearest one. A corner inside the hull gets that of the triangulation of
	// the soundings alone.
	EdgeNearest
	// EdgeRefuse, "refuse", is EdgeNearest where every corner lies inside the hull, and an
	// error where one does not.
	EdgeRefuse
)

var edgeNames = units.Names{"", "zero", "nearest", "refuse"}

type edgeWords struct{}

func (edgeWords) Names() units.Names { return edgeNames }

// withCorners adds to places the corners of the rings that are not among them and
// returns the rings as numbers of places.
func withCorners(places []mesh.XY, polygons []plane.Polygon) ([]mesh.XY, [][]int32) {
	known := map[mesh.XY]int32{}
	var maybe [1 << 16 / 8]uint8 // bits by a hash of x: spare most places the map
	for _, r := range polygons {
		for _, c := range r {
			known[mesh.Of(c)] = mesh.None
			h := hashX(mesh.Of(c))
			maybe[h/8] |= 1 << (h % 8)
		}
	}
	for i, p := range places {
		if h := hashX(p); maybe[h/8]>>(h%8)&1 == 0 {
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

// hashX returns 16 bits that are the same for equal x, -0 and 0 among them.
func hashX(p mesh.XY) uint64 { return math.Float64bits(p.X+0) * 0x9e3779b97f4a7c15 >> 48 }

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

// edgeThickness returns the thickness by the rule at the corners, which are places of m
// with numbers beyond those of z in rising order, where m is not yet cut to the boundary.
func edgeThickness(m *mesh.Mesh, corners []int32, z []float64, spec TINSpec, refuse func(corner int32)) []float64 {
	list := make([]float64, len(corners))
	if spec.Edge == EdgeZero {
		return list
	}
	holes := map[int32]*hole{}
	for i, c := range corners {
		h := holes[c]
		if h == nil {
			h = newHole(m, c, z, holes)
		}
		if !m.Outermost(c) {
			var inside bool
			if list[i], inside = h.surface().at(m.Pt[c]); inside {
				continue
			}
		}
		if spec.Edge == EdgeRefuse {
			refuse(c)
		}
		list[i] = h.nearest(m.Pt[c])
	}
	return list
}

// hole is what is left of a triangulation when a group of corners that are joined is
// taken out of it: soundings on its rim. Within it the triangulation of the soundings
// alone is that of the rim, since its circles are free of the other soundings too. So a
// corner lies in the hull of the soundings when it lies in that of the rim, and the
// nearest sounding is on the rim: the places in a circle around a corner are joined
// within that circle.
type hole struct {
	places []mesh.XY
	z      []float64
	near   *mesh.Neighbours
	tin    *TIN // nil as long as nobody asked for it
}

// newHole returns the hole around the group of corner c and enters it in holes for each
// of the group.
func newHole(m *mesh.Mesh, c int32, z []float64, holes map[int32]*hole) *hole {
	h := &hole{}
	var rim []int32 // by place
	group := []int32{c}
	holes[c] = h
	for k := 0; k < len(group); k++ {
		for j := range m.Joined(group[k]) {
			switch {
			case int(m.ID[j]) < len(z):
				rim = append(rim, j) // once for each corner that it is joined to
			case holes[j] == nil:
				holes[j] = h
				group = append(group, j)
			}
		}
	}
	slices.SortFunc(rim, func(a, b int32) int { return cmp.Compare(m.ID[a], m.ID[b]) }) // of equally near ones the first counts
	rim = slices.Compact(rim)
	h.places, h.z = make([]mesh.XY, len(rim)), make([]float64, len(rim))
	for i, j := range rim {
		h.places[i], h.z[i] = m.Pt[j], z[m.ID[j]]
	}
	h.near = mesh.NewNeighbours(h.places)
	return h
}

// surface returns the triangulation of the rim.
func (h *hole) surface() *TIN {
	if h.tin == nil {
		h.tin = newTIN(h.places, h.z)
	}
	return h.tin
}

// nearest returns the thickness of the sounding nearest to p.
func (h *hole) nearest(p mesh.XY) float64 {
	var at [1]int32
	var dist [1]float64
	h.near.Find(p, at[:], dist[:])
	return h.z[at[0]]
}
