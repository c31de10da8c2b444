package nutrient

import (
	"fmt"

	"example.org/earthbasin/units"
)

// ContentRange is a low and a high content of one form.
type ContentRange struct {
	Low  Content `json:"low"`
	High Content `json:"high"`
}

// IsZero reports whether nothing was set.
func (r ContentRange) IsZero() bool { return r == ContentRange{} }

// IsPoint reports whether low and high are equal.
func (r ContentRange) IsPoint() bool { return r.Low == r.High }

// String returns the one value, or both.
func (r ContentRange) String() string {
	if r.IsPoint() {
		return r.Low.String()
	}
	return r.Low.String() + " to " + r.High.String()
}

// Scale returns k times r; k is 0 or more.
func (r ContentRange) Scale(k float64) ContentRange {
	return ContentRange{r.Low.Scale(k), r.High.Scale(k)}
}

// of says which share of the content whole r is, for a working.
func (r ContentRange) of(whole Content) string {
	switch {
	case !(whole.value > 0):
		return ""
	case r.IsPoint():
		return fmt.Sprintf(": %.3g of %v", r.Low.value/whole.value, whole)
	}
	return fmt.Sprintf(": %.3g to %.3g of %v", r.Low.value/whole.value, r.High.value/whole.value, whole)
}

func (r ContentRange) plus(o ContentRange) ContentRange {
	return ContentRange{
		Content{measure{r.Low.form, r.Low.value + o.Low.value}},
		Content{measure{r.High.form, r.High.value + o.High.value}},
	}
}

func pointRange(c Content) ContentRange { return ContentRange{c, c} }

// Schedule is the answers of a set to one query as plain numbers: which share of
// each pool, as applied, becomes available in each year. It is made once and
// evaluated often, without allocation and from several goroutines.
type Schedule struct {
	set   *Set
	pools [poolCount]poolSchedule
}

type poolSchedule struct {
	shares []share // by year, as far as the set answers
	err    error   // why the set refuses the years after these; nil when it answers all
}

func (p *poolSchedule) answers(year int) bool { return p.err == nil || year <= len(p.shares) }

// share is what becomes available in a year, of the pool as it was applied and
// of the total N as it was applied.
type share struct{ pool, total units.Range[float64] }

// Schedule puts the query to every row of the set. A value that the set does not
// know is a [units.FieldError]; what the query leaves open, or the set lacks, is
// an error only where it is needed, in the methods of the Schedule.
func (s *Set) Schedule(q Query) (*Schedule, error) {
	var f units.Faults
	sp := q.spots(s, &f)
	if f.Err() != nil {
		return nil, f.Err()
	}
	c := &Schedule{set: s}
	for p := Pool(1); p < poolCount; p++ {
		var faults units.Faults
		pool := poolSchedule{}
		var low, high float64 // released so far, of the pool as applied
		for year := 1; year <= s.years[p]; year++ {
			r := s.answer(p, year, sp, &faults)
			if faults.Err() != nil {
				break
			}
			x := r.fraction
			var sh share
			switch r.basis {
			case OfTotal:
				sh.total = x
			case OfRemaining:
				// The least is released when the years before took the most.
				sh.pool = units.Range[float64]{Low: x.Low * max(0, 1-high), High: x.High * max(0, 1-low)}
			default:
				sh.pool = x
			}
			low, high = low+sh.pool.Low, high+sh.pool.High
			pool.shares = append(pool.shares, sh)
		}
		pool.err = faults.Err()
		c.pools[p] = pool
	}
	return c, nil
}

// NitrogenParts is the N of one unit of material that becomes available in one
// year, by where it comes from.
type NitrogenParts struct {
	Ammonium ContentRange `json:"ammonium,omitzero"`
	Organic  ContentRange `json:"organic,omitzero"`
	Unsplit  ContentRange `json:"unsplit,omitzero"` // of a set that does not part ammonium and organic
	Nitrate  ContentRange `json:"nitrate,omitzero"` // in full in the first year
	N        ContentRange `json:"n"`
}

