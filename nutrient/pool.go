package nutrient

import "example.org/earthbasin/units"

// Pool is a part of a nutrient that becomes available in its own way. The zero
// value is no pool and is refused.
type Pool = units.Enum[poolWords]

const (
	PoolAmmonium Pool = 1 + iota // ammonium N kept and usable
	PoolOrganic                  // organic N that mineralizes
	PoolTotalN                   // N of a state that does not part ammonium and organic
	PoolP                        // phosphorus
	PoolK                        // potassium
	poolCount
)

var poolNames = units.Names{"", "ammonium", "organic", "totalN", "p", "k"}

type poolWords struct{}

func (poolWords) Names() units.Names { return poolNames }

// Basis says what a fraction multiplies. The zero value is no basis and is
// refused.
type Basis = units.Enum[basisWords]

const (
	// BasisOriginal is the pool as it was applied.
	BasisOriginal Basis = 1 + iota
	// BasisRemaining is what the years before have left of the pool.
	BasisRemaining
	// BasisTotal is all N as it was applied, nitrate apart.
	BasisTotal
)

var basisNames = units.Names{"", "original", "remaining", "total"}

type basisWords struct{}

func (basisWords) Names() units.Names { return basisNames }
