package units

import (
	"database/sql/driver"
	"fmt"
)

// MassPerArea is a mass spread over an area in kilograms per square metre:
// a rate of solid manure, seed, lime or a nutrient.
type MassPerArea float64

// Units of MassPerArea.
const (
	PoundPerAcre           MassPerArea = pound / acre // 1.12085 kg/ha
	TonPerAcre             MassPerArea = ton / acre   // 2000 lb/acre
	KilogramPerHectare     MassPerArea = 1.0 / 10000
	TonnePerHectare        MassPerArea = 1000.0 / 10000
	PoundPer1000SquareFeet MassPerArea = pound / (1000 * foot * foot) // 43.56 lb/acre
	OuncePerSquareFoot     MassPerArea = pound / 16 / (foot * foot)
	PoundPerSquareFoot     MassPerArea = pound / (foot * foot)
	KilogramPerSquareMetre MassPerArea = 1
)

var massperareaKind = kind{
	name: "mass per area", dim: dim{m: -2, kg: 1}, si: "kg/m2",
	units: []named{
		{"lb/acre", pound / acre},
		{"ton/acre", ton / acre},
		{"kg/ha", 1.0 / 10000},
		{"t/ha", 1000.0 / 10000},
		{"lb/1000 ft2", pound / (1000 * foot * foot)},
		{"oz/ft2", pound / 16 / (foot * foot)},
		{"lb/ft2", pound / (foot * foot)},
		{"kg/m2", 1},
	},
	pick:   bySize(named{"lb/acre", 0}, named{"ton/acre", ton / acre}),
	metric: bySize(named{"kg/ha", 0}, named{"t/ha", 0.3}),
}

// ParseMassPerArea reads a mass per area with its unit in a spelling of the trade or a UCUM
// code. The error is a [FieldError] that quotes the text and says what is
// accepted.
func ParseMassPerArea(s string) (MassPerArea, error) { return parse[MassPerArea](s) }

// In returns the number of units u in r.
func (r MassPerArea) In(u MassPerArea) float64 { return float64(r) / float64(u) }

// Text writes r in the unit u with a fixed number of decimals and thousands
// grouped; a u that is no unit constant of MassPerArea gives SI.
func (r MassPerArea) Text(u MassPerArea, decimals int) string { return text(r, u, decimals) }

// Trade writes r rounded to four figures in the usual unit at its size.
func (r MassPerArea) Trade() string { return Style{}.Text(r) }

// SI returns r in kg/m2.
func (r MassPerArea) SI() float64 { return float64(r) }

// Format implements fmt.Formatter: every verb prints the number in kg/m2
// followed by that unit.
func (r MassPerArea) Format(s fmt.State, verb rune) { format(r, s, verb) }

// AppendText appends the SI text that reads back to the same bits. A value that
// is not finite is an error.
func (r MassPerArea) AppendText(b []byte) ([]byte, error) { return appendSI(b, r) }

// MarshalText is AppendText(nil).
func (r MassPerArea) MarshalText() ([]byte, error) { return marshal(r) }

// UnmarshalText is [ParseMassPerArea] into r, which an error leaves as it was.
func (r *MassPerArea) UnmarshalText(text []byte) error { return unmarshal(r, text) }

// Value returns r as the text of MarshalText, for database/sql.
func (r MassPerArea) Value() (driver.Value, error) { return SQLValue(r) }

// Scan reads text with its unit as UnmarshalText does.
func (r *MassPerArea) Scan(src any) error { return SQLScan(src, r) }

func (MassPerArea) quantity() *kind { return &massperareaKind }
