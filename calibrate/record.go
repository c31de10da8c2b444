package calibrate

import (
	"encoding/json"
	"slices"
	"time"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/sample"
)

// RecordVersion is the version of the JSON form of [Record] that this package
// writes and reads. Fields are only added under a new version.
const RecordVersion = 1

// Method is how a rate was measured.
type Method int

const (
	_ Method = iota
	// MethodSheets is [Sheets].
	MethodSheets
	// MethodLoadArea is [LoadArea].
	MethodLoadArea
	// MethodFlow is [Solve] with a timed tank or a flow meter.
	MethodFlow
	// MethodGauges is [Gauges].
	MethodGauges
)

var methodNames = units.Names{"", "sheets", "load area", "flow", "gauges"}

// String returns the name that MarshalText writes.
func (m Method) String() string { return methodNames.String(int(m)) }

// MarshalText writes the name.
func (m Method) MarshalText() ([]byte, error) { return methodNames.Marshal(int(m)) }

// UnmarshalText reads a name; the error lists the names.
func (m *Method) UnmarshalText(text []byte) error { return units.UnmarshalName(methodNames, text, m) }

// Record is one calibration as it is kept. Its JSON form is stable: what
// [json.Marshal] writes, [ParseRecord] reads back to the same value.
type Record struct {
	Version  int       `json:"version"` // RecordVersion
	Date     time.Time `json:"date"`
	Machine  string    `json:"machine"`  // the caller's name for it
	Material string    `json:"material"` // the caller's name for it
	Method   Method    `json:"method"`
	// What the machine was set to; what is not known stays out.
	Gear  string       `json:"gear,omitempty"`
	Speed units.Speed  `json:"speed,omitempty"`
	Flow  units.Flow   `json:"flow,omitempty"`
	Gate  float64      `json:"gate,omitempty"`
	Width units.Length `json:"width,omitempty"`
	// Exactly one of the two.
	Solid  *Measured[units.MassPerArea]   `json:"solid,omitempty"`
	Liquid *Measured[units.VolumePerArea] `json:"liquid,omitempty"`
	// Evenness, as fractions, where it was measured.
	CV           *float64 `json:"cv,omitempty"`           // across the swath, 0 or more
	Christiansen *float64 `json:"christiansen,omitempty"` // at most 1
	Note         string   `json:"note,omitempty"`
}

// Measured is the rate in a record.
type Measured[R Rate] struct {
	N       int     `json:"n"`      // measurements, 1 or more
	Mean    R       `json:"mean"`   // more than 0
	SD      R       `json:"sd"`     // n - 1; 0 with one measurement
	Target  R       `json:"target"` // 0 when none was set
	Verdict Verdict `json:"verdict,omitempty"`
}

// MeasuredOf returns the part of a record that a summary fills.
func MeasuredOf[R Rate](s sample.Summary[R], target R, v Verdict) *Measured[R] {
	return &Measured[R]{N: s.N, Mean: s.Mean, SD: s.SD, Target: target, Verdict: v}
}

// Check returns every fault of r as a [units.FieldError], nil when it can be kept.
func (r Record) Check() error {
	var f units.Faults
	if r.Version != RecordVersion {
		f.Add("version", r.Version, "1")
	}
	if y := r.Date.Year(); r.Date.IsZero() || y < 1900 || y > 9999 {
		f.Say("date", r.Date.Format(time.RFC3339), "the day of the calibration, such as 2026-04-01T00:00:00Z")
	}
	if r.Machine == "" {
		f.Missing("machine", "a name for the machine")
	}
	if r.Material == "" {
		f.Missing("material", "a name for the material")
	}
	if !methodNames.Has(int(r.Method)) {
		f.Add("method", r.Method, methodNames.Want())
	}
	f.NotNegative("speed", r.Speed)
	f.NotNegative("flow", r.Flow)
	f.NotNegativeNumber("gate", r.Gate)
	f.NotNegative("width", r.Width)
	if (r.Solid == nil) == (r.Liquid == nil) {
		f.Say("solid", "neither or both of solid and liquid", "one of the two")
	}
	checkMeasured(&f, "solid.", r.Solid)
	checkMeasured(&f, "liquid.", r.Liquid)
	if r.CV != nil {
		f.NotNegativeNumber("cv", *r.CV)
	}
	if r.Christiansen != nil && !(*r.Christiansen <= 1 && *r.Christiansen >= -maxCatch) {
		f.Add("christiansen", *r.Christiansen, "a finite number of at most 1")
	}
	return f.Err()
}

func checkMeasured[R Rate](f *units.Faults, path string, m *Measured[R]) {
	if m == nil {
		return
	}
	if m.N < 1 {
		f.Add(path+"n", m.N, "1 or more")
	}
	f.Positive(path+"mean", m.Mean)
	f.NotNegative(path+"sd", m.SD)
	if m.N == 1 && m.SD != 0 {
		f.Add(path+"sd", m.SD, "0 with one measurement, which has no spread")
	}
	f.NotNegative(path+"target", m.Target)
	if m.Verdict != 0 && !verdictNames.Has(int(m.Verdict)) {
		f.Add(path+"verdict", m.Verdict, verdictNames.Want())
	}
}

// ParseRecord reads one record from JSON, strictly: unknown and doubled keys, bare
// numbers where a unit belongs, another version, and values out of range are all
// reported together as [units.FieldError].
func ParseRecord(data []byte) (Record, error) {
	var r Record
	bad := units.Decode(data, &r)
	if !json.Valid(data) {
		return Record{}, bad
	}
	read := units.FieldErrors(bad)
	var f units.Faults
	f.Sub("", bad)
	for _, e := range units.FieldErrors(r.Check()) {
		// What could not be read is not reported a second time as missing.
		if !slices.ContainsFunc(read, func(d *units.FieldError) bool { return units.PathWithin(e.Field, d.Field) }) {
			f.Sub("", e)
		}
	}
	if err := f.Err(); err != nil {
		return Record{}, err
	}
	return r, nil
}

// Encode returns r as indented JSON, or its faults.
func (r Record) Encode() ([]byte, error) {
	if err := r.Check(); err != nil {
		return nil, err
	}
	return json.MarshalIndent(r, "", "  ")
}
