package calibrate

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"

	"example.org/earthbasin/units"
)

// Pattern is the catch of trays in a straight row across one pass, or of gauges
// across one lane of a travelling gun.
type Pattern struct {
	Trays   []float64    `json:"trays"`   // from left to right seen in the driving direction, in any one unit: only ratios count; 3 or more
	Spacing units.Length `json:"spacing"` // centre to centre, even
	Line    units.Length `json:"line"`    // from the centre of the first tray to the driving line
}

// check records what is wrong with p under the paths of its fields.
func (p Pattern) check(f *units.Faults) {
	if n := len(p.Trays); n < 3 || n > maxTrays {
		f.Add("trays", n, fmt.Sprintf("3 to %d trays", maxTrays))
	}
	most := 0.0
	for i, c := range p.Trays {
		f.NumberBetween(fmt.Sprintf("trays[%d]", i), c, 0, maxCatch)
		most = max(most, c)
	}
	if len(p.Trays) > 0 && most == 0 {
		f.Say("trays", "nothing in any tray", "at least one tray that caught some")
	} else if most > 0 && most < 1/maxCatch {
		f.Add("trays", most, "a largest catch of 1e-9 or more")
	}
	f.Between("spacing", p.Spacing, units.Millimetre, units.Kilometre)
	if reach := units.Length(len(p.Trays)-1) * p.Spacing; !(p.Line >= 0 && p.Line <= reach) {
		f.Add("line", p.Line, "0 to the last tray at "+reach.Trade())
	}
}

const (
	maxTrays = 2000
	maxCatch = 1e9
)

// at returns the catch at x metres from the first tray, linear between trays, 0
// outside them.
func (p Pattern) at(x float64) float64 {
	u := x / float64(p.Spacing)
	last := float64(len(p.Trays) - 1)
	const slack = 1e-9 // of a tray, for the rounding of x
	if u < -slack || u > last+slack {
		return 0
	}
	u = min(max(u, 0), last)
	i := min(int(u), len(p.Trays)-2)
	t := u - float64(i)
	if r := math.Round(t); math.Abs(t-r) < slack {
		t = r
	}
	return (1-t)*p.Trays[i] + t*p.Trays[i+1]
}

// Drive is how neighbouring passes are driven.
type Drive int

const (
	_ Drive = iota
	// DriveCircuit drives neighbouring passes in one direction, as round and round a
	// field: the left side of each pass meets the right side of its neighbour. Where
	// the rounds close in the middle, like sides meet as in DriveToAndFro.
	DriveCircuit
	// DriveToAndFro drives neighbouring passes in opposite directions: left meets
	// left, right meets right.
	DriveToAndFro
)

var driveNames = units.Names{"", "circuit", "to-and-fro"}

// String returns the name that MarshalText writes.
func (d Drive) String() string { return driveNames.String(int(d)) }

// MarshalText writes the name.
func (d Drive) MarshalText() ([]byte, error) { return driveNames.Marshal(int(d)) }

// UnmarshalText reads a name; the error lists the names.
func (d *Drive) UnmarshalText(text []byte) error { return units.UnmarshalName(driveNames, text, d) }

// OverlapSpec asks how even the field is at each distance between passes.
type OverlapSpec struct {
	Pattern Pattern    `json:"pattern"`
	Drive   Drive      `json:"drive"`            // required
	Spread  SpreadRule `json:"spread,omitempty"` // zero value: sample
	MaxCV   float64    `json:"maxCV"`            // the caller's limit as a fraction, more than 0
	// Widths are the distances between passes to try, rising; empty means every
	// whole number of trays from one to the width of the row.
	Widths []units.Length `json:"widths,omitempty"`
}

// OverlapRow is the field at one distance between passes.
type OverlapRow struct {
	Width        units.Length `json:"width"`
	Mean         float64      `json:"mean"` // catch, in the unit of the trays
	Lowest       float64      `json:"lowest"`
	Highest      float64      `json:"highest"`
	CV           float64      `json:"cv"`
	Christiansen float64      `json:"christiansen"` // 1 - mean |x - m| / m
	LowQuarter   float64      `json:"lowQuarter"`   // mean of the lowest quarter / mean, fractional rule
	Within       bool         `json:"within"`       // CV <= MaxCV
}

// OverlapResult is CV against width and what one pass itself looks like.
type OverlapResult struct {
	Drive  Drive        `json:"drive"`
	Spread SpreadRule   `json:"spread"`
	MaxCV  float64      `json:"maxCV"`
	Rows   []OverlapRow `json:"rows"`
	// Widest is the largest width within the limit; HasWidest is false when none is.
	Widest    units.Length `json:"widest"`
	HasWidest bool         `json:"hasWidest"`
	// Exceptions are smaller widths that miss the limit, for CV does not rise evenly
	// with width.
	Exceptions []units.Length `json:"exceptions,omitempty"`
	SinglePass float64        `json:"singlePass"` // CV of the row of trays itself
	Imbalance  float64        `json:"imbalance"`  // (right - left) / (right + left) of the driving line
	Offset     units.Length   `json:"offset"`     // centre of the pattern from the driving line, right positive
	Cut        bool           `json:"cut"`        // an end tray caught more than a twentieth of the largest catch: the row was too short
	Cautions   []string       `json:"cautions"`
}

