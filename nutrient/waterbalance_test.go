package nutrient

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

func june(day int) time.Time { return time.Date(2026, time.June, day, 0, 0, 0, 0, time.UTC) }

// dry is n days from 1 June that take 0.2 in each.
func dry(n int) []DayWeather {
	list := make([]DayWeather, n)
	for i := range list {
		list[i] = DayWeather{Date: june(1 + i), Evapotranspiration: 0.2 * units.Inch}
	}
	return list
}

// loam is 1 ft of top soil and 2 ft below it, 4.5 in of water, half of it missing.
func loam(weather []DayWeather) SoilWaterSpec {
	return SoilWaterSpec{
		Layers:   []SoilLayer{{Depth: 1 * units.Foot, Texture: TextureLoam}, {Depth: 2 * units.Foot, Texture: TextureLoam}},
		Depleted: 0.5, Drainable: 0.1, Drainage: 0.5 * units.InchPerDay, Easy: 0.5,
		Coefficients: []CropCoefficient{{From: june(1), Factor: 1}},
		Weather:      weather, Rule: SpreadingRule{Rain: 0.1 * units.Inch, Soaking: units.Inch, SoakedDays: 1, Top: 6 * units.Inch},
	}
}

// By hand: 4.5 in x 1/2 = 2.25 in of room on the first morning; the crop then uses 0.2
// in a day, and under stress Ks = 2.05/(0.5 x 4.5) of it.
func TestSoilWaterByHand(t *testing.T) {
	r, err := SoilWater(loam(dry(3)))
	require.NoError(t, err)
	require.InDelta(t, 4.5, r.Holds.In(units.Inch), 1e-12)
	for i, want := range []float64{2.25, 2.45, 2.45 + 0.2*2.05/2.25} {
		require.InDelta(t, want, r.Days[i].Room.In(units.Inch), 1e-12)
		require.True(t, r.Days[i].Fit)
		depth, _ := r.Days[i].Limit().Rate.VolumePerArea()
		require.InDelta(t, want*27154.29, depth.In(units.GallonPerAcre), 0.1, "an acre-inch is 27,154 gal")
	}
	// Slurry is water too: an inch of effluent and half an inch of slurry on the first
	// day are gone from the room of the second.
	s := loam(dry(3))
	s.Applied = []WaterApplied{{june(1), units.Inch, "effluent"}, {june(1), 0.5 * units.Inch, "slurry"}}
	r, err = SoilWater(s)
	require.NoError(t, err)
	require.InDelta(t, 2.25-1.5+0.2, r.Days[1].Room.In(units.Inch), 1e-12)
	require.Zero(t, r.Days[0].Over)
	s.Applied = append(s.Applied, WaterApplied{june(2), 2 * units.Inch, "slurry"})
	r, err = SoilWater(s)
	require.NoError(t, err)
	require.InDelta(t, 2-0.95, r.Days[1].Over.In(units.Inch), 1e-12)
}

// Nobody spreads on the day of 1.6 in of rain, the day before when the rule counts the
// forecast, or the day after: the top soil is full, whatever is free below it.
func TestNobodySpreadsOnWetGround(t *testing.T) {
	weather := dry(20)
	weather[9].Rain = 1.6 * units.Inch
	s := loam(weather)
	s.Depleted = 0.3
	s.Rule.Margin = 0.25
	s.Rule.Ahead, s.Rule.RainAhead = 24*units.Hour, 0.5*units.Inch
	r, err := SoilWater(s)
	require.NoError(t, err)
	reasons := []Unfit{UnfitNone, UnfitForecast, UnfitRain, UnfitSoaked, UnfitFull}
	for i, want := range reasons {
		require.Equal(t, want, r.Days[7+i].Reason, "%v: %v", r.Days[7+i].Date, r.Days[7+i].Evidence)
		require.Equal(t, want == UnfitNone, r.Days[7+i].Fit)
	}
	require.True(t, r.Days[19].Fit, "after nine dry days")

	// Also on a soil so dry that it has room for all of it.
	s.Depleted, s.Rule.Margin = 1, 0
	s.Rule.Soaking, s.Rule.SoakedDays = 1*units.Inch, 2
	r, err = SoilWater(s)
	require.NoError(t, err)
	require.Equal(t, []Unfit{UnfitSoaked, UnfitSoaked}, []Unfit{r.Days[10].Reason, r.Days[11].Reason})
	require.Greater(t, r.Days[10].Room, units.Length(0))
	require.True(t, r.Days[12].Fit)
}

