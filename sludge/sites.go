package sludge

import (
	"math"
	"slices"
)

// site is a place with a thickness as the estimate of a volume uses it, in metres.
type site struct {
	x, y      float64 // from the low corner of the box around the boundary
	thickness float64
	floor     float64 // depth to it as read, NaN where it was not
	depths    bool    // the thickness is one depth less another
	readings  float64
	track     int
}

// mostSites is the number of sites above which they are thinned.
const mostSites = 120

// sites returns the soundings of the survey, thinned when they are many, and the side
// of the cells that they were thinned by, 0 when they were not.
func (s *Survey) sites() (list []site, side float64) {
	low, _ := s.rings[0].Bounds()
	x0, y0 := float64(low.X), float64(low.Y)
	list = make([]site, 0, min(s.n, mostSites))
	one := func(i int) site {
		p := site{x: s.x[i] - x0, y: s.y[i] - y0, thickness: s.z[i], floor: math.NaN(), readings: float64(s.merged[i]), track: s.trackOf(i), depths: !math.IsNaN(s.toSludge[i])}
		if s.flags[i]&floorAssumed == 0 {
			p.floor = s.toSludge[i] + s.z[i] // NaN without depths
		}
		return p
	}
	if s.n <= mostSites {
		for i := range s.n {
			list = append(list, one(i))
		}
		return list, 0
	}
	t := newThinning(s, x0, y0)
	for _, ids := range t.groups {
		p := one(int(ids[0]))
		var floors int
		var floor float64
		p.x, p.y, p.thickness = 0, 0, 0
		for _, i := range ids {
			q := one(int(i))
			p.x += q.x
			p.y += q.y
			p.thickness += q.thickness
			if !math.IsNaN(q.floor) {
				floor += q.floor
				floors++
			}
		}
		n := float64(len(ids))
		p.x, p.y, p.thickness = p.x/n, p.y/n, p.thickness/n
		p.floor = floor / float64(floors) // NaN without any
		p.readings = 1                    // errors of neighbours on a track are not taken as independent
		list = append(list, p)
	}
	return list, t.side
}

// thinning is the pings that stand for a dense survey: in each square cell that
// holds any, the one nearest to its middle and those of the cell close to it, whose
// mean has less noise and does not blur the floor.
type thinning struct {
	side   float64
	groups [][]int32
}

// closeBy is the share of the side of a cell within which pings are averaged.
const closeBy = 1.0 / 12

func newThinning(s *Survey, x0, y0 float64) thinning {
	_, high := s.rings[0].Bounds()
	w, h := float64(high.X)-x0, float64(high.Y)-y0
	t := thinning{side: max(math.Sqrt(s.area/mostSites), math.Sqrt(w*h)/1000)} // a sliver at a slant has a large box
	var nearest []int32
	var best []float64
	var cols, rows int
	cellOf := func(i int) (k int, middle float64) {
		dx, dy := (s.x[i]-x0)/t.side, (s.y[i]-y0)/t.side
		c, r := max(0, min(cols-1, int(dx))), max(0, min(rows-1, int(dy)))
		dx, dy = dx-float64(c)-0.5, dy-float64(r)-0.5
		return r*cols + c, dx*dx + dy*dy
	}
	for ; ; t.side *= 1.1 { // ends at one cell
		cols, rows = int(w/t.side)+1, int(h/t.side)+1
		nearest, best = make([]int32, cols*rows), make([]float64, cols*rows)
		held := 0
		for i := range s.n {
			k, d := cellOf(i)
			switch {
			case nearest[k] == 0:
				held++
				nearest[k], best[k] = int32(i)+1, d
			case d < best[k]:
				nearest[k], best[k] = int32(i)+1, d
			}
		}
		if held <= mostSites {
			break
		}
	}
	groups := make([][]int32, cols*rows)
	within := (closeBy * t.side) * (closeBy * t.side)
	for k, i := range nearest {
		if i > 0 {
			groups[k] = []int32{i - 1}
		}
	}
	for i := range s.n {
		k, _ := cellOf(i)
		n := int(nearest[k] - 1)
		if dx, dy := s.x[i]-s.x[n], s.y[i]-s.y[n]; i != n && dx*dx+dy*dy <= within {
			groups[k] = append(groups[k], int32(i))
		}
	}
	t.groups = slices.DeleteFunc(groups, func(g []int32) bool { return g == nil })
	return t
}
