package cover

import "example.org/earthbasin/units"

// LifeForm is the growth form of a species.
type LifeForm = units.Enum[lifeFormsWords]

// Life forms. The zero value is not one.
const (
	LifeFormGrass  LifeForm = iota + 1 // "grass"
	LifeFormLegume                     // "legume"
	LifeFormForb                       // "forb": a flowering herb that is no legume
	LifeFormShrub                      // "shrub": woody, leguminous or not
	LifeFormSedge                      // "sedge": a sedge or rush
)

var lifeForms = units.Names{"", "grass", "legume", "forb", "shrub", "sedge"}

type lifeFormsWords struct{}

func (lifeFormsWords) Names() units.Names { return lifeForms }

// Season is the part of the year in which a grass does most of its growing.
type Season = units.Enum[seasonsWords]

// Seasons.
const (
	SeasonUnknown Season = iota // "unknown", or no grass
	SeasonCool                  // "cool"
	SeasonWarm                  // "warm"
)

var seasons = units.Names{"unknown", "cool", "warm"}

type seasonsWords struct{}

func (seasonsWords) Names() units.Names { return seasons }

// Nativity says whether a species is native to the conterminous United States.
// What is native to a county is for the caller to say with a row of its own.
type Nativity = units.Enum[nativitiesWords]

// Nativities.
const (
	NativityUnknown    Nativity = iota // "unknown"
	NativityNative                     // "native"
	NativityIntroduced                 // "introduced"
)

var nativities = units.Names{"unknown", "native", "introduced"}

type nativitiesWords struct{}

func (nativitiesWords) Names() units.Names { return nativities }

// Bloom is a period of the year in which a species flowers. The dates of the periods
// differ by rule set and climate.
type Bloom = units.Enum[bloomsWords]

// Bloom periods.
const (
	BloomUnknown Bloom = iota // "unknown": any, in a selector; not a period of a species
	BloomEarly                // "early": spring to about the middle of June
	BloomMid                  // "mid": about the middle of June to the end of July
	BloomLate                 // "late": August and later
)

var blooms = units.Names{"unknown", "early", "mid", "late"}

type bloomsWords struct{}

func (bloomsWords) Names() units.Names { return blooms }
