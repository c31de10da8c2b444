package sludge

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge/geostat"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// bankedSolid is the simulated basin as a solid: heights of the floor over its lowest
// point.
type bankedSolid struct{}

func (bankedSolid) FloorAt(p plane.Point) (units.Length, bool) {
	return units.Length(3 - banked(float64(p.X), float64(p.Y))), true
}

// Flat sludge in a basin of 100 m by 60 m with banks of 3 : 1 down to 3 m: every method
// gives the volume of the prismoid, however the floor is known, from places anywhere.
func TestEveryMethodOfFlatSludge(t *testing.T) {
	ctx := context.Background()
	basin := rectangle(0, 0, simLong, simWide)
	sloped, err := NewSlopedFloor(SlopedFloorSpec{Waterline: basin, Slopes: []float64{3}, Depth: 3})
	require.NoError(t, err)
	for _, way := range []struct {
		rule  BankRule
		top   func(d float64) float64 // thickness over a floor of that depth
		truth float64
	}{
		// Level, 1.2 m over the deepest floor: from 82 x 42 m at the floor to 89.2 x 49.2 m.
		{BankLevel, func(d float64) float64 { return max(0, d-1.8) }, 1.2 * (82*42 + 89.2*49.2 + 4*85.6*45.6) / 6},
		// Draped, 1.2 m: from 92.8 x 52.8 m, 1.2 m below the waterline, to 100 x 60 m.
		{BankDraped, func(d float64) float64 { return min(1.2, d) }, 1.2 * (100*60 + 92.8*52.8 + 4*96.4*56.4) / 6},
	} {
		for name, floor := range map[string]Floor{"drawn": sloped, "solid": SolidFloor{Solid: bankedSolid{}, Liquid: 3}, "read": nil} {
			tol := 0.004
			if floor == nil {
				tol = 0.015 // slopes of banks are tried in steps
			}
			r := rand.New(rand.NewPCG(1, 1))
			spec := SurveySpec{Boundary: basin, Sides: SidesBanks, Floor: floor}
			for range 40 {
				x, y := simLong*r.Float64(), simWide*r.Float64()
				d := banked(x, y)
				spec.Soundings = append(spec.Soundings, depths(x, y, d-way.top(d), d))
			}
			s, err := NewSurvey(ctx, spec)
			require.NoError(t, err)
			u, err := s.Uncut(ctx, way.rule)
			require.NoError(t, err)
			for _, z := range u.Thicknesses() {
				require.InDelta(t, 1.2, float64(z), 0.01)
			}
			kriging, err := geostat.NewKriging(ctx, geostat.KrigingSpec{Samples: u.Samples(), Model: geostat.Model{Sill: 1, Range: 30}})
			require.NoError(t, err)
			idw, err := NewIDW(u, IDWSpec{Power: 2})
			require.NoError(t, err)
			for method, surface := range map[string]Surface{
				"triangles":        tinOf(t, u, EdgeNearest),
				"inverse distance": idw,
				"kriging":          kriging,
				"own":              SurfaceFunc(func(plane.Point) (units.Length, bool) { return 1.2, true }),
			} {
				v, err := SurfaceVolume(ctx, u, SurfaceVolumeSpec{Surface: surface})
				require.NoError(t, err)
				require.InEpsilon(t, way.truth, float64(v.Volume), tol, "%v, %s, %s", way.rule, name, method)
				require.Empty(t, v.Notes)
				require.InDelta(t, float64(v.Uncut+v.BelowZero-v.AtFloor), float64(v.Volume), 1e-6)
			}
			for _, w := range []geostat.Weighting{geostat.WeightingEqual, geostat.WeightingArea} {
				m, err := MeanVolume(ctx, s, MeanVolumeSpec{BankRule: way.rule, Weighting: w, Confidence: 0.95})
				require.NoError(t, err)
				require.InEpsilon(t, way.truth, float64(m.Volume.Volume), tol, "%v, %s, mean by %v weights", way.rule, name, w)
				require.LessOrEqual(t, m.Interval.Low, m.Volume.Volume)
				require.LessOrEqual(t, m.Volume.Volume, m.Interval.High)
			}
			v := volumeOf(t, s, usual)
			require.InEpsilon(t, way.truth, float64(v.Volume), 0.015, "%v, %s, estimate", way.rule, name)
			require.True(t, v.Interval.Has(units.Volume(way.truth)))
		}
	}
}

// Triangles of thicknesses run up the bank to the waterline, where a level top ends
// lower: the result says so, and triangles of the uncut survey do not.
func TestTrianglesRunUpTheBanks(t *testing.T) {
	ctx := context.Background()
	var samples []geostat.Sample
	for _, p := range gridOf(6, 4, func(x, y float64) float64 { return 0 }) { // the outermost half way down the banks
		x, y := 6+0.88*float64(p.At.X), 6+0.8*float64(p.At.Y)
		samples = append(samples, sampleAt(x, y, max(0, banked(x, y)-2)))
	}
	s := surveyOf(t, rectangle(0, 0, simLong, simWide), samples, overFloor)
	truth := (82*42 + 88*48 + 4*85*45) / 6.0
	up, err := SurfaceVolume(ctx, s, SurfaceVolumeSpec{Surface: tinOf(t, s, EdgeZero)})
	require.NoError(t, err)
	require.Greater(t, float64(up.Volume), 1.02*truth)
	require.Len(t, up.Notes, 1)
	require.Contains(t, up.String(), "higher than the sludge top at any sounding")
	u, err := s.Uncut(ctx, BankLevel)
	require.NoError(t, err)
	level, err := SurfaceVolume(ctx, u, SurfaceVolumeSpec{Surface: tinOf(t, u, EdgeNearest)})
	require.NoError(t, err)
	require.InEpsilon(t, truth, float64(level.Volume), 0.004)
	require.Empty(t, level.Notes)
}

