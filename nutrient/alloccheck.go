package nutrient

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"example.org/earthbasin/units"
)

// allocationCheck finds the faults of an [AllocationSpec] and the numbers of its
// names.
type allocationCheck struct {
	faults   units.Faults
	seasons  map[string]int
	material map[string]int
	fields   map[string]int
	of       map[string]int // constituents, from the holdings
}

func (c *allocationCheck) season(name string) int {
	if name == "" {
		return -1
	}
	return c.seasons[name]
}

func newAllocationCheck(s *AllocationSpec) *allocationCheck {
	c := &allocationCheck{of: map[string]int{}}
	c.seasons = c.names("seasons", "", len(s.Seasons), func(i int) string { return s.Seasons[i] })
	c.material = c.names("materials", ".name", len(s.Materials), func(i int) string { return s.Materials[i].Name })
	c.fields = c.names("fields", ".name", len(s.Fields), func(i int) string { return s.Fields[i].Name })
	if s.MaxRounds < 0 {
		c.faults.Add("maxRounds", s.MaxRounds, "0 or more")
	}
	for i := range s.Materials {
		for _, h := range s.Materials[i].Holds {
			if _, ok := c.of[h.Of]; !ok {
				c.of[h.Of] = len(c.of)
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
		c.known(&c.faults, path+".of", p.Of, c.of, false)
		if slices.ContainsFunc(s.Prices[:i], func(q NutrientPrice) bool { return q.Of == p.Of }) {
			c.faults.Add(path+".of", p.Of, "one price for each nutrient")
		}
		checkModest(&c.faults, path+".price", p.Price)
	}
	for i, e := range s.Exceptions {
		var f units.Faults
		c.checkException(&f, s, &e)
		sub(&c.faults, "exceptions", i, &f)
	}
	return c
}

// checkHoldsLimited wants every material to say how much it holds of each
// constituent that a limit is about: one left out, or spelt otherwise, would slip
// past the limit.
func (c *allocationCheck) checkHoldsLimited(s *AllocationSpec) {
	limited := map[string]bool{}
	for i := range s.Fields {
		for _, l := range s.Fields[i].Limits {
			if _, known := c.of[l.Of]; known {
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
func (c *allocationCheck) names(list, field string, n int, name func(int) string) map[string]int {
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
	return to
}

// known records a fault unless name is a key of list, or empty where that is
// allowed.
func (c *allocationCheck) known(f *units.Faults, path, name string, list map[string]int, empty bool) {
	if _, ok := list[name]; ok && name != "" || empty && name == "" {
		return
	}
	f.Add(path, name, "one of "+strings.Join(slices.Sorted(maps.Keys(list)), ", "))
}

func (c *allocationCheck) checkMaterial(f *units.Faults, a *AllocationMaterial) {
	form := a.Stock.form
	if !formNames.Has(int(form)) {
		f.Missing("stock", "a volume or a mass")
		return
	}
	checkPositive(f, "stock", a.Stock.quantity())
	c.checkHoldings(f, a.Holds, form)
	for i, s := range a.Seasons {
		c.known(f, fmt.Sprintf("seasons[%d]", i), s, c.seasons, false)
	}
	price := func(field string, p UnitPrice, needed bool) {
		if needed || !p.IsZero() {
			checkForm(f, field, p.measure, form)
			checkModest(f, field, p.quantity())
		}
	}
	price("spread", a.Spread, true)
	price("haulPerMile", a.HaulPerMile, true)
	price("leavePrice", a.Leave, false)
	if !a.Load.IsZero() {
		checkForm(f, "load", a.Load.measure, form)
		checkPositive(f, "load", a.Load.quantity())
		if a.Load.value > 0 && a.Stock.value/a.Load.value > 1e9 {
			f.Add("load", a.Load.String(), "at least a billionth of the stock")
		}
	}
}

func (c *allocationCheck) checkHoldings(f *units.Faults, holds []Holding, form Form) {
	for i, h := range holds {
		path := fmt.Sprintf("holds[%d]", i)
		if h.Of == "" {
			f.Missing(path+".of", "the name of the constituent")
		}
		if slices.ContainsFunc(holds[:i], func(g Holding) bool { return g.Of == h.Of }) {
			f.Add(path+".of", h.Of, "each constituent once")
		}
		checkContent(f, path+".content", h.Content, form)
		for j, l := range h.Later {
			checkContent(f, fmt.Sprintf("%s.later[%d]", path, j), l, form)
		}
	}
}

func (c *allocationCheck) checkField(f *units.Faults, a *AllocationField) {
	checkPositive(f, "area", a.Area)
	checkModest(f, "distance", a.Distance)
	for _, name := range slices.Sorted(maps.Keys(a.Distances)) {
		c.known(f, "distances", name, c.material, false)
		checkModest(f, "distances."+name, a.Distances[name])
	}
	if len(a.Limits) == 0 {
		f.Missing("limits", "at least one limit")
	}
	for i, l := range a.Limits {
		var g units.Faults
		checkWord(&g, "kind", l.Kind, "the reason of the limit, such as nitrogen")
		c.known(&g, "season", l.Season, c.seasons, true)
		switch {
		case l.Of != "" && l.Rate.IsZero() && l.Material == "":
			c.known(&g, "of", l.Of, c.of, false)
			checkModest(&g, "room", l.Room)
		case l.Of == "" && formNames.Has(int(l.Rate.form)) && l.Room == 0:
			c.known(&g, "material", l.Material, c.material, true)
			checkModest(&g, "rate", l.Rate.quantity())
		default:
			g.Add("of", l.Of, "either of and room, or rate and, if it is for one only, material")
		}
		sub(f, "limits", i, &g)
	}
	for i, n := range a.Needs {
		var g units.Faults
		c.known(&g, "of", n.Of, c.of, false)
		c.known(&g, "season", n.Season, c.seasons, true)
		checkModest(&g, "need", n.Need)
		sub(f, "needs", i, &g)
	}
}

func (c *allocationCheck) checkException(f *units.Faults, s *AllocationSpec, e *AllocationException) {
	c.known(f, "material", e.Material, c.material, true)
	c.known(f, "field", e.Field, c.fields, true)
	c.known(f, "season", e.Season, c.seasons, true)
	form := e.Spread.form
	if i, ok := c.material[e.Material]; ok {
		form = s.Materials[i].Stock.form
	}
	if len(e.Holds) > 0 || !e.Spread.IsZero() {
		if e.Material == "" {
			f.Missing("material", "the material whose holds or spread are meant")
			return
		}
	}
	c.checkHoldings(f, e.Holds, form)
	for i, h := range e.Holds {
		c.known(f, fmt.Sprintf("holds[%d].of", i), h.Of, c.of, false)
	}
	if !e.Spread.IsZero() {
		checkForm(f, "spread", e.Spread.measure, form)
		checkModest(f, "spread", e.Spread.quantity())
	}
}
