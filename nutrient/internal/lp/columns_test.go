package lp

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

// plain solves p as one linear program through gonum, from the basis of slacks
// and of the costly columns for what is left behind.
func plain(t testing.TB, p *Transport) float64 {
	t.Helper()
	nm := len(p.Stock)
	rows, cols := nm, nm
	for k := range p.Blocks {
		rows += p.Blocks[k].Rows
		cols += p.Blocks[k].Rows + len(p.Blocks[k].Flows) + len(p.Blocks[k].Extra)
	}
	a := mat.NewDense(rows, cols, nil)
	b := make([]float64, rows)
	c := make([]float64, cols)
	basis := make([]int, rows)
	for m := range p.Stock {
		a.Set(m, m, 1)
		b[m] = 1
		c[m] = p.Leave[m] * p.Stock[m]
		basis[m] = m
	}
	row, col := nm, nm
	for k := range p.Blocks {
		bl := &p.Blocks[k]
		for i := range bl.Rows {
			a.Set(row+i, col, 1)
			b[row+i] = 1
			basis[row+i] = col
			col++
		}
		for _, f := range bl.Flows {
			a.Set(f.Material, col, f.Size/p.Stock[f.Material])
			for i, v := range f.Uses {
				a.Set(row+i, col, v*f.Size)
			}
			c[col] = f.Cost * f.Size
			col++
		}
		for _, e := range bl.Extra {
			a.Set(row+e.Row, col, -1)
			c[col] = e.Cost
			col++
		}
		row += bl.Rows
	}
	f, _, err := lp.Simplex(c, a, b, 1e-10, basis)
	require.NoError(t, err)
	return f
}

// randomTransport draws a problem of one or two rows a block and season, and a need
// of each block that earns a credit until it is met.
func randomTransport(r *rand.Rand, materials, fields, seasons int) *Transport {
	p := &Transport{}
	var most float64
	for range fields {
		n := 1 + r.IntN(2)
		b := Block{Rows: n*seasons + 1, Extra: []Extra{{Row: n * seasons, Cost: 1000 * r.Float64()}}}
		for m := range materials {
			for s := range seasons {
				f := Flow{Material: m, Cost: 1 + 9*r.Float64(), Uses: make([]float64, b.Rows)}
				var need float64
				for i := range n {
					f.Uses[s*n+i] = (0.2 + r.Float64()) / (60 + 140*r.Float64())
					need = max(need, f.Uses[s*n+i])
				}
				f.Size = 1 / need
				f.Uses[n*seasons] = (1 + r.Float64()) * need
				f.Cost -= b.Extra[0].Cost * f.Uses[n*seasons]
				most += f.Size / float64(materials)
				b.Flows = append(b.Flows, f)
			}
		}
		p.Blocks = append(p.Blocks, b)
	}
	for range materials {
		p.Stock = append(p.Stock, most*(0.5+r.Float64())/float64(materials)*0.7)
		p.Leave = append(p.Leave, 1000)
	}
	return p
}

func TestSolveEqualsPlainProgram(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for i := range 200 {
		p := randomTransport(r, 1+r.IntN(4), 1+r.IntN(5), 1+r.IntN(3))
		want := plain(t, p)
		got, err := p.Solve(t.Context(), 1000)
		require.NoError(t, err, i)
		require.False(t, got.Stopped, i)
		require.InEpsilon(t, want, got.Value, 1e-9, i)
		require.InDelta(t, got.Value, got.Bound, 1e-9*math.Abs(got.Value))
		certify(t, p, &got)
	}
}

// certify holds a solution to what makes it one: amounts within the rows that add up to
// the stocks and cost what it says, and prices at which nothing is worth changing and
// that pay for the same (duality, an identity of linear programs).
func certify(t testing.TB, p *Transport, s *Solution) {
	t.Helper()
	money := math.Abs(s.Value)
	placed := make([]float64, len(p.Stock))
	var cost, paid float64
	for k := range p.Blocks {
		b := &p.Blocks[k]
		used := make([]float64, b.Rows)
		for j, f := range b.Flows {
			x := s.Amount[k][j]
			require.GreaterOrEqual(t, x, 0.0)
			placed[f.Material] += x
			cost += f.Cost * x
			rows := 0.0
			for i, a := range f.Uses {
				used[i] += a * x
				rows += a * s.Row[k][i]
			}
			require.GreaterOrEqual(t, f.Cost+rows, s.Worth[f.Material]-1e-6, "no unit goes there for less")
		}
		for _, e := range b.Extra {
			cost += e.Cost * max(0, used[e.Row]-1)
			require.LessOrEqual(t, s.Row[k][e.Row], e.Cost*(1+1e-9))
		}
		for i, u := range used[:b.Rows-len(b.Extra)] {
			require.LessOrEqual(t, u, 1+1e-9, "row %d", i)
		}
		for _, y := range s.Row[k] {
			require.GreaterOrEqual(t, y, 0.0)
			paid -= y
		}
	}
	for m, stock := range p.Stock {
		require.InDelta(t, stock, placed[m]+s.Left[m], 1e-9*stock)
		require.GreaterOrEqual(t, s.Left[m], 0.0)
		require.LessOrEqual(t, s.Worth[m], p.Leave[m]*(1+1e-9))
		cost += p.Leave[m] * s.Left[m]
		paid += s.Worth[m] * stock
	}
	require.InDelta(t, s.Value, cost, 1e-8*money)
	require.InDelta(t, s.Value, paid, 1e-7*money)
}

