package nutrient

import (
	"errors"
	"math"
	"strconv"

	"example.org/earthbasin/units"
)

// Form says whether a material is measured by volume or by weight. The zero
// value is no form and is refused.
type Form = units.Enum[formWords]

const (
	// Liquid, "liquid", is measured by volume: gal, lb/1000 gal, gal/acre.
	Liquid Form = iota + 1
	// Solid, "solid", is measured by weight: ton, lb/ton, ton/acre.
	Solid
)

var formNames = units.Names{"", "liquid", "solid"}

type formWords struct{}

func (formWords) Names() units.Names { return formNames }

// measure is a number of SI units in a form: m3 or kg, kg/m3 or kg/kg, m3/m2 or
// kg/m2. Products of measures of one form need no look at the form.
type measure struct {
	form  Form
	value float64
}

// Form returns how the material is measured; 0 for the zero value.
func (m measure) Form() Form { return m.form }

// SI returns the number in SI units of the form.
func (m measure) SI() float64 { return m.value }

// IsZero reports whether nothing was set: no form and no value.
func (m measure) IsZero() bool { return m == measure{} }

// Amount is how much material there is: a volume when liquid, a mass when solid.
// Its text is one or the other, "120,000 gal" or "40 ton".
type Amount struct{ measure }

// LiquidAmount returns the amount of a material measured by volume.
func LiquidAmount(v units.Volume) Amount { return Amount{measure{Liquid, float64(v)}} }

// SolidAmount returns the amount of a material measured by weight.
func SolidAmount(m units.Mass) Amount { return Amount{measure{Solid, float64(m)}} }

// Volume returns the volume of a liquid; ok is false for any other form.
func (a Amount) Volume() (v units.Volume, ok bool) { return units.Volume(a.value), a.form == Liquid }

// Mass returns the mass of a solid; ok is false for any other form.
func (a Amount) Mass() (m units.Mass, ok bool) { return units.Mass(a.value), a.form == Solid }

// Check returns the faults of a as the amount of a material of the given form,
// each a [units.FieldError]: none given, another form, below 0, and what no job
// reaches.
func (a Amount) Check(form Form) error { return a.check(form, true, amountOf) }

// Over returns the area that a covers at the rate r. Different forms, a rate that
// is not above zero and an amount below it are a [units.FieldError] on the fields
// rate and amount.
func (a Amount) Over(r Rate) (units.Area, error) {
	var f units.Faults
	f.Sub("amount", a.Check(a.form))
	f.Sub("rate", r.check(a.form, false, rateOf))
	if err := f.Err(); err != nil {
		return 0, err
	}
	return units.Area(a.value / r.value), nil
}

// As returns a in the other form, by the density d of the material as it lies.
func (a Amount) As(f Form, d units.Density) (Amount, error) {
	m, err := a.as(f, d, 1)
	return Amount{m}, err
}

// String returns a in its trade unit.
func (a Amount) String() string { return a.trade(a.quantity()) }

// UnitsValue returns the volume or the mass as a value that a [units.Style] shows.
func (a Amount) UnitsValue() any { return a.asValue(a.quantity()) }

// MarshalText writes the SI text that reads back to the same bits.
func (a Amount) MarshalText() ([]byte, error) { return a.marshal(a.quantity()) }

// UnmarshalText reads a volume or a mass with its unit.
func (a *Amount) UnmarshalText(text []byte) error {
	return parseEither(&a.measure, string(text), units.ParseVolume, units.ParseMass)
}

func (a Amount) quantity() units.Quantity {
	if a.form == Liquid {
		return units.Volume(a.value)
	}
	return units.Mass(a.value)
}

// Content is how much of a constituent a material holds: mass per volume when
// liquid, mass per mass when solid. Its text is one or the other, "31 lb/1000
// gal" or "12 lb/ton".
type Content struct{ measure }

// LiquidContent returns a content per volume.
func LiquidContent(c units.Concentration) Content { return Content{measure{Liquid, float64(c)}} }

// SolidContent returns a content per mass.
func SolidContent(x units.MassFraction) Content { return Content{measure{Solid, float64(x)}} }

// Concentration returns the content of a liquid; ok is false for any other form.
func (c Content) Concentration() (q units.Concentration, ok bool) {
	return units.Concentration(c.value), c.form == Liquid
}

