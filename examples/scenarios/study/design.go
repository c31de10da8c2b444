package study

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
	"gonum.org/v1/gonum/stat/sampleuv"

	"example.org/earthbasin/units"
)

// Sampling is how the draws of a study are chosen.
type Sampling = units.Enum[samplingWords]

const (
	// SamplingRandom takes independent draws (Monte Carlo).
	SamplingRandom Sampling = iota
	// SamplingLatin takes a Latin hypercube in each block: each input is spread
	// evenly over its distribution.
	SamplingLatin
	// SamplingHalton follows a randomized Halton sequence: means settle faster.
	SamplingHalton
	// SamplingFactorial takes every combination of the levels of the inputs once.
	SamplingFactorial
	// SamplingIndices takes groups from which the first- and total-order index of each
	// input follows, interactions included: two random draws, and the first one with each
	// input in turn taken from the second. A draw evaluates the model once for each input
	// and twice more.
	SamplingIndices
	// SamplingScreen changes one input after the other, in random order, by half of its
	// distribution (Morris): which of many inputs matter at all, from few draws. A draw
	// evaluates the model once for each input and once more.
	SamplingScreen
)

var samplingNames = units.Names{"random", "latin", "halton", "factorial", "indices", "screen"}

type samplingWords struct{}

func (samplingWords) Names() units.Names { return samplingNames }

// Design is which draws a study takes.
type Design struct {
	Sampling Sampling `json:"sampling"`
	Draws    int64    `json:"draws"` // 2 to 1e12; a factorial has its own
	Seed     int64    `json:"seed"`  // of the random numbers
}

const (
	// blockRows is the number of evaluations in a block, but for the last one. Block
	// number b has a stream of random numbers of its own, so that it is the same
	// whichever worker, machine or run takes it.
	blockRows = 2048
	// mostDraws fits the sums, whatever the outputs.
	mostDraws = 1e12
)

// design is a checked design of a study.
type design struct {
	Design
	*Study
	rows      int // evaluations of a draw
	blockSize int // draws
	halton    *halton
}

// check completes a design.
func (s *Study) design(d Design) (*design, error) {
	var f units.Faults
	k := len(s.model.Inputs)
	to := &design{Design: d, Study: s, rows: 1, blockSize: blockRows}
	switch d.Sampling {
	case SamplingRandom, SamplingLatin:
	case SamplingHalton:
		to.halton = newHalton(k, d.Seed)
	case SamplingFactorial:
		n := 1.0
		for _, levels := range s.levels {
			n *= float64(len(levels))
		}
		if n == 1 {
			f.Missing("levels", "two levels or more of at least one input")
		} else if n > mostDraws {
			f.Add("levels", n, "at most %v combinations", mostDraws)
		}
		to.Draws, to.Seed = int64(min(n, mostDraws)), 0
	case SamplingIndices:
		to.rows = k + 2
	case SamplingScreen:
		to.rows = k + 1
	default:
		f.Unknown("sampling", d.Sampling, samplingNames)
	}
	if s.copula != nil && d.Sampling >= SamplingFactorial {
		f.Say("sampling", d.Sampling.String()+", with correlations", "one of random, latin, halton, or inputs without correlations")
	}
	f.NumberBetween("draws", float64(to.Draws), 2, mostDraws)
	to.blockSize = max(1, blockRows/to.rows)
	return to, f.Err()
}

// grouped says whether a draw is several evaluations.
func (d *design) grouped() bool { return d.rows > 1 }

// random returns how many evaluations of a draw, the first ones, stand for what is
// drawn.
func (d *design) random() int {
	if d.Sampling == SamplingIndices {
		return 2
	}
	return 1
}

func (d *design) blocks() int64 {
	return (d.Draws + int64(d.blockSize) - 1) / int64(d.blockSize)
}

// upTo returns the number of draws in the blocks below b.
func (d *design) upTo(b int64) int64 { return min(d.Draws, b*int64(d.blockSize)) }

// points is the inputs of one block: x[i][r] is input i in evaluation r, as a value and,
// unless evaluations come in groups, as a class.
type points struct {
	n       int // evaluations
	x       [][]float64
	classes [][]uint8
	p, z    []float64 // probabilities: of one input; of a block of correlated inputs
	order   []int
}

func newPoints(d *design) *points {
	k := len(d.model.Inputs)
	rows := d.blockSize * d.rows
	to := &points{x: columns[float64](k, rows), classes: columns[uint8](k, rows), p: make([]float64, max(rows, 2*k)), order: make([]int, max(rows, k))}
	if d.copula != nil {
		to.z = make([]float64, rows*len(d.copula.inputs))
	}
	return to
}

// columns makes n columns of some rows, one after the other in memory.
func columns[T any](n, rows int) [][]T {
	all, to := make([]T, n*rows), make([][]T, n)
	for i := range to {
		to[i] = all[i*rows:][:rows:rows]
	}
	return to
}

// row puts the inputs of evaluation r into x.
func (p *points) row(r int, x []float64) {
	for i, column := range p.x {
		x[i] = column[r]
	}
}

