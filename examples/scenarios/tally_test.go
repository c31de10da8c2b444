package main

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
)

// Moments of merged blocks are those that gonum takes from all values at once.
func TestMomentsAgainstGonum(t *testing.T) {
	m := ishigami(t)
	var all []float64
	start := m.start
	m.start = func() func(x, y []float64) error {
		draw := start()
		return func(x, y []float64) error {
			err := draw(x, y)
			y[0] = math.Exp(y[0]/4) + 1000
			all = append(all, y[0])
			return err
		}
	}
	require.NoError(t, m.settle())
	all = nil
	sum := finished(t, m, SamplingRandom, 20_000, 1).done.total(m)
	mean, variance := stat.MeanVariance(all, nil)
	require.Len(t, all, 20_000)
	require.InEpsilon(t, mean, sum.Outputs[0].Mean, 1e-14)
	require.InEpsilon(t, variance, sum.variance(0), 1e-10)
	require.InEpsilon(t, stat.Skew(all, nil), sum.skew(0), 1e-9)
}

// In a full factorial the parts of a sum of effects add up to the whole.
func TestFactorialIsExact(t *testing.T) {
	m := &model{outputs: []output{{name: "y"}}}
	for i, levels := range [][]float64{{0, 1, 2}, {0, 1}, {0, 1, 2, 3, 4}, {7}} {
		m.inputs = append(m.inputs, input{name: string(rune('a' + i)), quantile: func(p float64) float64 { return p }, levels: levels})
	}
	m.start = func() func(x, y []float64) error {
		return func(x, y []float64) error {
			y[0] = 3*x[0] - 10*x[1] + x[2]*x[2]
			return nil
		}
	}
	require.NoError(t, m.settle())
	j := finished(t, m, SamplingFactorial, 0, 1)
	sum := j.done.total(m)
	require.EqualValues(t, 30, sum.Draws)
	total := 0.0
	for i := range m.inputs {
		total += sum.sensitivity(m, i, 0, true).FirstOrder
	}
	require.InDelta(t, 1, total, 1e-12)
	e := sum.sensitivity(m, 1, 0, true)
	require.InDelta(t, -10, e.AtHigh-e.AtLow, 1e-12)
	require.Zero(t, sum.sensitivity(m, 3, 0, true).FirstOrder)
}

// With few draws the classes are put together, and what does nothing explains next
// to nothing.
func TestFewDraws(t *testing.T) {
	m := ishigami(t)
	sum := finished(t, m, SamplingLatin, 400, 1).done.total(m)
	require.InDelta(t, 0, sum.sensitivity(m, 2, 0, false).FirstOrder, 0.15)
	sum = finished(t, m, SamplingRandom, 2, 1).done.total(m)
	require.False(t, math.IsNaN(sum.sensitivity(m, 0, 0, false).FirstOrder))
	require.Zero(t, sum.skew(0))
}
