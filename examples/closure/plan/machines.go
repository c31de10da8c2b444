package plan

import (
	"cmp"
	"math"

	"example.org/earthbasin/calibrate"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/nutrient/allocation"
	"example.org/earthbasin/units"
)

// Machines is every machine with what was measured and the speeds of the plan.
type Machines struct {
	stage.Rows `json:"-"`
	Machines   []MachineResult `json:"machines"` // in the order of the scenario
	Settings   []Setting       `json:"settings"` // of each placement
}

// MachineResult is one machine: the answer of the way by which it was measured, and the
// verdict against the highest rate that the plan asks of it.
type MachineResult struct {
	Name     string                                                       `json:"name"`
	Kind     Kind                                                         `json:"kind"`
	Gauges   *calibrate.GaugesResult                                      `json:"gauges,omitempty"`
	SolidSet *calibrate.SolidSetResult                                    `json:"solidSet,omitempty"`
	Course   *calibrate.SolveResult                                       `json:"course,omitempty"`
	Loads    *calibrate.LoadAreaResult[units.Volume, units.VolumePerArea] `json:"loads,omitempty"`
	Sheets   *calibrate.SheetsResult                                      `json:"sheets,omitempty"`
	Weighed  *calibrate.LoadAreaResult[units.Mass, units.MassPerArea]     `json:"weighed,omitempty"`
	// Liquid or Solid is the verdict, by the form in which the machine was measured; nil
	// where the plan asks no rate of it.
	Liquid *calibrate.CorrectResult[units.VolumePerArea] `json:"liquid,omitempty"`
	Solid  *calibrate.CorrectResult[units.MassPerArea]   `json:"solid,omitempty"`
}

// Measured is whether the machine has been calibrated.
func (m *MachineResult) Measured() bool {
	return m.Gauges != nil || m.Course != nil || m.Loads != nil || m.Sheets != nil || m.Weighed != nil
}

// Setting is the speed at which a machine puts down the rate of a placement.
type Setting struct {
	Field    string        `json:"field"`
	Season   string        `json:"season"`
	Material string        `json:"material"`
	Machine  string        `json:"machine"`
	Rate     nutrient.Rate `json:"rate"`
	// Passes is in how many passes the rate goes on, each an equal part of it: so many that
	// none is above the most of the machine, nor above what it reaches at its slowest.
	Passes int `json:"passes"`
	// On is the ground to cover, net of setbacks: the field, or the part on which a machine
	// puts the amount at its fastest.
	On     units.Area                                           `json:"on"`
	Liquid *calibrate.Setting[units.Speed, units.VolumePerArea] `json:"liquid,omitempty"`
	Solid  *calibrate.Setting[units.Speed, units.MassPerArea]   `json:"solid,omitempty"`
}

// usualTolerance is how far a rate may be off the planned one where nobody says (common
// practice, no source).
const usualTolerance = 0.1

// sheetOf says what to measure, how often, by the kind of machine (common practice, no
// source).
var sheetOf = map[Kind]string{
	Irrigation: "catch cans: 16 or more across the wetted width, one full pass, wind below 5 mph, at the planned speed; once for each nozzle and pressure, again after repairs",
	Hose:       "the flow by a meter or a timed tank, a timed course of 300 ft and the width of the toolbar; three times, once for each material, again when the hose gets longer",
	Tanker:     "the load and the length and width of the strip it covers; three loads at the planned speed, once for each material, agitated as when spreading",
	Box:        "six ground sheets across the spread width or three weighed loads over measured strips, at the planned speed; once for each material",
}

// machines judges the calibrations against the rates of the plan; route may be nil.
func machines(s *Scenario, route *RouteResult) (Machines, error) {
	var r Machines
	var f units.Faults
	if len(s.Machines) > mostMachines {
		f.Count("machines", len(s.Machines), "machines", "at most %v", mostMachines)
		return r, f.Err()
	}
	names := map[string]bool{}
	for i := range s.Machines {
		in, at := &s.Machines[i], f.At("machines", i)
		at.Name("name", in.Name, "machine", names)
		m := MachineResult{Name: in.Name, Kind: in.Kind}
		r.measure(&at, in, &m, route.carries(s, in.Name))
		if at.Err() == nil && !m.Measured() {
			r.Open = append(r.Open, stage.Open{Key: "machines." + in.Name, Who: stage.Contractor,
				What:  units.Words("whether %v puts the planned rate on the ground", units.Word(in.Name)),
				Needs: units.Words("a calibration before it spreads: %v", units.Word(sheetOf[in.Kind]))})
		}
		r.Machines = append(r.Machines, m)
	}
	if f.Err() != nil || route == nil || route.Spread.Allocated == nil {
		return r, f.Err()
	}
	for i := range r.Machines {
		at := f.At("machines", i)
		r.judge(&at, s, route, i)
	}
	r.calibrated(s, route)
	r.atLimits(s, route)
	return r, f.Err()
}

