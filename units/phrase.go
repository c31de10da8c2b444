package units

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Phrase is a piece of text with values in it, kept apart so that it can be shown
// in other units and other words: a template and its arguments.
type Phrase struct {
	// Text is the template with the verbs of package fmt, such as "at most %v of %v"
	// or "%[2]v at %.2[1]f", or plain text when there are no arguments.
	Text string
	// Args are the values, of the types that [FieldError] lists for Got.
	Args []any
}

// Words returns a phrase. Without arguments text is taken as it stands, percent
// signs and all. Arguments of types that [FieldError] does not list become a
// [Word]. Quantities, and whatever is shown in a way that depends on units, take
// the verb %v.
func Words(text string, args ...any) Phrase {
	p := Phrase{Text: text}
	for _, a := range args {
		p.Args = append(p.Args, valueOf(a))
	}
	return p
}

// String returns the phrase in US English.
func (p Phrase) String() string {
	if len(p.Args) == 0 {
		return p.Text
	}
	args := slices.Clone(p.Args)
	for i, a := range args {
		switch a := a.(type) {
		case float64, string: // verbs such as %.2f and %q apply
		case Count:
			if a.Of == "" {
				args[i] = a.N
				continue
			}
			args[i] = a.String()
		default:
			args[i] = show(a)
		}
	}
	return fmt.Sprintf(p.Text, args...)
}

// IsZero reports whether the phrase is empty.
func (p Phrase) IsZero() bool { return p.Text == "" && len(p.Args) == 0 }

type phraseJSON struct {
	Text string            `json:"text"`
	Args []json.RawMessage `json:"args,omitempty"`
}

// MarshalJSON writes text without arguments as a string, else an object with text
// and args.
func (p Phrase) MarshalJSON() ([]byte, error) {
	if len(p.Args) == 0 {
		return json.Marshal(p.Text)
	}
	j := phraseJSON{Text: p.Text}
	for _, a := range p.Args {
		b, err := marshalValue(a)
		if err != nil {
			return nil, err
		}
		j.Args = append(j.Args, b)
	}
	return json.Marshal(j)
}

// UnmarshalJSON reads what MarshalJSON writes.
func (p *Phrase) UnmarshalJSON(text []byte) error {
	if len(text) > 0 && text[0] == '"' {
		*p = Phrase{}
		return json.Unmarshal(text, &p.Text)
	}
	var j phraseJSON
	if err := json.Unmarshal(text, &j); err != nil {
		return err
	}
	in := Phrase{Text: j.Text}
	for _, raw := range j.Args {
		a, err := unmarshalValue(raw)
		if err != nil {
			return err
		}
		in.Args = append(in.Args, a)
	}
	*p = in
	return nil
}

// Word is text that is shown without quotes, such as the name of a method.
type Word string

// Count is a number of things, such as 3 slopes.
type Count struct {
	N  int    // how many
	Of string // the things, in the plural; empty for a bare number
}

// String returns "3 slopes", or "3".
func (c Count) String() string { return strings.TrimSpace(strconv.Itoa(c.N) + " " + c.Of) }

// dateText writes the day of a time at midnight UTC, and the whole time otherwise.
func dateText(t time.Time) string {
	if t.Equal(t.Truncate(24*time.Hour)) && t.Location() == time.UTC {
		return t.Format(time.DateOnly)
	}
	return t.Format(time.RFC3339)
}
