package calibrate

import (
	"math"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/sample"
)

// ShortcutArea is the sheet on which pounds caught are tons per acre: 43,560 square
// feet over 2,000, that is 21.78 square feet. The trade takes a sheet of 22 square
// feet for it; [ShortcutError] says how far off that is.
const ShortcutArea = units.Acre / 2000

// ShortcutError returns the error of reading the pounds on a sheet of the given
// area as tons per acre, as a fraction of the true rate: area/21.78 ft2 - 1. It is
// +1.0101 % at 22 ft2 (so the reading is too high) and -0.0102 % at 56 by 56 in.
// [Sheets] computes from the real area and needs no shortcut. The area must be
// more than 0; else the error is a [units.FieldError].
func ShortcutError(area units.Area) (float64, error) {
	var f units.Faults
	f.Positive("area", area)
	return area.In(ShortcutArea) - 1, f.Err()
}

// NeededRule says how the number of sheets for a wanted precision is found.
type NeededRule = units.Enum[neededWords]

const (
	// NeededIterated, "iterated", takes Student's t at the number of sheets that comes out.
	NeededIterated NeededRule = iota
	// NeededPilot, "pilot", takes t at the sheets there are, n = (t s/(d m))^2 in one step,
	// as Mississippi Administrative Code title 11, part 8, chapter 2, addendum J does.
	NeededPilot
)

var neededNames = units.Names{"iterated", "pilot"}

type neededWords struct{}

func (neededWords) Names() units.Names { return neededNames }

// maxOnSheet is more than any sheet is weighed with.
const maxOnSheet = 1e6 * units.Kilogram

// Sheet is one sheet or tray after the spreader has passed. Weights are 0 or more, at
// most 1,000 t, areas at least 1 mm2.
type Sheet struct {
	Gross units.Mass  `json:"gross"`          // sheet, bucket and manure
	Tare  *units.Mass `json:"tare,omitempty"` // sheet and bucket before the pass, where it has a tare of its own
	Area  units.Area  `json:"area,omitempty"` // where it is not that of the others
}

// SheetsSpec is a calibration with ground sheets.
type SheetsSpec struct {
	Area       units.Area  `json:"area,omitempty"`   // of one sheet
	Tare       *units.Mass `json:"tare,omitempty"`   // one tare for all; 0 where the weights are net
	Sheets     []Sheet     `json:"sheets"`           // 1 or more
	Confidence float64     `json:"confidence"`       // of the interval, two-sided, above 0 and below 1, such as 0.95
	Within     float64     `json:"within,omitempty"` // wanted half-width of the interval as a fraction of the mean; 0 means 0.10
	Needed     NeededRule  `json:"needed,omitempty"` // zero value: iterated
}

// SheetsResult is the rate that the sheets show.
type SheetsResult struct {
	Spec     SheetsSpec                         `json:"spec"`              // what it was worked out from, with its defaults
	Rates    []units.MassPerArea                `json:"rates"`             // of each sheet, in their order
	Summary  sample.Summary[units.MassPerArea]  `json:"summary"`           // mean, spread and interval of the rates
	Outlier  *sample.Outlier[units.MassPerArea] `json:"outlier,omitempty"` // the sheet farthest from the mean, and the summary without it
	Needed   int                                `json:"needed"`            // sheetsBy that bring the interval within Within; 0 when one sheet gives no spread
	More     int                                `json:"more"`              // sheetsBy to add to those there are
	Cautions []string                           `json:"cautions"`          // for the people at the machine
}

// Sheets returns the rate from the net weight on each sheet over its area, with
// its mean, spread and t interval, the sheets that a wanted precision needs, and
// the sheet that stands out. Each weight may be in its own unit.
//
// The rate is exact: in trade units tons/acre = 21.78 lb/ft2, printed with 21.8 in
// University of Massachusetts, Manure Spreader Calibration, and NDSU, Manure
// Spreader Calibration Can Save Money.
//
// A gross below its tare, a sheet without area or tare, sheets that caught nothing
// at all, and fractions out of range are [units.FieldError].
func Sheets(spec SheetsSpec) (SheetsResult, error) {
	var f units.Faults
	f.CountBetween("sheets", len(spec.Sheets), "sheets", 1, maxGauges)
	f.ZeroOr("area", spec.Area, units.MinArea, units.MaxArea)
	if spec.Tare != nil {
		f.ZeroTo("tare", *spec.Tare, maxOnSheet)
	}
	within := spec.Within
	if within == 0 {
		within = 0.10
	}
	if !(within > 0 && within <= 1) {
		f.Add("within", within, "more than 0 and at most 1, a fraction of the mean")
	}
	f.Confidence("confidence", spec.Confidence)
	if !neededNames.Has(int(spec.Needed)) {
		f.Add("needed", spec.Needed, neededNames.Want())
	}
	rates := make([]units.MassPerArea, len(spec.Sheets))
	caught := false
	for i, s := range spec.Sheets {
		at := f.At("sheets", i)
		rates[i] = s.rate(&at, spec)
		caught = caught || rates[i] > 0
	}
	if err := f.Err(); err != nil {
		return SheetsResult{}, err
	}
	if !caught {
		f.Say("sheets", "nothing caught on any sheet", "at least one sheet that caught some")
		return SheetsResult{}, f.Err()
	}
	spec.Within = within
	r := SheetsResult{Spec: spec, Rates: rates, Cautions: []string{cautionClear}}
	var err error
	if r.Summary, err = sample.Summarize(rates, spec.Confidence); err != nil {
		return SheetsResult{}, err
	}
	if r.Summary.Interval == nil {
		return r, nil
	}
	if r.Needed, err = sheetsBy(spec.Needed, r.Summary.CV, within, r.Summary); err != nil {
		f.Sub("", err)
	}
	r.More = max(0, r.Needed-r.Summary.N)
	out, ok, err := sample.FindOutlier(rates, r.Summary.Confidence)
	f.Sub("", err)
	if ok {
		r.Outlier = &out
	}
	if err := f.Err(); err != nil {
		return SheetsResult{}, err
	}
	return r, nil
}

