package stage

import "example.org/earthbasin/units"

// Price is a price, or another amount of money for each of something, with its
// interval. P is a units.Price or units.Money.
type Price[P ~float64] struct {
	Likely P  `json:"likely"`         // the best figure, 0 or more
	Low    *P `json:"low,omitempty"`  // at most Likely; nil where it is as sure as Likely
	High   *P `json:"high,omitempty"` // at least Likely; nil where it is as sure as Likely
}

// Exactly is a price without doubt.
func Exactly[P ~float64](p P) *Price[P] { return &Price[P]{Likely: p} }

// Between is a price with its interval.
func Between[P ~float64](low, likely, high P) *Price[P] { return &Price[P]{likely, &low, &high} }

// Range is the low and the high end, which are the best figure where they are left out.
func (p Price[P]) Range() (low, high P) {
	low, high = p.Likely, p.Likely
	if p.Low != nil {
		low = *p.Low
	}
	if p.High != nil {
		high = *p.High
	}
	return low, high
}

// mostPrice is more than any closure pays, in all or for each SI unit.
const mostPrice = 1e12

// Check records what is wrong with the price at field; nil is no price.
func (p *Price[P]) Check(f *units.Faults, field string) {
	if p == nil {
		return
	}
	at := f.At(field)
	at.NumberBetween("likely", float64(p.Likely), 0, mostPrice)
	if p.Low != nil {
		at.NumberBetween("low", float64(*p.Low), 0, float64(p.Likely))
	}
	if p.High != nil {
		at.NumberBetween("high", float64(*p.High), float64(p.Likely), mostPrice)
	}
}

// For is the cost of x SI units at the price, nil where there is no price. A price of
// money itself is paid x times.
func (p *Price[P]) For(x float64) *Cost { return p.Of(x, x, x) }

// Of is [Price.For] for a quantity with an interval.
func (p *Price[P]) Of(low, likely, high float64) *Cost {
	if p == nil {
		return nil
	}
	from, to := p.Range()
	return &Cost{float64(from) * low, float64(p.Likely) * likely, float64(to) * high}
}
