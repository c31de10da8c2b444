package nutrient

import (
	"maps"

	"example.org/earthbasin/units"
)

// AvailableSpec asks what becomes available of one unit of material.
type AvailableSpec struct {
	Analysis Analysis `json:"analysis,omitzero"` // of the material, as [Analyze] makes it
	State    *State   `json:"state"`             // its JSON is the id of a state of the package, or the whole of another
	Query    Query    `json:"query,omitzero"`    // how and when it is applied
	Years    int      `json:"years"`             // how many years to show, 1 to 50
	// Schedule is what [State.Schedule] gives for the Query of an earlier result, so that
	// the state is not asked again for other analyses. One of another state or query is
	// passed over; nil: the state is asked.
	Schedule *Schedule `json:"-"`
}

// schedule is that of the spec where it answers the same query, and else a new one.
func (spec *AvailableSpec) schedule() (*Schedule, error) {
	if c := spec.Schedule; c != nil && c.state != nil && c.state == spec.State && spec.Analysis.check() == nil {
		var f units.Faults
		q := spec.Query.filled(spec.State, &spec.Analysis)
		if q.agree(&spec.Analysis, &f); maps.Equal(q, c.query) && f.Err() == nil {
			return c, nil
		}
	}
	return spec.State.scheduleFor(&spec.Analysis, spec.Query)
}

// AvailableResult is what becomes available of one unit of material, year by
// year.
type AvailableResult struct {
	Analysis Analysis        `json:"analysis,omitzero"` // as in the spec
	State    string          `json:"state"`             // id of the state
	Source   Source          `json:"source,omitzero"`   // of the state
	Query    Query           `json:"query,omitzero"`    // with what the analysis knew
	Oxides   units.Oxides    `json:"oxides"`            // between P and P2O5, K and K2O
	Years    []YearAvailable `json:"years"`             // 1, 2, ... after application
	Notes    []units.Phrase  `json:"notes,omitzero"`    // what the state does not say
}

// YearAvailable is one year of an [AvailableResult]. P and K are zero when the
// state has no figures for them.
type YearAvailable struct {
	Year int `json:"year"` // 1 is the season of application
	NitrogenParts
	P    ContentRange `json:"p,omitzero"`    // as the element
	P2O5 ContentRange `json:"p2o5,omitzero"` // the same as phosphate
	K    ContentRange `json:"k,omitzero"`    // as the element
	K2O  ContentRange `json:"k2o,omitzero"`  // the same as potash
}

// Available returns the available N of one unit of material with its parts, and
// P and K as far as the state has figures for them, in the season of application
// and the years after. Ranges of the state carry through. Faults are
// [units.FieldError]; those about keys of the state have the path of the key in
// [Query] behind "query.". What the analysis knows, its form and dry matter, fills
// the query where the state asks for it; what the query says otherwise is a fault.
func Available(spec AvailableSpec) (AvailableResult, error) {
	var f units.Faults
	c, err := spec.schedule()
	f.Sub("", err)
	f.NumberBetween("years", float64(spec.Years), 1, maxYear)
	if f.Err() != nil {
		return AvailableResult{}, f.Err()
	}
	r := AvailableResult{Analysis: spec.Analysis, State: spec.State.spec.ID, Source: spec.State.spec.Source, Query: c.query, Oxides: spec.Analysis.Oxides}
	a := spec.Analysis
	r.Years = make([]YearAvailable, 0, spec.Years)
	for year := 1; year <= spec.Years && f.Err() == nil; year++ {
		y := YearAvailable{Year: year}
		y.NitrogenParts, err = c.Nitrogen(a, year)
		f.Sub("", err)
		if r.answers(c, PoolP, a.P, year) {
			y.P, _ = c.Phosphorus(a, year)
			y.P2O5 = y.P.times(a.Oxides.P2O5PerP())
		}
		if r.answers(c, PoolK, a.K, year) {
			y.K, _ = c.Potassium(a, year)
			y.K2O = y.K.times(a.Oxides.K2OPerK())
		}
		r.Years = append(r.Years, y)
	}
	if f.Err() != nil {
		return AvailableResult{}, f.Err()
	}
	if last := spec.State.lastNitrogen(); spec.Years > last {
		r.Notes = append(r.Notes, units.Words("the state credits no N after year %v", last))
	}
	for p := range c.pools {
		if c.pools[p].capped {
			r.Notes = append(r.Notes, units.Words("the high values of %s add up to more than all of it over the years; no more than all is counted", units.Word(Pool(p).String())))
		}
	}
	return r, nil
}

// answers reports whether the schedule gives a share of p in a year; the first
// year without one is noted with the reason, since N alone is still an answer.
func (r *AvailableResult) answers(c *Schedule, p Pool, content Content, year int) bool {
	var note units.Phrase
	switch pool := &c.pools[p]; {
	case c.state.years[p] == 0 && year == 1:
		note = units.Words("the state has no figures for %s", units.Word(p.String()))
		if why := c.state.Why(p.String(), AsValue, r.Query); why != "" {
			note = note.And(": %v", units.Word(why))
		}
	case !pool.answers(year) && year == len(pool.shares)+1:
		note = units.Words("no answer for %s from year %v on: %v", units.Word(p.String()), year, reason(pool.err))
	}
	if !note.IsZero() {
		r.Notes = append(r.Notes, note)
	}
	return c.state.years[p] > 0 && c.pools[p].answers(year) && !content.IsZero()
}

// reason is the first fault of err as a phrase.
func reason(err error) units.Phrase {
	list := units.FieldErrors(err)
	if len(list) == 0 {
		return units.Words("it refuses them")
	}
	if got, ok := list[0].Got.(units.Phrase); ok {
		return got.And("; want %v", list[0].Want)
	}
	return list[0].Want
}

func (s *State) lastNitrogen() int {
	return max(s.years[PoolAmmonium], s.years[PoolOrganic], s.years[PoolTotalN])
}

// Working returns the parts year by year.
func (r AvailableResult) Working() units.Working {
	var w units.Working
	for _, y := range r.Years {
		add := func(item string, c ContentRange, how units.Phrase) {
			if !c.IsZero() && (c.High.value > 0 || item == "available N") {
				w.Put(units.Words("year %d: %s", y.Year, units.Word(item)), c, how)
			}
		}
		add("from ammonium N", y.Ammonium, y.Ammonium.of(r.Analysis.AmmoniumN, units.Words("kept share of ammonium N")))
		add("from organic N", y.Organic, y.Organic.of(r.Analysis.OrganicN, units.Words("mineralized share of organic N")))
		add("from total N", y.Unsplit, y.Unsplit.of(r.Analysis.TotalN, units.Words("available share of total N")))
		add("nitrate N", y.Nitrate, units.Words("in full"))
		sum := units.Words("sum of the above")
		if r.Source.Publisher != "" {
			sum = sum.And(", by the figures of %s", units.Word(r.Source.Publisher))
		}
		add("available N", y.N, sum)
		add("available P2O5", y.P2O5, y.P.of(r.Analysis.P, units.Words("available P x %.4g", r.Oxides.P2O5PerP())))
		add("available K2O", y.K2O, y.K.of(r.Analysis.K, units.Words("available K x %.4g", r.Oxides.K2OPerK())))
	}
	for _, n := range r.Notes {
		w.Put(units.Words("note"), "", n)
	}
	return w
}

// String returns the working as a table.
func (r AvailableResult) String() string { return r.Working().String() }
