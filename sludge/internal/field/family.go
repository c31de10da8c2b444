package field

import (
	"cmp"
	"math"
	"slices"
)

// Family is how smooth a field is: the order of its Matern correlation.
type Family int

const (
	Matern05 Family = iota // exp(-3u): continuous, no slope anywhere
	Matern15               // (1 + v) exp(-v), v = 4.7439 u: one derivative
	Matern25               // (1 + v + v^2/3) exp(-v), v = 5.9181 u: two derivatives
	families
)

// perRange makes the correlation 0.05 at one practical range.
var perRange = [families]float64{3, 4.7439, 5.9181}

// At returns the correlation over u practical ranges.
func (f Family) At(u float64) float64 {
	dst := [1]float64{u}
	f.fill(dst[:], dst[:], 1)
	return dst[0]
}

// fill sets dst to the correlations over the distances h, in the unit of rng.
func (f Family) fill(dst, h []float64, rng float64) {
	k := perRange[f] / rng
	h = h[:len(dst)]
	switch f {
	case Matern05:
		for i, d := range h {
			dst[i] = falling(k * d)
		}
	case Matern15:
		for i, d := range h {
			v := k * d
			dst[i] = (1 + v) * falling(v)
		}
	case Matern25:
		for i, d := range h {
			v := k * d
			dst[i] = (1 + v + v*v*(1.0/3)) * falling(v)
		}
	}
}

// exponents is the number of steps in which [falling] halves, a power of 2.
const exponents = 1 << exponentBits
const exponentBits = 8

// halving is 2^(-i/exponents).
var halving = func() (t [exponents]float64) {
	for i := range t {
		t[i] = math.Exp2(-float64(i) / exponents)
	}
	return t
}()

// falling returns exp(-v) for v of -700 or more, to 2e-16, in a third of the time of
// math.Exp: by halves, then by steps of a table, then by five terms of its series.
// Beyond 693 it falls no more, at 1e-301.
func falling(v float64) float64 {
	t := v * (exponents / math.Ln2)
	if t > 1000*exponents {
		t = 1000 * exponents
	}
	const whole = 3 << 51 // numbers of this size have no digits after the point
	near := t + whole
	n := math.Float64bits(near)
	r := (near - whole - t) * (math.Ln2 / exponents)
	return (1 + (r + r*r*((0.5+r*(1.0/6))+r*r*(1.0/24)))) * math.Float64frombits(math.Float64bits(halving[n%exponents])-n>>exponentBits<<52)
}

// Metric turns and stretches the plane so that a field that stays alike farther in
// one direction becomes alike in all.
type Metric struct{ xx, xy, yx, yy float64 }

// Isotropic leaves the plane as it is.
var Isotropic = Metric{xx: 1, yy: 1}

// Stretched returns the metric of a field whose range is ratio times as long in the
// direction of the angle (radians from the x axis) as across it, with the area of a
// range kept: the range along is that of the structure times sqrt(ratio).
func Stretched(angle, ratio float64) Metric {
	sin, cos := math.Sincos(angle)
	s := math.Sqrt(ratio)
	return Metric{cos / s, sin / s, -sin * s, cos * s}
}

// Axis returns the angle and the ratio of a stretched metric, 0 and 1 of another.
func (m Metric) Axis() (angle, ratio float64) {
	if m == Isotropic {
		return 0, 1
	}
	return math.Atan2(m.xy, m.xx), 1 / (m.xx*m.xx + m.xy*m.xy)
}

// length returns the length of a step.
func (m Metric) length(dx, dy float64) float64 {
	if m == Isotropic {
		return math.Sqrt(dx*dx + dy*dy)
	}
	x, y := m.xx*dx+m.xy*dy, m.yx*dx+m.yy*dy
	return math.Sqrt(x*x + y*y)
}

// Structure is one covariance, up to its variance.
type Structure struct {
	Family Family
	Range  float64 // practical: the correlation is 0.05 there
	Share  float64 // of the nugget in the variance, 0 to 1
	Metric Metric
	// LogPrior is added to the likelihood: the logarithm of the prior weight beside that
	// of the structures that have 0.
	LogPrior float64
}

// Grid returns the structures of all families, ranges and shares, in that order.
func Grid(ranges, shares []float64, m Metric) []Structure {
	list := make([]Structure, 0, int(families)*len(ranges)*len(shares))
	for f := range families {
		for _, r := range ranges {
			for _, q := range shares {
				list = append(list, Structure{Family: f, Range: r, Share: q, Metric: m})
			}
		}
	}
	return list
}

// usualShares are the shares of the nugget that are tried where none is told. The smaller
// ones are told from none by smooth fields only: leastShare has the least by family. Were
// it larger, a surface without roughness, such as a pile, would be taken for one with.
// That there is none the sites have to earn: it has earnWeight times the prior weight of
// the others.
var (
	usualShares = []float64{0.0001, 0.001, 0.01, 0.05, 0.2, 0.5}
	leastShare  = [families]float64{Matern05: 0.01, Matern15: 0.001, Matern25: 0.0001}
)

const earnWeight = 0.25

// UsualGrid returns the structures of all families at the ranges, with the shares of the
// nugget that are tried where none is told, by range: parts are drawn at even steps, and
// what is estimated changes least from one structure to the next where those of one range
// stand together.
func UsualGrid(ranges []float64) []Structure {
	list := slices.DeleteFunc(Grid(ranges, usualShares, Isotropic), func(st Structure) bool {
		return st.Share < leastShare[st.Family]
	})
	for i := range list {
		if list[i].Share == usualShares[0] {
			list[i].LogPrior = math.Log(earnWeight)
		}
	}
	slices.SortStableFunc(list, func(a, b Structure) int { return cmp.Compare(a.Range, b.Range) })
	return list
}

// Geometric returns n values from low to high, each the same multiple of the one
// before.
func Geometric(low, high float64, n int) []float64 {
	list := make([]float64, n)
	for i := range list {
		list[i] = low * math.Pow(high/low, float64(i)/float64(n-1))
	}
	return list
}
