package removal

import (
	"example.org/earthbasin/units"
)

// Axle is an axle or a group of axles with what may stand on it.
type Axle struct {
	Name  string     `json:"name"`  // such as drive tandem
	Limit units.Mass `json:"limit"` // legal, of the road
	Share float64    `json:"share"` // of the gross mass of the loaded truck that stands on it, above 0 to 1
}

// Road is what the law lets a truck weigh on the road: figures of the state, of the
// permit and of the posted bridge or farm road, which the caller finds out.
type Road struct {
	Gross units.Mass `json:"gross"`           // most that truck and load may weigh
	Tare  units.Mass `json:"tare"`            // of the empty truck, by a scale ticket
	Axles []Axle     `json:"axles,omitempty"` // that limit it further, with how the loaded truck stands on them
}

// check records what is wrong with the road.
func (r Road) check(f *units.Faults) {
	f.Between("gross", r.Gross, minMass, maxMass)
	f.Between("tare", r.Tare, minMass, maxMass)
	f.CountBetween("axles", len(r.Axles), "axles", 0, 50)
	shares := 0.0
	for i, a := range r.Axles {
		f := f.At("axles", i)
		if a.Name == "" {
			f.Missing("name", "a name for the axle")
		}
		f.Between("limit", a.Limit, minMass, maxMass)
		f.NumberBetween("share", a.Share, minShare, 1)
		shares += a.Share
	}
	if shares > 1+1e-9 {
		f.Add("axles", shares, "shares of 1 or less in all")
	}
	if gross, _ := r.most(); r.Tare > 0 && gross > 0 && r.Tare >= gross {
		f.Add("tare", r.Tare, "less than the truck may weigh, %v", gross)
	}
}

// most returns the gross mass that all limits allow, and the name of the axle that
// sets it, empty for the gross limit.
func (r Road) most() (gross units.Mass, axle string) {
	gross = r.Gross
	for _, a := range r.Axles {
		if m := a.Limit / units.Mass(a.Share); less(m, gross) {
			gross, axle = m, a.Name
		}
	}
	return gross, axle
}
