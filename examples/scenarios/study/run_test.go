package study

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"example.org/earthbasin/units"
)

// allowed is a design of each kind for three inputs with levels.
var designs = []Design{
	{SamplingRandom, 9000, 7}, {SamplingLatin, 9000, 7}, {SamplingHalton, 9000, 7},
	{SamplingFactorial, 0, 0}, {SamplingIndices, 2001, 7}, {SamplingScreen, 2001, 7},
}

// leveled is the Ishigami function with levels; some draws are refused.
func leveled() Model {
	m := ishigami()
	for i := range m.Inputs {
		for l := range 20 {
			m.Inputs[i].Levels = append(m.Inputs[i].Levels, float64(l)/10)
		}
	}
	inner := m.Evaluator
	m.Evaluator = func() Evaluator {
		e := inner()
		return EvaluatorFunc(func(x, y []float64) error {
			if math.Abs(x[0]-1) < 0.05 {
				return fmt.Errorf("refused at %.3g", x[0])
			}
			return e.Eval(x, y)
		})
	}
	return m
}

// told is a result for comparison, to the bit.
func told(j *Job) string {
	r := j.Result()
	text := fmt.Sprintf("%+v", r.Draws) + fmt.Sprintf("%v %v", r.Refused, r.Fault)
	for _, o := range r.Outputs {
		text += fmt.Sprintf("%v %v %v %v %v %v %v %v", o.Mean, o.Variance, o.Skewness, o.Min, o.Max, o.Effects, o.Indices, o.Screen)
		for _, p := range []float64{0.01, 0.5, 0.99} {
			text += fmt.Sprint(" ", o.Quantile(p))
		}
	}
	return text
}

func TestSameBits(t *testing.T) {
	s := made(t, leveled())
	r := rand.New(rand.NewPCG(1, 1))
	for _, d := range designs {
		t.Run(d.Sampling.String(), func(t *testing.T) {
			one := finished(t, s, d, 1)
			want := told(one)
			require.NotContains(t, want, "NaN")
			require.True(t, strings.Contains(want, "refused at") || d.Sampling == SamplingScreen)
			for _, workers := range []int{2, 5} {
				require.Equal(t, want, told(finished(t, s, d, workers)), "%d workers", workers)
			}
			for _, parts := range []int{2, 3, 40} { // some of forty have no block
				var states [][]byte
				for _, i := range r.Perm(parts) {
					j, err := s.Start(d, Part{i + 1, parts})
					require.NoError(t, err)
					require.NoError(t, j.Run(t.Context(), Options{Workers: 2}))
					require.Equal(t, j.Due(), j.Drawn())
					states = append(states, j.State())
				}
				merged, err := s.Merge(states...)
				require.NoError(t, err)
				require.Equal(t, want, told(merged), "%d parts", parts)
				require.Equal(t, one.State(), merged.State())
			}
		})
	}
}

// A run that is broken off keeps the blocks that are complete, and goes on from there
// without doing them again.
func TestResumeToTheBit(t *testing.T) {
	m := leveled()
	want := told(finished(t, made(t, m), Design{Draws: 20_000, Seed: 7}, 1))
	ctx, stop := context.WithCancel(t.Context())
	var evaluated atomic.Int64
	inner := m.Evaluator
	m.Evaluator = func() Evaluator {
		e := inner()
		return EvaluatorFunc(func(x, y []float64) error {
			if evaluated.Add(1) == 3*blockRows {
				stop()
			}
			return e.Eval(x, y)
		})
	}
	s := made(t, m)
	d := Design{Draws: 20_000, Seed: 7}
	evaluated.Store(0)
	j, err := s.Start(d, Part{})
	require.NoError(t, err)
	require.ErrorIs(t, j.Run(ctx, Options{Workers: 2}), context.Canceled)
	kept := j.Drawn()
	require.True(t, kept >= 2*blockRows && kept < d.Draws, "%d", kept)
	evaluated.Store(10 * blockRows)
	again, err := s.Resume(d, Part{}, j.State())
	require.NoError(t, err)
	require.Equal(t, kept, again.Drawn())
	require.NoError(t, again.Run(t.Context(), Options{Workers: 2}))
	require.Equal(t, d.Draws-kept, evaluated.Load()-10*blockRows)
	require.Equal(t, want, told(again))
}

