package sludge

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"example.org/earthbasin/sludge/internal/field"
	"example.org/earthbasin/units"
)

// DifferenceSpec is two surveys of one basin.
type DifferenceSpec struct {
	Before *Survey `json:"-"` // the earlier one
	After  *Survey `json:"-"` // with the boundary of Before
	// Volume says how the volumes are worked out; its inlets do not count.
	Volume VolumeSpec `json:"volume"`
}

// DifferenceResult is what came in between two surveys, or was taken out.
type DifferenceResult struct {
	Before VolumeResult `json:"before"` // each alone
	After  VolumeResult `json:"after"`  // each alone
	// Change is the volume after less that before: what accumulated, below 0 what was
	// taken out.
	Change units.Volume `json:"change"`
	SD     units.Volume `json:"sd"` // of the change
	// Interval of the change; nil where either survey has none.
	Interval   *units.Range[units.Volume] `json:"interval,omitempty"`
	Confidence float64                    `json:"confidence,omitzero"` // of Interval
	// Likeness is the correlation between the two fields at one place, 0 to 0.95, mean by
	// weight: where it is high, errors at gaps between the soundings are the same in both
	// surveys and leave the change alone.
	Likeness float64        `json:"likeness"`
	Notes    []units.Phrase `json:"notes,omitempty"` // what to doubt
}

// likenesses are the correlations between two surveys that are tried.
var likenesses = [...]float64{0, 0.5, 0.8, 0.95}

// sameWay is the prior probability that the sludge meets the banks in the same way at
// both times, whatever that is.
const sameWay = 0.5

// goodEnough is how far, in the logarithm, a structure may be below the best of the
// two surveys taken alone.
const goodEnough = 5

// Difference returns the change of the volume between two surveys. The two fields have
// one covariance, which the soundings of both tell, means of their own and a
// correlation, of which four values are weighed by likelihood; ways at the banks,
// scales and floors are weighed as for one volume. Faults are on before, after and
// volume; it ends with the error of ctx when that is done.
func Difference(ctx context.Context, spec DifferenceSpec) (DifferenceResult, error) {
	var f units.Faults
	f.Sub("before", surveyFault(spec.Before))
	f.Sub("after", surveyFault(spec.After))
	if f.Err() == nil {
		f.Sub("volume", spec.Volume.check(spec.Before))
		if !sameRings(spec.Before, spec.After) {
			f.Say("after", "a survey with another boundary", "one with the boundary and the islands of before")
		}
	}
	if err := f.Err(); err != nil {
		return DifferenceResult{}, err
	}
	var r DifferenceResult
	for k, s := range []*Survey{spec.Before, spec.After} {
		e, err := newEstimate(ctx, s, spec.Volume, estimateOptions{})
		if err != nil {
			return DifferenceResult{}, err
		}
		*[]*VolumeResult{&r.Before, &r.After}[k] = e.result(spec.Volume)
	}
	r.Change = r.After.Volume - r.Before.Volume
	if r.Before.Interval == nil || r.After.Interval == nil {
		r.Notes = append(r.Notes, units.Words("no interval of the change, as one of the surveys has none"))
		return r, nil
	}
	w := newPairWork(ctx, spec)
	w.run()
	if err := ctx.Err(); err != nil {
		return DifferenceResult{}, err
	}
	if len(w.parts) == 0 {
		r.Notes = append(r.Notes, units.Words("no covariance serves both surveys: no interval of the change"))
		return r, nil
	}
	m := make(field.Mixture, len(w.parts))
	for i, p := range w.parts {
		m[i] = field.Part{Weight: p.weight, Value: p.change, Scale: p.scale, DF: int(p.fit.DF)}
		r.Likeness += p.weight * p.pair.Rho
	}
	r.Change, r.SD, r.Confidence = units.Volume(m.Mean()), units.Volume(m.SD()), spec.Volume.Confidence
	tail, reach := (1-r.Confidence)/2, 1e3*m.SD()
	r.Interval = &units.Range[units.Volume]{Low: units.Volume(m.Quantile(tail, m.Mean()-reach, m.Mean()+reach)),
		High: units.Volume(m.Quantile(1-tail, m.Mean()-reach, m.Mean()+reach))}
	return r, nil
}

func surveyFault(s *Survey) error {
	var f units.Faults
	if s == nil || len(s.rings) == 0 {
		f.Missing("", "a survey made by NewSurvey")
	} else if s.uncut != BankOpen {
		f.Say("", "an uncut survey", "one as it was sounded")
	}
	return f.Err()
}

