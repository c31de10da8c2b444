package everyfunc

import (
	"bytes"
	"context"
	"encoding"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"time"
)

// maker makes arguments. It learns as it goes: what functions answered is handed
// to others, and the words that faults name are tried.
type maker struct {
	rand  *rand.Rand
	pool  map[reflect.Type][]reflect.Value
	words []string
	// spiteful makes one value in so many a number that breaks things.
	spiteful int
	// sparse is the share of optional fields that are left out.
	sparse float64
	found  []reflect.Type // types of the pool, in the order of coming, so that a seed repeats
}

func newMaker(seed uint64) *maker {
	return &maker{rand: rand.New(rand.NewPCG(1, seed)), pool: map[reflect.Type][]reflect.Value{}, words: slices.Clone(amounts)}
}

// files is what parsers are given, as it is or with a slip of the pen.
var files = readFiles("../../../nutrient/states", "../../../cover/data", "../../../calibrate/testdata", "../../closure")

func readFiles(folders ...string) (all [][]byte) {
	for _, folder := range folders {
		entries, err := os.ReadDir(folder)
		if err != nil {
			panic(err)
		}
		for _, e := range entries {
			if filepath.Ext(e.Name()) != ".json" {
				continue
			}
			text, err := os.ReadFile(filepath.Join(folder, e.Name()))
			if err != nil {
				panic(err)
			}
			all = append(all, text)
		}
	}
	return all
}

// amounts has a text for every quantity, and some that are none.
var amounts = []string{"12 ft", "3.5 acre", "8,000 gal", "4 ton", "62.4 lb/ft3", "31 lb/1000 gal", "9 t/ha", "0.2 in/h", "90 min", "60 hp", "15 W/m3", "450 gal/min",
	"5.2 %", "120 lb/acre", "40 seeds/ft2", "110,000 seeds/lb", "3 mph", "68 °F", "20 Cel", "9,000 gal/acre", "12 per ton", "1e308 mi", "-0 ft", "5e-324 m", "7"}

// spite is what arithmetic trips over.
var spite = []float64{0, math.Copysign(0, -1), 5e-324, 1e-310, 1e-165, 1e-12, -1, 1, 1e9, 1e18, 1e154, 1e308, -1e308, math.NaN(), math.Inf(1), math.Inf(-1)}

const poolSize = 24

// keep puts an answer into the pool.
func (m *maker) keep(v reflect.Value) {
	t := v.Type()
	if words, ok := v.Interface().([]string); ok {
		for _, w := range words {
			m.remember(w)
		}
	}
	list, known := m.pool[t]
	if !known {
		m.found = append(m.found, t)
	}
	if len(list) < poolSize {
		m.pool[t] = append(list, v)
		return
	}
	list[m.rand.IntN(poolSize)] = v
}

// learn remembers words that a fault offers.
func (m *maker) learn(want string) {
	_, list, ok := strings.Cut(want, "one of ")
	if !ok {
		return
	}
	for _, w := range strings.Split(list, ", ") {
		m.remember(strings.Trim(w, "\"; "))
	}
}

func (m *maker) remember(w string) {
	if w != "" && len(w) < 60 && !slices.Contains(m.words, w) && len(m.words) < 600 {
		m.words = append(m.words, w)
	}
}

func (m *maker) one(n int) bool { return m.rand.IntN(n) == 0 }

func (m *maker) number() float64 {
	if m.spiteful > 0 && m.one(m.spiteful) {
		return spite[m.rand.IntN(len(spite))]
	}
	switch m.rand.IntN(6) {
	case 0, 1:
		return float64(m.rand.IntN(1000)+1) / 1000 // a fraction
	case 2:
		return float64(m.rand.IntN(10) + 1)
	case 3:
		return math.Round(math.Pow(10, 3*m.rand.Float64())*100) / 100
	case 4:
		return math.Pow(10, -6*m.rand.Float64())
	}
	return float64(m.rand.IntN(200)) / 4
}

var (
	textType    = reflect.TypeFor[encoding.TextUnmarshaler]()
	timeType    = reflect.TypeFor[time.Time]()
	contextType = reflect.TypeFor[context.Context]()
	writerType  = reflect.TypeFor[io.Writer]()
	sourceType  = reflect.TypeFor[rand.Source]()
	errorType   = reflect.TypeFor[error]()
	bytesType   = reflect.TypeFor[[]byte]()
)