// Rows come in the order of the draws for any workers, with refused ones and their
// reasons; an error ends the run.
func TestRows(t *testing.T) {
	s := made(t, leveled())
	for _, d := range designs {
		var want string
		for _, workers := range []int{1, 4} {
			var text strings.Builder
			j, err := s.Start(d, Part{2, 3})
			require.NoError(t, err)
			require.NoError(t, j.Run(t.Context(), Options{Workers: workers, Rows: func(draw int64, x, y []float64, err error) error {
				if err != nil {
					fmt.Fprintln(&text, draw, x, err)
				} else {
					fmt.Fprintln(&text, draw, x, y)
				}
				return nil
			}}))
			if want == "" {
				want = text.String()
			}
			require.Equal(t, want, text.String())
			require.True(t, strings.HasPrefix(want, fmt.Sprint(j.design.upTo(j.from))+" "))
		}
	}
	j, err := s.Start(designs[0], Part{})
	require.NoError(t, err)
	full := errors.New("the disk is full")
	require.ErrorIs(t, j.Run(t.Context(), Options{Workers: 3, Rows: func(draw int64, x, y []float64, err error) error {
		if draw == 3000 {
			return full
		}
		return nil
	}}), full)
}

// Moments are those that gonum takes from all values at once, and quantiles within the
// stated error.
func TestFiguresAgainstGonum(t *testing.T) {
	m := ishigami()
	inner := m.Evaluator
	m.Evaluator = func() Evaluator {
		e := inner()
		return EvaluatorFunc(func(x, y []float64) error {
			err := e.Eval(x, y)
			y[0] = math.Exp(y[0]/4) + 1000
			return err
		})
	}
	var all []float64
	j, err := made(t, m).Start(Design{Draws: 20_000, Seed: 7}, Part{})
	require.NoError(t, err)
	require.NoError(t, j.Run(t.Context(), Options{Workers: 2, Rows: func(_ int64, _, y []float64, _ error) error {
		all = append(all, y[0])
		return nil
	}}))
	o := j.Result().Outputs[0]
	mean, variance := stat.MeanVariance(all, nil)
	require.Len(t, all, 20_000)
	require.InEpsilon(t, mean, o.Mean, 1e-14)
	require.InEpsilon(t, variance, o.Variance, 1e-10)
	require.InEpsilon(t, stat.Skew(all, nil), o.Skewness, 1e-9)
	slices.Sort(all)
	for _, p := range []float64{0, 0.01, 0.5, 0.999, 1} {
		want := stat.Quantile(p, stat.Empirical, all, nil)
		require.InEpsilon(t, want, o.Quantile(p), sketchError)
	}
	bars := 0.0
	for _, b := range o.Bars(o.Min, o.Max, 48) {
		bars += b
	}
	require.InDelta(t, 1, bars, 1e-9)
}

// With few draws the classes are put together, and what does nothing explains next
// to nothing.
func TestFewDraws(t *testing.T) {
	s := made(t, ishigami())
	o := finished(t, s, Design{SamplingLatin, 400, 7}, 1).Result().Outputs[0]
	require.InDelta(t, 0, o.Effects[2].FirstOrder, 0.15)
	for _, sampling := range []Sampling{SamplingRandom, SamplingIndices, SamplingScreen} {
		j := finished(t, s, Design{sampling, 2, 7}, 1)
		require.NotContains(t, told(j), "NaN")
		require.NotEmpty(t, j.Result().String())
	}
	// An output that does not vary, and one that the pilot saw as constant.
	m := function([]string{"a"}, between(0, 1), func(x []float64) float64 { return math.Floor(x[0] * 1.0001) })
	o = finished(t, made(t, m), Design{SamplingRandom, 200_000, 1}, 1).Result().Outputs[0]
	require.InDelta(t, 0.0001, o.Mean, 0.0001)
	require.InDelta(t, 0.0001, o.Variance, 0.0001)
	m = function([]string{"a"}, between(0, 1), func(x []float64) float64 { return 0.1 })
	o = finished(t, made(t, m), Design{SamplingRandom, 5000, 1}, 1).Result().Outputs[0]
	require.Equal(t, OutputResult{Name: "y", Mean: 0.1, Min: 0.1, Max: 0.1, Effects: o.Effects, spread: o.spread}, o)
	require.Zero(t, o.Effects[0].FirstOrder)
}

