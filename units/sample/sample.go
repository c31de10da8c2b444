// Package sample summarises repeated measurements of one quantity: mean, spread,
// a Student t interval for the mean, how many measurements a wanted precision
// needs, and the value that stands out. It serves ground sheets, soundings and
// laboratory samples alike.
//
// The interval holds for independent measurements that are about normal, such as
// randomly or systematically placed soundings; it does not hold for places chosen
// because they look deep.
package sample

import (
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"example.org/earthbasin/units"
)

// Summary describes n measurements. One measurement has no spread: Interval is nil
// then, and SD, CV, T and Half are zero and mean nothing.
type Summary[Q ~float64] struct {
	N          int             `json:"n"`                  // number of measurements, 1 or more
	Mean       Q               `json:"mean"`               // arithmetic mean
	SD         Q               `json:"sd"`                 // sample standard deviation, n - 1
	CV         float64         `json:"cv"`                 // SD / Mean, a fraction; 0 when the mean is 0
	Confidence float64         `json:"confidence"`         // two-sided, such as 0.95
	T          float64         `json:"t"`                  // Student t quantile at n - 1
	Half       Q               `json:"half"`               // T SD / sqrt(n)
	Interval   *units.Range[Q] `json:"interval,omitempty"` // Mean -+ Half; nil with one measurement
}

// Summarize returns the mean of the values with its two-sided t interval
// m -+ t(1-(1-confidence)/2, n-1) s/sqrt(n). Values that are not finite, none at
// all, and a confidence outside (0, 1) are [units.FieldError] with the fields
// values[i], values and confidence.
func Summarize[Q ~float64](values []Q, confidence float64) (Summary[Q], error) {
	var f units.Faults
	if len(values) == 0 {
		f.Missing("values", "at least one measurement")
	}
	x := make([]float64, len(values))
	for i, v := range values {
		x[i] = float64(v)
		if math.IsNaN(x[i]) || math.IsInf(x[i], 0) {
			at := f.At("values", i)
			at.Add("", any(v), "a finite measurement")
		}
	}
	f.Confidence("confidence", confidence)
	if err := f.Err(); err != nil {
		return Summary[Q]{}, err
	}
	s := Summary[Q]{N: len(x), Mean: Q(stat.Mean(x, nil)), Confidence: confidence}
	if s.N == 1 {
		return s, nil
	}
	s.SD = Q(stat.StdDev(x, nil))
	if s.Mean != 0 {
		s.CV = math.Abs(float64(s.SD / s.Mean))
	}
	s.T = TQuantile(confidence, s.N-1)
	s.Half = Q(s.T) * s.SD / Q(math.Sqrt(float64(s.N)))
	s.Interval = &units.Range[Q]{Low: s.Mean - s.Half, High: s.Mean + s.Half}
	// Squares of very large values, or a mean of almost 0, leave the range of numbers.
	for _, x := range []float64{s.CV, float64(s.Interval.Low), float64(s.Interval.High)} {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			f.Add("values", any(s.Mean), "measurements whose spread is a finite number")
			return Summary[Q]{}, f.Err()
		}
	}
	return s, nil
}

// TQuantile returns the two-sided Student t quantile: the t that
// |T| stays below with the probability confidence at df degrees of freedom. For
// a confidence outside (0, 1) or df below 1 there is none: 0.
func TQuantile(confidence float64, df int) float64 {
	if !(confidence > 0 && confidence < 1) || df < 1 {
		return 0
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(df)}.Quantile(0.5 + confidence/2)
}

// MaxNeeded is the largest number of measurements that Needed will answer.
const MaxNeeded = 100000

// Needed returns the least n with t(n-1) cv/sqrt(n) <= allowed: the number of
// measurements that brings the half-width of the interval down to the fraction
// allowed of the mean. As t depends on n the answer is found by search, not by
// the one-step normal formula, which is two to three short. cv is a fraction of
// 0 or more, allowed above 0, confidence in (0, 1); n is 2 or more. An answer
// above MaxNeeded is an error on allowed.
func Needed(cv, allowed, confidence float64) (int, error) {
	var f units.Faults
	f.NotNegativeNumber("cv", cv)
	f.PositiveNumber("allowed", allowed)
	f.Confidence("confidence", confidence)
	if err := f.Err(); err != nil {
		return 0, err
	}
	enough := func(n int) bool {
		return TQuantile(confidence, n-1)*cv/math.Sqrt(float64(n)) <= allowed
	}
	low, high := 1, 2 // low is not enough
	for !enough(high) {
		if high == MaxNeeded {
			f.Add("allowed", allowed, "an error that %v measurements can reach at a CV of %.3g", MaxNeeded, cv)
			return 0, f.Err()
		}
		low, high = high, min(2*high, MaxNeeded)
	}
	for high-low > 1 {
		if mid := (low + high) / 2; enough(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return high, nil
}

// Outlier is the measurement farthest from the mean, judged by Grubbs's test.
type Outlier[Q ~float64] struct {
	Index    int        `json:"index"`    // of the measurement farthest from the mean, from 0
	Value    Q          `json:"value"`    // that measurement
	G        float64    `json:"g"`        // |value - mean| / SD
	Critical float64    `json:"critical"` // two-sided critical value at 1 - confidence
	IsOut    bool       `json:"isOut"`    // G > Critical
	Without  Summary[Q] `json:"without"`  // the summary when it is left out
}

// FindOutlier returns the value farthest from the mean with the two-sided Grubbs
// test, G against (n-1)/sqrt(n) sqrt(t2/(n-2+t2)) with t at 1-(1-confidence)/(2n)
// and n-2 degrees of freedom (NIST/SEMATECH e-Handbook of Statistical Methods,
// 1.3.5.17, from memory). A value that stands out may be right: look for a
// reason before leaving it out. Fewer than three values, or values that are all
// equal, have no outlier: ok is false.
func FindOutlier[Q ~float64](values []Q, confidence float64) (o Outlier[Q], ok bool, err error) {
	s, err := Summarize(values, confidence)
	if err != nil || s.N < 3 || s.SD == 0 {
		return o, false, err
	}
	for i, v := range values {
		if g := math.Abs(float64((v - s.Mean) / s.SD)); g > o.G {
			o.Index, o.Value, o.G = i, v, g
		}
	}
	n := float64(s.N)
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: n - 2}.Quantile(1 - (1-confidence)/(2*n))
	o.Critical = (n - 1) / math.Sqrt(n) * math.Sqrt(t*t/(n-2+t*t))
	o.IsOut = o.G > o.Critical
	rest := make([]Q, 0, s.N-1)
	rest = append(append(rest, values[:o.Index]...), values[o.Index+1:]...)
	o.Without, err = Summarize(rest, confidence)
	return o, err == nil, err
}
