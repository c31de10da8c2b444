package nutrient

import (
	"slices"

	"example.org/earthbasin/units"
)

// Restriction is the degree of restriction on the use of water for irrigation.
type Restriction = units.Enum[restrictionWords]

// Degrees of restriction.
const (
	RestrictionNone     Restriction = iota // "none"
	RestrictionModerate                    // "slight to moderate"
	RestrictionSevere                      // "severe"
)

var restrictionNames = units.Names{"none", "slight to moderate", "severe"}

type restrictionWords struct{}

func (restrictionWords) Names() units.Names { return restrictionNames }

// Milligrams per milliequivalent, as used with the guidelines of FAO 29.
const (
	milligramPerEquivalentNa = 23.0
	milligramPerEquivalentCl = 35.5
)

// SaltRatingsSpec is a liquid that is sprinkled or run over a field. A pointer that is nil was
// not measured and is not rated.
type SaltRatingsSpec struct {
	Sprinkler bool                 `json:"sprinkler"`          // wets the leaves; else on the surface
	EC        *float64             `json:"ec,omitzero"`        // electrical conductivity at 25 degC, dS/m (mmho/cm), 0 to 300
	Dissolved *units.Concentration `json:"dissolved,omitzero"` // total dissolved solids
	SAR       *float64             `json:"sar,omitzero"`       // sodium adsorption ratio, 0 to 1000; to 40 with EC, beyond which the guideline does not go
	Sodium    *units.Concentration `json:"sodium,omitzero"`    // Na, 0 to 1000 g/L
	Chloride  *units.Concentration `json:"chloride,omitzero"`  // Cl, 0 to 1000 g/L
	Boron     *units.Concentration `json:"boron,omitzero"`     // B, 0 to 1000 g/L
	Nitrate   *units.Concentration `json:"nitrate,omitzero"`   // as N
}

// SaltRating is one property of the liquid against the guideline.
type SaltRating struct {
	Item     string      `json:"item"`            // what is rated
	Value    float64     `json:"value"`           // in the unit
	Unit     string      `json:"unit"`            // dS/m, mg/L or meq/L; empty for a ratio
	Moderate float64     `json:"moderate"`        // from which on, or for infiltration below which, it is slight to moderate
	Severe   float64     `json:"severe,omitzero"` // the same for severe; 0: the guideline has no such class
	Degree   Restriction `json:"degree"`          // of restriction
}

// SaltRatingsResult is the rating of a liquid.
type SaltRatingsResult struct {
	Worst   Restriction  `json:"worst"`   // of the ratings
	Ratings []SaltRating `json:"ratings"` // of what was measured and matters
}

// saltSource is where the classes of SaltRatings come from.
const saltSource = "FAO Irrigation and Drainage Paper 29 rev. 1, Table 1"

// infiltration is by SAR up to Upto the EC, dS/m, below which the restriction is
// slight to moderate, and below which it is severe: weak water closes the pores
// of the soil.
var infiltration = []struct{ upto, moderate, severe float64 }{
	{3, 0.7, 0.2}, {6, 1.2, 0.3}, {12, 1.9, 0.5}, {20, 2.9, 1.3}, {40, 5.0, 2.9},
}

