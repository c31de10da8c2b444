package nutrient

import (
	"errors"
	"fmt"
	"maps"
	"regexp"
	"strconv"
	"strings"

	"example.org/earthbasin/units"
)

// YieldUnit is what a yield is counted in: one of these, or the word of a state for
// its own, such as "bale".
type YieldUnit string

// Units of a yield.
const (
	YieldBushel       YieldUnit = "bu"     // the trade bushel, a weight that depends on the crop
	YieldTon          YieldUnit = "ton"    // 2000 lb
	YieldTonne        YieldUnit = "t"      // 1000 kg
	YieldHundredPound YieldUnit = "100 lb" // 100 lb
)

var yieldUnits = []YieldUnit{YieldBushel, YieldTon, YieldTonne, YieldHundredPound}

// UnmarshalText reads a unit, those of the package without regard to case.
func (u *YieldUnit) UnmarshalText(text []byte) error {
	*u = known(yieldUnits, YieldUnit(text))
	return nil
}

// mass returns the weight of one of the unit; ok is false for a unit without one of
// its own.
func (u YieldUnit) mass() (m units.Mass, ok bool) {
	switch u {
	case YieldTon:
		return units.Ton, true
	case YieldTonne:
		return units.Tonne, true
	case YieldHundredPound:
		return 100 * units.Pound, true
	}
	return 0, false
}

// Yield is how much of a crop is taken off an acre or a hectare, counted in the unit
// of a crop table.
type Yield struct {
	PerAcre    float64   `json:"perAcre,omitzero"`    // units per acre, 0 to 1,000,000
	PerHectare float64   `json:"perHectare,omitzero"` // units per hectare instead, 0 to 1,000,000
	Unit       YieldUnit `json:"unit"`                // what is counted
}

// Tons returns the yield of a mass per area, counted in tons.
func Tons(r units.MassPerArea) Yield { return Yield{PerAcre: r.In(units.TonPerAcre), Unit: YieldTon} }

// perAcre returns the units per acre, however they are given.
func (y Yield) perAcre() float64 {
	return y.PerAcre + y.PerHectare*float64(units.Acre/units.Hectare)
}

// Mass returns the yield as a mass per area; bushel is the weight of one bushel of
// the crop, or of one of a table's own unit, 1 to 1000 lb, and is needed for these
// only. Wrong values are a [units.FieldError].
func (y Yield) Mass(bushel units.Mass) (units.MassPerArea, error) {
	var f units.Faults
	y.check(&f)
	m, ok := y.Unit.mass()
	if !ok {
		m = bushel
		f.Between("bushel", bushel, units.Pound, 1000*units.Pound)
	}
	if f.Err() != nil {
		return 0, f.Err()
	}
	return units.Mass(y.perAcre() * float64(m)).Over(units.Acre), nil
}

var yieldText = regexp.MustCompile(`^(-?)([0-9.,]+(?:[eE][-+]?[0-9]+)?) ?(.+)/ ?(acre|ac|ha)$`)

// leastYield and maxYield are far less and far more of any unit than a crop has on an
// acre or a hectare.
const (
	leastYield = 1e-9
	maxYield   = 1e6
)

// ParseYield reads a yield as people write it: 150 bu/acre, 8 t/ha. Anything else is a
// [units.FieldError].
func ParseYield(text string) (Yield, error) {
	var y Yield
	m := yieldText.FindStringSubmatch(strings.TrimSpace(text))
	ok := m != nil
	var x float64
	if ok {
		mantissa, _, _ := strings.Cut(strings.ToLower(m[2]), "e")
		var err error
		x, err = strconv.ParseFloat(strings.ReplaceAll(m[2], ",", ""), 64)
		ok = grouped(mantissa) && (err == nil || errors.Is(err, strconv.ErrRange))
	}
	switch {
	case !ok:
		return Yield{}, units.Fault(units.FaultMalformed, "", text, "a yield, such as 150 bu/acre or 8 t/ha")
	case x > maxYield || x != 0 && (x < leastYield || m[1] != ""):
		return Yield{}, units.Fault(units.FaultRange, "", text, "0, or %v to %v", leastYield, maxYield)
	case m[4] == "ha":
		y.PerHectare = x
	default:
		y.PerAcre = x
	}
	var f units.Faults
	err := y.Unit.UnmarshalText([]byte(strings.TrimSpace(m[3])))
	f.Sub("", err)
	if y.check(&f); f.Err() != nil {
		return Yield{}, f.Err()
	}
	return y, nil
}

// Text is the yield as [ParseYield] reads it, to the bit.
func (y Yield) Text() string {
	if y.PerHectare != 0 {
		return strconv.FormatFloat(y.PerHectare, 'f', -1, 64) + " " + string(y.Unit) + "/ha"
	}
	return strconv.FormatFloat(y.PerAcre, 'f', -1, 64) + " " + string(y.Unit) + "/acre"
}

