package calibrate

import (
	"math"

	"example.org/earthbasin/units"
)

// HoseSetsSpec is a field under a drag hose that is moved from set to set.
type HoseSetsSpec struct {
	Flow    units.Flow                `json:"flow"`             // through the hose while it pumps
	Rate    units.VolumePerArea       `json:"rate"`             // wanted
	Width   units.Length              `json:"width"`            // of the tool
	Area    units.Area                `json:"area"`             // of the field
	SetArea units.Area                `json:"setArea"`          // reached before the hose is moved; about 40 acres is reported by the farm press
	SetUp   units.Duration            `json:"setUp,omitempty"`  // to move the hose, once for each set; 0 or more
	Pumping float64                   `json:"pumping"`          // share of the time in a set that the pump runs, above 0 to 1
	Limits  *units.Range[units.Speed] `json:"limits,omitempty"` // speeds the tractor can hold
}

// HoseSetsResult is the speed and the time of a drag hose job.
type HoseSetsResult struct {
	Spec     HoseSetsSpec   `json:"spec"`     // what it was worked out from
	Speed    units.Speed    `json:"speed"`    // that puts down the rate
	InLimits bool           `json:"inLimits"` // Speed lies in the limits, true when none were given
	Sets     int            `json:"sets"`     // field over set area, rounded up
	SetTime  units.Duration `json:"setTime"`  // of a full set, without moving the hose
	Volume   units.Volume   `json:"volume"`   // on the whole field
	Spread   units.Duration `json:"spread"`   // time with the hose laid out, pumping or turning
	Moving   units.Duration `json:"moving"`   // sets x set-up
	Total    units.Duration `json:"total"`    // Spread + Moving
	Cautions []string       `json:"cautions"` // for the people at hose and pump
}

// HoseSets returns the speed, the sets and the time of a drag hose on a field:
// speed = flow / (rate x width), time of a set = rate x set area / (flow x share
// pumping), sets rounded up. Quantities out of range are [units.FieldError]. The removal
// counts its sets by the same formula for a volume to pump out; here a field is given, and
// the two packages stand alone.
func HoseSets(spec HoseSetsSpec) (HoseSetsResult, error) {
	var f units.Faults
	f.Positive("flow", spec.Flow)
	f.Positive("rate", spec.Rate)
	f.Positive("width", spec.Width)
	f.Positive("area", spec.Area)
	f.Positive("setArea", spec.SetArea)
	f.NotNegative("setUp", spec.SetUp)
	f.PositiveFraction("pumping", spec.Pumping)
	if l := spec.Limits; l != nil {
		f.NotNegative("limits.low", l.Low)
		f.Positive("limits.high", l.High)
		if l.Low > l.High {
			f.Add("limits.low", l.Low, "at most limits.high, %v", l.High)
		}
	}
	sets := math.Ceil(spec.Area.In(spec.SetArea) * (1 - 1e-12)) // a whole number stays one
	if sets > maxSets {
		f.Add("setArea", spec.SetArea, "an area that covers the field in at most %v sets", maxSets)
	}
	if err := f.Err(); err != nil {
		return HoseSetsResult{}, err
	}
	s, err := Solve(SolveSpec{Flow: spec.Flow, Rate: spec.Rate, Width: spec.Width})
	if err != nil {
		return HoseSetsResult{}, err
	}
	effective := units.Flow(spec.Pumping) * spec.Flow
	r := HoseSetsResult{
		Spec:     spec,
		Speed:    s.Speed,
		InLimits: spec.Limits == nil || spec.Limits.Has(s.Speed),
		Sets:     int(sets),
		SetTime:  spec.Rate.Times(spec.SetArea).OverFlow(effective),
		Volume:   spec.Rate.Times(spec.Area),
		Moving:   units.Duration(sets) * spec.SetUp,
		Cautions: []string{cautionHose},
	}
	r.Spread = r.Volume.OverFlow(effective)
	r.Total = r.Spread + r.Moving
	checkResult(&f, "rate", r.Volume)
	checkResult(&f, "setArea", r.SetTime)
	checkResult(&f, "flow", r.Total)
	if err := f.Err(); err != nil {
		return HoseSetsResult{}, err
	}
	return r, nil
}

const cautionHose = "A hose or a pig under pressure strikes with force when it comes free, and a dragged hose sweeps the headland: let the pressure off before uncoupling, stand clear of hose, ends and pigs, and keep pump and tractor in radio contact."

// maxSets keeps a slip in the unit of a set from asking for a million moves.
const maxSets = 10000

// Working returns the lines that lead to the total.
func (r HoseSetsResult) Working() units.Working {
	var w units.Working
	how := "flow / (rate x width)"
	if !r.InLimits {
		how += "; outside the limits of the tractor"
	}
	w.Add("speed", r.Speed, how)
	w.Add("sets", r.Sets, "field / set area, rounded up")
	w.Add("one full set", r.SetTime, "rate x set area / (flow x share pumping)")
	w.Add("volume", r.Volume, "rate x field")
	w.Add("spreading", r.Spread, "volume / (flow x share pumping)")
	w.Add("moving the hose", r.Moving, "sets x set-up")
	w.Add("total", r.Total, "spreading + moving")
	return w
}

// String returns the working as a table.
func (r HoseSetsResult) String() string { return r.Working().String() }
