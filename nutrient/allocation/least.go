package allocation

import (
	"cmp"
	"slices"
)

// Neighbor names another placement of the same field.
type Neighbor struct {
	Material string `json:"material"` // by name
	Season   string `json:"season"`   // by name
}

// ground is the part of its field on which a placement may go.
type ground struct {
	j     int       // flow of the block
	uses  []float64 // part of each limit, over the whole field
	most  float64   // largest of uses
	part  float64   // of the field that does, above 0 to 1
	group int       // placements of different groups share no limit
	apart bool      // from all others of the group
}

// grounds returns the least parts of field k for its placements, in the order of the
// flows, and the part that does for all of them. A placement on a part of the field uses
// of a limit, there, what it uses over the whole field divided by that part.
func (m *model) grounds(p *plan, k int) (list []ground, all float64) {
	b := &m.Blocks[k]
	limits := b.Rows - len(b.Extra)
	for j, x := range p.placed[k] {
		if x == 0 {
			continue
		}
		g := ground{j: j, uses: make([]float64, limits), group: len(list)}
		for i, a := range b.Flows[j].Uses[:limits] {
			g.uses[i] = x * a
			g.most = max(g.most, g.uses[i])
		}
		list = append(list, g)
	}
	join(list, limits)
	for n := range list {
		all = max(all, settle(groupOf(list, n), limits))
	}
	return list, all
}

// join gives placements that share a limit one group, the number of its first.
func join(list []ground, limits int) {
	for i := range limits {
		first := -1
		for n := range list {
			switch {
			case list[n].uses[i] == 0:
			case first < 0:
				first = n
			default:
				a, b := list[first].group, list[n].group
				for x := range list {
					if list[x].group == max(a, b) {
						list[x].group = min(a, b)
					}
				}
			}
		}
	}
}

// groupOf returns the placements of group n.
func groupOf(list []ground, n int) (group []*ground) {
	for x := range list {
		if list[x].group == n {
			group = append(group, &list[x])
		}
	}
	return group
}

// settle sets the parts of a group and returns the part that does for all of it. Each
// first gets the least that it may go on while the others are over the whole field. If
// they then break a limit on top of each other, they go apart where the field has the
// ground for that. Where it has not, the largest keep their part, and the others get
// what does on top of them.
func settle(group []*ground, limits int) (all float64) {
	sum := make([]float64, limits) // over the whole field
	for _, g := range group {
		for i, u := range g.uses {
			sum[i] += u
		}
	}
	var beside float64
	top := make([]float64, limits) // on the least parts, on top of each other
	for _, g := range group {
		g.part = g.least(sum)
		beside += g.part
		all = max(all, g.part)
		for i, u := range g.uses {
			top[i] += u / g.part
		}
	}
	switch {
	case slices.Max(top) <= 1+loadSlack:
		return all
	case beside <= 1+loadSlack:
		for _, g := range group {
			g.apart = true
		}
		return min(1, beside)
	}
	order := slices.Clone(group)
	slices.SortStableFunc(order, func(a, b *ground) int { return cmp.Compare(b.most, a.most) })
	all = 0
	for _, g := range order {
		g.part = g.least(sum)
		all = max(all, g.part)
		for i, u := range g.uses {
			sum[i] += u/g.part - u
		}
	}
	return all
}

// least returns the least part of the field for g, where all placements use sum of each
// limit, with g over the whole field.
func (g *ground) least(sum []float64) (part float64) {
	for i, u := range g.uses {
		if u > 0 {
			part = max(part, u/max(u, 1-(sum[i]-u)))
		}
	}
	return part
}

// neighbors names the placements of field k that g has to be apart from.
func (m *model) neighbors(k int, list []ground, g *ground) (names []Neighbor) {
	for n := range list {
		if x := &list[n]; g.apart && x.group == g.group && x.j != g.j {
			w := &m.ways[k][x.j]
			names = append(names, Neighbor{m.spec.Materials[w.material].Name, m.spec.Seasons[w.season]})
		}
	}
	return names
}
