package nutrient

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"example.org/earthbasin/units"
)

// asking is one query put to a state.
type asking struct {
	*State
	f      *units.Faults
	spots  []spot // by key
	tried  []bool // classes that were derived, or could not be
	steps  []Step
	yield  Yield             // of the query; zero for none
	others map[string]Answer // figures of other tables that were looked up
	lack   *line             // that says why there is no answer; nil when something else is wrong
}

// refuse records that n has no figure.
func (a *asking) refuse(n *line, gives string) {
	a.lack = n
	a.f.Fault(units.FaultLacking, a.of(n, gives), units.Words("no figure for %v in the state %v", units.Word(gives), units.Word(a.spec.ID)), "another choice or state: %v", units.Word(n.figure.lacks))
}

// ask reads the query and records what is not a value of the state.
func (s *State) ask(q Query, f *units.Faults) *asking {
	a := &asking{State: s, f: f, spots: make([]spot, len(s.keys)), tried: make([]bool, len(s.keys))}
	for _, name := range slices.Sorted(maps.Keys(q)) {
		text := strings.TrimSpace(q[name])
		i := s.keyIndex(name)
		at := f.Named("", name)
		switch {
		case i < 0 && slices.Contains([]string{KeyForm, KeyDryMatter, KeyReadilyAvailable}, name): // decides nothing here
		case i < 0 && name == KeyYield:
			if text != "" {
				var err error
				a.yield, err = ParseYield(text)
				at.Sub("", err)
			}
		case i < 0:
			want := orNear(name, s.keyNames(), units.Words("one that the state %v declares: %v", units.Word(s.spec.ID), units.Word(strings.Join(s.keyNames(), ", "))))
			at.Fault(units.FaultKey, "", units.Words("an unknown key"), want.Text, want.Args...)
		case text != "":
			spot, ok := s.keys[i].spotOf(text)
			y, err := ParseYield(text)
			switch {
			case ok:
				a.spots[i] = spot
			case name == KeyYield && err == nil: // of a crop that is counted in another unit
			default:
				want, kind := s.keys[i].refusal(text)
				at.Fault(kind, "", text, want.Text, want.Args...)
			}
			if name == KeyYield && err == nil {
				a.yield = y
			}
		}
	}
	if f.Err() == nil {
		a.contradictions()
	}
	return a
}

// contradictions records each class of the query that is not the one in which its own
// table has the values that stand beside it: of the two the stricter one could be passed
// over.
func (a *asking) contradictions() {
	for i := range a.keys {
		k, given := &a.keys[i], a.spots[i]
		if !given.given || len(k.Values) == 0 || !a.Has(k.Name, AsValue) {
			continue
		}
		var own units.Faults
		by := &asking{State: a.State, f: &own, spots: slices.Clone(a.spots), tried: make([]bool, len(a.keys))}
		by.spots[i], by.tried[i] = spot{}, true
		n, x, ok := by.value(k.Name, a.lines[k.Name], AsValue)
		if !ok || strings.EqualFold(x.word, k.Values[given.choice]) {
			continue // a class that nothing beside it decides, or the same
		}
		by.step(n, x)
		step := by.steps[len(by.steps)-1]
		at := a.f.Named("", k.Name)
		at.Fault(units.FaultConflict, "", units.Words("%v beside %v", units.Word(k.Values[given.choice]), units.Word(strings.Join(step.Line, ", "))),
			"%v, the class of that by %v, or only one of the two", units.Word(x.word), units.Word(step.Place))
	}
}

func (s *State) keyNames() []string {
	var names []string
	for _, k := range s.keys {
		names = append(names, k.Name)
	}
	return names
}

// against reports whether what is known speaks against a line.
func (a *asking) against(n *line) bool {
	return slices.ContainsFunc(n.asks, func(d demand) bool {
		s := a.spots[d.key]
		if d.point && !s.never && a.keys[d.key].Between == BetweenLinear {
			return false // settled among all points of the line
		}
		return s.given && !d.holds(s)
	})
}

// open returns the keys that a line still asks for.
func (a *asking) open(n *line) (keys []int) {
	for _, d := range n.asks {
		if !a.spots[d.key].given {
			keys = append(keys, d.key)
		}
	}
	for _, k := range n.per {
		if !a.spots[k].given && !slices.Contains(keys, k) {
			keys = append(keys, k)
		}
	}
	return keys
}