func TestOtherReasons(t *testing.T) {
	weather := dry(6)
	cold, warm := units.Fahrenheit(40), units.Fahrenheit(60)
	weather[0].Frozen = true
	weather[1].SoilTemperature = new(units.Celsius(-1))
	weather[2].SoilTemperature = &warm
	weather[3].SoilTemperature = &cold
	s := loam(weather)
	s.Rule.Warmest = new(units.Fahrenheit(50))
	s.Rule.Closed = []ClosedDays{{june(6), june(9), "silage stands"}}
	r, err := SoilWater(s)
	require.NoError(t, err)
	var got []Unfit
	for _, d := range r.Days {
		got = append(got, d.Reason)
	}
	require.Equal(t, []Unfit{UnfitFrozen, UnfitFrozen, UnfitWarm, UnfitNone, UnfitCold, UnfitClosed}, got, "a soil whose temperature nobody knows is not fit by a rule that asks")
	require.Zero(t, r.Days[5].Limit().Rate.SI())
	require.Len(t, r.FitDays(june(1), june(30)), 1)
	// 3 in of rain on a full soil: what does not drain in a day keeps it saturated.
	weather = dry(4)
	weather[0].Rain = 3 * units.Inch
	s = loam(weather)
	s.Depleted, s.Drainage = 0, 0.1*units.InchPerDay
	r, err = SoilWater(s)
	require.NoError(t, err)
	require.Equal(t, UnfitSaturated, r.Days[2].Reason)
	require.Contains(t, r.Days[2].Evidence.String(), "2.40 in above field capacity")
	require.Contains(t, r.DayWorking(june(3)).String(), "no: saturated")
}

// Water in is water out, on random soils in random weather, and never below wilting or
// above what the soil holds.
func TestSoilWaterBalances(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		weather := dry(1 + r.IntN(200))
		for i := range weather {
			weather[i].Evapotranspiration = units.Length(0.4*r.Float64()) * units.Inch
			if r.IntN(3) == 0 {
				weather[i].Rain = units.Length(3*r.Float64()) * units.Inch
			}
		}
		s := loam(weather)
		s.Layers = s.Layers[:1+r.IntN(2)]
		s.Depleted, s.Drainable, s.Drainage = r.Float64(), 0.1*r.Float64(), units.DepthRate(0.01+r.Float64())*units.InchPerDay
		s.Coefficients[0].Factor, s.Easy = 1.2*r.Float64(), 0.1+0.9*r.Float64()
		s.RunoffLoss, s.RunoffShare = 0.5*units.Inch, r.Float64()
		for range r.IntN(10) {
			s.Applied = append(s.Applied, WaterApplied{june(1 + r.IntN(len(weather))), units.Length(0.1+2*r.Float64()) * units.Inch, "slurry"})
		}
		got, err := SoilWater(s)
		require.NoError(t, err)
		in, out := got.Days[0].Water, got.End
		var depth units.Length
		for _, l := range s.Layers {
			depth += l.Depth
		}
		most := got.Holds + depth*units.Length(s.Drainable)
		for i, d := range got.Days {
			in += d.Rain + d.Applied
			out += d.Runoff + d.Used + d.Drained
			require.GreaterOrEqual(t, d.Water, units.Length(0))
			require.LessOrEqual(t, d.Water, most*(1+1e-12))
			require.LessOrEqual(t, d.Used, weather[i].Evapotranspiration*units.Length(s.Coefficients[0].Factor)*(1+1e-12))
			require.Equal(t, d.Fit, d.Reason == UnfitNone)
			require.False(t, d.Fit && (d.Rain >= 1.6*units.Inch || i > 0 && got.Days[i-1].Rain >= 1.6*units.Inch), "nobody spreads on or after 1.6 in")
			require.True(t, !d.Fit || d.Room > 0)
		}
		require.InDelta(t, float64(in), float64(out), 1e-9)
	}
}

