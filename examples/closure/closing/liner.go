package closing

import (
	"errors"
	"strings"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/earthwork"
)

// ponding is the risk of a liner that stays closed under a fill.
const ponding = "A liner that is left whole under a fill holds the rain that seeps in: the fill softens, water stands at the surface or breaks out at the foot, and it carries what is left in the soil with it. Ways through it have to reach ground that drains; where ground water stands above the floor they let it in."

// liner is what becomes of the liner under a fill.
func (s *sheet) liner(a Alternative) {
	l := s.Liner
	if l == nil {
		s.open(stage.Open{Key: "closing.liner", What: units.Words("what becomes of the liner; left whole it holds water under the fill"), Needs: units.Words("the regulator's word: dug out and tilled, or pierced and covered"), Who: stage.Regulator, Stops: true})
		return
	}
	floor := s.Basin.AreaAt(0)
	switch l.Way {
	case LinerWayTill:
		hours := units.Duration(0)
		if s.Rates.Till > 0 {
			hours = units.Hour * units.Duration(floor/s.Rates.Till)
		} else {
			s.lacks("rates.till", "hours of tilling the floor", "area of floor broken up in an hour", stage.Contractor)
		}
		how := units.Words("floor, as deep as the liner; nobody has said how deep")
		if l.Till > 0 {
			how = units.Words("floor, %v deep", l.Till)
		} else {
			s.lacks("liner.till", "how deep the liner is broken up", "its thickness, from the drawing or a hole", stage.Engineer)
		}
		s.row("closing.liner.till", "break up the liner", floor, how, hours, s.price(s.Prices.Till.For(float64(floor)), "till"))
		s.task(stage.Task{Key: "closing.liner", Name: units.Words("till the floor so that it drains"), Kind: stage.DigLiner, Work: hours, Fit: stage.DryDay, Crew: crew, Needs: s.clean(), Cautions: []string{gas}})
		s.keep("liner.till", "depth of tilling, by place, and the liner's thickness found", "before filling", "closing.liner", stage.Contractor, common)
	case LinerWayPierce:
		s.pierce()
	case LinerWayLeave:
		s.warn([]string{ponding})
		if a != AlternativePond {
			s.cannot(units.Words("a liner left whole under soil holds water; it has to be tilled or pierced"))
		}
	}
	if l.Way == LinerWayTill {
		s.stays("what is left of the liner, broken up")
	} else {
		s.stays("the liner, %v", units.Word(map[LinerWay]string{LinerWayPierce: "pierced", LinerWayLeave: "whole"}[l.Way]))
	}
	if l.Way != LinerWayTill && a != AlternativePond {
		s.warn([]string{ponding})
		s.condition(linerStays, units.Words("the regulator agrees that the liner stays, %v", units.Word(l.Way.String())), stage.Regulator)
	}
}

// pierce opens ways through a liner that stays.
func (s *sheet) pierce() {
	if s.ways == nil {
		s.open(stage.Open{Key: "closing.liner.ways", What: units.Words("ways through the liner"), Needs: units.Words("holes or trenches, how wide, how deep and how far apart; no rule could be read"), Who: stage.Engineer, Stops: true})
		return
	}
	r := s.ways
	s.o.Drain = r
	work := s.earth("closing.liner.ways", "pierce the liner", r.Volume, units.Words("bank: %v of the floor opened, %v deep", units.Share(r.Share), r.Spec.Depth), s.Rates.Trench, "trench", s.Prices.Dig, "dig")
	s.earth("closing.liner.pervious", "pervious soil in the ways", r.Volume, units.Words("as much as is dug"), 0, "", s.Prices.Pervious, "pervious")
	s.task(stage.Task{Key: "closing.liner", Name: units.Words("pierce the liner and fill the ways with pervious soil"), Kind: stage.DigLiner, Work: work, Fit: stage.DryDay, Crew: crew,
		Needs: s.clean(), Cautions: append([]string{gas}, r.Cautions...)})
	s.keep("liner.ways", "each way through the liner on the plan, and the ground below it that drains", "before filling", "closing.liner", stage.Engineer, common)
}

// softFloor is the first lift over a floor that does not carry.
func (s *sheet) softFloor(f *units.Faults) {
	if s.SoftFloor == nil {
		s.open(stage.Open{Key: "closing.softFloor", What: units.Words("whether the floor carries machines"), Needs: units.Words("a look, a bar pushed in, and a trial patch once the sludge is out"), Who: stage.Contractor})
		return
	}
	spec := *s.SoftFloor
	if spec.Soil == (earthwork.SoilSpec{}) {
		if s.Soil == nil {
			s.lacksSoil()
			return
		}
		spec.Soil = s.importSoil()
	}
	if spec.Area == 0 {
		spec.Area = s.Basin.AreaAt(0)
	}
	r, err := earthwork.Bridging(spec)
	f.Sub("softFloor", err)
	if err != nil {
		return
	}
	s.o.Bridging = &r
	work := s.earth("closing.soft", "bridging lift over the soft floor", r.Volume.Compacted, units.Words("compacted; %v of it sinks in and comes on top of the fill", shown(r.Volume.Compacted-r.Above)), s.Rates.Place, "place", s.Prices.Place, "place")
	if r.Fabric > 0 {
		s.row("closing.soft.fabric", "fabric under it", r.Fabric, units.Words("with laps"), 0, s.price(s.Prices.Fabric.For(float64(r.Fabric)), "fabric"))
	}
	s.task(stage.Task{Key: "closing.soft", Name: units.Words("push the bridging lift out over the soft floor"), Kind: stage.EarthMoving, Work: work, Fit: stage.EarthDay, Crew: crew,
		Needs: append(s.clean(), s.needs("closing.erosion", "closing.liner")...), Cautions: append([]string{gas}, r.Cautions...)})
	s.condition(softFloorWord, units.Words("a licensed engineer has chosen the bridging lift"), stage.Engineer)
}

// drop leaves a fault out.
const drop = "-"

// moved gives the faults of err the fields of the spec: pairs of what package earthwork
// calls a part and the path that it has here, or drop for one that is no part of it.
func moved(err error, pairs ...string) error {
	var list []error
	for _, e := range units.FieldErrors(err) {
		field := e.Field
		for i := 0; i+1 < len(pairs); i += 2 {
			if rest, ok := strings.CutPrefix(field, pairs[i]); ok && (rest == "" || rest[0] == '.' || rest[0] == '[') {
				field = pairs[i+1] + rest
				break
			}
		}
		if field != drop {
			list = append(list, e.At(field))
		}
	}
	return errors.Join(list...)
}
