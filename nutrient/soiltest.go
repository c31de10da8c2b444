package nutrient

import (
	"fmt"
	"math"

	"example.org/earthbasin/units"
)

// Extractant is the solution with which a laboratory draws phosphorus or
// potassium out of the soil; figures of different extractants are not
// comparable. The zero value is none and is refused.
type Extractant int

// Extractants.
const (
	BrayP1               Extractant = 1 + iota
	Mehlich3ICP                     // Mehlich 3, read by inductively coupled plasma
	Mehlich3Colorimetric            // Mehlich 3, read by colour
	Olsen                           // sodium bicarbonate
	Mehlich1
	AmmoniumAcetate // for potassium
)

var extractantNames = units.Names{"", "bray p1", "mehlich 3 icp", "mehlich 3 colorimetric", "olsen", "mehlich 1", "ammonium acetate"}

// String returns the name that MarshalText writes.
func (e Extractant) String() string { return extractantNames.String(int(e)) }

// MarshalText writes the name.
func (e Extractant) MarshalText() ([]byte, error) { return extractantNames.Marshal(int(e)) }

// UnmarshalText reads a name; the error lists the names.
func (e *Extractant) UnmarshalText(text []byte) error {
	return units.UnmarshalName(extractantNames, text, e)
}

// SoilTestUnit is the unit of a soil test. The zero value is none and is refused.
type SoilTestUnit int

const (
	// SoilPPM is mg of the element per kg of soil.
	SoilPPM SoilTestUnit = 1 + iota
	// SoilPoundPerAcre is twice the ppm: an acre of plough layer is taken as
	// two million pounds (Ohio State University, AgBMPs, Understanding Soil Test
	// Reports).
	SoilPoundPerAcre
)

var soilTestUnitNames = units.Names{"", "ppm", "lb/acre"}

// String returns the name that MarshalText writes.
func (u SoilTestUnit) String() string { return soilTestUnitNames.String(int(u)) }

// MarshalText writes the name.
func (u SoilTestUnit) MarshalText() ([]byte, error) { return soilTestUnitNames.Marshal(int(u)) }

// UnmarshalText reads a name; the error lists the names.
func (u *SoilTestUnit) UnmarshalText(text []byte) error {
	return units.UnmarshalName(soilTestUnitNames, text, u)
}

// SoilTest is a soil test of an element, with what its figure means.
type SoilTest struct {
	Value      float64      `json:"value"` // 0 to 10000
	Unit       SoilTestUnit `json:"unit,omitzero"`
	Extractant Extractant   `json:"extractant,omitzero"`
}

// PPM returns the value in ppm. The test must be checked.
func (t SoilTest) PPM() float64 { return t.Value * t.Unit.ppm() }

func (u SoilTestUnit) ppm() float64 {
	if u == SoilPoundPerAcre {
		return 0.5
	}
	return 1
}

// Check returns the faults of t as [units.FieldError].
func (t SoilTest) Check() error {
	var f units.Faults
	f.NumberBetween("value", t.Value, 0, 10000)
	if !soilTestUnitNames.Has(int(t.Unit)) {
		f.Missing("unit", soilTestUnitNames.Want())
	}
	if !extractantNames.Has(int(t.Extractant)) {
		f.Missing("extractant", extractantNames.Want())
	}
	return f.Err()
}

// String returns the test with its unit and extractant.
func (t SoilTest) String() string { return fmt.Sprintf("%.4g %v %v", t.Value, t.Unit, t.Extractant) }

// The line Bray P1 = a + b Mehlich 3 ICP, in ppm, for soils of Ohio: Ohio State
// University, AgBMPs, Understanding Soil Test Reports, Phosphorus Values.
const (
	brayOfMehlichA = -8.08
	brayOfMehlichB = 0.832
)

// As returns t as the extractant e would read it, in ppm. The one relation with
// a source is that between Mehlich 3 ICP and Bray P1 for Ohio soils,
//
//	Bray P1 = -8.08 + 0.832 Mehlich 3 ICP
//
// (Ohio State University, AgBMPs, Understanding Soil Test Reports), not below
// zero; other pairs are a [units.FieldError].
func (t SoilTest) As(e Extractant) (SoilTest, error) {
	if err := t.Check(); err != nil {
		return SoilTest{}, err
	}
	out := SoilTest{Value: t.PPM(), Unit: SoilPPM, Extractant: e}
	switch {
	case e == t.Extractant:
	case t.Extractant == Mehlich3ICP && e == BrayP1:
		out.Value = math.Max(0, brayOfMehlichA+brayOfMehlichB*out.Value)
	case t.Extractant == BrayP1 && e == Mehlich3ICP:
		out.Value = (out.Value - brayOfMehlichA) / brayOfMehlichB
	default:
		return SoilTest{}, units.Fault(units.FaultRange, "extractant", units.Word(t.Extractant.String()), "a test by %v: no conversion from the other is known", e)
	}
	return out, nil
}
