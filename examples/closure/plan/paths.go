package plan

import (
	"reflect"
	"strconv"
	"strings"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// place is a figure of a scenario: how it is set, from a value in SI units, and read.
type place struct {
	set  func(x float64)
	get  func() float64
	read func(text string) (float64, error) // text as in a file
}

// finder finds figures of a scenario that is a copy of another. What lies on the way to
// them is copied, once, so that setting them changes this scenario alone.
type finder struct {
	s   *Scenario
	own map[string]bool // paths of what was copied
}

func newFinder(s Scenario) *finder { return &finder{&s, map[string]bool{}} }

// pointed is what a pointer of the scenario points to, a copy of its own.
func (f *finder) pointed(v reflect.Value, at string) reflect.Value {
	if !f.own[at] {
		own := reflect.New(v.Type().Elem())
		own.Elem().Set(v.Elem())
		v.Set(own)
		f.own[at] = true
	}
	return v.Elem()
}

// find returns the figure at a path. A figure that the scenario does not have is a fault.
func (f *finder) find(path string) (place, error) {
	v := reflect.ValueOf(f.s).Elem()
	for rest := path; rest != ""; {
		at := path[:len(path)-len(rest)]
		var step string
		step, rest = next(rest)
		if v.Kind() == reflect.Pointer {
			if v.IsNil() {
				return place{}, missing(path)
			}
			v = f.pointed(v, at)
		}
		switch v.Kind() {
		case reflect.Struct:
			field, ok := tagged(v, step)
			if !ok {
				return place{}, units.Fault(units.FaultKey, path, path, "the path of a figure in the scenario")
			}
			v = field
		case reflect.Slice:
			i, err := strconv.Atoi(step)
			if err != nil || i < 0 || i >= v.Len() {
				return place{}, missing(path)
			}
			if !f.own[at] {
				own := reflect.MakeSlice(v.Type(), v.Len(), v.Len())
				reflect.Copy(own, v)
				v.Set(own)
				f.own[at] = true
			}
			v = v.Index(i)
		case reflect.Map:
			return f.entry(v, at, step, rest, path)
		default:
			return place{}, units.Fault(units.FaultKey, path, path, "the path of a figure in the scenario")
		}
	}
	return f.leaf(v, path)
}

// next cuts the first step off a path such as reports[0].p2o5.
func next(path string) (step, rest string) {
	end := strings.IndexAny(path, ".[")
	switch {
	case end < 0:
		return strings.TrimSuffix(path, "]"), ""
	case end == 0 && path[0] == '[':
		step, rest, _ = strings.Cut(path[1:], "]")
		return step, strings.TrimPrefix(rest, ".")
	case path[end] == '[':
		return path[:end], path[end:]
	}
	return path[:end], path[end+1:]
}

// steps is all steps of a path.
func steps(path string) (list []string) {
	for path != "" {
		var step string
		step, path = next(path)
		list = append(list, step)
	}
	return list
}

// tagged is the field of a struct with a json name, which may be that of a struct within.
func tagged(v reflect.Value, name string) (reflect.Value, bool) {
	for i := range v.NumField() {
		f := v.Type().Field(i)
		tag, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		switch {
		case f.Anonymous && tag == "" && f.Type.Kind() == reflect.Struct:
			if in, ok := tagged(v.Field(i), name); ok {
				return in, true
			}
		case tag == name && f.IsExported():
			return v.Field(i), true
		}
	}
	return reflect.Value{}, false
}

func missing(path string) error {
	return units.Fault(units.FaultMissing, path, nil, "a figure in the scenario, for the draws to change")
}

// leaf is the figure that v holds.
func (f *finder) leaf(v reflect.Value, path string) (place, error) {
	if v.Kind() == reflect.Pointer {
		if v.IsNil() {
			return place{}, missing(path)
		}
		v = f.pointed(v, path)
	}
	switch p := v.Addr().Interface().(type) {
	case *nutrient.Content:
		return formed(path, p, p.Form(), func(x float64) nutrient.Content { return nutrient.LiquidContent(units.Concentration(x)) },
			func(x float64) nutrient.Content { return nutrient.SolidContent(units.MassFraction(x)) })
	case *nutrient.Amount:
		return formed(path, p, p.Form(), func(x float64) nutrient.Amount { return nutrient.LiquidAmount(units.Volume(x)) },
			func(x float64) nutrient.Amount { return nutrient.SolidAmount(units.Mass(x)) })
	case *nutrient.Rate:
		return formed(path, p, p.Form(), func(x float64) nutrient.Rate { return nutrient.LiquidRate(units.VolumePerArea(x)) },
			func(x float64) nutrient.Rate { return nutrient.SolidRate(units.MassPerArea(x)) })
	case *nutrient.UnitPrice:
		return formed(path, p, p.Form(), func(x float64) nutrient.UnitPrice { return nutrient.LiquidPrice(units.Price[units.Volume](x)) },
			func(x float64) nutrient.UnitPrice { return nutrient.SolidPrice(units.Price[units.Mass](x)) })
	}
	switch v.Kind() {
	case reflect.Float64:
		return place{v.SetFloat, v.Float, readsAs(v.Type(), reflect.Value.Float)}, nil
	case reflect.Int:
		if _, word := v.Interface().(interface{ MarshalText() ([]byte, error) }); !word {
			return place{func(x float64) { v.SetInt(int64(x)) }, func() float64 { return float64(v.Int()) }, number}, nil
		}
	}
	return place{}, units.Fault(units.FaultKey, path, path, "the path of a figure in the scenario")
}

// entry is a figure in a map of the scenario, such as the metals of a report.
func (f *finder) entry(m reflect.Value, at, key, rest, path string) (place, error) {
	if !f.own[at] {
		own := reflect.MakeMapWithSize(m.Type(), m.Len())
		for _, k := range m.MapKeys() {
			own.SetMapIndex(k, m.MapIndex(k))
		}
		m.Set(own)
		f.own[at] = true
	}
	own := reflect.ValueOf(m.Interface())
	for _, k := range own.MapKeys() {
		name, ok := k.Interface().(interface{ String() string })
		if !ok || name.String() != key || rest != "" {
			continue
		}
		held := reflect.New(own.Type().Elem()).Elem()
		held.Set(own.MapIndex(k))
		p, err := f.leaf(held, path)
		if err != nil {
			return p, err
		}
		set := p.set
		p.set = func(x float64) { set(x); own.SetMapIndex(k, held) }
		return p, nil
	}
	return place{}, missing(path)
}

// formed is a figure that is by volume or by weight, and stays so.
func formed[T interface {
	SI() float64
	Form() nutrient.Form
}](path string, p *T, form nutrient.Form, liquid, solid func(float64) T) (place, error) {
	of := map[nutrient.Form]func(float64) T{nutrient.Liquid: liquid, nutrient.Solid: solid}[form]
	if of == nil {
		return place{}, missing(path)
	}
	read := func(text string) (float64, error) {
		var x T
		err := any(&x).(interface{ UnmarshalText([]byte) error }).UnmarshalText([]byte(text))
		if err == nil && x.Form() != form {
			err = units.Fault(units.FaultUnit, "", text, "in the form of the scenario, %v", form)
		}
		return x.SI(), err
	}
	return place{func(x float64) { *p = of(x) }, func() float64 { return (*p).SI() }, read}, nil
}

// readsAs reads a text of the type of a figure.
func readsAs(t reflect.Type, value func(reflect.Value) float64) func(string) (float64, error) {
	return func(text string) (float64, error) {
		v := reflect.New(t)
		if u, ok := v.Interface().(interface{ UnmarshalText([]byte) error }); ok {
			err := u.UnmarshalText([]byte(text))
			return value(v.Elem()), err
		}
		return number(text)
	}
}

// number reads a plain number.
func number(text string) (float64, error) {
	x, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return 0, units.Fault(units.FaultMalformed, "", text, "a number")
	}
	return x, nil
}
