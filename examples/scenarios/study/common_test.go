package study

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// between is uniform.
func between(low, high float64) func(float64) float64 {
	return func(p float64) float64 { return low + p*(high-low) }
}

// function is a model of one output.
func function(paths []string, quantile func(float64) float64, of func(x []float64) float64) Model {
	m := Model{ID: "test", Outputs: []Output{{Name: "y"}}}
	for _, p := range paths {
		m.Inputs = append(m.Inputs, Input{Path: p, Quantile: quantile})
	}
	m.Evaluator = func() Evaluator {
		return EvaluatorFunc(func(x, y []float64) error { y[0] = of(x); return nil })
	}
	return m
}

// ishigami is the usual function to try a sensitivity analysis on:
// sin x1 + a sin² x2 + b x3⁴ sin x1, each x uniform from -π to π.
func ishigami() Model {
	return function([]string{"x1", "x2", "x3"}, between(-math.Pi, math.Pi), func(x []float64) float64 {
		s2 := math.Sin(x[1])
		return math.Sin(x[0]) + 7*s2*s2 + 0.1*math.Pow(x[2], 4)*math.Sin(x[0])
	})
}

func made(t testing.TB, m Model) *Study {
	s, err := New(m)
	require.NoError(t, err)
	return s
}

// finished runs all of a design.
func finished(t testing.TB, s *Study, d Design, workers int) *Job {
	j, err := s.Start(d, Part{})
	require.NoError(t, err)
	require.NoError(t, j.Run(context.Background(), Options{Workers: workers}))
	return j
}
