package sludge

import (
	"math"
	"math/big"

	"example.org/earthbasin/units/plane"
)

// The two predicates of a Delaunay triangulation, always right. Three stages:
// float64 with a bound on its error (Shewchuk, Adaptive Precision Floating-Point
// Arithmetic and Fast Robust Geometric Predicates, Discrete and Computational
// Geometry 18, 1997, stage A), which decides nearly always; pairs of float64,
// which decide all but true ties; and exact arithmetic. Lattices, on which ties
// are the rule, have short ways of their own. Each bound ends in a guard that
// sends products which may have lost bits by underflow to the exact stage.
const (
	epsilon     = 0x1p-53
	orientErr   = (3 + 16*epsilon) * epsilon
	inCircleErr = (10 + 96*epsilon) * epsilon
	pairErr     = 0x1p-98 // well above the error of some twenty operations on pairs
	underGuard  = 1e-290
)

// xy is a place in metres.
type xy struct{ x, y float64 }

func xyOf(p plane.Point) xy { return xy{float64(p.X), float64(p.Y)} }

// orient returns 1 when a, b, c turn left, -1 when they turn right and 0 when
// they lie on one line.
func orient(a, b, c xy) int {
	l, r := (a.x-c.x)*(b.y-c.y), (a.y-c.y)*(b.x-c.x)
	det := l - r
	if bound := orientErr*(math.Abs(l)+math.Abs(r)) + underGuard; det > bound {
		return 1
	} else if det < -bound {
		return -1
	}
	return orientExact(a, b, c)
}

func orientExact(a, b, c xy) int {
	if a == b || b == c || a == c || a.x == b.x && b.x == c.x || a.y == b.y && b.y == c.y {
		return 0
	}
	return times(minus(a.x, c.x), minus(b.y, c.y)).Cmp(times(minus(a.y, c.y), minus(b.x, c.x)))
}

// inCircle reports whether d lies inside the circle through a, b, c, which turn
// left. Of points on one circle the one with the least x, then the least y, is
// taken to lie a little inside the others' circle: the triangulation joins it to
// all the others, whatever the order of the input. On a lattice every diagonal
// so runs from the lower left to the upper right.
func inCircle(a, b, c, d xy) bool {
	ax, ay, bx, by, cx, cy := a.x-d.x, a.y-d.y, b.x-d.x, b.y-d.y, c.x-d.x, c.y-d.y
	bc, cb := bx*cy, cx*by
	ca, ac := cx*ay, ax*cy
	ab, ba := ax*by, bx*ay
	al, bl, cl := ax*ax+ay*ay, bx*bx+by*by, cx*cx+cy*cy
	det := al*(bc-cb) + bl*(ca-ac) + cl*(ab-ba)
	size := al*(math.Abs(bc)+math.Abs(cb)) + bl*(math.Abs(ca)+math.Abs(ac)) + cl*(math.Abs(ab)+math.Abs(ba))
	if bound := inCircleErr*size + underGuard; det > bound {
		return true
	} else if det < -bound {
		return false
	}
	return inCircleExact(a, b, c, d, size)
}

func inCircleExact(a, b, c, d xy, size float64) bool {
	sign, ok := 0, boxed(a, b, c, d) || boxed(b, c, a, d) || boxed(c, a, b, d)
	if !ok {
		sign, ok = inCirclePairs(a, b, c, d, size)
	}
	if !ok {
		sign = inCircleBig(a, b, c, d)
	}
	if sign != 0 {
		return sign > 0
	}
	// A tie: lowering the paraboloid under the least point by a hair changes the
	// determinant by the cofactor of that point's height.
	switch {
	case less(d, a) && less(d, b) && less(d, c):
		return true
	case less(a, b) && less(a, c):
		return orient(b, c, d) < 0
	case less(b, c):
		return orient(c, a, d) < 0
	}
	return orient(a, b, d) < 0
}

// less orders places by x, then y.
func less(a, b xy) bool { return a.x < b.x || a.x == b.x && a.y < b.y }

// boxed reports whether a, b, c, d in this order are the corners of a rectangle
// along the axes: a tie without arithmetic.
func boxed(a, b, c, d xy) bool {
	return a.x == b.x && c.x == d.x && b.y == c.y && d.y == a.y ||
		a.y == b.y && c.y == d.y && b.x == c.x && d.x == a.x
}

// pair is the unevaluated sum of two float64, the second small against the first.
type pair struct{ hi, lo float64 }

