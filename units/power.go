package units

import (
	"database/sql/driver"
	"fmt"
)

// Power is a power in watts.
type Power float64

// Units of Power.
const (
	Watt       Power = 1
	Kilowatt   Power = 1000
	Horsepower Power = horsepower // 550 ft lbf/s
)

var powerKind = kind{
	name: "power", dim: powerDim, si: "W",
	units: []named{
		{"hp", horsepower},
		{"W", 1},
		{"kW", 1000},
	},
	pick:   bySize(named{"hp", 0}),
	metric: bySize(named{"W", 0}, named{"kW", 1000}),
}

// ParsePower reads a power with its unit in a spelling of the trade or a UCUM
// code. The error is a [FieldError] that quotes the text and says what is
// accepted.
func ParsePower(s string) (Power, error) { return parse[Power](s) }

// In returns the number of units u in p.
func (p Power) In(u Power) float64 { return float64(p) / float64(u) }

// Text writes p in the unit u with a fixed number of decimals and thousands
// grouped; a u that is no unit constant of Power gives SI.
func (p Power) Text(u Power, decimals int) string { return text(p, u, decimals) }

// Trade writes p rounded to four figures in the usual unit at its size.
func (p Power) Trade() string { return Style{}.Text(p) }

// SI returns p in W.
func (p Power) SI() float64 { return float64(p) }

// Format implements fmt.Formatter: every verb prints the number in W
// followed by that unit.
func (p Power) Format(s fmt.State, verb rune) { format(p, s, verb) }

// AppendText appends the SI text that reads back to the same bits. A value that
// is not finite is an error.
func (p Power) AppendText(b []byte) ([]byte, error) { return appendSI(b, p) }

// MarshalText is AppendText(nil).
func (p Power) MarshalText() ([]byte, error) { return marshal(p) }

// UnmarshalText is [ParsePower] into p, which an error leaves as it was.
func (p *Power) UnmarshalText(text []byte) error { return unmarshal(p, text) }

// Value returns p as the text of MarshalText, for database/sql.
func (p Power) Value() (driver.Value, error) { return SQLValue(p) }

// Scan reads text with its unit as UnmarshalText does.
func (p *Power) Scan(src any) error { return SQLScan(src, p) }

func (Power) quantity() *kind { return &powerKind }
