package units

import (
	"database/sql/driver"
	"fmt"
)

// MassFraction is the mass of a constituent per mass of the material that holds
// it, as a plain ratio.
type MassFraction float64

// Units of MassFraction.
const (
	Percent              MassFraction = 0.01 // 20 lb/ton
	PoundPerTon          MassFraction = 1.0 / 2000
	MilligramPerKilogram MassFraction = 1e-6
	PartPerMillion       MassFraction = 1e-6 // mass per mass, as UCUM [ppm]
	GramPerKilogram      MassFraction = 0.001
	KilogramPerTonne     MassFraction = 0.001
	KilogramPerKilogram  MassFraction = 1
)

var massfractionKind = kind{
	name: "mass fraction", dim: dim{}, si: "kg/kg",
	units: []named{
		{"%", 0.01},
		{"lb/ton", 1.0 / 2000},
		{"mg/kg", 1e-6},
		{"ppm", 1e-6},
		{"g/kg", 0.001},
		{"kg/t", 0.001},
		{"kg/kg", 1},
	},
	pick:   bySize(named{"mg/kg", 0}, named{"lb/ton", 0.0005}, named{"%", 0.05}),
	metric: bySize(named{"mg/kg", 0}, named{"g/kg", 0.0005}, named{"%", 0.05}),
}

// ParseMassFraction reads a mass fraction with its unit in a spelling of the trade or a UCUM
// code. The error is a [FieldError] that quotes the text and says what is
// accepted.
func ParseMassFraction(s string) (MassFraction, error) { return parse[MassFraction](s) }

// In returns the number of units u in x.
func (x MassFraction) In(u MassFraction) float64 { return float64(x) / float64(u) }

// Text writes x in the unit u with a fixed number of decimals and thousands
// grouped; a u that is no unit constant of MassFraction gives SI.
func (x MassFraction) Text(u MassFraction, decimals int) string { return text(x, u, decimals) }

// Trade writes x rounded to four figures in the usual unit at its size.
func (x MassFraction) Trade() string { return Style{}.Text(x) }

// SI returns x in kg/kg.
func (x MassFraction) SI() float64 { return float64(x) }

// Format implements fmt.Formatter: every verb prints the number in kg/kg
// followed by that unit.
func (x MassFraction) Format(s fmt.State, verb rune) { format(x, s, verb) }

// AppendText appends the SI text that reads back to the same bits. A value that
// is not finite is an error.
func (x MassFraction) AppendText(b []byte) ([]byte, error) { return appendSI(b, x) }

// MarshalText is AppendText(nil).
func (x MassFraction) MarshalText() ([]byte, error) { return marshal(x) }

// UnmarshalText is [ParseMassFraction] into x, which an error leaves as it was.
func (x *MassFraction) UnmarshalText(text []byte) error { return unmarshal(x, text) }

// Value returns x as the text of MarshalText, for database/sql.
func (x MassFraction) Value() (driver.Value, error) { return SQLValue(x) }

// Scan reads text with its unit as UnmarshalText does.
func (x *MassFraction) Scan(src any) error { return SQLScan(src, x) }

func (MassFraction) quantity() *kind { return &massfractionKind }
