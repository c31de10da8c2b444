package cover

import (
	"database/sql/driver"

	"example.org/earthbasin/units"
)

// What has a text form stands in a database as that text: an enumeration as its word,
// never as a number.

// Value returns the text of MarshalText, for database/sql.
func (x MonthDay) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *MonthDay) Scan(src any) error { return units.SQLScan(src, x) }
