package volume

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
	"example.org/earthbasin/volume/internal/plantest"
)

func dryMonths() []Weather { return make([]Weather, 12) }

func emptyingSpec(b Basin) EmptyingSpec {
	return EmptyingSpec{
		Basin: b, StartLevel: 8 * ft, StopLevel: 2 * ft,
		Start: time.Date(2026, 4, 1, 15, 0, 0, 0, time.FixedZone("", -5*3600)), Until: time.Date(2026, 9, 30, 0, 0, 0, 0, time.UTC),
		Pump: 400 * units.GallonPerMinute, HoursPerDay: 8 * units.Hour, Months: dryMonths(),
	}
}

func TestEmptyingDry(t *testing.T) {
	b := formBasin(t)
	s := emptyingSpec(b)
	s.RestDays = []time.Weekday{time.Sunday}
	r, err := Emptying(s)
	require.NoError(t, err)
	require.True(t, r.Empty)
	require.InDelta(t, float64(r.Stored), float64(r.Total.Pumped), 1e-6)
	require.InDelta(t, 0, float64(r.Extra), 1e-6)
	require.Zero(t, r.ForRain)
	require.Len(t, r.Days, r.DryDays)
	var pumped float64
	for _, d := range r.Days {
		if d.Date.Weekday() == time.Sunday {
			require.Zero(t, d.Pumped)
		} else {
			pumped++
		}
	}
	require.Equal(t, math.Ceil(r.PumpDays), pumped)
	require.Equal(t, r.Days[len(r.Days)-1].Date, r.EmptyOn)
	require.Equal(t, "2026-04-01", r.Days[0].Date.Format(time.DateOnly))
	require.NotContains(t, strings.Join(r.Cautions, "\n"), "overtops", "nothing spills")
}

func TestEmptyingBalance(t *testing.T) {
	g := rand.New(rand.NewPCG(1, 1))
	b := formBasin(t)
	for range 60 {
		s := emptyingSpec(b)
		for i := range s.Months {
			s.Months[i] = Weather{Rain: units.Length(0.01 * g.Float64()), Evaporation: units.Length(0.008 * g.Float64())}
		}
		s.Days = []DatedWeather{{time.Date(2026, 4, 20, 0, 0, 0, 0, time.UTC), Weather{Rain: units.Length(0.3 * g.Float64())}}}
		s.Pump = units.Flow(g.Float64()) * 600 * units.GallonPerMinute
		s.Catchment, s.RunoffShare, s.RunoffLoss = units.Acre, g.Float64(), 0.2*units.Inch
		s.Seepage, s.Inflow = units.DepthRate(g.Float64())*0.1*units.InchPerDay, units.Flow(g.Float64())*20*units.GallonPerMinute
		r, err := Emptying(s)
		require.NoError(t, err)
		tot := r.Total
		end := b.VolumeAt(s.StartLevel) + tot.Rain + tot.Runoff + tot.Inflow - tot.Evap - tot.Seeped - tot.Pumped - tot.Spilled
		require.InDelta(t, float64(end), float64(b.VolumeAt(tot.Level)), 1e-6*float64(Capacity(b)))
		if r.Empty {
			require.InDelta(t, float64(r.Stored+r.Extra), float64(tot.Pumped), 1e-6*float64(Capacity(b)))
			require.Empty(t, r.Why)
		} else {
			require.NotEmpty(t, r.Why)
			require.True(t, r.EmptyOn.IsZero())
		}
	}
}

func TestEmptyingForRain(t *testing.T) {
	s := emptyingSpec(formBasin(t))
	s.Days = []DatedWeather{{time.Date(2026, 4, 3, 0, 0, 0, 0, time.UTC), Weather{Rain: 2 * units.Inch}}}
	r, err := Emptying(s)
	require.NoError(t, err)
	// Nothing evaporates: all the rain is pumped.
	require.InDelta(t, float64(s.Basin.AreaAt(s.Basin.Depth()).Times(2*units.Inch)), float64(r.ForRain), 1e-6)
	require.InDelta(t, float64(r.Extra), float64(r.ForRain), 1e-6)
	// With evaporation the extra is the smaller of the two.
	for i := range s.Months {
		s.Months[i].Evaporation = 0.1 * units.Inch
	}
	r, err = Emptying(s)
	require.NoError(t, err)
	require.Less(t, r.Extra, r.ForRain)
	require.Equal(t, 2*units.Inch, s.Days[0].Rain)
}

