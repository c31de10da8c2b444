package calibrate

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"

	"example.org/earthbasin/units"
)

// OverlapSpec asks how even the field is at each distance between passes.
type OverlapSpec struct {
	Pattern Pattern `json:"pattern"` // of one pass
	Drive   Drive   `json:"drive"`   // required
	MaxCV   float64 `json:"maxCV"`   // the caller's limit as a fraction, 0.001 to 10
	// Widths are the distances between passes to try, rising, at most 100 of them,
	// each from half of the spacing to twice the row; empty means every whole number
	// of trays from one to the width of the row.
	Widths []units.Length `json:"widths,omitempty"`
}

// OverlapRow is the field at one distance between passes. Catches are in the unit of
// the trays.
type OverlapRow struct {
	Width        units.Length `json:"width"`        // between passes
	Mean         float64      `json:"mean"`         // catch, 0 or more
	Lowest       float64      `json:"lowest"`       // catch anywhere, 0 or more
	Highest      float64      `json:"highest"`      // catch anywhere
	CV           float64      `json:"cv"`           // a fraction, 0 or more
	Christiansen float64      `json:"christiansen"` // 1 - mean |x - m| / m, at most 1
	LowQuarter   float64      `json:"lowQuarter"`   // mean of the lowest quarter / mean, 0 to 1
	Within       bool         `json:"within"`       // CV <= MaxCV
	// Profile is the summed catch over one period of the field, one width or for
	// to-and-fro two, from the driving line of a pass; straight between its points.
	// Where the row of trays was cut off it jumps: two points at one place.
	Profile []OverlapPoint `json:"profile"`
}

// OverlapPoint is the summed catch at one place across the passes.
type OverlapPoint struct {
	At    units.Length `json:"at"`    // from the driving line of a pass, right positive
	Catch float64      `json:"catch"` // in the unit of the trays
}

// OverlapResult is CV against width and what one pass itself looks like.
type OverlapResult struct {
	Spec   OverlapSpec   `json:"spec"`             // what it was worked out from
	Rows   []OverlapRow  `json:"rows"`             // by rising width
	Widest *units.Length `json:"widest,omitempty"` // the largest width within the limit; nil when none is
	// Exceptions are smaller widths that miss the limit, for CV does not rise evenly
	// with width.
	Exceptions []units.Length `json:"exceptions,omitempty"`
	SinglePass float64        `json:"singlePass"` // CV of the trays of one pass, n - 1
	Imbalance  float64        `json:"imbalance"`  // (right - left) / (right + left) of the driving line, -1 to 1
	Offset     units.Length   `json:"offset"`     // centre of the pattern from the driving line, right positive
	Cut        bool           `json:"cut"`        // an end tray caught more than a twentieth of the largest catch: the row was too short
	Cautions   []string       `json:"cautions"`   // for the people at the machine
}

// maxWidths bounds the work that a list of widths asks for.
const maxWidths = 100

