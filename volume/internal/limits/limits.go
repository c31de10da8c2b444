// Package limits bounds every number of a spec, far beyond any job, so that
// products and quotients of a few of them stay numbers that can be trusted.
package limits

import (
	"strconv"

	"example.org/earthbasin/units"
)

// Min is the least that a number above 0 can be, in the unit that it is held in,
// whatever it counts: a millionth of a micrometre. What is closer to 0 is a slip, and
// its inverse would be useless.
const Min = 1e-12

// The most that numbers of a kind can be.
const (
	MaxLength     = 100 * units.Kilometre // a side, a depth, a level either way of its datum
	MaxCoordinate = 1e8 * units.Metre     // of a plan, either way, whatever its grid
	MaxArea       = 1e10 * units.SquareMetre
	MaxVolume     = 1e12 * units.CubicMetre
	MaxFlow       = 1000 * units.CubicMetrePerSecond
	MaxSlope      = 1000.0 // horizontal per vertical
	MaxGrade      = 0.5    // rise per run
)

// Positive records a fault unless q lies between [Min] and max.
func Positive[Q ~float64](f *units.Faults, field string, q, max Q) {
	switch {
	case q >= Min && q <= max:
	case q > 0 && q < Min:
		f.Add(field, any(q), "at least "+text(Q(Min)))
	default:
		f.Add(field, any(q), "more than 0 and at most "+text(max))
	}
}

// OrZero records a fault unless q is 0, of either sign, or lies between [Min] and
// max.
func OrZero[Q ~float64](f *units.Faults, field string, q, max Q) {
	switch {
	case q == 0 || q >= Min && q <= max:
	case q > 0 && q < Min:
		f.Add(field, any(q), "0, or at least "+text(Q(Min)))
	default:
		f.Add(field, any(q), "0 to "+text(max))
	}
}

// Signed records a fault unless q lies between max below 0 and above it.
func Signed[Q ~float64](f *units.Faults, field string, q, max Q) {
	if !(q >= -max && q <= max) {
		f.Add(field, any(q), text(-max)+" to "+text(max))
	}
}

func text[Q ~float64](q Q) string {
	if t, ok := any(q).(units.Quantity); ok {
		return t.Trade()
	}
	return strconv.FormatFloat(float64(q), 'g', -1, 64)
}
