package plan

import (
	"cmp"
	"fmt"
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
			var more units.MassPerArea
			var aims units.Phrase
			for _, x := range route.Spread.Allocated.Placements {
				if x.Field != field.Name || l.Season != "" && !s.within(x.Season, l.Season) || !(route.Brings(x, c.get) > 0) {
					continue
				}
				off := s.tolerance(x.Material)
				more += route.Brings(x, c.get) * units.MassPerArea(off)
				if !aims.IsZero() {
					aims = aims.And(", ")
				}
				aims = aims.And("%v of %v", aim(x, off), units.Word(x.Material))
			}
			if over := l.Applied + more - l.Room; over > l.Room*1e-9 {
				r.Open = append(r.Open, stage.Open{Key: "machines.limits." + field.Name + "." + c.name, Who: stage.Contractor,
					What:  units.Words("%s on %s is planned up to its limit of %v: machines that are as far off as is accepted put on %v more than that", units.Word(c.name), units.Word(field.Name), l.Room, over),
					Needs: units.Words("settings that aim at %v, and what is then left on another field; or loads counted so that no more than the amount of the plan goes on", aims)})
			}
		}
	}
}

// aim is the rate that a machine aims at so that it is within the planned one when it is
// off by so much.
func aim(x allocation.Placement, off float64) nutrient.Rate {
	if x.Rate.Form() == nutrient.Solid {
		return nutrient.SolidRate(units.MassPerArea(x.Rate.SI() / (1 + off)))
	}
	return nutrient.LiquidRate(units.VolumePerArea(x.Rate.SI() / (1 + off)))
}