// measure works out what was measured with a machine.
func (r *Machines) measure(f *units.Faults, in *Machine, m *MachineResult, carries map[string]units.Concentration) {
	if !kindNames.Has(int(in.Kind)) {
		f.Add("kind", in.Kind, kindNames.Want())
	}
	if !in.Most.IsZero() {
		f.Sub("most", in.Most.Check(in.Most.Form()))
		if in.Most.SI() == 0 {
			f.Add("most", in.Most.UnitsValue(), "more than 0")
		}
	}
	if in.Accepted != 0 {
		f.NumberBetween("tolerance", in.Accepted, 0.001, 0.5)
	}
	ways := []struct {
		field string
		given bool
		kind  Kind
	}{{"gauges", in.Gauges != nil, Irrigation}, {"solidSet", in.SolidSet != nil, Irrigation}, {"course", in.Course != nil, Hose},
		{"loads", in.Loads != nil, Tanker}, {"sheets", in.Sheets != nil, Box}, {"weighed", in.Weighed != nil, Box}}
	n := 0
	for _, way := range ways {
		if way.given && way.field != "solidSet" {
			n++
		}
		if way.given && kindNames.Has(int(in.Kind)) && way.kind != in.Kind {
			f.Say(way.field, "that of another kind of machine", "the way of a machine of kind %v", in.Kind)
		}
	}
	if n > 1 {
		f.Count("gauges", n, "ways", "1 of gauges, course, loads, sheets and weighed")
	}
	if in.Gauges != nil {
		spec := *in.Gauges
		spec.Carries = carries
		m.Gauges = answered(f, "gauges", &spec, calibrate.Gauges)
	}
	m.SolidSet = answered(f, "solidSet", in.SolidSet, calibrate.SolidSet)
	m.Course = answered(f, "course", in.Course, calibrate.Solve)
	m.Loads = answered(f, "loads", in.Loads, calibrate.LoadArea[units.Volume, units.VolumePerArea])
	m.Sheets = answered(f, "sheets", in.Sheets, calibrate.Sheets)
	m.Weighed = answered(f, "weighed", in.Weighed, calibrate.LoadArea[units.Mass, units.MassPerArea])
	caution(&r.Rows, m.Gauges, func(x *calibrate.GaugesResult) []string { return x.Cautions })
	caution(&r.Rows, m.Sheets, func(x *calibrate.SheetsResult) []string { return x.Cautions })
	if in.Speed != nil {
		// Held against itself, the control is checked whatever the plan asks.
		_, err := calibrate.Correct(calibrate.CorrectSpec[units.MassPerArea]{Measured: 1, Target: 1, Tolerance: usualTolerance, Speed: in.Speed})
		f.Sub("", err)
	}
}

// answered is the answer of the library to a part that may be left out, nil without it
// and with faults.
func answered[S, R any](f *units.Faults, field string, spec *S, work func(S) (R, error)) *R {
	if spec == nil {
		return nil
	}
	r, err := work(*spec)
	f.Sub(field, err)
	if err != nil {
		return nil
	}
	return &r
}

// carries is what the material of a machine holds, by which its gauges tell what they
// caught.
func (r *RouteResult) carries(s *Scenario, machine string) map[string]units.Concentration {
	if r == nil {
		return nil
	}
	for _, m := range r.Spread.Materials {
		if n, ok := m.Analysis.TotalN.Concentration(); ok && s.Materials[m.Index].Machine == machine {
			return map[string]units.Concentration{totalN: n}
		}
	}
	return nil
}

// correction is what was measured, by volume or by weight; both nil where nothing was.
func (m *MachineResult) correction() (*calibrate.CorrectSpec[units.VolumePerArea], *calibrate.CorrectSpec[units.MassPerArea]) {
	switch {
	case m.Gauges != nil:
		return &calibrate.CorrectSpec[units.VolumePerArea]{Measured: m.Gauges.Depth().Applied()}, nil
	case m.Course != nil:
		return &calibrate.CorrectSpec[units.VolumePerArea]{Measured: m.Course.Rate}, nil
	case m.Loads != nil:
		return &calibrate.CorrectSpec[units.VolumePerArea]{Measured: m.Loads.Rate, Interval: m.Loads.Interval}, nil
	case m.Sheets != nil:
		return nil, &calibrate.CorrectSpec[units.MassPerArea]{Measured: m.Sheets.Summary.Mean, Interval: m.Sheets.Summary.Interval}
	case m.Weighed != nil:
		return nil, &calibrate.CorrectSpec[units.MassPerArea]{Measured: m.Weighed.Rate, Interval: m.Weighed.Interval}
	}
	return nil, nil
}

