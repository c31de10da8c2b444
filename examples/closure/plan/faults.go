package plan

import (
	"errors"
	"strings"

	"example.org/earthbasin/units"
)

// rename rewrites the field paths of err where the scenario calls a part
// differently from the library's spec: pairs of old and new text.
func rename(err error, pairs ...string) error {
	if err == nil {
		return nil
	}
	r := strings.NewReplacer(pairs...)
	var list []error
	for _, f := range units.FieldErrors(err) {
		list = append(list, f.At(r.Replace(f.Field)))
	}
	if list == nil {
		return err
	}
	return errors.Join(list...)
}
