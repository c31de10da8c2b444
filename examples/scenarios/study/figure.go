package study

import (
	"bytes"
	"encoding/json"
)

// Figure is a value as a file has it: a text such as "9.5 ft", a number, or whatever
// else stands at the path of an input. The zero value is none.
type Figure struct {
	value any
}

// FigureOf returns a figure: a string, a float64, a bool, or what encoding/json makes of
// a list or an object.
func FigureOf(v any) Figure { return Figure{v} }

// IsZero says that there is none.
func (f Figure) IsZero() bool { return f.value == nil }

// Any returns what the figure is of.
func (f Figure) Any() any { return f.value }

// MarshalJSON writes the value.
func (f Figure) MarshalJSON() ([]byte, error) { return json.Marshal(f.value) }

// UnmarshalJSON reads any value; null is none.
func (f *Figure) UnmarshalJSON(data []byte) error {
	return json.NewDecoder(bytes.NewReader(data)).Decode(&f.value)
}
