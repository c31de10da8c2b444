package volume

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume/internal/plantest"
)

// everySolid returns one of each kind of basin, for tests and benchmarks that
// hold for all of them.
func everySolid(t testing.TB) map[string]Basin {
	t.Helper()
	circle, err := NewCircular(CircularSpec{Diameter: 40, At: ReferenceTop, Depth: 4, Slopes: []float64{2.5}})
	require.NoError(t, err)
	cone, err := NewCircular(CircularSpec{Diameter: 40, At: ReferenceTop, Depth: 4, Slopes: []float64{5}})
	require.NoError(t, err)
	tank, err := NewCircular(CircularSpec{Diameter: 40, At: ReferenceTop, Depth: 4, Slopes: []float64{0}})
	require.NoError(t, err)
	ell := plane.Polygon{plantest.Pt(0, 0), plantest.Pt(60, 0), plantest.Pt(60, 30), plantest.Pt(25, 33), plantest.Pt(22, 70), plantest.Pt(0, 70)}
	plain := mustRectangular(t, RectangularSpec{Length: 60, Width: 40, At: ReferenceFloor, Depth: 4, Slopes: []float64{3}})
	return map[string]Basin{
		"end area":    mustSurveyed(t, SurveyedSpec{Areas: contours(plain, 8), Method: MethodEndArea}),
		"conic":       mustSurveyed(t, SurveyedSpec{Areas: contours(plain, 8), Method: MethodConic}),
		"prismoidal":  mustSurveyed(t, SurveyedSpec{Areas: contours(plain, 8), Method: MethodPrismoidal}),
		"floor":       mustFloor(t, FloorSpec{Surface: rectangularSurface(60, 40, 3, 4, 100), Top: 104}),
		"rough floor": mustFloor(t, FloorSpec{Surface: randomGround(rand.New(rand.NewPCG(1, 1)), 5000), Top: 4}),
		"polygon":     mustPolygon(t, PolygonSpec{Outline: ell, At: ReferenceTop, Depth: 4, Slopes: []float64{2, 2, 2.5, 3, 2, 2}}),
		"rounded":     mustPolygon(t, PolygonSpec{Outline: box(60, 40), At: ReferenceTop, Depth: 4, Slopes: []float64{2}, CornerRadius: 5}),
		"rectangular": mustRectangular(t, RectangularSpec{Length: 425 * ft, Width: 100 * ft, At: ReferenceFloor, Depth: 6.2 * ft, Slopes: []float64{3, 2, 2.5, 4}}),
		"pyramid":     mustRectangular(t, RectangularSpec{Length: 12, Width: 12, At: ReferenceTop, Depth: 3, Slopes: []float64{2}}),
		"walls":       mustRectangular(t, RectangularSpec{Length: 12, Width: 10, At: ReferenceTop, Depth: 3, Slopes: []float64{0}}),
		"circular":    circle,
		"cone":        cone,
		"tank":        tank,
	}
}

func TestHeightForRoundTrip(t *testing.T) {
	for name, b := range everySolid(t) {
		t.Run(name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(1, 1))
			d := b.Depth()
			for range 2000 {
				h := units.Length(r.Float64()) * d
				if r.IntN(4) == 0 {
					h *= units.Length(math.Pow(10, -6*r.Float64()))
				}
				got, err := HeightFor(b, b.VolumeAt(h))
				require.NoError(t, err)
				// The area vanishes at a pointed floor: there the height is as
				// sharp as the volume, relative to the whole.
				require.InDelta(t, float64(b.VolumeAt(h)), float64(b.VolumeAt(got)), 1e-12*float64(Capacity(b)))
				if b.AreaAt(0) > 0 {
					require.InDelta(t, float64(h), float64(got), 1e-9*float64(d))
				}
			}
			got, err := HeightFor(b, 0)
			require.NoError(t, err)
			require.Zero(t, got)
			got, err = HeightFor(b, Capacity(b))
			require.NoError(t, err)
			require.Equal(t, d, got)
			got, err = HeightFor(b, Capacity(b)*(1+1e-12))
			require.NoError(t, err)
			require.Equal(t, d, got)
			for _, v := range []units.Volume{-1, Capacity(b) * 1.001, units.Volume(math.NaN()), units.Volume(math.Inf(1))} {
				_, err = HeightFor(b, v)
				plantest.RequireFields(t, err, "volume")
				require.ErrorContains(t, err, Capacity(b).Trade())
			}
		})
	}
}

