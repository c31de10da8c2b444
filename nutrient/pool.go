package nutrient

import "example.org/earthbasin/units"

// Pool is a part of a nutrient that becomes available in its own way. The zero
// value is no pool and is refused.
type Pool int

const (
	PoolAmmonium Pool = 1 + iota // ammonium N kept and usable
	PoolOrganic                  // organic N that mineralizes
	PoolTotalN                   // N of a state that does not part ammonium and organic
	PoolP                        // phosphorus
	PoolK                        // potassium
	poolCount
)

var poolNames = units.Names{"", "ammonium", "organic", "totalN", "p", "k"}

// String returns the name that MarshalText writes.
func (p Pool) String() string { return poolNames.String(int(p)) }

// MarshalText writes the name.
func (p Pool) MarshalText() ([]byte, error) { return poolNames.Marshal(int(p)) }

// UnmarshalText reads a name; the error lists the names.
func (p *Pool) UnmarshalText(text []byte) error { return units.UnmarshalName(poolNames, text, p) }

// Basis says what a fraction multiplies. The zero value is no basis and is
// refused.
type Basis int

const (
	// BasisOriginal is the pool as it was applied.
	BasisOriginal Basis = 1 + iota
	// BasisRemaining is what the years before have left of the pool.
	BasisRemaining
	// BasisTotal is all N as it was applied, nitrate apart.
	BasisTotal
)

var basisNames = units.Names{"", "original", "remaining", "total"}

// String returns the name that MarshalText writes.
func (b Basis) String() string { return basisNames.String(int(b)) }

// MarshalText writes the name.
func (b Basis) MarshalText() ([]byte, error) { return basisNames.Marshal(int(b)) }

// UnmarshalText reads a name; the error lists the names.
func (b *Basis) UnmarshalText(text []byte) error { return units.UnmarshalName(basisNames, text, b) }
