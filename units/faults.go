package units

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
)

// Faults collects the faults of one input, or of the part of it that [Faults.At]
// returns, so that they are reported together. The zero value is ready to use. It
// is not safe for concurrent use.
//
// Checks of a sound value allocate nothing. A number that has to be above 0 is
// also held to 1e-12 to 1e15 in the unit it is held in, which no job reaches and
// within which products and quotients stay finite; a check with limits of its own,
// such as [Faults.Between], is the usual case.
type Faults struct {
	// Of the whole: what was found, nil while nothing was. That it stands behind a
	// pointer, and path copies names, lets the compiler keep parts off the heap.
	found *[]error

	up      *Faults // the part around this one, nil for the whole
	top     *Faults // the whole, nil for the whole itself
	name    string
	index   [2]int
	indexes int
	key     string
	named   bool
}

// Bounds of numbers that are held to no others.
const (
	least = 1e-12
	most  = 1e15
)

// Err returns the faults of the whole input joined, nil when there is none. The text of
// the error ends after 500 of them and says how many more there are; [FieldErrors] has
// them all.
func (f *Faults) Err() error {
	if found := f.all().found; found != nil {
		return joined(slices.Clone(*found))
	}
	return nil
}

// joined is what errors.Join gives, but for its text, which a survey of many wrong
// soundings would make as long as the survey.
type joined []error

const mostInText = 500

func (j joined) Unwrap() []error { return j }

func (j joined) Error() string {
	shown, more := errors.Join(j[:min(len(j), mostInText)]...).Error(), len(j)-mostInText
	if more > 0 {
		shown += fmt.Sprintf("\nand %d more", more)
	}
	return shown
}

// Len returns the number of faults of the whole input.
func (f *Faults) Len() int {
	if found := f.all().found; found != nil {
		return len(*found)
	}
	return 0
}

// Fault records a fault of the kind; the other arguments are as in [Fault].
func (f *Faults) Fault(kind FaultKind, field string, got any, want string, args ...any) {
	f.add(Fault(kind, f.path(field), got, want, args...))
}

func (f *Faults) add(e error) {
	all := f.all()
	if all.found == nil {
		all.found = new([]error)
	}
	*all.found = append(*all.found, e)
}

// Add records that field was got where want is allowed; args are the arguments of
// want. The kind follows from what was got: text is malformed, a word of an
// enumeration an unknown name, a [Count] a count, a [Phrase] a conflict, and any
// other value out of range. The zero value of an enumeration that has no name for it
// is missing.
func (f *Faults) Add(field string, got any, want string, args ...any) {
	if e := reflect.ValueOf(got); e.Kind() == reflect.Int && e.IsZero() && fmt.Sprint(got) == "(0)" {
		got = nil // the zero value of an enumeration without a name for it
	}
	kind := FaultRange
	switch valueOf(got).(type) {
	case nil:
		kind = FaultMissing
	case string:
		kind = FaultMalformed
	case Word:
		if reflect.TypeOf(got).Kind() == reflect.Int {
			kind = FaultName
		}
	case Count:
		kind = FaultCount
	case Phrase:
		kind = FaultConflict
	}
	f.Fault(kind, field, got, want, args...)
}

// Say records what is wrong with field in words, such as "given twice".
func (f *Faults) Say(field, words, want string, args ...any) {
	f.Fault(FaultConflict, field, Words(words), want, args...)
}

// Missing records that field was not given.
func (f *Faults) Missing(field, want string, args ...any) {
	f.Fault(FaultMissing, field, nil, want, args...)
}

// Unknown records that got, text or a value, is none of names.
func (f *Faults) Unknown(field string, got any, names Names) {
	f.Fault(FaultName, field, got, names.Want())
}

// Count records that there are n of something, such as "slopes", where want is
// allowed.
func (f *Faults) Count(field string, n int, of, want string, args ...any) {
	f.Fault(FaultCount, field, Count{n, of}, want, args...)
}

// Lacking records that the source of the data has no answer for field: what it
// lacks in words, and what would be answered.
func (f *Faults) Lacking(field, words, want string, args ...any) {
	f.Fault(FaultLacking, field, Words(words), want, args...)
}

// Sub records the faults of err, which come from the part of the input at
// path, with that path in front of each field. A nil err records nothing; an
// error that is no FieldError is kept with the path in its text.
func (f *Faults) Sub(path string, err error) {
	walk(err, func(e error) {
		path := f.path(path)
		if fe, ok := e.(*FieldError); ok {
			in := *fe
			in.Field = JoinPath(path, fe.Field)
			f.add(&in)
			return
		}
		if path != "" {
			e = fmt.Errorf("%s: %w", path, e)
		}
		f.add(e)
	})
}