// broken is a basin that breaks the rules of the interface.
type broken struct{ depth, area, volume float64 }

func (b broken) Depth() units.Length            { return units.Length(b.depth) }
func (b broken) AreaAt(units.Length) units.Area { return units.Area(b.area) }
func (b broken) VolumeAt(h units.Length) units.Volume {
	if float64(h) < b.depth {
		return units.Volume(b.volume)
	}
	return 100
}

func TestHeightForBrokenBasin(t *testing.T) {
	_, err := HeightFor(nil, 1)
	plantest.RequireFields(t, err, "basin")
	_, err = HeightFor(broken{2, 1, math.NaN()}, 50)
	plantest.RequireFields(t, err, "basin")
	for _, area := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		h, err := HeightFor(broken{2, area, 0}, 50)
		require.NoError(t, err)
		require.True(t, h >= 0 && h <= 2)
	}
}

// What a basin of the caller's type says of itself is a fault where no answer can be made
// of it, and not an answer that is no number.
func TestBrokenBasinsAreFaults(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, b := range []broken{{nan, 1, 1}, {inf, 1, 1}, {1e308, 1, 1}, {-1, 1, 1}, {2, nan, 1}, {2, inf, 1}, {2, -1, 1}, {2, 1e308, 1}} {
		_, byStage := StageStorage(StageStorageSpec{Basin: b, Step: 1})
		_, byLayers := Layers(LayersSpec{Basin: b, FromFloor: []LayerSpec{{Name: "sludge", Thickness: 1}}})
		_, byLiner := Liner(LinerSpec{Basin: b, Thickness: 0.3, Method: LinerMethodArea})
		for _, err := range []error{byStage, byLayers, byLiner} {
			require.NotEmpty(t, units.FieldErrors(err), "%+v", b)
			require.Equal(t, "basin", units.FieldErrors(err)[0].Field, "%+v: %v", b, err)
		}
	}
}

func TestNoAllocation(t *testing.T) {
	for name, b := range everySolid(t) {
		v := Capacity(b) / 3
		require.Zero(t, testing.AllocsPerRun(100, func() {
			_ = b.VolumeAt(1)
			_ = b.AreaAt(1)
			_, _ = HeightFor(b, v)
		}), name)
	}
}

func BenchmarkVolumeAt(b *testing.B) {
	for name, s := range everySolid(b) {
		b.Run(name, func(b *testing.B) {
			// Heights all over the basin, so that no branch is learnt.
			h, step := units.Length(0), s.Depth()*0.6180339887
			for b.Loop() {
				if h += step; h > s.Depth() {
					h -= s.Depth()
				}
				s.VolumeAt(h)
			}
		})
	}
}

func BenchmarkHeightFor(b *testing.B) {
	for name, s := range everySolid(b) {
		b.Run(name, func(b *testing.B) {
			full := Capacity(s)
			v, step := units.Volume(0), full*0.6180339887
			for b.Loop() {
				if v += step; v > full {
					v -= full
				}
				_, _ = HeightFor(s, v)
			}
		})
	}
}

// counted counts how often a basin is asked for its volume.
type counted struct {
	Basin
	times int
}

func (c *counted) VolumeAt(h units.Length) units.Volume {
	c.times++
	return c.Basin.VolumeAt(h)
}

// The height is found in a few steps, since each doubles the digits; where the area jumps
// or vanishes, halving takes no more than a digit in three steps.
func TestHeightForTakesFewSteps(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for name, b := range everySolid(t) {
		c := &counted{Basin: b}
		most, sum := 0, 0
		const n = 500
		for range n {
			c.times = 0
			h, err := HeightFor(c, units.Volume(r.Float64())*Capacity(b))
			require.NoError(t, err)
			require.True(t, h >= 0 && h <= b.Depth())
			most, sum = max(most, c.times), sum+c.times
		}
		require.LessOrEqual(t, sum, 16*n, name)
		require.LessOrEqual(t, most, 80, name)
	}
}
