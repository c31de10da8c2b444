package nutrient

import (
	"fmt"
	"strings"

	"example.org/earthbasin/units"
)

// Factor is the answer of a set to a query.
type Factor struct {
	Pool     Pool                 `json:"pool,omitzero"`   // as asked for
	Year     int                  `json:"year"`            // as asked for, 1 being the season of application
	Basis    Basis                `json:"basis,omitzero"`  // what the fraction multiplies
	Fraction units.Range[float64] `json:"fraction"`        // 0 to 1
	Note     string               `json:"note,omitzero"`   // of the row
	Source   Source               `json:"source,omitzero"` // of the row
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
	return Factor{Pool: p, Year: year, Basis: r.basis, Fraction: r.fraction, Note: r.note, Source: r.source}, nil
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
func (s *Set) answer(p Pool, year int, sp []spot, f *units.Faults) *setRow {
	best := s.best(p, year, sp)
	if missing := s.undecided(p, year, sp, best); len(missing) > 0 {
		for _, k := range missing {
			f.Missing(s.keys[k].Name.Path(), s.keys[k].want())
		}
		return nil
	}
	switch {
	case best == nil:
		f.Say(p.String(), "no row", fmt.Sprintf("a query that the set %s answers in year %d", s.id, year))
		return nil
	case best.lacks != "":
		field := p.String()
		if len(best.conditions) > 0 {
			field = s.keys[best.conditions[0].key].Name.Path()
		}
		f.Say(field, "no figure for "+p.String()+" in the set "+s.id, "another choice or set: "+best.lacks)
		return nil
	}
	return best
}

// best returns the matching row that names the most keys, nil when none does.
func (s *Set) best(p Pool, year int, sp []spot) *setRow {
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
func (s *Set) undecided(p Pool, year int, sp []spot, best *setRow) []int {
	var first []int
	asked, rows := make([]int, len(s.keys)), 0
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
	var all []int
	for k, n := range asked {
		if rows > 0 && n == rows {
			all = append(all, k)
		}
	}
	if all == nil {
		return first
	}
	return all
}

func (r *setRow) of(p Pool, year int) bool {
	return r.pool == p && r.first <= year && year <= r.last
}

// takes reports whether every condition holds.
func (r *setRow) takes(sp []spot) bool {
	for _, c := range r.conditions {
		if !sp[c.key].given || !c.holds(sp[c.key]) {
			return false
		}
	}
	return true
}

// missing returns the keys that are not given while all others fit; nil when
// another does not fit.
func (r *setRow) missing(sp []spot) []int {
	var list []int
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
