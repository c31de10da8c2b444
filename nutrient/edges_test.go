package nutrient

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// Random rules in random weather, with figures in whole tenths of an inch and degrees so
// that they meet, judged a second time in the words of the fields.
func TestSpreadingRuleInWords(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	count := map[Unfit]int{}
	for range 400 {
		tenths := func(low, high int) units.Length {
			return units.Length(low+r.IntN(high-low+1)) * units.Inch / 10
		}
		rule := SpreadingRule{Rain: tenths(1, 5), Soaking: tenths(5, 12), SoakedDays: 1 + r.IntN(3), Top: 6 * units.Inch, Frozen: r.IntN(2) == 0}
		if r.IntN(2) == 0 {
			rule.Ahead, rule.RainAhead = units.Duration(12*(1+r.IntN(6)))*units.Hour, tenths(3, 8)
		}
		if r.IntN(2) == 0 {
			rule.Coldest = new(units.Celsius(float64(r.IntN(6))))
		}
		if r.IntN(2) == 0 {
			rule.Warmest = new(units.Celsius(float64(6 + r.IntN(6))))
		}
		if r.IntN(2) == 0 {
			from := 1 + r.IntN(12)
			rule.Closed = []ClosedDays{{june(from), june(from + r.IntN(3)), "a crop stands"}, {june(28), june(29), "a holiday"}}
		}
		weather := dry(30)
		for i := range weather {
			if r.IntN(3) == 0 {
				weather[i].Rain = tenths(0, 12)
			}
			weather[i].Frozen = r.IntN(12) == 0
			if r.IntN(4) > 0 {
				weather[i].SoilTemperature = new(units.Celsius(float64(r.IntN(14) - 1)))
			}
		}
		got, err := rule.Days(weather)
		require.NoError(t, err)
		for i, w := range weather {
			closed, soaked, coming := false, false, units.Length(0)
			for _, c := range rule.Closed {
				closed = closed || w.Date.Day() >= c.From.Day() && w.Date.Day() <= c.To.Day()
			}
			for back := 1; back <= rule.SoakedDays; back++ {
				soaked = soaked || i >= back && weather[i-back].Rain >= rule.Soaking
			}
			for ahead := 1; units.Duration(24*(ahead-1))*units.Hour < rule.Ahead; ahead++ {
				if i+ahead < len(weather) {
					coming += weather[i+ahead].Rain
				}
			}
			warmth := w.SoilTemperature
			want := UnfitNone
			switch {
			case closed:
				want = UnfitClosed
			case !rule.Frozen && (w.Frozen || warmth != nil && warmth.Celsius() <= 1e-9):
				want = UnfitFrozen
			case (rule.Coldest != nil || rule.Warmest != nil) && warmth == nil:
				want = UnfitCold // nobody knows
			case rule.Coldest != nil && *warmth < *rule.Coldest:
				want = UnfitCold
			case rule.Warmest != nil && *warmth > *rule.Warmest:
				want = UnfitWarm
			case w.Rain >= rule.Rain:
				want = UnfitRain
			case rule.Ahead > 0 && coming >= rule.RainAhead:
				want = UnfitForecast
			case soaked:
				want = UnfitSoaked
			}
			require.Equal(t, want, got[i], "day %d of %+v", i+1, rule)
			count[want]++
		}
	}
	require.Len(t, count, 8, "every reason that the rule alone can give")
}

// The outlier is looked for from four samples on.
func TestFourSamplesMayHaveAnOutlier(t *testing.T) {
	r, err := Samples(SamplesSpec{Samples: reports(20, 20.1, 19.9, 60), Confidence: 0.95})
	require.NoError(t, err)
	require.NotNil(t, r.Contents[0].Outlier)
	require.Equal(t, 3, r.Contents[0].Outlier.Sample)
}

// A cell takes off only with a figure above 0 behind its sign.
func TestCellsBelowZero(t *testing.T) {
	x, ok := figureBelow("-12b")
	require.True(t, ok)
	require.Equal(t, units.Point(-12.0), x.Range)
	require.Equal(t, "b", x.foot)
	for _, text := range []string{"12", "-0", "--3", "-x", "", "-"} {
		_, ok := figureBelow(text)
		require.False(t, ok, text)
	}
}

// Days are read in the forms that people write, and what is no day is none.
func TestDays(t *testing.T) {
	for text, want := range map[string]int{"1 Jan": 0, "2027-01-31": 30, "29 Feb": 59, "1 March": 60, "Mar 1": 60, "March 1": 60, "2026-03-01T08:00:00Z": 60, "31 Dec": 365} {
		got, ok := dayOf(text)
		require.True(t, ok, text)
		require.Equal(t, want, got, text)
	}
	for _, text := range []string{"", "31 Jun", "12", "soon", "2027-02-29"} {
		_, ok := dayOf(text)
		require.False(t, ok, text)
	}
	for day, want := range map[int]string{0: "1 Jan", 59: "29 Feb", 60: "1 Mar", 365: "31 Dec"} {
		require.Equal(t, want, dayText(day))
	}
}

