package study

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"

	"example.org/earthbasin/units"
)

// plain reads numbers as they are.
func plain(least, most float64) Scale {
	return Scale{Least: least, Most: most, Show: func(x float64) string { return fmt.Sprint(x) },
		Read: func(v any) (float64, error) {
			x, ok := v.(float64)
			if !ok {
				return 0, units.Fault(units.FaultMalformed, "", fmt.Sprint(v), "a number")
			}
			return x, nil
		}}
}

func TestDistributions(t *testing.T) {
	q := func(v float64) *float64 { return new(v) }
	for name, c := range map[string]struct {
		d    InputSpec
		want [3]float64 // at 0.025, 0.5 and 0.975
	}{
		"fixed":      {InputSpec{Kind: KindFixed, Value: FigureOf(3.0)}, [3]float64{3, 3, 3}},
		"uniform":    {InputSpec{Kind: KindUniform, Low: FigureOf(0.0), High: FigureOf(4.0)}, [3]float64{0.1, 2, 3.9}},
		"triangular": {InputSpec{Kind: KindTriangular, Low: FigureOf(0.0), Mode: FigureOf(2.0), High: FigureOf(4.0)}, [3]float64{math.Sqrt(0.2), 2, 4 - math.Sqrt(0.2)}},
		"normal":     {InputSpec{Kind: KindNormal, Mean: FigureOf(10.0), SD: FigureOf(1.0)}, [3]float64{10 - 1.959964, 10, 10 + 1.959964}},
		// scipy 1.10: lognorm.ppf with s = sqrt(log(1.25)), scale = 4/sqrt(1.25)
		"lognormal": {InputSpec{Kind: KindLognormal, Mean: FigureOf(4.0), SD: FigureOf(2.0)}, [3]float64{1.417470, 3.577709, 9.030175}},
		// scipy 1.10: 2 + 4 beta.ppf with a = 2, b = 4
		"pert":     {InputSpec{Kind: KindPERT, Low: FigureOf(2.0), Mode: FigureOf(3.0), High: FigureOf(6.0)}, [3]float64{2.210980, 3.255241, 4.865672}},
		"interval": {InputSpec{Kind: KindInterval, Low: FigureOf(6.0), High: FigureOf(9.0), Confidence: q(0.95)}, [3]float64{6, 7.5, 9}},
		"cut":      {InputSpec{Kind: KindNormal, Mean: FigureOf(98.0), SD: FigureOf(0.82)}, [3]float64{96.392830, 98, 99.607170}},
		"list":     {InputSpec{Kind: KindList, Values: []Figure{FigureOf(7.0), FigureOf(5.0), FigureOf(5.0), FigureOf(9.0)}}, [3]float64{5, 7, 9}},
	} {
		t.Run(name, func(t *testing.T) {
			c.d.Path = "x"
			in, err := c.d.Input(plain(0, 100))
			require.NoError(t, err)
			for i, p := range []float64{0.025, 0.5, 0.975} {
				require.InDelta(t, c.want[i], in.Quantile(p), 1e-6)
			}
			require.True(t, in.Quantile(leastP) >= 0 && in.Quantile(mostP) <= 100)
		})
	}
}

// The mean of a PERT distribution is (low + 4 mode + high) / 6.
func TestPERTMean(t *testing.T) {
	in, err := InputSpec{Path: "x", Kind: KindPERT, Low: FigureOf(2.0), Mode: FigureOf(3.0), High: FigureOf(10.0)}.Input(plain(0, 100))
	require.NoError(t, err)
	m := function([]string{"x"}, in.Quantile, func(x []float64) float64 { return x[0] })
	require.InDelta(t, 4, finished(t, made(t, m), Design{Sampling: SamplingLatin, Draws: 20_000}, 1).Result().Outputs[0].Mean, 1e-4)
}

func TestDistributionFaults(t *testing.T) {
	for want, d := range map[string]InputSpec{
		"kind: missing":        {Low: FigureOf(1.0)},
		"value: missing":       {Kind: KindFixed},
		"mode: ":               {Kind: KindUniform, Low: FigureOf(1.0), High: FigureOf(2.0), Mode: FigureOf(1.5)},
		"low: got \"text\"":    {Kind: KindUniform, Low: FigureOf("text"), High: FigureOf(2.0)},
		"high: 200":            {Kind: KindUniform, Low: FigureOf(1.0), High: FigureOf(200.0)},
		"high: 1":              {Kind: KindUniform, Low: FigureOf(1.0), High: FigureOf(1.0)},
		"mode: 3":              {Kind: KindPERT, Low: FigureOf(1.0), High: FigureOf(2.0), Mode: FigureOf(3.0)},
		"sd: 0":                {Kind: KindNormal, Mean: FigureOf(3.0), SD: FigureOf(0.0)},
		"sd: NaN":              {Kind: KindNormal, Mean: FigureOf(3.0), SD: FigureOf(math.NaN())},
		"kind: normal that":    {Kind: KindNormal, Mean: FigureOf(3.0), SD: FigureOf(3.0)},
		"mean: 0":              {Kind: KindLognormal, Mean: FigureOf(0.0), SD: FigureOf(3.0)},
		"confidence: missing":  {Kind: KindInterval, Low: FigureOf(1.0), High: FigureOf(2.0)},
		"confidence: got 95":   {Kind: KindInterval, Low: FigureOf(1.0), High: FigureOf(2.0), Confidence: new(95.0)},
		"confidence: got 0.95": {Kind: KindUniform, Low: FigureOf(1.0), High: FigureOf(2.0), Confidence: new(0.95)},
		"values: got 0":        {Kind: KindList},
		"values[1]: -1":        {Kind: KindList, Values: []Figure{FigureOf(1.0), FigureOf(-1.0)}},
		"levels[1]: 1":         {Kind: KindFixed, Value: FigureOf(1.0), Levels: []Figure{FigureOf(1.0), FigureOf(1.0)}},
		"low: NaN":             {Kind: KindUniform, Low: FigureOf(math.NaN()), High: FigureOf(2.0)},
	} {
		d.Path = "x"
		_, err := d.Input(plain(0, 100))
		require.ErrorContains(t, err, want)
		require.NotEmpty(t, units.FieldErrors(err))
	}
	named := plain(0, 10)
	named.Named = true
	_, err := InputSpec{Path: "x", Kind: KindUniform, Low: FigureOf(1.0), High: FigureOf(2.0)}.Input(named)
	require.ErrorContains(t, err, "kind: got uniform")
}