// String returns the yield per acre or per hectare, as it was given.
func (y Yield) String() string {
	if y.PerHectare != 0 {
		return fmt.Sprintf("%.4g %v/ha", y.PerHectare, y.Unit)
	}
	return fmt.Sprintf("%.4g %v/acre", y.PerAcre, y.Unit)
}

func (y Yield) check(f *units.Faults) {
	upTo(f, "perAcre", y.PerAcre, maxYield)
	upTo(f, "perHectare", y.PerHectare, maxYield)
	if y.PerAcre != 0 && y.PerHectare != 0 {
		f.Add("perHectare", y.PerHectare, "either perAcre or perHectare")
	}
	checkYieldUnit(f, "unit", y.Unit)
}

// checkYieldUnit records a fault unless u is a unit of a yield.
func checkYieldUnit(f *units.Faults, field string, u YieldUnit) {
	switch s := string(u); {
	case s == "":
		f.Missing(field, "%v, or that of the crop table", oneOf(yieldUnits))
	case len(s) > longestWord || s != strings.TrimSpace(s) || known(yieldUnits, u) != u:
		f.Add(field, s, "%v, or that of the crop table", oneOf(yieldUnits))
	}
}

// NColumn says what the N of a crop table is. The zero value is refused.
type NColumn = units.Enum[nColumnWords]

const (
	// NColumnRemoval, "removal", is the N in the harvested part.
	NColumnRemoval NColumn = iota + 1
	// NColumnRate, "fertilization rate", is the available N to be given to the crop.
	NColumnRate
)

var nColumnNames = units.Names{"", "removal", "fertilization rate"}

type nColumnWords struct{}

func (nColumnWords) Names() units.Names { return nColumnNames }

// CropNutrients is what one crop needs or takes off an area. N is zero, with
// the words of the table in NRule, where the table gives no figure.
type CropNutrients struct {
	Crop  string                         `json:"crop"`           // as the table names it
	Yield Yield                          `json:"yield,omitzero"` // for which it holds
	N     units.Range[units.MassPerArea] `json:"n"`              // 0 or more
	NIs   NColumn                        `json:"nIs,omitzero"`   // what n means
	NRule string                         `json:"nRule,omitzero"` // the words of the table where it has no figure for n
	P2O5  units.Range[units.MassPerArea] `json:"p2o5"`           // removal, 0 or more
	K2O   units.Range[units.MassPerArea] `json:"k2o"`            // removal, 0 or more
	State string                         `json:"state"`          // id of the state

	P2O5Lacks string `json:"p2o5Lacks,omitzero"` // why p2o5 has no figure and is 0; empty where it has one
	K2OLacks  string `json:"k2oLacks,omitzero"`  // why k2o has no figure and is 0; empty where it has one
}

// Crop returns what a crop needs or takes off at a yield, by the tables of the state
// that give n or removalN, removalP2O5 and removalK2O per unit of yield; q holds what
// else they ask for. A yield in tons, tonnes or hundreds of pounds serves a table that
// counts in another of these. Faults are [units.FieldError] on crop, yield and the keys
// of the state: a crop that the state does not know, a yield in a unit that does not
// turn into that of the table, and what [State.Answer] refuses. A figure that the state
// does not have, or has words in place of, is told in NRule, P2O5Lacks or K2OLacks.
func (s *State) Crop(crop string, y Yield, q Query) (CropNutrients, error) {
	var f units.Faults
	yield := f.At("yield")
	y.check(&yield)
	q = maps.Clone(q)
	if q == nil {
		q = Query{}
	}
	q[KeyCrop] = crop
	if i := s.keyIndex(KeyYield); q[KeyYield] == "" {
		ok := i < 0
		if !ok {
			_, ok = s.keys[i].spotOf(y.Text())
		}
		if ok && f.Err() == nil {
			q[KeyYield] = y.Text()
		}
	}
	if crop == "" {
		f.Missing(KeyCrop, "a crop of the state %v", units.Word(s.spec.ID))
	}
	n := CropNutrients{Crop: crop, Yield: y, NIs: NColumnRemoval, State: s.spec.ID}
	if i := s.keyIndex(KeyCrop); i >= 0 {
		if x := indexFold(s.keys[i].Values, crop); x >= 0 {
			n.Crop = s.keys[i].Values[x]
		}
	}
	ofN := "removalN"
	if s.lines[ofN] == nil {
		ofN, n.NIs = "n", NColumnRate
	}
	figures := 0
	for _, want := range []struct {
		gives string
		to    *units.Range[units.MassPerArea]
		lacks *string
	}{{ofN, &n.N, &n.NRule}, {"removalP2O5", &n.P2O5, &n.P2O5Lacks}, {"removalK2O", &n.K2O, &n.K2OLacks}} {
		if f.Err() != nil {
			break
		}
		a := s.ask(q, &f)
		r := Answer{Gives: want.gives}
		if f.Err() == nil {
			a.answer(&r)
		}
		if a.lack != nil { // words in place of a figure are an answer
			f, *want.lacks = units.Faults{}, a.lack.figure.lacks
		} else if f.Err() == nil {
			x, err := r.PerArea(y)
			f.Sub("", err)
			*want.to = x
		}
		if s.Has(want.gives) {
			figures++
		}
	}
	if f.Err() == nil && figures == 0 {
		f.Lacking(KeyCrop, "no table of crops", "a state that gives n or removalN, removalP2O5 or removalK2O")
	}
	if f.Err() != nil {
		return CropNutrients{}, f.Err()
	}
	return n, nil
}

