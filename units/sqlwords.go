package units

import "database/sql/driver"

// What has a text form stands in a database as that text: an enumeration as its word,
// never as a number.

// Value returns the text of MarshalText, for database/sql.
func (x Oxides) Value() (driver.Value, error) { return SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *Oxides) Scan(src any) error { return SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x System) Value() (driver.Value, error) { return SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *System) Scan(src any) error { return SQLScan(src, x) }
