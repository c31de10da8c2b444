package strict

import (
	"encoding"
	"encoding/json"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.org/earthbasin/units"
)

var (
	textUnmarshaler = reflect.TypeFor[encoding.TextUnmarshaler]()
	jsonUnmarshaler = reflect.TypeFor[json.Unmarshaler]()
	ownUnmarshaler  = reflect.TypeFor[Unmarshaler]()
)

// fill sets v from n, which stands at the place of faults, and records what does
// not fit.
func (t *tree) fill(v reflect.Value, n node, faults *units.Faults) {
	if faults.Len() > mostFaults {
		return
	}
	to := v.Type()
	if n.value == nil {
		switch v.Kind() {
		case reflect.Pointer, reflect.Slice, reflect.Map, reflect.Interface:
			v.SetZero()
		default:
			misfit(n, to, faults)
		}
		return
	}
	if to.Kind() == reflect.Pointer {
		p := reflect.New(to.Elem())
		t.fill(p.Elem(), n, faults)
		v.Set(p)
		return
	}
	ptr := reflect.PointerTo(to)
	switch {
	case to == reflect.TypeFor[time.Time]():
		s, _ := n.value.(string)
		for _, layout := range []string{time.RFC3339Nano, time.DateOnly} {
			if d, err := time.Parse(layout, s); err == nil {
				v.Set(reflect.ValueOf(d))
				return
			}
		}
		misfit(n, to, faults)
	case ptr.Implements(ownUnmarshaler):
		refuse(n, v.Addr().Interface().(Unmarshaler).UnmarshalStrict(t.reader, t.data[n.at:n.end]), faults)
	case ptr.Implements(jsonUnmarshaler):
		refuse(n, v.Addr().Interface().(json.Unmarshaler).UnmarshalJSON(t.data[n.at:n.end]), faults)
	case ptr.Implements(textUnmarshaler):
		if s, ok := n.value.(string); ok {
			style, into := t.reader.Style, v.Addr().Interface().(encoding.TextUnmarshaler)
			if kind := to.Kind(); kind == reflect.Int || kind == reflect.String {
				style = units.Style{} // words, such as those of a product with a point in its name
			}
			refuse(n, style.Read(s, into), faults)
			return
		}
		bareNumber(to, n, faults)
	default:
		t.fillKind(v, n, faults)
	}
}

// fillKind fills a value whose type has no reader of its own.
func (t *tree) fillKind(v reflect.Value, n node, faults *units.Faults) {
	fits := false
	switch v.Kind() {
	case reflect.Struct:
		var o object
		if o, fits = n.value.(object); fits {
			t.fillStruct(v, o, faults)
		}
	case reflect.Map:
		var o object
		if o, fits = n.value.(object); fits {
			t.fillMap(v, o, faults)
		}
	case reflect.Slice:
		var list []node
		if list, fits = n.value.([]node); fits {
			v.Set(reflect.MakeSlice(v.Type(), len(list), len(list)))
			t.fillList(v, list, faults)
		}
	case reflect.Array:
		list, ok := n.value.([]node)
		if ok && len(list) != v.Len() {
			faults.Count("", len(list), "values", "%v", v.Len())
			return
		}
		if fits = ok; fits {
			t.fillList(v, list, faults)
		}
	case reflect.String:
		var s string
		if s, fits = n.value.(string); fits {
			v.SetString(s)
		}
	case reflect.Bool:
		var b bool
		if b, fits = n.value.(bool); fits {
			v.SetBool(b)
		}
	case reflect.Float64, reflect.Float32:
		num, _ := n.value.(json.Number)
		f, err := num.Float64()
		if fits = err == nil && !math.IsInf(f, 0) && !v.OverflowFloat(f); fits {
			v.SetFloat(f + 0) // no negative zero
		}
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		num, _ := n.value.(json.Number)
		i, err := num.Int64()
		if fits = err == nil && !v.OverflowInt(i); fits {
			v.SetInt(i)
		}
	default:
		faults.Add("", shown(n), "a field that can be read from JSON; %v cannot", units.Word(v.Type().String()))
		return
	}
	if !fits {
		misfit(n, v.Type(), faults)
	}
}

