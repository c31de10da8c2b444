package sludge

import (
	"cmp"
	"math"
	"slices"

	"example.org/earthbasin/sludge/internal/field"
)

// estimate is the volume of a survey in the making.
type estimate struct {
	stop         func() error // an error once the caller waits no longer: what is under way ends as it stands
	survey       *Survey
	readingSD    float64
	sharedSD     float64
	round        bool                     // fields are alike in all directions, whatever the soundings say
	partsOf      func(weight float64) int // of a hypothesis of that weight; 0: every one
	logFrom      int                      // free sites from which the logarithmic scale is tried
	floorSD      float64
	floorShared  float64
	told         bool // the floor, somewhere
	knownFloor   bool // told or read
	floorUnknown int  // sub-points where a told floor is not known
	cells        *basinCells
	targets      *field.Targets
	cellOf       []int // by used node: the cell, -1 beside the basin
	sites        []site
	thinned      float64 // side of the cells of thinning, 0: none
	floors       []*floorGuess
	structures   []field.Structure
	factors      []sharedFactors
	hypotheses   []*hypothesis
	parts        []portion
}

// Ranges that are tried.
const (
	rangesTried  = 8
	leastRange   = 0.1 // of the square root of the area
	longestRange = 4   // diagonals of the box
)

// hopeless is how far, in the logarithm, a hypothesis may be below the best.
const hopeless = 7

// usualParts is about the number of parts of a mixture, leastParts the least of a
// hypothesis, but for a light one, which has one part. At 24 places the ends of the
// interval are off those of all parts by 5 % of the half-width (root mean square), no more
// than with three parts of every hypothesis.
const (
	usualParts = 16
	leastParts = 2
	light      = 1.0 / 32
)

// usualDraw is how many parts stand for a hypothesis of that weight.
func usualDraw(weight float64) int {
	if weight < light {
		return 1
	}
	return max(leastParts, int(math.Ceil(usualParts*weight)))
}

// portion is one structure under one hypothesis: a t of the volume, or of its logarithm.
type portion struct {
	of     *hypothesis
	fit    field.Fit
	weight float64
	volume float64
	scale  float64
	floor  float64 // variance of the volume from the floor
}

// setStructures makes the grid of covariances, with the shares of the nugget that are
// given in place of the usual ones.
func (e *estimate) setStructures(shares []float64) {
	low, high := e.survey.rings[0].Bounds()
	ranges := field.Geometric(leastRange*math.Sqrt(e.survey.area),
		longestRange*math.Hypot(float64(high.X-low.X), float64(high.Y-low.Y)), rangesTried)
	if shares != nil {
		e.structures = field.Grid(ranges, shares, field.Isotropic)
		return
	}
	e.structures = field.UsualGrid(ranges)
}

// setCells cuts the basin.
func (e *estimate) setCells(count int) {
	e.cells = newCells(e.survey, count)
	e.targets = e.cells.targets()
	e.cellOf = make([]int, len(e.targets.Used))
	cellAt := make([]int, e.cells.Len())
	for i := range cellAt {
		cellAt[i] = -1
	}
	for i, c := range e.cells.list {
		cellAt[c.node] = i
	}
	for k, node := range e.targets.Used {
		e.cellOf[k] = cellAt[node]
	}
}

// weigh makes the hypotheses over the floors and keeps those with hope.
func (e *estimate) weigh(rule BankRule, logFrom int) {
	e.hypothesize(rule, logFrom)
	if len(e.hypotheses) == 0 || e.stop() != nil {
		return
	}
	if !e.round {
		e.stretch()
	}
	best := slices.MaxFunc(e.hypotheses, func(a, b *hypothesis) int { return cmp.Compare(a.evidence, b.evidence) }).evidence
	e.hypotheses = slices.DeleteFunc(e.hypotheses, func(h *hypothesis) bool {
		return h.evidence < best-hopeless || !h.settle(e)
	})
	var total float64
	for _, h := range e.hypotheses {
		h.weight = math.Exp(h.evidence - best)
		total += h.weight
	}
	for _, h := range e.hypotheses {
		h.weight /= total
		h.df = h.tails()
	}
}

