package allocation

import (
	"context"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// allocate is Allocate without a context.
func allocate(s AllocateSpec) (AllocateResult, error) { return Allocate(context.Background(), s) }

// lb1000 returns x lb/1000 gal.
func lb1000(x float64) nutrient.Content {
	return nutrient.LiquidContent(units.Concentration(x) * units.PoundPer1000Gallon)
}

// contentOf returns x kg/m3 or kg/kg.
func contentOf(form nutrient.Form, x float64) nutrient.Content {
	if form == nutrient.Solid {
		return nutrient.SolidContent(units.MassFraction(x))
	}
	return nutrient.LiquidContent(units.Concentration(x))
}

// What is k times as much.
func timesAmount(a *nutrient.Amount, k float64)   { *a = amountOf(a.Form(), a.SI()*k) }
func timesRate(r *nutrient.Rate, k float64)       { *r = rateOf(r.Form(), r.SI()*k) }
func timesPrice(p *nutrient.UnitPrice, k float64) { *p = priceOf(p.Form(), p.SI()*k) }
func timesContent(c *nutrient.Content, k float64) { *c = contentOf(c.Form(), c.SI()*k) }

func faultFields(err error) (list []string) {
	for _, e := range units.FieldErrors(err) {
		list = append(list, e.Field)
	}
	return list
}
