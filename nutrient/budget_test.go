package nutrient

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

func lbAcre(x float64) units.MassPerArea { return units.MassPerArea(x) * units.PoundPerAcre }

func takesOff(crop string, p2o5, k2o float64) CropNutrients {
	return CropNutrients{Crop: crop, P2O5: units.Point(lbAcre(p2o5)), K2O: units.Point(lbAcre(k2o))}
}

func TestBudgetFollowsTheRotation(t *testing.T) {
	banking := nebraskaBanking(t)
	r, err := Budget(BudgetSpec{
		First: 2026, Seasons: 6,
		Rotation:     []CropNutrients{takesOff("corn", 60, 40), takesOff("soybean", 40, 60)},
		Applications: []BudgetApplication{{Season: 2026, Manure: true, P2O5: lbAcre(260), K2O: lbAcre(300), NCap: lbAcre(270)}},
		Banking:      &banking.Banking,
		SoilP:        &SoilTest{30, SoilPPM, BrayP1}, P2O5PerPPM: units.Point(TriStateP2O5PerPPM),
		SoilK: &SoilTest{150, SoilPPM, AmmoniumAcetate}, K2OPerPPM: units.Range[units.MassPerArea]{Low: TriStateK2OPerPPMLow, High: TriStateK2OPerPPMHigh},
	})
	require.NoError(t, err)
	require.Empty(t, r.Violations, "260 = 60+40+60+40+60")
	balance := []float64{200, 160, 100, 60, 0, -40}
	for i, y := range r.Seasons {
		require.InDelta(t, balance[i], y.BalanceP2O5.Low.In(units.PoundPerAcre), 1e-9)
		require.InDelta(t, 30+balance[i]/20, y.SoilP.Low, 1e-9)
	}
	require.Equal(t, "soybean", r.Seasons[5].Crop)
	require.Equal(t, 2030, r.Seasons[4].RestsUntil)
	require.Zero(t, r.Seasons[5].RestsUntil)
	require.InDelta(t, 150+260/10.0, r.Seasons[0].SoilK.Low, 1e-9)
	require.InDelta(t, 150+260/6.0, r.Seasons[0].SoilK.High, 1e-9)
}

func TestBudgetViolations(t *testing.T) {
	banking := nebraskaBanking(t)
	r, err := Budget(BudgetSpec{
		First: 2026, Seasons: 6, Rotation: []CropNutrients{takesOff("corn", 50, 40)}, Banking: &banking.Banking,
		Applications: []BudgetApplication{
			{Season: 2026, Manure: true, P2O5: lbAcre(251), NCap: lbAcre(200)},
			{Season: 2027, P2O5: lbAcre(20)}, // fertilizer may come
			{Season: 2030, Manure: true, P2O5: lbAcre(50)},
			{Season: 2031, Manure: true, P2O5: lbAcre(50)},
		},
	})
	require.NoError(t, err)
	var got []string
	for _, b := range r.Violations {
		got = append(got, b.Rule.String())
	}
	require.Equal(t, []string{"removal of 5 crops", "N-based rate of the crop", "rest after a banked application"}, got)
	require.Equal(t, 2030, r.Violations[2].Season)
	require.Contains(t, r.String(), "2030 breaks: rest after a banked application")
}

// A season has one N-based rate, of which its applications take their parts: two
// at the full rate are one too many, two halves are not.
func TestApplicationsShareTheNBasedRate(t *testing.T) {
	for share, breaks := range map[float64]int{1: 1, 0.5: 0, 0.51: 1} {
		banking := Banking{Years: 20, Available: 1}
		r, err := Budget(BudgetSpec{
			First: 2026, Seasons: 1, Rotation: []CropNutrients{takesOff("corn", 50, 40)}, Banking: &banking,
			Applications: []BudgetApplication{
				{Season: 2026, Manure: true, P2O5: lbAcre(100 * share), NCap: lbAcre(100)},
				{Season: 2026, Manure: true, P2O5: lbAcre(30 * share), NCap: lbAcre(30)}, // a material with less P
			},
		})
		require.NoError(t, err)
		require.Len(t, r.Violations, breaks, share)
		for _, b := range r.Violations {
			require.Equal(t, "N-based rate of the crop", b.Rule.String())
		}
	}
}

func TestBudgetSoilTestStaysAboveZero(t *testing.T) {
	r, err := Budget(BudgetSpec{First: 1, Seasons: 30, Rotation: []CropNutrients{takesOff("corn", 55, 0)},
		SoilP: &SoilTest{60, SoilPoundPerAcre, BrayP1}, P2O5PerPPM: units.Point(TriStateP2O5PerPPM)})
	require.NoError(t, err)
	require.InDelta(t, 30-2.75, r.Seasons[0].SoilP.Low, 1e-9)
	require.Zero(t, r.Seasons[29].SoilP.Low)
}

