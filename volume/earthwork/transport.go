package earthwork

import (
	"math"

	"example.org/earthbasin/units"
)

// transport is a transportation problem: volumes from m cuts to n fills at a cost
// for each way. What has to be moved and is not costs more than any detour, so a
// way is worth its cost less what it saves at its two ends, and soil is sent along
// the path of least cost through what is there as long as that is below 0
// (successive shortest paths: R. K. Ahuja, T. L. Magnanti, J. B. Orlin, Network
// Flows, 1993, section 9.7). A path may take soil back that was sent before.
type transport struct {
	m, n        int
	cost        []float64 // by row, at most 1
	saved       []float64 // at each cut, then each fill, by moving what is there
	left        []float64 // at each cut, then each fill, the most of which is 1
	moved       []float64 // by row
	potential   []float64 // least cost to each cut and fill in the round before
	total       float64   // and to the end
	most, scale float64
	rounds      int
}

func newTransport(cuts, fills []HaulSite, cost []float64) *transport {
	t := &transport{m: len(cuts), n: len(fills), moved: make([]float64, len(cost))}
	sites := append(cuts[:t.m:t.m], fills...)
	for _, s := range sites {
		t.most = max(t.most, float64(s.Volume))
	}
	for _, c := range cost {
		t.scale = max(t.scale, c)
	}
	for _, s := range sites {
		save := 0.0
		if !s.Optional {
			save = float64(t.m + t.n + 1)
		}
		t.saved = append(t.saved, save)
		t.left = append(t.left, float64(s.Volume)/max(t.most, math.SmallestNonzeroFloat64))
	}
	for _, c := range cost {
		t.cost = append(t.cost, c/max(t.scale, math.SmallestNonzeroFloat64))
	}
	// No way leads back yet, so the least costs are there at once.
	t.potential = make([]float64, t.m+t.n)
	for i := range t.m {
		t.potential[i] = -t.saved[i]
	}
	t.total = math.Inf(1)
	for j := range t.n {
		least := math.Inf(1)
		for i := range t.m {
			least = min(least, t.potential[i]+t.cost[i*t.n+j])
		}
		t.potential[t.m+j] = least
		t.total = min(t.total, least-t.saved[t.m+j])
	}
	return t
}

// limit is the number of rounds after which the search is given up. A round empties
// a cut, fills a fill or takes back all that was sent on a way; one for each way and
// site has been enough for every problem tried.
func (t *transport) limit() int { return 10 * (t.m*t.n + t.m + t.n) }

// run returns the volumes on the ways, false when the limit is reached.
func (t *transport) run() ([]units.Volume, bool) {
	for t.round() {
		if t.rounds++; t.rounds > t.limit() {
			return nil, false
		}
	}
	moved := make([]units.Volume, len(t.moved))
	for k, x := range t.moved {
		if x > 1e-9 {
			moved[k] = units.Volume(x * t.most)
		}
	}
	return moved, true
}

// noise is what is taken for nothing, of volumes and costs of at most 1.
const noise = 1e-12

// round sends soil along the path of least cost and reports whether there was one
// worth it. The potentials keep every step of the search at 0 or more, so that it
// looks at each site once.
func (t *transport) round() bool {
	size := t.m + t.n
	dist, before, done := make([]float64, size), make([]int, size), make([]bool, size)
	for k := range size {
		dist[k], before[k] = math.Inf(1), -1
		if k < t.m && t.left[k] > noise {
			dist[k] = max(-t.saved[k]-t.potential[k], 0)
		}
	}
	end, last := math.Inf(1), -1
	for {
		at := -1
		for k, d := range dist {
			if !done[k] && d < end && (at < 0 || d < dist[at]) {
				at = k
			}
		}
		if at < 0 {
			break
		}
		done[at] = true
		reach := func(k int, c float64) {
			if d := dist[at] + max(c+t.potential[at]-t.potential[k], 0); d < dist[k] {
				dist[k], before[k] = d, at
			}
		}
		if at < t.m {
			for j := range t.n {
				reach(t.m+j, t.cost[at*t.n+j])
			}
			continue
		}
		j := at - t.m
		if d := dist[at] + max(-t.saved[at]+t.potential[at]-t.total, 0); t.left[at] > noise && d < end {
			end, last = d, at
		}
		for i := range t.m {
			if t.moved[i*t.n+j] > 0 {
				reach(i, -t.cost[i*t.n+j])
			}
		}
	}
	if last < 0 {
		return false
	}
	for k, d := range dist {
		t.potential[k] += min(d, end)
	}
	t.total += end
	if t.total >= -noise {
		return false
	}
	t.send(last, before)
	return true
}

// send moves what the path to the fill last can carry.
func (t *transport) send(last int, before []int) {
	most, first := t.left[last], last
	for k := last; before[k] >= 0; k = before[k] {
		if k < t.m { // a way back from a fill to the cut k
			most = min(most, t.moved[k*t.n+before[k]-t.m])
		}
		first = before[k]
	}
	most = min(most, t.left[first])
	for k := last; before[k] >= 0; k = before[k] {
		if k < t.m {
			way := &t.moved[k*t.n+before[k]-t.m]
			if *way -= most; *way <= noise {
				*way = 0
			}
		} else {
			t.moved[before[k]*t.n+k-t.m] += most
		}
	}
	for _, k := range []int{first, last} {
		if t.left[k] -= most; t.left[k] <= noise {
			t.left[k] = 0
		}
	}
}
