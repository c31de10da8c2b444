package nutrient

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
func plain(t testing.TB, p *transport) float64 {
	t.Helper()
	nm := len(p.stock)
	rows, cols := nm, nm
	for k := range p.blocks {
		rows += p.blocks[k].rows
		cols += p.blocks[k].rows + len(p.blocks[k].flows) + len(p.blocks[k].extra)
	}
	a := mat.NewDense(rows, cols, nil)
	b := make([]float64, rows)
	c := make([]float64, cols)
	basis := make([]int, rows)
	for m := range p.stock {
		a.Set(m, m, 1)
		b[m] = 1
		c[m] = p.leave[m] * p.stock[m]
		basis[m] = m
	}
	row, col := nm, nm
	for k := range p.blocks {
		bl := &p.blocks[k]
		for i := range bl.rows {
			a.Set(row+i, col, 1)
			b[row+i] = 1
			basis[row+i] = col
			col++
		}
		for _, f := range bl.flows {
			a.Set(f.material, col, f.size/p.stock[f.material])
			for i, v := range f.a {
				a.Set(row+i, col, v*f.size)
			}
			c[col] = f.cost * f.size
			col++
		}
		for _, e := range bl.extra {
			a.Set(row+e.row, col, -1)
			c[col] = e.cost
			col++
		}
		row += bl.rows
	}
	f, _, err := lp.Simplex(c, a, b, 1e-10, basis)
	require.NoError(t, err)
	return f
}

// randomTransport draws a problem of one to three rows a block and season.
func randomTransport(r *rand.Rand, materials, fields, seasons int) *transport {
	p := &transport{}
	var most float64
	for range fields {
		n := 1 + r.IntN(2)
		b := block{rows: n * seasons}
		for m := range materials {
			for s := range seasons {
				f := flow{material: m, cost: 1 + 9*r.Float64(), a: make([]float64, b.rows)}
				var need float64
				for i := range n {
					f.a[s*n+i] = (0.2 + r.Float64()) / (60 + 140*r.Float64())
					need = max(need, f.a[s*n+i])
				}
				f.size = 1 / need
				most += f.size / float64(materials)
				b.flows = append(b.flows, f)
			}
		}
		p.blocks = append(p.blocks, b)
	}
	for range materials {
		p.stock = append(p.stock, most*(0.5+r.Float64())/float64(materials)*0.7)
		p.leave = append(p.leave, 1000)
	}
	return p
}

func TestColgenEqualsPlainProgram(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for i := range 200 {
		p := randomTransport(r, 1+r.IntN(4), 1+r.IntN(5), 1+r.IntN(3))
		want := plain(t, p)
		got, ok := colgen(p, 1000)
		require.True(t, ok, i)
		require.False(t, got.stopped, i)
		require.InEpsilon(t, want, got.value, 1e-9, i)
		require.LessOrEqual(t, got.bound, got.value+1e-9*math.Abs(got.value))
	}
}

func BenchmarkColgen(b *testing.B) {
	for _, n := range [][3]int{{3, 60, 1}, {3, 600, 1}, {5, 200, 3}, {5, 600, 1}} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			p := randomTransport(rand.New(rand.NewPCG(1, 1)), n[0], n[1], n[2])
			var s solution
			for b.Loop() {
				s, _ = colgen(p, 1000)
			}
			b.ReportMetric(float64(s.rounds), "rounds")
		})
	}
}
