package nutrient

import (
	"fmt"
	"strings"

	"example.org/earthbasin/units"
)

// Pool is a part of a nutrient that becomes available in its own way. The zero
// value is no pool and is refused.
type Pool int

const (
	PoolAmmonium Pool = 1 + iota // ammonium N kept and usable
	PoolOrganic                  // organic N that mineralizes
	PoolTotalN                   // N of a set that does not part ammonium and organic
	PoolP                        // phosphorus
	PoolK                        // potassium
	poolCount
)

var poolNames = units.Names{"", "ammonium", "organic", "totalN", "p", "k"}

// String returns the name that MarshalText writes.
func (p Pool) String() string { return poolNames.String(int(p)) }

// MarshalText writes the name.
func (p Pool) MarshalText() ([]byte, error) { return poolNames.Marshal(int(p)) }

// UnmarshalText reads a name; the error lists the names.
func (p *Pool) UnmarshalText(text []byte) error { return units.UnmarshalName(poolNames, text, p) }

// Basis says what a fraction multiplies. The zero value is no basis and is
// refused.
type Basis int

const (
	// OfOriginal is the pool as it was applied.
	OfOriginal Basis = 1 + iota
	// OfRemaining is what the years before have left of the pool.
	OfRemaining
	// OfTotal is all N as it was applied, nitrate apart.
	OfTotal
)

var basisNames = units.Names{"", "original", "remaining", "total"}

// String returns the name that MarshalText writes.
func (b Basis) String() string { return basisNames.String(int(b)) }

// MarshalText writes the name.
func (b Basis) MarshalText() ([]byte, error) { return basisNames.Marshal(int(b)) }

// UnmarshalText reads a name; the error lists the names.
func (b *Basis) UnmarshalText(text []byte) error { return units.UnmarshalName(basisNames, text, b) }

// SetSpec is a set of availability coefficients as data, in the form of its
// JSON file; sets/set.schema.json describes it.
type SetSpec struct {
	ID           string        `json:"id"` // lower-case letters, digits and hyphens
	Jurisdiction string        `json:"jurisdiction"`
	Source       Source        `json:"source"`
	Base         string        `json:"base,omitzero"`   // id of a set whose rows hold unless a row here has the same pool, years and selector
	Note         string        `json:"note,omitzero"`   // what a user of the set has to know
	Oxides       *units.Oxides `json:"oxides,omitzero"` // the factors of the published examples, when the source names its own
	Lacks        []string      `json:"lacks,omitzero"`  // what the source holds and the set does not, in words
	Keys         []Key         `json:"keys,omitzero"`   // what the rows ask for, in the order of a form
	Rows         []Row         `json:"rows"`
}

// Key declares a key that rows of the set use, and its choices.
type Key struct {
	Name   KeyName  `json:"name"`
	Label  string   `json:"label"`           // what a form prints beside the field
	Values []string `json:"values,omitzero"` // the choices; none for dryMatter, incorporation and irrigation
}

// want says what the key takes.
func (k Key) want() string {
	if h := k.Name.hint(); h != "" {
		return h
	}
	return "one of " + strings.Join(k.Values, "; ")
}

// Row is one cell of a published table: the fraction of a pool that becomes
// available in a year, for the queries that its selector takes. It has either a
// value, or low and high, or says in words what is lacking.
type Row struct {
	Pool    Pool     `json:"pool"`
	Year    int      `json:"year"`             // 1 is the season of application
	Through int      `json:"through,omitzero"` // last year, when the row holds for several
	Basis   Basis    `json:"basis"`
	Value   *float64 `json:"value,omitzero"`
	Low     *float64 `json:"low,omitzero"`
	High    *float64 `json:"high,omitzero"`
	Lacks   string   `json:"lacks,omitzero"` // why there is no figure; a query that comes here is refused
	Note    string   `json:"note,omitzero"`
	When    Selector `json:"when,omitzero"`
}

// Set is a coefficient set without faults. It is made by [NewSet] or [ParseSet]
// and does not change.
type Set struct {
	id, jurisdiction, note string
	source                 Source
	oxides                 *units.Oxides
	lacks                  []string
	keys                   []Key
	rows                   []setRow
	years                  [poolCount]int // last year with a row
}

// setRow is a checked Row.
type setRow struct {
	Row
	path       string // for messages about the file
	source     Source
	conditions []condition
	fraction   units.Range[float64]
}

// ID returns the name by which programs choose the set.
func (s *Set) ID() string { return s.id }

// Jurisdiction returns where the set applies.
func (s *Set) Jurisdiction() string { return s.jurisdiction }

// Source returns where the figures come from, with the edition.
func (s *Set) Source() Source { return s.source }

// Note returns what a user of the set has to know, empty when nothing.
func (s *Set) Note() string { return s.note }

// Lacks returns what the source holds and the set does not.
func (s *Set) Lacks() []string { return append([]string(nil), s.lacks...) }

// Oxides returns the factors that the examples of the source use; ok is false
// when the source names none.
func (s *Set) Oxides() (o units.Oxides, ok bool) {
	if s.oxides == nil {
		return 0, false
	}
	return *s.oxides, true
}