func sameRings(a, b *Survey) bool {
	return slices.EqualFunc(a.rings, b.rings, slices.Equal)
}

// pairWork is the change between two surveys in the making.
type pairWork struct {
	each  [2]*estimate
	rule  BankRule
	pairs map[pairKey][]*field.Pair // by likeness
	parts []pairPart
}

type pairKey struct {
	a, b      *field.Factors
	structure int
}

// pairPart is one structure and likeness under one hypothesis for each survey.
type pairPart struct {
	of     [2]*hypothesis
	pair   *field.Pair
	fit    field.PairFit
	weight float64
	change float64
	scale  float64
}

// newPairWork prepares both surveys on one lattice, over floors that both tell.
func newPairWork(ctx context.Context, spec DifferenceSpec) *pairWork {
	w := &pairWork{rule: spec.Volume.BankRule, pairs: map[pairKey][]*field.Pair{}}
	for k, s := range []*Survey{spec.Before, spec.After} {
		e := &estimate{stop: ctx.Err, survey: s}
		e.setErrors(spec.Volume)
		e.sites, e.thinned = s.sites()
		w.each[k] = e
	}
	a, b := w.each[0], w.each[1]
	count := cellsFor(0, max(len(a.sites), len(b.sites)))
	for _, e := range w.each {
		e.setCells(count)
		e.setStructures(nil)
	}
	both := &estimate{stop: ctx.Err, survey: a.survey, cells: a.cells, targets: a.targets, structures: a.structures,
		sites: slices.Concat(a.sites, b.sites)}
	both.setErrors(spec.Volume)
	if a.survey.floor == nil && b.survey.floor != nil {
		both.survey = b.survey
	}
	both.setFloors(false)
	for _, g := range both.floors {
		ga, gb := *g, *g
		ga.at, gb.at = g.at[:len(a.sites)], g.at[len(a.sites):]
		a.floors, b.floors = append(a.floors, &ga), append(b.floors, &gb)
	}
	return w
}

// run weighs the pairs of hypotheses and works out the change under each part.
func (w *pairWork) run() {
	a, b := w.each[0], w.each[1]
	a.hypothesize(w.rule, 0)
	b.hypothesize(w.rule, 0)
	type couple struct {
		of       [2]*hypothesis
		evidence float64
	}
	var list []couple
	best := math.Inf(-1)
	for _, g := range a.hypotheses {
		for _, h := range b.hypotheses {
			if g.log != h.log || slices.Index(a.floors, g.floor) != slices.Index(b.floors, h.floor) {
				continue
			}
			way := 2 * h.prior / h.floor.weight // prior of the way alone
			together := (1 - sameWay) * way
			if g.share == h.share {
				together += sameWay
			}
			c := couple{[2]*hypothesis{g, h}, g.evidence + h.evidence - math.Log(h.prior) + math.Log(together)}
			best = max(best, c.evidence)
			list = append(list, c)
		}
	}
	list = slices.DeleteFunc(list, func(c couple) bool { return c.evidence < best-hopeless })
	var total float64
	settled := map[*hypothesis]bool{}
	for _, c := range list {
		for k, h := range c.of {
			if _, done := settled[h]; !done {
				settled[h] = h.settle(w.each[k])
			}
		}
		total += math.Exp(c.evidence - best)
	}
	for _, c := range list {
		if settled[c.of[0]] && settled[c.of[1]] {
			w.choose(c.of, math.Exp(c.evidence-best)/total)
		}
	}
	var sum float64
	for _, p := range w.parts {
		sum += p.weight
	}
	for i := range w.parts {
		w.parts[i].weight /= sum
		if w.each[0].stop() == nil {
			w.integrate(&w.parts[i])
		}
	}
}