// value is the number of q. It is not q.SI(), because a call that the compiler
// cannot see through would put every checked number on the heap.
func value(q Quantity) float64 {
	v := reflect.ValueOf(q)
	if v.Kind() == reflect.Pointer {
		v = v.Elem()
	}
	if !v.IsValid() {
		return math.NaN()
	}
	return v.Float()
}

// same returns a quantity of the type of q, likewise without keeping q.
func same(q Quantity, v float64) Quantity {
	t := reflect.TypeOf(q)
	if t == nil {
		return Length(v)
	}
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	n := reflect.New(t).Elem()
	n.SetFloat(v)
	return n.Interface().(Quantity)
}

func (f *Faults) quantity(field string, q Quantity, want string, args ...Quantity) {
	list := make([]any, len(args))
	for i, a := range args {
		list[i] = same(a, value(a))
	}
	f.Fault(FaultRange, field, same(q, value(q)), want, list...)
}

// Positive records a fault unless q is above zero, at least 1e-12 and at most 1e15
// SI units.
func (f *Faults) Positive(field string, q Quantity) {
	switch v := value(q); {
	case v >= least && v <= most:
	case v > most:
		f.quantity(field, q, "more than 0 and at most %v", same(q, most))
	case v > 0:
		f.quantity(field, q, "at least %v", same(q, least))
	default:
		f.quantity(field, q, "more than 0")
	}
}

// NotNegative records a fault unless q is zero or above and at most 1e15 SI units.
func (f *Faults) NotNegative(field string, q Quantity) {
	switch v := value(q); {
	case v >= 0 && v <= most:
	case v > most:
		f.quantity(field, q, "0 or more and at most %v", same(q, most))
	default:
		f.quantity(field, q, "0 or more")
	}
}

// Finite records a fault when q is NaN or beyond 1e15 SI units either way.
func (f *Faults) Finite(field string, q Quantity) {
	if v := value(q); !(math.Abs(v) <= most) {
		f.quantity(field, q, "a number between -%v and %[1]v", same(q, most))
	}
}

// Between records a fault unless lo <= q <= hi. The three are of one type.
func (f *Faults) Between(field string, q, lo, hi Quantity) {
	if v := value(q); !(v >= value(lo) && v <= value(hi)) {
		f.quantity(field, q, "%v to %v", lo, hi)
	}
}

// UpTo records a fault unless q is above zero, at least 1e-12 SI units, and at most
// hi, which is of the same type.
func (f *Faults) UpTo(field string, q, hi Quantity) {
	switch v := value(q); {
	case v >= least && v <= value(hi):
	case v > 0 && v < least:
		f.quantity(field, q, "more than 0 and at most %v; so near to 0 it is taken for a slip", hi)
	default:
		f.quantity(field, q, "more than 0 and at most %v", hi)
	}
}

// PositiveNumber records a fault unless x is above zero, from 1e-12 to 1e15.
func (f *Faults) PositiveNumber(field string, x float64) {
	switch {
	case x >= least && x <= most:
	case x > 0:
		f.Fault(FaultRange, field, x, "%v to %v", least, most)
	default:
		f.Fault(FaultRange, field, x, "more than 0")
	}
}

// NotNegativeNumber records a fault unless x is zero or above and at most 1e15.
func (f *Faults) NotNegativeNumber(field string, x float64) {
	switch {
	case x >= 0 && x <= most:
	case x > most:
		f.Fault(FaultRange, field, x, "0 or more and at most %v", most)
	default:
		f.Fault(FaultRange, field, x, "0 or more")
	}
}

// NumberBetween records a fault unless lo <= x <= hi.
func (f *Faults) NumberBetween(field string, x, lo, hi float64) {
	if !(x >= lo && x <= hi) {
		f.Fault(FaultRange, field, x, "%v to %v", lo, hi)
	}
}

// CountBetween records a fault unless there are lo to hi of something, such as
// "slopes".
func (f *Faults) CountBetween(field string, n int, of string, lo, hi int) {
	switch {
	case n >= lo && n <= hi:
	case lo == 0:
		f.Count(field, n, of, "at most %v", hi)
	default:
		f.Count(field, n, of, "%v to %v", lo, hi)
	}
}

// Fraction records a fault unless x lies in 0 to 1.
func (f *Faults) Fraction(field string, x float64) { f.NumberBetween(field, x, 0, 1) }

// PositiveFraction records a fault unless x is above 0, at least 1e-12, and at most
// 1, as an efficiency is, which something is divided by.
func (f *Faults) PositiveFraction(field string, x float64) { f.NumberUpTo(field, x, 1) }

// Confidence records a fault unless x, the confidence of an interval, lies in 0.001
// to 0.999999, beyond which nobody asks and quantiles lose their digits.
func (f *Faults) Confidence(field string, x float64) {
	if !(x >= 0.001 && x <= 0.999999) {
		f.Fault(FaultRange, field, x, "%v to %v, such as 0.95", 0.001, 0.999999)
	}
}
