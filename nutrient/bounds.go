package nutrient

import (
	"fmt"

	"example.org/earthbasin/units"
)

// bounds is what a number of a spec may be beside 0, in SI: from far below what
// anybody measures to above what any job reaches. Products and quotients of the
// few numbers that a formula takes stay finite between them.
type bounds struct{ least, most float64 }

func (b bounds) has(x float64) bool { return x == 0 || x >= b.least && x <= b.most }

// want says what is allowed in place of x; show writes a number in its unit.
func (b bounds) want(x float64, zero bool, show func(float64) string) string {
	switch {
	case x > b.most:
		return "at most " + show(b.most)
	case zero && x > 0:
		return "0, or at least " + show(b.least)
	case x > 0:
		return "at least " + show(b.least)
	case zero:
		return "0 or more"
	}
	return "more than 0"
}

// quantity is a type of package units.
type quantity interface {
	~float64
	units.Quantity
}

// boundsOf returns the bounds of the type of q.
func boundsOf(q units.Quantity) bounds {
	switch q.(type) {
	case units.MassFraction:
		return bounds{1e-15, 1}
	case units.Concentration:
		return bounds{1e-12, 1000} // a litre does not hold a kilogram of a constituent
	case units.MassPerArea:
		return bounds{1e-12, 1e4}
	case units.VolumePerArea:
		return bounds{1e-12, 100}
	case units.Length:
		return bounds{1e-9, 1e8} // twice around the earth
	case units.DepthRate:
		return bounds{1e-15, 1}
	case units.Duration:
		return bounds{1e-3, 1e10} // three centuries
	case units.Area:
		return bounds{1e-6, 1e14}
	case units.Volume, units.Mass:
		return bounds{1e-15, 1e15}
	}
	return bounds{1e-15, 1e12} // prices, in the currency of the caller
}

var loadBounds = boundsOf(units.KilogramPerHectare)

// notNegative records a fault unless q is 0 or within the bounds of its type.
func notNegative[Q quantity](f *units.Faults, field string, q Q) {
	if b := boundsOf(Q(0)); !b.has(float64(q)) {
		f.Add(field, q, b.want(float64(q), true, shown[Q]))
	}
}

// positive records a fault unless q is above 0 and within the bounds of its type.
func positive[Q quantity](f *units.Faults, field string, q Q) {
	if b := boundsOf(Q(0)); q == 0 || !b.has(float64(q)) {
		f.Add(field, q, b.want(float64(q), false, shown[Q]))
	}
}

// numberBounds is the bounds of a plain number.
var numberBounds = bounds{1e-12, 1e12}

// notNegativeNumber is notNegative for a plain number.
func notNegativeNumber(f *units.Faults, field string, x float64) {
	if b := numberBounds; !b.has(x) {
		f.Add(field, x, b.want(x, true, func(x float64) string { return fmt.Sprint(x) }))
	}
}

// upTo records a fault unless x is 0 or a number up to most that can be worked with.
func upTo(f *units.Faults, field string, x, most float64) {
	if b := (bounds{1e-9, most}); !b.has(x) {
		f.Add(field, x, b.want(x, true, func(x float64) string { return fmt.Sprint(x) }))
	}
}

func shown[Q quantity](x float64) string {
	if x < 1 {
		return fmt.Sprint(Q(x)) // SI: the unit of the trade would print 0
	}
	return Q(x).Trade()
}

// measured is contents, rates, amounts or prices: as turns a number of them into the
// quantity that it is by its form, and of its type are the bounds.
type measured struct {
	as     func(measure) units.Quantity
	bounds [3]bounds // by form
}

func newMeasured(as func(measure) units.Quantity) *measured {
	k := &measured{as: as}
	for _, form := range []Form{Liquid, Solid} {
		k.bounds[form] = boundsOf(as(measure{form: form}))
	}
	return k
}

// has reports whether m is one of k of a material of the given form.
func (k *measured) has(m measure, form Form) bool {
	return form != 0 && m.form == form && k.bounds[form].has(m.value)
}

var (
	amountOf    = newMeasured(func(m measure) units.Quantity { return Amount{m}.quantity() })
	contentOf   = newMeasured(func(m measure) units.Quantity { return Content{m}.quantity() })
	rateOf      = newMeasured(func(m measure) units.Quantity { return Rate{m}.quantity() })
	unitPriceOf = newMeasured(func(m measure) units.Quantity { return UnitPrice{m}.quantity() })
)

// check returns the faults of m as one of k of a material of the given form.
func (m measure) check(form Form, zero bool, k *measured) error {
	if k.has(m, form) && (zero || m.value != 0) {
		return nil
	}
	var f units.Faults
	switch {
	case m.form == 0:
		f.Missing("", "a value with its unit")
	case m.form != form:
		f.Add("", units.Words("%v", units.Word(m.form.String())), "the form of the material: %v (a density converts)", units.Word(form.String()))
	default:
		f.Add("", k.as(m), k.bounds[form].want(m.value, zero, func(x float64) string { return fmt.Sprint(k.as(measure{form, x})) }))
	}
	return f.Err()
}