// settle returns the lines against which nothing speaks, with the classes worked out
// for which they ask.
func (a *asking) settle(lines []*line, as As) []*line {
	for {
		var left []*line
		derive := -1
		for _, n := range lines {
			if n.table.As != as || a.against(n) {
				continue
			}
			left = append(left, n)
			for _, k := range a.open(n) {
				if derive < 0 && !a.tried[k] && a.lines[a.keys[k].Name] != nil {
					derive = k
				}
			}
		}
		if derive < 0 || a.f.Err() != nil {
			return left
		}
		a.tried[derive] = true
		if n, x, ok := a.value(a.keys[derive].Name, a.lines[a.keys[derive].Name], AsValue); ok {
			a.step(n, x)
			a.spots[derive] = spot{given: true, choice: indexFold(a.keys[derive].Values, x.word)}
		}
	}
}

// value returns the one line that answers, with its figure.
func (a *asking) value(gives string, all []*line, as As) (*line, figure, bool) {
	lines := a.settle(all, as)
	if a.f.Err() != nil {
		return nil, figure{}, false
	}
	for layer := 0; len(lines) > 0; layer++ {
		var own, rest []*line
		for _, n := range lines {
			if n.table.layer == layer {
				own = append(own, n)
			} else {
				rest = append(rest, n)
			}
		}
		if lines = rest; own == nil {
			continue
		}
		if a.missing(own) {
			return nil, figure{}, false
		}
		return a.between(gives, own)
	}
	a.none(gives, as)
	return nil, figure{}, false
}

// none records that no line answers, with the reason that the file has for it.
func (a *asking) none(gives string, as As) {
	if n := a.lackOf(gives, as); n != nil {
		a.refuse(n, gives)
		return
	}
	if a.Has(gives) {
		a.f.Lacking(gives, "no line", "a query that the state %v answers", units.Word(a.spec.ID))
		return
	}
	a.refuse(&line{figure: figure{lacks: "the state has no figures for it"}}, gives)
}

// Why returns the reason that the file has in lacks for giving nothing to a query in
// some way, empty where it has none. It says so also of what no table gives.
func (s *State) Why(gives string, as As, q Query) string {
	var f units.Faults
	if n := s.ask(q, &f).lackOf(gives, as); n != nil {
		return n.figure.lacks
	}
	return ""
}

// speaksOf reports whether a lack is one of tables of a way.
func (t *boundTable) speaksOf(as As) bool { return t.As == 0 || t.As == as }

// lackOf is the lack that speaks of the query, nil for none.
func (a *asking) lackOf(gives string, as As) *line {
	for _, n := range a.lacks[gives] {
		if n.table.speaksOf(as) && !a.against(n) {
			return n
		}
	}
	return nil
}

// of is the key to which a refusal belongs.
func (a *asking) of(n *line, gives string) string {
	if len(n.asks) == 0 {
		return gives
	}
	return a.keys[n.asks[0].key].Name
}

// ask records that a key was left open.
func (a *asking) ask(key int) {
	want := a.keys[key].Takes()
	a.f.Missing(a.keys[key].Name, want.Text, want.Args...)
}

// missing records the keys without which it is not known which of the lines answers:
// those for which all of them ask, else those of the first.
func (a *asking) missing(lines []*line) bool {
	var first []int
	asked, open := make([]int, len(a.keys)), 0
	for _, n := range lines {
		keys := a.open(n)
		if keys == nil {
			continue
		}
		if open++; first == nil {
			first = keys
		}
		for _, k := range keys {
			asked[k]++
		}
	}
	if open == 0 {
		return false
	}
	var all []int
	for k, n := range asked {
		if n == open {
			all = append(all, k)
		}
	}
	if all == nil {
		all = first
	}
	for _, k := range all {
		a.ask(k)
	}
	return true
}

// missingAny records all keys for which one of the lines still asks.
func (a *asking) missingAny(lines []*line) bool {
	asked := map[int]bool{}
	for _, n := range lines {
		for _, k := range a.open(n) {
			asked[k] = true
		}
	}
	for _, k := range slices.Sorted(maps.Keys(asked)) {
		a.ask(k)
	}
	return len(asked) > 0
}

