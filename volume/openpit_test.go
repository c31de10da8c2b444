package volume

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume/internal/plantest"
)

func mayDay(d int) time.Time { return time.Date(2027, 5, d, 0, 0, 0, 0, time.UTC) }

// tank has upright walls, so that levels can be worked out by hand.
func tank(t testing.TB) *Rectangular {
	b, err := NewRectangular(RectangularSpec{Length: 50, Width: 20, At: ReferenceTop, Depth: 4, Slopes: []float64{0}})
	require.NoError(t, err)
	return b
}

// 3 in of rain on each of two days after the draw-off are 6 in on the whole inner bank:
// 1,000 m2 x 0.1524 m = 152.4 m3 that has to be pumped, at 100 m3 a day on two days
// after the rain (geometry).
func TestOpenPitByHand(t *testing.T) {
	spec := OpenPitSpec{
		Basin: tank(t), Start: mayDay(1), Filled: mayDay(20), Pump: units.Flow(100.0 / (8 * 3600)), HoursPerDay: 8 * units.Hour, WetDay: units.Inch, Months: dryMonths(),
	}
	dry, err := OpenPit(spec)
	require.NoError(t, err)
	require.Zero(t, dry.Total.Pumped)
	require.Zero(t, dry.WetDays)
	storm := Weather{Rain: 3 * units.Inch}
	spec.Days = []DatedWeather{{mayDay(6), storm}, {mayDay(7), storm}, {mayDay(25), storm}} // the last one after it is filled
	r, err := OpenPit(spec)
	require.NoError(t, err)
	require.InDelta(t, 152.4, r.Total.Rain.SI(), 1e-9)
	require.InDelta(t, 152.4, r.Total.Pumped.SI(), 1e-9)
	require.Equal(t, 2, r.PumpDays)
	require.InDelta(t, 100, r.MostPumped.SI(), 1e-9)
	require.Equal(t, mayDay(8), r.MostOn)
	require.Equal(t, 3, r.WetDays) // evenings of 6, 7 and 8 May
	require.InDelta(t, 0.1524, r.Days[6].Level.SI(), 1e-12)
	require.InDelta(t, 0.0524, r.Days[7].Level.SI(), 1e-12)
	require.InDelta(t, 0.1524, r.IdleHighest.SI(), 1e-12)
	require.Equal(t, mayDay(7), r.IdleOn)
	require.InDelta(t, 0.1524, r.Days[19].Idle.SI(), 1e-12)
	require.Zero(t, r.Left)
}

// The fill rises by the same volume each day and lifts the water that stands.
func TestOpenPitWhileItIsFilled(t *testing.T) {
	spec := OpenPitSpec{Basin: tank(t), StartLevel: 0.5, Start: mayDay(1), Filled: mayDay(4), FillFrom: mayDay(1), FillTo: 2, Months: dryMonths()}
	r, err := OpenPit(spec)
	require.NoError(t, err)
	for i, d := range r.Days {
		require.InDelta(t, 0.5*float64(i+1), d.Fill.SI(), 1e-12)
		require.InDelta(t, 0.5*float64(i+1)+0.5, d.Level.SI(), 1e-12)
	}
	// A thin fill is one too.
	spec.FillTo = 0.0008
	r, err = OpenPit(spec)
	require.NoError(t, err)
	require.InDelta(t, 0.0008, r.Days[3].Fill.SI(), 1e-12)
	require.InDelta(t, 0.5008, r.Total.Level.SI(), 1e-12)
	// To the top of the bank it pushes out what stood.
	spec.FillTo = 0
	r, err = OpenPit(spec)
	require.NoError(t, err)
	require.InDelta(t, 500, r.Total.Spilled.SI(), 1e-6)
	require.InDelta(t, 0, r.Left.SI(), 1e-6)
	require.Contains(t, r.Cautions[len(r.Cautions)-1], "overtops")
}