// hypothesize makes the hypotheses and works out their evidence.
func (e *estimate) hypothesize(rule BankRule, logFrom int) {
	for _, g := range e.floors {
		if e.stop() != nil {
			return
		}
		roles := g.roles(e.sites, e.readingSD, math.Hypot(e.floorSD, e.floorShared))
		free := 0
		for _, r := range roles {
			if r == roleFree {
				free++
			}
		}
		shares, priors := g.ways(rule)
		for k, share := range shares {
			for _, log := range []bool{false, true} {
				if log && free < logFrom {
					continue
				}
				h := &hypothesis{floor: g, share: share, log: log, prior: g.weight * priors[k] / 2, roles: roles}
				if h.read(e) {
					e.hypotheses = append(e.hypotheses, h)
				}
			}
		}
	}
	e.fit(0)
	e.hypotheses = slices.DeleteFunc(e.hypotheses, func(h *hypothesis) bool { return !h.weigh(e) })
}

// fit works out what the soundings say under each hypothesis and the structures from the
// given one on. Hypotheses over the same sites, which follow each other, go together.
func (e *estimate) fit(from int) {
	for rest := e.hypotheses; len(rest) > 0 && e.stop() == nil; {
		factors := rest[0].factors
		var values []field.Values
		for len(values) < len(rest) && rest[len(values)].factors == factors {
			values = append(values, rest[len(values)].said())
		}
		for k, fits := range factors.Fits(from, values...) {
			if from == 0 {
				rest[k].fits = fits
			} else {
				rest[k].fits = append(rest[k].fits, fits...)
			}
		}
		rest = rest[len(values):]
	}
}

// ways returns the ways in which the sludge may meet the banks of the floor.
func (g *floorGuess) ways(rule BankRule) (shares, priors []float64) {
	switch {
	case g.vertical, g.flatThroughout(), rule == BankDraped:
		return []float64{0}, []float64{1}
	case rule == BankLevel:
		return []float64{1}, []float64{1}
	}
	return bankShares[:], bankPriors[:]
}

// flatThroughout reports whether the floor is level, so that banks do not matter.
func (g *floorGuess) flatThroughout() bool {
	for _, l := range g.levels {
		if g.deepest-l.depth > 1e-9 {
			return false
		}
	}
	return true
}

// choose draws the parts: of each hypothesis, at even steps of the weight of its
// structures in their order, so that light ones count by their number. A few heavy
// ones alone would make the interval too narrow.
func (e *estimate) choose() {
	for _, h := range e.hypotheses {
		for _, d := range drawFits(h.fits, e.partsOf(h.weight)) {
			e.parts = append(e.parts, portion{of: h, fit: d.fit, weight: h.weight * d.share})
		}
	}
	var total float64 // rounding may lose a last step
	for _, p := range e.parts {
		total += p.weight
	}
	for i := range e.parts {
		e.parts[i].weight /= total
	}
}

// drawnFit is a structure with its share of the weight.
type drawnFit struct {
	fit   field.Fit
	share float64
}

// drawFits draws structures at even steps of the weight in their order: every one with
// its own weight when steps is 0.
func drawFits(fits []field.Fit, steps int) (list []drawnFit) {
	log := logSum(fits)
	var sum float64
	next := 0
	for _, f := range fits {
		if !f.OK {
			continue
		}
		share := math.Exp(f.LogLikelihood - log)
		sum += share
		if steps > 0 {
			hits := 0
			for ; next < steps && (float64(next)+0.5)/float64(steps) <= sum; next++ {
				hits++
			}
			share = float64(hits) / float64(steps)
		}
		if share > 0 {
			list = append(list, drawnFit{f, share})
		}
	}
	return list
}

