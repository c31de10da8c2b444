package units

import (
	"database/sql/driver"
	"fmt"
)

// Area is a surface in square metres.
type Area float64

// Units of Area.
const (
	Acre             Area = acre // 43,560 square international feet
	SquareFoot       Area = foot * foot
	SquareYard       Area = yard * yard
	Hectare          Area = 10000
	SquareMetre      Area = 1
	SquareMile       Area = mile * mile
	SquareInch       Area = inch * inch
	SquareCentimetre Area = 0.0001
	AcreSurvey       Area = 43560 * surveyFoot * surveyFoot // 43,560 square survey feet, 4 ppm more than the acre; for import of old deeds and UCUM [acr_us] only
)

var areaKind = kind{
	name: "area", dim: dim{m: 2}, si: "m2",
	units: []named{
		{"acre", acre},
		{"ft2", foot * foot},
		{"yd2", yard * yard},
		{"ha", 10000},
		{"m2", 1},
		{"mi2", mile * mile},
		{"in2", inch * inch},
		{"cm2", 0.0001},
		{"acreUS", 43560 * surveyFoot * surveyFoot},
	},
	pick:   bySize(named{"ft2", 0}, named{"acre", acre / 10}),
	metric: bySize(named{"m2", 0}, named{"ha", 1000}),
}

// ParseArea reads an area with its unit in a spelling of the trade or a UCUM
// code. The error is a [FieldError] that quotes the text and says what is
// accepted.
func ParseArea(s string) (Area, error) { return parse[Area](s) }

// In returns the number of units u in a.
func (a Area) In(u Area) float64 { return float64(a) / float64(u) }

// Text writes a in the unit u with a fixed number of decimals and thousands
// grouped; a u that is no unit constant of Area gives SI.
func (a Area) Text(u Area, decimals int) string { return text(a, u, decimals) }

// Trade writes a rounded to four figures in the usual unit at its size.
func (a Area) Trade() string { return Style{}.Text(a) }

// SI returns a in m2.
func (a Area) SI() float64 { return float64(a) }

// Format implements fmt.Formatter: every verb prints the number in m2
// followed by that unit.
func (a Area) Format(s fmt.State, verb rune) { format(a, s, verb) }

// AppendText appends the SI text that reads back to the same bits. A value that
// is not finite is an error.
func (a Area) AppendText(b []byte) ([]byte, error) { return appendSI(b, a) }

// MarshalText is AppendText(nil).
func (a Area) MarshalText() ([]byte, error) { return marshal(a) }

// UnmarshalText is [ParseArea] into a, which an error leaves as it was.
func (a *Area) UnmarshalText(text []byte) error { return unmarshal(a, text) }

// Value returns a as the text of MarshalText, for database/sql.
func (a Area) Value() (driver.Value, error) { return SQLValue(a) }

// Scan reads text with its unit as UnmarshalText does.
func (a *Area) Scan(src any) error { return SQLScan(src, a) }

func (Area) quantity() *kind { return &areaKind }
