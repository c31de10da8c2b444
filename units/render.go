package units

import (
	"fmt"
	"strconv"
	"strings"
)

// Phrase writes a phrase: its template translated, and its values in the style.
func (s Style) Phrase(p Phrase) string { return s.phrase(p, s.Text) }

func (s Style) phrase(p Phrase, show func(any) string) string {
	text := s.words(p.Text)
	if len(p.Args) == 0 {
		return text
	}
	var b strings.Builder
	next := 0
	for {
		i := strings.IndexByte(text, '%')
		if i < 0 || i+1 == len(text) {
			b.WriteString(text)
			return b.String()
		}
		b.WriteString(text[:i])
		verb, place, rest := cutVerb(text[i:])
		text = rest
		if verb == "%%" {
			b.WriteByte('%')
			continue
		}
		if place > 0 {
			next = place - 1
		}
		if next < len(p.Args) {
			b.WriteString(s.verb(verb, valueOf(p.Args[next]), show))
		}
		next++
	}
}

// cutVerb splits "%.2[3]f of it" into "%.2f", 3 and " of it"; place is 0 when the
// verb has none.
func cutVerb(text string) (verb string, place int, rest string) {
	i := 1
	for i < len(text) && strings.IndexByte("+-# 0123456789.", text[i]) >= 0 {
		i++
	}
	verb = text[:i]
	if i < len(text) && text[i] == '[' {
		if end := strings.IndexByte(text[i:], ']'); end > 0 {
			place, _ = strconv.Atoi(text[i+1 : i+end])
			i += end + 1
			from := i
			for i < len(text) && strings.IndexByte("0123456789.", text[i]) >= 0 {
				i++
			}
			verb += text[from:i]
		}
	}
	if i < len(text) {
		verb += text[i : i+1]
		i++
	}
	return verb, place, text[i:]
}

// verb writes one argument of a phrase.
func (s Style) verb(verb string, v any, show func(any) string) string {
	switch last := verb[len(verb)-1]; v := v.(type) {
	case float64:
		if strings.IndexByte("efgEFG", last) >= 0 {
			return s.signs(fmt.Sprintf(verb, v))
		}
	case Share:
		if strings.IndexByte("fg", last) >= 0 {
			return s.signs(fmt.Sprintf(verb, 100*float64(v))) + " %"
		}
	case Count:
		if last == 'd' && v.Of == "" {
			return fmt.Sprintf(verb, v.N)
		}
	case string:
		if last == 'q' {
			return quoted(v)
		}
		return v
	case Word:
		if last == 'q' {
			return quoted(string(v))
		}
	case Phrase:
		return s.phrase(v, show)
	}
	return show(v)
}

// Message writes what is wrong without the field, as [FieldError.Message].
func (s Style) Message(e *FieldError) string {
	want := s.phrase(e.Want, s.wanted)
	_, words := e.Got.(Phrase)
	switch {
	case e.Written == "" && (words || e.Got == nil):
		got := s.words(e.Kind.String())
		if words {
			got = s.exact(e.Got)
		}
		if want == "" {
			return got
		}
		return s.Phrase(Words("%v; want %v", Word(got), Word(want)))
	case want == "":
		return s.Phrase(Words("got %v", Word(s.got(e))))
	}
	return s.Phrase(Words("got %v, want %v", Word(s.got(e)), Word(want)))
}

// wanted shows a limit with all its digits, and text as it is.
func (s Style) wanted(v any) string {
	if text, ok := v.(string); ok {
		return text
	}
	return s.exact(v)
}

func (s Style) got(e *FieldError) string {
	if e.Written != "" {
		return e.Written
	}
	return s.exact(e.Got)
}

// FaultText is a fault as a form shows it beside its field.
type FaultText struct {
	Field   string    `json:"field"`            // its path
	Kind    FaultKind `json:"kind"`             // in which way it is wrong
	Message string    `json:"message"`          // what is wrong, without the field
	Line    int       `json:"line,omitempty"`   // in the file, from 1; 0 where it is unknown
	Column  int       `json:"column,omitempty"` // likewise
}

// Messages returns faults as text, for a form or for JSON.
func (s Style) Messages(faults []*FieldError) []FaultText {
	list := make([]FaultText, len(faults))
	for i, f := range faults {
		list[i] = FaultText{f.Field, f.Kind, s.Message(f), f.Line, f.Column}
	}
	return list
}

// Fault writes a fault in one line, as [FieldError.Error].
func (s Style) Fault(e *FieldError) string {
	text := s.Message(e)
	if e.Field != "" {
		text = e.Field + ": " + text
	}
	if e.Line > 0 {
		text += " (" + s.Phrase(Phrase{"line %v, column %v", []any{Count{N: e.Line}, Count{N: e.Column}}}) + ")"
	}
	return text
}

// Faults writes every fault inside err, one to a line, and other errors as they are.
func (s Style) Faults(err error) string {
	var lines []string
	walk(err, func(e error) {
		if f, ok := e.(*FieldError); ok {
			lines = append(lines, s.Fault(f))
			return
		}
		lines = append(lines, e.Error())
	})
	return strings.Join(lines, "\n")
}
