package main

import (
	"example.org/earthbasin/calibrate"
	"example.org/earthbasin/units"
)

// machines judges the four calibrations against their targets.
func (p *planner) machines() {
	c, m := &p.s.Calibration, &p.r.Machines
	var err error
	if m.Sheets, err = calibrate.Sheets(c.Sheets); p.try("calibration.sheets", err) {
		var interval *units.Range[units.MassPerArea]
		if m.Sheets.Summary.HasSpread {
			interval = &m.Sheets.Summary.Interval
		}
		m.SheetsCorrect, err = calibrate.Correct(calibrate.CorrectSpec[units.MassPerArea]{
			Measured: m.Sheets.Summary.Mean, Interval: interval, Target: c.Targets.Sheets, Tolerance: c.Tolerance, Speed: &c.SheetsSpeed})
		p.try("calibration.sheetsSpeed", err)
	}
	if m.Loads, err = calibrate.LoadArea[units.Volume, units.VolumePerArea](c.Loads); p.try("calibration.loads", err) {
		m.LoadsCorrect, err = calibrate.Correct(calibrate.CorrectSpec[units.VolumePerArea]{
			Measured: m.Loads.Rate, Interval: m.Loads.Interval, Target: c.Targets.Loads, Tolerance: c.Tolerance, Speed: &c.LoadsSpeed})
		p.try("calibration.loadsSpeed", err)
	}
	if m.Hose, err = calibrate.Solve(c.Hose); p.try("calibration.hose", err) {
		m.HoseCorrect, err = calibrate.Correct(calibrate.CorrectSpec[units.VolumePerArea]{
			Measured: m.Hose.Rate, Target: c.Targets.Hose, Tolerance: c.Tolerance, Speed: &c.HoseSpeed})
		p.try("calibration.hoseSpeed", err)
	}
	g := c.Gauges
	g.Carries = map[string]units.Concentration{}
	if n, ok := p.r.Effluent.Samples.Analysis.TotalN.Concentration(); ok {
		g.Carries["total N"] = n
	}
	if m.Gauges, err = calibrate.Gauges(g); p.try("calibration.gauges", err) {
		m.GaugesCorrect, err = calibrate.Correct(calibrate.CorrectSpec[units.VolumePerArea]{
			Measured: m.Gauges.Depth().Applied(), Target: c.Targets.Gauges.Applied(), Tolerance: c.Tolerance, Speed: &c.GaugesSpeed})
		p.try("calibration.gaugesSpeed", err)
	}
}
