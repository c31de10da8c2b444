package cover

import "example.org/earthbasin/units"

// LifeForm is the growth form of a species.
type LifeForm int

// Life forms. The zero value is not one.
const (
	LifeFormGrass LifeForm = iota + 1
	LifeFormLegume
	LifeFormForb  // a flowering herb that is no legume
	LifeFormShrub // woody, leguminous or not
	LifeFormSedge // a sedge or rush
)

var lifeForms = units.Names{"", "grass", "legume", "forb", "shrub", "sedge"}

// String returns the name that MarshalText writes.
func (l LifeForm) String() string { return lifeForms.String(int(l)) }

// MarshalText writes the name.
func (l LifeForm) MarshalText() ([]byte, error) { return lifeForms.Marshal(int(l)) }

// UnmarshalText reads a name; the error lists the names.
func (l *LifeForm) UnmarshalText(b []byte) error { return units.UnmarshalName(lifeForms, b, l) }

// Season is the part of the year in which a grass does most of its growing.
type Season int

// Seasons.
const (
	SeasonUnknown Season = iota // unknown, or no grass
	SeasonCool
	SeasonWarm
)

var seasons = units.Names{"unknown", "cool", "warm"}

// String returns the name that MarshalText writes.
func (s Season) String() string { return seasons.String(int(s)) }

// MarshalText writes the name.
func (s Season) MarshalText() ([]byte, error) { return seasons.Marshal(int(s)) }

// UnmarshalText reads a name; the error lists the names.
func (s *Season) UnmarshalText(b []byte) error { return units.UnmarshalName(seasons, b, s) }

// Nativity says whether a species is native to the conterminous United States.
// What is native to a county is for the caller to say with a row of its own.
type Nativity int

// Nativities.
const (
	NativityUnknown Nativity = iota
	NativityNative
	NativityIntroduced
)

var nativities = units.Names{"unknown", "native", "introduced"}

// String returns the name that MarshalText writes.
func (n Nativity) String() string { return nativities.String(int(n)) }

// MarshalText writes the name.
func (n Nativity) MarshalText() ([]byte, error) { return nativities.Marshal(int(n)) }

// UnmarshalText reads a name; the error lists the names.
func (n *Nativity) UnmarshalText(b []byte) error { return units.UnmarshalName(nativities, b, n) }

// Bloom is a period of the year in which a species flowers. The dates of the periods
// differ by rule set and climate.
type Bloom int

// Bloom periods.
const (
	BloomUnknown Bloom = iota // any, in a selector; not a period of a species
	BloomEarly                // spring to about the middle of June
	BloomMid                  // about the middle of June to the end of July
	BloomLate                 // August and later
)

var blooms = units.Names{"unknown", "early", "mid", "late"}

// String returns the name that MarshalText writes.
func (p Bloom) String() string { return blooms.String(int(p)) }

// MarshalText writes the name.
func (p Bloom) MarshalText() ([]byte, error) { return blooms.Marshal(int(p)) }

// UnmarshalText reads a name; the error lists the names.
func (p *Bloom) UnmarshalText(b []byte) error { return units.UnmarshalName(blooms, b, p) }
