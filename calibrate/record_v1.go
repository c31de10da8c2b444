package calibrate

import (
	"strings"
	"time"

	"example.org/earthbasin/units"
)

// recordV1 is version 1 of the JSON form of [Record], which had a mean for the rate,
// no interval and no readings.
type recordV1 struct {
	Version      int                              `json:"version"`
	Date         time.Time                        `json:"date"`
	Machine      string                           `json:"machine"`
	Material     string                           `json:"material"`
	Method       RateMethod                       `json:"method"`
	Gear         string                           `json:"gear"`
	Speed        units.Speed                      `json:"speed"`
	Flow         units.Flow                       `json:"flow"`
	Gate         float64                          `json:"gate"`
	Width        units.Length                     `json:"width"`
	Solid        *measuredV1[units.MassPerArea]   `json:"solid"`
	Liquid       *measuredV1[units.VolumePerArea] `json:"liquid"`
	CV           *float64                         `json:"cv"`
	Christiansen *float64                         `json:"christiansen"`
	Note         string                           `json:"note"`
}

type measuredV1[R RateQuantity] struct {
	N       int      `json:"n"`
	Mean    R        `json:"mean"`
	SD      R        `json:"sd"`
	Target  R        `json:"target"`
	Verdict Decision `json:"verdict"`
}

// pathV1 gives the path of a field of today in a file of version 1.
var pathV1 = strings.NewReplacer(".rate", ".mean", ".decision", ".verdict")

// record returns o in the form of today.
func (o recordV1) record() Record {
	return Record{
		Version: RecordVersion, Date: o.Date, Machine: o.Machine, Material: o.Material, Method: o.Method,
		Gear: o.Gear, Speed: o.Speed, Flow: o.Flow, Gate: o.Gate, Width: o.Width,
		Solid: o.Solid.measured(), Liquid: o.Liquid.measured(),
		CV: o.CV, Christiansen: o.Christiansen, Note: o.Note,
	}
}

func (o *measuredV1[R]) measured() *Measured[R] {
	if o == nil {
		return nil
	}
	return &Measured[R]{Rate: o.Mean, N: o.N, SD: o.SD, Target: o.Target, Decision: o.Verdict}
}
