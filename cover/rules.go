package cover

import (
	"slices"
	"strconv"
	"strings"

	"example.org/earthbasin/units"
)

// Measure is what a rule of a rule set measures.
type Measure = units.Enum[measuresWords]

// Measures. Rates and seeds are those of the mix before the method and critical
// area factors, since these make up for losses. The zero value is not one.
const (
	MeasureSpecies          Measure = iota + 1 // "species": number of the species
	MeasureBloomPeriods                        // "bloom periods": number of bloom periods in which at least Each of the species begin to flower
	MeasureSeeds                               // "seeds": live seeds per area of the species together
	MeasureShareOfSeeds                        // "share of seeds": their share of the live seeds of the species In, or of the mix
	MeasureEachShareOfSeeds                    // "each share of seeds": the same for each of the species alone
	MeasureRate                                // "rate": PLS rate of the species together
	MeasureEachRate                            // "each rate": PLS rate of each of the species alone
	MeasureOnly                                // "only": the species must be among Allowed
	MeasureArea                                // "area": area of the stand
	MeasureWidth                               // "width": least width of the stand
)

var measures = units.Names{"", "species", "bloom periods", "seeds", "share of seeds", "each share of seeds", "rate", "each rate", "only", "area", "width"}

type measuresWords struct{}

func (measuresWords) Names() units.Names { return measures }

// Rule is one demand on a mix. Min and Max are text with the unit that the
// measure has: "9", "10 %", "18 seeds/ft2", "16 oz/acre", "0.5 acre", "20 ft".
type Rule struct {
	Name    string           `json:"name"`              // as in the sheet, each rule once
	Measure Measure          `json:"measure"`           // what is compared; required
	Of      SpeciesSelector  `json:"of"`                // species that count
	In      *SpeciesSelector `json:"in,omitempty"`      // whole of a share, by forms and species only, which are always known
	Each    int              `json:"each,omitempty"`    // for bloom periods
	Min     string           `json:"min,omitempty"`     // least allowed, in the unit of the measure; empty for none
	Max     string           `json:"max,omitempty"`     // most allowed, in the unit of the measure; empty for none
	Allowed []string         `json:"allowed,omitempty"` // for only
	Note    string           `json:"note,omitempty"`    // further words of the sheet

	least, most *float64 // Min and Max in SI
}

// RuleSet is the demands of one program or sheet. Make it with [NewRuleSet], or take
// that of a [State]; the methods of one made otherwise judge nothing.
type RuleSet struct {
	spec RuleSetSpec
}

// RuleSetSpec is a rule set as data.
type RuleSetSpec struct {
	ID           string `json:"id"`                     // short name, each once
	Jurisdiction string `json:"jurisdiction,omitempty"` // whose sheet it is; empty: that of the state
	Purpose      string `json:"purpose"`                // grass, pollinator and so on
	Source       string `json:"source"`                 // ID of a source of the state, or title, publisher, number, year
	Place        string `json:"place,omitempty"`        // page or table of the source
	Periods      string `json:"periods,omitempty"`      // dates of the bloom periods, where stated
	Rules        []Rule `json:"rules"`                  // 1 to 1000
}

// NewRuleSet checks a rule set: names, measures, bounds that fit the measure.
func NewRuleSet(spec RuleSetSpec) (*RuleSet, error) {
	var f units.Faults
	required(&f, "id", spec.ID)
	required(&f, "purpose", spec.Purpose)
	required(&f, "source", spec.Source)
	f.CountBetween("rules", len(spec.Rules), "rules", 1, mostLines)
	spec = spec.clone()
	for i := range spec.Rules {
		at := f.At("rules", i)
		at.Sub("", spec.Rules[i].check())
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	return &RuleSet{spec}, nil
}

func (r *Rule) check() error {
	var f units.Faults
	required(&f, "name", r.Name)
	if !measures.Has(int(r.Measure)) {
		f.Add("measure", r.Measure, measures.Want())
		return f.Err()
	}
	f.Sub("of", r.Of.check())
	r.least = r.bound(&f, "min", r.Min)
	r.most = r.bound(&f, "max", r.Max)
	switch {
	case r.Measure == MeasureOnly:
		if r.Min != "" || r.Max != "" {
			f.Add("min", units.Words("given with the measure %v", units.Word(r.Measure.String())), "neither min nor max")
		}
		if len(r.Allowed) == 0 {
			f.Missing("allowed", "the species allowed")
		}
	case r.Min == "" && r.Max == "":
		f.Missing("min", "a min, a max or both")
	case r.least != nil && r.most != nil && *r.most < *r.least:
		f.Add("max", r.Max, "at least min, %v", units.Word(r.Min))
	}
	if r.Measure != MeasureOnly && len(r.Allowed) > 0 {
		f.Add("allowed", strings.Join(r.Allowed, ", "), "no value with %v", r.Measure)
	}
	if r.Measure == MeasureBloomPeriods {
		if r.Each < 1 {
			f.Add("each", r.Each, "1 or more")
		}
		if r.Of.Bloom != BloomUnknown {
			f.Add("of.bloom", r.Of.Bloom, "no value with %v", r.Measure)
		}
	}
	if r.Measure != MeasureBloomPeriods && r.Each != 0 {
		f.Add("each", r.Each, "no value with %v", r.Measure)
	}
	if r.In != nil {
		f.Sub("in", r.In.check())
		if r.Measure != MeasureShareOfSeeds && r.Measure != MeasureEachShareOfSeeds {
			f.Say("in", "given", "no value with %v", r.Measure)
		}
		if len(r.In.Forms)+len(r.In.Species) == 0 || r.In.Season != 0 || r.In.Nativity != 0 || r.In.Bloom != 0 || r.In.MaxHeight != 0 {
			f.Say("in", "selects by more than forms and species", "forms, species or both, and nothing else")
		}
	}
	return f.Err()
}

// bound reads Min or Max in the unit of the measure.
func (r *Rule) bound(f *units.Faults, field, text string) *float64 {
	if text == "" || r.Measure == MeasureOnly {
		return nil
	}
	var x float64
	var err error
	switch r.Measure {
	case MeasureSpecies, MeasureBloomPeriods:
		var n uint64
		n, err = strconv.ParseUint(text, 10, 16)
		x = float64(n)
		if err != nil {
			f.Add(field, text, "a whole number")
			return nil
		}
	case MeasureSeeds:
		x, err = si(units.ParseSeedsPerArea(text))
	case MeasureShareOfSeeds, MeasureEachShareOfSeeds:
		x, err = si(units.ParseMassFraction(text)) // reads 10 %
	case MeasureRate, MeasureEachRate:
		x, err = si(units.ParseMassPerArea(text))
	case MeasureArea:
		x, err = si(units.ParseArea(text))
	case MeasureWidth:
		x, err = si(units.ParseLength(text))
	}
	f.Sub(field, err)
	if err == nil && !(x >= 0) {
		f.Add(field, text, "0 or more")
	}
	return &x
}

func si[Q units.Quantity](q Q, err error) (float64, error) { return q.SI(), err }

// Spec returns the set as data.
func (s *RuleSet) Spec() RuleSetSpec { return s.spec.clone() }

// clone returns a copy that shares nothing with s that can be written.
func (s RuleSetSpec) clone() RuleSetSpec {
	s.Rules = slices.Clone(s.Rules)
	for i := range s.Rules {
		r := &s.Rules[i]
		r.Of, r.Allowed = r.Of.clone(), slices.Clone(r.Allowed)
		if r.In != nil {
			in := r.In.clone()
			r.In = &in
		}
	}
	return s
}
