package nutrient

import (
	"time"

	"example.org/earthbasin/units"
)

// Unfit is why a day is not fit for spreading. The zero value is a fit day.
type Unfit = units.Enum[unfitWords]

// Reasons, in the order in which they are looked for.
const (
	UnfitNone      Unfit = iota // "fit"
	UnfitClosed                 // "closed"
	UnfitFrozen                 // "frozen"
	UnfitCold                   // "soil too cold"
	UnfitWarm                   // "soil too warm"
	UnfitRain                   // "rain"
	UnfitForecast               // "rain forecast"
	UnfitSoaked                 // "soaked"
	UnfitSaturated              // "saturated"
	UnfitFull                   // "no room for water"
	unfitKinds     = iota
)

var unfitNames = units.Names{"fit", "closed", "frozen", "soil too cold", "soil too warm", "rain", "rain forecast", "soaked", "saturated", "no room for water"}

type unfitWords struct{}

func (unfitWords) Names() units.Names { return unfitNames }

// ClosedDays are days on which nothing may be spread, both ends included.
type ClosedDays struct {
	From time.Time `json:"from"`          // first day
	To   time.Time `json:"to"`            // last day, not before the first
	Why  string    `json:"why,omitempty"` // such as the number of the rule, or a crop that stands
}

// SpreadingRule is what a rule, or good practice, asks of a day. Its figures are the
// caller's: those of the state, the permit or the planner.
type SpreadingRule struct {
	Name string       `json:"name,omitzero"` // of the rule
	Rain units.Length `json:"rain"`          // of the day from which nothing is spread on it, 0.01 mm to 1.5 in
	// Ahead is how far rain that is coming counts, 0 to 10 days, in whole days rounded up;
	// RainAhead is how much of it within that time forbids, 0.01 mm to 2 m.
	Ahead     units.Duration `json:"ahead,omitzero"`
	RainAhead units.Length   `json:"rainAhead,omitzero"` // needed with ahead
	// Soaking is the rain of one day after which the ground is left alone for SoakedDays
	// whatever the balance says, 0.01 mm to 1.5 in.
	Soaking    units.Length `json:"soaking"`
	SoakedDays int          `json:"soakedDays"` // 1 to 60
	// Margin is the part of the available water that stays free below field capacity, 0
	// to 0.9, in the root zone and in its Top.
	Margin float64 `json:"margin,omitzero"`
	// Top is the depth of the soil that carries the machines and takes the first of the
	// liquid, 1 cm to 1 m.
	Top units.Length `json:"top"`
	// Coldest is the temperature of the soil from which spreading is allowed; nil for none.
	// A day whose soil nobody knows is then not fit.
	Coldest *units.Temperature `json:"coldest,omitzero"`
	// Warmest is the temperature of the soil up to which spreading is allowed, as in rules
	// on autumn; nil for none.
	Warmest *units.Temperature `json:"warmest,omitzero"`
	Frozen  bool               `json:"frozen,omitzero"` // spreading on frozen ground is allowed
	Closed  []ClosedDays       `json:"closed,omitzero"` // up to 1000
}

const (
	leastRuleRain = units.Millimetre / 100
	mostRuleRain  = 1.5 * units.Inch // no rule lets anybody out on or after more
	mostAhead     = 10 * units.Day
	mostSoaked    = 60
	mostClosed    = 1000
)

// check records the faults of the rule.
func (s *SpreadingRule) check(f *units.Faults) {
	f.Between("rain", s.Rain, leastRuleRain, mostRuleRain)
	f.Between("ahead", s.Ahead, units.Duration(0), mostAhead)
	if s.Ahead > 0 || s.RainAhead != 0 {
		f.Between("rainAhead", s.RainAhead, leastRuleRain, mostDayRain)
	}
	f.Between("soaking", s.Soaking, leastRuleRain, mostRuleRain)
	f.CountBetween("soakedDays", s.SoakedDays, "days", 1, mostSoaked)
	upTo(f, "margin", s.Margin, 0.9)
	f.Between("top", s.Top, units.Centimetre, units.Metre)
	for _, t := range []struct {
		field string
		t     *units.Temperature
	}{{"coldest", s.Coldest}, {"warmest", s.Warmest}} {
		if t.t != nil {
			f.Between(t.field, *t.t, units.Celsius(coldest), units.Celsius(hottest))
		}
	}
	f.CountBetween("closed", len(s.Closed), "spans of days", 0, mostClosed)
	for i, c := range s.Closed[:min(len(s.Closed), mostClosed)] {
		at := f.At("closed", i)
		if c.From.IsZero() {
			at.Missing("from", "the first day")
		} else if midnight(c.To).Before(midnight(c.From)) {
			at.Fault(units.FaultRange, "to", midnight(c.To), "%v or a later day", midnight(c.From))
		}
	}
}

