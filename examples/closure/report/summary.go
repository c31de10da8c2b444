package report

import (
	"slices"
	"strings"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient/allocation"
	"example.org/earthbasin/units"
)

// gas stands at the top of every first page.
const gas = "Agitated manure gives off hydrogen sulfide and other gases that kill within breaths, also outdoors and in a hollow. Nobody enters the basin, a pit or a tank; people and animals stay upwind and away; monitors are on; nobody works alone; stop where the monitor says so."

// summary is the plan on two printed pages: what is in there, what is decided, who has
// to answer what.
func (p *pages) summary() []Page {
	p = p.brief()
	costs := p.costs
	if p.doubt != nil { // its table takes the place of the picture, whose page is the annex then
		costs = p.sure
	}
	return chosen(p.decided, costs, p.calendar, p.openPoints, p.signatures)
}

func (p *pages) decided() (Page, bool) {
	t := &Table{Head: []string{"Question", "Answer"}, Left: 2}
	add := func(question string, answer ...string) {
		if s := strings.TrimSpace(strings.Join(answer, " ")); s != "" {
			t.Rows = append(t.Rows, []string{question, s})
		}
	}
	add("What is in there", p.contents())
	if p.route != nil {
		add("Route", sentence(p.route.Route.String()+": "+p.Phrase(p.r.Routes.Why())))
		add("Where it goes", p.placed())
		add("Land", p.landNeeded())
	} else {
		add("Route", "Not planned: see the open points.")
	}
	add("Whose rules", p.Phrase(p.r.WhoseRules()))
	add("So far", p.soFar())
	add("When", p.when())
	add("Afterwards", p.afterwards())
	add("What it costs", p.headCost())
	add("What it is worth", p.worth())
	return Page{
		Key: "decided", Name: "What this plan says",
		Cautions: []string{gas, "Emergency: call ____________________   Place of the basin for the caller: ______________________________"},
		Blocks:   []Block{{Caption: "The plan in short", Table: t}},
		Intro:    []string{"This is arithmetic on the scenario's figures. Local codes, the state regulator and licensed practice decide what is safe and allowed."},
	}, true
}

// contents is what the basin holds, with no more figures than its interval bears.
func (p *pages) contents() string {
	c := &p.r.Contents
	v := c.Sludge
	if v == nil {
		s := p.say("The basin is %v deep and holds %v up to the top of its bank.", p.lengths(c.Depth, 1), about(p.figures, liquid, c.Solid.VolumeAt(c.Depth), nil))
		if c.Level != nil {
			s += p.say(" Liquid and sludge in it, up to %v over the floor: %v.", p.lengths(*c.Level, 1), about(p.figures, liquid, c.Held, nil))
		}
		return s + " Nobody has measured the sludge."
	}
	s := p.say("Sludge %v.", about(p.figures, liquid, v.Volume, v.Interval))
	switch {
	case v.Interval == nil:
		s = p.say("Sludge %v; nobody knows how sure that is.", about(p.figures, liquid, v.Volume, nil))
	case !v.Firm:
		s += " The low and the high have no probability."
	}
	if c.Liquid != nil {
		s += p.say(" Liquid over it %v.", about(p.figures, liquid, *c.Liquid, nil))
	}
	if len(v.Doubts) > 0 {
		s += " Doubt: " + strings.Join(p.phrases(v.Doubts), "; ") + "."
	}
	return s
}

func (p *pages) allocated() *allocation.AllocateResult {
	if p.route == nil {
		return nil
	}
	return p.route.Spread.Allocated
}

// placed says whether the land takes all of it.
func (p *pages) placed() string {
	a := p.allocated()
	if a == nil {
		return "Where it goes is not planned."
	}
	var left []string
	for _, m := range a.Materials {
		if m.Left.SI() > 0 {
			left = append(left, p.say("%v of %v", m.Left, m.Name))
		}
	}
	if len(left) > 0 {
		return "The fields do NOT take all of it. Left over: " + strings.Join(left, ", ") + "."
	}
	for i := range p.r.Beside {
		left = append(left, sentence(p.Phrase(p.r.Beside[i].Why())))
	}
	s := strings.Join(append([]string{"The fields take all of it within every limit."}, left...), " ")
	if high := p.r.Routes.High; high != nil && high.Spread.Allocated != nil {
		if high.Spread.Allocated.Shortage == nil {
			s += " They also take the high end of the sludge volume."
		} else {
			s += " They do NOT take the high end of the sludge volume."
		}
	}
	return s
}

// landNeeded is the fields that get something, and the land for all of it were P held
// to removal.
func (p *pages) landNeeded() string {
	a := p.allocated()
	if a == nil {
		return ""
	}
	fields, spreadable, least := map[string]bool{}, units.Area(0), units.Area(0)
	for _, x := range a.Placements {
		if !fields[x.Field] {
			fields[x.Field] = true
			if f := p.r.Fields.Field(x.Field); f != nil {
				spreadable += f.Area
			}
		}
	}
	for _, f := range a.Fields {
		least += f.Least
	}
	s := p.say("%v with %v spreadable get something; at the highest rates allowed it takes %v of that.", p.plural(len(fields), "field", "fields"), about(p.figures, acres, spreadable, nil), about(p.figures, acres, least, nil))
	if l := p.r.LandBase; l != nil {
		s += p.say(" Were phosphorus held to removal everywhere, all of it would take %v.", about(p.figures, acres, l.All.Area, nil))
	}
	return s
}

