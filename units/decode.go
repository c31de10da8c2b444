package units

import (
	"bytes"
	"encoding"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"reflect"
	"sort"
	"strconv"
	"strings"
	"time"
)

// Decode reads one JSON value into v, a pointer, and reports every fault at
// once, up to 500, as a [FieldError] with its path: keys that v does not have, a key given
// twice, values of the wrong kind, quantities that do not parse, and what stands
// after the value. It follows json tags like encoding/json, but matches keys
// exactly, reads a time.Time from RFC 3339 or a bare date (midnight UTC), and
// refuses null except for pointers, slices and maps. Fields of v
// that have no fault are set even when others have; absent fields keep their
// value, so that defaults may be set before and required fields checked after.
func Decode(data []byte, v any) error {
	target := reflect.ValueOf(v)
	if target.Kind() != reflect.Pointer || target.IsNil() {
		return fmt.Errorf("units: decode into %T, want a pointer", v)
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	var faults Faults
	tree, err := readNode(d, "", &faults, 0)
	if err != nil {
		return fmt.Errorf("units: not JSON at byte %d: %w", d.InputOffset(), err)
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		faults.Say("", "more text after the value", "the end of the file")
	}
	fill(target.Elem(), tree, "", &faults)
	if len(faults.list) > mostFaults {
		faults.list = faults.list[:mostFaults]
		faults.Say("", fmt.Sprintf("with more than %d faults", mostFaults), "fewer; the rest was not looked at")
	}
	return faults.Err()
}

// mostFaults is how many faults are listed. More help nobody, and would take many
// times the memory of the input.
const mostFaults = 500

// node is a JSON value: nil, bool, json.Number, string, []node or object.
type node any

type member struct {
	key   string
	value node
}

type object []member

const deepest = 64 // levels of nesting; more is not input of this module

func readNode(d *json.Decoder, path string, faults *Faults, level int) (node, error) {
	if level > deepest {
		return nil, errors.New("nested too deep")
	}
	t, err := d.Token()
	if err != nil {
		return nil, noEOF(err)
	}
	switch t := t.(type) {
	case json.Delim:
		if t == '[' {
			list := []node{}
			for d.More() {
				n, err := readNode(d, fmt.Sprintf("%s[%d]", path, len(list)), faults, level+1)
				if err != nil {
					return nil, err
				}
				list = append(list, n)
			}
			_, err := d.Token()
			return list, noEOF(err)
		}
		var o object
		seen := map[string]bool{}
		for d.More() {
			kt, err := d.Token()
			if err != nil {
				return nil, noEOF(err)
			}
			key := kt.(string)
			n, err := readNode(d, joinPath(path, key), faults, level+1)
			if err != nil {
				return nil, err
			}
			if seen[key] {
				faults.Say(joinPath(path, key), "given twice", "once")
			}
			seen[key] = true
			o = append(o, member{key, n})
		}
		_, err := d.Token()
		return o, noEOF(err)
	default:
		return t, nil
	}
}

func noEOF(err error) error {
	if errors.Is(err, io.EOF) {
		return io.ErrUnexpectedEOF
	}
	return err
}

var (
	textUnmarshaler = reflect.TypeFor[encoding.TextUnmarshaler]()
	jsonUnmarshaler = reflect.TypeFor[json.Unmarshaler]()
)

// fill sets v from n and records what does not fit.
func fill(v reflect.Value, n node, path string, faults *Faults) {
	if len(faults.list) > mostFaults {
		return
	}
	t := v.Type()
	if n == nil {
		switch v.Kind() {
		case reflect.Pointer, reflect.Slice, reflect.Map, reflect.Interface:
			v.SetZero()
		default:
			faults.Say(path, "null", wants(t))
		}
		return
	}
	if t.Kind() == reflect.Pointer {
		p := reflect.New(t.Elem())
		fill(p.Elem(), n, path, faults)
		v.Set(p)
		return
	}
	ptr := reflect.PointerTo(t)
	wrong := func() { faults.Say(path, shownNode(n), wants(t)) }
	switch {
	case t == reflect.TypeFor[time.Time]():
		s, _ := n.(string)
		for _, layout := range []string{time.RFC3339Nano, time.DateOnly} {
			if d, err := time.Parse(layout, s); err == nil {
				v.Set(reflect.ValueOf(d))
				return
			}
		}
		wrong()
		return
	case ptr.Implements(jsonUnmarshaler):
		raw, err := json.Marshal(plainTree(n))
		if err == nil {
			err = v.Addr().Interface().(json.Unmarshaler).UnmarshalJSON(raw)
		}
		refuse(path, n, err, faults)
		return
	case ptr.Implements(textUnmarshaler):
		s, ok := n.(string)
		if !ok {
			bareNumber(v, n, path, faults)
			return
		}
		refuse(path, n, v.Addr().Interface().(encoding.TextUnmarshaler).UnmarshalText([]byte(s)), faults)
		return
	}
	switch t.Kind() {
	case reflect.Struct:
		o, ok := n.(object)
		if !ok {
			wrong()
			return
		}
		fillStruct(v, o, path, faults)
	case reflect.Slice:
		list, ok := n.([]node)
		if !ok {
			wrong()
			return
		}
		s := reflect.MakeSlice(t, len(list), len(list))
		for i, e := range list {
			fill(s.Index(i), e, fmt.Sprintf("%s[%d]", path, i), faults)
		}
		v.Set(s)
	case reflect.Array:
		list, ok := n.([]node)
		if !ok || len(list) != t.Len() {
			faults.Say(path, shownNode(n), fmt.Sprintf("a list of %d", t.Len()))
			return
		}
		for i, e := range list {
			fill(v.Index(i), e, fmt.Sprintf("%s[%d]", path, i), faults)
		}
	case reflect.Map:
		o, ok := n.(object)
		if !ok {
			wrong()
			return
		}
		m := reflect.MakeMapWithSize(t, len(o))
		for _, mem := range o {
			p := joinPath(path, mem.key)
			key := reflect.New(t.Key()).Elem()
			fill(key, mem.key, p, faults)
			e := reflect.New(t.Elem()).Elem()
			fill(e, mem.value, p, faults)
			m.SetMapIndex(key, e)
		}
		v.Set(m)
	case reflect.String:
		s, ok := n.(string)
		if !ok {
			wrong()
			return
		}
		v.SetString(s)
	case reflect.Bool:
		b, ok := n.(bool)
		if !ok {
			wrong()
			return
		}
		v.SetBool(b)
	case reflect.Float64, reflect.Float32:
		num, _ := n.(json.Number)
		f, err := num.Float64()
		if err != nil || math.IsInf(f, 0) || v.OverflowFloat(f) {
			wrong()
			return
		}
		v.SetFloat(f)
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		num, _ := n.(json.Number)
		i, err := num.Int64()
		if err != nil || v.OverflowInt(i) {
			wrong()
			return
		}
		v.SetInt(i)
	default:
		faults.Say(path, shownNode(n), "a field that can be read from JSON ("+t.String()+" cannot)")
	}
}

// bareNumber records that n, which is no text, stands where v wants one. What its
// type says of a number as text names the units or words that would fit;
// quantities have that in wants.
func bareNumber(v reflect.Value, n node, path string, faults *Faults) {
	t := v.Type()
	var said []*FieldError
	number, ok := n.(json.Number)
	if _, quantity := v.Interface().(Quantity); ok && !quantity {
		said = FieldErrors(reflect.New(t).Interface().(encoding.TextUnmarshaler).UnmarshalText([]byte(number)))
	}
	for _, f := range said {
		faults.Say(joinPath(path, f.Field), number.String(), f.Want)
	}
	if said == nil {
		faults.Say(path, shownNode(n), wants(t))
	}
}

// refuse records the error of a type's own unmarshaler. One that is no
// FieldError becomes one, since readers of the faults look for those only.
func refuse(path string, n node, err error, faults *Faults) {
	if err != nil && FieldErrors(err) == nil {
		faults.Say(path, shownNode(n), "another value ("+err.Error()+")")
		return
	}
	faults.Sub(path, err)
}

func fillStruct(v reflect.Value, o object, path string, faults *Faults) {
	fields := map[string][]int{}
	var names []string
	for _, f := range reflect.VisibleFields(v.Type()) {
		tag, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		if !f.IsExported() || tag == "-" || f.Anonymous && tag == "" {
			continue
		}
		if tag == "" {
			tag = f.Name
		}
		fields[tag] = f.Index
		names = append(names, tag)
	}
	sort.Strings(names)
	for _, m := range o {
		if len(faults.list) > mostFaults {
			return
		}
		p := joinPath(path, m.key)
		index, ok := fields[m.key]
		if !ok {
			faults.Say(p, "an unknown key", "one of "+strings.Join(names, ", "))
			continue
		}
		fill(v.FieldByIndex(index), m.value, p, faults)
	}
}

func shownNode(n node) string {
	switch n := n.(type) {
	case json.Number:
		return n.String()
	case string:
		return quoted(n)
	case bool:
		return strconv.FormatBool(n)
	case []node:
		return "a list"
	case object:
		return "an object"
	}
	return "null"
}

// wants says what a value of type t is written like.
func wants(t reflect.Type) string {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if q, ok := reflect.Zero(t).Interface().(Quantity); ok {
		k := q.quantity()
		if len(k.units) == 0 {
			return "text such as \"12 " + k.si + "\""
		}
		return "text: " + k.examples()
	}
	switch {
	case t == reflect.TypeFor[time.Time]():
		return "text: a date such as 2026-06-01, or a time such as 2026-06-01T08:30:00Z"
	case reflect.PointerTo(t).Implements(textUnmarshaler):
		return "text"
	case t.Kind() == reflect.Struct || t.Kind() == reflect.Map:
		return "an object"
	case t.Kind() == reflect.Slice || t.Kind() == reflect.Array:
		return "a list"
	case t.Kind() == reflect.String:
		return "text"
	case t.Kind() == reflect.Bool:
		return "true or false"
	case t.Kind() == reflect.Float64 || t.Kind() == reflect.Float32:
		return "a number"
	}
	return "a whole number"
}

// plainTree turns a node into what json.Marshal writes back.
func plainTree(n node) any {
	switch n := n.(type) {
	case object:
		m := make(map[string]any, len(n))
		for _, mem := range n {
			m[mem.key] = plainTree(mem.value)
		}
		return m
	case []node:
		l := make([]any, len(n))
		for i, e := range n {
			l[i] = plainTree(e)
		}
		return l
	}
	return n
}
