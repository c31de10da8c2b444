package volume

import (
	"context"
	"math"
)

// facet is a triangle by its plan area, its levels in rising order, and its area along
// the slope for each of the plan.
type facet struct {
	area  float64
	z     [3]float64
	slant float64
}

// wetted returns the plan area of the part of the facet below the level y.
func (t *facet) wetted(y float64) float64 {
	k := 2
	for k >= 0 && y < t.z[k] {
		k--
	}
	if k < 0 {
		return 0
	}
	return t.curve(k).moved(t.z[k], y)[1].hi
}

// below returns the volume between the facet and the level y above it.
func (t *facet) below(y float64) float64 {
	k := 2
	for k >= 0 && y < t.z[k] {
		k--
	}
	if k < 0 {
		return 0
	}
	return t.curve(k).moved(t.z[k], y)[0].hi
}

// snap makes corners level that no survey tells apart, so that no curvature is too
// large for a number.
func (t *facet) snap() {
	const least = 1e-12 // m
	if t.z[2]-t.z[0] < least {
		t.z[1], t.z[2] = t.z[0], t.z[0]
	}
	if t.z[1]-t.z[0] < least {
		t.z[1] = t.z[0]
	}
	if t.z[2]-t.z[1] < least {
		t.z[1] = t.z[2]
	}
}

// change is where the part of a facet in the sum becomes another: at its lowest,
// middle or highest corner.
type change struct {
	at     float64
	facet  int32
	corner int8
}

// sweep adds up the facets. The area of a facet below a level is 0, then a
// parabola up to its middle corner, another up to its highest, and its plan area
// above; the sum is a quadratic between any two corners. It is carried upward
// from corner to corner in twofold precision, since a nearly level facet brings a
// curvature that is large for a moment and has to vanish without trace. It ends with the
// error of ctx when that is done.
func sweep(ctx context.Context, list []facet, lowest, depth float64) (piecewise, error) {
	changes := make([]change, 0, 3*len(list))
	for i := range list {
		z := &list[i].z
		for k := range z {
			if z[k] -= lowest; z[k] < depth {
				changes = append(changes, change{z[k], int32(i), int8(k)})
			}
		}
	}
	changes = sorted(ctx, changes)
	var sum curve
	var out []piece
	for i, c := range changes {
		if i%stopEvery == 0 && ctx.Err() != nil {
			return piecewise{}, ctx.Err()
		}
		t := &list[c.facet]
		if i > 0 && c.at > changes[i-1].at {
			sum = sum.moved(changes[i-1].at, c.at)
		}
		if c.corner > 0 {
			sum = sum.add(t.curve(int(c.corner)-1).moved(t.z[c.corner-1], c.at), -1)
		}
		sum = sum.add(t.curve(int(c.corner)), 1)
		if i+1 == len(changes) || changes[i+1].at > c.at {
			out = append(out, piece{low: c.at, v: sum[0].hi, a: sum[1].hi, b: 2 * sum[2].hi, c: 3 * sum[3].hi})
		}
	}
	return newPiecewise(out, depth), nil
}

// sorted returns the changes, whose levels are 0 or more, by level; those of one level
// stay as they are, by facet and corner. It goes by the digits of the levels, the last
// ones first, until ctx ends: for six million changes in a fifth of the time that
// comparing takes. The list is overwritten.
func sorted(ctx context.Context, list []change) []change {
	const bits, values = 11, 1 << 11
	other := make([]change, len(list))
	for shift := 0; shift < 64 && ctx.Err() == nil; shift += bits {
		digit := func(c *change) uint64 { return math.Float64bits(c.at) >> shift % values }
		var from [values]int
		for i := range list {
			from[digit(&list[i])]++
		}
		sum := 0
		for i, n := range from {
			from[i] = sum
			sum += n
		}
		for i := range list {
			d := digit(&list[i])
			other[from[d]] = list[i]
			from[d]++
		}
		list, other = other, list
	}
	return list
}

// curve returns the volume below a level as a cubic of the height over corner k,
// good up to the next corner.
func (t *facet) curve(k int) curve {
	low, high, whole := t.z[1]-t.z[0], t.z[2]-t.z[1], t.z[2]-t.z[0]
	var v, a, b, c float64
	switch {
	case k == 2:
		v, a = t.area*(whole+high)/3, t.area
	case k == 0 && low > 0:
		c = t.area / (3 * low * whole)
	case k == 1 && high > 0:
		// The plan area less the tip that is still dry.
		v, a = t.area*low*low/(3*whole), t.area*low/whole
		b, c = t.area/whole, -t.area/(3*high*whole)
	}
	return curve{{hi: v}, {hi: a}, {hi: b}, {hi: c}}
}

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