// Rain that the pump has not moved yet still has to be moved.
func TestEmptyingForRainNotEmptied(t *testing.T) {
	s := emptyingSpec(formBasin(t))
	s.Until = s.Start.AddDate(0, 0, 2)
	s.WetDay = units.Inch
	s.Days = []DatedWeather{{s.Start, Weather{Rain: 2 * units.Inch}}}
	r, err := Emptying(s)
	require.NoError(t, err)
	require.False(t, r.Empty)
	require.Equal(t, 3, r.DryDays)
	require.InDelta(t, float64(s.Basin.AreaAt(s.Basin.Depth()).Times(2*units.Inch)), float64(r.ForRain), 1e-6)
	s.Days, s.Inflow = nil, 0
	for i := range s.Months {
		s.Months[i].Evaporation = 0.2 * units.Inch
	}
	r, err = Emptying(s)
	require.NoError(t, err)
	require.Contains(t, r.Why.String(), "more left otherwise than came in")
}

func TestEmptyingNever(t *testing.T) {
	s := emptyingSpec(formBasin(t))
	s.Inflow = 200 * units.GallonPerMinute // 24 h of it beat 8 h of the pump
	r, err := Emptying(s)
	require.NoError(t, err)
	require.False(t, r.Empty)
	require.Contains(t, r.Why.String(), "still above the stop level: the pump does not keep up")
	require.Positive(t, r.Total.Spilled)
	require.Equal(t, s.Basin.Depth(), r.Highest)
	require.Len(t, r.Cautions, 5)
	require.Len(t, r.Days, 183)
}

func TestEmptyingTooLate(t *testing.T) {
	s := emptyingSpec(formBasin(t))
	s.Until = s.Start.AddDate(0, 0, 3) // four of the days that it takes
	r, err := Emptying(s)
	require.NoError(t, err)
	require.False(t, r.Empty)
	more := math.Ceil(r.PumpDays - 4)
	require.Contains(t, r.Why.String(), fmt.Sprintf("at that pace %.0f days more are needed", more))
}

func TestEmptyingWaitsOnWetDays(t *testing.T) {
	s := emptyingSpec(formBasin(t))
	s.WetDay = 0.25 * units.Inch
	s.Days = []DatedWeather{
		{time.Date(2026, 4, 3, 0, 0, 0, 0, time.UTC), Weather{Rain: 0.25 * units.Inch}},
		{time.Date(2026, 4, 5, 0, 0, 0, 0, time.UTC), Weather{Rain: 0.2 * units.Inch}},
	}
	r, err := Emptying(s)
	require.NoError(t, err)
	for i, d := range r.Days {
		require.Equal(t, i == 2, d.Pumped == 0, "%v", d.Date)
	}
}

func TestEmptyingBySunAlone(t *testing.T) {
	s := emptyingSpec(formBasin(t))
	s.StartLevel, s.StopLevel = 0.2*ft, 0
	s.RestDays = []time.Weekday{1, 2, 3, 4, 5, 6}
	for i := range s.Months {
		s.Months[i].Evaporation = units.Inch
	}
	r, err := Emptying(s)
	require.NoError(t, err)
	require.True(t, r.Empty)
	require.Zero(t, r.Total.Pumped)
	require.InDelta(t, float64(r.Stored), float64(r.Total.Evap), 1e-6)
}

