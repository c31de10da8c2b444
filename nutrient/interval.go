package nutrient

import (
	"math"
	"slices"
	"strings"
)

// interval has ends that belong to it or not.
type interval struct {
	low, high         float64 // 0 and +Inf when open
	lowOpen, highOpen bool
}

// has compares with a little room, since 0.4 in read from text and 0.4 in
// computed may differ in the last bit.
func (i interval) has(x float64) bool {
	for _, end := range []float64{i.low, i.high} {
		if same(x, end) {
			x = end
		}
	}
	return (x > i.low || x == i.low && !i.lowOpen) && (x < i.high || x == i.high && !i.highOpen)
}

func same(a, b float64) bool {
	return a == b || math.Abs(a-b) <= 1e-12*min(math.Abs(a), math.Abs(b))
}

// spot is the value of one key: from a query, or standing for a class.
type spot struct {
	given, never bool
	choice       int     // of a key with choices
	number       float64 // of a quantity, SI or in the unit of the state; or a day
}

func indexFold(list []string, text string) int {
	return slices.IndexFunc(list, func(s string) bool { return strings.EqualFold(s, text) })
}
