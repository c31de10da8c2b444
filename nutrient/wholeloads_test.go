package nutrient

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// After rounding no single load has a cheaper place that the limits allow, seen
// from the placements alone; and the plan is within the limits.
func TestNoLoadHasACheaperPlace(t *testing.T) {
	r := rand.New(rand.NewPCG(10, 1))
	var loss, whole float64
	for range 15 {
		s := farm(r, 1+r.IntN(3), 1+r.IntN(6), 1+r.IntN(3))
		m, err := buildAllocation(&s, false)
		require.NoError(t, err)
		sol, ok := m.solve()
		require.True(t, ok)
		p := m.whole(&sol)
		// cost of the plan of block k, and whether it is within the limits.
		block := func(k int) (cost float64, fits bool) {
			b := &m.blocks[k]
			used := make([]float64, b.rows)
			for j, f := range b.flows {
				cost += f.cost * p.placed[k][j]
				for i, a := range f.a {
					used[i] += a * p.placed[k][j]
				}
			}
			for _, e := range b.extra {
				cost += e.cost * math.Max(0, used[e.row]-1)
			}
			fits = true
			for _, u := range used[:b.rows-len(b.extra)] {
				fits = fits && u <= 1+1e-7
			}
			return cost, fits
		}
		total := func() (sum float64) {
			for k := range m.blocks {
				c, fits := block(k)
				require.True(t, fits)
				sum += c
			}
			return sum
		}
		for i, x := range sol.left {
			require.InDelta(t, 0, x, 1e-6*m.stock[i])
		}
		loss += total() - sol.value
		whole += math.Abs(sol.value)
		for k := range m.blocks {
			for j, f := range m.blocks[k].flows {
				l := s.Materials[f.material].Load.value
				if p.placed[k][j] < l {
					continue
				}
				for k2 := range m.blocks {
					for j2, g := range m.blocks[k2].flows {
						if g.material != f.material || k2 == k && j2 == j {
							continue
						}
						was, _ := block(k)
						if k2 != k {
							other, _ := block(k2)
							was += other
						}
						p.placed[k][j] -= l
						p.placed[k2][j2] += l
						now, fits := block(k2)
						if k2 != k {
							other, _ := block(k)
							now += other
						}
						p.placed[k][j] += l
						p.placed[k2][j2] -= l
						require.False(t, fits && now < was-1e-4, "%v cheaper", was-now)
					}
				}
			}
		}
	}
	require.Less(t, loss, 0.05*whole)
}