// Keys returns what the set asks for, in the order of a form. The text of a
// key's name is the path of its value in [Query], and of the faults about it.
func (s *Set) Keys() []Key {
	keys := make([]Key, len(s.keys))
	for i, k := range s.keys {
		k.Values = append([]string(nil), k.Values...)
		keys[i] = k
	}
	return keys
}

// Years returns the last year for which the set has a row on p, 0 when it has
// none. After it the set credits nothing.
func (s *Set) Years(p Pool) int {
	if !poolNames.Has(int(p)) {
		return 0
	}
	return s.years[p]
}

// Factor is the answer of a set to a query.
type Factor struct {
	Pool     Pool                 `json:"pool"`
	Year     int                  `json:"year"`
	Basis    Basis                `json:"basis"`
	Fraction units.Range[float64] `json:"fraction"` // 0 to 1
	Note     string               `json:"note,omitzero"`
	Source   Source               `json:"source"`
}

// Factor returns the fraction of pool p that becomes available in a year after
// application, 1 being the season of application. The row that names the most
// keys answers. Faults are [units.FieldError] with the name of the key: a value
// that the set does not know, a key that is needed and missing, and a query for
// which the set has no figure; and year and pool when the set has no row on them.
func (s *Set) Factor(p Pool, year int, q Query) (Factor, error) {
	var f units.Faults
	sp := q.spots(s, &f)
	if f.Err() != nil {
		return Factor{}, f.Err()
	}
	if s.Years(p) == 0 {
		f.Add("pool", p, "a pool of the set "+s.id+": "+s.pools())
		return Factor{}, f.Err()
	}
	if year < 1 || year > s.Years(p) {
		f.Add("year", year, fmt.Sprintf("1 to %d by the set %s", s.Years(p), s.id))
		return Factor{}, f.Err()
	}
	r := s.answer(p, year, sp, &f)
	if f.Err() != nil {
		return Factor{}, f.Err()
	}
	return Factor{Pool: p, Year: year, Basis: r.Basis, Fraction: r.fraction, Note: r.Note, Source: r.source}, nil
}

func (s *Set) pools() string {
	var list []string
	for p := Pool(1); p < poolCount; p++ {
		if s.years[p] > 0 {
			list = append(list, p.String())
		}
	}
	return strings.Join(list, ", ")
}

// answer finds the row, or records why there is none.
func (s *Set) answer(p Pool, year int, sp spots, f *units.Faults) *setRow {
	best := s.best(p, year, sp)
	if missing := s.undecided(p, year, sp, best); len(missing) > 0 {
		for _, k := range missing {
			f.Missing(k.String(), s.key(k).want())
		}
		return nil
	}
	switch {
	case best == nil:
		f.Add(p.String(), "no row", fmt.Sprintf("a query that the set %s answers in year %d", s.id, year))
		return nil
	case best.Lacks != "":
		field := p.String()
		if len(best.conditions) > 0 {
			field = best.conditions[0].key.String()
		}
		f.Add(field, "no figure for "+p.String()+" in the set "+s.id, "another choice or set: "+best.Lacks)
		return nil
	}
	return best
}

// best returns the matching row that names the most keys, nil when none does.
func (s *Set) best(p Pool, year int, sp spots) *setRow {
	var best *setRow
	for i := range s.rows {
		r := &s.rows[i]
		if r.of(p, year) && r.takes(sp) && (best == nil || len(r.conditions) > len(best.conditions)) {
			best = r
		}
	}
	return best
}

// undecided returns the keys without which the answer may still change: rows
// that name more keys than best and could take the query once these are known.
// They are the keys that all such rows ask for, else those of the first row.
func (s *Set) undecided(p Pool, year int, sp spots, best *setRow) []KeyName {
	var first []KeyName
	asked, rows := [keyCount]int{}, 0
	for i := range s.rows {
		r := &s.rows[i]
		if !r.of(p, year) || best != nil && len(r.conditions) <= len(best.conditions) {
			continue
		}
		missing := r.missing(sp)
		if len(missing) == 0 {
			continue
		}
		if rows++; first == nil {
			first = missing
		}
		for _, k := range missing {
			asked[k]++
		}
	}
	var all []KeyName
	for k, n := range asked {
		if rows > 0 && n == rows {
			all = append(all, KeyName(k))
		}
	}
	if all == nil {
		return first
	}
	return all
}

func (s *Set) key(name KeyName) Key {
	for _, k := range s.keys {
		if k.Name == name {
			return k
		}
	}
	return Key{Name: name}
}

func (r *setRow) of(p Pool, year int) bool {
	return r.Pool == p && r.Year <= year && year <= max(r.Year, r.Through)
}

// takes reports whether every condition holds.
func (r *setRow) takes(sp spots) bool {
	for _, c := range r.conditions {
		if !sp[c.key].given || !c.holds(sp[c.key]) {
			return false
		}
	}
	return true
}

// missing returns the keys that are not given while all others fit; nil when
// another does not fit.
func (r *setRow) missing(sp spots) []KeyName {
	var list []KeyName
	for _, c := range r.conditions {
		switch {
		case !sp[c.key].given:
			list = append(list, c.key)
		case !c.holds(sp[c.key]):
			return nil
		}
	}
	return list
}
