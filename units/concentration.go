package units

import (
	"database/sql/driver"
	"fmt"
)

// Concentration is the mass of a nutrient or other constituent per volume of
// the liquid that carries it, in kilograms per cubic metre.
type Concentration float64

// Units of Concentration.
const (
	PoundPer1000Gallon Concentration = pound / (1000 * gallon) // 119.826 mg/L
	MilligramPerLitre  Concentration = 0.001
	PoundPerAcreInch   Concentration = pound / (acre * inch)
	PoundPerAcreFoot   Concentration = pound / (acre * foot)
	GramPerLitre       Concentration = 1
)

var concentrationKind = kind{
	name: "concentration", dim: dim{m: -3, kg: 1}, si: "kg/m3",
	units: []named{
		{"lb/1000 gal", pound / (1000 * gallon)},
		{"mg/L", 0.001},
		{"lb/acre-in", pound / (acre * inch)},
		{"lb/acre-ft", pound / (acre * foot)},
		{"g/L", 1},
		{"kg/m3", 1},
	},
	pick:   bySize(named{"lb/1000 gal", 0}),
	metric: bySize(named{"mg/L", 0}, named{"kg/m3", 0.1}),
	refuse: map[string]string{
		"ppm":   "ppm is mass per mass; write mg/L for a liquid, or read mg/kg as a mass fraction",
		"mg/kg": "mg/kg is mass per mass; write mg/L, or read it as a mass fraction and convert with a density",
		"%":     "% is mass per mass; read it as a mass fraction and convert with a density",
	},
}

// ParseConcentration reads a concentration with its unit in a spelling of the trade or a UCUM
// code. The error is a [FieldError] that quotes the text and says what is
// accepted.
func ParseConcentration(s string) (Concentration, error) { return parse[Concentration](s) }

// In returns the number of units u in c.
func (c Concentration) In(u Concentration) float64 { return float64(c) / float64(u) }

// Text writes c in the unit u with a fixed number of decimals and thousands
// grouped; a u that is no unit constant of Concentration gives SI.
func (c Concentration) Text(u Concentration, decimals int) string { return text(c, u, decimals) }

// Trade writes c rounded to four figures in the usual unit at its size.
func (c Concentration) Trade() string { return Style{}.Text(c) }

// SI returns c in kg/m3.
func (c Concentration) SI() float64 { return float64(c) }

// Format implements fmt.Formatter: every verb prints the number in kg/m3
// followed by that unit.
func (c Concentration) Format(s fmt.State, verb rune) { format(c, s, verb) }

// AppendText appends the SI text that reads back to the same bits. A value that
// is not finite is an error.
func (c Concentration) AppendText(b []byte) ([]byte, error) { return appendSI(b, c) }

// MarshalText is AppendText(nil).
func (c Concentration) MarshalText() ([]byte, error) { return marshal(c) }

// UnmarshalText is [ParseConcentration] into c, which an error leaves as it was.
func (c *Concentration) UnmarshalText(text []byte) error { return unmarshal(c, text) }

// Value returns c as the text of MarshalText, for database/sql.
func (c Concentration) Value() (driver.Value, error) { return SQLValue(c) }

// Scan reads text with its unit as UnmarshalText does.
func (c *Concentration) Scan(src any) error { return SQLScan(src, c) }

func (Concentration) quantity() *kind { return &concentrationKind }
