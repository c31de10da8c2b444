package plan

import (
	"fmt"
	"math"

	"example.org/earthbasin/units/plane"
)

// Below these shares a survey is doubted: of the sludge's surface inside its boundary,
// and of the way across the boundary, in the worst direction, that the soundings reach
// over. Soundings in the middle of equal parts reach over one half when there are two
// rows, over two thirds when there are three (common practice, no source).
const (
	leastSurveyed = 0.8
	leastReach    = 0.499
)

// doubts says where nobody measured.
func (p *planner) doubts() []string {
	var list []string
	length, width := p.Basin.SizeAt(p.r.Sludge.Volume.Mean)
	if top := length.Times(width); p.Survey.Area() < leastSurveyed*top {
		list = append(list, fmt.Sprintf("The survey covers %s, and the basin has %s at the height of the sludge: what lies under the rest is not in the volume.",
			p.Survey.Area().Trade(), top.Trade()))
	}
	boundary, _ := p.Survey.Boundary()
	var places []plane.Point
	for _, r := range p.Survey.Readings() {
		places = append(places, r.At)
	}
	if share := leastShare(places, boundary); share < leastReach {
		list = append(list, fmt.Sprintf("The soundings reach over %.0f %% of the basin in one direction: beyond them nobody measured, and the interval on the volume does not know what lies there.", 100*share))
	}
	return list
}

// leastShare is how much of the way across the boundary the places reach over, in the
// direction in which it is least.
func leastShare(places []plane.Point, boundary plane.Polygon) float64 {
	const directions = 36
	least := 1.0
	for i := range directions {
		sin, cos := math.Sincos(math.Pi * float64(i) / directions)
		across := func(points []plane.Point) float64 {
			low, high := math.Inf(1), math.Inf(-1)
			for _, q := range points {
				at := cos*float64(q.X) + sin*float64(q.Y)
				low, high = min(low, at), max(high, at)
			}
			return high - low
		}
		least = min(least, across(places)/across(boundary))
	}
	return least
}