// Neither memory nor a state grows with the number of draws.
func TestMemoryIsFlat(t *testing.T) {
	s := made(t, ishigami())
	live := func(blocks int64) (most uint64, state int) {
		j, err := s.Start(Design{SamplingLatin, blocks * blockRows, 7}, Part{})
		require.NoError(t, err)
		require.NoError(t, j.Run(t.Context(), Options{Workers: 2, Progress: func(done int64) {
			if done/blockRows%(blocks/4) == 0 {
				var m runtime.MemStats
				runtime.GC()
				runtime.ReadMemStats(&m)
				most = max(most, m.HeapAlloc)
			}
		}}))
		return most, len(j.State())
	}
	few, fewBytes := live(16)
	many, manyBytes := live(512)
	require.Less(t, many, few+1<<20, "a megabyte more at most, of 3 million inputs in 32 times the draws")
	require.Less(t, manyBytes, 2*fewBytes)
}

// wide is a model of many inputs and outputs that lie on both sides of 0.
func broad(inputs, outputs int) Model {
	m := Model{ID: "broad"}
	for i := range inputs {
		m.Inputs = append(m.Inputs, Input{Path: fmt.Sprint("x", i), Quantile: between(-1, 1)})
	}
	for k := range outputs {
		m.Outputs = append(m.Outputs, Output{Name: fmt.Sprint("y", k)})
	}
	m.Evaluator = func() Evaluator {
		return EvaluatorFunc(func(x, y []float64) error {
			for k := range y {
				y[k] = x[k%inputs] * x[(k+1)%inputs]
			}
			return nil
		})
	}
	return m
}

// The state of forty inputs and thirty outputs stays below 5 MB: a sum takes nine bytes
// in 300,000 draws and one more in 256 times as many.
func TestStateIsSmall(t *testing.T) {
	for _, sampling := range []Sampling{SamplingRandom, SamplingIndices} {
		d := Design{sampling, 300_000, 1}
		if sampling == SamplingIndices {
			d.Draws = 2000
		}
		require.Less(t, len(finished(t, made(t, broad(40, 30)), d, 2).State()), 2_500_000)
	}
}

func TestWrongStates(t *testing.T) {
	s := made(t, ishigami())
	d := Design{Draws: 3 * blockRows, Seed: 7}
	part := func(s *Study, d Design, p Part) []byte {
		j, err := s.Start(d, p)
		require.NoError(t, err)
		require.NoError(t, j.Run(t.Context(), Options{Workers: 1}))
		return j.State()
	}
	a, b := part(s, d, Part{1, 2}), part(s, d, Part{2, 2})
	_, body, _ := strings.Cut(string(a), "\n")
	// As a program with faults of its own would write it: the checksum is right.
	spoil := func(old, new string) []byte {
		require.Contains(t, body, old)
		wrong := strings.Replace(body, old, new, 1)
		return []byte(checksum([]byte(wrong)) + wrong)
	}
	other := ishigami()
	other.ID = "other"
	ends := body[strings.Index(body, `"ends":`):strings.Index(body, `,"sums"`)]
	for want, states := range map[string][][]byte{
		"states[0].ends: got 0":                  {spoil(ends, `"ends":[]`), b},
		"states: got 0":                          nil,
		"states: without the blocks 1 to 3":      {a},
		"states[2].done[0]: blocks 0 to 1 again": {a, b, a},
		"states[1].design: random":               {a, part(s, Design{Draws: 3 * blockRows, Seed: 8}, Part{2, 2})},
		"states[0].line 1: ":                     {[]byte(body), b},
		"states[0].id: other; want test":         {part(made(t, other), d, Part{1, 2}), b},
		"states[0].from":                         {spoil(`"done"`, `"from"`), b},
		"states[0]: not JSON":                    {spoil(`{`, `[`), b},
		"states[0].draws: got 2047":              {spoil(`"draws":2048`, `"draws":2047`), b},
		"states[0].done[0]: blocks 0 to 3":       {spoil(`[0,1]`, `[0,3]`), b},
		"states[0].design.sampling":              {spoil(`random`, `guess`), b},
		"states[0].ends[0]: 2047 values":         {spoil(`"n":2048`, `"n":2047`), b},
		"states[0].sums: ":                       {spoil(`"sums":"`, `"sums":"AAAA`), b},
		"states[0].part.number: got 3":           {spoil(`"number":1`, `"number":3`), b},
	} {
		_, err := s.Merge(states...)
		require.ErrorContains(t, err, want)
		require.NotEmpty(t, units.FieldErrors(err))
	}
	_, err := s.Resume(Design{Draws: 3 * blockRows, Seed: 8}, Part{1, 2}, a)
	require.ErrorContains(t, err, "that of this run")
	_, err = s.Start(d, Part{3, 2})
	require.ErrorContains(t, err, "part.number: got 3")
	_, err = s.Start(Design{Draws: 1}, Part{})
	require.ErrorContains(t, err, "draws: got 1")
	j, err := s.Start(d, Part{})
	require.NoError(t, err)
	require.ErrorContains(t, j.Run(t.Context(), Options{}), "workers: got 0")
}

