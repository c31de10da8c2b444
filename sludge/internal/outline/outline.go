// Package outline checks the boundary of an area and the islands in it, and places
// on the plane.
package outline

import (
	"fmt"
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
	for i, c := range boundary {
		CheckPlace(&f, "boundary", i, "", c)
	}
	for k, p := range islands {
		for i, c := range p {
			if tooLarge(c) {
				CheckPlace(&f, fmt.Sprintf("islands[%d]", k), i, "", c)
			}
		}
	}
	if err := f.Err(); err != nil {
		return 0, err
	}
	return plane.CheckRegion(boundary, islands)
}

func tooLarge(p plane.Point) bool {
	return !(math.Abs(float64(p.X)) <= MaxCoordinate && math.Abs(float64(p.Y)) <= MaxCoordinate)
}

// CheckPlace records a coordinate of list[i] that is not finite or too large to
// square. There may be a million places: names are made for faults only.
func CheckPlace(f *units.Faults, list string, i int, field string, p plane.Point) {
	if !tooLarge(p) {
		return
	}
	at := fmt.Sprintf("%s[%d]%s", list, i, field)
	CheckCoordinate(f, at+".x", p.X)
	CheckCoordinate(f, at+".y", p.Y)
}

// CheckCoordinate records a coordinate that is not finite or too large.
func CheckCoordinate(f *units.Faults, field string, v units.Length) {
	if !(math.Abs(float64(v)) <= MaxCoordinate) {
		f.Between(field, v, units.Length(-MaxCoordinate), units.Length(MaxCoordinate))
	}
}

// Text returns a place for a message.
func Text(p plane.Point) string { return fmt.Sprintf("(%s, %s)", p.X.Trade(), p.Y.Trade()) }
