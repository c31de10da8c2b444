package mesh

// tree is a k-d tree in one array: the places of a node lie next to each other, its
// halves one after the other, and leaves hold up to leafPlaces. Each node is cut
// across its longer side.
type tree struct {
	places []XY
	id     []int32
	cut    []cut // by node, the root 1, the halves of node k 2k and 2k+1
}

type cut struct {
	at       float64
	vertical bool // across x
}

const leafPlaces = 12

func newTree(places []XY) *tree {
	t := &tree{places: append([]XY(nil), places...), id: make([]int32, len(places))}
	for i := range t.id {
		t.id[i] = int32(i)
	}
	nodes := 2
	for n := len(places); n > leafPlaces; n = (n + 1) / 2 {
		nodes *= 2
	}
	t.cut = make([]cut, nodes)
	t.split(1, 0, int32(len(places)))
	return t
}

func (t *tree) split(node int, from, to int32) {
	if to-from <= leafPlaces {
		return
	}
	low, high := bounds(t.places[from:to])
	c := &t.cut[node]
	c.vertical = high.X-low.X > high.Y-low.Y
	mid := (from + to + 1) / 2
	t.sort(from, to, mid, c.vertical)
	c.at = t.places[mid].Y
	if c.vertical {
		c.at = t.places[mid].X
	}
	t.split(2*node, from, mid)
	t.split(2*node+1, mid, to)
}

// sort puts the place that belongs at mid there, none greater before it and none
// less behind it (Hoare's selection, with the middle of three as the pivot).
func (t *tree) sort(from, to, mid int32, vertical bool) {
	v := func(i int32) float64 {
		if vertical {
			return t.places[i].X
		}
		return t.places[i].Y
	}
	for to-from > 1 {
		a, b, c := v(from), v((from+to)/2), v(to-1)
		pivot := max(min(a, b), min(max(a, b), c))
		i, j := from, to-1
		for i <= j {
			for v(i) < pivot {
				i++
			}
			for v(j) > pivot {
				j--
			}
			if i <= j {
				t.places[i], t.places[j] = t.places[j], t.places[i]
				t.id[i], t.id[j] = t.id[j], t.id[i]
				i, j = i+1, j-1
			}
		}
		switch {
		case mid <= j:
			to = j + 1
		case mid >= i:
			from = i
		default:
			return
		}
	}
}

// find is [Neighbours.Find].
func (t *tree) find(p XY, id []int32, dist []float64) int {
	return t.search(1, 0, int32(len(t.places)), p, id, dist, 0)
}

func (t *tree) search(node int, from, to int32, p XY, id []int32, dist []float64, found int) int {
	if to-from <= leafPlaces {
		return enter(t.places, t.id, from, to, p, id, dist, found)
	}
	c, mid := t.cut[node], (from+to+1)/2
	d := p.Y - c.at
	if c.vertical {
		d = p.X - c.at
	}
	if d < 0 {
		if found = t.search(2*node, from, mid, p, id, dist, found); found < len(id) || d*d <= dist[found-1] {
			found = t.search(2*node+1, mid, to, p, id, dist, found)
		}
		return found
	}
	if found = t.search(2*node+1, mid, to, p, id, dist, found); found < len(id) || d*d <= dist[found-1] {
		found = t.search(2*node, from, mid, p, id, dist, found)
	}
	return found
}
