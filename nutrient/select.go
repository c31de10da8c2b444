package nutrient

import (
	"math"
	"strings"

	"example.org/earthbasin/units"
)

// KeyName names a property that decides which row of a coefficient set applies.
// Its text is the path of the property in [Query] and [Selector]. The zero value
// is no key.
type KeyName int

// Keys of a coefficient set.
const (
	KeySpecies       KeyName = 1 + iota // whose manure, as the set names it
	KeyForm                             // liquid or solid
	KeyDryMatter                        // dry matter as a fraction
	KeyBedding                          // kind of bedding
	KeyCompost                          // fresh or composted, as the set names it
	KeyMethod                           // way of application
	KeyIncorporation                    // time from application to incorporation, or never
	KeyWeather                          // weather class
	KeySeason                           // season of application
	KeyIrrigation                       // depth of one irrigation pass
	KeyCover                            // what grows or lies on the ground
	keyCount
)

var keyNames = units.Names{
	"", "species", "form", "dryMatter", "bedding", "compost", "method",
	"incorporation", "weather", "season", "irrigation", "cover",
}

// String returns the name that MarshalText writes.
func (k KeyName) String() string { return keyNames.String(int(k)) }

// MarshalText writes the name.
func (k KeyName) MarshalText() ([]byte, error) { return keyNames.Marshal(int(k)) }

// UnmarshalText reads a name; the error lists the names.
func (k *KeyName) UnmarshalText(text []byte) error { return units.UnmarshalName(keyNames, text, k) }

// Hint says what a key with a quantity takes, such as for a form; it is empty for
// a key with choices.
func (k KeyName) Hint() string {
	switch k {
	case KeyDryMatter:
		return "a fraction of the mass with its unit, such as 12 %"
	case KeyIncorporation:
		return "the time to incorporation with its unit, such as 12 h, or never"
	case KeyIrrigation:
		return "the depth of one pass with its unit, such as 0.5 in"
	}
	return ""
}

// Query says what is applied, how and when. A key that decides nothing in a set
// may stay empty, so that one query can be put to several sets. Its JSON is flat
// text by the names of the keys: {"species": "dairy", "incorporation": "12 h"}.
type Query struct {
	Species       string             `json:"species,omitzero"`
	Form          Form               `json:"form,omitzero"`
	DryMatter     units.MassFraction `json:"dryMatter,omitzero"` // above 0
	Bedding       string             `json:"bedding,omitzero"`
	Compost       string             `json:"compost,omitzero"`
	Method        string             `json:"method,omitzero"`
	Incorporation Incorporation      `json:"incorporation,omitzero"`
	Weather       string             `json:"weather,omitzero"`
	Season        string             `json:"season,omitzero"`
	Irrigation    units.Length       `json:"irrigation,omitzero"` // above 0
	Cover         string             `json:"cover,omitzero"`
}

// Incorporation is the time from application to incorporation. The zero value
// says nothing; never is a value of its own and not a very long time, because
// sets give it a class of its own.
type Incorporation struct {
	given, never bool
	after        units.Duration
}

// IncorporatedAfter returns incorporation at the time d after application.
func IncorporatedAfter(d units.Duration) Incorporation { return Incorporation{given: true, after: d} }

// NeverIncorporated returns the value of material that stays on the surface.
func NeverIncorporated() Incorporation { return Incorporation{given: true, never: true} }

// String returns the time in its trade unit, or never.
func (i Incorporation) String() string {
	switch {
	case i.never:
		return "never"
	case i.given:
		return i.after.Trade()
	}
	return "nothing"
}

// MarshalText writes the time in SI, or never.
func (i Incorporation) MarshalText() ([]byte, error) {
	switch {
	case i.never:
		return []byte("never"), nil
	case i.given:
		return i.after.MarshalText()
	}
	return nil, units.Fault(units.FaultMissing, "", nil, KeyIncorporation.Hint())
}

// UnmarshalText reads a time of 0 or more with its unit, or never.
func (i *Incorporation) UnmarshalText(text []byte) error {
	if strings.EqualFold(strings.TrimSpace(string(text)), "never") {
		*i = NeverIncorporated()
		return nil
	}
	d, err := units.ParseDuration(string(text))
	if err != nil || !(d >= 0) {
		return units.Fault(units.FaultMalformed, "", string(text), KeyIncorporation.Hint())
	}
	*i = IncorporatedAfter(d)
	return nil
}

// Class is an interval of a quantity with typed ends: at most one of from (that
// value or more) and over (more than it), and at most one of to (that value or
// less) and below (less than it), and one end at least.
type Class[Q ~float64] struct {
	From  *Q `json:"from,omitzero"`
	Over  *Q `json:"over,omitzero"`
	To    *Q `json:"to,omitzero"`
	Below *Q `json:"below,omitzero"`
}

// IncorporationClass is an interval of the time to incorporation, or never, or
// both; an interval does not hold never unless it says so.
type IncorporationClass struct {
	Class[units.Duration]
	Never bool `json:"never,omitzero"`
}

