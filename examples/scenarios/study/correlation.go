package study

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"example.org/earthbasin/units"
)

// Correlation ties two inputs together.
type Correlation struct {
	A string `json:"a"` // path of an input
	B string `json:"b"` // path of another
	// Rank is Spearman's rank correlation of the two, -0.999 to 0.999.
	Rank float64 `json:"rank"`
}

const mostRank = 0.999

// copula draws inputs that hang together: normal scores with the correlations, whose
// probabilities are those of the inputs (a Gaussian copula).
type copula struct {
	inputs []int // those that are correlated
	lower  *mat.TriDense
	scores table // of the normal distribution
}

// newCopula checks the correlations of a model; nil when there are none.
func newCopula(f *units.Faults, m Model) *copula {
	if len(m.Correlations) == 0 {
		return nil
	}
	var c copula
	index := func(at *units.Faults, key, path string) int {
		i := slices.IndexFunc(m.Inputs, func(in Input) bool { return in.Path == path })
		if i < 0 {
			at.Say(key, "no input: "+path, "the path of an input")
			return -1
		}
		if n := slices.Index(c.inputs, i); n >= 0 {
			return n
		}
		c.inputs = append(c.inputs, i)
		return len(c.inputs) - 1
	}
	n := 2 * len(m.Correlations)
	r := mat.NewSymDense(n, nil)
	for i, pair := range m.Correlations {
		at := f.At("correlations", i)
		a, b := index(&at, "a", pair.A), index(&at, "b", pair.B)
		at.NumberBetween("rank", pair.Rank, -mostRank, mostRank)
		switch {
		case a < 0 || b < 0 || !(math.Abs(pair.Rank) <= mostRank):
		case a == b:
			at.Say("b", "the same input as a", "another one")
		case r.At(a, b) != 0:
			at.Say("b", "a pair given twice", "each pair once")
		default:
			r.SetSym(a, b, pair.Rank)
		}
	}
	if f.Err() != nil {
		return nil
	}
	ranks := r.SliceSym(0, len(c.inputs)).(*mat.SymDense)
	var chol mat.Cholesky
	if !chol.Factorize(scores(ranks)) {
		f.Say("correlations", "ranks that cannot hold all together", "each rank times %.2f or less, or ranks for the other pairs", together(ranks))
		return nil
	}
	c.lower = mat.NewTriDense(len(c.inputs), mat.Lower, nil)
	chol.LTo(c.lower)
	c.scores = newTable(distuv.UnitNormal.Quantile)
	return &c
}

// pearson returns the correlation of normal scores whose rank correlation is r.
// Pearson 1907, On further methods of determining correlation, Drapers' Company
// Research Memoirs, Biometric Series IV: 2 sin(π r / 6).
func pearson(r float64) float64 { return 2 * math.Sin(math.Pi*r/6) }

// together returns by what rank correlations that cannot hold all together may be
// multiplied so that they can, to two decimals.
func together(ranks *mat.SymDense) float64 {
	for t := 99; t > 0; t-- {
		var less mat.SymDense
		less.ScaleSym(float64(t)/100, ranks)
		if new(mat.Cholesky).Factorize(scores(&less)) {
			return float64(t) / 100
		}
	}
	return 0
}

// scores returns the correlation of normal scores with the rank correlations.
func scores(ranks *mat.SymDense) *mat.SymDense {
	n := ranks.SymmetricDim()
	r := mat.NewSymDense(n, nil)
	for i := range n {
		for j := range i {
			r.SetSym(i, j, pearson(ranks.At(i, j)))
		}
		r.SetSym(i, i, 1)
	}
	return r
}

// score takes independent probabilities of the correlated inputs, in p, and puts
// dependent normal scores into z.
func (c *copula) score(p, z []float64) {
	for i := range z {
		z[i] = c.scores.at(p[i])
	}
	lower := c.lower.RawTriangular()
	for i := len(z) - 1; i >= 0; i-- {
		sum := 0.0
		for j, l := range lower.Data[i*lower.Stride:][:i+1] {
			sum += l * z[j]
		}
		z[i] = sum
	}
}

// probability returns that of a normal score, within the ends of those drawn.
func probability(z float64) float64 {
	return min(max(0.5*math.Erfc(-z/math.Sqrt2), leastP), mostP)
}
