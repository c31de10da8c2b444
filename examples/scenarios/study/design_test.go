package study

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// drawn returns the values of each input in the draws of a design.
func drawn(t *testing.T, m Model, d Design) [][]float64 {
	full, err := made(t, m).design(d)
	require.NoError(t, err)
	p := newPoints(full)
	x := make([][]float64, len(m.Inputs))
	for b := range full.blocks() {
		full.fill(b, p)
		for i := range x {
			x[i] = append(x[i], p.x[i][:p.n]...)
		}
	}
	return x
}

func ranks(x []float64) []float64 {
	order := make([]int, len(x))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		if x[a] < x[b] {
			return -1
		}
		return 1
	})
	r := make([]float64, len(x))
	for rank, i := range order {
		r[i] = float64(rank)
	}
	return r
}

// The draws have the rank correlations that were asked for, whatever the
// distributions; pairs that were not named have none.
func TestCorrelationIsRecovered(t *testing.T) {
	m := function([]string{"a", "b", "c", "d"}, distuv.UnitNormal.Quantile, func(x []float64) float64 { return x[0] })
	m.Inputs[1].Quantile = distuv.LogNormal{Sigma: 2}.Quantile
	m.Inputs[2].Quantile = between(3, 4)
	m.Correlations = []Correlation{{"c", "a", 0.8}, {"a", "b", -0.5}}
	for _, s := range []Sampling{SamplingRandom, SamplingLatin, SamplingHalton} {
		x := drawn(t, m, Design{Sampling: s, Draws: 40_960, Seed: 3})
		for _, c := range []struct {
			i, j int
			rank float64
		}{{0, 2, 0.8}, {0, 1, -0.5}, {0, 3, 0}, {2, 3, 0}, {1, 3, 0}} {
			require.InDelta(t, c.rank, stat.Correlation(ranks(x[c.i]), ranks(x[c.j]), nil), 0.02, "%v %d %d", s, c.i, c.j)
		}
		// The distribution of each input stays what it was.
		slices.Sort(x[2])
		for _, p := range []float64{0.01, 0.25, 0.5, 0.9} {
			require.InDelta(t, 3+p, stat.Quantile(p, stat.Empirical, x[2], nil), 0.01)
		}
	}
}

func TestCorrelationFaults(t *testing.T) {
	for want, list := range map[string][]Correlation{
		"correlations[0].a: no input: z":        {{"z", "a", 0.5}},
		"correlations[0].b: the same":           {{"a", "a", 0.5}},
		"correlations[1].b: a pair given twice": {{"a", "b", 0.5}, {"b", "a", 0.5}},
		"correlations[0].rank: got 1":           {{"a", "b", 1}},
		"correlations[0].rank: got NaN":         {{"a", "b", math.NaN()}},
		"correlations: ranks that cannot hold":  {{"a", "b", 0.9}, {"a", "c", 0.9}, {"b", "c", -0.9}},
	} {
		m := function([]string{"a", "b", "c"}, between(0, 1), func(x []float64) float64 { return x[0] })
		m.Correlations = list
		_, err := New(m)
		require.ErrorContains(t, err, want)
	}
	// What the fault proposes holds.
	m := function([]string{"a", "b", "c"}, between(0, 1), func(x []float64) float64 { return x[0] })
	m.Correlations = []Correlation{{"a", "b", 0.9}, {"a", "c", 0.9}, {"b", "c", -0.9}}
	_, err := New(m)
	require.ErrorContains(t, err, "each rank times 0.53 or less")
	for i := range m.Correlations {
		m.Correlations[i].Rank *= 0.53
	}
	s := made(t, m)
	_, err = s.Start(Design{Sampling: SamplingIndices, Draws: 100}, Part{})
	require.ErrorContains(t, err, "sampling: ")
}

// Each block of a hypercube has one draw in each of its strata, also when inputs are
// correlated.
func TestLatinIsStratified(t *testing.T) {
	m := function([]string{"a", "b"}, between(0, 1), func(x []float64) float64 { return x[0] })
	m.Correlations = []Correlation{{"a", "b", 0.7}}
	for _, x := range drawn(t, m, Design{Sampling: SamplingLatin, Draws: blockRows, Seed: 3}) {
		slices.Sort(x)
		for i, v := range x {
			require.Equal(t, i, int(v*blockRows))
		}
	}
}

// Points of the sequence fill the square better than random ones: a mean over them
// is nearer to the integral; and base 2 has as many below as above every half.
func TestHaltonIsEven(t *testing.T) {
	m := function([]string{"a", "b", "c"}, between(0, 1), func(x []float64) float64 { return x[0] * x[1] * x[2] })
	s := made(t, m)
	far := map[Sampling]float64{}
	for seed := range int64(10) {
		for _, sampling := range []Sampling{SamplingRandom, SamplingHalton} {
			d := finished(t, s, Design{Sampling: sampling, Draws: 6000, Seed: seed}, 1).Result().Outputs[0].Mean - 0.125
			far[sampling] += d * d
		}
	}
	require.Less(t, far[SamplingHalton], far[SamplingRandom]/50)
	x := drawn(t, m, Design{Sampling: SamplingHalton, Draws: 4096, Seed: 1})
	for i, base := range []int{2, 3, 5} {
		cells := make([]int, base)
		for _, v := range x[i] {
			cells[int(v*float64(base))]++
		}
		require.LessOrEqual(t, slices.Max(cells)-slices.Min(cells), 1)
	}
}

