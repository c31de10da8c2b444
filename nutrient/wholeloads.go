package nutrient

import (
	"math"
	"slices"
)

// plan is the amount and the number of loads by block and flow.
type plan struct {
	placed [][]float64
	loads  [][]int
	left   []float64 // by material
}

// loadSlack is the part of a load by which rounding may be out: less than any
// scale shows, more than the noise of the program.
const loadSlack = 1e-9

// leftNoise is the part of a stock that subtracting its placements may leave.
const leftNoise = 1e-12

// rounder makes whole loads of the amounts of the program.
type rounder struct {
	*allocation
	plan
	load []float64   // by material; 0 when pumped
	used [][]float64 // part of the right side, by block and row
}

// place names a flow.
type place struct{ k, j int }

// whole makes whole loads of s. Every flow is cut down to whole loads, so that no
// limit breaks; whole loads, and at the end the short last one, are added where
// all limits of the field leave room for them; and loads move to where they cost
// less as long as one can. Rounding costs what is left then over the program.
func (m *allocation) whole(s *solution) plan {
	r := rounder{allocation: m, plan: plan{left: slices.Clone(m.stock)}}
	for i, a := range m.spec.Materials {
		r.load = append(r.load, a.Load.value/m.unit[i])
	}
	for k := range m.blocks {
		b := &m.blocks[k]
		r.used = append(r.used, make([]float64, b.rows))
		r.placed = append(r.placed, make([]float64, len(b.flows)))
		r.loads = append(r.loads, make([]int, len(b.flows)))
		for j, f := range b.flows {
			x := min(s.amount[k][j], r.left[f.material])
			if l := r.load[f.material]; l > 0 {
				r.loads[k][j] = int(x/l + loadSlack)
				x = float64(r.loads[k][j]) * l
			} else if x < loadSlack*m.stock[f.material] {
				x = 0
			}
			r.put(place{k, j}, x)
		}
	}
	if slices.ContainsFunc(r.left, func(x float64) bool { return x > 0 }) {
		r.fill(r.order(s))
	}
	for range maxSweeps {
		moved := false
		for i, l := range r.load {
			// A load that moves makes room for other materials.
			moved = l > 0 && r.move(i, l) || moved
		}
		if !moved {
			break
		}
	}
	return r.plan
}

// put adds x, which may be below 0, to a flow.
func (r *rounder) put(at place, x float64) {
	f := &r.blocks[at.k].flows[at.j]
	r.placed[at.k][at.j] = max(0, r.placed[at.k][at.j]+x)
	if r.left[f.material] -= x; r.left[f.material] < leftNoise*r.stock[f.material] {
		r.left[f.material] = 0
	}
	for i, a := range f.a {
		r.used[at.k][i] = max(0, r.used[at.k][i]+x*a)
	}
}

// fits returns how much more the limits of the field leave room for.
func (r *rounder) fits(at place) float64 {
	b := &r.blocks[at.k]
	most := math.Inf(1)
	for i, a := range b.flows[at.j].a[:b.rows-len(b.extra)] {
		if a > 0 {
			most = min(most, (1-r.used[at.k][i])/a)
		}
	}
	return max(0, most)
}

// cost returns what x more would cost, credits taken off as far as the needs go.
func (r *rounder) cost(at place, x float64) float64 {
	b := &r.blocks[at.k]
	f := &b.flows[at.j]
	c := f.cost * x
	for _, e := range b.extra {
		u := r.used[at.k][e.row]
		c += e.cost * (max(0, u+x*f.a[e.row]-1) - max(0, u-1))
	}
	return c
}

// order returns the flows that cost less than leaving the material, those of
// least cost at the prices of the program first.
func (r *rounder) order(s *solution) []place {
	var list []place
	above := make([][]float64, len(r.blocks)) // cost over what the material is worth, limits priced
	for k := range r.blocks {
		above[k] = make([]float64, len(r.blocks[k].flows))
		for j, f := range r.blocks[k].flows {
			above[k][j] = f.cost - s.worth[f.material]
			for i, a := range f.a {
				above[k][j] += a * s.row[k][i]
			}
			if f.cost < r.leave[f.material] {
				list = append(list, place{k, j})
			}
		}
	}
	slices.SortStableFunc(list, func(a, b place) int {
		x, y := above[a.k][a.j], above[b.k][b.j]
		// Costs that differ by noise count as equal, so that the order is that of the spec.
		if math.Abs(x-y) <= 1e-9*(math.Abs(x)+math.Abs(y)) {
			return 0
		}
		return int(math.Copysign(1, x-y))
	})
	return list
}

// fill adds what is left of the stocks in the given order, short loads last.
func (r *rounder) fill(order []place) {
	for _, short := range []bool{false, true} {
		for _, at := range order {
			m := r.blocks[at.k].flows[at.j].material
			l, left := r.load[m], r.left[m]
			most := min(left, r.fits(at))
			switch {
			case l == 0 && !short && most > loadSlack*r.stock[m]:
				r.put(at, most)
			case l > 0 && !short:
				n := int(most/l + loadSlack)
				r.loads[at.k][at.j] += n
				r.put(at, min(left, float64(n)*l))
			case l > 0 && left > loadSlack*l && left < l && most >= left*(1-loadSlack):
				r.loads[at.k][at.j]++
				r.put(at, left)
			}
		}
	}
}

// maxSweeps bounds the passes over the flows; a few do in practice.
const maxSweeps = 50

// move takes single loads l of a material to where they cost less, and reports
// whether any did.
func (r *rounder) move(material int, l float64) (some bool) {
	var list []place
	for k := range r.blocks {
		for j, f := range r.blocks[k].flows {
			if f.material == material {
				list = append(list, place{k, j})
			}
		}
	}
	costs := make([]float64, len(list)) // of one load more, infinite without room
	price := func(i int) {
		costs[i] = math.Inf(1)
		if r.fits(list[i]) >= l*(1-loadSlack) {
			costs[i] = r.cost(list[i], l)
		}
	}
	for i := range list {
		price(i)
	}
	for range maxSweeps {
		moved := false
		for from, at := range list {
			if r.placed[at.k][at.j] < l*(1-loadSlack) {
				continue
			}
			r.put(at, -l)
			// The list has the flows of a field side by side.
			first, last := from, from
			for first > 0 && list[first-1].k == at.k {
				first--
			}
			for last < len(list)-1 && list[last+1].k == at.k {
				last++
			}
			for i := first; i <= last; i++ {
				price(i)
			}
			to := from
			for i, c := range costs {
				if c < costs[to]-loadSlack*(math.Abs(costs[to])+math.Abs(c)) {
					to = i
				}
			}
			r.put(list[to], l)
			if to != from {
				moved = true
				r.loads[at.k][at.j]--
				r.loads[list[to].k][list[to].j]++
			}
			for i := first; i <= last; i++ {
				price(i)
			}
			for i := range list {
				if list[i].k == list[to].k {
					price(i)
				}
			}
		}
		if !moved {
			break
		}
		some = true
	}
	return some
}
