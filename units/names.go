package units

import (
	"database/sql/driver"
	"fmt"
	"strings"
)

// Names holds the text names of an enumeration, by value. It serves the
// enumerations of the whole module: their String, MarshalText and UnmarshalText
// are one line each.
type Names []string

// String returns the name of value i, or its number in brackets when it has
// none.
func (n Names) String(i int) string {
	if i < 0 || i >= len(n) || n[i] == "" {
		return fmt.Sprintf("(%d)", i)
	}
	return n[i]
}

// Has reports whether value i has a name.
func (n Names) Has(i int) bool { return i >= 0 && i < len(n) && n[i] != "" }

// Marshal returns the name of value i; a value without a name is a [FieldError].
func (n Names) Marshal(i int) ([]byte, error) {
	if !n.Has(i) {
		return nil, Fault(FaultName, "", Word(n.String(i)), n.Want())
	}
	return []byte(n[i]), nil
}

// Want lists the names, for the Want of a [FieldError].
func (n Names) Want() string {
	var list []string
	for _, s := range n {
		if s != "" {
			list = append(list, s)
		}
	}
	return "one of " + strings.Join(list, ", ")
}

// UnmarshalName sets e to the value whose name is text, without regard to case.
// An unknown name is a [FieldError] that lists the names.
func UnmarshalName[E ~int](n Names, text []byte, e *E) error {
	for i, s := range n {
		if s != "" && strings.EqualFold(s, string(text)) {
			*e = E(i)
			return nil
		}
	}
	return Fault(FaultName, "", string(text), n.Want())
}

// Edits returns how many letters to change, drop or add make a of b, or a number above
// most where they are more, so that a fault can suggest the word that was meant.
func Edits(a, b string, most int) int {
	from, to := []rune(a), []rune(b)
	if len(from)-len(to) > most || len(to)-len(from) > most || len(from) > longest {
		return most + 1
	}
	row := make([]int, len(to)+1)
	for j := range row {
		row[j] = j
	}
	for i, x := range from {
		corner := row[0]
		row[0] = i + 1
		for j, y := range to {
			change := corner
			if x != y {
				change++
			}
			corner = row[j+1]
			row[j+1] = min(change, corner+1, row[j]+1)
		}
	}
	return min(row[len(to)], most+1)
}

// Enum is an enumeration whose values have the names of W: the enumerations of the
// module are instances of it. Its text form, also in JSON and in databases, is the name;
// a number never leaves it. [Values] lists the names.
type Enum[W interface{ Names() Names }] int

// names returns the names of the enumeration.
func (e Enum[W]) names() Names {
	var w W
	return w.Names()
}

// String returns the name that MarshalText writes, or the number in brackets.
func (e Enum[W]) String() string { return e.names().String(int(e)) }

// MarshalText writes the name; a value without one is a [FieldError].
func (e Enum[W]) MarshalText() ([]byte, error) { return e.names().Marshal(int(e)) }

// UnmarshalText reads a name, without regard to case; the error lists the names.
func (e *Enum[W]) UnmarshalText(text []byte) error { return UnmarshalName(e.names(), text, e) }

// Value returns the name, for database/sql.
func (e Enum[W]) Value() (driver.Value, error) { return SQLValue(e) }

// Scan reads the name as UnmarshalText does.
func (e *Enum[W]) Scan(src any) error { return SQLScan(src, e) }
