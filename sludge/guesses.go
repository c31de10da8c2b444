package sludge

import (
	"math"
	"slices"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// setFloor gives a guess its levels and its depth at the sites from the depth of the
// floor at each sub-point. Open says of which that is an estimate; nil: of none.
func (g *floorGuess) setFloor(c *basinCells, depths, at []float64, open func(k int) bool) *floorGuess {
	g.levels, g.from = c.levels(depths, open)
	g.deepest, g.at, g.depths = slices.Max(depths), at, depths
	for _, d := range at {
		g.deepest = max(g.deepest, d)
	}
	for i, p := range c.list {
		for _, l := range g.levels[g.from[i]:g.from[i+1]] {
			g.volume += p.area * l.share * l.depth
		}
	}
	return g
}

// tallest is how many times as thick as anywhere sounded the sludge may be between
// walls, where no floor is there to cut it: a tail on the logarithm has to end.
const tallest = 10

// walls is the guess of a basin that is as deep at its boundary as in the middle.
func (c *basinCells) walls(sites []site) *floorGuess {
	g := &floorGuess{weight: 1, vertical: true, deepest: math.Inf(1), at: make([]float64, len(sites))}
	height := leastHeight
	for i, s := range sites {
		g.at[i] = math.Inf(1)
		height = max(height, tallest*s.thickness)
	}
	for i, p := range c.list {
		g.levels = append(g.levels, floorLevel{depth: height, share: 1, dx: p.dx, dy: p.dy})
		g.from = append(g.from, i)
		g.volume += p.area * height
	}
	g.from = append(g.from, len(c.list))
	return g
}

// told returns the depth of a floor at each sub-point and at each site, NaN where it is
// not known.
func (c *basinCells) told(floor Floor, sites []site) (depths, at []float64) {
	depth := func(p plane.Point) float64 {
		d, ok := depthAt(floor, p)
		if !ok {
			return math.NaN()
		}
		return max(0, float64(d))
	}
	depths, at = c.at(depth), make([]float64, len(sites))
	for i, s := range sites {
		at[i] = depth(c.place(s.x, s.y))
	}
	return depths, at
}

// knownDepth is a place where the depth of the floor is known, metres from the low corner
// of the box around the boundary.
type knownDepth struct{ x, y, depth, readings float64 }

// readDepths returns the depths that were read at the sites.
func (e *estimate) readDepths() (list []knownDepth) {
	for _, p := range e.sites {
		if !math.IsNaN(p.floor) {
			list = append(list, knownDepth{p.x, p.y, p.floor, p.readings})
		}
	}
	return list
}

// toldDepths returns depths that stand for a floor that is told in places, in each cell
// that nearest to its node, and those read at sites where it is not told.
func (e *estimate) toldDepths(depths, at []float64) (list []knownDepth) {
	for _, p := range e.cells.list {
		x, y := e.cells.Node(p.node)
		nearest, least := -1, math.Inf(1)
		for k := p.from; k < p.to; k++ {
			q := e.cells.points[k]
			if d := q.dx*q.dx + q.dy*q.dy; !math.IsNaN(depths[k]) && d < least {
				nearest, least = k, d
			}
		}
		if nearest >= 0 {
			q := e.cells.points[nearest]
			list = append(list, knownDepth{x + q.dx, y + q.dy, depths[nearest], 1})
		}
	}
	if step := (len(list) + mostSites - 1) / mostSites; step > 1 {
		for i := range (len(list) + step - 1) / step {
			list[i] = list[i*step]
		}
		list = list[:(len(list)+step-1)/step]
	}
	for i, p := range e.sites {
		if math.IsNaN(at[i]) && !math.IsNaN(p.floor) {
			list = append(list, knownDepth{p.x, p.y, p.floor, p.readings})
		}
	}
	return list
}

// openFloor is what is known of a floor that has to be found in places.
type openFloor struct {
	known []knownDepth
	told  []float64 // depth at each sub-point, NaN where it has to be found; nil: everywhere
	at    []float64 // at each site, NaN where it is not told; nil: nowhere
	walls bool      // as deep at the boundary as in the middle
}

// find returns the guesses of floors that agree with what is known of one: there as told
// or read, elsewhere as fitted and kriged. Plain is without the kriging. It is false where
// too little is known for that.
func (e *estimate) find(o openFloor, plain bool) (list []*floorGuess, enough bool) {
	c, s := e.cells, e.survey
	toEdge := c.at(s.toEdge)
	edge := func(x, y float64) float64 { return s.toEdge(c.place(x, y)) }
	knownEdge, siteEdge := make([]float64, len(o.known)), make([]float64, len(e.sites))
	for i, p := range o.known {
		knownEdge[i] = edge(p.x, p.y)
	}
	for i, p := range e.sites {
		siteEdge[i] = edge(p.x, p.y)
	}
	enough = true
	fit := floorFit{o.known, knownEdge, e.floorError()}
	var floors []fittedFloor
	switch {
	case o.walls:
		floors = fit.level()
	case plain:
		floors = fit.all()
	default:
		floors = fit.refined(fit.all())
	}
	for _, fitted := range floors {
		var u *undulation
		if !plain {
			var ok bool
			u, ok = e.undulation(fitted, o, knownEdge)
			enough = enough && ok
		}
		at, openAt := make([]float64, len(e.sites)), make([]bool, len(e.sites))
		for i, p := range e.sites {
			switch {
			case o.at != nil && !math.IsNaN(o.at[i]):
				at[i] = o.at[i]
			case math.IsNaN(p.floor):
				openAt[i] = true
				at[i] = fitted.depth(siteEdge[i]) * u.at(p.x, p.y)
			case u == nil:
				at[i] = min(p.floor, fitted.flat)
			default:
				at[i] = p.floor
			}
		}
		depths := c.fitted(fitted, toEdge, u)
		for k, d := range o.told {
			if !math.IsNaN(d) {
				depths[k] = d
			}
		}
		g := &floorGuess{weight: fitted.weight, slope: fitted.slope, flat: fitted.flat, undulation: u, asRead: o.told == nil, openAt: openAt}
		list = append(list, g.setFloor(c, depths, at, func(k int) bool { return u != nil && (o.told == nil || math.IsNaN(o.told[k])) }))
	}
	return list, enough
}

// fitted returns the depth of a fitted floor at each sub-point, for their distances from
// the boundary, and as it undulates.
func (c *basinCells) fitted(o fittedFloor, toEdge []float64, u *undulation) []float64 {
	depths := make([]float64, len(toEdge))
	for i, e := range toEdge {
		depths[i] = o.depth(e)
	}
	if u == nil {
		return depths
	}
	for _, p := range c.list {
		x, y := c.Node(p.node)
		for k := p.from; k < p.to; k++ {
			depths[k] *= u.at(x+c.points[k].dx, y+c.points[k].dy)
		}
	}
	return depths
}

// usualBanks are slopes of banks that nobody told, horizontal per vertical (common
// practice, no source).
var usualBanks = []float64{2, 3, 4}

// guessed returns guesses where nobody has told nor read anything of the floor: banks
// of usual slopes and depths of 1.1 to 2.6 times the thickest sludge (no source: they
// make a bracket, not an interval).
func (c *basinCells) guessed(s *Survey, sites []site) []*floorGuess {
	thickest := 0.0
	edge := make([]float64, len(sites))
	for i, p := range sites {
		thickest = max(thickest, p.thickness)
		edge[i] = s.toEdge(c.place(p.x, p.y))
	}
	if thickest == 0 {
		return nil
	}
	toEdge := c.at(s.toEdge)
	var list []*floorGuess
	for _, slope := range usualBanks {
		for _, times := range []float64{1.1, 1.7, 2.6} {
			at := make([]float64, len(sites))
			for i, e := range edge {
				at[i] = min(times*thickest, e/slope)
			}
			g := &floorGuess{weight: 1.0 / 9, slope: slope, flat: times * thickest, reading: roughFloor}
			list = append(list, g.setFloor(c, c.fitted(fittedFloor{slope: slope, flat: g.flat}, toEdge, nil), at, nil))
		}
	}
	return list
}

// banksOver returns guesses of banks of usual slopes that rise to the boundary from a
// floor that was told without them.
func (c *basinCells) banksOver(s *Survey, sites []site, told *floorGuess) []*floorGuess {
	toEdge := c.at(s.toEdge)
	var list []*floorGuess
	for _, slope := range usualBanks {
		depths, at := make([]float64, len(toEdge)), make([]float64, len(sites))
		for i, e := range toEdge {
			depths[i] = min(told.depths[i], e/slope)
		}
		for i, p := range sites {
			at[i] = min(told.at[i], s.toEdge(c.place(p.x, p.y))/slope)
		}
		g := &floorGuess{weight: 1 / float64(len(usualBanks)), slope: slope, flat: told.deepest, reading: roughFloor}
		list = append(list, g.setFloor(c, depths, at, nil))
	}
	return list
}

// risen is the mean depth at the boundary, over the deepest, up to which a floor counts
// as one with banks.
const risen = 0.75

// floorRises reports whether the floor that was told comes up to the boundary, where it is
// known there, and whether it is known anywhere on it.
func (s *Survey) floorRises(deepest float64) (rises, seen bool) {
	var sum, n float64
	r := s.rings[0]
	for i, a := range r {
		b := r[(i+1)%len(r)]
		for _, t := range []units.Length{1.0 / 6, 0.5, 5.0 / 6} {
			d, ok := depthAt(s.floor, plane.Point{X: a.X + t*(b.X-a.X), Y: a.Y + t*(b.Y-a.Y)})
			if length := float64(a.Distance(b)); ok {
				sum += length * max(0, float64(d))
				n += length
			}
		}
	}
	return sum <= risen*deepest*n, n > 0
}

// toEdge returns the distance from p to the boundary or the nearest island, 0 outside.
func (s *Survey) toEdge(p plane.Point) float64 {
	if !s.Contains(p) {
		return 0
	}
	least := math.Inf(1)
	for _, r := range s.rings {
		for i, a := range r {
			least = min(least, distance(p, a, r[(i+1)%len(r)], false))
		}
	}
	return least
}
