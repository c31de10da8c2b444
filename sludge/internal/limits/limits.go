// Package limits bounds every number of a spec, far beyond any job, so that
// products and quotients of a few of them stay numbers that can be trusted.
package limits

import "example.org/earthbasin/units"

// The least and the most that numbers can be where nothing narrower is known. What
// is closer to 0 than the least is a slip, and its inverse would be useless.
const (
	MinVolume   = units.Millilitre
	MaxVolume   = 1e9 * units.CubicMetre
	MinMass     = 1e-6 * units.Kilogram
	MaxMass     = 1e12 * units.Kilogram
	MinFlow     = units.Flow(1e-9) // a millilitre in a quarter of an hour
	MaxFlow     = units.Flow(1000)
	MinLength   = 1e-6 * units.Metre
	MaxLength   = 1e9 * units.Metre // a coordinate, whatever its grid
	MinArea     = 1e-6 * units.SquareMetre
	MaxArea     = 1e10 * units.SquareMetre
	MinDuration = 1e-3 * units.Second
	MaxDuration = 200 * 365 * units.Day
	MaxMoney    = 1e12 // of any currency
)

// OrZero records a fault unless q is 0, of either sign, or lies from low to high.
func OrZero[Q interface {
	~float64
	units.Quantity
}](f *units.Faults, field string, q, low, high Q) {
	if q != 0 {
		f.Between(field, q, low, high)
	}
}

// Money records a fault unless x is an amount from 0 to [MaxMoney].
func Money(f *units.Faults, field string, x float64) { f.NumberBetween(field, x, 0, MaxMoney) }

// Price records a fault unless p is 0 or a price that a job can have.
func Price[P interface {
	~float64
	units.Quantity
}](f *units.Faults, field string, p P) {
	OrZero(f, field, p, P(1e-12), P(1e9))
}

// NoSign turns -0 into 0 and leaves everything else.
func NoSign[Q ~float64](q Q) Q { return q + 0 }
