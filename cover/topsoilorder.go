package cover

import "example.org/earthbasin/units"

// TopsoilOrderSpec is a layer of topsoil to place.
type TopsoilOrderSpec struct {
	Area  units.Area   `json:"area"`  // to cover, more than 0
	Depth units.Length `json:"depth"` // after settling
	// Loss is the share of what is hauled that settling and handling take, 0 to
	// below 1.
	Loss  float64                   `json:"loss"`
	Stock units.Volume              `json:"stock"` // stripped and kept on the site
	Price units.Price[units.Volume] `json:"price"` // of what is bought, 0 unknown
}

// TopsoilOrderResult is the topsoil to haul and to buy.
type TopsoilOrderResult struct {
	Spec   TopsoilOrderSpec `json:"spec"`   // what it was worked out from
	Placed units.Volume     `json:"placed"` // area x depth
	Hauled units.Volume     `json:"hauled"` // placed / (1 - loss)
	Bought units.Volume     `json:"bought"` // hauled less stock, 0 or more
	Left   units.Volume     `json:"left"`   // stock that is not used
	Cost   float64          `json:"cost"`   // of what is bought; 0 without a price
}

// TopsoilOrder works out a layer of topsoil. In trade units yd3 = acres x 43,560 x depth
// (in) / 324, 134.44 yd3 per acre-inch.
func TopsoilOrder(spec TopsoilOrderSpec) (TopsoilOrderResult, error) {
	var f units.Faults
	f.UpTo("area", spec.Area, units.MaxArea)
	f.Positive("depth", spec.Depth)
	if !(spec.Loss >= 0 && spec.Loss < 1) {
		f.Add("loss", spec.Loss, "0 or more and below 1")
	}
	f.NotNegative("stock", spec.Stock)
	f.Price("price", spec.Price)
	if err := f.Err(); err != nil {
		return TopsoilOrderResult{}, err
	}
	r := TopsoilOrderResult{Spec: spec, Placed: spec.Area.Times(spec.Depth)}
	r.Hauled = r.Placed / units.Volume(1-spec.Loss)
	r.Bought, r.Left = max(0, r.Hauled-spec.Stock), max(0, spec.Stock-r.Hauled)
	r.Cost = spec.Price.Of(r.Bought)
	return r, nil
}

// Working shows the volumes.
func (r TopsoilOrderResult) Working() units.Working {
	var w units.Working
	w.Add("placed", units.As(r.Placed, units.CubicYard, 0), "%v x %v", r.Spec.Area, units.As(r.Spec.Depth, units.Inch, 1))
	w.Add("hauled", units.As(r.Hauled, units.CubicYard, 0), "loss %v", units.Share(r.Spec.Loss))
	w.Add("bought", units.As(r.Bought, units.CubicYard, 0), "stock %v", units.As(r.Spec.Stock, units.CubicYard, 0))
	w.Add("cost", units.Money(r.Cost), "")
	return w
}

// String prints the working.
func (r TopsoilOrderResult) String() string { return r.Working().String() }
