package sludge

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// TestCornersByTheRule: the thickness at a corner among the soundings is that of the
// triangulation of the soundings alone, and outside their hull that of the nearest one,
// whichever corners lie side by side, on lattices with ties too.
func TestCornersByTheRule(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	inside, outside, grouped := 0, 0, 0
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
		m := mesh.New(context.Background(), places, 1)
		corners := make([]int32, len(places)-len(data))
		for i, id := range m.ID {
			if int(id) >= len(data) {
				corners[int(id)-len(data)] = int32(i)
			}
		}
		refused := map[int32]bool{}
		got := edgeThickness(m, corners, z, TINSpec{Edge: EdgeRefuse}, func(c int32) { refused[c] = true })
		alone, hull := newTIN(data, z), convexHull(data)
		for i, c := range places[len(data):] {
			for j := range m.Joined(corners[i]) {
				if int(m.ID[j]) >= len(data) {
					grouped++
				}
			}
			in := len(hull) > 2
			for k, a := range hull {
				in = in && mesh.Orient(a, hull[(k+1)%len(hull)], c) >= 0
			}
			require.Equal(t, !in, refused[corners[i]], "%v", c)
			if !in {
				outside++
				near := slices.MinFunc(data, func(a, b mesh.XY) int {
					return cmp.Compare((a.X-c.X)*(a.X-c.X)+(a.Y-c.Y)*(a.Y-c.Y), (b.X-c.X)*(b.X-c.X)+(b.Y-c.Y)*(b.Y-c.Y))
				})
				require.Equal(t, z[slices.Index(data, near)], got[i], "%v", c)
				continue
			}
			inside++
			want, ok := alone.at(c)
			require.True(t, ok)
			require.InDelta(t, want, got[i], 1e-12, "%v", c)
		}
	}
	require.Greater(t, inside, 800)
	require.Greater(t, outside, 200)
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
