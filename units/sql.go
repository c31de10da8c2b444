package units

import (
	"database/sql/driver"
	"encoding"
	"strings"
)

// Quantities, prices, ranges and the enumerations of the module go into a database
// as text and come back to the same bits, so that a column says its unit and an
// enumeration that gets a new constant does not change what is stored. NULL is read
// into a pointer or an sql.Null only.

// SQLValue returns the text of v for a database, NULL for nil; it serves the Value methods of
// types with a text form.
func SQLValue(v encoding.TextMarshaler) (driver.Value, error) {
	if v == nil {
		return nil, nil
	}
	text, err := v.MarshalText()
	if err != nil {
		return nil, err
	}
	return string(text), nil
}

// SQLScan reads the text src of a database into v; it serves the Scan methods of
// types with a text form. Anything but text is a [FieldError]: a number in the column
// has lost its unit, or its word.
func SQLScan(src any, v encoding.TextUnmarshaler) error {
	if v == nil {
		return Fault(FaultMissing, "", nil, "a value to scan into")
	}
	switch text := src.(type) {
	case string:
		return v.UnmarshalText([]byte(text))
	case []byte:
		return v.UnmarshalText(text)
	case nil:
		return Fault(FaultMissing, "", nil, "text; read NULL into a pointer or an sql.Null")
	}
	return Fault(FaultMalformed, "", src, "text, as it was stored")
}

// Value returns the price as text, as [Price.MarshalText].
func (p Price[Q]) Value() (driver.Value, error) { return SQLValue(p) }

// Scan reads text as [Price.UnmarshalText].
func (p *Price[Q]) Scan(src any) error { return SQLScan(src, p) }

// rangeText is the text form of a range in a database: "1.5 m3 to 2 m3".
type rangeText[Q ~float64] struct{ r *Range[Q] }

func (t rangeText[Q]) MarshalText() ([]byte, error) {
	low, err := endText(t.r.Low)
	if err != nil {
		return nil, err
	}
	high, err := endText(t.r.High)
	return []byte(low + " to " + high), err
}

func (t rangeText[Q]) UnmarshalText(text []byte) error {
	low, high, ok := strings.Cut(string(text), " to ")
	if !ok {
		return Fault(FaultMalformed, "", string(text), "a low and a high value with \"to\" between them")
	}
	var in Range[Q]
	var f Faults
	f.Sub("low", readEnd(low, &in.Low))
	f.Sub("high", readEnd(high, &in.High))
	if err := f.Err(); err != nil {
		return err
	}
	*t.r = in
	return nil
}

func endText[Q ~float64](q Q) (string, error) {
	if m, ok := any(q).(encoding.TextMarshaler); ok {
		text, err := m.MarshalText()
		return string(text), err
	}
	if x := float64(q); !(x-x == 0) {
		return "", Fault(FaultRange, "", x, "a finite number")
	}
	return number(float64(q)), nil
}

func readEnd[Q ~float64](text string, q *Q) error {
	if u, ok := any(q).(encoding.TextUnmarshaler); ok {
		return u.UnmarshalText([]byte(text))
	}
	n, rest, want := scanNumber(text)
	if want != "" || rest != "" {
		return Fault(FaultMalformed, "", text, "a number")
	}
	*q = Q(n)
	return nil
}

// Value returns the range as text, such as "1.5 m3 to 2 m3".
func (r Range[Q]) Value() (driver.Value, error) { return SQLValue(rangeText[Q]{&r}) }

// Scan reads what Value wrote.
func (r *Range[Q]) Scan(src any) error { return SQLScan(src, rangeText[Q]{r}) }
