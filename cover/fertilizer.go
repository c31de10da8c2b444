package cover

import (
	"math"

	"example.org/earthbasin/units"
)

// Nutrients are rates of nitrogen, phosphate and potash. Phosphorus and potassium
// are counted as P2O5 and K2O, as on a fertilizer bag; [units.Oxides] converts.
type Nutrients struct {
	N    units.MassPerArea `json:"n"`    // nitrogen, 0 or more
	P2O5 units.MassPerArea `json:"p2o5"` // phosphate, 0 or more
	K2O  units.MassPerArea `json:"k2o"`  // potash, 0 or more
}

func (n Nutrients) list() [3]float64 { return [3]float64{n.N.SI(), n.P2O5.SI(), n.K2O.SI()} }

func nutrients(x [3]float64) Nutrients {
	return Nutrients{units.MassPerArea(x[0]), units.MassPerArea(x[1]), units.MassPerArea(x[2])}
}

var nutrientNames = [3]string{"n", "p2o5", "k2o"}

// FertilizerGrade is a fertilizer by its guaranteed analysis, as fractions: 12-12-12 is 0.12,
// 0.12, 0.12. Each is 0, or 0.0001 to 1; together they are at most 1.
type FertilizerGrade struct {
	Name  string                  `json:"name"`  // what it is sold as
	N     float64                 `json:"n"`     // total nitrogen
	P2O5  float64                 `json:"p2o5"`  // available phosphate
	K2O   float64                 `json:"k2o"`   // soluble potash
	Price units.Price[units.Mass] `json:"price"` // 0 unknown
	Bag   units.Mass              `json:"bag"`   // 0 when sold by weight
	// Density of a liquid, 0 for a solid: 11.7 lb/gal for 10-34-0 and 9-18-9, 10.7
	// for 28-0-0 (Cornell, Northeast certified crop adviser course, CA4).
	Density units.Density `json:"density"`
}

func (g FertilizerGrade) list() [3]float64 { return [3]float64{g.N, g.P2O5, g.K2O} }

// FertilizerRule is how the grades shall meet the need.
type FertilizerRule = units.Enum[fertilizerRulesWords]

// Rules. The zero value is not one.
const (
	// FertilizerBlendLeastCost, "blend of least cost", meets every need with the blend that costs least, by a linear
	// program; over-supply is allowed up to Most.
	FertilizerBlendLeastCost FertilizerRule = iota + 1
	// FertilizerBlendLeastWeight, "blend of least weight", is the same with the least weight to haul and spread.
	FertilizerBlendLeastWeight
	// FertilizerSingleNoExcess, "single without excess", takes one grade at the smallest of the amounts that the wanted
	// nutrients ask, so that none is over-supplied.
	FertilizerSingleNoExcess
	// FertilizerSingleMeetsAll, "single that meets all", takes one grade at the largest of them, so that none is short.
	FertilizerSingleMeetsAll
)

var fertilizerRules = units.Names{"", "blend of least cost", "blend of least weight", "single without excess", "single that meets all"}

type fertilizerRulesWords struct{}

func (fertilizerRulesWords) Names() units.Names { return fertilizerRules }

// NutrientCaps are the most that may be supplied; null is no cap.
type NutrientCaps struct {
	N    *units.MassPerArea `json:"n,omitempty"`    // of nitrogen, 0 or more
	P2O5 *units.MassPerArea `json:"p2o5,omitempty"` // of phosphate, 0 or more
	K2O  *units.MassPerArea `json:"k2o,omitempty"`  // of potash, 0 or more
}

func (c NutrientCaps) list() [3]*units.MassPerArea { return [3]*units.MassPerArea{c.N, c.P2O5, c.K2O} }

// FertilizerSpec is a nutrient need and the grades on offer.
type FertilizerSpec struct {
	Need   Nutrients         `json:"need"`   // 0 for a nutrient that is not wanted; at least one is more
	Rule   FertilizerRule    `json:"rule"`   // required
	Grades []FertilizerGrade `json:"grades"` // exactly one for the single rules, at most 200
	Most   NutrientCaps      `json:"most"`   // for the blends
	Area   units.Area        `json:"area"`   // to fertilize, more than 0
}

