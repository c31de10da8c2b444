package nutrient

import (
	"fmt"
	"reflect"
	"slices"

	"example.org/earthbasin/units"
)

// SoilTestClass is a class of a soil test by one extractant; no extractant holds
// for any, where the source names none.
type SoilTestClass struct {
	Extractant Extractant   `json:"extractant,omitzero"` // empty for any
	Unit       SoilTestUnit `json:"unit,omitzero"`       // of the ends
	Class[float64]
}

// SiteSelector says to which sites a row applies: to those that fit each key it
// names. Soil tests are alternatives, one for each extractant.
type SiteSelector struct {
	SoilTest      []SoilTestClass           `json:"soilTest,omitzero"`      // one class for each extractant
	Distance      *Class[units.Length]      `json:"distance,omitzero"`      // to surface water
	FilterStrip   *bool                     `json:"filterStrip,omitzero"`   // between field and water
	SoilLoss      *Class[units.MassPerArea] `json:"soilLoss,omitzero"`      // in a year
	SoilLossOverT *Class[float64]           `json:"soilLossOverT,omitzero"` // soil loss over the tolerable loss
	RiskIndex     *Class[float64]           `json:"riskIndex,omitzero"`     // of the index that the rule names
	Saturation    *Class[float64]           `json:"saturation,omitzero"`    // degree of P saturation, 0 to 1
}

// SiteRow is a row of a rule: what it allows on the sites that it takes.
type SiteRow struct {
	Allow PBasis       `json:"allow,omitzero"` // what may be put on
	Times float64      `json:"times,omitzero"` // of the removal, above 0 to 20; for removal only
	Note  string       `json:"note,omitzero"`  // what a user of the row has to know
	When  SiteSelector `json:"when,omitzero"`  // to which sites the row applies
}

// SiteRuleSpec is a rule on phosphorus in the form of its JSON file.
type SiteRuleSpec struct {
	ID           string `json:"id"`              // lower-case letters, digits and hyphens
	Jurisdiction string `json:"jurisdiction"`    // where the rule applies
	Source       Source `json:"source,omitzero"` // where the rule stands
	Note         string `json:"note,omitzero"`   // what a user of the rule has to know
	// Extractants and Units are words of the state's own for what its rows ask for.
	Extractants []Extractant       `json:"extractants,omitzero"`
	Units       []SoilTestUnitSpec `json:"units,omitzero"` // of the state's own
	Rows        []SiteRow          `json:"rows"`           // 1 to 2000
}

// SoilTestUnitSpec declares a unit of soil tests of a state's own.
type SoilTestUnitSpec struct {
	Name SoilTestUnit `json:"name"`         // as rows and soil tests write it
	PPM  float64      `json:"ppm,omitzero"` // how many ppm one of it is, 1e-6 to 1e6; left out when it has no factor, so that tests have to be in it
}

// SiteRule is a rule on phosphorus without faults. Among the rows that take a
// site the strictest holds.
type SiteRule struct {
	spec SiteRuleSpec // without its rows
	rows []siteRow
	ppm  map[SoilTestUnit]float64 // of units with a factor to ppm
}

type siteRow struct {
	allow            PBasis
	times            float64
	note             string
	asksStrip, strip bool
	tests            []SoilTestClass
	testIn           []interval // in the unit of its class
	conditions       []siteCondition
}

// siteCondition asks one number of the site.
type siteCondition struct {
	key string
	in  interval
}

// ParseSiteRule reads a rule from its JSON and checks it as [NewSiteRule] does.
func ParseSiteRule(data []byte) (*SiteRule, error) {
	return parseFile(data, NewSiteRule)
}

// NewSiteRule checks a rule. Every fault is a [units.FieldError] with its path:
// a missing source, empty classes, a multiple where none belongs or none where
// one does, and two rows with the same selector.
func NewSiteRule(spec SiteRuleSpec) (*SiteRule, error) {
	var f units.Faults
	if !idPattern.MatchString(spec.ID) {
		f.Add("id", spec.ID, "lower-case letters, digits and hyphens")
	}
	if spec.Jurisdiction == "" {
		f.Missing("jurisdiction", "where the rule applies")
	}
	spec.Source.check(&f, "source")
	if len(spec.Rows) == 0 || len(spec.Rows) > maxRows {
		f.Add("rows", len(spec.Rows), fmt.Sprintf("1 to %d rows", maxRows))
	}
	r := &SiteRule{spec: spec, ppm: map[SoilTestUnit]float64{}}
	for _, u := range soilTestUnits {
		if x, ok := u.perPPM(); ok {
			r.ppm[u] = x
		}
	}
	r.words(&f)
	for i, row := range spec.Rows {
		at := f.At("rows", i)
		switch {
		case !pBasisNames.Has(int(row.Allow)):
			at.Missing("allow", pBasisNames.Want())
		case row.Allow == PBasisRemoval && !(row.Times > 0 && row.Times <= 20):
			at.Add("times", row.Times, "a multiple of the removal above 0, at most 20")
		case row.Allow != PBasisRemoval && row.Times != 0:
			at.Add("times", row.Times, "none: it belongs to removal")
		}
		c := r.compile(&at, "when", row)
		if c.tests == nil && len(c.conditions) == 0 && !c.asksStrip && len(spec.Rows) > 1 {
			at.Missing("when", "a key, since there are other rows")
		}
		for j, o := range spec.Rows[:i] {
			if reflect.DeepEqual(row.When, o.When) {
				at.Say("when", fmt.Sprintf("the selector of rows[%d]", j), "one row for each selector")
			}
		}
		r.rows = append(r.rows, c)
	}
	if f.Err() != nil {
		return nil, f.Err()
	}
	r.spec.Rows = nil
	r.spec.Extractants, r.spec.Units = slices.Clone(spec.Extractants), slices.Clone(spec.Units)
	return r, nil
}

