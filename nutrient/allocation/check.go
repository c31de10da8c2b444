package allocation

import (
	"maps"
	"slices"
	"strings"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// Sizes up to which an allocation is planned, many times those of a farm: the
// tables of a field grow with the square of its limits, that of the materials with
// the square of their number.
const (
	maxNames      = 60 // seasons, materials, and the holdings of one
	maxFields     = 10_000
	maxExceptions = 100_000
	maxLimits     = 200 // and needs of a field
	maxCells      = 1_000_000
	maxLoads      = 1e6
	maxRoundsCap  = 10_000
)

// Bounds that no job reaches; amounts, contents, rates and prices of a material are
// held to those of package nutrient.
const (
	leastArea, mostArea   = units.SquareFoot / 1000, 1e8 * units.Hectare
	leastRoom, mostRoom   = units.MassPerArea(1e-12), units.MassPerArea(1e4)
	leastWay, mostWay     = units.Foot / 1000, 1e5 * units.Kilometre
	leastPrice, mostPrice = units.Price[units.Mass](1e-15), units.Price[units.Mass](1e12)
)

// check finds the faults of an [AllocateSpec] and the numbers of its names.
type check struct {
	faults    units.Faults
	seasons   nameList
	either    nameList // seasons and years
	periods   periods
	materials nameList
	fields    nameList
	of        nameList // constituents, from the holdings
	open      bool     // the stocks limit what nothing else does

	exceptions map[string][]int // their numbers by field, "" for those about all
	taken      map[string]bool  // names of the list that is gone through
}

// exceptionsOf returns the numbers of the exceptions that may be about a field, in
// order: with one for each placement no list is gone through for every way.
func (c *check) exceptionsOf(field string) []int {
	own, all := c.exceptions[field], c.exceptions[""]
	if len(own) == 0 {
		return all
	}
	if len(all) > 0 {
		own = slices.Concat(own, all)
		slices.Sort(own)
	}
	return own
}

// nameList numbers the names of a list.
type nameList struct {
	index map[string]int
	want  string // made when it is needed first
}

// reset checks s.
func (c *check) reset(s *AllocateSpec, open bool) {
	c.open, c.faults = open, units.Faults{}
	f := &c.faults
	if checkSizes(f, s); f.Len() > 0 {
		return
	}
	if c.taken == nil {
		c.taken, c.exceptions = map[string]bool{}, map[string][]int{}
	}
	for _, list := range []*nameList{&c.seasons, &c.either, &c.materials, &c.fields, &c.of} {
		list.reset()
	}
	c.names(&c.seasons, "seasons", "", "season", len(s.Seasons), func(i int) string { return s.Seasons[i] })
	c.checkYears(s)
	c.names(&c.materials, "materials", "name", "material", len(s.Materials), func(i int) string { return s.Materials[i].Name })
	c.names(&c.fields, "fields", "name", "field", len(s.Fields), func(i int) string { return s.Fields[i].Name })
	f.CountBetween("maxRounds", s.MaxRounds, "rounds", 0, maxRoundsCap)
	for i := range s.Materials {
		for _, h := range s.Materials[i].Holds {
			if _, ok := c.of.index[h.Of]; !ok {
				c.of.index[h.Of] = len(c.of.index)
			}
		}
	}
	for i := range s.Materials {
		at := f.At("materials", i)
		c.checkMaterial(&at, &s.Materials[i])
	}
	for i := range s.Fields {
		at := f.At("fields", i)
		c.checkField(&at, &s.Fields[i])
	}
	c.checkHoldsLimited(s)
	for i, p := range s.Prices {
		at := f.At("prices", i)
		c.known(&at, "of", p.Of, &c.of, false)
		if slices.ContainsFunc(s.Prices[:i], func(q Price) bool { return q.Of == p.Of }) {
			at.Add("of", p.Of, "one price for each nutrient")
		}
		zeroOr(&at, "price", p.Price, leastPrice, mostPrice)
	}
	clear(c.exceptions)
	for i := range s.Exceptions {
		at := f.At("exceptions", i)
		c.checkException(&at, s, &s.Exceptions[i])
		c.exceptions[s.Exceptions[i].Field] = append(c.exceptions[s.Exceptions[i].Field], i)
	}
}

// checkSizes bounds the work.
func checkSizes(f *units.Faults, s *AllocateSpec) {
	holds := func(f *units.Faults, list []Holding) {
		f.CountBetween("holds", len(list), "constituents", 0, maxNames)
		for i := range list[:min(len(list), maxNames)] {
			at := f.At("holds", i)
			at.CountBetween("later", len(list[i].Later), "contents", 0, maxNames-1)
		}
	}
	f.CountBetween("seasons", len(s.Seasons), "seasons", 0, maxNames)
	if n := len(s.Years); n != 0 && n != len(s.Seasons) {
		f.Count("years", n, "years", "one for each of the %v seasons, or none", len(s.Seasons))
	}
	f.CountBetween("materials", len(s.Materials), "materials", 0, maxNames)
	f.CountBetween("fields", len(s.Fields), "fields", 0, maxFields)
	f.CountBetween("prices", len(s.Prices), "prices", 0, maxNames)
	f.CountBetween("exceptions", len(s.Exceptions), "exceptions", 0, maxExceptions)
	for i := range s.Materials[:min(len(s.Materials), maxNames)] {
		at := f.At("materials", i)
		at.CountBetween("seasons", len(s.Materials[i].Seasons), "seasons", 0, maxNames)
		holds(&at, s.Materials[i].Holds)
	}
	for i := range s.Exceptions[:min(len(s.Exceptions), maxExceptions)] {
		at := f.At("exceptions", i)
		holds(&at, s.Exceptions[i].Holds)
	}
	cells := 0
	for i := range s.Fields[:min(len(s.Fields), maxFields)] {
		at := f.At("fields", i)
		rows := len(s.Fields[i].Limits) + len(s.Fields[i].Needs)
		at.CountBetween("limits", rows, "limits and needs", 0, maxLimits)
		at.CountBetween("distances", len(s.Fields[i].Distances), "distances", 0, maxNames)
		cells += rows * (rows + len(s.Materials)*len(s.Seasons))
	}
	if f.Len() == 0 {
		f.CountBetween("fields", cells, "numbers in the tables of all fields", 0, maxCells)
	}
}

// checkYears numbers the seasons and the years together.
func (c *check) checkYears(s *AllocateSpec) {
	c.periods.reset(s)
	maps.Copy(c.either.index, c.seasons.index)
	for i, y := range s.Years {
		at := c.faults.At("years", i)
		_, season := c.seasons.index[y]
		switch {
		case y == "":
			at.Missing("", "the year of the season")
		case season:
			at.Add("", y, "a name that no season has")
		case i > 0 && y != s.Years[i-1] && slices.Contains(s.Years[:i], y):
			at.Add("", y, "the seasons of a year one after the other")
		}
		c.either.index[y] = i
	}
}

// checkHoldsLimited wants every material to say how much it holds of each
// constituent that a limit is about: one left out, or spelt otherwise, would slip
// past the limit.
func (c *check) checkHoldsLimited(s *AllocateSpec) {
	clear(c.taken)
	limited := c.taken
	for i := range s.Fields {
		for _, l := range s.Fields[i].Limits {
			if _, known := c.of.index[l.Of]; known {
				limited[l.Of] = true
			}
		}
	}
	holds := func(a *Material, of string) bool {
		return slices.ContainsFunc(a.Holds, func(h Holding) bool { return h.Of == of })
	}
	maps.DeleteFunc(limited, func(of string, _ bool) bool {
		return !slices.ContainsFunc(s.Materials, func(a Material) bool { return !holds(&a, of) })
	})
	for _, of := range slices.Sorted(maps.Keys(limited)) {
		for i := range s.Materials {
			if !holds(&s.Materials[i], of) {
				at := c.faults.At("materials", i)
				at.Add("holds", units.Words("without %v", units.Word(of)), "every constituent that a limit is about, with 0 where the material holds none")
			}
		}
	}
}

// reset forgets the names of another list.
func (l *nameList) reset() {
	if l.want = ""; l.index == nil {
		l.index = map[string]int{}
	}
	clear(l.index)
}

// names numbers the names of a list and records empty and double ones.
func (c *check) names(to *nameList, list, field, of string, n int, name func(int) string) {
	clear(c.taken)
	if n == 0 {
		c.faults.Missing(list, "at least one")
	}
	for i := range n {
		if at := c.faults.At(list, i); at.Name(field, name(i), of, c.taken) {
			to.index[name(i)] = i
		}
	}
}

// namesShown is how many names a fault lists.
const namesShown = 20

// known records a fault unless name is on the list, or empty where that is allowed.
func (c *check) known(f *units.Faults, field, name string, list *nameList, empty bool) {
	if _, ok := list.index[name]; ok && name != "" || empty && name == "" {
		return
	}
	if list.want == "" {
		names := slices.Sorted(maps.Keys(list.index))
		list.want = "one of " + strings.Join(names[:min(len(names), namesShown)], ", ")
		if len(names) > namesShown {
			list.want += " and others"
		}
	}
	if name == "" {
		f.Missing(field, "%v", units.Word(list.want))
		return
	}
	f.Fault(units.FaultName, field, name, "%v", units.Word(list.want))
}

// zeroOr records a fault unless q is 0 or lies between least and most.
func zeroOr[Q interface {
	~float64
	units.Quantity
}](f *units.Faults, field string, q, least, most Q) {
	if !(q == 0 || q >= least && q <= most) {
		f.Fault(units.FaultRange, field, q, "0, or %v to %v", least, most)
	}
}

func (c *check) checkMaterial(f *units.Faults, a *Material) {
	form := a.Stock.Form()
	if form == 0 {
		f.Missing("stock", "a volume or a mass")
		return
	}
	above0 := func(field string, q nutrient.Amount) {
		if q.SI() == 0 && q.Form() == form {
			f.Add(field, q.String(), "more than 0")
		}
		f.Sub(field, q.Check(form))
	}
	above0("stock", a.Stock)
	checkHoldings(f, a.Holds, form)
	for i, s := range a.Seasons {
		at := f.At("seasons", i)
		c.known(&at, "", s, &c.seasons, false)
	}
	f.Sub("spread", a.Spread.Check(form))
	f.Sub("haulPerMile", a.HaulPerMile.Check(form))
	if !a.Leave.IsZero() {
		f.Sub("leavePrice", a.Leave.Check(form))
	}
	if !a.Load.IsZero() {
		above0("load", a.Load)
		if a.Load.SI() > 0 && a.Stock.SI()/a.Load.SI() > maxLoads {
			f.Add("load", a.Load.String(), "at least a millionth of the stock")
		}
	}
}

func checkHoldings(f *units.Faults, holds []Holding, form nutrient.Form) {
	for i, h := range holds {
		at := f.At("holds", i)
		if h.Of == "" {
			at.Missing("of", "the name of the constituent")
		}
		if slices.ContainsFunc(holds[:i], func(g Holding) bool { return g.Of == h.Of }) {
			at.Add("of", h.Of, "each constituent once")
		}
		at.Sub("content", h.Content.Check(form))
		for j, l := range h.Later {
			later := at.At("later", j)
			later.Sub("", l.Check(form))
		}
	}
}

func (c *check) checkField(f *units.Faults, a *Field) {
	f.Between("area", a.Area, leastArea, mostArea)
	zeroOr(f, "distance", a.Distance, leastWay, mostWay)
	for _, name := range slices.Sorted(maps.Keys(a.Distances)) {
		at := f.Named("distances", name)
		c.known(&at, "", name, &c.materials, false)
		zeroOr(&at, "", a.Distances[name], leastWay, mostWay)
	}
	if len(a.Limits) == 0 && !c.open {
		f.Missing("limits", "at least one limit")
	}
	for i := range a.Limits {
		at := f.At("limits", i)
		c.checkLimit(&at, &a.Limits[i])
	}
	for i, n := range a.Needs {
		at := f.At("needs", i)
		c.known(&at, "of", n.Of, &c.of, false)
		c.known(&at, "season", n.Season, &c.either, true)
		zeroOr(&at, "need", n.Need, leastRoom, mostRoom)
	}
}

func (c *check) checkLimit(f *units.Faults, l *Limit) {
	f.Sub("kind", l.Kind.Check())
	c.known(f, "season", l.Season, &c.either, true)
	switch {
	case l.Of != "" && l.Rate.IsZero() && l.Material == "":
		c.known(f, "of", l.Of, &c.of, false)
		zeroOr(f, "room", l.Room, leastRoom, mostRoom)
	case l.Of == "" && !l.Rate.IsZero() && l.Room == 0:
		c.known(f, "material", l.Material, &c.materials, true)
		f.Sub("rate", l.Rate.Check(l.Rate.Form()))
	default:
		f.Say("of", "neither a limit on a constituent nor one on material", "either of and room, or rate and, if it is for one only, material")
	}
}

func (c *check) checkException(f *units.Faults, s *AllocateSpec, e *Exception) {
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
	i, ok := c.materials.index[e.Material]
	if !ok {
		return
	}
	form := s.Materials[i].Stock.Form()
	checkHoldings(f, e.Holds, form)
	for i, h := range e.Holds {
		if _, ok := c.of.index[h.Of]; !ok {
			at := f.At("holds", i)
			c.known(&at, "of", h.Of, &c.of, false)
		}
	}
	if !e.Spread.IsZero() {
		f.Sub("spread", e.Spread.Check(form))
	}
}