// Overlap lays passes of the pattern side by side and returns the spread of the
// summed catch at each width. The field repeats itself after one width (circuit) or
// two (to-and-fro), and every tray place in that period counts once; between trays
// the catch is linear, beyond them 0. Where a width is a whole number of trays the
// sums are plain sums of trays. Unknown modes, a row without catch, and quantities
// out of range are [units.FieldError].
func Overlap(spec OverlapSpec) (OverlapResult, error) {
	var f units.Faults
	var inner units.Faults
	spec.Pattern.check(&inner)
	f.Sub("pattern", inner.Err())
	if !driveNames.Has(int(spec.Drive)) {
		f.Add("drive", spec.Drive, driveNames.Want())
	}
	if !spreadNames.Has(int(spec.Spread)) {
		f.Add("spread", spec.Spread, spreadNames.Want())
	}
	f.PositiveNumber("maxCV", spec.MaxCV)
	p := spec.Pattern
	reach := units.Length(len(p.Trays)) * p.Spacing
	if len(spec.Widths) > maxTrays {
		f.Add("widths", len(spec.Widths), fmt.Sprintf("at most %d widths", maxTrays))
	}
	for i, w := range spec.Widths {
		path := fmt.Sprintf("widths[%d]", i)
		f.Between(path, w, p.Spacing/2, 2*reach)
		if i > 0 && !(w > spec.Widths[i-1]) {
			f.Add(path, w, "more than the width before it")
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
	r := OverlapResult{Drive: spec.Drive, Spread: spec.Spread, MaxCV: spec.MaxCV, Cautions: []string{cautionClear}}
	for _, w := range widths {
		x := p.field(w, spec.Drive)
		m := stat.Mean(x, nil)
		row := OverlapRow{Width: w, Mean: m, Lowest: floats.Min(x), Highest: floats.Max(x)}
		if m > 0 { // no mean where the places of the field miss all of a narrow pattern
			row.CV = spec.Spread.sd(x) / m
			alike := ones(len(x))
			row.Christiansen = christiansen(x, alike, m)
			row.LowQuarter = LowQuarterFractional.lowest(x, alike) / m
			row.Within = row.CV <= spec.MaxCV
		}
		if row.Within {
			r.Widest, r.HasWidest = w, true
		}
		r.Rows = append(r.Rows, row)
	}
	for _, row := range r.Rows {
		if !row.Within && row.Width < r.Widest {
			r.Exceptions = append(r.Exceptions, row.Width)
		}
	}
	p.describe(&r)
	return r, nil
}

// field returns the summed catch at the places of one period of the field.
func (p Pattern) field(width units.Length, drive Drive) []float64 {
	w, line := float64(width), float64(p.Line)
	perLane := max(1, int(math.Ceil(w/float64(p.Spacing)-1e-9)))
	step := w / float64(perLane)
	span := float64(len(p.Trays)-1) * float64(p.Spacing)
	lanes := int(math.Ceil(2*span/w)) + 2 // lanes on either side that can reach a place
	period := 1
	if drive == DriveToAndFro {
		period = 2
	}
	x := make([]float64, perLane*period)
	for j := range x {
		place := float64(j)*step - line // from the driving line of pass 0
		for k := -lanes; k <= lanes+period; k++ {
			t := place - float64(k)*w // from the driving line of pass k
			if drive == DriveToAndFro && k%2 != 0 {
				t = -t
			}
			x[j] += p.at(t + line)
		}
	}
	return x
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
	r.SinglePass = r.Spread.sd(p.Trays) / stat.Mean(p.Trays, nil)
	r.Imbalance = (right - left) / (right + left)
	r.Offset = units.Length(moment / (left + right))
	r.Cut = max(p.Trays[0], p.Trays[len(p.Trays)-1]) > most/20
}

// Working returns CV against width and the widest that holds.
func (r OverlapResult) Working() units.Working {
	var w units.Working
	w.Add("one pass alone", percent(r.SinglePass), "CV of the trays, "+r.Spread.String()+" spread")
	w.Add("right against left", percent(r.Imbalance), "(right - left) / all; centre "+r.Offset.Trade()+" from the driving line, right positive")
	for _, row := range r.Rows {
		verdict := "above the limit"
		if row.Within {
			verdict = "within the limit"
		}
		w.Add(row.Width.Trade(), percent(row.CV), "CV of "+r.Drive.String()+" passes, "+verdict)
	}
	if r.HasWidest {
		how := fmt.Sprintf("largest with CV at most %g %%", 100*r.MaxCV)
		if n := len(r.Exceptions); n > 0 {
			how += fmt.Sprintf("; %d smaller widths miss it", n)
		}
		w.Add("widest", r.Widest, how)
	} else {
		w.Add("widest", "none", fmt.Sprintf("no width has a CV of at most %g %%", 100*r.MaxCV))
	}
	if r.Cut {
		w.Add("row of trays", "too short", "an end tray caught more than a twentieth of the most")
	}
	return w
}

// String returns the working as a table.
func (r OverlapResult) String() string { return r.Working().String() }