// What stood and what came in is what was pumped, left otherwise, spilled or is left.
func TestOpenPitKeepsWater(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		b := mustRectangular(t, randomRectangular(r))
		depth := float64(b.Depth())
		spec := OpenPitSpec{Basin: b, StartLevel: units.Length(plantest.Between(r, 0, depth)), Sump: units.Length(plantest.Between(r, 0, 0.2*depth)), Start: mayDay(1), Filled: mayDay(1 + r.IntN(60)),
			Pump: units.Flow(plantest.Between(r, 0, 0.05)), HoursPerDay: 8 * units.Hour, RestDays: []time.Weekday{time.Sunday}, WetDay: units.Length(plantest.Between(r, 0, 0.02)),
			Months:    slices.Repeat([]Weather{{Rain: units.Length(plantest.Between(r, 0, 0.01)), Evaporation: units.Length(plantest.Between(r, 0, 0.01))}}, 12),
			Days:      []DatedWeather{{mayDay(3), Weather{Rain: units.Length(plantest.Between(r, 0, 1))}}},
			Catchment: 1000, RunoffShare: r.Float64(), Seepage: 1e-9, Inflow: 1e-5}
		if r.IntN(2) == 0 {
			spec.FillFrom = spec.Filled.AddDate(0, 0, -r.IntN(1+int(spec.Filled.Sub(spec.Start).Hours()/24)))
			spec.FillTo = units.Length(plantest.Between(r, 0, depth))
		}
		got, err := OpenPit(spec)
		require.NoError(t, err)
		in := b.VolumeAt(spec.StartLevel) + got.Total.Rain + got.Total.Runoff + got.Total.Inflow
		out := got.Total.Pumped + got.Total.Evap + got.Total.Seeped + got.Total.Spilled + got.Left
		require.InEpsilon(t, float64(in), float64(out), 1e-9)
		for _, d := range got.Days {
			require.LessOrEqual(t, float64(d.Level), float64(d.Idle)*(1+1e-3), "pumping lowers the level, up to what the larger surface loses in a day")
			require.GreaterOrEqual(t, float64(d.Level), float64(d.Fill)*(1-1e-9))
		}
	}
}

func TestOpenPitFaults(t *testing.T) {
	_, err := OpenPit(OpenPitSpec{})
	plantest.RequireFields(t, err, "basin", "start", "months")
	_, err = OpenPit(OpenPitSpec{Basin: tank(t), Start: mayDay(2), Filled: mayDay(1), Months: dryMonths(), Pump: -1, FillTo: 1})
	plantest.RequireFields(t, err, "filled", "fillTo", "pump", "hoursPerDay")
	_, err = OpenPit(OpenPitSpec{Basin: tank(t), Start: mayDay(2), Filled: mayDay(9), FillFrom: mayDay(1), StartLevel: 5, Months: dryMonths(), Days: []DatedWeather{{}, {mayDay(3), Weather{Rain: 3}}}})
	plantest.RequireFields(t, err, "startLevel", "fillFrom", "days[0].date", "days[1].rain")
}

// The fall of the level stands beside the caution that asks about it: 100 m3 a day from
// 1,000 m2 are 0.1 m (geometry).
func TestEmptyingFall(t *testing.T) {
	r, err := Emptying(EmptyingSpec{Basin: tank(t), StartLevel: 1, Start: mayDay(1), Until: mayDay(30), Pump: units.Flow(100.0 / (8 * 3600)), HoursPerDay: 8 * units.Hour, Months: dryMonths()})
	require.NoError(t, err)
	require.InDelta(t, 0.1, r.Fall.SI(), 1e-12)
	require.False(t, r.FallOn.IsZero())
	// Of days with the same fall, here an eighth of a metre to the last digit, the first.
	r, err = Emptying(EmptyingSpec{Basin: tank(t), StartLevel: 1, StopLevel: 0.25, Start: mayDay(1), Until: mayDay(30), Pump: units.Flow(125.0 / 4096), HoursPerDay: 4096, Months: dryMonths()})
	require.NoError(t, err)
	require.Len(t, r.Days, 6)
	require.Equal(t, units.Length(0.125), r.Fall)
	require.Equal(t, mayDay(1), r.FallOn)
	require.Contains(t, r.String(), "greatest fall of the level in a day")
}

