package removal

import (
	"example.org/earthbasin/units"
)

// DragHose is a pump with a hose to the field, or a line to anywhere else when rate
// and set area are left out.
type DragHose struct {
	Flow    units.Flow          `json:"flow,omitempty"`    // while it pumps, above 0; left out with a line
	Line    *LineSpec           `json:"line,omitempty"`    // from whose heads the flow follows
	Pumping float64             `json:"pumping"`           // share of the time laid out that it pumps, 0.001 to 1
	Rate    units.VolumePerArea `json:"rate,omitempty"`    // on the field
	SetArea units.Area          `json:"setArea,omitempty"` // reached before the hose is moved
	SetUp   units.Duration      `json:"setUp,omitempty"`   // to lay or move the hose, once for each set, or once in all
	Moved   units.Length        `json:"moved,omitempty"`   // hose that is laid or drawn over for a set, beside SetUp
	Laying  units.Speed         `json:"laying,omitempty"`  // at which, with Moved
}

// PumpSpec is a volume to pump out.
type PumpSpec struct {
	Volume units.Volume `json:"volume"` // 0.1 gal to 1e10 gal
	Hose   DragHose     `json:"hose"`   // that it goes through
}

// PumpResult is area, sets and time.
type PumpResult struct {
	Flow    units.Flow     `json:"flow"`           // while it pumps
	Line    *LineResult    `json:"line,omitempty"` // where the pump works, with a line
	Area    units.Area     `json:"area"`           // volume / rate; 0 without a rate
	Sets    int            `json:"sets"`           // area / set area, rounded up; 1 without a set area
	LaidOut units.Duration `json:"laidOut"`        // volume / (flow x share pumping)
	Moving  units.Duration `json:"moving"`         // sets x (set-up + moved / laying)
	Time    units.Duration `json:"time"`           // LaidOut and Moving together
}

// Pump returns the field area, the hose sets and the hours of pumping a volume out
// through a hose. Quantities out of range are [units.FieldError].
func Pump(spec PumpSpec) (PumpResult, error) {
	var f units.Faults
	f.Between("volume", spec.Volume, minVolume, maxVolume)
	var inner units.Faults
	spec.Hose.check(&inner)
	f.Sub("hose", inner.Err())
	if err := f.Err(); err != nil {
		return PumpResult{}, err
	}
	r, ok := spec.Hose.pump(spec.Volume)
	if !ok {
		f.Add("volume", spec.Volume, "a volume that is spread with at most %v sets", int(maxLoads))
		return PumpResult{}, f.Err()
	}
	return r, nil
}

// check records what is wrong with the hose under the paths of its fields.
func (h DragHose) check(f *units.Faults) {
	if h.Line == nil {
		f.Between("flow", h.Flow, minFlow, maxFlow)
	} else {
		if h.Flow != 0 {
			f.Add("flow", h.Flow, "either a flow or a line, not both")
		}
		_, err := Line(*h.Line)
		f.Sub("line", err)
	}
	f.NumberBetween("pumping", h.Pumping, minShare, 1)
	f.ZeroOr("rate", h.Rate, minRate, maxRate)
	f.ZeroOr("setArea", h.SetArea, minArea, maxArea)
	if h.SetArea > 0 && h.Rate == 0 {
		f.Missing("rate", "the rate on the field, for the number of sets")
	}
	f.ZeroOr("setUp", h.SetUp, minDuration, maxDuration)
	f.ZeroOr("moved", h.Moved, minRoute, maxRoute)
	if h.Moved > 0 {
		f.Between("laying", h.Laying, minSpeed, maxSpeed)
	} else if h.Laying != 0 {
		f.Add("laying", h.Laying, "a length of hose that is moved with it")
	}
}

// pump works out a checked hose; ok is false when it takes more sets than a closure has.
func (h DragHose) pump(volume units.Volume) (r PumpResult, ok bool) {
	sets := 1.0
	if h.Rate > 0 {
		r.Area = volume.OverRate(h.Rate)
		if h.SetArea > 0 {
			sets = ceil(float64(r.Area / h.SetArea))
		}
	}
	if !(sets <= maxLoads) {
		return PumpResult{}, false
	}
	r.Sets, r.Flow = int(sets), h.Flow
	if h.Line != nil {
		line, _ := h.Line.work() // whose pump reaches the outlet, as was checked
		r.Line, r.Flow = &line, line.Flow
	}
	r.LaidOut = volume.OverFlow(units.Flow(h.Pumping) * r.Flow)
	set := h.SetUp
	if h.Moved > 0 {
		set += h.Moved.OverSpeed(h.Laying)
	}
	r.Moving = noSign(units.Duration(sets) * set)
	r.Time = r.LaidOut + r.Moving
	return r, true
}

// Working returns the lines that lead to the time.
func (r PumpResult) Working() units.Working {
	var w units.Working
	if r.Line != nil {
		w = r.Line.Working()
	}
	if r.Area > 0 {
		w.Add("area", r.Area, "volume / rate")
	}
	w.Add("sets", r.Sets, "area / set area, rounded up")
	w.Add("laid out", r.LaidOut, "volume / (flow x share pumping)")
	w.Add("moving", r.Moving, "sets x (set-up + hose moved / laying)")
	w.Add("time", r.Time, "laid out + moving")
	return w
}

// String returns the working as a table.
func (r PumpResult) String() string { return r.Working().String() }
