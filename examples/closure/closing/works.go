package closing

import (
	"strconv"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/earthwork"
)

// Cautions of the stage; those of the earthwork come from package earthwork.
const (
	gas       = "Sludge that is left and soil below it give off hydrogen sulfide and methane when they are opened: monitors on, upwind, two people in sight of each other, nobody into the pit, a pipe or a sump (common practice, no source)."
	overtake  = "A storm fills the open pit: machines and hoses come out in the evening, and nobody goes down before the water is pumped off and the floor has been looked at (common practice, no source)."
	edge      = "Stripping runs along the crest of an open basin: machines stay back from the edge by the depth of the bank, nobody on foot between machine and edge, and a crust or a dried edge does not carry (common practice, no source)."
	traffic   = "Trucks back up all day: one way in and out, a spotter where they tip, nobody on foot behind them, the road kept clean (common practice, no source)."
	common    = "common practice, no source"
	illinois  = "8 Ill. Adm. Code 900.608"
	crew      = "earthwork"
	crewPipes = "pipes"
)

// begin writes what every alternative starts with: marks, controls, pipes, the
// inspection, and the soaked soil.
func (s *sheet) begin() {
	s.task(stage.Task{Key: "closing.locate", Name: units.Words("have buried lines located and marked; look for overhead wires"), Kind: stage.Locating, Who: stage.Utility})
	if s.TicketLife == 0 {
		s.lacks("ticketLife", "how long the marks of buried lines hold, so that they are renewed in time", "the life of the ticket, from the utility locator", stage.Utility)
	}
	s.task(stage.Task{Key: "closing.erosion", Name: units.Words("silt fence, inlet protection and a stabilized entrance in place"), Kind: stage.ErosionControl, Fit: stage.DryDay, Crew: crew,
		Needs: s.needs("closing.locate")})
	s.pipes()
	s.task(stage.Task{Key: "closing.inspect", Name: units.Words("regulator inspects the empty basin; soil samples of floor and banks"), Kind: stage.Inspection, Who: stage.Regulator,
		Needs: append(append([]stage.Need(nil), s.After...), s.needs("closing.pipes")...), Cautions: []string{gas}, Hold: []units.Phrase{units.Words("basin scraped clean")}})
	s.keep("inspection", "record of the inspection of the empty basin: who, when, what was found", "before anything is filled, breached or flooded", "closing.inspect", stage.Regulator, common)
	s.soakedSoil()
	s.dirtyWater()
}

func (s *sheet) pipes() {
	if len(s.Pipes) == 0 {
		s.lacks("pipes", "what becomes of the pipes", "each line into and out of the basin, with its diameter, length and depth, and whether it runs under the berm", stage.Producer)
		return
	}
	var work units.Duration
	var cautions []string
	for i, p := range s.Pipes {
		key, name := "closing.pipe."+strconv.Itoa(i+1), pipeName(i, p)
		switch {
		case s.pipeWork[i].plug != nil:
			r := s.pipeWork[i].plug
			hours := s.Rates.Plug * units.Duration(p.Plug.Plugs)
			if hours == 0 {
				s.lacks("rates.plug", "hours of the plugs", "the time for one plug, broken off, cleaned and closed", stage.Contractor)
			}
			work += hours
			s.row(key+".concrete", "concrete in the plugs of "+name, units.As(r.Concrete, units.CubicFoot, 1), units.Words("%v plugs of %v, waste included", p.Plug.Plugs, p.Plug.PlugLength), 0,
				s.price(s.Prices.Concrete.For(float64(r.Concrete)), "concrete"))
			s.row(key+".plugs", "break off, clean and plug "+name, p.Plug.Plugs, units.Words("broken off below the ground that is worked later"), hours, s.pieces(s.Prices.Plug, p.Plug.Plugs, "plug"))
			cautions = append(cautions, r.Cautions...)
			s.stays("%s, plugged", name)
		case s.pipeWork[i].trench != nil:
			r := s.pipeWork[i].trench
			work += s.earth(key+".trench", "dig "+name+" out and fill the trench", r.Excavation, units.Words("%v long, %v at the deepest; %v goes back compacted", r.Length, r.Deepest, shown(r.Backfill)),
				s.Rates.Trench, "trench", s.Prices.Trench, "trench")
			if r.Pipe > 0 {
				s.soil(key+".fill", "soil in place of "+name, r.Pipe, units.Words("compacted: what the pipe took"), 0, s.Prices.Import, "import")
			}
			cautions = append(cautions, r.Cautions...)
		default:
			s.lacks("pipes."+strconv.Itoa(i+1), "work on "+name, "its plug or its trench: diameter, length, depth; and the soil that is dug", stage.Contractor)
			continue
		}
		if p.UnderBerm == nil || *p.UnderBerm {
			s.open(stage.Open{Key: "closing.pipes." + strconv.Itoa(i+1) + ".underBerm", What: units.Words("%s may run under the berm or a road", name),
				Needs: units.Words("a licensed engineer's word on leaving, filling or pulling it"), Who: stage.Engineer})
		}
	}
	s.task(stage.Task{Key: "closing.pipes", Name: units.Words("pull or plug the pipes; take pumps, ports and ramps out"), Kind: stage.PipeWork, Work: work, Fit: stage.QuietDay, Crew: crewPipes,
		Needs: append(append([]stage.Need(nil), s.After...), s.needs("closing.locate")...), Cautions: append(unique(cautions), gas), Hold: []units.Phrase{units.Words("inflow shut off for good")}})
	s.keep("pipes.record", "a photograph and a place on the plan for each pipe pulled or plugged, before it is covered", "as each one is done", "closing.pipes", stage.Contractor, common)
}

