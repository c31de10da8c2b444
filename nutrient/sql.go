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
