package report

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
)

// Who has to confirm what this plan assumes.
const (
	regulator  = "State regulator"
	laboratory = "Laboratory"
	engineer   = "Licensed engineer"
	planning   = "Certified nutrient planner"
)

// pages is a plan on its way to paper.
type pages struct {
	*plan.Plan
	s     *plan.Scenario
	r     *plan.Results
	route *plan.RouteResult // that the plan takes, nil for none
}

// New lays a plan out in the order of the work. A page whose part is not planned is left
// out; what it hangs on stands among the open points.
func New(of *plan.Plan) *Document {
	p := &pages{of, &of.Scenario, of.Results, of.Results.Taken()}
	d := &Document{Title: p.s.Title, Site: p.s.Site, Date: p.date(p.s.Date), Results: p.r}
	d.Decision = p.headline()
	for _, page := range []func() (Step, bool){
		p.pageOpen, p.pageBasin, p.pageSludge, p.pageMaterials, p.pageRemoval, p.pageFields, p.pageAllocation, p.pageMachines,
		p.pageEmptying, p.pageClosing, p.pageCover, p.pageCosts, p.pageOrder, p.pageEvidence,
	} {
		if step, ok := page(); ok {
			d.Steps = append(d.Steps, step)
		}
	}
	return d
}

// headline is the plan in a few sentences.
func (p *pages) headline() []string {
	var list []string
	c := &p.r.Contents
	if v := c.Sludge; v != nil {
		s := fmt.Sprintf("The basin holds %s of sludge", gallons(v.Volume))
		if c.Liquid != nil {
			s = fmt.Sprintf("The basin holds %s of liquid over %s of sludge", gallons(*c.Liquid), gallons(v.Volume))
		}
		switch {
		case v.Interval == nil:
			s += "; nobody knows how sure the sludge volume is"
		case v.Firm:
			s += fmt.Sprintf("; the sludge lies between %s and %s", gallons(v.Interval.Low), gallons(v.Interval.High))
		default:
			s += fmt.Sprintf("; the sludge may be %s to %s, without a probability", gallons(v.Interval.Low), gallons(v.Interval.High))
		}
		list = append(list, s+".")
		if len(v.Doubts) > 0 {
			list = append(list, "What to doubt in the sludge volume: "+strings.Join(texts(v.Doubts), "; ")+".")
		}
	}
	if p.route != nil {
		list = append(list, fmt.Sprintf("Take it out by this route: %s. %s", p.route.Route, p.r.Routes.Why(p.currency())), p.placed())
	}
	b := &p.r.Bill
	cost := fmt.Sprintf("Cost %s (%s to %s)", p.cash(b.Cost.Likely), p.cash(b.Cost.Low), p.cash(b.Cost.High))
	if b.Payment != nil {
		cost += fmt.Sprintf(", payments %s, net %s", p.cash(b.Payment.Payment), p.cash(b.Net.Likely))
	}
	if n := len(b.Unpriced); n > 0 {
		cost += fmt.Sprintf("; %d lines of the bill have no price", n)
	}
	switch c := p.r.Calendar; {
	case c == nil:
	case c.Kept:
		cost = fmt.Sprintf("Work order: %s to %s. ", p.date(p.s.Start), p.date(c.End)) + cost
	default:
		cost = fmt.Sprintf("The calendar CANNOT be kept from a start on %s: the work order says which link breaks. ", p.date(p.s.Start)) + cost
	}
	list = append(list, cost+".")
	if n := len(p.r.Open); n > 0 {
		list = append(list, fmt.Sprintf("%d points are open; the first page lists what each hangs on.", n))
	}
	return append(list, "This plan is arithmetic on the figures of the scenario. It does not say that anything is safe or allowed: local codes, the regulator and licensed practice decide.")
}

