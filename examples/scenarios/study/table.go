package study

import (
	"math"
	"slices"
)

// leastP and mostP are the ends of the probabilities that are drawn: a quantile at 0
// or 1 may be infinite.
const (
	leastP = 0x1p-54
	mostP  = 1 - 0x1p-53
)

const (
	// The probability is parted into cells of one width for all but its tails. There the
	// probability to the nearer end, up to 1/2, is parted into powers of two, and each
	// of these into cells, so that they are as narrow as they need to be.
	middleCells  = 512
	tableOctaves = 12
	cellBits     = 5
	cellsOfSide  = tableOctaves << cellBits
	leastCell    = (1022 - tableOctaves) << cellBits // in the bits of 2^-13
	// cellError is what a cubic may be wrong by, as a part of the distance between the
	// quartiles. Draws are never so many that it shows.
	cellError = 1e-8
)

// cubic is a polynomial of the place in a cell; one that starts with NaN is not as good
// as the function that it stands for.
type cubic [4]float64

func (f *cubic) at(x float64) float64 { return f[0] + x*(f[1]+x*(f[2]+x*f[3])) }

// table is a quantile function that is quick: over each of many cells of the
// probability a cubic stands for it where it is as good, elsewhere the function
// itself. The inverse of a normal or a beta distribution takes ten to a thousand
// times as long.
type table struct {
	exact  func(p float64) float64
	middle *[middleCells]cubic // of the whole probability; most of the draws
	// Tails has the lower and the upper half of the probability, each from the median to
	// the end, for what the middle leaves.
	tails *[2 * cellsOfSide]cubic
}

// cell returns the number of the cell of p in the tails, and the place in it from 0 to
// 1/32. The first cell of a half also has all that is nearer to the end, and is exact.
func cell(p float64) (c int, place float64) {
	side := math.Float64bits(0.5-p) >> 63 // of the upper half
	b := math.Float64bits(0.5 - math.Abs(p-0.5))
	c = max(0, int(b>>(52-cellBits))-leastCell)
	place = math.Float64frombits(b&(1<<(52-cellBits)-1)|0x3ff<<52) - 1
	return c + int(side)*cellsOfSide, place
}

func newTable(q func(float64) float64) table {
	t := table{exact: q, middle: new([middleCells]cubic), tails: new([2 * cellsOfSide]cubic)}
	allowed := cellError * (q(0.75) - q(0.25))
	low, high := q(leastP), q(mostP)
	// fit returns the cubic over places from 0 to h, at a part of which the function is at.
	fit := func(h float64, at func(part float64) float64) cubic {
		// Newton's form of the cubic through the parts 0, 1/3, 2/3 and 1.
		a, b, d, e := at(0), at(1.0/3), at(2.0/3), at(1)
		d1, d2, d3 := b-a, (d-2*b+a)/2, (e-3*d+3*b-a)/6
		f := cubic{a, 3 * (d1 - d2 + 2*d3) / h, 9 * (d2 - 3*d3) / (h * h), 27 * d3 / (h * h * h)}
		for _, part := range []float64{1.0 / 12, 1.0 / 6, 0.26, 0.5, 0.74, 5.0 / 6, 11.0 / 12} {
			if !(math.Abs(f.at(part*h)-at(part)) <= allowed) {
				f[0] = math.NaN()
			}
		}
		// Next to an end the cubic might go beyond it.
		if !(min(a, e) > low+allowed && max(a, e) < high-allowed) {
			f[0] = math.NaN()
		}
		return f
	}
	for c := range t.middle {
		t.middle[c] = fit(1, func(part float64) float64 {
			return q(min(max((float64(c)+part)/middleCells, leastP), mostP))
		})
	}
	for c := range t.tails {
		near := math.Float64frombits(uint64(c%cellsOfSide+leastCell) << (52 - cellBits))
		_, exp := math.Frexp(near)
		p := func(part float64) float64 {
			p := near + part*math.Ldexp(1.0/(1<<cellBits), exp-1)
			if c >= cellsOfSide {
				p = 1 - p
			}
			return p
		}
		m, n := int(p(0)*middleCells), int(p(1)*middleCells)
		if !slices.ContainsFunc(t.middle[min(m, n):max(m, n)+1], func(f cubic) bool { return f[0] != f[0] }) {
			continue // no draw gets here
		}
		t.tails[c] = fit(1.0/(1<<cellBits), func(part float64) float64 { return q(p(part)) })
		if c%cellsOfSide == 0 {
			t.tails[c][0] = math.NaN()
		}
	}
	return t
}

// at returns the quantile at p, from 0 to mostP; that at 0 is that at leastP.
func (t *table) at(p float64) float64 {
	m := p * middleCells
	c := int(m)
	if y := t.middle[c].at(m - float64(c)); y == y {
		return y
	}
	return t.outside(p)
}

// outside is at for what the middle leaves.
func (t *table) outside(p float64) float64 {
	c, x := cell(p)
	if y := t.tails[c].at(x); y == y {
		return y
	}
	return t.exact(max(p, leastP))
}

// spread puts the quantiles at p into x, and the classes of p likewise.
func (t *table) spread(p, x []float64, classes []uint8) {
	x, classes = x[:len(p)], classes[:len(p)]
	middle := t.middle
	for i, p := range p {
		m := p * middleCells
		c := int(m)
		classes[i] = uint8(c / (middleCells / mostLevels))
		y := middle[c&(middleCells-1)].at(m - float64(c))
		if y != y {
			y = t.outside(p)
		}
		x[i] = y
	}
}
