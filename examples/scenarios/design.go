package main

import (
	"fmt"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"
	"gonum.org/v1/gonum/stat/sampleuv"

	"example.org/earthbasin/units"
)

// Sampling is how the draws of a study are chosen.
type Sampling int

const (
	// SamplingRandom takes independent draws (Monte Carlo).
	SamplingRandom Sampling = iota
	// SamplingLatin takes a Latin hypercube in each block: each input is spread
	// evenly over its distribution.
	SamplingLatin
	// SamplingFactorial takes every combination of the levels of the inputs once.
	SamplingFactorial
)

var samplingNames = units.Names{"random", "latin", "factorial"}

// String returns the name that MarshalText writes.
func (s Sampling) String() string { return samplingNames.String(int(s)) }

// MarshalText writes the name.
func (s Sampling) MarshalText() ([]byte, error) { return samplingNames.Marshal(int(s)) }

// UnmarshalText reads a name; the error lists the names.
func (s *Sampling) UnmarshalText(text []byte) error {
	return units.UnmarshalName(samplingNames, text, s)
}

// blockDraws is the number of draws of a block, but for the last one. Block
// number b has a stream of random numbers of its own, so that it is the same
// whichever worker, machine or run takes it.
const blockDraws = 4096

// mostDraws keeps numbers of draws exact as float64.
const mostDraws = 1e15

// design is which draws a study takes.
type design struct {
	Study    string   `json:"study"`   // fingerprint
	Program  string   `json:"program"` // version, with the published sets in it
	Sampling Sampling `json:"sampling"`
	Draws    int64    `json:"draws"`
	Seed     int64    `json:"seed"`
}

// newDesign checks the numbers and sets those of a factorial, whose draws follow
// from its levels.
func newDesign(m *model, study string, s Sampling, draws, seed int64) (design, error) {
	var f units.Faults
	if s == SamplingFactorial {
		n := 1.0
		for _, in := range m.inputs {
			n *= float64(len(in.levels))
		}
		if n == 1 {
			f.Missing("levels", "two levels or more of at least one quantity of the study")
		} else if n > mostDraws {
			f.Add("levels", fmt.Sprintf("%.3g combinations", n), fmt.Sprintf("at most %.0e", mostDraws))
		}
		draws, seed = int64(n), 0
	} else {
		f.NumberBetween("-draws", float64(draws), 2, mostDraws)
	}
	if len(m.inputs) == 0 {
		f.Missing("kind", "at least one quantity that is not fixed")
	}
	return design{study, version(), s, draws, seed}, f.Err()
}

func (d design) blocks() int { return int((d.Draws + blockDraws - 1) / blockDraws) }

// upTo returns the number of draws in the blocks below b.
func (d design) upTo(b int) int64 { return min(d.Draws, int64(b)*blockDraws) }

// size returns the number of draws of block b.
func (d design) size(b int) int { return int(d.upTo(b+1) - d.upTo(b)) }

// points is the inputs of one block: row r holds draw r, as values and as classes.
type points struct {
	n       int
	x       []float64
	classes []uint8
	p       []float64 // one input
}

func newPoints(m *model) *points {
	k := len(m.inputs)
	return &points{x: make([]float64, blockDraws*k), classes: make([]uint8, blockDraws*k), p: make([]float64, blockDraws)}
}

// fill takes the draws of block b.
func (d design) fill(m *model, b int, to *points) {
	k := len(m.inputs)
	to.n = d.size(b)
	if d.Sampling == SamplingFactorial {
		for r := range to.n {
			left := int64(b)*blockDraws + int64(r)
			for i := range m.inputs {
				levels := m.inputs[i].levels
				c := left % int64(len(levels))
				left /= int64(len(levels))
				to.x[r*k+i], to.classes[r*k+i] = levels[c], uint8(c)
			}
		}
		return
	}
	src := rand.NewPCG(uint64(d.Seed), uint64(b))
	random := rand.New(src)
	p := to.p[:to.n]
	for i := range m.inputs {
		if d.Sampling == SamplingLatin {
			// A hypercube is one stratified and shuffled sample for each input.
			sampleuv.LatinHypercube{Q: distuv.Uniform{Max: 1}, Src: src}.Sample(p)
		} else {
			for r := range p {
				p[r] = random.Float64()
			}
		}
		for r, p := range p {
			p = max(p, 0x1p-54) // a quantile at 0 may be infinite
			to.x[r*k+i], to.classes[r*k+i] = m.inputs[i].quantile(p), uint8(p*mostLevels)
		}
	}
}