// PerArea returns the figure as an amount per area, one per unit of yield times the yield.
// Faults are [units.FieldError] on yield: missing, or in a unit that does not turn into
// that of the figure.
func (r Answer) PerArea(y Yield) (units.Range[units.MassPerArea], error) {
	low, high, area := r.Quantity()
	if _, ok := low.(units.MassPerArea); area && ok {
		return units.Range[units.MassPerArea]{Low: low.(units.MassPerArea), High: high.(units.MassPerArea)}, nil
	}
	var f units.Faults
	mass, of, _ := strings.Cut(r.Unit, "/")
	each, ok := quantityOf(1, mass)
	count := y.perAcre()
	switch u := known(yieldUnits, YieldUnit(of)); {
	case !ok || !perYield(r.Unit):
		f.Add("yield", units.Words("a figure in %v", units.Word(r.Unit)), "a table in a mass per area or per unit of yield")
	case y == Yield{}:
		f.Missing("yield", "a yield, such as 150 bu/acre or 8 t/ha")
	case u != y.Unit:
		from, ok := y.Unit.mass()
		to, also := u.mass()
		if !ok || !also {
			f.Add("yield.unit", string(y.Unit), "%v", units.Word(of))
		}
		count *= float64(from / to)
	}
	if f.Err() != nil {
		return units.Range[units.MassPerArea]{}, f.Err()
	}
	per := func(x float64) units.MassPerArea { return units.Mass(count * x * each.SI()).Over(units.Acre) }
	return units.Range[units.MassPerArea]{Low: per(r.Figure.Low), High: per(r.Figure.High)}, nil
}

// NebraskaCornNeedSpec is the input of [NebraskaCornNeed].
type NebraskaCornNeedSpec struct {
	Yield         float64            `json:"yield"`         // expected, bu/acre: about 105 % of the mean of five years
	SoilNitrate   units.MassFraction `json:"soilNitrate"`   // nitrate-N, depth weighted over the root zone of 2 to 4 ft
	OrganicMatter float64            `json:"organicMatter"` // of the soil, percent; counted within 0.5 to 3
	Credits       units.MassPerArea  `json:"credits"`       // legume, irrigation water, manure
	PriceFactor   float64            `json:"priceFactor"`   // adjustment for the prices of corn and N; 0.01 to 100, 1 for none
	TimingFactor  float64            `json:"timingFactor"`  // adjustment for the time of application; 0.01 to 100, 1 for none
}

// NebraskaCornNeed returns the N need of grain corn, in lb N/acre
//
//	(35 + 1.2 yield - 8 nitrate - 0.14 yield OM - credits) x price x timing
//
// and not below zero, after the University of Nebraska as read in lecture slides
// and, for the limits of OM, in an Extension column of 1 March 2021. The two
// adjustment factors are the caller's.
func NebraskaCornNeed(spec NebraskaCornNeedSpec) (units.MassPerArea, error) {
	var f units.Faults
	upTo(&f, "yield", spec.Yield, 1000)
	f.Between("soilNitrate", spec.SoilNitrate, units.MassFraction(0), 1000*units.MilligramPerKilogram)
	upTo(&f, "organicMatter", spec.OrganicMatter, 100)
	notNegative(&f, "credits", spec.Credits)
	f.NumberBetween("priceFactor", spec.PriceFactor, 0.01, 100)
	f.NumberBetween("timingFactor", spec.TimingFactor, 0.01, 100)
	if f.Err() != nil {
		return 0, f.Err()
	}
	om := min(max(spec.OrganicMatter, 0.5), 3)
	need := 35 + 1.2*spec.Yield - 8*spec.SoilNitrate.In(units.MilligramPerKilogram) - 0.14*spec.Yield*om - spec.Credits.In(units.PoundPerAcre)
	return units.MassPerArea(max(0, need*spec.PriceFactor*spec.TimingFactor)) * units.PoundPerAcre, nil
}
