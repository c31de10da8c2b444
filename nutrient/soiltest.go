package nutrient

import (
	"fmt"
	"slices"
	"strings"

	"example.org/earthbasin/units"
)

// Extractant is the solution with which a laboratory draws phosphorus or
// potassium out of the soil, and how it reads it; figures of different extractants
// are not comparable. It is one of these, or the word of a state for its own, in
// lower case and up to 60 bytes, such as "double lactate".
type Extractant string

// Extractants.
const (
	BrayP1               Extractant = "bray p1"
	Mehlich3ICP          Extractant = "mehlich 3 icp"          // read by inductively coupled plasma
	Mehlich3Colorimetric Extractant = "mehlich 3 colorimetric" // read by colour
	Olsen                Extractant = "olsen"                  // sodium bicarbonate
	Mehlich1             Extractant = "mehlich 1"
	Mehlich3             Extractant = "mehlich 3"       // where it is not said how it was read
	Morgan               Extractant = "morgan"          // sodium acetate
	ModifiedMorgan       Extractant = "modified morgan" // ammonium acetate of pH 4.8
	Kelowna              Extractant = "kelowna"         // also modified, as the state says
	Lancaster            Extractant = "lancaster"
	Resin                Extractant = "resin"            // anion exchange resin
	AmmoniumAcetate      Extractant = "ammonium acetate" // for potassium
	AmmoniumNitrate      Extractant = "ammonium nitrate" // for potassium
)

var extractants = []Extractant{BrayP1, Mehlich3ICP, Mehlich3Colorimetric, Olsen, Mehlich1, Mehlich3, Morgan, ModifiedMorgan, Kelowna, Lancaster, Resin, AmmoniumAcetate, AmmoniumNitrate}

// UnmarshalText reads a word, in lower case.
func (e *Extractant) UnmarshalText(text []byte) error {
	*e = Extractant(strings.ToLower(string(text)))
	return nil
}

// SoilTestUnit is the unit of a soil test: one of these, or the word of a state for
// its own, such as "index", which its file declares.
type SoilTestUnit string

// Units of a soil test. Figures per litre of soil and per hectare have no factor to
// the others: it depends on the density and the depth of the sample.
const (
	SoilPPM                SoilTestUnit = "ppm"     // mg of the element per kg of soil
	SoilMilligramPerLitre  SoilTestUnit = "mg/L"    // per litre of soil
	SoilKilogramPerHectare SoilTestUnit = "kg/ha"   // of the layer sampled
	SoilPoundPerAcre       SoilTestUnit = "lb/acre" // twice the ppm, see [SoilTest.PPM]
)

var soilTestUnits = []SoilTestUnit{SoilPPM, SoilMilligramPerLitre, SoilKilogramPerHectare, SoilPoundPerAcre}

// UnmarshalText reads a unit, those of the package without regard to case.
func (u *SoilTestUnit) UnmarshalText(text []byte) error {
	*u = known(soilTestUnits, SoilTestUnit(text))
	return nil
}

// known returns the word of list that w is without regard to case, else w.
func known[W ~string](list []W, w W) W {
	if i := slices.IndexFunc(list, func(x W) bool { return strings.EqualFold(string(x), string(w)) }); i >= 0 {
		return list[i]
	}
	return w
}

// oneOf lists the words of a vocabulary, for the want of a fault.
func oneOf[W ~string](lists ...[]W) units.Phrase {
	var words []string
	for _, list := range lists {
		for _, w := range list {
			words = append(words, string(w))
		}
	}
	return units.Words("one of %v", units.Word(strings.Join(words, ", ")))
}

// SoilTest is a soil test of an element, with what its figure means.
type SoilTest struct {
	Value      float64      `json:"value"`      // 0 to 10000, in the unit
	Unit       SoilTestUnit `json:"unit"`       // of the value
	Extractant Extractant   `json:"extractant"` // of the laboratory
}

// perPPM returns how many ppm one of the unit is; ok is false for a unit without a
// factor.
func (u SoilTestUnit) perPPM() (x float64, ok bool) {
	switch u {
	case SoilPPM:
		return 1, true
	case SoilPoundPerAcre:
		return 0.5, true
	}
	return 0, false
}

// PPM returns the value in ppm; ok is false for a test in a unit that has no factor.
// An acre of plough layer is taken as two million pounds, so that lb/acre is twice
// the ppm (Ohio State University, AgBMPs, Understanding Soil Test Reports).
func (t SoilTest) PPM() (ppm float64, ok bool) {
	x, ok := t.Unit.perPPM()
	return t.Value * x, ok
}

// Check returns the faults of t as [units.FieldError]. An extractant that is written
// almost as one of the package is taken for a slip.
func (t SoilTest) Check() error { return t.check(nil) }

// check is Check where a state's file declares extractants of its own.
func (t SoilTest) check(declared []string) error {
	var f units.Faults
	upTo(&f, "value", t.Value, 10000)
	checkUnit(&f, "unit", t.Unit)
	checkWord(&f, "extractant", t.Extractant, "%v, or that of the state", oneOf(extractants))
	if meant, slip := t.Extractant.meant(); slip && !slices.Contains(declared, string(t.Extractant)) {
		f.Fault(units.FaultName, "extractant", string(t.Extractant), "%v, or another word that a state's file declares", units.Word(meant))
	}
	return f.Err()
}

// meant returns the extractant of the package that e is almost spelt as. Those that
// differ in a digit, as mehlich 1 and mehlich 2 do, are different extractants.
func (e Extractant) meant() (_ Extractant, slip bool) {
	digits := func(e Extractant) string {
		return strings.Join(strings.FieldsFunc(string(e), func(r rune) bool { return r < '0' || r > '9' }), "")
	}
	if e == "" || slices.Contains(extractants, e) {
		return "", false
	}
	most := 1 + len(e)/6
	for _, one := range extractants {
		if digits(e) == digits(one) && units.Edits(string(e), string(one), most) <= most {
			return one, true
		}
	}
	return "", false
}

// checkUnit records a fault unless u is a unit of a soil test.
func checkUnit(f *units.Faults, field string, u SoilTestUnit) {
	switch s := string(u); {
	case s == "":
		f.Missing(field, "%v, or that of the state", oneOf(soilTestUnits))
	case len(s) > longestWord || s != strings.TrimSpace(s) || known(soilTestUnits, u) != u:
		f.Add(field, s, "%v, or that of the state", oneOf(soilTestUnits))
	}
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
// zero; other pairs, and a test in a unit that has no factor to ppm, are a
// [units.FieldError].
func (t SoilTest) As(e Extractant) (SoilTest, error) {
	var f units.Faults
	f.Sub("", t.Check())
	ppm, ok := t.PPM()
	if f.Err() == nil && !ok {
		want(&f, "unit", string(t.Unit), oneOf([]SoilTestUnit{SoilPPM, SoilPoundPerAcre}))
	}
	out := SoilTest{Value: ppm, Unit: SoilPPM, Extractant: e}
	switch {
	case f.Err() != nil || e == t.Extractant:
	case t.Extractant == Mehlich3ICP && e == BrayP1:
		out.Value = max(0, brayOfMehlichA+brayOfMehlichB*ppm)
	case t.Extractant == BrayP1 && e == Mehlich3ICP:
		out.Value = (ppm - brayOfMehlichA) / brayOfMehlichB
	default:
		f.Add("extractant", string(t.Extractant), "a test by %v: no conversion from the other is known", e)
	}
	if err := f.Err(); err != nil {
		return SoilTest{}, err
	}
	return out, nil
}
