package nutrient

import (
	"slices"

	"example.org/earthbasin/units"
)

// MetalTable is the metal limits of one rule. Metals that it does not name have
// no limit in it.
type MetalTable struct {
	ID     string       `json:"id"`              // by which programs choose the table
	Source Source       `json:"source,omitzero"` // where the figures come from
	Limits []MetalLimit `json:"limits"`          // each metal once
}

// MetalLimit is the limits of one metal; 0 where the table gives none.
type MetalLimit struct {
	Metal      Element            `json:"metal,omitzero"`      // by symbol
	Ceiling    units.MassFraction `json:"ceiling,omitzero"`    // of dry matter, above which the material may not be spread at all
	Low        units.MassFraction `json:"low,omitzero"`        // of dry matter, up to which the rule asks for no account of the load
	Cumulative units.MassPerArea  `json:"cumulative,omitzero"` // of all years
	Annual     units.MassPerArea  `json:"annual,omitzero"`     // of one year
}

// mgPerKg and kgPerHa are for the tables.
func mgPerKg(x float64) units.MassFraction { return units.MassFraction(x) * units.MilligramPerKilogram }
func kgPerHa(x float64) units.MassPerArea  { return units.MassPerArea(x) * units.KilogramPerHectare }

// Identifiers of the tables that [PublishedMetalTable] returns.
const (
	MetalsSludge        = "us-40cfr503.13"
	MetalsSouthCarolina = "us-sc-r61-43.400.60"
)

// PublishedMetalTable returns the table with the identifier id: [MetalsSludge], or
// [MetalsSouthCarolina] for animal manure. An unknown one is a
// [units.FieldError].
func PublishedMetalTable(id string) (MetalTable, error) {
	switch id {
	case MetalsSludge:
		return MetalTable{
			// To which material the limits of one year of Table 4 apply has to be looked up
			// in the text of the rule. The Cd and Pb rows and Table 4 are as printed in Organic Waste Recycling:
			// Technology and Management, Table 9.11. The text of 1993 had limits of Cr
			// and further ones of Mo, and a Table 3 value for Se that is not in this one.
			ID: id, Source: Source{
				Title: "Pollutant limits for sewage sludge on land", Publisher: "US Environmental Protection Agency",
				Number: "40 CFR 503.13", Edition: "after the changes to the text of 1993", Place: "Tables 1 to 4",
				URL: "https://www.law.cornell.edu/cfr/text/40/503.13",
			},
			Limits: []MetalLimit{
				{Arsenic, mgPerKg(75), mgPerKg(41), kgPerHa(41), kgPerHa(2)},
				{Cadmium, mgPerKg(85), mgPerKg(39), kgPerHa(39), kgPerHa(1.9)},
				{Copper, mgPerKg(4300), mgPerKg(1500), kgPerHa(1500), kgPerHa(75)},
				{Lead, mgPerKg(840), mgPerKg(300), kgPerHa(300), kgPerHa(15)},
				{Mercury, mgPerKg(57), mgPerKg(17), kgPerHa(17), kgPerHa(0.85)},
				{Molybdenum, mgPerKg(75), 0, 0, 0},
				{Nickel, mgPerKg(420), mgPerKg(420), kgPerHa(420), kgPerHa(21)},
				{Selenium, mgPerKg(100), 0, kgPerHa(100), kgPerHa(5)},
				{Zinc, mgPerKg(7500), mgPerKg(2800), kgPerHa(2800), kgPerHa(140)},
			},
		}, nil
	case MetalsSouthCarolina:
		return MetalTable{
			// The concentrations are monthly means.
			ID: id, Source: Source{
				Title: "Constituent limits for animal manure on land", Publisher: "South Carolina Code of Regulations",
				Number: "R.61-43", Edition: "current text", Place: "Part 400.60",
				URL: "https://regulations.justia.com/states/south-carolina/chapter-61/subchapter-61-43/part-400/section-61-43-400-60",
			},
			Limits: []MetalLimit{
				{Arsenic, 0, mgPerKg(41), kgPerHa(41), kgPerHa(2)},
				{Copper, 0, mgPerKg(1500), kgPerHa(1500), kgPerHa(75)},
				{Zinc, 0, mgPerKg(2800), kgPerHa(2800), kgPerHa(140)},
			},
		}, nil
	}
	return MetalTable{}, units.Fault(units.FaultName, "id", id, "one of "+MetalsSludge+", "+MetalsSouthCarolina)
}

// cecRows are kg/ha for a cation exchange capacity below 5, of 5 to 15, and above
// 15 meq/100 g.
var cecRows = []struct {
	metal Element
	limit [3]float64
}{
	{Lead, [3]float64{560, 1120, 2240}},
	{Zinc, [3]float64{280, 560, 1120}},
	{Copper, [3]float64{140, 280, 560}},
	{Nickel, [3]float64{140, 280, 560}},
	{Cadmium, [3]float64{5, 10, 20}},
}

// MetalTableByCEC returns the older cumulative limits by the cation exchange
// capacity of the soil in meq/100 g, for a soil kept at pH 6.5 or above (EPA
// 1983, as printed in Organic Waste Recycling: Technology and Management, Table
// 9.10). The class is taken as it stands, without interpolation. A CEC outside 0
// to 200 or a pH outside 6.5 to 14 is a [units.FieldError].
func MetalTableByCEC(cec, pH float64) (MetalTable, error) {
	var f units.Faults
	upTo(&f, "cec", cec, 200)
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
		ID: "us-epa-1983-cec", Source: Source{
			Title: "Cumulative metal limits by cation exchange capacity", Publisher: "US Environmental Protection Agency",
			Edition: "1983", Place: "as printed in Organic Waste Recycling: Technology and Management, Table 9.10",
		},
	}
	for _, r := range cecRows {
		t.Limits = append(t.Limits, MetalLimit{Metal: r.metal, Cumulative: kgPerHa(r.limit[class])})
	}
	return t, nil
}

// Loads returns the metals of t that the laboratory reported in a, for
// [MetalsSpec]; what the field took before is left at zero. An analysis without
// solids or with none of the metals is a [units.FieldError].
func (t MetalTable) Loads(a Analysis) ([]MetalLoad, error) {
	if err := a.Check(); err != nil {
		return nil, err
	}
	var list []MetalLoad
	for _, l := range t.Limits {
		c, ok := a.Elements[l.Metal]
		if !ok {
			continue
		}
		dry, err := a.DryBasis(c)
		if err != nil {
			return nil, err
		}
		list = append(list, MetalLoad{Metal: l.Metal, Dry: &dry, Holds: c})
	}
	if len(list) == 0 {
		return nil, units.Fault(units.FaultMissing, "elements", nil, "at least one metal of the table "+t.ID)
	}
	return list, nil
}

// of returns the limits of metal m.
func (t *MetalTable) of(m Element) (MetalLimit, bool) {
	i := slices.IndexFunc(t.Limits, func(l MetalLimit) bool { return l.Metal == m })
	if i < 0 {
		return MetalLimit{}, false
	}
	return t.Limits[i], true
}
