package sludge

import (
	"fmt"

	"example.org/earthbasin/sludge/geostat"
	"example.org/earthbasin/sludge/internal/outline"
	"example.org/earthbasin/units"
)

// VolumeMethod is a way to a volume with an interval.
type VolumeMethod int

const (
	// MethodAuto takes block kriging when there are soundings enough and their
	// variogram can be fitted, and the design-based mean otherwise. The result says
	// which and why.
	MethodAuto VolumeMethod = iota
	// MethodKriging is block kriging; an error where no model can be fitted.
	MethodKriging
	// MethodDesign is the design-based mean ([geostat.Mean]) times the area.
	MethodDesign
)

var methodNames = units.Names{"auto", "block kriging", "design-based mean"}

// String returns the name of the method.
func (m VolumeMethod) String() string { return methodNames.String(int(m)) }

// MarshalText returns the name of the method.
func (m VolumeMethod) MarshalText() ([]byte, error) { return methodNames.Marshal(int(m)) }

// UnmarshalText sets m to the method of that name.
func (m *VolumeMethod) UnmarshalText(text []byte) error {
	return units.UnmarshalName(methodNames, text, m)
}

// Placement says how the places of the soundings were chosen.
type Placement int

const (
	// PlacementSpread is at random or on a regular grid: each part of the basin had
	// the same chance. The design-based mean counts each sounding once.
	PlacementSpread Placement = iota
	// PlacementChosen is by judgement, such as more soundings where the sludge looked
	// deep, or along a track. The design-based mean counts each sounding by the area
	// nearest to it, and its interval is rough.
	PlacementChosen
)

var placementNames = units.Names{"spread", "chosen"}

// String returns the name of the placement.
func (p Placement) String() string { return placementNames.String(int(p)) }

// MarshalText returns the name of the placement.
func (p Placement) MarshalText() ([]byte, error) { return placementNames.Marshal(int(p)) }

// UnmarshalText sets p to the placement of that name.
func (p *Placement) UnmarshalText(text []byte) error {
	return units.UnmarshalName(placementNames, text, p)
}

// KrigingFrom is the number of soundings from which [MethodAuto] kriges with a
// fitted model when the spec does not say: with fewer the variogram is a guess
// (common practice, no source).
const KrigingFrom = 20

// maxKriged is the number of samples above which soundings are averaged over
// cells before kriging.
const maxKriged = 1000

// VolumeSpec says how the volume of a survey is worked out.
type VolumeSpec struct {
	Confidence  float64               `json:"confidence"`    // two-sided, 0.01 to 0.9999, such as 0.95
	Method      VolumeMethod          `json:"method"`        // zero value: auto
	Placement   Placement             `json:"placement"`     // zero value: spread
	KrigingFrom int                   `json:"krigingFrom"`   // soundings from which auto kriges; 0: the constant KrigingFrom, or any number where a model is given
	Variogram   geostat.VariogramSpec `json:"variogram"`     // without samples. Zero value: equal classes up to half the diagonal of the box, as many as give 30 pairs each on average, 5 to 15 (common practice, no source)
	Fit         geostat.FitSpec       `json:"fit"`           // without a variogram
	Model       *geostat.Model        `json:"model"`         // used instead of a fitted one, for instance with anisotropy; nil: fit
	Step        units.Length          `json:"step"`          // between the points that stand for the area; 0: as gives about 1000; at most 10000 points where a floor cuts
	Edge        EdgeRule              `json:"edge,omitzero"` // of the triangulated surface that stands beside; unnamed: none
	Floor       Floor                 `json:"-"`             // the sludge is cut where it would be thicker than the depth to this floor, as on the banks; nil: only below zero
}

// VolumeResult is the volume of sludge with an interval, by the method that was
// used and by the others for comparison.
type VolumeResult struct {
	Used        VolumeMethod              `json:"used"`             // block kriging or design-based mean
	Why         string                    `json:"why"`              // it was used
	Volume      units.Volume              `json:"volume"`           // by the method used
	HasInterval bool                      `json:"hasInterval"`      // false with a single sounding
	SD          units.Volume              `json:"sd"`               // of Volume, by the method used
	Interval    units.Range[units.Volume] `json:"interval"`         // never below zero
	Confidence  float64                   `json:"confidence"`       // of the interval, as given
	Area        units.Area                `json:"area"`             // inside the boundary less the islands
	Mean        units.Length              `json:"mean"`             // volume over area
	Design      geostat.MeanResult        `json:"design"`           // always
	Kriged      *KrigedVolume             `json:"kriged,omitempty"` // nil when it was not tried or the fit does not allow it
	Fit         *geostat.FitResult        `json:"fit,omitempty"`    // nil when no model was fitted
	TIN         *TINVolume                `json:"tin,omitempty"`    // nil without an edge rule
	Notes       []string                  `json:"notes,omitempty"`  // what to doubt
}

