package units

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// FieldError says which input is wrong, what it was and what is allowed. It is
// the one error type that the module returns for bad input; functions that
// find several return them together through errors.Join, and [FieldErrors]
// takes such an error apart.
type FieldError struct {
	Field string `json:"field"` // path of the input, such as fields[2].area
	Value string `json:"value"` // what was given, with its unit; "nothing" when missing
	Want  string `json:"want"`  // what is allowed, with its unit
}

// Error returns the one-line form "field: is value, want want".
func (e *FieldError) Error() string {
	if e.Field == "" {
		return fmt.Sprintf("is %s, want %s", e.Value, e.Want)
	}
	return fmt.Sprintf("%s: is %s, want %s", e.Field, e.Value, e.Want)
}

// FieldErrors returns every FieldError inside err in order, through wraps and
// joins, and nil when there is none.
func FieldErrors(err error) []*FieldError {
	var list []*FieldError
	walk(err, func(e error) {
		if f, ok := e.(*FieldError); ok {
			list = append(list, f)
		}
	})
	return list
}

// walk calls fn for each error in the tree of err, joins taken apart.
func walk(err error, fn func(error)) {
	switch e := err.(type) {
	case nil:
	case interface{ Unwrap() []error }:
		for _, sub := range e.Unwrap() {
			walk(sub, fn)
		}
	case interface{ Unwrap() error }:
		// A wrap that hides no FieldError is kept whole, with its text.
		if fe := (*FieldError)(nil); errors.As(err, &fe) {
			walk(e.Unwrap(), fn)
			return
		}
		fn(err)
	default:
		fn(err)
	}
}

// Faults collects the faults of one input so that they are reported together.
// The zero value is ready to use. It is not safe for concurrent use.
type Faults struct {
	list []error
}

// Err returns the collected faults joined by errors.Join, nil when there is
// none.
func (f *Faults) Err() error { return errors.Join(f.list...) }

// Add records that field was value where want is allowed. A [Quantity] value
// is shown in its trade unit, a string in quotes.
func (f *Faults) Add(field string, value any, want string) {
	f.Say(field, show(value), want)
}

// Say is Add for a value told in words, which are shown without quotes.
func (f *Faults) Say(field, value, want string) {
	f.list = append(f.list, &FieldError{Field: field, Value: value, Want: want})
}

// Missing records that field was not given.
func (f *Faults) Missing(field, want string) {
	f.Say(field, "nothing", want)
}

// Sub records the faults of err, which come from the part of the input at
// path, with that path in front of each field. A nil err records nothing; an
// error that is no FieldError is kept with the path in its text.
func (f *Faults) Sub(path string, err error) {
	walk(err, func(e error) {
		if fe, ok := e.(*FieldError); ok {
			f.Say(joinPath(path, fe.Field), fe.Value, fe.Want)
			return
		}
		f.list = append(f.list, fmt.Errorf("%s: %w", path, e))
	})
}

// joinPath puts prefix in front of a field path: "fields[2]" and "area" give
// "fields[2].area".
func joinPath(prefix, field string) string {
	switch {
	case prefix == "" || field == "":
		return prefix + field
	case strings.HasPrefix(field, "["):
		return prefix + field
	}
	return prefix + "." + field
}

// PathWithin reports whether a field path is place or a part of it: "fields[2].area"
// lies within "fields[2]" and "fields", not within "field". Every path lies within
// the empty place, which is the whole input.
func PathWithin(path, place string) bool {
	rest, ok := strings.CutPrefix(path, place)
	return ok && (place == "" || rest == "" || rest[0] == '.' || rest[0] == '[')
}

// Positive records a fault unless q is finite and above zero.
func (f *Faults) Positive(field string, q Quantity) {
	if v := q.SI(); !(v > 0) || math.IsInf(v, 1) {
		f.Add(field, q, "more than 0")
	}
}

// NotNegative records a fault unless q is finite and zero or above.
func (f *Faults) NotNegative(field string, q Quantity) {
	if v := q.SI(); !(v >= 0) || math.IsInf(v, 1) {
		f.Add(field, q, "0 or more")
	}
}

// Finite records a fault when q is NaN or infinite.
func (f *Faults) Finite(field string, q Quantity) {
	if v := q.SI(); math.IsNaN(v) || math.IsInf(v, 0) {
		f.Add(field, q, "a finite number")
	}
}

// Between records a fault unless lo <= q <= hi. The three are of one type.
func (f *Faults) Between(field string, q, lo, hi Quantity) {
	if v := q.SI(); !(v >= lo.SI() && v <= hi.SI()) {
		f.Add(field, q, lo.Trade()+" to "+hi.Trade())
	}
}

// PositiveNumber records a fault unless x is finite and above zero.
func (f *Faults) PositiveNumber(field string, x float64) {
	if !(x > 0) || math.IsInf(x, 1) {
		f.Add(field, x, "more than 0")
	}
}

// NotNegativeNumber records a fault unless x is finite and zero or above.
func (f *Faults) NotNegativeNumber(field string, x float64) {
	if !(x >= 0) || math.IsInf(x, 1) {
		f.Add(field, x, "0 or more")
	}
}

// NumberBetween records a fault unless lo <= x <= hi.
func (f *Faults) NumberBetween(field string, x, lo, hi float64) {
	if !(x >= lo && x <= hi) {
		f.Add(field, x, number(lo)+" to "+number(hi))
	}
}

// Fraction records a fault unless x lies in 0 to 1.
func (f *Faults) Fraction(field string, x float64) { f.NumberBetween(field, x, 0, 1) }

// PositiveFraction records a fault unless x is above 0 and at most 1, as an
// efficiency is, which something is divided by.
func (f *Faults) PositiveFraction(field string, x float64) {
	if !(x > 0 && x <= 1) {
		f.Add(field, x, "more than 0 and at most 1")
	}
}

// Confidence records a fault unless x, the confidence of an interval, lies between
// 0 and 1 and is neither.
func (f *Faults) Confidence(field string, x float64) {
	if !(x > 0 && x < 1) {
		f.Add(field, x, "more than 0 and less than 1, such as 0.95")
	}
}

func show(value any) string {
	switch v := value.(type) {
	case Quantity:
		return v.Trade()
	case float64:
		return number(v)
	case string:
		return strconv.Quote(v)
	}
	return fmt.Sprint(value)
}

func number(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
