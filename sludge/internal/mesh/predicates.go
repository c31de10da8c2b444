package mesh

import (
	"math"
	"math/big"

	"example.org/earthbasin/units"
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
	// The same bounds for places relative to one of them, by the squares of their
	// distances from it instead of the sizes of the products, which are no greater:
	// |ab| + |cd| <= (a*a + b*b + c*c + d*d) / 2. Cheaper, hardly wider, and rounded up.
	turnErr    = 2 * epsilon
	circleErr  = 11 * epsilon
	pairErr    = 0x1p-98 // well above the error of some twenty operations on pairs
	underGuard = 1e-290
)

// XY is a place in metres.
type XY struct{ X, Y float64 }

// Of returns the place p.
func Of(p plane.Point) XY { return XY{float64(p.X), float64(p.Y)} }

// Point returns p as a place of the plane.
func (p XY) Point() plane.Point { return plane.Point{X: units.Length(p.X), Y: units.Length(p.Y)} }

// Orient is [plane.Orient], with its first stage at hand in the loops of this
// package.
func Orient(a, b, c XY) int {
	l, r := (a.X-c.X)*(b.Y-c.Y), (a.Y-c.Y)*(b.X-c.X)
	det := l - r
	if bound := orientErr*(math.Abs(l)+math.Abs(r)) + underGuard; det > bound {
		return 1
	} else if det < -bound {
		return -1
	}
	return plane.Orient(a.Point(), b.Point(), c.Point())
}

// turned is the first stage of Orient: the answer is the sign of det beyond the bound.
func turned(a, b, c XY) (det, bound float64) {
	ax, ay, bx, by := a.X-c.X, a.Y-c.Y, b.X-c.X, b.Y-c.Y
	return ax*by - ay*bx, turnErr*(ax*ax+ay*ay+bx*bx+by*by) + underGuard
}

// InCircle reports whether d lies inside the circle through a, b, c, which turn
// left. Of points on one circle the one with the least x, then the least y, is
// taken to lie a little inside the others' circle: the triangulation joins it to
// all the others, whatever the order of the input. On a lattice every diagonal
// so runs from the lower left to the upper right.
func InCircle(a, b, c, d XY) bool {
	ax, ay, bx, by, cx, cy := a.X-d.X, a.Y-d.Y, b.X-d.X, b.Y-d.Y, c.X-d.X, c.Y-d.Y
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

func inCircleExact(a, b, c, d XY, size float64) bool {
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
	case Less(d, a) && Less(d, b) && Less(d, c):
		return true
	case Less(a, b) && Less(a, c):
		return Orient(b, c, d) < 0
	case Less(b, c):
		return Orient(c, a, d) < 0
	}
	return Orient(a, b, d) < 0
}

// Less orders places by x, then y.
func Less(a, b XY) bool { return a.X < b.X || a.X == b.X && a.Y < b.Y }

// boxed reports whether a, b, c, d in this order are the corners of a rectangle
// along the axes: a tie without arithmetic.
func boxed(a, b, c, d XY) bool {
	return a.X == b.X && c.X == d.X && b.Y == c.Y && d.Y == a.Y ||
		a.Y == b.Y && c.Y == d.Y && b.X == c.X && d.X == a.X
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
func inCirclePairs(a, b, c, d XY, size float64) (sign int, ok bool) {
	ax, ay, bx, by, cx, cy := twoSum(a.X, -d.X), twoSum(a.Y, -d.Y), twoSum(b.X, -d.X), twoSum(b.Y, -d.Y), twoSum(c.X, -d.X), twoSum(c.Y, -d.Y)
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

func inCircleBig(a, b, c, d XY) int {
	ax, ay, bx, by, cx, cy := minus(a.X, d.X), minus(a.Y, d.Y), minus(b.X, d.X), minus(b.Y, d.Y), minus(c.X, d.X), minus(c.Y, d.Y)
	term := func(px, py, qx, qy, rx, ry *big.Float) *big.Float {
		lift := exact().Add(times(px, px), times(py, py))
		return times(lift, exact().Sub(times(qx, ry), times(rx, qy)))
	}
	sum := exact().Add(term(ax, ay, bx, by, cx, cy), term(bx, by, cx, cy, ax, ay))
	return sum.Add(sum, term(cx, cy, ax, ay, bx, by)).Sign()
}
