package units

import (
	"database/sql/driver"
	"fmt"
)

// DepthRate is a depth of liquid per time, as rain, infiltration and
// application rates are given, in metres per second. Its dimension is that of
// Speed; it is a type of its own so that the two cannot be mixed up.
type DepthRate float64

// Units of DepthRate.
const (
	InchPerHour         DepthRate = inch / hour // 25.4 mm/h
	MillimetrePerHour   DepthRate = 0.001 / hour
	InchPerDay          DepthRate = inch / (24 * hour)
	CentimetrePerSecond DepthRate = 0.01
)

var depthrateKind = kind{
	name: "depth rate", dim: dim{m: 1, s: -1}, si: "m/s",
	units: []named{
		{"in/h", inch / hour},
		{"mm/h", 0.001 / hour},
		{"in/d", inch / (24 * hour)},
		{"cm/s", 0.01},
		{"m/s", 1},
	},
	pick:   bySize(named{"in/d", 0}, named{"in/h", inch / hour / 100}),
	metric: bySize(named{"mm/h", 0}),
}

// ParseDepthRate reads a depth rate with its unit in a spelling of the trade or a UCUM
// code. The error is a [FieldError] that quotes the text and says what is
// accepted.
func ParseDepthRate(s string) (DepthRate, error) { return parse[DepthRate](s) }

// In returns the number of units u in r.
func (r DepthRate) In(u DepthRate) float64 { return float64(r) / float64(u) }

// Text writes r in the unit u with a fixed number of decimals and thousands
// grouped; a u that is no unit constant of DepthRate gives SI.
func (r DepthRate) Text(u DepthRate, decimals int) string { return text(r, u, decimals) }

// Trade writes r rounded to four figures in the usual unit at its size.
func (r DepthRate) Trade() string { return Style{}.Text(r) }

// SI returns r in m/s.
func (r DepthRate) SI() float64 { return float64(r) }

// Format implements fmt.Formatter: every verb prints the number in m/s
// followed by that unit.
func (r DepthRate) Format(s fmt.State, verb rune) { format(r, s, verb) }

// AppendText appends the SI text that reads back to the same bits. A value that
// is not finite is an error.
func (r DepthRate) AppendText(b []byte) ([]byte, error) { return appendSI(b, r) }

// MarshalText is AppendText(nil).
func (r DepthRate) MarshalText() ([]byte, error) { return marshal(r) }

// UnmarshalText is [ParseDepthRate] into r, which an error leaves as it was.
func (r *DepthRate) UnmarshalText(text []byte) error { return unmarshal(r, text) }

// Value returns r as the text of MarshalText, for database/sql.
func (r DepthRate) Value() (driver.Value, error) { return SQLValue(r) }

// Scan reads text with its unit as UnmarshalText does.
func (r *DepthRate) Scan(src any) error { return SQLScan(src, r) }

func (DepthRate) quantity() *kind { return &depthrateKind }
