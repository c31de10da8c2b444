package main

import (
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
)

// tally is what is kept of the draws of one block or of many: its size does not
// depend on their number.
type tally struct {
	Draws   int64    `json:"draws"` // that gave outputs
	Refused int64    `json:"refused"`
	Fault   string   `json:"fault,omitempty"` // of the first draw that was refused
	Outputs []spread `json:"outputs"`
	Inputs  []effect `json:"inputs"`
}

// spread is moments, ends and quantiles of one output.
type spread struct {
	Mean   float64 `json:"mean"`
	M2     float64 `json:"m2"` // sum of squares about the mean
	M3     float64 `json:"m3"` // sum of cubes about the mean
	Min    float64 `json:"min"`
	Max    float64 `json:"max"`
	sketch sketch
}

// effect is what one input does: for each of its classes the draws in it, and the
// sum of each output over them, less its centre.
type effect struct {
	N   [mostLevels]int64 `json:"n"`
	Sum []float64         `json:"sum"` // of output k in class c at c*outputs+k
}

func newTally(m *model) *tally {
	t := &tally{Outputs: make([]spread, len(m.outputs)), Inputs: make([]effect, len(m.inputs))}
	for i := range t.Inputs {
		t.Inputs[i].Sum = make([]float64, mostLevels*len(m.outputs))
	}
	return t
}

// add counts one draw for the effects: its outputs less their centres, and the
// class of each input.
func (t *tally) add(classes []uint8, dev []float64) {
	k := len(dev)
	for i, c := range classes {
		e := &t.Inputs[i]
		e.N[c]++
		sum := e.Sum[int(c)*k:][:k]
		for j, d := range dev {
			sum[j] += d
		}
	}
	t.Draws++
}

// close works out the spread of each output from all values of the block.
func (t *tally) close(columns [][]float64, n *counter) {
	for k, v := range columns {
		if len(v) == 0 {
			continue
		}
		s := &t.Outputs[k]
		s.Mean = stat.Mean(v, nil)
		s.Min, s.Max = v[0], v[0]
		for _, x := range v {
			// stat.MomentAbout raises to any power and takes ten times as long.
			d := x - s.Mean
			s.M2 += d * d
			s.M3 += d * d * d
			s.Min, s.Max = min(s.Min, x), max(s.Max, x)
		}
		s.sketch = n.sketch(v, s.Min, s.Max)
	}
}

// merge adds the draws of o, which come after those of t. The sums of powers about
// the mean combine after Pébay, Formulas for Robust, One-Pass Parallel Computation
// of Covariances and Arbitrary-Order Statistical Moments, Sandia National
// Laboratories, SAND2008-6212, 2008.
func (t *tally) merge(o *tally) {
	na, nb := float64(t.Draws), float64(o.Draws)
	if t.Fault == "" {
		t.Fault = o.Fault
	}
	t.Refused += o.Refused
	switch {
	case o.Draws == 0:
		return
	case t.Draws == 0:
		t.Draws, t.Outputs, t.Inputs = o.Draws, o.Outputs, o.Inputs
		return
	}
	n := na + nb
	for k := range t.Outputs {
		a, b := &t.Outputs[k], &o.Outputs[k]
		d := b.Mean - a.Mean
		a.M3 += b.M3 + d*d*d*na*nb*(na-nb)/(n*n) + 3*d*(na*b.M2-nb*a.M2)/n
		a.M2 += b.M2 + d*d*na*nb/n
		a.Mean += d * nb / n
		a.Min, a.Max = min(a.Min, b.Min), max(a.Max, b.Max)
		a.sketch.merge(b.sketch)
	}
	for i := range t.Inputs {
		a, b := &t.Inputs[i], &o.Inputs[i]
		for c := range a.N {
			a.N[c] += b.N[c]
		}
		for j := range a.Sum {
			a.Sum[j] += b.Sum[j]
		}
	}
	t.Draws += o.Draws
}

func (t *tally) clone() *tally {
	c := *t
	c.Outputs, c.Inputs = slices.Clone(t.Outputs), slices.Clone(t.Inputs)
	for k := range c.Outputs {
		c.Outputs[k].sketch = maps.Clone(t.Outputs[k].sketch)
	}
	for i := range c.Inputs {
		c.Inputs[i].Sum = slices.Clone(t.Inputs[i].Sum)
	}
	return &c
}

// variance is that of a sample.
func (t *tally) variance(k int) float64 { return t.Outputs[k].M2 / max(1, float64(t.Draws)-1) }

// skew is the skewness of a sample as stat.Skew of gonum takes it; 0 when all values
// are one.
func (t *tally) skew(k int) float64 {
	n, s := float64(t.Draws), math.Sqrt(t.variance(k))
	if n < 3 || s == 0 {
		return 0
	}
	return t.Outputs[k].M3 / (s * s * s) * n / ((n - 1) * (n - 2))
}

// sensitivity is what input i does to output k.
type sensitivity struct {
	// FirstOrder is the part of the variance of the output that is that of its mean
	// given the input: Var(E(Y|X)) / Var(Y). Noise may carry it a little below 0.
	FirstOrder float64
	// AtLow and AtHigh are the mean of the output where the input is in its lowest
	// and in its highest class.
	AtLow, AtHigh float64
}

// leastPerClass is the number of draws in a class below which classes are put
// together.
const leastPerClass = 16

// sensitivity compares the classes of an input by analysis of variance. Random draws
// leave a mean of each class that is uncertain by itself; what this adds to the
// variance between classes is taken off. A factorial has no such noise: exact.
func (t *tally) sensitivity(m *model, i, k int, exact bool) sensitivity {
	e, outs := &t.Inputs[i], len(t.Outputs)
	n, sum := e.N[:], make([]float64, mostLevels)
	for c := range sum {
		sum[c] = e.Sum[c*outs+k]
	}
	if !exact {
		n, sum = coarser(n, sum, t.Draws)
	}
	var used, total, between float64
	s := sensitivity{AtLow: math.NaN()}
	for c := range sum {
		if n[c] == 0 {
			continue
		}
		mean := sum[c] / float64(n[c])
		s.AtHigh = m.centre[k] + mean
		if used == 0 {
			s.AtLow = s.AtHigh
		}
		used++
		total += sum[c]
		between += sum[c] * mean
	}
	all := float64(t.Draws)
	between -= total * total / all
	within := t.Outputs[k].M2 - between
	if !exact && all > used {
		between -= (used - 1) * within / (all - used)
	}
	if t.Outputs[k].M2 > 0 {
		s.FirstOrder = between / t.Outputs[k].M2
	}
	return s
}

// coarser puts neighbouring classes together until each holds enough draws.
func coarser(n []int64, sum []float64, draws int64) ([]int64, []float64) {
	for len(n) > 4 && draws/int64(len(n)) < leastPerClass {
		half, halfSum := make([]int64, len(n)/2), make([]float64, len(n)/2)
		for c := range half {
			half[c], halfSum[c] = n[2*c]+n[2*c+1], sum[2*c]+sum[2*c+1]
		}
		n, sum = half, halfSum
	}
	return n, sum
}
