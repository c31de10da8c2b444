package plan

import (
	"slices"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// jurisdictions says whose rules the plan goes by: those of the land, and those of the
// coefficients of its materials; nil without any.
func jurisdictions(s *Scenario, lib *library, r *Results) (*nutrient.JurisdictionsResult, error) {
	if s.Land == nil {
		return nil, nil
	}
	spec := nutrient.JurisdictionsSpec{In: s.Land.In}
	if r.Fields != nil && r.Fields.Jurisdictions != nil {
		spec.Rules = slices.Clone(r.Fields.Jurisdictions.Rules)
		spec.In = r.Fields.Jurisdictions.In
	}
	var sets []string
	for i, m := range s.Materials {
		if state := lib.states[i]; state != nil && !slices.Contains(sets, m.Set) {
			sets = append(sets, m.Set)
			spec.Rules = append(spec.Rules, nutrient.RuleInUse{What: "available N", ID: m.Set, Jurisdiction: state.Jurisdiction(), Reason: s.Land.OtherRules})
		}
	}
	if len(spec.Rules) == 0 {
		return nil, nil
	}
	j, err := nutrient.Jurisdictions(spec)
	return &j, err
}

// mixed opens the question whether the regulator accepts rules of other jurisdictions,
// where the scenario does not say why they are gone by.
func (r *Results) mixed(s *Scenario) {
	if j := r.Jurisdictions; j != nil && j.Mixed() && s.Land.OtherRules == "" {
		r.Open = append(r.Open, stage.Open{Key: "land.otherRules", Who: stage.Regulator,
			What:  units.Words("whether rules of another jurisdiction may be gone by: %s", units.Word(foreign(j))),
			Needs: units.Words("the tables of %s, or its word on these, and the reason in the plan", units.Word(j.In))})
	}
}

// foreign lists the rules of other jurisdictions.
func foreign(j *nutrient.JurisdictionsResult) (list string) {
	for _, x := range j.Foreign {
		if list != "" {
			list += ", "
		}
		list += x.What + " (" + x.Jurisdiction + ")"
	}
	return list
}

// WhoseRules says in a sentence or two whose rules the plan goes by; empty where it goes
// by none.
func (r *Results) WhoseRules() units.Phrase {
	j := r.Jurisdictions
	switch {
	case j == nil:
		return units.Phrase{}
	case !j.Mixed():
		return units.Words("All of %s.", units.Word(j.In))
	}
	why := units.Words("%s. A mixture: %s.", units.Word(j.In), units.Word(foreign(j)))
	if reason := j.Foreign[0].Reason; reason != "" {
		return why.And(" %s", units.Word(reason))
	}
	return why.And(" Nobody has said why.")
}
