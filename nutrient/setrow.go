package nutrient

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"example.org/earthbasin/units"
)

// loadRow checks a row in itself.
func (l *loader) loadRow(s *Set, path string, r Row) setRow {
	c := setRow{
		pool: r.Pool, first: r.Year, last: max(r.Year, r.Through), basis: r.Basis, lacks: r.Lacks, note: r.Note,
		path: path, source: s.source, row: r,
	}
	l.structure(func(f *units.Faults) {
		if !poolNames.Has(int(r.Pool)) {
			f.Missing(path+".pool", poolNames.Want())
		}
		if r.Year < 1 || r.Year > maxYear {
			f.Add(path+".year", r.Year, fmt.Sprintf("1 to %d", maxYear))
		}
		if r.Through != 0 && (r.Through <= r.Year || r.Through > maxYear) {
			f.Add(path+".through", r.Through, fmt.Sprintf("a year after year, at most %d", maxYear))
		}
		c.conditions = conditions(f, s, path+".when", r.When)
	})
	bases := []Basis{BasisOriginal, BasisRemaining, BasisTotal}
	switch r.Pool {
	case PoolTotalN:
		bases = bases[1:] // original and total are the same: one spelling
	case PoolP, PoolK:
		bases = bases[:2]
	}
	if !slices.Contains(bases, r.Basis) {
		var names []string
		for _, b := range bases {
			names = append(names, b.String())
		}
		want := fmt.Sprintf("one of %s for the pool %v", strings.Join(names, ", "), r.Pool)
		if r.Basis == 0 {
			l.faults.Missing(path+".basis", want)
		} else {
			l.faults.Add(path+".basis", r.Basis, want)
		}
	}
	c.fraction = l.fraction(r, path)
	return c
}

// fraction takes value, or low and high, or lacks. One that is not allowed is
// zero, to keep it out of the sums.
func (l *loader) fraction(r Row, path string) (x units.Range[float64]) {
	given := 0
	if r.Value != nil {
		given++
		l.faults.Fraction(path+".value", *r.Value)
		x = units.Point(*r.Value)
	}
	if r.Low != nil || r.High != nil {
		given++
		switch {
		case r.Low == nil:
			l.faults.Missing(path+".low", "the low value beside the high one")
		case r.High == nil:
			l.faults.Missing(path+".high", "the high value beside the low one")
		default:
			l.faults.Fraction(path+".low", *r.Low)
			l.faults.Fraction(path+".high", *r.High)
			if *r.Low > *r.High {
				l.faults.Add(path+".low", *r.Low, "no more than high")
			}
			x = units.Range[float64]{Low: *r.Low, High: *r.High}
		}
	}
	if r.Lacks != "" {
		given++
	}
	if given != 1 {
		l.faults.Say(path, fmt.Sprintf("a row with %d answers", given), "one of value, low and high, or lacks")
	}
	if !(x.Low >= 0 && x.High <= 1) {
		return units.Range[float64]{}
	}
	return x
}

// conditions checks a selector against the declared keys.
func conditions(f *units.Faults, s *Set, path string, when Selector) []condition {
	var list []condition
	var forms []string
	if when.Form != nil {
		forms = []string{}
	}
	for _, form := range when.Form {
		forms = append(forms, form.String())
	}
	// add appends the condition that check makes of a declared key.
	add := func(name KeyName, check func(at string, k Key) condition) {
		at, i := path+"."+name.Path(), s.keyIndex(name)
		if i < 0 {
			f.Say(at, "a key that is not declared", "a key in the list keys")
			return
		}
		c := check(at, s.keys[i])
		c.key = i
		list = append(list, c)
	}
	choices := func(name KeyName, values []string) {
		if values != nil {
			add(name, func(at string, k Key) condition { return condition{choices: chosen(f, at, k, values)} })
		}
	}
	choices(KeySpecies, when.Species)
	choices(KeyForm, forms)
	if c := when.DryMatter; c != nil {
		add(KeyDryMatter, func(at string, k Key) condition { return condition{ranged: true, in: within(f, at, k, *c)} })
	}
	choices(KeyBedding, when.Bedding)
	choices(KeyCompost, when.Compost)
	choices(KeyMethod, when.Method)
	if c := when.Incorporation; c != nil {
		add(KeyIncorporation, func(at string, _ Key) condition {
			in, named := intervalOf(f, at, c.Class)
			if !named && !c.Never {
				f.Missing(at, "an end: from, over, to or below; or never")
			}
			return condition{ranged: named, in: in, never: c.Never}
		})
	}
	choices(KeyWeather, when.Weather)
	choices(KeySeason, when.Season)
	if c := when.Irrigation; c != nil {
		add(KeyIrrigation, func(at string, k Key) condition { return condition{ranged: true, in: within(f, at, k, *c)} })
	}
	choices(KeyCover, when.Cover)
	for _, name := range slices.Sorted(maps.Keys(when.Own)) {
		c := when.Own[name]
		add(name, func(at string, k Key) condition {
			switch {
			case !name.Own():
				f.Say(at, "a key with a field of its own", "the key outside of own")
			case k.Quantity() && c.Values == nil:
				return condition{ranged: true, in: within(f, at, k, c.Class)}
			case k.Quantity():
				f.Say(at+".values", "a list", "an interval: the key takes "+k.Hint())
			case c.Class != Class[float64]{}:
				f.Say(at, "an interval", "values: the key takes "+k.want())
			}
			return condition{choices: chosen(f, at+".values", k, c.Values)}
		})
	}
	return list
}

// chosen returns the places of values among those of the key.
func chosen(f *units.Faults, path string, k Key, values []string) []int {
	list := []int{}
	for i, v := range values {
		x := indexFold(k.Values, v)
		if at := fmt.Sprintf("%s[%d]", path, i); x < 0 && len(k.Values) > 0 {
			f.Add(at, v, k.want())
		} else if slices.Contains(list, x) {
			f.Add(at, v, "each value once")
		}
		list = append(list, x)
	}
	slices.Sort(list)
	if len(values) == 0 {
		f.Missing(path, "at least one value, or the key left out")
	}
	return list
}

// within checks a class of a key with a quantity.
func within[Q ~float64](f *units.Faults, path string, k Key, c Class[Q]) interval {
	in := needInterval(f, path, c)
	switch most := k.most(); {
	case in.low > most || in.high > most && !math.IsInf(in.high, 1):
		f.Say(path, "more than the key takes", "ends of up to "+k.show(most))
	case in.high == 0 && !k.zero():
		f.Say(path, "a class that no query reaches", "an upper end above 0, where the values of the key begin")
	}
	return in
}
