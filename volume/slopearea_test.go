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

// Banks of one slope have (A_h - A_0) sqrt(1+z²)/z up to any height (geometry), whether
// the basin is a rectangle, a polygon or a circle.
func TestSlopeAreaAt(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 100 {
		z, d := plantest.Between(r, 0.5, 4), units.Length(plantest.Between(r, 1, 4))
		l, w := units.Length(plantest.Between(r, 40, 80)), units.Length(plantest.Between(r, 40, 80))
		box := mustRectangular(t, RectangularSpec{Length: l, Width: w, At: ReferenceTop, Depth: d, Slopes: []float64{z}})
		at := []Reference{ReferenceFloor, ReferenceTop}[r.IntN(2)]
		bl, bw := box.SizeAt(0)
		if at == ReferenceTop {
			bl, bw = l, w
		}
		poly, err := NewPolygon(PolygonSpec{Outline: plane.Polygon{{}, {X: bl}, {X: bl, Y: bw}, {Y: bw}}, At: at, Depth: d, Slopes: []float64{z}})
		require.NoError(t, err)
		ell, err := NewPolygon(PolygonSpec{Outline: plane.Polygon{{}, {X: 60}, {X: 60, Y: 25}, {X: 25, Y: 25}, {X: 25, Y: 60}, {Y: 60}}, At: ReferenceFloor, Depth: d, Slopes: []float64{z}})
		require.NoError(t, err)
		round, err := NewPolygon(PolygonSpec{Outline: plane.Polygon{{}, {X: 60}, {X: 60, Y: 60}, {Y: 60}}, At: ReferenceTop, Depth: d, Slopes: []float64{z}, CornerRadius: 20})
		require.NoError(t, err)
		circle, err := NewCircular(CircularSpec{Diameter: l, At: ReferenceTop, Depth: d, Slopes: []float64{z}})
		require.NoError(t, err)
		for _, b := range []Lined{box, poly, ell, round, circle} {
			require.Zero(t, b.SlopeAreaAt(0))
			for range 5 {
				h := d * units.Length(r.Float64())
				want := float64(b.AreaAt(h)-b.AreaAt(0)) * math.Sqrt(1+z*z) / z
				require.InDelta(t, want, float64(b.SlopeAreaAt(h)), 1e-8*float64(b.AreaAt(d)), "%T up to %v of %v", b, h, d)
			}
			require.Equal(t, b.SlopeAreaAt(d), b.SlopeAreaAt(2*d))
		}
	}
}

// A layer up to a level is that of a basin as deep as the level.
func TestLinerUpTo(t *testing.T) {
	spec := RectangularSpec{Length: 30, Width: 20, At: ReferenceFloor, Depth: 4, Slopes: []float64{3, 2.5, 2, 1}}
	deep := mustRectangular(t, spec)
	spec.Depth = 2.5
	low := mustRectangular(t, spec)
	for _, m := range LinerMethods(deep) {
		a, err := Liner(LinerSpec{Basin: deep, Thickness: 0.3, Method: m, UpTo: 2.5})
		require.NoError(t, err)
		b, err := Liner(LinerSpec{Basin: low, Thickness: 0.3, Method: m})
		require.NoError(t, err)
		require.InEpsilon(t, b.Volume.SI(), a.Volume.SI(), 1e-12)
		require.InEpsilon(t, b.Banks.SI(), a.Banks.SI(), 1e-12)
	}
	_, err := Liner(LinerSpec{Basin: deep, Thickness: 0.3, Method: LinerMethodArea, UpTo: 5})
	plantest.RequireFields(t, err, "upTo")
}

// A basin that does not know its banks counts as round: exact for a cone, a little low for
// a rectangle, and said.
func TestLinerOfRoundBanks(t *testing.T) {
	circle, err := NewCircular(CircularSpec{Diameter: 40, At: ReferenceTop, Depth: 3, Slopes: []float64{2.5}})
	require.NoError(t, err)
	require.InEpsilon(t, float64(circle.SlopeAreaAt(2)), float64(roundBanks(circle, 2)), 1e-9)
	box := mustRectangular(t, RectangularSpec{Length: 60, Width: 40, At: ReferenceTop, Depth: 3, Slopes: []float64{2.5}})
	known := float64(box.SlopeAreaAt(3))
	require.Less(t, float64(roundBanks(box, 3)), known)
	require.InEpsilon(t, known, float64(roundBanks(box, 3)), 0.02)
	surveyed, err := NewSurveyed(SurveyedSpec{Areas: []SurveyedArea{{0, box.AreaAt(0)}, {1.5, box.AreaAt(1.5)}, {3, box.AreaAt(3)}}, Method: MethodPrismoidal})
	require.NoError(t, err)
	require.Equal(t, []LinerMethod{LinerMethodArea}, LinerMethods(surveyed))
	r, err := Liner(LinerSpec{Basin: surveyed, Thickness: 0.15, Method: LinerMethodArea})
	require.NoError(t, err)
	require.True(t, r.Round)
	require.Contains(t, r.String(), "taken as round")
	_, err = Liner(LinerSpec{Basin: surveyed, Thickness: 0.15, Method: LinerMethodOffset})
	plantest.RequireFields(t, err, "method")
}

// A bound is told as the job has it, not as a number that nobody can read.
func TestBoundsAreReadable(t *testing.T) {
	_, err := StageStorage(StageStorageSpec{Basin: tank(t), Step: 1e-310})
	require.ErrorContains(t, err, "so near to 0 it is taken for a slip")
	_, err = Slice(SliceSpec{Method: MethodEndArea, Bottom: 1e-30, Top: 1, Depth: 1})
	require.ErrorContains(t, err, "bottom: got 1.076e-29 ft2, want 0 to ")
	require.NotContains(t, err.Error(), "e-11")
}

// A solid that no constructor made holds nothing and has no banks.
func TestZeroSolidsHoldNothing(t *testing.T) {
	for _, b := range []Basin{&Rectangular{}, &Circular{}, &Polygon{}, &Surveyed{}, &Floor{}} {
		require.Zero(t, b.Depth(), "%T", b)
		require.Zero(t, b.AreaAt(1), "%T", b)
		require.Zero(t, b.VolumeAt(1), "%T", b)
		if lined, ok := b.(Lined); ok {
			require.Zero(t, lined.SlopeAreaAt(1), "%T", b)
		}
	}
}
