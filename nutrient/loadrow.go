package nutrient

import (
	"fmt"
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
	add := func(c condition) {
		if !slices.ContainsFunc(s.keys, func(k Key) bool { return k.Name == c.key }) {
			f.Say(path+"."+c.key.String(), "a key that is not declared", "a key in the list keys")
			return
		}
		list = append(list, c)
	}
	choices := func(name KeyName, values []string) {
		if values == nil {
			return
		}
		c := condition{key: name}
		declared := s.key(name).Values
		for i, v := range values {
			x := indexFold(declared, v)
			if at := fmt.Sprintf("%s.%v[%d]", path, name, i); x < 0 && len(declared) > 0 {
				f.Add(at, v, s.key(name).want())
			} else if slices.Contains(c.choices, x) {
				f.Add(at, v, "each value once")
			}
			c.choices = append(c.choices, x)
		}
		slices.Sort(c.choices)
		if len(values) == 0 {
			f.Missing(path+"."+name.String(), "at least one value, or the key left out")
		}
		add(c)
	}
	choices(KeySpecies, when.Species)
	choices(KeyForm, forms)
	if c := when.DryMatter; c != nil {
		in := needInterval(f, path+".dryMatter", *c)
		if in.low > 1 || in.high > 1 && !math.IsInf(in.high, 1) {
			f.Say(path+".dryMatter", "more than the whole", "ends of 0 to 100 %")
		}
		above0(f, path+".dryMatter", in)
		add(condition{key: KeyDryMatter, ranged: true, in: in})
	}
	choices(KeyBedding, when.Bedding)
	choices(KeyCompost, when.Compost)
	choices(KeyMethod, when.Method)
	if c := when.Incorporation; c != nil {
		in, named := intervalOf(f, path+".incorporation", c.Class)
		if !named && !c.Never {
			f.Missing(path+".incorporation", "an end: from, over, to or below; or never")
		}
		add(condition{key: KeyIncorporation, ranged: named, in: in, never: c.Never})
	}
	choices(KeyWeather, when.Weather)
	choices(KeySeason, when.Season)
	if c := when.Irrigation; c != nil {
		in := needInterval(f, path+".irrigation", *c)
		above0(f, path+".irrigation", in)
		add(condition{key: KeyIrrigation, ranged: true, in: in})
	}
	choices(KeyCover, when.Cover)
	return list
}

// above0 records a class that ends at 0 of a key whose values are above 0.
func above0(f *units.Faults, path string, in interval) {
	if in.high == 0 {
		f.Say(path, "a class that no query reaches", "an upper end above 0, where the values of the key begin")
	}
}
