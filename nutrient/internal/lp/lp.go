// Package lp solves the linear programs of an allocation: a simplex that starts
// again from its last answer, and column generation over programs of one field
// each. It knows nothing of nutrients.
package lp

import "errors"

// ErrUnsolved says that numbers are too far apart for a program to be solved in a
// bounded number of steps.
var ErrUnsolved = errors.New("a linear program that is not solved within its number of steps")

// Transport is an allocation as plain numbers: amounts of materials to blocks,
// each block being one field over all seasons. It maximises
//
//	sum over flows of (Leave[material] - cost) * amount
//
// which is the same as the least cost of hauling, spreading and leaving behind.
type Transport struct {
	Stock  []float64 // of each material, above 0
	Leave  []float64 // cost of leaving one unit behind, by material
	Blocks []Block
	// Memory is what an earlier program has left, of whatever size, so that many programs
	// one after the other need no more than one; nil: [Transport.Solve] makes its own.
	Memory *Memory
}

// Memory is the tables of a program while it is solved. It serves one program at a time.
type Memory struct {
	subs    []simplex
	master  simplex
	use     []float64
	columns []float64 // amounts of all flows, block after block, column after column
}

// Block is the part of a [Transport] that touches one field. Rows are scaled to
// a right side of one.
type Block struct {
	Rows  int
	Flows []Flow
	// Extra columns carry no material: the part of a nutrient above the need of
	// the field, which takes back the credit that the flows were given for it. Their
	// rows are the last ones and limit nothing.
	Extra []Extra
}

// Flow is one material to one field in one season.
type Flow struct {
	Material int
	Cost     float64   // of one unit, credits taken off
	Uses     []float64 // of each row by one unit
	Size     float64   // the most the rows would allow of it alone: the scale of the column
}

// Extra is the part of a need that is exceeded.
type Extra struct {
	Row  int
	Cost float64 // of the whole right side of the row
}

// Solution is what [Transport.Solve] found.
type Solution struct {
	Amount  [][]float64 // by block and flow
	Left    []float64   // by material
	Value   float64     // cost of it all, leaving included
	Bound   float64     // no plan costs less
	Worth   []float64   // cost of one more unit of each material
	Row     [][]float64 // what one more of each row of each block saves, per right side
	Rounds  int
	Work    int  // numbers looked at, which tests count
	Stopped bool // before the optimum was proved
}