// value makes a value of type t.
func (m *maker) value(t reflect.Type, deep int) reflect.Value {
	v := reflect.New(t).Elem()
	switch t {
	case timeType:
		v.Set(reflect.ValueOf(time.Date(2026, time.Month(1+m.rand.IntN(12)), 1+m.rand.IntN(28), 0, 0, 0, 0, time.UTC)))
		return v
	case contextType:
		v.Set(reflect.ValueOf(context.Background()))
		return v
	case writerType:
		v.Set(reflect.ValueOf(&bytes.Buffer{}))
		return v
	case sourceType:
		v.Set(reflect.ValueOf(rand.NewPCG(1, 1)))
		return v
	case bytesType:
		if m.one(4) {
			v.SetBytes([]byte("x,y,z\n1,2,3\n4;5;6\n7 8 9\n"))
			return v
		}
		text := slices.Clone(files[m.rand.IntN(len(files))])
		for range m.rand.IntN(3) {
			text[m.rand.IntN(len(text))] = "0123456789\"{}[],:.- "[m.rand.IntN(20)]
		}
		v.SetBytes(text)
		return v
	}
	if list := m.pool[t]; len(list) > 0 && m.rand.IntN(3) > 0 && hidden(t) {
		return clone(list[m.rand.IntN(len(list))])
	}
	switch t.Kind() {
	case reflect.Float64, reflect.Float32:
		v.SetFloat(m.number())
	case reflect.Bool:
		v.SetBool(m.one(2))
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		switch {
		case m.spiteful > 0 && m.one(m.spiteful):
			v.SetInt([]int64{0, -1, 1, 127, math.MaxInt64, math.MinInt64}[m.rand.IntN(6)])
		case t.PkgPath() != "" || m.one(2):
			v.SetInt(int64(m.rand.IntN(9)))
		default:
			v.SetInt(int64(m.rand.IntN(200)))
		}
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		v.SetUint(uint64(m.rand.IntN(200)))
	case reflect.String:
		v.SetString(m.word())
	case reflect.Pointer:
		if m.rand.IntN(3) > 0 && deep < 9 {
			if t.Elem().Kind() == reflect.Struct && hidden(t.Elem()) {
				return v // made by a constructor only: what the pool has not is nil
			}
			p := reflect.New(t.Elem())
			p.Elem().Set(m.value(t.Elem(), deep+1))
			v.Set(p)
		}
	case reflect.Slice:
		n := m.rand.IntN(5)
		if m.spiteful > 0 && m.one(4*m.spiteful) {
			n = 300
		}
		if deep > 6 {
			n = 0
		}
		v.Set(reflect.MakeSlice(t, n, n))
		for i := range n {
			if i > 0 && m.spiteful > 0 && m.one(m.spiteful) {
				v.Index(i).Set(v.Index(i - 1))
				continue
			}
			v.Index(i).Set(m.value(t.Elem(), deep+1))
		}
	case reflect.Array:
		for i := range v.Len() {
			v.Index(i).Set(m.value(t.Elem(), deep+1))
		}
	case reflect.Map:
		v.Set(reflect.MakeMap(t))
		for range m.rand.IntN(3) {
			v.SetMapIndex(m.value(t.Key(), deep+1), m.value(t.Elem(), deep+1))
		}
	case reflect.Struct:
		for i := range t.NumField() {
			f := t.Field(i)
			if !f.IsExported() || strings.Contains(f.Tag.Get("json"), "omit") && m.rand.Float64() < m.sparse {
				continue
			}
			v.Field(i).Set(m.value(f.Type, deep+1))
		}
	case reflect.Interface:
		var fits []reflect.Type
		for _, known := range m.found {
			if known.Implements(t) && t.NumMethod() > 0 {
				fits = append(fits, known)
			}
		}
		if len(fits) > 0 && m.rand.IntN(20) > 0 {
			list := m.pool[fits[m.rand.IntN(len(fits))]]
			v.Set(list[m.rand.IntN(len(list))])
		}
	}
	return v
}

