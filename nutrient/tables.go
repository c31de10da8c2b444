package nutrient

import (
	"embed"
	"slices"
	"strconv"
	"strings"

	"example.org/earthbasin/units"
)

//go:embed tables/*.json
var tableFiles embed.FS

var cropTableIDs = []string{"illinois-560", "ontario-2025", "michigan-2017", "montana-2003"}

// PublishedCropTableIDs returns the ids of the crop tables that come with the
// package.
func PublishedCropTableIDs() []string { return append([]string(nil), cropTableIDs...) }

// PublishedCropTable returns a crop table that comes with the package. An id
// that is not among [PublishedCropTableIDs] is a [units.FieldError] on table.
func PublishedCropTable(id string) (*CropTable, error) {
	return publishedTable("table", "tables/", id, cropTableIDs, ParseCropTable)
}

var siteRuleIDs = []string{"minnesota-590", "nebraska-index", "utah", "illinois-502", "virginia-saturation"}

// PublishedSiteRuleIDs returns the ids of the rules on phosphorus that come with
// the package. They are as complete as what was read of their sources; a site
// outside the rows is refused.
func PublishedSiteRuleIDs() []string { return append([]string(nil), siteRuleIDs...) }

// PublishedSiteRule returns a rule that comes with the package. An id that is
// not among [PublishedSiteRuleIDs] is a [units.FieldError] on rule.
func PublishedSiteRule(id string) (*SiteRule, error) {
	return publishedTable("rule", "tables/rule-", id, siteRuleIDs, ParseSiteRule)
}

// publishedTable reads one of the embedded tables.
func publishedTable[T any](field, prefix, id string, ids []string, parse func([]byte) (*T, error)) (*T, error) {
	if !slices.Contains(ids, id) {
		return nil, &units.FieldError{Field: field, Value: strconv.Quote(id), Want: "one of " + strings.Join(ids, ", ")}
	}
	data, err := tableFiles.ReadFile(prefix + id + ".json")
	if err != nil {
		return nil, err
	}
	return parse(data)
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