// words checks the words that the rule declares.
func (r *SiteRule) words(f *units.Faults) {
	for i, e := range r.spec.Extractants {
		at := f.At("extractants", i)
		if checkWord(&at, "", e, "the word of the state for its extractant, in lower case"); slices.Contains(extractants, e) || slices.Contains(r.spec.Extractants[:i], e) {
			at.Add("", string(e), "a word that is not known already")
		}
	}
	for i, u := range r.spec.Units {
		at := f.At("units", i)
		checkUnit(&at, "name", u.Name)
		if slices.Contains(soilTestUnits, u.Name) || slices.ContainsFunc(r.spec.Units[:i], func(o SoilTestUnitSpec) bool { return o.Name == u.Name }) {
			at.Add("name", string(u.Name), "a word that is not known already")
		}
		if u.PPM != 0 {
			at.NumberBetween("ppm", u.PPM, 1e-6, 1e6)
			r.ppm[u.Name] = u.PPM
		}
	}
}

// unitNames returns the units that rows may name.
func (r *SiteRule) unitNames() []SoilTestUnit {
	list := slices.Clone(soilTestUnits)
	for _, u := range r.spec.Units {
		list = append(list, u.Name)
	}
	return list
}

func (r *SiteRule) compile(f *units.Faults, path string, row SiteRow) siteRow {
	c := siteRow{allow: row.Allow, times: row.Times, note: row.Note}
	if row.When.FilterStrip != nil {
		c.asksStrip, c.strip = true, *row.When.FilterStrip
	}
	for i, t := range row.When.SoilTest {
		at := fmt.Sprintf("%s.soilTest[%d]", path, i)
		if all := r.unitNames(); t.Unit == "" {
			f.Missing(at+".unit", oneOf(all))
		} else if !slices.Contains(all, t.Unit) {
			f.Add(at+".unit", string(t.Unit), oneOf(all)+", or one that the rule declares")
		}
		if all := slices.Concat(extractants, r.spec.Extractants); t.Extractant != "" && !slices.Contains(all, t.Extractant) {
			f.Add(at+".extractant", string(t.Extractant), oneOf(all)+", or one that the rule declares")
		}
		if slices.ContainsFunc(c.tests, func(o SoilTestClass) bool {
			return o.Extractant == t.Extractant || o.Extractant == "" || t.Extractant == ""
		}) {
			f.Add(at+".extractant", string(t.Extractant), "one class for each extractant")
		}
		c.tests, c.testIn = append(c.tests, t), append(c.testIn, needInterval(f, at, t.Class))
	}
	addCondition(f, &c, path, "distance", "distance", row.When.Distance)
	addCondition(f, &c, path, "soilLoss", "soilLoss", row.When.SoilLoss)
	addCondition(f, &c, path, "soilLossOverT", "tolerableLoss", row.When.SoilLossOverT)
	addCondition(f, &c, path, "riskIndex", "riskIndex", row.When.RiskIndex)
	addCondition(f, &c, path, "saturation", "saturation", row.When.Saturation)
	return c
}

// addCondition appends the condition of the key name, which asks for key of the site.
func addCondition[Q ~float64](f *units.Faults, row *siteRow, path, name, key string, c *Class[Q]) {
	if c != nil {
		row.conditions = append(row.conditions, siteCondition{key, needInterval(f, path+"."+name, *c)})
	}
}

// ID returns the name by which programs choose the rule.
func (r *SiteRule) ID() string { return r.spec.ID }

// Jurisdiction returns where the rule applies.
func (r *SiteRule) Jurisdiction() string { return r.spec.Jurisdiction }

// Source returns where the rule stands.
func (r *SiteRule) Source() Source { return r.spec.Source }

// Note returns what a user of the rule has to know.
func (r *SiteRule) Note() string { return r.spec.Note }
