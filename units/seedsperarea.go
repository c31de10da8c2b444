package units

import (
	"database/sql/driver"
	"fmt"
)

// SeedsPerArea is a number of seeds on an area, in seeds per square metre.
type SeedsPerArea float64

// Units of SeedsPerArea.
const (
	SeedPerSquareFoot  SeedsPerArea = 1 / (foot * foot)
	SeedPerSquareMetre SeedsPerArea = 1
	SeedPerAcre        SeedsPerArea = 1 / acre
)

var seedsperareaKind = kind{
	name: "number of seeds per area", dim: dim{m: -2, seed: 1}, si: "seeds/m2",
	units: []named{
		{"seeds/ft2", 1 / (foot * foot)},
		{"seeds/m2", 1},
		{"seeds/acre", 1 / acre},
	},
	pick:   bySize(named{"seeds/ft2", 0}),
	metric: bySize(named{"seeds/m2", 0}),
}

// ParseSeedsPerArea reads a number of seeds per area with its unit in a spelling of the trade or a UCUM
// code. The error is a [FieldError] that quotes the text and says what is
// accepted.
func ParseSeedsPerArea(s string) (SeedsPerArea, error) { return parse[SeedsPerArea](s) }

// In returns the number of units u in r.
func (r SeedsPerArea) In(u SeedsPerArea) float64 { return float64(r) / float64(u) }

// Text writes r in the unit u with a fixed number of decimals and thousands
// grouped; a u that is no unit constant of SeedsPerArea gives SI.
func (r SeedsPerArea) Text(u SeedsPerArea, decimals int) string { return text(r, u, decimals) }

// Trade writes r rounded to four figures in the usual unit at its size.
func (r SeedsPerArea) Trade() string { return Style{}.Text(r) }

// SI returns r in seeds/m2.
func (r SeedsPerArea) SI() float64 { return float64(r) }

// Format implements fmt.Formatter: every verb prints the number in seeds/m2
// followed by that unit.
func (r SeedsPerArea) Format(s fmt.State, verb rune) { format(r, s, verb) }

// AppendText appends the SI text that reads back to the same bits. A value that
// is not finite is an error.
func (r SeedsPerArea) AppendText(b []byte) ([]byte, error) { return appendSI(b, r) }

// MarshalText is AppendText(nil).
func (r SeedsPerArea) MarshalText() ([]byte, error) { return marshal(r) }

// UnmarshalText is [ParseSeedsPerArea] into r, which an error leaves as it was.
func (r *SeedsPerArea) UnmarshalText(text []byte) error { return unmarshal(r, text) }

// Value returns r as the text of MarshalText, for database/sql.
func (r SeedsPerArea) Value() (driver.Value, error) { return SQLValue(r) }

// Scan reads text with its unit as UnmarshalText does.
func (r *SeedsPerArea) Scan(src any) error { return SQLScan(src, r) }

func (SeedsPerArea) quantity() *kind { return &seedsperareaKind }
