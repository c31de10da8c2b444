package nutrient

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"example.org/earthbasin/units"
)

// ReportBasis says what the values of a report that are given per mass refer to.
type ReportBasis int

const (
	// AsIs values refer to the material with its water.
	AsIs ReportBasis = iota
	// Dry values refer to the total solids alone. Values per volume are as is
	// under either basis.
	Dry
)

var reportBasisNames = units.Names{"as is", "dry"}

// String returns the name that MarshalText writes.
func (b ReportBasis) String() string { return reportBasisNames.String(int(b)) }

// MarshalText writes the name.
func (b ReportBasis) MarshalText() ([]byte, error) { return reportBasisNames.Marshal(int(b)) }

// UnmarshalText reads a name; the error lists the names.
func (b *ReportBasis) UnmarshalText(text []byte) error {
	return units.UnmarshalName(reportBasisNames, text, b)
}

// ReportSpec is a laboratory report. Each value comes in the unit of the report:
// per 1000 gal, acre-inch, ton, mg/L, mg/kg or percent. What was not reported
// stays the zero value.
type ReportSpec struct {
	Form    Form          `json:"form"`    // how the material is handled, and the form of the answer
	Basis   ReportBasis   `json:"basis"`   // of the values per mass
	Solids  Content       `json:"solids"`  // total solids, as is; needed for dry values
	Density units.Density `json:"density"` // as it lies; needed for values per mass of a liquid and per volume of a solid
	Oxides  units.Oxides  `json:"oxides"`  // factors between element and oxide

	TotalN    Content `json:"totalN"` // with nitrate
	TKN       Content `json:"tkn"`    // Kjeldahl N: ammonium and organic, no nitrate
	OrganicN  Content `json:"organicN"`
	AmmoniumN Content `json:"ammoniumN"` // as N
	NH4       Content `json:"nh4"`       // as the ion
	NitrateN  Content `json:"nitrateN"`  // as N
	NO3       Content `json:"no3"`       // as the ion
	P         Content `json:"p"`
	P2O5      Content `json:"p2o5"`
	K         Content `json:"k"`
	K2O       Content `json:"k2o"`

	Elements map[Element]Content `json:"elements"`
	EC       float64             `json:"ec"` // electrical conductivity in dS/m, which is mmho/cm
	PH       float64             `json:"ph"`
}

// Analysis is what a material holds as it lies, all contents in its form. A
// content that the report did not give, and that does not follow from what it
// gave, is the zero Content.
type Analysis struct {
	Form      Form                `json:"form"`
	Oxides    units.Oxides        `json:"oxides"`
	Density   units.Density       `json:"density,omitzero"`
	Solids    Content             `json:"solids,omitzero"`
	TotalN    Content             `json:"totalN,omitzero"`
	OrganicN  Content             `json:"organicN,omitzero"`
	AmmoniumN Content             `json:"ammoniumN,omitzero"`
	NitrateN  Content             `json:"nitrateN,omitzero"`
	P         Content             `json:"p,omitzero"`
	K         Content             `json:"k,omitzero"`
	Elements  map[Element]Content `json:"elements,omitzero"`
	EC        float64             `json:"ec,omitzero"` // dS/m
	PH        float64             `json:"ph,omitzero"`
}

// pairTolerance is how far two statements of one content may differ: both may
// be rounded to two figures, while a mix-up of element and oxide is 20 % or more.
const pairTolerance = 0.05

// Analyze turns a report into an analysis. Total N is ammonium, organic and
// nitrate N; organic N is what is left when the others are taken off (Alberta
// Agriculture and Food, Nutrient Management Planning Guide, Agdex 400/28-3, p.
// 162). Dry values times the solids are as-is values, and values per mass times
// the density are values per volume (LPE Learning Center, Manure Testing).
//
// All that is impossible is reported at once as [units.FieldError]: values that
// are negative or not finite, more than the whole, an element and its oxide (or
// N and its ion) more than 5 % apart, ammonium above total N, organic N below
// zero, constituents above the solids, dry values without solids, and values per
// mass of a liquid (or per volume of a solid) without a density.
func Analyze(s ReportSpec) (Analysis, error) {
	r := reader{spec: s}
	a := r.analysis()
	if err := r.faults.Err(); err != nil {
		return Analysis{}, err
	}
	return a, nil
}