// soakedSoil digs out the soil below the waste and takes it where it may go.
func (s *sheet) soakedSoil() {
	if s.soaked == nil {
		s.open(stage.Open{Key: "closing.soaked", What: units.Words("soil below the waste on floor and banks"), Needs: units.Words("the state's word on how much of it goes, and samples of it; Illinois asks for 6 in over the whole interior (%s)", illinois), Who: stage.Regulator})
		return
	}
	r, k := s.soaked, s.Soaked
	if s.HighestLevel == 0 {
		s.open(stage.Open{Key: "closing.highestLevel", What: units.Words("how high the banks are soaked; counted up to the top of the bank"), Needs: units.Words("the highest level that liquid ever stood, from the marker or the stain"), Who: stage.Producer})
	}
	work := s.earth("closing.soaked.dig", "dig out soaked soil on floor and banks", r.Volume, units.Words("bank: %v over %v up to %v", r.Thickness, r.Area, r.UpTo), s.Rates.Dig, "dig", s.Prices.Dig, "dig")
	if k.Destination == "" {
		s.open(stage.Open{Key: "closing.soaked.destination", What: units.Words("where the soaked soil goes: %v in place", shown(r.Volume)), Needs: units.Words("a place that the regulator agrees to; on fields its nutrients count in the plan"), Who: stage.Regulator, Stops: true})
	}
	if k.Destination != "" && !s.Budgeted.Soil {
		s.unbudgeted("soaked", units.Words("nutrients of the soaked soil: %v in place go to %s, and are in no field's budget", shown(r.Volume), k.Destination))
	}
	if s.Soil != nil {
		loose := convert(*s.Soil, r.Volume, earthwork.StateBank, earthwork.StateLoose)
		how := units.Words("loose, to the place that is open")
		if k.Destination != "" {
			how = units.Words("loose, to %s", k.Destination)
		}
		if s.Truck != nil {
			how = how.And(", %v loads", s.loads(r.Volume))
		} else {
			s.lacks("truck", "loads", "the truck: how much it carries", stage.Contractor)
		}
		if k.Destination != "" && !s.Budgeted.Soil {
			how = how.And("; %v", unbudgeted)
		}
		s.soil("closing.soaked.haul", "haul soaked soil", loose, how, 0, s.Prices.Haul, "haul")
	} else {
		s.lacksSoil()
	}
	samples := k.Samples
	if samples == 0 {
		s.open(stage.Open{Key: "closing.soaked.samples", What: units.Words("samples of the soaked soil and of what lies under it"), Needs: units.Words("how many, how deep and for what the regulator asks"), Who: stage.Regulator})
	} else {
		s.row("closing.soaked.samples", "samples of soaked soil, and again below it", 2*samples, units.Words("%v before digging, %v after", samples, samples), 0, s.pieces(s.Prices.Sample, 2*samples, "sample"))
	}
	s.task(stage.Task{Key: "closing.soaked", Name: units.Words("dig out the soaked soil on floor and banks and haul it"), Kind: stage.DigLiner, Work: work, Fit: stage.DryDay, Crew: crew,
		Needs: s.wait("closing.inspect", samples > 0), Cautions: append(append([]string{gas}, r.Cautions...), overtake),
		Hold: []units.Phrase{units.Words("results of the samples"), units.Words("the regulator's word on how deep, and where it goes")}})
	s.task(stage.Task{Key: "closing.confirm", Name: units.Words("samples of what lies under the soil that was dug"), Kind: stage.FloorSampling, Who: stage.Laboratory, Needs: s.needs("closing.soaked"), Cautions: []string{gas}})
	s.keep("soaked.results", "nitrogen, ammonium and phosphorus of floor and banks, by place and depth, before and after digging", "before digging and before filling", "closing.confirm", stage.Laboratory, illinois)
	s.keep("soaked.loads", "each load of soaked soil: date, volume, where to", "as it is hauled", "closing.soaked", stage.Contractor, common)
}

