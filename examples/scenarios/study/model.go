package study

import (
	"fmt"
	"math"
	"math/rand/v2"

	"example.org/earthbasin/units"
)

// Input is one uncertain quantity of a model.
type Input struct {
	// Path names the input, such as its place in a file. Two inputs have two paths.
	Path string
	// Quantile returns the value that is not exceeded with probability p, 0 < p < 1. It
	// must not fall and must be finite.
	Quantile func(p float64) float64
	// Levels are the values that a factorial tries, ascending, at most 64; the median
	// when there are none.
	Levels []float64
}

// Output is one result of a draw.
type Output struct {
	Name string
	Unit string // of the values, as text
	// Share says that the output is 1 or 0 in each draw, so that its mean says how often.
	Share bool
}

// Evaluator works out one draw after the other, and may keep memory of its own
// between them. It is called from one goroutine.
type Evaluator interface {
	// Eval reads the value of each input and writes that of each output. An error
	// refuses the draw.
	Eval(values, out []float64) error
}

// Batch is an [Evaluator] that can also work out many draws at a time. It pays for
// models whose arithmetic takes less time than a call for each draw.
type Batch interface {
	Evaluator
	// EvalBatch reads values, a column for each input, and writes out, a column for each
	// output; all have one length. Each draw gets the bits that Eval gives it. An error
	// refuses no draw: they are all evaluated again with Eval, one by one, and so are they
	// when an output is not finite.
	EvalBatch(values, out [][]float64) error
}

// EvaluatorFunc is a function as an [Evaluator].
type EvaluatorFunc func(values, out []float64) error

// Eval calls f.
func (f EvaluatorFunc) Eval(values, out []float64) error { return f(values, out) }

// Model is what a study runs.
type Model struct {
	// ID tells a study and the program that runs it from others, such as by a checksum
	// of its input and the version of the program. States of another ID are refused.
	ID           string
	Inputs       []Input       // 1 to 1000
	Outputs      []Output      // 1 to 1000
	Correlations []Correlation // of pairs of inputs; the others are independent
	// Evaluator makes what works out draws; each worker gets one.
	Evaluator func() Evaluator
}

// Study is a model that was checked and made ready. It does not change and may be
// used from many goroutines.
type Study struct {
	model  Model
	tables []table     // of the quantile functions
	levels [][]float64 // of a factorial
	copula *copula     // nil when all inputs are independent
	// Sums are of outputs less their centre, over their scale, a power of two: so they
	// lose no figures and fit the numbers that they are added up in.
	centre, inverse []float64
}

const (
	mostInputs = 1000
	mostLevels = 64 // of an input in a factorial; also the classes for its effect
	// mostOutput bounds the outputs, so that sums of their cubes are finite.
	mostOutput = 1e90
	// mostScales is how many scales an output may lie from its centre.
	mostScales = 1 << 30
	pilotDraws = 64
)

// New checks a model and makes it ready. It evaluates the model at the medians of all
// inputs, which must give outputs, and at a few draws, to learn the size of the
// outputs.
func New(m Model) (*Study, error) {
	var f units.Faults
	f.CountBetween("inputs", len(m.Inputs), "inputs", 1, mostInputs)
	m.answers(&f)
	s := &Study{model: m, levels: make([][]float64, len(m.Inputs))}
	seen := map[string]bool{}
	for i, in := range m.Inputs {
		at := f.At("inputs", i)
		in.check(&at)
		at.Name("path", in.Path, "input", seen)
	}
	if f.Err() != nil {
		return nil, f.Err()
	}
	for i, in := range m.Inputs {
		s.tables = append(s.tables, newTable(in.Quantile))
		s.levels[i] = in.Levels
		if len(in.Levels) == 0 {
			s.levels[i] = []float64{in.Quantile(0.5)}
		}
	}
	s.copula = newCopula(&f, m)
	if f.Err() != nil {
		return nil, f.Err()
	}
	return s, s.settle()
}

