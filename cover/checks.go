package cover

import (
	"math"
	"slices"
	"strings"

	"example.org/earthbasin/units"
)

// mostLines bounds the lists that people write by hand.
const mostLines = 1000

// required records a fault when a text was left out.
func required(f *units.Faults, field, text string) {
	if text == "" {
		f.Missing(field, "text")
	}
}

// oneOf lists the ids of a table for the want of a fault.
func oneOf[T any](list []T, id func(T) string) string {
	var ids []string
	for _, row := range list {
		ids = append(ids, id(row))
	}
	return "one of " + strings.Join(ids, ", ")
}

// finite reports whether every x is a finite number.
func finite(xs ...float64) bool {
	return !slices.ContainsFunc(xs, func(x float64) bool { return math.IsNaN(x) || math.IsInf(x, 0) })
}
