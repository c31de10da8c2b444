package units

import (
	"database/sql/driver"
	"fmt"
)

// Mass is a mass in kilograms.
type Mass float64

// Units of Mass.
const (
	Pound     Mass = pound // 0.45359237 kg exactly
	Ton       Mass = ton   // the short ton, 2000 lb
	Ounce     Mass = pound / 16
	LongTon   Mass = longTon // 2240 lb
	Grain     Mass = grain   // 1/7000 lb
	Kilogram  Mass = 1
	Gram      Mass = 0.001
	Milligram Mass = 0.000001
	Tonne     Mass = 1000 // the metric ton, 1000 kg
)

var massKind = kind{
	name: "mass", dim: dim{kg: 1}, si: "kg",
	units: []named{
		{"lb", pound},
		{"ton", ton},
		{"oz", pound / 16},
		{"long ton", longTon},
		{"grain", grain},
		{"kg", 1},
		{"g", 0.001},
		{"mg", 0.000001},
		{"t", 1000},
	},
	pick:   bySize(named{"oz", 0}, named{"lb", pound}, named{"ton", 20 * ton}),
	metric: bySize(named{"g", 0}, named{"kg", 1}, named{"t", 10000}),
}

// ParseMass reads a mass with its unit in a spelling of the trade or a UCUM
// code. The error is a [FieldError] that quotes the text and says what is
// accepted.
func ParseMass(s string) (Mass, error) { return parse[Mass](s) }

// In returns the number of units u in m.
func (m Mass) In(u Mass) float64 { return float64(m) / float64(u) }

// Text writes m in the unit u with a fixed number of decimals and thousands
// grouped; a u that is no unit constant of Mass gives SI.
func (m Mass) Text(u Mass, decimals int) string { return text(m, u, decimals) }

// Trade writes m rounded to four figures in the usual unit at its size.
func (m Mass) Trade() string { return Style{}.Text(m) }

// SI returns m in kg.
func (m Mass) SI() float64 { return float64(m) }

// Format implements fmt.Formatter: every verb prints the number in kg
// followed by that unit.
func (m Mass) Format(s fmt.State, verb rune) { format(m, s, verb) }

// AppendText appends the SI text that reads back to the same bits. A value that
// is not finite is an error.
func (m Mass) AppendText(b []byte) ([]byte, error) { return appendSI(b, m) }

// MarshalText is AppendText(nil).
func (m Mass) MarshalText() ([]byte, error) { return marshal(m) }

// UnmarshalText is [ParseMass] into m, which an error leaves as it was.
func (m *Mass) UnmarshalText(text []byte) error { return unmarshal(m, text) }

// Value returns m as the text of MarshalText, for database/sql.
func (m Mass) Value() (driver.Value, error) { return SQLValue(m) }

// Scan reads text with its unit as UnmarshalText does.
func (m *Mass) Scan(src any) error { return SQLScan(src, m) }

func (Mass) quantity() *kind { return &massKind }
