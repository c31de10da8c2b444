package nutrient

import (
	"encoding/json"
	"slices"

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
	// BasisOriginal is the pool as it was applied.
	BasisOriginal Basis = 1 + iota
	// BasisRemaining is what the years before have left of the pool.
	BasisRemaining
	// BasisTotal is all N as it was applied, nitrate apart.
	BasisTotal
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
	ID           string        `json:"id"`              // lower-case letters, digits and hyphens
	Jurisdiction string        `json:"jurisdiction"`    // where the set applies
	Source       Source        `json:"source,omitzero"` // where the figures come from
	Base         string        `json:"base,omitzero"`   // id of a set whose rows hold unless a row here has the same pool, years and selector
	Note         string        `json:"note,omitzero"`   // what a user of the set has to know
	Oxides       *units.Oxides `json:"oxides,omitzero"` // the factors of the published examples, when the source names its own
	Lacks        []string      `json:"lacks,omitzero"`  // what the source holds and the set does not, in words
	Keys         []Key         `json:"keys,omitzero"`   // what the rows ask for, in the order of a form
	Rows         []Row         `json:"rows"`            // 1 to 2000
}

// Row is one cell of a published table: the fraction of a pool that becomes
// available in a year, for the queries that its selector takes. It has either a
// value, or low and high, or says in words what is lacking.
type Row struct {
	Pool    Pool     `json:"pool,omitzero"`    // of which the fraction is
	Year    int      `json:"year"`             // 1 is the season of application
	Through int      `json:"through,omitzero"` // last year, when the row holds for several
	Basis   Basis    `json:"basis,omitzero"`   // what the fraction multiplies
	Value   *float64 `json:"value,omitzero"`   // 0 to 1
	Low     *float64 `json:"low,omitzero"`     // 0 to high
	High    *float64 `json:"high,omitzero"`    // low to 1
	Lacks   string   `json:"lacks,omitzero"`   // why there is no figure; a query that comes here is refused
	Note    string   `json:"note,omitzero"`    // what a user of the figure has to know
	When    Selector `json:"when,omitzero"`    // to which queries the row applies; empty for all
}

// Set is a coefficient set without faults. It is made by [NewSet] or [ParseSet]
// and does not change.
type Set struct {
	id, jurisdiction, note string
	source                 Source
	oxides                 *units.Oxides
	lacks, remarks         []string
	keys                   []Key
	rows                   []setRow
	years                  [poolCount]int // last year with a row
	published              bool           // comes with the package: its id says all
	file                   []byte         // its JSON with the rows of the base, when it is not published
}

// setRow is a checked Row, without the pointers and lists of its spec.
type setRow struct {
	pool        Pool
	first, last int // years
	basis       Basis
	lacks, note string
	path        string // for messages about the file
	source      Source
	conditions  []condition
	fraction    units.Range[float64]
	row         Row // as it was given
}

// keepFile keeps the JSON of the set, in which the rows of its base stand among its
// own.
func (s *Set) keepFile(spec SetSpec) error {
	spec.Base, spec.Keys, spec.Lacks, spec.Oxides, spec.Rows = "", s.keys, s.lacks, s.oxides, nil
	for i := range s.rows {
		spec.Rows = append(spec.Rows, s.rows[i].row)
	}
	var err error
	s.file, err = json.Marshal(spec)
	return err
}

// MarshalJSON writes a set of the package as its id, and any other in the form of
// its file, with the rows of its base among its own.
func (s *Set) MarshalJSON() ([]byte, error) {
	if s.published {
		return json.Marshal(s.id)
	}
	if s.file == nil {
		return nil, units.Fault(units.FaultMissing, "set", nil, "a set made by NewSet, ParseSet or PublishedSet")
	}
	return s.file, nil
}

// UnmarshalJSON reads the id of a set of the package, or a set in the form of its
// file, which is checked as [ParseSet] does.
func (s *Set) UnmarshalJSON(data []byte) error {
	var id string
	read := func() (*Set, error) { return ParseSet(data) }
	if json.Unmarshal(data, &id) == nil {
		read = func() (*Set, error) { return PublishedSet(id) }
	}
	set, err := read()
	if err == nil {
		*s = *set
		return nil
	}
	var f units.Faults
	for _, e := range units.FieldErrors(err) {
		if e.Field == "set" {
			e.Field = "" // the place of the set in what is read
		}
		f.Sub("", e)
	}
	return f.Err()
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
func (s *Set) Lacks() []string { return slices.Clone(s.lacks) }

// Remarks returns what the check of the set found worth knowing and is no fault:
// published ranges whose high ends add up to more than all over the years, of
// which a result counts no more than all.
func (s *Set) Remarks() []string { return slices.Clone(s.remarks) }

// Oxides returns the factors that the examples of the source use; ok is false
// when the source names none.
func (s *Set) Oxides() (o units.Oxides, ok bool) {
	if s.oxides == nil {
		return 0, false
	}
	return *s.oxides, true
}

// Keys returns what the set asks for, in the order of a form. [KeyName.Path] of
// its name is the path of its value in [Query], and of the faults about it.
func (s *Set) Keys() []Key {
	keys := make([]Key, len(s.keys))
	for i, k := range s.keys {
		k.Values = slices.Clone(k.Values)
		keys[i] = k
	}
	return keys
}

// keyIndex returns the place of a key among those of the set, -1 for none.
func (s *Set) keyIndex(name KeyName) int {
	return slices.IndexFunc(s.keys, func(k Key) bool { return k.Name == name })
}

// Years returns the last year for which the set has a row on p, 0 when it has
// none. After it the set credits nothing.
func (s *Set) Years(p Pool) int {
	if !poolNames.Has(int(p)) {
		return 0
	}
	return s.years[p]
}
