package units

import "encoding/json"

// Phrase is a piece of text with values in it, kept apart so that it can be shown
// in other units and other words: a template and its arguments.
type Phrase struct {
	// Text is the template with the verbs of package fmt, such as "at most %v of %v"
	// or "%[2]v at %.2[1]f", or plain text when there are no arguments.
	Text string
	// Args are the values, of the types that values have ([Style.Text]).
	Args []any
}

// Words returns a phrase. Without arguments text is taken as it stands, percent
// signs and all. A number may have a verb with a precision, such as %.1f; whatever
// else takes %v, so that it can be shown in any unit. An argument that is missing
// shows as nothing.
func Words(text string, args ...any) Phrase {
	p := Phrase{Text: text}
	for _, a := range args {
		p.Args = append(p.Args, valueOf(a))
	}
	return p
}

// String returns the phrase in US English.
func (p Phrase) String() string { return Style{}.Phrase(p) }

// And returns the phrase with more text and its arguments behind it, as in [Words].
// Each of them stays a template of its own, so that a translator finds it.
func (p Phrase) And(text string, args ...any) Phrase {
	if p.IsZero() {
		return Words(text, args...)
	}
	return Phrase{"%v%v", []any{p, Words(text, args...)}}
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