// FertilizerRow is one grade to spread.
type FertilizerRow struct {
	Grade FertilizerGrade   `json:"grade"` // as in the spec
	Rate  units.MassPerArea `json:"rate"`  // of the product
	Mass  units.Mass        `json:"mass"`  // on the whole area
	Bags  int               `json:"bags"`  // rounded up, 0 when sold by weight
	// Liquid and Volume are those of a liquid, 0 for a solid.
	Liquid units.VolumePerArea `json:"liquid"`
	Volume units.Volume        `json:"volume"` // on the whole area, of a liquid
	Cost   float64             `json:"cost"`   // of the bags, or of the mass
}

// FertilizerResult is what to spread and what it supplies.
type FertilizerResult struct {
	Spec     FertilizerSpec    `json:"spec"`     // what it was worked out from
	Rows     []FertilizerRow   `json:"rows"`     // grades that are used
	Rate     units.MassPerArea `json:"rate"`     // of all grades together
	Supplied Nutrients         `json:"supplied"` // by all grades together
	Over     Nutrients         `json:"over"`     // supplied above the need
	Short    Nutrients         `json:"short"`    // need that is left, because of a cap or the rule
	Cost     float64           `json:"cost"`     // of all grades; those without a price count as 0
	Cautions []string          `json:"cautions"` // for the people who spread
}

// Fertilizer works out the grades that meet a need: rate = need / fraction of the
// grade for one grade, the least of a linear program for several. What is supplied
// above the need, and what is left of it under caps, is shown.
func Fertilizer(spec FertilizerSpec) (FertilizerResult, error) {
	var f units.Faults
	f.UpTo("area", spec.Area, units.MaxArea)
	need, most := spec.Need.list(), spec.Most.list()
	wanted := 0.0
	for k, x := range need {
		of := f.At("need")
		of.NotNegative(nutrientNames[k], units.MassPerArea(x))
		wanted += x
		if most[k] != nil {
			of := f.At("most")
			of.NotNegative(nutrientNames[k], *most[k])
		}
	}
	if wanted == 0 {
		f.Missing("need", "more than 0 of at least one nutrient")
	}
	single := spec.Rule == FertilizerSingleNoExcess || spec.Rule == FertilizerSingleMeetsAll
	switch {
	case !fertilizerRules.Has(int(spec.Rule)):
		f.Add("rule", spec.Rule, fertilizerRules.Want())
	case single && len(spec.Grades) != 1:
		f.Count("grades", len(spec.Grades), "grades", "exactly one with %v", spec.Rule)
	default:
		f.CountBetween("grades", len(spec.Grades), "grades", 1, 200)
	}
	if single && spec.Most != (NutrientCaps{}) {
		f.Say("most", "given", "no value with %v", spec.Rule)
	}
	var offered [3]float64
	for i, g := range spec.Grades {
		at := f.At("grades", i)
		at.Sub("", g.check(spec.Rule == FertilizerBlendLeastCost))
		for k, x := range g.list() {
			offered[k] += x
		}
	}
	for k, x := range need {
		if x > 0 && offered[k] == 0 && len(spec.Grades) > 0 {
			f.Add("need."+nutrientNames[k], units.MassPerArea(x), "no need, since no grade supplies it")
		}
	}
	if err := f.Err(); err != nil {
		return FertilizerResult{}, err
	}

	var rates []float64
	if single {
		rates = []float64{spec.single()}
	} else {
		var err error
		if rates, err = spec.blend(); err != nil {
			return FertilizerResult{}, err
		}
	}
	return spec.result(rates)
}

// leastShare is the least share of a nutrient that counts, a hundredth of a percent.
const leastShare = 1e-4

func (g FertilizerGrade) check(priced bool) error {
	var f units.Faults
	required(&f, "name", g.Name)
	sum := 0.0
	for k, x := range g.list() {
		if x == 0 || x >= leastShare && x <= 1 {
			sum += x
			continue
		}
		f.Add(nutrientNames[k], x, "0, or 0.0001 to 1")
		sum = math.NaN()
	}
	if sum == 0 || sum > 1+1e-9 {
		f.Add("n", sum, "a sum of n, p2o5 and k2o of more than 0 to 1")
	}
	f.Price("price", g.Price)
	if priced && g.Price == 0 {
		f.Missing("price", "a price for the blend of least cost")
	}
	f.ZeroTo("bag", g.Bag, mostBag)
	f.NotNegative("density", g.Density)
	if g.Density > 0 {
		f.Between("density", g.Density, 0.5*units.GramPerMillilitre, 3*units.GramPerMillilitre)
	}
	return f.Err()
}