// The water that nobody pumps stands on the fill of that day: level and fill are told
// apart, and the working says on what it stands.
func TestOpenPitStandsOnTheFill(t *testing.T) {
	b, err := NewRectangular(RectangularSpec{Length: 40, Width: 25, At: ReferenceTop, Depth: 3, Slopes: []float64{0}})
	require.NoError(t, err)
	day := func(d int) time.Time { return time.Date(2027, 5, d, 0, 0, 0, 0, time.UTC) }
	spec := OpenPitSpec{Basin: b, Start: day(1), Filled: day(10), FillFrom: day(1), FillTo: 2, Months: make([]Weather, 12),
		Days: []DatedWeather{{Date: day(10), Weather: Weather{Rain: 0.1}}}}
	r, err := OpenPit(spec)
	require.NoError(t, err)
	require.InDelta(t, 2.1, float64(r.IdleHighest), 1e-9) // upright banks: 0.1 m of rain on 2 m of fill
	require.InDelta(t, 2, float64(r.IdleFill), 1e-9)
	require.Contains(t, r.String(), "over the fill")
	spec.FillFrom, spec.FillTo = time.Time{}, 0
	r, err = OpenPit(spec)
	require.NoError(t, err)
	require.Zero(t, r.IdleFill)
	require.NotContains(t, r.String(), "over the fill")
}

// Of days on which the same is pumped the first has the most; the fill over five days is
// a fifth of it each day, from the day on which it begins.
func TestOpenPitFirstOfTheMost(t *testing.T) {
	spec := OpenPitSpec{Basin: tank(t), StartLevel: 0.5, Start: mayDay(1), Filled: mayDay(9), Pump: units.Flow(125.0 / 4096), HoursPerDay: 4096, Months: dryMonths()}
	r, err := OpenPit(spec)
	require.NoError(t, err)
	require.Equal(t, 4, r.PumpDays)
	require.Equal(t, units.Volume(125), r.MostPumped)
	require.Equal(t, mayDay(1), r.MostOn)
	require.Equal(t, 3, r.WetDays)
	spec.FillFrom, spec.FillTo = mayDay(5), 1
	r, err = OpenPit(spec)
	require.NoError(t, err)
	for i, d := range r.Days {
		require.InDelta(t, 0.2*max(0, float64(i-3)), d.Fill.SI(), 1e-12, "day %d", i)
	}
	// A sump keeps its depth of water, on the floor and over the fill.
	spec.Sump = 0.1
	r, err = OpenPit(spec)
	require.NoError(t, err)
	for i, d := range r.Days[3:] {
		require.InDelta(t, 0.1+0.2*float64(i), d.Level.SI(), 1e-12, "day %d", i)
	}
	require.InDelta(t, 100, r.Left.SI(), 1e-9)
	require.Equal(t, 3, r.WetDays)
}

// The level that counts is that before what a day loses: 0.5 m less 2 mm and 3 mm of rain
// are 0.501 m on the second day, of which 0.499 m are left in the evening.
func TestOpenPitHighestWithinTheDay(t *testing.T) {
	spec := OpenPitSpec{Basin: tank(t), StartLevel: 0.5, Start: mayDay(1), Filled: mayDay(4), Months: dryMonths()}
	for m := range spec.Months {
		spec.Months[m].Evaporation = 2 * units.Millimetre
	}
	spec.Days = []DatedWeather{{Date: mayDay(2), Weather: Weather{Rain: 3 * units.Millimetre, Evaporation: 2 * units.Millimetre}}}
	r, err := OpenPit(spec)
	require.NoError(t, err)
	require.InDelta(t, 0.501, r.IdleHighest.SI(), 1e-12)
	require.Equal(t, mayDay(2), r.IdleOn)
	require.InDelta(t, 0.499, r.Days[1].Level.SI(), 1e-12)
	require.Zero(t, LevelGrid{}.LevelAt(plane.Point{X: 1, Y: 1}), "a grid without cells is level at 0")
}
