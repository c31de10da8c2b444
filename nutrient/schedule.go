package nutrient

import (
	"maps"
	"slices"

	"example.org/earthbasin/units"
)

// ContentRange is a low and a high content of one form.
type ContentRange struct {
	Low  Content `json:"low,omitzero"`  // at most high
	High Content `json:"high,omitzero"` // at least low
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

// UnitsValue returns the content, or its two ends, as a value that a [units.Style]
// shows.
func (r ContentRange) UnitsValue() any {
	if r.IsPoint() {
		return r.Low.UnitsValue()
	}
	return units.Span{Low: r.Low, High: r.High}
}

func (r ContentRange) times(k float64) ContentRange {
	return ContentRange{r.Low.times(k), r.High.times(k)}
}

// of adds to how which share of the content whole r is, for a working.
func (r ContentRange) of(whole Content, how units.Phrase) units.Phrase {
	switch {
	case !(whole.value > 0):
		return how
	case r.IsPoint():
		return how.And(": %.3g of %v", r.Low.value/whole.value, whole)
	}
	return how.And(": %.3g to %.3g of %v", r.Low.value/whole.value, r.High.value/whole.value, whole)
}

func (r ContentRange) plus(o ContentRange) ContentRange {
	return ContentRange{
		Content{measure{r.Low.form, r.Low.value + o.Low.value}},
		Content{measure{r.High.form, r.High.value + o.High.value}},
	}
}

func pointRange(c Content) ContentRange { return ContentRange{c, c} }

// Schedule is the answers of a state to one query as plain numbers: which share of
// each pool, as applied, becomes available in each year. It is made once and
// evaluated often, without allocation and from several goroutines.
type Schedule struct {
	state  *State
	query  Query
	agrees bool // the query says nothing that an analysis could say otherwise
	pools  [poolCount]poolSchedule
}

type poolSchedule struct {
	shares []share  // by year, as far as the state answers
	steps  [][]Step // the printed figures, by year
	capped bool     // the high ends of the state add up to more than all of the pool
	err    error    // why the state refuses the years after these; nil when it answers all
}

func (p *poolSchedule) answers(year int) bool { return p.err == nil || year <= len(p.shares) }

// share is what becomes available in a year, of the pool as it was applied and
// of the total N as it was applied.
type share struct{ pool, total units.Range[float64] }

// Schedule puts the query to every line on a pool. A value that the state does not
// know is a [units.FieldError]; what the query leaves open, or the state lacks, is
// an error only where it is needed, in the methods of the Schedule.
func (s *State) Schedule(q Query) (*Schedule, error) {
	var f units.Faults
	year := s.ask(q, &f).keyIndex(KeyYear)
	if q[KeyYear] != "" {
		f.Say(KeyYear, q[KeyYear], "nothing: a schedule holds all years")
	}
	if f.Err() != nil {
		return nil, f.Err()
	}
	c := &Schedule{state: s, query: maps.Clone(q), agrees: q[KeyForm] == "" && q[KeyDryMatter] == ""}
	for p := Pool(1); p < poolCount; p++ {
		var faults units.Faults
		var rows []answered
		pool := &c.pools[p]
		for y := 1; y <= s.years[p] && faults.Err() == nil; y++ {
			a := s.ask(q, &faults)
			a.spots[year] = spot{given: true, number: float64(y)}
			r := Answer{Gives: p.String()}
			if a.answer(&r); faults.Err() != nil {
				break
			}
			if r.Unit == "%" {
				r.Figure = units.Range[float64]{Low: r.Figure.Low / 100, High: r.Figure.High / 100}
			}
			rows = append(rows, answered{r.Of, r.Figure, a.steps})
			pool.steps = append(pool.steps, a.steps)
		}
		pool.shares = sharesOf(rows)
		pool.capped, pool.err = capHighs(pool.shares), faults.Err()
	}
	return c, nil
}

// Steps returns the printed figures that the answer for a pool in a year rests on, none
// where the state does not answer.
func (c *Schedule) Steps(p Pool, year int) []Step {
	if !poolNames.Has(int(p)) || year < 1 || year > len(c.pools[p].steps) {
		return nil
	}
	return slices.Clone(c.pools[p].steps[year-1])
}

// scheduleFor is Schedule with what the analysis knows of the query; its faults
// are those of the state, of the analysis and of both together.
func (s *State) scheduleFor(a *Analysis, q Query) (*Schedule, error) {
	var f units.Faults
	if s == nil || s.lines == nil {
		f.Missing("state", "a state made by NewState, ParseState or PublishedState")
		f.Sub("analysis", a.check())
		return nil, f.Err()
	}
	q = q.filled(s, a)
	c, err := s.Schedule(q)
	f.Sub("query", err)
	if err := a.check(); err != nil {
		f.Sub("analysis", err)
	} else {
		q.agree(a, &f)
	}
	return c, f.Err()
}

// sharesOf turns the answers of the years 1, 2, ... into shares of what was
// applied. A year without a figure releases nothing.
func sharesOf(rows []answered) []share {
	var list []share
	var released units.Range[float64] // so far, of the pool as applied
	for _, r := range rows {
		var s share
		switch {
		case r.basis == 0:
		case r.basis == BasisTotal:
			s.total = r.fraction
		case r.basis == BasisRemaining:
			// The least is released when the years before took the most.
			s.pool = units.Range[float64]{Low: r.fraction.Low * max(0, 1-released.High), High: r.fraction.High * max(0, 1-released.Low)}
		default:
			s.pool = r.fraction
		}
		released.Low += s.pool.Low
		released.High += s.pool.High
		list = append(list, s)
	}
	return list
}

// capHighs lowers high ends so that they add up to no more than all over the
// years: the earlier years keep theirs as far as the low ends of the later ones
// leave room. It reports whether it had to.
func capHighs(list []share) (capped bool) {
	for _, part := range []func(*share) *units.Range[float64]{
		func(s *share) *units.Range[float64] { return &s.pool },
		func(s *share) *units.Range[float64] { return &s.total },
	} {
		room := 1.0
		for i := range list {
			room -= part(&list[i]).Low
		}
		for i := range list {
			r := part(&list[i])
			if most := r.Low + max(0, room); r.High > most*(1+1e-12) {
				r.High, capped = most, true
			}
			room -= r.High - r.Low
		}
	}
	return capped
}

// NitrogenParts is the N of one unit of material that becomes available in one
// year, by where it comes from.
type NitrogenParts struct {
	Ammonium ContentRange `json:"ammonium,omitzero"` // from ammonium N
	Organic  ContentRange `json:"organic,omitzero"`  // from organic N
	Unsplit  ContentRange `json:"unsplit,omitzero"`  // of a state that does not part ammonium and organic
	Nitrate  ContentRange `json:"nitrate,omitzero"`  // in full in the first year
	N        ContentRange `json:"n,omitzero"`        // all of it
}

// Nitrogen returns the available N of one unit of material in a year after
// application, 1 being the season of application. Years after the last line of
// the state give zero. A pool of which the analysis holds nothing needs no figure.
// Faults are [units.FieldError] on analysis, such as a content that it lacks or
// that is impossible, and on query: what it left open, what the state refuses, and
// what contradicts the analysis.
//
// PAN(1) = ammonium A + organic M(1) + nitrate (Alberta Agriculture and Food,
// Nutrient Management Planning Guide, Agdex 400/28-3, p. 163); of remaining
// organic N, ON(t+1) = ON(t)(1 - f(t)) (Organic Waste Recycling: Technology and
// Management, Eq. 9.3). A state on total N multiplies total N less nitrate.
func (c *Schedule) Nitrogen(a Analysis, year int) (NitrogenParts, error) {
	if err := c.check(&a, year); err != nil {
		return NitrogenParts{}, err
	}
	none := Content{measure{form: a.Form}}
	zero := pointRange(none)
	parts := NitrogenParts{Nitrate: zero}
	if year == 1 {
		parts.Nitrate = pointRange(Content{measure{a.Form, a.NitrateN.value}})
	}
	total := a.TotalN.value - a.NitrateN.value
	if c.state.years[PoolTotalN] > 0 {
		parts.Unsplit = c.part(PoolTotalN, a.Form, total, total, year)
		parts.N = parts.Unsplit.plus(parts.Nitrate)
		return parts, nil
	}
	parts.Ammonium = c.part(PoolAmmonium, a.Form, a.AmmoniumN.value, total, year)
	parts.Organic = c.part(PoolOrganic, a.Form, a.OrganicN.value, total, year)
	parts.N = parts.Ammonium.plus(parts.Organic).plus(parts.Nitrate)
	return parts, nil
}

// part multiplies a pool; its answers were checked before. Shares of the total N
// never add up to more than the pool that they come from.
func (c *Schedule) part(p Pool, form Form, pool, total float64, year int) ContentRange {
	var low, high float64
	if shares := c.pools[p].shares; year <= len(shares) {
		first := year - 1
		if shares[first].total.High > 0 {
			first = 0
		}
		left := pool // by the high ends, which leave the least
		for _, s := range shares[first:year] {
			high = min(pool*s.pool.High+total*s.total.High, left)
			low = min(pool*s.pool.Low+total*s.total.Low, high)
			left -= high
		}
	}
	return ContentRange{Content{measure{form, low}}, Content{measure{form, high}}}
}

// check finds out whether the N of the analysis can be answered.
func (c *Schedule) check(a *Analysis, year int) error {
	if c.state != nil && year >= 1 && c.agrees && c.usual(a, year) && a.check() == nil {
		return nil
	}
	var f units.Faults
	if !c.checkAnalysis(&f, a, year) {
		return f.Err()
	}
	if c.state.years[PoolTotalN] > 0 {
		if a.TotalN.IsZero() {
			f.Missing("analysis.totalN", "total N or TKN in the analysis")
		}
		if total := &c.pools[PoolTotalN]; !total.answers(year) {
			f.Sub("query", total.err)
		}
		return f.Err()
	}
	for _, pool := range [...]struct {
		p Pool
		c Content
	}{{PoolAmmonium, a.AmmoniumN}, {PoolOrganic, a.OrganicN}} {
		switch {
		case pool.p == PoolOrganic && pool.c.IsZero() && !a.TotalN.IsZero() && a.AmmoniumN.IsZero(): // told of ammonium
		case pool.p == PoolOrganic && pool.c.IsZero() && a.TotalN.IsZero():
			f.Missing("analysis.totalN", "the analysis with total and ammonium N, since the state %v parts them", units.Word(c.state.spec.ID))
		case pool.c.IsZero():
			f.Missing("analysis."+pool.p.String()+"N", "the analysis with total and ammonium N, since the state %v parts them", units.Word(c.state.spec.ID))
		case pool.c.value == 0: // nothing to multiply
		case !c.pools[pool.p].answers(year):
			f.Sub("query", c.pools[pool.p].err)
		case c.state.years[pool.p] == 0:
			f.Add("state", units.Words("%v, which has no line on %v N", units.Word(c.state.spec.ID), units.Word(pool.p.String())), "a state that has one")
		}
	}
	return f.Err()
}

// usual reports whether the state answers for all N that a has.
func (c *Schedule) usual(a *Analysis, year int) bool {
	total, ammonium, organic := &c.pools[PoolTotalN], &c.pools[PoolAmmonium], &c.pools[PoolOrganic]
	return total.shares != nil && !a.TotalN.IsZero() && total.answers(year) ||
		ammonium.shares != nil && organic.shares != nil && !a.AmmoniumN.IsZero() && !a.OrganicN.IsZero() && ammonium.answers(year) && organic.answers(year)
}

// checkAnalysis checks what every answer of the schedule needs, and reports
// whether the contents of a can be looked at.
func (c *Schedule) checkAnalysis(f *units.Faults, a *Analysis, year int) bool {
	if c.state == nil {
		f.Missing("state", "a Schedule made by State.Schedule")
		return false
	}
	if year < 1 {
		f.Add("year", year, "1 or more, 1 being the season of application")
	}
	if err := a.check(); err != nil {
		f.Sub("analysis", err)
		return false
	}
	if !c.agrees {
		c.query.agree(a, f)
	}
	return true
}

// Phosphorus returns the P that becomes available in a year, as the element.
// Faults are those of [Schedule.Nitrogen]; a state without lines on P is one too.
func (c *Schedule) Phosphorus(a Analysis, year int) (ContentRange, error) {
	return c.element(PoolP, &a, a.P, year)
}

// Potassium returns the K that becomes available in a year, as the element.
// Faults are those of [Schedule.Nitrogen]; a state without lines on K is one too.
func (c *Schedule) Potassium(a Analysis, year int) (ContentRange, error) {
	return c.element(PoolK, &a, a.K, year)
}

func (c *Schedule) element(p Pool, a *Analysis, content Content, year int) (ContentRange, error) {
	var f units.Faults
	if !c.checkAnalysis(&f, a, year) {
		return ContentRange{}, f.Err()
	}
	if content.IsZero() {
		f.Missing("analysis."+p.String(), "a content in the analysis")
	}
	if pool := &c.pools[p]; !pool.answers(year) {
		f.Sub("query", pool.err)
	}
	if c.state.years[p] == 0 {
		f.Add("state", c.state.spec.ID, "a state with lines on %v", p)
	}
	if f.Err() != nil {
		return ContentRange{}, f.Err()
	}
	return c.part(p, a.Form, content.value, 0, year), nil
}