// Stopped after any number of rounds, the answer lies above the optimum and the bound
// below it, and both come nearer; in the memory of another problem nothing changes.
func TestSolveInRounds(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 1))
	memory := new(Memory)
	stopped := 0
	for range 30 {
		p := randomTransport(r, 1+r.IntN(4), 1+r.IntN(8), 1+r.IntN(3))
		best, err := p.Solve(t.Context(), 1000)
		require.NoError(t, err)
		tol := 1e-9 * math.Abs(best.Value)
		bound := math.Inf(-1)
		for most := range best.Rounds + 2 {
			s, err := p.Solve(t.Context(), most)
			require.NoError(t, err)
			p.Memory = memory
			again, err := p.Solve(t.Context(), most)
			require.NoError(t, err)
			require.Equal(t, s, again)
			p.Memory = nil
			require.Equal(t, min(most+1, best.Rounds), s.Rounds)
			require.Equal(t, most+1 < best.Rounds, s.Stopped)
			require.GreaterOrEqual(t, s.Value, best.Value-tol)
			require.LessOrEqual(t, s.Bound, best.Value+tol)
			require.GreaterOrEqual(t, s.Bound, bound-tol)
			bound = s.Bound
			if s.Stopped {
				stopped++
				continue
			}
			certify(t, p, &s)
		}
	}
	require.Greater(t, stopped, 50)
	done, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := randomTransport(r, 1, 1, 1).Solve(done, 10)
	require.ErrorIs(t, err, context.Canceled)
}

// A plan in which all is left behind from the start is proved at once.
func TestNothingWorthPlacing(t *testing.T) {
	p := &Transport{Stock: []float64{10, 4}, Leave: []float64{1, 2}, Blocks: []Block{{Rows: 1, Flows: []Flow{{Material: 0, Cost: 3, Uses: []float64{0.1}, Size: 10}, {Material: 1, Cost: 2, Uses: []float64{0.1}, Size: 10}}}}}
	s, err := p.Solve(t.Context(), 10)
	require.NoError(t, err)
	require.Equal(t, Solution{Amount: [][]float64{{0, 0}}, Left: []float64{10, 4}, Value: 18, Bound: 18, Worth: []float64{1, 2}, Row: [][]float64{{0}}, Rounds: 1, Work: 3}, s)

	// One flow that takes the whole stock, by hand: the block is looked at in two steps of 1 x 2
	// numbers and once more at the end, the master in two steps of 2 x 3.
	p = &Transport{Stock: []float64{10}, Leave: []float64{5}, Blocks: []Block{{Rows: 1, Flows: []Flow{{Cost: 1, Uses: []float64{0.05}, Size: 20}}}}}
	s, err = p.Solve(t.Context(), 10)
	require.NoError(t, err)
	require.Equal(t, Solution{Amount: [][]float64{{10}}, Left: []float64{0}, Value: 10, Bound: 10, Worth: []float64{1}, Row: [][]float64{{0}}, Rounds: 2, Work: 3*2 + 2*6}, s)
	p.Memory = new(Memory) // which is of one row, too, and holds an amount a flow and round
	for range 3 {
		again, err := p.Solve(t.Context(), 10)
		require.NoError(t, err)
		require.Equal(t, s, again)
		require.Len(t, p.Memory.columns, s.Rounds)
	}
}

// Money counts in any unit: prices of a part or of a multiple give the same plan at that part or
// multiple of the cost, in fresh memory and in that of dearer programs.
func TestSolveInAnyMoney(t *testing.T) {
	memory := new(Memory)
	for _, k := range []float64{1e20, 1, 1e-20} {
		r := rand.New(rand.NewPCG(4, 1))
		for range 20 {
			p := randomTransport(r, 1+r.IntN(3), 1+r.IntN(5), 1+r.IntN(2))
			want, err := p.Solve(t.Context(), 1000)
			require.NoError(t, err)
			for m := range p.Leave {
				p.Leave[m] *= k
			}
			for b := range p.Blocks {
				for j := range p.Blocks[b].Flows {
					p.Blocks[b].Flows[j].Cost *= k
				}
				for j := range p.Blocks[b].Extra {
					p.Blocks[b].Extra[j].Cost *= k
				}
			}
			for _, p.Memory = range []*Memory{nil, memory} {
				got, err := p.Solve(t.Context(), 1000)
				require.NoError(t, err)
				require.False(t, got.Stopped)
				require.InEpsilon(t, want.Value*k, got.Value, 1e-9)
				require.InEpsilon(t, want.Value*k, got.Bound, 1e-9)
			}
		}
	}
}

