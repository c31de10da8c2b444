package sludge

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// TestCornersInsideTheHull: the thickness at a corner among the soundings is that of the
// triangulation of the soundings alone, whichever corners lie side by side, on lattices
// with ties too.
func TestCornersInsideTheHull(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	inside, grouped := 0, 0
	for range 400 {
		var data, places []mesh.XY
		var z []float64
		known := map[mesh.XY]bool{}
		place := func(spread float64) (mesh.XY, bool) {
			p := mesh.XY{X: spread * rng.NormFloat64(), Y: spread * rng.NormFloat64()}
			if spread != 0 && rng.IntN(2) == 0 {
				p = mesh.XY{X: math.Round(p.X), Y: math.Round(p.Y)}
			}
			first := !known[p]
			known[p] = true
			return p, first
		}
		for range 3 + rng.IntN(60) {
			if p, first := place(4); first {
				data, z = append(data, p), append(z, rng.Float64())
			}
		}
		places = append(places, data...)
		for range 1 + rng.IntN(12) {
			if p, first := place(3); first {
				places = append(places, p)
			}
		}
		spec := TINSpec{Edge: EdgeNearest}
		m := mesh.New(context.Background(), places, 1)
		got := edgeThickness(m, places, z, spec, nil)
		alone, hull := newTIN(data, z, spec), mesh.ConvexHull(data)
		for i, c := range places[len(data):] {
			if !mesh.InConvex(hull, c) {
				continue
			}
			inside++
			want, ok := alone.at(c)
			require.True(t, ok)
			require.InDelta(t, want, got[i], 1e-12, "%v", c)
		}
		h := newHoles(m, int32(len(data)))
		for i, joined := range h.joined {
			for _, j := range joined {
				if j != i && j >= h.data {
					grouped++
				}
			}
		}
	}
	require.Greater(t, inside, 800)
	require.Greater(t, grouped, 800)
}

// TestTINOnLattice: on lines of soundings the surface lies between its soundings, also
// where a line of sides points at the place from beyond.
func TestTINOnLattice(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 60 {
		var places []mesh.XY
		for x := range 11 {
			for y := range 9 {
				if rng.IntN(3) > 0 {
					places = append(places, mesh.XY{X: float64(x), Y: float64(y)})
				}
			}
		}
		if len(places) < 3 {
			continue
		}
		tin := tinOf(t, surveyAt(t, plane.Polygon{{X: -1, Y: -1}, {X: 12, Y: -1}, {X: 12, Y: 10}, {X: -1, Y: 10}}, nil, places, func(int) float64 { return 1 + rng.Float64() }), EdgeNearest)
		for i := range 23 {
			for j := range 19 {
				z, ok := tin.At(plane.Point{X: units.Length(i) / 2, Y: units.Length(j) / 2})
				require.True(t, ok)
				require.GreaterOrEqual(t, float64(z), 1-1e-12)
				require.LessOrEqual(t, float64(z), 2+1e-12)
			}
		}
	}
}
