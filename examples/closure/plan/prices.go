package plan

import (
	"fmt"
	"slices"

	"example.org/earthbasin/examples/closure/land"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/examples/scenarios/study"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/nutrient/allocation"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
)

// PriceRange is the low and the high of one price of the scenario, which hold for it in
// place of the doubt of all prices.
type PriceRange struct {
	// Path is where the price stands, such as materials[1].spread, removal.agitate.perHour or
	// money.labSample. Those of the closing and of other costs have their ends beside them.
	Path string `json:"path"`
	// Low and High are written as the price is, such as "9.5 per 1000 gal"; one that is left
	// out is the price itself.
	Low  study.Figure `json:"low,omitzero"`
	High study.Figure `json:"high,omitzero"`
}

// priceKeys are the last steps of paths to prices, by their part of the scenario.
var priceKeys = map[string][]string{
	"materials": {"spread", "haulPerMile", "leavePrice"},
	"removal":   {"fixed", "perVolume", "perMass", "perHour", "perTruckHour", "water"},
	"cover":     {"price"},
	"money":     {"survey", "labSample", "mulch", "seedingWork"},
}

// priceStep is the share by which prices are moved to see what of a line they are.
const priceStep = 1.0 / 1024

// otherPrices are scenarios with the prices of the ranges at their ends, and with all of
// them a step higher.
type otherPrices struct{ low, high, step Scenario }