// single returns the rate of the one grade.
func (spec FertilizerSpec) single() float64 {
	least, largest := math.Inf(1), 0.0
	grade := spec.Grades[0].list()
	for k, x := range spec.Need.list() {
		if x > 0 {
			least, largest = min(least, x/grade[k]), max(largest, x/grade[k])
		}
	}
	if spec.Rule == FertilizerSingleNoExcess {
		return least
	}
	return largest
}

func (spec FertilizerSpec) result(rates []float64) (FertilizerResult, error) {
	r := FertilizerResult{Spec: spec, Rows: []FertilizerRow{}, Cautions: []string{cautionFertilizer, cautionSlope}}
	var supplied, over, short [3]float64
	var f units.Faults
	for i, x := range rates {
		if x <= 0 {
			continue
		}
		g := spec.Grades[i]
		row := FertilizerRow{Grade: g, Rate: units.MassPerArea(x)}
		row.Mass = row.Rate.Times(spec.Area)
		bought, n, err := inBags("bag", row.Mass, g.Bag)
		at := f.At("grades", i)
		at.Sub("", err)
		row.Bags, row.Cost = n, g.Price.Of(bought)
		if g.Density != 0 {
			row.Volume = row.Mass.OverDensity(g.Density)
			row.Liquid = row.Volume.Over(spec.Area)
		}
		for k, part := range g.list() {
			supplied[k] += x * part
		}
		if g.N >= 0.32 && g.N <= 0.36 && g.P2O5+g.K2O == 0 && g.Density == 0 {
			r.Cautions = append(r.Cautions, cautionNitrate) // the grade of ammonium nitrate
		}
		r.Rows = append(r.Rows, row)
		r.Rate += row.Rate
		r.Cost += row.Cost
	}
	for k, x := range spec.Need.list() {
		// Within rounding of the solver the need is met.
		if d := supplied[k] - x; math.Abs(d) > 1e-9*max(x, supplied[k]) {
			over[k], short[k] = max(0, d), max(0, -d)
		}
	}
	r.Supplied, r.Over, r.Short = nutrients(supplied), nutrients(over), nutrients(short)
	if f.Err() == nil && !finite(r.Rate.SI(), r.Rate.Times(spec.Area).SI(), r.Cost) {
		f.Add("need", r.Rate, "needs whose product with the area is a finite number")
	}
	if err := f.Err(); err != nil {
		return FertilizerResult{}, err
	}
	return r, nil
}

// Working shows the grades and the balance.
func (r FertilizerResult) Working() units.Working {
	var w units.Working
	for _, row := range r.Rows {
		how := inBagsWords(units.Words("%v", row.Mass), row.Bags)
		if row.Volume > 0 {
			how = how.And(", %v", units.As(row.Volume, units.Gallon, 1))
		}
		if row.Cost > 0 {
			how = how.And(", cost %v", units.Money(row.Cost))
		}
		w.Put(units.Words(row.Grade.Name), row.Rate, how)
	}
	need, supplied, over, short := r.Spec.Need.list(), r.Supplied.list(), r.Over.list(), r.Short.list()
	for k, name := range [3]string{"N", "P2O5", "K2O"} {
		how := units.Words("need %v", units.MassPerArea(need[k]))
		if over[k] > 0 {
			how = how.And(", over by %v", units.MassPerArea(over[k]))
		}
		if short[k] > 0 {
			how = how.And(", short by %v", units.MassPerArea(short[k]))
		}
		w.Put(units.Words(name), units.MassPerArea(supplied[k]), how)
	}
	w.Add("rule", r.Spec.Rule, "")
	w.Add("cost", units.Money(r.Cost), "")
	return w
}

// String prints the working.
func (r FertilizerResult) String() string { return r.Working().String() }
