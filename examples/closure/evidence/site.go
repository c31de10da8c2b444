package evidence

import (
	"maps"
	"regexp"
	"slices"

	"example.org/earthbasin/units"
)

// Site is what rows and steps hang on. All of it is the caller's: from the state's rule,
// the permit, the contract or the laboratory.
type Site struct {
	// Conditions are those that hold and those that do not; the others are open.
	Conditions map[Condition]bool `json:"conditions,omitempty"`
	Figures    Figures            `json:"figures,omitzero"`
	// Lags are the days that pass, by the names that the steps have.
	Lags map[string]Lag `json:"lags,omitempty"`
	// Disturbed is the area on which soil is bare. From the size that the rule names on, it
	// settles whether there is a stormwater permit where Conditions do not.
	Disturbed units.Area `json:"disturbed,omitempty"`
}

// Lag is days of the calendar: at least, likely, and how many days what came holds; 0 for
// no end.
type Lag struct {
	Least  int    `json:"least"`            // 0 to 3,660
	Likely int    `json:"likely"`           // least to 3,660
	Life   int    `json:"life,omitempty"`   // more than likely, or 0
	Source string `json:"source,omitempty"` // rule, permit or laboratory; empty for the caller's own
}

// Figures are numbers that rows name. One that is left out is an open point where a row
// asks for it.
type Figures struct {
	Cores      int            `json:"cores,omitempty"`      // places where cores of the sludge are taken, 1 to 1,000
	SoilPlaces int            `json:"soilPlaces,omitempty"` // places where the soil below floor and berm is sampled, 1 to 1,000
	SoilDepths []units.Length `json:"soilDepths,omitempty"` // depths below the floor at which it is, up to 20
	Limits     []Limit        `json:"limits,omitempty"`     // of the soil that may stay, up to 50
	// WellMonths is how long wells are sampled after the closing, 1 to 600 months.
	WellMonths int `json:"wellMonths,omitempty"`
	// Storm is the rain within a day after which the site is looked at, 0.1 to 20 in.
	Storm units.Length `json:"storm,omitempty"`
	// StormwaterDays is the most days between two inspections under the stormwater permit, 1
	// to 60, and StormwaterOver the disturbed area from which one is needed.
	StormwaterDays int        `json:"stormwaterDays,omitempty"`
	StormwaterOver units.Area `json:"stormwaterOver,omitempty"`
	// BareDays is the most days for which ground on which no work goes on may lie bare, 1 to
	// 60.
	BareDays int `json:"bareDays,omitempty"`
	// Rill is the depth of a rill, and Settled the depth of a low place, from which it is
	// graded again, 0.1 in to 10 ft.
	Rill    units.Length `json:"rill,omitempty"`
	Settled units.Length `json:"settled,omitempty"`
	// Cover is the share of ground that plants cover below which it is seeded again, 0 to 1.
	Cover float64 `json:"cover,omitempty"`
	// Freeboard is the depth below the spill level at which pumping starts at once.
	Freeboard units.Length `json:"freeboard,omitempty"`
	// ReportHours is how soon a spill is reported, 1 to 720 hours.
	ReportHours int `json:"reportHours,omitempty"`
	// Retain is how many years records are kept, 1 to 100.
	Retain int `json:"retain,omitempty"`
}

// Limit is the most of something that soil may hold and stay.
type Limit struct {
	Of   string             `json:"of"` // such as "ammonium N"
	Most units.MassFraction `json:"most"`
}

// figureNames are the figures that rows can name, as they stand in JSON.
var figureNames = []string{"cores", "soilPlaces", "soilDepths", "limits", "wellMonths", "storm", "stormwaterDays", "stormwaterOver", "bareDays", "rill", "settled", "cover", "freeboard", "reportHours", "retain"}

// asks is what to ask for a figure.
var asks = map[string]string{
	"cores":          "how many places the sludge is cored at: by the rule, or by how far the soundings differ",
	"soilPlaces":     "how many places the soil below floor and berm is sampled at",
	"soilDepths":     "the depths below the floor at which soil is sampled",
	"limits":         "the most of each constituent that soil may hold and stay",
	"wellMonths":     "for how many months wells are sampled after the closing",
	"storm":          "the rain within a day after which the site is looked at",
	"stormwaterDays": "the most days between two inspections under the stormwater permit",
	"stormwaterOver": "the disturbed area from which a stormwater permit is needed",
	"bareDays":       "for how many days ground may lie bare on which no work goes on",
	"rill":           "the depth of a rill from which it is graded again",
	"settled":        "the depth of a low place from which it is graded again",
	"cover":          "the share of ground that plants cover below which it is seeded again",
	"freeboard":      "the freeboard at which pumping starts at once",
	"reportHours":    "within how many hours a spill is reported, and to whom",
	"retain":         "for how many years records are kept",
}

