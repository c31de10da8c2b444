package volume

import (
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume/internal/skeleton"
)

// RectangularSpec is the plan of a basin with a level rectangular floor and four
// plane banks.
type RectangularSpec struct {
	// Length and Width are the sides of the rectangle at the level At, 1 mm to
	// 100 km.
	Length units.Length `json:"length"`
	Width  units.Length `json:"width"` // across Length
	At     Reference    `json:"at"`    // the level of Length and Width
	// Depth is the height of the top of the bank over the floor.
	Depth units.Length `json:"depth"`
	// WaterDepth is the height of the water line over the floor; given only
	// with ReferenceWaterLine.
	WaterDepth units.Length `json:"waterDepth,omitzero"`
	// Slopes are horizontal per vertical, 0 (a wall) to 1000: one for all four
	// banks, or four, in the order start and end of the length, left and right
	// of the width as seen from the start.
	Slopes []float64 `json:"slopes"`
}

// Rectangular is a basin with a level rectangular floor and four plane banks.
// The slopes may differ; the volume depends only on the sum of opposite ones.
type Rectangular struct {
	length, width, depth float64 // of the floor
	a, b                 float64 // sums of the slopes along the length and across
	slopes               [4]float64
}

// NewRectangular returns the basin of spec. The floor may shrink to a line or
// a point; a depth beyond the one at which the banks meet is a fault that names
// it.
func NewRectangular(spec RectangularSpec) (*Rectangular, error) {
	var f units.Faults
	side(&f, "length", spec.Length)
	side(&f, "width", spec.Width)
	level, slopes := checkPlan(&f, spec.At, spec.Depth, spec.WaterDepth, spec.Slopes, 4)
	if err := f.Err(); err != nil {
		return nil, err
	}
	r := &Rectangular{depth: float64(spec.Depth), slopes: [4]float64(slopes)}
	r.a, r.b = slopes[0]+slopes[1], slopes[2]+slopes[3]
	r.length = floorSide(&f, levelField(spec.At), spec.Length, r.a, level)
	r.width = floorSide(&f, levelField(spec.At), spec.Width, r.b, level)
	if err := f.Err(); err != nil {
		return nil, err
	}
	return r, nil
}

// floorSide returns the side of the floor below a side l at the height level,
// where the slopes of the two banks add to sum. Banks that meet above the floor
// are a fault of the field; a floor within rounding of nothing is a line.
func floorSide(f *units.Faults, field string, l units.Length, sum float64, level units.Length) float64 {
	floor := float64(l) - sum*float64(level)
	if floor < -slack*float64(l) {
		f.Add(field, level, "at most %v below a side of %v, where two banks of together %v:1 meet", units.Length(float64(l)/sum), l, sum)
	}
	return max(floor, 0)
}

// Depth returns the height of the top of the bank over the floor.
func (r *Rectangular) Depth() units.Length { return units.Length(r.depth) }

// SizeAt returns the sides of the level section at height h.
func (r *Rectangular) SizeAt(h units.Length) (length, width units.Length) {
	x := clamp(h, units.Length(r.depth))
	return units.Length(r.length + r.a*x), units.Length(r.width + r.b*x)
}

// Slopes returns the slopes of the four banks, horizontal per vertical: start
// and end of the length, left and right of the width as seen from the start.
func (r *Rectangular) Slopes() [4]float64 { return r.slopes }

// AreaAt returns the area of the level section at height h.
func (r *Rectangular) AreaAt(h units.Length) units.Area {
	x := clamp(h, units.Length(r.depth))
	return units.Area((r.length + r.a*x) * (r.width + r.b*x))
}

// VolumeAt returns the content below height h, V = LWh + (aW + bL)h²/2 + abh³/3
// with the sums a and b of opposite slopes. With equal slopes it is line 16 of
// worksheet 10A-2 in USDA NRCS, Agricultural Waste Management Field Handbook
// (NEH 651), chapter 10.
func (r *Rectangular) VolumeAt(h units.Length) units.Volume {
	x := clamp(h, units.Length(r.depth))
	return units.Volume(x * (r.length*r.width + x*((r.a*r.width+r.b*r.length)/2+x*r.a*r.b/3)))
}

// FloorAt returns the height at p of floor or bank over the floor, 0 to the depth, and
// false outside of the top of the bank. The length runs along x, and the origin is the
// corner of the top of the bank at the start and on the right: the basin lies where x and
// y are 0 or more.
func (r *Rectangular) FloorAt(p plane.Point) (units.Length, bool) {
	x, y := float64(p.X)-r.slopes[0]*r.depth, float64(p.Y)-r.slopes[3]*r.depth
	return onBanks(r.depth, toe{-x, r.slopes[0]}, toe{x - r.length, r.slopes[1]}, toe{y - r.width, r.slopes[2]}, toe{-y, r.slopes[3]})
}

// toe is how far a place lies beyond the toe of a bank, and the slope of that.
type toe struct{ beyond, slope float64 }

// onBanks returns the height of a place, that of the bank which is highest there, and
// false beyond the top of one.
func onBanks(depth float64, toes ...toe) (units.Length, bool) {
	h := 0.0
	for _, b := range toes {
		if !(b.beyond <= b.slope*depth+slack*depth) {
			return 0, false
		}
		if b.beyond > 0 && b.slope > 0 {
			h = max(h, b.beyond/b.slope)
		}
	}
	return units.Length(min(h, depth)), true
}

// SlopeAreaAt returns the area of the four banks below height h, measured along the
// slope. With equal slopes z it is (A_h - A_floor) √(1+z²)/z.
func (r *Rectangular) SlopeAreaAt(h units.Length) units.Area {
	x := clamp(h, units.Length(r.depth))
	ends := (r.width + r.b*x/2) * (skeleton.Slant(r.slopes[0]) + skeleton.Slant(r.slopes[1]))
	sides := (r.length + r.a*x/2) * (skeleton.Slant(r.slopes[2]) + skeleton.Slant(r.slopes[3]))
	return units.Area(x * (ends + sides))
}
