package sludge

import (
	"fmt"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// Sample is a length measured at a place: the thickness of the sludge, or the
// depth to its top or to the floor.
type Sample struct {
	At    plane.Point  `json:"at"`
	Value units.Length `json:"value"`
}

// Samples returns the thickness at each sounding in use, in the order of
// [Survey.Readings]. Points of zero thickness on the waterline are not among them.
func (s *Survey) Samples() []Sample {
	samples := make([]Sample, s.N())
	for i, r := range s.Readings() {
		samples[i] = Sample{r.At, r.Thickness}
	}
	return samples
}

// checkSamples records what is wrong with samples, of which there must be least.
func checkSamples(f *units.Faults, samples []Sample, least int) {
	if len(samples) < least {
		f.Add("samples", len(samples), fmt.Sprintf("%d or more", least))
	}
	for i, s := range samples {
		checkPoint(f, fmt.Sprintf("samples[%d].at", i), s.At)
		f.Between(fmt.Sprintf("samples[%d].value", i), s.Value, -maxLength, maxLength)
	}
}

// checkPoint records a coordinate that is not finite or too large to square.
func checkPoint(f *units.Faults, path string, p plane.Point) {
	f.Between(path+".x", p.X, -maxLength, maxLength)
	f.Between(path+".y", p.Y, -maxLength, maxLength)
}

// maxLength keeps squares and sums of coordinates and values finite. It is far
// beyond any map projection.
const maxLength units.Length = 1e9

// placesOf returns the places of the samples.
func placesOf(samples []Sample) []xy {
	list := make([]xy, len(samples))
	for i, s := range samples {
		list[i] = xyOf(s.At)
	}
	return list
}