// eachField calls fn for each part with what its sites say of the field, which fn does
// not keep; parts of one structure over one set of sites share that.
func (e *estimate) eachField(fn func(p *portion, f *field.Field)) {
	order := make([]*portion, len(e.parts))
	for i := range e.parts {
		order[i] = &e.parts[i]
	}
	set := map[*field.Factors]int{}
	for _, p := range order {
		if _, ok := set[p.of.factors]; !ok {
			set[p.of.factors] = len(set)
		}
	}
	slices.SortStableFunc(order, func(a, b *portion) int {
		return cmp.Or(cmp.Compare(set[a.of.factors], set[b.of.factors]), cmp.Compare(a.fit.Structure, b.fit.Structure))
	})
	var room *field.Room
	var f *field.Field
	var before *portion
	for _, p := range order {
		if e.stop() != nil {
			return
		}
		switch {
		case before == nil || before.of.factors != p.of.factors:
			room = p.of.factors.Room(e.targets)
			f = p.of.factors.Field(p.fit.Structure, room, f)
		case before.fit.Structure != p.fit.Structure:
			f = p.of.factors.Field(p.fit.Structure, room, f)
		}
		fn(p, f)
		before = p
	}
}

// latticeError is the error of a volume from the lattice, as a share of it.
const latticeError = 0.0015

// integrate works out the volume of each part.
func (e *estimate) integrate() {
	m := len(e.targets.Used)
	mean, w := make([]float64, m), make([]float64, m)
	all := make([]float64, e.targets.Len())
	fromFloor := map[*hypothesis]float64{}
	e.eachField(func(p *portion, f *field.Field) {
		f.Mean(mean, p.of.values, p.fit.Beta)
		p.volume = 0
		bands := p.of.bandsOver(asItLies)
		for k, c := range e.cellOf {
			w[k] = 0
			if c >= 0 {
				value, slope := p.of.thickness(e, bands, mean, f.Variance[k]*p.variance(), k, c)
				p.volume += e.cells.list[c].area * value
				w[k] = e.cells.list[c].area * slope
			}
		}
		variance, weights := f.Linear(w, e.onLattice(w, all))
		variance *= p.fit.Sigma2
		lattice := latticeError * p.volume
		shared := e.shared(p, weights)
		if u := p.of.floor.undulation; u != nil {
			// What the floor does to the volume hangs on the way at the banks, hardly on the
			// covariance: the first part of a hypothesis tells it for all.
			if _, done := fromFloor[p.of]; !done {
				p.of.byFloor(e, w, mean, func(k int) float64 { return f.Variance[k] * p.variance() })
				p.of.byTops(e, w, weights)
				fromFloor[p.of] = u.spread(w, e.onLattice(w, all))
			}
			p.floor = fromFloor[p.of]
		}
		if e.floorShared > 0 {
			d := e.floorShared * e.byDepths(p, weights, mean, f)
			p.floor += d * d
		}
		p.scale = math.Sqrt(max(0, variance) + shared + lattice*lattice + p.floor)
	})
}

// onLattice copies values at the used nodes to all, on the lattice.
func (e *estimate) onLattice(w, all []float64) []float64 {
	for k, node := range e.targets.Used {
		all[node] = w[k]
	}
	return all
}

// df returns the degrees of freedom of the t.
func (p *portion) df() float64 { return math.Trunc(min(p.fit.DF, p.of.df)) }

// variance returns sigma^2 of the field with what is left open of it: that of a t.
func (p *portion) variance() float64 { return tVariance(p.fit) }

func tVariance(f field.Fit) float64 { return f.Sigma2 * f.DF / max(f.DF-2, 0.5) }

// floorOver is another floor: so many times as deep where its depth is an estimate, and
// with all of it, the banks too, lower by so much.
type floorOver struct{ times, lower float64 }

// asItLies is the floor itself.
var asItLies = floorOver{times: 1}

// bandsOver returns the heights of the field that count at each level of another floor.
func (h *hypothesis) bandsOver(other floorOver) []field.Band {
	if other == asItLies && h.bands != nil {
		return h.bands
	}
	list := make([]field.Band, len(h.floor.levels))
	for i, l := range h.floor.levels {
		depth := (1 + (other.times-1)*l.open) * l.depth
		if list[i] = (field.Band{Low: h.bank(depth), Height: depth + other.lower}); h.log {
			list[i] = field.LogBand(h.bank(depth), depth+other.lower)
		}
	}
	if other == asItLies {
		h.bands = list
	}
	return list
}