func TestBudgetFaults(t *testing.T) {
	_, err := Budget(BudgetSpec{})
	require.Equal(t, []string{"first", "seasons", "rotation"}, fields(err))
	_, err = Budget(BudgetSpec{First: 2026, Seasons: 1, Rotation: []CropNutrients{{P2O5: units.Range[units.MassPerArea]{Low: 2, High: 1}}},
		Applications: []BudgetApplication{{Season: 2027, P2O5: -1, K2O: -1, NCap: -1}}, Banking: &Banking{}, SoilP: &SoilTest{}, SoilK: bray(10)})
	require.Equal(t, []string{"rotation[0].p2o5.high", "applications[0].season", "applications[0].p2o5", "applications[0].k2o", "applications[0].nCap",
		"banking.years", "banking.available", "soilP.unit", "soilP.extractant", "p2o5PerPpm.low", "k2oPerPpm.low"}, fields(err), "%v", err)
}

// A projection of the soil test stops at the range of its rule: 18 lb for 1 ppm may hold
// from 5 to 40 ppm and says nothing of 100.
func TestProjectionStopsAtTheRangeOfItsRule(t *testing.T) {
	s := BudgetSpec{
		First: 2026, Seasons: 3, Rotation: []CropNutrients{takesOff("corn", 60, 40)},
		Applications: []BudgetApplication{{Season: 2026, P2O5: lbAcre(1260)}},
		SoilP:        &SoilTest{30, SoilPPM, BrayP1}, P2O5PerPPM: units.Point(lbAcre(20)), RangeP: &units.Range[float64]{Low: 5, High: 40},
	}
	r, err := Budget(s)
	require.NoError(t, err)
	require.Equal(t, 40.0, r.Seasons[0].SoilP.High, "30 + 1200/20 = 90")
	require.True(t, r.Seasons[0].StopsP)
	require.Contains(t, r.String(), "the rule holds from 5 to 40 ppm, and the projection stops there")
	s.Applications = nil
	r, err = Budget(s)
	require.NoError(t, err)
	require.InDelta(t, 21, r.Seasons[2].SoilP.Low, 1e-9)
	require.False(t, r.Seasons[2].StopsP)
	s.Seasons = 20
	r, err = Budget(s)
	require.NoError(t, err)
	require.Equal(t, 5.0, r.Seasons[19].SoilP.Low)
	s.RangeP = nil
	r, err = Budget(s)
	require.NoError(t, err)
	require.Contains(t, r.String(), "the range of the rule is not known: an indication")
	s.RangeP, s.RangeK = &units.Range[float64]{Low: 40, High: 20}, &units.Range[float64]{}
	_, err = Budget(s)
	require.Equal(t, []string{"rangeP.high", "soilP", "soilK"}, faultFields(err))
}

