package allocation

import (
	"cmp"
	"math"
	"slices"

	"example.org/earthbasin/nutrient/internal/lp"
)

// plan is the amount and the number of loads by block and flow.
type plan struct {
	placed [][]float64
	loads  [][]int
	left   []float64 // by material
}

const (
	// loadSlack is the part of a load, or of a stock, by which rounding may be out:
	// less than any scale shows, more than the noise of the program.
	loadSlack = 1e-9
	// movesPerFlow bounds the moves of loads; a tenth of it does in practice.
	movesPerFlow = 20
)

// rounder makes whole loads of the amounts of the program.
type rounder struct {
	*model
	plan
	used  [][]float64 // part of the right side, by block and row
	lots  []lot
	moves int // made
}

// lot is the loads of one size of a material: the whole ones or the short one.
type lot struct {
	material int
	size     float64
	free     int     // not placed
	places   []place // the flows of the material, those of a field side by side
	first    []int   // of the places of each block, and one past the last
	count    []int   // of loads, by place
	tree     []node
}

// place names a flow.
type place struct{ k, j int }

// whole makes whole loads of s: the amounts are cut down to whole loads, so that no
// limit breaks, and single loads then go where they save most, or stay behind, as
// long as any does. What a load costs or saves is always the change of the whole
// plan, with credits only as far as the needs go.
func (m *model) whole(s *lp.Solution) rounder {
	r := rounder{model: m, plan: plan{left: slices.Clone(m.Stock)}}
	n, flows := len(m.Blocks), 0
	r.used, r.placed, r.loads = make([][]float64, 0, n), make([][]float64, 0, n), make([][]int, 0, n)
	for k := range m.Blocks {
		flows += len(m.Blocks[k].Flows)
	}
	loads := make([]int, flows)
	for k := range m.Blocks {
		b := &m.Blocks[k]
		r.used = append(r.used, m.zeros(b.Rows))
		r.placed = append(r.placed, m.zeros(len(b.Flows)))
		r.loads = append(r.loads, loads[:len(b.Flows):len(b.Flows)])
		loads = loads[len(b.Flows):]
		for j, f := range b.Flows {
			if m.load(f.Material) == 0 {
				r.put(place{k, j}, min(s.Amount[k][j], r.left[f.Material]))
			}
		}
	}
	r.setLots()
	if len(r.lots) > 0 {
		r.start(s)
		r.improve()
		r.trim()
		r.shorten()
	}
	for i, x := range r.left {
		if x < loadSlack*m.Stock[i] {
			r.left[i] = 0
		}
	}
	return r
}

// load returns the load of a material in the unit of the program; 0 when pumped.
func (m *model) load(material int) float64 {
	return m.spec.Materials[material].Load.SI() / m.unit[material]
}

// setLots makes the lots of the materials that go in loads.
func (r *rounder) setLots() {
	for i, stock := range r.Stock {
		size := r.load(i)
		if size == 0 {
			continue
		}
		whole := lot{material: i, size: size, free: int(stock/size + loadSlack), first: []int{0}}
		for k := range r.Blocks {
			for j, f := range r.Blocks[k].Flows {
				if f.Material == i {
					whole.places = append(whole.places, place{k, j})
				}
			}
			whole.first = append(whole.first, len(whole.places))
		}
		short := whole
		short.size, short.free = stock-float64(whole.free)*size, 1
		for _, l := range []lot{whole, short} {
			if l.free > 0 && l.size > loadSlack*size {
				l.count = make([]int, len(l.places))
				r.lots = append(r.lots, l)
			}
		}
	}
}

// short reports whether l is the short load of its material.
func (r *rounder) short(l *lot) bool { return l.size < r.load(l.material)*(1-loadSlack) }

// start places the amounts of the program cut down to whole loads, and then the
// loads of which the largest part was cut off.
func (r *rounder) start(s *lp.Solution) {
	type cut struct {
		lot, place int
		part       float64
	}
	var cuts []cut
	for i := range r.lots {
		l := &r.lots[i]
		if r.short(l) {
			continue
		}
		for p, at := range l.places {
			loads := s.Amount[at.k][at.j] / l.size
			n := min(int(loads+loadSlack), l.free)
			r.shift(l, p, n)
			if part := loads - float64(n); part > loadSlack {
				cuts = append(cuts, cut{i, p, part})
			}
		}
	}
	slices.SortStableFunc(cuts, func(a, b cut) int { return cmp.Compare(b.part, a.part) })
	for _, c := range cuts {
		l := &r.lots[c.lot]
		if at := l.places[c.place]; l.free > 0 && r.fits(at, l.size) {
			r.shift(l, c.place, 1)
		}
	}
}

