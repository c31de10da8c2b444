package volume

import (
	"math"
	"slices"
)

// roof answers when the wavefront of a skeleton passes a place.
type roof struct {
	front *skeleton
	times []float64 // of the events, rising
	rings [][]int32 // those that last from an event to the next
}

func newRoof(s *skeleton) *roof {
	r := &roof{front: s}
	for _, ring := range s.rings {
		r.times = append(r.times, ring.from)
	}
	slices.Sort(r.times)
	r.times = slices.Compact(r.times)
	r.rings = make([][]int32, len(r.times))
	for i, ring := range s.rings {
		k, _ := slices.BinarySearch(r.times, ring.from)
		for ; k < len(r.times) && r.times[k] < ring.until; k++ {
			r.rings[k] = append(r.rings[k], int32(i))
		}
	}
	return r
}

// timeAt returns the time at which the wavefront passes p, 0 outside of the
// outline. The sections shrink, so that the last event with p still inside is found
// by halving.
func (r *roof) timeAt(p vec) float64 {
	low, high := -1, len(r.times)
	var within *ring
	for high-low > 1 {
		mid := (low + high) / 2
		if found := r.holds(mid, p); found != nil {
			low, within = mid, found
		} else {
			high = mid
		}
	}
	if within == nil {
		return 0
	}
	// The side that passes p does so between its corners, and in the time of the
	// ring; rounding is given to whichever misses this by least.
	best, least := r.times[low], math.Inf(1)
	for k, e := range within.edges {
		f, next := &r.front.fronts[e], (k+1)%len(within.edges)
		t := f.ahead(p, 0) / f.w
		dt := min(max(t, within.from), within.until) - within.from
		x := f.along(p)
		from := f.along(within.corner[k].add(within.move[k], dt))
		to := f.along(within.corner[next].add(within.move[next], dt))
		if off := max(r.times[low]-t, t-within.until, from-x, x-to, 0); off < least || off == least && t < best {
			best, least = t, off
		}
	}
	return min(max(best, within.from), within.until)
}

// holds returns the ring around p at the event k, nil when there is none.
func (r *roof) holds(k int, p vec) *ring {
	for _, i := range r.rings[k] {
		ring := &r.front.rings[i]
		t, in := r.times[k]-ring.from, false
		n := len(ring.corner)
		a := ring.corner[n-1].add(ring.move[n-1], t)
		for j := range n {
			b := ring.corner[j].add(ring.move[j], t)
			if (a.y > p.y) != (b.y > p.y) && (p.x-a.x < (p.y-a.y)/(b.y-a.y)*(b.x-a.x)) {
				in = !in
			}
			a = b
		}
		if in {
			return ring
		}
	}
	return nil
}
