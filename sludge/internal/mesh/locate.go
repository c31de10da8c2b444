package mesh

import "sync/atomic"

// Locator finds the triangles of a mesh. It is safe for concurrent use.
type Locator struct {
	mesh *Mesh
	in   []bool // by triangle: in the area; nil for all

	index atomic.Pointer[startIndex] // made by the first search; made twice it is the same
}

// startIndex holds, for each cell of a lattice over the mesh, a triangle close by
// from which to walk.
type startIndex struct {
	l      Lattice
	nearby []int32
}

// NewLocator returns a locator in the triangles that in marks, nil for all of
// them. The mesh does not change any more.
func NewLocator(m *Mesh, in []bool) *Locator { return &Locator{mesh: m, in: in} }

// Find returns a side of a triangle in the area that has p inside or on its edge,
// or None.
func (t *Locator) Find(p XY) int32 {
	if t.mesh == nil || len(t.mesh.Corner) == 0 {
		return None
	}
	k := t.walk(p)
	if k != None && t.in != nil && !t.in[k/3] {
		return t.touching(p, k)
	}
	return k
}

func (t *Locator) start(p XY) int32 {
	x := t.index.Load()
	if x == nil {
		m, l := t.mesh, latticeOver(t.mesh.Pt, 4)
		x = &startIndex{l, make([]int32, l.Cols*l.Rows)}
		for k := int32(0); int(k) < len(m.Corner); k += 3 {
			c, r := l.cell(m.Pt[m.Corner[k]])
			x.nearby[r*l.Cols+c] = k
		}
		t.index.Store(x)
	}
	c, r := x.l.cell(p)
	return x.nearby[r*x.l.Cols+c]
}

// walk returns a side of a triangle that holds p, or None outside the mesh.
func (t *Locator) walk(p XY) int32 {
	m := t.mesh
	k := t.start(p)
	for range len(m.Corner) {
		side := None
		for s, j := k, 0; j < 3 && side == None; s, j = NextSide(s), j+1 {
			if Orient(m.Pt[m.From(s)], m.Pt[m.To(s)], p) < 0 {
				side = s
			}
		}
		if side == None {
			return k
		}
		if k = m.Twin[side]; k == None {
			return None
		}
	}
	// Fixed sides can send the walk in circles: look at all.
	for k := int32(0); int(k) < len(m.Corner); k += 3 {
		if Orient(m.Pt[m.From(k)], m.Pt[m.To(k)], p) >= 0 && Orient(m.Pt[m.To(k)], m.Pt[m.Apex(k)], p) >= 0 &&
			Orient(m.Pt[m.Apex(k)], m.Pt[m.From(k)], p) >= 0 {
			return k
		}
	}
	return None
}

// touching returns a triangle in the area that has p on its edge, where k is one
// outside the area that does, or None.
func (t *Locator) touching(p XY, k int32) int32 {
	m, found := t.mesh, None
	for s := k - k%3; s < k-k%3+3; s++ {
		if m.Pt[m.From(s)] == p {
			m.around(m.From(s), func(j int32) bool {
				if t.in[j/3] {
					found = j
				}
				return found == None
			})
			return found
		}
		if w := m.Twin[s]; w != None && t.in[w/3] && Orient(m.Pt[m.From(s)], m.Pt[m.To(s)], p) == 0 {
			found = w
		}
	}
	return found
}
