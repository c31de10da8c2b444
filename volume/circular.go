package volume

import (
	"math"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume/internal/skeleton"
)

// CircularSpec is the plan of a basin with a level round floor and a bank of one
// slope.
type CircularSpec struct {
	// Diameter is that of the circle at the level At, 1 mm to 100 km.
	Diameter units.Length `json:"diameter"`
	At       Reference    `json:"at"` // the level at which Diameter was measured
	// Depth is the height of the top of the bank over the floor.
	Depth units.Length `json:"depth"`
	// WaterDepth is the height of the water line over the floor; given only
	// with ReferenceWaterLine.
	WaterDepth units.Length `json:"waterDepth,omitzero"`
	// Slopes holds the one slope, horizontal per vertical, 0 (a tank) to 1000.
	Slopes []float64 `json:"slopes"`
}

// Circular is a basin with a level round floor and a bank of one slope.
type Circular struct {
	radius, depth, slope float64 // radius of the floor
}

// NewCircular returns the basin of spec. The floor may shrink to a point; a depth
// beyond the one at which the bank meets itself is a fault that names it.
func NewCircular(spec CircularSpec) (*Circular, error) {
	var f units.Faults
	side(&f, "diameter", spec.Diameter)
	level, slopes := checkPlan(&f, spec.At, spec.Depth, spec.WaterDepth, spec.Slopes, 1)
	if err := f.Err(); err != nil {
		return nil, err
	}
	d := floorSide(&f, levelField(spec.At), spec.Diameter, 2*slopes[0], level)
	if err := f.Err(); err != nil {
		return nil, err
	}
	return &Circular{radius: d / 2, depth: float64(spec.Depth), slope: slopes[0]}, nil
}

// Depth returns the height of the top of the bank over the floor.
func (c *Circular) Depth() units.Length { return units.Length(c.depth) }

// Slope returns the slope of the bank, horizontal per vertical.
func (c *Circular) Slope() float64 { return c.slope }

// DiameterAt returns the diameter of the level section at height h.
func (c *Circular) DiameterAt(h units.Length) units.Length {
	return units.Length(2 * (c.radius + c.slope*clamp(h, units.Length(c.depth))))
}

// AreaAt returns the area of the level section at height h.
func (c *Circular) AreaAt(h units.Length) units.Area {
	r := c.radius + c.slope*clamp(h, units.Length(c.depth))
	return units.Area(math.Pi * r * r)
}

// VolumeAt returns the content below height h, V = π(r²h + rzh² + z²h³/3) with
// the radius r of the floor. Worksheet 10A-2 of USDA NRCS, Agricultural Waste
// Management Field Handbook (NEH 651), chapter 10, prints it with the rounded
// coefficients 0.79, 1.57 and 1.05, up to 0.6 % more.
func (c *Circular) VolumeAt(h units.Length) units.Volume {
	x := clamp(h, units.Length(c.depth))
	r, z := c.radius, c.slope
	return units.Volume(math.Pi * x * (r*r + x*(r*z+x*z*z/3)))
}

// FloorAt returns the height at p of floor or bank over the floor, 0 to the depth, and
// false outside of the top of the bank. The origin is the middle of the basin.
func (c *Circular) FloorAt(p plane.Point) (units.Length, bool) {
	return onBanks(c.depth, toe{math.Hypot(float64(p.X), float64(p.Y)) - c.radius, c.slope})
}

// SlopeAreaAt returns the area of the bank below height h, measured along the slope.
func (c *Circular) SlopeAreaAt(h units.Length) units.Area {
	x := clamp(h, units.Length(c.depth))
	return units.Area(math.Pi * (2*c.radius + c.slope*x) * x * skeleton.Slant(c.slope))
}

// heightFor is the closed form of the inverse: πr²h((1+x)³-1)/3x with x = zh/r is
// the volume, which gives h for a volume inside the basin.
func (c *Circular) heightFor(v units.Volume) units.Length {
	r, z := c.radius, c.slope
	switch {
	case z == 0:
		return units.Length(float64(v) / (math.Pi * r * r))
	case r == 0:
		return units.Length(math.Cbrt(3 * float64(v) / (math.Pi * z * z)))
	}
	y := 3 * z * float64(v) / (math.Pi * r * r * r)
	if y > 1 {
		return units.Length(r / z * (math.Cbrt(1+y) - 1))
	}
	// A flat cone loses its digits in the difference.
	return units.Length(r / z * math.Expm1(math.Log1p(y)/3))
}
