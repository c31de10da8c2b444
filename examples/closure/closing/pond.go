package closing

import (
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
)

// The test limits for stock water of one state, as its extension service shows them.
const georgia = "Georgia extension slides on closing lagoons: stock water after conversion with nitrate-N below 30 ppm and dissolved oxygen above 3 mg/L"

// pond is the conversion to a freshwater pond.
func pond(site *site, _ *units.Faults) Outcome {
	s := newSheet(site, AlternativePond)
	s.begin()
	s.o.FillLevel = 0
	if s.Liner != nil && s.Liner.Way != LinerWayLeave {
		s.open(stage.Open{Key: "closing.pond.liner", What: units.Words("a pond keeps its liner whole; the plan has it %v for the other ways", units.Word(s.Liner.Way.String())), Needs: units.Words("the liner looked at, and patched where the soaked soil was dug"), Who: stage.Engineer})
	}
	p := s.Pond
	if p == nil {
		s.unsure(units.Words("nothing is said about a pond"))
		s.open(stage.Open{Key: "closing.pond", What: units.Words("conversion to a pond"), Needs: units.Words("its water level, what the pump leaves and what is in it, the water it is filled with, and the limits it has to meet"), Who: stage.Engineer})
	} else {
		s.rinses()
	}
	s.stays("the embankment, with its upkeep")
	s.stays("the liner, whole")
	s.stays("spillway, fence, signs, and the pipes that serve the pond")
	s.condition(pondAllowed, units.Words("the state allows the basin to stay as a pond, under its standard for ponds"), stage.Regulator)
	s.condition(pondEmbankment, units.Words("a licensed engineer has looked at the embankment, which goes on holding water"), stage.Engineer)
	s.condition(pondSpillway, units.Words("it has a spillway for the storm of that standard"), stage.Engineer)
	s.lumps()
	s.keep("pond.tests", "water tested after each filling for nitrogen, phosphorus, oxygen and bacteria, by the limits of the regulator", "after each filling, until it is within the limits", "closing.pond.refill", stage.Laboratory, georgia)
	s.keep("pond.stays", "what stays on a plan: embankment, liner, spillway, pipes that serve the pond, fence and signs", "at the end", "closing.pond.refill", stage.Producer, common).Phase = stage.After
	return s.done()
}

// rinses is the water of the rinses and the refill.
func (s *sheet) rinses() {
	r := s.pond
	s.o.Pond = r
	s.warn(r.Cautions)
	n := len(r.Steps) - 1
	hours := s.hours(r.RinseWater, s.Rates.Water, "water")
	how := units.Words("%v rinses; %v of nitrogen in it, for the nutrient plan", n, r.RinsedN)
	if r.RinseWater > 0 && !s.Budgeted.Water {
		how = how.And("; %v", unbudgeted)
		s.unbudgeted("rinseWater", units.Words("nutrients of the rinse water: %v with %v of nitrogen are spread, and are in no field's budget", r.RinseWater, r.RinsedN))
	}
	s.row("closing.pond.rinse", "rinse water, pumped out and spread", r.RinseWater, how, hours,
		s.price(s.Prices.DirtyWater.For(float64(r.RinseWater)), "dirtyWater"))
	clean := r.RinseWater + r.Refill
	s.row("closing.pond.water", "clean water for rinses and refill", clean, units.Words("%v for the refill; rain counts where there is time", r.Refill), 0, s.price(s.Prices.CleanWater.For(float64(clean)), "cleanWater"))
	if k := s.Pond.Samples; k > 0 {
		count := k * (n + 1)
		s.row("closing.pond.samples", "samples of the water", count, units.Words("%v after each of %v fillings", k, n+1), 0, s.pieces(s.Prices.Sample, count, "sample"))
	} else {
		s.lacks("pond.samples", "samples of the water", "how many after each filling, and for what", stage.Regulator)
	}
	for _, d := range r.Depths {
		if !d.Met {
			s.cannot(units.Words("%s: %v of water below %v of the surface, where %v is wanted", d.Rule.Name, d.Rule.Depth, units.Share(d.Share), units.Share(d.Rule.Share)))
		}
	}
	if !r.Met {
		last := r.Steps[len(r.Steps)-1]
		s.cannot(units.Words("after %v rinses the refilled pond has %v of nitrogen, more than the limit of %v; rinsing without end would leave %v", n, last.RefillN, s.Pond.TargetN, r.MinN))
	}
	s.task(stage.Task{Key: "closing.pond.rinse", Name: units.Words("rinse floor and banks with clean water, pump out, spread; again until it is clean"), Kind: stage.DrawOff, Work: hours, Fit: stage.SpreadDay, Crew: crew,
		Needs: s.clean(), Cautions: r.Cautions, Hold: []units.Phrase{units.Words("the regulator's limits"), units.Words("fields that take the rinse water")}})
	s.task(stage.Task{Key: "closing.pond.refill", Name: units.Words("refill and test"), Kind: stage.Refilling, Needs: s.needs("closing.pond.rinse"), Hold: []units.Phrase{units.Words("the engineer's word on embankment and spillway")}})
}
