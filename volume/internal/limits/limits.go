// Package limits bounds every number of a spec, far beyond any job, so that
// products and quotients of a few of them stay numbers that can be trusted.
package limits

import (
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// Slack is the relative error of a size that is taken for rounding.
const Slack = 1e-9

// MaxCorners bounds the pairs of edges that the check of an outline compares.
const MaxCorners = 2000

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
		f.Add(field, any(q), "more than 0 and at most %v; so near to 0 it is taken for a slip", any(max))
	default:
		f.Add(field, any(q), "more than 0 and at most %v", any(max))
	}
}

// OrZero records a fault unless q is 0, of either sign, or lies between [Min] and
// max.
func OrZero[Q ~float64](f *units.Faults, field string, q, max Q) {
	switch {
	case q == 0 || q >= Min && q <= max:
	case q > 0 && q < Min:
		f.Add(field, any(q), "0 to %v; so near to 0 it is taken for a slip", any(max))
	default:
		f.Add(field, any(q), "0 to %v", any(max))
	}
}

// Signed records a fault unless q lies between max below 0 and above it.
func Signed[Q ~float64](f *units.Faults, field string, q, max Q) {
	if !(q >= -max && q <= max) {
		f.Add(field, any(q), "%v to %v", any(-max), any(max))
	}
}

// Outline records what keeps p from being a simple polygon of at most max corners.
func Outline(f *units.Faults, field string, p plane.Polygon, max int) {
	if len(p) > max {
		f.Count(field, len(p), "corners", "at most %v", max)
		return
	}
	before := f.Len()
	for i, c := range p {
		at := f.At(field, i)
		Signed(&at, "x", c.X, MaxCoordinate)
		Signed(&at, "y", c.Y, MaxCoordinate)
	}
	if f.Len() == before {
		f.Sub(field, p.Check())
	}
}
