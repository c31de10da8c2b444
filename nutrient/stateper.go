package nutrient

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"example.org/earthbasin/units"
)

// This file holds what figures multiply: the quantities and the figures of other tables
// that stand under the head per, and the rule of plus.

// factors reads what a figure multiplies: quantities of keys, and what other tables give.
func (l *stateLoader) factors(f *units.Faults, text string) (keys []int, gives []string) {
	for _, name := range strings.Split(text, " x ") {
		i := l.keyIndex(name)
		switch {
		case text == "":
		case i >= 0 && l.keys[i].quantity():
			keys = append(keys, i)
		case i < 0 && keyPattern.MatchString(name) && slices.Contains(l.givenNames(), name):
			gives = append(gives, name)
		default:
			f.Add("", name, "a key with a unit or what a table gives, or several with x between")
		}
	}
	return keys, gives
}

// givenNames is what the tables of the file and of its base say that they give.
func (l *stateLoader) givenNames() (names []string) {
	if l.base != nil {
		names = l.base.Gives()
	}
	for _, t := range l.spec.Tables {
		names = append(names, t.Gives)
		for _, c := range t.Cols {
			names = append(names, string(c["gives"]))
		}
	}
	return names
}

// bindWithin reads between what ends the quantities of per count.
func (l *stateLoader) bindWithin(f *units.Faults, t *boundTable) {
	t.within = map[int]interval{}
	for _, d := range l.heads(f, "within", t.Within, nil) {
		if t.within[d.key] = d.in; !d.ranged || !slices.Contains(t.By, perHead) {
			f.Add("within", units.Words("ends of %v", units.Word(l.keys[d.key].Name)), "ends of a key with a unit, in a table with per among its heads")
		}
	}
}

// checkPer finds figures that hang on themselves, which no question could settle.
func (l *stateLoader) checkPer() {
	var under []string
	told := map[string]bool{}
	var look func(gives string)
	look = func(gives string) {
		under = append(under, gives)
		defer func() { under = under[:len(under)-1] }()
		for _, n := range l.lines[gives] {
			for _, other := range n.needs() {
				if told[other] || l.lines[other] == nil {
					continue
				}
				if slices.Contains(under, other) {
					told[other] = true
					l.faults.Add(n.place(), units.Words("%v, which hangs on itself: %v", units.Word(other), units.Word(strings.Join(append(under, other), ", "))), "figures that do not need themselves")
					continue
				}
				look(other)
			}
		}
		told[gives] = true // and all below it
	}
	for _, gives := range slices.Sorted(maps.Keys(l.lines)) {
		if !told[gives] {
			look(gives)
		}
	}
}

// needs are the figures of other tables without which a line has no figure.
func (n *line) needs() []string {
	if p := n.table.Plus; p != nil {
		return append(slices.Clone(n.perGives), string(p.Rate))
	}
	return n.perGives
}

// times returns a figure times what its line multiplies; ok is false when that is not
// known, of which the faults tell.
func (a *asking) times(n *line, x figure) (figure, bool) {
	for _, key := range n.per {
		by := a.counted(n, key) / a.keys[key].factor
		x.Low, x.High = x.Low*by, x.High*by
	}
	for _, gives := range n.perGives {
		by, ok := a.factor(gives, n.unit)
		if !ok {
			return x, false
		}
		x.Low, x.High = min(x.Low*by.Low, x.Low*by.High), max(x.High*by.Low, x.High*by.High)
	}
	return x, true
}

// counted is the value of a key that the table of a line counts.
func (a *asking) counted(n *line, key int) float64 {
	x := a.spots[key].number
	if in, ok := n.table.within[key]; ok {
		x = min(max(x, in.low), in.high)
	}
	return x
}

// other is what other tables give to the query, looked up once.
func (a *asking) other(gives string) (Answer, bool) {
	if r, ok := a.others[gives]; ok {
		return r, true
	}
	r := Answer{Gives: gives}
	from := len(a.steps)
	a.answer(&r)
	if a.f.Err() != nil {
		return r, false
	}
	r.Steps = slices.Clone(a.steps[from:])
	if a.others == nil {
		a.others = map[string]Answer{}
	}
	a.others[gives] = r
	return r, true
}

