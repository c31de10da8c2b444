package units

import (
	"database/sql/driver"
	"fmt"
	"math"
	"strings"
)

// Temperature is a temperature in kelvin. It is the one quantity whose units
// have different zeros, so it has constructors instead of unit constants; a
// difference of temperatures is a plain number of kelvin.
type Temperature float64

// Celsius returns the temperature of x degrees Celsius. 0 degC is 273.15 K.
func Celsius(x float64) Temperature { return Temperature(x + 273.15) }

// Fahrenheit returns the temperature of x degrees Fahrenheit,
// (x - 32) 5/9 degrees Celsius.
func Fahrenheit(x float64) Temperature { return Temperature((x-32)*5/9 + 273.15) }

// Celsius returns t in degrees Celsius.
func (t Temperature) Celsius() float64 { return float64(t) - 273.15 }

// Fahrenheit returns t in degrees Fahrenheit.
func (t Temperature) Fahrenheit() float64 { return (float64(t)-273.15)*9/5 + 32 }

var temperatureKind = kind{name: "temperature", si: "K", units: []named{{"K", 1}}}

const temperatureWant = "a temperature with its unit, such as 68 F, 20 C, 293.15 K, of 0 K or more"

// ParseTemperature reads "68 F", "20 degC", "20 Cel" or "293.15 K". The error is
// a [FieldError]; below absolute zero is one, and what is no finite number of kelvin.
func ParseTemperature(s string) (Temperature, error) {
	n, rest, fault := scanNumber(tidy(s))
	var t Temperature
	switch strings.TrimPrefix(strings.TrimSpace(rest), "°") {
	case "F", "degF", "[degF]":
		t = Fahrenheit(n)
	case "C", "degC", "Cel":
		t = Celsius(n)
	case "K":
		t = Temperature(n)
	default:
		fault = temperatureWant
	}
	if fault != "" || !(t >= 0 && t <= math.MaxFloat64) {
		return 0, Fault(FaultMalformed, "", s, temperatureWant)
	}
	return t, nil
}

// Trade writes t in whole degrees Fahrenheit.
func (t Temperature) Trade() string { return Style{}.Text(t) }

// SI returns t in kelvin.
func (t Temperature) SI() float64 { return float64(t) }

// Format implements fmt.Formatter: every verb prints the number in kelvin
// followed by K.
func (t Temperature) Format(s fmt.State, verb rune) { format(t, s, verb) }

// AppendText appends the text in kelvin that reads back to the same bits.
func (t Temperature) AppendText(b []byte) ([]byte, error) { return appendSI(b, t) }

// MarshalText is AppendText(nil).
func (t Temperature) MarshalText() ([]byte, error) { return marshal(t) }

// UnmarshalText is [ParseTemperature] into t, which an error leaves as it was.
func (t *Temperature) UnmarshalText(text []byte) error {
	v, err := ParseTemperature(string(text))
	if err == nil {
		*t = v
	}
	return err
}

// Value returns t as the text of MarshalText, for database/sql.
func (t Temperature) Value() (driver.Value, error) { return SQLValue(t) }

// Scan reads text with its unit as UnmarshalText does.
func (t *Temperature) Scan(src any) error { return SQLScan(src, t) }

func (Temperature) quantity() *kind { return &temperatureKind }
