package nutrient

import "example.org/earthbasin/units"

// WorthNutrient is a nutrient that is paid for otherwise.
type WorthNutrient struct {
	Name      string                  `json:"name"`           // of the nutrient
	Holds     Content                 `json:"holds,omitzero"` // total content of the material
	Available float64                 `json:"available"`      // part of it that counts, 0 to 1: 1 for P2O5 and K2O
	Price     units.Price[units.Mass] `json:"price"`          // of the nutrient in fertilizer
	Need      units.MassPerArea       `json:"need"`           // of the field over the years in which it counts: one for N, four for P and K
	// Test is the soil test of the field; given with Critical.
	Test *SoilTest `json:"test,omitzero"`
	// Critical is the level above which the crop does not answer to more, so that the
	// nutrient is worth nothing; given with Test.
	Critical *CriticalLevel `json:"critical,omitzero"`
}

// check records the faults of n, which a material of the given form holds.
func (n *WorthNutrient) check(f *units.Faults, form Form) {
	if n.Name == "" {
		f.Missing("name", "the name of the nutrient")
	}
	f.Sub("holds", n.Holds.Check(form))
	upTo(f, "available", n.Available, 1)
	notNegative(f, "price", n.Price)
	notNegative(f, "need", n.Need)
	switch {
	case n.Critical == nil && n.Test == nil:
	case n.Critical == nil:
		f.Missing("critical", "the level above which the crop does not answer, since there is a soil test")
	case n.Test == nil:
		f.Missing("test", "the soil test of the field, since there is a critical level")
	default:
		_, err := n.Critical.Answers(*n.Test)
		f.Sub("", err)
	}
}

// WorthSpec is what [Worth] works from.
type WorthSpec struct {
	Nutrients   []WorthNutrient         `json:"nutrients"`            // at least one
	Rate        Rate                    `json:"rate,omitzero"`        // above 0
	Yield       units.Price[units.Area] `json:"yield,omitzero"`       // worth of a better yield on top of the nutrients
	Spread      UnitPrice               `json:"spread,omitzero"`      // loading and spreading
	HaulPerMile UnitPrice               `json:"haulPerMile,omitzero"` // for each mile of one-way distance
	Distance    units.Length            `json:"distance"`             // one way
	Incorporate units.Price[units.Area] `json:"incorporate,omitzero"` // working it in
}

// WorthPart is what one nutrient adds.
type WorthPart struct {
	Name    string                  `json:"name"`             // of the nutrient
	Applied units.MassPerArea       `json:"applied"`          // what counts of it
	Counted units.MassPerArea       `json:"counted"`          // the part that the field needs
	Value   units.Price[units.Area] `json:"value"`            // of what is counted, at the price of fertilizer
	Enough  bool                    `json:"enough,omitempty"` // the soil test is above the critical level: nothing is counted
}

// WorthResult is what the material is worth on the field.
type WorthResult struct {
	Parts     []WorthPart             `json:"parts"`              // in the order of the spec
	Distance  units.Length            `json:"distance"`           // one way, of the hauling that is in the cost
	Gross     units.Price[units.Area] `json:"gross"`              // nutrients and yield
	Cost      units.Price[units.Area] `json:"cost"`               // hauling, spreading, incorporation
	Net       units.Price[units.Area] `json:"net"`                // gross less cost; may be below 0
	GrossUnit UnitPrice               `json:"grossUnit,omitzero"` // gross per unit of material
	NetUnit   UnitPrice               `json:"netUnit,omitzero"`   // net per unit of material; may be below 0
	// BreakEven is the one-way distance at which hauling takes up all the value; 0
	// when nothing is left for hauling. AnyDistance is true, and BreakEven 0, when
	// hauling costs nothing and there is something left.
	BreakEven   units.Length `json:"breakEven"`
	AnyDistance bool         `json:"anyDistance"` // hauling costs nothing and something is left for it
}

