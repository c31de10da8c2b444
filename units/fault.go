package units

import (
	"encoding/json"
	"errors"
)

// FaultKind says in which way an input is wrong, so that a program can choose
// status, colour and wording without reading text.
type FaultKind = Enum[faultKindWords]

// Kinds of fault. The text form, also in JSON, stands behind each.
const (
	FaultOther     FaultKind = iota // "other": none of the kinds below
	FaultMissing                    // "missing": required and not given
	FaultMalformed                  // "malformed": cannot be read as what is wanted
	FaultUnit                       // "unit": without a unit, or with one that does not fit
	FaultRange                      // "range": below the least or above the most allowed
	FaultName                       // "unknown name": not one of the words or names there are
	FaultKey                        // "unknown key": a key of a file that nothing reads
	FaultCount                      // "count": too few or too many of something
	FaultConflict                   // "conflict": contradicts another part of the input
	FaultLacking                    // "lacking": the source of the data has no answer
)

var faultKindNames = Names{"other", "missing", "malformed", "unit", "range", "unknown name", "unknown key", "count", "conflict", "lacking"}

type faultKindWords struct{}

func (faultKindWords) Names() Names { return faultKindNames }

// FieldError says which input is wrong, what it was and what is allowed. It is
// the one error type that the module returns for bad input; functions that
// find several return them together in one error, joined as by errors.Join, and
// [FieldErrors] takes such an error apart.
type FieldError struct {
	// Kind is the way in which the input is wrong.
	Kind FaultKind
	// Field is the path of the input, such as fields[2].area; empty for the whole.
	Field string
	// Got is what was given, as a value of the types of [Style.Text], or a [Phrase]
	// that says what is wrong; nil when nothing was given.
	Got any
	// Want is what is allowed. Its arguments are the limits, as values.
	Want Phrase
	// Written is the input as it stands in the user's file where that is known; it
	// is shown in place of Got.
	Written string
	// Line and Column are the place in the file, from 1, and 0 where it is unknown.
	Line, Column int
}

// Fault returns a FieldError. What was got may be of any type; want and args are as
// in [Words].
func Fault(kind FaultKind, field string, got any, want string, args ...any) *FieldError {
	return &FieldError{Kind: kind, Field: field, Got: valueOf(got), Want: Words(want, args...)}
}

// At returns the fault as one of another field.
func (e *FieldError) At(field string) *FieldError {
	at := *e
	at.Field = field
	return &at
}

// GotText returns what was given as text, empty when nothing was.
func (e *FieldError) GotText() string { return Style{}.got(e) }

// Error returns the one-line form "field: got 3 slopes, want 1 or 4", with the
// place in the file behind it where that is known. [Style.Fault] writes it in other
// units and words.
func (e *FieldError) Error() string { return Style{}.Fault(e) }

// Message returns what is wrong without the field, for a form that shows it beside
// the field: "got 3 slopes, want 1 or 4", "missing; want a length".
func (e *FieldError) Message() string { return Style{}.Message(e) }

// fieldErrorJSON is the JSON form of a FieldError.
type fieldErrorJSON struct {
	Kind    FaultKind       `json:"kind"`
	Field   string          `json:"field"`
	Got     json.RawMessage `json:"got,omitempty"`
	Want    Phrase          `json:"want,omitzero"`
	Written string          `json:"written,omitempty"`
	Line    int             `json:"line,omitempty"`
	Column  int             `json:"column,omitempty"`
}

// MarshalJSON writes the members kind, field, got, want, written, line and column;
// got and the arguments of want are values that UnmarshalJSON reads back.
func (e *FieldError) MarshalJSON() ([]byte, error) {
	j := fieldErrorJSON{Kind: e.Kind, Field: e.Field, Want: e.Want, Written: e.Written, Line: e.Line, Column: e.Column}
	if e.Got != nil {
		var err error
		if j.Got, err = marshalValue(e.Got); err != nil {
			return nil, err
		}
	}
	return json.Marshal(j)
}

// UnmarshalJSON reads what MarshalJSON writes.
func (e *FieldError) UnmarshalJSON(text []byte) error {
	var j fieldErrorJSON
	if err := json.Unmarshal(text, &j); err != nil {
		return err
	}
	*e = FieldError{Kind: j.Kind, Field: j.Field, Want: j.Want, Written: j.Written, Line: j.Line, Column: j.Column}
	if j.Got == nil {
		return nil
	}
	var err error
	e.Got, err = unmarshalValue(j.Got)
	return err
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

// WithoutEchoes joins the faults of reading an input and of checking what was
// read, and drops of the second those that are about the same place as a value
// that could not be read, a part of it, or what it is part of: they only repeat
// that the value is not there. So does a whole that is said to be missing something.
// An unread whole, with an empty path, silences the check altogether.
func WithoutEchoes(read, checked error) error {
	var unread []string
	for _, f := range FieldErrors(read) {
		// A key that nothing reads and one given twice leave every value read.
		if f.Kind != FaultKey && f.Kind != FaultConflict {
			unread = append(unread, f.Field)
		}
	}
	list := []error{read}
	walk(checked, func(e error) {
		if f, ok := e.(*FieldError); ok {
			for _, place := range unread {
				if PathWithin(f.Field, place) || (f.Field != "" || f.Kind == FaultMissing) && PathWithin(place, f.Field) {
					return
				}
			}
		}
		list = append(list, e)
	})
	return errors.Join(list...)
}
