package nutrient

import (
	"encoding"
	"strings"

	"example.org/earthbasin/units"
)

// spannable is what a [Span] is made of: the quantities of units.
type spannable interface {
	~float64
	units.Quantity
	AppendText([]byte) ([]byte, error)
}

// Span is a range of a quantity that reads and writes itself as one text, the
// way tables print it: "40 lb/acre", or "80 to 120 lb/acre".
type Span[Q spannable] units.Range[Q]

// String returns the text of the trade units.
func (r Span[Q]) String() string {
	if r.Low == r.High {
		return r.Low.Trade()
	}
	return r.Low.Trade() + " to " + r.High.Trade()
}

// UnitsValue is what a [units.Style] shows: the quantity, or both ends where they differ.
func (r Span[Q]) UnitsValue() any {
	if r.Low == r.High {
		return any(r.Low)
	}
	return units.Span{Low: any(r.Low), High: any(r.High)}
}

// MarshalText writes the text that reads back to the same bits.
func (r Span[Q]) MarshalText() ([]byte, error) {
	b, err := r.Low.AppendText(nil)
	if err != nil || r.Low == r.High {
		return b, err
	}
	return r.High.AppendText(append(b, " to "...))
}

// UnmarshalText reads one value, or two with " to " between them, of which the
// first may leave its unit to the second. A low value above the high one is a
// [units.FieldError].
func (r *Span[Q]) UnmarshalText(text []byte) error {
	parse := func(s string) (q Q, err error) {
		err = any(&q).(encoding.TextUnmarshaler).UnmarshalText([]byte(s))
		return q, err
	}
	low, high, both := strings.Cut(string(text), " to ")
	if !both {
		q, err := parse(low)
		if err == nil {
			*r = Span[Q]{q, q}
		}
		return err
	}
	b, err := parse(high)
	if err != nil {
		return err
	}
	a, err := parse(low)
	if err != nil {
		unit := strings.TrimLeft(strings.TrimSpace(high), "+-0123456789.,")
		if a, err = parse(low + unit); err != nil {
			return err
		}
	}
	if a > b {
		return units.Fault(units.FaultMalformed, "", string(text), "the low value first")
	}
	*r = Span[Q]{a, b}
	return nil
}
