package nutrient

import (
	"maps"
	"math"
	"slices"
	"strings"

	"example.org/earthbasin/units"
)

// reader turns a report into an analysis and collects what is wrong with it.
type reader struct {
	spec             AnalyzeSpec
	faults           units.Faults
	noSolids, noDens []string // fields that need what the report lacks
	given            int
}

// Densities of what is spread lie well between these: dry litter is above the
// one, wet sand below the other (common practice, no source).
const (
	lightest = 50 * units.KilogramPerCubicMetre
	heaviest = 3000 * units.KilogramPerCubicMetre
)

// mostEC in dS/m is above what any brine conducts, so that a figure in uS/cm is
// not taken for one (common practice, no source).
const mostEC = 300

func (r *reader) analysis() Analysis {
	s := r.spec
	if !reportBasisNames.Has(int(s.Basis)) {
		r.faults.Add("basis", s.Basis, reportBasisNames.Want())
	}
	a := Analysis{Form: s.Form, Oxides: s.Oxides, Density: s.Density + 0, EC: s.EC + 0, PH: s.PH + 0} // -0 is 0
	if r.faults.Sub("", a.check()); r.faults.Err() != nil {
		r.signs()
		return a
	}
	a.Solids = r.asIs("solids", s.Solids, ReportAsIs)
	p2o5, k2o := s.Oxides.P2O5PerP(), s.Oxides.K2OPerK()
	a.AmmoniumN = r.pair("ammoniumN", s.AmmoniumN, "nh4", s.NH4, units.NPerNH4)
	a.NitrateN = r.pair("nitrateN", s.NitrateN, "no3", s.NO3, units.NPerNO3)
	a.P = r.pair("p", s.P, "p2o5", s.P2O5, 1/p2o5)
	a.K = r.pair("k", s.K, "k2o", s.K2O, 1/k2o)
	r.nitrogen(&a)
	for _, e := range slices.Sorted(maps.Keys(s.Elements)) {
		field := "elements." + e.String()
		if !elementNames.Has(int(e)) {
			r.faults.Add(field, e, elementNames.Want())
			continue
		}
		if a.Elements == nil {
			a.Elements = map[Element]Content{}
		}
		if a.Elements[e] = r.value(field, s.Elements[e]); s.Elements[e].IsZero() {
			r.faults.Missing(field, "a content with its unit")
		}
	}
	if r.given == 0 {
		r.faults.Missing("", "at least one content, of N or another constituent")
	}
	if len(r.noSolids) > 0 {
		r.faults.Missing("solids", "the total solids, since on dry basis stand %v", units.Word(strings.Join(r.noSolids, ", ")))
	}
	if len(r.noDens) > 0 {
		r.faults.Missing("density", "the density, since the material is %v and the unit of %v is not", s.Form, units.Word(strings.Join(r.noDens, ", ")))
	}
	if r.faults.Err() == nil {
		r.faults.Sub("", a.check())
	}
	return a
}

// signs records contents that no form of a material allows, of a report whose form is not
// known.
func (r *reader) signs() {
	s := r.spec
	for _, x := range [...]struct {
		field string
		c     Content
	}{{"solids", s.Solids}, {"totalN", s.TotalN}, {"tkn", s.TKN}, {"organicN", s.OrganicN}, {"ammoniumN", s.AmmoniumN}, {"nh4", s.NH4},
		{"nitrateN", s.NitrateN}, {"no3", s.NO3}, {"p", s.P}, {"p2o5", s.P2O5}, {"k", s.K}, {"k2o", s.K2O}} {
		r.sound(x.field, x.c)
	}
	for _, e := range slices.Sorted(maps.Keys(s.Elements)) {
		r.sound("elements."+e.String(), s.Elements[e])
	}
}

// sound records a fault unless c lies between nothing and the whole.
func (r *reader) sound(field string, c Content) bool {
	most := 1000.0 // kg/m3: a litre does not hold a kilogram of a constituent
	if c.form == Solid {
		most = 1
	}
	if c.value >= 0 && c.value <= most {
		return true
	}
	r.faults.Add(field, c, "0 to %v", Content{measure{c.form, most}})
	return false
}

// value converts a reported constituent, which counts as given.
func (r *reader) value(field string, c Content) Content {
	if !c.IsZero() {
		r.given++
	}
	return r.asIs(field, c, r.spec.Basis)
}

