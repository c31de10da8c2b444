package nutrient

import (
	"maps"
	"slices"
	"strings"

	"example.org/earthbasin/units"
)

// Query says what is applied, how and when. A key that decides nothing in a set
// may stay empty, so that one query can be put to several sets. Its JSON is flat
// text by the names of the keys: {"species": "dairy", "incorporation": "12 h",
// "own": {"soil": "sandy"}}.
type Query struct {
	Species       string             `json:"species,omitzero"`       // whose manure, as the set names it
	Form          Form               `json:"form,omitzero"`          // liquid or solid; filled from the analysis
	DryMatter     units.MassFraction `json:"dryMatter,omitzero"`     // above 0
	Bedding       string             `json:"bedding,omitzero"`       // kind of bedding, as the set names it
	Compost       string             `json:"compost,omitzero"`       // fresh or composted, as the set names it
	Method        string             `json:"method,omitzero"`        // way of application, as the set names it
	Incorporation Incorporation      `json:"incorporation,omitzero"` // time from application to incorporation, 0 or more, or never
	Weather       string             `json:"weather,omitzero"`       // class of weather, as the set names it
	Season        string             `json:"season,omitzero"`        // of application, as the set names it
	Irrigation    units.Length       `json:"irrigation,omitzero"`    // above 0
	Cover         string             `json:"cover,omitzero"`         // what grows or lies on the ground, as the set names it
	Own           map[KeyName]string `json:"own,omitzero"`           // the choices, or numbers with their unit, of keys that the set named itself
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
	return nil, units.Fault(units.FaultMissing, "", nil, Key{Name: KeyIncorporation}.Hint())
}

// UnmarshalText reads a time of 0 or more with its unit, or never.
func (i *Incorporation) UnmarshalText(text []byte) error {
	if strings.EqualFold(strings.TrimSpace(string(text)), "never") {
		*i = NeverIncorporated()
		return nil
	}
	d, err := units.ParseDuration(string(text))
	if err != nil || !(d >= 0) {
		return units.Fault(units.FaultMalformed, "", string(text), Key{Name: KeyIncorporation}.Hint())
	}
	*i = IncorporatedAfter(d)
	return nil
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

// text returns the value of a key with choices, or of an own key.
func (q *Query) text(k KeyName) string {
	switch k {
	case KeySpecies:
		return q.Species
	case KeyForm:
		if q.Form == 0 {
			return ""
		}
		return q.Form.String()
	case KeyBedding:
		return q.Bedding
	case KeyCompost:
		return q.Compost
	case KeyMethod:
		return q.Method
	case KeyWeather:
		return q.Weather
	case KeySeason:
		return q.Season
	case KeyCover:
		return q.Cover
	}
	return q.Own[k]
}

// spot is the value of one key: from a query, or standing for a class.
type spot struct {
	given, never bool
	choice       int     // of a key with choices
	number       float64 // of a key with a quantity, SI or in the unit of the set
}

// spots turns the query into one spot for each key of the set, and records what is
// not a value of the set.
func (q Query) spots(s *Set, f *units.Faults) []spot {
	notNegative(f, KeyDryMatter.Path(), q.DryMatter)
	notNegative(f, KeyIrrigation.Path(), q.Irrigation)
	notNegative(f, KeyIncorporation.Path(), q.Incorporation.after)
	list := make([]spot, len(s.keys))
	for i, k := range s.keys {
		path := k.Name.Path()
		switch k.Name {
		case KeyDryMatter:
			list[i] = spot{given: q.DryMatter != 0, number: float64(q.DryMatter)}
			continue
		case KeyIrrigation:
			list[i] = spot{given: q.Irrigation != 0, number: float64(q.Irrigation)}
			continue
		case KeyIncorporation:
			list[i] = spot{given: q.Incorporation.given, never: q.Incorporation.never, number: float64(q.Incorporation.after)}
			continue
		}
		text := q.text(k.Name)
		if text == "" {
			continue
		}
		var good bool
		if k.Quantity() {
			list[i].number, good = k.parse(text)
		} else {
			list[i].choice = indexFold(k.Values, text)
			good = list[i].choice >= 0
		}
		if list[i].given = good; !good {
			f.Add(path, text, k.want())
		}
	}
	for _, k := range slices.Sorted(maps.Keys(q.Own)) {
		if s.keyIndex(k) < 0 || !k.Own() {
			f.Add(k.Path(), q.Own[k], "a key that the set "+s.id+" declares")
		}
	}
	return list
}
