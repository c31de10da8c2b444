package geostat

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"example.org/earthbasin/sludge/internal/outline"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/units/sample"
)

// Weighting says how much each sample counts in a mean.
type Weighting = units.Enum[weightingWords]

const (
	// WeightingEqual, "equal", counts each sample once. It is right for places chosen at
	// random or on a regular grid.
	WeightingEqual Weighting = iota
	// WeightingArea, "area", counts each sample with the part of the area that lies nearer
	// to it than to any other (Voronoi cell). It mends a mean over places that
	// crowd where the sludge looked deep.
	WeightingArea
)

var weightingNames = units.Names{"equal", "area"}

type weightingWords struct{}

func (weightingWords) Names() units.Names { return weightingNames }

// MeanSpec is what a design-based mean is made of.
type MeanSpec struct {
	Samples    []Sample        `json:"samples"`           // 1 or more
	Boundary   plane.Polygon   `json:"boundary"`          // of the area, a simple polygon
	Islands    []plane.Polygon `json:"islands,omitempty"` // inside the boundary, without sludge
	Weighting  Weighting       `json:"weighting"`         // zero value: equal
	Confidence float64         `json:"confidence"`        // two-sided, 0.001 to 0.999999, such as 0.95
}

// MeanResult is a design-based mean and the volume that follows from it. One sample
// has no spread: its SD, Error, T and Upper are 0 and its intervals missing.
type MeanResult struct {
	Weighting  Weighting                  `json:"weighting"`          // as asked for
	N          int                        `json:"n"`                  // samples
	Mean       units.Length               `json:"mean"`               // by the weighting
	SD         units.Length               `json:"sd"`                 // of the samples, n - 1
	Error      units.Length               `json:"error"`              // standard error of the mean
	Confidence float64                    `json:"confidence"`         // of Interval and Upper, as given
	T          float64                    `json:"t"`                  // two-sided quantile at n - 1
	Interval   *units.Range[units.Length] `json:"interval,omitempty"` // two-sided, Mean -+ T x Error
	Upper      units.Length               `json:"upper"`              // one-sided upper bound at the same confidence

	Area           units.Area                 `json:"area"`                     // inside the boundary less the islands
	Volume         units.Volume               `json:"volume"`                   // Area x Mean
	VolumeInterval *units.Range[units.Volume] `json:"volumeInterval,omitempty"` // Area x Interval; below 0 where that is

	Shares []float64 `json:"shares,omitempty"` // of the area, by sample, with area weighting
}

// Mean returns the mean of the samples over an area with the t interval
// m -+ t(1-(1-confidence)/2, n-1) s/sqrt(n), the one-sided upper bound
// m + t(confidence, n-1) s/sqrt(n), and both times the area. (Quarterly Journal of
// Engineering Geology and Hydrogeology, after CLR 7, 2002, table 2, whose print
// has lost the root over n.) The samples are a sample of a surface, not of a finite
// population: there is no correction for the share sampled.
//
// With equal weights the interval holds for places chosen at random, about for a
// regular grid, and not at all for places that were chosen because they looked
// deep. With area weights w the standard error is
// sqrt(n/(n-1) sum w^2 (z - m)^2), which is s/sqrt(n) when all are equal: a rough
// figure (common practice, no source), for which [Kriging.Block] is the better
// answer.
func Mean(spec MeanSpec) (MeanResult, error) {
	var f units.Faults
	checkSamples(&f, spec.Samples, 1)
	area, err := outline.Check(spec.Boundary, spec.Islands)
	f.Sub("", err)
	if !weightingNames.Has(int(spec.Weighting)) {
		f.Add("weighting", int(spec.Weighting), weightingNames.Want())
	}
	f.Confidence("confidence", spec.Confidence)
	if err := f.Err(); err != nil {
		return MeanResult{}, err
	}
	n := len(spec.Samples)
	z, w := make([]float64, n), make([]float64, n)
	for i, s := range spec.Samples {
		z[i], w[i] = float64(s.Value), 1/float64(n)
	}
	r := MeanResult{Weighting: spec.Weighting, N: n, Confidence: spec.Confidence, Area: area}
	if spec.Weighting == WeightingArea {
		w = voronoiShares(spec.Samples, spec.Boundary, spec.Islands)
		r.Shares = w
	}
	plain, err := sample.Summarize(z, spec.Confidence)
	if err != nil {
		return MeanResult{}, err
	}
	mean := plain.Mean
	if spec.Weighting == WeightingArea {
		mean = z[0]
		for i := range z {
			mean += w[i] * (z[i] - z[0]) // equal values stay exactly equal
		}
	}
	r.Mean, r.Volume = units.Length(mean), area.Times(units.Length(mean))
	if n == 1 {
		return r, nil
	}
	var sum float64
	for i := range z {
		sum += w[i] * w[i] * (z[i] - mean) * (z[i] - mean)
	}
	r.SD = units.Length(plain.SD)
	r.Error = units.Length(math.Sqrt(float64(n) / float64(n-1) * sum))
	r.T = plain.T
	r.Interval = new(about(r.Mean, units.Length(r.T)*r.Error))
	r.VolumeInterval = new(timesArea(*r.Interval, area))
	one := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(n - 1)}.Quantile(spec.Confidence)
	r.Upper = r.Mean + units.Length(one)*r.Error
	return r, nil
}

// Needed returns how many samples bring the half-width of the interval down to the
// given length, if they scatter as these do: the least n with t(n-1) s/sqrt(n) <=
// half. Half is above 0; a half-width that asks for more than
// [sample.MaxNeeded] samples, and a result without spread, are errors.
func (r MeanResult) Needed(half units.Length) (int, error) {
	var f units.Faults
	f.Between("half", half, units.MinLength, units.MaxCoordinate)
	if r.Interval == nil {
		f.Add("n", r.N, "2 or more samples")
	}
	if err := f.Err(); err != nil {
		return 0, err
	}
	if r.SD == 0 {
		return 2, nil
	}
	n, err := sample.Needed(1, float64(half/r.SD), r.Confidence)
	if err != nil {
		f.Add("half", half, "a half-width that %v samples can reach", sample.MaxNeeded)
	}
	return n, f.Err()
}

// Working returns the lines of the computation.
func (r MeanResult) Working() units.Working {
	var w units.Working
	w.Add("samples", r.N, "%v weights", r.Weighting)
	w.Add("mean", r.Mean, "")
	w.Add("area", r.Area, "inside the boundary less islands")
	w.Add("volume", r.Volume, "area x mean")
	if r.VolumeInterval != nil {
		w.Add("standard deviation", r.SD, "n - 1")
		w.Add("standard error", r.Error, "")
		w.Add("t", units.Words("%.4f", r.T), "%v %%, %v degrees of freedom", 100*r.Confidence, r.N-1)
		w.Add("volume, low", r.VolumeInterval.Low, "area x (mean - t x error)")
		w.Add("volume, high", r.VolumeInterval.High, "area x (mean + t x error)")
	}
	return w
}

// String returns the working as a table.
func (r MeanResult) String() string { return r.Working().String() }

// about returns the interval of half-width half around a middle.
func about[Q ~float64](middle, half Q) units.Range[Q] {
	return units.Range[Q]{Low: middle - half, High: middle + half}
}

func timesArea(r units.Range[units.Length], a units.Area) units.Range[units.Volume] {
	return units.Range[units.Volume]{Low: a.Times(r.Low), High: a.Times(r.High)}
}
