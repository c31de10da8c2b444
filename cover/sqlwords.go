package cover

import (
	"database/sql/driver"

	"example.org/earthbasin/units"
)

// What has a text form stands in a database as that text: an enumeration as its word,
// never as a number.

// Value returns the text of MarshalText, for database/sql.
func (x Anchoring) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *Anchoring) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x BareColumn) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *BareColumn) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x Bloom) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *Bloom) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x Canopy) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *Canopy) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x FactorUnits) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *FactorUnits) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x FertilizerRule) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *FertilizerRule) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x GroundCover) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *GroundCover) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x LSVersion) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *LSVersion) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x LSExponents) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *LSExponents) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x LifeForm) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *LifeForm) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x LimeBasis) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *LimeBasis) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x LimeMethod) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *LimeMethod) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x Measure) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *Measure) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x MixBasis) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *MixBasis) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x MonthDay) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *MonthDay) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x Nativity) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *Nativity) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x PartialAcres) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *PartialAcres) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x RillRatio) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *RillRatio) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x Season) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *Season) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x SeedingMethod) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *SeedingMethod) Scan(src any) error { return units.SQLScan(src, x) }

// Value returns the text of MarshalText, for database/sql.
func (x Verdict) Value() (driver.Value, error) { return units.SQLValue(x) }

// Scan reads the text as UnmarshalText does.
func (x *Verdict) Scan(src any) error { return units.SQLScan(src, x) }
