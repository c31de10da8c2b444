package sludge

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge/geostat"
	"example.org/earthbasin/sludge/internal/fixtures"
	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// The grids of the faster ways agree with asking each cell, at any number of
// workers, on soundings that lie on cell centres and shared sides.
func TestGrids(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	var places []mesh.XY
	for i := range 400 {
		places = append(places, mesh.XY{X: float64(i%20) + 0.5, Y: float64(i/20) + 0.5}, mesh.XY{X: 20 * rng.Float64(), Y: 20 * rng.Float64()})
	}
	s := surveyAt(t, star(10, 10, 9.7, 30), []plane.Polygon{rectangle(7, 7, 9, 9)}, places, func(int) float64 { return 1 + rng.Float64() })
	tin := tinOf(t, s, EdgeNearest)
	w, err := NewIDW(s, IDWSpec{Power: 2, Neighbours: 8})
	require.NoError(t, err)
	for _, spec := range []GridSpec{{Spacing: 1}, {Spacing: 0.23}, {Columns: 3, Rows: 50}, {Columns: 1, Rows: 1}} {
		for name, own := range map[string]func(context.Context, GridSpec) (*Grid, error){"tin": tin.Grid, "idw": w.Grid} {
			var surface Surface = tin
			if name == "idw" {
				surface = w
			}
			g, err := own(context.Background(), spec)
			require.NoError(t, err)
			slow, err := SurfaceGrid(context.Background(), s, surface, spec)
			require.NoError(t, err)
			spec.Workers = 3
			other, err := own(context.Background(), spec)
			require.NoError(t, err)
			cols, rows := g.Dims()
			for c := range cols {
				for r := range rows {
					z, ok := g.At(c, r)
					zz, okk := slow.At(c, r)
					require.Equal(t, okk, ok, "%s %d %d", name, c, r)
					require.InDelta(t, float64(zz), float64(z), 1e-12)
					zz, okk = other.At(c, r)
					require.Equal(t, []any{z, ok}, []any{zz, okk}, "the same bits at any number of workers")
				}
			}
		}
	}
}

func TestGridView(t *testing.T) {
	s := surveyAt(t, rectangle(10, 20, 14, 26), []plane.Polygon{rectangle(11.5, 22.5, 12.5, 23.5)}, xys(12, 21),
		func(int) float64 { return 0.6096 })
	g, err := tinOf(t, s, EdgeNearest).Grid(context.Background(), GridSpec{Spacing: 2})
	require.NoError(t, err)
	v := g.View(units.Foot)
	c, r := v.Dims()
	require.Equal(t, [2]int{2, 3}, [2]int{c, r})
	require.InDelta(t, 11/0.3048, v.X(0), 1e-12)
	require.InDelta(t, 25/0.3048, v.Y(2), 1e-12)
	require.InDelta(t, 2, v.Z(1, 2), 1e-12)
	require.InDelta(t, 2, v.Min(), 1e-12)
	require.InDelta(t, 2, v.Max(), 1e-12)
	require.True(t, math.IsNaN(v.Z(5, 5)))
	require.InDelta(t, 0.6096, g.View(0).Z(0, 0), 1e-12)
	w, h := g.Cell()
	require.Equal(t, []units.Length{2, 2}, []units.Length{w, h})
	_, ok := g.At(-1, 0)
	require.False(t, ok)
}

