package main

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"

	"example.org/earthbasin/units/evidence"
)

// ishigami is the usual function to try a sensitivity analysis on:
// sin x1 + a sin² x2 + b x3⁴ sin x1, each x uniform from -π to π.
func ishigami(t testing.TB) *model {
	u := distuv.Uniform{Min: -math.Pi, Max: math.Pi}
	m := &model{outputs: []output{{name: "y"}}}
	for _, name := range []string{"x1", "x2", "x3"} {
		m.inputs = append(m.inputs, input{name: name, quantile: u.Quantile, levels: []float64{-2, -0.5, 1}})
	}
	m.start = func() func(x, y []float64) error {
		return func(x, y []float64) error {
			s2 := math.Sin(x[1])
			y[0] = math.Sin(x[0]) + 7*s2*s2 + 0.1*math.Pow(x[2], 4)*math.Sin(x[0])
			return nil
		}
	}
	require.NoError(t, m.settle())
	return m
}

// finished runs all of a design.
func finished(t testing.TB, m *model, s Sampling, draws int64, workers int) *job {
	d, err := newDesign(m, "test", s, draws, 7)
	require.NoError(t, err)
	j := &job{model: m, design: d, end: d.blocks(), done: forest{}, workers: workers}
	require.NoError(t, j.run(context.Background()))
	return j
}

// The variance of the Ishigami function and the parts of it that each input
// explains alone follow from its definition by integration.
func TestPublished(t *testing.T) {
	const source = "Ishigami and Homma, An importance quantification technique in uncertainty analysis for computer models, ISUMA 1990; a = 7, b = 0.1, by integration"
	const a, b = 7, 0.1
	pi4 := math.Pow(math.Pi, 4)
	v1, v2 := 0.5*(1+b*pi4/5)*(1+b*pi4/5), a*a/8.0
	v := a*a/8.0 + b*pi4/5 + b*b*pi4*pi4/18 + 0.5
	m := ishigami(t)
	var checks []evidence.Check
	for _, s := range []Sampling{SamplingRandom, SamplingLatin} {
		sum := finished(t, m, s, 300_000, 2).done.total(m)
		check := func(what string, got, want, tol float64) {
			checks = append(checks, evidence.Check{Quantity: what + " of the Ishigami function, " + s.String() + " draws", Got: got, Want: want, Tol: tol,
				Unit: "1", Source: source, Kind: evidence.Memory})
		}
		// Tolerances are those of 300,000 draws and 64 classes.
		check("mean", sum.Outputs[0].Mean, a/2.0, 0.02)
		check("variance", sum.variance(0), v, 0.1)
		check("first order of x1", sum.sensitivity(m, 0, 0, false).FirstOrder, v1/v, 0.005)
		check("first order of x2", sum.sensitivity(m, 1, 0, false).FirstOrder, v2/v, 0.005)
		check("first order of x3", sum.sensitivity(m, 2, 0, false).FirstOrder, 0, 0.001)
	}
	evidence.Run(t, "examples/scenarios", checks)
}
