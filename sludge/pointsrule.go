package sludge

import (
	"math"

	"example.org/earthbasin/units"
)

// PointsRule is a regulator's rule for the number of soundings: so many on a
// small basin, one for each piece of area on a larger one, and no more than a cap.
// It is the caller's to fill in, as rules differ by state and by form.
type PointsRule struct {
	SmallBelow  units.Area `json:"smallBelow"`  // areas below this take SmallPoints; 0: there is no such class
	SmallPoints int        `json:"smallPoints"` // 1 or more when SmallBelow is given
	AreaPer     units.Area `json:"areaPer"`     // area for each point, above 0, such as an acre over 6
	Most        int        `json:"most"`        // the cap; 0: none
	Nearest     bool       `json:"nearest"`     // a count that is no whole number goes to the nearest, halves up, in place of the next
}

// maxPoints is the largest count that a rule may ask for.
const maxPoints = 1e9

// Points returns the number of soundings that the rule asks for on an area above
// 0, at least one. Faults are on the fields of the rule and on area.
func (r PointsRule) Points(area units.Area) (int, error) {
	var f units.Faults
	f.Between("area", area, units.MinArea, units.MaxArea)
	f.ZeroOr("smallBelow", r.SmallBelow, units.MinArea, units.MaxArea)
	least := 0.0
	if r.SmallBelow > 0 {
		least = 1
	}
	f.NumberBetween("smallPoints", float64(r.SmallPoints), least, maxPoints)
	f.Between("areaPer", r.AreaPer, units.MinArea, units.MaxArea)
	f.NumberBetween("most", float64(r.Most), 0, maxPoints)
	if err := f.Err(); err != nil {
		return 0, err
	}
	if area < r.SmallBelow {
		return r.SmallPoints, nil
	}
	// A count that is whole but for the rounding of the division stays whole.
	n := math.Ceil(float64(area/r.AreaPer) * (1 - 1e-12))
	if r.Nearest {
		n = math.Round(float64(area / r.AreaPer))
	}
	n = max(1, n)
	if r.Most > 0 {
		n = min(n, float64(r.Most))
	}
	if !(n <= maxPoints) {
		f.Add("areaPer", r.AreaPer, "large enough for at most a thousand million points")
	}
	return int(min(n, maxPoints)), f.Err()
}
