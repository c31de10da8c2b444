package sludge

import (
	"example.org/earthbasin/units"
)

// ZoneSpec is what a yearly sludge survey of a treatment lagoon measures: three
// levels of the liquid and the mean depths of the soundings. Distances are
// vertical.
type ZoneSpec struct {
	MaxToPresent units.Length `json:"maxToPresent"` // from the maximum liquid level down to the present one; below 0 when it stands above
	MaxToMin     units.Length `json:"maxToMin"`     // from the maximum liquid level down to the minimum one, 0 or more
	ToFloor      units.Length `json:"toFloor"`      // present level to hard floor, mean, more than 0
	ToSludge     units.Length `json:"toSludge"`     // present level to sludge top, mean, 0 to ToFloor
	// Allowed is the greatest share of the depth below the minimum level that
	// sludge may fill, such as 0.5 in NRCS North Carolina conservation practice
	// standard 359 (2019); 0.001 to 0.999.
	Allowed float64 `json:"allowed"`
}

// ZoneResult says how the depth below the minimum liquid level is shared.
type ZoneResult struct {
	PresentToMin units.Length `json:"presentToMin"` // below 0 when the present level is below the minimum
	Sludge       units.Length `json:"sludge"`       // mean thickness
	LiquidZone   units.Length `json:"liquidZone"`   // minimum level to sludge top; below 0 when sludge stands above it
	Share        float64      `json:"share"`        // sludge / (sludge + liquid zone)
	Allowed      float64      `json:"allowed"`      // as given
	// OverAllowed says that the share by depth is above the allowed one, so that it
	// has to be worked out by volume before anything is concluded.
	OverAllowed bool `json:"overAllowed"`
}

// TreatmentZone works out what is left of the liquid treatment zone (lines I to P
// of the sludge survey form of the North Carolina Department of Environmental
// Quality, in filing 2957628). Errors are [units.FieldError].
func TreatmentZone(spec ZoneSpec) (ZoneResult, error) {
	var f units.Faults
	f.Between("maxToPresent", spec.MaxToPresent, -100*units.Metre, 100*units.Metre)
	f.Between("maxToMin", spec.MaxToMin, 0*units.Metre, 100*units.Metre)
	f.Between("toFloor", spec.ToFloor, units.Millimetre, 100*units.Metre)
	f.Between("toSludge", spec.ToSludge, 0*units.Metre, spec.ToFloor)
	f.NumberBetween("allowed", spec.Allowed, 0.001, 0.999)
	r := ZoneResult{PresentToMin: spec.MaxToMin - spec.MaxToPresent, Sludge: spec.ToFloor - spec.ToSludge, Allowed: spec.Allowed}
	if f.Err() == nil && r.PresentToMin >= spec.ToFloor {
		f.Add("maxToMin", spec.MaxToMin, "a minimum level above the hard floor")
	}
	if err := f.Err(); err != nil {
		return ZoneResult{}, err
	}
	r.LiquidZone = spec.ToSludge - r.PresentToMin
	r.Share = float64(r.Sludge) / float64(spec.ToFloor-r.PresentToMin)
	r.OverAllowed = r.Share > spec.Allowed
	return r, nil
}

// Working returns the lines of the survey form.
func (r ZoneResult) Working() units.Working {
	var w units.Working
	w.Add("present to minimum level", r.PresentToMin, "maximum to minimum - maximum to present")
	w.Add("sludge thickness", r.Sludge, "mean depth to floor - mean depth to sludge")
	w.Add("liquid treatment zone", r.LiquidZone, "mean depth to sludge - present to minimum level")
	w.Add("share of sludge", units.Words("%.4f", r.Share), "sludge / (sludge + liquid treatment zone)")
	verdict := "within the allowed share"
	if r.OverAllowed {
		verdict = "over the allowed share by depth: work out the volumes"
	}
	w.Add("allowed share", r.Allowed, verdict)
	return w
}

// String returns the working as a table.
func (r ZoneResult) String() string { return r.Working().String() }

// AccumulationSpec is two times of the life of a lagoon and what was found at the
// second.
type AccumulationSpec struct {
	Thickness  units.Length   `json:"thickness"`  // mean, 0 or more
	LiquidZone units.Length   `json:"liquidZone"` // minimum level to sludge top, 0 or more
	Age        units.Duration `json:"age"`        // since the lagoon started or was last cleaned, more than 0
	Ahead      units.Duration `json:"ahead"`      // until the next survey, 0 or more
}

// AccumulationResult is the growth of the sludge, taken as even over time.
type AccumulationResult struct {
	PerYear    units.Length `json:"perYear"`    // in 365 days
	Growth     units.Length `json:"growth"`     // until the next survey
	LiquidZone units.Length `json:"liquidZone"` // left then, below 0 when sludge stands above the minimum level
	Share      float64      `json:"share"`      // of sludge in both, now
	ShareThen  float64      `json:"shareThen"`  // at the next survey, above 1 when sludge stands above the minimum level
}

// Accumulation carries the growth so far on to the next survey (sludge survey
// sheet in North Carolina Department of Environmental Quality filing 3507688: a
// year is 365 days). Errors are [units.FieldError].
func Accumulation(spec AccumulationSpec) (AccumulationResult, error) {
	var f units.Faults
	f.Between("thickness", spec.Thickness, 0*units.Metre, 100*units.Metre)
	f.Between("liquidZone", spec.LiquidZone, 0*units.Metre, 100*units.Metre)
	f.Between("age", spec.Age, 1*units.Day, 200*365*units.Day)
	f.Between("ahead", spec.Ahead, 0*units.Day, 200*365*units.Day)
	if f.Err() == nil && spec.Thickness+spec.LiquidZone == 0 {
		f.Add("liquidZone", spec.LiquidZone, "more than 0 where there is no sludge")
	}
	if err := f.Err(); err != nil {
		return AccumulationResult{}, err
	}
	year := 365 * units.Day
	r := AccumulationResult{PerYear: spec.Thickness * units.Length(year/spec.Age)}
	r.Growth = r.PerYear * units.Length(spec.Ahead/year)
	r.LiquidZone = spec.LiquidZone - r.Growth
	whole := float64(spec.Thickness + spec.LiquidZone)
	r.Share, r.ShareThen = float64(spec.Thickness)/whole, float64(spec.Thickness+r.Growth)/whole
	return r, nil
}

// Working returns the lines that show how the shares came about.
func (r AccumulationResult) Working() units.Working {
	var w units.Working
	w.Add("accumulation in a year", r.PerYear, "thickness x 365 d / age")
	w.Add("growth until the next survey", r.Growth, "accumulation x time ahead")
	w.Add("liquid treatment zone then", r.LiquidZone, "now - growth")
	w.Add("share of sludge now", units.Words("%.4f", r.Share), "thickness / (thickness + liquid zone)")
	w.Add("share of sludge then", units.Words("%.4f", r.ShareThen), "(thickness + growth) / (thickness + liquid zone)")
	return w
}

// String returns the working as a table.
func (r AccumulationResult) String() string { return r.Working().String() }
