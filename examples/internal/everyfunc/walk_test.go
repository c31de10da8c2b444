package everyfunc

import (
	"encoding/binary"
	"fmt"
	"hash/maphash"
	"math"
	"reflect"
	"regexp"
	"strings"
)

// printHash is the fingerprint of values: every bit that reflection can see,
// unexported fields too, by content and not by address.
type printHash struct {
	seed maphash.Seed
	seen map[any]bool
}

func fingerprint(seed maphash.Seed, values ...reflect.Value) uint64 {
	var h maphash.Hash
	h.SetSeed(seed)
	p := printHash{seed, map[any]bool{}}
	for _, v := range values {
		p.add(&h, v)
	}
	return h.Sum64()
}

func (p printHash) add(h *maphash.Hash, v reflect.Value) {
	word := func(x uint64) { binary.Write(h, binary.LittleEndian, x) }
	if !v.IsValid() {
		word(0)
		return
	}
	if pkg := v.Type().PkgPath(); pkg == "sync" || pkg == "sync/atomic" {
		return
	}
	switch v.Kind() {
	case reflect.Bool:
		if v.Bool() {
			word(1)
		}
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		word(uint64(v.Int()))
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		word(v.Uint())
	case reflect.Float32, reflect.Float64:
		word(math.Float64bits(v.Float() + 0)) // -0 counts as 0
	case reflect.String:
		word(uint64(v.Len()))
		h.WriteString(v.String())
	case reflect.Slice, reflect.Array:
		word(uint64(v.Len()))
		for i := range v.Len() {
			p.add(h, v.Index(i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			p.add(h, v.Field(i))
		}
	case reflect.Map:
		sum := uint64(v.Len())
		for k, e := range v.Seq2() {
			sum += fingerprint(p.seed, k, e)
		}
		word(sum)
	case reflect.Interface:
		if v.IsNil() {
			word(0)
			return
		}
		h.WriteString(v.Elem().Type().String())
		p.add(h, v.Elem())
	case reflect.Pointer:
		if v.IsNil() {
			word(0)
			return
		}
		key := [2]any{v.Pointer(), v.Type()}
		if p.seen[key] {
			return
		}
		p.seen[key] = true
		p.add(h, v.Elem())
	}
}

// notNumber finds what fmt writes for a number that is none, or for a verb that
// does not fit.
var notNumber = regexp.MustCompile(`\bNaN\b|[+-]Inf\b|%!.?\(`)

// unsound returns the path of the first number that is no number, or is out of
// bounds when bound is above 0, among the exported fields of v; empty when all
// are sound.
func unsound(v reflect.Value, bound float64) string {
	return unsoundAt("", v, bound, 0)
}

func unsoundAt(path string, v reflect.Value, bound float64, deep int) string {
	if !v.IsValid() || deep > 12 {
		return ""
	}
	switch v.Kind() {
	case reflect.Float32, reflect.Float64:
		x := math.Abs(v.Float())
		if math.IsNaN(x) || math.IsInf(x, 0) || bound > 0 && x != 0 && (x > bound || x < 1/bound) {
			return fmt.Sprintf("%s = %v", path, v.Float())
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			if s := unsoundAt(fmt.Sprintf("%s[%d]", path, i), v.Index(i), bound, deep+1); s != "" {
				return s
			}
		}
	case reflect.Struct:
		for i := range v.NumField() {
			f := v.Type().Field(i)
			if !f.IsExported() {
				continue
			}
			if s := unsoundAt(path+"."+f.Name, v.Field(i), bound, deep+1); s != "" {
				return s
			}
		}
	case reflect.Map:
		for k, e := range v.Seq2() {
			if s := unsoundAt(fmt.Sprintf("%s[%v]", path, k), e, bound, deep+1); s != "" {
				return s
			}
		}
	case reflect.Interface, reflect.Pointer:
		if !v.IsNil() {
			return unsoundAt(path, v.Elem(), bound, deep+1)
		}
	case reflect.String:
		if notNumber.MatchString(v.String()) {
			return fmt.Sprintf("%s = %q", path, v.String())
		}
	}
	return ""
}

// leaf finds the value at a fault's path, such as "fields[2].area", by the json
// names; pointers on the way are made when they are missing.
func leaf(v reflect.Value, path string) (reflect.Value, bool) {
	for {
		for v.Kind() == reflect.Pointer || v.Kind() == reflect.Interface {
			if v.IsNil() {
				if v.Kind() == reflect.Interface || !v.CanSet() || path == "" {
					return v, path == "" && v.CanSet()
				}
				v.Set(reflect.New(v.Type().Elem()))
			}
			if path == "" && v.CanSet() {
				return v, true
			}
			v = v.Elem()
		}
		if path == "" {
			return v, v.CanSet()
		}
		if path[0] == '[' {
			inner, rest, ok := strings.Cut(path[1:], "]")
			var i int
			if _, err := fmt.Sscan(inner, &i); !ok || err != nil || v.Kind() != reflect.Slice && v.Kind() != reflect.Array || i < 0 || i >= v.Len() {
				return v, false
			}
			v, path = v.Index(i), strings.TrimPrefix(rest, ".")
			continue
		}
		end := strings.IndexAny(path, ".[")
		if end < 0 {
			end = len(path)
		}
		if v.Kind() != reflect.Struct {
			return v, false
		}
		f, ok := fieldNamed(v, path[:end])
		if !ok {
			return v, false
		}
		v, path = f, strings.TrimPrefix(path[end:], ".")
	}
}

// fieldNamed returns the field of a struct by its json name or, where it has
// none, by its Go name.
func fieldNamed(v reflect.Value, name string) (reflect.Value, bool) {
	for i := range v.NumField() {
		f := v.Type().Field(i)
		if !f.IsExported() {
			continue
		}
		tag, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		switch {
		case f.Anonymous && tag == "":
			inner := v.Field(i)
			if inner.Kind() == reflect.Struct {
				if g, ok := fieldNamed(inner, name); ok {
					return g, true
				}
			}
		case tag == name, (tag == "" || tag == "-") && strings.EqualFold(f.Name, name):
			return v.Field(i), true
		}
	}
	return v, false
}
