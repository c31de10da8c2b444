package nutrient

import (
	"database/sql/driver"
	"encoding"

	"example.org/earthbasin/units"
)

// Value and Scan store what has a text form in a database as that text: amounts,
// contents, rates and prices with their unit, enumerations as their word and never
// as a number. What was not given is NULL. Kinds of limits, extractants, units of
// yields and of soil tests are text anyhow.

// sqlValue returns the text of v, nil for the zero value of a type that has none.
func sqlValue(v encoding.TextMarshaler, given bool) (driver.Value, error) {
	if !given {
		return nil, nil
	}
	text, err := v.MarshalText()
	return string(text), err
}

// sqlScan reads a text into v, and NULL as the zero value.
func sqlScan[T any, P interface {
	*T
	encoding.TextUnmarshaler
}](v P, src any) error {
	switch src := src.(type) {
	case nil:
		var zero T
		*v = zero
		return nil
	case string:
		return v.UnmarshalText([]byte(src))
	case []byte:
		return v.UnmarshalText(src)
	}
	return units.Fault(units.FaultMalformed, "", units.Words("%T", src), "text")
}

// Value returns the text of a, NULL for none.
func (a Amount) Value() (driver.Value, error) { return sqlValue(a, !a.IsZero()) }

// Scan reads what Value returns.
func (a *Amount) Scan(src any) error { return sqlScan(a, src) }

// Value returns the text of c, NULL for none.
func (c Content) Value() (driver.Value, error) { return sqlValue(c, !c.IsZero()) }

// Scan reads what Value returns.
func (c *Content) Scan(src any) error { return sqlScan(c, src) }

// Value returns the text of r, NULL for none.
func (r Rate) Value() (driver.Value, error) { return sqlValue(r, !r.IsZero()) }

// Scan reads what Value returns.
func (r *Rate) Scan(src any) error { return sqlScan(r, src) }

// Value returns the text of p, NULL for none.
func (p UnitPrice) Value() (driver.Value, error) { return sqlValue(p, !p.IsZero()) }

// Scan reads what Value returns.
func (p *UnitPrice) Scan(src any) error { return sqlScan(p, src) }

// Value returns the text of i, NULL for none.
func (i Incorporation) Value() (driver.Value, error) { return sqlValue(i, i.given) }

// Scan reads what Value returns.
func (i *Incorporation) Scan(src any) error { return sqlScan(i, src) }

// Value returns the word of f, NULL for none.
func (f Form) Value() (driver.Value, error) { return sqlValue(f, f != 0) }

// Scan reads what Value returns.
func (f *Form) Scan(src any) error { return sqlScan(f, src) }

// Value returns the word of e, NULL for none.
func (e Element) Value() (driver.Value, error) { return sqlValue(e, e != 0) }

// Scan reads what Value returns.
func (e *Element) Scan(src any) error { return sqlScan(e, src) }

// Value returns the word of p, NULL for none.
func (p Pool) Value() (driver.Value, error) { return sqlValue(p, p != 0) }

// Scan reads what Value returns.
func (p *Pool) Scan(src any) error { return sqlScan(p, src) }

// Value returns the word of b, NULL for none.
func (b Basis) Value() (driver.Value, error) { return sqlValue(b, b != 0) }

// Scan reads what Value returns.
func (b *Basis) Scan(src any) error { return sqlScan(b, src) }

// Value returns the word of b, NULL for none.
func (b PBasis) Value() (driver.Value, error) { return sqlValue(b, b != 0) }

// Scan reads what Value returns.
func (b *PBasis) Scan(src any) error { return sqlScan(b, src) }

// Value returns the word of c, NULL for none.
func (c NColumn) Value() (driver.Value, error) { return sqlValue(c, c != 0) }

// Scan reads what Value returns.
func (c *NColumn) Scan(src any) error { return sqlScan(c, src) }

// Value returns the word of t, NULL for none.
func (t Texture) Value() (driver.Value, error) { return sqlValue(t, t != 0) }

// Scan reads what Value returns.
func (t *Texture) Scan(src any) error { return sqlScan(t, src) }

// Value returns the word of i, NULL for none.
func (i Intake) Value() (driver.Value, error) { return sqlValue(i, i != 0) }

// Scan reads what Value returns.
func (i *Intake) Scan(src any) error { return sqlScan(i, src) }

// Value returns the word of a, NULL for none.
func (a AnnualLimits) Value() (driver.Value, error) { return sqlValue(a, a != 0) }

// Scan reads what Value returns.
func (a *AnnualLimits) Scan(src any) error { return sqlScan(a, src) }

// Value returns the word of b.
func (b ReportBasis) Value() (driver.Value, error) { return sqlValue(b, true) }

// Scan reads what Value returns.
func (b *ReportBasis) Scan(src any) error { return sqlScan(b, src) }

// Value returns the word of r.
func (r Restriction) Value() (driver.Value, error) { return sqlValue(r, true) }

// Scan reads what Value returns.
func (r *Restriction) Scan(src any) error { return sqlScan(r, src) }

// Value returns the word.
func (a As) Value() (driver.Value, error) { return sqlValue(a, true) }

// Scan reads a word; NULL is value.
func (a *As) Scan(src any) error { return sqlScan(a, src) }

// Value returns the word.
func (b Between) Value() (driver.Value, error) { return sqlValue(b, true) }

// Scan reads a word; NULL is refuse.
func (b *Between) Scan(src any) error { return sqlScan(b, src) }

// Value returns the word of u.
func (u Unfit) Value() (driver.Value, error) { return sqlValue(u, true) }

// Scan reads what Value returns.
func (u *Unfit) Scan(src any) error { return sqlScan(u, src) }
