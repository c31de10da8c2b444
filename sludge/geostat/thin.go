package geostat

import (
	"cmp"
	"math"
	"slices"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// Thin averages samples over square cells of the given side, places and values
// alike, so that a dense sonar track becomes a set that a variogram and block
// kriging can take. It returns one sample for each cell that holds any, by rows
// from the south-west. Faults are on samples (one or more) and side (1 mm or
// more).
func Thin(samples []Sample, side units.Length) ([]Sample, error) {
	var f units.Faults
	checkSamples(&f, samples, 1)
	f.Between("side", side, units.Millimetre, maxLength)
	if err := f.Err(); err != nil {
		return nil, err
	}
	type cell struct{ row, column float64 }
	at := make([]cell, len(samples))
	order := make([]int, len(samples))
	for i, s := range samples {
		at[i] = cell{math.Floor(float64(s.At.Y / side)), math.Floor(float64(s.At.X / side))}
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(at[a].row, at[b].row), cmp.Compare(at[a].column, at[b].column), cmp.Compare(a, b))
	})
	var thin []Sample
	for len(order) > 0 {
		n := 1
		for n < len(order) && at[order[n]] == at[order[0]] {
			n++
		}
		thin = append(thin, meanSample(samples, order[:n]))
		order = order[n:]
	}
	return thin, nil
}

// meanSample returns the mean place and value of the samples at the indices.
func meanSample(samples []Sample, indices []int) Sample {
	first := samples[indices[0]]
	var dx, dy, dz units.Length // from the first, so that equal ones stay equal
	for _, i := range indices {
		dx += samples[i].At.X - first.At.X
		dy += samples[i].At.Y - first.At.Y
		dz += samples[i].Value - first.Value
	}
	n := units.Length(len(indices))
	return Sample{plane.Point{X: first.At.X + dx/n, Y: first.At.Y + dy/n}, first.Value + dz/n}
}
