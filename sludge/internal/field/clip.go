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

// Clipped returns the mean of min(max(s - low, 0), height) for a normal s, and its
// derivative by the mean of s: the first coefficient of its Hermite expansion.
// Height may be infinite.
func Clipped(mean, sd, low, height float64) (value, slope float64) {
	over := func(u float64) (g, p float64) {
		t := u / sd
		if t > certain {
			return u, 1
		}
		if t < -certain {
			return 0, 0
		}
		p = cdf(t)
		return u*p + sd*phi(t), p
	}
	value, slope = over(mean - low)
	if !math.IsInf(height, 1) {
		g, p := over(mean - low - height)
		value, slope = value-g, slope-p
	}
	return value, slope
}

// Limits that keep the exponents of [ClippedLog] within the numbers; no field that
// says anything comes near them.
const (
	widestLog  = 30
	highestLog = 200
)

// ClippedLog is [Clipped] for s whose logarithm is normal with the given mean and
// standard deviation; the slope is by the mean of the logarithm. Low is 0 or more and
// height finite: both come from the mean of min(s, k), which is never above k, so that
// a wide field loses no digits.
func ClippedLog(mean, sd, low, height float64) (value, slope float64) {
	sd, mean = min(sd, widestLog), max(-highestLog, min(highestLog, mean))
	whole := math.Exp(mean + sd*sd/2)
	high := low + height
	from, to := mean-settled*sd, mean+settled*sd
	logLow, logHigh := math.Log(low), math.Log(high) // -Inf at 0
	switch {
	case from >= logLow && to <= logHigh:
		return whole - low, whole
	case to <= logLow:
		return 0, 0
	case from >= logHigh:
		return height, 0
	}
	upTo := func(k, logK float64) (m, p float64) {
		if k <= 0 {
			return 0, 0
		}
		t := (logK - mean) / sd
		p = whole * cdf(t-sd)
		return p + k*cdf(-t), p
	}
	value, slope = upTo(high, logHigh)
	m, p := upTo(low, logLow)
	return value - m, slope - p
}
