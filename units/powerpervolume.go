package units

import (
	"database/sql/driver"
	"fmt"
)

// PowerPerVolume is how intensely a volume is mixed, in watts per cubic metre.
type PowerPerVolume float64

// Units of PowerPerVolume.
const (
	WattPerCubicMetre        PowerPerVolume = 1
	HorsepowerPer1000Gallons PowerPerVolume = horsepower / (1000 * gallon)
	HorsepowerPer1000Cubic   PowerPerVolume = horsepower / (1000 * foot * foot * foot) // cubic feet
)

var powerpervolumeKind = kind{
	name: "power per volume", dim: dim{m: -1, kg: 1, s: -3}, si: "W/m3",
	units: []named{
		{"hp/1000 gal", horsepower / (1000 * gallon)},
		{"hp/1000 ft3", horsepower / (1000 * foot * foot * foot)},
		{"W/m3", 1},
	},
	pick:   bySize(named{"hp/1000 gal", 0}),
	metric: bySize(named{"W/m3", 0}),
}

// ParsePowerPerVolume reads a power per volume with its unit in a spelling of the trade or a UCUM
// code. The error is a [FieldError] that quotes the text and says what is
// accepted.
func ParsePowerPerVolume(s string) (PowerPerVolume, error) { return parse[PowerPerVolume](s) }

// In returns the number of units u in p.
func (p PowerPerVolume) In(u PowerPerVolume) float64 { return float64(p) / float64(u) }

// Text writes p in the unit u with a fixed number of decimals and thousands
// grouped; a u that is no unit constant of PowerPerVolume gives SI.
func (p PowerPerVolume) Text(u PowerPerVolume, decimals int) string { return text(p, u, decimals) }

// Trade writes p rounded to four figures in the usual unit at its size.
func (p PowerPerVolume) Trade() string { return Style{}.Text(p) }

// SI returns p in W/m3.
func (p PowerPerVolume) SI() float64 { return float64(p) }

// Format implements fmt.Formatter: every verb prints the number in W/m3
// followed by that unit.
func (p PowerPerVolume) Format(s fmt.State, verb rune) { format(p, s, verb) }

// AppendText appends the SI text that reads back to the same bits. A value that
// is not finite is an error.
func (p PowerPerVolume) AppendText(b []byte) ([]byte, error) { return appendSI(b, p) }

// MarshalText is AppendText(nil).
func (p PowerPerVolume) MarshalText() ([]byte, error) { return marshal(p) }

// UnmarshalText is [ParsePowerPerVolume] into p, which an error leaves as it was.
func (p *PowerPerVolume) UnmarshalText(text []byte) error { return unmarshal(p, text) }

// Value returns p as the text of MarshalText, for database/sql.
func (p PowerPerVolume) Value() (driver.Value, error) { return SQLValue(p) }

// Scan reads text with its unit as UnmarshalText does.
func (p *PowerPerVolume) Scan(src any) error { return SQLScan(src, p) }

func (PowerPerVolume) quantity() *kind { return &powerpervolumeKind }
