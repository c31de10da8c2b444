package units

import (
	"fmt"
	"math"
	"strings"
)

// Price is an amount of money, in the currency of the caller, per SI unit of
// the quantity Q: Price[Volume], Price[Mass], Price[Duration]. Its text names
// the unit, as in "12 per 1000 gal", so that a price per gallon is not taken
// for one per thousand.
type Price[Q scalar] float64

// PricePer returns the price of amount for each of the quantity per:
// PricePer(12, 1000*Gallon). An amount for nothing, or one that is no number, makes no
// price: the answer is then 0, which a check for more than 0 finds.
func PricePer[Q scalar](amount float64, per Q) Price[Q] {
	p := amount / float64(per)
	if math.IsNaN(p) || math.IsInf(p, 0) {
		return 0
	}
	return Price[Q](p)
}

// Of returns the money for the quantity q.
func (p Price[Q]) Of(q Q) float64 { return float64(p) * float64(q) }

// SI returns the money per SI unit of Q.
func (p Price[Q]) SI() float64 { return float64(p) }

// Trade returns p per one of the first trade unit of Q: with three decimals below
// 10, where they count, and with two from there on.
func (p Price[Q]) Trade() string { return Style{}.Text(p) }

// Format implements fmt.Formatter: every verb prints the money per SI unit
// followed by that unit.
func (p Price[Q]) Format(s fmt.State, verb rune) { format(p, s, verb) }

func (Price[Q]) quantity() *kind {
	k := kindOf[Q]()
	return &kind{name: "price", si: "per " + k.si, dim: k.dim, per: k}
}

// MarshalText writes the price per SI unit in the form that reads back to the
// same bits.
func (p Price[Q]) MarshalText() ([]byte, error) { return appendSI(nil, p) }

// UnmarshalText reads a number, "per" or "/", and a unit of Q with an optional
// whole multiplier: "12 per 1000 gal", "0.012/gal", "150 per h". A negative
// price is money received; who does not expect that checks for it.
func (p *Price[Q]) UnmarshalText(text []byte) error {
	s := tidy(string(text))
	k := kindOf[Q]()
	want := Words("an amount of money per %v, such as 12 per %v", Word(k.name), Word(k.units[0].name))
	if len(s) > longest {
		return Fault(FaultMalformed, "", string(text), want.Text, want.Args...)
	}
	if strings.ContainsAny(s, "$€£¥") {
		return Fault(FaultMalformed, "", string(text), "the amount without the sign of a currency, which is the caller's own: %v", want)
	}
	n, rest, fault := scanNumber(s)
	rest = strings.TrimSpace(rest)
	unit, ok := strings.CutPrefix(rest, "per ")
	if !ok {
		unit, ok = strings.CutPrefix(rest, "/")
	}
	if fault != "" || !ok {
		return Fault(FaultMalformed, "", string(text), want.Text, want.Args...)
	}
	unit = strings.TrimSpace(unit)
	multiple := 1.0
	if digits := integerPart(unit); digits != "" {
		if multiple, _, fault = scanNumber(digits); fault != "" || multiple == 0 {
			return Fault(FaultMalformed, "", string(text), want.Text, want.Args...)
		}
		unit = strings.TrimSpace(unit[len(digits):])
	}
	factor, fault := k.unit(unit)
	if fault != "" {
		return Fault(FaultUnit, "", string(text), "%v; %v", want, Word(fault))
	}
	if factor == 1 && multiple == 1 {
		*p = Price[Q](n) // bit for bit
		return nil
	}
	price := n / (multiple * factor)
	if math.IsInf(price, 0) {
		return Fault(FaultRange, "", string(text), "a number that float64 holds")
	}
	*p = Price[Q](price)
	return nil
}
