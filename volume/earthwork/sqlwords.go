package earthwork

import (
	"database/sql/driver"

	"example.org/earthbasin/units"
)

// What has a text form stands in a database as that text: an enumeration as its word,
// never as a number.

// Value returns the text of MarshalText, for database/sql.
func (x BermLine) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *BermLine) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x CrownShape) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *CrownShape) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x DrainKind) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *DrainKind) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x PlaneLevel) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *PlaneLevel) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x SettlementRule) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *SettlementRule) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x SoilClass) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *SoilClass) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x State) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *State) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x ProctorTest) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *ProctorTest) Scan(src any) error { return units.SQLScan(src, x) }
