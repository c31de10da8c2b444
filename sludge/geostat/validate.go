package geostat

import (
	"cmp"
	"context"
	"math"
	"slices"

	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/units"
)

// ValidationResult is a leave-one-out validation: each sample in turn is left out
// and estimated from the others by the same model. Errors are observed less
// predicted.
type ValidationResult struct {
	N         int                  `json:"n"`         // places
	MeanError units.Length         `json:"meanError"` // observed less predicted
	RMSE      units.Length         `json:"rmse"`      // root of the mean squared error
	MAE       units.Length         `json:"mae"`       // mean of the errors without their signs
	MSDR      float64              `json:"msdr"`      // mean of error squared over variance: 1 when the model says rightly how sure it is
	Left      []LeftOut            `json:"left"`      // by sample
	Verdict   MSDRVerdict          `json:"verdict"`   // on the MSDR
	Why       units.Phrase         `json:"why"`       // the verdict in words
	MSDRRange units.Range[float64] `json:"msdrRange"` // that counts as about 1: 1 -+ 3 sqrt(2/n)
}

// LeftOut is one sample of a validation.
type LeftOut struct {
	Sample   int          `json:"sample"`   // index in the samples of the spec; of the first at its place
	Observed units.Length `json:"observed"` // value of the sample
	Estimate Estimate     `json:"estimate"` // from the others
	Error    units.Length `json:"error"`    // observed less predicted
}

// MSDRVerdict says in which way an MSDR is off.
type MSDRVerdict = units.Enum[msdrWords]

const (
	MSDRFits    MSDRVerdict = iota // "fits": about 1: intervals are about right
	MSDRTooLow                     // "too low": the model is more careful than the values ask for: intervals are too wide
	MSDRTooHigh                    // "too high": the model is too sure: intervals are too narrow
)

var msdrNames = units.Names{"fits", "too low", "too high"}

type msdrWords struct{}

func (msdrWords) Names() units.Names { return msdrNames }

// Validate leaves out each place in turn. With all samples the errors come from
// one solved system: with P = C^-1 - u u'/(1'u), u = C^-1 1, the error at i is
// (P z)_i / P_ii and its variance 1/P_ii (Cross Validation of Kriging in a Unique
// Neighborhood, Mathematical Geology 15, 1983, from memory; the tests hold it
// against leaving out for real). With neighbours each is estimated from its
// nearest others. The measures are those of geostatistics handbooks: mean error,
// root mean square, mean absolute error and mean squared deviation ratio. Fewer
// than two places are an error on samples. It ends with the error of ctx when that is
// done.
func (k *Kriging) Validate(ctx context.Context) (ValidationResult, error) {
	var f units.Faults
	if k.checkUsable(&f); f.Err() != nil {
		return ValidationResult{}, f.Err()
	}
	n := len(k.samples)
	if n < 2 {
		f.Say("samples", "at one place", "samples at two places or more")
		return ValidationResult{}, f.Err()
	}
	if err := ctx.Err(); err != nil {
		return ValidationResult{}, err
	}
	var miss, variance []float64
	if k.all != nil {
		var err error
		if miss, variance, err = k.all.leaveOneOut(ctx); err != nil {
			return ValidationResult{}, err
		}
	} else {
		miss, variance = k.leaveEachOut(ctx)
	}
	if err := ctx.Err(); err != nil {
		return ValidationResult{}, err
	}
	for i := range variance { // places next to each other without a nugget
		variance[i] = max(variance[i], leastAdded*k.cov.zero())
	}
	r := ValidationResult{N: n}
	var sum, squares, absolute, ratio float64
	for i, e := range miss {
		sum += e
		squares += e * e
		absolute += math.Abs(e)
		ratio += e * e / variance[i]
		r.Left = append(r.Left, LeftOut{Sample: k.source[i], Observed: k.samples[i].Value,
			Estimate: estimateAt(k.z[i]-e, variance[i]), Error: units.Length(e)})
	}
	slices.SortFunc(r.Left, func(a, b LeftOut) int { return cmp.Compare(a.Sample, b.Sample) })
	count := float64(n)
	r.MeanError, r.RMSE, r.MAE = units.Length(sum/count), units.Length(math.Sqrt(squares/count)), units.Length(absolute/count)
	r.MSDR = ratio / count
	r.judge()
	return r, nil
}

// judge compares the MSDR with 1. The square of a standard normal error has the
// variance 2, so three standard deviations of the mean of n are 3 sqrt(2/n).
func (r *ValidationResult) judge() {
	half := 3 * math.Sqrt(2/float64(r.N))
	r.MSDRRange = units.Range[float64]{Low: max(0, 1-half), High: 1 + half}
	r.Why = units.Words("the errors are as large as the model expects (MSDR %.3g)", r.MSDR)
	switch {
	case r.MSDR > r.MSDRRange.High:
		r.Verdict = MSDRTooHigh
		r.Why = units.Words("the errors are %.3g times what the model expects: its intervals are too narrow", math.Sqrt(r.MSDR))
	case r.MSDR < r.MSDRRange.Low:
		r.Verdict = MSDRTooLow
		r.Why = units.Words("the errors are only %.3g times what the model expects: its intervals are too wide", math.Sqrt(r.MSDR))
	}
}

