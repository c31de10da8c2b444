package volume

import (
	"math"

	"example.org/earthbasin/units"
)

// HeightFor returns the height below which b holds v, to 1e-12 of the depth and
// never outside the basin. A volume of 0 gives 0. The error names a volume that
// is negative, not finite, or above the capacity, and says what the capacity is;
// an excess of less than 1e-9 of the capacity is taken for rounding.
//
// A basin that knows the closed form of its inverse uses it; for the others the
// root is bracketed by the floor and the top of the bank and closed in upon by
// Newton steps, since the derivative of the volume is the area, and by halving
// wherever such a step would leave the bracket.
func HeightFor(b Basin, v units.Volume) (units.Length, error) {
	if units.IsNil(b) {
		return 0, units.Fault(units.FaultMissing, "basin", nil, "a basin")
	}
	depth := b.Depth()
	full := b.VolumeAt(depth)
	switch x := float64(v); {
	case !(x >= 0) || x > float64(full)*(1+slack):
		return 0, units.Fault(units.FaultRange, "volume", v, "0 to the capacity of %s", full)
	case x == 0:
		return 0, nil
	case v >= full:
		return depth, nil
	}
	if c, ok := b.(interface {
		heightFor(units.Volume) units.Length
	}); ok {
		return min(max(c.heightFor(v), 0), depth), nil
	}
	low, high := 0.0, float64(depth)
	h := high * float64(v/full)
	tol := 1e-13 * high
	last, before := high, high // sizes of the last two moves
	for range 200 {
		over := float64(b.VolumeAt(units.Length(h)) - v)
		switch {
		case over > 0:
			high = h
		case over < 0:
			low = h
		case over == 0:
			return units.Length(h), nil
		default:
			return 0, units.Fault(units.FaultConflict, "basin", units.Words("a volume that is not a number"), "VolumeAt to be finite")
		}
		next := h - over/float64(b.AreaAt(units.Length(h)))
		// Newton steps that leave the bracket, or do not shrink by half in two
		// moves, give way to halving.
		if !(next > low && next < high) || math.Abs(next-h) > before/2 {
			next = low + (high-low)/2
		}
		before, last = last, math.Abs(next-h)
		if last <= tol {
			return units.Length(next), nil
		}
		h = next
	}
	return units.Length(h), nil
}
