package sludge

import (
	"cmp"
	"math"
	"slices"

	"example.org/earthbasin/sludge/internal/field"
)

// Stretched fields that are tried where there are soundings enough to tell: the ways
// that the long range may run, and how many times as long as the short one it is. All
// together they have the prior weight of the fields that are alike in all directions.
const (
	stretchFrom = 30 // sites with values
	stretchWays = 8  // over half a turn
)

var stretchRatios = [...]float64{1.6, 2.5, 4, 10}

// Of the stretched metrics those are kept whose likelihood, with the best of the other
// structures, is within stretchGap of the best one and of that of the fields that are
// alike in all directions, at most stretchKept; with them go the structures that are
// within stretchNear of the best when not stretched.
const (
	stretchGap  = 2
	stretchKept = 3
	stretchNear = 4
)

// stretch adds stretched fields to the structures of all hypotheses, those of the
// metrics that serve the best hypothesis best.
func (e *estimate) stretch() {
	h := slices.MaxFunc(e.hypotheses, func(a, b *hypothesis) int { return cmp.Compare(a.evidence, b.evidence) })
	if len(h.used) < stretchFrom {
		return
	}
	prior := -math.Log(stretchWays * float64(len(stretchRatios)))
	best, _ := field.Best(h.fits)
	of := e.structures[best.Structure]
	of.LogPrior += prior
	var tried []field.Structure
	for _, ratio := range stretchRatios {
		for k := range stretchWays {
			of.Metric = field.Stretched(math.Pi*float64(k)/stretchWays, ratio)
			tried = append(tried, of)
		}
	}
	fits := field.NewFactors(h.factors.Sites, tried).Fits(0, h.said())[0]
	slices.SortStableFunc(fits, func(a, b field.Fit) int { return cmp.Compare(b.LogLikelihood, a.LogLikelihood) })
	fits = slices.DeleteFunc(fits, func(f field.Fit) bool { return !f.OK || f.LogLikelihood < best.LogLikelihood-stretchGap })
	fits = slices.DeleteFunc(fits, func(f field.Fit) bool { return f.LogLikelihood < fits[0].LogLikelihood-stretchGap })
	var more []field.Structure
	for _, f := range fits[:min(stretchKept, len(fits))] {
		for _, like := range h.fits {
			if like.OK && like.LogLikelihood > best.LogLikelihood-stretchNear {
				st := e.structures[like.Structure]
				st.Metric = tried[f.Structure].Metric
				st.LogPrior += prior
				more = append(more, st)
			}
		}
	}
	if len(more) > 0 {
		e.extend(more)
	}
}

// extend adds structures to all hypotheses.
func (e *estimate) extend(more []field.Structure) {
	e.structures = append(e.structures, more...)
	for _, f := range e.factors {
		f.factors.Extend(more)
	}
	for _, h := range e.hypotheses {
		h.evidence -= logSum(h.fits)
	}
	e.fit(len(e.structures) - len(more))
	for _, h := range e.hypotheses {
		h.evidence += logSum(h.fits)
	}
}