func TestEmptyingFaults(t *testing.T) {
	_, err := Emptying(EmptyingSpec{})
	plantest.RequireFields(t, err, "basin", "start", "pump", "hoursPerDay", "months")
	s := emptyingSpec(formBasin(t))
	s.StartLevel, s.StopLevel = 11*ft, 12*ft
	s.Until = s.Start.AddDate(0, 0, -1)
	s.Pump, s.HoursPerDay = units.Flow(math.NaN()), 25*units.Hour
	s.RestDays = []time.Weekday{0, 1, 2, 3, 4, 5, 6, 9}
	s.Months[3].Rain = -1
	s.Days = []DatedWeather{{Weather: Weather{Evaporation: 3}}, {Date: s.Start}, {Date: s.Start.Add(time.Hour)}}
	s.Catchment, s.RunoffShare = 1, 0
	s.Seepage, s.Inflow = -1, units.Flow(math.Inf(1))
	_, err = Emptying(s)
	plantest.RequireFields(t, err, "startLevel", "stopLevel", "until", "pump", "hoursPerDay", "restDays[7]", "restDays", "months[3].rain",
		"days[0].date", "days[0].evaporation", "days[2].date", "runoffShare", "seepage", "inflow")
}

func TestEmptyingFromJSON(t *testing.T) {
	var s EmptyingSpec
	require.NoError(t, strict.Decode([]byte(`{"startLevel": "8 ft", "stopLevel": "0 ft", "start": "2027-04-01T00:00:00Z", "until": "2027-06-01T00:00:00Z",
		"pump": "400 gpm", "hoursPerDay": "8 h", "restDays": [0], "wetDay": "0.5 in",
		"months": [{"rain": "0.1 in", "evaporation": "0.05 in"}],
		"days": [{"date": "2027-04-07T00:00:00Z", "rain": "2 in", "evaporation": "0 in"}], "seepage": "0.02 in/day"}`), &s))
	require.Equal(t, []time.Weekday{time.Sunday}, s.RestDays)
	require.InDelta(t, 2, s.Days[0].Rain.In(units.Inch), 1e-12)
	require.InDelta(t, 0.02, s.Seepage.In(units.InchPerDay), 1e-12)
}

// A storm outside the days looked at, and a month's rain given as a day's, are
// faults: ignored, they would empty the basin too early.
func TestEmptyingWeatherFaults(t *testing.T) {
	s := emptyingSpec(formBasin(t))
	s.Days = []DatedWeather{{Date: s.Start.AddDate(-1, 0, 0)}, {Date: s.Until.AddDate(0, 0, 1)}, {Date: s.Until}}
	s.Months[5].Rain = 3.5 * units.Inch
	_, err := Emptying(s)
	plantest.RequireFields(t, err, "months[5].rain", "days[0].date", "days[1].date")
}

// Evaporation has a bound as rain has: a month's total given as its mean day
// emptied the basin three times too early.
func TestEmptyingEvaporationBounds(t *testing.T) {
	s := emptyingSpec(formBasin(t))
	s.Months[6].Evaporation = 7 * units.Inch
	s.Days = []DatedWeather{{s.Start, Weather{Evaporation: 7 * units.Inch}}}
	_, err := Emptying(s)
	plantest.RequireFields(t, err, "months[6].evaporation", "days[0].evaporation")
}

// A storm that falls within hours meets the bank before the pump has taken
// anything, though the pump could take all of it by midnight.
func TestEmptyingStormBeforePump(t *testing.T) {
	s := emptyingSpec(formBasin(t))
	free := 0.2 * ft
	s.StartLevel, s.HoursPerDay = s.Basin.Depth()-free, units.Day
	s.Pump = 5000 * units.GallonPerMinute
	s.Days = []DatedWeather{{s.Start, Weather{Rain: 7.5 * units.Inch}}}
	top := s.Basin.AreaAt(s.Basin.Depth())
	r, err := Emptying(s)
	require.NoError(t, err)
	room := Capacity(s.Basin) - s.Basin.VolumeAt(s.StartLevel)
	require.InDelta(t, float64(top.Times(7.5*units.Inch)-room), float64(r.Days[0].Spilled), 1e-6)
	require.Equal(t, s.Basin.Depth(), r.Days[0].Highest)
	require.Less(t, r.Days[0].Level, s.StartLevel)
	require.Contains(t, r.Cautions[len(r.Cautions)-1], "overtops")
	// A storm that fits is seen in the day's highest, above both ends of the day.
	s.Days[0].Rain = 2 * units.Inch
	r, err = Emptying(s)
	require.NoError(t, err)
	require.Zero(t, r.Total.Spilled)
	require.Greater(t, r.Days[0].Highest, s.StartLevel)
	require.InDelta(t, float64(s.Basin.VolumeAt(s.StartLevel)+top.Times(2*units.Inch)), float64(s.Basin.VolumeAt(r.Days[0].Highest)), 1e-6)
	require.Equal(t, r.Days[0].Highest, r.Highest)
	require.Equal(t, r.Highest, r.Total.Highest)
}

