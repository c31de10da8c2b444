package closing

import (
	"slices"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
)

// sheet is an outcome while it is written.
type sheet struct {
	*site
	o Outcome
}

func newSheet(s *site, a Alternative) *sheet {
	o := Outcome{Alternative: a, Verdict: VerdictCan, Soaked: s.soaked, Items: make([]stage.Item, 0, 32)}
	for _, w := range s.pipeWork {
		if w.plug != nil {
			o.Plugs = append(o.Plugs, *w.plug)
		}
		if w.trench != nil {
			o.Trenches = append(o.Trenches, *w.trench)
		}
	}
	return &sheet{s, o}
}

// shown is a volume of earth as the trade has it.
func shown(v units.Volume) units.Shown { return units.As(v, units.CubicYard, 0) }

// row writes a line of the bill.
func (s *sheet) row(key, item string, value any, how units.Phrase, hours units.Duration, cost *stage.Cost) {
	s.o.Items = append(s.o.Items, stage.Item{Key: key, What: units.Line{Item: units.Words(item), Value: value, How: how}, Hours: hours, Cost: cost})
	if cost == nil {
		s.o.Unpriced = append(s.o.Unpriced, key)
	}
}

// works names what a rate or a price is of, by its field.
var works = map[string]string{
	"dig": "digging soil and moving it on the site", "place": "placing, compacting and shaping fill", "import": "soil brought in", "borrow": "soil from the borrow area",
	"haul": "hauling soil away", "topsoil": "stripping topsoil and returning it", "topsoilBuy": "topsoil brought in", "pervious": "pervious soil in the ways through the liner",
	"till": "breaking up the liner", "fabric": "fabric under the bridging lift", "grade": "grading floor and banks", "concrete": "concrete in the plugs", "plug": "plugging pipes",
	"trench": "digging trenches and filling them", "dirtyWater": "pumping dirty water and spreading it", "cleanWater": "clean water for rinses and refill", "water": "pumping water",
	"densityTest": "density tests", "sample": "samples and their laboratory", "mobilization": "machines to the site and away", "permits": "permits", "engineer": "the licensed engineer",
	"erosion": "erosion controls and their upkeep",
}

// earth writes a line of soil that is moved: its interval, its hours at the rate and its
// cost.
func (s *sheet) earth(key, item string, v units.Volume, how units.Phrase, rate units.Flow, rateField string, price *VolumePrice, priceField string) units.Duration {
	hours := s.hours(v, rate, rateField)
	s.soil(key, item, v, how, hours, price, priceField)
	return hours
}

// soil is earth whose hours are known.
func (s *sheet) soil(key, item string, v units.Volume, how units.Phrase, hours units.Duration, price *VolumePrice, priceField string) {
	low, high := v, v
	if d := s.EarthDoubt; d != nil {
		from, to := d.Range()
		low, high = v*units.Volume(from), v*units.Volume(to)
	} else {
		s.lacks("earthDoubt", "interval of the volumes of earth: they count as exact", "what they may come out at, as a share of the plan's: from as-built levels, and from tests of swell and shrink", stage.Engineer)
	}
	s.row(key, item, shown(v), how, hours, s.price(price.Of(float64(low), float64(v), float64(high)), priceField))
	if low < high {
		i := &s.o.Items[len(s.o.Items)-1]
		i.Low, i.High = shown(low), shown(high)
	}
}

// hours are what the rate takes for a volume; without a rate they stay open.
func (s *sheet) hours(v units.Volume, rate units.Flow, field string) units.Duration {
	if field == "" || v == 0 {
		return 0
	}
	if rate == 0 {
		s.lacks("rates."+field, "hours of "+works[field], "what the crew and its machines do in an hour or a day", stage.Contractor)
		return 0
	}
	return v.OverFlow(rate)
}

// price hands on a cost, and leaves it open where there is none.
func (s *sheet) price(cost *stage.Cost, field string) *stage.Cost {
	if cost == nil {
		s.lacks("prices."+field, "cost of "+works[field], "a price, with its low and high, from bids or from the last job", stage.Contractor)
	}
	return cost
}

// pieces are the cost of a number of things.
func (s *sheet) pieces(p *Amount, n int, field string) *stage.Cost {
	x := float64(n)
	return s.price(p.For(x), field)
}

// lacks leaves a question open, each once.
func (s *sheet) lacks(key, what, needs string, who stage.Who) {
	s.open(stage.Open{Key: "closing." + key, What: units.Words(what), Needs: units.Words(needs), Who: who})
}

func (s *sheet) open(o stage.Open) {
	if !s.Figures && !slices.ContainsFunc(s.o.Open, func(x stage.Open) bool { return x.Key == o.Key }) {
		s.o.Open = append(s.o.Open, o)
	}
}

// warn adds cautions, each once.
func (s *sheet) warn(list []string) []string {
	for _, c := range list {
		if !s.Figures && !slices.Contains(s.o.Cautions, c) {
			s.o.Cautions = append(s.o.Cautions, c)
		}
	}
	return list
}

func (s *sheet) task(t stage.Task) {
	if s.Figures {
		return
	}
	s.o.Tasks = append(s.o.Tasks, t)
	s.warn(t.Cautions)
}

func (s *sheet) has(task string) bool {
	return slices.ContainsFunc(s.o.Tasks, func(t stage.Task) bool { return t.Key == task })
}