// What a season can bring is what goes down when every fit day is filled, and no plan of
// passes within the rooms brings more on the days of the same weather.
func TestSoilFill(t *testing.T) {
	s := loam(dry(20))
	s.Rule.Margin = 0.05
	r, err := SoilFill(SoilFillSpec{SoilWaterSpec: s, First: june(3), Last: june(20), Least: 0.05 * units.Inch})
	require.NoError(t, err)
	var sum units.Length
	for _, d := range r.Days {
		require.LessOrEqual(t, d.Applied, d.Room)
		require.True(t, d.Applied == 0 || d.Fit && !d.Date.Before(june(3)))
		s.Applied = append(s.Applied, WaterApplied{Date: d.Date, Depth: d.Applied})
		sum += d.Applied
	}
	require.Equal(t, r.Days[2].Room, r.Days[2].Applied)
	require.Greater(t, sum, 4*units.Inch, "2.5 in missing and 0.2 in a day for 18 days, less the margin")
	// The same passes told give the same balance.
	s.Applied = slices.DeleteFunc(s.Applied, func(a WaterApplied) bool { return a.Depth == 0 })
	same, err := SoilWater(s)
	require.NoError(t, err)
	require.Equal(t, r, same)
	// Nobody goes out for less than the least, and for just the least somebody does.
	s.Applied = nil
	plain, err := SoilWater(s)
	require.NoError(t, err)
	shallow := loam(dry(3))
	shallow.Layers = shallow.Layers[:1]
	thin, err := SoilWater(shallow)
	require.NoError(t, err)
	room := thin.Days[0].Room
	for least, want := range map[units.Length]units.Length{room: room, room * 1.0001: 0, room * 0.9999: room} {
		r, err := SoilFill(SoilFillSpec{SoilWaterSpec: shallow, First: june(1), Last: june(1), Least: least})
		require.NoError(t, err)
		require.Equal(t, want, r.Days[0].Applied)
		require.Zero(t, r.Days[1].Applied, "after the last day")
	}
	require.Len(t, plain.FitDays(june(2), june(4)), 3)
	one := loam(dry(1))
	one.Applied = []WaterApplied{{june(1), units.Inch, "slurry"}}
	single, err := SoilWater(one)
	require.NoError(t, err)
	require.Equal(t, units.Inch, single.Days[0].Applied)
	_, err = SoilFill(SoilFillSpec{})
	require.Equal(t, []string{"first", "least", "layers", "drainage", "coefficients", "easy", "rule.rain", "rule.soaking", "rule.soakedDays", "rule.top", "weather"}, faultFields(err))
}

// Where nobody knows the soil the rule alone decides.
func TestDaysByTheRuleAlone(t *testing.T) {
	weather := dry(5)
	weather[2].Rain = 1.6 * units.Inch
	weather[4].Frozen = true
	rule := SpreadingRule{Rain: 0.1 * units.Inch, Ahead: 24 * units.Hour, RainAhead: units.Inch, Soaking: units.Inch, SoakedDays: 1, Top: 6 * units.Inch}
	got, err := rule.Days(weather)
	require.NoError(t, err)
	require.Equal(t, []Unfit{UnfitNone, UnfitForecast, UnfitRain, UnfitSoaked, UnfitFrozen}, got)
	_, err = SpreadingRule{}.Days(nil)
	require.Equal(t, []string{"rain", "soaking", "soakedDays", "top", "weather"}, faultFields(err))
}

func TestSoilWaterFaults(t *testing.T) {
	_, err := SoilWater(SoilWaterSpec{})
	require.Equal(t, []string{"layers", "drainage", "coefficients", "easy", "rule.rain", "rule.soaking", "rule.soakedDays", "rule.top", "weather"}, faultFields(err))
	s := loam(dry(2))
	s.Weather[1].Date = june(5)
	s.Weather[0].Rain = units.Length(math.NaN())
	s.Coefficients = append(s.Coefficients, CropCoefficient{From: june(1), Factor: 3})
	s.Applied = []WaterApplied{{june(30), -1, ""}}
	s.RunoffShare, s.Rule.Ahead, s.Rule.Soaking, s.Rule.Margin = 2, units.Day, 2*units.Inch, 1e-310
	s.Rule.Closed = []ClosedDays{{From: june(2), To: june(1)}, {}}
	_, err = SoilWater(s)
	require.Equal(t, []string{"coefficients[1].factor", "coefficients[1].from", "runoffShare", "rule.rainAhead", "rule.soaking", "rule.margin", "rule.closed[0].to", "rule.closed[1].from",
		"weather[0].rain", "weather[1].date", "applied[0].depth", "applied[0].date"}, faultFields(err))
}