// Nitrogen returns the available N of one unit of material in a year after
// application, 1 being the season of application. Years after the last row of
// the set give zero. A pool of which the analysis holds nothing needs no figure.
// Faults are [units.FieldError]: an N content that the analysis lacks, and what
// the query left open or the set refuses.
//
// PAN(1) = ammonium A + organic M(1) + nitrate (Alberta Agriculture and Food,
// Nutrient Management Planning Guide, Agdex 400/28-3, p. 163); of remaining
// organic N, ON(t+1) = ON(t)(1 - f(t)) (Organic Waste Recycling: Technology and
// Management, Eq. 9.3). A set on total N multiplies total N less nitrate.
func (c *Schedule) Nitrogen(a Analysis, year int) (NitrogenParts, error) {
	if err := c.check(a, year); err != nil {
		return NitrogenParts{}, err
	}
	none := Content{measure{form: a.Form}}
	zero := pointRange(none)
	parts := NitrogenParts{Nitrate: zero}
	if year == 1 {
		parts.Nitrate = pointRange(Content{measure{a.Form, a.NitrateN.value}})
	}
	total := a.TotalN.value - a.NitrateN.value
	if c.set.years[PoolTotalN] > 0 {
		parts.Unsplit = c.part(PoolTotalN, a.Form, total, total, year)
		parts.N = parts.Unsplit.plus(parts.Nitrate)
		return parts, nil
	}
	parts.Ammonium = c.part(PoolAmmonium, a.Form, a.AmmoniumN.value, total, year)
	parts.Organic = c.part(PoolOrganic, a.Form, a.OrganicN.value, total, year)
	parts.N = parts.Ammonium.plus(parts.Organic).plus(parts.Nitrate)
	return parts, nil
}

// part multiplies a pool; its answers were checked before.
func (c *Schedule) part(p Pool, form Form, pool, total float64, year int) ContentRange {
	if shares := c.pools[p].shares; year <= len(shares) {
		s := shares[year-1]
		return ContentRange{
			Content{measure{form, pool*s.pool.Low + total*s.total.Low}},
			Content{measure{form, pool*s.pool.High + total*s.total.High}},
		}
	}
	return pointRange(Content{measure{form: form}})
}

// check finds out whether the N of the analysis can be answered.
func (c *Schedule) check(a Analysis, year int) error {
	total, ammonium, organic := &c.pools[PoolTotalN], &c.pools[PoolAmmonium], &c.pools[PoolOrganic]
	if year >= 1 && !a.TotalN.IsZero() && total.shares != nil && total.answers(year) {
		return nil // the usual cases, without allocation
	}
	if year >= 1 && !a.AmmoniumN.IsZero() && !a.OrganicN.IsZero() && ammonium.shares != nil && organic.shares != nil && ammonium.answers(year) && organic.answers(year) {
		return nil
	}
	var f units.Faults
	if c.set == nil {
		f.Missing("set", "a Schedule made by Set.Schedule")
		return f.Err()
	}
	if year < 1 {
		f.Add("year", year, "1 or more, 1 being the season of application")
	}
	if c.set.years[PoolTotalN] > 0 {
		if a.TotalN.IsZero() {
			f.Missing("totalN", "total N or TKN in the analysis")
		}
		if !total.answers(year) {
			f.Sub("", total.err)
		}
		return f.Err()
	}
	for _, pool := range []struct {
		p Pool
		c Content
	}{{PoolAmmonium, a.AmmoniumN}, {PoolOrganic, a.OrganicN}} {
		switch {
		case pool.c.IsZero():
			f.Missing(pool.p.String()+"N", "the analysis with total and ammonium N, since the set "+c.set.id+" parts them")
		case pool.c.value == 0: // nothing to multiply
		case !c.pools[pool.p].answers(year):
			f.Sub("", c.pools[pool.p].err)
		case c.set.years[pool.p] == 0:
			f.Say(pool.p.String(), "no row in the set "+c.set.id, "a set that has one")
		}
	}
	return f.Err()
}

// Phosphorus returns the P that becomes available in a year, as the element. A
// set without rows on P is a [units.FieldError].
func (c *Schedule) Phosphorus(a Analysis, year int) (ContentRange, error) {
	return c.element(PoolP, a, a.P, year)
}

// Potassium returns the K that becomes available in a year, as the element. A
// set without rows on K is a [units.FieldError].
func (c *Schedule) Potassium(a Analysis, year int) (ContentRange, error) {
	return c.element(PoolK, a, a.K, year)
}

func (c *Schedule) element(p Pool, a Analysis, content Content, year int) (ContentRange, error) {
	if c.set == nil {
		return ContentRange{}, &units.FieldError{Field: "set", Value: "nothing", Want: "a Schedule made by Set.Schedule"}
	}
	pool := &c.pools[p]
	if year < 1 || content.IsZero() || !pool.answers(year) || c.set.years[p] == 0 {
		var f units.Faults
		if year < 1 {
			f.Add("year", year, "1 or more, 1 being the season of application")
		}
		if content.IsZero() {
			f.Missing(p.String(), "a content in the analysis")
		}
		if !pool.answers(year) {
			f.Sub("", pool.err)
		}
		if c.set.years[p] == 0 {
			f.Add("set", c.set.id, fmt.Sprintf("a set with rows on %v", p))
		}
		return ContentRange{}, f.Err()
	}
	return c.part(p, a.Form, content.value, 0, year), nil
}
