package stage

import (
	"strings"
	"time"

	"example.org/earthbasin/units"
)

// Date is a day of the calendar at midnight UTC, written 2026-06-01. The zero value is
// no day.
type Date time.Time

// DateOf is the day of a time in its own time zone.
func DateOf(t time.Time) Date {
	y, m, d := t.Date()
	return Date(time.Date(y, m, d, 0, 0, 0, 0, time.UTC))
}

// DayOf is a day by its year, month and day of the month.
func DayOf(year int, month time.Month, day int) Date {
	return Date(time.Date(year, month, day, 0, 0, 0, 0, time.UTC))
}

// IsZero reports whether d is no day.
func (d Date) IsZero() bool { return time.Time(d).IsZero() }

// Plus is the day n days after d, or before it where n is negative.
func (d Date) Plus(n int) Date { return Date(time.Time(d).AddDate(0, 0, n)) }

// Until is the number of days from d to e, negative where e is before d.
func (d Date) Until(e Date) int { return int(e.number() - d.number()) }

// number counts days from 1 January 1970.
func (d Date) number() int64 { return time.Time(d).Unix() / 86400 }

// Before reports whether d is before e.
func (d Date) Before(e Date) bool { return time.Time(d).Before(time.Time(e)) }

// String returns the day as 2026-06-01.
func (d Date) String() string { return time.Time(d).Format(time.DateOnly) }

// UnitsValue is the day as a value that a [units.Style] shows.
func (d Date) UnitsValue() any { return time.Time(d) }

// Check records a fault unless d is a day of the years 1900 to 2200.
func (d Date) Check(f *units.Faults, field string) {
	switch y := time.Time(d).Year(); {
	case d.IsZero():
		f.Missing(field, "a day such as 2026-06-01")
	case y < 1900 || y > 2200:
		f.Fault(units.FaultRange, field, units.Word(d.String()), "a day of the years 1900 to 2200")
	}
}

// MarshalText writes the day.
func (d Date) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads the day.
func (d *Date) UnmarshalText(text []byte) error {
	t, err := time.Parse(time.DateOnly, string(text))
	if err != nil {
		return units.Fault(units.FaultMalformed, "", string(text), "a day such as 2026-06-01")
	}
	*d = Date(t)
	return nil
}

// Weekday is a day of the week by its English name.
type Weekday time.Weekday

// String returns the name.
func (d Weekday) String() string { return time.Weekday(d).String() }

// MarshalText writes the name.
func (d Weekday) MarshalText() ([]byte, error) {
	if d < Weekday(time.Sunday) || d > Weekday(time.Saturday) {
		return nil, units.Fault(units.FaultName, "", units.Word(d.String()), "a day of the week such as %s", time.Sunday)
	}
	return []byte(d.String()), nil
}

// UnmarshalText reads the name.
func (d *Weekday) UnmarshalText(text []byte) error {
	for day := time.Sunday; day <= time.Saturday; day++ {
		if strings.EqualFold(day.String(), string(text)) {
			*d = Weekday(day)
			return nil
		}
	}
	return units.Fault(units.FaultMalformed, "", string(text), "a day of the week such as %s", time.Sunday)
}
