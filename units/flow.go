package units

import (
	"database/sql/driver"
	"fmt"
)

// Flow is a volume flow in cubic metres per second.
type Flow float64

// Units of Flow.
const (
	GallonPerMinute     Flow = gallon / 60
	CubicFootPerSecond  Flow = foot * foot * foot
	MillionGallonPerDay Flow = 1e6 * gallon / (24 * hour)
	AcreInchPerHour     Flow = acre * inch / hour // 452.571 gpm
	LitrePerSecond      Flow = 0.001
	LitrePerMinute      Flow = 0.001 / 60
	CubicMetrePerHour   Flow = 1 / hour
	GallonPerHour       Flow = gallon / hour
	GallonPerDay        Flow = gallon / (24 * hour)
	CubicYardPerHour    Flow = yard * yard * yard / hour
	CubicMetrePerSecond Flow = 1
)

var flowKind = kind{
	name: "flow", dim: dim{m: 3, s: -1}, si: "m3/s",
	units: []named{
		{"gpm", gallon / 60},
		{"cfs", foot * foot * foot},
		{"mgd", 1e6 * gallon / (24 * hour)},
		{"acre-in/h", acre * inch / hour},
		{"L/s", 0.001},
		{"L/min", 0.001 / 60},
		{"m3/h", 1 / hour},
		{"gal/h", gallon / hour},
		{"gal/d", gallon / (24 * hour)},
		{"yd3/h", yard * yard * yard / hour},
		{"m3/s", 1},
	},
	pick:   bySize(named{"gpm", 0}),
	metric: bySize(named{"L/min", 0}, named{"m3/h", 0.5 / hour}),
}

// ParseFlow reads a flow with its unit in a spelling of the trade or a UCUM
// code. The error is a [FieldError] that quotes the text and says what is
// accepted.
func ParseFlow(s string) (Flow, error) { return parse[Flow](s) }

// In returns the number of units u in f.
func (f Flow) In(u Flow) float64 { return float64(f) / float64(u) }

// Text writes f in the unit u with a fixed number of decimals and thousands
// grouped; a u that is no unit constant of Flow gives SI.
func (f Flow) Text(u Flow, decimals int) string { return text(f, u, decimals) }

// Trade writes f rounded to four figures in the usual unit at its size.
func (f Flow) Trade() string { return Style{}.Text(f) }

// SI returns f in m3/s.
func (f Flow) SI() float64 { return float64(f) }

// Format implements fmt.Formatter: every verb prints the number in m3/s
// followed by that unit.
func (f Flow) Format(s fmt.State, verb rune) { format(f, s, verb) }

// AppendText appends the SI text that reads back to the same bits. A value that
// is not finite is an error.
func (f Flow) AppendText(b []byte) ([]byte, error) { return appendSI(b, f) }

// MarshalText is AppendText(nil).
func (f Flow) MarshalText() ([]byte, error) { return marshal(f) }

// UnmarshalText is [ParseFlow] into f, which an error leaves as it was.
func (f *Flow) UnmarshalText(text []byte) error { return unmarshal(f, text) }

// Value returns f as the text of MarshalText, for database/sql.
func (f Flow) Value() (driver.Value, error) { return SQLValue(f) }

// Scan reads text with its unit as UnmarshalText does.
func (f *Flow) Scan(src any) error { return SQLScan(src, f) }

func (Flow) quantity() *kind { return &flowKind }