// shift adds n loads of l to its place p, or takes them away when n is below 0.
func (r *rounder) shift(l *lot, p, n int) {
	at := l.places[p]
	l.count[p] += n
	l.free -= n
	r.loads[at.k][at.j] += n
	r.put(at, float64(n)*l.size)
}

// put adds x, which may be below 0, to a flow.
func (r *rounder) put(at place, x float64) {
	f := &r.Blocks[at.k].Flows[at.j]
	r.placed[at.k][at.j] = max(0, r.placed[at.k][at.j]+x)
	r.left[f.Material] = max(0, r.left[f.Material]-x)
	for i, a := range f.Uses {
		r.used[at.k][i] = max(0, r.used[at.k][i]+x*a)
	}
}

// room returns how much more the limits of the field leave room for.
func (r *rounder) room(at place) float64 {
	b := &r.Blocks[at.k]
	most := math.Inf(1)
	for i, a := range b.Flows[at.j].Uses[:b.Rows-len(b.Extra)] {
		if a > 0 {
			most = min(most, (1-r.used[at.k][i])/a)
		}
	}
	return max(0, most)
}

// fits reports whether the limits of the field leave room for x more.
func (r *rounder) fits(at place, x float64) bool { return r.room(at) >= x*(1-loadSlack) }

// cost returns what x more would cost, credits taken off as far as the needs go.
func (r *rounder) cost(at place, x float64) float64 {
	b := &r.Blocks[at.k]
	f := &b.Flows[at.j]
	c := f.Cost * x
	for _, e := range b.Extra {
		u := r.used[at.k][e.Row]
		c += e.Cost * (max(0, u+x*f.Uses[e.Row]-1) - max(0, u-1))
	}
	return c
}

// trim sets what is pumped beside the loads to the amount that saves most at each
// place: loads more than the program had them may meet the need.
func (r *rounder) trim() {
	for k := range r.Blocks {
		for j, f := range r.Blocks[k].Flows {
			at := place{k, j}
			if was := r.placed[k][j]; was > 0 && r.load(f.Material) == 0 {
				r.put(at, -was)
				x, _ := r.part(at, r.left[f.Material])
				r.put(at, x)
			}
		}
	}
}

// shorten makes the short load of each material of the size and at the place that
// save most; a whole one may become it.
func (r *rounder) shorten() {
	for i := range r.lots {
		l := &r.lots[i]
		if r.short(l) {
			if p := slices.Index(l.count, 1); p >= 0 {
				r.shift(l, p, -1)
			}
		}
	}
	for i := range r.lots {
		l := &r.lots[i]
		if r.short(l) && i > 0 && r.lots[i-1].material == l.material {
			continue // with the whole ones
		}
		whole := r.load(l.material)
		var size, most float64
		var best int
		cut := -1
		for p, at := range l.places {
			if x, save := r.part(at, min(whole, r.left[l.material])); save > most*(1+loadSlack) {
				best, size, most, cut = p, x, save, -1
			}
			if r.short(l) || l.count[p] == 0 {
				continue
			}
			saved := -r.cost(at, -whole) - r.Leave[l.material]*whole // by leaving one behind
			r.put(at, -whole)
			x, save := r.part(at, whole)
			r.put(at, whole)
			if save += saved; save > most*(1+loadSlack) {
				best, size, most, cut = p, x, save, p
			}
		}
		if cut >= 0 {
			r.shift(l, cut, -1)
		}
		if size > loadSlack*whole {
			at := l.places[best]
			r.put(at, size)
			r.loads[at.k][at.j]++
		}
	}
}

// part returns the amount up to most that saves most at a place over leaving it
// behind, and what it saves. The cost is convex, with a bend where a need is met.
func (r *rounder) part(at place, most float64) (size, save float64) {
	b := &r.Blocks[at.k]
	f := &b.Flows[at.j]
	most = min(most, r.room(at))
	try := func(x float64) {
		if s := r.Leave[f.Material]*x - r.cost(at, x); x > 0 && s > save {
			size, save = x, s
		}
	}
	try(most)
	for _, e := range b.Extra {
		if a := f.Uses[e.Row]; a > 0 {
			try(min(most, (1-r.used[at.k][e.Row])/a))
		}
	}
	return size, save
}
