package calibrate

import (
	"encoding/json"
	"fmt"
	"time"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

// RecordVersion is the version of the JSON form of [Record] that this package
// writes. [ParseRecord] reads it and every version before it.
const RecordVersion = 2

// RateMethod is how a rate was measured.
type RateMethod = units.Enum[methodWords]

const (
	// RateMethodSheets is [Sheets], "sheets" in JSON.
	RateMethodSheets RateMethod = iota + 1
	// RateMethodLoadArea is [LoadArea], "load area" in JSON.
	RateMethodLoadArea
	// RateMethodFlow is [Solve] with a timed tank or a flow meter, "flow" in JSON.
	RateMethodFlow
	// RateMethodGauges is [Gauges], "gauges" in JSON.
	RateMethodGauges
)

var methodNames = units.Names{"", "sheets", "load area", "flow", "gauges"}

type methodWords struct{}

func (methodWords) Names() units.Names { return methodNames }

// Record is one calibration as it is kept. What [Record.Encode] writes,
// [ParseRecord] reads back to the same value.
type Record struct {
	Version  int        `json:"version"`  // RecordVersion
	Date     time.Time  `json:"date"`     // of the calibration, 1900 to 9999
	Machine  string     `json:"machine"`  // the caller's name for it
	Material string     `json:"material"` // the caller's name for it
	Method   RateMethod `json:"method"`   // how the rate was measured
	// What the machine was set to; what is not known is left out.
	Gear  string       `json:"gear,omitempty"`  // the caller's name for it
	Speed units.Speed  `json:"speed,omitempty"` // over the ground
	Flow  units.Flow   `json:"flow,omitempty"`  // of a liquid
	Gate  float64      `json:"gate,omitempty"`  // opening, in any one unit
	Width units.Length `json:"width,omitempty"` // effective width
	// Exactly one of the two.
	Solid  *Measured[units.MassPerArea]   `json:"solid,omitempty"`  // rate by mass
	Liquid *Measured[units.VolumePerArea] `json:"liquid,omitempty"` // rate by volume
	// Evenness, as fractions, where it was measured.
	CV           *float64 `json:"cv,omitempty"`           // across the swath, 0 or more
	Christiansen *float64 `json:"christiansen,omitempty"` // at most 1
	Note         string   `json:"note,omitempty"`         // anything else
}

// Check returns every fault of r as a [units.FieldError], nil when it can be kept.
func (r Record) Check() error {
	var f units.Faults
	if r.Version != RecordVersion {
		f.Add("version", r.Version, fmt.Sprint(RecordVersion))
	}
	if y := r.Date.Year(); r.Date.IsZero() || y < 1900 || y > 9999 {
		f.Say("date", r.Date.Format(time.RFC3339), "the day of the calibration, such as 2026-04-01")
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
		f.Say("solid", "both or neither of solid and liquid given", "one of the two")
	}
	r.Solid.check(f.At("solid"))
	r.Liquid.check(f.At("liquid"))
	if r.CV != nil {
		f.NotNegativeNumber("cv", *r.CV)
	}
	if r.Christiansen != nil && !(*r.Christiansen <= 1 && *r.Christiansen >= -maxCatch) {
		f.Add("christiansen", *r.Christiansen, "a finite number of at most 1")
	}
	return f.Err()
}

// ParseRecord reads one record of any version from JSON and returns it in the form
// of today. It reads strictly: unknown and doubled keys, bare numbers where a unit
// belongs, a version that is not known, and values out of range are all reported
// together as [units.FieldError].
func ParseRecord(data []byte) (Record, error) {
	var head struct {
		Version int `json:"version"`
	}
	// Faults of the head are found again below, at their place.
	if err := json.Unmarshal(data, &head); err != nil && !json.Valid(data) {
		return Record{}, strict.Decode(data, &head)
	}
	var r Record
	var old recordV1
	var into any = &r
	if head.Version == 1 {
		into = &old
	}
	err := strict.Check(data, into, func() error {
		if head.Version == 1 {
			r = old.record()
		}
		var f units.Faults
		for _, e := range units.FieldErrors(r.Check()) {
			if e.Field == "version" {
				e.Want = units.Words("1 to %v", RecordVersion)
			}
			if head.Version == 1 {
				e.Field = pathV1.Replace(e.Field)
			}
			f.Sub("", e)
		}
		return f.Err()
	})
	if err != nil {
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
