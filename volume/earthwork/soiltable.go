package earthwork

import (
	"slices"

	"example.org/earthbasin/units"
)

// SoilClass names a row of SoilTable. The zero value chooses none.
type SoilClass = units.Enum[soilClassWords]

// Classes of soil. There are few because only figures that could be read in a
// source are kept; swell and shrink of the soil at hand are better measured.
const (
	SoilClassSandOrGravel  SoilClass = iota + 1 // "sand or gravel": swell and shrink
	SoilClassSandGravelMix                      // "sand and gravel mix": swell and shrink
	SoilClassDenseClay                          // "dense clay": swell only
)

var soilClassNames = units.Names{
	SoilClassSandOrGravel:  "sand or gravel",
	SoilClassSandGravelMix: "sand and gravel mix",
	SoilClassDenseClay:     "dense clay",
}

type soilClassWords struct{}

func (soilClassWords) Names() units.Names { return soilClassNames }

// SoilRow is a row of the table of soils. A factor that the source does not give
// is nil.
type SoilRow struct {
	Class  SoilClass `json:"class"`           // by which a SoilSpec names the row
	Swell  *float64  `json:"swell,omitzero"`  // loose = bank (1 + swell)
	Shrink *float64  `json:"shrink,omitzero"` // compacted = bank (1 - shrink)
	Source string    `json:"source"`          // title and page
}

// soilTable is ordered by class.
var soilTable = []SoilRow{
	{SoilClassSandOrGravel, new(0.11), new(0.05), "NAVEDTRA soil conversion table 10-1, as quoted in a text on mining equipment: 100 in place give 111 loose and 95 compacted"},
	{SoilClassSandGravelMix, new(0.15), new(0.05), "construction-estimating text, chapter 9, Example 9-3: swell 15 %, shrink factor 0.95"},
	{SoilClassDenseClay, new(0.30), nil, "construction-estimating text, chapter 9, Example 9-2: swell 30 %"},
}

// SoilTable returns the rows of the table of soils, a copy.
func SoilTable() []SoilRow {
	rows := slices.Clone(soilTable)
	for i, r := range rows {
		if r.Swell != nil {
			rows[i].Swell = new(*r.Swell)
		}
		if r.Shrink != nil {
			rows[i].Shrink = new(*r.Shrink)
		}
	}
	return rows
}
