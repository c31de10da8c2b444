package units

import (
	"database/sql/driver"
	"fmt"
)

// Volume is a content in cubic metres.
type Volume float64

// Units of Volume.
const (
	Gallon         Volume = gallon // the US gallon, 231 cubic inches
	CubicFoot      Volume = foot * foot * foot
	CubicYard      Volume = yard * yard * yard
	AcreInch       Volume = acre * inch // 3,630 ft3
	AcreFoot       Volume = acre * foot // 43,560 ft3
	Bushel         Volume = bushel      // the US struck bushel, 2150.42 cubic inches
	Pint           Volume = gallon / 8
	Quart          Volume = gallon / 4
	FluidOunce     Volume = gallon / 128
	Litre          Volume = 0.001
	Millilitre     Volume = 0.000001
	CubicMetre     Volume = 1
	CubicInch      Volume = inch * inch * inch
	ImperialGallon Volume = 0.00454609 // 4.54609 L; only when asked for by name
)

var volumeKind = kind{
	name: "volume", dim: dim{m: 3}, si: "m3",
	units: []named{
		{"gal", gallon},
		{"ft3", foot * foot * foot},
		{"yd3", yard * yard * yard},
		{"acre-in", acre * inch},
		{"acre-ft", acre * foot},
		{"bu", bushel},
		{"pt", gallon / 8},
		{"qt", gallon / 4},
		{"fl oz", gallon / 128},
		{"L", 0.001},
		{"mL", 0.000001},
		{"m3", 1},
		{"in3", inch * inch * inch},
		{"impgal", 0.00454609},
	},
	pick:   bySize(named{"gal", 0}),
	metric: bySize(named{"L", 0}, named{"m3", 1}),
}

// ParseVolume reads a volume with its unit in a spelling of the trade or a UCUM
// code. The error is a [FieldError] that quotes the text and says what is
// accepted.
func ParseVolume(s string) (Volume, error) { return parse[Volume](s) }

// In returns the number of units u in v.
func (v Volume) In(u Volume) float64 { return float64(v) / float64(u) }

// Text writes v in the unit u with a fixed number of decimals and thousands
// grouped; a u that is no unit constant of Volume gives SI.
func (v Volume) Text(u Volume, decimals int) string { return text(v, u, decimals) }

// Trade writes v rounded to four figures in the usual unit at its size.
func (v Volume) Trade() string { return Style{}.Text(v) }

// SI returns v in m3.
func (v Volume) SI() float64 { return float64(v) }

// Format implements fmt.Formatter: every verb prints the number in m3
// followed by that unit.
func (v Volume) Format(s fmt.State, verb rune) { format(v, s, verb) }

// AppendText appends the SI text that reads back to the same bits. A value that
// is not finite is an error.
func (v Volume) AppendText(b []byte) ([]byte, error) { return appendSI(b, v) }

// MarshalText is AppendText(nil).
func (v Volume) MarshalText() ([]byte, error) { return marshal(v) }

// UnmarshalText is [ParseVolume] into v, which an error leaves as it was.
func (v *Volume) UnmarshalText(text []byte) error { return unmarshal(v, text) }

// Value returns v as the text of MarshalText, for database/sql.
func (v Volume) Value() (driver.Value, error) { return SQLValue(v) }

// Scan reads text with its unit as UnmarshalText does.
func (v *Volume) Scan(src any) error { return SQLScan(src, v) }

func (Volume) quantity() *kind { return &volumeKind }
