package study

import (
	"math"
	"math/big"
)

// tally is what is kept of the draws of one block or of many: its size does not
// depend on their number. Two tallies add up to the same in any order, to the bit.
type tally struct {
	draws   int64 // that gave outputs
	refused int64
	fault   string // of the first draw that was refused
	faultAt int64
	outputs []spread
	effects []effect // of each input; unless draws are groups
	groups  []batch  // when they are
}

// spread is moments, ends and quantiles of one output.
type spread struct {
	n        int64
	powers   [3]wide // sums of the deviation from the centre, its square and its cube
	min, max float64
	sketch   sketch
}

// effect is what one input does: for each of its classes the draws in it, and the
// sum of each output over them, of output k in class c at c*outputs+k.
type effect struct {
	n   [mostLevels]int64
	sum []wide
}

// batches parts groups so that the spread of their figures tells how sure they are.
const batches = 16

// batch is what the groups of one batch do: sums for each input i and output k, at
// i*outputs+k.
type batch struct {
	n      int64  // groups
	powers []wide // of output k: deviation at 2k, its square at 2k+1, of both random draws
	sums   [3][]wide
}

func newTally(d *design) *tally {
	outs, ins := len(d.model.Outputs), len(d.model.Inputs)
	t := &tally{faultAt: math.MaxInt64, outputs: make([]spread, outs)}
	if d.grouped() {
		t.groups = make([]batch, batches)
		for b := range t.groups {
			t.groups[b].powers = make([]wide, 2*outs)
			for j := range t.groups[b].sums {
				t.groups[b].sums[j] = make([]wide, ins*outs)
			}
		}
		return t
	}
	t.effects = make([]effect, ins)
	for i := range t.effects {
		t.effects[i].sum = make([]wide, mostLevels*outs)
	}
	return t
}

// refuse counts a draw that the model refused.
func (t *tally) refuse(at int64, fault string) {
	t.refused++
	if at < t.faultAt {
		t.fault, t.faultAt = fault, at
	}
}

// values adds one output of the draws of one block: its values in y, and in dev less
// their centre over their scale.
func (s *spread) values(y, dev []float64) {
	if len(y) == 0 {
		return
	}
	var one, two, three float64
	least, most := y[0], y[0]
	dev = dev[:len(y)]
	for i, v := range y {
		d := dev[i]
		one += d
		two += d * d
		three += d * d * d
		if v < least {
			least = v
		}
		if v > most {
			most = v
		}
		s.sketch.count(v)
	}
	for i, sum := range [3]float64{one, two, three} {
		s.powers[i].add(wideOf(sum))
	}
	s.ends(int64(len(y)), least, most)
}

// ends takes n values from least to most.
func (s *spread) ends(n int64, least, most float64) {
	if n == 0 {
		return
	}
	if s.n == 0 {
		s.min, s.max = least, most
	}
	s.n += n
	s.min, s.max = min(s.min, least), max(s.max, most)
}

// merge adds the draws of o.
func (t *tally) merge(o *tally) {
	t.draws += o.draws
	t.refused += o.refused
	if o.faultAt < t.faultAt {
		t.fault, t.faultAt = o.fault, o.faultAt
	}
	for k := range t.outputs {
		a, b := &t.outputs[k], &o.outputs[k]
		for i := range a.powers {
			a.powers[i].add(b.powers[i])
		}
		a.ends(b.n, b.min, b.max)
		a.sketch.merge(&b.sketch)
	}
	for i := range t.effects {
		a, b := &t.effects[i], &o.effects[i]
		for c := range a.n {
			a.n[c] += b.n[c]
		}
		addAll(a.sum, b.sum)
	}
	for g := range t.groups {
		a, b := &t.groups[g], &o.groups[g]
		a.n += b.n
		addAll(a.powers, b.powers)
		for j := range a.sums {
			addAll(a.sums[j], b.sums[j])
		}
	}
}

func addAll(to, from []wide) {
	for i := range to {
		to[i].add(from[i])
	}
}

// drop sets everything to nothing, and keeps the memory.
func (t *tally) drop() {
	t.draws, t.refused, t.fault, t.faultAt = 0, 0, "", math.MaxInt64
	for k := range t.outputs {
		s := &t.outputs[k]
		s.n, s.powers = 0, [3]wide{}
		s.sketch.drop()
	}
	for i := range t.effects {
		t.effects[i].n = [mostLevels]int64{}
		clear(t.effects[i].sum)
	}
	for g := range t.groups {
		b := &t.groups[g]
		b.n = 0
		clear(b.powers)
		for _, s := range b.sums {
			clear(s)
		}
	}
}

// mean and the functions below are in the scale of the output, from its centre.
func (s *spread) mean() float64 { return s.powers[0].float() / max(1, float64(s.n)) }

// about returns the mean square and the mean cube about the mean; the sums are whole
// numbers, so that no figure is lost.
func (s *spread) about() (square, cube float64) {
	if s.n < 2 || s.min == s.max {
		return 0, 0
	}
	one := new(big.Int)
	one.Lsh(big.NewInt(1), wideBits)
	number := func(w wide) *big.Rat { return new(big.Rat).SetFrac(w.big(), one) }
	n := new(big.Rat).SetInt64(s.n)
	a, b, c := number(s.powers[0]), number(s.powers[1]), number(s.powers[2])
	a.Quo(a, n)
	b.Quo(b, n)
	c.Quo(c, n)
	m2 := new(big.Rat).Mul(a, a)
	m2.Sub(b, m2) // b - a²
	m3 := new(big.Rat).Mul(a, a)
	m3.Mul(m3, a)
	m3.Add(m3, m3) // c - 3ab + 2a³
	ab := new(big.Rat).Mul(a, b)
	ab.Mul(ab, new(big.Rat).SetInt64(3))
	m3.Sub(m3, ab)
	m3.Add(m3, c)
	square, _ = m2.Float64()
	cube, _ = m3.Float64()
	return max(square, 0), cube
}

// variance is that of a sample.
func (s *spread) variance() float64 {
	square, _ := s.about()
	return square * float64(s.n) / max(1, float64(s.n)-1)
}

// skew is the skewness of a sample as stat.Skew of gonum takes it; 0 when all values
// are one.
func (s *spread) skew() float64 {
	n, sd := float64(s.n), math.Sqrt(s.variance())
	if n < 3 || sd == 0 {
		return 0
	}
	_, cube := s.about()
	return cube / (sd * sd * sd) * n * n / ((n - 1) * (n - 2))
}