// otherPrices reads the ranges; nil for none.
func (s *Scenario) otherPrices() (*otherPrices, error) {
	if s.Money == nil || len(s.Money.Ranges) == 0 {
		return nil, nil
	}
	var f units.Faults
	at := f.At("money")
	at.CountBetween("ranges", len(s.Money.Ranges), "prices", 0, mostParts)
	if err := f.Err(); err != nil {
		return nil, err
	}
	low, high, step := newFinder(*s), newFinder(*s), newFinder(*s)
	for i, r := range s.Money.Ranges {
		in := at.At("ranges", i)
		path := steps(r.Path)
		if len(path) < 2 || !slices.Contains(priceKeys[path[0]], path[len(path)-1]) {
			in.Fault(units.FaultName, "path", r.Path, "the path of a price of materials, removal, cover or money")
			continue
		}
		if slices.ContainsFunc(s.Money.Ranges[:i], func(x PriceRange) bool { return x.Path == r.Path }) {
			in.Say("path", "given twice", "each price once")
			continue
		}
		to, err := low.find(r.Path)
		if err != nil && s.without(path[0]) {
			continue // the part that it is of is left out
		}
		if err != nil {
			in.Say("path", r.Path, "a price that the scenario has")
			continue
		}
		price := to.get()
		read := func(field string, of study.Figure) float64 {
			if of.IsZero() {
				return price
			}
			x, err := to.read(fmt.Sprint(of.Any()))
			for _, e := range units.FieldErrors(err) {
				in.Sub(field, e)
			}
			return x
		}
		before := f.Len()
		from, end := read("low", r.Low), read("high", r.High)
		if f.Len() > before {
			continue
		}
		if path[0] == "cover" && from == 0 {
			in.Add("low", 0.0, "above 0, which stands for no price there")
		}
		if !(from >= 0 && from <= price) {
			in.Fault(units.FaultRange, "low", fmt.Sprint(r.Low.Any()), "0 up to the price itself")
		}
		if !(end >= price && end <= mostMoney) {
			in.Fault(units.FaultRange, "high", fmt.Sprint(r.High.Any()), "the price itself or more")
		}
		up, _ := high.find(r.Path)
		higher, _ := step.find(r.Path)
		to.set(from)
		up.set(end)
		higher.set(price * (1 + priceStep))
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	return &otherPrices{*low.s, *high.s, *step.s}, nil
}

// without is whether the scenario lacks a part with prices.
func (s *Scenario) without(part string) bool {
	return part == "materials" && len(s.Materials) == 0 || part == "removal" && s.Removal == nil || part == "cover" && s.Cover == nil
}

// ranged puts the ends of single prices into rows of the bill, whose other prices have the
// doubt of all: the quantities, the fields and the route stay as they are.
func (b *Bill) ranged(s *Scenario, in *inputs, routes *Routes, v *CoverResult) error {
	var at [3][]stage.Item
	for k, x := range []*Scenario{&in.prices.low, &in.prices.high, &in.prices.step} {
		again, err := x.repriced(in, routes)
		if err != nil {
			return err
		}
		cover, err := vegetation(x, in.lib, v.Area)
		if err != nil {
			return err
		}
		cover.Stops = v.Stops
		var own Bill
		own.lines(x, &in.contents, &again, &cover)
		at[k] = own.Items
	}
	doubt := s.Money.Doubt
	for i := range b.Items {
		base := b.Items[i].Cost
		low, high, step := at[0][i].Cost, at[1][i].Cost, at[2][i].Cost
		if base == nil || low == nil || high == nil || step == nil {
			continue
		}
		// What of the row the prices with ranges are, whose doubt is their own.
		own := func(base, step float64) float64 { return (step - base) / priceStep }
		b.Items[i].Cost = &stage.Cost{
			Low:    min(base.Likely, low.Low-doubt*(base.Low-own(base.Low, step.Low))),
			Likely: base.Likely,
			High:   max(base.Likely, high.High+doubt*(base.High-own(base.High, step.High))),
		}
	}
	return nil
}

// repriced is the route that is taken, and its ends, with the prices of s.
func (s *Scenario) repriced(in *inputs, routes *Routes) (Routes, error) {
	again := *routes
	again.Routes = slices.Clone(routes.Routes)
	library, _, err := removed(s, &in.contents, &in.sampled)
	if err != nil || library == nil {
		return again, err
	}
	reprice := func(r *RouteResult, of *removal.Case) {
		i := slices.IndexFunc(of.Routes, func(x removal.RouteResult) bool { return x.Route == r.Route })
		if i >= 0 {
			r.Removal = of.Routes[i]
		}
		if a := r.Spread.Allocated; a != nil {
			own := *a
			own.Materials = slices.Clone(a.Materials)
			for k := range own.Materials {
				own.Materials[k].Cost, own.Materials[k].Leave = s.spreadCost(&own, own.Materials[k].Name)
			}
			r.Spread.Allocated = &own
		}
	}
	best := library.Best()
	if t := again.taken(); t != nil {
		reprice(t, &best)
	}
	for _, end := range []struct {
		r  **RouteResult
		of int
	}{{&again.Low, 0}, {&again.High, 2}} {
		if *end.r != nil && len(library.Cases) == 3 {
			own := **end.r
			reprice(&own, &library.Cases[end.of])
			*end.r = &own
		}
	}
	return again, nil
}

// spreadCost is what it costs by the prices of s to haul and spread what is placed of a
// material, and the price of what is left.
func (s *Scenario) spreadCost(a *allocation.AllocateResult, material string) (cost float64, leave nutrient.UnitPrice) {
	i := slices.IndexFunc(s.Materials, func(m Material) bool { return m.Name == material })
	m := &s.Materials[i]
	price := func(p nutrient.UnitPrice, of nutrient.Amount) float64 {
		x, _ := p.Of(of) // both are of one material and so of one form
		return x
	}
	for _, x := range a.Placements {
		if x.Material != material {
			continue
		}
		spread := orFree(m.Spread, m.form())
		for _, way := range m.Ways {
			if !way.Spread.IsZero() && (len(way.Fields) == 0 || slices.Contains(way.Fields, x.Field)) && (len(way.Seasons) == 0 || slices.Contains(way.Seasons, x.Season)) {
				spread = way.Spread
			}
		}
		miles := 0.0
		if k := slices.IndexFunc(s.Land.Fields, func(f land.Field) bool { return f.Name == x.Field }); k >= 0 {
			miles = s.Land.Fields[k].Distance.In(units.Mile)
		}
		cost += price(spread, x.Amount) + miles*price(orFree(m.Haul, m.form()), x.Amount)
	}
	if m.Leave != nil {
		leave = *m.Leave
	}
	return cost, leave
}
