// Package outline checks the boundary of an area and the islands in it, and places
// on the plane.
package outline

import (
	"math"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// MaxCoordinate bounds positions, in metres: far beyond any local or national
// grid, and small enough that products of four differences cannot overflow.
const MaxCoordinate = 1e9

// Check reports what is wrong with a boundary and with islands, as
// [plane.CheckRegion] does, and coordinates that are too large, and returns the area
// between them.
func Check(boundary plane.Polygon, islands []plane.Polygon) (units.Area, error) {
	var f units.Faults
	CheckPlaces(&f, "boundary", boundary)
	for k, p := range islands {
		for i, c := range p {
			at := f.At("islands", k, i)
			CheckPlace(&at, "", c)
		}
	}
	if err := f.Err(); err != nil {
		return 0, err
	}
	return plane.CheckRegion(boundary, islands)
}

// CheckPlaces records the coordinates in a list that are not finite or too large to
// square.
func CheckPlaces(f *units.Faults, list string, places []plane.Point) {
	for i, p := range places {
		at := f.At(list, i)
		CheckPlace(&at, "", p)
	}
}

// CheckPlace records the coordinates of a place that are not finite or too large to
// square.
func CheckPlace(f *units.Faults, field string, p plane.Point) {
	at := f.At(field)
	CheckCoordinate(&at, "x", p.X)
	CheckCoordinate(&at, "y", p.Y)
}

// CheckCoordinate records a coordinate that is not finite or too large.
func CheckCoordinate(f *units.Faults, field string, v units.Length) {
	if !(math.Abs(float64(v)) <= MaxCoordinate) {
		f.Between(field, v, units.Length(-MaxCoordinate), units.Length(MaxCoordinate))
	}
}

// Place returns a place for a message.
func Place(p plane.Point) units.Phrase { return units.Words("(%v, %v)", p.X, p.Y) }
