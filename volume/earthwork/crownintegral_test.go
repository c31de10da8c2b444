package earthwork

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// Crowns are what is under their height at each place: the grade times the way to the
// nearest side, or to the nearest long side, or into the cone and the pyramid.
func TestCrownsByIntegration(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 40 {
		width := 5 + 40*r.Float64()
		length := width * (1 + 2*r.Float64())
		grade := 0.01 + 0.2*r.Float64()
		for shape, height := range map[CrownShape]func(x, y float64) float64{
			CrownShapeHip:   func(x, y float64) float64 { return grade * min(x, length-x, y, width-y) },
			CrownShapeGable: func(x, y float64) float64 { return grade * min(y, width-y) },
			CrownShapePyramid: func(x, y float64) float64 {
				return grade * length / 2 * min(x/length*2, 2-x/length*2, y/width*2, 2-y/width*2)
			},
			CrownShapeCone: func(x, y float64) float64 { return grade * max(0, width/2-math.Hypot(x-width/2, y-width/2)) },
		} {
			spec := CrownSpec{Shape: shape, Length: units.Length(length), Width: units.Length(width), Grade: grade}
			long := length
			if shape == CrownShapeCone {
				spec.Length, long = units.Length(width), width
			}
			c, err := Crown(spec)
			require.NoError(t, err)
			const n = 160
			volume, peak, plan := 0.0, 0.0, 0.0
			for i := range n {
				for j := range n {
					h := height(long*(float64(i)+0.5)/n, width*(float64(j)+0.5)/n)
					volume += h * long * width / n / n
					peak = max(peak, h)
					if shape != CrownShapeCone || h > 0 {
						plan += long * width / n / n
					}
				}
			}
			require.InEpsilon(t, volume, float64(c.Volume), 5e-3, shape)
			require.InEpsilon(t, peak, float64(c.Peak), 2e-2, shape)
			require.GreaterOrEqual(t, float64(c.Peak), peak)
			require.InEpsilon(t, plan, float64(c.Plan), 1e-2, shape)
		}
	}
}

// A crown over a rectangle given by its outline settles as that given by its sides.
func TestSettledCrownOverAnOutline(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 100 {
		width := units.Length(5 + 40*r.Float64())
		length := width * units.Length(1+2*r.Float64())
		spec := SettledCrownSpec{Crown: CrownSpec{Shape: CrownShapeHip, Length: length, Width: width, Grade: 0.02 + 0.1*r.Float64()}, FillDepth: units.Length(6 * r.Float64()), BankSlope: 1 + 3*r.Float64(),
			Settlement: SettlementSpec{Rule: SettlementRule(1 + r.IntN(2)), Share: 0.2 * r.Float64()}, MinGrade: 0.02}
		want, err := SettledCrown(spec)
		require.NoError(t, err)
		outline := spec
		outline.Crown = CrownSpec{Shape: CrownShapeHip, Outline: plane.Polygon{{}, {X: length}, {X: length, Y: width}, {Y: width}}, Grade: spec.Crown.Grade}
		got, err := SettledCrown(outline)
		require.NoError(t, err)
		require.InDelta(t, float64(want.PeakBuilt), float64(got.PeakBuilt), 1e-9)
		require.InDelta(t, float64(want.Depth), float64(got.Depth), 1e-9)
		require.InDelta(t, float64(want.PeakLeft), float64(got.PeakLeft), 1e-9)
		require.InDelta(t, want.GradeNeeded, got.GradeNeeded, 1e-12)
		require.Equal(t, want.ShedsWater, got.ShedsWater)
	}
}

// Water runs down: a step in the direction of the fall lowers the level by the grade.
func TestFallOfAPlane(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		s := Plane{At: plane.Point{X: units.Length(r.Float64()), Y: units.Length(r.Float64())}, Level: 7, East: r.Float64() - 0.5, North: r.Float64() - 0.5}
		sin, cos := math.Sincos(s.Fall() * math.Pi / 180)
		p := plane.Point{X: units.Length(9 * r.Float64()), Y: units.Length(9 * r.Float64())}
		q := plane.Point{X: p.X + units.Length(sin), Y: p.Y + units.Length(cos)}
		require.InDelta(t, -s.Grade(), float64(s.LevelAt(q)-s.LevelAt(p)), 1e-9)
		require.GreaterOrEqual(t, s.Fall(), 0.0)
		require.Less(t, s.Fall(), 360.0)
	}
	for want, s := range map[float64]Plane{0: {North: -1}, 90: {East: -1}, 180: {North: 1}, 270: {East: 1}} {
		require.InDelta(t, want, s.Fall(), 1e-12)
	}
	require.Zero(t, Plane{Level: 3}.Fall())
}
