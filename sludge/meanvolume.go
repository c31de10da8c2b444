package sludge

import (
	"context"

	"example.org/earthbasin/sludge/geostat"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// MeanVolumeSpec asks for the volume by a mean of the soundings, as the plain sheet has
// it.
type MeanVolumeSpec struct {
	BankRule   BankRule          `json:"bankRule"`   // level or draped: what the mean is of, see [Survey.Uncut]
	Weighting  geostat.Weighting `json:"weighting"`  // zero value: equal
	Confidence float64           `json:"confidence"` // two-sided, 0.001 to 0.999999
}

// MeanVolumeResult is the volume under the mean, cut at floor and banks.
type MeanVolumeResult struct {
	// Mean is of the uncut soundings; its own volume is not cut.
	Mean   geostat.MeanResult  `json:"mean"`
	Volume SurfaceVolumeResult `json:"volume"` // under the mean
	// Interval is the volume under the ends of the interval of the mean, 0 or more; nil
	// for 1 sounding.
	Interval *units.Range[units.Volume] `json:"interval,omitempty"`
}

// MeanVolume returns the volume of a layer that is everywhere as high as the mean of the
// uncut soundings, cut at the same floor and banks as every other volume. Its interval
// is that of [geostat.Mean], for places chosen at random: wider than that of
// [VolumeWithInterval], which knows that places near each other are alike. Faults are on
// survey, bankRule, weighting and confidence; it ends with the error of ctx when that
// is done.
func MeanVolume(ctx context.Context, s *Survey, spec MeanVolumeSpec) (MeanVolumeResult, error) {
	u, err := s.Uncut(ctx, spec.BankRule)
	if err != nil {
		return MeanVolumeResult{}, err
	}
	boundary, islands := u.Boundary()
	mean, err := geostat.Mean(geostat.MeanSpec{Samples: u.Samples(), Boundary: boundary, Islands: islands, Weighting: spec.Weighting, Confidence: spec.Confidence})
	if err != nil {
		return MeanVolumeResult{}, err
	}
	under := func(height units.Length) (SurfaceVolumeResult, error) {
		return SurfaceVolume(ctx, u, SurfaceVolumeSpec{Surface: SurfaceFunc(func(plane.Point) (units.Length, bool) { return height, true })})
	}
	r := MeanVolumeResult{Mean: mean}
	if r.Volume, err = under(mean.Mean); err != nil || mean.Interval == nil {
		return r, err
	}
	low, err := under(mean.Interval.Low)
	if err != nil {
		return MeanVolumeResult{}, err
	}
	high, err := under(mean.Interval.High)
	if err != nil {
		return MeanVolumeResult{}, err
	}
	r.Interval = &units.Range[units.Volume]{Low: low.Volume, High: high.Volume}
	return r, nil
}

// Working returns the mean and what the floor leaves of its volume.
func (r MeanVolumeResult) Working() units.Working {
	var w units.Working
	w.Add("mean of the uncut soundings", r.Mean.Mean, "%v soundings, %v weights", r.Mean.N, r.Mean.Weighting)
	w.Add("volume", r.Volume.Volume, "under the mean, cut at floor and banks")
	if r.Interval != nil {
		w.Add("low", r.Interval.Low, "%v %% interval of the mean", 100*r.Mean.Confidence)
		w.Add("high", r.Interval.High, "%v %% interval of the mean", 100*r.Mean.Confidence)
	}
	for _, n := range r.Volume.Notes {
		w.Put(units.Words("note"), "", n)
	}
	return w
}

// String returns the working as a table.
func (r MeanVolumeResult) String() string { return r.Working().String() }
