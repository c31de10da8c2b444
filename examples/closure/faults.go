package main

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
		list = append(list, &units.FieldError{Field: r.Replace(f.Field), Value: f.Value, Want: f.Want})
	}
	if list == nil {
		return err
	}
	return errors.Join(list...)
}

// withoutEchoes drops the faults of second that are about the same place of the
// file as one of first, or about a part of it or what it is part of: they only
// repeat that the place could not be read.
func withoutEchoes(first, second error) error {
	list := []error{first}
	for _, f := range units.FieldErrors(second) {
		echo := false
		for _, g := range units.FieldErrors(first) {
			echo = echo || within(f.Field, g.Field) || within(g.Field, f.Field)
		}
		if !echo {
			list = append(list, f)
		}
	}
	return errors.Join(list...)
}

// within reports whether path is place or a part of it.
func within(path, place string) bool {
	rest, ok := strings.CutPrefix(path, place)
	return ok && (rest == "" || rest[0] == '.' || rest[0] == '[')
}