// Any flipped bit of a state is found.
func TestFlippedBits(t *testing.T) {
	s := made(t, function([]string{"x"}, between(0, 1), func(x []float64) float64 { return x[0] }))
	text := finished(t, s, Design{Draws: 2, Seed: 7}, 1).State()
	_, err := s.Merge(text)
	require.NoError(t, err)
	for i := range text {
		for bit := range 8 {
			text[i] ^= 1 << bit
			_, err := s.Merge(text)
			require.Error(t, err, "bit %d of byte %d", bit, i)
			text[i] ^= 1 << bit
		}
	}
}

// Whatever stands in a state, it is refused or can be added up.
func FuzzState(f *testing.F) {
	s := made(f, ishigami())
	for _, d := range []Design{{SamplingRandom, 5000, 7}, {SamplingIndices, 50, 7}, {SamplingScreen, 50, 7}} {
		_, body, _ := strings.Cut(string(finished(f, s, d, 1).State()), "\n")
		f.Add([]byte(body))
	}
	f.Add([]byte(`{"id":"test","design":{"sampling":"latin","draws":9,"seed":0},"done":[[0,1]],"draws":9}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		if merged, err := s.Merge(append([]byte(checksum(text)), text...)); err == nil {
			require.NotContains(t, told(merged), "NaN")
		}
	})
}

// Equal values in any order give one sketch.
func TestSketch(t *testing.T) {
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
			var whole, a, b sketch
			for i := range values {
				values[i] = draw()
				whole.count(values[i])
				if i%3 == 0 {
					a.count(values[i])
				} else {
					b.count(values[i])
				}
			}
			b.merge(&a)
			require.Empty(t, cmp.Diff(whole, b, cmp.AllowUnexported(sketch{})))
			slices.Sort(values)
			for _, p := range []float64{0, 0.001, 0.01, 0.05, 0.25, 0.5, 0.75, 0.95, 0.99, 0.9999, 1} {
				want := stat.Quantile(p, stat.Empirical, values, nil)
				require.LessOrEqual(t, math.Abs(whole.quantile(p, values[0], values[4999])-want), sketchError*math.Abs(want), "%g", p)
			}
		})
	}
	for _, x := range []float64{5e-324, 1e-300, 0.1, 1, 1.001, 1.9999999999, 2, 27.3, 1e80, mostOutput} {
		low, high := edges(class(x))
		if class(x) == 0 {
			require.Less(t, x, 1e-307)
			continue
		}
		require.True(t, low <= x && x < high, "%g in %g to %g", x, low, high)
		require.LessOrEqual(t, (high-low)/2/low, sketchError)
		negLow, negHigh := edges(class(-x))
		require.Equal(t, []float64{-high, -low}, []float64{negLow, negHigh})
	}
	require.Equal(t, class(0), class(math.Copysign(0, -1)))
}

// picky is the short chain that refuses deep basins, and does many draws at a time or not.
type picky struct{ prismoid }

func (p picky) Eval(x, y []float64) error {
	if x[0] > 1.3 {
		return errors.New("too deep")
	}
	return p.prismoid.Eval(x, y)
}

func (p picky) EvalBatch(x, y [][]float64) error {
	if slices.Max(x[0]) > 1.3 {
		return errors.New("some are too deep")
	}
	return p.prismoid.EvalBatch(x, y)
}

// A model that works out many draws at a time gives the bits of one that does not, in the
// figures and in the rows, also where draws are refused or are not finite.
func TestBatchGivesTheBitsOfEval(t *testing.T) {
	for name, c := range map[string]struct {
		batch   Batch
		refused bool
	}{"all": {prismoid{}, false}, "some refused": {picky{}, true}, "some infinite": {infinite{}, true}} {
		var states [][]byte
		var rows [2][]string
		for i, e := range []Evaluator{c.batch, EvaluatorFunc(c.batch.Eval)} {
			m := shortChain()
			m.Evaluator = func() Evaluator { return e }
			j, err := made(t, m).Start(Design{Draws: 5 * blockRows / 2, Seed: 4}, Part{})
			require.NoError(t, err)
			require.NoError(t, j.Run(t.Context(), Options{Workers: 2, Rows: func(draw int64, x, y []float64, err error) error {
				if err != nil {
					y = nil
				}
				rows[i] = append(rows[i], fmt.Sprint(draw, x, y, err))
				return nil
			}}))
			require.Equal(t, c.refused, j.Result().Refused > 0, name)
			states = append(states, j.State())
		}
		require.Equal(t, states[1], states[0], name)
		require.Equal(t, rows[1], rows[0], name)
	}
}

// infinite divides by 0 in deep basins.
type infinite struct{ prismoid }

func (p infinite) Eval(x, y []float64) error {
	err := p.prismoid.Eval(x, y)
	if x[0] > 1.3 {
		y[0] = math.Inf(1)
	}
	return err
}

func (p infinite) EvalBatch(x, y [][]float64) error {
	err := p.prismoid.EvalBatch(x, y)
	for r, depth := range x[0] {
		if depth > 1.3 {
			y[0][r] = math.Inf(1)
		}
	}
	return err
}

// A study for other outputs of the same inputs draws the same values, as one of its own does.
func TestForOtherOutputs(t *testing.T) {
	normal := distuv.Normal{Mu: 3, Sigma: 1}
	m := Model{ID: "a", Inputs: []Input{{Path: "x", Quantile: normal.Quantile}, {Path: "y", Quantile: normal.Quantile}}, Correlations: []Correlation{{A: "x", B: "y", Rank: 0.5}},
		Outputs: []Output{{Name: "sum"}}, Evaluator: func() Evaluator {
			return EvaluatorFunc(func(x, out []float64) error { out[0] = x[0] + x[1]; return nil })
		}}
	s, err := New(m)
	require.NoError(t, err)
	m.ID, m.Outputs = "b", []Output{{Name: "product"}, {Name: "quotient"}}
	m.Evaluator = func() Evaluator {
		return EvaluatorFunc(func(x, out []float64) error { out[0], out[1] = x[0]*x[1], x[0]/(1+x[1]*x[1]); return nil })
	}
	own, err := New(m)
	require.NoError(t, err)
	other, err := s.For(m.ID, m.Outputs, m.Evaluator)
	require.NoError(t, err)
	run := func(s *Study) Result {
		j, err := s.Start(Design{Draws: 5000, Seed: 1}, Part{})
		require.NoError(t, err)
		require.NoError(t, j.Run(t.Context(), Options{Workers: 1}))
		return j.Result()
	}
	first := run(s)
	require.Equal(t, run(own), run(other))
	require.Equal(t, first, run(s), "the study itself stays as it is")
	_, err = s.For("c", nil, nil)
	require.ErrorContains(t, err, "evaluator: missing")
	require.ErrorContains(t, err, "outputs: got 0")
}

// The text of indices and of a screening names the inputs that matter, the largest first,
// and none that does nothing.
func TestWorkingOfIndicesAndScreening(t *testing.T) {
	uniform := func(p float64) float64 { return p }
	s, err := New(Model{ID: "a", Inputs: []Input{{Path: "small", Quantile: uniform}, {Path: "large", Quantile: uniform}, {Path: "idle", Quantile: uniform}},
		Outputs: []Output{{Name: "sum", Unit: "m"}}, Evaluator: func() Evaluator {
			return EvaluatorFunc(func(x, out []float64) error { out[0] = x[0] + 3*x[1]; return nil })
		}})
	require.NoError(t, err)
	for sampling, want := range map[Sampling]string{
		SamplingIndices: "hangs on large .* ± .*, part of the variance with all .* by itself 0\\.[89](?s:.*)hangs on small .* ± ",
		SamplingScreen:  "moved by large +3 .*(?s:.*)moved by small +1 ",
	} {
		j, err := s.Start(Design{Sampling: sampling, Draws: 4000, Seed: 1}, Part{})
		require.NoError(t, err)
		require.NoError(t, j.Run(t.Context(), Options{Workers: 1}))
		text := j.Result().String()
		require.Regexp(t, want, text)
		require.NotContains(t, text, "idle")
	}
}