// Days tells for each day of the weather why it is not fit by the rule alone, where
// nobody knows the soil: what is saturated or full is then not seen. Faults are
// [units.FieldError] of the rule, and on weather.
func (s SpreadingRule) Days(weather []DayWeather) ([]Unfit, error) {
	var f units.Faults
	s.check(&f)
	checkWeather(&f, weather)
	if err := f.Err(); err != nil {
		return nil, err
	}
	list := make([]Unfit, len(weather))
	for i := range weather {
		list[i], _ = s.judge(weather, i)
	}
	return list, nil
}

// judgeSoil tells why the day i of the weather is not fit, before its rain is in the soil.
func (s *SpreadingRule) judgeSoil(weather []DayWeather, i int, soil *soilState, room units.Length) (Unfit, units.Phrase) {
	if why, evidence := s.judge(weather, i); why != UnfitNone {
		return why, evidence
	}
	var free float64
	for j := range soil.top {
		free += soil.holds[j]*(1-s.Margin) - soil.water[j]
	}
	switch inches := func(x float64) units.Shown { return units.As(units.Length(x), units.Inch, 2) }; {
	case soil.over > 0:
		return UnfitSaturated, units.Words("%v above field capacity still has to drain", inches(soil.over))
	case free <= 0 || room <= 0:
		return UnfitFull, units.Words("no room up to field capacity less the margin: %v in the top of the soil", inches(max(0, free)))
	}
	return UnfitNone, units.Phrase{}
}

// judge tells why the day i of the weather is not fit by the rule alone.
func (s *SpreadingRule) judge(weather []DayWeather, i int) (Unfit, units.Phrase) {
	w := &weather[i]
	day := midnight(w.Date)
	for _, c := range s.Closed {
		if !day.Before(midnight(c.From)) && !day.After(midnight(c.To)) {
			return UnfitClosed, units.Words("%v to %v %s", midnight(c.From), midnight(c.To), units.Word(c.Why))
		}
	}
	inches := func(x units.Length) units.Shown { return units.As(x, units.Inch, 2) }
	t := w.SoilTemperature
	known := t != nil
	switch {
	case !s.Frozen && (w.Frozen || known && *t <= units.Celsius(0)):
		return UnfitFrozen, units.Words("frozen or under snow")
	case s.Coldest != nil && !known, s.Warmest != nil && !known:
		return UnfitCold, units.Words("nobody knows how warm the soil is, and the rule asks for it")
	case s.Coldest != nil && *t < *s.Coldest:
		return UnfitCold, units.Words("%v, and the rule asks for %v", *t, *s.Coldest)
	case s.Warmest != nil && *t > *s.Warmest:
		return UnfitWarm, units.Words("%v, and the rule asks for at most %v", *t, *s.Warmest)
	case w.Rain >= s.Rain:
		return UnfitRain, units.Words("%v of rain, and the rule allows less than %v", inches(w.Rain), inches(s.Rain))
	}
	if s.Ahead > 0 {
		var coming units.Length
		last := min(len(weather)-1, i+int((s.Ahead+units.Day-1e-6*units.Second)/units.Day))
		for _, next := range weather[i+1 : last+1] {
			coming += next.Rain
		}
		if coming >= s.RainAhead {
			return UnfitForecast, units.Words("%v coming within %v, and the rule allows less than %v", inches(coming), s.Ahead, inches(s.RainAhead))
		}
	}
	for back := 1; back <= s.SoakedDays && i-back >= 0; back++ {
		if rain := weather[i-back].Rain; rain >= s.Soaking {
			return UnfitSoaked, units.Words("%v of rain on %v, and the rule waits %v", inches(rain), midnight(weather[i-back].Date), units.Count{N: s.SoakedDays, Of: "days"})
		}
	}
	return UnfitNone, units.Phrase{}
}
