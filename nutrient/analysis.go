package nutrient

import (
	"maps"
	"slices"

	"example.org/earthbasin/units"
)

// ReportBasis says what the values of a report that are given per mass refer to.
type ReportBasis = units.Enum[reportBasisWords]

const (
	// ReportAsIs, "as is", values refer to the material with its water.
	ReportAsIs ReportBasis = iota
	// ReportDry, "dry", values refer to the total solids alone. Values per volume are as is
	// under either basis.
	ReportDry
)

var reportBasisNames = units.Names{"as is", "dry"}

type reportBasisWords struct{}

func (reportBasisWords) Names() units.Names { return reportBasisNames }

// AnalyzeSpec is a laboratory report. Each value comes in the unit of the report:
// per 1000 gal, acre-inch, ton, mg/L, mg/kg or percent. What was not reported
// stays the zero value.
type AnalyzeSpec struct {
	Form    Form          `json:"form,omitzero"`    // how the material is handled, and the form of the answer
	Basis   ReportBasis   `json:"basis,omitzero"`   // of the values per mass
	Solids  Content       `json:"solids,omitzero"`  // total solids, as is; needed for dry values
	Density units.Density `json:"density,omitzero"` // as it lies; needed for values per mass of a liquid and per volume of a solid
	Oxides  units.Oxides  `json:"oxides"`           // factors between element and oxide

	TotalN    Content `json:"totalN,omitzero"`    // with nitrate
	TKN       Content `json:"tkn,omitzero"`       // Kjeldahl N: ammonium and organic, no nitrate
	OrganicN  Content `json:"organicN,omitzero"`  // organic N
	AmmoniumN Content `json:"ammoniumN,omitzero"` // as N
	NH4       Content `json:"nh4,omitzero"`       // as the ion
	NitrateN  Content `json:"nitrateN,omitzero"`  // as N
	NO3       Content `json:"no3,omitzero"`       // as the ion
	P         Content `json:"p,omitzero"`         // phosphorus, as the element
	P2O5      Content `json:"p2o5,omitzero"`      // phosphate
	K         Content `json:"k,omitzero"`         // potassium, as the element
	K2O       Content `json:"k2o,omitzero"`       // potash

	Elements map[Element]Content `json:"elements,omitzero"` // others, by symbol
	EC       float64             `json:"ec"`                // electrical conductivity in dS/m, which is mmho/cm; 0 to 300
	PH       float64             `json:"ph"`                // 0 to 14
}

