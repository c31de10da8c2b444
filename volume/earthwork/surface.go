package earthwork

import (
	"math"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

const (
	slack      = 1e-9 // the relative error of a size that is taken for rounding
	maxCorners = 2000 // of an outline, all of whose pairs of edges are compared
)

// Surface gives a level at every place: a [Plane], a [HipCrown], a
// [volume.LevelGrid], or a type of the caller, which is safe for concurrent use. A
// surface that has a method Check() error is asked by it whether it is sound.
type Surface interface {
	LevelAt(p plane.Point) units.Length
}

// checkSurface records a fault when there is no surface at path, and the faults of
// one that checks itself.
func checkSurface(f *units.Faults, path string, s Surface) {
	if units.IsNil(s) {
		f.Missing(path, "a surface")
		return
	}
	if c, ok := s.(interface{ Check() error }); ok {
		f.Sub(path, c.Check())
	}
}

// Plane is a level that rises evenly. The zero value is the level plane at 0.
type Plane struct {
	At    plane.Point  `json:"at"`    // a place on the plane, within 1e8 m of the origin
	Level units.Length `json:"level"` // at At
	East  float64      `json:"east"`  // rise per run to the east, below 0 for a fall
	North float64      `json:"north"` // rise per run to the north
}

// LevelAt returns the level at p.
func (s Plane) LevelAt(p plane.Point) units.Length {
	d := p.Sub(s.At)
	return s.Level + units.Length(s.East)*d.X + units.Length(s.North)*d.Y
}

// Grade returns the steepest rise per run.
func (s Plane) Grade() float64 { return math.Hypot(s.East, s.North) }

// Fall returns the direction in which water runs, in degrees clockwise from north,
// 0 to below 360; 0 for a level plane.
func (s Plane) Fall() float64 {
	if s.Grade() == 0 {
		return 0
	}
	return math.Mod(math.Atan2(-s.East, -s.North)*180/math.Pi+360, 360)
}

// Check reports a number of the plane that no ground has. Fields are those of the
// plane, such as at.x.
func (s Plane) Check() error {
	var f units.Faults
	at := f.At("at")
	at.Between("x", s.At.X, -units.MaxCoordinate, units.MaxCoordinate)
	at.Between("y", s.At.Y, -units.MaxCoordinate, units.MaxCoordinate)
	f.Between("level", s.Level, -units.MaxLength, units.MaxLength)
	f.NumberBetween("east", s.East, -1, 1)
	f.NumberBetween("north", s.North, -1, 1)
	return f.Err()
}
