package nutrient

import (
	"fmt"
	"slices"
	"strings"

	"example.org/earthbasin/units"
)

// YieldUnit is what a yield is counted in: one of these, or the word of a crop table
// for its own, such as "bale", which its [CropTableSpec] declares.
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

// String returns the yield per acre or per hectare, as it was given.
func (y Yield) String() string {
	if y.PerHectare != 0 {
		return fmt.Sprintf("%.4g %v/ha", y.PerHectare, y.Unit)
	}
	return fmt.Sprintf("%.4g %v/acre", y.PerAcre, y.Unit)
}

func (y Yield) check(f *units.Faults) {
	upTo(f, "perAcre", y.PerAcre, 1e6)
	upTo(f, "perHectare", y.PerHectare, 1e6)
	if y.PerAcre != 0 && y.PerHectare != 0 {
		f.Add("perHectare", y.PerHectare, "either perAcre or perHectare")
	}
	checkYieldUnit(f, "unit", y.Unit)
}

// checkYieldUnit records a fault unless u is a unit of a yield.
func checkYieldUnit(f *units.Faults, field string, u YieldUnit) {
	switch s := string(u); {
	case s == "":
		f.Missing(field, oneOf(yieldUnits)+", or that of the crop table")
	case len(s) > longestWord || s != strings.TrimSpace(s) || known(yieldUnits, u) != u:
		f.Add(field, s, oneOf(yieldUnits)+", or that of the crop table")
	}
}

// NColumn says what the N column of a crop table means. The zero value is refused.
type NColumn int

const (
	// NColumnRemoval is the N in the harvested part.
	NColumnRemoval NColumn = 1 + iota
	// NColumnRate is the available N to be given to the crop.
	NColumnRate
)

var nColumnNames = units.Names{"", "removal", "fertilization rate"}

// String returns the name that MarshalText writes.
func (c NColumn) String() string { return nColumnNames.String(int(c)) }

// MarshalText writes the name.
func (c NColumn) MarshalText() ([]byte, error) { return nColumnNames.Marshal(int(c)) }

// UnmarshalText reads a name; the error lists the names.
func (c *NColumn) UnmarshalText(text []byte) error {
	return units.UnmarshalName(nColumnNames, text, c)
}

// CropTableSpec is a table of what crops need or take off, in the form of its
// JSON file.
type CropTableSpec struct {
	ID           string  `json:"id"`              // lower-case letters, digits and hyphens
	Jurisdiction string  `json:"jurisdiction"`    // where the table applies
	Source       Source  `json:"source,omitzero"` // where the figures come from
	N            NColumn `json:"n,omitzero"`      // what the N column means; P2O5 and K2O are removal
	Note         string  `json:"note,omitzero"`   // what a user of the table has to know
	// Units are words of the table's own for what its yields are counted in.
	Units []YieldUnit `json:"units,omitzero"`
	Rows  []CropRow   `json:"rows"` // one for each crop, at least one
}

// CropRow is a crop of a table, per unit of its yield.
type CropRow struct {
	Crop  string            `json:"crop"`           // name, which stands once in the table
	Unit  YieldUnit         `json:"unit,omitzero"`  // what the yield is counted in
	N     *Span[units.Mass] `json:"n,omitzero"`     // lb and the like per unit of yield, 0 to 1000 lb; nil where nRule stands instead
	NRule string            `json:"nRule,omitzero"` // where the table has words instead of a figure for N
	P2O5  *Span[units.Mass] `json:"p2o5"`           // per unit of yield, 0 to 1000 lb
	K2O   *Span[units.Mass] `json:"k2o"`            // per unit of yield, 0 to 1000 lb
}

// CropTable is a crop table without faults.
type CropTable struct{ spec CropTableSpec }

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
	Table string                         `json:"table"`          // id of the table
}

// ParseCropTable reads a crop table from its JSON and checks it as
// [NewCropTable] does.
func ParseCropTable(data []byte) (*CropTable, error) {
	return parseFile(data, NewCropTable)
}