// KrigedVolume is the volume by block kriging.
type KrigedVolume struct {
	Model      geostat.Model             `json:"model"`                // that was kriged with
	Variogram  *geostat.VariogramResult  `json:"variogram,omitempty"`  // that the model was fitted to
	Block      geostat.BlockResult       `json:"block"`                // of the whole area, before any cut
	Volume     units.Volume              `json:"volume"`               // area x block mean, cut
	SD         units.Volume              `json:"sd"`                   // of the part that is not cut
	Z          float64                   `json:"z"`                    // two-sided normal quantile
	Interval   units.Range[units.Volume] `json:"interval"`             // volume -+ z SD, not below zero
	BelowZero  units.Volume              `json:"belowZero"`            // added by raising negative thickness to zero
	AtFloor    units.Volume              `json:"atFloor"`              // taken off by cutting at the floor
	CutArea    units.Area                `json:"cutArea"`              // where either happened
	Samples    int                       `json:"samples"`              // kriged with, points of the waterline among them
	CellSide   units.Length              `json:"cellSide"`             // of the cells that dense soundings were averaged over; 0: not
	Validation *geostat.ValidationResult `json:"validation,omitempty"` // nil with one sample

	kriging *geostat.Kriging
}

// Kriging returns what the volume was kriged with: it draws the surface, names the
// next soundings and the leverage of each. It is nil where nothing was kriged and in
// a result that was read from JSON. Its samples are those of [Survey.Samples], then the points of the
// waterline; averaged over cells when CellSide is above 0.
func (v *KrigedVolume) Kriging() *geostat.Kriging {
	if v == nil {
		return nil
	}
	return v.kriging
}

// VolumeWithInterval returns the volume of sludge in the area of the survey with
// its interval: area x kriged mean -+ area x z x SD of the mean (block kriging), or
// area x mean -+ area x t s/sqrt(n) (design). Both are worked out where possible,
// so that they can be compared; Used and Why say which is the answer.
//
// Points of the waterline, when the survey has them, shape the kriged surface but
// not the variogram nor the design-based mean. Where the kriged surface is negative
// it is cut at zero, and where it is thicker than the depth to the floor at the
// floor; the standard deviation is then that of the mean over the rest, as the cut
// parts are settled by the banks. The interval does not know that the model was
// itself estimated from the soundings and is somewhat too narrow: in the simulation
// that goes with the tests, of 24 soundings each, 95 % intervals of a model known
// beforehand held the true volume in 95 of 100 surveys, those of a fitted model in
// 92.
//
// Faults are on the fields of the spec.
func VolumeWithInterval(s *Survey, spec VolumeSpec) (VolumeResult, error) {
	if err := spec.check(s); err != nil {
		return VolumeResult{}, err
	}
	w := volumeWork{survey: s, spec: spec, samples: s.Samples()}
	w.boundary.Boundary, w.boundary.Islands = s.Boundary()
	w.boundary.Step = spec.Step
	w.result = VolumeResult{Confidence: spec.Confidence, Area: s.Area()}
	w.thin()
	if err := w.design(); err != nil {
		return VolumeResult{}, err
	}
	if err := w.krige(); err != nil {
		return VolumeResult{}, err
	}
	w.choose()
	return w.result, w.triangulate()
}

func (spec *VolumeSpec) check(s *Survey) error {
	var f units.Faults
	s.given(&f)
	f.NumberBetween("confidence", spec.Confidence, 0.01, 0.9999)
	if !methodNames.Has(int(spec.Method)) {
		f.Add("method", int(spec.Method), methodNames.Want())
	}
	if !placementNames.Has(int(spec.Placement)) {
		f.Add("placement", int(spec.Placement), placementNames.Want())
	}
	f.NumberBetween("krigingFrom", float64(spec.KrigingFrom), 0, 1e9)
	f.Between("step", spec.Step, units.Length(0), units.Length(outline.MaxCoordinate))
	if len(spec.Variogram.Samples) > 0 {
		f.Add("variogram.samples", len(spec.Variogram.Samples), "none: they come from the survey")
	}
	if len(spec.Fit.Variogram.Classes) > 0 {
		f.Add("fit.variogram.classes", len(spec.Fit.Variogram.Classes), "none: they come from the survey")
	}
	if spec.Model != nil {
		f.Sub("model", spec.Model.Check())
	}
	return f.Err()
}

// Working returns the answer and the figures beside it.
func (r VolumeResult) Working() units.Working {
	var w units.Working
	w.Add("sludge volume", r.Volume, r.Used.String()+": "+r.Why)
	if r.HasInterval {
		at := fmt.Sprintf("%g %% interval", 100*r.Confidence)
		w.Add("low", r.Interval.Low, at)
		w.Add("high", r.Interval.High, at)
	}
	w.Add("mean thickness", r.Mean, "volume / area")
	w.Add("area", r.Area, "inside the boundary less islands")
	if v := r.Kriged; v != nil {
		w = append(w, v.Model.Working()...)
		w.Add("block kriging", v.Volume, "-+ %s, from %d samples and %d points", (units.Volume(v.Z) * v.SD).Trade(), v.Samples, v.Block.Points)
		if v.CutArea > 0 {
			w.Add("cut at zero and floor", v.CutArea, "+%s at zero, -%s at the floor", v.BelowZero, v.AtFloor)
		}
		if v.Validation != nil {
			w.Add("mean squared deviation ratio", units.Words("%.3f", v.Validation.MSDR), v.Validation.Why)
		}
	}
	if d := r.Design; d.VolumeInterval != nil {
		w.Add("design-based mean", d.Volume, "-+ %s, %v weights", d.VolumeInterval.Half(), d.Weighting)
	}
	if r.TIN != nil {
		w.Add("triangulated surface", r.TIN.Volume, "edge rule: "+r.TIN.Edge.String())
	}
	for _, n := range r.Notes {
		w.Add("note", "", n)
	}
	return w
}

// String returns the working as a table.
func (r VolumeResult) String() string { return r.Working().String() }
