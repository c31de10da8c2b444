package plan

import (
	"errors"
	"strings"

	"example.org/earthbasin/units"
)

// rename rewrites the field paths of err where the scenario calls a part
// differently from the library's spec: pairs of old and new text.
func rename(err error, pairs ...string) error {
	return moved(err, strings.NewReplacer(pairs...).Replace)
}

// lookedUp puts faults of the id of a published table at the field of the scenario
// that holds it, where an id without a letter is missing.
func lookedUp(err error) error {
	err = moved(err, func(string) string { return "" })
	for _, f := range units.FieldErrors(err) {
		if f.Got == "" {
			f.Kind, f.Got = units.FaultMissing, nil // of the copy that moved made
		}
	}
	return err
}

// moved gives the faults of err other fields.
func moved(err error, to func(field string) string) error {
	var list []error
	for _, f := range units.FieldErrors(err) {
		list = append(list, f.At(to(f.Field)))
	}
	if list == nil {
		return err
	}
	return errors.Join(list...)
}
