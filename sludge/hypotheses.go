package sludge

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"example.org/earthbasin/sludge/internal/field"
)

// floorGuess is one way in which the floor may lie, with its weight among them.
type floorGuess struct {
	weight     float64
	vertical   bool      // walls, and no floor to cut at
	slope      float64   // of the banks, horizontal per vertical; 0 where the floor was told
	flat       float64   // depth that a floor with that slope reaches
	depths     []float64 // at the sub-points; nil with walls
	levels     []floorLevel
	from       []int
	deepest    float64     // at any sub-point
	volume     float64     // of the basin over it
	at         []float64   // depth at each site; infinite with walls
	undulation *undulation // of a floor that is found from where it is known; nil: none
	asRead     bool        // at the sites it lies as it was read there
	openAt     []bool      // at each site: there it is an estimate
	reading    float64     // standard deviation of the floor at a site, metres: a guessed one is not sharp
}

// role is what the reading of a site says of the field.
type role uint8

const (
	roleFree      role = iota // the value of the field
	roleFloor                 // the sludge ends on the floor: the field is at least so high
	roleBare                  // no sludge: the field is at most so high
	roleWaterline             // no room for sludge: nothing
)

// shallow is the least tolerance by which a reading ends on the floor or is bare, in
// metres.
const shallow = 0.03

// roles says what each site tells over a floor. DepthSD is the error of a depth to it.
func (g *floorGuess) roles(sites []site, readingSD, depthSD float64) []role {
	tol := max(shallow, 2*readingSD)
	list := make([]role, len(sites))
	free := 0
	for i, s := range sites {
		d := g.at[i]
		switch {
		case d <= 2*tol:
			list[i] = roleWaterline
		case s.thickness >= d-tol && d < g.deepest-1e-9:
			list[i] = roleFloor
		case s.thickness <= tol || s.depths && s.thickness <= 2*math.Hypot(readingSD, depthSD):
			list[i] = roleBare
		default:
			free++
		}
	}
	if free < leastFree {
		for i, r := range list {
			if r != roleWaterline {
				list[i] = roleFree
			}
		}
	}
	return list
}

// leastFree is the number of sites with a value under which there is no interval.
const leastFree = 4

// bank ways: the share of its height over the deepest floor by which the top of the
// sludge lies lower over a bank, 0 draped and 1 level, with their prior weights.
var (
	bankShares = [...]float64{0, 0.25, 0.5, 0.75, 1}
	bankPriors = [...]float64{0.3, 2.0 / 15, 2.0 / 15, 2.0 / 15, 0.3}
)

// hypothesis is one floor, one way at the banks and one scale, with what the
// soundings say under it.
type hypothesis struct {
	floor   *floorGuess
	share   float64 // of the bank
	log     bool    // the field is the logarithm of the height
	prior   float64
	roles   []role
	used    []int        // sites with values, those that contradict the field at their bound
	against []int        // sites without a value that contradict the field of the others
	bands   []field.Band // of the levels of the floor, once they are asked for

	values   []float64
	variance float64 // of a reading, on the scale
	factors  *field.Factors
	fits     []field.Fit
	df       float64 // of its variance, by the tails of the scores
	evidence float64 // log
	weight   float64 // among all, adding up to 1
}

// leastHeight keeps the logarithm of nothing finite, in metres.
const leastHeight = 0.001

// latent returns the value of the field at a height over the level that a full bank
// share reaches.
func (h *hypothesis) latent(height float64) float64 {
	if h.log {
		return math.Log(max(height, leastHeight))
	}
	return height
}

// bank returns by how much the field lies over the thickness at a depth of the floor.
func (h *hypothesis) bank(depth float64) float64 {
	if h.share == 0 {
		return 0 // with walls the depth is infinite
	}
	return h.share * max(0, h.floor.deepest-depth)
}

// worst is the least probability of a site that contradicts a hypothesis.
const worst = 1e-12

// read takes the values of the sites that are free. It is false when these are too few.
func (h *hypothesis) read(e *estimate) bool {
	var free []int
	for i, r := range h.roles {
		if r == roleFree {
			free = append(free, i)
		}
	}
	if len(free) < leastSites {
		return false
	}
	var mean, read float64
	for _, i := range free {
		s := &e.sites[i]
		v := h.latent(s.thickness + h.bank(h.floor.at[i]))
		h.values = append(h.values, v)
		mean += s.thickness / float64(len(free))
		if s.depths {
			read += 1 / float64(len(free))
		}
	}
	// An error of the floor as read moves the thickness and the floor below it: a level
	// top stays where it is.
	byFloor := e.floorSD
	if h.floor.asRead {
		byFloor *= 1 - h.share
	}
	h.variance = e.readingSD*e.readingSD + read*byFloor*byFloor
	if h.log {
		h.variance /= max(mean*mean, leastHeight*leastHeight)
	}
	h.used = free
	h.factors = e.factorsOf(free)
	return true
}