// asIs brings a reported content to the material as it lies, in the form of the
// report.
func (r *reader) asIs(field string, c Content, basis ReportBasis) Content {
	if c.IsZero() {
		return c
	}
	c.value += 0 // -0 is 0
	if !r.sound(field, c) {
		return Content{}
	}
	if c.form == Solid && basis == ReportDry {
		solids := r.spec.Solids
		switch {
		case solids.IsZero():
			r.noSolids = append(r.noSolids, field)
			return Content{}
		case solids.form == Liquid: // per mass of solids times solids per volume
			c = Content{measure{Liquid, c.value * solids.value}}
		default:
			c = c.times(solids.value)
		}
	}
	if c.form == r.spec.Form {
		return c
	}
	if r.spec.Density == 0 {
		r.noDens = append(r.noDens, field)
		return Content{}
	}
	as, err := c.As(r.spec.Form, r.spec.Density)
	r.faults.Sub(field, err)
	if as.form == Solid && as.value > 1 {
		r.faults.Add(field, c, "no more than the density, %v", r.spec.Density)
	}
	return as
}

// pair reads a content that may be stated in two ways; factor turns the second
// into the first.
func (r *reader) pair(field string, c Content, otherField string, other Content, factor float64) Content {
	a, b := r.value(field, c), r.value(otherField, other)
	switch {
	case b.IsZero():
		return a
	case a.IsZero():
		return b.times(factor)
	}
	r.agree(field, a, b.times(factor), units.Words("what follows from %v", units.Word(otherField)))
	return a
}

// agree records a fault when two statements of one content are too far apart.
func (r *reader) agree(field string, a, b Content, what units.Phrase) {
	if math.Abs(a.value-b.value) > pairTolerance*max(a.value, b.value) {
		r.faults.Add(field, a, "%v, %v, within 5 %%", what, b)
	}
}

// nitrogen settles total and organic N from what is reported.
func (r *reader) nitrogen(a *Analysis) {
	s := r.spec
	total, tkn, organic := r.value("totalN", s.TotalN), r.value("tkn", s.TKN), r.value("organicN", s.OrganicN)
	none := Content{measure{form: s.Form}}
	plus := func(x, y Content) Content { return Content{measure{s.Form, x.value + y.value}} }
	if a.NitrateN.IsZero() && !(total.IsZero() && tkn.IsZero() && organic.IsZero() && a.AmmoniumN.IsZero()) {
		a.NitrateN = none // not tested for: manure that is not aerated holds next to none
	}
	if !tkn.IsZero() {
		sum := plus(tkn, a.NitrateN)
		if total.IsZero() {
			total = sum
		} else {
			r.agree("totalN", total, sum, units.Words("tkn and nitrate"))
		}
	}
	if !organic.IsZero() && !a.AmmoniumN.IsZero() {
		kjeldahl := plus(organic, a.AmmoniumN)
		switch sum := plus(kjeldahl, a.NitrateN); {
		case total.IsZero():
			total = sum
		case s.TotalN.IsZero():
			r.agree("tkn", tkn, kjeldahl, units.Words("organic and ammonium N together"))
		default:
			r.agree("totalN", total, sum, units.Words("organic, ammonium and nitrate N together"))
		}
	}
	a.TotalN = total
	switch {
	case total.IsZero() || a.AmmoniumN.IsZero() && organic.IsZero():
		a.OrganicN = organic
		return
	case a.AmmoniumN.IsZero():
		rest := total.value - organic.value - a.NitrateN.value
		if rest < -1e-9*total.value {
			r.faults.Add("organicN", organic, "with nitrate no more than the total N, %v", total)
		}
		a.OrganicN, a.AmmoniumN = organic, Content{measure{s.Form, max(0, rest)}}
		return
	}
	// A fault is of what was reported, and not of what follows from it.
	left := total.value - a.AmmoniumN.value - a.NitrateN.value
	switch {
	case left >= -1e-9*total.value:
	case a.AmmoniumN.value > total.value && s.AmmoniumN.IsZero():
		r.faults.Add("nh4", s.NH4, "as N no more than the total N, %v", total)
	case a.AmmoniumN.value > total.value:
		r.faults.Add("ammoniumN", a.AmmoniumN, "no more than the total N, %v", total)
	case s.TotalN.IsZero():
		r.faults.Add("tkn", tkn, "at least the ammonium N, %v: organic N would be below 0", a.AmmoniumN)
	default:
		r.faults.Add("totalN", total, "at least ammonium and nitrate N together, %v: organic N would be below 0", plus(a.AmmoniumN, a.NitrateN))
	}
	a.OrganicN = Content{measure{s.Form, max(0, left)}}
}
