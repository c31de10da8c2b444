package units

import (
	"database/sql/driver"
	"fmt"
)

// SeedsPerMass is a number of seeds in a mass of pure seed, in seeds per
// kilogram.
type SeedsPerMass float64

// Units of SeedsPerMass.
const (
	SeedPerPound    SeedsPerMass = 1 / pound
	SeedPerOunce    SeedsPerMass = 16 / pound
	SeedPerKilogram SeedsPerMass = 1
	SeedPerGram     SeedsPerMass = 1000
)

var seedspermassKind = kind{
	name: "number of seeds per mass", dim: dim{kg: -1, seed: 1}, si: "seeds/kg",
	units: []named{
		{"seeds/lb", 1 / pound},
		{"seeds/oz", 16 / pound},
		{"seeds/kg", 1},
		{"seeds/g", 1000},
	},
	pick:   bySize(named{"seeds/lb", 0}),
	metric: bySize(named{"seeds/kg", 0}),
}

// ParseSeedsPerMass reads a number of seeds per mass with its unit in a spelling of the trade or a UCUM
// code. The error is a [FieldError] that quotes the text and says what is
// accepted.
func ParseSeedsPerMass(s string) (SeedsPerMass, error) { return parse[SeedsPerMass](s) }

// In returns the number of units u in c.
func (c SeedsPerMass) In(u SeedsPerMass) float64 { return float64(c) / float64(u) }

// Text writes c in the unit u with a fixed number of decimals and thousands
// grouped; a u that is no unit constant of SeedsPerMass gives SI.
func (c SeedsPerMass) Text(u SeedsPerMass, decimals int) string { return text(c, u, decimals) }

// Trade writes c rounded to four figures in the usual unit at its size.
func (c SeedsPerMass) Trade() string { return Style{}.Text(c) }

// SI returns c in seeds/kg.
func (c SeedsPerMass) SI() float64 { return float64(c) }

// Format implements fmt.Formatter: every verb prints the number in seeds/kg
// followed by that unit.
func (c SeedsPerMass) Format(s fmt.State, verb rune) { format(c, s, verb) }

// AppendText appends the SI text that reads back to the same bits. A value that
// is not finite is an error.
func (c SeedsPerMass) AppendText(b []byte) ([]byte, error) { return appendSI(b, c) }

// MarshalText is AppendText(nil).
func (c SeedsPerMass) MarshalText() ([]byte, error) { return marshal(c) }

// UnmarshalText is [ParseSeedsPerMass] into c, which an error leaves as it was.
func (c *SeedsPerMass) UnmarshalText(text []byte) error { return unmarshal(c, text) }

// Value returns c as the text of MarshalText, for database/sql.
func (c SeedsPerMass) Value() (driver.Value, error) { return SQLValue(c) }

// Scan reads text with its unit as UnmarshalText does.
func (c *SeedsPerMass) Scan(src any) error { return SQLScan(src, c) }

func (SeedsPerMass) quantity() *kind { return &seedspermassKind }
