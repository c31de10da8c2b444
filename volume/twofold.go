package volume

import "math"

// twofold is the unevaluated sum of two float64, which carries 106 bits: the
// arithmetic of T. J. Dekker, A floating-point technique for extending the
// available precision, Numerische Mathematik 18, 1971. Package math/big would do,
// but takes a hundred times as long for a surface of a million triangles.
type twofold struct{ hi, lo float64 }

func (x twofold) plus(y twofold) twofold {
	s := x.hi + y.hi
	b := s - x.hi
	return renormed(s, (x.hi-(s-b))+(y.hi-b)+(x.lo+y.lo))
}

func (x twofold) times(y twofold) twofold {
	p := x.hi * y.hi
	return renormed(p, math.FMA(x.hi, y.hi, -p)+(x.hi*y.lo+x.lo*y.hi))
}

func (x twofold) by(k float64) twofold { return x.times(twofold{hi: k}) }

// renormed returns s + e with |s| at least |e|.
func renormed(s, e float64) twofold {
	hi := s + e
	return twofold{hi, e - (hi - s)}
}

// curve is a cubic v + ax + bx² + cx³ in twofold precision.
type curve [4]twofold

// moved returns the same curve about another origin.
func (q curve) moved(from, to float64) curve {
	x := twofold{hi: to}.plus(twofold{hi: -from})
	cx := q[3].times(x)
	return curve{
		q[0].plus(x.times(q[1].plus(x.times(q[2].plus(cx))))),
		q[1].plus(x.times(q[2].by(2).plus(cx.by(3)))),
		q[2].plus(cx.by(3)),
		q[3],
	}
}

// add returns q + k r, with k 1 or -1.
func (q curve) add(r curve, k float64) curve {
	for i := range q {
		q[i] = q[i].plus(r[i].by(k))
	}
	return q
}