// thickness returns the mean thickness in a cell and its slope by the field at its
// node, both cut at the floor of the bands. Variance is that of the field at the node.
func (h *hypothesis) thickness(e *estimate, bands []field.Band, mean []float64, variance float64, node, cell int) (value, slope float64) {
	sd := math.Sqrt(variance)
	from, to := h.floor.from[cell], h.floor.from[cell+1]
	levels := h.floor.levels[from:to]
	var gx, gy float64
	if len(levels) > 1 || levels[0].dx != 0 || levels[0].dy != 0 {
		gx, gy = e.targets.Slope(mean, node)
	}
	for i := range levels {
		l, band := &levels[i], &bands[from+i]
		mu := mean[node] + gx*l.dx + gy*l.dy
		var v, s float64
		if h.log {
			v, s = band.ClippedLog(mu, sd)
		} else {
			v, s = band.Clipped(mu, sd)
		}
		value += l.share * v
		slope += l.share * s
	}
	return value, slope
}

// depthStep is the step of the depth by which the floor is lowered to see what the
// thickness does, in metres.
const depthStep = 0.01

// byDepths returns the derivative of the volume by all depths to the floor together: of
// the thickness at the sites that comes from them, and of the floor that the field is cut
// at, where that is read or its drawing stands in for readings.
func (e *estimate) byDepths(p *portion, weights, mean []float64, f *field.Field) float64 {
	var sum float64
	moves := p.of.floor.asRead
	for k, i := range p.of.used {
		s := &e.sites[i]
		if !s.depths {
			continue
		}
		moves = moves || math.IsNaN(s.floor)
		slope := 1.0
		if p.of.log {
			slope = math.Exp(-p.of.values[k])
		}
		sum += weights[k] * slope
	}
	if !moves {
		return sum
	}
	bands, lowered := p.of.bandsOver(asItLies), p.of.bandsOver(floorOver{times: 1, lower: depthStep})
	for k, c := range e.cellOf {
		if c >= 0 {
			variance := f.Variance[k] * p.variance()
			now, _ := p.of.thickness(e, bands, mean, variance, k, c)
			lower, _ := p.of.thickness(e, lowered, mean, variance, k, c)
			sum += e.cells.list[c].area * (lower - now) / depthStep
		}
	}
	return sum
}

// shared returns the variance of the volume from an error that the sites of a track
// share.
func (e *estimate) shared(p *portion, weights []float64) float64 {
	if e.sharedSD == 0 {
		return 0
	}
	byTrack := map[int]float64{}
	for k, i := range p.of.used {
		slope := 1.0
		if p.of.log {
			slope = math.Exp(-p.of.values[k])
		}
		byTrack[e.sites[i].track] += weights[k] * slope
	}
	var sum float64
	for _, i := range p.of.used { // in the order of the sites: the same bits each time
		v := byTrack[e.sites[i].track]
		sum += v * v
		byTrack[e.sites[i].track] = 0
	}
	return e.sharedSD * e.sharedSD * sum
}

// mixture returns the parts as a mixture, those alone of which keep is true.
func (e *estimate) mixture(keep func(p *portion) bool) field.Mixture {
	m := make(field.Mixture, 0, len(e.parts))
	var total float64
	for i := range e.parts {
		p := &e.parts[i]
		if keep == nil || keep(p) {
			m = append(m, field.Part{Weight: p.weight, Value: p.volume, Scale: p.scale, DF: int(p.df()), Log: p.of.log})
			total += p.weight
		}
	}
	for i := range m {
		m[i].Weight /= total
	}
	return m
}

// between returns the two-sided interval of a mixture, within the basin.
func (e *estimate) between(m field.Mixture, confidence float64) (low, high float64) {
	most := 0.0
	for _, g := range e.floors {
		most = max(most, g.volume)
	}
	tail := (1 - confidence) / 2
	high = m.Mean() + m.SD()
	for range 60 {
		if high >= most || m.CDF(high) >= 1-tail {
			break
		}
		high *= 2
	}
	high = min(high, most)
	low, high = m.Quantile(tail, 0, high), m.Quantile(1-tail, 0, high)
	if e.partsOf(1) > 0 {
		mean := m.Mean()
		low, high = max(0, mean-(1+drawing)*(mean-low)), min(most, mean+(1+drawing)*(high-mean))
	}
	return low, high
}

// drawing is the share by which an interval is wider than that of its parts, as these
// are drawn: from draw to draw an end moves by 2 to 3 % of the half-width.
const drawing = 0.03
