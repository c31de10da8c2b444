package geostat

import (
	"database/sql/driver"

	"example.org/earthbasin/units"
)

// What has a text form stands in a database as that text: an enumeration as its word,
// never as a number.

// Value returns the text of MarshalText, for database/sql.
func (x BlockRule) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *BlockRule) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x Estimator) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *Estimator) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x FitStatus) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *FitStatus) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x FitWeights) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *FitWeights) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x LagRule) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *LagRule) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x MSDRVerdict) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *MSDRVerdict) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x RangeAxis) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *RangeAxis) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x RangeKind) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *RangeKind) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x RatioKind) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *RatioKind) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x Shape) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *Shape) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x Weighting) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *Weighting) Scan(src any) error { return units.SQLScan(src, x) }
