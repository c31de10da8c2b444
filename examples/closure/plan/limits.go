package plan

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/nutrient/allocation"
	"example.org/earthbasin/units"
)

// tolerance is how far the machine of a material may be off the planned rate.
func (s *Scenario) tolerance(material string) float64 {
	for _, m := range s.Materials {
		if m.Name != material {
			continue
		}
		for _, x := range s.Machines {
			if x.Name == m.Machine {
				return cmp.Or(x.Accepted, usualTolerance)
			}
		}
	}
	return usualTolerance
}

// within is whether a season is, or belongs to, the period of a limit.
func (s *Scenario) within(season, period string) bool {
	for _, x := range s.Land.Seasons {
		if x.Name == season {
			return season == period || fmt.Sprintf("crop year %d", cmp.Or(x.CropYear, time.Time(x.From).Year())) == period
		}
	}
	return false
}

// atLimits says where machines that are off by all that is accepted would put more N or
// P2O5 on a field than it may get: by how much, and what they have to aim at instead.
func (r *Machines) atLimits(s *Scenario, route *RouteResult) {
	of := map[nutrient.LimitKind]struct {
		name string
		get  func(*MaterialResult) nutrient.Content
	}{
		nutrient.LimitNitrogen: {OfN, func(m *MaterialResult) nutrient.Content {
			if m.Available == nil {
				return nutrient.Content{}
			}
			return m.Available.Years[0].N.High
		}},
		nutrient.LimitPhosphorus: {OfP2O5, func(m *MaterialResult) nutrient.Content { return m.Analysis.P2O5() }},
	}
	for _, field := range route.Spread.Allocated.Fields {
		for _, l := range field.Limits {
			c, ok := of[l.Kind]
			if !ok || l.Room <= 0 || l.Applied <= 0 {
				continue
			}
			var more, measured units.MassPerArea // beside what is planned
			known := false
			var aims units.Phrase
			for _, x := range route.Spread.Allocated.Placements {
				if x.Field != field.Name || l.Season != "" && !s.within(x.Season, l.Season) || !(route.Brings(x, c.get) > 0) {
					continue
				}
				off := s.tolerance(x.Material)
				more += route.Brings(x, c.get) * units.MassPerArea(off)
				if share, ok := r.measuredShare(s, route, &x, off); ok {
					known, measured = true, measured+route.Brings(x, c.get)*units.MassPerArea(share-1)
				}
				if !aims.IsZero() {
					aims = aims.And(", ")
				}
				aims = aims.And("%v of %v", aim(x, off), units.Word(x.Material))
			}
			if over := l.Applied + more - l.Room; over > l.Room*1e-9 {
				what := units.Words("%s on %s is planned up to its limit of %v: machines that are as far off as is accepted put on %v more than that", units.Word(c.name), units.Word(field.Name), l.Room, over)
				switch put := l.Applied + measured; {
				case !known:
				case put > l.Room*(1+1e-9):
					what = what.And("; as they were measured they put on %v, %v too much", put, put-l.Room)
				default:
					what = what.And("; as they were measured they put on %v", put)
				}
				r.Open = append(r.Open, stage.Open{Key: "machines.limits." + field.Name + "." + c.name, Who: stage.Contractor, What: what,
					Needs: units.Words("settings that aim at %v, and what is then left on another field; or loads counted so that no more than the amount of the plan goes on", aims)})
			}
		}
	}
}

// measuredShare is the rate at which a machine that was measured puts on a placement, over
// the planned one. Within the tolerance nobody changes its setting; beyond, it goes at the
// speed that was set, where it has one.
func (r *Machines) measuredShare(s *Scenario, route *RouteResult, x *allocation.Placement, off float64) (float64, bool) {
	k := route.Spread.index(x.Material)
	if k < 0 {
		return 0, false
	}
	machine := s.Materials[route.Spread.Materials[k].Index].Machine
	i := slices.IndexFunc(r.Machines, func(m MachineResult) bool { return m.Name == machine })
	if i < 0 {
		return 0, false
	}
	volume, mass := r.Machines[i].correction()
	form, measured := nutrient.Liquid, 0.0
	switch {
	case volume != nil:
		measured = volume.Measured.SI()
	case mass != nil:
		form, measured = nutrient.Solid, mass.Measured.SI()
	default:
		return 0, false
	}
	planned, err := x.Rate.As(form, route.Spread.Materials[k].Stream.Slurry.Density())
	if err != nil || planned.SI() == 0 {
		return 0, false
	}
	each := planned.SI() / float64(s.Machines[i].leastPasses(planned)) // of one pass
	var set *Setting
	for j := range r.Settings {
		if y := &r.Settings[j]; y.Machine == machine && y.Field == x.Field && y.Season == x.Season && y.Material == x.Material {
			set, each = y, planned.SI()/float64(y.Passes)
		}
	}
	share := measured / each
	if set == nil || share >= 1-off && share <= 1+off {
		return share, true
	}
	of := float64(set.On) * x.Rate.SI() / x.Amount.SI() // of the ground: at its fastest it covers a part
	rate, _, _, _ := set.at()
	return of * rate.SI() / each, true
}

// aim is the rate that a machine aims at so that it is within the planned one when it is
// off by so much.
func aim(x allocation.Placement, off float64) nutrient.Rate {
	if x.Rate.Form() == nutrient.Solid {
		return nutrient.SolidRate(units.MassPerArea(x.Rate.SI() / (1 + off)))
	}
	return nutrient.LiquidRate(units.VolumePerArea(x.Rate.SI() / (1 + off)))
}