// What is drawn is the quantile function itself to a part in 10^8 of the spread, with no
// draw beyond its ends, for smooth functions and for those with steps and bends.
func TestTableIsTheQuantile(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for name, q := range map[string]func(float64) float64{
		"uniform":    between(3, 4),
		"normal":     distuv.Normal{Mu: -3, Sigma: 2}.Quantile,
		"lognormal":  distuv.LogNormal{Mu: 1, Sigma: 0.7}.Quantile,
		"triangular": distuv.NewTriangle(1, 5, 4, nil).Quantile,
		"beta":       distuv.Beta{Alpha: 0.5, Beta: 3}.Quantile,
		"steps":      func(p float64) float64 { return math.Floor(7 * p) },
		"bend":       func(p float64) float64 { return max(p, 0.3) },
		"fixed":      func(float64) float64 { return 4 },
	} {
		tab := newTable(q)
		spread := q(0.75) - q(0.25)
		p := make([]float64, 20_000)
		for i := range p {
			p[i] = r.Float64()
			if i%10 == 0 {
				p[i] = math.Ldexp(p[i], -r.IntN(50))
			}
			if i%20 == 0 {
				p[i] = min(1-p[i], mostP)
			}
		}
		copy(p, []float64{leastP, mostP, 0.5, 0x1p-13, 1 - 0x1p-13, 0.25, 0.75})
		x, classes := make([]float64, len(p)), make([]uint8, len(p))
		tab.spread(p, x, classes)
		for i, p := range p {
			p = max(p, leastP)
			require.InDelta(t, q(p), x[i], 2*cellError*spread+1e-15, "%s at %v", name, p)
			require.Equal(t, x[i], tab.at(p), "%s at %v", name, p)
			require.True(t, x[i] >= q(leastP) && x[i] <= q(mostP), "%s at %v", name, p)
			require.Equal(t, uint8(p*mostLevels), classes[i])
		}
	}
}

func TestModelFaults(t *testing.T) {
	one := func(change func(*Model)) error {
		m := ishigami()
		change(&m)
		_, err := New(m)
		return err
	}
	for want, change := range map[string]func(*Model){
		"evaluator: missing": func(m *Model) { m.Evaluator = nil },
		"inputs: got 0":      func(m *Model) { m.Inputs = nil },
		"outputs: got 0":     func(m *Model) { m.Outputs = nil },
		"inputs[1].path: got \"x1\", want one that no other input has": func(m *Model) { m.Inputs[1].Path = "x1" },
		"inputs[2].path: missing":                                      func(m *Model) { m.Inputs[2].Path = "" },
		"inputs[0].quantile: missing":                                  func(m *Model) { m.Inputs[0].Quantile = nil },
		"inputs[0].quantile: got":                                      func(m *Model) { m.Inputs[0].Quantile = func(p float64) float64 { return 1 - p } },
		"inputs[0].levels[1]: got":                                     func(m *Model) { m.Inputs[0].Levels = []float64{1, 1} },
		"at its median: no": func(m *Model) {
			m.Evaluator = func() Evaluator { return EvaluatorFunc(func(x, y []float64) error { return errors.New("no") }) }
		},
		"at its median: y: got NaN": func(m *Model) {
			m.Evaluator = func() Evaluator {
				return EvaluatorFunc(func(x, y []float64) error { y[0] = math.NaN(); return nil })
			}
		},
	} {
		require.ErrorContains(t, one(change), want)
	}
}

// Probabilities drawn in one call are those of the generator of the standard library.
func TestProbabilitiesAreThoseOfPCG(t *testing.T) {
	for seed := range uint64(20) {
		seed *= 0x9e3779b97f4a7c15
		src, g := rand.NewPCG(seed, ^seed/7), pcg{seed, ^seed / 7}
		for range 2 { // the state goes on
			p := make([]float64, 500)
			g.probabilities(p)
			for i := range p {
				require.Equal(t, float64(src.Uint64()>>11)*0x1p-53, p[i])
			}
		}
	}
}
