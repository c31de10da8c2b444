package units

import (
	"encoding"
	"errors"
	"strings"
	"unicode/utf8"
)

// Read sets into, such as a *Length or another type that reads text with numbers,
// from text in which numbers have the signs of s: where the comma is decimal,
// "1,234 m" is 1.234 m. Signs that do not belong in such a number are refused, and
// an error quotes the text as it was given.
func (s Style) Read(text string, into encoding.TextUnmarshaler) error {
	plain, want := s.plain(text)
	if want != "" {
		return Fault(FaultMalformed, "", text, "%v, such as %v", Word(want), Word(s.Signs.String()))
	}
	err := into.UnmarshalText([]byte(plain))
	if plain == text || err == nil {
		return err
	}
	var list []error
	for _, f := range FieldErrors(err) {
		at := *f
		if at.Got == any(plain) {
			at.Got = text
		}
		list = append(list, &at)
	}
	if list == nil {
		return err
	}
	return errors.Join(list...)
}

// plain rewrites the numbers in text to the default signs, or says what is wanted.
func (s Style) plain(text string) (plain, want string) {
	i := s.Signs
	if i <= SignsCommaPoint || !signsNames.Has(int(i)) || len(text) > longest {
		return text, ""
	}
	var b strings.Builder
	for at := 0; at < len(text); {
		if !isDigit(text[at]) {
			b.WriteByte(text[at])
			at++
			continue
		}
		end := at
		for end < len(text) && isDigit(text[end]) {
			end++
		}
		b.WriteString(text[at:end])
		at = end
		r, n := utf8.DecodeRuneInString(text[at:])
		if at+n >= len(text) || !isDigit(text[at+n]) {
			continue
		}
		sign := string(r)
		if strings.ContainsRune(" \u00a0\u202f\u2009", r) {
			sign = space
		}
		switch {
		case sign == decimalSign[i]:
			b.WriteByte('.')
		case sign == groupSign[i] && (sign != space || threeDigits(text[at+n:])):
			b.WriteByte(',')
		case sign == space: // between two parts, such as 12 ft 6 in
			b.WriteString(text[at : at+n])
		case sign == "." || sign == ",":
			return "", "a number with other signs"
		default:
			b.WriteString(text[at : at+n])
		}
		at += n
	}
	return b.String(), ""
}

// threeDigits reports whether s starts with a group of three digits.
func threeDigits(s string) bool {
	n := 0
	for n < len(s) && isDigit(s[n]) {
		n++
	}
	return n == 3
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// UnitsOf returns the display names of the units of the type of q, the usual one
// first, for a select box.
func UnitsOf(q Quantity) []string {
	if q == nil {
		return nil
	}
	k, before := q.quantity(), ""
	if k.per != nil {
		k, before = k.per, "per "
	}
	if k == &temperatureKind {
		return []string{"F", "C", "K"}
	}
	var names []string
	for _, u := range k.units {
		names = append(names, before+u.name)
	}
	return names
}

// Values returns the words of an enumeration of the module, which its text form
// and JSON have, in the order of the constants: Values[nutrient.Form]().
func Values[E interface {
	~int
	encoding.TextMarshaler
}]() []string {
	var words []string
	for i := range mostNames {
		if text, err := E(i).MarshalText(); err == nil {
			words = append(words, string(text))
		}
	}
	return words
}

// mostNames is more than any enumeration has.
const mostNames = 256