// Working returns the measures.
func (r ValidationResult) Working() units.Working {
	var w units.Working
	w.Add("places left out in turn", r.N, "")
	w.Add("mean error", r.MeanError, "observed less predicted")
	w.Add("root mean square error", r.RMSE, "")
	w.Add("mean absolute error", r.MAE, "")
	w.Put(units.Words("mean squared deviation ratio"), units.Words("%.3f", r.MSDR), r.Why)
	return w
}

// String returns the working as a table.
func (r ValidationResult) String() string { return r.Working().String() }

// leaveOneOut returns the errors and their variances when each sample of the
// system is left out, unless ctx ends before. The diagonal of C^-1 is the squared
// lengths of the columns of L^-1, which are solved a batch at a time.
func (s *system) leaveOneOut(ctx context.Context) (miss, variance []float64, err error) {
	n := s.matrix.N
	miss, variance = make([]float64, n), make([]float64, n)
	b := min(batch, (n+3)&^3)
	rows, live := make([]float64, n*b), make([]bool, n)
	for from := 0; from < n; from += b {
		if err := ctx.Err(); err != nil {
			return nil, nil, err
		}
		clear(rows)
		clear(live)
		to := min(n, from+b)
		for i := from; i < to; i++ {
			rows[i*b+i-from], live[i] = 1, true
		}
		s.forward(rows, b, live)
		for j := from; j < to; j++ {
			p := -s.u[j] * s.u[j] / s.s
			for r := j; r < n; r++ {
				p += rows[r*b+j-from] * rows[r*b+j-from]
			}
			miss[j], variance[j] = s.beta[j]/p, 1/p
		}
	}
	return miss, variance, nil
}

// leaveEachOut does the same by estimating each sample from its nearest others.
func (k *Kriging) leaveEachOut(ctx context.Context) (miss, variance []float64) {
	n := len(k.samples)
	count := k.k
	if k.all != nil {
		count = n - 1
	}
	s, index, distance := newSystem(count), make([]int32, count+1), make([]float64, count+1)
	c0 := make([]float64, count)
	for i := range n {
		if ctx.Err() != nil {
			return nil, nil
		}
		if k.all != nil {
			for j := range index {
				index[j] = int32(j)
			}
		} else {
			k.near.Find(mesh.Of(k.samples[i].At), index, distance)
		}
		others := slices.DeleteFunc(slices.Clone(index), func(j int32) bool { return int(j) == i })
		copy(s.index, others)
		s.solve(k)
		k.cov.row(c0, s.x, s.y, k.x[i], k.y[i])
		value, v := s.target(c0, k.cov.zero())
		miss, variance = append(miss, k.z[i]-value), append(variance, v)
	}
	return miss, variance
}

// Influence is what one sample does to the mean of an area: its leverage.
type Influence struct {
	Sample int          `json:"sample"` // index in the samples of the spec; of the first at its place
	Weight float64      `json:"weight"` // in the mean
	Change units.Length `json:"change"` // of the mean by the sample: the mean with it less the mean without it
	SD     units.Length `json:"sd"`     // of the mean without it
}

// Influences returns the leverage of each sample on the mean over an area, in the
// order of the samples. Leaving out sample i of weight w, whose leave-one-out
// error is e with variance v, changes the mean by w e and raises its variance by
// w^2 v. Faults are those of [Kriging.Block], and fewer than two places; it ends
// with the error of ctx when that is done.
func (k *Kriging) Influences(ctx context.Context, spec BlockSpec) ([]Influence, error) {
	b, err := k.Block(spec)
	if err != nil {
		return nil, err
	}
	var f units.Faults
	nodes, _, err := spec.nodes()
	if err != nil {
		return nil, err
	}
	s := k.systemAt(nodes.centre())
	if len(s.index) < 2 {
		f.Say("samples", "at one place", "samples at two places or more")
		return nil, f.Err()
	}
	miss, variance, err := s.leaveOneOut(ctx)
	if err != nil {
		return nil, err
	}
	list := make([]Influence, len(s.index))
	weight := map[int]float64{}
	for _, w := range b.Weights {
		weight[w.Sample] = w.Weight
	}
	for i, j := range s.index {
		w := weight[k.source[j]]
		sd := math.Sqrt(float64(b.SD)*float64(b.SD) + w*w*variance[i])
		list[i] = Influence{k.source[j], w, units.Length(w * miss[i]), units.Length(sd)}
	}
	slices.SortFunc(list, func(a, b Influence) int { return cmp.Compare(a.Sample, b.Sample) })
	return list, nil
}