// Selector says to which queries a row applies: to those that fit each key it
// names. A key that it does not name is free.
type Selector struct {
	Species       []string                   `json:"species,omitzero"`
	Form          []Form                     `json:"form,omitzero"`
	DryMatter     *Class[units.MassFraction] `json:"dryMatter,omitzero"`
	Bedding       []string                   `json:"bedding,omitzero"`
	Compost       []string                   `json:"compost,omitzero"`
	Method        []string                   `json:"method,omitzero"`
	Incorporation *IncorporationClass        `json:"incorporation,omitzero"`
	Weather       []string                   `json:"weather,omitzero"`
	Season        []string                   `json:"season,omitzero"`
	Irrigation    *Class[units.Length]       `json:"irrigation,omitzero"`
	Cover         []string                   `json:"cover,omitzero"`
}

// spot is the value of one key: from a query, or standing for a class.
type spot struct {
	given, never bool
	choice       int     // of a key with choices
	number       float64 // of a key with a quantity, SI
}

type spots [keyCount]spot

// condition is what a selector asks of one key.
type condition struct {
	key     KeyName
	choices []int // of a key with choices
	ranged  bool  // of a key with a quantity: an interval is named
	in      interval
	never   bool
}

func (c condition) holds(s spot) bool {
	switch {
	case c.key.Hint() == "":
		for _, x := range c.choices {
			if x == s.choice {
				return true
			}
		}
		return false
	case s.never:
		return c.never
	}
	return c.ranged && c.in.has(s.number)
}

// most is the largest value that a query may have of a key with a quantity, in SI.
func (k KeyName) most() float64 {
	switch k {
	case KeyDryMatter:
		return 1
	case KeyIncorporation:
		return boundsOf(units.Duration(0)).most
	}
	return boundsOf(units.Length(0)).most
}

// zero reports whether a query may have 0 of a key with a quantity; the others take
// 0 for not given.
func (k KeyName) zero() bool { return k == KeyIncorporation }

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

// filled returns the query with what the analysis knows and the set asks for.
func (q Query) filled(s *Set, a *Analysis) Query {
	for _, k := range s.keys {
		switch {
		case k.Name == KeyForm && q.Form == 0:
			q.Form = a.Form
		case k.Name == KeyDryMatter && q.DryMatter == 0:
			q.DryMatter, _ = a.dryMatter()
		}
	}
	return q
}

// agree records what the query says otherwise than the analysis, with both.
func (q *Query) agree(a *Analysis, f *units.Faults) {
	if q.Form != 0 && q.Form != a.Form {
		f.Say("query.form", q.Form.String(), "nothing, or the form of the analysis, which is "+a.Form.String())
	}
	if q.DryMatter == 0 || a.Solids.value == 0 {
		return
	}
	low, known := a.dryMatter()
	high := low
	if !known { // a liquid whose density lies anywhere between these
		low, high = units.MassFraction(a.Solids.value/float64(heaviest)), units.MassFraction(a.Solids.value/float64(lightest))
	}
	if q.DryMatter < low*(1-pairTolerance) || q.DryMatter > high*(1+pairTolerance) {
		f.Add("query.dryMatter", q.DryMatter, "nothing, or within 5 % of the solids of the analysis, which are "+Span[units.MassFraction]{low, high}.String())
	}
}

// spots turns the query into spots of the set and records what is not a value
// of the set.
func (q Query) spots(s *Set, f *units.Faults) spots {
	var sp spots
	texts := map[KeyName]string{
		KeySpecies: q.Species, KeyBedding: q.Bedding, KeyCompost: q.Compost, KeyMethod: q.Method,
		KeyWeather: q.Weather, KeySeason: q.Season, KeyCover: q.Cover,
	}
	if q.Form != 0 {
		texts[KeyForm] = q.Form.String()
	}
	for _, k := range s.keys {
		switch k.Name {
		case KeyDryMatter:
			sp[k.Name] = spot{given: q.DryMatter != 0, number: float64(q.DryMatter)}
			f.NumberBetween(k.Name.String(), float64(q.DryMatter), 0, 1)
		case KeyIrrigation:
			sp[k.Name] = spot{given: q.Irrigation != 0, number: float64(q.Irrigation)}
			notNegative(f, k.Name.String(), q.Irrigation)
		case KeyIncorporation:
			i := q.Incorporation
			sp[k.Name] = spot{given: i.given, never: i.never, number: float64(i.after)}
			notNegative(f, k.Name.String(), i.after)
		default:
			text := texts[k.Name]
			if text == "" {
				continue
			}
			i := indexFold(k.Values, text)
			if i < 0 {
				f.Add(k.Name.String(), text, k.want())
			}
			sp[k.Name] = spot{given: i >= 0, choice: i}
		}
	}
	return sp
}

func indexFold(list []string, text string) int {
	for i, s := range list {
		if strings.EqualFold(s, text) {
			return i
		}
	}
	return -1
}
