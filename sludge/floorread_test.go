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

// Where no drawing exists the floor is kriged from the depths read at the soundings, and
// its error is part of the answer: on floors that roll by 12 % under a level top,
// intervals of 95 % hold the volume. A plain floor of even depth was held in 63 % of
// such surveys, 9 % too high.
func TestVolumeOverRollingFloor(t *testing.T) {
	if testing.Short() {
		t.Skip("a simulation")
	}
	c := simCase{name: "h", floor: rolling, field: drawn("smooth"), settled: true, design: "random"}
	const surveys = 40
	r, err := c.simulate(24, surveys, true)
	require.NoError(t, err)
	t.Log(r)
	require.GreaterOrEqual(t, r.held, 34)
	require.Less(t, math.Abs(r.bias/surveys), 0.05)
	require.Less(t, r.width/surveys, 0.4)
}

// The less is known of the floor, the wider the answer, and the result says why: drawn,
// read at the soundings, not known. Readings of a plain floor leave nothing open.
func TestFloorThatIsMissingWidens(t *testing.T) {
	basin := rectangle(0, 0, simLong, simWide)
	for seed := range uint64(8) {
		r := rand.New(rand.NewPCG(1, seed))
		field, floor := drawn("smooth")(r), rolling(r)
		c := simCase{settled: true}
		top := c.thickness(field, floor)
		drawing, read, none := SurveySpec{Boundary: basin, Sides: SidesBanks}, SurveySpec{Boundary: basin, Sides: SidesBanks}, SurveySpec{Boundary: basin, Sides: SidesBanks}
		drawing.Floor = floorFunc(func(p plane.Point) units.Length { return units.Length(floor(float64(p.X), float64(p.Y))) })
		for range 24 {
			x, y := simLong*r.Float64(), simWide*r.Float64()
			z, d := top(x, y), floor(x, y)
			drawing.Soundings = append(drawing.Soundings, core(x, y, z))
			read.Soundings = append(read.Soundings, depths(x, y, d-z, d))
			none.Soundings = append(none.Soundings, core(x, y, z))
		}
		of := func(spec SurveySpec) VolumeResult {
			s, err := NewSurvey(context.Background(), spec)
			require.NoError(t, err)
			return volumeOf(t, s, usual)
		}
		told, kriged, open := of(drawing), of(read), of(none)
		require.Less(t, told.Interval.Half(), kriged.Interval.Half())
		require.Nil(t, open.Interval)
		require.Less(t, kriged.Interval.Half(), open.Bracket.Half())
		require.Zero(t, told.FloorShare)
		require.Greater(t, kriged.FloorShare, 0.1)
		require.LessOrEqual(t, kriged.FloorShare, 1.0)
		require.Contains(t, kriged.String(), "of the variance is the floor's")
		require.Contains(t, open.String(), "the floor is not known")
	}
}

// A floor that falls evenly along the basin under a level top is found from readings at
// any places: the volume between the two is known.
func TestVolumeOverTiltedFloor(t *testing.T) {
	basin := rectangle(0, 0, simLong, simWide)
	floor := tilted(nil)
	truth := 0.0
	const step = 0.25
	for x := step / 2; x < simLong; x += step {
		for y := step / 2; y < simWide; y += step {
			truth += step * step * max(0, floor(x, y)-1.8)
		}
	}
	for seed := range uint64(6) {
		r := rand.New(rand.NewPCG(2, seed))
		spec := SurveySpec{Boundary: basin, Sides: SidesBanks}
		for range 48 {
			x, y := simLong*r.Float64(), simWide*r.Float64()
			d := floor(x, y)
			spec.Soundings = append(spec.Soundings, depths(x, y, min(1.8, d), d))
		}
		s, err := NewSurvey(context.Background(), spec)
		require.NoError(t, err)
		v := volumeOf(t, s, usual)
		require.InEpsilon(t, truth, float64(v.Volume), 0.05)
		require.True(t, v.Interval.Has(units.Volume(truth)), "%v in %v", truth, v.Interval)
	}
}

