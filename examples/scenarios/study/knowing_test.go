package study

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// unitLoss is what knowing a normal quantity is worth that decides between two
// payoffs, 0 and the quantity: s φ(m/s) - |m| Φ(-|m|/s), by integration.
func unitLoss(m, s float64) float64 {
	return s*distuv.UnitNormal.Prob(m/s) - math.Abs(m)*distuv.UnitNormal.CDF(-math.Abs(m)/s)
}

// Of two decisions one brings nothing and the other mean + a x1 + b x2.
func normalDecision(n int) KnowingSpec {
	r := rand.New(rand.NewPCG(1, 1))
	s := KnowingSpec{Decisions: []string{"stay", "go"}, Inputs: []KnowingInput{{Path: "x1", Price: 0.5, Measure: "a survey"}, {Path: "x2"}, {Path: "x3", Price: 1}}}
	for range n {
		x := [3]float64{r.NormFloat64(), r.NormFloat64(), r.NormFloat64()}
		s.Payoffs = append(s.Payoffs, []float64{0, 0.5 + 3*x[0] + x[1]})
		for i := range x {
			s.Inputs[i].Values = append(s.Inputs[i].Values, x[i])
		}
	}
	return s
}

func TestKnowingAgainstIntegral(t *testing.T) {
	r, err := Knowing(normalDecision(100_000))
	require.NoError(t, err)
	require.Equal(t, "go", r.Name)
	require.InDelta(t, 0.5, r.Payoff, 0.05)
	require.InDelta(t, unitLoss(0.5, math.Sqrt(10)), r.Perfect, 4*r.PerfectError)
	for i, want := range []float64{unitLoss(0.5, 3), unitLoss(0.5, 1), 0} {
		in := r.Inputs[i]
		require.InDelta(t, want, in.Gain, 4*in.Error+0.003) // 0.003: classes of 2 % of the draws
		require.LessOrEqual(t, in.Gain, r.Perfect)
		require.Less(t, in.Bias, 0.02)
	}
	require.True(t, r.Inputs[0].Worth)
	require.False(t, r.Inputs[2].Worth)
	require.InDelta(t, 1, r.Shares[0].Best+r.Shares[1].Best, 1e-9)
	require.Contains(t, r.String(), "a survey costs 0.5 and pays")
}

// With few draws what looks best by chance brings nothing.
// Of decisions that come to the same but for rounding the first is best.
func TestKnowingOfDecisionsThatAreAlike(t *testing.T) {
	s := KnowingSpec{Decisions: []string{"as it is", "without a field that gets nothing"}}
	for range 100 {
		s.Payoffs = append(s.Payoffs, []float64{-137_449, math.Nextafter(-137_449, 0)})
	}
	r, err := Knowing(s)
	require.NoError(t, err)
	require.Equal(t, "as it is", r.Name)
	require.InDelta(t, 1, r.Shares[0].Best, 1e-12)
	require.Zero(t, r.Shares[1].Best)
}

func TestKnowingFewDraws(t *testing.T) {
	r, err := Knowing(normalDecision(400))
	require.NoError(t, err)
	require.Less(t, r.Inputs[2].Gain, 0.3)
	require.InDelta(t, unitLoss(0.5, 3), r.Inputs[0].Gain, 4*r.Inputs[0].Error+0.05)
}

func TestKnowingFaults(t *testing.T) {
	for want, change := range map[string]func(*KnowingSpec){
		"decisions: got 1":         func(s *KnowingSpec) { s.Decisions = s.Decisions[:1] },
		"payoffs: got 3":           func(s *KnowingSpec) { s.Payoffs = s.Payoffs[:3] },
		"payoffs[5]: got 1":        func(s *KnowingSpec) { s.Payoffs[5] = s.Payoffs[5][:1] },
		"payoffs[5][1]: got NaN":   func(s *KnowingSpec) { s.Payoffs[5][1] = math.NaN() },
		"inputs[1].values: got 7":  func(s *KnowingSpec) { s.Inputs[1].Values = s.Inputs[1].Values[:7] },
		"inputs[1].values[7]: got": func(s *KnowingSpec) { s.Inputs[1].Values[7] = math.NaN() },
		"inputs[0].price: got -1":  func(s *KnowingSpec) { s.Inputs[0].Price = -1 },
	} {
		s := normalDecision(200)
		change(&s)
		_, err := Knowing(s)
		require.ErrorContains(t, err, want)
	}
}
