package sludge

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"example.org/earthbasin/sludge/geostat"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// volumeWork is a volume in the making.
type volumeWork struct {
	survey   *Survey
	spec     VolumeSpec
	samples  []geostat.Sample // thinned when they are many
	side     units.Length
	boundary geostat.BlockSpec
	result   VolumeResult
	declined string // why kriging is not the answer
}

// thin averages many soundings over cells, the smallest of a row of sizes that
// leaves no more than maxKriged.
func (w *volumeWork) thin() {
	if len(w.samples) <= maxKriged {
		return
	}
	all := w.samples
	for w.side = units.Length(math.Sqrt(float64(w.survey.Area()) / maxKriged)); len(w.samples) > maxKriged; w.side *= 1.2 {
		w.samples, _ = geostat.Thin(all, max(w.side, units.Millimetre)) // survey and side are in order
	}
	w.side /= 1.2
	w.note("%d soundings were averaged over cells of %s before kriging", len(all), w.side.Trade())
}

func (w *volumeWork) note(format string, args ...any) {
	w.result.Notes = append(w.result.Notes, fmt.Sprintf(format, args...))
}

// design works out the design-based mean.
func (w *volumeWork) design() (err error) {
	spec := geostat.MeanSpec{Samples: w.survey.Samples(), Boundary: w.boundary.Boundary, Islands: w.boundary.Islands, Confidence: w.spec.Confidence}
	if w.spec.Placement == PlacementChosen {
		spec.Samples, spec.Weighting = w.samples, geostat.WeightingArea
	}
	w.result.Design, err = geostat.Mean(spec)
	return err
}

// krige works out the kriged volume, or why there is none.
func (w *volumeWork) krige() error {
	from := w.spec.KrigingFrom
	if from == 0 && w.spec.Model == nil {
		from = KrigingFrom
	}
	n := w.survey.N()
	switch {
	case w.spec.Method == MethodDesign:
		w.declined = "asked for"
		return nil
	case w.spec.Method == MethodAuto && n < from:
		w.declined = fmt.Sprintf("%d of the %d soundings from which it is kriged", n, from)
		return nil
	}
	v := &KrigedVolume{CellSide: w.side}
	if w.spec.Model != nil {
		v.Model = *w.spec.Model
	} else if ok, err := w.fit(v); err != nil || !ok {
		return err
	}
	for _, p := range w.survey.Waterline() {
		w.samples = append(w.samples, geostat.Sample{At: p})
	}
	if v.Samples = len(w.samples); v.Samples > geostat.MaxGlobal {
		var f units.Faults
		f.Say("survey", fmt.Sprintf("with %d points on the waterline", len(w.survey.Waterline())), "a wider spacing of them")
		return f.Err()
	}
	k, err := geostat.NewKriging(geostat.KrigingSpec{Samples: w.samples, Model: v.Model, Average: true})
	if err != nil {
		return err
	}
	if err := w.cut(k, v); err != nil {
		return err
	}
	if v.Samples > 1 {
		validation, err := k.Validate()
		if err != nil {
			return err
		}
		v.Validation = &validation
		if validation.Verdict != geostat.MSDRFits {
			w.note("leave-one-out: %s", validation.Why)
		}
	}
	w.result.Notes = append(w.result.Notes, k.Notes()...)
	v.kriging = k
	w.result.Kriged = v
	return nil
}

// fit fits the model and reports whether it may be used.
func (w *volumeWork) fit(v *KrigedVolume) (ok bool, err error) {
	var f units.Faults
	spec := w.spec.Variogram
	spec.Samples = w.samples
	if spec.Lags == geostat.LagEqual && spec.Classes == 0 && spec.Width == 0 && spec.Cutoff == 0 && len(w.samples) > 1 {
		n := len(w.samples)
		spec.Classes = min(15, max(5, n*(n-1)/2/30))
		spec.Cutoff = diagonal(w.samples) / 2
	}
	variogram, err := geostat.Variogram(spec)
	if err != nil {
		f.Sub("variogram", err)
		return false, f.Err()
	}
	fitting := w.spec.Fit
	fitting.Variogram = variogram
	fit, err := geostat.Fit(fitting)
	if err != nil {
		f.Sub("fit", err)
		return false, f.Err()
	}
	if w.result.Fit = &fit; fit.Status != geostat.FitUsable {
		w.declined = "the variogram cannot be used: " + fit.Why
		if w.spec.Method == MethodKriging {
			f.Say("method", MethodKriging.String(), "another method, or a model: "+w.declined)
		}
		return false, f.Err()
	}
	v.Model, v.Variogram = fit.Model, &variogram
	w.note("the model was fitted to the same soundings: the kriged interval is somewhat too narrow")
	return true, nil
}