// Analysis is what a material holds as it lies, all contents in its form. A
// content that the report did not give, and that does not follow from what it
// gave, is the zero Content; nitrate that was not tested for counts as none.
type Analysis struct {
	Form      Form                `json:"form,omitzero"`      // of every content
	Oxides    units.Oxides        `json:"oxides"`             // factors by which P2O5 and K2O are worked out
	Density   units.Density       `json:"density,omitzero"`   // as it lies, 50 to 3000 kg/m3; 0 where it is not known
	Solids    Content             `json:"solids,omitzero"`    // total solids
	TotalN    Content             `json:"totalN,omitzero"`    // with nitrate
	OrganicN  Content             `json:"organicN,omitzero"`  // total N less ammonium and nitrate
	AmmoniumN Content             `json:"ammoniumN,omitzero"` // as N
	NitrateN  Content             `json:"nitrateN,omitzero"`  // as N; 0 where it was not tested for
	P         Content             `json:"p,omitzero"`         // as the element
	K         Content             `json:"k,omitzero"`         // as the element
	Elements  map[Element]Content `json:"elements,omitzero"`  // others, by symbol
	EC        float64             `json:"ec,omitzero"`        // dS/m
	PH        float64             `json:"ph,omitzero"`        // 0 to 14; 0 where it was not reported
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
func Analyze(spec AnalyzeSpec) (Analysis, error) {
	r := reader{spec: spec}
	a := r.analysis()
	if err := r.faults.Err(); err != nil {
		return Analysis{}, err
	}
	return a, nil
}

// P2O5 returns the phosphorus as its oxide, by the factor of the analysis.
func (a Analysis) P2O5() Content { return a.P.times(a.Oxides.P2O5PerP()) }

// K2O returns the potassium as its oxide, by the factor of the analysis.
func (a Analysis) K2O() Content { return a.K.times(a.Oxides.K2OPerK()) }

// Check returns the faults of a, each a [units.FieldError]: an unknown form, a
// content of another form, below 0 or above the whole, parts of N that add up to
// more than 5 % above the total, constituents above the solids, and a density, EC
// or pH that no material has. [Analyze] makes analyses without faults; whatever
// takes one checks it, since it may come from JSON.
func (a Analysis) Check() error { return a.check() }

// check is Check, quick where there is nothing to say: every answer asks for it.
func (a *Analysis) check() error {
	if !formNames.Has(int(a.Form)) {
		return units.Fault(units.FaultMissing, "form", nil, formNames.Want())
	}
	has := func(c Content) bool { return c.IsZero() || contentOf.has(c.measure, a.Form) }
	if !has(a.Solids) || !has(a.TotalN) || !has(a.OrganicN) || !has(a.AmmoniumN) || !has(a.NitrateN) || !has(a.P) || !has(a.K) {
		return a.checkParts()
	}
	elements := 0.0
	for e, c := range a.Elements {
		if elements += c.value; !elementNames.Has(int(e)) || !contentOf.has(c.measure, a.Form) {
			return a.checkParts()
		}
	}
	if a.Oxides.P2O5PerP() == 0 || a.Density != 0 && !(a.Density >= lightest && a.Density <= heaviest) || !(a.EC >= 0 && a.EC <= mostEC) || !(a.PH >= 0 && a.PH <= 14) {
		return a.checkParts()
	}
	whole := Content{measure{a.Form, a.AmmoniumN.value + a.OrganicN.value + a.NitrateN.value}}
	// Ammonium leaves with the water that is driven off.
	dry := Content{measure{a.Form, whole.value - a.AmmoniumN.value + a.P.value + a.K.value + elements}}
	tooLittleN := !a.TotalN.IsZero() && whole.value > a.TotalN.value*(1+pairTolerance)
	tooDry := !a.Solids.IsZero() && dry.value > a.Solids.value*(1+1e-9)
	if !tooLittleN && !tooDry {
		return nil
	}
	var f units.Faults
	if tooLittleN {
		f.Add("totalN", a.TotalN.quantity(), "at least ammonium, organic and nitrate N together, %v", whole)
	}
	if tooDry {
		f.Add("solids", a.Solids.quantity(), "at least its constituents without ammonium, %v", dry)
	}
	return f.Err()
}

// checkParts returns the faults of each part by itself.
func (a *Analysis) checkParts() error {
	var f units.Faults
	if a.Oxides.P2O5PerP() == 0 {
		f.Add("oxides", a.Oxides, "a known pair of factors")
	}
	if a.Density != 0 {
		f.Between("density", a.Density, lightest, heaviest)
	}
	upTo(&f, "ec", a.EC, mostEC)
	upTo(&f, "ph", a.PH, 14)
	for _, x := range [...]struct {
		field string
		c     Content
	}{{"solids", a.Solids}, {"totalN", a.TotalN}, {"organicN", a.OrganicN}, {"ammoniumN", a.AmmoniumN}, {"nitrateN", a.NitrateN}, {"p", a.P}, {"k", a.K}} {
		if !x.c.IsZero() {
			f.Sub(x.field, x.c.Check(a.Form))
		}
	}
	a.checkElements(&f)
	return f.Err()
}

// checkElements records the faults of the elements, in their order.
func (a *Analysis) checkElements(f *units.Faults) {
	for _, e := range slices.Sorted(maps.Keys(a.Elements)) {
		if !elementNames.Has(int(e)) {
			f.Add("elements."+e.String(), e, elementNames.Want())
			continue
		}
		f.Sub("elements."+e.String(), a.Elements[e].Check(a.Form))
	}
}

// dryMatter returns the solids as a part of the mass; ok is false for a liquid
// whose density, or a material whose solids, are not known.
func (a *Analysis) dryMatter() (x units.MassFraction, ok bool) {
	switch {
	case a.Solids.value == 0:
		return 0, false
	case a.Form == Solid:
		return units.MassFraction(a.Solids.value), true
	case a.Density == 0:
		return 0, false
	}
	return units.MassFraction(a.Solids.value / float64(a.Density)), true
}

// DryBasis returns the content c of the material per mass of its solids, as
// limits on metals are given. It needs the solids of the analysis and, when the
// solids were reported per mass and the material is a liquid, the density that
// brought them to its volume.
func (a Analysis) DryBasis(c Content) (units.MassFraction, error) {
	var f units.Faults
	f.Sub("", a.check())
	if f.Err() == nil {
		f.Sub("solids", a.Solids.check(a.Form, false, contentOf))
		f.Sub("content", c.Check(a.Form))
	}
	if f.Err() == nil && c.value > a.Solids.value {
		f.Add("content", c, "at most the solids, %v", a.Solids)
	}
	if err := f.Err(); err != nil {
		return 0, err
	}
	return units.MassFraction(c.value / a.Solids.value), nil
}

// Working returns the contents as lines.
func (a Analysis) Working() units.Working {
	var w units.Working
	add := func(item string, c Content, how string, args ...any) {
		if !c.IsZero() {
			w.Add(item, c, how, args...)
		}
	}
	if share, ok := a.dryMatter(); ok && a.Form == Liquid {
		add("total solids", a.Solids, "%v of the mass, at %v", units.Share(share), a.Density)
	} else {
		add("total solids", a.Solids, "")
	}
	add("total N", a.TotalN, "")
	add("ammonium N", a.AmmoniumN, "")
	if a.NitrateN.value > 0 {
		add("nitrate N", a.NitrateN, "")
	}
	add("organic N", a.OrganicN, "total less ammonium and nitrate")
	add("P", a.P, "")
	add("P2O5", a.P2O5(), "P x %.4g", a.Oxides.P2O5PerP())
	add("K", a.K, "")
	add("K2O", a.K2O(), "K x %.4g", a.Oxides.K2OPerK())
	for _, e := range slices.Sorted(maps.Keys(a.Elements)) {
		add(e.String(), a.Elements[e], "")
	}
	if a.EC > 0 {
		w.Add("EC", units.Words("%.3g dS/m", a.EC), "")
	}
	if a.PH > 0 {
		w.Add("pH", a.PH, "")
	}
	return w
}

// String returns the working as a table.
func (a Analysis) String() string { return a.Working().String() }
