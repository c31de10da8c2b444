package nutrient

import (
	"math"
	"slices"
)

// plan is the amount and the number of loads by block and flow.
type plan struct {
	amount [][]float64
	loads  [][]int
	left   []float64 // by material
}

// loadSlack is the part of a load by which rounding may be out: less than any
// scale shows, more than the noise of the program.
const loadSlack = 1e-9

// whole makes whole loads of s. Every flow is cut down to whole loads, so that no
// limit breaks; then whole loads, and at the end the short last one, are added
// where all limits of the field leave room for them, the ways of least cost at
// the prices of the program first.
func (m *allocation) whole(s *solution) plan {
	p := plan{left: slices.Clone(m.stock)}
	room := make([][]float64, len(m.blocks)) // left of each hard row
	type entry struct {
		k, j int
		cost float64 // above what the material is worth, limits priced
	}
	var order []entry
	load := make([]float64, len(m.stock))
	for i, a := range m.spec.Materials {
		load[i] = a.Load.value / m.unit[i]
	}
	for k := range m.blocks {
		b := &m.blocks[k]
		room[k] = make([]float64, b.rows-len(b.extra))
		for i := range room[k] {
			room[k][i] = 1
		}
		p.amount = append(p.amount, make([]float64, len(b.flows)))
		p.loads = append(p.loads, make([]int, len(b.flows)))
		for j, f := range b.flows {
			x := min(s.amount[k][j], p.left[f.material])
			if l := load[f.material]; l > 0 {
				p.loads[k][j] = int(x/l + loadSlack)
				x = float64(p.loads[k][j]) * l
			} else if x < loadSlack*m.stock[f.material] {
				x = 0
			}
			p.put(b, room[k], k, j, x)
			c := f.cost - s.worth[f.material]
			for i, a := range f.a {
				c += a * s.row[k][i]
			}
			if f.cost < m.leave[f.material] {
				order = append(order, entry{k, j, c})
			}
		}
	}
	slices.SortStableFunc(order, func(a, b entry) int {
		// Costs that differ by noise count as equal, so that the order is that of the spec.
		if d := a.cost - b.cost; math.Abs(d) > 1e-9*(math.Abs(a.cost)+math.Abs(b.cost)) {
			return int(math.Copysign(1, d))
		}
		return 0
	})
	for _, short := range []bool{false, true} {
		for _, e := range order {
			f := &m.blocks[e.k].flows[e.j]
			l, left := load[f.material], p.left[f.material]
			fits := left
			for i, r := range room[e.k] {
				if f.a[i] > 0 {
					fits = min(fits, r/f.a[i])
				}
			}
			switch {
			case l == 0 && !short && fits > loadSlack*m.stock[f.material]:
				p.put(&m.blocks[e.k], room[e.k], e.k, e.j, fits)
			case l > 0 && !short:
				n := int(fits/l + loadSlack)
				p.loads[e.k][e.j] += n
				p.put(&m.blocks[e.k], room[e.k], e.k, e.j, min(left, float64(n)*l))
			case l > 0 && left > loadSlack*l && left < l && fits >= left*(1-loadSlack):
				p.loads[e.k][e.j]++
				p.put(&m.blocks[e.k], room[e.k], e.k, e.j, left)
			}
		}
	}
	return p
}

// put adds x to flow j of block k.
func (p *plan) put(b *block, room []float64, k, j int, x float64) {
	f := &b.flows[j]
	p.amount[k][j] += x
	p.left[f.material] = max(0, p.left[f.material]-x)
	for i := range room {
		room[i] = max(0, room[i]-x*f.a[i])
	}
}
