package nutrient

import (
	"fmt"
	"math"
	"regexp"
	"slices"

	"example.org/earthbasin/units"
)

// Limits of a file, far above any published table; they bound the work of the
// checks.
const (
	maxRows   = 2000
	maxValues = 64
	maxYear   = 50
	maxTries  = 5000000 // rows tried in all cells of a pool
)

// ParseSet reads a coefficient set from its JSON and checks it as [NewSet]
// does. Unknown keys, wrong kinds and what else does not fit the form of the file
// are reported with all other faults.
func ParseSet(data []byte, bases ...*Set) (*Set, error) {
	var spec SetSpec
	var f units.Faults
	f.Sub("", units.Decode(data, &spec))
	if f.Err() != nil {
		return nil, f.Err()
	}
	return NewSet(spec, bases...)
}

// NewSet checks a set and returns it. bases are the sets among which the base of
// the spec is looked up. Every fault is reported as [units.FieldError] with its
// path: a missing source, keys that are not declared or not used, fractions
// outside 0 to 1, empty classes, two rows that answer one query with equally
// many keys, queries within the declared keys that no row answers, years left
// out, and shares that add up to more than 1 over the years.
func NewSet(spec SetSpec, bases ...*Set) (*Set, error) {
	l := loader{spec: spec}
	s := l.load(bases)
	if err := l.faults.Err(); err != nil {
		return nil, err
	}
	return s, nil
}

type loader struct {
	spec   SetSpec
	faults units.Faults
}

var idPattern = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

func (l *loader) load(bases []*Set) *Set {
	spec := l.spec
	s := &Set{
		id: spec.ID, jurisdiction: spec.Jurisdiction, note: spec.Note, source: spec.Source,
		oxides: spec.Oxides, lacks: slices.Clone(spec.Lacks),
	}
	if !idPattern.MatchString(spec.ID) {
		l.faults.Add("id", spec.ID, "lower-case letters, digits and hyphens, such as state-2026")
	}
	if spec.Jurisdiction == "" {
		l.faults.Missing("jurisdiction", "where the set applies")
	}
	spec.Source.check(&l.faults, "source")
	if spec.Oxides != nil && spec.Oxides.P2O5PerP() == 0 {
		l.faults.Add("oxides", *spec.Oxides, "a known pair of factors")
	}
	if len(spec.Rows) == 0 {
		l.faults.Missing("rows", "at least one row")
	}
	if len(spec.Rows) > maxRows {
		l.faults.Add("rows", len(spec.Rows), fmt.Sprintf("at most %d rows", maxRows))
		return s
	}
	l.loadKeys(s, bases)
	for i, r := range spec.Rows {
		path := fmt.Sprintf("rows[%d]", i)
		s.rows = append(s.rows, l.loadRow(s, path, r))
	}
	l.addBase(s, bases)
	if l.faults.Err() != nil {
		return s // the checks over all rows need rows that are right in themselves
	}
	for i := range s.rows {
		r := &s.rows[i]
		s.years[r.Pool] = max(s.years[r.Pool], r.Year, r.Through)
	}
	if s.years[PoolTotalN] > 0 && (s.years[PoolAmmonium] > 0 || s.years[PoolOrganic] > 0) {
		l.faults.Add("rows", "pool totalN beside ammonium or organic", "either, since together they count N twice")
	}
	l.checkUsed(s)
	for p := Pool(1); p < poolCount; p++ {
		if s.years[p] > 0 {
			l.checkPool(s, p)
		}
	}
	return s
}