// Overlap lays passes of the pattern side by side and returns the spread of the
// summed catch at each width. The catch is straight between trays and 0 beyond them,
// and mean, CV and the other figures are its exact integrals over one period of the
// field, so that they do not depend on places chosen between the trays. Where single
// trays scatter, the figures are lower than those of the trays summed tray by tray,
// since lines between trays even out what happens between them. Unknown modes, a row
// without catch, and quantities out of range are [units.FieldError].
func Overlap(spec OverlapSpec) (OverlapResult, error) {
	var f units.Faults
	pattern := f.At("pattern")
	spec.Pattern.check(&pattern)
	if !driveNames.Has(int(spec.Drive)) {
		f.Add("drive", spec.Drive, driveNames.Want())
	}
	f.NumberBetween("maxCV", spec.MaxCV, 0.001, 10)
	p := spec.Pattern
	reach := units.Length(len(p.Trays)) * p.Spacing
	f.CountBetween("widths", len(spec.Widths), "widths", 0, maxWidths)
	for i, w := range spec.Widths {
		at := f.At("widths", i)
		at.Between("", w, p.Spacing/2, 2*reach)
		if i > 0 && !(w > spec.Widths[i-1]) {
			at.Add("", w, "more than the width before it")
		}
	}
	if err := f.Err(); err != nil {
		return OverlapResult{}, err
	}
	widths := spec.Widths
	if len(widths) == 0 {
		for k := range p.Trays {
			widths = append(widths, units.Length(k+1)*p.Spacing)
		}
	}
	r := OverlapResult{Spec: spec, Cautions: []string{cautionClear}}
	var s scratch
	for _, w := range widths {
		field := p.overlapped(w, spec.Drive, &s)
		m := field.mean()
		row := OverlapRow{
			Width: w, Mean: m, CV: field.deviation(m) / m, Christiansen: 1 - field.absolute(m)/m,
			LowQuarter: field.lowQuarter(&s) / m, Profile: field.profile(),
		}
		row.Lowest, row.Highest = field.extremes()
		row.Within = row.CV <= spec.MaxCV
		if row.Within {
			r.Widest = &w
		}
		r.Rows = append(r.Rows, row)
	}
	for _, row := range r.Rows {
		if !row.Within && r.Widest != nil && row.Width < *r.Widest {
			r.Exceptions = append(r.Exceptions, row.Width)
		}
	}
	p.describe(&r)
	return r, nil
}

// describe sets what one pass itself looks like.
func (p Pattern) describe(r *OverlapResult) {
	var left, right, moment float64
	for i, c := range p.Trays {
		t := float64(i)*float64(p.Spacing) - float64(p.Line)
		switch {
		case math.Abs(t) < 1e-9*float64(p.Spacing): // a tray on the line is half of each side
			left += c / 2
			right += c / 2
		case t < 0:
			left += c
		default:
			right += c
		}
		moment += c * t
	}
	most := floats.Max(p.Trays)
	r.SinglePass = stat.StdDev(p.Trays, nil) / stat.Mean(p.Trays, nil)
	r.Imbalance = (right - left) / (right + left)
	r.Offset = units.Length(moment / (left + right))
	r.Cut = max(p.Trays[0], p.Trays[len(p.Trays)-1]) > most/20
}

// Working returns CV against width and the widest that holds.
func (r OverlapResult) Working() units.Working {
	var w units.Working
	w.Add("one pass alone", units.Share(r.SinglePass), "CV of the trays, n - 1")
	w.Add("right against left", units.Share(r.Imbalance), "(right - left) / all; centre %v from the driving line, right positive", r.Offset)
	for _, row := range r.Rows {
		verdict := "above the limit"
		if row.Within {
			verdict = "within the limit"
		}
		w.Put(units.Words("%v", row.Width), units.Share(row.CV), units.Words("CV of %v passes, ", r.Spec.Drive).And(verdict))
	}
	if r.Widest != nil {
		how := units.Words("largest with CV at most %v", units.Share(r.Spec.MaxCV))
		if n := len(r.Exceptions); n > 0 {
			how = how.And("; %v smaller widths miss it", n)
		}
		w.Put(units.Words("widest"), *r.Widest, how)
	} else {
		w.Add("widest", "none", "no width has a CV of at most %v", units.Share(r.Spec.MaxCV))
	}
	if r.Cut {
		w.Add("row of trays", "too short", "an end tray caught more than a twentieth of the most")
	}
	return w
}

// String returns the working as a table.
func (r OverlapResult) String() string { return r.Working().String() }

// Series returns the CV in percent over the width in the given unit, which must be
// above 0.
func (r OverlapResult) Series(unit units.Length) units.Series {
	s := make(units.Series, len(r.Rows))
	for i, row := range r.Rows {
		s[i] = [2]float64{row.Width.In(unit), 100 * row.CV}
	}
	return s
}
