package sludge

import (
	"math"
	"sync"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// locator holds, for each cell of a lattice over the mesh, a triangle close by
// from which to walk.
type locator struct {
	once   sync.Once
	l      lattice
	nearby []int32
}

func (l lattice) cell(p xy) (c, r int) {
	c = min(max(int((p.x-l.x0)/l.dx), 0), l.cols-1)
	r = min(max(int((p.y-l.y0)/l.dy), 0), l.rows-1)
	return c, r
}

// latticeOver returns square cells over places, about one for each per of them.
func latticeOver(places []xy, per float64) lattice {
	low, high := bounds(places)
	w, h := high.x-low.x, high.y-low.y
	cells := max(1, float64(len(places))/per)
	side := max(math.Sqrt(w*h/cells), max(w, h)/cells) // no more cells than that on a thin strip either
	if !(side > 0) || math.IsInf(side, 0) {
		side = 1
	}
	return lattice{low.x, low.y, side, side, int(w/side) + 1, int(h/side) + 1}
}

func (t *TIN) start(p xy) int32 {
	t.locator.once.Do(func() {
		m, l := t.mesh, latticeOver(t.mesh.pt, 4)
		t.locator.l, t.locator.nearby = l, make([]int32, l.cols*l.rows)
		for k := int32(0); int(k) < len(m.corner); k += 3 {
			c, r := l.cell(m.pt[m.corner[k]])
			t.locator.nearby[r*l.cols+c] = k
		}
	})
	c, r := t.locator.l.cell(p)
	return t.locator.nearby[r*t.locator.l.cols+c]
}

// At returns the thickness of the surface at p by the plane of its triangle, and
// false outside the area.
func (t *TIN) At(p plane.Point) (units.Length, bool) {
	z, ok := t.at(xyOf(p))
	return units.Length(z), ok
}

func (t *TIN) at(p xy) (float64, bool) {
	if !(math.Abs(p.x) <= maxCoordinate && math.Abs(p.y) <= maxCoordinate) {
		return 0, false
	}
	k := t.walk(p)
	if k == none {
		return 0, false
	}
	if !t.in[k/3] {
		if k = t.touching(p, k); k == none {
			return 0, false
		}
	}
	k -= k % 3
	m := t.mesh
	a, b, c := m.corner[k], m.corner[k+1], m.corner[k+2]
	return linear(m.pt[a], m.pt[b], m.pt[c], t.z[a], t.z[b], t.z[c], p), true
}

// linear returns the value at p of the plane through three corners, the corner
// values themselves at the corners.
func linear(a, b, c xy, za, zb, zc float64, p xy) float64 {
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

// walk returns a side of a triangle that holds p, or none outside the mesh.
func (t *TIN) walk(p xy) int32 {
	m := t.mesh
	if m == nil || len(m.corner) == 0 {
		return none
	}
	k := t.start(p)
	for range len(m.corner) {
		side := none
		for s, j := k, 0; j < 3 && side == none; s, j = nextSide(s), j+1 {
			if orient(m.pt[m.from(s)], m.pt[m.to(s)], p) < 0 {
				side = s
			}
		}
		if side == none {
			return k
		}
		if k = m.twin[side]; k == none {
			return none
		}
	}
	// Fixed sides can send the walk in circles: look at all.
	for k := int32(0); int(k) < len(m.corner); k += 3 {
		if orient(m.pt[m.from(k)], m.pt[m.to(k)], p) >= 0 && orient(m.pt[m.to(k)], m.pt[m.apex(k)], p) >= 0 &&
			orient(m.pt[m.apex(k)], m.pt[m.from(k)], p) >= 0 {
			return k
		}
	}
	return none
}

// touching returns a triangle in the area that has p on its edge, where k is one
// outside the area that does, or none.
func (t *TIN) touching(p xy, k int32) int32 {
	m, found := t.mesh, none
	for s := k - k%3; s < k-k%3+3; s++ {
		if m.pt[m.from(s)] == p {
			m.around(m.from(s), func(j int32) bool {
				if t.in[j/3] {
					found = j
				}
				return found == none
			})
			return found
		}
		if w := m.twin[s]; w != none && t.in[w/3] && orient(m.pt[m.from(s)], m.pt[m.to(s)], p) == 0 {
			found = w
		}
	}
	return found
}

// convexHull returns the corners of the hull, counterclockwise, without places on
// its sides (Andrew's monotone chain).
func convexHull(places []xy) []xy {
	list := hullCandidates(places)
	if len(list) < 3 {
		return list
	}
	sortPlaces(list, make([]int32, len(list)))
	var hull []xy
	for pass := range 2 {
		from := len(hull)
		for i := range list {
			p := list[i]
			if pass == 1 {
				p = list[len(list)-1-i]
			}
			for len(hull) >= from+2 && orient(hull[len(hull)-2], hull[len(hull)-1], p) <= 0 {
				hull = hull[:len(hull)-1]
			}
			hull = append(hull, p)
		}
		hull = hull[:len(hull)-1]
	}
	return hull
}

// hullCandidates leaves out places that lie inside the polygon of the extremes in
// eight directions, which are most of a large set (Akl and Toussaint).
func hullCandidates(places []xy) []xy {
	var extreme [8]xy
	for j := range extreme {
		sin, cos := math.Sincos(float64(j) * math.Pi / 4)
		best := math.Inf(-1)
		for _, p := range places {
			if v := cos*p.x + sin*p.y; v > best {
				best, extreme[j] = v, p
			}
		}
	}
	list := make([]xy, 0, 64)
	for _, p := range places {
		inside := true
		for j := range extreme {
			a, b := extreme[j], extreme[(j+1)%8]
			if a != b && orient(a, b, p) <= 0 {
				inside = false
				break
			}
		}
		if !inside {
			list = append(list, p)
		}
	}
	return list
}

// inConvex reports whether p lies in the hull or on its edge.
func inConvex(hull []xy, p xy) bool {
	if len(hull) < 3 {
		return false
	}
	for i, a := range hull {
		if orient(a, hull[(i+1)%len(hull)], p) < 0 {
			return false
		}
	}
	return true
}
