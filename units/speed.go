package units

import (
	"database/sql/driver"
	"fmt"
)

// Speed is a travel speed in metres per second.
type Speed float64

// Units of Speed.
const (
	MilePerHour      Speed = mile / hour // 88 ft/min
	FootPerMinute    Speed = foot / 60
	FootPerSecond    Speed = foot
	KilometrePerHour Speed = 1000 / hour
	MetrePerSecond   Speed = 1
	MetrePerHour     Speed = 1 / hour
)

var speedKind = kind{
	name: "speed", dim: dim{m: 1, s: -1}, si: "m/s",
	units: []named{
		{"mph", mile / hour},
		{"ft/min", foot / 60},
		{"ft/s", foot},
		{"km/h", 1000 / hour},
		{"m/s", 1},
		{"m/h", 1 / hour},
	},
	pick:   bySize(named{"ft/min", 0}, named{"mph", mile / hour / 4}),
	metric: bySize(named{"m/h", 0}, named{"m/s", 0.05}, named{"km/h", 0.2}),
}

// ParseSpeed reads a speed with its unit in a spelling of the trade or a UCUM
// code. The error is a [FieldError] that quotes the text and says what is
// accepted.
func ParseSpeed(s string) (Speed, error) { return parse[Speed](s) }

// In returns the number of units u in v.
func (v Speed) In(u Speed) float64 { return float64(v) / float64(u) }

// Text writes v in the unit u with a fixed number of decimals and thousands
// grouped; a u that is no unit constant of Speed gives SI.
func (v Speed) Text(u Speed, decimals int) string { return text(v, u, decimals) }

// Trade writes v rounded to four figures in the usual unit at its size.
func (v Speed) Trade() string { return Style{}.Text(v) }

// SI returns v in m/s.
func (v Speed) SI() float64 { return float64(v) }

// Format implements fmt.Formatter: every verb prints the number in m/s
// followed by that unit.
func (v Speed) Format(s fmt.State, verb rune) { format(v, s, verb) }

// AppendText appends the SI text that reads back to the same bits. A value that
// is not finite is an error.
func (v Speed) AppendText(b []byte) ([]byte, error) { return appendSI(b, v) }

// MarshalText is AppendText(nil).
func (v Speed) MarshalText() ([]byte, error) { return marshal(v) }

// UnmarshalText is [ParseSpeed] into v, which an error leaves as it was.
func (v *Speed) UnmarshalText(text []byte) error { return unmarshal(v, text) }

// Value returns v as the text of MarshalText, for database/sql.
func (v Speed) Value() (driver.Value, error) { return SQLValue(v) }

// Scan reads text with its unit as UnmarshalText does.
func (v *Speed) Scan(src any) error { return SQLScan(src, v) }

func (Speed) quantity() *kind { return &speedKind }