func TestDailyWeather(t *testing.T) {
	months := make([]MonthWeather, 12)
	for i := range months {
		months[i] = MonthWeather{Rain: 0.1 * units.Inch, Evapotranspiration: 0.15 * units.Inch, WetDays: 5 + i}
	}
	months[1].WetDays = 0
	r, err := DailyWeather(DailyWeatherSpec{First: june(1).AddDate(0, -6, 0), Last: june(30), Months: months, Days: []DayWeather{{Date: june(3), Rain: 1.6 * units.Inch}}})
	require.NoError(t, err)
	require.Len(t, r.Days, 31+31+28+31+30+31+30)
	wet, rain := map[time.Month]int{}, map[time.Month]units.Length{}
	for _, d := range r.Days {
		if rain[d.Date.Month()] += d.Rain; d.Rain > 0 {
			wet[d.Date.Month()]++
		}
	}
	for m, want := range map[time.Month]int{time.January: 5, time.February: 28, time.March: 7, time.December: 16} {
		require.Equal(t, want, wet[m], m)
		require.InDelta(t, 0.1*float64(time.Date(2026, m+1, 0, 0, 0, 0, 0, time.UTC).Day()), rain[m].In(units.Inch), 1e-9)
	}
	require.InDelta(t, 1.6, r.Days[len(r.Days)-28].Rain.In(units.Inch), 1e-12)
	require.Len(t, r.Notes, 2)
	require.Contains(t, r.String(), "February is spread evenly")

	_, err = DailyWeather(DailyWeatherSpec{First: june(1), Last: june(3), Days: []DayWeather{{Date: june(1)}, {Date: june(3)}}})
	require.ErrorContains(t, err, "2026-06-02 is missing")
	_, err = DailyWeather(DailyWeatherSpec{})
	require.Equal(t, []string{"first"}, faultFields(err))
	_, err = DailyWeather(DailyWeatherSpec{First: june(2), Last: june(1), Months: make([]MonthWeather, 3), Days: []DayWeather{{Date: june(1)}, {Date: june(1), Rain: 3}}})
	require.Equal(t, []string{"last", "months", "days[1].rain", "days[1].date"}, faultFields(err))
}

// A season of 200 days on a field.
func BenchmarkSoilWater(b *testing.B) {
	s := loam(dry(200))
	for b.Loop() {
		_, _ = SoilWater(s)
	}
}