// The memory of a wide program, of which the objectives have room for the whole of the next,
// serves it as fresh memory does.
func TestMemoryOfAWideProgram(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 1))
	for range 20 {
		wide := Block{Rows: 1}
		for range 200 {
			wide.Flows = append(wide.Flows, Flow{Cost: r.Float64(), Uses: []float64{0.01 + 0.01*r.Float64()}, Size: 50})
		}
		memory := new(Memory)
		first := &Transport{Stock: []float64{100}, Leave: []float64{1}, Blocks: []Block{wide, wide, wide, wide}, Memory: memory}
		_, err := first.Solve(t.Context(), 1000)
		require.NoError(t, err)
		p := randomTransport(r, 2, 4, 2)
		want, err := p.Solve(t.Context(), 1000)
		require.NoError(t, err)
		p.Memory = memory
		got, err := p.Solve(t.Context(), 1000)
		require.NoError(t, err)
		require.Equal(t, want, got)
	}
}

// What no row limits is no program, and what is left where it costs nothing is no limit.
func TestUnlimitedIsUnsolved(t *testing.T) {
	b := Block{Rows: 1, Flows: []Flow{{Cost: 1, Uses: []float64{0}, Size: 1}}}
	p := &Transport{Stock: []float64{1}, Leave: []float64{5}, Blocks: []Block{b}}
	_, err := p.Solve(t.Context(), 10)
	require.ErrorIs(t, err, ErrUnsolved)
	_, err = b.Times([]float64{1})
	require.ErrorIs(t, err, ErrUnsolved)
}

// How often a block takes what is left, by gonum: the largest t with t left <= the sum of
// the flows of each material, within the limits; an extra limits nothing.
func TestTimesEqualsPlainProgram(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	none := 0
	for range 300 {
		p := randomTransport(r, 1+r.IntN(3), 1, 1+r.IntN(3))
		b := &p.Blocks[0]
		b.Flows = b.Flows[:1+r.IntN(len(b.Flows))]
		left := make([]float64, len(p.Stock))
		of := 0
		for m := range left {
			if r.IntN(3) > 0 {
				left[m] = 100 * r.Float64()
				of++
			}
		}
		got, err := b.Times(left)
		if of == 0 {
			require.ErrorIs(t, err, ErrUnsolved, "nothing is taken any number of times")
			continue
		}
		require.NoError(t, err)
		// Columns: t, the flows, a slack for each row; what is left last, as an equation.
		hard := b.Rows - len(b.Extra)
		cols := 1 + len(b.Flows) + hard
		a, rhs, c := mat.NewDense(hard+of, cols, nil), make([]float64, hard+of), make([]float64, cols)
		c[0] = -1
		row := hard
		reached := true
		for m, x := range left {
			if x == 0 {
				continue
			}
			a.Set(row, 0, x)
			there := false
			for j, f := range b.Flows {
				if f.Material == m {
					a.Set(row, 1+j, -1)
					there = true
				}
			}
			reached = reached && there
			row++
		}
		for i := range hard {
			for j, f := range b.Flows {
				a.Set(i, 1+j, f.Uses[i])
			}
			a.Set(i, 1+len(b.Flows)+i, 1)
			rhs[i] = 1
		}
		if !reached {
			require.Zero(t, got)
			none++
			continue
		}
		want, _, err := lp.Simplex(c, a, rhs, 1e-12, nil)
		require.NoError(t, err)
		require.InEpsilon(t, -want, got, 1e-7)
	}
	require.Greater(t, none, 20)
	// By hand: of two materials, 30 and 20, a block takes 100 in all: two times.
	b := Block{Rows: 1, Flows: []Flow{{Material: 0, Uses: []float64{0.01}, Size: 100}, {Material: 1, Uses: []float64{0.01}, Size: 100}}}
	times, err := b.Times([]float64{30, 20})
	require.NoError(t, err)
	require.InDelta(t, 2, times, 1e-12)
	times, err = b.Times([]float64{0, 0.5})
	require.NoError(t, err)
	require.InDelta(t, 200, times, 1e-9)
}

func BenchmarkSolve(b *testing.B) {
	for _, n := range [][3]int{{3, 60, 1}, {3, 600, 1}, {5, 200, 3}, {5, 600, 1}} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			p := randomTransport(rand.New(rand.NewPCG(1, 1)), n[0], n[1], n[2])
			var s Solution
			for b.Loop() {
				s, _ = p.Solve(b.Context(), 1000)
			}
			b.ReportMetric(float64(s.Rounds), "rounds")
		})
	}
}
