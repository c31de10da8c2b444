package closing_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/closing"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
)

// The stakes and the section of the invented farm by hand: the floor at 812.4 ft, the
// ground 9 ft over it, the crown 150 - 2 x 3 x 2.5 = 135 ft across; half of that at the
// grade built is the ridge. Fill compacted to 95 % settles by 5 % of the height placed.
func TestLevelsOfTheCrown(t *testing.T) {
	spec := whole(t)
	spec.Settlement = nil
	spec.Floor, spec.Datum = new(812.4*ft), "bench mark"
	o := plan(t, spec).Of(closing.AlternativeFill)
	peak := 67.5 * o.Crown.Build.Spec.Grade
	require.True(t, o.Levels.Elevations)
	require.Equal(t, "bench mark", o.Levels.Datum)
	require.InDelta(t, 821.4, o.Levels.Foot.In(ft), 1e-9)
	require.InDelta(t, 821.4+peak, o.Levels.Ridge.In(ft), 1e-9)

	p := o.Section
	require.NotNil(t, p)
	// 90 ft of floor between banks of 22.5 ft, a berm of 10 + 5.5 x 3 ft on either side and
	// 13.5 ft of ground beyond.
	require.InDelta(t, 90+2*(22.5+26.5+13.5), p.Points[len(p.Points)-1].Station.In(ft), 1e-9)
	found := false
	for _, q := range p.Points {
		if q.Built > q.Existing+5*ft && q.Built == o.Levels.Ridge {
			found = true
			require.InDelta(t, 812.4, q.Existing.In(ft), 1e-9)
			require.InDelta(t, 812.4+(9+peak)*0.95, q.Final.In(ft), 1e-9, "settled")
		}
	}
	require.True(t, found, "the section reaches the ridge of the stakes")

	spec.Floor = nil
	o = plan(t, spec).Of(closing.AlternativeFill)
	require.False(t, o.Levels.Elevations)
	require.InDelta(t, 9, o.Levels.Foot.In(ft), 1e-9)
	require.Contains(t, open(o), "closing.floorElevation")

	// A circle has a section, a basin known by its areas alone has none.
	var err error
	spec = whole(t)
	spec.Berm.Plan = nil
	spec.Basin, err = volume.NewCircular(volume.CircularSpec{Diameter: 60 * units.Metre, At: volume.ReferenceTop, Depth: 12 * ft, Slopes: []float64{2.5}})
	require.NoError(t, err)
	o = plan(t, spec).Of(closing.AlternativeFill)
	require.Equal(t, o.Levels.Ridge.In(ft), o.Section.Points[len(o.Section.Points)/2].Built.In(ft))
	require.Nil(t, plan(t, spec).Of(closing.AlternativeBreach).Section)
}

// A basin whose banks and berms all differ, given along and across: the section runs the
// short way, and each bank has the berm of its side. Left to right they stand 2:1 behind
// 14 ft of crest and 3.5:1 behind 10 ft; at the ground the basin is 150 - 5.5 x 3 ft wide.
func TestSectionHasTheBermOfEachBank(t *testing.T) {
	for _, c := range []struct {
		long, wide units.Length
		slopes     []float64 // start, end, left, right
		crests     []float64 // right, end, left, start
	}{
		{230, 150, []float64{3, 2.5, 2, 3.5}, []float64{10, 12, 14, 16}},
		{150, 230, []float64{2, 3.5, 3, 2.5}, []float64{12, 10, 16, 14}},
	} {
		spec := whole(t)
		var err error
		spec.Basin, err = volume.NewRectangular(volume.RectangularSpec{Length: c.long * ft, Width: c.wide * ft, At: volume.ReferenceTop, Depth: 12 * ft, Slopes: c.slopes})
		require.NoError(t, err)
		section := spec.Berm.Sides[0]
		spec.Berm.Sides = nil
		for _, crest := range c.crests {
			section.CrestWidth = units.Length(crest) * ft
			spec.Berm.Sides = append(spec.Berm.Sides, section)
		}
		var stations []float64
		for _, p := range plan(t, spec).Of(closing.AlternativeFill).Section.Points {
			stations = append(stations, p.Station.In(ft))
		}
		// Ground, outer slope, crest, inner slope, bank, floor up to the ridge in the middle.
		ridge := 13.35 + 9 + 14 + 7.5 + 133.5/2
		require.InDeltaSlice(t, []float64{0, 13.35, 22.35, 36.35, 43.85, 61.85, ridge, 145.85, 177.35, 184.85, 194.85, 203.85, 217.2}, stations, 1e-9, "%v x %v", c.long, c.wide)
	}
}
