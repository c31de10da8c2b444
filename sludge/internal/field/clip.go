package field

import "math"

const (
	perRoot2   = 1 / math.Sqrt2
	perRoot2Pi = 0.398942280401432677939946059934
	// settled is the number of standard deviations beyond which a bound is taken as
	// certain to be met or missed.
	settled = 3.8
	// certain is the same where nothing but the arithmetic is saved: 1e-9 of a standard
	// deviation.
	certain = 6
)

func phi(x float64) float64 { return perRoot2Pi * math.Exp(-x*x/2) }

// cdf is the normal distribution function.
func cdf(x float64) float64 { return 0.5 * math.Erfc(-x*perRoot2) }

// normalAt holds the probability above and the density at even steps from 0 up.
var normalAt = func() (t [normalTo*normalSteps + 1]struct{ above, density float64 }) {
	for i := range t {
		x := float64(i) / normalSteps
		t[i].above, t[i].density = cdf(-x), phi(x)
	}
	return t
}()

// normalSteps is the number of steps of normalAt in one standard deviation, normalTo that
// of standard deviations.
const normalSteps, normalTo = 128, 7

// normal returns the normal distribution function and its density at x, to 1e-10 of
// either: the series about the nearest step, many times as fast as cdf and phi.
func normal(x float64) (below, density float64) {
	u := math.Abs(x)
	if u >= normalTo {
		return cdf(x), phi(x)
	}
	i := int(u*normalSteps + 0.5)
	at := &normalAt[i]
	a := float64(i) / normalSteps
	d, a2 := u-a, a*a
	// Derivatives of the density, over it: Hermite polynomials with changing signs.
	h2, h3, h4 := a2-1, a*(3-a2), 3+a2*(a2-6)
	density = at.density * (1 + d*(-a+d*(h2*(1.0/2)+d*(h3*(1.0/6)+d*h4*(1.0/24)))))
	more := at.density * d * (1 + d*(-a*(1.0/2)+d*(h2*(1.0/6)+d*(h3*(1.0/24)+d*h4*(1.0/120)))))
	if x > 0 {
		return 1 - at.above + more, density
	}
	return at.above - more, density
}

// Band is the part of the heights that counts: from Low up by Height, which may be
// infinite.
type Band struct {
	Low, Height     float64
	logLow, logHigh float64 // of both ends
}

// LogBand is a band for [Band.ClippedLog]: Low is 0 or more and Height finite.
func LogBand(low, height float64) Band {
	return Band{low, height, math.Log(low), math.Log(low + height)} // -Inf at 0
}

// Clipped returns the mean of min(max(s - low, 0), height) for a normal s, and its
// derivative by the mean of s: the first coefficient of its Hermite expansion.
func (b *Band) Clipped(mean, sd float64) (value, slope float64) {
	over := func(u float64) (g, p float64) {
		t := u / sd
		if t > certain {
			return u, 1
		}
		if t < -certain {
			return 0, 0
		}
		p, d := normal(t)
		return u*p + sd*d, p
	}
	value, slope = over(mean - b.Low)
	if !math.IsInf(b.Height, 1) {
		g, p := over(mean - b.Low - b.Height)
		value, slope = value-g, slope-p
	}
	return value, slope
}

// Limits that keep the exponents of [Band.ClippedLog] within the numbers; no field that
// says anything comes near them.
const (
	widestLog  = 30
	highestLog = 200
)

// ClippedLog is Clipped for s whose logarithm is normal with the given mean and standard
// deviation; the slope is by the mean of the logarithm. Both come from the mean of
// min(s, k), which is never above k, so that a wide field loses no digits.
func (b *Band) ClippedLog(mean, sd float64) (value, slope float64) {
	sd, mean = min(sd, widestLog), max(-highestLog, min(highestLog, mean))
	from, to := mean-settled*sd, mean+settled*sd
	switch {
	case to <= b.logLow:
		return 0, 0
	case from >= b.logHigh:
		return b.Height, 0
	}
	whole := falling(-mean - sd*sd/2)
	if from >= b.logLow && to <= b.logHigh {
		return whole - b.Low, whole
	}
	upTo := func(k, logK float64) (m, p float64) {
		if k <= 0 {
			return 0, 0
		}
		t := (logK - mean) / sd
		p, _ = normal(t - sd)
		above, _ := normal(-t)
		return whole*p + k*above, whole * p
	}
	value, slope = upTo(b.Low+b.Height, b.logHigh)
	m, p := upTo(b.Low, b.logLow)
	return value - m, slope - p
}