func (p *pages) placed() string {
	a := p.route.Spread.Allocated
	if a == nil {
		return "Where it goes is not planned."
	}
	if a.Shortage == nil && !slices.ContainsFunc(p.r.Bill.Items, func(i stage.Item) bool { return strings.HasPrefix(i.Key, "leave.") }) {
		s := fmt.Sprintf("The fields take all of it within every limit, for %s of hauling and spreading and %s worth of nutrients that crops need.", p.cash(a.Cost), p.cash(a.Credit))
		if high := p.r.Routes.High; high != nil && high.Spread.Allocated != nil {
			if high.Spread.Allocated.Shortage == nil {
				s += " They also take the high end of the sludge volume."
			} else {
				s += " They do NOT take the high end of the sludge volume."
			}
		}
		return s
	}
	s := "The fields do NOT take all of it. Left over:"
	for _, m := range a.Materials {
		if m.Left.SI() > 0 {
			s += fmt.Sprintf(" %s of %s;", m.Left, m.Name)
		}
	}
	return s + " see the allocation for what is missing."
}

func (p *pages) pageOpen() (Step, bool) {
	t := &Table{Head: []string{"Open", "Measure, decide or ask for", "Who"}, Left: 3}
	for _, o := range p.r.Open {
		what := o.What.String()
		if o.Stops {
			what = "BEFORE WORK BEGINS: " + what
		}
		t.Rows = append(t.Rows, []string{what, o.Needs.String(), string(o.Who)})
	}
	return Step{Name: "What is open", Intro: "Nothing below is guessed: what is missing is not planned.", Blocks: []Block{{Caption: "Open points", Table: t}}}, len(t.Rows) > 0
}

func (p *pages) pageBasin() (Step, bool) {
	c := &p.r.Contents
	t := &Table{Head: []string{"Over the floor", "Area", "Volume below", "Volume below"}}
	for _, s := range c.Stages {
		t.Rows = append(t.Rows, []string{s.Height.Text(units.Foot, 1), s.Area.Text(units.SquareFoot, 0), s.Volume.Text(units.CubicFoot, 0), gallons(s.Volume)})
	}
	step := Step{
		Name:    "What the basin is",
		Intro:   fmt.Sprintf("The basin is %s deep. Every later volume rests on this solid; the layers are drawn as if the sludge lay level.", c.Depth.Text(units.Foot, 1)),
		Confirm: []Confirm{{engineer, "as-built dimensions of banks and floor, and whether the embankment counts as a dam."}},
	}
	if c.Layers != nil {
		step.Blocks = append(step.Blocks, Block{Caption: "Layers, from the top of the bank down", Working: c.Layers.Working()})
	}
	step.Blocks = append(step.Blocks, Block{Caption: "Stage and storage", Table: t}, Block{Caption: "Stage-storage curve", Picture: p.stagePicture()})
	return step, true
}

func (p *pages) pageSludge() (Step, bool) {
	r := p.r.Contents.Sludge
	if r == nil {
		return Step{}, false
	}
	step := Step{
		Name:     "How much sludge, and how sure",
		Intro:    "The figure rests on " + r.From.String() + ". It comes with an interval where one is known, because cost and land both hang on it.",
		Cautions: p.r.Contents.Cautions,
		Confirm:  []Confirm{{regulator, "whether this number and layout of soundings is accepted."}},
	}
	if r.Survey == nil {
		return step, true
	}
	t := &Table{Head: []string{"Sounding", "East", "North", "To sludge", "To floor", "Thickness"}, Left: 1}
	for _, s := range r.Survey.Readings() {
		t.Rows = append(t.Rows, []string{s.Name, feet(s.At.X), feet(s.At.Y), s.ToSludge.Text(units.Foot, 2), s.ToFloor.Text(units.Foot, 2), s.Thickness.Text(units.Foot, 2)})
	}
	step.Blocks = append(step.Blocks, Block{Caption: "Soundings", Table: t})
	step.Blocks = append(step.Blocks, working("Sludge volume with its interval", r.Estimate)...)
	step.Blocks = append(step.Blocks, working("The same volume by triangles between the soundings, cut at the floor", r.TIN)...)
	if len(r.Next) > 0 {
		t := &Table{Head: []string{"Place", "East", "North", "Half of the interval then", "Narrower by"}, Left: 1}
		for i, n := range r.Next {
			t.Rows = append(t.Rows, []string{fmt.Sprint(i + 1), feet(n.At.X), feet(n.At.Y), gallons(n.HalfWidth), fmt.Sprintf("%.0f %%", 100*n.Narrower)})
		}
		step.Blocks = append(step.Blocks, Block{Caption: "Where to sound next", Table: t})
	}
	step.Blocks = append(step.Blocks, Block{Caption: "Sludge thickness", Picture: p.sludgePicture()})
	return step, true
}

