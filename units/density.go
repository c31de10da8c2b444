package units

import (
	"database/sql/driver"
	"fmt"
)

// Density is the mass of a material per volume of that material, in kilograms
// per cubic metre. What is dissolved or suspended in a volume is a
// [Concentration].
type Density float64

// Units of Density.
const (
	PoundPerGallon        Density = pound / gallon
	PoundPerCubicFoot     Density = pound / (foot * foot * foot)
	PoundPerCubicYard     Density = pound / (yard * yard * yard)
	TonPerCubicYard       Density = ton / (yard * yard * yard)
	KilogramPerCubicMetre Density = 1
	GramPerMillilitre     Density = 1000
)

var densityKind = kind{
	name: "density", dim: dim{m: -3, kg: 1}, si: "kg/m3",
	units: []named{
		{"lb/gal", pound / gallon},
		{"lb/ft3", pound / (foot * foot * foot)},
		{"lb/yd3", pound / (yard * yard * yard)},
		{"ton/yd3", ton / (yard * yard * yard)},
		{"kg/m3", 1},
		{"g/mL", 1000},
	},
	pick:   bySize(named{"lb/ft3", 0}),
	metric: bySize(named{"kg/m3", 0}),
}

// ParseDensity reads a density with its unit in a spelling of the trade or a UCUM
// code. The error is a [FieldError] that quotes the text and says what is
// accepted.
func ParseDensity(s string) (Density, error) { return parse[Density](s) }

// In returns the number of units u in d.
func (d Density) In(u Density) float64 { return float64(d) / float64(u) }

// Text writes d in the unit u with a fixed number of decimals and thousands
// grouped; a u that is no unit constant of Density gives SI.
func (d Density) Text(u Density, decimals int) string { return text(d, u, decimals) }

// Trade writes d rounded to four figures in the usual unit at its size.
func (d Density) Trade() string { return Style{}.Text(d) }

// SI returns d in kg/m3.
func (d Density) SI() float64 { return float64(d) }

// Format implements fmt.Formatter: every verb prints the number in kg/m3
// followed by that unit.
func (d Density) Format(s fmt.State, verb rune) { format(d, s, verb) }

// AppendText appends the SI text that reads back to the same bits. A value that
// is not finite is an error.
func (d Density) AppendText(b []byte) ([]byte, error) { return appendSI(b, d) }

// MarshalText is AppendText(nil).
func (d Density) MarshalText() ([]byte, error) { return marshal(d) }

// UnmarshalText is [ParseDensity] into d, which an error leaves as it was.
func (d *Density) UnmarshalText(text []byte) error { return unmarshal(d, text) }

// Value returns d as the text of MarshalText, for database/sql.
func (d Density) Value() (driver.Value, error) { return SQLValue(d) }

// Scan reads text with its unit as UnmarshalText does.
func (d *Density) Scan(src any) error { return SQLScan(src, d) }

func (Density) quantity() *kind { return &densityKind }
