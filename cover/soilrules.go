package cover

import (
	"slices"
	"strings"

	"example.org/earthbasin/units"
)

// SoilRules is what one sheet asks of lime and fertilizer before seeding. Limits
// that it does not set are null or empty.
type SoilRules struct {
	ID           string   `json:"id"`                     // short name, each once
	Jurisdiction string   `json:"jurisdiction,omitempty"` // whose sheet it is; empty: that of the state
	MinPH        *float64 `json:"minPH,omitempty"`        // below this the soil is limed
	LimeTo       *float64 `json:"limeTo,omitempty"`       // to this pH
	// Below this test of phosphorus or potassium the nutrient is applied.
	P *SoilStep `json:"p,omitempty"` // Apply as P2O5
	K *SoilStep `json:"k,omitempty"` // Apply as K2O
	// Nitrogen by kind of stand.
	Nitrogen []StandNitrogen `json:"nitrogen,omitempty"`
	// Untested is applied without a soil test, UntestedLime likewise.
	Untested     *Nutrients         `json:"untested,omitempty"`
	UntestedLime *units.MassPerArea `json:"untestedLime,omitempty"` // lime without a soil test
	// WaiveFertilizer and WaiveLime are the needs, all nutrients together, below
	// which none has to be applied.
	WaiveFertilizer *units.MassPerArea `json:"waiveFertilizer,omitempty"`
	WaiveLime       *units.MassPerArea `json:"waiveLime,omitempty"` // need of lime below which none has to be applied
	Notes           []string           `json:"notes,omitempty"`     // further words of the sheet
	Source          string             `json:"source"`              // ID of a source of the state, or title, publisher, number, year
	Place           string             `json:"place,omitempty"`     // page or table of the source
}

// SoilStep is an application below a soil test, in the extraction of the state.
type SoilStep struct {
	Below units.MassPerArea `json:"below"` // soil test under which the step holds, more than 0
	Apply units.MassPerArea `json:"apply"` // then, 0 or more
}

// StandNitrogen is the nitrogen of the seeding year for a kind of stand.
type StandNitrogen struct {
	Stand string            `json:"stand"` // kind of stand, in the words of the sheet
	N     units.MassPerArea `json:"n"`     // in the seeding year, 0 or more
}

// clone returns a copy that shares nothing with s that can be written.
func (s SoilRules) clone() SoilRules {
	s.MinPH, s.LimeTo = pointed(s.MinPH), pointed(s.LimeTo)
	s.P, s.K = pointed(s.P), pointed(s.K)
	s.Nitrogen, s.Notes = slices.Clone(s.Nitrogen), slices.Clone(s.Notes)
	s.Untested, s.UntestedLime = pointed(s.Untested), pointed(s.UntestedLime)
	s.WaiveFertilizer, s.WaiveLime = pointed(s.WaiveFertilizer), pointed(s.WaiveLime)
	return s
}

// SoilNeedSpec is a seedbed and the rules for it. A soil test goes before every rule
// for untested ground.
type SoilNeedSpec struct {
	Rules string `json:"rules"` // id of published soil rules
	// Own are the caller's rules, instead of Rules.
	Own *SoilRules `json:"own,omitempty"`
	// Tested says that PH, P and K are from a soil test; P and K are asked where
	// the rules have a step for them.
	Tested bool              `json:"tested"`
	PH     float64           `json:"ph"` // 3 to 11
	P      units.MassPerArea `json:"p"`  // soil test of phosphorus, 0 or more
	K      units.MassPerArea `json:"k"`  // soil test of potassium, 0 or more
	// Fertilizer is what the laboratory recommends, for the nutrients that the
	// rules leave to it.
	Fertilizer Nutrients `json:"fertilizer"`
	Stand      string    `json:"stand"` // a stand of the rules, or "" for no nitrogen
	// Lime is the lime need of the test, for the waiver; 0 not known.
	Lime units.MassPerArea `json:"lime"`
}