func (p *pages) pageMaterials() (Step, bool) {
	s := &p.r.Sampled
	step := Step{
		Name:    "What it holds as fertilizer",
		Intro:   "Means of the laboratory samples, followed through the emptying so that as much comes out as goes in. Available nitrogen at its high end sets the rates.",
		Confirm: []Confirm{{laboratory, "that the reports are per volume as received, N as N, P and K as oxides; a fresh sample while pumping replaces these figures."}},
	}
	step.Blocks = append(step.Blocks, working("Liquid, as sampled", s.Effluent)...)
	step.Blocks = append(step.Blocks, working("Sludge, as sampled", s.Sludge)...)
	if p.route == nil {
		return step, len(step.Blocks) > 0
	}
	stock := &Table{Head: []string{"Material", "Amount", "Total N", "Available N, first year", "P2O5", "K2O"}, Left: 1}
	for i := range p.route.Spread.Materials {
		m := &p.route.Spread.Materials[i]
		stock.Rows = append(stock.Rows, []string{m.Name, m.Stock.String(), pounds(m.Holds["total N"]), pounds(m.Holds[plan.OfN]), pounds(m.Holds[plan.OfP2O5]), pounds(m.Holds[plan.OfK2O])})
		step.Blocks = append(step.Blocks, Block{Caption: title(m.Name) + ", as it goes out", Working: m.Analysis.Working()})
		if a := m.Available; a != nil {
			step.Blocks = append(step.Blocks, Block{Caption: title(m.Name) + ": what becomes available", Working: a.Working(), Notes: texts(a.Notes)})
		}
		step.Blocks = append(step.Blocks, working(title(m.Name)+": metals against the rule", m.Metals)...)
	}
	step.Blocks = append(step.Blocks, Block{Caption: "Stock", Table: stock})
	return step, true
}

func (p *pages) pageRemoval() (Step, bool) {
	if p.r.Routes.Library == nil {
		return Step{}, false
	}
	t := &Table{Head: []string{"Route", "Removal", "Haul and spread", "Left over", "Worth", "On the whole", "Days", "Verdict"}, Left: 1}
	for _, r := range p.r.Routes.Routes {
		verdict := "can be done"
		if len(r.Out) > 0 {
			verdict = "out"
		}
		if r.Route == p.r.Routes.Taken {
			verdict = "taken"
		}
		c := r.Cost
		t.Rows = append(t.Rows, []string{r.Route.String(), p.cash(c.Removal), p.cash(c.Spread), p.cash(c.Leaving), p.cash(-c.Worth), p.cash(c.Net), fmt.Sprint(r.Days), verdict})
	}
	step := Step{
		Name:     "How to get it out",
		Intro:    p.r.Routes.Why(p.currency()).String(),
		Cautions: p.r.Routes.Library.Cautions,
		Blocks: []Block{
			{Caption: "The routes, each taken to the fields", Table: t},
			{Caption: "Stages at the best volume", Working: p.r.Routes.Library.Working()},
		},
		Confirm: []Confirm{{engineer, "that the banks carry the machines, and what has to be left standing until the basin is filled."}},
	}
	return step, true
}

// working is a block with the working of a result, none where it is missing.
func working[R interface{ Working() units.Working }](caption string, r *R) []Block {
	if r == nil {
		return nil
	}
	return []Block{{Caption: caption, Working: (*r).Working()}}
}

func (p *pages) date(d stage.Date) string {
	if d.IsZero() {
		return "no date"
	}
	return time.Time(d).Format("2 January 2006")
}

func (p *pages) currency() string {
	if p.s.Money == nil {
		return ""
	}
	return p.s.Money.Currency
}

func (p *pages) cash(x float64) string { return p.currency() + group(fmt.Sprintf("%.0f", x)) }

func gallons(v units.Volume) string { return v.Text(units.Gallon, 0) }

func feet(l units.Length) string { return l.Text(units.Foot, 0) }

func pounds(m units.Mass) string { return m.Text(units.Pound, 0) }

func perAcre(r units.MassPerArea) string { return r.Text(units.PoundPerAcre, 0) }

func title(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// group puts commas between the thousands of a whole number.
func group(s string) string {
	for i := len(s) - 3; i > 0 && s[i-1] != '-'; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}