func TestGridFaults(t *testing.T) {
	s := surveyAt(t, rectangle(0, 0, 4, 4), nil, xys(1, 1), func(int) float64 { return 1 })
	tin := tinOf(t, s, EdgeZero)
	for _, spec := range []GridSpec{{}, {Spacing: -1}, {Spacing: 1, Rows: 1}, {Columns: 3}, {Columns: math.MaxInt, Rows: math.MaxInt},
		{Columns: 10000, Rows: 10000}, {Spacing: 1e-9}, {Spacing: 1, Workers: -1}} {
		_, err := tin.Grid(context.Background(), spec)
		require.NotEmpty(t, units.FieldErrors(err), "%+v", spec)
	}
	hole := SurfaceFunc(func(p plane.Point) (units.Length, bool) { return 1, p.X < 3 })
	_, err := SurfaceGrid(context.Background(), s, hole, GridSpec{Spacing: 1})
	require.ErrorContains(t, err, "surface")
	_, err = SurfaceGrid(context.Background(), nil, nil, GridSpec{Spacing: 1})
	require.Len(t, units.FieldErrors(err), 2)
	for _, spec := range []IDWSpec{{}, {Power: -1}, {Power: math.NaN()}, {Power: 2, Neighbours: -1}} {
		_, err := NewIDW(s, spec)
		require.Error(t, err)
	}
	w, err := NewIDW(s, IDWSpec{Power: 2})
	require.NoError(t, err)
	_, ok := w.At(plane.Point{X: units.Length(math.NaN())})
	require.False(t, ok)
}

// At a sounding IDW returns it, near one it stays finite at any power, and between
// two of equal distance it is the mean.
func TestIDW(t *testing.T) {
	s := surveyAt(t, rectangle(0, 0, 10, 10), nil, xys(1, 1, 3, 1, 9, 9), func(i int) float64 { return float64(i) })
	for _, power := range []float64{0.5, 1, 2, 3.5, 100} {
		w, err := NewIDW(s, IDWSpec{Power: power, Neighbours: 2})
		require.NoError(t, err)
		z, _ := w.At(at(3, 1))
		require.Equal(t, 1*units.Metre, z)
		z, _ = w.At(at(2, 5))
		require.InDelta(t, 0.5, float64(z), 1e-15)
		z, _ = w.At(at(9, math.Nextafter(9, 10)))
		require.InDelta(t, 2, float64(z), 1e-6)

		all, err := NewIDW(s, IDWSpec{Power: power})
		require.NoError(t, err)
		z, _ = all.At(at(3, 1))
		require.Equal(t, 1*units.Metre, z)
		z, _ = all.At(at(2, 5))
		far := math.Pow(math.Sqrt(17.0/65), power) // of the third, over the weight of the others
		require.InDelta(t, (1+2*far)/(2+far), float64(z), 1e-12)
	}
	_, err := NewIDW(s, IDWSpec{Power: 2, Neighbours: mesh.MaxNeighbours + 1})
	require.Equal(t, []string{"neighbours"}, fields(err))
}

func TestKrigingGrid(t *testing.T) {
	k, err := geostat.NewKriging(context.Background(), geostat.KrigingSpec{Samples: rounded(24), Model: mound})
	require.NoError(t, err)
	var _ Surface = k
	s := surveyOf(t, fixtures.Edge(), rounded(24))
	values, sd, err := KrigingGrid(context.Background(), s, k, GridSpec{Columns: 12, Rows: 8, Workers: 2})
	require.NoError(t, err)
	slow, err := SurfaceGrid(context.Background(), s, k, GridSpec{Columns: 12, Rows: 8})
	require.NoError(t, err)
	for c := range 12 {
		for r := range 8 {
			want, ok := slow.At(c, r)
			got, in := values.At(c, r)
			require.Equal(t, ok, in)
			require.InDelta(t, float64(want), float64(got), 1e-14)
			e, err := k.Estimate(values.Centre(c, r))
			require.NoError(t, err)
			d, in := sd.At(c, r)
			require.Equal(t, ok, in)
			if in {
				require.InDelta(t, float64(e.SD), float64(d), 1e-12)
			}
		}
	}
	_, _, err = KrigingGrid(context.Background(), nil, k, GridSpec{})
	require.Equal(t, []string{"survey"}, fields(err))
	_, _, err = KrigingGrid(context.Background(), s, k, GridSpec{Columns: -1, Rows: 3})
	require.Equal(t, []string{"columns"}, fields(err))
	_, ok := k.At(at(math.Inf(1), 0))
	require.False(t, ok)
}