// needs are those of the tasks named that the outcome has.
func (s *sheet) needs(keys ...string) []stage.Need {
	var list []stage.Need
	for _, k := range keys {
		if s.has(k) {
			need := stage.Need{Key: k}
			if k == "closing.locate" {
				need.Life = s.TicketLife
			}
			list = append(list, need)
		}
	}
	return list
}

// keep adds a row of evidence, which its caller may change.
func (s *sheet) keep(key, what, when, task string, who stage.Who, source string) *stage.Evidence {
	if s.Figures {
		return new(stage.Evidence) // figures alone keep none
	}
	s.o.Evidence = append(s.o.Evidence, stage.Evidence{Key: "closing." + key, What: units.Words(what), When: units.Words(when), Task: task, Who: who, Source: source})
	return &s.o.Evidence[len(s.o.Evidence)-1]
}

// The keys of the conditions.
const (
	fillAgreed     = "fill.agreed"
	linerStays     = "liner.stays"
	softFloorWord  = "softFloor.engineer"
	breachAllowed  = "breach.allowed"
	breachWord     = "breach.engineer"
	breachClean    = "breach.clean"
	pondAllowed    = "pond.allowed"
	pondEmbankment = "pond.embankment"
	pondSpillway   = "pond.spillway"
)

var conditionKeys = []string{fillAgreed, linerStays, softFloorWord, breachAllowed, breachWord, breachClean, pondAllowed, pondEmbankment, pondSpillway}

// condition records what the alternative hangs on. One that does not hold is the reason
// why it cannot be done; one without an answer leaves the work waiting for it.
func (s *sheet) condition(key string, what units.Phrase, who stage.Who) {
	c := Condition{Key: key, What: what, Who: who, Source: common}
	if met, answered := s.Answers[key]; answered {
		c.Met = &met
		if !met {
			s.cannot(units.Words("this does not hold: %v", what))
		}
	} else {
		s.open(stage.Open{Key: "closing.answers." + key, What: units.Words("whether this holds: %v", what), Needs: units.Words("an answer in writing"), Who: who, Stops: true})
	}
	if !s.Figures {
		s.o.Conditions = append(s.o.Conditions, c)
	}
}

// stays adds to what stays in the ground.
func (s *sheet) stays(what string, args ...any) {
	if !s.Figures {
		s.o.Stays = append(s.o.Stays, units.Words(what, args...))
	}
}

// cannot gives the first reason why the alternative cannot be done.
func (s *sheet) cannot(why units.Phrase) {
	if s.o.Verdict != VerdictCannot {
		s.o.Verdict, s.o.Why = VerdictCannot, why
	}
}

// unsure says what is missing to tell whether it can be done.
func (s *sheet) unsure(why units.Phrase) {
	if s.o.Verdict == VerdictCan {
		s.o.Verdict, s.o.Why = VerdictOpen, why
	}
}

// done adds the contingency, the sum and what a bid can be held against.
func (s *sheet) done() Outcome {
	o := &s.o
	sum, _ := stage.Total(o.Items)
	if c := s.Prices.Contingency; c != nil && len(o.Items) > 0 {
		low, high := c.Range()
		s.row("closing.contingency", "contingency", nil, units.Words("%v of the rows of the closing", units.Share(c.Likely)), 0,
			&stage.Cost{Low: low * sum.Low, Likely: c.Likely * sum.Likely, High: high * sum.High})
	} else {
		s.lacks("prices.contingency", "allowance for what nobody foresees", "a share of the other rows", stage.Contractor)
	}
	for i, e := range o.Evidence {
		if !s.has(e.Task) {
			o.Evidence[i].Task = "" // of a part that is open
		}
	}
	o.Cost, _ = stage.Total(o.Items)
	for _, i := range o.Items {
		o.Hours += i.Hours
	}
	o.Bare = s.bare()
	if !s.Figures {
		o.Grounds = s.grounds()
		s.perUnit()
	}
	return *o
}

// bare is the ground to be seeded.
func (s *sheet) bare() units.Area {
	var area units.Area
	if s.Topsoil != nil {
		area = s.Topsoil.WorkArea
	}
	if s.o.Alternative == AlternativePond {
		if s.Pond == nil {
			return 0
		}
		return area + s.top - s.Basin.AreaAt(s.Pond.WaterLevel)
	}
	switch {
	case s.berm != nil:
		area += s.at + s.berm.Footprint
	case s.Ground < s.Basin.Depth():
		return 0
	default:
		area += s.at
	}
	if s.o.Borrow != nil {
		area += s.o.Borrow.Area
	}
	return area
}

// perUnit is the cost over what a bid names.
func (s *sheet) perUnit() {
	c := s.o.Cost
	if c.High <= 0 {
		return
	}
	volume := func(key, what string, per units.Volume) {
		if per > 0 {
			price := func(x float64) any { return units.Shown{Quantity: units.PricePer(x, per), Unit: "yd3"} }
			s.o.PerUnit = append(s.o.PerUnit, Figure{key, units.Words(what), price(c.Low), price(c.Likely), price(c.High)})
		}
	}
	area := func(key, what string, per units.Area) {
		price := func(x float64) any { return units.PricePer(x, per) }
		s.o.PerUnit = append(s.o.PerUnit, Figure{key, units.Words(what), price(c.Low), price(c.Likely), price(c.High)})
	}
	if s.o.Account != nil {
		volume("closing.perFill", "closing, for each volume of fill placed, compacted", s.placed())
	}
	volume("closing.perCapacity", "closing, for each volume that the basin holds", s.Basin.VolumeAt(s.Basin.Depth()))
	area("closing.perArea", "closing, for each area of the basin at the top of its bank", s.top)
}