func (m *maker) word() string {
	switch m.rand.IntN(8) {
	case 0, 1:
		return amounts[m.rand.IntN(len(amounts))]
	case 2, 3, 4, 5:
		return m.words[m.rand.IntN(len(m.words))]
	}
	return []string{"", "a", "b", "north", "corn", "12 ft", "\x00", "é"}[m.rand.IntN(8)]
}

// fill gives the interfaces and the constructed things that a seed cannot hold,
// out of what functions answered.
func (m *maker) fill(v reflect.Value) {
	var list []reflect.Value
	leaves(v, 0, &list)
	for _, l := range list {
		if k := l.Kind(); l.CanSet() && l.IsZero() && (k == reflect.Interface || k == reflect.Pointer && hidden(l.Type())) {
			for range 4 {
				if l.Set(m.value(l.Type(), 3)); !l.IsZero() {
					break
				}
			}
		}
	}
}

// hidden reports whether values of t are better taken from functions than put
// together from fields: structs with unexported fields only, and pointers to such.
func hidden(t reflect.Type) bool {
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if t.Kind() != reflect.Struct || t == timeType {
		return false
	}
	for i := range t.NumField() {
		if !t.Field(i).IsExported() {
			return true
		}
	}
	return false
}

// clone copies what exported fields reach, so that a change to the copy leaves
// the original alone; what is hidden is shared.
func clone(v reflect.Value) reflect.Value {
	c := reflect.New(v.Type()).Elem()
	c.Set(v)
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() && !hidden(v.Type()) {
			p := reflect.New(v.Type().Elem())
			p.Elem().Set(clone(v.Elem()))
			c.Set(p)
		}
	case reflect.Slice:
		if !v.IsNil() {
			c.Set(reflect.MakeSlice(v.Type(), v.Len(), v.Len()))
			for i := range v.Len() {
				c.Index(i).Set(clone(v.Index(i)))
			}
		}
	case reflect.Array:
		for i := range v.Len() {
			c.Index(i).Set(clone(v.Index(i)))
		}
	case reflect.Map:
		if !v.IsNil() {
			c.Set(reflect.MakeMap(v.Type()))
			for k, e := range v.Seq2() {
				c.SetMapIndex(k, clone(e))
			}
		}
	case reflect.Struct:
		if v.Type() == timeType {
			return c
		}
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				c.Field(i).Set(clone(v.Field(i)))
			}
		}
	}
	return c
}

// leaves lists what mutate may change below v: numbers, words, switches, and the
// lists and pointers that hold them.
func leaves(v reflect.Value, deep int, list *[]reflect.Value) {
	if deep > 12 || v.Type() == timeType {
		*list = append(*list, v)
		return
	}
	switch v.Kind() {
	case reflect.Struct:
		if hidden(v.Type()) {
			*list = append(*list, v)
			return
		}
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				leaves(v.Field(i), deep+1, list)
			}
		}
	case reflect.Slice, reflect.Array:
		*list = append(*list, v)
		for i := range min(v.Len(), 8) {
			leaves(v.Index(i), deep+1, list)
		}
	case reflect.Pointer:
		*list = append(*list, v)
		if !v.IsNil() && !hidden(v.Type()) {
			leaves(v.Elem(), deep+1, list)
		}
	default:
		*list = append(*list, v)
	}
}

// mutate changes one or two leaves of args, to spiteful values as a rule.
func (m *maker) mutate(args []reflect.Value) {
	var list []reflect.Value
	for _, a := range args {
		leaves(a, 0, &list)
	}
	if len(list) == 0 {
		return
	}
	for range 1 + m.rand.IntN(2) {
		v := list[m.rand.IntN(len(list))]
		if !v.CanSet() || v.Type() == contextType {
			continue
		}
		switch v.Kind() {
		case reflect.Float64, reflect.Float32:
			switch m.rand.IntN(4) {
			case 0:
				v.SetFloat(m.number())
			case 1:
				v.SetFloat(v.Float() * (1 + 1e-9*m.rand.NormFloat64()))
			default:
				v.SetFloat(spite[m.rand.IntN(len(spite))])
			}
		case reflect.Slice:
			switch n := v.Len(); {
			case n == 0 || m.one(4):
				v.Set(m.value(v.Type(), 4))
			case m.one(4):
				v.SetZero()
			case m.one(12) && n < 20:
				long := v
				for range 200 {
					long = reflect.Append(long, clone(v.Index(m.rand.IntN(n))))
				}
				v.Set(long)
			case m.one(2):
				v.Set(reflect.Append(v, clone(v.Index(m.rand.IntN(n)))))
			default:
				v.Set(v.Slice(0, n-1))
			}
		case reflect.Pointer, reflect.Interface, reflect.Map:
			if m.one(2) {
				v.SetZero()
			} else {
				v.Set(m.value(v.Type(), 4))
			}
		default:
			v.Set(m.value(v.Type(), 4))
		}
	}
}

