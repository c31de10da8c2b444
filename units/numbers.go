package units

import (
	"bytes"
	"encoding"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"time"
)

// Number returns q in the unit that a table of the system has for all quantities of
// its type, such as gal or m3, and that unit.
func (s System) Number(q Quantity) (x float64, unit string) {
	if q == nil {
		return math.NaN(), ""
	}
	k, v := q.quantity(), q.SI()
	switch {
	case k == &temperatureKind && s == SystemMetric:
		return Temperature(v).Celsius(), "C"
	case k == &temperatureKind:
		return Temperature(v).Fahrenheit(), "F"
	case k.per != nil:
		u := s.usual(k.per)
		return v * u.factor, "per " + u.name
	}
	u := s.usual(k)
	return v / u.factor, u.name
}

// usual is the unit of a column of the kind.
func (s System) usual(k *kind) named {
	u := k.units[0]
	name, us := metricOf[u.name]
	if s != SystemMetric || !us {
		return u
	}
	if name == "" {
		name = k.metric(1)
	}
	if f, ok := k.lookup(name); ok {
		return named{name, f}
	}
	return u
}

// Cell is one figure of a result, with its path and its unit apart.
type Cell struct {
	Path  string `json:"path"`           // of the json tags, such as rows[2].volume
	Value any    `json:"value"`          // float64, int64, string, bool; nil where nothing is given
	Unit  string `json:"unit,omitempty"` // of a float64 that is a quantity
}

// Cells returns every figure of v, a spec or a result, in the order of its fields,
// with quantities as numbers in the units of the system ([System.Number]), so that
// nobody has to take text apart. The error is a [FieldError] at the path of what
// is no finite number or cannot be shown.
func Cells(v any, s System) ([]Cell, error) {
	tree, err := figuresOf(v, s)
	if err != nil {
		return nil, err
	}
	var cells []Cell
	flatten("", tree, &cells)
	return cells, nil
}

// Numbers returns the JSON of v, a spec or a result, with quantities as numbers with
// a unit, {"value": 8655.44, "unit": "m3"}, in the units of the system. Errors are as
// in [Cells]. The form is for programs that only read it: encoding/json writes the
// one that reads back to the same bits.
func Numbers(v any, s System) ([]byte, error) {
	tree, err := figuresOf(v, s)
	if err != nil {
		return nil, err
	}
	return json.Marshal(tree)
}

func figuresOf(v any, s System) (any, error) {
	var f Faults
	if !systemNames.Has(int(s)) {
		f.Unknown("system", s, systemNames)
		return nil, f.Err()
	}
	tree := figures(reflect.ValueOf(v), s, &f, 0)
	return tree, f.Err()
}

// figure is a quantity as a number with its unit.
type figure struct {
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
}

// members is an object whose keys keep their order.
type members []member

type member struct {
	key   string
	value any
}