// choose draws the parts of a pair of hypotheses, as [estimate.choose] does.
func (w *pairWork) choose(of [2]*hypothesis, weight float64) {
	type option struct {
		pair *field.Pair
		fit  field.PairFit
	}
	alone := func(k int) float64 { return of[0].fits[k].LogLikelihood + of[1].fits[k].LogLikelihood }
	best := math.Inf(-1)
	for k := range of[0].fits {
		if of[0].fits[k].OK && of[1].fits[k].OK {
			best = max(best, alone(k))
		}
	}
	var options []option
	top := math.Inf(-1)
	for k := range of[0].fits {
		if !of[0].fits[k].OK || !of[1].fits[k].OK || alone(k) < best-goodEnough {
			continue
		}
		if w.each[0].stop() != nil {
			return
		}
		for _, p := range w.pairsOf(of, k) {
			if p != nil {
				fit := p.Fit(of[0].values, of[1].values)
				top = max(top, fit.LogLikelihood)
				options = append(options, option{p, fit})
			}
		}
	}
	var total, sum float64
	for _, o := range options {
		total += math.Exp(o.fit.LogLikelihood - top)
	}
	steps := float64(usualDraw(weight))
	next := 0
	for _, o := range options {
		sum += math.Exp(o.fit.LogLikelihood-top) / total
		hits := 0
		for ; next < int(steps) && (float64(next)+0.5)/steps <= sum; next++ {
			hits++
		}
		if hits > 0 {
			w.parts = append(w.parts, pairPart{of: of, pair: o.pair, fit: o.fit, weight: weight * float64(hits) / steps})
		}
	}
}

// pairsOf returns the factored covariances of the sites of two hypotheses under each
// likeness, nil where one is singular.
func (w *pairWork) pairsOf(of [2]*hypothesis, structure int) []*field.Pair {
	key := pairKey{of[0].factors, of[1].factors, structure}
	if list, ok := w.pairs[key]; ok {
		return list
	}
	list := field.NewPairs(of[0].factors.Sites, of[1].factors.Sites, of[0].factors.Structures[structure], likenesses[:])
	w.pairs[key] = list
	return list
}

// integrate works out the change under one part.
func (w *pairWork) integrate(p *pairPart) {
	targets := w.each[0].targets
	f := p.pair.Field([2]*field.Room{p.of[0].factors.Room(targets), p.of[1].factors.Room(targets)})
	m := len(targets.Used)
	var weights, all [2][]float64
	var volumes [2]float64
	spread := p.fit.Sigma2 * p.fit.DF / max(p.fit.DF-2, 0.5)
	mean, fromFloor, byFloor := make([]float64, m), make([]float64, m), make([]float64, m)
	undulation := p.of[0].floor.undulation // of both: it is one basin
	for g, e := range w.each {
		f.Mean(mean, g, p.fit)
		weights[g], all[g] = make([]float64, m), make([]float64, targets.Len())
		sign := float64(2*g - 1) // after less before
		bands := p.of[g].bandsOver(asItLies)
		for k, c := range e.cellOf {
			if c < 0 {
				continue
			}
			value, slope := p.of[g].thickness(e, bands, mean, f.Variance[g][k]*spread, k, c)
			volumes[g] += e.cells.list[c].area * value
			weights[g][k] = sign * e.cells.list[c].area * slope
			all[g][targets.Used[k]] = weights[g][k]
		}
		if undulation != nil {
			p.of[g].byFloor(e, byFloor, mean, func(k int) float64 { return f.Variance[g][k] * spread })
			floats.AddScaled(fromFloor, sign, byFloor)
		}
	}
	p.change = volumes[1] - volumes[0]
	variance := p.fit.Sigma2*f.Linear(weights, all) + undulation.spread(fromFloor, w.each[0].onLattice(fromFloor, make([]float64, targets.Len())))
	for _, e := range w.each { // an error of a track moves the whole area at most
		tracks := map[int]bool{}
		for _, s := range e.sites {
			tracks[s.track] = true
		}
		variance += e.sharedSD * e.sharedSD * e.survey.area * e.survey.area / float64(len(tracks))
	}
	lattice := latticeError * p.change
	p.scale = math.Sqrt(variance + lattice*lattice)
}

// Working returns both volumes and the change.
func (r DifferenceResult) Working() units.Working {
	var w units.Working
	w.Add("volume before", r.Before.Volume, "standard deviation %v", r.Before.SD)
	w.Add("volume after", r.After.Volume, "standard deviation %v", r.After.SD)
	w.Add("change", r.Change, "after less before, by both surveys together; below 0 taken out")
	if r.Interval != nil {
		w.Add("low", r.Interval.Low, "%v %% interval", 100*r.Confidence)
		w.Add("high", r.Interval.High, "%v %% interval", 100*r.Confidence)
		w.Add("standard deviation", r.SD, "")
		w.Add("likeness of the two fields", units.Words("%.2f", r.Likeness), "correlation at one place, mean by weight")
	}
	for _, n := range r.Notes {
		w.Put(units.Words("note"), "", n)
	}
	return w
}

// String returns the working as a table.
func (r DifferenceResult) String() string { return r.Working().String() }
