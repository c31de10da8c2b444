package sludge

import (
	"math"
	"math/big"
)

// Signs of the two determinants of a Delaunay triangulation. A float64 filter
// answers nearly always (error bounds: Shewchuk, Adaptive Precision Floating-Point
// Arithmetic and Fast Robust Geometric Predicates, Discrete and Computational
// Geometry 18, 1997, stage A); what it leaves open is decided exactly. The
// guard of 1e-290 sends products that may have lost bits by underflow the same
// way.
const (
	epsilon    = 0x1p-53
	orientErr  = (3 + 16*epsilon) * epsilon
	underGuard = 1e-290
)

// orient returns 1 when a, b, c turn left, -1 when they turn right and 0 when
// they lie on one line.
func orient(ax, ay, bx, by, cx, cy float64) int {
	l, r := (ax-cx)*(by-cy), (ay-cy)*(bx-cx)
	det := l - r
	if bound := orientErr*(math.Abs(l)+math.Abs(r)) + underGuard; det > bound {
		return 1
	} else if det < -bound {
		return -1
	}
	return orientExact(ax, ay, bx, by, cx, cy)
}

func orientExact(ax, ay, bx, by, cx, cy float64) int {
	return product(sub(ax, cx), sub(by, cy)).Cmp(product(sub(ay, cy), sub(bx, cx)))
}

// exactBits holds sums and products of differences of float64 without rounding:
// a difference spans at most 2098 bits and a product of four differences four
// times that.
const exactBits = 8500

func exact() *big.Float { return new(big.Float).SetPrec(exactBits) }

func sub(a, b float64) *big.Float { return exact().Sub(big.NewFloat(a), big.NewFloat(b)) }

func product(a, b *big.Float) *big.Float { return exact().Mul(a, b) }
