package cover

import (
	"math"
	"strconv"
	"strings"
)

// percent writes a fraction as a percentage with at most two decimals.
func percent(x float64) string { return decimal(100*x+0, 2) + " %" }

// decimal writes x with at most n decimals.
func decimal(x float64, n int) string {
	s := strconv.FormatFloat(x, 'f', n, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// figures writes x with n significant figures and no exponent.
func figures(x float64, n int) string {
	if x == 0 {
		return "0"
	}
	return decimal(x, max(0, min(12, n-1-int(math.Floor(math.Log10(math.Abs(x)))))))
}
