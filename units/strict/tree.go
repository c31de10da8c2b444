package strict

import (
	"bytes"
	"encoding"
	"encoding/json"
	"errors"
	"io"
	"reflect"
	"strconv"
	"strings"
	"unicode/utf8"

	"example.org/earthbasin/units"
)

// tree is a JSON text that was read.
type tree struct {
	data   []byte
	root   node
	reader Reader
}

// node is a JSON value, which is nil, bool, json.Number, string, []node or object,
// and the bytes from which to which it reaches.
type node struct {
	value   any
	at, end int64
}

type member struct {
	key   string
	value node
}

type object []member

const deepest = 64 // levels of nesting; more is not input of this module

// parse reads the tree of data. What is no JSON is one fault.
func parse(data []byte) (*tree, error) {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	if err := encoded(data); err != nil {
		return nil, err
	}
	r := reader{data: data, d: json.NewDecoder(bytes.NewReader(data))}
	r.d.UseNumber()
	root, err := r.node(0)
	if err != nil {
		at := r.d.InputOffset()
		if syntax := (*json.SyntaxError)(nil); errors.As(err, &syntax) {
			at = max(at, syntax.Offset-1)
		}
		if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
			at, err = int64(len(data)), errors.New("the text ends too early")
		}
		return nil, broken(data, at, units.Words("%v", units.Word(strings.TrimPrefix(err.Error(), "json: "))))
	}
	after := r.start()
	if _, err := r.d.Token(); !errors.Is(err, io.EOF) {
		return nil, broken(data, after, units.Words("more text after the value"))
	}
	return &tree{data: data, root: root}, nil
}

// encoded refuses what is not UTF-8, which encoding/json would read with other
// characters in place of those that it cannot read.
func encoded(data []byte) error {
	if bytes.HasPrefix(data, []byte{0xff, 0xfe}) || bytes.HasPrefix(data, []byte{0xfe, 0xff}) ||
		len(data) >= 2 && (data[0] == 0 || data[1] == 0) {
		return units.Fault(units.FaultMalformed, "", units.Words("text in UTF-16"), "JSON in UTF-8")
	}
	if utf8.Valid(data) {
		return nil
	}
	at := 0
	for at < len(data) {
		r, n := utf8.DecodeRune(data[at:])
		if r == utf8.RuneError && n == 1 {
			break
		}
		at += n
	}
	return broken(data, int64(at), units.Words("the byte 0x%v is not UTF-8, the text may be in Latin-1", units.Word(strconv.FormatInt(int64(data[at]), 16))))
}

func broken(data []byte, at int64, why units.Phrase) error {
	f := units.Fault(units.FaultMalformed, "", units.Words("not JSON: %v", why), "one JSON value in UTF-8")
	f.Line, f.Column = position(data, at)
	return f
}

// position returns line and column, counted in characters, of a byte.
func position(data []byte, at int64) (line, column int) {
	before := data[:min(at, int64(len(data)))]
	return 1 + bytes.Count(before, []byte("\n")), 1 + utf8.RuneCount(before[bytes.LastIndexByte(before, '\n')+1:])
}

type reader struct {
	data []byte
	d    *json.Decoder
}

// start is the byte at which the next token starts.
func (r *reader) start() int64 {
	at := r.d.InputOffset()
	for at < int64(len(r.data)) && strings.IndexByte(" \t\r\n,:", r.data[at]) >= 0 {
		at++
	}
	return at
}

func (r *reader) node(level int) (node, error) {
	if level > deepest {
		return node{}, errors.New("nested too deep")
	}
	n := node{at: r.start()}
	t, err := r.token()
	if err != nil {
		return node{}, err
	}
	switch t {
	case json.Delim('['):
		list := []node{}
		for r.d.More() {
			e, err := r.node(level + 1)
			if err != nil {
				return node{}, err
			}
			list = append(list, e)
		}
		n.value = list
		_, err = r.token()
	case json.Delim('{'):
		o := object{}
		for r.d.More() {
			t, err := r.token()
			if err != nil {
				return node{}, err
			}
			e, err := r.node(level + 1)
			if err != nil {
				return node{}, err
			}
			key := t.(string)
			if _, text := e.value.(string); text && key == "$schema" && level == 0 && len(o) == 0 {
				continue
			}
			o = append(o, member{key, e})
		}
		n.value = o
		_, err = r.token()
	default:
		n.value = t
	}
	n.end = r.d.InputOffset()
	return n, err
}

// token returns the next token. A string with half of a character written as \u is
// refused, since the decoder would put another character there.
func (r *reader) token() (json.Token, error) {
	before := r.d.InputOffset()
	t, err := r.d.Token()
	if err != nil {
		return nil, err
	}
	if s, ok := t.(string); ok && strings.ContainsRune(s, utf8.RuneError) {
		raw := r.data[before:r.d.InputOffset()]
		if !bytes.ContainsRune(raw, utf8.RuneError) && !bytes.Contains(bytes.ToLower(raw), []byte(`\ufffd`)) {
			return nil, errors.New("half of a character in \\u")
		}
	}
	return t, nil
}

// place sets line and column of a fault from its path, or from the part around it
// where the path names nothing in the file. A quantity that stands there is shown as
// it was written; a zero that does not stand there is a missing value.
func (t *tree) place(f *units.FieldError) {
	n, exact := t.root.find(f.Field)
	f.Line, f.Column = position(t.data, n.at)
	if !exact {
		if got := reflect.ValueOf(f.Got); f.Kind == units.FaultRange && got.IsValid() && got.IsZero() {
			f.Kind, f.Got = units.FaultMissing, nil
		}
		return
	}
	text, ok := n.value.(string)
	got, quantity := f.Got.(units.Quantity)
	if !ok || !quantity {
		return
	}
	in := reflect.New(reflect.TypeOf(got))
	if t.reader.Style.Read(text, in.Interface().(encoding.TextUnmarshaler)) == nil && in.Elem().Interface() == f.Got {
		f.Written = text
	}
}

// find returns the node at path, or the innermost one around it.
func (n node) find(path string) (found node, exact bool) {
	if path == "" {
		return n, true
	}
	switch v := n.value.(type) {
	case object:
		for _, m := range v {
			if key := units.PathKey(m.key); units.PathWithin(path, key) {
				return m.value.find(strings.TrimPrefix(path[len(key):], "."))
			}
		}
	case []node:
		end := strings.IndexByte(path, ']')
		if end < 0 || path[0] != '[' {
			break
		}
		if i, err := strconv.Atoi(path[1:end]); err == nil && i >= 0 && i < len(v) {
			return v[i].find(strings.TrimPrefix(path[end+1:], "."))
		}
	}
	return n, false
}
