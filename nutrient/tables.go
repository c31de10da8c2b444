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
