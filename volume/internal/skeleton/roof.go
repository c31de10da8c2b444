package skeleton

import (
	"math"
	"slices"
)

// Roof answers when the wavefront of a skeleton passes a place.
type Roof struct {
	Front *Skeleton // what it was made of

	outward bool
	times   []float64 // of the events, rising, and the end of the front
	rings   [][]int32 // those that last from an event to the next, and those left at the end
}

// NewRoof returns the roof of a skeleton that was followed inward from its outline, or
// outward over the ground around it.
func NewRoof(s *Skeleton, outward bool) *Roof {
	r := &Roof{Front: s, outward: outward}
	for _, ring := range s.Rings {
		r.times = append(r.times, ring.From)
	}
	slices.Sort(r.times)
	r.times = append(slices.Compact(r.times), s.End)
	r.rings = make([][]int32, len(r.times))
	end := len(r.times) - 1
	for i, ring := range s.Rings {
		k, _ := slices.BinarySearch(r.times[:end], ring.From)
		for ; k < end && r.times[k] < ring.Until; k++ {
			r.rings[k] = append(r.rings[k], int32(i))
		}
		if ring.Until == s.End {
			r.rings[end] = append(r.rings[end], int32(i))
		}
	}
	return r
}

// TimeAt returns the time at which the wavefront passes p, and whether p lies in the
// solid between the outline and the end of the front, on its edge or, inward, on what is
// left inside of the front. Of other places the time is that of the edge on their side.
// The front only moves on, so that the last event with p still ahead of it is found by
// halving.
func (r *Roof) TimeAt(p Vec) (t float64, within bool) {
	end := len(r.times) - 1
	if end == 0 {
		return 0, false // no time, no solid
	}
	if !r.ahead(0, p) {
		return 0, r.outward || r.onSide(0, p)
	}
	if r.ahead(end, p) {
		return r.Front.End, !r.outward || r.onSide(end, p)
	}
	low, high := 0, end
	for high-low > 1 {
		if mid := (low + high) / 2; r.ahead(mid, p) {
			low = mid
		} else {
			high = mid
		}
	}
	t, _ = r.side(low, p)
	return min(max(t, r.times[low]), r.times[high]), true
}

// onSide reports whether p lies on a side at the event k.
func (r *Roof) onSide(k int, p Vec) bool {
	t, off := r.side(k, p)
	return off <= 4*r.Front.eps && math.Abs(t-r.times[k]) <= 4*r.Front.eps
}

// side returns the time at which a side of the rings at the event k passes p. It does so
// between its corners, and in the time of the ring; rounding is given to whichever
// misses this by least, and off says by how much.
func (r *Roof) side(k int, p Vec) (best, off float64) {
	best, off = r.times[k], math.Inf(1)
	for _, i := range r.rings[k] {
		ring := &r.Front.Rings[i]
		for j, e := range ring.Edges {
			f, next := &r.Front.fronts[e], (j+1)%len(ring.Edges)
			t := f.ahead(p, 0) / f.w
			if f.w == 0 && math.Abs(f.ahead(p, 0)) <= r.Front.eps {
				t = r.times[k] // on a wall, which does not pass it
			}
			dt := min(max(t, ring.From), ring.Until) - ring.From
			x := f.along(p)
			from := f.along(ring.Corner[j].Add(ring.Move[j], dt))
			to := f.along(ring.Corner[next].Add(ring.Move[next], dt))
			if miss := max(ring.From-t, t-ring.Until, 0, from-x, x-to); miss < off || miss == off && t < best {
				best, off = t, miss
			}
		}
	}
	return best, off
}

// ahead reports whether p lies ahead of the front at the event k: in one of its rings
// inward, in none outward, where those within another stand around ground.
func (r *Roof) ahead(k int, p Vec) bool {
	in := false
	for _, i := range r.rings[k] {
		ring := &r.Front.Rings[i]
		t := r.times[k] - ring.From
		n := len(ring.Corner)
		a := ring.Corner[n-1].Add(ring.Move[n-1], t)
		for j := range n {
			b := ring.Corner[j].Add(ring.Move[j], t)
			if (a.Y > p.Y) != (b.Y > p.Y) && (p.X-a.X < (p.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X)) {
				in = !in
			}
			a = b
		}
	}
	return in != r.outward
}
