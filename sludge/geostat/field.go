package geostat

import (
	"cmp"
	"context"
	"math"
	"slices"

	"example.org/earthbasin/sludge/internal/field"
	"example.org/earthbasin/sludge/internal/outline"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// FieldSpec is samples of a field of which nothing is known but that it is alike at
// places that are near to each other.
type FieldSpec struct {
	Samples []Sample `json:"samples"` // 4 to MaxField; readings at one place count as many readings of it
	// ReadingSD is the error of a reading, standard deviation, 0 to 1000 m; 0 where nobody
	// knows it.
	ReadingSD  units.Length `json:"readingSD,omitempty"`
	Confidence float64      `json:"confidence"` // of the intervals, two-sided, 0.001 to 0.999999
}

// MaxField is the most samples of a [Field], whose cost goes with their third power.
const MaxField = 400

// Field estimates values between samples when the covariance is not known: it tries
// three degrees of smoothness, eight ranges and four to six shares of the nugget (down to
// 0.01 for a rough field, 0.0001 for a smooth one), and weighs each by how likely the samples are under it, mean and variance integrated out. An
// estimate is the mixture of the t distributions of all of them, so that its interval
// holds what is not known of the covariance, which kriging with a fitted model leaves
// out (B. P. Kitanidis, Parameter uncertainty in estimation of spatial functions:
// Bayesian analysis, Water Resources Research 22, 1986, from memory; the likelihood is
// held against the R package fields). It is safe for concurrent use.
type Field struct {
	spec    FieldSpec
	sites   field.Sites
	y       []float64
	fits    []*field.Predictor // that matter
	weights []float64          // of fits, adding up to 1
}

// The structures that are tried: ranges from half of the mean spacing of the places to
// twice their extent.
const (
	fieldRanges  = 8
	leastWeight  = 1e-4 // of the likeliest; what is below does not show
	fieldPoints  = 400  // that stand for a block when no step is told
	mostPoints   = 2000 // whose pairs keep an area within seconds
	maxReadingSD = 1000 * units.Metre
)

// FieldEstimate is what the samples say of a place or an area.
type FieldEstimate struct {
	Value    units.Length              `json:"value"`    // mean of the mixture
	SD       units.Length              `json:"sd"`       // of the mixture
	Interval units.Range[units.Length] `json:"interval"` // at the confidence of the spec, an equal share beyond each end
}

// FieldStructure is one covariance of a [Field] with its weight.
type FieldStructure struct {
	Smoothness float64      `json:"smoothness"` // order of the Matern correlation: 0.5, 1.5 or 2.5
	Range      units.Length `json:"range"`      // at which the correlation is 0.05
	Nugget     float64      `json:"nugget"`     // share of the variance, 0 to 1
	SD         units.Length `json:"sd"`         // of the field, its nugget in it
	Weight     float64      `json:"weight"`     // all add up to 1
}

// NewField checks the spec and weighs the structures. Faults are on samples, readingSD
// and confidence. It ends with the error of ctx when that is done.
func NewField(ctx context.Context, spec FieldSpec) (*Field, error) {
	var f units.Faults
	checkSamples(&f, spec.Samples, 4)
	if len(spec.Samples) > MaxField {
		f.Count("samples", len(spec.Samples), "samples", "at most %v; Thin averages them over cells", MaxField)
	}
	f.Between("readingSD", spec.ReadingSD, units.Length(0), maxReadingSD)
	f.Confidence("confidence", spec.Confidence)
	if err := f.Err(); err != nil {
		return nil, err
	}
	k := &Field{spec: spec}
	k.sites = k.merge(spec.Samples)
	if len(k.y) < 4 {
		f.Count("samples", len(k.y), "places", "%v or more that differ", 4)
		return nil, f.Err()
	}
	var places plane.Polygon
	for _, s := range spec.Samples {
		places = append(places, s.At)
	}
	low, high := places.Bounds()
	width, height := float64(high.X-low.X), float64(high.Y-low.Y)
	extent := math.Hypot(width, height)
	spacing := math.Sqrt(max(width*height, extent*extent/1e4) / float64(len(k.y)))
	structures := field.UsualGrid(field.Geometric(spacing/2, 2*extent, fieldRanges))
	// A few structures at a time, so that the end of ctx is noticed.
	const step = 12
	var factors *field.Factors
	for at := 0; at < len(structures); at += step {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if more := structures[at:min(at+step, len(structures))]; factors == nil {
			factors = field.NewFactors(k.sites, more)
		} else {
			factors.Extend(more)
		}
	}
	k.weigh(factors)
	if len(k.fits) == 0 {
		f.Say("samples", "places and values that no covariance fits", "values within the range of lengths")
		return nil, f.Err()
	}
	return k, nil
}

// merge makes one site of the samples at one place and sets the means of the sites.
func (k *Field) merge(samples []Sample) field.Sites {
	var s field.Sites
	index := map[plane.Point]int{}
	for _, p := range samples {
		i, ok := index[p.At]
		if !ok {
			i = len(k.y)
			index[p.At] = i
			o := p.At.Sub(samples[0].At)
			s.X, s.Y, s.Readings, k.y = append(s.X, float64(o.X)), append(s.Y, float64(o.Y)), append(s.Readings, 0), append(k.y, 0)
		}
		s.Readings[i]++
		k.y[i] += (float64(p.Value) - k.y[i]) / s.Readings[i]
	}
	return s
}

// weigh keeps the structures that matter, with their weights.
func (k *Field) weigh(factors *field.Factors) {
	variance := float64(k.spec.ReadingSD) * float64(k.spec.ReadingSD)
	fits := factors.Fits(0, field.Values{Y: k.y, ReadingVariance: variance})[0]
	best, ok := field.Best(fits)
	if !ok {
		return
	}
	sum := 0.0
	for _, f := range fits {
		w := math.Exp(f.LogLikelihood - best.LogLikelihood)
		if !f.OK || !(w >= leastWeight) {
			continue
		}
		k.fits, k.weights = append(k.fits, factors.Predictor(f, k.y)), append(k.weights, w)
		sum += w
	}
	for i := range k.weights {
		k.weights[i] /= sum
	}
}

// Structures returns the covariances that matter, the weightiest first.
func (k *Field) Structures() []FieldStructure {
	var list []FieldStructure
	for i, f := range k.fits {
		st := f.Structure
		list = append(list, FieldStructure{0.5 + float64(st.Family), units.Length(st.Range), st.Share, units.Length(math.Sqrt(f.Fit.Sigma2)), k.weights[i]})
	}
	slices.SortStableFunc(list, func(a, b FieldStructure) int { return cmp.Compare(b.Weight, a.Weight) })
	return list
}

// checkUsable records a fault when k was not made by [NewField].
func (k *Field) checkUsable(f *units.Faults) {
	if k == nil || len(k.fits) == 0 {
		f.Missing("field", "a field made by NewField")
	}
}

// At returns what a reading at p would show. Faults are on p.
func (k *Field) At(p plane.Point) (FieldEstimate, error) {
	var f units.Faults
	k.checkUsable(&f)
	outline.CheckPlace(&f, "", p)
	if err := f.Err(); err != nil {
		return FieldEstimate{}, err
	}
	o := p.Sub(k.spec.Samples[0].At)
	return k.mixed(func(f *field.Predictor) (mean, variance float64) {
		return f.At(float64(o.X), float64(o.Y))
	}), nil
}

// Mean returns the mean over an area, a line or points, the nugget left out. Without a
// step some 400 points stand for an area or a line; a finer step costs with the square of the
// points. Faults are those of [Kriging.Block], and more than 2000 points.
func (k *Field) Mean(ctx context.Context, spec BlockSpec) (FieldEstimate, error) {
	var f units.Faults
	if k.checkUsable(&f); f.Err() != nil {
		return FieldEstimate{}, f.Err()
	}
	switch {
	case spec.Step != 0:
	case len(spec.Line) > 1:
		for i := range spec.Line[1:] {
			spec.Step += spec.Line[i].Distance(spec.Line[i+1]) / fieldPoints
		}
	case len(spec.Boundary) > 0:
		spec.Step = units.Length(math.Sqrt(math.Abs(float64(spec.Boundary.SignedArea())) / fieldPoints))
	}
	nodes, _, err := spec.nodes()
	if err != nil {
		return FieldEstimate{}, err
	}
	if n := len(nodes.at); n > mostPoints {
		f.Count("step", n, "points", "at most %v", mostPoints)
		return FieldEstimate{}, f.Err()
	}
	x, y := make([]float64, len(nodes.at)), make([]float64, len(nodes.at))
	for i, p := range nodes.at {
		o := p.Sub(k.spec.Samples[0].At)
		x[i], y[i] = float64(o.X), float64(o.Y)
	}
	e := k.mixed(func(f *field.Predictor) (mean, variance float64) {
		if ctx.Err() != nil {
			return 0, 0
		}
		st := f.Structure
		r, one := make([]float64, len(k.y)), make([]float64, len(k.y))
		own := 0.0
		for i := range x {
			w := nodes.weight[i]
			st.Correlations(one, k.sites, x[i], y[i])
			for j := range r {
				r[j] += w * one[j]
			}
			own += w * w * st.Between(0, 0)
			for j := range i {
				own += 2 * w * nodes.weight[j] * st.Between(x[i]-x[j], y[i]-y[j])
			}
		}
		return f.Linear(r, own)
	})
	return e, ctx.Err()
}

// mixed puts the t distributions of all structures together.
func (k *Field) mixed(of func(*field.Predictor) (mean, variance float64)) FieldEstimate {
	m := make(field.Mixture, len(k.fits))
	low, high := math.Inf(1), math.Inf(-1)
	for i, f := range k.fits {
		mean, variance := of(f)
		sd := math.Sqrt(max(0, variance))
		m[i] = field.Part{Weight: k.weights[i], Value: mean, Scale: sd, DF: len(k.y) - 1}
		low, high = min(low, mean-1e3*sd), max(high, mean+1e3*sd)
	}
	tail := (1 - k.spec.Confidence) / 2
	return FieldEstimate{
		Value: units.Length(m.Mean()), SD: units.Length(m.SD()),
		Interval: units.Range[units.Length]{Low: units.Length(m.Quantile(tail, low, high)), High: units.Length(m.Quantile(1-tail, low, high))},
	}
}

// Working returns the lines that show what the field rests on.
func (k *Field) Working() units.Working {
	var w units.Working
	w.Add("samples", len(k.spec.Samples), "at %v places", len(k.y))
	for _, s := range k.Structures()[:min(5, len(k.fits))] {
		w.Add("range", s.Range, "smoothness %v, nugget %v of the variance, weight %v", s.Smoothness, units.Share(s.Nugget), units.Share(s.Weight))
	}
	w.Add("structures", len(k.fits), "that weigh %v or more of the likeliest", leastWeight)
	return w
}

// String returns the working as a table.
func (k *Field) String() string { return k.Working().String() }