// answers checks what a model gives.
func (m *Model) answers(f *units.Faults) {
	f.CountBetween("outputs", len(m.Outputs), "outputs", 1, mostInputs)
	if m.Evaluator == nil {
		f.Missing("evaluator", "a function that makes an evaluator")
	}
}

// For is a study of other outputs of the same inputs, with what is ready of them: the
// quantiles of the inputs take more time than many draws. It evaluates as [New] does.
func (s *Study) For(id string, outputs []Output, evaluator func() Evaluator) (*Study, error) {
	var f units.Faults
	own := *s
	own.model.ID, own.model.Outputs, own.model.Evaluator = id, outputs, evaluator
	own.centre, own.inverse = nil, nil
	if own.model.answers(&f); f.Err() != nil {
		return nil, f.Err()
	}
	return &own, own.settle()
}

// check looks at one input.
func (in Input) check(f *units.Faults) {
	if in.Quantile == nil {
		f.Missing("quantile", "the quantile function of the input")
		return
	}
	last := math.Inf(-1)
	for _, p := range []float64{leastP, 0.001, 0.25, 0.5, 0.75, 0.999, mostP} {
		q := in.Quantile(p)
		if !(math.Abs(q) <= mostOutput) || q < last {
			f.Add("quantile", q, "a finite number at probability %v, no less than at a lower one", p)
			return
		}
		last = q
	}
	f.CountBetween("levels", len(in.Levels), "levels", 0, mostLevels)
	for i, l := range in.Levels {
		if !(math.Abs(l) <= mostOutput) || i > 0 && !(l > in.Levels[i-1]) {
			at := f.At("levels", i)
			at.Add("", l, "a finite number, more than the level before")
		}
	}
}

// settle learns the centre and the scale of each output.
func (s *Study) settle() error {
	m := s.model
	x, y := make([]float64, len(m.Inputs)), make([]float64, len(m.Outputs))
	for i, in := range m.Inputs {
		x[i] = in.Quantile(0.5)
	}
	e := m.Evaluator()
	err := e.Eval(x, y)
	if err == nil {
		err = s.finite(y)
	}
	if err != nil {
		return fmt.Errorf("with every input at its median: %w", err)
	}
	s.centre = append([]float64(nil), y...)
	far := make([]float64, len(y))
	src := rand.New(rand.NewPCG(1, 1))
	for range pilotDraws {
		for i := range x {
			x[i] = s.tables[i].at(max(src.Float64(), leastP))
		}
		if e.Eval(x, y) != nil || s.finite(y) != nil {
			continue
		}
		for k, v := range y {
			far[k] = max(far[k], math.Abs(v-s.centre[k]))
		}
	}
	s.inverse = make([]float64, len(y))
	for k, d := range far {
		if m.Outputs[k].Share {
			d = 1
		} else if d == 0 {
			d = max(math.Abs(s.centre[k]), math.SmallestNonzeroFloat64)
		}
		_, exp := math.Frexp(d)
		s.inverse[k] = math.Ldexp(1, -max(exp, -1000))
	}
	return nil
}

// finite returns the faults of outputs that no sum can take.
func (s *Study) finite(y []float64) error {
	for _, v := range y {
		if !(math.Abs(v) <= mostOutput) {
			return s.beyond(y)
		}
	}
	return nil
}

// beyond tells the outputs that no sum can take.
func (s *Study) beyond(y []float64) error {
	var f units.Faults
	for k, v := range y {
		if !(math.Abs(v) <= mostOutput) {
			f.Add(s.model.Outputs[k].Name, v, "a finite number")
		} else if s.inverse != nil && !(math.Abs(v-s.centre[k])*s.inverse[k] <= mostScales) {
			f.Add(s.model.Outputs[k].Name, v, "a number within %v of %v", mostScales/s.inverse[k], s.centre[k])
		}
	}
	return f.Err()
}
