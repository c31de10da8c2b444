package nutrient

import (
	"slices"
	"strconv"

	"example.org/earthbasin/units"
)

// Metal is an element that builds up in soil. The zero value is none and is
// refused.
type Metal int

// The metals of the tables.
const (
	MetalArsenic Metal = 1 + iota
	MetalCadmium
	MetalChromium
	MetalCopper
	MetalLead
	MetalMercury
	MetalMolybdenum
	MetalNickel
	MetalSelenium
	MetalZinc
)

var metalNames = units.Names{"", "arsenic", "cadmium", "chromium", "copper", "lead", "mercury", "molybdenum", "nickel", "selenium", "zinc"}

// String returns the name that MarshalText writes.
func (m Metal) String() string { return metalNames.String(int(m)) }

// MarshalText writes the name.
func (m Metal) MarshalText() ([]byte, error) { return metalNames.Marshal(int(m)) }

// UnmarshalText reads a name; the error lists the names.
func (m *Metal) UnmarshalText(text []byte) error { return units.UnmarshalName(metalNames, text, m) }

// MetalTable is the metal limits of one rule. Metals that it does not name have
// no limit in it.
type MetalTable struct {
	ID     string       `json:"id"`
	Title  string       `json:"title"`
	Source string       `json:"source"`
	Limits []MetalLimit `json:"limits"`
}

// MetalLimit is the limits of one metal; 0 where the table gives none.
type MetalLimit struct {
	Metal      Metal              `json:"metal"`
	Ceiling    units.MassFraction `json:"ceiling,omitempty"`    // of dry matter, above which the material may not be spread at all
	Low        units.MassFraction `json:"low,omitempty"`        // of dry matter, up to which the rule asks for no account of the load
	Cumulative units.MassPerArea  `json:"cumulative,omitempty"` // of all years
	Annual     units.MassPerArea  `json:"annual,omitempty"`     // of one year
}

// mgPerKg and kgPerHa are for the tables.
func mgPerKg(x float64) units.MassFraction { return units.MassFraction(x) * units.MilligramPerKilogram }
func kgPerHa(x float64) units.MassPerArea  { return units.MassPerArea(x) * units.KilogramPerHectare }

// Identifiers of the tables that [MetalRule] returns.
const (
	MetalsSludge        = "us-40cfr503.13"
	MetalsSouthCarolina = "us-sc-r61-43.400.60"
)

// MetalRule returns the table with the identifier id: [MetalsSludge], or
// [MetalsSouthCarolina] for animal manure. An unknown one is a
// [units.FieldError].
func MetalRule(id string) (MetalTable, error) {
	switch id {
	case MetalsSludge:
		return MetalTable{
			ID: id, Title: "Pollutant limits for sewage sludge on land",
			Source: "40 CFR 503.13 Tables 1-4; the cadmium and lead rows and Table 4 as printed in Organic Waste Recycling: Technology and Management, Table 9.11. Selenium has no low concentration here: 36 mg/kg in the text of 1993. Chromium and further molybdenum limits stood in that text only.",
			Limits: []MetalLimit{
				{MetalArsenic, mgPerKg(75), mgPerKg(41), kgPerHa(41), kgPerHa(2)},
				{MetalCadmium, mgPerKg(85), mgPerKg(39), kgPerHa(39), kgPerHa(1.9)},
				{MetalCopper, mgPerKg(4300), mgPerKg(1500), kgPerHa(1500), kgPerHa(75)},
				{MetalLead, mgPerKg(840), mgPerKg(300), kgPerHa(300), kgPerHa(15)},
				{MetalMercury, mgPerKg(57), mgPerKg(17), kgPerHa(17), kgPerHa(0.85)},
				{MetalMolybdenum, mgPerKg(75), 0, 0, 0},
				{MetalNickel, mgPerKg(420), mgPerKg(420), kgPerHa(420), kgPerHa(21)},
				{MetalSelenium, mgPerKg(100), 0, kgPerHa(100), kgPerHa(5)},
				{MetalZinc, mgPerKg(7500), mgPerKg(2800), kgPerHa(2800), kgPerHa(140)},
			},
		}, nil
	case MetalsSouthCarolina:
		return MetalTable{
			ID: id, Title: "Constituent limits for animal manure on land",
			Source: "South Carolina Code of Regulations R.61-43, Part 400.60; the concentrations are monthly means in dry matter",
			Limits: []MetalLimit{
				{MetalArsenic, 0, mgPerKg(41), kgPerHa(41), kgPerHa(2)},
				{MetalCopper, 0, mgPerKg(1500), kgPerHa(1500), kgPerHa(75)},
				{MetalZinc, 0, mgPerKg(2800), kgPerHa(2800), kgPerHa(140)},
			},
		}, nil
	}
	return MetalTable{}, &units.FieldError{Field: "id", Value: strconv.Quote(id), Want: "one of " + MetalsSludge + ", " + MetalsSouthCarolina}
}

// cecRows are kg/ha for a cation exchange capacity below 5, of 5 to 15, and above
// 15 meq/100 g.
var cecRows = []struct {
	metal Metal
	limit [3]float64
}{
	{MetalLead, [3]float64{560, 1120, 2240}},
	{MetalZinc, [3]float64{280, 560, 1120}},
	{MetalCopper, [3]float64{140, 280, 560}},
	{MetalNickel, [3]float64{140, 280, 560}},
	{MetalCadmium, [3]float64{5, 10, 20}},
}

// MetalRuleByCEC returns the older cumulative limits by the cation exchange
// capacity of the soil in meq/100 g, for a soil kept at pH 6.5 or above (EPA
// 1983, as printed in Organic Waste Recycling: Technology and Management, Table
// 9.10). The class is taken as it stands, without interpolation. A CEC outside 0
// to 200 or a pH outside 6.5 to 14 is a [units.FieldError].
func MetalRuleByCEC(cec, pH float64) (MetalTable, error) {
	var f units.Faults
	f.NumberBetween("cec", cec, 0, 200)
	f.NumberBetween("pH", pH, 6.5, 14)
	if err := f.Err(); err != nil {
		return MetalTable{}, err
	}
	class := 0
	switch {
	case cec > 15:
		class = 2
	case cec >= 5:
		class = 1
	}
	t := MetalTable{
		ID: "us-epa-1983-cec", Title: "Cumulative metal limits by cation exchange capacity",
		Source: "EPA 1983, as printed in Organic Waste Recycling: Technology and Management, Table 9.10, pH 6.5 or above",
	}
	for _, r := range cecRows {
		t.Limits = append(t.Limits, MetalLimit{Metal: r.metal, Cumulative: kgPerHa(r.limit[class])})
	}
	return t, nil
}

// of returns the limits of metal m.
func (t *MetalTable) of(m Metal) (MetalLimit, bool) {
	i := slices.IndexFunc(t.Limits, func(l MetalLimit) bool { return l.Metal == m })
	if i < 0 {
		return MetalLimit{}, false
	}
	return t.Limits[i], true
}