// mend changes the leaf that a fault names to something that the fault allows,
// as far as its text tells.
func (m *maker) mend(v reflect.Value, want string) {
	if !v.CanSet() {
		return
	}
	if !v.IsZero() && m.one(5) {
		v.SetZero() // of two that contradict each other
		return
	}
	inner := v
	if v.Kind() == reflect.Pointer {
		p := reflect.New(v.Type().Elem())
		inner = p.Elem()
		inner.Set(m.value(v.Type().Elem(), 3))
		if inner.Kind() != reflect.Struct || !hidden(inner.Type()) {
			v.Set(p)
		}
	}
	if !m.one(4) {
		if u, ok := inner.Addr().Interface().(encoding.TextUnmarshaler); ok && m.fromWant(u, inner, want) {
			return
		}
	}
	if inner.Kind() == reflect.Float64 && !m.one(4) && m.numberFromWant(inner, want) {
		return
	}
	for range 4 {
		fresh := m.value(inner.Type(), 3)
		if !fresh.IsZero() {
			inner.Set(fresh)
			return
		}
	}
	if inner.Kind() == reflect.Slice {
		inner.Set(reflect.MakeSlice(inner.Type(), 0, 4))
		for range 1 + m.rand.IntN(4) {
			inner.Set(reflect.Append(inner, m.value(inner.Type().Elem(), 3)))
		}
	}
}

// fromWant sets a value with a text form to one of the words or amounts that want
// names, between them where it names two.
func (m *maker) fromWant(u encoding.TextUnmarshaler, v reflect.Value, want string) bool {
	var tokens []string
	for _, part := range strings.FieldsFunc(want, func(r rune) bool { return r == ',' || r == ';' }) {
		for _, cut := range []string{" to ", " and ", " or "} {
			part = strings.ReplaceAll(part, cut, "\x00")
		}
		for _, w := range strings.Split(part, "\x00") {
			for _, lead := range []string{"one of ", "at most ", "at least ", "more than ", "less than ", "below ", "above ", "between "} {
				w = strings.TrimPrefix(strings.TrimSpace(w), lead)
			}
			tokens = append(tokens, w)
		}
	}
	var sound []reflect.Value
	for _, w := range tokens {
		try := reflect.New(v.Type())
		if try.Interface().(encoding.TextUnmarshaler).UnmarshalText([]byte(w)) == nil {
			sound = append(sound, try.Elem())
		}
	}
	if len(sound) == 0 {
		return false
	}
	if v.Kind() == reflect.Float64 && len(sound) >= 2 {
		lo, hi := sound[0].Float(), sound[1].Float()
		v.SetFloat(lo + (hi-lo)*math.Pow(m.rand.Float64(), 1+4*m.rand.Float64()))
		return true
	}
	v.Set(sound[m.rand.IntN(len(sound))])
	return true
}

// numberFromWant sets a bare number to one between those that want names.
func (m *maker) numberFromWant(v reflect.Value, want string) bool {
	var found []float64
	for _, w := range strings.FieldsFunc(want, func(r rune) bool { return r == ' ' || r == ',' || r == ';' || r == '%' }) {
		if x, ok := parseNumber(w); ok {
			found = append(found, x)
		}
	}
	switch len(found) {
	case 0:
		return false
	case 1:
		v.SetFloat(found[0] * (0.5 + m.rand.Float64()))
		return true
	}
	v.SetFloat(found[0] + (found[1]-found[0])*m.rand.Float64())
	return true
}