func twoSum(a, b float64) pair {
	s := a + b
	v := s - a
	return pair{s, (a - (s - v)) + (b - v)}
}

func twoProduct(a, b float64) pair {
	p := a * b
	return pair{p, math.FMA(a, b, -p)}
}

func (a pair) plus(b pair) pair {
	s, t := twoSum(a.hi, b.hi), twoSum(a.lo, b.lo)
	s = twoSum(s.hi, s.lo+t.hi)
	return twoSum(s.hi, s.lo+t.lo)
}

func (a pair) minus(b pair) pair { return a.plus(pair{-b.hi, -b.lo}) }

func (a pair) times(b pair) pair {
	p := twoProduct(a.hi, b.hi)
	return twoSum(p.hi, p.lo+(a.hi*b.lo+a.lo*b.hi))
}

// inCirclePairs returns the sign of the determinant when pairs suffice: when it
// is clear of their error, or when nothing had to be rounded.
func inCirclePairs(a, b, c, d xy, size float64) (sign int, ok bool) {
	ax, ay, bx, by, cx, cy := twoSum(a.x, -d.x), twoSum(a.y, -d.y), twoSum(b.x, -d.x), twoSum(b.y, -d.y), twoSum(c.x, -d.x), twoSum(c.y, -d.y)
	al, bl, cl := ax.times(ax).plus(ay.times(ay)), bx.times(bx).plus(by.times(by)), cx.times(cx).plus(cy.times(cy))
	bc, ca, ab := bx.times(cy).minus(cx.times(by)), cx.times(ay).minus(ax.times(cy)), ax.times(by).minus(bx.times(ay))
	det := al.times(bc).plus(bl.times(ca)).plus(cl.times(ab))
	if bound := pairErr*size + underGuard; det.hi > bound {
		return 1, true
	} else if det.hi < -bound {
		return -1, true
	}
	// Coordinates of few digits: differences, heights and cross products that fit
	// one float64 were exact all along, and so are the products of two of them.
	if ax.lo != 0 || ay.lo != 0 || bx.lo != 0 || by.lo != 0 || cx.lo != 0 || cy.lo != 0 ||
		!few(ax.hi, ay.hi, bx.hi, by.hi, cx.hi, cy.hi) ||
		al.lo != 0 || bl.lo != 0 || cl.lo != 0 || bc.lo != 0 || ca.lo != 0 || ab.lo != 0 || size < underGuard {
		return 0, false
	}
	p, q, r := twoProduct(al.hi, bc.hi), twoProduct(bl.hi, ca.hi), twoProduct(cl.hi, ab.hi)
	s := twoSum(p.hi, q.hi)
	t := twoSum(s.hi, r.hi)
	sum := t.hi
	for _, v := range [...]float64{t.lo, s.lo, p.lo, q.lo, r.lo} {
		w := twoSum(sum, v)
		if w.lo != 0 {
			return 0, false
		}
		sum = w.hi
	}
	switch {
	case sum > 0:
		return 1, true
	case sum < 0:
		return -1, true
	}
	return 0, true
}

// few reports whether each number has so few digits that the product of any two
// of them is a float64.
func few(list ...float64) bool {
	for _, v := range list {
		if v != 0 && (math.Abs(v) < 1e-140 || twoProduct(v, v).lo != 0) {
			return false
		}
	}
	return true
}

// exactBits holds sums and products of four differences of float64 between 1e-308
// and 1e9 without rounding: a difference spans at most 1105 bits.
const exactBits = 5000

func exact() *big.Float { return new(big.Float).SetPrec(exactBits) }

func minus(a, b float64) *big.Float { return exact().Sub(big.NewFloat(a), big.NewFloat(b)) }

func times(a, b *big.Float) *big.Float { return exact().Mul(a, b) }

func inCircleBig(a, b, c, d xy) int {
	ax, ay, bx, by, cx, cy := minus(a.x, d.x), minus(a.y, d.y), minus(b.x, d.x), minus(b.y, d.y), minus(c.x, d.x), minus(c.y, d.y)
	term := func(px, py, qx, qy, rx, ry *big.Float) *big.Float {
		lift := exact().Add(times(px, px), times(py, py))
		return times(lift, exact().Sub(times(qx, ry), times(rx, qy)))
	}
	sum := exact().Add(term(ax, ay, bx, by, cx, cy), term(bx, by, cx, cy, ax, ay))
	return sum.Add(sum, term(cx, cy, ax, ay, bx, by)).Sign()
}
