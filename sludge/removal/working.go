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
		how = how.And("; %v of liquid would make it pumpable", liquid(r.ToPump))
	}
	w.Put(units.Words("sludge"), liquid(best.Sludge), how)
	w.Add("liquid", liquid(best.Liquid), "above it")
	for _, route := range best.Routes {
		for _, s := range route.Stages {
			s.lines(&w, units.Words("%v: %v", route.Route, units.Word(s.Name)))
		}
	}
	for _, c := range r.Cases {
		for _, route := range c.Routes {
			w.Put(units.Words("%v, %v", units.Word(c.Name), route.Route), units.Money(route.Cost),
				units.Words("sludge %v; %v moved, loads %v, %v, days %v", liquid(c.Sludge), route.Moved, route.Loads, route.Hours, route.Days))
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
		w.Add("  fresh water", liquid(s.Fresh), "the liquid does not thin the sludge enough")
	}
	if h := s.Haul; h != nil {
		w.Add("  loads", h.Loads, "of %v; cycle %v; %v trucks keep the loader busy, %v never queue; bottleneck with %v: %v", s.Class.volume(h.PerLoad), h.Cycle, h.TrucksNeeded, h.TrucksNoQueue, h.Trucks, h.Bottleneck)
	}
	if h := s.Hose; h != nil {
		w.Add("  hose sets", h.Sets, "on %v", h.Area)
	}
	w.Add("  time", s.Hours, "days %v; cost %v", s.Days, units.Money(s.Cost))
}

// liquid returns a volume to be shown as liquids are.
func liquid(v units.Volume) units.Shown { return units.As(v, units.Gallon, 0) }

// volume returns a volume of the class to be shown as what is pumped or dug is.
func (c SolidsClass) volume(v units.Volume) units.Shown {
	if c.Handling == HandlingPump {
		return liquid(v)
	}
	return units.As(v, units.CubicYard, 1)
}

// String returns the working as a table.
func (r PlanResult) String() string { return r.Working().String() }

// cautions returns what can hurt people on the stages of the plan.
func cautions(spec PlanSpec) []string {
	list := []string{
		"Drowning: a crust or a dried edge looks like ground and carries neither people nor machines. Work by daylight and in pairs, mark the crest, keep the fence, a ring and a line.",
		"Entry: nobody goes into a tank, sump, reception pit or pipe of the system without air testing, forced air, supplied air, harness and line and people outside. Do not follow one who is down: call the emergency service. Find out which rules for confined spaces apply to farm and contractor.",
		"Bank: wet liners and loaded slopes slide under an excavator. Let a competent person say where it may stand, how far from the edge and how steep the cut may be; a cut into an embankment that holds water back is a matter for a licensed engineer.",
	}
	pressure := spec.PumpOff.Hose != nil || spec.Dig.Hose != nil
	if a := spec.Agitate; a != nil {
		list = append([]string{
			"Gas: agitation sets hydrogen sulfide free at once, in the open too; on still, humid days it lies on the ground. Before it starts move people and animals upwind and away, close or ventilate buildings, wear a gas monitor and leave when it sounds. Keep the jet below the surface and off the banks.",
			"Fire: no flame, smoking, welding or sparking tool near agitation; gas in foam can flash.",
		}, list...)
		pressure = pressure || a.Pump.Hose != nil
	}
	if pressure {
		list = append(list, "Hose: a hose or a pig under pressure strikes with force when it comes free. Relieve the pressure before uncoupling, stand clear of ends and pigs, keep the crew in radio contact, and guard every shaft.")
	}
	return append(list, "The plan counts quantities; it does not say that a site is safe or that a release is allowed. Ask the regulator before land application or discharge.")
}
