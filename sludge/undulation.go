package sludge

import (
	"math"
	"slices"

	"example.org/earthbasin/sludge/internal/field"
)

// undulation is how a floor that is known at some places departs from the plain one that
// was fitted to them: a field, kriged between the places, of the logarithm of the depth
// over the fitted depth, which leaves the waterline where it is.
type undulation struct {
	targets *field.Targets
	mean    []float64 // at the used nodes
	parts   []undulationPart
	whole   float64 // standard deviation that it has all over besides
}

// undulationPart is the field under one covariance.
type undulationPart struct {
	weight   float64
	variance float64 // sigma^2, with what is left open of it
	field    *field.Field
	mean     []float64 // at the used nodes
}

// Covariances that are tried for the floor, and how many of them stand for all.
const (
	floorRanges = 5
	floorParts  = 4
	// shoal is the fitted depth over the deepest under which a reading tells more of the
	// waterline than of the floor.
	shoal = 0.25
	// mostUndulation is the most that a reading counts for: four times as deep or as
	// shallow as fitted.
	mostUndulation = 1.4
	// evenFloor is the undulation, as a share of the depth, below which there is none.
	evenFloor = 1e-6
)

var floorShares = []float64{0.01, 0.1, 0.5}

// undulation kriges what the known depths leave of a fitted floor; nil where readings leave
// nothing. It is false where too few depths tell of the floor. Where a floor that was told
// has to be found it may besides lie off as a whole, by the roughness of a floor: nobody
// looked there.
func (e *estimate) undulation(fitted fittedFloor, o openFloor, toEdge []float64) (*undulation, bool) {
	var s field.Sites
	var y []float64
	var mean float64
	for i, p := range o.known {
		plain := fitted.depth(toEdge[i])
		if !(p.depth > 0) || plain < shoal*fitted.flat {
			continue
		}
		s.X, s.Y, s.Readings = append(s.X, p.x), append(s.Y, p.y), append(s.Readings, p.readings)
		y = append(y, max(-mostUndulation, min(mostUndulation, math.Log(p.depth/plain))))
		mean += p.depth
	}
	if len(y) < leastFree {
		return nil, false
	}
	u := &undulation{targets: e.targets, mean: make([]float64, len(e.targets.Used))}
	variance := e.floorSD * e.floorSD * float64(len(y)) * float64(len(y)) / (mean * mean)
	if o.told != nil {
		u.whole, variance = roughFloor/fitted.flat, 0
	}
	if most := max(slices.Max(y), -slices.Min(y)); most < evenFloor {
		if u.whole > 0 {
			return u, true
		}
		return nil, true
	}
	ranges := field.Geometric(e.structures[0].Range, e.structures[len(e.structures)-1].Range, floorRanges)
	factors := field.NewFactors(s, field.Grid(ranges, floorShares, field.Isotropic))
	fits := factors.Fits(0, field.Values{Y: y, ReadingVariance: variance})[0]
	room := factors.Room(e.targets)
	for _, d := range drawFits(fits, floorParts) {
		p := undulationPart{weight: d.share, variance: tVariance(d.fit), field: factors.Field(d.fit.Structure, room, nil), mean: make([]float64, len(u.mean))}
		p.field.Mean(p.mean, y, d.fit.Beta)
		for k, v := range p.mean {
			u.mean[k] += p.weight * v
		}
		u.parts = append(u.parts, p)
	}
	return u, true
}

// at returns the factor of the depth at a place; nil has none.
func (u *undulation) at(x, y float64) float64 {
	if u == nil {
		return 1
	}
	k, ok := usedNode(u.targets, x, y)
	if !ok {
		return 1
	}
	nx, ny := u.targets.Lattice.Node(u.targets.Used[k])
	gx, gy := u.targets.Slope(u.mean, k)
	return math.Exp(u.mean[k] + gx*(x-nx) + gy*(y-ny))
}

// usedNode returns the used node of the cell at a place, false where there is none.
func usedNode(t *field.Targets, x, y float64) (k int, ok bool) {
	l := t.Lattice
	col, row := max(0, min(l.Cols-1, int((x-l.X0)/l.DX))), max(0, min(l.Rows-1, int((y-l.Y0)/l.DY)))
	return slices.BinarySearch(t.Used, row*l.Cols+col)
}

// spread returns the variance of the sum of the field with the weights w at the used
// nodes, given on all nodes of the lattice too; nil has none.
func (u *undulation) spread(w, onLattice []float64) float64 {
	if u == nil {
		return 0
	}
	var sum, all float64
	for _, v := range w {
		all += v
	}
	for _, p := range u.parts {
		within, _ := p.field.Linear(w, onLattice)
		var off float64
		for k, v := range p.mean {
			off += w[k] * (v - u.mean[k])
		}
		sum += p.weight * (p.variance*max(0, within) + off*off)
	}
	return sum + u.whole*u.whole*all*all
}

// byFloor sets w to the derivative of the volume by the logarithm of the depth of the
// floor under each used node.
func (h *hypothesis) byFloor(e *estimate, w, mean []float64, variance func(k int) float64) {
	bands, raised := h.bandsOver(asItLies), h.bandsOver(floorOver{times: 1 - floorStep})
	for k, c := range e.cellOf {
		if w[k] = 0; c >= 0 {
			now, _ := h.thickness(e, bands, mean, variance(k), k, c)
			then, _ := h.thickness(e, raised, mean, variance(k), k, c)
			w[k] = e.cells.list[c].area * (now - then) / floorStep
		}
	}
}

// byTops adds to w what the volume changes by with the tops at the used sites: where a
// thickness was read over a floor that is an estimate, a deeper floor has a lower top.
// Weights are what the volume changes by with the value at each.
func (h *hypothesis) byTops(e *estimate, w, weights []float64) {
	for n, i := range h.used {
		node, ok := usedNode(e.targets, e.sites[i].x, e.sites[i].y)
		if !ok || !h.floor.openAt[i] {
			continue
		}
		top := h.share * h.floor.at[i]
		if h.log {
			top *= math.Exp(-h.values[n])
		}
		w[node] -= weights[n] * top
	}
}

// floorStep is the share of its depth by which the floor is raised to see what the
// thickness does.
const floorStep = 0.01