// In a full factorial the parts of a sum of effects add up to the whole.
func TestFactorialIsExact(t *testing.T) {
	m := function([]string{"a", "b", "c", "d"}, between(0, 1), func(x []float64) float64 { return 3*x[0] - 10*x[1] + x[2]*x[2] })
	for i, levels := range [][]float64{{0, 1, 2}, {0, 1}, {0, 1, 2, 3, 4}, {7}} {
		m.Inputs[i].Levels = levels
	}
	r := finished(t, made(t, m), Design{Sampling: SamplingFactorial}, 1).Result()
	require.EqualValues(t, 30, r.Draws)
	require.Len(t, r.Outputs[0].Effects, 3)
	total := 0.0
	for _, e := range r.Outputs[0].Effects {
		total += e.FirstOrder
	}
	require.InDelta(t, 1, total, 1e-12)
	e := r.Outputs[0].Effects[1]
	require.InDelta(t, -10, e.AtHigh-e.AtLow, 1e-12)
	_, err := made(t, ishigami()).Start(Design{Sampling: SamplingFactorial}, Part{})
	require.ErrorContains(t, err, "levels: missing")
}

// The effects of a linear function are its coefficients, wherever they are taken; those
// of a product vary.
func TestScreen(t *testing.T) {
	m := function([]string{"a", "b", "c"}, between(0, 1), func(x []float64) float64 { return 3*x[0] - 2*x[1] })
	list := finished(t, made(t, m), Design{Sampling: SamplingScreen, Draws: 50, Seed: 1}, 2).Result().Outputs[0].Screen
	for i, want := range []float64{3, -2, 0} {
		require.InDelta(t, want, list[i].Mean, 1e-9)
		require.InDelta(t, math.Abs(want), list[i].MeanAbs, 1e-9)
		require.InDelta(t, 0, list[i].SD, 1e-6)
		require.InDelta(t, 0, list[i].Error, 1e-9)
	}
	// By hand: the effect of a is 4 (b - 1/2), with b at 1/8, 3/8, 5/8 or 7/8.
	m = function([]string{"a", "b"}, between(0, 1), func(x []float64) float64 { return 4 * (x[0] - 0.5) * (x[1] - 0.5) })
	list = finished(t, made(t, m), Design{Sampling: SamplingScreen, Draws: 20_000, Seed: 1}, 2).Result().Outputs[0].Screen
	require.InDelta(t, 0, list[0].Mean, 0.05)
	require.InDelta(t, 1, list[0].MeanAbs, 4*list[0].Error)
	require.InDelta(t, math.Sqrt((1.5*1.5+0.5*0.5)/2), list[0].SD, 0.02)
}

// Of 100 repetitions the true index lies within two standard errors in most: the error
// that a study gives is that of its indices.
func TestIndexErrors(t *testing.T) {
	s := made(t, function([]string{"a", "b"}, distuv.UnitNormal.Quantile, func(x []float64) float64 { return 2*x[0] + x[1] }))
	var first, total int
	for seed := range int64(100) {
		i := finished(t, s, Design{Sampling: SamplingIndices, Draws: 2000, Seed: seed}, 2).Result().Outputs[0].Indices[0]
		if math.Abs(i.FirstOrder-0.8) < 2*i.FirstError {
			first++
		}
		if math.Abs(i.Total-0.8) < 2*i.TotalError {
			total++
		}
	}
	require.GreaterOrEqual(t, first, 88)
	require.GreaterOrEqual(t, total, 88)
}

// Sums of whole numbers are those of big numbers, in any order, and come back from
// their bytes.
func TestWide(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 2000 {
		var a, b wide
		var list []float64
		sum := 0.0
		for range 10 {
			x := math.Ldexp(r.NormFloat64(), r.IntN(40)-20)
			list = append(list, x)
			sum += x
		}
		for i := range list {
			a.add(wideOf(list[i]))
			b.add(wideOf(list[len(list)-1-i]))
		}
		require.Equal(t, a, b)
		require.InDelta(t, sum, a.float(), 1e-9*math.Abs(sum)+1e-8)
		back, rest, ok := readWide(append(a.appendTo(nil), 7))
		require.True(t, ok)
		require.Equal(t, a, back)
		require.Equal(t, []byte{7}, rest)
	}
	for _, x := range []float64{0, 1, -1, 0x1p-60, -0x1p-60, 0x1p-61, 0x1p80, -0x1p129, 127.0 / (1 << 60), 128.0 / (1 << 60), -128.0 / (1 << 60), -129.0 / (1 << 60)} {
		w := wideOf(x)
		back, _, ok := readWide(w.appendTo(nil))
		require.True(t, ok)
		require.Equal(t, w, back, x)
		if math.Abs(x) >= 0x1p-60 {
			require.Equal(t, x, w.float())
		}
	}
	for _, bad := range [][]byte{nil, {25}, {3, 1, 2}} {
		_, _, ok := readWide(bad)
		require.False(t, ok)
	}
}
