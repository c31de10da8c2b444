package land

import (
	"slices"
	"strings"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// CriticalOn is the critical level that holds for one nutrient on a field.
type CriticalOn struct {
	Critical
	Test  nutrient.SoilTest `json:"test"`           // of the field
	State string            `json:"state,omitzero"` // whose tables the level is of; empty: the caller's
	// Published is the level of those tables in whose place the caller's stands.
	Published *nutrient.CriticalLevel `json:"published,omitzero"`
}

// tested is one nutrient with what decides whether it counts on a field.
type tested struct {
	of, gives, key string
	test           *nutrient.SoilTest
	to             *Answer
}

// answers finds out which nutrients have a worth on a field: none without a critical
// level and a test. The caller's level stands before that of the state's tables.
func (p *planner) answers(f *units.Faults, in *Field, out *FieldResult) {
	out.Answers = Answers{AnswerUnknown, AnswerUnknown}
	var unnamed *nutrient.State
	for _, x := range []tested{{OfP2O5, nutrient.GivesCriticalP, "site.soilTest", in.Site.SoilTest, &out.Answers.P2O5}, {OfK2O, nutrient.GivesCriticalK, "soilK", in.SoilK, &out.Answers.K2O}} {
		if x.test != nil && x.test.Check() != nil {
			if x.of == OfK2O || p.rule == nil { // else the rule has told them
				f.Sub(x.key, x.test.Check())
			}
			continue
		}
		told := slices.IndexFunc(p.spec.Critical, func(c Critical) bool { return c.Of == x.of })
		from := p.levels(x.gives)
		switch {
		case told < 0 && from == nil:
			continue // told once
		case x.test == nil:
			p.open("fields."+in.Name+"."+x.key, stage.Planner, units.Words("whether %s is worth anything on %s: it counts for nothing", units.Word(x.of), units.Word(in.Name)), "a soil test by the extractant of the critical level")
			continue
		}
		published, ok := p.published(f, in, from, &x)
		on := CriticalOn{Test: *x.test}
		switch {
		case told >= 0 && p.spec.Critical[told].Level.Check() != nil:
			continue // told once
		case told >= 0:
			on.Critical, on.Published = p.spec.Critical[told], published
		case ok:
			on.Critical, on.State = Critical{x.of, *published}, from.Jurisdiction()
		default:
			unnamed = from
			continue
		}
		yes, err := on.Answers(*x.test)
		for _, e := range units.FieldErrors(err) {
			f.Sub("", e.At(x.key+strings.TrimPrefix(e.Field, "test")))
		}
		if err != nil {
			continue
		}
		if *x.to = AnswerEnough; yes {
			*x.to = AnswerCounts
		}
		out.Critical = append(out.Critical, on)
	}
	if unnamed != nil && out.Out == nil {
		p.r.Open = append(p.r.Open, stage.Open{Key: "fields." + in.Name + ".critical", Who: stage.Planner,
			What:  units.Words("whether phosphorus and potassium are worth anything on %s: they count for nothing, since the critical levels of %v do not have its crop under this name, or its extractant", units.Word(in.Name), units.Word(unnamed.Jurisdiction())),
			Needs: units.Words("the crop as these name it (%v), or soil tests above which it does not answer", words(unnamed, nutrient.KeyCrop))})
	}
}

// words are those that a state has for a key.
func words(s *nutrient.State, key string) units.Phrase {
	for _, k := range s.Keys() {
		if k.Name == key && len(k.Values) > 0 {
			return units.Words("%v", units.Word(strings.Join(k.Values, ", ")))
		}
	}
	return units.Words("any")
}

// levels is the state whose tables give critical levels: that of the rule on phosphorus
// before that of the crops; nil for none.
func (p *planner) levels(gives string) *nutrient.State {
	for _, s := range []*nutrient.State{p.rule, p.crops} {
		if s != nil && s.Has(gives) {
			return s
		}
	}
	return nil
}

// published is the level of the state's tables for the crops of a field, of several crops
// the highest; ok is false where the tables do not have one of them.
func (p *planner) published(f *units.Faults, in *Field, from *nutrient.State, x *tested) (highest *nutrient.CriticalLevel, ok bool) {
	if from == nil {
		return nil, false
	}
	for _, year := range p.cropYears() {
		i := in.crop(year)
		if i < 0 {
			return nil, false
		}
		name := in.Crops[i].CriticalCrop
		if name == "" {
			name = in.Crops[i].Crop
		}
		level, err := from.CriticalLevel(x.gives, name, *x.test)
		if err != nil {
			for _, e := range units.FieldErrors(err) {
				if in.Crops[i].CriticalCrop != "" && e.Field == nutrient.KeyCrop {
					at := f.At("crops", i)
					at.Sub("", e.At("criticalCrop"))
				}
			}
			return nil, false
		}
		if highest == nil || level.Level.Value > highest.Level.Value {
			highest = &level
		}
	}
	return highest, highest != nil
}

// cropYears are those of the seasons, or the one year of a land without seasons.
func (p *planner) cropYears() []int {
	if len(p.years) == 0 {
		return []int{0}
	}
	return p.years
}

// crop is the place of the crop of a year, below 0 for none.
func (in *Field) crop(year int) int {
	if i := slices.IndexFunc(in.Crops, func(c Crop) bool { return c.Year == year }); i >= 0 {
		return i
	}
	return slices.IndexFunc(in.Crops, func(c Crop) bool { return c.Year == 0 || year == 0 })
}

// why says which level decides, and whose it is.
func (c *CriticalOn) why() units.Phrase {
	why := units.Words("soil test of %v against %v", units.Word(c.Test.String()), units.Word(c.Level.String()))
	switch {
	case c.State != "":
		why = why.And(", %v, %v", units.Word(c.State), units.Word(c.Source.String()))
	case c.Source.Title != "":
		why = why.And(", the caller's, %v", units.Word(c.Source.String()))
	default:
		why = why.And(", the caller's")
	}
	if c.CountAbove {
		why = why.And("; counted above it, too, as the caller asks")
	}
	if c.Published != nil && c.Published.Level != c.Level {
		why = why.And("; published: %v, %v", units.Word(c.Published.Level.String()), units.Word(c.Published.Source.String()))
	}
	return why
}

// worth is how the worth of a nutrient on the field came about.
func (r *FieldResult) worth(of string) units.Phrase {
	if i := slices.IndexFunc(r.Critical, func(c CriticalOn) bool { return c.Of == of }); i >= 0 {
		return r.Critical[i].why()
	}
	return units.Words("soil test against the critical level")
}

// BeyondPublished are the fields on which the caller counts a nutrient above the level that
// the state's tables have for the crop.
func (r *Result) BeyondPublished() (list []string) {
	for i := range r.Fields {
		if slices.ContainsFunc(r.Fields[i].Critical, func(c CriticalOn) bool {
			if c.Published == nil {
				return false
			}
			counts, _ := c.Answers(c.Test) // both were asked before
			below, err := c.Published.Answers(c.Test)
			return counts && !below && err == nil
		}) {
			list = append(list, r.Fields[i].Name)
		}
	}
	return list
}
