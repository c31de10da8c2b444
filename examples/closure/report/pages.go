package report

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/earthbasin/examples/closure/plan"
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
	s *plan.Scenario
	r *plan.Results
}

// New lays a plan out in the order of the work.
func New(of *plan.Plan) *Document {
	p := &pages{of, &of.Scenario, of.Results}
	d := &Document{Title: p.s.Title, Site: p.s.Site, Date: time.Time(p.s.Date).Format("2 January 2006"), Results: p.r}
	v, r := p.r.Sludge.Volume, p.r
	d.Decision = []string{
		fmt.Sprintf("The basin holds %s of liquid over %s of sludge; the sludge lies between %s and %s at %.0f %% confidence.",
			gallons(r.Basin.Liquid), gallons(v.Volume), gallons(v.Interval.Low), gallons(v.Interval.High), 100*v.Confidence),
		fmt.Sprintf("Take it out by this route: %s. %s", r.Route, p.whyRoute()),
		p.placed(),
		fmt.Sprintf("Work order: %s to %s. Cost %s, payments %s, net %s.", p.day(0), p.day(len(r.WorkOrder)-1),
			p.cash(r.Cover.Payment.Spec.Cost), p.cash(r.Cover.Payment.Payment), p.cash(r.Cover.Payment.Net)),
		"This plan is arithmetic on the figures of the scenario. It does not say that anything is safe or allowed: local codes, the regulator and licensed practice decide.",
	}
	if len(v.Notes) > 0 {
		d.Decision = slices.Insert(d.Decision, 1, "What to doubt in the sludge volume: "+strings.Join(texts(v.Notes), "; ")+".")
	}
	d.Decision = slices.Insert(d.Decision, 1, p.r.Doubts...)
	d.Steps = []Step{
		p.pageBasin(), p.pageSludge(), p.pageMaterials(), p.pageRemoval(), p.pageFields(), p.pageAllocation(), p.pageMachines(),
		p.pageEmptying(), p.pagePipes(), p.pageEarth(), p.pageCover(), p.pageDecisions(), p.pageCosts(), p.pageOrder(), p.pageEvidence(),
	}
	return d
}

func (p *pages) whyRoute() string {
	best := p.r.Removal.Best()
	if len(best.Routes) < 2 {
		return "No other was asked for."
	}
	for _, r := range best.Routes {
		if !r.Feasible {
			return fmt.Sprintf("The route %q is out (%s).", r.Route, strings.TrimSuffix(r.Why[0].String(), "."))
		}
	}
	a, b := best.Routes[0], best.Routes[1]
	s := fmt.Sprintf("With the haul in it, %s comes to %s and %s to %s", a.Route, p.cash(a.Cost), b.Route, p.cash(b.Cost))
	switch {
	case p.r.Removal.Cheapest == 0:
		return s + "."
	case p.r.Removal.CheapestHolds:
		return s + "; the order is the same at the low and the high end of the sludge volume."
	}
	return s + "; the interval on the sludge volume does not settle which is cheaper."
}

