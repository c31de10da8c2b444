package allocation

import (
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// amountOf returns x m3 or kg.
func amountOf(form nutrient.Form, x float64) nutrient.Amount {
	if form == nutrient.Solid {
		return nutrient.SolidAmount(units.Mass(x))
	}
	return nutrient.LiquidAmount(units.Volume(x))
}

// rateOf returns x m3/m2 or kg/m2.
func rateOf(form nutrient.Form, x float64) nutrient.Rate {
	if form == nutrient.Solid {
		return nutrient.SolidRate(units.MassPerArea(x))
	}
	return nutrient.LiquidRate(units.VolumePerArea(x))
}

// priceOf returns a price of x for each m3 or kg.
func priceOf(form nutrient.Form, x float64) nutrient.UnitPrice {
	if form == nutrient.Solid {
		return nutrient.SolidPrice(units.Price[units.Mass](x))
	}
	return nutrient.LiquidPrice(units.Price[units.Volume](x))
}
