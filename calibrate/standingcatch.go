package calibrate

import (
	"example.org/earthbasin/units"
)

// StandingCatch returns the mass that a solid spreader, running on the spot, must
// throw in a time to put down a rate at a speed and an effective width: rate x speed
// x width x time. In metric units kg/min = kg/ha x km/h x m / 600, printed in
// operator's manuals. All must be above 0; else the error holds [units.FieldError].
func StandingCatch(rate units.MassPerArea, speed units.Speed, width units.Length, time units.Duration) (units.Mass, error) {
	var f units.Faults
	f.Positive("rate", rate)
	f.Positive("speed", speed)
	f.Positive("width", width)
	f.Positive("time", time)
	if err := f.Err(); err != nil {
		return 0, err
	}
	m := rate.Times(speed.Times(time).Times(width))
	checkResult(&f, "rate", m)
	if err := f.Err(); err != nil {
		return 0, err
	}
	return m, nil
}
