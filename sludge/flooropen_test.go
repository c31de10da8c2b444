package sludge

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// drawnIn is a floor that is known where a rule says so.
func drawnIn(floor simField, known func(x, y float64) bool) Floor {
	return SurfaceFloor{SurfaceFunc(func(p plane.Point) (units.Length, bool) {
		x, y := float64(p.X), float64(p.Y)
		return units.Length(floor(x, y)), known(x, y)
	})}
}

// A floor that is told in places is estimated in the others, which is said and widens the
// answer: drawn everywhere, over half of the basin, over its floor without the banks. A plain floor leaves its roughness open where nobody told it.
func TestFloorUnknownInPlacesWidens(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for name, floor := range map[string]simField{"rolling": rolling(r), "plain": banked} {
		var soundings []Sounding
		for range 24 {
			x, y := simLong*r.Float64(), simWide*r.Float64()
			soundings = append(soundings, core(x, y, max(0, floor(x, y)-1.7)))
		}
		of := func(known func(x, y float64) bool) VolumeResult {
			s, err := NewSurvey(context.Background(), SurveySpec{Boundary: rectangle(0, 0, simLong, simWide), Sides: SidesBanks, Floor: drawnIn(floor, known), Soundings: soundings})
			require.NoError(t, err)
			return volumeOf(t, s, usual)
		}
		all := of(func(x, y float64) bool { return true })
		require.Zero(t, all.FloorShare, name)
		for _, known := range []func(x, y float64) bool{firstHalf, amid} {
			part := of(known)
			require.Greater(t, part.Interval.Half(), 1.05*all.Interval.Half(), name)
			require.InEpsilon(t, float64(all.Volume), float64(part.Volume), 0.15, name)
			require.Greater(t, part.FloorShare, 0.05, name)
			require.Contains(t, part.String(), "the floor given is not known over", name)
		}
	}
}

// A survey between walls over a floor that is known in places keeps its interval.
func TestFloorUnknownBetweenWalls(t *testing.T) {
	floor := func(x, y float64) float64 { return 2 + x/100 }
	r := rand.New(rand.NewPCG(2, 1))
	var soundings []Sounding
	for range 24 {
		x, y := simLong*r.Float64(), simWide*r.Float64()
		soundings = append(soundings, core(x, y, 0.8+0.1*r.NormFloat64()))
	}
	spec := SurveySpec{Boundary: rectangle(0, 0, simLong, simWide), Sides: SidesVertical, Soundings: soundings, Floor: drawnIn(floor, firstHalf)}
	s, err := NewSurvey(context.Background(), spec)
	require.NoError(t, err)
	v := volumeOf(t, s, usual)
	require.True(t, v.Interval.Has(0.8*6000))
	require.Contains(t, v.String(), "is not known over 50 %")
	// Surfaces are cut at the same floor.
	full, err := SurfaceVolume(context.Background(), s, SurfaceVolumeSpec{Surface: SurfaceFunc(func(plane.Point) (units.Length, bool) { return 9, true })})
	require.NoError(t, err)
	require.InEpsilon(t, 2.5*6000, float64(full.Volume), 0.12)
	require.InEpsilon(t, 2.25*3000+2.5*3000, float64(full.Volume), 0.08) // beyond x = 50 hardly deeper than there
}

// Floors that roll under a level top and are drawn over half of the basin: intervals of 95
// % hold the volume.
func TestVolumeOverHalfDrawnFloor(t *testing.T) {
	if testing.Short() {
		t.Skip("a simulation")
	}
	c := simCase{name: "i", floor: rolling, field: drawn("smooth"), settled: true, design: "random", drawn: firstHalf}
	const surveys = 40
	r, err := c.simulate(24, surveys, false)
	require.NoError(t, err)
	t.Log(r)
	require.GreaterOrEqual(t, r.held, 36)
	require.Less(t, r.width/surveys, 0.4)
}

// A probe that sinks 4 in into a soft floor puts all depths too deep. Told that they may
// be so far off together, the interval holds the volume; untold it does not.
func TestSoftFloor(t *testing.T) {
	if testing.Short() {
		t.Skip("a simulation")
	}
	for _, settled := range []bool{true, false} {
		c := simCase{name: "j", floor: plainFloor, field: drawn("smooth"), settled: settled, design: "random", floorErr: func(*rand.Rand) (bias, sd float64) { return fourInches, 0 }}
		held, untold := 0, 0
		for seed := range uint64(20) {
			s, truth, err := c.survey(24, rand.New(rand.NewPCG(3, seed)), true)
			require.NoError(t, err)
			v := volumeOf(t, s, VolumeSpec{Confidence: 0.95, FloorSharedSD: fourInches})
			if v.Interval.Has(units.Volume(truth)) {
				held++
			}
			alone := volumeOf(t, s, usual)
			if alone.Interval.Has(units.Volume(truth)) {
				untold++
			}
			require.Greater(t, v.Interval.Half(), alone.Interval.Half())
			require.Greater(t, v.FloorShare, alone.FloorShare)
		}
		require.GreaterOrEqual(t, held, 19, "settled %v", settled)
		require.LessOrEqual(t, untold, 12, "settled %v", settled)
	}
}

// An error that all depths share moves the whole top of a draped layer, and one of the
// drawings that stand in for readings as much; thicknesses of a core tube have none.
func TestFloorSharedError(t *testing.T) {
	const shared = 0.1
	extra := func(read func(x, y, z, d float64) Sounding, floor Floor) float64 {
		r := rand.New(rand.NewPCG(4, 1))
		spec := SurveySpec{Boundary: rectangle(0, 0, simLong, simWide), Sides: SidesBanks, Floor: floor}
		for range 40 {
			x, y := simLong*r.Float64(), simWide*r.Float64()
			d := banked(x, y)
			spec.Soundings = append(spec.Soundings, read(x, y, min(d, 1+0.05*r.NormFloat64()), d))
		}
		s, err := NewSurvey(context.Background(), spec)
		require.NoError(t, err)
		with := VolumeSpec{Confidence: 0.95, BankRule: BankDraped, FloorSharedSD: shared}
		without := with
		without.FloorSharedSD = 0
		a, b := volumeOf(t, s, with), volumeOf(t, s, without)
		return (float64(a.SD)*float64(a.SD) - float64(b.SD)*float64(b.SD)) / (shared * shared)
	}
	read := func(x, y, z, d float64) Sounding { return depths(x, y, d-z, d) }
	tops := func(x, y, z, d float64) Sounding { return Sounding{At: at(x, y), ToSludge: new(units.Length(d - z))} }
	cores := func(x, y, z, d float64) Sounding { return core(x, y, z) }
	require.InEpsilon(t, 6000*6000, extra(read, nil), 0.15)
	require.InEpsilon(t, 6000*6000, extra(tops, bankedFloor{}), 0.15)
	require.InEpsilon(t, 94*54*94*54, extra(read, bankedFloor{}), 0.15) // the floor is drawn: full banks stay as they are
	require.InDelta(t, 0, extra(cores, bankedFloor{}), 1)
}
