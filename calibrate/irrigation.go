package calibrate

import (
	"fmt"

	"example.org/earthbasin/units"
)

// SolidSetSpec is sprinklers on a rectangular grid.
type SolidSetSpec struct {
	Flow       units.Flow     `json:"flow"`          // of one sprinkler
	Along      units.Length   `json:"along"`         // spacing along the line
	Between    units.Length   `json:"between"`       // spacing between lines
	Efficiency float64        `json:"efficiency"`    // share of the water that reaches the ground, above 0 to 1
	Run        units.Duration `json:"run,omitempty"` // of one irrigation, 0 or more
}

// SolidSetResult is the application rate of a solid set.
type SolidSetResult struct {
	Spec     SolidSetSpec    `json:"spec"`     // what it was worked out from
	PerAcre  float64         `json:"perAcre"`  // sprinklers per acre, one for each cell of the grid
	Gross    units.DepthRate `json:"gross"`    // out of the nozzles
	Net      units.DepthRate `json:"net"`      // Gross x Efficiency
	RunGross units.Length    `json:"runGross"` // in Run
	RunNet   units.Length    `json:"runNet"`   // RunGross x Efficiency
}

// SolidSet returns the rate of a solid set: flow / (along x between). In trade units
// in/h = 96.25 gpm/ft2, printed with 96.3 in New Mexico State University, Soils 456,
// chapter 5. Flow and spacings that are not above 0 and an efficiency outside 0 to 1
// are [units.FieldError].
func SolidSet(spec SolidSetSpec) (SolidSetResult, error) {
	var f units.Faults
	f.Positive("flow", spec.Flow)
	f.Positive("along", spec.Along)
	f.Positive("between", spec.Between)
	f.NotNegative("run", spec.Run)
	f.PositiveFraction("efficiency", spec.Efficiency)
	cell := spec.Along.Times(spec.Between)
	r := SolidSetResult{Spec: spec, PerAcre: float64(units.Acre / cell), Gross: spec.Flow.OverArea(cell)}
	r.Net = units.DepthRate(spec.Efficiency) * r.Gross
	r.RunGross, r.RunNet = r.Gross.Times(spec.Run), r.Net.Times(spec.Run)
	if f.Err() == nil {
		checkResult(&f, "along", r.Gross)
		f.PositiveNumber("between", r.PerAcre)
		checkResult(&f, "run", r.RunGross)
	}
	if err := f.Err(); err != nil {
		return SolidSetResult{}, err
	}
	return r, nil
}

// Working returns the lines that lead to the rate.
func (r SolidSetResult) Working() units.Working {
	var w units.Working
	w.Add("sprinklers per acre", units.Words("%.2f", r.PerAcre), "acre / (along x between)")
	w.Add("gross rate", r.Gross, "flow / (along x between)")
	w.Add("net rate", r.Net, "gross x efficiency")
	if r.RunGross > 0 {
		w.Add("in one run", r.RunNet, "net; gross %v", r.RunGross)
	}
	return w
}

// String returns the working as a table.
func (r SolidSetResult) String() string { return r.Working().String() }

// GrossNetSpec compares what was pumped with what the gauges caught.
type GrossNetSpec struct {
	Flow  units.Flow          `json:"flow"`            // by meter, or by nozzle and pressure
	Time  units.Duration      `json:"time"`            // of pumping
	Area  units.Area          `json:"area"`            // that the system waters in that time
	Net   units.Length        `json:"net"`             // mean of the gauges, [GaugesResult.Depth]
	Carry units.Concentration `json:"carry,omitempty"` // of a constituent in the liquid
}

// GrossNetResult is pumped against caught.
type GrossNetResult struct {
	Spec       GrossNetSpec      `json:"spec"`       // what it was worked out from
	Gross      units.Length      `json:"gross"`      // flow x time / area
	Efficiency float64           `json:"efficiency"` // Net/Gross; above 1 when the gauges caught more than was pumped, as after rain
	Loss       units.Length      `json:"loss"`       // Gross - Net: evaporation, drift, leaks, gauges too close; may be negative
	Carried    units.MassPerArea `json:"carried"`    // of the constituent, with the gross depth: what dries in the air falls as salt or drifts
}

// GrossNet compares the depth pumped, in = gpm h / (452.57 ac), with the depth
// caught. Quantities that are not above 0 are [units.FieldError]; Net and Carry may
// be 0.
func GrossNet(spec GrossNetSpec) (GrossNetResult, error) {
	var f units.Faults
	f.Positive("flow", spec.Flow)
	f.Positive("time", spec.Time)
	f.Positive("area", spec.Area)
	f.NotNegative("net", spec.Net)
	f.NotNegative("carry", spec.Carry)
	if err := f.Err(); err != nil {
		return GrossNetResult{}, err
	}
	r := GrossNetResult{Spec: spec, Gross: spec.Flow.Times(spec.Time).Over(spec.Area).Depth()}
	f.Positive("flow", r.Gross)
	r.Efficiency = float64(spec.Net / r.Gross)
	r.Loss = r.Gross - spec.Net
	r.Carried = r.Gross.Applied().Carrying(spec.Carry)
	checkResult(&f, "carry", r.Carried)
	if !finite(r.Efficiency) {
		f.Add("net", spec.Net, "a depth of the order of the gross depth, %v", r.Gross)
	}
	if err := f.Err(); err != nil {
		return GrossNetResult{}, err
	}
	return r, nil
}

// Working returns the lines that lead to the loss.
func (r GrossNetResult) Working() units.Working {
	var w units.Working
	w.Add("gross depth", r.Gross, "flow x time / area")
	w.Add("net depth", r.Spec.Net, "mean of the gauges")
	w.Add("efficiency", units.Share(r.Efficiency), "net / gross")
	w.Add("loss", r.Loss, "gross - net")
	if r.Carried > 0 {
		w.Add("carried", r.Carried, "gross x concentration")
	}
	return w
}

// String returns the working as a table.
func (r GrossNetResult) String() string { return r.Working().String() }

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
	Notes   []string       `json:"notes,omitempty"` // what a reader should know
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
			r.Notes = append(r.Notes, fmt.Sprintf("The lane is %.0f %% of the wetted diameter; sprinklers on a square are set at %.0f %% in a wind of %s. Check the pattern with gauges.",
				100*r.Share, 100*share, spec.Wind.Text(units.MilePerHour, 0)))
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
		w.Add("note", "", n)
	}
	return w
}

// String returns the working as a table.
func (r LanesResult) String() string { return r.Working().String() }