// MarshalJSON writes the object in its order.
func (m members) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, e := range m {
		if i > 0 {
			b.WriteByte(',')
		}
		key, err := json.Marshal(e.key)
		if err != nil {
			return nil, err
		}
		value, err := json.Marshal(e.value)
		if err != nil {
			return nil, err
		}
		b.Write(key)
		b.WriteByte(':')
		b.Write(value)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

const deepest = 64 // levels; what goes round in a circle ends there

// figures brings v to nil, figure, float64, int64, string, bool, []any and members.
func figures(v reflect.Value, s System, f *Faults, level int) any {
	if !v.IsValid() || (v.Kind() == reflect.Pointer || v.Kind() == reflect.Interface || v.Kind() == reflect.Map || v.Kind() == reflect.Slice) && v.IsNil() {
		return nil
	}
	if level > deepest {
		f.Add("", Words("more than %v levels", deepest), "a value that ends")
		return nil
	}
	switch x := v.Interface().(type) {
	case time.Time:
		return x.Format(time.RFC3339Nano)
	case Quantity, interface{ UnitsValue() any }:
		switch x := valueOf(x).(type) {
		case Quantity:
			return quantityFigure(x, s, f)
		case Span:
			return members{{"low", figures(reflect.ValueOf(x.Low), s, f, level+1)}, {"high", figures(reflect.ValueOf(x.High), s, f, level+1)}}
		case float64:
			return finiteFigure(x, f)
		case nil:
			return nil
		default:
			return Style{}.Text(x)
		}
	case json.Marshaler:
		text, err := x.MarshalJSON()
		f.Sub("", err)
		return json.RawMessage(text)
	case encoding.TextMarshaler:
		text, err := x.MarshalText()
		f.Sub("", err)
		return string(text)
	}
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		return figures(v.Elem(), s, f, level+1)
	case reflect.Struct:
		return structFigures(v, s, f, level)
	case reflect.Slice, reflect.Array:
		list := make([]any, v.Len())
		for i := range list {
			at := f.At("", i)
			list[i] = figures(v.Index(i), s, &at, level+1)
		}
		return list
	case reflect.Map:
		var m members
		for _, k := range v.MapKeys() {
			key := fmt.Sprint(k.Interface())
			at := f.Named("", key)
			m = append(m, member{key, figures(v.MapIndex(k), s, &at, level+1)})
		}
		slices.SortFunc(m, func(a, b member) int { return strings.Compare(a.key, b.key) })
		return m
	case reflect.Float64, reflect.Float32:
		return finiteFigure(v.Float(), f)
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		return v.Int()
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32:
		return int64(v.Uint())
	case reflect.String:
		return v.String()
	case reflect.Bool:
		return v.Bool()
	}
	f.Add("", Words("a value of type %v", v.Type().String()), "numbers, text, lists and structs")
	return nil
}

func structFigures(v reflect.Value, s System, f *Faults, level int) any {
	m := members{}
	for i := range v.NumField() {
		field := v.Type().Field(i)
		tag, options, _ := strings.Cut(field.Tag.Get("json"), ",")
		if tag == "-" || !field.IsExported() && !field.Anonymous ||
			strings.Contains(options, "omit") && v.Field(i).IsZero() {
			continue
		}
		if field.Anonymous && tag == "" {
			if inner, ok := embedded(v.Field(i), field.IsExported(), s, f, level+1); ok {
				m = append(m, inner...)
				continue
			}
		}
		if !field.IsExported() {
			continue
		}
		if tag == "" {
			tag = field.Name
		}
		at := f.Named("", tag)
		m = append(m, member{tag, figures(v.Field(i), s, &at, level+1)})
	}
	return m
}

// embedded returns the members of a struct that is part of another one without a name;
// ok is false where it is no struct. One whose type is not exported has exported fields
// all the same, but cannot be asked for anything itself.
func embedded(v reflect.Value, exported bool, s System, f *Faults, level int) (m members, ok bool) {
	if v.Kind() == reflect.Pointer {
		if v.IsNil() {
			return nil, v.Type().Elem().Kind() == reflect.Struct
		}
		v = v.Elem()
	}
	if v.Kind() != reflect.Struct {
		return nil, false
	}
	if exported {
		m, ok = figures(v, s, f, level).(members)
		return m, ok
	}
	return structFigures(v, s, f, level).(members), true
}

func quantityFigure(q Quantity, s System, f *Faults) any {
	x, unit := s.Number(q)
	if math.IsNaN(x) || math.IsInf(x, 0) {
		f.Add("", q, "a finite number")
		return nil
	}
	return figure{x + 0, unit}
}

func finiteFigure(x float64, f *Faults) any {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		f.Add("", x, "a finite number")
		return nil
	}
	return x + 0
}

// flatten appends the leaves of a tree of figures.
func flatten(path string, tree any, cells *[]Cell) {
	switch t := tree.(type) {
	case members:
		for _, e := range t {
			flatten(JoinPath(path, PathKey(e.key)), e.value, cells)
		}
	case []any:
		for i, e := range t {
			flatten(fmt.Sprintf("%s[%d]", path, i), e, cells)
		}
	case figure:
		*cells = append(*cells, Cell{path, t.Value, t.Unit})
	case json.RawMessage:
		*cells = append(*cells, Cell{Path: path, Value: string(t)})
	default:
		*cells = append(*cells, Cell{Path: path, Value: t})
	}
}