// rate returns the net mass of s over its area, and records what is wrong with it.
func (s Sheet) rate(f *units.Faults, spec SheetsSpec) units.MassPerArea {
	area, tare := s.Area, s.Tare
	if area == 0 {
		if area = spec.Area; area == 0 {
			f.Missing("area", "the area of the sheet, or one for all in area")
		}
	} else {
		f.Between("area", area, units.MinArea, units.MaxArea)
	}
	if tare == nil {
		if tare = spec.Tare; tare == nil {
			f.Missing("tare", "the weight of sheet and bucket, or one for all in tare; 0 lb when the weights are net")
			return 0
		}
	} else {
		f.ZeroTo("tare", *tare, maxOnSheet)
	}
	switch {
	case !(s.Gross >= *tare):
		f.Add("gross", s.Gross, "the tare of %v or more", *tare)
		return 0
	case s.Gross != 0:
		f.UpTo("gross", s.Gross, maxOnSheet)
	}
	return (s.Gross - *tare).Over(area)
}

// sheetsBy returns the number of sheets that the rule asks for.
func sheetsBy(r NeededRule, cv, within float64, s sample.Summary[units.MassPerArea]) (int, error) {
	if r == NeededPilot {
		n := math.Ceil(math.Pow(s.T*cv/within, 2))
		if !(n <= sample.MaxNeeded) {
			return 0, units.Fault(units.FaultRange, "within", within, "a precision that %d sheets can reach", sample.MaxNeeded)
		}
		return max(2, int(n)), nil
	}
	n, err := sample.Needed(cv, within, s.Confidence)
	if err != nil {
		return 0, units.Fault(units.FaultRange, "within", within, "a precision that %d sheets can reach at a CV of %.3g", sample.MaxNeeded, cv)
	}
	return n, nil
}

// Working returns the lines that lead to the rate.
func (r SheetsResult) Working() units.Working {
	var w units.Working
	for i, rate := range r.Rates {
		w.Put(units.Words("sheet %d", i+1), rate, units.Words("net weight / sheet area"))
	}
	addSummary(&w, r.Summary)
	if r.Needed > 0 {
		w.Add("sheets needed", r.Needed, "for ±%.3g %% of the mean, t by the %s rule; %d more", 100*r.Spec.Within, r.Spec.Needed, r.More)
	}
	if o := r.Outlier; o != nil {
		verdict := "not an outlier"
		if o.IsOut {
			verdict = "an outlier: look for a reason"
		}
		w.Add("farthest from the mean", units.Words("sheet %d, %s", o.Index+1, o.Value), "Grubbs G %.3f against %.3f, %s; mean without it %s", o.G, o.Critical, verdict, o.Without.Mean)
	}
	return w
}

// String returns the working as a table.
func (r SheetsResult) String() string { return r.Working().String() }

const cautionClear = "Keep everyone well clear of the machine while it spreads: stones and wire fly farther than manure. Stop it, with the drive off, before anyone walks in to weigh."

// addSummary appends mean, spread and interval.
func addSummary[R RateQuantity](w *units.Working, s sample.Summary[R]) {
	w.Add("mean", s.Mean, "of %d", s.N)
	if s.Interval == nil {
		w.Add("interval", "not available", "one measurement has no spread")
		return
	}
	w.Add("standard deviation", s.SD, "n - 1; CV %.1f %%", 100*s.CV)
	w.Put(units.Words("interval"), s.Interval, units.Words("%v, two-sided, t %.4f", units.Share(s.Confidence), s.T).And(belowZero(s.Interval.Low)))
}
