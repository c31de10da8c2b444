package lp

import (
	"context"
	"math"
	"slices"
)

// A solution counts as the optimum when the gap between its cost and the bound is
// no more than gapTol of the cost, or than what the master can tell apart.
const (
	gapTol   = 1e-10
	roundTol = 2 * priceTol
)

// Solve solves p by column generation after Dantzig and Wolfe (Decomposition
// Principle for Linear Programs, Operations Research 8, 1960): at given prices
// of the materials every block is a small problem of its own, and the answers
// of all blocks together are one column of a master problem with one row a
// material and one that mixes the columns. At most maxRounds columns are made;
// the bound says how far from the optimum that leaves the answer. The error is that
// of the context, or [ErrUnsolved].
func (p *Transport) Solve(ctx context.Context, maxRounds int) (Solution, error) {
	nm := len(p.Stock)
	mem := p.Memory
	if mem == nil {
		mem = new(Memory)
	}
	mem.subs = slices.Grow(mem.subs[:0], len(p.Blocks))[:len(p.Blocks)]
	subs := mem.subs
	flows := 0
	for k := range subs {
		subs[k].load(&p.Blocks[k])
		flows += len(p.Blocks[k].Flows)
	}
	master := &mem.master
	master.reset(nm + 1)
	price := slices.Clone(p.Leave) // of one unit placed
	mem.use, mem.columns = zeros(mem.use[:0], master.m), mem.columns[:0]
	use := mem.use
	var z, mix, base float64
	for m, stock := range p.Stock {
		base += p.Leave[m] * stock
	}
	bound := math.Inf(1)
	s := Solution{}
	proved := func() bool {
		return bound-z <= gapTol*math.Abs(base-z)+roundTol*max(base, master.scale)
	}
	for {
		if err := ctx.Err(); err != nil {
			return s, err
		}
		mem.columns = zeros(mem.columns, flows)
		col := mem.columns[len(mem.columns)-flows:]
		clear(use)
		use[nm] = 1
		var total, gain float64
		at := 0
		for k := range p.Blocks {
			b := &p.Blocks[k]
			v, ok := b.price(&subs[k], price)
			if !ok {
				return s, ErrUnsolved
			}
			total += v
			gain += b.column(&subs[k], p.Leave, col[at:], use)
			at += len(b.Flows)
		}
		s.Rounds++
		bound = min(bound, z-mix+total)
		if proved() {
			break
		}
		if s.Rounds > maxRounds {
			s.Stopped = true
			break
		}
		for m, stock := range p.Stock {
			use[m] /= stock
		}
		master.add(gain, use)
		next, ok := master.solve()
		if !ok {
			return s, ErrUnsolved
		}
		z = next
		mix = master.price(nm)
		moved := false
		for m := range price {
			was := price[m]
			price[m] = p.Leave[m] - master.price(m)/p.Stock[m]
			moved = moved || price[m] != was
		}
		if !moved { // the same prices would make the same column again, and give the same bound
			s.Stopped = !proved()
			break
		}
	}
	s.Value, s.Bound, s.Worth, s.Work = base-z, base-bound, price, master.work
	for k := range subs {
		s.Work += subs[k].work
	}
	s.collect(p, mem, flows)
	return s, nil
}

// price solves the problem of b at the given prices of the materials, from the
// basis of the last ones.
func (b *Block) price(sub *simplex, price []float64) (value float64, ok bool) {
	for j := range b.Flows {
		f := &b.Flows[j]
		sub.p[b.Rows+j] = (price[f.Material] - f.Cost) * f.Size
	}
	return sub.solve()
}

// column puts the amounts of the solved problem into col, adds what they take of
// the materials to use, and returns what they gain over leaving it all behind.
func (b *Block) column(sub *simplex, leave, col, use []float64) (gain float64) {
	for i, j := range sub.basis {
		switch j -= b.Rows; {
		case j < 0: // a slack
		case j < len(b.Flows):
			f := &b.Flows[j]
			x := sub.x[i] * f.Size
			col[j] = x
			use[f.Material] += x
			gain += (leave[f.Material] - f.Cost) * x
		default:
			gain -= b.Extra[j-len(b.Flows)].Cost * sub.x[i]
		}
	}
	return gain
}

// load makes s the problem of block b with no prices yet.
func (s *simplex) load(b *Block) {
	n := b.Rows + len(b.Flows) + len(b.Extra)
	s.t, s.p, s.in = slices.Grow(s.t[:0], n*b.Rows), slices.Grow(s.p[:0], n), slices.Grow(s.in[:0], n)
	s.reset(b.Rows)
	for j := range b.Flows {
		col := s.column(0)
		for i, v := range b.Flows[j].Uses {
			col[i] = v * b.Flows[j].Size
		}
	}
	for _, e := range b.Extra {
		s.column(-e.Cost)[e.Row] = -1
	}
}

// collect mixes the columns into amounts and reads the prices.
func (s *Solution) collect(p *Transport, mem *Memory, flows int) {
	nm, master := len(p.Stock), &mem.master
	rows := 0
	for k := range p.Blocks {
		rows += p.Blocks[k].Rows
	}
	numbers := make([]float64, nm+flows+rows)
	s.Left = numbers[:nm:nm]
	flat, rest := numbers[nm:nm+flows], numbers[nm+flows:]
	for i, j := range master.basis {
		if j < nm {
			s.Left[j] = master.x[i] * p.Stock[j]
		}
		if j <= nm || master.x[i] == 0 {
			continue
		}
		at := (j - nm - 1) * flows
		for f, x := range mem.columns[at : at+flows] {
			flat[f] += master.x[i] * x
		}
	}
	s.Amount = make([][]float64, len(p.Blocks))
	s.Row = make([][]float64, len(p.Blocks))
	for k := range p.Blocks {
		n, m := len(p.Blocks[k].Flows), p.Blocks[k].Rows
		s.Amount[k], flat = flat[:n:n], flat[n:]
		s.Row[k], rest = rest[:m:m], rest[m:]
		for i := range s.Row[k] {
			s.Row[k][i] = mem.subs[k].price(i)
		}
	}
}