// Any level top over the deepest floor comes back from its own soundings, wherever they
// lie on banks or floor, and any draped layer.
func TestUncutFindsTheLayer(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		height, rule := 0.1+2.7*r.Float64(), BankRule(1+r.IntN(2))
		var samples []geostat.Sample
		samples = append(samples, sampleAt(50, 30, height))
		for range 10 {
			x, y := simLong*r.Float64(), simWide*r.Float64()
			z := min(height, banked(x, y))
			if rule == BankLevel {
				z = max(0, banked(x, y)-(3-height))
			}
			samples = append(samples, sampleAt(x, y, z))
		}
		u, err := surveyOf(t, rectangle(0, 0, simLong, simWide), samples, overFloor).Uncut(context.Background(), rule)
		require.NoError(t, err)
		for _, z := range u.Thicknesses() {
			require.InDelta(t, height, float64(z), 1e-9)
		}
	}
}

func TestUncutFaults(t *testing.T) {
	ctx := context.Background()
	s := surveyOf(t, rectangle(0, 0, 9, 9), []geostat.Sample{sampleAt(1, 1, 1)})
	_, err := (*Survey)(nil).Uncut(ctx, BankOpen)
	require.Equal(t, []string{"survey", "bankRule"}, fields(err))
	_, err = s.Uncut(ctx, BankLevel)
	require.Equal(t, []string{"survey"}, fields(err))
	full := surveyOf(t, rectangle(0, 0, simLong, simWide), []geostat.Sample{sampleAt(1, 30, banked(1, 30))}, overFloor)
	_, err = full.Uncut(ctx, BankDraped)
	require.Equal(t, []string{"survey"}, fields(err))
	between := surveyOf(t, rectangle(0, 0, 9, 9), []geostat.Sample{sampleAt(1, 1, 1), sampleAt(5, 5, 0)}, walls)
	u, err := between.Uncut(ctx, BankLevel)
	require.NoError(t, err)
	require.Equal(t, between.Thicknesses(), u.Thicknesses())
	_, err = VolumeWithInterval(ctx, u, usual)
	require.Equal(t, []string{"survey"}, fields(err))
	_, err = Difference(ctx, DifferenceSpec{Before: u, After: u, Volume: usual})
	require.Equal(t, []string{"before", "after"}, fields(err))
	_, err = u.Uncut(ctx, BankLevel)
	require.Equal(t, []string{"survey"}, fields(err))
	_, err = MeanVolume(ctx, between, MeanVolumeSpec{BankRule: BankLevel, Weighting: 7})
	require.Equal(t, []string{"weighting", "confidence"}, fields(err))
	one, err := MeanVolume(ctx, surveyOf(t, rectangle(0, 0, 9, 9), []geostat.Sample{sampleAt(1, 1, 1)}, walls), MeanVolumeSpec{BankRule: BankDraped, Confidence: 0.9})
	require.NoError(t, err)
	require.Nil(t, one.Interval)
	require.InDelta(t, 81, float64(one.Volume.Volume), 1e-9)
	require.False(t, math.IsNaN(float64(one.Mean.Mean)))
}

// What shows the bank and not the sludge is left out: places with hardly any depth, full
// ones, and under a level top bare ones; over the deepest floor every sounding counts.
func TestUncutLeavesOut(t *testing.T) {
	on := func(d, z float64) geostat.Sample { return sampleAt(3*d, 30, z) } // over a bank of that depth
	samples := []geostat.Sample{
		sampleAt(50, 30, 0), sampleAt(40, 30, 2.99), // over the deepest floor
		on(0.05, 0.01), on(0.061, 0.03101), on(0.061, 0.03), on(0.07, 0.035), // hardly any depth
		on(1, 0.969), on(1, 0.971), on(1, 0.031), on(1, 0.029), on(2.96, 1), on(2.98, 2.97),
	}
	for i := range samples {
		samples[i].At.Y += units.Length(i) / 10 // places of their own
	}
	s := surveyOf(t, rectangle(0, 0, simLong, simWide), samples, overFloor)
	for rule, want := range map[BankRule][]int{BankLevel: {0, 1, 5, 6, 8, 10, 11}, BankDraped: {0, 1, 4, 5, 6, 8, 9, 10, 11}} {
		u, err := s.Uncut(t.Context(), rule)
		require.NoError(t, err)
		var kept []int
		for _, r := range u.Readings() {
			kept = append(kept, r.Index)
			z := float64(samples[r.Index].Value)
			if d := banked(float64(r.At.X), float64(r.At.Y)); rule == BankLevel {
				z += 3 - d
			}
			require.InDelta(t, z, float64(r.Thickness), 1e-9)
		}
		require.Equal(t, want, kept, "%v", rule)
	}
}