// weigh works out the evidence of the hypothesis from what its values say under each
// structure. It is false when no structure can be solved.
func (h *hypothesis) weigh(e *estimate) bool {
	best, ok := field.Best(h.fits)
	if !ok {
		return false
	}
	h.evidence = math.Log(h.prior) + logSum(h.fits)
	if h.log {
		h.evidence -= floats.Sum(h.values)
	}
	var predictor *field.Predictor
	for i, r := range h.roles {
		if r != roleFloor && r != roleBare {
			continue
		}
		if predictor == nil {
			predictor = h.factors.Predictor(best, h.values)
		}
		s := &e.sites[i]
		bound, sign := h.bound(i)
		mu, v := predictor.At(s.x, s.y)
		z := sign * (mu - bound) / math.Sqrt(v+h.floor.reading*h.floor.reading)
		h.evidence += math.Log(max(field.StudentCDF(z, best.DF), worst))
		if z < 0 {
			h.against = append(h.against, i)
		}
	}
	return true
}

// said returns the values as the factors take them.
func (h *hypothesis) said() field.Values {
	return field.Values{Y: h.values, ReadingVariance: h.variance}
}

// bound returns the value of the field that a site without a value bounds, from below
// (sign 1) or from above (-1).
func (h *hypothesis) bound(i int) (value, sign float64) {
	depth := h.floor.at[i]
	if h.roles[i] == roleFloor {
		return h.latent(depth + h.bank(depth)), 1
	}
	return h.latent(h.bank(depth)), -1
}

// settle gives the sites that contradict the field of the others the value of their
// bound and works the structures out again. The evidence stays that of the others and
// the bounds: likelihoods over different sites could not be compared.
func (h *hypothesis) settle(e *estimate) bool {
	if len(h.against) == 0 {
		return true
	}
	h.used = append(slices.Clone(h.used), h.against...)
	for _, i := range h.against {
		v, _ := h.bound(i)
		h.values = append(h.values, v)
	}
	h.factors = e.factorsOf(h.used)
	h.fits = h.factors.Fits(0, h.said())[0]
	_, ok := field.Best(h.fits)
	return ok
}

// tails returns the degrees of freedom that the variance of a stretched field has by the
// scores of the sites: 2 n / (k - 1) with their kurtosis k, since the variance of a sample
// variance is (k - 1) / n of its square. A ridge is rough along one line and smooth
// elsewhere, and all that is missed of it lies on that line. They are infinite where
// scores of a normal distribution are as likely: k within two standard deviations, 2
// sqrt(24 / n), of 3.
func (h *hypothesis) tails() float64 {
	best, _ := field.Best(h.fits)
	if h.factors.Structures[best.Structure].Metric == field.Isotropic {
		return math.Inf(1)
	}
	var s2, s4 float64
	scores := h.factors.Scores(best, h.values)
	n := float64(len(scores))
	for _, z := range scores {
		s2 += z * z / n
		s4 += z * z * z * z / n
	}
	k := s4 / (s2 * s2)
	if !(k > 3+2*math.Sqrt(24/n)) {
		return math.Inf(1)
	}
	return max(3, 2*n/(k-1))
}

// logSum returns the logarithm of the summed likelihoods.
func logSum(fits []field.Fit) float64 {
	best, ok := field.Best(fits)
	if !ok {
		return math.Inf(-1)
	}
	var sum float64
	for _, f := range fits {
		if f.OK {
			sum += math.Exp(f.LogLikelihood - best.LogLikelihood)
		}
	}
	return best.LogLikelihood + math.Log(sum)
}

// sharedFactors are factored covariances of the sites named.
type sharedFactors struct {
	sites   []int
	factors *field.Factors
	onward  bool // from those of other sites
}

// factorsOf returns the factored covariances of the sites named, which most
// hypotheses share. Sites that begin like others go on from there.
func (e *estimate) factorsOf(index []int) *field.Factors {
	common, like := 0, 0
	for k := range e.factors {
		f := &e.factors[k]
		n := 0
		for n < min(len(index), len(f.sites)) && index[n] == f.sites[n] {
			n++
		}
		if n == len(index) && n == len(f.sites) {
			return f.factors
		}
		if n > common && !f.onward {
			common, like = n, k
		}
	}
	var s field.Sites
	s.X, s.Y, s.Readings = make([]float64, len(index)), make([]float64, len(index)), make([]float64, len(index))
	for k, i := range index {
		s.X[k], s.Y[k], s.Readings[k] = e.sites[i].x, e.sites[i].y, e.sites[i].readings
	}
	var f *field.Factors
	if common > 0 {
		f = e.factors[like].factors.With(s, common)
	} else {
		f = field.NewFactors(s, e.structures)
	}
	e.factors = append(e.factors, sharedFactors{index, f, common > 0})
	return f
}
