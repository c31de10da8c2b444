package units

import "reflect"

// IsNil reports whether v, an interface of whatever type, holds nothing: no value,
// or a nil pointer, map, slice or function such as a constructor returns beside an
// error. Functions that take an interface refuse it as missing.
func IsNil(v any) bool {
	switch r := reflect.ValueOf(v); r.Kind() {
	case reflect.Invalid:
		return true
	case reflect.Pointer, reflect.Map, reflect.Slice, reflect.Func, reflect.Chan:
		return r.IsNil()
	}
	return false
}
