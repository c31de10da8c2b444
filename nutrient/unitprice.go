package nutrient

import (
	"math"

	"example.org/earthbasin/units"
)

// UnitPrice is money, in the currency of the caller, per amount of material: per
// volume when liquid, per mass when solid. Its text is one or the other, "12 per
// 1000 gal" or "5 per ton".
type UnitPrice struct{ measure }

// LiquidPrice returns a price per volume.
func LiquidPrice(p units.Price[units.Volume]) UnitPrice {
	return UnitPrice{measure{Liquid, float64(p)}}
}

// SolidPrice returns a price per mass.
func SolidPrice(p units.Price[units.Mass]) UnitPrice { return UnitPrice{measure{Solid, float64(p)}} }

// Check returns the faults of p as a price of a material of the given form, each
// a [units.FieldError]: none given, another form, below 0, and what no job reaches.
func (p UnitPrice) Check(form Form) error { return p.check(form, true, unitPriceOf) }

// Of returns the money for a, below 0 at a price below 0, which is money received.
// Different forms and what no job reaches are a [units.FieldError] on the fields
// price and amount.
func (p UnitPrice) Of(a Amount) (float64, error) {
	var f units.Faults
	f.Sub("price", UnitPrice{measure{p.form, math.Abs(p.value)}}.Check(p.form))
	f.Sub("amount", a.Check(p.form))
	return p.value * a.value, f.Err()
}

// String returns p per 1000 gal or per ton.
func (p UnitPrice) String() string {
	switch p.form {
	case Liquid:
		return units.Money(p.value*float64(1000*units.Gallon)).String() + " per 1000 gal"
	case Solid:
		return units.Money(p.value*float64(units.Ton)).String() + " per ton"
	}
	return p.trade(nil)
}

// MarshalText writes the text that reads back to the same bits.
func (p UnitPrice) MarshalText() ([]byte, error) { return p.marshal(p.quantity()) }

// UnmarshalText reads a price per volume or per mass.
func (p *UnitPrice) UnmarshalText(text []byte) error {
	return parseEither(&p.measure, string(text),
		func(s string) (q units.Price[units.Volume], err error) { err = q.UnmarshalText([]byte(s)); return },
		func(s string) (q units.Price[units.Mass], err error) { err = q.UnmarshalText([]byte(s)); return })
}

func (p UnitPrice) quantity() units.Quantity {
	if p.form == Liquid {
		return units.Price[units.Volume](p.value)
	}
	return units.Price[units.Mass](p.value)
}
