package sludge

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/sample"
)

// ContentsSpec is a volume that is not known for sure and samples of what is in it:
// solids, a nutrient, a metal.
type ContentsSpec struct {
	Volume units.Volume `json:"volume"` // above 0, at most 1e12 m3
	SD     units.Volume `json:"sd"`     // of the volume, 0 or more, at most ten times the volume; as in [VolumeResult]
	// Samples are the contents of samples of the whole depth at places chosen without
	// regard to what they hold, 2 or more, each 0 to 1e5 kg/m3.
	Samples    []units.Concentration `json:"samples"`
	Confidence float64               `json:"confidence"` // two-sided, 0.001 to 0.999999, such as 0.95
}

// ContentsResult is how much the volume holds.
type ContentsResult struct {
	Mass     units.Mass              `json:"mass"`     // volume x mean content
	SD       units.Mass              `json:"sd"`       // of the mass
	Interval units.Range[units.Mass] `json:"interval"` // above 0 where the mass is
	// Confidence is that of the interval, as asked for.
	Confidence  float64             `json:"confidence"`
	Mean        units.Concentration `json:"mean"`        // of the samples
	MeanSD      units.Concentration `json:"meanSD"`      // standard error of the mean
	DF          float64             `json:"df"`          // of the interval
	VolumeShare float64             `json:"volumeShare"` // of the variance, 0 to 1, that comes from the volume; the rest from the samples
}

// volumeDF is the number of degrees of freedom that the standard deviation of a
// volume counts for: it is that of a mixture of t over many covariances.
const volumeDF = 60

// Contents returns the mass that a volume holds, with an interval that knows both the
// doubt of the volume and that of the samples. The variance of the product of two
// independent figures is V^2 s^2 + c^2 S^2 + s^2 S^2 (L. A. Goodman, On the exact
// variance of products, Journal of the American Statistical Association 55, 1960, from
// memory), the degrees of freedom are those of Satterthwaite (An approximate
// distribution of estimates of variance components, Biometrics Bulletin 2, 1946, from
// memory) and the interval is symmetric on the logarithm, as neither figure can be
// below zero. Faults are on the fields of the spec.
func Contents(spec ContentsSpec) (ContentsResult, error) {
	var f units.Faults
	const mostVolume units.Volume = 1e12
	const mostContent units.Concentration = 1e5
	f.Positive("volume", spec.Volume)
	f.Between("volume", spec.Volume, units.Volume(0), mostVolume)
	f.Between("sd", spec.SD, units.Volume(0), max(0, 10*spec.Volume))
	if n := len(spec.Samples); n < 2 {
		f.Count("samples", n, "samples", "2 or more")
	}
	for i, c := range spec.Samples {
		at := f.At("samples", i)
		at.Between("", c, units.Concentration(0), mostContent)
	}
	f.Confidence("confidence", spec.Confidence)
	if err := f.Err(); err != nil {
		return ContentsResult{}, err
	}
	of, err := sample.Summarize(spec.Samples, spec.Confidence)
	if err != nil {
		return ContentsResult{}, err
	}
	n := float64(len(spec.Samples))
	v, sv := float64(spec.Volume), float64(spec.SD)
	c, sc := float64(of.Mean), float64(of.SD)/math.Sqrt(n)
	r := ContentsResult{Mass: units.Mass(v * c), Mean: of.Mean, MeanSD: units.Concentration(sc), Confidence: spec.Confidence, DF: volumeDF}
	fromVolume, fromSamples := c*c*sv*sv, v*v*sc*sc+sv*sv*sc*sc
	variance := fromVolume + fromSamples
	r.SD = units.Mass(math.Sqrt(variance))
	r.Interval = units.Point(r.Mass)
	if variance == 0 || c == 0 {
		return r, nil
	}
	r.VolumeShare = fromVolume / variance
	a, b := r.VolumeShare, 1-r.VolumeShare
	r.DF = 1 / (a*a/volumeDF + b*b/(n-1))
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: r.DF}.Quantile(0.5 + spec.Confidence/2)
	l := math.Log1p(variance / (v * v * c * c))
	middle, half := math.Log(v*c)-l/2, t*math.Sqrt(l)
	r.Interval = units.Range[units.Mass]{Low: units.Mass(math.Exp(middle - half)), High: units.Mass(math.Exp(middle + half))}
	return r, nil
}

// Working returns the lines of the computation.
func (r ContentsResult) Working() units.Working {
	var w units.Working
	w.Add("mean of the samples", r.Mean, "standard error %v", r.MeanSD)
	w.Add("mass", r.Mass, "volume x mean")
	w.Add("standard deviation", r.SD, "%.0f %% of the variance from the volume", 100*r.VolumeShare)
	how := units.Words("%v %% interval, %.1f degrees of freedom, on the logarithm", 100*r.Confidence, r.DF)
	w.Put(units.Words("low"), r.Interval.Low, how)
	w.Put(units.Words("high"), r.Interval.High, how)
	return w
}

// String returns the working as a table.
func (r ContentsResult) String() string { return r.Working().String() }
