package volume

import (
	"slices"

	"example.org/earthbasin/units"
)

// piece is a stretch of heights on which the area is a quadratic.
type piece struct {
	low     float64 // where it begins
	v       float64 // volume below low
	a, b, c float64 // the area is a + bx + cx² at x above low
}

// piecewise is the solid whose area is quadratic between knots: the basis of
// polygons, surveyed areas and floors of triangles. The first piece begins at 0.
type piecewise struct {
	list  []piece
	depth float64
	// index holds, for equal steps of height, the piece at the lower end of
	// the step, so that finding one takes the same time in a table of three
	// pieces and of a hundred thousand.
	index []int32
	scale float64 // steps per height
}

// stacked returns the solid of list, whose volumes are not known yet.
func stacked(list []piece, depth float64) piecewise {
	for i := range list[1:] {
		list[i+1].v = list[i].volumeAt(list[i+1].low)
	}
	return newPiecewise(list, depth)
}

// newPiecewise returns the solid of list, which is in rising order from 0.
func newPiecewise(list []piece, depth float64) piecewise {
	n := len(list)
	s := piecewise{list: list, depth: depth, index: make([]int32, n+1), scale: float64(n) / depth}
	at := 0
	for i := range s.index {
		for at+1 < n && list[at+1].low <= float64(i)/s.scale {
			at++
		}
		s.index[i] = int32(at)
	}
	return s
}

func (p *piece) areaAt(h float64) float64 {
	x := h - p.low
	return max(p.a+x*(p.b+x*p.c), 0) // rounding where the area vanishes
}

func (p *piece) volumeAt(h float64) float64 {
	x := h - p.low
	return p.v + x*(p.a+x*(p.b/2+x*p.c/3))
}

// find returns the piece that holds h, which lies in 0 to the depth.
func (s *piecewise) find(h float64) *piece {
	if len(s.list) == 0 {
		return &piece{} // a zero value, which no constructor made, holds nothing
	}
	step := min(int(h*s.scale), len(s.index)-2)
	low, high := int(s.index[step]), int(s.index[step+1])+1
	for high-low > 1 {
		mid := int(uint(low+high) >> 1)
		if s.list[mid].low <= h {
			low = mid
		} else {
			high = mid
		}
	}
	return &s.list[low]
}

// Depth returns the height of the top of the bank over the lowest point of the
// floor.
func (s *piecewise) Depth() units.Length { return units.Length(s.depth) }

// AreaAt returns the area of the level section at height h.
func (s *piecewise) AreaAt(h units.Length) units.Area {
	x := clamp(h, units.Length(s.depth))
	return units.Area(s.find(x).areaAt(x))
}

// VolumeAt returns the content below height h.
func (s *piecewise) VolumeAt(h units.Length) units.Volume {
	x := clamp(h, units.Length(s.depth))
	return units.Volume(s.find(x).volumeAt(x))
}

// span is a quadratic area between two heights; spans may overlap and add up.
type span struct {
	low, high float64
	a, b, c   float64 // a + bx + cx² at x above low
}

// sumSpans returns the solid that is the sum of spans from 0 to depth. Ends
// closer than tol are one.
func sumSpans(spans []span, depth, tol float64) piecewise {
	knots := []float64{0, depth}
	for _, s := range spans {
		knots = append(knots, s.low, s.high)
	}
	slices.Sort(knots)
	var list []piece
	for _, k := range knots {
		if k >= 0 && k < depth-tol && (len(list) == 0 || k-list[len(list)-1].low > tol) {
			list = append(list, piece{low: k})
		}
	}
	for i := range list {
		p := &list[i]
		high := depth
		if i+1 < len(list) {
			high = list[i+1].low
		}
		mid := p.low + (high-p.low)/2
		for _, s := range spans {
			if s.low < mid && mid < s.high {
				x := p.low - s.low
				p.a += s.a + x*(s.b+x*s.c)
				p.b += s.b + 2*x*s.c
				p.c += s.c
			}
		}
	}
	return stacked(list, depth)
}
