package nutrient

import (
	"math"
	"slices"

	"example.org/earthbasin/units"
)

// Class is an interval of a quantity with typed ends: at most one of from (that
// value or more) and over (more than it), and at most one of to (that value or
// less) and below (less than it), and one end at least.
type Class[Q ~float64] struct {
	From  *Q `json:"from,omitzero"`  // that value or more
	Over  *Q `json:"over,omitzero"`  // more than that value
	To    *Q `json:"to,omitzero"`    // that value or less
	Below *Q `json:"below,omitzero"` // less than that value
}

// IncorporationClass is an interval of the time to incorporation, or never, or
// both; an interval does not hold never unless it says so.
type IncorporationClass struct {
	Class[units.Duration]
	Never bool `json:"never,omitzero"` // the material stays on the surface
}

// Selector says to which queries a row applies: to those that fit each key it
// names. A key that it does not name is free.
type Selector struct {
	Species       []string                   `json:"species,omitzero"`       // some of the choices of the key
	Form          []Form                     `json:"form,omitzero"`          // liquid, solid or both
	DryMatter     *Class[units.MassFraction] `json:"dryMatter,omitzero"`     // 0 to 100 %
	Bedding       []string                   `json:"bedding,omitzero"`       // some of the choices of the key
	Compost       []string                   `json:"compost,omitzero"`       // some of the choices of the key
	Method        []string                   `json:"method,omitzero"`        // some of the choices of the key
	Incorporation *IncorporationClass        `json:"incorporation,omitzero"` // time from application
	Weather       []string                   `json:"weather,omitzero"`       // some of the choices of the key
	Season        []string                   `json:"season,omitzero"`        // some of the choices of the key
	Irrigation    *Class[units.Length]       `json:"irrigation,omitzero"`    // depth of one pass, above 0
	Cover         []string                   `json:"cover,omitzero"`         // some of the choices of the key
	Own           map[KeyName]OwnSelector    `json:"own,omitzero"`           // of keys that the set named itself
}

// OwnSelector is what a row asks of a key that the set named itself: some of its
// choices, or an interval of its numbers, in the unit that the set declares.
type OwnSelector struct {
	Values []string `json:"values,omitzero"` // some of the choices of the key
	Class[float64]
}

// condition is what a selector asks of one key.
type condition struct {
	key     int   // in the keys of the set
	choices []int // of a key with choices
	ranged  bool  // of a key with a quantity: an interval is named
	in      interval
	never   bool
}

func (c condition) holds(s spot) bool {
	switch {
	case c.choices != nil:
		return slices.Contains(c.choices, s.choice)
	case s.never:
		return c.never
	}
	return c.ranged && c.in.has(s.number)
}

// interval has ends that belong to it or not.
type interval struct {
	low, high         float64 // 0 and +Inf when open
	lowOpen, highOpen bool
}

// has compares with a little room, since 0.4 in read from text and 0.4 in
// computed may differ in the last bit.
func (i interval) has(x float64) bool {
	if same(x, i.low) && i.lowOpen || x < i.low && !same(x, i.low) {
		return false
	}
	return !(same(x, i.high) && i.highOpen || x > i.high && !same(x, i.high))
}

func same(a, b float64) bool { return math.Abs(a-b) <= 1e-12*math.Abs(b) }

// intervalOf checks a class and returns it; named is false for one without ends.
func intervalOf[Q ~float64](f *units.Faults, path string, c Class[Q]) (in interval, named bool) {
	in = interval{high: math.Inf(1)}
	if c.From != nil && c.Over != nil {
		f.Say(path, "from and over", "one of them")
	}
	if c.To != nil && c.Below != nil {
		f.Say(path, "to and below", "one of them")
	}
	for _, end := range []struct {
		name string
		q    *Q
		at   *float64
		open *bool
	}{{"from", c.From, &in.low, nil}, {"over", c.Over, &in.low, &in.lowOpen}, {"to", c.To, &in.high, nil}, {"below", c.Below, &in.high, &in.highOpen}} {
		if end.q == nil {
			continue
		}
		named = true
		if *end.at = float64(*end.q); end.open != nil {
			*end.open = true
		}
		notNegativeNumber(f, path+"."+end.name, float64(*end.q))
	}
	if in.low > in.high || in.low == in.high && (in.lowOpen || in.highOpen) {
		f.Say(path, "an empty class", "a lower end below the upper end")
	}
	return in, named
}

// needInterval is intervalOf for a class that has to have an end.
func needInterval[Q ~float64](f *units.Faults, path string, c Class[Q]) interval {
	in, named := intervalOf(f, path, c)
	if !named {
		f.Missing(path, "an end: from, over, to or below")
	}
	return in
}
