package sludge

import (
	"math"
	"slices"
	"strings"
	"time"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/units/strict"
)

// Sounding is one place where the sludge was measured. It carries either the
// depth to the sludge top and the depth to the hard floor, both from the liquid
// surface of the moment; or the top alone when the survey names a [Floor]; or a
// thickness measured directly, as with a core tube.
type Sounding struct {
	Name string      `json:"name,omitempty"` // for messages, such as P7; may be left out
	At   plane.Point `json:"at"`             // place in the local plane, within 1e9 m of its origin

	ToSludge  *units.Length `json:"toSludge,omitempty"`  // liquid surface to sludge top, 0 or more
	ToFloor   *units.Length `json:"toFloor,omitempty"`   // liquid surface to hard floor, 0 or more
	Thickness *units.Length `json:"thickness,omitempty"` // direct, 0 or more, instead of the two depths

	// Time places the sounding on the survey's level readings. It is needed only
	// when there are some and the sounding has depths.
	Time time.Time `json:"time,omitzero"`
	// LevelRise is how far the liquid surface stood above the reference surface at
	// this sounding, negative when below. It is the direct way to correct one
	// sounding when the survey has no level readings.
	LevelRise units.Length `json:"levelRise,omitempty"`
	// Track is the number of what the error of the sounding is shared with: a boat
	// track, a day, a pole. 0 is one of them too; -1e9 to 1e9.
	Track int `json:"track,omitempty"`
}

// NewSounding returns a sounding of a thickness measured directly, 0 or more, at a
// place. NewSurvey checks it.
func NewSounding(x, y, thickness units.Length) Sounding {
	return Sounding{At: plane.Point{X: x, Y: y}, Thickness: &thickness}
}

// UnmarshalJSON reads a sounding with the json names of its fields. One without a
// place is a [units.FieldError]: it does not lie at the origin.
func (s *Sounding) UnmarshalJSON(text []byte) error {
	return s.UnmarshalStrict(strict.Reader{}, text)
}

// UnmarshalStrict is UnmarshalJSON with the signs of a reader.
func (s *Sounding) UnmarshalStrict(r strict.Reader, text []byte) error {
	type fields Sounding
	nowhere := units.Length(math.NaN()) // which JSON cannot say
	in := fields{At: plane.Point{X: nowhere}}
	var f units.Faults
	f.Sub("", r.Decode(text, &in))
	if math.IsNaN(in.At.X.SI()) {
		in.At = plane.Point{}
		if err := f.Err(); !slices.ContainsFunc(units.FieldErrors(err), func(e *units.FieldError) bool { return strings.HasPrefix(e.Field, "at") }) {
			f.Missing("at", "the place, with x and y")
		}
	}
	*s = Sounding(in)
	return f.Err()
}

// LevelReading is the liquid level on a staff gauge at one time. The zero of the
// gauge may be anywhere; levels count upwards.
type LevelReading struct {
	Time  time.Time    `json:"time"`  // later than that of the reading before
	Level units.Length `json:"level"` // within 1e6 m of the zero of the gauge
}

// DuplicateRule says what becomes of several soundings at exactly one place.
type DuplicateRule = units.Enum[duplicateWords]

const (
	DuplicatesRefuse DuplicateRule = iota // "refuse": an error that names them
	DuplicatesMean                        // "mean": one sounding with the mean thickness and the mean depths
)

var duplicateNames = units.Names{"refuse", "mean"}

type duplicateWords struct{}

func (duplicateWords) Names() units.Names { return duplicateNames }

// OutsideRule says what becomes of soundings outside the boundary or on an
// island.
type OutsideRule = units.Enum[outsideWords]

const (
	OutsideRefuse OutsideRule = iota // "refuse": an error that names them
	OutsideDrop                      // "drop": left out and counted
	OutsideKeep                      // "keep": kept: they shape the surfaces near the edge and count in the mean
)

var outsideNames = units.Names{"refuse", "drop", "keep"}

type outsideWords struct{}

func (outsideWords) Names() units.Names { return outsideNames }

// Reading is a sounding as the survey uses it, depths corrected to the reference
// surface and duplicates merged.
type Reading struct {
	Index     int          `json:"index"`          // in the soundings of the spec; of the first one where several were merged
	Name      string       `json:"name,omitempty"` // of that sounding
	At        plane.Point  `json:"at"`             // place in the local plane
	Thickness units.Length `json:"thickness"`      // of the sludge, 0 or more
	Merged    int          `json:"merged"`         // soundings averaged here, 1 when it is alone

	HasDepths bool         `json:"hasDepths"`          // the two depths follow
	ToSludge  units.Length `json:"toSludge,omitempty"` // reference surface to sludge top; below 0 when the sludge stands above it
	ToFloor   units.Length `json:"toFloor,omitempty"`  // reference surface to hard floor

	FloorAssumed bool `json:"floorAssumed"` // the floor is from drawings, not measured
	Outside      bool `json:"outside"`      // outside the boundary or on an island
}