// dirtyWater is what rain brings into the open pit.
func (s *sheet) dirtyWater() {
	if s.Pit == nil {
		s.lacks("pit", "rain in the open pit, to be pumped and spread until it is filled", "the days from the draw-off to the last of the fill, the weather, and the pump", stage.Planner)
		return
	}
	v := s.Pit.Total.Pumped
	hours := s.hours(v, s.Rates.Water, "water")
	how := units.Words("on %v days until %v; the most on one day %v", s.Pit.PumpDays, s.Pit.Total.Date, s.Pit.MostPumped)
	if s.Pit.IdleFill > 0 {
		how = how.And("; left alone it would stand %v over the fill on %v, %v over the floor", s.Pit.IdleHighest-s.Pit.IdleFill, s.Pit.IdleOn, s.Pit.IdleHighest)
	} else {
		how = how.And("; left alone it would stand %v over the floor on %v", s.Pit.IdleHighest, s.Pit.IdleOn)
	}
	if v > 0 && !s.Budgeted.Water {
		how = how.And("; %v", unbudgeted)
		s.unbudgeted("dirtyWater", units.Words("nutrients of the dirty water: %v from the open pit are spread, and are in no field's budget", v))
	}
	s.row("closing.dirtyWater", "dirty water pumped from the open pit and spread", v, how, hours,
		s.price(s.Prices.DirtyWater.For(float64(v)), "dirtyWater"))
	s.warn(s.Pit.Cautions)
	until := "closing.fill"
	if s.o.Alternative == AlternativePond {
		until = "closing.pond.rinse"
	}
	s.keep("pit.log", "level in the pit, what was pumped and where it was spread", "each day until it is filled or flooded", until, stage.Contractor, common)
}

// unbudgeted stands in the row of what goes to the land beside the nutrient plan.
var unbudgeted = units.Words("its nutrients are in no field's budget")

// unbudgeted leaves open what goes to the land beside the nutrient plan.
func (s *sheet) unbudgeted(key string, what units.Phrase) {
	s.open(stage.Open{Key: "closing.budget." + key, What: what, Needs: units.Words("analyse it; room on the field it goes to, or a place that is no field"), Who: stage.Planner})
}

// lumps are what no quantity settles.
func (s *sheet) lumps() {
	for _, l := range []struct {
		field, item string
		price       *Amount
	}{{"erosion", "erosion controls and their upkeep", s.Prices.Erosion}, {"mobilization", "machines to the site and away", s.Prices.Mobilization},
		{"permits", "permits", s.Prices.Permits}, {"engineer", "licensed engineer: embankment, fill, levels", s.Prices.Engineer}} {
		s.row("closing."+l.field, l.item, nil, units.Words("for the whole"), 0, s.price(l.price.For(1), l.field))
	}
}

// clean is the need for a floor that is as it stays, and for the laboratory's word on it:
// sampled under the soaked soil that was dug, else at the inspection of the empty basin.
func (s *sheet) clean() []stage.Need {
	if s.has("closing.confirm") {
		return s.wait("closing.confirm", true)
	}
	return s.wait("closing.inspect", true)
}

// wait is the need for a task, and for the laboratory after it.
func (s *sheet) wait(key string, lab bool) []stage.Need {
	list := s.needs(key)
	for i := range list {
		if lab {
			list[i].Least, list[i].Likely = s.LabDays.Least, s.LabDays.Likely
		}
	}
	if lab && s.LabDays.Likely == 0 {
		s.lacks("labDays", "days until the laboratory answers", "how long the laboratory takes, at least and likely", stage.Laboratory)
	}
	return list
}

// convert is a volume of soil in another state; the soil was checked.
func convert(spec earthwork.SoilSpec, v units.Volume, from, to earthwork.State) units.Volume {
	soil, err := earthwork.NewSoil(spec)
	if err != nil {
		return 0
	}
	v, err = soil.Convert(v, from, to)
	if err != nil {
		return 0
	}
	return v
}

// loads are those of a volume in place.
func (s *sheet) loads(v units.Volume) int {
	r, err := earthwork.Loads(earthwork.LoadsSpec{Volume: v, State: earthwork.StateBank, Soil: *s.Soil, Truck: *s.Truck})
	if err != nil {
		return 0
	}
	return r.Loads
}

// lacksSoil leaves open what hangs on how the soil swells and shrinks.
func (s *sheet) lacksSoil() {
	s.lacks("soil", "loose and compacted volumes, and what has to be brought in", "swell and shrink of the soil of the berm, from a laboratory or a trial", stage.Engineer)
}

func unique(list []string) []string {
	var out []string
	seen := map[string]bool{}
	for _, c := range list {
		if !seen[c] {
			seen[c] = true
			out = append(out, c)
		}
	}
	return out
}