// A budget a second time: sums over the seasons so far, the soil test from all four pairs
// of ends, and the banking rule in the words of Nebraska's: no more than the removal of so
// many crops at once, no more than the N-based rates together, and the rest after it.
func TestBudgetReckonedAgain(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	broken := map[string]int{}
	for range 500 {
		between := func(most float64) units.Range[units.MassPerArea] {
			low := most * r.Float64()
			return units.Range[units.MassPerArea]{Low: lbAcre(low), High: lbAcre(low + float64(r.IntN(2))*20*r.Float64())}
		}
		s := BudgetSpec{First: 2026, Seasons: 1 + r.IntN(12), SoilP: bray(20 + 40*r.Float64()), SoilK: &SoilTest{200, SoilPoundPerAcre, AmmoniumAcetate},
			P2O5PerPPM: units.Range[units.MassPerArea]{Low: lbAcre(10), High: lbAcre(10 + 10*r.Float64())}, K2OPerPPM: units.Point(lbAcre(8))}
		for range 1 + r.IntN(3) {
			s.Rotation = append(s.Rotation, CropNutrients{Crop: "c", P2O5: between(70), K2O: between(90)})
		}
		for range r.IntN(8) {
			a := BudgetApplication{Season: 2026 + r.IntN(s.Seasons), Manure: r.IntN(4) > 0, P2O5: lbAcre(150 * r.Float64()), K2O: lbAcre(150 * r.Float64())}
			if r.IntN(2) == 0 {
				a.NCap = lbAcre(60 + 150*r.Float64())
			}
			s.Applications = append(s.Applications, a)
		}
		if r.IntN(3) > 0 {
			s.Banking = &Banking{Years: 1 + r.IntN(5), Rest: r.IntN(4), Available: 0.5 + 0.5*r.Float64()}
		}
		if r.IntN(2) == 0 {
			ppm, _ := s.SoilP.PPM()
			s.RangeP = &units.Range[float64]{Low: ppm - 5*r.Float64(), High: ppm + 5*r.Float64()}
		}
		got, err := Budget(s)
		require.NoError(t, err)
		require.Len(t, got.Seasons, s.Seasons)
		var low, high [2]units.MassPerArea
		rests := map[int]int{} // last season that has to rest, by season
		var want []string
		for i, y := range got.Seasons {
			crop := s.Rotation[i%len(s.Rotation)]
			var p, k, manure units.MassPerArea
			parts := 0.0
			for _, a := range s.Applications {
				if a.Season == 2026+i {
					p, k = p+a.P2O5, k+a.K2O
					if a.Manure {
						manure += a.P2O5
						if a.NCap != 0 {
							parts += float64(a.P2O5 / a.NCap)
						}
					}
				}
			}
			low[0], high[0] = low[0]+p-crop.P2O5.High, high[0]+p-crop.P2O5.Low
			low[1], high[1] = low[1]+k-crop.K2O.High, high[1]+k-crop.K2O.Low
			for _, x := range [][2]units.MassPerArea{{low[0], y.BalanceP2O5.Low}, {high[0], y.BalanceP2O5.High}, {low[1], y.BalanceK2O.Low}, {high[1], y.BalanceK2O.High}, {p, y.AppliedP2O5}, {k, y.AppliedK2O},
				{crop.P2O5.Low, y.RemovedP2O5.Low}, {crop.P2O5.High, y.RemovedP2O5.High}, {crop.K2O.Low, y.RemovedK2O.Low}, {crop.K2O.High, y.RemovedK2O.High}} {
				require.InDelta(t, float64(x[0]), float64(x[1]), 1e-12)
			}
			ends := []float64{}
			for _, b := range []units.MassPerArea{low[0], high[0]} {
				for _, per := range []units.MassPerArea{s.P2O5PerPPM.Low, s.P2O5PerPPM.High} {
					ends = append(ends, s.SoilP.Value+float64(b/per))
				}
			}
			least, most, stops := slices.Min(ends), slices.Max(ends), false
			if in := s.RangeP; in != nil {
				stops = least < in.Low || most > in.High
				least, most = min(max(least, in.Low), in.High), min(max(most, in.Low), in.High)
			}
			require.InDelta(t, max(0, least), y.SoilP.Low, 1e-9)
			require.InDelta(t, max(0, most), y.SoilP.High, 1e-9)
			require.Equal(t, stops, y.StopsP)
			require.InDelta(t, max(0, 100+float64(low[1]/lbAcre(8))), y.SoilK.Low, 1e-9)
			require.False(t, y.StopsK)
			if s.Banking != nil {
				counted := manure * units.MassPerArea(s.Banking.Available)
				var removal units.MassPerArea
				for j := range s.Banking.Years {
					removal += s.Rotation[(i+j)%len(s.Rotation)].P2O5.Low
				}
				until := 0
				for from, last := range rests {
					if from < 2026+i {
						until = max(until, last)
					}
				}
				if manure > 0 {
					if counted > removal {
						want = append(want, fmt.Sprint(2026+i, " removal"))
					}
					if parts > 1 {
						want = append(want, fmt.Sprint(2026+i, " N-based"))
					}
					if until >= 2026+i {
						want = append(want, fmt.Sprint(2026+i, " rest"))
					}
					if counted > crop.P2O5.Low && s.Banking.Rest > 0 {
						rests[2026+i] = 2026 + i + s.Banking.Rest
						until = max(until, rests[2026+i])
					}
				}
				if until < 2026+i {
					until = 0
				}
				require.Equal(t, until, y.RestsUntil)
			}
		}
		var list []string
		for _, v := range got.Violations {
			word, _, _ := strings.Cut(v.Rule.String(), " ")
			list = append(list, fmt.Sprint(v.Season, " ", word))
			broken[word]++
		}
		require.Equal(t, want, list)
	}
	require.Len(t, broken, 3)
	// What stands at the end itself breaks nothing.
	for share, breaks := range map[float64]int{1: 0, 1.001: 3} {
		r, err := Budget(BudgetSpec{First: 2026, Seasons: 2, Rotation: []CropNutrients{takesOff("corn", 50, 40)}, Banking: &Banking{Years: 1, Rest: 1, Available: 1}, Applications: []BudgetApplication{
			{Season: 2026, Manure: true, P2O5: lbAcre(50 * share), NCap: lbAcre(50)}, {Season: 2027, Manure: true, P2O5: lbAcre(1)}}})
		require.NoError(t, err)
		require.Len(t, r.Violations, breaks, share)
	}
	still, err := Budget(BudgetSpec{First: 2026, Seasons: 1, Rotation: []CropNutrients{takesOff("fallow", 0, 0)}, SoilP: bray(30), P2O5PerPPM: units.Point(lbAcre(20)), RangeP: &units.Range[float64]{Low: 30, High: 30}})
	require.NoError(t, err)
	require.Equal(t, BudgetSeason{Season: 2026, Crop: "fallow", SoilP: &units.Range[float64]{Low: 30, High: 30}}, still.Seasons[0], "at an end, and not beyond it")
	// Loads for 1 ppm of the Tri-State recommendations, lb/acre.
	require.InDelta(t, 20, TriStateP2O5PerPPM.In(units.PoundPerAcre), 1e-12)
	require.InDelta(t, 6, TriStateK2OPerPPMLow.In(units.PoundPerAcre), 1e-12)
	require.InDelta(t, 10, TriStateK2OPerPPMHigh.In(units.PoundPerAcre), 1e-12)
}
