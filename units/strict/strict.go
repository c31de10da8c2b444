package strict

import (
	"errors"
	"fmt"
	"reflect"

	"example.org/earthbasin/units"
)

// mostFaults is how many faults are listed. More help nobody, and would take many
// times the memory of the input.
const mostFaults = 500

// Reader reads with the signs of a style: where the comma is decimal, the text
// "1,234 m" of a quantity is 1.234 m. Words of enumerations, and JSON's own numbers,
// are read as they stand. The zero value, in whose place [Decode] and [Check] stand,
// reads "1,234 m" as 1234 m.
type Reader struct {
	Style units.Style // its signs
}

// Unmarshaler is a type that reads its own JSON, with the signs of the reader.
type Unmarshaler interface {
	UnmarshalStrict(r Reader, data []byte) error
}

// Decode is [Reader.Decode] with the usual signs.
func Decode(data []byte, v any) error { return Reader{}.Decode(data, v) }

// Check is [Reader.Check] with the usual signs.
func Check(data []byte, v any, check func() error) error { return Reader{}.Check(data, v, check) }

// Decode reads one JSON value into v, a pointer, and reports every fault at once, up
// to 500. It follows json tags like encoding/json, but matches keys exactly, reads a
// time.Time from RFC 3339 or a bare date (midnight UTC), and refuses null except for
// pointers, slices and maps. Fields of v that have no fault are set even when others
// have; absent fields keep their value, so that defaults may be set before and
// required fields checked after. A first key $schema of the file is passed over.
//
// A text that is no JSON gives one fault of the whole, with line and column.
func (r Reader) Decode(data []byte, v any) error {
	_, _, err := r.decode(data, v)
	return err
}

// Check is [Reader.Decode] followed by check, which makes or checks what was read and
// returns its faults with the paths of the file. Check reports both, without the
// faults of check that only repeat that a value could not be read
// ([units.WithoutEchoes]); faults of check get their line and column, and a quantity
// that they name is shown as the user wrote it. Of both together 500 are listed. When
// the text is no JSON, check does not run.
func (r Reader) Check(data []byte, v any, check func() error) error {
	t, whole, err := r.decode(data, v)
	if !whole || check == nil {
		return err
	}
	found := check()
	if found == nil {
		return err
	}
	both := units.WithoutEchoes(err, found)
	if units.FieldErrors(both) == nil {
		return both
	}
	all := flat(both)
	cut := len(all) > mostFaults
	if cut {
		all = all[:mostFaults]
	}
	list := make([]error, 0, len(all)+1)
	for _, e := range all {
		f, ok := e.(*units.FieldError)
		if !ok {
			list = append(list, e)
			continue
		}
		placed := *f
		t.place(&placed)
		list = append(list, &placed)
	}
	if cut {
		list = append(list, tooMany())
	}
	return errors.Join(list...)
}

// tooMany stands in place of the faults beyond those that are listed.
func tooMany() error {
	return units.Fault(units.FaultCount, "", units.Words("more than %v faults", mostFaults), "fewer; the rest was not looked at")
}

// Make reads a spec and makes what it is the spec of, with [Check]. When anything is
// wrong it returns the zero T beside the faults.
func Make[Spec, T any](data []byte, from func(Spec) (T, error)) (T, error) {
	var spec Spec
	var made, zero T
	err := Check(data, &spec, func() (err error) {
		made, err = from(spec)
		return err
	})
	if err != nil {
		return zero, err
	}
	return made, nil
}

// flat takes joins apart.
func flat(err error) []error {
	joined, ok := err.(interface{ Unwrap() []error })
	if !ok {
		return []error{err}
	}
	var list []error
	for _, e := range joined.Unwrap() {
		list = append(list, flat(e)...)
	}
	return list
}

// decode reports whether data is JSON, and returns its tree, besides the faults.
func (r Reader) decode(data []byte, v any) (t *tree, whole bool, err error) {
	target := reflect.ValueOf(v)
	if target.Kind() != reflect.Pointer || target.IsNil() {
		return nil, false, units.Fault(units.FaultOther, "v", units.Word(fmt.Sprintf("%T", v)), "a pointer that is not nil")
	}
	var faults units.Faults
	t, broken := parse(data)
	if broken != nil {
		return nil, false, broken
	}
	t.reader = r
	t.fill(target.Elem(), t.root, &faults)
	list := units.FieldErrors(faults.Err())
	cut := len(list) > mostFaults
	if cut {
		list = list[:mostFaults]
	}
	all := make([]error, 0, len(list)+1)
	for _, f := range list {
		t.place(f)
		all = append(all, f)
	}
	if cut {
		all = append(all, tooMany())
	}
	return t, true, errors.Join(all...)
}