// fill takes the draws of block b.
func (d *design) fill(b int64, to *points) {
	draws := int(d.upTo(b+1) - d.upTo(b))
	to.n = draws * d.rows
	src := rand.NewPCG(uint64(d.Seed), uint64(b))
	switch d.Sampling {
	case SamplingFactorial:
		d.combine(b, to)
	case SamplingIndices:
		d.pairs(src, draws, to)
	case SamplingScreen:
		d.walks(rand.New(src), draws, to)
	default:
		d.sample(src, b, to)
	}
}

// combine takes combinations of levels.
func (d *design) combine(b int64, to *points) {
	for r := range to.n {
		left := d.upTo(b) + int64(r)
		for i, levels := range d.levels {
			c := left % int64(len(levels))
			left /= int64(len(levels))
			to.x[i][r], to.classes[i][r] = levels[c], uint8(c)
		}
	}
}

// sample takes draws one by one.
func (d *design) sample(src *rand.PCG, b int64, to *points) {
	p := to.p[:to.n]
	g := pcg{uint64(d.Seed), uint64(b)}
	correlated := 0
	if d.copula != nil {
		correlated = len(d.copula.inputs)
	}
	for i := range d.tables {
		t := &d.tables[i]
		switch d.Sampling {
		case SamplingLatin:
			// A hypercube is one stratified and shuffled sample for each input.
			sampleuv.LatinHypercube{Q: distuv.Uniform{Max: 1}, Src: src}.Sample(p)
		case SamplingHalton:
			for r := range p {
				p[r] = d.halton.at(d.upTo(b)+int64(r), i)
			}
		default:
			g.probabilities(p)
		}
		if correlated > 0 {
			if n := slices.Index(d.copula.inputs, i); n >= 0 {
				for r, p := range p {
					to.z[r*correlated+n] = max(p, leastP)
				}
				continue
			}
		}
		t.spread(p, to.x[i], to.classes[i])
	}
	if correlated > 0 {
		d.correlate(to)
	}
}

// correlate takes the probabilities in to.z for those of the correlated inputs.
func (d *design) correlate(to *points) {
	of := len(d.copula.inputs)
	p := make([]float64, of)
	sorted := make([][]float64, of)
	if d.Sampling == SamplingLatin {
		for n := range of {
			for r := range to.n {
				sorted[n] = append(sorted[n], to.z[r*of+n])
			}
			slices.Sort(sorted[n])
		}
	}
	for r := range to.n {
		z := to.z[r*of:][:of]
		copy(p, z)
		d.copula.score(p, z)
	}
	for n, i := range d.copula.inputs {
		if d.Sampling == SamplingLatin {
			// The hypercube is put into the order of the scores, as Iman and Conover 1982
			// do: each input stays spread evenly.
			order := to.order[:to.n]
			for r := range order {
				order[r] = r
			}
			slices.SortFunc(order, func(a, b int) int { return cmp.Compare(to.z[a*of+n], to.z[b*of+n]) })
			for rank, r := range order {
				p := sorted[n][rank]
				to.x[i][r], to.classes[i][r] = d.tables[i].at(p), uint8(p*mostLevels)
			}
			continue
		}
		for r := range to.n {
			p := probability(to.z[r*of+n])
			to.x[i][r], to.classes[i][r] = d.tables[i].at(p), uint8(p*mostLevels)
		}
	}
}

// pairs takes groups for indices: rows A, B, and A with each input of B in turn.
func (d *design) pairs(src *rand.PCG, draws int, to *points) {
	k := len(d.tables)
	for g := range draws {
		a := g * d.rows
		for j := range 2 * k {
			to.x[j%k][a+j/k] = d.tables[j%k].at(max(float64(src.Uint64()>>11)*0x1p-53, leastP))
		}
		for i, x := range to.x {
			for row := range k {
				x[a+2+row] = x[a]
			}
			x[a+2+i] = x[a+1]
		}
	}
}

// Steps of a screen: the places at 1/8, 3/8, 5/8 and 7/8 of the probability, each
// changed by half.
const (
	screenPlaces = 4
	screenStep   = 0.5
)

// walks takes groups for effects: a row, and for each input in random order the row
// before with that input changed. Row 1+i of a group is the one after input i was
// changed, and to.order says which row was before: to.order[g*k+i].
func (d *design) walks(r *rand.Rand, draws int, to *points) {
	k := len(d.tables)
	p := to.p[:k]
	for g := range draws {
		first := g * d.rows
		for i := range k {
			p[i] = (float64(r.IntN(screenPlaces)) + 0.5) / screenPlaces
			to.x[i][first] = d.tables[i].at(p[i])
		}
		before := 0
		for _, i := range r.Perm(k) {
			for _, x := range to.x {
				x[first+1+i] = x[first+before]
			}
			step := screenStep
			if p[i] > 0.5 {
				step = -step
			}
			to.x[i][first+1+i] = d.tables[i].at(p[i] + step)
			to.order[g*k+i] = before
			if step < 0 {
				to.order[g*k+i] = -before - 1 // the change is taken backwards
			}
			before = 1 + i
		}
	}
}

// String says what the design is.
func (d Design) String() string {
	return fmt.Sprintf("%v, %d draws, seed %d", d.Sampling, d.Draws, d.Seed)
}
