package plane

import "example.org/earthbasin/units"

// Cut is a line at which rings of corners are cut. A corner may be more than its
// place, such as a place with a depth. Both functions are needed.
type Cut[C any] struct {
	Side    func(C) float64           // a straight function of the place, 0 on the line
	Between func(a, b C, t float64) C // the corner at the share t, 0 to 1, of the way from a to b
}

// Keep appends to out the part of a ring on which Side is 0 or more, and returns it
// (Sutherland and Hodgman, Reentrant Polygon Clipping, Communications of the ACM
// 17(1), 1974). Parts of a ring that is not convex stay joined along the cut by
// edges that run there and back, without area. An edge is cut at the same place
// whichever way it runs.
func (c Cut[C]) Keep(out, ring []C) []C {
	if len(ring) == 0 {
		return out
	}
	a := ring[len(ring)-1]
	sa := c.Side(a)
	for _, b := range ring {
		sb := c.Side(b)
		switch {
		case sa < 0 && sb > 0:
			out = append(out, c.Between(a, b, sa/(sa-sb)))
		case sa > 0 && sb < 0:
			out = append(out, c.Between(b, a, sb/(sb-sa)))
		}
		if sb >= 0 {
			out = append(out, b)
		}
		a, sa = b, sb
	}
	return out
}

// Toward returns the place at the share t of the way from p to q.
func (p Point) Toward(q Point, t float64) Point {
	return Point{p.X + units.Length(t)*(q.X-p.X), p.Y + units.Length(t)*(q.Y-p.Y)}
}

// halves is [Cut.Keep] to the low and to the high side of a line of constant x, or y, at
// once.
func halves(p Polygon, at units.Length, y bool) (low, high Polygon) {
	if len(p) == 0 {
		return nil, nil
	}
	from := func(c Point) units.Length {
		if y {
			return c.Y - at
		}
		return c.X - at
	}
	a := p[len(p)-1]
	da := from(a)
	for _, b := range p {
		db := from(b)
		if (da < 0 && db > 0) || (da > 0 && db < 0) {
			l, h, dl, dh := a, b, da, db
			if da > 0 {
				l, h, dl, dh = b, a, db, da
			}
			c := l.Toward(h, float64(dl/(dl-dh)))
			if y {
				c.Y = at
			} else {
				c.X = at
			}
			low, high = append(low, c), append(high, c)
		}
		if db <= 0 {
			low = append(low, b)
		}
		if db >= 0 {
			high = append(high, b)
		}
		a, da = b, db
	}
	return low, high
}