// afterwards is what becomes of the empty basin, beside the other ways.
func (p *pages) afterwards() string {
	r := p.r.Closing
	if r == nil {
		return "What becomes of the empty basin is not planned."
	}
	var list []string
	for _, o := range r.Outcomes {
		s := "Or " + o.Alternative.String()
		if o.Alternative == r.Chosen {
			s = title(o.Alternative.String()) + " (this plan)"
		}
		if o.Cost.High > 0 {
			s += ": " + p.aboutCash(o.Cost.Low, o.Cost.Likely, o.Cost.High)
		}
		if why := p.Phrase(o.Why); why != "" {
			s += ", " + o.Verdict.String() + ": " + why
		}
		if o.Alternative == r.Chosen {
			list = slices.Insert(list, 0, s+".")
		} else {
			list = append(list, s+".")
		}
	}
	if c := r.Of(r.Chosen).Crown; c != nil && c.Steeper {
		list = append(list, p.say("As planned the crown would not shed water when the fill has settled: it is built at %v in place of %v, for %v more soil.",
			p.percent(c.Build.Spec.Grade, 1), p.percent(c.Spec.Crown.Grade, 1), about(p.figures, earth, c.Extra, nil)))
	}
	return strings.Join(list, " ")
}

// headCost is the cost with its low and high, and the share of it by what drives it.
func (p *pages) headCost() string {
	b := &p.r.Bill
	if len(b.Items) == 0 || b.Cost == (stage.Cost{}) {
		return "No prices are told."
	}
	s := p.aboutCash(b.Cost.Low, b.Cost.Likely, b.Cost.High) + "."
	if b.Payment != nil {
		s += p.say(" Payments %v, net %v.", p.cash(b.Payment.Payment), p.aboutCash(b.Net.Low, b.Net.Likely, b.Net.High))
	}
	if n := len(b.Unpriced); n > 0 {
		s += p.say(" Without a price, and so not in it: %v of the bill.", p.plural(n, "line", "lines"))
	}
	first := costliest(b.Items)
	if first == nil || b.Cost.Likely <= 0 {
		return s
	}
	item, share := p.Phrase(first.What.Item), p.percent(first.Cost.Likely/b.Cost.Likely, 0)
	switch {
	case len(b.Drivers) == 0:
		return s + p.say(" The largest line: %v, %v of it.", item, share)
	case b.Drivers[0].Key == first.Key:
		return s + p.say(" The largest line: %v, %v of it and %v of its range.", item, share, p.percent(b.Drivers[0].Share, 0))
	}
	return s + p.say(" The largest line: %v, %v of it; of its range %v is that of %v.", item, share, p.percent(b.Drivers[0].Share, 0), p.Phrase(b.Drivers[0].What))
}

func costliest(items []stage.Item) *stage.Item {
	var best *stage.Item
	for i := range items {
		if c := items[i].Cost; c != nil && (best == nil || c.Likely > best.Cost.Likely) {
			best = &items[i]
		}
	}
	return best
}

// worth is what the fields need of the nutrients.
func (p *pages) worth() string {
	a := p.allocated()
	if a == nil {
		return ""
	}
	s := p.say("Nutrients that the crops need: %v. The cost above does not count them.", p.cash(a.Credit))
	if beyond := p.r.Fields.BeyondPublished(); len(beyond) > 0 {
		s += p.say(" On %v P or K counts above the published critical level.", p.plural(len(beyond), "field", "fields"))
	}
	return s
}

// mostOpen is how many open points the summary lists; the annex has all.
const mostOpen = 4

func (p *pages) openPoints() (Page, bool) {
	page, ok := p.allOpen()
	t := page.Blocks[0].Table
	if n := len(t.Rows) - mostOpen; n > 0 {
		t.Rows = t.Rows[:mostOpen]
		page.Blocks[0].Notes = []string{p.say("%v more in the annex.", p.plural(n, "open point", "open points"))}
	}
	return page, ok
}

// allOpen is every open point. The plan has those that stop the work first.
func (p *pages) allOpen() (Page, bool) {
	t := &Table{Head: []string{"Who", "Open", "Measure, decide or ask for"}, Left: 3}
	for _, o := range p.r.Open {
		what := title(p.Phrase(o.What))
		if o.Stops {
			what = "BEFORE WORK BEGINS: " + what
		}
		t.Rows = append(t.Rows, []string{title(string(o.Who)), what, p.Phrase(o.Needs)})
	}
	return Page{Key: "open", Name: "What is open, and who answers it",
		Intro:  []string{"Nothing below is guessed: what is missing is not planned."},
		Blocks: []Block{{Caption: "Open points", Table: t}}}, len(t.Rows) > 0
}

func (p *pages) signatures() (Page, bool) {
	return Page{Key: "signatures", Name: "Agreed",
		Blocks: []Block{{Caption: "Signatures", Sign: []string{"Producer", "Nutrient planner", "Contractor", "Engineer", "State regulator"}}}}, true
}