func (p *pages) placed() string {
	a := p.r.Allocated
	if a.Shortage == nil {
		s := fmt.Sprintf("The fields take all of it within every limit, for %s of hauling and spreading and %s worth of nutrients that crops need.", p.cash(a.Cost), p.cash(a.Credit))
		switch high := p.r.AllocatedHigh; {
		case high == nil:
		case high.Shortage == nil:
			s += " They also take the high end of the sludge volume."
		default:
			s += " They do NOT take the high end of the sludge volume."
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

func (p *pages) pageBasin() Step {
	b, slopes := p.s.Basin, p.Basin.Slopes()
	t := &Table{Head: []string{"Over the floor", "Area", "Volume below", "Volume below"}}
	for _, s := range p.r.Basin.Stages {
		t.Rows = append(t.Rows, []string{s.Height.Text(units.Foot, 1), s.Area.Text(units.SquareFoot, 0), s.Volume.Text(units.CubicFoot, 0), gallons(s.Volume)})
	}
	return Step{
		Name: "What the basin is",
		Intro: fmt.Sprintf("%s by %s measured at the %s, %s deep, the banks at %g, %g, %g and %g horizontal per vertical. Every later volume rests on this solid; the layers are drawn as if the sludge lay level.",
			feet(b.Length), feet(b.Width), b.At, b.Depth.Text(units.Foot, 1), slopes[0], slopes[1], slopes[2], slopes[3]),
		Blocks: []Block{
			{Caption: "Layers, from the top of the bank down", Working: p.r.Basin.Layers.Working()},
			{Caption: "Stage and storage", Table: t},
			{Caption: "Stage-storage curve", Picture: p.stagePicture()},
		},
		Confirm: []Confirm{{engineer, "as-built dimensions of banks and floor, and whether the embankment counts as a dam."}},
	}
}

func (p *pages) pageSludge() Step {
	r := &p.r.Sludge
	t := &Table{Head: []string{"Sounding", "East", "North", "To sludge", "To floor", "Thickness"}, Left: 1}
	for _, s := range p.Survey.Readings() {
		t.Rows = append(t.Rows, []string{s.Name, feet(s.At.X), feet(s.At.Y), s.ToSludge.Text(units.Foot, 2), s.ToFloor.Text(units.Foot, 2), s.Thickness.Text(units.Foot, 2)})
	}
	step := Step{
		Name:  "How much sludge, and how sure",
		Intro: "Soundings give the depth to the top of the sludge and to the hard floor. The volume comes with an interval, because cost and land both hang on it.",
		Cautions: []string{
			"Sound from a boat or a plank only with two people, life jackets and a line ashore; a crust does not carry. Gas can come up when the sludge is disturbed.",
		},
		Blocks: []Block{
			{Caption: "Soundings", Table: t},
			{Caption: "Sludge volume with its interval", Working: r.Volume.Working()},
		},
		Confirm: []Confirm{{regulator, "whether this number and layout of soundings is accepted."}},
	}
	step.Blocks = append(step.Blocks, Block{Caption: "The same volume by triangles between the soundings, cut at the floor", Working: r.TIN.Working()})
	if len(r.Next) > 0 {
		t := &Table{Head: []string{"Place", "East", "North", "Half of the interval then", "Narrower by"}, Left: 1}
		for i, n := range r.Next {
			t.Rows = append(t.Rows, []string{fmt.Sprint(i + 1), feet(n.At.X), feet(n.At.Y), gallons(n.HalfWidth), fmt.Sprintf("%.0f %%", 100*n.Narrower)})
		}
		step.Blocks = append(step.Blocks, Block{Caption: fmt.Sprintf("Where to sound next (half of the interval now %s)", gallons(r.Volume.Interval.Half())), Table: t})
	}
	step.Blocks = append(step.Blocks, Block{Caption: "Sludge thickness", Picture: p.sludgePicture()})
	return step
}

func (p *pages) pageMaterials() Step {
	e, s := &p.r.Effluent, &p.r.Slurry
	stock := &Table{Head: []string{"In the basin", "Amount", "Total N", "Available N, first year", "P2O5", "K2O"}, Left: 1}
	for _, m := range []struct {
		name string
		r    *plan.MaterialResults
	}{{"effluent drawn off, with the rain", e}, {"sludge with the liquid mixed in", s}} {
		stock.Rows = append(stock.Rows, []string{m.name, m.r.Stock.String(), pounds(m.r.Holds["total N"]), pounds(m.r.Holds[plan.OfN]), pounds(m.r.Holds[plan.OfP2O5]), pounds(m.r.Holds[plan.OfK2O])})
	}
	step := Step{
		Name:  "What it holds as fertilizer",
		Intro: "Means of the laboratory samples. Where liquid is agitated with the sludge, both count by volume. Available nitrogen at its high end sets the rates, at its low end the worth.",
		Blocks: []Block{
			{Caption: "Effluent, as sampled", Working: e.Samples.Working()},
			{Caption: "Effluent: what becomes available", Working: e.Available.Working(), Notes: texts(e.Available.Notes)},
			{Caption: "Sludge, as sampled", Working: p.r.Sampled.Working()},
			{Caption: "Slurry: sludge and the liquid agitated with it, by volume", Working: s.Samples.Analysis.Working()},
			{Caption: "Slurry: what becomes available", Working: s.Available.Working(), Notes: texts(s.Available.Notes)},
			{Caption: "Stock", Table: stock},
		},
		Confirm: []Confirm{
			{laboratory, "that the reports are per volume as received, N as N, P and K as oxides; a fresh sample while pumping replaces these figures."},
			{planning, fmt.Sprintf("that the coefficients of %s hold here.", e.Available.Source.Title)},
		},
	}
	if s.Worth != nil {
		step.Blocks = append(step.Blocks, Block{Caption: "Worth of the slurry on " + p.r.Fields[p.FirstTaker()].Name, Working: s.Worth.Working()})
	}
	if e.Worth != nil {
		step.Blocks = append(step.Blocks, Block{Caption: "Worth of the effluent on the first field that its pipe reaches", Working: e.Worth.Working()})
	}
	if len(s.Metals.Metals) > 0 {
		step.Blocks = append(step.Blocks, Block{Caption: "Copper and zinc in the slurry against the rule", Working: s.Metals.Working()})
	}
	return step
}

func (p *pages) pageRemoval() Step {
	t := &Table{Head: []string{"Sludge", "Route", "Moved", "Loads", "Hours", "Days", "Cost"}, Left: 2}
	for _, c := range p.r.Removal.Cases {
		for _, r := range c.Routes {
			t.Rows = append(t.Rows, []string{c.Name + ", " + gallons(c.Sludge), r.Route.String(), gallons(r.Moved), fmt.Sprint(r.Loads), r.Hours.Text(units.Hour, 0), fmt.Sprint(r.Days), p.cash(r.Cost)})
		}
	}
	step := Step{
		Name:     "How to get it out",
		Intro:    p.whyRoute() + " The plan goes on with: " + p.r.Route.String() + ".",
		Cautions: p.r.Removal.Cautions,
		Blocks: []Block{
			{Caption: "The routes at the low, best and high sludge volume, haul included", Table: t},
			{Caption: "Stages at the best volume", Working: p.r.Removal.Working(), Notes: texts(p.Route.Notes)},
		},
		Confirm: []Confirm{{engineer, "that the banks carry the machines, and what has to be left standing until the basin is filled."}},
	}
	return step
}

func (p *pages) day(i int) string {
	return time.Time(p.r.WorkOrder[i].Start).Format("2 January 2006")
}

func (p *pages) cash(x float64) string { return p.s.Money.Currency + group(fmt.Sprintf("%.0f", x)) }

func gallons(v units.Volume) string { return v.Text(units.Gallon, 0) }

func feet(l units.Length) string { return l.Text(units.Foot, 0) }

func pounds(m units.Mass) string { return m.Text(units.Pound, 0) }

func perAcre(r units.MassPerArea) string { return r.Text(units.PoundPerAcre, 0) }

// union joins lists of cautions and says each once.
func union(lists ...[]string) []string {
	var out []string
	seen := map[string]bool{}
	for _, l := range lists {
		for _, s := range l {
			if !seen[s] {
				seen[s] = true
				out = append(out, s)
			}
		}
	}
	return out
}

// group puts commas between the thousands of a whole number.
func group(s string) string {
	for i := len(s) - 3; i > 0 && s[i-1] != '-'; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}