// SoilNeedResult is what the rules ask.
type SoilNeedResult struct {
	Spec   SoilNeedSpec      `json:"spec"`   // what it was worked out from
	Rules  SoilRules         `json:"rules"`  // published or own
	Need   Nutrients         `json:"need"`   // to apply before seeding
	LimeTo float64           `json:"limeTo"` // pH to lime to, 0 for no lime by test
	Lime   units.MassPerArea `json:"lime"`   // without a soil test
	Waived []string          `json:"waived"` // "fertilizer", "lime": needed but too little to ask for
	// Cautions hold the hazards and, first, that untested ground was assumed.
	Cautions []string `json:"cautions"`
}

// SoilNeed works out what a sheet asks of lime and fertilizer before seeding.
func SoilNeed(spec SoilNeedSpec) (SoilNeedResult, error) {
	var f units.Faults
	rules := SoilRules{}
	if spec.Own != nil {
		rules = *spec.Own
		if spec.Rules != "" {
			f.Add("rules", spec.Rules, "no value beside own")
		}
	} else {
		row, err := find("rules", spec.Rules, publishedSoil(), func(r SoilRules) string { return r.ID })
		f.Sub("", err)
		rules = row.clone()
	}
	f.Sub("own", rules.check())
	f.NotNegative("p", spec.P)
	f.NotNegative("k", spec.K)
	f.NotNegative("lime", spec.Lime)
	for k, x := range spec.Fertilizer.list() {
		f.NotNegative("fertilizer."+nutrientNames[k], units.MassPerArea(x))
	}
	switch {
	case spec.Tested:
		f.Sub("", spec.checkTest(rules))
	case spec.PH != 0 || spec.P != 0 || spec.K != 0 || spec.Lime != 0 || spec.Fertilizer != Nutrients{}:
		f.Add("tested", spec.Tested, "true, since pH, P, K, fertilizer or lime of a test are given")
	case f.Err() == nil && rules.Untested == nil && rules.UntestedLime == nil:
		f.Missing("tested", "a soil test: the rules have no figures for untested ground")
	}
	r := SoilNeedResult{Spec: spec, Rules: rules, Waived: []string{}}
	if spec.Stand != "" {
		i := slices.IndexFunc(rules.Nitrogen, func(s StandNitrogen) bool { return strings.EqualFold(s.Stand, spec.Stand) })
		if i < 0 {
			var stands []string
			for _, s := range rules.Nitrogen {
				stands = append(stands, s.Stand)
			}
			if stands == nil {
				f.Add("stand", spec.Stand, "empty, since the rules have no stands")
			} else {
				f.Add("stand", spec.Stand, "one of %v", units.Word(strings.Join(stands, ", ")))
			}
		} else {
			r.Need.N = rules.Nitrogen[i].N
		}
	}
	if err := f.Err(); err != nil {
		return SoilNeedResult{}, err
	}
	if spec.Tested {
		r.byTest()
	} else {
		r.untested()
	}
	r.Cautions = append(r.Cautions, cautionFertilizer, cautionLime)
	return r, nil
}

// checkTest checks that a soil test says what the rules ask of it, and nothing
// that they settle themselves.
func (s SoilNeedSpec) checkTest(rules SoilRules) error {
	var f units.Faults
	f.NumberBetween("ph", s.PH, 3, 11)
	settled := func(field string, q units.MassPerArea) {
		if q != 0 {
			f.Add("fertilizer."+field, q, "no value: the rules settle it")
		}
	}
	if rules.P != nil {
		f.Positive("p", s.P)
		settled("p2o5", s.Fertilizer.P2O5)
	}
	if rules.K != nil {
		f.Positive("k", s.K)
		settled("k2o", s.Fertilizer.K2O)
	}
	if s.Stand != "" {
		settled("n", s.Fertilizer.N)
	}
	if rules.MinPH == nil && rules.P == nil && rules.K == nil && s.Fertilizer == (Nutrients{}) && s.Lime == 0 {
		f.Missing("fertilizer", "what the laboratory recommends: the rules have no step by soil test")
	}
	return f.Err()
}

