package schema

import (
	"bytes"
	"encoding/json"
	"strings"
	"unicode/utf8"
)

// lineRoom is how long a line of a schema may be, as far as its words let it.
const lineRoom = 160

// layout writes JSON with each list and object on one line where that has room, so that a
// key of a file is a line of its schema.
func layout(text []byte) ([]byte, error) {
	value, err := shape(json.RawMessage(text))
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	value.write(&b, 0, 0)
	b.WriteByte('\n')
	return b.Bytes(), nil
}

// shaped is a JSON value with the texts of its parts in their order.
type shaped struct {
	open, end string   // brackets, empty of a plain value
	names     []string // before the parts, with their colons
	parts     []shaped
	line      string // all of it on one line
}

func shape(text json.RawMessage) (shaped, error) {
	dec := json.NewDecoder(bytes.NewReader(text))
	first, err := dec.Token()
	if err != nil {
		return shaped{}, err
	}
	bracket, ok := first.(json.Delim)
	if !ok {
		return shaped{line: string(bytes.TrimSpace(text))}, nil
	}
	s := shaped{open: bracket.String(), end: "]"}
	if bracket == '{' {
		s.end = "}"
	}
	var lines []string
	for dec.More() {
		name := ""
		var part json.RawMessage
		if bracket == '{' {
			key, err := dec.Token()
			if err != nil {
				return shaped{}, err
			}
			quoted, err := json.Marshal(key)
			if err != nil {
				return shaped{}, err
			}
			name = string(quoted) + ": "
		}
		if err := dec.Decode(&part); err != nil {
			return shaped{}, err
		}
		of, err := shape(part)
		if err != nil {
			return shaped{}, err
		}
		s.names, s.parts, lines = append(s.names, name), append(s.parts, of), append(lines, name+of.line)
	}
	s.line = s.open + strings.Join(lines, ", ") + s.end
	return s, nil
}

// write puts the value behind what stands on its line already.
func (s *shaped) write(b *bytes.Buffer, indent, used int) {
	if s.open == "" || used+utf8.RuneCountInString(s.line) < lineRoom {
		b.WriteString(s.line)
		return
	}
	b.WriteString(s.open + "\n")
	for i := range s.parts {
		b.WriteString(strings.Repeat(" ", indent+1) + s.names[i])
		s.parts[i].write(b, indent+1, indent+1+len(s.names[i]))
		if i < len(s.parts)-1 {
			b.WriteByte(',')
		}
		b.WriteByte('\n')
	}
	b.WriteString(strings.Repeat(" ", indent) + s.end)
}
