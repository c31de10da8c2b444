package nutrient

import (
	"fmt"
	"slices"
	"strings"

	"example.org/earthbasin/units"
)

// This file checks the rows of a pool against each other. The keys that its rows
// use span cells: each choice, each end of a class, and what lies between the
// ends. Within one cell every query has the same answer, so that trying one query
// a cell proves that none is without answer and none has two.

// axis is the cells along one key, with their names for messages.
type axis struct {
	key   int // in the keys of the set
	name  KeyName
	spots []spot
	names []string
}

// axes returns one axis for each key that rows of p use.
func (s *Set) axes(p Pool) []axis {
	var list []axis
	for i, k := range s.keys {
		if !slices.ContainsFunc(s.rows, func(r setRow) bool { return r.pool == p && r.asks(i) }) {
			continue
		}
		a := axis{key: i, name: k.Name}
		if !k.Quantity() {
			for i, v := range k.Values {
				a.spots = append(a.spots, spot{given: true, choice: i})
				a.names = append(a.names, v)
			}
			list = append(list, a)
			continue
		}
		add := func(x float64, name string) {
			a.spots = append(a.spots, spot{given: true, number: x})
			a.names = append(a.names, name)
		}
		if k.zero() {
			add(0, k.show(0))
		}
		low, below := 0.0, "below "
		for _, x := range s.breaks(p, i) {
			add(low+(x-low)/2, below+k.show(x))
			add(x, k.show(x))
			low, below = x, "between "+k.show(x)+" and "
		}
		if most := k.most(); low < most {
			add(low+(most-low)/2, "over "+k.show(low))
		}
		if k.Name == KeyIncorporation {
			a.spots = append(a.spots, spot{given: true, never: true})
			a.names = append(a.names, "never")
		}
		list = append(list, a)
	}
	return list
}

func (r setRow) asks(key int) bool {
	return slices.ContainsFunc(r.conditions, func(c condition) bool { return c.key == key })
}

// breaks returns the ends above 0 of all classes of a key within a pool, ascending.
func (s *Set) breaks(p Pool, key int) []float64 {
	var ends []float64
	for _, r := range s.rows {
		for _, c := range r.conditions {
			if r.pool != p || c.key != key || !c.ranged {
				continue
			}
			for _, x := range []float64{c.in.low, c.in.high} {
				if x > 0 && x <= s.keys[key].most() {
					ends = append(ends, x)
				}
			}
		}
	}
	slices.Sort(ends)
	return slices.CompactFunc(ends, same)
}

// maxReported bounds the gaps of one pool that are spelled out.
const maxReported = 20

// checkPool finds the cells of a pool that no row answers, that two rows answer,
// and whose shares add up to more than 1.
func (l *loader) checkPool(s *Set, p Pool) {
	axes := s.axes(p)
	cells := 1
	for _, a := range axes {
		if cells *= len(a.spots); cells*len(s.rows)*s.years[p] > maxTries {
			l.faults.Say("keys", fmt.Sprintf("too many classes together for the pool %v", p), fmt.Sprintf("at most %d for %d rows and %d years", maxTries/len(s.rows)/s.years[p], len(s.rows), s.years[p]))
			return
		}
	}
	gaps, told := 0, map[string]bool{}
	for cell := range cells {
		sp, where := spotsOf(len(s.keys), axes, cell)
		rows := make([]*setRow, s.years[p])
		for y := range rows {
			best := s.best(p, y+1, sp)
			if best == nil {
				if gaps++; gaps <= maxReported {
					l.faults.Say("rows", fmt.Sprintf("no row for %v in year %d: %s", p, y+1, where()), "a row, or one that says what is lacking")
				}
				continue
			}
			rows[y] = best
			for i := range s.rows {
				r := &s.rows[i]
				if r == best || !r.of(p, y+1) || len(r.conditions) != len(best.conditions) || !r.takes(sp) {
					continue
				}
				if pair := best.path + " and " + r.path; !told[pair] {
					told[pair] = true
					l.faults.Say(r.path, fmt.Sprintf("as specific as %s for %s in year %d", best.path, where(), y+1), "one row that answers, or one with more keys")
				}
			}
		}
		low, high := sums(sharesOf(rows))
		if high <= 1+1e-9 {
			continue
		}
		who := fmt.Sprint(rows)
		switch {
		case told[who]:
		case low > 1+1e-9:
			l.faults.Say("rows", fmt.Sprintf("shares of %v that add up to %.4g over the years: %s", p, low, where()), "at most 1")
		default:
			s.remarks = append(s.remarks, fmt.Sprintf("the high values of %v add up to %.4g over the years, of which no more than 1 is counted: %s", p, high, where()))
		}
		told[who] = true
	}
	if gaps > maxReported {
		l.faults.Say("rows", fmt.Sprintf("%d more without a row for %v", gaps-maxReported, p), "a row each")
	}
}

// spotsOf returns the query that stands for a cell, and its description.
func spotsOf(keys int, axes []axis, cell int) (sp []spot, where func() string) {
	sp = make([]spot, keys)
	at := make([]int, len(axes))
	for i, a := range axes {
		at[i] = cell % len(a.spots)
		cell /= len(a.spots)
		sp[a.key] = a.spots[at[i]]
	}
	return sp, func() string {
		if len(axes) == 0 {
			return "any query"
		}
		var names []string
		for i, a := range axes {
			names = append(names, string(a.name)+" "+a.names[at[i]])
		}
		return strings.Join(names, ", ")
	}
}

// sums adds the low and the high ends of the shares up over the years.
func sums(list []share) (low, high float64) {
	var pool, total units.Range[float64]
	for _, s := range list {
		pool.Low, pool.High = pool.Low+s.pool.Low, pool.High+s.pool.High
		total.Low, total.High = total.Low+s.total.Low, total.High+s.total.High
	}
	return max(pool.Low, total.Low), max(pool.High, total.High)
}
