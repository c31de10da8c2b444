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
	Extractant Extractant   `json:"extractant,omitzero"`
	Unit       SoilTestUnit `json:"unit,omitzero"`
	Class[float64]
}

// SiteSelector says to which sites a row applies: to those that fit each key it
// names. Soil tests are alternatives, one for each extractant.
type SiteSelector struct {
	SoilTest      []SoilTestClass           `json:"soilTest,omitzero"`
	Distance      *Class[units.Length]      `json:"distance,omitzero"`
	FilterStrip   *bool                     `json:"filterStrip,omitzero"`
	SoilLoss      *Class[units.MassPerArea] `json:"soilLoss,omitzero"`
	SoilLossOverT *Class[float64]           `json:"soilLossOverT,omitzero"` // soil loss over the tolerable loss
	RiskIndex     *Class[float64]           `json:"riskIndex,omitzero"`
	Saturation    *Class[float64]           `json:"saturation,omitzero"`
}

// SiteRow is a row of a rule: what it allows on the sites that it takes.
type SiteRow struct {
	Allow PBasis       `json:"allow,omitzero"`
	Times float64      `json:"times,omitzero"` // of the removal, above 0 to 20; for removal only
	Note  string       `json:"note,omitzero"`
	When  SiteSelector `json:"when,omitzero"`
}

// SiteRuleSpec is a rule on phosphorus in the form of its JSON file.
type SiteRuleSpec struct {
	ID           string    `json:"id"`
	Jurisdiction string    `json:"jurisdiction"`
	Source       Source    `json:"source,omitzero"`
	Note         string    `json:"note,omitzero"`
	Rows         []SiteRow `json:"rows"`
}

// SiteRule is a rule on phosphorus without faults. Among the rows that take a
// site the strictest holds.
type SiteRule struct {
	spec SiteRuleSpec // without its rows
	rows []siteRow
}

type siteRow struct {
	allow            PBasis
	times            float64
	note             string
	asksStrip, strip bool
	tests            []SoilTestClass
	testIn           []interval
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
	r := &SiteRule{spec: spec}
	for i, row := range spec.Rows {
		path := fmt.Sprintf("rows[%d]", i)
		switch {
		case !pBasisNames.Has(int(row.Allow)):
			f.Missing(path+".allow", pBasisNames.Want())
		case row.Allow == PBasisRemoval && !(row.Times > 0 && row.Times <= 20):
			f.Add(path+".times", row.Times, "a multiple of the removal above 0, at most 20")
		case row.Allow != PBasisRemoval && row.Times != 0:
			f.Add(path+".times", row.Times, "none: it belongs to removal")
		}
		c := compileSite(&f, path+".when", row)
		if c.tests == nil && len(c.conditions) == 0 && !c.asksStrip && len(spec.Rows) > 1 {
			f.Missing(path+".when", "a key, since there are other rows")
		}
		for j, o := range spec.Rows[:i] {
			if reflect.DeepEqual(row.When, o.When) {
				f.Say(path+".when", fmt.Sprintf("the selector of rows[%d]", j), "one row for each selector")
			}
		}
		r.rows = append(r.rows, c)
	}
	if f.Err() != nil {
		return nil, f.Err()
	}
	r.spec.Rows = nil
	return r, nil
}

func compileSite(f *units.Faults, path string, row SiteRow) siteRow {
	c := siteRow{allow: row.Allow, times: row.Times, note: row.Note}
	if row.When.FilterStrip != nil {
		c.asksStrip, c.strip = true, *row.When.FilterStrip
	}
	for i, t := range row.When.SoilTest {
		at := fmt.Sprintf("%s.soilTest[%d]", path, i)
		if !soilTestUnitNames.Has(int(t.Unit)) {
			f.Missing(at+".unit", soilTestUnitNames.Want())
		}
		if t.Extractant != 0 && !extractantNames.Has(int(t.Extractant)) {
			f.Add(at+".extractant", t.Extractant, extractantNames.Want())
		}
		if slices.ContainsFunc(c.tests, func(o SoilTestClass) bool {
			return o.Extractant == t.Extractant || o.Extractant == 0 || t.Extractant == 0
		}) {
			f.Add(at+".extractant", t.Extractant, "one class for each extractant")
		}
		in := needInterval(f, at, t.Class)
		in.low *= t.Unit.ppm()
		in.high *= t.Unit.ppm()
		c.tests, c.testIn = append(c.tests, t), append(c.testIn, in)
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
