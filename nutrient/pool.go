package nutrient

import "example.org/earthbasin/units"

// Pool is a part of a nutrient that becomes available in its own way. The zero
// value is no pool and is refused.
type Pool = units.Enum[poolWords]

const (
	PoolAmmonium Pool = iota + 1 // "ammonium": ammonium N kept and usable
	PoolOrganic                  // "organic": organic N that mineralizes
	PoolTotalN                   // "totalN": N of a state that does not part ammonium and organic
	PoolP                        // "p": phosphorus
	PoolK                        // "k": potassium
	poolCount
)

var poolNames = units.Names{"", "ammonium", "organic", "totalN", "p", "k"}

type poolWords struct{}

func (poolWords) Names() units.Names { return poolNames }

// Basis says what a fraction multiplies. The zero value is no basis and is
// refused.
type Basis = units.Enum[basisWords]

const (
	// BasisOriginal, "original", is the pool as it was applied.
	BasisOriginal Basis = iota + 1
	// BasisRemaining, "remaining", is what the years before have left of the pool.
	BasisRemaining
	// BasisTotal, "total", is all N as it was applied, nitrate apart.
	BasisTotal
)

var basisNames = units.Names{"", "original", "remaining", "total"}

type basisWords struct{}

func (basisWords) Names() units.Names { return basisNames }