func (l *loader) loadKeys(s *Set, bases []*Set) {
	for i, k := range l.spec.Keys {
		path := fmt.Sprintf("keys[%d]", i)
		quantity := k.Name.hint() != ""
		switch {
		case !keyNames.Has(int(k.Name)):
			l.faults.Add(path+".name", k.Name, keyNames.Want())
			continue
		case slices.ContainsFunc(s.keys, func(o Key) bool { return o.Name == k.Name }):
			l.faults.Add(path+".name", k.Name, "a key declared once")
			continue
		case quantity && len(k.Values) > 0:
			l.faults.Add(path+".values", "a list", "no values: the key takes "+k.Name.hint())
		case !quantity && (len(k.Values) == 0 || len(k.Values) > maxValues):
			l.faults.Add(path+".values", fmt.Sprint(len(k.Values), " values"), fmt.Sprintf("1 to %d values", maxValues))
		}
		if k.Label == "" {
			l.faults.Missing(path+".label", "what a form prints beside the field")
		}
		for j, v := range k.Values {
			at := fmt.Sprintf("%s.values[%d]", path, j)
			if v == "" || indexFold(k.Values[:j], v) >= 0 {
				l.faults.Add(at, v, "a value that is not empty and stands once")
			}
			if k.Name == KeyForm && indexFold(formNames[1:], v) < 0 {
				l.faults.Add(at, v, formNames.Want())
			}
		}
		k.Values = slices.Clone(k.Values)
		s.keys = append(s.keys, k)
	}
	for _, b := range bases {
		if b == nil || b.id != l.spec.Base {
			continue
		}
		for _, k := range b.Keys() {
			if !slices.ContainsFunc(s.keys, func(o Key) bool { return o.Name == k.Name }) {
				s.keys = append(s.keys, k)
			}
		}
	}
}

// loadRow checks a row in itself.
func (l *loader) loadRow(s *Set, path string, r Row) setRow {
	f := &l.faults
	c := setRow{Row: r, path: path, source: s.source}
	if !poolNames.Has(int(r.Pool)) {
		f.Missing(path+".pool", poolNames.Want())
	}
	if r.Year < 1 || r.Year > maxYear {
		f.Add(path+".year", r.Year, fmt.Sprintf("1 to %d", maxYear))
	}
	if r.Through != 0 && (r.Through <= r.Year || r.Through > maxYear) {
		f.Add(path+".through", r.Through, fmt.Sprintf("a year after year, at most %d", maxYear))
	}
	bases := []Basis{OfOriginal, OfRemaining, OfTotal}
	switch r.Pool {
	case PoolTotalN:
		bases = bases[1:] // original and total are the same: one spelling
	case PoolP, PoolK:
		bases = bases[:2]
	}
	if !slices.Contains(bases, r.Basis) {
		f.Add(path+".basis", r.Basis, fmt.Sprintf("one of %v for the pool %v", bases, r.Pool))
	}
	l.loadFraction(&c, path)
	c.conditions = l.conditions(s, path+".when", r.When)
	return c
}

// loadFraction takes value, or low and high, or lacks.
func (l *loader) loadFraction(c *setRow, path string) {
	given := 0
	if c.Value != nil {
		given++
		l.faults.Fraction(path+".value", *c.Value)
		c.fraction = units.Point(*c.Value)
	}
	if c.Low != nil || c.High != nil {
		given++
		switch {
		case c.Low == nil:
			l.faults.Missing(path+".low", "the low value beside the high one")
		case c.High == nil:
			l.faults.Missing(path+".high", "the high value beside the low one")
		default:
			l.faults.Fraction(path+".low", *c.Low)
			l.faults.Fraction(path+".high", *c.High)
			if *c.Low > *c.High {
				l.faults.Add(path+".low", *c.Low, "no more than high")
			}
			c.fraction = units.Range[float64]{Low: *c.Low, High: *c.High}
		}
	}
	if c.Lacks != "" {
		given++
	}
	if given != 1 {
		l.faults.Add(path, fmt.Sprintf("a row with %d answers", given), "one of value, low and high, or lacks")
	}
}

