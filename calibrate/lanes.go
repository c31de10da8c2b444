package calibrate

import (
	"example.org/earthbasin/units"
)

// LanesSpec is a travelling gun or sprinkler pulled along lanes.
type LanesSpec struct {
	Flow   units.Flow   `json:"flow"`           // of the gun, more than 0
	Wetted units.Length `json:"wetted"`         // diameter that the jet wets in calm air
	Lane   units.Length `json:"lane"`           // distance between lanes, at most Wetted
	Depth  units.Length `json:"depth"`          // wanted, gross
	Length units.Length `json:"length"`         // of a pull
	Wind   *units.Speed `json:"wind,omitempty"` // mean, 0 or more; nil when it is not known
}

// LanesResult is the travel speed and what a pull does.
type LanesResult struct {
	Spec    LanesSpec      `json:"spec"`            // what it was worked out from
	Speed   units.Speed    `json:"speed"`           // that puts down the depth
	Share   float64        `json:"share"`           // lane / wetted diameter
	Overlap units.Length   `json:"overlap"`         // wetted diameter - lane
	Area    units.Area     `json:"area"`            // of one pull
	Time    units.Duration `json:"time"`            // of one pull
	Volume  units.Volume   `json:"volume"`          // of one pull
	Notes   []units.Phrase `json:"notes,omitempty"` // what a reader should know
	// Cautions are for the people at the gun.
	Cautions []string `json:"cautions"`
}

// Lanes returns the speed of a travelling gun: flow / (depth x lane), Waikato
// Regional Council, Effluent Application Rates; in trade units ft/min = 1.60417
// gpm/(in x ft). The effective width is the lane, never the wetted diameter, since
// neighbouring pulls overlap. Quantities that are not above 0 and a lane wider than
// the wetted diameter are [units.FieldError].
func Lanes(spec LanesSpec) (LanesResult, error) {
	var f units.Faults
	f.Positive("flow", spec.Flow)
	f.Positive("wetted", spec.Wetted)
	f.Positive("lane", spec.Lane)
	f.Positive("depth", spec.Depth)
	f.Positive("length", spec.Length)
	if spec.Lane > spec.Wetted {
		f.Add("lane", spec.Lane, "at most the wetted diameter, %v", spec.Wetted)
	}
	if spec.Wind != nil {
		f.NotNegative("wind", *spec.Wind)
	}
	if err := f.Err(); err != nil {
		return LanesResult{}, err
	}
	s, err := Solve(SolveSpec{Flow: spec.Flow, Width: spec.Lane, Rate: spec.Depth.Applied()})
	if err != nil {
		return LanesResult{}, err
	}
	r := LanesResult{
		Spec: spec, Speed: s.Speed, Share: float64(spec.Lane / spec.Wetted), Overlap: spec.Wetted - spec.Lane, Cautions: []string{cautionWastewater},
		Area: spec.Lane.Times(spec.Length), Time: spec.Length.OverSpeed(s.Speed),
	}
	r.Volume = spec.Flow.Times(r.Time)
	checkResult(&f, "length", r.Area)
	checkResult(&f, "length", r.Time)
	checkResult(&f, "flow", r.Volume)
	if err := f.Err(); err != nil {
		return LanesResult{}, err
	}
	if spec.Wind != nil {
		if share, ok := SquareSpacing(*spec.Wind); ok && r.Share > share {
			r.Notes = append(r.Notes, units.Words("The lane is %v of the wetted diameter; sprinklers on a square are set at %v in a wind of %v. Check the pattern with gauges.",
				units.Share(r.Share), units.Share(share), units.As(*spec.Wind, units.MilePerHour, 0)))
		}
	}
	return r, nil
}

// SquareSpacing returns the spacing of sprinklers on a square grid as a share of
// their wetted diameter: 0.55 at winds up to 3 mph, 0.50 from 4 to 7, 0.45 from 8 to
// 12 (a course on sprinkler spacing; New Mexico State University, Soils 456, answers
// to chapter 5, uses 0.50). Between the printed classes the smaller share holds; ok
// is false above 12 mph and below 0.
func SquareSpacing(wind units.Speed) (share float64, ok bool) {
	switch mph := wind.In(units.MilePerHour); {
	case !(mph >= 0 && mph <= 12*(1+1e-9)):
		return 0, false
	case mph <= 3*(1+1e-9):
		return 0.55, true
	case mph <= 7*(1+1e-9):
		return 0.50, true
	}
	return 0.45, true
}

// Working returns the lines that lead to the speed.
func (r LanesResult) Working() units.Working {
	var w units.Working
	w.Add("speed", r.Speed, "flow / (depth x lane)")
	w.Add("lane", units.Share(r.Share), "of the wetted diameter; overlap %v", r.Overlap)
	w.Add("one pull", r.Area, "lane x length")
	w.Add("time of a pull", r.Time, "length / speed")
	w.Add("volume of a pull", r.Volume, "flow x time")
	for _, n := range r.Notes {
		w.Put(units.Words("note"), nil, n)
	}
	return w
}

// String returns the working as a table.
func (r LanesResult) String() string { return r.Working().String() }
