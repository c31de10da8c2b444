package units

import (
	"database/sql/driver"
	"fmt"
)

// Length is a distance in metres.
type Length float64

// Units of Length.
const (
	Foot       Length = foot // the international foot, 0.3048 m exactly
	Inch       Length = inch // foot/12
	Yard       Length = yard // 3 ft
	Mile       Length = mile // 5280 ft
	Metre      Length = 1
	Centimetre Length = 0.01
	Millimetre Length = 0.001
	Kilometre  Length = 1000
	Rod        Length = rod        // 16.5 ft
	Chain      Length = chain      // 66 ft
	SurveyFoot Length = surveyFoot // 1200/3937 m, not for use after 2022 (85 FR 62698); for import only
)

var lengthKind = kind{
	name: "length", dim: dim{m: 1}, si: "m",
	units: []named{
		{"ft", foot},
		{"in", inch},
		{"yd", yard},
		{"mi", mile},
		{"m", 1},
		{"cm", 0.01},
		{"mm", 0.001},
		{"km", 1000},
		{"ftUS", surveyFoot},
		{"rod", rod},
		{"chain", chain},
	},
	pick:     bySize(named{"in", 0}, named{"ft", foot}, named{"mi", mile}),
	metric:   bySize(named{"mm", 0}, named{"m", 0.5}, named{"km", 2000}),
	compound: true,
	alias:    map[string]float64{"'": foot, "\"": inch},
}

// ParseLength reads a length with its unit in a spelling of the trade or a UCUM
// code. The error is a [FieldError] that quotes the text and says what is
// accepted.
func ParseLength(s string) (Length, error) { return parse[Length](s) }

// In returns the number of units u in l.
func (l Length) In(u Length) float64 { return float64(l) / float64(u) }

// Text writes l in the unit u with a fixed number of decimals and thousands
// grouped; a u that is no unit constant of Length gives SI.
func (l Length) Text(u Length, decimals int) string { return text(l, u, decimals) }

// Trade writes l rounded to four figures in the usual unit at its size.
func (l Length) Trade() string { return Style{}.Text(l) }

// SI returns l in m.
func (l Length) SI() float64 { return float64(l) }

// Format implements fmt.Formatter: every verb prints the number in m
// followed by that unit.
func (l Length) Format(s fmt.State, verb rune) { format(l, s, verb) }

// AppendText appends the SI text that reads back to the same bits. A value that
// is not finite is an error.
func (l Length) AppendText(b []byte) ([]byte, error) { return appendSI(b, l) }

// MarshalText is AppendText(nil).
func (l Length) MarshalText() ([]byte, error) { return marshal(l) }

// UnmarshalText is [ParseLength] into l, which an error leaves as it was.
func (l *Length) UnmarshalText(text []byte) error { return unmarshal(l, text) }

// Value returns l as the text of MarshalText, for database/sql.
func (l Length) Value() (driver.Value, error) { return SQLValue(l) }

// Scan reads text with its unit as UnmarshalText does.
func (l *Length) Scan(src any) error { return SQLScan(src, l) }

func (Length) quantity() *kind { return &lengthKind }
