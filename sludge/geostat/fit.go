package geostat

import (
	"slices"

	"example.org/earthbasin/units"
)

// FitWeights says what the squared deviations of a fit are weighted with. N is
// the number of pairs of a class, h its distance, g its empirical semivariance
// and G the model's. The answers differ: name the weights beside the model.
type FitWeights = units.Enum[weightsWords]

const (
	WeightsCressie      FitWeights = iota // "Cressie": minimises the sum of N (g/G - 1)^2
	WeightsIterated                       // "Cressie iterated": N/G^2 with G from the fit before, iterated until it stands still
	WeightsOverDistance                   // "N/h2": N/h^2, supported by practice more than by theory
	WeightsOverGamma                      // "N/g2": N/g^2; a class with g = 0 does not count
	WeightsPairs                          // "N"
	WeightsEqual                          // "equal": 1
)

var weightsNames = units.Names{"Cressie", "Cressie iterated", "N/h2", "N/g2", "N", "equal"}

type weightsWords struct{}

func (weightsWords) Names() units.Names { return weightsNames }

// FitStatus says whether a fitted model may be trusted. Only [FitUsable] may be
// kriged with; for the others the design-based mean ([Mean]) is the answer
// to fall back on.
type FitStatus = units.Enum[statusWords]

const (
	FitUsable      FitStatus = iota // "usable": a structure within the reach of the data
	FitTooFew                       // "too few pairs": too few classes with enough pairs for the parameters
	FitFlat                         // "flat": all semivariances are zero: a constant surface
	FitPureNugget                   // "pure nugget": no structure at the distances of the data
	FitBeyondRange                  // "range beyond the data": the effective range is longer than the data reach: a trend, the sill is a guess
)

var statusNames = units.Names{"usable", "too few pairs", "flat", "pure nugget", "range beyond the data"}

type statusWords struct{}

func (statusWords) Names() units.Names { return statusNames }

// FitSpec says how a model is fitted to an empirical variogram.
type FitSpec struct {
	Variogram VariogramResult `json:"variogram,omitzero"` // empirical, of [Variogram]
	Shape     Shape           `json:"shape"`              // zero value: spherical
	RangeAs   RangeKind       `json:"rangeAs"`            // of the model that comes back; zero value: plain
	Weights   FitWeights      `json:"weights"`            // zero value: Cressie
	NoNugget  bool            `json:"noNugget"`           // the nugget is held at zero, else it is fitted and 0 or more
	MinPairs  int             `json:"minPairs"`           // pairs a class needs to take part, 0: 1
}

// FitResult is a fitted model with what is needed to judge it.
type FitResult struct {
	Model     Model        `json:"model"`        // zero when Status is too few or flat
	Weights   FitWeights   `json:"weights"`      // of the squared deviations, as asked for
	Status    FitStatus    `json:"status"`       // whether the model may be used
	Why       units.Phrase `json:"why,omitzero"` // the reason when Status is not usable
	Objective float64      `json:"objective"`    // weighted sum of squares at the minimum: a plain number with Cressie weights
	AtZero    bool         `json:"atZero"`       // the nugget would have come out negative and was held at zero
	Classes   []FitClass   `json:"classes"`      // those that took part
	Sparse    int          `json:"sparse"`       // of these, classes with fewer than 30 pairs, the least that is commonly trusted (common practice, no source)
	MaxReach  units.Length `json:"maxReach"`     // of the data: the diagonal of the box around the samples
}

// fewPairs is the number of pairs that a class should have, and below which all
// classes together are too few (common practice, no source).
const fewPairs = 30

// FitClass is a class of the variogram beside the fitted model.
type FitClass struct {
	LagClass
	Model units.Area `json:"model"` // semivariance of the model at Distance
}

// Fit fits a model by weighted least squares. For each range the best nugget and
// sill, neither below zero, are found in closed form (Cressie weights: along one
// line), and the range is searched over the whole reach of the data, so that the
// answer is the least-squares minimum and needs no start values. A fit that
// nothing should be built on is no error but has a Status that says so.
//
// Weights: Cressie's are those of Fitting variogram models by weighted least
// squares, Mathematical Geology 17, 1985 (formula from memory, confirmed by
// published fits); the others are those of the common open libraries.
func Fit(spec FitSpec) (FitResult, error) {
	r := FitResult{Weights: spec.Weights, MaxReach: spec.Variogram.MaxDistance}
	p, err := newFitProblem(spec)
	if err != nil {
		return FitResult{}, err
	}
	r.Classes = p.classes
	least := 4
	if spec.NoNugget {
		least = 3
	}
	pairs := 0
	for _, c := range r.Classes {
		pairs += c.Pairs
		if c.Pairs < fewPairs {
			r.Sparse++
		}
	}
	switch flat := !slices.ContainsFunc(p.g, func(g float64) bool { return g > 0 }); {
	case len(p.g) > 0 && flat:
		r.Status = FitFlat
		r.Why = units.Words("all semivariances are zero: the values are one constant and have no variogram")
		return r, nil
	case len(p.g) < least:
		r.Status = FitTooFew
		r.Why = units.Words("%v classes with enough pairs, the fit needs %v", len(p.g), least)
		return r, nil
	}
	if pairs < fewPairs {
		r.Status = FitTooFew
		r.Why = units.Words("%v pairs in all, fewer than the %v that a single class should have", pairs, fewPairs)
		return r, nil
	}
	best := p.minimum()
	if spec.Weights == WeightsIterated {
		best = p.iterated(best)
	}
	// A structure that gains nothing over a nugget is none.
	if c := p.constant(); !spec.NoNugget && c.objective <= best.objective*(1+1e-9)+1e-12*p.scale() {
		best = c
	}
	r.Objective = best.objective
	r.AtZero = !spec.NoNugget && best.nugget == 0
	r.Model = Model{Shape: spec.Shape, RangeAs: spec.RangeAs, Nugget: units.Area(best.nugget),
		Sill: units.Area(best.sill), Range: units.Length(best.plain)}
	if spec.RangeAs == RangeEffective {
		r.Model.Range *= effectiveOf(spec.Shape)
	}
	for i := range r.Classes {
		r.Classes[i].Model = units.Area(best.gamma(p.structure(best.plain), i))
	}
	r.judge()
	return r, nil
}

