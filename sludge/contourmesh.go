package sludge

import (
	"context"
	"math"

	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// ContourSpec says at which levels to contour a surface and on what lattice.
type ContourSpec struct {
	Levels  []units.Length `json:"levels"`  // rising
	Spacing units.Length   `json:"spacing"` // greatest side of a square; gives at most a million of them
}

// SurfaceContours contours any surface over the boundary of s, such as a kriged
// one, by marching squares on a lattice. The strip between the last whole squares
// and the boundary is cut into triangles, with points on the boundary no farther
// apart than the spacing, so that the bands fill the area exactly. A surface
// without a finite thickness somewhere in the area is an error that names the
// place. For a TIN use [TIN.Contours]. It ends with the error of ctx when that is done.
func SurfaceContours(ctx context.Context, s *Survey, surface Surface, spec ContourSpec) (*Contours, error) {
	var f units.Faults
	s.checkUsable(&f)
	if units.IsNil(surface) {
		f.Missing("surface", "a surface")
	}
	f.Sub("", checkLevelList(spec.Levels))
	if err := f.Err(); err != nil {
		return nil, err
	}
	l, ok := s.lattice("spacing", spec.Spacing, maxSquares, &f)
	if !ok {
		return nil, f.Err()
	}
	q, err := newQuilt(ctx, s, l)
	if err != nil {
		return nil, err
	}
	at := surface.At
	if tin, ok := surface.(*TIN); ok {
		at = tin.following() // from square to square
	}
	z := make([]float64, len(q.places))
	for i, p := range q.places {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		t, ok := at(p.Point())
		if !ok && q.inward[i] != (mesh.XY{}) { // on the edge, where rounding may put it outside
			n := q.inward[i]
			t, ok = at(plane.Point{X: units.Length(p.X + 1e-7*n.X), Y: units.Length(p.Y + 1e-7*n.Y)})
		}
		if z[i] = float64(t); !ok {
			z[i] = math.NaN()
		}
		if !(math.Abs(z[i]) <= maxDepth) {
			return nil, noThickness(z[i], p.Point())
		}
	}
	return q.cells(z).contours(ctx, spec.Levels)
}

// quilt covers the area of a survey with the whole squares of a lattice and with
// triangles between them and the edge.
type quilt struct {
	places  []mesh.XY
	inward  []mesh.XY // by place: of those on the edge, the left side of the ring, as long as its side
	squares [][4]int32
	mesh    *mesh.Mesh // of the places of the strip; its numbers are those of strip
	strip   []int32
	in      []bool
	outline map[[2]int32]bool // sides of the squares that face the strip, in numbers of the mesh, the strip on the left
}

func newQuilt(ctx context.Context, s *Survey, l mesh.Lattice) (*quilt, error) {
	q := &quilt{outline: map[[2]int32]bool{}}
	rings := q.addRings(s, max(l.DX, l.DY))
	whole := wholeSquares(s, l)
	isWhole := func(c, r int) bool {
		return c >= 0 && r >= 0 && c < l.Cols && r < l.Rows && whole[r*l.Cols+c]
	}
	number := make([]int32, (l.Cols+1)*(l.Rows+1)) // of a corner of a square, plus 1
	node := func(c, r int) int32 {
		n := &number[r*(l.Cols+1)+c]
		if *n == 0 {
			q.places, q.inward = append(q.places, mesh.XY{X: l.X(c), Y: l.Y(r)}), append(q.inward, mesh.XY{})
			*n = int32(len(q.places))
		}
		return *n - 1
	}
	var rim [][2]int32
	strip := map[int32]bool{}
	for r := range l.Rows {
		for c := range l.Cols {
			if !isWhole(c, r) {
				continue
			}
			sq := [4]int32{node(c, r), node(c+1, r), node(c+1, r+1), node(c, r+1)}
			q.squares = append(q.squares, sq)
			for i, n := range [4][2]int{{c, r - 1}, {c + 1, r}, {c, r + 1}, {c - 1, r}} {
				if !isWhole(n[0], n[1]) {
					a, b := sq[i], sq[(i+1)%4]
					rim = append(rim, [2]int32{b, a})
					strip[a], strip[b] = true, true
				}
			}
		}
	}
	// The strip: the rings, the rim of the squares, and the lattice between them.
	for i := range q.places {
		if q.inward[i] != (mesh.XY{}) || strip[int32(i)] {
			q.strip = append(q.strip, int32(i))
		}
	}
	for _, p := range q.between(s, l, isWhole) {
		q.strip = append(q.strip, int32(len(q.places)))
		q.places, q.inward = append(q.places, p), append(q.inward, mesh.XY{})
	}
	places := make([]mesh.XY, len(q.strip))
	local := make(map[int32]int32, len(q.strip))
	for i, n := range q.strip {
		places[i], local[n] = q.places[n], int32(i)
	}
	all := append(mesh.Ways(rings), rim...)
	for i, w := range all {
		all[i] = [2]int32{local[w[0]], local[w[1]]}
	}
	q.mesh = mesh.New(ctx, places, 1)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	all = q.mesh.Places(all)
	q.in = q.mesh.Inside(all)
	for _, w := range all[len(all)-len(rim):] {
		q.outline[w] = true
	}
	return q, nil
}

// addRings adds the corners of the rings and points between them at most spacing
// apart.
func (q *quilt) addRings(s *Survey, spacing float64) [][]int32 {
	rings := make([][]int32, len(s.rings))
	for k, r := range s.rings {
		for i, a := range r {
			d := r[(i+1)%len(r)].Sub(a)
			parts := max(1, math.Ceil(math.Hypot(float64(d.X), float64(d.Y))/spacing-1e-9))
			for j := 0.0; j < parts; j++ {
				rings[k] = append(rings[k], int32(len(q.places)))
				q.places = append(q.places, mesh.XY{X: float64(a.X + d.X*units.Length(j/parts)), Y: float64(a.Y + d.Y*units.Length(j/parts))})
				q.inward = append(q.inward, mesh.XY{X: -float64(d.Y), Y: float64(d.X)})
			}
		}
	}
	return rings
}

// wholeSquares marks the squares of the lattice that lie in the area with no ring
// touching them.
func wholeSquares(s *Survey, l mesh.Lattice) []bool {
	whole := make([]bool, l.Cols*l.Rows)
	touched := make([]bool, l.Cols*l.Rows)
	const slack = 1e-6 // of a square
	for _, ring := range s.rings {
		for i, c := range ring {
			a, b := mesh.Of(c), mesh.Of(ring[(i+1)%len(ring)])
			if b.X < a.X {
				a, b = b, a
			}
			c0 := max(int(math.Floor((a.X-l.X0)/l.DX-slack)), 0)
			c1 := min(int(math.Floor((b.X-l.X0)/l.DX+slack)), l.Cols-1)
			for c := c0; c <= c1; c++ {
				ya, yb := a.Y, b.Y // where the side is over column c and a little beyond
				if b.X > a.X {
					g := (b.Y - a.Y) / (b.X - a.X)
					ya = a.Y + (min(max(l.X(c)-slack*l.DX, a.X), b.X)-a.X)*g
					yb = a.Y + (min(max(l.X(c+1)+slack*l.DX, a.X), b.X)-a.X)*g
				}
				r0 := max(int(math.Floor((min(ya, yb)-l.Y0)/l.DY-slack)), 0)
				r1 := min(int(math.Floor((max(ya, yb)-l.Y0)/l.DY+slack)), l.Rows-1)
				for r := r0; r <= r1; r++ {
					touched[r*l.Cols+c] = true
				}
			}
		}
	}
	g := &Grid{l, 1 / l.DX, 1 / l.DY, make([]float64, l.Cols*l.Rows)}
	s.mask(g)
	for k := range whole {
		whole[k] = !touched[k] && !math.IsNaN(g.z[k])
	}
	return whole
}

// between returns the nodes of the lattice in the area that are no corner of a
// whole square and not so close to the edge that they would make slivers.
func (q *quilt) between(s *Survey, l mesh.Lattice, isWhole func(c, r int) bool) []mesh.XY {
	var points []plane.Point
	for r := range l.Rows + 1 {
		for c := range l.Cols + 1 {
			if !(isWhole(c, r) || isWhole(c-1, r) || isWhole(c, r-1) || isWhole(c-1, r-1)) {
				points = append(points, mesh.XY{X: l.X(c), Y: l.Y(r)}.Point())
			}
		}
	}
	var list []mesh.XY
	near := mesh.NewNeighbours(q.places)
	var id [1]int32
	var dist [1]float64
	for i, in := range s.inside(points) {
		if !in {
			continue
		}
		p := mesh.Of(points[i])
		if near.Find(p, id[:], dist[:]); dist[0] > 0.1*l.DX*l.DY {
			list = append(list, p)
		}
	}
	return list
}

// cells returns the squares and triangles with the thickness z by place.
func (q *quilt) cells(z []float64) cells {
	c := cells{pt: q.places, z: z, count: len(q.squares) + len(q.in)}
	var buffer [3]int32
	c.cell = func(i int) []int32 {
		if i < len(q.squares) {
			return q.squares[i][:]
		}
		i -= len(q.squares)
		if !q.in[i] {
			return nil
		}
		for j := range buffer {
			buffer[j] = q.place(q.mesh.Corner[3*i+j])
		}
		return buffer[:]
	}
	m := q.mesh
	for i := range m.Corner {
		k := int32(i)
		if q.in[k/3] && (m.Twin[k] == mesh.None || !q.in[m.Twin[k]/3]) && !q.outline[[2]int32{m.From(k), m.To(k)}] {
			c.edge = append(c.edge, [2]int32{q.place(m.From(k)), q.place(m.To(k))})
		}
	}
	return c
}

// place returns the number of a place of the mesh in the quilt.
func (q *quilt) place(v int32) int32 { return q.strip[q.mesh.ID[v]] }
