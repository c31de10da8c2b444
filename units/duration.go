package units

import (
	"database/sql/driver"
	"fmt"
	"math"
	"time"
)

// Duration is a span of time in seconds. It is a quantity like the others, not
// time.Duration, because encoding/json writes that one as a bare count of
// nanoseconds and reads a bare "12" as 12 ns; [Duration.Std] and [DurationOf]
// convert. Whole nanoseconds survive the conversion up to 104 days.
type Duration float64

// Units of Duration.
const (
	Hour   Duration = hour
	Minute Duration = 60
	Second Duration = 1
	Day    Duration = 24 * hour // 24 h, not a calendar day
)

var durationKind = kind{
	name: "duration", dim: dim{s: 1}, si: "s",
	units: []named{
		{"h", hour},
		{"min", 60},
		{"s", 1},
		{"d", 24 * hour},
	},
	pick:     bySize(named{"s", 0}, named{"min", 60}, named{"h", hour}, named{"d", 72 * hour}),
	metric:   bySize(named{"s", 0}, named{"min", 60}, named{"h", hour}, named{"d", 72 * hour}),
	compound: true,
	alias:    map[string]float64{"m": 60},
}

// ParseDuration reads a duration with its unit in a spelling of the trade or a UCUM
// code. The error is a [FieldError] that quotes the text and says what is
// accepted.
func ParseDuration(s string) (Duration, error) { return parse[Duration](s) }

// In returns the number of units u in d.
func (d Duration) In(u Duration) float64 { return float64(d) / float64(u) }

// Text writes d in the unit u with a fixed number of decimals and thousands
// grouped; a u that is no unit constant of Duration gives SI.
func (d Duration) Text(u Duration, decimals int) string { return text(d, u, decimals) }

// Trade writes d rounded to four figures in the usual unit at its size.
func (d Duration) Trade() string { return Style{}.Text(d) }

// SI returns d in s.
func (d Duration) SI() float64 { return float64(d) }

// Format implements fmt.Formatter: every verb prints the number in s
// followed by that unit.
func (d Duration) Format(s fmt.State, verb rune) { format(d, s, verb) }

// AppendText appends the SI text that reads back to the same bits. A value that
// is not finite is an error.
func (d Duration) AppendText(b []byte) ([]byte, error) { return appendSI(b, d) }

// MarshalText is AppendText(nil).
func (d Duration) MarshalText() ([]byte, error) { return marshal(d) }

// UnmarshalText is [ParseDuration] into d, which an error leaves as it was.
func (d *Duration) UnmarshalText(text []byte) error { return unmarshal(d, text) }

// DurationOf returns d as a Duration.
func DurationOf(d time.Duration) Duration { return Duration(d.Seconds()) }

// Std returns d as a time.Duration, rounded to the nanosecond.
func (d Duration) Std() time.Duration { return time.Duration(math.Round(float64(d) * 1e9)) }

// Value returns d as the text of MarshalText, for database/sql.
func (d Duration) Value() (driver.Value, error) { return SQLValue(d) }

// Scan reads text with its unit as UnmarshalText does.
func (d *Duration) Scan(src any) error { return SQLScan(src, d) }

func (Duration) quantity() *kind { return &durationKind }