// The balance a second time, in inches: each layer, cut at the depth of the top, as the
// share of its capacity that is full; what comes in is dealt out by the room above each
// layer, and what the crop takes shrinks all alike.
func TestSoilWaterReckonedAgain(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	seen := map[Unfit]bool{}
	crops := 0
	for range 150 {
		weather := dry(60)
		for i := range weather {
			weather[i].Evapotranspiration = units.Length(0.4*r.Float64()) * units.Inch
			if r.IntN(4) == 0 {
				weather[i].Rain = units.Length(2.5*r.Float64()) * units.Inch
			}
		}
		s := loam(weather)
		s.Layers = nil
		for range 1 + r.IntN(3) {
			low := 0.02 + 0.2*r.Float64()
			s.Layers = append(s.Layers, SoilLayer{Depth: units.Length(1+r.IntN(20)) * units.Inch, Holds: units.Range[float64]{Low: low, High: low * 1.4}})
		}
		s.Depleted, s.Drainable, s.Drainage = r.Float64(), 0.1*r.Float64(), units.DepthRate(0.01+r.Float64())*units.InchPerDay
		s.Easy, s.RunoffLoss, s.RunoffShare = 0.05+0.95*r.Float64(), units.Length(r.Float64())*units.Inch, r.Float64()
		s.Rule.Rain, s.Rule.Soaking, s.Rule.Margin, s.Rule.Top = 0.5*units.Inch, 1.5*units.Inch, 0.3*r.Float64(), units.Length(1+r.IntN(30))*units.Inch
		s.Coefficients = []CropCoefficient{{From: june(5), Factor: 1.2 * r.Float64()}, {From: june(20), Factor: 1.2 * r.Float64()}, {From: june(40), Factor: 1.2 * r.Float64()}}
		for range r.IntN(8) {
			s.Applied = append(s.Applied, WaterApplied{june(1 + r.IntN(60)).Add(7 * time.Hour), units.Length(0.1+2*r.Float64()) * units.Inch, "slurry"})
		}
		got, err := SoilWater(s)
		require.NoError(t, err)

		inch := func(x units.Length) float64 { return x.In(units.Inch) }
		var caps, full []float64
		var inTop []bool
		from, capacity := 0.0, 0.0
		for _, l := range s.Layers {
			depth, top := inch(l.Depth), inch(s.Rule.Top)
			for _, ends := range [][2]float64{{from, min(top, from+depth)}, {max(from, top), from + depth}} {
				if thick := ends[1] - ends[0]; thick > 1e-9 {
					caps, full, inTop = append(caps, thick*l.Holds.Low), append(full, 1-s.Depleted), append(inTop, ends[1] <= top+1e-9)
				}
			}
			from += depth
			capacity += depth * l.Holds.Low
		}
		over, mostOver := 0.0, from*s.Drainable
		water := func() (sum float64) {
			for i := range caps {
				sum += caps[i] * full[i]
			}
			return sum
		}
		wet := func(x float64) (sheds float64) {
			above := 0.0
			for i, c := range caps {
				room := c * (1 - full[i])
				if c > 0 {
					full[i] += max(0, min(room, x-above)) / c
				}
				above += room
			}
			drains := max(0, min(x-above, mostOver-over))
			over += drains
			return max(0, x-above-drains)
		}
		require.InDelta(t, capacity, inch(got.Holds), 1e-9)
		require.InDelta(t, capacity*s.Rule.Margin, inch(got.Free), 1e-9)
		for i, d := range got.Days {
			rain, applied := inch(weather[i].Rain), 0.0
			for _, a := range s.Applied {
				if a.Date.YearDay() == d.Date.YearDay() {
					applied += inch(a.Depth)
				}
			}
			require.InDelta(t, water()+over, inch(d.Water), 1e-9)
			runs := s.RunoffShare * max(0, rain-inch(s.RunoffLoss))
			room := max(0, capacity*(1-s.Rule.Margin)-water()-over-(rain-runs))
			require.InDelta(t, rain-runs, inch(d.Soaks), 1e-9)
			require.InDelta(t, room, inch(d.Room), 1e-9)
			require.InDelta(t, applied, inch(d.Applied), 1e-9)
			require.InDelta(t, max(0, applied-room), inch(d.Over), 1e-9)
			free := 0.0
			for j := range caps {
				if inTop[j] {
					free += caps[j] * (1 - s.Rule.Margin - full[j])
				}
			}
			want, _ := s.Rule.judge(weather, i)
			if want == UnfitNone {
				switch {
				case over > 1e-12:
					want = UnfitSaturated
				case free < 1e-12 || room < 1e-12:
					want = UnfitFull
				}
			}
			if math.Abs(free) > 1e-9 && (over == 0 || over > 1e-9) {
				require.Equal(t, want, d.Reason)
			}
			seen[d.Reason] = true
			runs += wet(rain - runs)
			runs += wet(applied)
			require.InDelta(t, runs, inch(d.Runoff), 1e-9)
			factor := s.Coefficients[0].Factor
			for _, c := range s.Coefficients {
				if !d.Date.Before(c.From) {
					factor = c.Factor
				}
			}
			if factor != s.Coefficients[0].Factor {
				crops++
			}
			demand := inch(weather[i].Evapotranspiration) * factor
			first := min(demand, over)
			over -= first
			demand -= first
			left := water()
			if demand *= min(1, left/max(1e-9, (1-s.Easy)*capacity)); left > 0 {
				for j := range full {
					full[j] *= max(0, 1-demand/left)
				}
			}
			require.InDelta(t, first+min(demand, left), inch(d.Used), 1e-9)
			drained := min(over, (s.Drainage.Times(units.Day)).In(units.Inch))
			over -= drained
			require.InDelta(t, drained, inch(d.Drained), 1e-9)
		}
		require.InDelta(t, water()+over, inch(got.End), 1e-9)
	}
	require.Positive(t, crops)
	for _, u := range []Unfit{UnfitNone, UnfitRain, UnfitSoaked, UnfitSaturated, UnfitFull} {
		require.True(t, seen[u], u.String())
	}
}

