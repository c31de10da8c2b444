package plan

import (
	"example.org/earthbasin/calibrate"
	"example.org/earthbasin/units"
)

// highest is the highest rate of a material that the plan puts on a field;
// without a plan, one against which the faults of the machines can be found.
func (p *planner) highest(material string, without units.VolumePerArea) units.VolumePerArea {
	var most units.VolumePerArea
	for _, x := range p.r.Allocated.Placements {
		if rate, ok := x.Rate.VolumePerArea(); ok && x.Material == material {
			most = max(most, rate)
		}
	}
	if most == 0 {
		return without
	}
	return most
}

// machines judges the four calibrations against the rates of the plan.
func (p *planner) machines() {
	c, m := &p.s.Calibration, &p.r.Machines
	var err error
	if m.Sheets, err = calibrate.Sheets(c.Sheets); p.try("calibration.sheets", err) {
		m.SheetsCorrect, err = calibrate.Correct(calibrate.CorrectSpec[units.MassPerArea]{
			Measured: m.Sheets.Summary.Mean, Interval: m.Sheets.Summary.Interval, Target: c.SheetsTarget, Tolerance: c.Tolerance, Speed: &c.SheetsSpeed})
		p.try("calibration", rename(err, "speed.", "sheetsSpeed.", "target", "sheetsTarget"))
	}
	if m.Loads, err = calibrate.LoadArea[units.Volume, units.VolumePerArea](c.Loads); p.try("calibration.loads", err) {
		m.LoadsCorrect, err = calibrate.Correct(calibrate.CorrectSpec[units.VolumePerArea]{
			Measured: m.Loads.Rate, Interval: m.Loads.Interval, Target: p.highest("sludge", m.Loads.Rate), Tolerance: c.Tolerance, Speed: &c.LoadsSpeed})
		p.try("calibration", rename(err, "speed.", "loadsSpeed.", "target", "loads"))
	}
	if m.Hose, err = calibrate.Solve(c.Hose); p.try("calibration.hose", err) {
		m.HoseCorrect, err = calibrate.Correct(calibrate.CorrectSpec[units.VolumePerArea]{
			Measured: m.Hose.Rate, Target: p.highest("effluent", m.Hose.Rate), Tolerance: c.Tolerance, Speed: &c.HoseSpeed})
		p.try("calibration", rename(err, "speed.", "hoseSpeed.", "target", "hose"))
	}
	g := c.Gauges
	g.Carries = map[string]units.Concentration{}
	if n, ok := p.r.Effluent.Samples.Analysis.TotalN.Concentration(); ok {
		g.Carries["total N"] = n
	}
	if m.Gauges, err = calibrate.Gauges(g); p.try("calibration.gauges", err) {
		m.GaugesCorrect, err = calibrate.Correct(calibrate.CorrectSpec[units.VolumePerArea]{
			Measured: m.Gauges.Depth().Applied(), Target: p.highest("effluent", m.Gauges.Depth().Applied()), Tolerance: c.Tolerance, Speed: &c.GaugesSpeed})
		p.try("calibration", rename(err, "speed.", "gaugesSpeed.", "target", "gauges"))
	}
	if p.faults.Err() != nil {
		return
	}
	for _, x := range p.r.Allocated.Placements {
		set := Setting{Field: x.Field, Material: x.Material, Machine: "drag hose"}
		spec := calibrate.CorrectSpec[units.VolumePerArea]{Measured: m.Hose.Rate, Tolerance: c.Tolerance, Speed: &c.HoseSpeed}
		if x.Material == "sludge" {
			set.Machine, spec.Measured, spec.Speed = "tank spreader", m.Loads.Rate, &c.LoadsSpeed
		}
		set.Rate, _ = x.Rate.VolumePerArea()
		spec.Target = set.Rate
		if to, err := calibrate.Correct(spec); p.try("calibration", err) {
			set.Speed = *to.Speed
			m.Settings = append(m.Settings, set)
		}
	}
}