// What a key takes is said in its own words.
func TestKeysSayWhatTheyTake(t *testing.T) {
	for want, k := range map[string]Key{
		"the year after application, 1 to 50":            {Name: "year"},
		"a day, such as 2026-10-20":                      {Name: "day", Date: true},
		"a number":                                       {Name: "count", Unit: "1"},
		"a number with its unit, such as 12 h":           {Name: "time", Unit: "h"},
		"a number with its unit, such as 12 h, or never": {Name: "time", Unit: "h", Never: "never"},
		"one of cows; hens":                              {Name: "species", Values: []string{"cows", "hens"}},
	} {
		require.Equal(t, want, k.Takes().String())
	}
}

// A share of the pool and a share of the total never give more than the pool holds, year
// by year, and a point is a range whose ends meet.
func TestPartsOfAPool(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		shares := make([]share, 1+r.IntN(4))
		ofTotal := r.IntN(2) == 0
		for i := range shares {
			low := r.Float64() * 0.6
			x := units.Range[float64]{Low: low, High: low + r.Float64()*0.3}
			if ofTotal {
				shares[i].total = x
			} else {
				x.Low, x.High = x.Low/4, x.High/4
				shares[i].pool = x
			}
		}
		c := &Schedule{}
		c.pools[PoolOrganic].shares = shares
		pool, total := 1+r.Float64(), 2+r.Float64()
		leftLow, leftHigh := pool, pool
		for i, s := range shares {
			low, high := min(pool*s.pool.Low+total*s.total.Low, leftLow), min(pool*s.pool.High+total*s.total.High, leftHigh)
			leftLow, leftHigh = leftLow-low, leftHigh-high
			got := c.part(PoolOrganic, Liquid, pool, total, i+1)
			require.InDelta(t, min(low, high), got.Low.value, 1e-12)
			require.InDelta(t, high, got.High.value, 1e-12)
			require.Equal(t, got.Low == got.High, got.IsPoint())
		}
		require.Zero(t, c.part(PoolOrganic, Liquid, pool, total, len(shares)+1).High.value)
	}
	a, b := Content{measure{Liquid, 1}}, Content{measure{Liquid, 2}}
	require.True(t, ContentRange{a, a}.IsPoint())
	require.False(t, ContentRange{a, b}.IsPoint())
}

// The units of what a state gives, and what it gives, are those of its tables.
func TestUnitsOfStates(t *testing.T) {
	for _, id := range PublishedStateIDs() {
		p := &plainState{skip: map[string]bool{}}
		p.read(t, id, 0)
		list := map[string][]string{}
		for _, n := range p.lines {
			if !slices.Contains(list[n.gives], n.unit) {
				list[n.gives] = append(list[n.gives], n.unit)
			}
		}
		s := publishedState(t, id)
		for _, gives := range s.Gives() {
			require.ElementsMatch(t, list[gives], s.UnitsOf(gives), "%s: %s", id, gives)
		}
		require.Empty(t, s.UnitsOf("nothing that anybody gives"))
	}
}

// A window of days that runs over the end of the year.
func TestClosedOverNewYear(t *testing.T) {
	w, ok := windowOf("15 Nov to 10 Jan")
	require.True(t, ok)
	for day, want := range map[time.Time]bool{
		time.Date(2026, 11, 14, 0, 0, 0, 0, time.UTC): false, time.Date(2026, 11, 15, 0, 0, 0, 0, time.UTC): true, time.Date(2026, 12, 31, 0, 0, 0, 0, time.UTC): true,
		time.Date(2027, 1, 1, 0, 0, 0, 0, time.UTC): true, time.Date(2027, 1, 10, 0, 0, 0, 0, time.UTC): true, time.Date(2027, 1, 11, 0, 0, 0, 0, time.UTC): false,
	} {
		n, ok := dayOf(day.Format(time.DateOnly))
		require.True(t, ok)
		require.Equal(t, want, w.has(n), day)
	}
	for _, text := range []string{"15 Nov", "15 Nov to", "x to 10 Jan"} {
		_, ok := windowOf(text)
		require.False(t, ok, text)
	}
}

