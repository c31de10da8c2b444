package sludge

import (
	"context"
	"math"

	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/sludge/internal/outline"
	"example.org/earthbasin/sludge/internal/parallel"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// IDWSpec says how to weight by distance.
type IDWSpec struct {
	Power float64 `json:"power"` // above 0 up to 100; 2 is usual
	// Neighbours is how many of the nearest soundings count, up to 1000; 0 for all.
	Neighbours int `json:"neighbours"`
}

// IDW is a surface by inverse distance weights: sum z d^-p / sum d^-p over the
// nearest soundings, and the sounding's own thickness at a sounding (An
// Introduction to Applied Geostatistics, Oxford University Press, 1989, ch. 11).
// Of equally near soundings at the limit the first ones count. It does not change
// and is safe for concurrent use.
type IDW struct {
	survey *Survey
	spec   IDWSpec
	near   *mesh.Neighbours
}

// NewIDW makes a surface of the soundings of s. Errors are [units.FieldError].
func NewIDW(s *Survey, spec IDWSpec) (*IDW, error) {
	var f units.Faults
	s.checkUsable(&f)
	if !(spec.Power > 0 && spec.Power <= 100) {
		f.Add("power", spec.Power, "more than 0, up to 100")
	}
	f.NumberBetween("neighbours", float64(spec.Neighbours), 0, mesh.MaxNeighbours)
	if err := f.Err(); err != nil {
		return nil, err
	}
	places := make([]mesh.XY, len(s.x))
	for i := range places {
		places[i] = mesh.XY{X: s.x[i], Y: s.y[i]}
	}
	if spec.Neighbours >= len(places) {
		spec.Neighbours = 0
	}
	return &IDW{s, spec, mesh.NewNeighbours(places)}, nil
}

// At returns the thickness at p, inside the boundary or not, and false when p is
// not finite or farther than any plane reaches.
func (w *IDW) At(p plane.Point) (units.Length, bool) {
	if w.near == nil || !(math.Abs(float64(p.X)) <= outline.MaxCoordinate && math.Abs(float64(p.Y)) <= outline.MaxCoordinate) {
		return 0, false
	}
	k := w.spec.Neighbours
	return units.Length(w.at(mesh.Of(p), make([]int32, k), make([]float64, k))), true
}

// at uses id and dist as working space.
func (w *IDW) at(p mesh.XY, id []int32, dist []float64) float64 {
	if len(id) == 0 {
		return w.ofAll(p)
	}
	n := w.near.Find(p, id, dist)
	if dist[0] == 0 {
		return w.survey.z[id[0]]
	}
	// Weights relative to the nearest sounding's, so that no power overflows.
	var top, bottom float64
	for i := range n {
		q := w.weight(dist[0] / dist[i])
		top += q * w.survey.z[id[i]]
		bottom += q
	}
	return top / bottom
}

// ofAll is at over all soundings, which need no order.
func (w *IDW) ofAll(p mesh.XY) float64 {
	x, y, z := w.survey.x, w.survey.y, w.survey.z
	near, least := 0, math.Inf(1)
	for i := range z {
		dx, dy := x[i]-p.X, y[i]-p.Y
		if d := dx*dx + dy*dy; d < least {
			near, least = i, d
		}
	}
	if least == 0 {
		return z[near]
	}
	var top, bottom float64
	for i := range z {
		dx, dy := x[i]-p.X, y[i]-p.Y
		q := w.weight(least / (dx*dx + dy*dy))
		top += q * z[i]
		bottom += q
	}
	return top / bottom
}

// weight returns the weight at a squared distance of 1/q.
func (w *IDW) weight(q float64) float64 {
	if w.spec.Power == 2 {
		return q
	}
	return math.Pow(q, w.spec.Power/2)
}

// Grid evaluates the surface at the centres of a grid. It ends with the error of ctx
// when that is done.
func (w *IDW) Grid(ctx context.Context, spec GridSpec) (*Grid, error) {
	g, err := w.survey.newGrid(spec)
	if err != nil {
		return nil, err
	}
	parallel.Bands(g.l.Rows, spec.Workers, func(from, to int) {
		id, dist := make([]int32, w.spec.Neighbours), make([]float64, w.spec.Neighbours)
		for r := from; r < to && ctx.Err() == nil; r++ {
			for c := range g.l.Cols {
				if k := r*g.l.Cols + c; g.z[k] == 0 {
					g.z[k] = w.at(g.centre(c, r), id, dist)
				}
			}
		}
	})
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return g, nil
}
