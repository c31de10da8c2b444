package geostat

import (
	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/sludge/internal/outline"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// Sample is a length measured at a place: the thickness of the sludge, or the
// depth to its top or to the floor.
type Sample struct {
	At    plane.Point  `json:"at"`    // each coordinate within 1e9 m of 0
	Value units.Length `json:"value"` // within 1e9 m of 0
}

// checkSamples records what is wrong with samples, of which there must be least.
func checkSamples(f *units.Faults, samples []Sample, least int) {
	if len(samples) < least {
		f.Count("samples", len(samples), "samples", "%v or more", least)
	}
	for i, s := range samples {
		at := f.At("samples", i)
		outline.CheckPlace(&at, "at", s.At)
		at.Between("value", s.Value, -maxLength, maxLength)
	}
}

// maxLength bounds lengths that are squared and summed, so that they stay finite.
const maxLength units.Length = outline.MaxCoordinate

// placesOf returns the places of the samples.
func placesOf(samples []Sample) []mesh.XY {
	list := make([]mesh.XY, len(samples))
	for i, s := range samples {
		list[i] = mesh.Of(s.At)
	}
	return list
}
