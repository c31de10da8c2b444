package earthwork

import (
	"slices"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// HaulSite is a place that gives or takes soil. All volumes of a haul are in one
// state, bank or compacted as the caller likes.
type HaulSite struct {
	Name   string       `json:"name"`        // for the working
	At     plane.Point  `json:"at,omitzero"` // used when no distances are given
	Volume units.Volume `json:"volume"`      // that it gives or takes, 0 or more
	// Optional is a borrow pit that need not be emptied or a spoil area that need
	// not be filled; the others have to be, as far as soil and room go.
	Optional bool `json:"optional,omitzero"`
	// Price per volume for buying at a borrow pit or dumping at a spoil area.
	Price units.Price[units.Volume] `json:"price,omitzero"`
}

// HaulSpec is a transportation problem: soil from the cuts to the fills.
type HaulSpec struct {
	Cuts  []HaulSite `json:"cuts"`  // 1 or more
	Fills []HaulSite `json:"fills"` // 1 or more, with the cuts at most 250
	// Distances are the road distances, one way, a row for each cut and a column
	// for each fill. Without them the straight lines between the sites count.
	Distances [][]units.Length `json:"distances,omitempty"`
	// Truck is the volume of one load, in the state of the site volumes, and Travel
	// the price per distance that the truck drives, both ways. Without them the sum
	// of volume x distance is least and prices of sites are refused.
	Truck  units.Volume              `json:"truck,omitzero"`
	Travel units.Price[units.Length] `json:"travel,omitzero"` // up to 1e6 per m; given with Truck
}

// HaulMove is soil on one way.
type HaulMove struct {
	Cut      int          `json:"cut"`      // index of the site
	Fill     int          `json:"fill"`     // index of the site
	From     string       `json:"from"`     // name of the cut
	To       string       `json:"to"`       // name of the fill
	Volume   units.Volume `json:"volume"`   // in the state of the sites
	Distance units.Length `json:"distance"` // one way
	Cost     float64      `json:"cost"`     // 0 without Truck and Travel
}

// HaulResult is the plan of least cost.
type HaulResult struct {
	Spec     HaulSpec       `json:"spec"`     // what was asked
	Moves    []HaulMove     `json:"moves"`    // by cut, then fill; empty ways are left out
	LeftOver []units.Volume `json:"leftOver"` // at each cut
	Unfilled []units.Volume `json:"unfilled"` // at each fill
	Moved    units.Volume   `json:"moved"`    // in all
	MeanHaul units.Length   `json:"meanHaul"` // one way, by volume
	Cost     float64        `json:"cost"`     // 0 without Truck and Travel
}

// The bounds of the transportation problem: its time grows with the ways times the
// square of the sites.
const (
	maxWays  = 2500
	maxSites = 250
)

// Haul moves as much as has to be and can be moved, at the least cost or, without
// prices, the least volume x distance (transportation problem, by successive
// shortest paths). What has no room stays in LeftOver, what finds no soil in Unfilled.
// Errors are [units.FieldError] with the json field; cuts and fills are at most 250
// together, and cuts times fills at most 2500.
func Haul(spec HaulSpec) (HaulResult, error) {
	var f units.Faults
	priced := spec.priced()
	if priced {
		f.UpTo("truck", spec.Truck, 1000*units.CubicMetre)
		f.UpTo("travel", spec.Travel, units.PricePer(1e6, units.Metre))
	}
	checkSites(&f, "cuts", spec.Cuts, priced)
	checkSites(&f, "fills", spec.Fills, priced)
	m, n := len(spec.Cuts), len(spec.Fills)
	if m+n > maxSites {
		f.Count("cuts", m+n, "cuts and fills", "at most %v together; put neighbouring sites together", maxSites)
	}
	if m*n > maxWays {
		f.Count("cuts", m*n, "ways from cuts to fills", "at most %v; put neighbouring sites together", maxWays)
	}
	if len(spec.Distances) == 0 && m*n > 0 && onePlace(spec) {
		f.Missing("distances", "distances, or sites that are not all at one place")
	}
	if len(spec.Distances) != 0 && len(spec.Distances) != m {
		f.Count("distances", len(spec.Distances), "rows", "%v, one for each cut", m)
	}
	for i, row := range spec.Distances {
		if len(row) != n {
			at := f.At("distances", i)
			at.Count("", len(row), "columns", "%v, one for each fill", n)
		}
		for j, d := range row {
			at := f.At("distances", i, j)
			at.ZeroTo("", d, 20000*units.Kilometre)
		}
	}
	if err := f.Err(); err != nil {
		return HaulResult{}, err
	}
	distance, cost := make([]units.Length, m*n), make([]float64, m*n)
	for i, c := range spec.Cuts {
		for j, p := range spec.Fills {
			d := c.At.Distance(p.At)
			if len(spec.Distances) != 0 {
				d = spec.Distances[i][j]
			}
			distance[i*n+j], cost[i*n+j] = d, float64(d)
			if priced {
				cost[i*n+j] = spec.Travel.Of(2*d)/float64(spec.Truck) + c.Price.SI() + p.Price.SI()
			}
		}
	}
	t := newTransport(spec.Cuts, spec.Fills, cost)
	moved, ok := t.run()
	if !ok {
		f.Count("cuts", m*n, "ways from cuts to fills", "sites that are settled in %v rounds; put neighbouring sites together", t.limit())
		return HaulResult{}, f.Err()
	}
	r := HaulResult{Spec: spec}
	var turn float64
	for _, c := range spec.Cuts {
		r.LeftOver = append(r.LeftOver, c.Volume)
	}
	for _, p := range spec.Fills {
		r.Unfilled = append(r.Unfilled, p.Volume)
	}
	for i, c := range spec.Cuts {
		for j, p := range spec.Fills {
			v := moved[i*n+j]
			if v == 0 {
				continue
			}
			mv := HaulMove{i, j, c.Name, p.Name, v, distance[i*n+j], 0}
			if priced {
				mv.Cost = float64(v) * cost[i*n+j]
			}
			r.Moves = append(r.Moves, mv)
			r.LeftOver[i] = rest(r.LeftOver[i], v)
			r.Unfilled[j] = rest(r.Unfilled[j], v)
			r.Moved += v
			r.Cost += mv.Cost
			turn += float64(v) * float64(mv.Distance)
		}
	}
	if r.Moved > 0 {
		r.MeanHaul = units.Length(turn / float64(r.Moved))
	}
	return r, nil
}

// priced reports whether cost is least and not volume x distance.
func (spec HaulSpec) priced() bool { return spec.Truck != 0 || spec.Travel != 0 }

// onePlace reports whether all sites are at the place of the first, as they are
// when no place was given.
func onePlace(spec HaulSpec) bool {
	away := func(s HaulSite) bool { return s.At != spec.Cuts[0].At }
	return !slices.ContainsFunc(spec.Cuts, away) && !slices.ContainsFunc(spec.Fills, away)
}

// rest returns a - b, with rounding noise taken for nothing.
func rest(a, b units.Volume) units.Volume {
	if a-b <= slack*a {
		return 0
	}
	return a - b
}

func checkSites(f *units.Faults, path string, sites []HaulSite, priced bool) {
	if len(sites) == 0 {
		f.Missing(path, "at least one site")
	}
	for i, s := range sites {
		at := f.At(path, i)
		place := at.At("at")
		at.ZeroTo("volume", s.Volume, units.MaxVolume)
		place.Between("x", s.At.X, -units.MaxCoordinate, units.MaxCoordinate)
		place.Between("y", s.At.Y, -units.MaxCoordinate, units.MaxCoordinate)
		at.Price("price", s.Price)
		if s.Price != 0 && !priced {
			at.Fault(units.FaultConflict, "price", s.Price, "truck and travel beside it, to weigh a price against a distance")
		}
	}
}

// Working shows what goes where.
func (r HaulResult) Working() units.Working {
	var w units.Working
	for _, m := range r.Moves {
		w.Put(units.Words("%s to %s", m.From, m.To), earth(m.Volume), units.Words("over %v", m.Distance))
	}
	for i, v := range r.LeftOver {
		if v > 0 {
			w.Put(units.Words("left at %s", r.Spec.Cuts[i].Name), earth(v), units.Words(""))
		}
	}
	for j, v := range r.Unfilled {
		if v > 0 {
			w.Put(units.Words("not filled at %s", r.Spec.Fills[j].Name), earth(v), units.Words(""))
		}
	}
	w.Add("mean haul, one way", r.MeanHaul, "volume x distance / %v", earth(r.Moved))
	if r.Spec.priced() {
		w.Add("cost", units.Money(r.Cost), "loads x two ways x price of travel, and site prices")
	}
	return w
}

// String prints the working.
func (r HaulResult) String() string { return r.Working().String() }