// SaltRatings rates a liquid for irrigation by the guidelines of FAO Irrigation
// and Drainage Paper 29 rev. 1, Table 1: salinity, infiltration, sodium,
// chloride, boron and nitrate. Sodium and chloride on leaves are judged in
// meq/L, with 23.0 and 35.5 mg to the milliequivalent. A value at the edge of
// two classes is in the middle one. Nothing measured, values below zero and an
// SAR above 40 are a [units.FieldError].
func SaltRatings(spec SaltRatingsSpec) (SaltRatingsResult, error) {
	if err := spec.check(); err != nil {
		return SaltRatingsResult{}, err
	}
	var r SaltRatingsResult
	rate := func(item string, v float64, unit string, moderate, severe float64) {
		d := RestrictionNone
		switch {
		case severe > 0 && v > severe:
			d = RestrictionSevere
		case v >= moderate:
			d = RestrictionModerate
		}
		r.Ratings = append(r.Ratings, SaltRating{item, v + 0, unit, moderate, severe, d})
	}
	if spec.EC != nil {
		rate("conductivity", *spec.EC, "dS/m", 0.7, 3)
	}
	if c := spec.Dissolved; c != nil {
		rate("dissolved solids", c.In(units.MilligramPerLitre), "mg/L", 450, 2000)
	}
	if spec.SAR != nil && !spec.Sprinkler {
		rate("sodium by SAR", *spec.SAR, "", 3, 9)
	}
	if spec.SAR != nil && spec.EC != nil {
		r.Ratings = append(r.Ratings, infiltrationRating(*spec.EC, *spec.SAR))
	}
	if c := spec.Sodium; c != nil && spec.Sprinkler {
		rate("sodium on leaves", c.In(milligramPerEquivalentNa*units.MilligramPerLitre), "meq/L", 3, 0)
	}
	switch c := spec.Chloride; {
	case c != nil && spec.Sprinkler:
		rate("chloride on leaves", c.In(milligramPerEquivalentCl*units.MilligramPerLitre), "meq/L", 3, 0)
	case c != nil:
		rate("chloride", c.In(milligramPerEquivalentCl*units.MilligramPerLitre), "meq/L", 4, 10)
	}
	if c := spec.Boron; c != nil {
		rate("boron", c.In(units.MilligramPerLitre), "mg/L", 0.7, 3)
	}
	if c := spec.Nitrate; c != nil {
		rate("nitrate-N", c.In(units.MilligramPerLitre), "mg/L", 5, 30)
	}
	if len(r.Ratings) == 0 {
		return SaltRatingsResult{}, units.Fault(units.FaultMissing, "ec", nil, "at least one measured property that the way of application makes matter")
	}
	for _, x := range r.Ratings {
		r.Worst = max(r.Worst, x.Degree)
	}
	return r, nil
}

func (s SaltRatingsSpec) check() error {
	var f units.Faults
	if s.EC != nil {
		upTo(&f, "ec", *s.EC, mostEC)
	}
	if s.SAR != nil {
		most := 1000.0
		if s.EC != nil {
			most = infiltration[len(infiltration)-1].upto // beyond which the guideline does not go
		}
		upTo(&f, "sar", *s.SAR, most)
	}
	for _, x := range []struct {
		field string
		c     *units.Concentration
	}{{"dissolved", s.Dissolved}, {"sodium", s.Sodium}, {"chloride", s.Chloride}, {"boron", s.Boron}, {"nitrate", s.Nitrate}} {
		if x.c != nil {
			notNegative(&f, x.field, *x.c)
		}
	}
	return f.Err()
}

// infiltrationRating rates the conductivity at a given SAR: too little salt
// restricts.
func infiltrationRating(ec, sar float64) SaltRating {
	c := infiltration[slices.IndexFunc(infiltration, func(c struct{ upto, moderate, severe float64 }) bool { return sar <= c.upto })]
	r := SaltRating{"infiltration", ec + 0, "dS/m", c.moderate, c.severe, RestrictionNone}
	switch {
	case ec < c.severe:
		r.Degree = RestrictionSevere
	case ec <= c.moderate:
		r.Degree = RestrictionModerate
	}
	return r
}

// Working shows each property and its degree.
func (r SaltRatingsResult) Working() units.Working {
	var w units.Working
	for _, x := range r.Ratings {
		value := units.Words("%.4g", x.Value)
		if x.Unit != "" {
			value = value.And(" %v", units.Word(x.Unit))
		}
		w.Add(x.Item, value, "%v", x.Degree)
	}
	w.Add("restriction on use", r.Worst, saltSource)
	return w
}

// String is the table of the working.
func (r SaltRatingsResult) String() string { return r.Working().String() }
