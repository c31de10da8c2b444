package nutrient

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"example.org/earthbasin/units"
)

// Sizes up to which an allocation is planned, many times those of a farm: the
// tables of a field grow with the square of its limits, that of the materials with
// the square of their number.
const (
	maxSeasons   = 60 // materials and the holdings of one too
	maxFields    = 10_000
	maxLimits    = 200 // and needs of a field
	maxCells     = 1_000_000
	maxLoads     = 1e6
	maxRoundsCap = 10_000
)

// allocationCheck finds the faults of an [AllocationSpec] and the numbers of its
// names.
type allocationCheck struct {
	faults    units.Faults
	seasons   nameList
	materials nameList
	fields    nameList
	of        nameList // constituents, from the holdings
	open      bool     // the stocks limit what nothing else does
}

// nameList numbers the names of a list.
type nameList struct {
	index map[string]int
	want  string // made when it is needed first
}

// season returns the number of a season, -1 for all together.
func (c *allocationCheck) season(name string) int {
	if name == "" {
		return -1
	}
	return c.seasons.index[name]
}

func newAllocationCheck(s *AllocationSpec, open bool) *allocationCheck {
	c := &allocationCheck{open: open, of: nameList{index: map[string]int{}}}
	if c.checkSizes(s); c.faults.Err() != nil {
		return c
	}
	c.seasons = c.names("seasons", "", len(s.Seasons), func(i int) string { return s.Seasons[i] })
	c.materials = c.names("materials", ".name", len(s.Materials), func(i int) string { return s.Materials[i].Name })
	c.fields = c.names("fields", ".name", len(s.Fields), func(i int) string { return s.Fields[i].Name })
	if s.MaxRounds < 0 || s.MaxRounds > maxRoundsCap {
		c.faults.Add("maxRounds", s.MaxRounds, fmt.Sprint("0 to ", maxRoundsCap))
	}
	for i := range s.Materials {
		for _, h := range s.Materials[i].Holds {
			if _, ok := c.of.index[h.Of]; !ok {
				c.of.index[h.Of] = len(c.of.index)
			}
		}
	}
	for i := range s.Materials {
		var f units.Faults
		c.checkMaterial(&f, &s.Materials[i])
		sub(&c.faults, "materials", i, &f)
	}
	for i := range s.Fields {
		var f units.Faults
		c.checkField(&f, &s.Fields[i])
		sub(&c.faults, "fields", i, &f)
	}
	c.checkHoldsLimited(s)
	for i, p := range s.Prices {
		path := fmt.Sprintf("prices[%d]", i)
		c.known(&c.faults, path+".of", p.Of, &c.of, false)
		if slices.ContainsFunc(s.Prices[:i], func(q NutrientPrice) bool { return q.Of == p.Of }) {
			c.faults.Add(path+".of", p.Of, "one price for each nutrient")
		}
		notNegative(&c.faults, path+".price", p.Price)
	}
	for i, e := range s.Exceptions {
		var f units.Faults
		c.checkException(&f, s, &e)
		sub(&c.faults, "exceptions", i, &f)
	}
	return c
}

