package study

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units/evidence"
)

// The variance of the Ishigami function and of the g-function, and the parts of it that
// each input explains, follow from their definitions by integration.
func TestPublished(t *testing.T) {
	const source = "Ishigami and Homma, An importance quantification technique in uncertainty analysis for computer models, ISUMA 1990; a = 7, b = 0.1; the function as written in the test, integrated"
	const a, b = 7, 0.1
	pi4 := math.Pow(math.Pi, 4)
	v1, v2, v13 := 0.5*(1+b*pi4/5)*(1+b*pi4/5), a*a/8.0, b*b*pi4*pi4*(1.0/18-1.0/50)
	v := v1 + v2 + v13
	s := made(t, ishigami())
	var checks []evidence.Check
	check := func(what string, got, want, tol float64, source string) {
		checks = append(checks, evidence.Check{Quantity: what, Got: got, Want: want, Tol: tol, Unit: "1", Source: source, Kind: evidence.Identity})
	}
	for _, sampling := range []Sampling{SamplingRandom, SamplingLatin, SamplingHalton} {
		o := finished(t, s, Design{Sampling: sampling, Draws: 300_000, Seed: 7}, 2).Result().Outputs[0]
		of := " of the Ishigami function, " + sampling.String() + " draws"
		// Tolerances are those of 300,000 draws and 64 classes.
		check("mean"+of, o.Mean, a/2.0, 0.02, source)
		check("variance"+of, o.Variance, v, 0.1, source)
		check("first order of x1"+of, o.Effects[0].FirstOrder, v1/v, 0.005, source)
		check("first order of x2"+of, o.Effects[1].FirstOrder, v2/v, 0.005, source)
		check("first order of x3"+of, o.Effects[2].FirstOrder, 0, 0.001, source)
	}
	index := func(name string, list []Index, i int, first, total float64, source string) {
		// Tolerances are those of 60,000 draws; the errors that the study gives hold too.
		check("first-order index of x"+string(rune('1'+i))+" of "+name, list[i].FirstOrder, first, 0.03, source)
		check("total index of x"+string(rune('1'+i))+" of "+name, list[i].Total, total, 0.02, source)
		require.InDelta(t, first, list[i].FirstOrder, 4*list[i].FirstError)
		require.InDelta(t, total, list[i].Total, 4*list[i].TotalError)
	}
	list := finished(t, s, Design{Sampling: SamplingIndices, Draws: 60_000, Seed: 7}, 2).Result().Outputs[0].Indices
	index("the Ishigami function", list, 0, v1/v, (v1+v13)/v, source)
	index("the Ishigami function", list, 1, v2/v, v2/v, source)
	index("the Ishigami function", list, 2, 0, v13/v, source)

	const gSource = "Saltelli and Sobol, About the use of rank transformation in sensitivity analysis of model output, Reliability Engineering and System Safety 50, 1995: the g-function as written in the test, integrated"
	ga := []float64{0, 1, 4.5, 9}
	g := made(t, function([]string{"x1", "x2", "x3", "x4"}, between(0, 1), func(x []float64) float64 {
		y := 1.0
		for i, x := range x {
			y *= (math.Abs(4*x-2) + ga[i]) / (1 + ga[i])
		}
		return y
	}))
	product := 1.0
	for _, a := range ga {
		product *= 1 + 1/(3*(1+a)*(1+a))
	}
	list = finished(t, g, Design{Sampling: SamplingIndices, Draws: 60_000, Seed: 7}, 2).Result().Outputs[0].Indices
	for i, a := range ga {
		alone := 1 / (3 * (1 + a) * (1 + a))
		index("the g-function", list, i, alone/(product-1), alone*product/(1+alone)/(product-1), gSource)
	}
	evidence.Run(t, "examples/scenarios/study", checks)
}
