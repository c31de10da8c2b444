package nutrient

import (
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