// MassFraction returns the content of a solid; ok is false for any other form.
func (c Content) MassFraction() (x units.MassFraction, ok bool) {
	return units.MassFraction(c.value), c.form == Solid
}

// Check returns the faults of c as a content of a material of the given form,
// each a [units.FieldError]: none given, another form, below 0, more than the
// whole of a solid or 1 kg in a litre of a liquid, and less than can be measured.
func (c Content) Check(form Form) error { return c.check(form, true, contentOf) }

// Scale returns k times c, such as the part of it that is available. A k below 0
// or above 1e6 and a product above the whole are a [units.FieldError].
func (c Content) Scale(k float64) (Content, error) {
	m, err := c.scaled(k, contentOf)
	return Content{m}, err
}

func (c Content) times(k float64) Content { return Content{measure{c.form, c.value * k}} }

// Times returns the mass of the constituent in a. Different forms and what
// [Content.Check] and [Amount.Check] refuse are a [units.FieldError] on the fields
// content and amount.
func (c Content) Times(a Amount) (units.Mass, error) {
	var f units.Faults
	f.Sub("content", c.Check(c.form))
	f.Sub("amount", a.Check(c.form))
	return units.Mass(c.value * a.value), f.Err()
}

// As returns c in the other form, by the density d of the material as it lies.
func (c Content) As(f Form, d units.Density) (Content, error) {
	m, err := c.as(f, d, -1)
	return Content{m}, err
}

// String returns c in its trade unit.
func (c Content) String() string { return c.trade(c.quantity()) }

// UnitsValue returns the concentration or the mass fraction as a value that a
// [units.Style] shows.
func (c Content) UnitsValue() any { return c.asValue(c.quantity()) }

// MarshalText writes the SI text that reads back to the same bits.
func (c Content) MarshalText() ([]byte, error) { return c.marshal(c.quantity()) }

// UnmarshalText reads a concentration or a mass fraction with its unit.
func (c *Content) UnmarshalText(text []byte) error {
	return parseEither(&c.measure, string(text), units.ParseConcentration, units.ParseMassFraction)
}

func (c Content) quantity() units.Quantity {
	if c.form == Liquid {
		return units.Concentration(c.value)
	}
	return units.MassFraction(c.value)
}

// Rate is how much material goes on an area: a volume per area when liquid, a
// mass per area when solid. Its text is one or the other, "8,000 gal/ac" or "12
// ton/ac".
type Rate struct{ measure }

// LiquidRate returns the rate of a material measured by volume.
func LiquidRate(r units.VolumePerArea) Rate { return Rate{measure{Liquid, float64(r)}} }

// SolidRate returns the rate of a material measured by weight.
func SolidRate(r units.MassPerArea) Rate { return Rate{measure{Solid, float64(r)}} }

// RateFor returns the rate that puts down load of a constituent of which the
// material holds c. A content that is not above zero and a load below it are a
// [units.FieldError] on the fields content and load.
func RateFor(load units.MassPerArea, c Content) (Rate, error) {
	var f units.Faults
	notNegative(&f, "load", load)
	f.Sub("content", c.check(c.form, false, contentOf))
	if err := f.Err(); err != nil {
		return Rate{}, err
	}
	return Rate{measure{c.form, float64(load)/c.value + 0}}, nil
}

// VolumePerArea returns the rate of a liquid; ok is false for any other form.
func (r Rate) VolumePerArea() (q units.VolumePerArea, ok bool) {
	return units.VolumePerArea(r.value), r.form == Liquid
}

// MassPerArea returns the rate of a solid; ok is false for any other form.
func (r Rate) MassPerArea() (q units.MassPerArea, ok bool) {
	return units.MassPerArea(r.value), r.form == Solid
}

// Check returns the faults of r as a rate of a material of the given form, each a
// [units.FieldError]: none given, another form, below 0, and what no job reaches.
func (r Rate) Check(form Form) error { return r.check(form, true, rateOf) }

// Scale returns k times r. A k below 0 or above 1e6 and a product that no job
// reaches are a [units.FieldError].
func (r Rate) Scale(k float64) (Rate, error) {
	m, err := r.scaled(k, rateOf)
	return Rate{m}, err
}