// cut sums the kriged surface between zero and the floor.
func (w *volumeWork) cut(k *geostat.Kriging, v *KrigedVolume) error {
	area := w.survey.Area()
	block, err := k.Block(w.boundary)
	if err != nil {
		return err
	}
	nodes, err := w.boundary.Nodes()
	if err != nil {
		return err
	}
	points := make([]plane.Point, len(nodes))
	for i, n := range nodes {
		points[i] = n.At
	}
	field, err := k.Values(points, 1)
	if err != nil {
		return err
	}
	v.Block = block
	each := float64(area) / float64(len(field)) // area for each point
	var kept []plane.Point
	var below, above float64
	for i, t := range field {
		top := units.Length(math.Inf(1))
		if w.spec.Floor != nil {
			if d, known := w.spec.Floor.Depth(points[i]); known {
				top = max(0, d)
			}
		}
		switch {
		case t < 0:
			below -= float64(t)
		case t > top:
			above += float64(t - top)
		default:
			kept = append(kept, points[i])
		}
	}
	sd := block.SD
	if len(kept) < len(field) {
		sd = 0
		if len(kept) > 0 {
			rest := w.boundary
			rest.Points = kept
			part, err := k.Block(rest)
			if err != nil {
				return err
			}
			sd = part.SD
		}
		v.BelowZero, v.AtFloor = units.Volume(below*each), units.Volume(above*each)
		v.CutArea = units.Area(float64(len(field)-len(kept)) * each)
	}
	v.Volume = area.Times(block.Mean) + v.BelowZero - v.AtFloor
	v.SD = units.Area(float64(len(kept)) * each).Times(sd)
	v.Z = distuv.UnitNormal.Quantile(0.5 + w.spec.Confidence/2)
	half := units.Volume(v.Z) * v.SD
	v.Interval = notNegative(units.Range[units.Volume]{Low: v.Volume - half, High: v.Volume + half})
	return nil
}

// diagonal returns the diagonal of the box around the samples.
func diagonal(samples []geostat.Sample) units.Length {
	places := make(plane.Polygon, len(samples))
	for i, s := range samples {
		places[i] = s.At
	}
	low, high := places.Bounds()
	return low.Distance(high)
}

// triangulate works out the volume under the triangulated surface when an edge
// rule is named.
func (w *volumeWork) triangulate() error {
	if w.spec.Edge == edgeUnnamed {
		return nil
	}
	t, err := NewTIN(w.survey, TINSpec{Edge: w.spec.Edge})
	if err != nil {
		return err
	}
	v := t.Volume()
	w.result.TIN = &v
	return nil
}

func notNegative(r units.Range[units.Volume]) units.Range[units.Volume] {
	return units.Range[units.Volume]{Low: max(0, r.Low), High: max(0, r.High)}
}

// choose takes the answer from the kriged or the design-based volume.
func (w *volumeWork) choose() {
	r := &w.result
	if v := r.Kriged; v != nil {
		r.Used, r.Why = MethodKriging, fmt.Sprintf("%d soundings with a usable variogram", w.survey.N())
		if w.spec.Model != nil {
			r.Why = "the model was given"
		}
		if w.spec.Method == MethodKriging {
			r.Why = "asked for"
		}
		r.Volume, r.SD, r.Interval, r.HasInterval = v.Volume, v.SD, v.Interval, true
	} else {
		d := r.Design
		r.Used, r.Why = MethodDesign, w.declined
		r.Volume, r.HasInterval = d.Volume, d.VolumeInterval != nil
		if d.VolumeInterval != nil {
			r.SD, r.Interval = d.Area.Times(d.Error), notNegative(*d.VolumeInterval)
			if w.spec.Placement == PlacementChosen {
				w.note("the places were chosen: the interval of the mean by area is rough")
			}
		} else {
			w.note("a single sounding has no interval")
		}
		if d.VolumeInterval != nil && d.SD <= 1e-9*d.Mean {
			w.note("the soundings are all alike: an interval without width knows nothing of the error of a reading")
		}
		if w.spec.Floor != nil {
			w.note("the design-based volume is not cut by floor and banks")
		}
		if len(w.survey.Waterline()) > 0 {
			w.note("the design-based volume does not know that the sludge runs out at the waterline: where the soundings keep off the banks it is too large")
		}
	}
	r.Mean = r.Volume.Over(r.Area).Depth()
}
