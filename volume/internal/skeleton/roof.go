package skeleton

import (
	"math"
	"slices"
)

// Roof answers when the wavefront of a skeleton passes a place.
type Roof struct {
	Front *Skeleton // what it was made of

	times []float64 // of the events, rising
	rings [][]int32 // those that last from an event to the next
}

// NewRoof returns the roof of a skeleton that was followed inward from its outline.
func NewRoof(s *Skeleton) *Roof {
	r := &Roof{Front: s}
	for _, ring := range s.Rings {
		r.times = append(r.times, ring.From)
	}
	slices.Sort(r.times)
	r.times = slices.Compact(r.times)
	r.rings = make([][]int32, len(r.times))
	for i, ring := range s.Rings {
		k, _ := slices.BinarySearch(r.times, ring.From)
		for ; k < len(r.times) && r.times[k] < ring.Until; k++ {
			r.rings[k] = append(r.rings[k], int32(i))
		}
	}
	return r
}

// TimeAt returns the time at which the wavefront passes p, 0 outside of the
// outline. The sections shrink, so that the last event with p still inside is found
// by halving.
func (r *Roof) TimeAt(p Vec) float64 {
	low, high := -1, len(r.times)
	var within *Ring
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
	for k, e := range within.Edges {
		f, next := &r.Front.fronts[e], (k+1)%len(within.Edges)
		t := f.ahead(p, 0) / f.w
		dt := min(max(t, within.From), within.Until) - within.From
		x := f.along(p)
		from := f.along(within.Corner[k].Add(within.Move[k], dt))
		to := f.along(within.Corner[next].Add(within.Move[next], dt))
		if off := max(r.times[low]-t, t-within.Until, from-x, x-to, 0); off < least || off == least && t < best {
			best, least = t, off
		}
	}
	return min(max(best, within.From), within.Until)
}

// holds returns the ring around p at the event k, nil when there is none.
func (r *Roof) holds(k int, p Vec) *Ring {
	for _, i := range r.rings[k] {
		ring := &r.Front.Rings[i]
		t, in := r.times[k]-ring.From, false
		n := len(ring.Corner)
		a := ring.Corner[n-1].Add(ring.Move[n-1], t)
		for j := range n {
			b := ring.Corner[j].Add(ring.Move[j], t)
			if (a.Y > p.Y) != (b.Y > p.Y) && (p.X-a.X < (p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X)) {
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