func (r *SoilNeedResult) byTest() {
	rules, spec := r.Rules, r.Spec
	r.Need.N += spec.Fertilizer.N // one of the two is 0
	if s := rules.P; s == nil {
		r.Need.P2O5 = spec.Fertilizer.P2O5
	} else if spec.P < s.Below {
		r.Need.P2O5 = s.Apply
	}
	if s := rules.K; s == nil {
		r.Need.K2O = spec.Fertilizer.K2O
	} else if spec.K < s.Below {
		r.Need.K2O = s.Apply
	}
	if rules.MinPH != nil && spec.PH < *rules.MinPH {
		r.LimeTo = *rules.MinPH
		if rules.LimeTo != nil {
			r.LimeTo = *rules.LimeTo
		}
	}
	total := r.Need.N + r.Need.P2O5 + r.Need.K2O
	if w := rules.WaiveFertilizer; w != nil && total > 0 && total < *w {
		r.Waived = append(r.Waived, "fertilizer")
	}
	if w := rules.WaiveLime; w != nil && spec.Lime > 0 && spec.Lime < *w {
		r.Waived = append(r.Waived, "lime")
	}
}

func (r *SoilNeedResult) untested() {
	r.Cautions = append(r.Cautions, "No soil test: these are the sheet's figures for untested ground. A former manure storage is often rich in phosphorus and potassium; test before buying.")
	if u := r.Rules.Untested; u != nil {
		n := r.Need.N
		r.Need = *u
		r.Need.N = max(n, u.N)
	}
	if l := r.Rules.UntestedLime; l != nil {
		r.Lime = *l
	}
}

func (s SoilRules) check() error {
	var f units.Faults
	optional := func(field string, q *units.MassPerArea) {
		if q != nil {
			f.NotNegative(field, *q)
		}
	}
	for _, c := range [...]struct {
		field string
		ph    *float64
	}{{"minPH", s.MinPH}, {"limeTo", s.LimeTo}} {
		if c.ph != nil {
			f.NumberBetween(c.field, *c.ph, 3, 11)
		}
	}
	for _, c := range [...]struct {
		field string
		step  *SoilStep
	}{{"p", s.P}, {"k", s.K}} {
		if c.step != nil {
			f.Positive(c.field+".below", c.step.Below)
			f.NotNegative(c.field+".apply", c.step.Apply)
		}
	}
	for i, n := range s.Nitrogen {
		at := f.At("nitrogen", i)
		at.NotNegative("n", n.N)
	}
	if u := s.Untested; u != nil {
		for k, x := range u.list() {
			f.NotNegative("untested."+nutrientNames[k], units.MassPerArea(x))
		}
	}
	optional("untestedLime", s.UntestedLime)
	optional("waiveFertilizer", s.WaiveFertilizer)
	optional("waiveLime", s.WaiveLime)
	return f.Err()
}

// Working shows what the rules ask.
func (r SoilNeedResult) Working() units.Working {
	var w units.Working
	w.Add("rules", r.Rules.Jurisdiction, "%v", units.Word(cite(r.Rules.Source, r.Rules.Place)))
	if r.Spec.Tested {
		w.Add("soil test", units.Words("pH %.3g", r.Spec.PH), "P %v, K %v", r.Spec.P, r.Spec.K)
	} else {
		w.Add("soil test", "none", "")
	}
	w.Add("N", r.Need.N, r.Spec.Stand)
	w.Add("P2O5", r.Need.P2O5, "")
	w.Add("K2O", r.Need.K2O, "")
	switch {
	case r.LimeTo > 0:
		w.Add("lime", units.Words("to pH %.3g", r.LimeTo), "pH is below %.3g", *r.Rules.MinPH)
	case r.Lime > 0:
		w.Add("lime", r.Lime, "without a test")
	}
	for _, s := range r.Waived {
		w.Add(s, "may be left out", "the need is below the sheet's limit")
	}
	for _, s := range r.Rules.Notes {
		w.Add("note", "", s)
	}
	return w
}

// String prints the working.
func (r SoilNeedResult) String() string { return r.Working().String() }
