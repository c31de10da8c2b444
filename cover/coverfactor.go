package cover

import (
	_ "embed"
	"slices"
	"sync"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

// CoverFactor is a published value of C, the soil loss under a cover over that of
// bare, tilled fallow.
type CoverFactor struct {
	ID    string  `json:"id"`    // short name, each once
	Cover string  `json:"cover"` // what covers the ground
	C     float64 `json:"c"`     // soil loss over that of bare fallow, above 0 to 1
	// P is printed with C, 1 where the source has none. One that holds in this
	// state only is to be multiplied into C, since SoilLossSpec.P holds in both.
	P      float64           `json:"p"`
	Rate   units.MassPerArea `json:"rate,omitempty"` // of a mulch
	Source string            `json:"source"`         // title, publisher, number, year, page
}

//go:embed data/coverfactors.json
var coverFactorsJSON []byte

var publishedFactors = sync.OnceValue(func() []CoverFactor {
	var list []CoverFactor
	err := strict.Decode(coverFactorsJSON, &list)
	return must(list, err)
})

// PublishedCoverFactors returns the cover factors that come with the package: by
// stage of reclaimed ground, by mulch and by stand. Sources differ by more than 2
// times for the same straw, since slope and soil of the tests differ.
func PublishedCoverFactors() []CoverFactor { return slices.Clone(publishedFactors()) }

// PublishedCoverFactor returns the row of an id; the error lists the ids.
func PublishedCoverFactor(id string) (CoverFactor, error) {
	list := publishedFactors()
	i := slices.IndexFunc(list, func(c CoverFactor) bool { return c.ID == id })
	if i < 0 {
		return CoverFactor{}, units.Fault(units.FaultName, "id", id, oneOf(list, func(c CoverFactor) string { return c.ID }))
	}
	return list[i], nil
}