// between returns the line that answers, or what lies between two of its points.
func (a *asking) between(gives string, lines []*line) (*line, figure, bool) {
	low, high := lines[0], lines[0]
	var share float64 // of the way from low to high
	for _, d := range lines[0].asks {
		if !d.point || a.keys[d.key].Between != BetweenLinear || !a.spots[d.key].given {
			continue
		}
		x := a.spots[d.key].number
		low, high = nil, nil
		at := func(n *line) float64 {
			i := slices.IndexFunc(n.asks, func(o demand) bool { return o.key == d.key })
			return n.asks[i].in.low
		}
		for _, n := range lines {
			p := at(n)
			if (p < x || same(x, p)) && (low == nil || p > at(low)) {
				low = n
			}
			if (p > x || same(x, p)) && (high == nil || p < at(high)) {
				high = n
			}
		}
		if low == nil || high == nil {
			a.f.Fault(units.FaultLacking, a.keys[d.key].Name, units.Words("%v, outside the figures for %v", units.Word(a.keys[d.key].show(x)), units.Word(gives)), "a value from the first to the last point of the table")
			return nil, figure{}, false
		}
		if low != high {
			share = (x - at(low)) / (at(high) - at(low))
		}
	}
	for _, n := range []*line{low, high} {
		if n.figure.lacks != "" {
			a.refuse(n, gives)
			return nil, figure{}, false
		}
	}
	x := low.figure
	x.Low += share * (high.figure.Low - x.Low)
	x.High += share * (high.figure.High - x.High)
	return low, x, true
}

// step keeps what a line answered.
func (a *asking) step(n *line, x figure) {
	s := Step{Gives: n.gives, Title: n.title, Place: n.table.Place, Source: n.table.source, As: n.table.As, Cell: Cell(n.token), Unit: n.unit, Figure: x.Range, Word: x.word, Notes: slices.Clone(n.table.Notes)}
	for _, d := range n.asks {
		s.Line = append(s.Line, a.keys[d.key].Label+": "+a.shown(d.key))
	}
	s.Per = a.timesText(n)
	if foot := n.table.Footnotes[x.foot]; foot != "" {
		s.Notes = append(s.Notes, foot)
	}
	a.steps = append(a.steps, s)
}

// shown writes the value of a key in the query.
func (a *asking) shown(key int) string {
	k, s := &a.keys[key], a.spots[key]
	switch {
	case s.never:
		return k.Never
	case k.quantity() || k.Date:
		return k.show(s.number)
	}
	return k.Values[s.choice]
}

// amount orders what limits by how strict it is: none before multiples of the
// removal, before n-based.
func (n *line) amount(x figure) float64 {
	switch x.word {
	case "none":
		return 0
	case "n-based":
		return math.Inf(1)
	}
	if q, ok := quantityOf(x.Low, n.unit); ok {
		return q.SI()
	}
	return x.Low
}

// limit returns the strictest of the lines that fit, with its figure; nil without a fault
// when none does.
func (a *asking) limit(gives string, as As) (best *line, x figure) {
	stricter := func(x, y float64) bool { return x < y }
	if as == AsAtLeast {
		stricter = func(x, y float64) bool { return x > y }
	}
	lines := a.settle(a.lines[gives], as)
	if a.f.Err() != nil {
		return nil, x
	}
	for _, n := range lines {
		if a.open(n) != nil {
			continue
		}
		y := n.figure
		if y.lacks == "" {
			var ok bool
			if y, ok = a.plus(n, y); !ok {
				return nil, x
			}
		}
		if best == nil || stricter(n.amount(y), best.amount(x)) {
			best, x = n, y
		}
	}
	var unknown []*line // that could be stricter
	for _, n := range lines {
		known := n.per == nil && n.perGives == nil && n.table.Plus == nil
		if a.open(n) != nil && (best == nil || !known || n.figure.lacks != "" || stricter(n.amount(n.figure), best.amount(x))) {
			unknown = append(unknown, n)
		}
	}
	if a.missingAny(unknown) {
		return nil, x
	}
	for _, n := range append(slices.DeleteFunc(lines, func(n *line) bool { return n.figure.lacks == "" }), best) {
		if n != nil && n.figure.lacks != "" {
			a.refuse(n, gives)
			return nil, x
		}
	}
	if best == nil {
		if n := a.lackOf(gives, as); n != nil && a.Has(gives, as) {
			a.refuse(n, gives)
		}
		return nil, x
	}
	a.step(best, x)
	return best, x
}

// wordOf is the name of what a step gives, for a working.
func wordOf(s Step) string {
	if s.Title != "" {
		return s.Title
	}
	return fmt.Sprintf("%s (%v)", s.Gives, s.As)
}