type reader struct {
	spec             ReportSpec
	faults           units.Faults
	noSolids, noDens []string // fields that need what the report lacks
	given            int
}

func (r *reader) analysis() Analysis {
	s := r.spec
	if !formNames.Has(int(s.Form)) {
		r.faults.Missing("form", formNames.Want())
	}
	if !reportBasisNames.Has(int(s.Basis)) {
		r.faults.Add("basis", s.Basis, reportBasisNames.Want())
	}
	if s.Oxides.P2O5PerP() == 0 {
		r.faults.Add("oxides", s.Oxides, "a known pair of factors")
	}
	r.faults.NotNegative("density", s.Density)
	r.faults.NotNegativeNumber("ec", s.EC)
	r.faults.NumberBetween("ph", s.PH, 0, 14)
	a := Analysis{Form: s.Form, Oxides: s.Oxides, Density: s.Density, EC: s.EC, PH: s.PH}
	if r.faults.Err() != nil {
		return a
	}
	a.Solids = r.asIs("solids", s.Solids, AsIs)
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
		a.Elements[e] = r.value(field, s.Elements[e])
	}
	if r.given == 0 {
		r.faults.Missing("", "at least one content")
	}
	if len(r.noSolids) > 0 {
		r.faults.Missing("solids", "the total solids, since on dry basis stand "+strings.Join(r.noSolids, ", "))
	}
	if len(r.noDens) > 0 {
		r.faults.Missing("density", fmt.Sprintf("the density, since the material is %s and the unit of %s is not", s.Form, strings.Join(r.noDens, ", ")))
	}
	r.underSolids(a)
	return a
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
	most := 1000.0 // kg/m3: a litre does not hold a kilogram of a constituent
	if c.form == Solid {
		most = 1
	}
	if !(c.value >= 0 && c.value <= most) {
		r.faults.Add(field, c, "0 to "+Content{measure{c.form, most}}.String())
		return Content{}
	}
	if c.form == Solid && basis == Dry {
		solids := r.spec.Solids
		switch {
		case solids.IsZero():
			r.noSolids = append(r.noSolids, field)
			return Content{}
		case solids.form == Liquid: // per mass of solids times solids per volume
			c = Content{measure{Liquid, c.value * solids.value}}
		default:
			c = c.Scale(solids.value)
		}
	}
	if c.form == r.spec.Form {
		return c
	}
	if r.spec.Density == 0 {
		r.noDens = append(r.noDens, field)
		return Content{}
	}
	c, err := c.As(r.spec.Form, r.spec.Density)
	r.faults.Sub(field, err)
	return c
}

// pair reads a content that may be stated in two ways; factor turns the second
// into the first.
func (r *reader) pair(field string, c Content, otherField string, other Content, factor float64) Content {
	a, b := r.value(field, c), r.value(otherField, other)
	switch {
	case b.IsZero():
		return a
	case a.IsZero():
		return b.Scale(factor)
	}
	r.agree(field, a, b.Scale(factor), "what follows from "+otherField)
	return a
}

