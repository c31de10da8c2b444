package lp

import (
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
		require.LessOrEqual(t, got.Bound, got.Value+1e-9*math.Abs(got.Value))
	}
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
