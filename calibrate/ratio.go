package calibrate

import (
	"math"

	"gonum.org/v1/gonum/floats"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/sample"
)

// ratio returns sum(amount)/sum(area), each pair one run or one gauge with the area
// that it stands for, and its standard error sqrt(n) s / sum(area), s the standard
// deviation of amount - ratio x area. It is the ratio estimator (W. G. Cochran,
// Sampling Techniques, 3rd edition, 1977, chapter 6; from memory), and the plain
// standard error of the mean where all areas are alike: 0 for one pair.
func ratio(amount, area []float64) (ratio, standardError float64) {
	n, whole := len(amount), floats.Sum(area)
	ratio = floats.Sum(amount) / whole
	if n < 2 {
		return ratio, 0
	}
	squares := 0.0
	for i := range amount {
		off := (amount[i] - ratio*area[i]) / whole
		squares += off * off
	}
	return ratio, math.Sqrt(float64(n) / float64(n-1) * squares)
}

// ratioInterval returns the t interval of [ratio]. It is nil for one pair, and where
// the spread leaves the range of numbers.
func ratioInterval[Q ~float64](amount, area []float64, confidence float64) *units.Range[Q] {
	if len(amount) < 2 {
		return nil
	}
	mean, se := ratio(amount, area)
	half := sample.TQuantile(confidence, len(amount)-1) * se
	if !finite(mean-half) || !finite(mean+half) {
		return nil
	}
	return &units.Range[Q]{Low: Q(mean - half), High: Q(mean + half)}
}

// belowZero returns what a working line says of an interval whose low end is no
// rate: the t interval is symmetric and does not know that nothing can be thrown
// less than not at all.
func belowZero[Q ~float64](low Q) string {
	if low < 0 {
		return "; nothing lies below 0: too few or too uneven to tell"
	}
	return ""
}
