package units

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Bounds of the sizes of a job, far beyond any, so that products and quotients of a
// few numbers within them stay numbers that can be trusted.
const (
	MinLength     = 1e-6 * Metre
	MaxLength     = 100 * Kilometre // a side, a depth, a level either way of its datum
	MaxCoordinate = 1e8 * Metre     // of a plan, either way, whatever its grid
	MinArea       = 1e-6 * SquareMetre
	MaxArea       = 1e10 * SquareMetre
	MaxVolume     = 1e12 * CubicMetre
	MaxFlow       = 1000 * CubicMetrePerSecond
	MaxSlope      = 1000.0 // horizontal per vertical
	MaxGrade      = 0.5    // rise per run
	MaxMoney      = 1e12   // of any currency
)

// The least and the most of a price, in units of the currency per SI unit.
const minPrice, maxPrice = 1e-12, 1e9

// Name records a fault unless name, of a row of a list, is there, is text of one line
// and up to 200 bytes, and no row before it has the same; of is what a row is, such as
// "machine". It adds name to taken, the names so far, and reports whether it was sound.
func (f *Faults) Name(field, name, of string, taken map[string]bool) bool {
	const want = "one that no other %v has"
	switch {
	case strings.TrimSpace(name) == "":
		f.Missing(field, want, Word(of))
	case len(name) > longest || !utf8.ValidString(name) || strings.ContainsFunc(name, unicode.IsControl):
		f.Fault(FaultMalformed, field, name, "text of one line and at most %v bytes", longest)
	case taken[name]:
		f.Fault(FaultConflict, field, name, want, Word(of))
	default:
		taken[name] = true
		return true
	}
	return false
}

// NumberUpTo records a fault unless x is above zero, at least 1e-12, and at most hi.
func (f *Faults) NumberUpTo(field string, x, hi float64) {
	switch {
	case x >= least && x <= hi:
	case x > 0 && x < least:
		f.Fault(FaultRange, field, x, "more than 0 and at most %v; so near to 0 it is taken for a slip", hi)
	default:
		f.Fault(FaultRange, field, x, "more than 0 and at most %v", hi)
	}
}

// ZeroOr records a fault unless q is 0, of either sign, or lo <= q <= hi. The three
// are of one type.
func (f *Faults) ZeroOr(field string, q, lo, hi Quantity) {
	if v := value(q); v != 0 && !(v >= value(lo) && v <= value(hi)) {
		f.quantity(field, q, "0, or %v to %v", lo, hi)
	}
}

// ZeroTo records a fault unless q is 0, of either sign, or lies from 1e-12 SI units to
// hi, which is of the same type.
func (f *Faults) ZeroTo(field string, q, hi Quantity) {
	switch v := value(q); {
	case v == 0 || v >= least && v <= value(hi):
	case v > 0 && v < least:
		f.quantity(field, q, "0 to %v; so near to 0 it is taken for a slip", hi)
	default:
		f.quantity(field, q, "0 to %v", hi)
	}
}

// NumberZeroOr records a fault unless x is 0, of either sign, or lo <= x <= hi.
func (f *Faults) NumberZeroOr(field string, x, lo, hi float64) {
	if x != 0 && !(x >= lo && x <= hi) {
		f.Fault(FaultRange, field, x, "0, or %v to %v", lo, hi)
	}
}

// NumberZeroTo records a fault unless x is 0, of either sign, or lies from 1e-12 to hi.
func (f *Faults) NumberZeroTo(field string, x, hi float64) {
	switch {
	case x == 0 || x >= least && x <= hi:
	case x > 0 && x < least:
		f.Fault(FaultRange, field, x, "0 to %v; so near to 0 it is taken for a slip", hi)
	default:
		f.Fault(FaultRange, field, x, "0 to %v", hi)
	}
}

// Money records a fault unless x is an amount from 0 to [MaxMoney].
func (f *Faults) Money(field string, x float64) { f.NumberBetween(field, x, 0, MaxMoney) }

// Price records a fault unless p is 0, or a price of 1e-12 to 1e9 per SI unit.
func (f *Faults) Price(field string, p Quantity) {
	if v := value(p); v != 0 && !(v >= minPrice && v <= maxPrice) {
		f.quantity(field, p, "0 to %v", same(p, maxPrice))
	}
}
