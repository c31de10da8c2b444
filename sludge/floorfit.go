package sludge

import "math"

// Slopes of banks that are tried where a floor was not drawn, and how well it follows
// them.
const (
	firstSlope, lastSlope, slopeStep = 1.05, 6.05, 0.1
	usualSlope, slopeSpread          = 3, 0.35 // of the logarithm (common practice, no source)
	roughFloor                       = 0.1     // metres
)

// fittedFloor is a floor min(flat, e/slope) with e the distance to the boundary; with
// walls the slope is 0.
type fittedFloor struct{ slope, flat, weight float64 }

// depth returns the depth of the floor at a distance from the boundary.
func (o fittedFloor) depth(toEdge float64) float64 {
	if o.slope == 0 {
		return o.flat
	}
	return min(o.flat, toEdge/o.slope)
}

// floorFit fits floors to the depths known, as far from the boundary as edge says.
type floorFit struct {
	known     []knownDepth
	edge      []float64
	readingSD float64
}

// with returns the floor with banks of a slope that agrees best, its weight as a
// logarithm.
func (f *floorFit) with(slope float64) fittedFloor {
	o := fittedFloor{slope: slope}
	for _, d := range f.known {
		o.flat = max(o.flat, d.depth)
	}
	for range 5 {
		var sum, n float64
		for i, d := range f.known {
			if f.edge[i]/o.slope >= o.flat-1e-9 {
				sum += d.depth
				n++
			}
		}
		if n > 0 {
			o.flat = sum / n
		}
	}
	var rss float64
	for i, d := range f.known {
		miss := d.depth - o.depth(f.edge[i])
		rss += miss * miss
	}
	prior := math.Log(o.slope/usualSlope) / slopeSpread
	o.weight = -rss/(2*(roughFloor*roughFloor+f.readingSD*f.readingSD)) - prior*prior/2
	return o
}

// level returns the floor of a basin with walls, none where no depth is known.
func (f *floorFit) level() []fittedFloor {
	var mean float64
	for _, d := range f.known {
		mean += d.depth / float64(len(f.known))
	}
	if len(f.known) == 0 {
		return nil
	}
	return []fittedFloor{{flat: mean, weight: 1}}
}

// all returns floors with slopes of even steps: at most five, at even steps of their
// weight; none where no depth is known.
func (f *floorFit) all() []fittedFloor {
	if len(f.known) == 0 {
		return nil
	}
	best := math.Inf(-1)
	var options []fittedFloor
	for k := range int(math.Round((lastSlope-firstSlope)/slopeStep)) + 1 {
		o := f.with(firstSlope + slopeStep*float64(k))
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

// refined returns the floors with the slopes within a step that agree best: what the depths
// leave of a floor is kriged, and the steps must not add a doubt of their own. Those that
// come to one are one.
func (f *floorFit) refined(floors []fittedFloor) (list []fittedFloor) {
	for _, o := range floors {
		low, high := o.slope-slopeStep, o.slope+slopeStep
		for range 20 {
			a, b := low+(high-low)/3, high-(high-low)/3
			if f.with(a).weight < f.with(b).weight {
				low = a
			} else {
				high = b
			}
		}
		near := f.with((low + high) / 2)
		near.weight = o.weight
		if last := len(list) - 1; last >= 0 && near.slope-list[last].slope < slopeStep/100 {
			list[last].weight += near.weight
		} else {
			list = append(list, near)
		}
	}
	return list
}