func (t *tree) fillList(v reflect.Value, list []node, faults *units.Faults) {
	for i, n := range list {
		at := faults.At("", i)
		t.fill(v.Index(i), n, &at)
	}
}

func (t *tree) fillMap(v reflect.Value, o object, faults *units.Faults) {
	m := reflect.MakeMapWithSize(v.Type(), len(o))
	seen := make(map[string]bool, len(o))
	for _, member := range o {
		at := faults.Named("", member.key)
		once(seen, member.key, &at)
		key := reflect.New(v.Type().Key()).Elem()
		t.fill(key, node{value: member.key}, &at)
		e := reflect.New(v.Type().Elem()).Elem()
		t.fill(e, member.value, &at)
		m.SetMapIndex(key, e)
	}
	v.Set(m)
}

func (t *tree) fillStruct(v reflect.Value, o object, faults *units.Faults) {
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
	slices.Sort(names)
	seen := make(map[string]bool, len(o))
	for _, m := range o {
		if faults.Len() > mostFaults {
			return
		}
		at := faults.Named("", m.key)
		index, ok := fields[m.key]
		if !ok {
			at.Fault(units.FaultKey, "", units.Words("an unknown key"), "one of %v", units.Word(strings.Join(names, ", ")))
			continue
		}
		once(seen, m.key, &at)
		t.fill(v.FieldByIndex(index), m.value, &at)
	}
}

// once records a key that was seen before.
func once(seen map[string]bool, key string, at *units.Faults) {
	if seen[key] {
		at.Say("", "given twice", "it once")
	}
	seen[key] = true
}

// misfit records that n is of another kind than to wants.
func misfit(n node, to reflect.Type, faults *units.Faults) {
	kind := units.FaultMalformed
	if _, number := n.value.(json.Number); number && isQuantity(to) {
		kind = units.FaultUnit
	}
	faults.Fault(kind, "", shown(n), wants(to))
}

// bareNumber records that n, which is no text, stands where one of type to belongs.
// What that type says of a number as text names the units or words that would fit;
// quantities have that in wants.
func bareNumber(to reflect.Type, n node, faults *units.Faults) {
	number, ok := n.value.(json.Number)
	if !ok || isQuantity(to) {
		misfit(n, to, faults)
		return
	}
	said := units.FieldErrors(reflect.New(to).Interface().(encoding.TextUnmarshaler).UnmarshalText([]byte(number)))
	for _, f := range said {
		f.Got = shown(n)
		faults.Sub("", f)
	}
	if said == nil {
		misfit(n, to, faults)
	}
}

func isQuantity(t reflect.Type) bool { return t.Implements(reflect.TypeFor[units.Quantity]()) }

// refuse records the error of a type's own reader. One that is no FieldError becomes
// one, since readers of the faults look for those only.
func refuse(n node, err error, faults *units.Faults) {
	if err != nil && units.FieldErrors(err) == nil {
		faults.Fault(units.FaultMalformed, "", shown(n), "another value (%v)", units.Word(err.Error()))
		return
	}
	faults.Sub("", err)
}

// shown returns n as the value of a fault.
func shown(n node) any {
	switch v := n.value.(type) {
	case string:
		return v
	case json.Number:
		return units.Word(v.String())
	case bool:
		return units.Word(strconv.FormatBool(v))
	case []node:
		return units.Word("a list")
	case object:
		return units.Word("an object")
	}
	return units.Word("null")
}

// wants says what a value of type t is written like.
func wants(t reflect.Type) string {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if q, ok := reflect.Zero(t).Interface().(units.Quantity); ok {
		return "text: " + units.Hint(q)
	}
	switch {
	case t == reflect.TypeFor[time.Time]():
		return "text: a date such as 2026-06-01, or a time such as 2026-06-01T08:30:00Z"
	case reflect.PointerTo(t).Implements(textUnmarshaler):
		return "text"
	}
	switch t.Kind() {
	case reflect.Struct, reflect.Map:
		return "an object"
	case reflect.Slice, reflect.Array:
		return "a list"
	case reflect.String:
		return "text"
	case reflect.Bool:
		return "true or false"
	case reflect.Float64, reflect.Float32:
		return "a number"
	}
	return "a whole number"
}
