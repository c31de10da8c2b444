package study

import "math"

// leastP and mostP are the ends of the probabilities that are drawn: a quantile at 0
// or 1 may be infinite.
const (
	leastP = 0x1p-54
	mostP  = 1 - 0x1p-53
)

const (
	// The probability to the nearer end, up to 1/2, is parted into powers of two, and
	// each of these into cells, so that the cells are as narrow in the tails as they need
	// to be.
	tableOctaves = 12
	cellBits     = 5
	cellsOfSide  = tableOctaves << cellBits
	leastCell    = (1022 - tableOctaves) << cellBits // in the bits of 2^-13
	// cellError is what a cubic may be wrong by, as a part of the distance between the
	// quartiles. Draws are never so many that it shows.
	cellError = 1e-8
)

// table is a quantile function that is quick: over each of many cells of the
// probability a cubic stands for it where it is as good, elsewhere the function
// itself. The inverse of a normal or a beta distribution takes ten to a thousand
// times as long.
type table struct {
	exact func(p float64) float64
	// Cubic has the lower and the upper half of the probability, each from the median to
	// the end, by the place in the cell; a cell that starts with NaN is exact.
	cubic *[2 * cellsOfSide][4]float64
}

// cell returns the number of the cell of p, and the place in it from 0 to 1/32. The
// first cell of a half also has all that is nearer to the end, and is exact.
func cell(p float64) (c int, place float64) {
	side := math.Float64bits(0.5-p) >> 63 // of the upper half
	b := math.Float64bits(0.5 - math.Abs(p-0.5))
	c = max(0, int(b>>(52-cellBits))-leastCell)
	place = math.Float64frombits(b&(1<<(52-cellBits)-1)|0x3ff<<52) - 1
	return c + int(side)*cellsOfSide, place
}

func newTable(q func(float64) float64) table {
	t := table{exact: q, cubic: new([2 * cellsOfSide][4]float64)}
	allowed := cellError * (q(0.75) - q(0.25))
	low, high := q(leastP), q(mostP)
	const h = 1.0 / (1 << cellBits)
	for c := range t.cubic {
		at := func(part float64) float64 {
			near := math.Float64frombits(uint64(c%cellsOfSide+leastCell) << (52 - cellBits))
			_, exp := math.Frexp(near)
			near += part * math.Ldexp(h, exp-1)
			if c >= cellsOfSide {
				near = 1 - near
			}
			return q(near)
		}
		// Newton's form of the cubic through the parts 0, 1/3, 2/3 and 1.
		a, b, d, e := at(0), at(1.0/3), at(2.0/3), at(1)
		d1, d2, d3 := b-a, (d-2*b+a)/2, (e-3*d+3*b-a)/6
		f := [4]float64{a, 3 * (d1 - d2 + 2*d3) / h, 9 * (d2 - 3*d3) / (h * h), 27 * d3 / (h * h * h)}
		for _, part := range []float64{1.0 / 12, 1.0 / 6, 0.26, 0.5, 0.74, 5.0 / 6, 11.0 / 12} {
			x := part * h
			y := at(part)
			if !(math.Abs(f[0]+x*(f[1]+x*(f[2]+x*f[3]))-y) <= allowed) {
				f[0] = math.NaN()
			}
		}
		// Next to an end the cubic might go beyond it.
		if c%cellsOfSide == 0 || !(min(a, e) > low+allowed && max(a, e) < high-allowed) {
			f[0] = math.NaN()
		}
		t.cubic[c] = f
	}
	return t
}

// at returns the quantile at p, from leastP to mostP.
func (t *table) at(p float64) float64 {
	c, x := cell(p)
	f := &t.cubic[c]
	if y := f[0] + x*(f[1]+x*(f[2]+x*f[3])); y == y {
		return y
	}
	return t.exact(p)
}

// spread puts the quantiles at p into x, and the classes of p likewise.
func (t *table) spread(p, x []float64, classes []uint8) {
	x, classes = x[:len(p)], classes[:len(p)]
	for at, p := range p {
		c, z := cell(p)
		classes[at] = uint8(p * mostLevels)
		f := &t.cubic[c]
		y := f[0] + z*(f[1]+z*(f[2]+z*f[3]))
		if y != y {
			y = t.exact(max(p, leastP))
		}
		x[at] = y
	}
}