// checkSizes bounds the work. Lists of names are at least as long as they have to be.
func (c *allocationCheck) checkSizes(s *AllocationSpec) {
	atMost := func(path string, n, most int) {
		if n > most {
			c.faults.Add(path, n, fmt.Sprintf("at most %d of them", most))
		}
	}
	atMost("seasons", len(s.Seasons), maxSeasons)
	atMost("materials", len(s.Materials), maxSeasons)
	atMost("prices", len(s.Prices), maxSeasons)
	atMost("fields", len(s.Fields), maxFields)
	atMost("exceptions", len(s.Exceptions), maxFields)
	holds := func(path string, list []Holding) {
		if len(list) > maxSeasons {
			atMost(path+".holds", len(list), maxSeasons)
			return
		}
		for i, h := range list {
			if len(h.Later) >= maxSeasons {
				atMost(fmt.Sprintf("%s.holds[%d].later", path, i), len(h.Later), maxSeasons-1)
			}
		}
	}
	for i := range s.Materials {
		path := fmt.Sprintf("materials[%d]", i)
		atMost(path+".seasons", len(s.Materials[i].Seasons), maxSeasons)
		holds(path, s.Materials[i].Holds)
	}
	for i := range s.Exceptions {
		holds(fmt.Sprintf("exceptions[%d]", i), s.Exceptions[i].Holds)
	}
	cells := 0
	for i := range s.Fields {
		rows := len(s.Fields[i].Limits) + len(s.Fields[i].Needs)
		if rows > maxLimits {
			atMost(fmt.Sprintf("fields[%d].limits", i), rows, maxLimits)
		}
		if n := len(s.Fields[i].Distances); n > maxSeasons {
			atMost(fmt.Sprintf("fields[%d].distances", i), n, maxSeasons)
		}
		cells += rows * (rows + len(s.Materials)*len(s.Seasons))
	}
	if c.faults.Err() == nil {
		atMost("fields", cells, maxCells)
	}
}

// checkHoldsLimited wants every material to say how much it holds of each
// constituent that a limit is about: one left out, or spelt otherwise, would slip
// past the limit.
func (c *allocationCheck) checkHoldsLimited(s *AllocationSpec) {
	limited := map[string]bool{}
	for i := range s.Fields {
		for _, l := range s.Fields[i].Limits {
			if _, known := c.of.index[l.Of]; known {
				limited[l.Of] = true
			}
		}
	}
	for _, of := range slices.Sorted(maps.Keys(limited)) {
		for i := range s.Materials {
			if !slices.ContainsFunc(s.Materials[i].Holds, func(h Holding) bool { return h.Of == of }) {
				c.faults.Say(fmt.Sprintf("materials[%d].holds", i), "without "+of, "every constituent that a limit is about, with 0 where the material holds none")
			}
		}
	}
}

// sub records the faults g of part i of a list. The path is made only when it is
// needed: most parts have no fault.
func sub(f *units.Faults, list string, i int, g *units.Faults) {
	if err := g.Err(); err != nil {
		f.Sub(fmt.Sprintf("%s[%d]", list, i), err)
	}
}

// names numbers the names of a list and records empty and double ones.
func (c *allocationCheck) names(list, field string, n int, name func(int) string) nameList {
	to := make(map[string]int, n)
	if n == 0 {
		c.faults.Missing(list, "at least one")
	}
	for i := range n {
		path := func() string { return fmt.Sprintf("%s[%d]%s", list, i, field) }
		switch _, double := to[name(i)]; {
		case name(i) == "":
			c.faults.Missing(path(), "a name")
		case double:
			c.faults.Add(path(), name(i), "a name of its own")
		default:
			to[name(i)] = i
		}
	}
	return nameList{index: to}
}

// namesShown is how many names a fault lists.
const namesShown = 20

// known records a fault unless name is on the list, or empty where that is allowed.
func (c *allocationCheck) known(f *units.Faults, path, name string, list *nameList, empty bool) {
	if _, ok := list.index[name]; ok && name != "" || empty && name == "" {
		return
	}
	if list.want == "" {
		names := slices.Sorted(maps.Keys(list.index))
		list.want = "one of " + strings.Join(names[:min(len(names), namesShown)], ", ")
		if len(names) > namesShown {
			list.want += fmt.Sprintf(" and %d others", len(names)-namesShown)
		}
	}
	f.Add(path, name, list.want)
}

