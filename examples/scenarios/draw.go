package main

import (
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
)

// outputs lists what a draw gives, in the order in which [work.draw] puts it down.
func outputs(currency string) []output {
	var list []output
	for _, m := range materialNames {
		list = append(list,
			output{name: m + " volume", unit: "1000 gal"},
			output{name: m + " available N", unit: "lb"},
			output{name: m + " P2O5", unit: "lb"},
			output{name: m + " rate", unit: "1000 gal/acre"},
			output{name: m + " N binds", share: true},
			output{name: m + " P binds", share: true},
			output{name: m + " pass binds", share: true},
			output{name: m + " is over the N need", share: true},
			output{name: m + " N over need", unit: "lb/acre"},
			output{name: m + " N short of need", unit: "lb/acre"},
			output{name: m + " land at the rate", unit: "acre"},
		)
	}
	return append(list,
		output{name: "land by N", unit: "acre"},
		output{name: "land by P", unit: "acre"},
		output{name: "hauling time", unit: "h"},
		output{name: "cost", unit: currency},
		output{name: "net worth", unit: currency},
	)
}

// work is the memory of one worker.
type work struct {
	*chain
	spec      nutrient.FieldRateSpec // the limits on a material
	rate      nutrient.FieldRateResult
	put       nutrient.FieldRateSpec // what the machine puts down in its place
	putDown   nutrient.FieldRateResult
	nutrients [3]nutrient.WorthNutrient
	y         []float64
}

func (c *chain) start() func(x, y []float64) error {
	w := &work{chain: c}
	w.spec.Limits = make([]nutrient.Limit, 3)
	w.put.Limits = make([]nutrient.Limit, 1)
	w.put.Needs = make([]nutrient.NutrientNeed, 1)
	return w.draw
}

func (w *work) tell(v float64) { w.y = append(w.y, v) }

func (w *work) tellIf(b bool) {
	if b {
		w.tell(1)
	} else {
		w.tell(0)
	}
}

// totals adds up both materials.
type totals struct {
	n, p2o5   units.Mass
	cost, net float64
}

// draw takes the inputs x of one draw through the library, and puts the outputs
// into y.
func (w *work) draw(x, y []float64) error {
	w.y = y[:0]
	inSludge := w.basin.VolumeAt(w.sludgeDepth(x))
	stocks := [2]units.Volume{w.basin.VolumeAt(w.liquidDepth(x)) - inSludge, inSludge}
	needN := w.needN(x)
	var sum totals
	for i := range w.materials {
		var f units.Faults
		f.Positive(materialNames[i]+" volume", stocks[i])
		if f.Err() == nil {
			f.Sub(materialNames[i], w.material(x, &w.materials[i], stocks[i], needN, &sum))
		}
		if err := f.Err(); err != nil {
			return err
		}
	}
	w.tell(sum.n.OverRate(needN).In(units.Acre))
	w.tell(sum.p2o5.OverRate(w.allowP2O5(x)).In(units.Acre))
	spec := w.haul
	spec.Volume = inSludge
	haul, err := removal.Haul(spec)
	if err != nil {
		return err
	}
	w.tell(haul.Time.In(units.Hour))
	w.tell(sum.cost)
	w.tell(sum.net)
	return nil
}

// material works out one material and adds it to sum.
func (w *work) material(x []float64, s *stream, stock units.Volume, needN units.MassPerArea, sum *totals) error {
	amount := nutrient.LiquidAmount(stock)
	a, err := nutrient.Analyze(nutrient.AnalyzeSpec{
		Form:      nutrient.Liquid,
		TKN:       nutrient.LiquidContent(s.tkn(x)),
		AmmoniumN: nutrient.LiquidContent(s.ammoniumN(x)),
		P2O5:      nutrient.LiquidContent(s.p2o5(x)),
		K2O:       nutrient.LiquidContent(s.k2o(x)),
	})
	if err != nil {
		return err
	}
	parts, err := s.schedule.Nitrogen(a, 1)
	if err != nil {
		return err
	}
	available := nutrient.LiquidContent(within(parts.Nitrate, 0) + within(parts.Ammonium, s.ammonium(x)) +
		within(parts.Organic, s.organic(x)) + within(parts.Unsplit, s.organic(x)))
	inN, err := available.Times(amount)
	if err != nil {
		return err
	}
	inP, err := a.P2O5().Times(amount)
	if err != nil {
		return err
	}
	sum.n, sum.p2o5 = sum.n+inN, sum.p2o5+inP

	w.spec.Limits[0] = nutrient.Limit{Kind: nutrient.LimitNitrogen, Holds: available, Room: needN}
	w.spec.Limits[1] = nutrient.Limit{Kind: nutrient.LimitPhosphorus, Holds: a.P2O5(), Room: w.allowP2O5(x)}
	w.spec.Limits[2] = nutrient.Limit{Kind: nutrient.LimitPass, Rate: s.mostPerPass}
	if err := w.rate.Evaluate(&w.spec); err != nil {
		return err
	}
	binds := w.rate.Limits[0].Kind
	put, err := w.rate.Rate.Scale(s.calibration(x))
	if err != nil {
		return err
	}
	w.put.Limits[0] = nutrient.Limit{Kind: nutrient.LimitPass, Rate: put}
	w.put.Needs[0] = nutrient.NutrientNeed{Name: "available N", Holds: available, Need: needN}
	if err := w.putDown.Evaluate(&w.put); err != nil {
		return err
	}
	land, err := amount.Over(put)
	if err != nil {
		return err
	}
	w.nutrients = [3]nutrient.WorthNutrient{
		{Name: "available N", Holds: available, Available: 1, Price: w.priceN(x), Need: needN},
		{Name: "P2O5", Holds: a.P2O5(), Available: 1, Price: w.priceP(x), Need: w.needP2O5(x)},
		{Name: "K2O", Holds: a.K2O(), Available: 1, Price: w.priceK(x), Need: w.needK2O(x)},
	}
	worth, err := nutrient.Worth(nutrient.WorthSpec{Nutrients: w.nutrients[:], Rate: put,
		Spread: nutrient.LiquidPrice(s.spread(x)), HaulPerMile: nutrient.LiquidPrice(s.haulPerMile(x)), Distance: s.distance})
	if err != nil {
		return err
	}
	sum.cost += worth.Cost.Of(land)
	sum.net += worth.Net.Of(land)

	aimed, _ := w.rate.Rate.VolumePerArea()
	n := w.putDown.Nutrients[0]
	w.tell(stock.In(1000 * units.Gallon))
	w.tell(inN.In(units.Pound))
	w.tell(inP.In(units.Pound))
	w.tell(aimed.In(1000 * units.GallonPerAcre))
	w.tellIf(binds == nutrient.LimitNitrogen)
	w.tellIf(binds == nutrient.LimitPhosphorus)
	w.tellIf(binds == nutrient.LimitPass)
	w.tellIf(n.Excess > 0)
	w.tell(n.Excess.In(units.PoundPerAcre))
	w.tell(n.Missing.In(units.PoundPerAcre))
	w.tell(land.In(units.Acre))
	return nil
}

// within returns the content at a place between low, 0, and high, 1.
func within(r nutrient.ContentRange, place float64) units.Concentration {
	low, _ := r.Low.Concentration()
	high, _ := r.High.Concentration()
	return low + units.Concentration(place)*(high-low)
}