// judge holds a machine against the highest rate of the plan, and sets its speed for each
// placement.
func (r *Machines) judge(f *units.Faults, s *Scenario, route *RouteResult, i int) {
	in, m := &s.Machines[i], &r.Machines[i]
	tolerance := cmp.Or(in.Accepted, usualTolerance)
	volume, mass := m.correction()
	if volume == nil && mass == nil {
		return
	}
	var highest float64 // of one pass, in SI units
	for _, x := range route.Spread.Allocated.Placements {
		k := route.Spread.index(x.Material)
		if k < 0 || s.Materials[route.Spread.Materials[k].Index].Machine != in.Name {
			continue
		}
		form := nutrient.Liquid
		if mass != nil {
			form = nutrient.Solid
		}
		rate, err := x.Rate.As(form, route.Spread.Materials[k].Stream.Slurry.Density())
		f.Sub("", err)
		if err != nil || rate.SI() == 0 {
			continue
		}
		set := Setting{Field: x.Field, Season: x.Season, Material: x.Material, Machine: in.Name, Rate: x.Rate, On: units.Area(x.Amount.SI() / x.Rate.SI()), Passes: in.leastPasses(rate)}
		allowed := max(1, s.Materials[route.Spread.Materials[k].Index].Passes)
		for in.Speed != nil {
			if volume != nil {
				set.Liquid = corrected(f, *volume, units.VolumePerArea(rate.SI()/float64(set.Passes)), tolerance, in.Speed).Speed
			} else {
				set.Solid = corrected(f, *mass, units.MassPerArea(rate.SI()/float64(set.Passes)), tolerance, in.Speed).Speed
			}
			if !set.slow() || set.Passes >= allowed {
				break
			}
			set.Passes++
		}
		if each := rate.SI() / float64(set.Passes); each > highest {
			highest = each
		}
		if in.Speed != nil {
			r.tooSlow(&set)
			r.tooFast(&set, &x)
			r.Settings = append(r.Settings, set)
		}
	}
	switch {
	case highest == 0:
	case volume != nil:
		m.Liquid = corrected(f, *volume, units.VolumePerArea(highest), tolerance, in.Speed)
	default:
		m.Solid = corrected(f, *mass, units.MassPerArea(highest), tolerance, in.Speed)
	}
}

// leastPasses is in how many passes a rate goes on at least, so that none is above the most
// of the machine.
func (m *Machine) leastPasses(rate nutrient.Rate) int {
	if m.Most.Form() != rate.Form() {
		return 1
	}
	return max(1, int(math.Ceil(rate.SI()/m.Most.SI()-1e-9)))
}

// at is the rate of one pass at the speed that is set, and how far it is off; of a machine
// that has to be measured first it is none.
func (set *Setting) at() (each nutrient.Rate, off float64, limited, within bool) {
	switch {
	case set.Liquid != nil:
		return nutrient.LiquidRate(set.Liquid.Rate), set.Liquid.Off, set.Liquid.Limited, set.Liquid.Within
	case set.Solid != nil:
		return nutrient.SolidRate(set.Solid.Rate), set.Solid.Off, set.Solid.Limited, set.Solid.Within
	}
	return each, 0, false, true
}

// slow is whether the machine at its slowest puts on less than the pass asks.
func (set *Setting) slow() bool {
	_, off, limited, _ := set.at()
	return limited && off < 0
}

// tooSlow opens a point where a machine at its slowest puts on less than is planned, by
// more than is accepted.
func (r *Machines) tooSlow(set *Setting) {
	each, _, _, within := set.at()
	if !set.slow() || within {
		return
	}
	r.Open = append(r.Open, stage.Open{Key: "machines." + set.Machine + ".slow." + set.Field, Who: stage.Contractor,
		What:  units.Words("how %v puts %v of %v on %v: at its slowest it puts on %v in a pass, of which there are %v at most", units.Word(set.Machine), set.Rate, units.Word(set.Material), units.Word(set.Field), each, set.Passes),
		Needs: units.Words("more passes, where the soil takes them, another setting or machine, or more land")})
}

// tooFast opens a point where a machine at its fastest puts on more than is planned.
func (r *Machines) tooFast(set *Setting, x *allocation.Placement) {
	each, off, limited, _ := set.at()
	if !limited || off <= 0 {
		return
	}
	rate := nutrient.LiquidRate(units.VolumePerArea(each.SI() * float64(set.Passes)))
	if each.Form() == nutrient.Solid {
		rate = nutrient.SolidRate(units.MassPerArea(each.SI() * float64(set.Passes)))
	}
	needs := units.Words("another setting, machine or field: so much goes beyond the limits also on a part of the field")
	if rate.Form() == x.Highest.Form() && rate.SI() <= x.Highest.SI() {
		set.On = units.Area(x.Amount.SI() / rate.SI())
		needs = units.Words("the amount of the plan on %v of the field only, within its limits there; the part marked before it spreads", set.On)
	}
	r.Open = append(r.Open, stage.Open{Key: "machines." + set.Machine + ".speed." + set.Field, Who: stage.Contractor, Needs: needs,
		What: units.Words("how %v puts no more than %v of %v on %v: at its fastest it puts on %v", units.Word(set.Machine), set.Rate, units.Word(set.Material), units.Word(set.Field), rate)})
}

// corrected is the verdict on a measured rate against the planned one, and the speed that
// would bring it.
func corrected[R calibrate.RateQuantity](f *units.Faults, spec calibrate.CorrectSpec[R], target R, tolerance float64, speed *calibrate.Control[units.Speed]) *calibrate.CorrectResult[R] {
	spec.Target, spec.Tolerance, spec.Speed = target, tolerance, speed
	r, err := calibrate.Correct(spec)
	f.Sub("", err)
	return &r
}