func (c *allocationCheck) checkMaterial(f *units.Faults, a *AllocationMaterial) {
	form := a.Stock.form
	if !formNames.Has(int(form)) {
		f.Missing("stock", "a volume or a mass")
		return
	}
	f.Sub("stock", a.Stock.check(form, false, amountOf))
	c.checkHoldings(f, a.Holds, form)
	for i, s := range a.Seasons {
		c.known(f, fmt.Sprintf("seasons[%d]", i), s, &c.seasons, false)
	}
	f.Sub("spread", a.Spread.Check(form))
	f.Sub("haulPerMile", a.HaulPerMile.Check(form))
	if !a.Leave.IsZero() {
		f.Sub("leavePrice", a.Leave.Check(form))
	}
	if !a.Load.IsZero() {
		f.Sub("load", a.Load.check(form, false, amountOf))
		if a.Load.value > 0 && a.Stock.value/a.Load.value > maxLoads {
			f.Add("load", a.Load.String(), "at least a millionth of the stock")
		}
	}
}

func (c *allocationCheck) checkHoldings(f *units.Faults, holds []Holding, form Form) {
	for i, h := range holds {
		var g units.Faults
		if h.Of == "" {
			g.Missing("of", "the name of the constituent")
		}
		if slices.ContainsFunc(holds[:i], func(g Holding) bool { return g.Of == h.Of }) {
			g.Add("of", h.Of, "each constituent once")
		}
		g.Sub("content", h.Content.Check(form))
		for j, l := range h.Later {
			if err := l.Check(form); err != nil {
				g.Sub(fmt.Sprintf("later[%d]", j), err)
			}
		}
		sub(f, "holds", i, &g)
	}
}

func (c *allocationCheck) checkField(f *units.Faults, a *AllocationField) {
	positive(f, "area", a.Area)
	notNegative(f, "distance", a.Distance)
	for _, name := range slices.Sorted(maps.Keys(a.Distances)) {
		c.known(f, "distances", name, &c.materials, false)
		notNegative(f, "distances."+name, a.Distances[name])
	}
	if len(a.Limits) == 0 && !c.open {
		f.Missing("limits", "at least one limit")
	}
	for i, l := range a.Limits {
		var g units.Faults
		checkWord(&g, "kind", l.Kind, "the reason of the limit, such as nitrogen")
		c.known(&g, "season", l.Season, &c.seasons, true)
		switch {
		case l.Of != "" && l.Rate.IsZero() && l.Material == "":
			c.known(&g, "of", l.Of, &c.of, false)
			notNegative(&g, "room", l.Room)
		case l.Of == "" && !l.Rate.IsZero() && l.Room == 0:
			c.known(&g, "material", l.Material, &c.materials, true)
			g.Sub("rate", l.Rate.Check(l.Rate.form))
		default:
			g.Add("of", l.Of, "either of and room, or rate and, if it is for one only, material")
		}
		sub(f, "limits", i, &g)
	}
	for i, n := range a.Needs {
		var g units.Faults
		c.known(&g, "of", n.Of, &c.of, false)
		c.known(&g, "season", n.Season, &c.seasons, true)
		notNegative(&g, "need", n.Need)
		sub(f, "needs", i, &g)
	}
}

func (c *allocationCheck) checkException(f *units.Faults, s *AllocationSpec, e *AllocationException) {
	c.known(f, "material", e.Material, &c.materials, true)
	c.known(f, "field", e.Field, &c.fields, true)
	c.known(f, "season", e.Season, &c.seasons, true)
	if len(e.Holds) == 0 && e.Spread.IsZero() {
		return
	}
	if e.Material == "" {
		f.Missing("material", "the material whose holds or spread are meant")
		return
	}
	form := e.Spread.form
	if i, ok := c.materials.index[e.Material]; ok {
		form = s.Materials[i].Stock.form
	}
	c.checkHoldings(f, e.Holds, form)
	for i, h := range e.Holds {
		if _, ok := c.of.index[h.Of]; !ok {
			c.known(f, fmt.Sprintf("holds[%d].of", i), h.Of, &c.of, false)
		}
	}
	if !e.Spread.IsZero() {
		f.Sub("spread", e.Spread.Check(form))
	}
}
