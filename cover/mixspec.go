package cover

import "example.org/earthbasin/units"

// MixBasis says what the shares of a mix are shares of. Public mixes use all of
// these: in one of them oats are 25 percent by seeds and 90 percent by weight
// (Minnesota BWSR pilot mixes, July 2018).
type MixBasis = units.Enum[mixBasesWords]

// Bases. The zero value is not one.
const (
	// MixSharesOfSeeds, "shares of seeds", are shares of the live seeds on an area: the rate of a species
	// is total seeds per area x share / seeds per mass.
	MixSharesOfSeeds MixBasis = iota + 1
	// MixSharesOfPureStand, "shares of pure stand", are shares of the rate at which each species is sown
	// alone (Montana job sheet MT342-JS1, August 2003).
	MixSharesOfPureStand
	// MixSharesOfPLSWeight, "shares of PLS weight", are shares of the weight of pure live seed.
	MixSharesOfPLSWeight
	// MixSharesOfBulkWeight, "shares of bulk weight", are shares of the weight of seed as bought.
	MixSharesOfBulkWeight
	// MixRatesOfPLS, "rates of PLS", are no shares: each species has its own rate of pure live seed.
	MixRatesOfPLS
)

var mixBases = units.Names{"", "shares of seeds", "shares of pure stand", "shares of PLS weight", "shares of bulk weight", "rates of PLS"}

type mixBasesWords struct{}

func (mixBasesWords) Names() units.Names { return mixBases }

// SeedingMethod is how the seed is put down.
type SeedingMethod = units.Enum[seedingMethodsWords]

// Methods. The zero value is not one.
const (
	SeedingDrilled     SeedingMethod = iota + 1 // "drilled"
	SeedingBroadcast                            // "broadcast"
	SeedingHydroseeded                          // "hydroseeded"
)

var seedingMethods = units.Names{"", "drilled", "broadcast", "hydroseeded"}

type seedingMethodsWords struct{}

func (seedingMethodsWords) Names() units.Names { return seedingMethods }

// MixSpec is a seed mix to order.
type MixSpec struct {
	Area   units.Area    `json:"area"`   // to seed, more than 0
	Basis  MixBasis      `json:"basis"`  // of the shares; required
	Method SeedingMethod `json:"method"` // of seeding; required
	// MethodFactor multiplies the base rates for the method: 1 where they hold
	// for it. Broadcasting at drilled base rates takes 2 in Montana and Colorado
	// and 1.5 in Minnesota; some permits print broadcast rates, and drilling then
	// takes 0.5. 0.01 to 10, no default.
	MethodFactor float64 `json:"methodFactor"`
	// CriticalFactor multiplies once more where the state asks more seed on
	// critical areas, 1 elsewhere. 0.01 to 10, no default.
	CriticalFactor float64 `json:"criticalFactor"`
	// CountSources are ids of sources of the table in order of preference: the count
	// of a species with several is that of the first of them which it has. Items may
	// choose another.
	CountSources []string `json:"countSources,omitempty"`
	// SeedsPerArea is the live seeds of the whole mix before the factors; for
	// MixSharesOfSeeds only.
	SeedsPerArea units.SeedsPerArea `json:"seedsPerArea"`
	// Rate is the weight of the whole mix before the factors; for
	// MixSharesOfPLSWeight and MixSharesOfBulkWeight only.
	Rate units.MassPerArea `json:"rate"`
	// Want, when given, is the span in which the live seeds per area before the
	// factors should lie; the result says whether they do.
	Want *units.Range[units.SeedsPerArea] `json:"want,omitempty"`
	// RowSpacing of the drill gives the seeds per length of row; 0 for none.
	RowSpacing units.Length `json:"rowSpacing"`
	// Width is the least width of the area, for rules about strips; 0 unknown.
	Width units.Length `json:"width"`
	// Species are rows of the caller's own, at most 1000, which go before the
	// published table.
	Species []Species     `json:"species,omitempty"`
	Items   []MixItemSpec `json:"items"` // 1 to 200 species, each once
}

// MixItemSpec is one species of a mix.
type MixItemSpec struct {
	Species string `json:"species"` // common or botanical name, or a synonym
	// SeedsPerMass is that of the lot. When 0 the table gives it: the count of
	// CountSource, the first of the mix's CountSources, or the only one.
	SeedsPerMass units.SeedsPerMass `json:"seedsPerMass"`
	CountSource  string             `json:"countSource,omitempty"` // id of a source of the table; empty for the mix's
	Share        float64            `json:"share"`                 // 0 to 1; not for MixRatesOfPLS
	PureStand    units.MassPerArea  `json:"pureStand"`             // PLS rate when sown alone; for MixSharesOfPureStand
	Rate         units.MassPerArea  `json:"rate"`                  // PLS rate; for MixRatesOfPLS
	Lot          LotSpec            `json:"lot"`                   // tag or test report
	// CriticalFactor stands in place of the mix's for this species, 0.01 to
	// 10; 0 for that of the mix. Published rates for critical areas are 1.4 to 2.3
	// times those for forage, by species.
	CriticalFactor float64 `json:"criticalFactor,omitempty"`
	// Price is for bulk seed. 0 leaves the species out of the cost, and the
	// result says so.
	Price units.Price[units.Mass] `json:"price"`
	// Bag is the bulk content of a bag; 0 when the seed is sold by weight.
	Bag units.Mass `json:"bag"`
}
