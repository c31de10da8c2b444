package plane

import (
	"math"
	"math/big"
)

// Orient returns 1 when a, b, c turn left, -1 when they turn right and 0 when they
// lie on one line, always right for finite coordinates, and 0 for others: float64 with a
// bound on its error (Shewchuk, Adaptive Precision Floating-Point Arithmetic and Fast
// Robust Geometric Predicates, Discrete and Computational Geometry 18, 1997, stage
// A) decides nearly always, and exact arithmetic the rest.
func Orient(a, b, c Point) int {
	l, r := float64(a.X-c.X)*float64(b.Y-c.Y), float64(a.Y-c.Y)*float64(b.X-c.X)
	// The last term sends products that may have lost bits by underflow to the exact
	// stage.
	det, bound := l-r, (3+16*0x1p-53)*0x1p-53*(math.Abs(l)+math.Abs(r))+1e-290
	switch {
	case det > bound:
		return 1
	case det < -bound:
		return -1
	case !a.finite() || !b.finite() || !c.finite():
		return 0
	case a == b || b == c || a == c || a.X == b.X && b.X == c.X || a.Y == b.Y && b.Y == c.Y:
		return 0
	}
	minus := func(x, y float64) *big.Float { return exact().Sub(big.NewFloat(x), big.NewFloat(y)) }
	left := exact().Mul(minus(float64(a.X), float64(c.X)), minus(float64(b.Y), float64(c.Y)))
	return left.Cmp(exact().Mul(minus(float64(a.Y), float64(c.Y)), minus(float64(b.X), float64(c.X))))
}

func (p Point) finite() bool { return finite(p.X) && finite(p.Y) }

// exact holds products of two differences of float64 without rounding: a
// difference spans at most 2100 bits.
func exact() *big.Float { return new(big.Float).SetPrec(5000) }

// Meet reports whether the closed segments ab and cd have a point in common,
// exactly.
func Meet(a, b, c, d Point) bool {
	if max(a.X, b.X) < min(c.X, d.X) || max(c.X, d.X) < min(a.X, b.X) ||
		max(a.Y, b.Y) < min(c.Y, d.Y) || max(c.Y, d.Y) < min(a.Y, b.Y) {
		return false
	}
	return Orient(a, b, c)*Orient(a, b, d) <= 0 && Orient(c, d, a)*Orient(c, d, b) <= 0
}