// conditions checks a selector against the declared keys.
func (l *loader) conditions(s *Set, path string, when Selector) []condition {
	var list []condition
	var forms []string
	if when.Form != nil {
		forms = []string{}
	}
	for _, f := range when.Form {
		forms = append(forms, f.String())
	}
	add := func(c condition) {
		if !slices.ContainsFunc(s.keys, func(k Key) bool { return k.Name == c.key }) {
			l.faults.Add(path+"."+c.key.String(), "a key that is not declared", "a key in the list keys")
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
				l.faults.Add(at, v, s.key(name).want())
			} else if slices.Contains(c.choices, x) {
				l.faults.Add(at, v, "each value once")
			}
			c.choices = append(c.choices, x)
		}
		if len(values) == 0 {
			l.faults.Missing(path+"."+name.String(), "at least one value, or the key left out")
		}
		add(c)
	}
	choices(KeySpecies, when.Species)
	choices(KeyForm, forms)
	if c := when.DryMatter; c != nil {
		add(condition{key: KeyDryMatter, ranged: true, in: needInterval(&l.faults, path+".dryMatter", *c)})
	}
	choices(KeyBedding, when.Bedding)
	choices(KeyCompost, when.Compost)
	choices(KeyMethod, when.Method)
	if c := when.Incorporation; c != nil {
		in, named := intervalOf(&l.faults, path+".incorporation", c.Class)
		if !named && !c.Never {
			l.faults.Missing(path+".incorporation", "an end: from, over, to or below; or never")
		}
		add(condition{key: KeyIncorporation, ranged: named, in: in, never: c.Never})
	}
	choices(KeyWeather, when.Weather)
	choices(KeySeason, when.Season)
	if c := when.Irrigation; c != nil {
		add(condition{key: KeyIrrigation, ranged: true, in: needInterval(&l.faults, path+".irrigation", *c)})
	}
	choices(KeyCover, when.Cover)
	return list
}

// addBase appends the rows of the base that no own row replaces.
func (l *loader) addBase(s *Set, bases []*Set) {
	if l.spec.Base == "" {
		return
	}
	at := slices.IndexFunc(bases, func(b *Set) bool { return b != nil && b.id == l.spec.Base })
	if at < 0 {
		l.faults.Add("base", l.spec.Base, "the id of a set that is given as a base")
		return
	}
	base := bases[at]
	s.lacks = append(s.lacks, base.lacks...)
	if s.oxides == nil {
		s.oxides = base.oxides
	}
	own := s.rows
	for _, b := range base.rows {
		// Choices are numbered by the own list of values.
		b.conditions = l.conditions(s, "base."+b.path+".when", b.When)
		b.path = "base." + b.path
		if !slices.ContainsFunc(own, func(r setRow) bool { return r.replaces(b) }) {
			s.rows = append(s.rows, b)
		}
	}
}

// replaces reports whether r speaks of the same pool, years and queries as b.
func (r setRow) replaces(b setRow) bool {
	return r.Pool == b.Pool && r.Year == b.Year && r.Through == b.Through &&
		slices.EqualFunc(r.conditions, b.conditions, func(x, y condition) bool {
			return x.key == y.key && x.ranged == y.ranged && x.in == y.in && x.never == y.never && slices.Equal(sorted(x.choices), sorted(y.choices))
		})
}

func sorted(list []int) []int {
	list = slices.Clone(list)
	slices.Sort(list)
	return list
}

// checkUsed finds keys and choices that no row asks for: misspellings, or fields
// of a form that change nothing.
func (l *loader) checkUsed(s *Set) {
	for i, k := range s.keys {
		if i >= len(l.spec.Keys) {
			return // keys of the base
		}
		used := map[int]bool{}
		asked := false
		for _, r := range s.rows {
			for _, c := range r.conditions {
				if c.key == k.Name {
					asked = true
					for _, x := range c.choices {
						used[x] = true
					}
				}
			}
		}
		if !asked {
			l.faults.Add(fmt.Sprintf("keys[%d]", i), k.Name.String(), "a key that a row uses")
			continue
		}
		for j, v := range k.Values {
			if !used[j] {
				l.faults.Add(fmt.Sprintf("keys[%d].values[%d]", i, j), v, "a value that a row uses")
			}
		}
	}
}

// breaks returns the ends of all classes of a key within a pool, ascending.
func (s *Set) breaks(p Pool, name KeyName) []float64 {
	var ends []float64
	for _, r := range s.rows {
		for _, c := range r.conditions {
			if r.Pool != p || c.key != name || !c.ranged {
				continue
			}
			for _, x := range []float64{c.in.low, c.in.high} {
				if x > 0 && !math.IsInf(x, 1) {
					ends = append(ends, x)
				}
			}
		}
	}
	slices.Sort(ends)
	return slices.Compact(ends)
}
