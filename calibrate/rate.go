package calibrate

import (
	"math"

	"example.org/earthbasin/units"
)

// RateQuantity is what a spreader puts down per area: solids by mass, liquids by volume.
type RateQuantity interface {
	units.MassPerArea | units.VolumePerArea
	units.Quantity
}

// LoadQuantity is what a load holds: a mass, whose rate is a [units.MassPerArea], or a
// volume, whose rate is a [units.VolumePerArea]. R follows from M, so that callers
// never write it.
type LoadQuantity[R RateQuantity] interface {
	units.Mass | units.Volume
	units.Quantity
	Over(units.Area) R
	OverRate(R) units.Area
}

// checkResult records a fault when a quotient of valid inputs left the range of
// numbers, such as a rate over an area of 1e-320 m2.
func checkResult(f *units.Faults, field string, q units.Quantity) {
	if !finite(q.SI()) {
		f.Add(field, q, "inputs whose result is a finite number")
	}
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