// of is a figure by its name, nil where it is not told.
func (g *Figures) of(name string) any {
	count := func(n int) any {
		if n == 0 {
			return nil
		}
		return n
	}
	length := func(l units.Length) any {
		if l == 0 {
			return nil
		}
		return l
	}
	switch name {
	case "cores":
		return count(g.Cores)
	case "soilPlaces":
		return count(g.SoilPlaces)
	case "soilDepths":
		return joined(g.SoilDepths, func(l units.Length) units.Phrase { return units.Words("%v", l) })
	case "limits":
		return joined(g.Limits, func(l Limit) units.Phrase { return units.Words("%v of %v", l.Most, units.Word(l.Of)) })
	case "wellMonths":
		return count(g.WellMonths)
	case "storm":
		return length(g.Storm)
	case "stormwaterDays":
		return count(g.StormwaterDays)
	case "stormwaterOver":
		if g.StormwaterOver > 0 {
			return g.StormwaterOver
		}
	case "bareDays":
		return count(g.BareDays)
	case "rill":
		return length(g.Rill)
	case "settled":
		return length(g.Settled)
	case "cover":
		if g.Cover > 0 {
			return units.Share(g.Cover)
		}
	case "freeboard":
		return length(g.Freeboard)
	case "reportHours":
		return count(g.ReportHours)
	case "retain":
		return count(g.Retain)
	}
	return nil
}

// joined is the items with commas, nil for none.
func joined[T any](items []T, show func(T) units.Phrase) any {
	if len(items) == 0 {
		return nil
	}
	var p units.Phrase
	for i, item := range items {
		if i > 0 {
			p = p.And(", ")
		}
		p = p.And("%v", show(item))
	}
	return p
}

var hole = regexp.MustCompile(`\{([^{}]*)\}`)

// holes are the figures that a text names.
func holes(text string) (names []string) {
	for _, m := range hole.FindAllStringSubmatch(text, -1) {
		names = append(names, m[1])
	}
	return names
}

func (s *Site) check(f *units.Faults, r Rules) {
	for _, c := range slices.Sorted(maps.Keys(s.Conditions)) {
		if !slices.Contains(conditions, c) {
			at := f.Named("conditions", string(c))
			at.Fault(units.FaultName, "", string(c), "one of %s", list(conditions))
		}
	}
	if s.Disturbed != 0 {
		f.Between("disturbed", s.Disturbed, units.SquareFoot, 10_000*units.Acre)
	}
	var known []string
	for _, step := range r.Steps {
		known = append(known, step.Lag, step.Wait)
	}
	for _, name := range slices.Sorted(maps.Keys(s.Lags)) {
		at := f.Named("lags", name)
		l := s.Lags[name]
		if name == "" || !slices.Contains(known, name) {
			at.Fault(units.FaultName, "", name, "the name of a lag of a step")
		}
		if l.Least < 0 || l.Least > 3660 {
			at.Add("least", l.Least, "0 to 3660 days")
		}
		if l.Likely < max(0, l.Least) || l.Likely > 3660 {
			at.Add("likely", l.Likely, "%v to 3660 days", max(0, l.Least))
		}
		if l.Life != 0 && (l.Life <= l.Likely || l.Life > 3660) {
			at.Add("life", l.Life, "more than the likely days, or none")
		}
	}
	at := f.At("figures")
	s.Figures.check(&at)
}

func (g *Figures) check(f *units.Faults) {
	count := func(field string, n, most int) {
		if n < 0 || n > most {
			f.Add(field, n, "1 to %v, or none", most)
		}
	}
	length := func(field string, l units.Length, lo, hi units.Length) {
		if l != 0 {
			f.Between(field, l, lo, hi)
		}
	}
	count("cores", g.Cores, 1000)
	count("soilPlaces", g.SoilPlaces, 1000)
	f.CountBetween("soilDepths", len(g.SoilDepths), "depths", 0, 20)
	for i, d := range g.SoilDepths {
		at := f.At("soilDepths", i)
		at.Between("", d, units.Length(0), 100*units.Foot)
	}
	f.CountBetween("limits", len(g.Limits), "limits", 0, 50)
	for i, l := range g.Limits {
		at := f.At("limits", i)
		if l.Of == "" {
			at.Missing("of", "what is limited")
		}
		at.Between("most", l.Most, units.MassFraction(0), units.MassFraction(1))
	}
	count("wellMonths", g.WellMonths, 600)
	length("storm", g.Storm, 0.1*units.Inch, 20*units.Inch)
	count("stormwaterDays", g.StormwaterDays, 60)
	if g.StormwaterOver != 0 {
		f.Between("stormwaterOver", g.StormwaterOver, units.SquareFoot, 10_000*units.Acre)
	}
	count("bareDays", g.BareDays, 60)
	length("rill", g.Rill, 0.1*units.Inch, 10*units.Foot)
	length("settled", g.Settled, 0.1*units.Inch, 10*units.Foot)
	f.Fraction("cover", g.Cover)
	length("freeboard", g.Freeboard, units.Inch, 20*units.Foot)
	count("reportHours", g.ReportHours, 720)
	count("retain", g.Retain, 100)
}
