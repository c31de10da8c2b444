package main

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
)

func TestClassesAreInOrder(t *testing.T) {
	for _, x := range []float64{0, 5e-324, 1e-310, 1e-300, 0.1, 1, 1.001, 1.9999999999, 2, 27.3, 1e80, mostOutput} {
		low, high := edges(class(x))
		if class(x) == 0 {
			require.Less(t, x, 1e-307)
			continue
		}
		require.True(t, low <= x && x < high, "%g in %g to %g", x, low, high)
		require.LessOrEqual(t, (high-low)/2/low, sketchError)
		require.Equal(t, -class(x), class(-x))
		negLow, negHigh := edges(class(-x))
		require.Equal(t, []float64{-high, -low}, []float64{negLow, negHigh})
	}
	require.Less(t, class(-2), class(-1))
	require.Less(t, class(-1e-9), class(0))
	require.Less(t, class(0), class(1e-9))
}

// Every quantile is within the stated error of that of gonum, whatever the values.
func TestQuantileErrorBound(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for name, draw := range map[string]func() float64{
		"normal around zero": r.NormFloat64,
		"far from zero":      func() float64 { return 1e6 + r.NormFloat64() },
		"many decades":       func() float64 { return math.Exp(20 * r.NormFloat64()) },
		"negative":           func() float64 { return -3 - r.ExpFloat64() },
		"half zeros":         func() float64 { return max(0, r.NormFloat64()) },
		"one value":          func() float64 { return 27 },
	} {
		t.Run(name, func(t *testing.T) {
			values := make([]float64, 5000)
			for i := range values {
				values[i] = draw()
			}
			slices.Sort(values)
			s := new(counter).sketch(values, values[0], values[4999])
			for _, p := range []float64{0, 0.001, 0.01, 0.05, 0.25, 0.5, 0.75, 0.95, 0.99, 0.9999, 1} {
				want := stat.Quantile(p, stat.Empirical, values, nil)
				require.LessOrEqual(t, math.Abs(s.quantile(p, values[0], values[4999])-want), sketchError*math.Abs(want), "%g", p)
			}
		})
	}
}

// The sketch of all values is the sum of those of parts of them, exactly.
func TestSketchesAddUp(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	var n counter
	var all []float64
	var parts [3]sketch
	for i, far := range []float64{0, 100, 1e9} { // around zero in a map, the others in a list
		part := make([]float64, 1000)
		for j := range part {
			part[j] = far + r.NormFloat64()
		}
		parts[i] = n.sketch(part, slices.Min(part), slices.Max(part))
		all = append(all, part...)
	}
	whole := n.sketch(all, slices.Min(all), slices.Max(all))
	sum := sketch{} // in another order
	for _, i := range []int{2, 0, 1} {
		sum.merge(parts[i])
	}
	require.Equal(t, whole, sum)
}