// factor is what other tables give as a number that multiplies a figure of a unit: what
// leaves per unit of yield times the yield, an amount in that unit, a share as a fraction.
func (a *asking) factor(gives, unit string) (x units.Range[float64], ok bool) {
	r, ok := a.other(gives)
	if !ok {
		return x, false
	}
	to, typed := quantityOf(1, unit)
	low, high, amount := r.Quantity()
	switch _, area := to.(units.MassPerArea); {
	case r.Word != "":
		a.f.Say(gives, "a word", "a figure that can be multiplied")
		return x, false
	case perYield(r.Unit) && !area:
		a.f.Add(gives, units.Words("a figure in %v in a table in %v", units.Word(r.Unit), units.Word(unit)), "a table in a mass per area, such as lb/acre")
		return x, false
	case perYield(r.Unit):
		m, err := r.PerArea(a.yield)
		a.f.Sub("", err)
		return units.Range[float64]{Low: m.Low.SI() / to.SI(), High: m.High.SI() / to.SI()}, err == nil
	case r.Unit == "%":
		return units.Range[float64]{Low: r.Figure.Low / 100, High: r.Figure.High / 100}, true
	case typed && amount && fmt.Sprintf("%T", low) == fmt.Sprintf("%T", to):
		return units.Range[float64]{Low: low.SI() / to.SI(), High: high.SI() / to.SI()}, true
	}
	return r.Figure, true
}

// perYield reports whether a unit is a mass per unit of yield, such as lb/bu or kg/t.
func perYield(unit string) bool {
	mass, per, _ := strings.Cut(unit, "/")
	_, err := units.ParseMass("1 " + mass)
	return err == nil && per != "" && !isUnit[units.MassPerArea](unit)
}

// timesText says what a line multiplies, with the values.
func (a *asking) timesText(n *line) (list []string) {
	for _, key := range n.per {
		list = append(list, a.keys[key].Label+" "+a.keys[key].show(a.counted(n, key)))
	}
	for _, gives := range n.perGives {
		r, ok := a.other(gives)
		if !ok || len(r.Steps) == 0 {
			continue
		}
		text := fmt.Sprintf("%s %.6g", wordOf(r.Steps[len(r.Steps)-1]), r.Figure.Low)
		if r.Figure.High != r.Figure.Low {
			text += fmt.Sprintf("-%.6g", r.Figure.High)
		}
		if text += " " + r.Unit; perYield(r.Unit) {
			text += " x " + a.yield.String()
		}
		list = append(list, text)
	}
	return list
}

// plus adds what the rule of the table adds for a quantity over its standard.
func (a *asking) plus(n *line, x figure) (figure, bool) {
	p := n.table.Plus
	x, ok := a.times(n, x)
	if !ok || p == nil || x.High == 0 {
		return x, ok
	}
	i := a.keyIndex(p.Per)
	k := &a.keys[i]
	if !a.spots[i].given {
		a.ask(i)
		return x, false
	}
	over := n.over
	if fixed, ok := k.number(string(p.Over), true); ok {
		over = fixed
	}
	at := a.spots[i].number
	if most, ok := k.number(string(p.To), true); ok {
		at = min(at, most)
	}
	more := (at - over) / k.factor // in the unit of the key
	if each, ok := k.number(string(p.Each), true); ok {
		more *= k.factor / each
	}
	if p.Only {
		more = max(0, more)
	}
	rate, times := units.Range[float64]{}, 1.0
	if each, ok := plainNumber(string(p.Rate)); ok {
		rate = units.Point(each)
	} else {
		r, ok := a.other(string(p.Rate))
		if !ok {
			return x, false
		}
		rate = r.Figure
		if times, ok = perUnit(r.Unit, k.Unit, n.unit); !ok {
			a.f.Add(p.Per, units.Words("a yield in %v", units.Word(k.Unit)), "a unit to which the figures in %v belong", units.Word(r.Unit))
			return x, false
		}
	}
	low, high := more*times*rate.Low, more*times*rate.High
	x.Low, x.High = max(0, x.Low+min(low, high)), max(0, x.High+max(low, high))
	return x, true
}

// perUnit returns how many of the unit to one of per, such as kg/t, makes for one of
// the quantity in unit, such as t/ha.
func perUnit(per, unit, to string) (float64, bool) {
	mass, of, _ := strings.Cut(per, "/")
	counted, area, _ := strings.Cut(unit, "/")
	out, ok := sizeOf[units.MassPerArea](to)
	if !ok {
		return 0, false
	}
	if of == counted { // lb/bu and bu/acre
		if each, ok := sizeOf[units.MassPerArea](mass + "/" + area); ok {
			return each / out, true
		}
	}
	share, ok := sizeOf[units.MassFraction](per)
	yield, also := sizeOf[units.MassPerArea](unit)
	return share * yield / out, ok && also // not kg/t of a yield in bushels
}
