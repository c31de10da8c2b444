package nutrient

import (
	"embed"
	"strings"

	"example.org/earthbasin/units"
)

//go:embed tables/*.json
var tableFiles embed.FS

var cropTableIDs = []string{"illinois-560", "ontario-2025", "michigan-2017", "montana-2003"}

// PublishedCropTables returns the ids of the crop tables that come with the
// package.
func PublishedCropTables() []string { return append([]string(nil), cropTableIDs...) }

// PublishedCropTable returns a crop table that comes with the package. An id
// that is not among [PublishedCropTables] is a [units.FieldError] on table.
func PublishedCropTable(id string) (*CropTable, error) {
	for _, name := range cropTableIDs {
		if name == id {
			data, err := tableFiles.ReadFile("tables/" + id + ".json")
			if err != nil {
				return nil, err
			}
			return ParseCropTable(data)
		}
	}
	return nil, &units.FieldError{Field: "table", Value: id, Want: "one of " + strings.Join(cropTableIDs, ", ")}
}

var siteRuleIDs = []string{"minnesota-590", "nebraska-index", "utah", "illinois-502", "virginia-saturation"}

// PublishedSiteRules returns the ids of the rules on phosphorus that come with
// the package. They are as complete as what was read of their sources; a site
// outside the rows is refused.
func PublishedSiteRules() []string { return append([]string(nil), siteRuleIDs...) }

// PublishedSiteRule returns a rule that comes with the package. An id that is
// not among [PublishedSiteRules] is a [units.FieldError] on rule.
func PublishedSiteRule(id string) (*SiteRule, error) {
	for _, name := range siteRuleIDs {
		if name == id {
			data, err := tableFiles.ReadFile("tables/rule-" + id + ".json")
			if err != nil {
				return nil, err
			}
			return ParseSiteRule(data)
		}
	}
	return nil, &units.FieldError{Field: "rule", Value: id, Want: "one of " + strings.Join(siteRuleIDs, ", ")}
}

// Credit is N that something else than the planned material gives a crop, as a
// source states it: per area, or per mass of a material.
type Credit struct {
	Name         string                    `json:"name"`
	Jurisdiction string                    `json:"jurisdiction"`
	PerArea      *Span[units.MassPerArea]  `json:"perArea,omitzero"`
	PerMass      *Span[units.MassFraction] `json:"perMass,omitzero"`
	Note         string                    `json:"note,omitzero"`
	Source       Source                    `json:"source"`
}

// PublishedCredits returns the table of N credits that comes with the package.
func PublishedCredits() ([]Credit, error) {
	data, err := tableFiles.ReadFile("tables/credits.json")
	if err != nil {
		return nil, err
	}
	var list []Credit
	err = units.Decode(data, &list)
	return list, err
}

// RateCap is the most of a nutrient, or of the material, that a source allows in
// one application or season. Zero fields cap nothing.
type RateCap struct {
	Name         string            `json:"name"`
	Jurisdiction string            `json:"jurisdiction"`
	AvailableN   units.MassPerArea `json:"availableN,omitzero"`
	TotalN       units.MassPerArea `json:"totalN,omitzero"`
	P2O5         units.MassPerArea `json:"p2o5,omitzero"`
	K2O          units.MassPerArea `json:"k2o,omitzero"`
	Material     Rate              `json:"material,omitzero"`
	Note         string            `json:"note,omitzero"`
	Source       Source            `json:"source"`
}

// PublishedCaps returns the table of rate caps that comes with the package.
func PublishedCaps() ([]RateCap, error) {
	data, err := tableFiles.ReadFile("tables/caps.json")
	if err != nil {
		return nil, err
	}
	var list []RateCap
	err = units.Decode(data, &list)
	return list, err
}