// What years release of what is left and of what was applied, low ends and high, as a
// pool is emptied step by step.
func TestSharesOfYears(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 500 {
		rows := make([]answered, 1+r.IntN(5))
		for i := range rows {
			low := r.Float64()
			rows[i].fraction = units.Range[float64]{Low: low, High: low + (1-low)*r.Float64()}
			rows[i].basis = []Basis{0, BasisOriginal, BasisRemaining, BasisTotal}[r.IntN(4)]
		}
		list := sharesOf(rows)
		require.Len(t, list, len(rows))
		least, most := 0.0, 0.0 // released so far at the low ends and at the high ends
		for i, row := range rows {
			var pool, total units.Range[float64]
			switch row.basis {
			case BasisOriginal:
				pool = row.fraction
			case BasisRemaining: // little is left where much has gone
				pool = units.Range[float64]{Low: row.fraction.Low * (1 - min(1, most)), High: row.fraction.High * (1 - min(1, least))}
			case BasisTotal:
				total = row.fraction
			}
			least, most = least+pool.Low, most+pool.High
			for _, c := range [][2]float64{{pool.Low, list[i].pool.Low}, {pool.High, list[i].pool.High}, {total.Low, list[i].total.Low}, {total.High, list[i].total.High}} {
				require.InDelta(t, c[0], c[1], 1e-12)
			}
		}

		before := slices.Clone(list)
		capped := capHighs(list)
		require.Equal(t, !slices.Equal(before, list), capped)
		for _, part := range []func(share) units.Range[float64]{func(s share) units.Range[float64] { return s.pool }, func(s share) units.Range[float64] { return s.total }} {
			low, high := 0.0, 0.0
			for _, s := range before {
				low, high = low+part(s).Low, high+part(s).High
			}
			// The first years keep their high ends as far as the low ends of all leave room.
			room, sum := max(0, 1-low), 0.0
			for i := range list {
				width := min(part(before[i]).High-part(before[i]).Low, room)
				room -= width
				require.Equal(t, part(before[i]).Low, part(list[i]).Low)
				require.InDelta(t, part(before[i]).Low+width, part(list[i]).High, 1e-12)
				sum += part(list[i]).High
			}
			require.InDelta(t, min(high, max(1, low)), sum, 1e-12)
		}
	}
}

// What a declaration of a key may not be, each fault at its field.
func TestKeyDeclarations(t *testing.T) {
	for want, k := range map[string]Key{
		"name": {Name: "Species", Label: "L", Unit: "h"}, "label": {Name: "time", Unit: "h"}, "": {Name: "time", Label: "L"}, "unit": {Name: "day", Label: "L", Date: true, Never: "never"},
		"values[1]": {Name: "a", Label: "L", Values: []string{"cows", "Cows"}}, "values[0]": {Name: "a", Label: "L", Values: []string{"cows; hens"}},
		"also.min": {Name: "a", Label: "L", Unit: "h", Also: map[string]float64{"min": 0}}, "between": {Name: "a", Label: "L", Unit: "h", Between: 9},
	} {
		var f units.Faults
		k.check(&f, nil)
		require.Equal(t, []string{want}, fields(f.Err()), "%+v", k)
	}
	for _, name := range []string{"year", "gives", "unit", "per", "time"} {
		var f units.Faults
		k := Key{Name: name, Label: "L", Unit: "h"}
		k.check(&f, []boundKey{{Key: Key{Name: "time"}}})
		require.Equal(t, []string{"name"}, fields(f.Err()), name)
	}
	var f units.Faults
	for _, k := range []Key{{Name: "time", Label: "L", Unit: "h", Also: map[string]float64{"min": 1.0 / 60}, Never: "never", Between: BetweenLinear}, {Name: "day", Label: "L", Date: true}, {Name: "a", Label: "L", Values: []string{"x", "y"}}} {
		k.check(&f, nil)
	}
	require.NoError(t, f.Err())
}

// Figures that add up in another unit than the first are counted in that of the first.
func TestSumsInTheUnitOfTheFirst(t *testing.T) {
	s, err := ParseState([]byte(`{"id": "sums", "jurisdiction": "Atlantis", "source": {"title": "T", "publisher": "P", "edition": "1"},
		"keys": [{"name": "crop", "label": "Crop", "values": ["wheat", "hay"]}],
		"tables": [{"place": "1", "gives": "n", "unit": "lb/acre", "by": ["crop"], "rows": [["wheat", 100], ["hay", "40-50"]]},
			{"place": "2", "gives": "n", "as": "plus", "unit": "kg/ha", "when": {"crop": "wheat"}, "rows": [["10-20"]]},
			{"place": "3", "gives": "n", "as": "times", "unit": "%", "by": ["crop"], "rows": [["wheat", 50], ["hay", "100-110"]]}], "unchecked": "invented"}`))
	require.NoError(t, err)
	per := units.KilogramPerHectare.SI() / units.PoundPerAcre.SI()
	a := answerOf(t, s, "n", Query{"crop": "wheat"})
	require.InDelta(t, 50+10*per, a.Figure.Low, 1e-9)
	require.InDelta(t, 50+20*per, a.Figure.High, 1e-9)
	require.Equal(t, "lb/acre", a.Unit)
	a = answerOf(t, s, "n", Query{"crop": "hay"})
	require.InDelta(t, 40, a.Figure.Low, 1e-9)
	require.InDelta(t, 55, a.Figure.High, 1e-9)
	low, high, ok := a.Quantity()
	require.True(t, ok)
	require.InDelta(t, 40*units.PoundPerAcre.SI(), low.SI(), 1e-12)
	require.InDelta(t, 55*units.PoundPerAcre.SI(), high.SI(), 1e-12)
	_, _, err = s.Limit("n", AsPlus, Query{"crop": "hay"})
	require.Equal(t, []string{"as"}, fields(err))
}
