package nutrient

import (
	"database/sql/driver"

	"example.org/earthbasin/units"
)

// What has a text form stands in a database as that text: amounts, contents, rates and
// prices with their unit, enumerations as their word and never as a number. What was not
// given has no text: it goes in and comes out as NULL through a pointer or an sql.Null,
// as for the types of package units. Kinds of limits, extractants, units of yields and of
// soil tests are text anyhow.

// Value returns the text of a.
func (a Amount) Value() (driver.Value, error) { return units.SQLValue(a) }

// Scan reads what Value returns.
func (a *Amount) Scan(src any) error { return units.SQLScan(src, a) }

// Value returns the text of c.
func (c Content) Value() (driver.Value, error) { return units.SQLValue(c) }

// Scan reads what Value returns.
func (c *Content) Scan(src any) error { return units.SQLScan(src, c) }

// Value returns the text of r.
func (r Rate) Value() (driver.Value, error) { return units.SQLValue(r) }

// Scan reads what Value returns.
func (r *Rate) Scan(src any) error { return units.SQLScan(src, r) }

// Value returns the text of p.
func (p UnitPrice) Value() (driver.Value, error) { return units.SQLValue(p) }

// Scan reads what Value returns.
func (p *UnitPrice) Scan(src any) error { return units.SQLScan(src, p) }

// Value returns the word of f.
func (f Form) Value() (driver.Value, error) { return units.SQLValue(f) }

// Scan reads what Value returns.
func (f *Form) Scan(src any) error { return units.SQLScan(src, f) }

// Value returns the word of e.
func (e Element) Value() (driver.Value, error) { return units.SQLValue(e) }

// Scan reads what Value returns.
func (e *Element) Scan(src any) error { return units.SQLScan(src, e) }

// Value returns the word of p.
func (p Pool) Value() (driver.Value, error) { return units.SQLValue(p) }

// Scan reads what Value returns.
func (p *Pool) Scan(src any) error { return units.SQLScan(src, p) }

// Value returns the word of b.
func (b Basis) Value() (driver.Value, error) { return units.SQLValue(b) }

// Scan reads what Value returns.
func (b *Basis) Scan(src any) error { return units.SQLScan(src, b) }

// Value returns the word of b.
func (b PBasis) Value() (driver.Value, error) { return units.SQLValue(b) }

// Scan reads what Value returns.
func (b *PBasis) Scan(src any) error { return units.SQLScan(src, b) }

// Value returns the word of c.
func (c NColumn) Value() (driver.Value, error) { return units.SQLValue(c) }

// Scan reads what Value returns.
func (c *NColumn) Scan(src any) error { return units.SQLScan(src, c) }

// Value returns the word of t.
func (t Texture) Value() (driver.Value, error) { return units.SQLValue(t) }

// Scan reads what Value returns.
func (t *Texture) Scan(src any) error { return units.SQLScan(src, t) }

// Value returns the word of i.
func (i Intake) Value() (driver.Value, error) { return units.SQLValue(i) }

// Scan reads what Value returns.
func (i *Intake) Scan(src any) error { return units.SQLScan(src, i) }

// Value returns the word of a.
func (a AnnualLimits) Value() (driver.Value, error) { return units.SQLValue(a) }

// Scan reads what Value returns.
func (a *AnnualLimits) Scan(src any) error { return units.SQLScan(src, a) }

// Value returns the word of b.
func (b ReportBasis) Value() (driver.Value, error) { return units.SQLValue(b) }

// Scan reads what Value returns.
func (b *ReportBasis) Scan(src any) error { return units.SQLScan(src, b) }

// Value returns the word of r.
func (r Restriction) Value() (driver.Value, error) { return units.SQLValue(r) }

// Scan reads what Value returns.
func (r *Restriction) Scan(src any) error { return units.SQLScan(src, r) }

// Value returns the word.
func (a As) Value() (driver.Value, error) { return units.SQLValue(a) }

// Scan reads what Value returns.
func (a *As) Scan(src any) error { return units.SQLScan(src, a) }

// Value returns the word.
func (b Between) Value() (driver.Value, error) { return units.SQLValue(b) }

// Scan reads what Value returns.
func (b *Between) Scan(src any) error { return units.SQLScan(src, b) }

// Value returns the word of u.
func (u Unfit) Value() (driver.Value, error) { return units.SQLValue(u) }

// Scan reads what Value returns.
func (u *Unfit) Scan(src any) error { return units.SQLScan(src, u) }
