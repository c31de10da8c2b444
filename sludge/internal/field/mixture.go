package field

import "math"

// Part is one t or log-t of a mixture.
type Part struct {
	Weight       float64
	Value, Scale float64 // of the t; of the log-t the mean of exp and the scale before the logarithm
	DF           int
	Log          bool
}

// Variance returns the variance of the part; below 3 degrees of freedom, where there
// is none, that of 2.5.
func (p Part) Variance() float64 {
	return p.Scale * p.Scale * float64(p.DF) / max(float64(p.DF)-2, 0.5)
}

// CDF returns the probability below v.
func (p Part) CDF(v float64) float64 {
	at, centre, scale := v, p.Value, p.Scale
	if p.Log {
		if v <= 0 {
			return 0
		}
		if p.Value <= 0 {
			return 1
		}
		l := math.Log1p(scale * scale / (centre * centre))
		at, centre, scale = math.Log(v), math.Log(centre)-l/2, math.Sqrt(l)
	}
	if scale <= 0 {
		if at < centre {
			return 0
		}
		return 1
	}
	z := (at - centre) / scale
	if z > 30 {
		return 1
	}
	if z < -30 {
		return 0
	}
	return studentCDF(z, p.DF)
}

// Mixture is a weighted sum of distributions; the weights add up to 1.
type Mixture []Part

// Mean returns the mean of the values of the parts.
func (m Mixture) Mean() float64 {
	var sum float64
	for _, p := range m {
		sum += p.Weight * p.Value
	}
	return sum
}

// SD returns the standard deviation: within the parts and between them.
func (m Mixture) SD() float64 {
	mean := m.Mean()
	var sum float64
	for _, p := range m {
		d := p.Value - mean
		sum += p.Weight * (p.Variance() + d*d)
	}
	return math.Sqrt(sum)
}

// CDF returns the probability below v.
func (m Mixture) CDF(v float64) float64 {
	var sum float64
	for _, p := range m {
		sum += p.Weight * p.CDF(v)
	}
	return sum
}

// Quantile returns the value below which the share p of the mixture lies, between
// low and high: low or high where that lies beyond. It halves the bracket by the
// rule of Illinois, at most 200 times.
func (m Mixture) Quantile(p, low, high float64) float64 {
	a, b := low, high
	fa, fb := m.CDF(a)-p, m.CDF(b)-p
	if fa >= 0 {
		return low
	}
	if fb <= 0 {
		return high
	}
	side := 0
	for i := range 200 {
		if b-a <= 1e-13*max(math.Abs(a), math.Abs(b)) {
			break
		}
		x := b - fb*(b-a)/(fb-fa)
		if i%4 == 3 || !(x > a && x < b) { // a flat stretch must not stall it
			x = a + (b-a)/2
		}
		f := m.CDF(x) - p
		switch {
		case f == 0:
			return x
		case f < 0:
			a, fa = x, f
			if side == -1 {
				fb /= 2
			}
			side = -1
		default:
			b, fb = x, f
			if side == 1 {
				fa /= 2
			}
			side = 1
		}
	}
	return a + (b-a)/2
}
