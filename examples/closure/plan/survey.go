package plan

import (
	"context"
	"math"

	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume"
)

// Slack of measures of one thing, taken on different days with different tapes, and how
// far a sounding may find the hard floor below that of the basin (common practice, no
// source).
const (
	slack      = 0.05
	belowFloor = units.Foot
)

// Below these shares a survey is doubted: of the sludge's surface inside its boundary,
// and of the way across the boundary, in the worst direction, that the soundings reach
// over. Soundings in the middle of equal parts reach over one half when there are two
// rows, over two thirds when there are three (common practice, no source).
const (
	leastSurveyed = 0.8
	leastReach    = 0.499
)

// floorUnder is the basin as the floor of a survey whose boundary is its waterline: nil,
// and why, where the basin does not know its floor or the boundary is no waterline of it.
// A rectangle and a circle, which have no place of their own, lie where their waterline
// has the middle of the boundary.
func floorUnder(c *Contents, survey *sludge.SurveySpec) (sludge.Floor, *units.Phrase) {
	solid, ok := c.Solid.(sludge.Solid)
	if !ok || len(survey.Boundary) == 0 {
		return nil, nil
	}
	floor := sludge.SolidFloor{Solid: solid, Liquid: *c.Level}
	low, high := survey.Boundary.Bounds()
	middle := plane.Point{X: low.X + (high.X-low.X)/2, Y: low.Y + (high.Y-low.Y)/2}
	switch b := c.Solid.(type) {
	case *volume.Rectangular:
		length, width := b.SizeAt(*c.Level)
		slopes, free := b.Slopes(), c.Depth-*c.Level
		floor.Origin = middle.Sub(plane.Point{X: units.Length(slopes[0])*free + length/2, Y: units.Length(slopes[3])*free + width/2})
	case *volume.Circular:
		floor.Origin = middle
	}
	for _, p := range survey.Boundary {
		if d, known := floor.Depth(p); !known || d > belowFloor {
			off := units.Words("the boundary of the survey is not the waterline of the basin as drawn, near %v, %v: its floor is that of the soundings alone", p.X, p.Y)
			return nil, &off
		}
	}
	return floor, nil
}

// surveyFits holds a survey against the liquid surface of the basin; its faults have the
// paths of the survey.
func surveyFits(c *Contents, b *Basin, survey *sludge.Survey) error {
	var f units.Faults
	for _, r := range survey.Readings() {
		if r.HasDepths && r.ToFloor > *c.Level+belowFloor {
			at := f.At("soundings", r.Index)
			at.Add("toFloor", r.ToFloor, "at most %v more than the liquid stands over the floor, %v", belowFloor, *c.Level)
		}
	}
	surface := c.Solid.AreaAt(*c.Level)
	if survey.Area() > surface*(1+slack) {
		f.Add("boundary", survey.Area(), "at most the liquid surface of the basin, %v", surface)
		return f.Err()
	}
	if longest := longest(b, c); longest > 0 {
		boundary, _ := survey.Boundary()
		if across := reach(boundary); across > longest*(1+slack) {
			f.Add("boundary", across, "from end to end at most that of the liquid surface, %v", longest)
		}
	}
	return f.Err()
}

// longest is the longest way across the liquid surface; 0 where the basin does not say.
func longest(b *Basin, c *Contents) units.Length {
	switch solid := c.Solid.(type) {
	case *volume.Rectangular:
		length, width := solid.SizeAt(*c.Level)
		return units.Length(math.Hypot(float64(length), float64(width)))
	case *volume.Circular:
		return units.Length(2 * math.Sqrt(float64(solid.AreaAt(*c.Level))/math.Pi))
	}
	if b.Polygon != nil {
		return reach(b.Polygon.Outline) + 2*units.Length(slack)*c.Depth
	}
	return 0
}

// reach is the longest distance between two of the points.
func reach(points []plane.Point) units.Length {
	var most float64
	for i, a := range points {
		for _, b := range points[:i] {
			most = max(most, math.Hypot(float64(a.X-b.X), float64(a.Y-b.Y)))
		}
	}
	return units.Length(most)
}

// doubts says where nobody measured.
func doubts(c *Contents, survey *sludge.Survey, v sludge.VolumeResult) []units.Phrase {
	var list []units.Phrase
	if c.Solid != nil {
		if top := c.Solid.AreaAt(v.Mean); survey.Area() < leastSurveyed*top {
			list = append(list, units.Words("the survey covers %v, and the basin has %v at the height of the sludge: what lies under the rest is not in the volume", survey.Area(), top))
		}
	}
	boundary, _ := survey.Boundary()
	var places []plane.Point
	for _, r := range survey.Readings() {
		places = append(places, r.At)
	}
	if share := leastShare(places, boundary); share < leastReach {
		list = append(list, units.Words("the soundings reach over %.0f %% of the basin in one direction: beyond them nobody measured, and the interval on the volume does not know what lies there", 100*share))
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

// anySurvey is a survey that has no fault, by which the faults of an estimate are found
// while those of the survey stand in the way.
func anySurvey() *sludge.Survey {
	corner := func(x, y units.Length) plane.Point { return plane.Point{X: x, Y: y} }
	s, err := sludge.NewSurvey(context.Background(), sludge.SurveySpec{
		Boundary:  plane.Polygon{corner(0, 0), corner(10, 0), corner(10, 10), corner(0, 10)},
		Soundings: []sludge.Sounding{sludge.NewSounding(5, 5, 1)},
	})
	if err != nil {
		return nil
	}
	return s
}
