package cover

import "example.org/earthbasin/units"

// LifeForm is the growth form of a species.
type LifeForm = units.Enum[lifeFormsWords]

// Life forms. The zero value is not one.
const (
	LifeFormGrass LifeForm = iota + 1
	LifeFormLegume
	LifeFormForb  // a flowering herb that is no legume
	LifeFormShrub // woody, leguminous or not
	LifeFormSedge // a sedge or rush
)

var lifeForms = units.Names{"", "grass", "legume", "forb", "shrub", "sedge"}

type lifeFormsWords struct{}

func (lifeFormsWords) Names() units.Names { return lifeForms }

// Season is the part of the year in which a grass does most of its growing.
type Season = units.Enum[seasonsWords]

// Seasons.
const (
	SeasonUnknown Season = iota // unknown, or no grass
	SeasonCool
	SeasonWarm
)

var seasons = units.Names{"unknown", "cool", "warm"}

type seasonsWords struct{}

func (seasonsWords) Names() units.Names { return seasons }

// Nativity says whether a species is native to the conterminous United States.
// What is native to a county is for the caller to say with a row of its own.
type Nativity = units.Enum[nativitiesWords]

// Nativities.
const (
	NativityUnknown Nativity = iota
	NativityNative
	NativityIntroduced
)

var nativities = units.Names{"unknown", "native", "introduced"}

type nativitiesWords struct{}

func (nativitiesWords) Names() units.Names { return nativities }

// Bloom is a period of the year in which a species flowers. The dates of the periods
// differ by rule set and climate.
type Bloom = units.Enum[bloomsWords]

// Bloom periods.
const (
	BloomUnknown Bloom = iota // any, in a selector; not a period of a species
	BloomEarly                // spring to about the middle of June
	BloomMid                  // about the middle of June to the end of July
	BloomLate                 // August and later
)

var blooms = units.Names{"unknown", "early", "mid", "late"}

type bloomsWords struct{}

func (bloomsWords) Names() units.Names { return blooms }