// Worth returns the value of a material on a field: what counts of each nutrient,
// at most what the field needs and nothing of what its soil has enough of, at the
// price of fertilizer, plus a better yield,
// less hauling, spreading and incorporation (order of the worksheet of the
// University of Nebraska, NebGuide G1519). The break-even distance is
//
//	(gross value - spreading - incorporation) per unit / hauling per unit and mile
//
// Wrong values and forms that do not go together are a [units.FieldError].
func Worth(spec WorthSpec) (WorthResult, error) {
	var f units.Faults
	form := spec.Rate.form
	if !formNames.Has(int(form)) {
		f.Missing("rate", "a rate of a liquid or a solid")
		return WorthResult{}, f.Err()
	}
	f.Sub("rate", spec.Rate.check(form, false, rateOf))
	if len(spec.Nutrients) == 0 {
		f.Missing("nutrients", "at least one nutrient")
	}
	for i, n := range spec.Nutrients {
		at := f.At("nutrients", i)
		n.check(&at, form)
	}
	notNegative(&f, "yield", spec.Yield)
	f.Sub("spread", spec.Spread.Check(form))
	f.Sub("haulPerMile", spec.HaulPerMile.Check(form))
	notNegative(&f, "distance", spec.Distance)
	notNegative(&f, "incorporate", spec.Incorporate)
	if err := f.Err(); err != nil {
		return WorthResult{}, err
	}
	r := WorthResult{Gross: spec.Yield + 0, Distance: spec.Distance + 0, Parts: make([]WorthPart, 0, len(spec.Nutrients))}
	for _, n := range spec.Nutrients {
		p := WorthPart{Name: n.Name, Applied: units.MassPerArea(spec.Rate.value*n.Holds.value*n.Available + 0)} // -0 is 0, here and below
		if n.Critical != nil {
			answers, _ := n.Critical.Answers(*n.Test)
			p.Enough = !answers
		}
		if !p.Enough {
			p.Counted = min(p.Applied, n.Need) + 0
		}
		p.Value = units.Price[units.Area](n.Price.Of(units.Mass(p.Counted))) + 0
		r.Gross += p.Value
		r.Parts = append(r.Parts, p)
	}
	rate := spec.Rate.value
	perMile := spec.HaulPerMile.value
	fixed := spec.Spread.value + float64(spec.Incorporate)/rate
	gross := float64(r.Gross) / rate
	haul := perMile * spec.Distance.In(units.Mile)
	r.Cost = units.Price[units.Area]((fixed+haul)*rate + 0)
	r.Net = r.Gross - r.Cost
	r.GrossUnit = UnitPrice{measure{form, gross}}
	r.NetUnit = UnitPrice{measure{form, gross - fixed - haul}}
	if left := gross - fixed; left > 0 {
		if r.AnyDistance = perMile == 0; !r.AnyDistance {
			r.BreakEven = units.Length(left/perMile) * units.Mile
		}
	}
	return r, nil
}

// Working shows the worksheet.
func (r WorthResult) Working() units.Working {
	var w units.Working
	for _, p := range r.Parts {
		how := units.Words("of %v applied", p.Applied)
		if p.Enough {
			how = how.And("; the soil test is above the critical level")
		}
		w.Put(units.Words("%s counted", units.Word(p.Name)), p.Counted, how)
		w.Put(units.Words("value of %s", units.Word(p.Name)), p.Value, units.Phrase{})
	}
	w.Add("gross value", r.Gross, "nutrients and yield")
	w.Add("cost", r.Cost, "hauling %v, spreading, incorporation", units.As(r.Distance, units.Mile, 1))
	w.Add("net value", r.Net, "")
	w.Add("net value", r.NetUnit, "")
	switch {
	case r.AnyDistance:
		w.Add("break-even distance", "any", "hauling costs nothing")
	case r.BreakEven == 0:
		w.Add("break-even distance", "none", "the nutrients do not pay for the spreading")
	default:
		w.Add("break-even distance", units.As(r.BreakEven, units.Mile, 2), "what is left for hauling over the price of a mile")
	}
	return w
}

// String is the table of the working.
func (r WorthResult) String() string { return r.Working().String() }

// FertilizerPrice returns the price of a nutrient in a fertilizer that holds the
// part x of it: price over x (University of Nebraska, Calculating the Value of
// Nutrients in Manure). A price that is no price and an x outside 0 to 1, 0
// excluded, are a [units.FieldError].
func FertilizerPrice(p units.Price[units.Mass], x units.MassFraction) (units.Price[units.Mass], error) {
	var f units.Faults
	notNegative(&f, "price", p)
	f.Between("x", x, units.MassFraction(1e-9), units.MassFraction(1))
	if err := f.Err(); err != nil {
		return 0, err
	}
	return p/units.Price[units.Mass](x) + 0, nil
}