// NewCropTable checks a crop table. Every fault is a [units.FieldError] with its
// path: a missing source, a crop without name or given twice, a figure that is
// missing, negative or not finite, and a row with both a figure and words for N,
// or neither.
func NewCropTable(spec CropTableSpec) (*CropTable, error) {
	var f units.Faults
	if !idPattern.MatchString(spec.ID) {
		f.Add("id", spec.ID, "lower-case letters, digits and hyphens")
	}
	if spec.Jurisdiction == "" {
		f.Missing("jurisdiction", "where the table applies")
	}
	spec.Source.check(&f, "source")
	if !nColumnNames.Has(int(spec.N)) {
		f.Missing("n", nColumnNames.Want())
	}
	if len(spec.Rows) == 0 {
		f.Missing("rows", "at least one crop")
	}
	for i, u := range spec.Units {
		at := f.At("units", i)
		if checkYieldUnit(&at, "", u); slices.Contains(yieldUnits, u) || slices.Contains(spec.Units[:i], u) {
			at.Add("", string(u), "a word that is not known already")
		}
	}
	seen := map[string]bool{}
	for i, r := range spec.Rows {
		at := f.At("rows", i)
		if name := strings.ToLower(r.Crop); name == "" || seen[name] {
			at.Add("crop", r.Crop, "a name that stands once")
		} else {
			seen[name] = true
		}
		if all := slices.Concat(yieldUnits, spec.Units); r.Unit == "" {
			at.Missing("unit", oneOf(all))
		} else if !slices.Contains(all, r.Unit) {
			at.Add("unit", string(r.Unit), oneOf(all)+", or one that the table declares")
		}
		if (r.N == nil) == (r.NRule == "") {
			at.Say("n", "n and nRule both or neither", "one of them")
		}
		for _, c := range []struct {
			name string
			m    *Span[units.Mass]
		}{{"n", r.N}, {"p2o5", r.P2O5}, {"k2o", r.K2O}} {
			if c.m == nil {
				if c.name != "n" {
					at.Missing(c.name, "a mass per unit of yield, such as 0.37 lb")
				}
				continue
			}
			notNegative(&at, c.name, c.m.Low)
			at.Between(c.name, c.m.High, c.m.Low, 1000*units.Pound)
		}
	}
	if f.Err() != nil {
		return nil, f.Err()
	}
	spec.Rows, spec.Units = cloneRows(spec.Rows), slices.Clone(spec.Units)
	return &CropTable{spec}, nil
}

// ID returns the name by which programs choose the table.
func (t *CropTable) ID() string { return t.spec.ID }

// Source returns where the figures come from.
func (t *CropTable) Source() Source { return t.spec.Source }

// Note returns what a user of the table has to know.
func (t *CropTable) Note() string { return t.spec.Note }

// Crops returns the names of the crops, each with the unit of its yield.
func (t *CropTable) Crops() []CropRow { return cloneRows(t.spec.Rows) }

// cloneRows copies rows with what they point to, so that a table does not change
// when a caller changes its rows.
func cloneRows(rows []CropRow) []CropRow {
	rows = slices.Clone(rows)
	for i := range rows {
		for _, p := range []**Span[units.Mass]{&rows[i].N, &rows[i].P2O5, &rows[i].K2O} {
			if *p != nil {
				span := **p
				*p = &span
			}
		}
	}
	return rows
}

// For returns what a crop needs or takes off at a yield. A yield in tons, tonnes or
// hundreds of pounds serves a table that counts in another of these. Faults are
// [units.FieldError] on crop and yield: a crop that the table does not know, and a
// yield in a unit that does not turn into that of the table.
func (t *CropTable) For(crop string, y Yield) (CropNutrients, error) {
	var f units.Faults
	yield := f.At("yield")
	y.check(&yield)
	i := slices.IndexFunc(t.spec.Rows, func(r CropRow) bool { return strings.EqualFold(r.Crop, crop) })
	if i < 0 {
		var names []string
		for _, r := range t.spec.Rows {
			names = append(names, r.Crop)
		}
		f.Add("crop", crop, "one of "+strings.Join(names, "; "))
		return CropNutrients{}, f.Err()
	}
	r := t.spec.Rows[i]
	count := y.perAcre()
	if y.Unit != r.Unit {
		from, ok := y.Unit.mass()
		to, also := r.Unit.mass()
		if count *= float64(from / to); f.Err() == nil && !(ok && also) {
			f.Add("yield.unit", string(y.Unit), string(r.Unit))
		}
	}
	if f.Err() != nil {
		return CropNutrients{}, f.Err()
	}
	off := func(m *Span[units.Mass]) units.Range[units.MassPerArea] {
		return units.Range[units.MassPerArea]{
			Low:  units.Mass(count * float64(m.Low)).Over(units.Acre),
			High: units.Mass(count * float64(m.High)).Over(units.Acre),
		}
	}
	n := CropNutrients{Crop: r.Crop, Yield: y, NIs: t.spec.N, NRule: r.NRule, P2O5: off(r.P2O5), K2O: off(r.K2O), Table: t.spec.ID}
	if r.N != nil {
		n.N = off(r.N)
	}
	return n, nil
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