// agree records a fault when two statements of one content are too far apart.
func (r *reader) agree(field string, a, b Content, what string) {
	if math.Abs(a.value-b.value) > pairTolerance*math.Max(a.value, b.value) {
		r.faults.Add(field, a, fmt.Sprintf("%s, %s, within 5 %%", what, b))
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
			r.agree("totalN", total, sum, "tkn and nitrate")
		}
	}
	if !organic.IsZero() && !a.AmmoniumN.IsZero() {
		sum := plus(plus(organic, a.AmmoniumN), a.NitrateN)
		if total.IsZero() {
			total = sum
		} else {
			r.agree("totalN", total, sum, "organic, ammonium and nitrate N together")
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
			r.faults.Add("organicN", organic, "with nitrate no more than the total N, "+total.String())
		}
		a.OrganicN, a.AmmoniumN = organic, Content{measure{s.Form, math.Max(0, rest)}}
		return
	}
	left := total.value - a.AmmoniumN.value - a.NitrateN.value
	switch {
	case left < -1e-9*total.value && a.AmmoniumN.value > total.value:
		r.faults.Add("ammoniumN", a.AmmoniumN, "no more than the total N, "+total.String())
	case left < -1e-9*total.value:
		r.faults.Add("totalN", total, fmt.Sprintf("at least ammonium and nitrate N together, %s: organic N would be below 0", plus(a.AmmoniumN, a.NitrateN)))
	}
	a.OrganicN = Content{measure{s.Form, math.Max(0, left)}}
}

// underSolids checks that what stays behind when the water is driven off is no
// more than the solids. Ammonium leaves with the water and is not counted.
func (r *reader) underSolids(a Analysis) {
	if a.Solids.IsZero() || r.faults.Err() != nil {
		return
	}
	sum := a.OrganicN.value + a.NitrateN.value + a.P.value + a.K.value
	for _, e := range slices.Sorted(maps.Keys(a.Elements)) {
		sum += a.Elements[e].value
	}
	if sum > a.Solids.value {
		r.faults.Add("solids", a.Solids, "at least its constituents without ammonium, "+Content{measure{a.Form, sum}}.String())
	}
}

// P2O5 returns the phosphorus as its oxide, by the factor of the analysis.
func (a Analysis) P2O5() Content { return a.P.Scale(a.Oxides.P2O5PerP()) }

// K2O returns the potassium as its oxide, by the factor of the analysis.
func (a Analysis) K2O() Content { return a.K.Scale(a.Oxides.K2OPerK()) }

// DryBasis returns the content c of the material per mass of its solids, as
// limits on metals are given. It needs the solids of the analysis and, when the
// solids were reported per mass and the material is a liquid, the density that
// brought them to its volume.
func (a Analysis) DryBasis(c Content) (units.MassFraction, error) {
	var f units.Faults
	if !(a.Solids.value > 0) {
		f.Missing("solids", "the total solids, above 0")
	}
	if c.form != a.Form {
		f.Add("content", c.form, a.Form.String())
	}
	if err := f.Err(); err != nil {
		return 0, err
	}
	return units.MassFraction(c.value / a.Solids.value), nil
}

// Working returns the contents as lines.
func (a Analysis) Working() units.Working {
	var w units.Working
	add := func(item string, c Content, how string) {
		if !c.IsZero() {
			w.Add(item, c, how)
		}
	}
	add("total solids", a.Solids, "")
	add("total N", a.TotalN, "")
	add("ammonium N", a.AmmoniumN, "")
	add("nitrate N", a.NitrateN, "")
	add("organic N", a.OrganicN, "total less ammonium and nitrate")
	add("P", a.P, "")
	add("P2O5", a.P2O5(), fmt.Sprintf("P x %.4g", a.Oxides.P2O5PerP()))
	add("K", a.K, "")
	add("K2O", a.K2O(), fmt.Sprintf("K x %.4g", a.Oxides.K2OPerK()))
	for _, e := range slices.Sorted(maps.Keys(a.Elements)) {
		add(e.String(), a.Elements[e], "")
	}
	if a.EC > 0 {
		w.Add("EC", fmt.Sprintf("%.3g dS/m", a.EC), "")
	}
	if a.PH > 0 {
		w.Add("pH", a.PH, "")
	}
	return w
}

// String returns the working as a table.
func (a Analysis) String() string { return a.Working().String() }
