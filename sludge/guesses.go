package sludge

import (
	"math"
	"slices"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// setFloor gives a guess its levels and its depth at the sites from the depth of the
// floor at each sub-point.
func (g *floorGuess) setFloor(c *basinCells, depths, at []float64) *floorGuess {
	g.levels, g.from = c.levels(depths)
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
		g.levels = append(g.levels, floorLevel{height, 1, p.dx, p.dy})
		g.from = append(g.from, i)
		g.volume += p.area * height
	}
	g.from = append(g.from, len(c.list))
	return g
}

// told is the guess of a floor that is known. Unknown counts the sub-points where it
// is not: there it is as deep as anywhere.
func (c *basinCells) told(floor Floor, sites []site) (g *floorGuess, unknown int) {
	deepest := 0.0
	depth := func(p plane.Point) float64 {
		d, ok := floor.Depth(p)
		if !ok || !(math.Abs(float64(d)) <= maxDepth) {
			unknown++
			return math.Inf(1)
		}
		deepest = max(deepest, float64(d))
		return max(0, float64(d))
	}
	depths := c.at(depth)
	inCells := unknown
	at := make([]float64, len(sites))
	for i, s := range sites {
		at[i] = depth(c.place(s.x, s.y))
	}
	for _, list := range [][]float64{depths, at} {
		for i, d := range list {
			if math.IsInf(d, 1) {
				list[i] = deepest
			}
		}
	}
	g = (&floorGuess{weight: 1}).setFloor(c, depths, at)
	return g, inCells
}

// Slopes of banks that are tried where the floor was read but not drawn, and how well
// a floor follows them.
const (
	firstSlope, lastSlope, slopeStep = 1.05, 6.05, 0.1
	usualSlope, slopeSpread          = 3, 0.35 // of the logarithm (common practice, no source)
	roughFloor                       = 0.1     // metres
)

// fittedFloor is a floor min(flat, e/slope) with e the distance to the boundary.
type fittedFloor struct{ slope, flat, weight float64 }

// fitFloor returns floors that agree with the depths read at the sites: at most five,
// at even steps of the weight by their fit; none where no depth was read.
func (s *Survey) fitFloor(sites []site, readingSD float64) []fittedFloor {
	var edge, depth []float64
	low, _ := s.rings[0].Bounds()
	for _, p := range sites {
		if !math.IsNaN(p.floor) {
			at := plane.Point{X: low.X + units.Length(p.x), Y: low.Y + units.Length(p.y)}
			edge, depth = append(edge, s.toEdge(at)), append(depth, p.floor)
		}
	}
	if len(depth) == 0 {
		return nil
	}
	largest, best := slices.Max(depth), math.Inf(-1)
	var options []fittedFloor // their weights as logarithms at first
	for k := range int(math.Round((lastSlope-firstSlope)/slopeStep)) + 1 {
		o := fittedFloor{slope: firstSlope + slopeStep*float64(k), flat: largest}
		for range 5 {
			var sum, n float64
			for i, d := range depth {
				if edge[i]/o.slope >= o.flat-1e-9 {
					sum += d
					n++
				}
			}
			if n > 0 {
				o.flat = sum / n
			}
		}
		var rss float64
		for i, d := range depth {
			miss := d - min(o.flat, edge[i]/o.slope)
			rss += miss * miss
		}
		prior := math.Log(o.slope/usualSlope) / slopeSpread
		o.weight = -rss/(2*(roughFloor*roughFloor+readingSD*readingSD)) - prior*prior/2
		best = max(best, o.weight)
		options = append(options, o)
	}
	var total float64
	for i := range options {
		options[i].weight = math.Exp(options[i].weight - best)
		total += options[i].weight
	}
	var list []fittedFloor
	var sum float64
	steps := []float64{0.1, 0.3, 0.5, 0.7, 0.9}
	all := float64(len(steps))
	for _, o := range options {
		sum += o.weight / total
		hits := 0
		for len(steps) > 0 && sum >= steps[0] {
			steps = steps[1:]
			hits++
		}
		if hits > 0 {
			o.weight = float64(hits) / all
			list = append(list, o)
		}
	}
	return list
}

// read returns the guesses of the fitted floors: at the sites as read, elsewhere as
// fitted and kriged. Plain is without the kriging. It is false where the readings are
// too few for that.
func (e *estimate) read(plain bool) (list []*floorGuess, enough bool) {
	c, s := e.cells, e.survey
	toEdge := c.at(s.toEdge)
	edge := make([]float64, len(e.sites))
	for i, p := range e.sites {
		edge[i] = s.toEdge(c.place(p.x, p.y))
	}
	enough = true
	for _, o := range s.fitFloor(e.sites, e.readingSD) {
		var u *undulation
		if !plain {
			var ok bool
			u, ok = e.undulation(o, edge)
			enough = enough && ok
		}
		at := make([]float64, len(e.sites))
		for i, p := range e.sites {
			switch {
			case math.IsNaN(p.floor):
				at[i] = min(o.flat, edge[i]/o.slope) * u.at(p.x, p.y)
			case u == nil:
				at[i] = min(p.floor, o.flat)
			default:
				at[i] = p.floor
			}
		}
		g := &floorGuess{weight: o.weight, slope: o.slope, flat: o.flat, undulation: u}
		list = append(list, g.setFloor(c, c.banked(o.slope, o.flat, toEdge, u), at))
	}
	return list, enough
}

// banked returns the depth of a floor min(flat, e/slope) at each sub-point, for their
// distances e from the boundary, and as it undulates.
func (c *basinCells) banked(slope, flat float64, toEdge []float64, u *undulation) []float64 {
	depths := make([]float64, len(toEdge))
	for i, e := range toEdge {
		depths[i] = min(flat, e/slope)
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
			list = append(list, g.setFloor(c, c.banked(slope, g.flat, toEdge, nil), at))
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
		list = append(list, g.setFloor(c, depths, at))
	}
	return list
}

// risen is the mean depth at the boundary, over the deepest, up to which a floor counts
// as one with banks.
const risen = 0.75

// floorRises reports whether the floor that was told comes up to the boundary.
func (s *Survey) floorRises(deepest float64) bool {
	var sum, n float64
	r := s.rings[0]
	for i, a := range r {
		b := r[(i+1)%len(r)]
		for _, t := range []units.Length{1.0 / 6, 0.5, 5.0 / 6} {
			d, ok := s.floor.Depth(plane.Point{X: a.X + t*(b.X-a.X), Y: a.Y + t*(b.Y-a.Y)})
			if length := float64(a.Distance(b)); ok && d < units.Length(maxDepth) {
				sum += length * max(0, float64(d))
				n += length
			}
		}
	}
	return sum <= risen*deepest*n
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
