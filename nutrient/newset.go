package nutrient

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
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
	return parseFile(data, func(spec SetSpec) (*Set, error) { return NewSet(spec, bases...) })
}

// parseFile decodes a file and checks it, and reports the faults of both.
func parseFile[S, T any](data []byte, check func(S) (*T, error)) (*T, error) {
	var spec S
	var out *T
	err := strict.Check(data, &spec, func() (err error) {
		out, err = check(spec)
		return err
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// NewSet checks a set and returns it. bases are the sets among which the base of
// the spec is looked up, before those of the package. Every fault is reported as [units.FieldError] with its
// path: a missing source, keys that are not declared or not used, fractions
// outside 0 to 1, empty classes, two rows that answer one query with equally
// many keys, queries within the declared keys that no row answers, years left
// out, and shares that add up to more than 1 over the years.
func NewSet(spec SetSpec, bases ...*Set) (*Set, error) {
	l := loader{spec: spec, base: baseOf(spec, bases)}
	s := l.load()
	if err := l.faults.Err(); err != nil {
		return nil, err
	}
	return s, s.keepFile(spec)
}

// baseOf returns the set on which spec stands: one of bases, else a published one.
func baseOf(spec SetSpec, bases []*Set) *Set {
	if at := slices.IndexFunc(bases, func(b *Set) bool { return b != nil && b.id == spec.Base }); at >= 0 {
		return bases[at]
	}
	base, err := publishedSets.get(spec.Base)
	if err != nil {
		return nil
	}
	return base
}

type loader struct {
	spec   SetSpec
	base   *Set // nil when the set names none, or none that is known
	faults units.Faults
	broken bool // keys or selectors have faults, so that rows cannot be held against each other
}

var idPattern = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

func (l *loader) load() *Set {
	spec := l.spec
	s := &Set{
		id: spec.ID, jurisdiction: spec.Jurisdiction, note: spec.Note, source: spec.Source,
		lacks: slices.Clone(spec.Lacks),
	}
	if !idPattern.MatchString(spec.ID) {
		l.faults.Add("id", spec.ID, "lower-case letters, digits and hyphens, such as state-2026")
	}
	if spec.Jurisdiction == "" {
		l.faults.Missing("jurisdiction", "where the set applies")
	}
	spec.Source.check(&l.faults, "source")
	if spec.Oxides != nil {
		oxides := *spec.Oxides
		if s.oxides = &oxides; oxides.P2O5PerP() == 0 {
			l.faults.Add("oxides", oxides, "a known pair of factors")
		}
	}
	if len(spec.Rows) == 0 {
		l.faults.Missing("rows", "at least one row")
	}
	if len(spec.Rows) > maxRows {
		l.faults.Add("rows", len(spec.Rows), fmt.Sprintf("at most %d rows", maxRows))
		return s
	}
	l.structure(func(f *units.Faults) { l.loadKeys(f, s) })
	for i, r := range spec.Rows {
		path := fmt.Sprintf("rows[%d]", i)
		s.rows = append(s.rows, l.loadRow(s, path, r))
	}
	l.structure(func(f *units.Faults) { l.addBase(f, s) })
	if l.broken {
		return s
	}
	for i := range s.rows {
		r := &s.rows[i]
		s.years[r.pool] = max(s.years[r.pool], r.last)
	}
	if s.years[PoolTotalN] > 0 && (s.years[PoolAmmonium] > 0 || s.years[PoolOrganic] > 0) {
		l.faults.Say("rows", "pool totalN beside ammonium or organic", "either, since together they count N twice")
	}
	l.checkUsed(s)
	for p := Pool(1); p < poolCount; p++ {
		if s.years[p] > 0 {
			l.checkPool(s, p)
		}
	}
	return s
}

// structure runs a check whose faults stand in the way of the checks over all
// rows.
func (l *loader) structure(check func(f *units.Faults)) {
	var f units.Faults
	check(&f)
	if err := f.Err(); err != nil {
		l.broken = true
		l.faults.Sub("", err)
	}
}

func (l *loader) loadKeys(f *units.Faults, s *Set) {
	for i, k := range l.spec.Keys {
		path := fmt.Sprintf("keys[%d]", i)
		k.check(f, path)
		if s.keyIndex(k.Name) >= 0 {
			f.Add(path+".name", string(k.Name), "a key declared once")
			continue
		}
		k.Values = slices.Clone(k.Values)
		s.keys = append(s.keys, k)
	}
	if l.base == nil {
		return
	}
	for _, k := range l.base.Keys() {
		if s.keyIndex(k.Name) < 0 {
			s.keys = append(s.keys, k)
		}
	}
}

// addBase appends the rows of the base that no own row replaces.
func (l *loader) addBase(f *units.Faults, s *Set) {
	if l.spec.Base == "" {
		return
	}
	base := l.base
	if base == nil {
		f.Add("base", l.spec.Base, "the id of a set that is given as a base, or of one of the package: "+strings.Join(publishedSets.ids, ", "))
		return
	}
	s.lacks = append(s.lacks, base.lacks...)
	if s.oxides == nil {
		s.oxides = base.oxides
	}
	own := s.rows
	for _, b := range base.rows {
		b.path = "base." + b.path
		b.conditions = slices.Clone(b.conditions)
		for i, c := range b.conditions {
			from := base.keys[c.key]
			b.conditions[i].key = s.keyIndex(from.Name)
			b.conditions[i].choices = renumber(f, b.path, from, s.keys[b.conditions[i].key], c.choices)
		}
		if !slices.ContainsFunc(own, func(r setRow) bool { return r.replaces(b) }) {
			s.rows = append(s.rows, b)
		}
	}
}

// renumber turns choices of the key from, as a base declares it, into those of
// the same key as the set declares it.
func renumber(f *units.Faults, path string, from, to Key, choices []int) []int {
	var list []int
	for _, x := range choices {
		i := indexFold(to.Values, from.Values[x])
		if i < 0 {
			f.Add(path+".when."+from.Name.Path(), from.Values[x], to.want())
		}
		list = append(list, i)
	}
	slices.Sort(list)
	return list
}

// replaces reports whether r speaks of the same pool, years and queries as b.
func (r setRow) replaces(b setRow) bool {
	return r.pool == b.pool && r.first == b.first && r.last == b.last &&
		slices.EqualFunc(r.conditions, b.conditions, func(x, y condition) bool {
			return x.key == y.key && x.ranged == y.ranged && x.in == y.in && x.never == y.never && slices.Equal(x.choices, y.choices)
		})
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
				if c.key == i {
					asked = true
					for _, x := range c.choices {
						used[x] = true
					}
				}
			}
		}
		if !asked {
			l.faults.Add(fmt.Sprintf("keys[%d]", i), string(k.Name), "a key that a row uses")
			continue
		}
		for j, v := range k.Values {
			if !used[j] {
				l.faults.Add(fmt.Sprintf("keys[%d].values[%d]", i, j), v, "a value that a row uses")
			}
		}
	}
}
