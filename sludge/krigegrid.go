package sludge

import (
	"math"
	"slices"

	"example.org/earthbasin/units/plane"
)

// Grid returns the estimates and their standard deviations at the centres of a
// grid over the boundary of s. Faults are on survey and on the fields of spec.
func (k *Kriging) Grid(s *Survey, spec GridSpec) (values, sd *Grid, err error) {
	if values, err = s.newGrid(spec); err != nil {
		return nil, nil, err
	}
	clone := *values
	sd = &clone
	sd.z = slices.Clone(values.z)
	points := make([]plane.Point, 0, len(values.z))
	cells := make([]int, 0, len(values.z))
	for i, z := range values.z {
		if !math.IsNaN(z) {
			points = append(points, values.Centre(i%values.l.cols, i/values.l.cols))
			cells = append(cells, i)
		}
	}
	estimates, err := k.Estimates(points, spec.Workers)
	if err != nil {
		return nil, nil, err
	}
	for i, e := range estimates {
		values.z[cells[i]], sd.z[cells[i]] = float64(e.Value), float64(e.SD)
	}
	return values, sd, nil
}