// Two surveys of one basin share what is not known of its floor: the change of a level
// top is surer than either volume.
func TestDifferenceOverRollingFloor(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 3))
	floor := rolling(r)
	sound := func(toSludge float64) *Survey {
		spec := SurveySpec{Boundary: rectangle(0, 0, simLong, simWide), Sides: SidesBanks}
		for range 24 {
			x, y := simLong*r.Float64(), simWide*r.Float64()
			d := floor(x, y)
			spec.Soundings = append(spec.Soundings, depths(x, y, min(d, toSludge+0.02*r.NormFloat64()), d))
		}
		s, err := NewSurvey(context.Background(), spec)
		require.NoError(t, err)
		return s
	}
	d, err := Difference(context.Background(), DifferenceSpec{Before: sound(2), After: sound(1.6), Volume: usual})
	require.NoError(t, err)
	var truth float64
	for x := 0.25; x < simLong; x += 0.5 {
		for y := 0.25; y < simWide; y += 0.5 {
			truth += 0.25 * (max(0, floor(x, y)-1.6) - max(0, floor(x, y)-2))
		}
	}
	require.True(t, d.Interval.Has(units.Volume(truth)), "%v in %v", truth, d.Interval)
	require.Less(t, d.Interval.Half(), d.After.Interval.Half())
}

// A floor drawn in other coordinates than the survey, or with levels in place of depths,
// is nowhere below the liquid, and would cut every volume to nothing.
func TestFloorElsewhereIsRefused(t *testing.T) {
	elsewhere := surveyOf(t, rectangle(500, 500, 509, 509), []geostat.Sample{sampleAt(501, 501, 3), sampleAt(508, 502, 3), sampleAt(504, 508, 3)})
	for _, floor := range []Floor{SurfaceFloor{tinOf(t, elsewhere, EdgeNearest)}, FlatFloor(0), FlatFloor(-3), SolidFloor{Solid: &bowl{2}}, &bowl{units.Length(math.NaN())}, &bowl{1e308}} {
		_, err := NewSurvey(t.Context(), SurveySpec{Boundary: rectangle(0, 0, 9, 9), Sides: SidesBanks, Floor: floor, Soundings: []Sounding{NewSounding(1, 1, 1)}})
		require.Equal(t, []string{"floor"}, fields(err), "%T", floor)
	}
	// Known beside the soundings alone it is a floor.
	_, err := NewSurvey(t.Context(), SurveySpec{Boundary: rectangle(0, 0, 9, 9), Sides: SidesBanks, Floor: SurfaceFloor{SurfaceFunc(func(p plane.Point) (units.Length, bool) { return 2, p.X > 5 })}, Soundings: []Sounding{NewSounding(1, 1, 1)}})
	require.NoError(t, err)
}

// The slope of banks that were read is found between the steps that are tried: depths that
// agree with a plain floor leave no doubt of it.
func TestSlopeBetweenSteps(t *testing.T) {
	for _, slope := range []float64{2.5, 3, 3.33} {
		floor := func(x, y float64) float64 { return min(2.5, min(x, simLong-x, y, simWide-y)/slope) }
		spec := SurveySpec{Boundary: rectangle(0, 0, simLong, simWide), Sides: SidesBanks}
		for _, s := range gridOf(8, 6, func(x, y float64) float64 { return max(0, 0.8+0.2*math.Sin(x/15)-(2.5-floor(x, y))) }) {
			d := floor(float64(s.At.X), float64(s.At.Y))
			spec.Soundings = append(spec.Soundings, depths(float64(s.At.X), float64(s.At.Y), d-float64(s.Value), d))
		}
		s, err := NewSurvey(t.Context(), spec)
		require.NoError(t, err)
		r := volumeOf(t, s, usual)
		require.Len(t, r.Floors, 1)
		require.InDelta(t, slope, r.Floors[0].Slope, 0.005)
		require.Less(t, r.FloorShare, 0.01)
	}
}
