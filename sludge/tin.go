package sludge

import (
	"context"
	"math"
	"slices"
	"sort"

	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/sludge/internal/outline"
	"example.org/earthbasin/sludge/internal/parallel"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// TINSpec says how to triangulate.
type TINSpec struct {
	Edge EdgeRule `json:"edge"` // required
	// Workers is the number of goroutines to use, 0 or 1 for none besides the
	// caller's. It changes no bit of the result.
	Workers int `json:"workers,omitempty"`
}

// TIN is a triangulated irregular network: a surface that is linear on each
// triangle of the Delaunay triangulation of the soundings, with the edges of the
// boundary and the islands as sides. It does not change and is safe for
// concurrent use.
type TIN struct {
	survey  *Survey
	mesh    *mesh.Mesh
	z       []float64 // by place of the mesh
	data    int32     // places with an original number from this on have their thickness by the edge rule
	in      []bool    // by triangle: in the area
	outside []int32   // the numbers of the others
	spec    TINSpec
	locator *mesh.Locator
}

// NewTIN triangulates the soundings of s inside its boundary. The errors are
// [units.FieldError]: edge when no rule is named, and boundary[i] or
// islands[i][j] for a corner that [EdgeRefuse] refuses. It ends with the error of ctx
// when that is done.
func NewTIN(ctx context.Context, s *Survey, spec TINSpec) (*TIN, error) {
	var f units.Faults
	s.checkUsable(&f)
	if !edgeNames.Has(int(spec.Edge)) {
		f.Add("edge", spec.Edge.String(), edgeNames.Want())
	}
	parallel.CheckWorkers(&f, spec.Workers)
	if err := f.Err(); err != nil {
		return nil, err
	}
	corners := 0
	for _, r := range s.rings {
		corners += len(r)
	}
	places := make([]mesh.XY, len(s.x), len(s.x)+corners)
	for i := range places {
		places[i] = mesh.XY{X: s.x[i], Y: s.y[i]}
	}
	places, rings := withCorners(places, s.rings)
	m := mesh.New(ctx, places, spec.Workers)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	ways := m.Places(mesh.Ways(rings))
	data := int32(len(s.x))
	edge := edgeThickness(m, cornersFrom(m, ways, data), s.z, spec, func(c int32) {
		at := s.corner(&f, rings, m.ID[c])
		at.Fault(units.FaultConflict, "", outline.Place(m.Pt[c].Point()),
			"a corner inside the hull of the soundings, or another edge rule")
	})
	if err := f.Err(); err != nil {
		return nil, err
	}
	t := tinOn(m, s.z, edge)
	t.survey, t.data, t.spec = s, data, spec
	t.in = m.Inside(ways)
	for k, in := range t.in {
		if !in {
			t.outside = append(t.outside, int32(k))
		}
	}
	t.locator = mesh.NewLocator(t.mesh, t.in)
	return t, nil
}

// cornersFrom returns the places of m where ways start that have numbers from data on.
func cornersFrom(m *mesh.Mesh, ways [][2]int32, data int32) (list []int32) {
	for _, w := range ways {
		if m.ID[w[0]] >= data {
			list = append(list, w[0])
		}
	}
	return list
}

// newTIN triangulates a few places with the thickness z. Its area is the hull.
func newTIN(places []mesh.XY, z []float64) *TIN {
	t := tinOn(mesh.New(context.Background(), places, 1), z, nil)
	t.locator = mesh.NewLocator(t.mesh, nil)
	return t
}

// tinOn puts the thickness, by number of place those of z and then those of edge, on a
// triangulation.
func tinOn(m *mesh.Mesh, z, edge []float64) *TIN {
	t := &TIN{mesh: m, z: make([]float64, len(m.Pt))}
	for i, id := range m.ID {
		if int(id) < len(z) {
			t.z[i] = z[id]
		} else {
			t.z[i] = edge[int(id)-len(z)]
		}
	}
	return t
}

// At returns the thickness of the surface at p by the plane of its triangle, and
// false outside the area.
func (t *TIN) At(p plane.Point) (units.Length, bool) {
	z, ok := t.at(mesh.Of(p))
	return units.Length(z), ok
}

func (t *TIN) at(p mesh.XY) (float64, bool) {
	if !t.covers(p) {
		return 0, false
	}
	return t.over(t.locator.Find(p), p)
}

// following returns At for places of which each is close to the one before, with less
// work. It is for one caller at a time.
func (t *TIN) following() func(p plane.Point) (units.Length, bool) {
	last := mesh.None
	return func(p plane.Point) (units.Length, bool) {
		q := mesh.Of(p)
		if !t.covers(q) {
			return 0, false
		}
		last = t.locator.FindFrom(last, q)
		z, ok := t.over(last, q)
		return units.Length(z), ok
	}
}

// covers reports whether p may lie in a triangle.
func (t *TIN) covers(p mesh.XY) bool {
	return t.locator != nil && math.Abs(p.X) <= outline.MaxCoordinate && math.Abs(p.Y) <= outline.MaxCoordinate
}

// over returns the thickness at p, which lies in the triangle of side k.
func (t *TIN) over(k int32, p mesh.XY) (float64, bool) {
	if k == mesh.None {
		return 0, false
	}
	k -= k % 3
	m := t.mesh
	a, b, c := m.Corner[k], m.Corner[k+1], m.Corner[k+2]
	return linear(m.Pt[a], m.Pt[b], m.Pt[c], t.z[a], t.z[b], t.z[c], p), true
}

// linear returns the value at p of the plane through three corners, the corner
// values themselves at the corners.
func linear(a, b, c mesh.XY, za, zb, zc float64, p mesh.XY) float64 {
	switch p {
	case a:
		return za
	case b:
		return zb
	case c:
		return zc
	}
	s := triangleArea(a, b, c)
	return za + (triangleArea(a, p, c)*(zb-za)+triangleArea(a, b, p)*(zc-za))/s
}

// TINVolume is the volume under a triangulated surface.
type TINVolume struct {
	Volume        units.Volume `json:"volume"`        // under the surface
	Area          units.Area   `json:"area"`          // of the triangles: the boundary less the islands
	MeanThickness units.Length `json:"meanThickness"` // volume over area
	Edge          EdgeRule     `json:"edge"`          // rule for corners where nothing was measured
	// VolumeByRule and AreaByRule are the part under triangles with a corner whose
	// thickness comes from the edge rule, not from a sounding.
	VolumeByRule units.Volume `json:"volumeByRule"`
	AreaByRule   units.Area   `json:"areaByRule"` // of the triangles of VolumeByRule
	Triangles    int          `json:"triangles"`  // number in the area
}

// Volume returns the exact volume under the surface: the sum over the triangles of
// area times the mean of the three corners.
func (t *TIN) Volume() TINVolume {
	v := TINVolume{Edge: t.spec.Edge}
	var all, rule sum
	var area, ruleArea sum
	t.each(func(a, b, c int32) {
		s := triangleArea(t.mesh.Pt[a], t.mesh.Pt[b], t.mesh.Pt[c])
		w := s * (t.z[a] + t.z[b] + t.z[c]) / 3
		all.add(w)
		area.add(s)
		if max(t.mesh.ID[a], t.mesh.ID[b], t.mesh.ID[c]) >= t.data {
			rule.add(w)
			ruleArea.add(s)
		}
		v.Triangles++
	})
	v.Volume, v.Area = units.Volume(all.total()), units.Area(area.total())
	v.VolumeByRule, v.AreaByRule = units.Volume(rule.total()), units.Area(ruleArea.total())
	if v.Area > 0 {
		v.MeanThickness = v.Volume.Over(v.Area).Depth()
	}
	return v
}

// Working returns the lines that show how the volume came about.
func (v TINVolume) Working() units.Working {
	var w units.Working
	w.Add("triangles", v.Triangles, "Delaunay triangulation of soundings and boundary corners")
	w.Add("area", v.Area, "inside the boundary, less islands")
	w.Add("sludge volume", v.Volume, "sum of triangle area x mean of its three corners")
	w.Add("mean thickness", v.MeanThickness, "volume / area")
	w.Add("area that rests on the edge rule", v.AreaByRule, "triangles with a boundary corner; rule: %v", v.Edge)
	w.Add("volume that rests on the edge rule", v.VolumeByRule, "of the sludge volume")
	return w
}

// String returns the working as a table.
func (v TINVolume) String() string { return v.Working().String() }

// LevelResult splits the space between a surface and a level.
type LevelResult struct {
	Level     units.Length `json:"level"`     // thickness, as given
	Above     units.Volume `json:"above"`     // under the surface and above the level
	Below     units.Volume `json:"below"`     // above the surface and below the level
	AreaAbove units.Area   `json:"areaAbove"` // where the surface is above the level
	AreaBelow units.Area   `json:"areaBelow"` // where the surface is below the level or at it
}

// Split returns the volumes and areas above and below a thickness: what is left
// when the sludge is taken down to a level, and what an even layer would lack. The
// triangles are cut where the surface crosses the level. Level is finite.
func (t *TIN) Split(level units.Length) (LevelResult, error) {
	var f units.Faults
	f.Between("level", level, units.Length(-maxDepth), units.Length(maxDepth))
	if err := f.Err(); err != nil {
		return LevelResult{}, err
	}
	var above, below, areaAbove, areaBelow sum
	t.each(func(a, b, c int32) {
		s := triangleArea(t.mesh.Pt[a], t.mesh.Pt[b], t.mesh.Pt[c])
		h := [3]float64{t.z[a] - float64(level), t.z[b] - float64(level), t.z[c] - float64(level)}
		up, part := aboveZero(h)
		above.add(s * up)
		below.add(s * (up - (h[0]+h[1]+h[2])/3))
		areaAbove.add(s * part)
		areaBelow.add(s * (1 - part))
	})
	return LevelResult{level, units.Volume(above.total()), units.Volume(max(0, below.total())),
		units.Area(areaAbove.total()), units.Area(max(0, areaBelow.total()))}, nil
}

// aboveZero returns the mean over a triangle of the positive part of the linear
// function with the corner values h, and the share of the triangle on which it is
// positive.
func aboveZero(h [3]float64) (mean, part float64) {
	slices.Sort(h[:])
	lo, mid, hi := h[0], h[1], h[2]
	switch {
	case lo >= 0 && hi > 0:
		return (lo + mid + hi) / 3, 1
	case hi <= 0:
		return 0, 0
	case mid <= 0: // a small triangle at hi
		part = hi / (hi - mid) * (hi / (hi - lo))
		return part * hi / 3, part
	}
	cut := lo / (lo - mid) * (lo / (lo - hi)) // the triangle at lo is below
	return (lo+mid+hi)/3 - cut*lo/3, 1 - cut
}

// each calls fn with the corners of each triangle in the area.
func (t *TIN) each(fn func(a, b, c int32)) {
	for k, in := range t.in {
		if in {
			fn(t.mesh.Corner[3*k], t.mesh.Corner[3*k+1], t.mesh.Corner[3*k+2])
		}
	}
}

// Len returns the number of triangles in the area.
func (t *TIN) Len() int { return len(t.in) - len(t.outside) }

// Triangle returns the corners of triangle i, 0 to below [TIN.Len], counterclockwise,
// and the thickness at each; zeros for another i. So a TIN serves wherever a surface of
// triangles is asked for.
func (t *TIN) Triangle(i int) (corners [3]plane.Point, thickness [3]units.Length) {
	if i < 0 || i >= t.Len() {
		return corners, thickness
	}
	before := sort.Search(len(t.outside), func(j int) bool { return int(t.outside[j])-j > i })
	k := 3 * (i + before)
	for j, c := range t.mesh.Corner[k : k+3] {
		corners[j], thickness[j] = t.mesh.Pt[c].Point(), units.Length(t.z[c])
	}
	return corners, thickness
}

func triangleArea(a, b, c mesh.XY) float64 {
	return ((b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X)) / 2
}
