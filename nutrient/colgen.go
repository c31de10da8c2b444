package nutrient

import (
	"math"
	"slices"
)

// transport is an allocation as plain numbers: amounts of materials to blocks,
// each block being one field over all seasons. It maximises
//
//	sum over flows of (leave[material] - cost) * amount
//
// which is the same as the least cost of hauling, spreading and leaving behind.
type transport struct {
	stock  []float64 // of each material, above 0
	leave  []float64 // cost of leaving one unit behind
	blocks []block
}

// block is the part of a [transport] that touches one field. Rows are scaled to
// a right side of one.
type block struct {
	rows  int
	flows []flow
	// extra columns carry no material: the part of a nutrient above the need of
	// the field, which takes back the credit that the flows were given for it.
	extra []extra
}

// flow is one material to one field in one season.
type flow struct {
	material int
	cost     float64   // of one unit, credits taken off
	a        []float64 // use of each row by one unit
	size     float64   // the most the rows would allow of it alone: the scale of the column
}

type extra struct {
	row  int
	cost float64 // of the whole right side of the row
}

// solution is what [colgen] found.
type solution struct {
	amount  [][]float64 // by block and flow
	left    []float64   // by material
	value   float64     // cost of it all, leaving included
	bound   float64     // no plan costs less
	worth   []float64   // cost of one more unit of each material
	row     [][]float64 // what one more of each row of each block saves, per right side
	rounds  int
	work    int  // numbers looked at, which tests count
	stopped bool // before the optimum was proved
}

// A solution counts as the optimum when the gap between its cost and the bound is
// no more than gapTol of the cost, or than what the master can tell apart.
const (
	gapTol   = 1e-10
	roundTol = 2 * priceTol
)

// colgen solves p by column generation after Dantzig and Wolfe (Decomposition
// Principle for Linear Programs, Operations Research 8, 1960): at given prices
// of the materials every block is a small problem of its own, and the answers
// of all blocks together are one column of a master problem with one row a
// material and one that mixes the columns. At most maxRounds columns are made;
// the bound says how far from the optimum that leaves the answer.
func colgen(p *transport, maxRounds int) (solution, bool) {
	nm := len(p.stock)
	subs := make([]simplex, len(p.blocks))
	for k := range subs {
		subs[k].load(&p.blocks[k])
	}
	var master simplex
	master.reset(nm + 1)
	var columns [][]float64 // amounts of all flows, block after block
	flows := 0
	for k := range p.blocks {
		flows += len(p.blocks[k].flows)
	}
	price := slices.Clone(p.leave) // of one unit placed
	use := make([]float64, nm+1)
	var z, mix, base float64
	for m := range p.stock {
		base += p.leave[m] * p.stock[m]
	}
	bound := math.Inf(1)
	s := solution{}
	proved := func() bool {
		return bound-z <= gapTol*math.Abs(base-z)+roundTol*max(base, master.scale)
	}
	for {
		col := make([]float64, flows)
		clear(use)
		use[nm] = 1
		var total, gain float64
		at := 0
		for k := range p.blocks {
			b := &p.blocks[k]
			v, ok := b.price(&subs[k], price)
			if !ok {
				return s, false
			}
			total += v
			gain += b.column(&subs[k], p.leave, col[at:], use)
			at += len(b.flows)
		}
		s.rounds++
		bound = min(bound, z-mix+total)
		if proved() {
			break
		}
		if s.rounds > maxRounds {
			s.stopped = true
			break
		}
		for m := range p.stock {
			use[m] /= p.stock[m]
		}
		master.add(gain, use)
		columns = append(columns, col)
		next, ok := master.solve()
		if !ok {
			return s, false
		}
		z = next
		mix = master.price(nm)
		moved := false
		for m := range price {
			was := price[m]
			price[m] = p.leave[m] - master.price(m)/p.stock[m]
			moved = moved || price[m] != was
		}
		if !moved { // the same prices would make the same column again
			bound = min(bound, z-mix+total)
			s.stopped = !proved()
			break
		}
	}
	s.value, s.bound, s.worth, s.work = base-z, base-bound, price, master.work
	for k := range subs {
		s.work += subs[k].work
	}
	s.collect(p, &master, columns, subs)
	return s, true
}

// price solves the problem of b at the given prices of the materials, from the
// basis of the last ones.
func (b *block) price(sub *simplex, price []float64) (value float64, ok bool) {
	for j := range b.flows {
		f := &b.flows[j]
		sub.p[b.rows+j] = (price[f.material] - f.cost) * f.size
	}
	return sub.solve()
}

// column puts the amounts of the solved problem into col, adds what they take of
// the materials to use, and returns what they gain over leaving it all behind.
func (b *block) column(sub *simplex, leave, col, use []float64) (gain float64) {
	for i, j := range sub.basis {
		switch j -= b.rows; {
		case j < 0: // a slack
		case j < len(b.flows):
			f := &b.flows[j]
			x := sub.x[i] * f.size
			col[j] = x
			use[f.material] += x
			gain += (leave[f.material] - f.cost) * x
		default:
			gain -= b.extra[j-len(b.flows)].cost * sub.x[i]
		}
	}
	return gain
}

// load makes s the problem of block b with no prices yet.
func (s *simplex) load(b *block) {
	n := b.rows + len(b.flows) + len(b.extra)
	s.t, s.p, s.in = make([]float64, 0, n*b.rows), make([]float64, 0, n), make([]bool, 0, n)
	s.reset(b.rows)
	col := make([]float64, b.rows)
	for j := range b.flows {
		for i, v := range b.flows[j].a {
			col[i] = v * b.flows[j].size
		}
		s.add(0, col)
	}
	for _, e := range b.extra {
		clear(col)
		col[e.row] = -1
		s.add(-e.cost, col)
	}
}

// collect mixes the columns into amounts and reads the prices.
func (s *solution) collect(p *transport, master *simplex, columns [][]float64, subs []simplex) {
	nm := len(p.stock)
	var flat []float64
	s.left = make([]float64, nm)
	for i, j := range master.basis {
		if j < nm {
			s.left[j] = master.x[i] * p.stock[j]
		}
		if j <= nm || master.x[i] == 0 {
			continue
		}
		col := columns[j-nm-1]
		if flat == nil {
			flat = make([]float64, len(col))
		}
		for f, x := range col {
			flat[f] += master.x[i] * x
		}
	}
	s.amount = make([][]float64, len(p.blocks))
	s.row = make([][]float64, len(p.blocks))
	for k := range p.blocks {
		n := len(p.blocks[k].flows)
		if flat == nil {
			s.amount[k] = make([]float64, n)
		} else {
			s.amount[k], flat = flat[:n:n], flat[n:]
		}
		s.row[k] = make([]float64, p.blocks[k].rows)
		for i := range s.row[k] {
			s.row[k][i] = subs[k].price(i)
		}
	}
}
