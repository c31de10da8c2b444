package sludge

import (
	"fmt"
	"math"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// Sample is a length measured at a place: the thickness of the sludge, or the
// depth to its top or to the floor.
type Sample struct {
	At    plane.Point  `json:"at"`    // each coordinate within 1e9 m of 0
	Value units.Length `json:"value"` // within 1e9 m of 0
}

// Samples returns the thickness at each sounding in use, in the order of
// [Survey.Readings]. Points of zero thickness on the waterline are not among them.
func (s *Survey) Samples() []Sample {
	samples := make([]Sample, s.n)
	for i := range samples {
		samples[i] = Sample{s.at(i), units.Length(s.z[i])}
	}
	return samples
}

// checkSamples records what is wrong with samples, of which there must be least.
func checkSamples(f *units.Faults, samples []Sample, least int) {
	if len(samples) < least {
		f.Add("samples", len(samples), fmt.Sprintf("%d or more", least))
	}
	for i, s := range samples {
		checkPoint(f, "samples", i, ".at", s.At)
		if !(math.Abs(float64(s.Value)) <= maxCoordinate) {
			f.Between(fmt.Sprintf("samples[%d].value", i), s.Value, -maxLength, maxLength)
		}
	}
}

// checkPoint records a coordinate of list[i] that is not finite or too large to
// square. There may be a million points: names are made for faults only.
func checkPoint(f *units.Faults, list string, i int, field string, p plane.Point) {
	if math.Abs(float64(p.X)) <= maxCoordinate && math.Abs(float64(p.Y)) <= maxCoordinate {
		return
	}
	at := fmt.Sprintf("%s[%d]%s", list, i, field)
	coordinate(f, at+".x", p.X)
	coordinate(f, at+".y", p.Y)
}

// maxLength bounds lengths that are squared and summed, so that they stay finite.
const maxLength units.Length = maxCoordinate

// placesOf returns the places of the samples.
func placesOf(samples []Sample) []xy {
	list := make([]xy, len(samples))
	for i, s := range samples {
		list[i] = xyOf(s.At)
	}
	return list
}