// Wet days lie in the middle of equal parts of a month, whatever its length, and what is
// known of a day stands in place of its mean.
func TestWetDaysOfAMonth(t *testing.T) {
	months := make([]MonthWeather, 12)
	for wet := range mostWetDays + 1 {
		for i := range months {
			months[i] = MonthWeather{Rain: 0.1 * units.Inch, Evapotranspiration: units.Length(i+1) * units.Millimetre, WetDays: wet, Frozen: i == 0, SoilTemperature: new(units.Celsius(float64(i)))}
		}
		months[6].Rain = 0
		known := DayWeather{Date: june(3).Add(5 * time.Hour), Rain: 7 * units.Millimetre, Evapotranspiration: 3 * units.Millimetre}
		r, err := DailyWeather(DailyWeatherSpec{First: time.Date(2024, 1, 1, 9, 0, 0, 0, time.UTC), Last: time.Date(2026, 12, 31, 3, 0, 0, 0, time.UTC), Months: months, Days: []DayWeather{known, {Date: june(1).AddDate(9, 0, 0)}}})
		require.NoError(t, err)
		require.Len(t, r.Days, 366+365+365)
		for i, d := range r.Days {
			require.Equal(t, time.Date(2024, 1, 1+i, 0, 0, 0, 0, time.UTC), d.Date)
			if d.Date.Equal(june(3)) {
				known.Date = june(3)
				require.Equal(t, known, d)
				continue
			}
			m := months[d.Date.Month()-1]
			n := float64(time.Date(d.Date.Year(), d.Date.Month()+1, 0, 0, 0, 0, 0, time.UTC).Day())
			rain := 0.0
			for k := range wet {
				if middle := (float64(k) + 0.5) * n / float64(wet); int(math.Ceil(middle-1e-9)) == d.Date.Day() {
					rain += n / float64(wet)
				}
			}
			if wet == 0 {
				rain = 1
			}
			require.InDelta(t, rain*m.Rain.In(units.Inch), d.Rain.In(units.Inch), 1e-12, "%v, %d wet days", d.Date, wet)
			require.Equal(t, [3]any{m.Evapotranspiration, m.Frozen, m.SoilTemperature}, [3]any{d.Evapotranspiration, d.Frozen, d.SoilTemperature})
		}
		notes := 1 // that no year has its wet days at equal distances
		if wet == 0 {
			notes = 11 // one of each month with rain
		}
		require.Len(t, r.Notes, notes)
	}
}