// judge sets the status from the model found.
func (r *FitResult) judge() {
	reach := r.Model.EffectiveRange()
	switch {
	case r.Model.Sill <= 1e-6*r.Model.Nugget:
		r.Status = FitPureNugget
		r.Why = units.Words("the semivariance does not grow with distance")
	case reach < r.Classes[0].Distance:
		r.Status = FitPureNugget
		r.Why = units.Words("the structure ends at %v, before the first class at %v", reach, r.Classes[0].Distance)
	case reach > r.MaxReach:
		r.Status = FitBeyondRange
		r.Why = units.Words("the effective range of %v is longer than the %v that the data reach: there may be a trend", reach, r.MaxReach)
	}
}

// Working returns the model and the quality of the fit.
func (r FitResult) Working() units.Working {
	var w units.Working
	w.Put(units.Words("fit"), r.Status, r.Why)
	w.Add("weights", r.Weights, "%v classes, %v of them with fewer than %v pairs", len(r.Classes), r.Sparse, fewPairs)
	if r.Status != FitTooFew && r.Status != FitFlat {
		w = append(w, r.Model.Working()...)
	}
	return w
}

// String returns the working as a table.
func (r FitResult) String() string { return r.Working().String() }

// fitProblem is a fit in plain SI numbers.
type fitProblem struct {
	shape    Shape
	weights  FitWeights
	noNugget bool
	classes  []FitClass
	h, g     []float64
	pairs    []float64
	w        []float64 // of the squared deviations; unused by WeightsCressie
	s        []float64 // room for structure
	near     float64   // tolerance of the search for the share of the nugget
}

func newFitProblem(spec FitSpec) (*fitProblem, error) {
	var f units.Faults
	if !shapeNames.Has(int(spec.Shape)) {
		f.Add("shape", int(spec.Shape), shapeNames.Want())
	}
	if !rangeNames.Has(int(spec.RangeAs)) {
		f.Add("rangeAs", int(spec.RangeAs), rangeNames.Want())
	}
	if !weightsNames.Has(int(spec.Weights)) {
		f.Add("weights", int(spec.Weights), weightsNames.Want())
	}
	f.NumberBetween("minPairs", float64(spec.MinPairs), 0, 1e9)
	var inner units.Faults
	spec.Variogram.check(&inner)
	f.Sub("variogram", inner.Err())
	p := &fitProblem{shape: spec.Shape, weights: spec.Weights, noNugget: spec.NoNugget}
	for _, c := range spec.Variogram.Classes {
		p.add(c, spec.MinPairs)
	}
	return p, f.Err()
}

// add takes a class in and reports whether it takes part. Pairs at distance zero show
// the nugget but no model can be weighed there.
func (p *fitProblem) add(c LagClass, minPairs int) bool {
	if c.Pairs < max(1, minPairs) || c.Distance < units.Length(1e-9) {
		return false
	}
	n, h, g := float64(c.Pairs), float64(c.Distance), float64(c.Gamma)
	if c.Gamma < minSemivariance {
		g = 0
	}
	w := 1.0
	switch p.weights {
	case WeightsOverDistance:
		w = n / (h * h)
	case WeightsOverGamma, WeightsIterated: // where iterated weights begin
		w = n / (g * g)
		if g == 0 {
			w = 0
		}
	case WeightsPairs:
		w = n
	}
	p.classes = append(p.classes, FitClass{LagClass: c})
	p.pairs, p.h, p.g, p.w, p.s = append(p.pairs, n), append(p.h, h), append(p.g, g), append(p.w, w), append(p.s, 0)
	return true
}

// scale returns a size of the objective to hold rounding against: that of a
// deviation as large as the semivariances themselves.
func (p *fitProblem) scale() (sum float64) {
	for i, g := range p.g {
		if p.weights == WeightsCressie {
			sum += p.pairs[i]
		} else {
			sum += p.w[i] * g * g
		}
	}
	return sum
}