// A grid ends with its context and is never half done.
func TestContextEndsGrids(t *testing.T) {
	s := surveyAt(t, rectangle(0, 0, 60, 40), nil, []mesh.XY{{X: 10, Y: 10}, {X: 40, Y: 20}, {X: 30, Y: 35}}, func(int) float64 { return 1 })
	k, err := geostat.NewKriging(context.Background(), geostat.KrigingSpec{Samples: s.Samples(), Model: mound})
	require.NoError(t, err)
	w, err := NewIDW(s, IDWSpec{Power: 2})
	require.NoError(t, err)
	tin := tinOf(t, s, EdgeNearest)
	spec := GridSpec{Columns: 100, Rows: 100, Workers: 2}

	ctx, cancel := context.WithCancel(context.Background())
	asked := 0
	slow := SurfaceFunc(func(plane.Point) (units.Length, bool) {
		if asked++; asked == 500 {
			cancel()
		}
		return 1, true
	})
	g, err := SurfaceGrid(ctx, s, slow, GridSpec{Columns: 100, Rows: 100})
	require.ErrorIs(t, err, context.Canceled)
	require.Nil(t, g)
	require.Equal(t, 500, asked) // none after

	for _, grid := range []func(context.Context, GridSpec) (*Grid, error){
		tin.Grid, w.Grid,
		func(ctx context.Context, spec GridSpec) (*Grid, error) { return SurfaceGrid(ctx, s, tin, spec) },
		func(ctx context.Context, spec GridSpec) (*Grid, error) {
			values, sd, err := KrigingGrid(ctx, s, k, spec)
			require.Nil(t, sd)
			return values, err
		},
	} {
		g, err := grid(ctx, spec)
		require.ErrorIs(t, err, context.Canceled)
		require.Nil(t, g)
	}
}

// A surface of the caller's whose value no basin could hold is a fault of every function
// that asks it, and not an infinite volume.
func TestSurfacesBeyondAnyBasin(t *testing.T) {
	s := surveyAt(t, rectangle(0, 0, 4, 4), nil, xys(1, 1), func(int) float64 { return 1 })
	for _, z := range []units.Length{1e308, -1e308, units.Length(math.Inf(1)), units.Length(math.Inf(-1)), 2e6} {
		surface := SurfaceFunc(func(plane.Point) (units.Length, bool) { return z, true })
		_, byVolume := SurfaceVolume(t.Context(), s, SurfaceVolumeSpec{Surface: surface})
		_, byGrid := SurfaceGrid(t.Context(), s, surface, GridSpec{Columns: 3, Rows: 3})
		_, byContours := SurfaceContours(t.Context(), s, surface, ContourSpec{Levels: []units.Length{1}, Spacing: 1})
		for _, err := range []error{byVolume, byGrid, byContours} {
			require.Equal(t, []string{"surface"}, fields(err), z)
		}
	}
	_, err := s.Nodes(1e-5)
	require.ErrorContains(t, err, "a spacing that gives at most 4,000,000 cells")
}

// As many neighbours as soundings, or more, are all of them, and fewer are the nearest.
func TestIDWNeighbours(t *testing.T) {
	s := surveyAt(t, rectangle(0, 0, 10, 10), nil, xys(1, 1, 3, 1, 9, 9, 4, 8), func(i int) float64 { return float64(i * i) })
	p := at(4, 4)
	of := func(n int) float64 {
		w, err := NewIDW(s, IDWSpec{Power: 2, Neighbours: n})
		require.NoError(t, err)
		z, ok := w.At(p)
		require.True(t, ok)
		return float64(z)
	}
	squares := []float64{18, 10, 50, 16} // of the distances
	for n, nearest := range map[int][]int{1: {1}, 2: {1, 3}, 3: {1, 3, 0}, 4: {0, 1, 2, 3}, 5: {0, 1, 2, 3}, 0: {0, 1, 2, 3}} {
		var top, bottom float64
		for _, i := range nearest {
			top += float64(i*i) / squares[i]
			bottom += 1 / squares[i]
		}
		require.InDelta(t, top/bottom, of(n), 1e-12, "%d neighbours", n)
	}
}