// What is said of a day that is not fit, with its figures, and where the soil stands at the
// edge of having room.
func TestEvidenceOfDays(t *testing.T) {
	warm := new(units.Fahrenheit(55))
	weather := dry(6)
	for i := range weather {
		weather[i].SoilTemperature = warm
	}
	weather[1].Rain, weather[3].Rain = 1.256*units.Inch, 0.05*units.Inch
	rule := SpreadingRule{Rain: 0.1 * units.Inch, Ahead: 48 * units.Hour, RainAhead: 0.5 * units.Inch, Soaking: units.Inch, SoakedDays: 2, Top: 6 * units.Inch}
	for i, c := range []struct {
		change func(s *SpreadingRule, w []DayWeather)
		day    int
		why    Unfit
		told   string
	}{
		{func(*SpreadingRule, []DayWeather) {}, 0, UnfitForecast, "1.26 in coming within 48 h, and the rule allows less than 0.50 in"}, {func(*SpreadingRule, []DayWeather) {}, 1, UnfitRain, "1.26 in of rain, and the rule allows less than 0.10 in"},
		{func(*SpreadingRule, []DayWeather) {}, 3, UnfitSoaked, "1.26 in of rain on 2026-06-02, and the rule waits 2 days"}, {func(*SpreadingRule, []DayWeather) {}, 4, UnfitNone, ""}, {func(s *SpreadingRule, w []DayWeather) { w[5].Frozen = true }, 5, UnfitFrozen, "frozen or under snow"},
		{func(s *SpreadingRule, w []DayWeather) { s.Coldest = new(units.Fahrenheit(60)) }, 5, UnfitCold, "55 F, and the rule asks for 60 F"}, {func(s *SpreadingRule, w []DayWeather) { s.Warmest = new(units.Fahrenheit(50)) }, 5, UnfitWarm, "55 F, and the rule asks for at most 50 F"},
		{func(s *SpreadingRule, w []DayWeather) {
			s.Coldest, w[5].SoilTemperature = new(units.Fahrenheit(60)), nil
		}, 5, UnfitCold, "nobody knows how warm the soil is, and the rule asks for it"}, {func(s *SpreadingRule, w []DayWeather) { s.Closed = []ClosedDays{{june(5), june(7), "hay stands"}} }, 5, UnfitClosed, "2026-06-05 to 2026-06-07 hay stands"},
	} {
		s, w := rule, slices.Clone(weather)
		c.change(&s, w)
		why, told := s.judge(w, c.day)
		require.Equal(t, c.why, why, i)
		require.Equal(t, c.told, told.String(), i)
	}
	inch := units.Inch.SI()
	for _, c := range []struct {
		holds, water []float64
		top          int
		over, room   float64
		margin       float64
		why          Unfit
		told         string
	}{
		{[]float64{1, 2}, []float64{1, 0}, 1, 0, 1, 0, UnfitFull, "no room up to field capacity less the margin: 0.00 in in the top of the soil"}, {[]float64{1, 2}, []float64{0.999, 0}, 1, 0, 1, 0, UnfitNone, ""}, {[]float64{1, 2}, []float64{1, 0}, 2, 0, 1, 0, UnfitNone, ""},
		{[]float64{1, 2}, []float64{0.5, 2}, 1, 0, 0, 0, UnfitFull, "no room up to field capacity less the margin: 0.50 in in the top of the soil"}, {[]float64{1, 2}, []float64{0.8, 0}, 1, 0, 1, 0.2, UnfitFull, "no room up to field capacity less the margin: 0.00 in in the top of the soil"},
		{[]float64{1, 2}, []float64{0.79, 0}, 1, 0, 1, 0.2, UnfitNone, ""}, {[]float64{1, 2}, []float64{0.9, 0}, 1, 0, 1, 0.2, UnfitFull, "no room up to field capacity less the margin: 0.00 in in the top of the soil"}, {[]float64{1, 2}, []float64{0, 0}, 1, 0.125, 1, 0, UnfitSaturated, "0.12 in above field capacity still has to drain"},
	} {
		soil := soilState{top: c.top, over: c.over * inch}
		for i := range c.holds {
			soil.holds, soil.water = append(soil.holds, c.holds[i]*inch), append(soil.water, c.water[i]*inch)
		}
		s := rule
		s.Margin = c.margin
		why, told := s.judgeSoil(weather, 4, &soil, units.Length(c.room*inch))
		require.Equal(t, c.why, why, "%+v", c)
		require.Equal(t, c.told, told.String(), "%+v", c)
	}
}

// A crop draws on water that drains first, and then on each layer alike, with less as little
// is left: FAO 56, eq. 84, Ks = (TAW - Dr) / ((1 - p) TAW), from memory.
func TestWaterThatACropTakes(t *testing.T) {
	for _, c := range []struct {
		water                  []float64
		over, want, easy, took float64
	}{
		{[]float64{1, 1}, 0, 0.5, 0.5, 0.5}, {[]float64{0.5, 0.25}, 0, 0.4, 0.5, 0.4 * 0.5}, {[]float64{0.5, 0.25}, 0.1, 0.4, 0.5, 0.1 + 0.3*0.5}, {[]float64{0.5, 0.25}, 1, 0.4, 0.5, 0.4}, {[]float64{0, 0}, 0.1, 0.4, 0.5, 0.1},
		{[]float64{0.5, 0.25}, 0, 0.4, 0, 0.4 * 0.25}, {[]float64{0.5, 0.25}, 0, 0.4, 1, 0.4}, {[]float64{0.1, 0.1}, 0, 5, 1, 0.2}, {[]float64{1, 2}, 0, 0.6, 0.5, 0.6},
	} {
		s := soilState{holds: []float64{1, 2}, water: slices.Clone(c.water), over: c.over}
		require.InDelta(t, c.took, s.use(c.want, c.easy), 1e-12, "%+v", c)
		require.InDelta(t, c.water[0]+c.water[1]+c.over-c.took, s.total(), 1e-12)
		require.InDelta(t, max(0, c.over-c.want), s.over, 1e-12)
		require.InDelta(t, s.water[0]*c.water[1], s.water[1]*c.water[0], 1e-12, "in proportion")
		require.GreaterOrEqual(t, min(s.water[0], s.water[1]), 0.0)
	}
}
