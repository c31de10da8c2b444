package removal

import (
	"example.org/earthbasin/units"
)

// Working returns the best case stage by stage, then the totals of every case.
func (r PlanResult) Working() units.Working {
	var w units.Working
	best := r.Best()
	how := units.Words("best figure; %v as it lies: %v", units.Word(r.InPlace.Name), r.InPlace.Handling)
	if r.ToPump > 0 {
		how = how.And("; %v of liquid would make it pumpable", liquidVolume(r.ToPump))
	}
	w.Put(units.Words("sludge"), liquidVolume(best.Sludge), how)
	w.Add("liquid", liquidVolume(best.Liquid), "above it")
	for _, route := range best.Routes {
		for _, s := range route.Stages {
			s.lines(&w, units.Words("%v: %v", route.Route, units.Word(s.Name)))
			for _, x := range route.Streams {
				if x.Stage == s.Kind {
					x.lines(&w)
				}
			}
		}
	}
	for _, c := range r.Cases {
		for _, route := range c.Routes {
			if !route.Feasible {
				w.Put(units.Words("%v, %v", units.Word(c.Name), route.Route), "cannot be done", route.Why[0])
				continue
			}
			w.Put(units.Words("%v, %v", units.Word(c.Name), route.Route), units.Money(route.Cost),
				units.Words("sludge %v; %v moved, loads %v, %v, days %v", liquidVolume(c.Sludge), route.Moved, route.Loads, route.Hours, route.Days))
		}
	}
	say := func(item string, route Route, holds bool) {
		switch {
		case route == 0:
		case holds && len(r.Cases) > 1:
			w.Add(item, route, "also at the low and the high sludge volume")
		case len(r.Cases) > 1:
			w.Add(item, route, "at the best volume only: the interval does not settle it")
		default:
			w.Add(item, route, "")
		}
	}
	say("cheapest", r.Cheapest, r.CheapestHolds)
	say("fastest", r.Fastest, r.FastestHolds)
	return w
}

// lines appends one stage.
func (s StageResult) lines(w *units.Working, name units.Phrase) {
	if s.Material.Volume > 0 {
		w.Put(name, s.Class.volume(s.Moved), units.Words("%v at %v solids, %v dry: %v", s.Material.Mass, units.As(s.Material.Solids, units.Percent, 1), s.Material.Dry, units.Word(s.Class.Name)))
	} else {
		w.Put(name, s.Hours, units.Words("before pumping"))
	}
	if s.Fresh > 0 {
		w.Add("  fresh water", liquidVolume(s.Fresh), "the liquid does not thin the sludge enough")
	}
	if h := s.Haul; h != nil {
		w.Add("  loads", h.Loads, "of %v; cycle %v; %v trucks keep the loader busy, %v never queue; bottleneck with %v: %v", s.Class.volume(h.PerLoad), h.Cycle, h.TrucksNeeded, h.TrucksNoQueue, h.Trucks, h.Bottleneck)
	}
	if h := s.Hose; h != nil {
		w.Add("  hose sets", h.Sets, "on %v", h.Area)
	}
	if s.Agitation != nil {
		w.Put(units.Words("  turnovers"), s.Agitation.Turnovers, units.Words("of %v", liquidVolume(s.Agitation.Volume)))
	}
	if s.Again > 0 {
		w.Add("  agitation on later days", s.Again, "solids settle overnight")
	}
	if s.Layer > 0 {
		w.Add("  layer", s.Layer, "volume / floor")
	}
	w.Add("  time", s.Hours, "days %v; cost %v", s.Days, units.Money(s.Cost))
}

// lines appends what the stream holds.
func (s Stream) lines(w *units.Working) {
	for _, c := range s.Constituents {
		how := units.Words("%v with the water; %v of what is moved", c.WithWater, c.PerVolume)
		if s.Handling == HandlingDig {
			how = units.Words("%v with the water; %v of the wet mass", c.WithWater, c.PerMass)
		}
		w.Put(units.Words("  %v", units.Word(c.Name)), c.Mass, how)
	}
}

// liquidVolume returns a volume to be shown as liquids are.
func liquidVolume(v units.Volume) units.Shown { return units.As(v, units.Gallon, 0) }

// volume returns a volume of the class to be shown as what is pumped or dug is.
func (c SolidsClass) volume(v units.Volume) units.Shown {
	if c.Handling == HandlingPump {
		return liquidVolume(v)
	}
	return units.As(v, units.CubicYard, 1)
}

// String returns the working as a table.
func (r PlanResult) String() string { return r.Working().String() }