func BenchmarkEmptying(b *testing.B) {
	s := emptyingSpec(formBasin(b))
	for i := range s.Months {
		s.Months[i] = Weather{Rain: 0.2 * units.Inch, Evaporation: 0.1 * units.Inch}
	}
	s.Inflow = 50 * units.GallonPerMinute
	for b.Loop() {
		if _, err := Emptying(s); err != nil {
			b.Fatal(err)
		}
	}
}

// On single days of rest the pump stands still, in the draw-off and in the open pit.
func TestPumpRestsOnDates(t *testing.T) {
	s := emptyingSpec(formBasin(t))
	first, err := Emptying(s)
	require.NoError(t, err)
	s.RestDates = []time.Time{first.Days[1].Date, first.Days[2].Date.Add(5 * time.Hour)}
	r, err := Emptying(s)
	require.NoError(t, err)
	for i, d := range r.Days {
		require.Equal(t, i == 1 || i == 2, d.Pumped == 0, "%v", d.Date)
	}
	s.RestDates = make([]time.Time, 10_001)
	_, err = Emptying(s)
	require.ErrorContains(t, err, "restDates: got 10,001 days")
}

// The first and the last day may be days of rest, and days outside of them are no matter.
func TestPumpRestsOnTheFirstAndTheLastDay(t *testing.T) {
	s := emptyingSpec(formBasin(t))
	s.Until = s.Start.AddDate(0, 0, 3)
	last := time.Date(2026, 4, 4, 0, 0, 0, 0, time.UTC)
	s.RestDates = []time.Time{s.Start, last, last.AddDate(0, 0, 1), last.AddDate(0, 0, -4)}
	r, err := Emptying(s)
	require.NoError(t, err)
	require.Len(t, r.Days, 4)
	for i, d := range r.Days {
		require.Equal(t, i == 0 || i == 3, d.Pumped == 0, "%v", d.Date)
	}
}

// On a basin with banks the sun and the soil take from the surface of the morning, rain
// comes on the whole top, and the level follows what is held: the second day by hand.
func TestEmptyingOnBanks(t *testing.T) {
	b := mustRectangular(t, RectangularSpec{Length: 30, Width: 20, At: ReferenceFloor, Depth: 4, Slopes: []float64{2, 3, 1, 0}})
	months := dryMonths()
	for i := range months {
		months[i] = Weather{Rain: 0.01, Evaporation: 0.004}
	}
	s := EmptyingSpec{Basin: b, StartLevel: 3, StopLevel: 1, Start: mayDay(1), Until: mayDay(2), Pump: units.Flow(200.0 / 3600), HoursPerDay: units.Hour, Months: months,
		Seepage: units.DepthRate(0.002 / 86400), Inflow: units.Flow(5.0 / 86400)}
	r, err := Emptying(s)
	require.NoError(t, err)
	held, level := b.VolumeAt(3), units.Length(3)
	for _, d := range r.Days {
		surface := (30 + 5*float64(level)) * (20 + float64(level))
		require.InDelta(t, 50*24*0.01, d.Rain.SI(), 1e-9)
		require.InDelta(t, surface*0.004, d.Evap.SI(), 1e-9)
		require.InDelta(t, surface*0.002, d.Seeped.SI(), 1e-9)
		require.InDelta(t, 5, d.Inflow.SI(), 1e-9)
		held += units.Volume(12 + 5 - surface*0.006 - 200)
		require.InDelta(t, float64(held), float64(b.VolumeAt(d.Level)), 1e-6)
		level = d.Level
	}
	require.Len(t, r.Days, 2)
}
