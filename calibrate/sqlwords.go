package calibrate

import (
	"database/sql/driver"

	"example.org/earthbasin/units"
)

// What has a text form stands in a database as that text: an enumeration as its word,
// never as a number.

// Value returns the text of MarshalText, for database/sql.
func (x AcceptRule) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *AcceptRule) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x Decision) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *Decision) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x Drive) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *Drive) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x GaugeWeighting) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *GaugeWeighting) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x Hold) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *Hold) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x LowQuarterRule) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *LowQuarterRule) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x NeededRule) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *NeededRule) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x RateMethod) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *RateMethod) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x SpreadRule) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *SpreadRule) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x System) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *System) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x WidthRule) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *WidthRule) Scan(src any) error { return units.SQLScan(src, x) }