// Carrying returns the rate of a constituent of which the material holds c.
// Different forms and what [Rate.Check] and [Content.Check] refuse are a
// [units.FieldError] on the fields rate and content.
func (r Rate) Carrying(c Content) (units.MassPerArea, error) {
	var f units.Faults
	f.Sub("rate", r.Check(r.form))
	f.Sub("content", c.Check(r.form))
	return units.MassPerArea(r.value * c.value), f.Err()
}

// Times returns the amount that r puts on a. What [Rate.Check] refuses and an area
// below 0 are a [units.FieldError] on the fields rate and area.
func (r Rate) Times(a units.Area) (Amount, error) {
	var f units.Faults
	f.Sub("rate", r.Check(r.form))
	notNegative(&f, "area", a)
	return Amount{measure{r.form, r.value * float64(a)}}, f.Err()
}

// As returns r in the other form, by the density d of the material as it lies.
func (r Rate) As(f Form, d units.Density) (Rate, error) {
	m, err := r.as(f, d, 1)
	return Rate{m}, err
}

// String returns r in its trade unit.
func (r Rate) String() string { return r.trade(r.quantity()) }

// UnitsValue returns the volume or mass per area as a value that a [units.Style]
// shows.
func (r Rate) UnitsValue() any { return r.asValue(r.quantity()) }

// MarshalText writes the SI text that reads back to the same bits.
func (r Rate) MarshalText() ([]byte, error) { return r.marshal(r.quantity()) }

// UnmarshalText reads a volume per area or a mass per area with its unit.
func (r *Rate) UnmarshalText(text []byte) error {
	return parseEither(&r.measure, string(text), units.ParseVolumePerArea, units.ParseMassPerArea)
}

func (r Rate) quantity() units.Quantity {
	if r.form == Liquid {
		return units.VolumePerArea(r.value)
	}
	return units.MassPerArea(r.value)
}

// asValue is the value of m that a units.Style shows.
func (m measure) asValue(q units.Quantity) any {
	if m.form == 0 {
		return units.Word("nothing")
	}
	return q
}

func (m measure) trade(q units.Quantity) string {
	if m.form == 0 {
		return "nothing"
	}
	return q.Trade()
}

func (m measure) marshal(q units.Quantity) ([]byte, error) {
	if _, err := m.form.MarshalText(); err != nil {
		return nil, err
	}
	return q.(interface{ MarshalText() ([]byte, error) }).MarshalText()
}

// scaled returns k times m.
func (m measure) scaled(k float64, of *measured) (measure, error) {
	var f units.Faults
	upTo(&f, "k", k, 1e6)
	x := measure{m.form, m.value * k}
	if f.Err() == nil {
		f.Sub("", x.check(m.form, true, of))
	}
	return x, f.Err()
}

// as changes the form; power is 1 where mass is volume times density, and -1
// where it is the other way round.
func (m measure) as(f Form, d units.Density, power float64) (measure, error) {
	var faults units.Faults
	if !formNames.Has(int(m.form)) {
		faults.Missing("", "a liquid or a solid")
	}
	if !(math.Abs(m.value) <= 1e15) {
		faults.Say("", strconv.FormatFloat(m.value, 'g', -1, 64), "a number that a job reaches")
	}
	if !formNames.Has(int(f)) {
		faults.Add("form", f, formNames.Want())
	}
	if f != m.form {
		faults.Between("density", d, lightest, heaviest)
	}
	if err := faults.Err(); err != nil || f == m.form {
		return m, err
	}
	if f == Liquid {
		power = -power
	}
	return measure{f, m.value * math.Pow(float64(d), power)}, nil
}

// parseEither reads the liquid quantity, else the solid one.
func parseEither[L, S ~float64](m *measure, s string, liquid func(string) (L, error), solid func(string) (S, error)) error {
	l, err := liquid(s)
	if err == nil {
		*m = measure{Liquid, float64(l)}
		return nil
	}
	x, err2 := solid(s)
	if err2 == nil {
		*m = measure{Solid, float64(x)}
		return nil
	}
	kind := units.FaultMalformed
	for _, f := range units.FieldErrors(errors.Join(err, err2)) {
		if f.Kind == units.FaultUnit { // a number, and what fails is its unit
			kind = units.FaultUnit
		}
	}
	return units.Fault(kind, "", s, "for a liquid %v; for a solid %v", wantOf(err), wantOf(err2))
}

func wantOf(err error) units.Phrase {
	if list := units.FieldErrors(err); len(list) > 0 {
		return list[0].Want
	}
	return units.Words(err.Error())
}
