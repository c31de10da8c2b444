package cover

import (
	"math"
	"strconv"
	"strings"

	"example.org/earthbasin/units"
)

// rounded is x with at most n significant figures and no exponent, for a working line.
func rounded(x float64, n int) units.Phrase {
	decimals := 0
	if x != 0 {
		decimals = max(0, min(12, n-1-int(math.Floor(math.Log10(math.Abs(x))))))
	}
	_, shown, _ := strings.Cut(strconv.FormatFloat(x, 'f', decimals, 64), ".")
	shown = strings.TrimRight(shown, "0")
	return units.Words("%."+strconv.Itoa(len(shown))+"f", x)
}
