package cover

import (
	"example.org/earthbasin/units"
)

// NurseSpec is a nurse crop, sown with a perennial mix to hold the ground until
// the mix does.
type NurseSpec struct {
	Name string `json:"name"` // of the crop
	// TemporaryRate is the bulk rate at which the crop is sown alone as a temporary
	// cover.
	TemporaryRate units.MassPerArea `json:"temporaryRate"`
	Share         float64           `json:"share"` // of TemporaryRate, more than 0 to 1
	// MostShare is the most that the state allows: 0.5 in Pennsylvania; 1 for no
	// limit. A dense nurse crop smothers the mix. No default.
	MostShare float64                 `json:"mostShare"`
	Area      units.Area              `json:"area"`  // to seed, more than 0
	Bag       units.Mass              `json:"bag"`   // 0 when sold by weight
	Price     units.Price[units.Mass] `json:"price"` // 0 unknown
}

// NurseResult is the seed of the nurse crop.
type NurseResult struct {
	Spec    NurseSpec         `json:"spec"`    // what it was worked out from
	Rate    units.MassPerArea `json:"rate"`    // bulk seed
	Mass    units.Mass        `json:"mass"`    // on the whole area
	Bags    int               `json:"bags"`    // rounded up, 0 when sold by weight
	Cost    float64           `json:"cost"`    // of the bags, or of the mass; 0 without a price
	Finding Finding           `json:"finding"` // share against MostShare
}

// Nurse works out a nurse crop as a share of its own temporary rate (Pennsylvania
// DEP, Erosion and Sediment Pollution Control Program Manual 363-2134-008, 2012:
// at most one half).
func Nurse(spec NurseSpec) (NurseResult, error) {
	var f units.Faults
	required(&f, "name", spec.Name)
	f.Positive("temporaryRate", spec.TemporaryRate)
	f.PositiveFraction("share", spec.Share)
	f.PositiveFraction("mostShare", spec.MostShare)
	f.UpTo("area", spec.Area, units.MaxArea)
	f.ZeroTo("bag", spec.Bag, mostBag)
	f.Price("price", spec.Price)
	if err := f.Err(); err != nil {
		return NurseResult{}, err
	}
	r := NurseResult{Spec: spec, Rate: spec.TemporaryRate * units.MassPerArea(spec.Share)}
	r.Mass = r.Rate.Times(spec.Area)
	bought, n, err := inBags("bag", r.Mass, spec.Bag)
	f.Sub("", err)
	r.Bags, r.Cost = n, spec.Price.Of(bought)
	if err := f.Err(); err != nil {
		return NurseResult{}, err
	}
	r.Finding = Finding{
		Rule: "nurse crop", Value: units.Words("%v of its temporary rate", units.Share(spec.Share)),
		Want: units.Words("at most %v", units.Share(spec.MostShare)), Verdict: verdict(spec.Share, spec.Share, nil, &spec.MostShare),
	}
	return r, nil
}

// Working shows the seed.
func (r NurseResult) Working() units.Working {
	var w units.Working
	w.Add(r.Spec.Name, r.Rate, "%v of %v", units.Share(r.Spec.Share), r.Spec.TemporaryRate)
	w.Put(units.Words("seed"), r.Mass, inBagsWords(units.Words("%v", r.Spec.Area), r.Bags))
	if r.Spec.Price > 0 {
		w.Add("cost", units.Money(r.Cost), "%v", r.Spec.Price)
	}
	w.Put(units.Words("limit"), r.Finding.Verdict, r.Finding.Want)
	return w
}

// String prints the working.
func (r NurseResult) String() string { return r.Working().String() }
