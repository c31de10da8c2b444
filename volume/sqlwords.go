package volume

import (
	"database/sql/driver"

	"example.org/earthbasin/units"
)

// What has a text form stands in a database as that text: an enumeration as its word,
// never as a number.

// Value returns the text of MarshalText, for database/sql.
func (x LinerMethod) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *LinerMethod) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x Method) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *Method) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x Reference) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *Reference) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x ShoreRule) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *ShoreRule) Scan(src any) error { return units.SQLScan(src, x) }
