package cover_test

import (
	"math"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/units"
)

func TestLSRisesWithLengthAndGrade(t *testing.T) {
	r := random()
	for _, v := range []cover.LSVersion{cover.LSAH537, cover.LSQuadratic, cover.LSSmooth, cover.LSAH703} {
		at := func(feet, grade float64) float64 {
			spec := cover.LSSpec{Version: v, Length: units.Length(feet) * units.Foot, Grade: grade}
			if v == cover.LSAH703 {
				spec.Rill = cover.RillModerate
			}
			s, err := cover.LS(spec)
			require.NoError(t, err)
			return s.LS
		}
		for range 500 {
			// S of AH-703 has a step down of 0.01 at 9 %, so grades stay on one side.
			feet, grade := 75+900*r.Float64(), 0.091+0.4*r.Float64()
			require.Greater(t, at(feet*1.01, grade), at(feet, grade), v)
			require.Greater(t, at(feet, grade*1.01), at(feet, grade), v)
		}
	}
	// The table joins the equation at 15 ft.
	for range 200 {
		spec := cover.LSSpec{Version: cover.LSAH703, Grade: 0.001 + 0.139*r.Float64(), Rill: cover.RillModerate}
		spec.Length = 15 * units.Foot
		above, err := cover.LS(spec)
		require.NoError(t, err)
		spec.Length = 14.999 * units.Foot
		below, err := cover.LS(spec)
		require.NoError(t, err)
		require.True(t, below.Table)
		// Between the printed rows the straight line and the equation part by 0.01;
		// from 8 to 10 % the step of S at 9 % adds.
		require.InDelta(t, above.LS, below.LS, 0.03)
	}
}

func TestSoilLossIsTheSameInBothSystems(t *testing.T) {
	r := random()
	for range 200 {
		spec := cover.SoilLossSpec{
			System: cover.FactorUnitsUS, R: 20 + 500*r.Float64(), K: 0.05 + 0.5*r.Float64(), LS: 0.1 + 5*r.Float64(), P: 0.5 + 0.5*r.Float64(),
			BareC: 1, CoveredC: 0.003 + 0.2*r.Float64(), Area: units.Area(1+5*r.Float64()) * units.Acre,
			Begin: time.Month(1 + r.IntN(12)), DeliveryRatio: new(r.Float64()),
		}
		sum := 0.0
		for i := range spec.MonthlyR {
			spec.MonthlyR[i] = r.Float64()
			sum += spec.MonthlyR[i]
		}
		for i := range spec.MonthlyR {
			spec.MonthlyR[i] /= sum
		}
		us, err := cover.SoilLoss(spec)
		require.NoError(t, err)
		spec.System, spec.R, spec.K = cover.FactorUnitsSI, spec.R*cover.ErosivitySI, spec.K*cover.ErodibilitySI
		si, err := cover.SoilLoss(spec)
		require.NoError(t, err)
		if d := cmp.Diff(us, si, cmpopts.IgnoreFields(cover.SoilLossResult{}, "Spec"), approx(1e-12)); d != "" {
			t.Fatal(d)
		}
		// A year of delay costs the whole difference.
		last := us.Months[11]
		require.InEpsilon(t, (us.Bare - us.Covered).SI(), last.Delay.SI(), 1e-9)
		require.InEpsilon(t, last.DelayMass.SI()**spec.DeliveryRatio, last.DelaySediment.SI(), 1e-12)
		require.Equal(t, spec.Begin, us.Months[0].Month)
	}
}

// A cover that grows: the figures by hand from R K LS P = 10 ton/acre a year.
func TestSoilLossOfGrowingCover(t *testing.T) {
	spec := cover.SoilLossSpec{
		System: cover.FactorUnitsUS, R: 100, K: 0.1, LS: 1, P: 1, BareC: 1, CoveredC: 0.01, Area: units.Acre, Begin: time.November, DeliveryRatio: new(0.5),
		Stages:   []cover.CoverStage{{Cover: "straw", C: 0.1, Months: 2}, {Cover: "seedlings", C: 0.2, Months: 1}},
		MonthlyR: [12]float64{time.January - 1: 0.1, time.February - 1: 0.2, time.November - 1: 0.3, time.December - 1: 0.4},
	}
	r, err := cover.SoilLoss(spec)
	require.NoError(t, err)
	tons := func(x units.MassPerArea) float64 { return x.In(units.TonPerAcre) }
	require.InDelta(t, 0.3+0.4+0.2+0.02, tons(r.Growing), 1e-12) // November, December, January, February
	require.Equal(t, "seedlings", r.Months[2].Stage)
	require.Empty(t, r.Months[3].Stage)
	require.InDelta(t, 0.2, tons(r.Months[2].Growing), 1e-12)
	// Laid after November: bare 3, then straw 0.4 + 0.1, seedlings 0.4, against the
	// 0.92 of laying it at once.
	require.InDelta(t, 3+0.4+0.1+0.4-0.92, tons(r.Months[0].Delay), 1e-12)
	// Laid a year later the stages meet the same months once more, which were
	// covered in the other case.
	require.InDelta(t, 10+0.92-0.02-0.92-0.08, tons(r.Months[11].Delay), 1e-12)
	require.InDelta(t, r.Months[11].Delay.Times(units.Acre).SI()/2, r.Months[11].DelaySediment.SI(), 1e-9)

	spec.Stages = []cover.CoverStage{{C: 2, Months: 61}}
	_, err = cover.SoilLoss(spec)
	require.Equal(t, []string{"stages[0].cover", "stages[0].c", "stages[0].months"}, fields(err))
}

// The face of a berm is shorter or steeper than any table: its LS comes with what it
// lies between, which narrows to the equation where the equation begins.
func TestLSOfABermFace(t *testing.T) {
	face, err := cover.LS(cover.LSSpec{Version: cover.LSAH703, Length: 10 * units.Foot, Grade: 0.30, Rill: cover.RillHigh})
	require.NoError(t, err)
	require.NotNil(t, face.Range)
	at15, err := cover.LS(cover.LSSpec{Version: cover.LSAH703, Length: 15 * units.Foot, Grade: 0.30, Rill: cover.RillHigh})
	require.NoError(t, err)
	require.Nil(t, at15.Range)
	require.Equal(t, at15.LS, face.LS)
	require.Equal(t, at15.LS, face.Range.High)
	require.Less(t, face.Range.Low, face.LS)
	require.Contains(t, face.String(), "lies between")

	// What is printed below 15 ft lies below the equation at 15 ft, the high end.
	for _, c := range []struct{ feet, grade, ls float64 }{{3, 0.10, 0.46}, {9, 0.10, 0.50}, {3, 0.14, 0.48}, {6, 0.14, 0.58}, {12, 0.14, 0.70}} {
		high, err := cover.LS(cover.LSSpec{Version: cover.LSAH703, Length: 15 * units.Foot, Grade: c.grade, Rill: cover.RillModerate})
		require.NoError(t, err)
		require.Less(t, c.ls, high.LS)
	}

	r := random()
	for range 300 {
		spec := cover.LSSpec{Version: cover.LSVersion(1 + r.IntN(4)), Length: units.Length(15+500*r.Float64()) * units.Foot, Grade: 0.601 + 0.399*r.Float64()}
		if spec.Version == cover.LSAH703 {
			spec.Rill, spec.Length = cover.RillRatio(1+r.IntN(3)), units.Length(3+100*r.Float64())*units.Foot
		}
		steep, err := cover.LS(spec)
		require.NoError(t, err)
		require.NotNil(t, steep.Range, "%+v", spec)
		require.LessOrEqual(t, steep.Range.Low, steep.Range.High)
		require.Equal(t, steep.Range.High, steep.LS)
	}
	// The table is read to 14 percent, below 15 ft, at the moderate ratio alone.
	for _, c := range []struct {
		feet, grade float64
		rill        cover.RillRatio
		table       bool
	}{{10, 0.14, cover.RillModerate, true}, {10, 0.1401, cover.RillModerate, false}, {14.99, 0.1, cover.RillModerate, true}, {15, 0.1, cover.RillModerate, false}, {10, 0.1, cover.RillLow, false}, {10, 0.1, cover.RillHigh, false}, {3, 0.001, cover.RillModerate, true}} {
		r, err := cover.LS(cover.LSSpec{Version: cover.LSAH703, Length: units.Length(c.feet) * units.Foot, Grade: c.grade, Rill: c.rill})
		require.NoError(t, err)
		require.Equal(t, c.table, r.Table, "%+v", c)
		require.Equal(t, !c.table && c.feet < 15, r.Range != nil, "%+v", c)
	}
	edge, err := cover.LS(cover.LSSpec{Version: cover.LSAH537, Length: 100 * units.Foot, Grade: 0.6})
	require.NoError(t, err)
	require.Nil(t, edge.Range)
}

// Without a delivery ratio nothing is said of the edge.
func TestSoilLossWithoutDeliveryRatio(t *testing.T) {
	spec := cover.SoilLossSpec{System: cover.FactorUnitsUS, R: 150, K: 0.32, LS: 1, P: 1, BareC: 1, CoveredC: 0.1, Area: units.Acre, Begin: time.May, MonthlyR: [12]float64{4: 1}}
	r, err := cover.SoilLoss(spec)
	require.NoError(t, err)
	require.Nil(t, r.BareSediment)
	require.Nil(t, r.CoveredSediment)
	require.Nil(t, r.Months[0].DelaySediment)
	require.Contains(t, r.String(), "at the edge not known")
	spec.DeliveryRatio = new(0.0)
	r, err = cover.SoilLoss(spec)
	require.NoError(t, err)
	require.Zero(t, *r.BareSediment)
}

func TestSlopeAndSoilFaults(t *testing.T) {
	for _, c := range []struct {
		name string
		spec cover.LSSpec
		want []string
	}{
		{"steeper than 1:1", cover.LSSpec{Version: cover.LSAH703, Length: 30 * units.Foot, Grade: 1.2, Rill: cover.RillModerate}, []string{"grade"}},
		{"below the table", cover.LSSpec{Version: cover.LSAH703, Length: 2 * units.Foot, Grade: 0.1, Rill: cover.RillModerate}, []string{"length"}},
		{"short for AH-537", cover.LSSpec{Version: cover.LSAH537, Length: 10 * units.Foot, Grade: 0.1}, []string{"length"}},
		{"exponent for AH-703", cover.LSSpec{Version: cover.LSAH703, Length: 100 * units.Foot, Grade: 0.1, Rill: cover.RillLow, Exponent: 0.5}, []string{"exponent"}},
		{"rill for AH-537", cover.LSSpec{Version: cover.LSAH537, Length: 100 * units.Foot, Grade: 0.1, Rill: cover.RillLow}, []string{"rill"}},
		{"not a number", cover.LSSpec{Version: cover.LSSmooth, Length: units.Length(math.NaN()), Grade: math.NaN()}, []string{"grade", "length"}},
	} {
		_, err := cover.LS(c.spec)
		require.Equal(t, c.want, fields(err), c.name)
	}
	flat, err := cover.LS(cover.LSSpec{Version: cover.LSAH537, Length: 100 * units.Foot, Grade: 0.005, Exponent: 0.2})
	require.NoError(t, err)
	require.Equal(t, 0.2, flat.Exponent)

	_, err = cover.Erodibility(cover.ErodibilitySpec{SiltAndVeryFineSand: 0.75, Clay: 0.3, OrganicMatter: 0.2, Structure: 5, Permeability: 7})
	require.Equal(t, []string{"siltAndVeryFineSand", "clay", "organicMatter", "structure", "permeability"}, fields(err))
	_, err = cover.Erodibility(cover.ErodibilitySpec{SiltAndVeryFineSand: 0.02, Clay: 0.02, OrganicMatter: 0.04, Structure: 1, Permeability: 1})
	require.Equal(t, []string{"siltAndVeryFineSand"}, fields(err)) // the equation goes below 0
	peat, err := cover.Erodibility(cover.ErodibilitySpec{SiltAndVeryFineSand: 0.3, Clay: 0.2, OrganicMatter: 0.06, Structure: 3, Permeability: 4})
	require.NoError(t, err)
	require.Len(t, peat.Cautions, 3)

	_, err = cover.Pasture(cover.PastureSpec{Canopy: cover.CanopyTrees25, Ground: cover.GroundWeeds, Cover: 1.2, Bare: 9})
	require.Equal(t, []string{"canopy", "cover", "bare"}, fields(err))
}

func TestPastureTableReadings(t *testing.T) {
	c := func(s cover.PastureSpec) float64 {
		x, err := cover.Pasture(s)
		require.NoError(t, err)
		return x.C
	}
	for _, x := range []struct {
		spec cover.PastureSpec
		want float64
	}{
		{cover.PastureSpec{Ground: cover.GroundGrassOrLitter, Bare: cover.BareAtZero}, 0.45},
		{cover.PastureSpec{Ground: cover.GroundGrassOrLitter, Bare: cover.BareAtTen}, 1},
		{cover.PastureSpec{Ground: cover.GroundGrassOrLitter, Cover: 0.10, Bare: cover.BareAtTen}, 0.45},
		{cover.PastureSpec{Ground: cover.GroundGrassOrLitter, Cover: 0.05, Bare: cover.BareAtTen}, 0.725},
		{cover.PastureSpec{Ground: cover.GroundWeeds, Cover: 0.80, Bare: cover.BareAtTen}, 0.043},
		{cover.PastureSpec{Ground: cover.GroundWeeds, Cover: 1, Bare: cover.BareAtZero}, 0.011},
		{cover.PastureSpec{Canopy: cover.CanopyBrush50, Ground: cover.GroundGrassOrLitter, Cover: 0.40, Bare: cover.BareAtZero}, 0.085},
		{cover.PastureSpec{Canopy: cover.CanopyForbs75, Ground: cover.GroundGrassOrLitter, Cover: 0.70, Bare: cover.BareAtZero}, 0.021},
	} {
		require.InDelta(t, x.want, c(x.spec), 1e-12, "%+v", x.spec)
	}
}

func TestSoilLossFaults(t *testing.T) {
	nan := math.NaN()
	_, err := cover.SoilLoss(cover.SoilLossSpec{System: 7, R: -1, K: nan, LS: math.Inf(1), P: 2, BareC: 0.1, CoveredC: 0.2,
		Area: -1, Begin: 13, MonthlyR: [12]float64{2, -1}, DeliveryRatio: new(1.5), Tolerance: -1})
	require.Equal(t, []string{"system", "r", "k", "ls", "p", "coveredC", "area", "begin", "monthlyR[0]", "monthlyR[1]", "deliveryRatio", "tolerance"}, fields(err))
}

// A share that is wrong by itself is named, and so is a sum that is.
func TestSoilLossMonthlyShares(t *testing.T) {
	spec := cover.SoilLossSpec{System: cover.FactorUnitsUS, R: 150, K: 0.32, LS: 1, P: 1, BareC: 1, CoveredC: 0.1,
		Area: units.Acre, Begin: time.May, DeliveryRatio: new(0.3)}
	spec.MonthlyR = [12]float64{0.5, math.NaN(), 0.4}
	_, err := cover.SoilLoss(spec)
	require.Equal(t, []string{"monthlyR[1]"}, fields(err))
	spec.MonthlyR = [12]float64{0.5, 0.4}
	_, err = cover.SoilLoss(spec)
	require.EqualError(t, err, "monthlyR: got 0.9, want 12 shares that add to 1")
}

// Factors of the other system are told apart by bounds that no site reaches.
func TestSoilLossBounds(t *testing.T) {
	spec := cover.SoilLossSpec{System: cover.FactorUnitsSI, R: 2500, K: 0.32, LS: 1, P: 1, BareC: 1, CoveredC: 0.1,
		Area: units.Acre, Begin: time.May, MonthlyR: [12]float64{4: 1}, DeliveryRatio: new(0.3)}
	_, err := cover.SoilLoss(spec)
	require.ErrorContains(t, err, "k: got 0.32")
	spec.System, spec.K = cover.FactorUnitsUS, 0.3
	_, err = cover.SoilLoss(spec)
	require.ErrorContains(t, err, "r: got 2500")
}

// The exponents of AH-537 by grade, with straight lines where the readings differ, and
// those of the older quadratic.
func TestExponentsByGrade(t *testing.T) {
	for _, c := range []struct{ percent, handbook, older float64 }{
		{0.5, 0.2, 0.3}, {0.99, 0.2, 0.3}, {1, 0.3, 0.3}, {3, 0.3, 0.3}, {3.25, 0.35, 0.325}, {3.5, 0.4, 0.35}, {4, 0.4, 0.4}, {4.5, 0.4, 0.45},
		{4.75, 0.45, 0.475}, {5, 0.5, 0.5}, {9, 0.5, 0.5}, {60, 0.5, 0.5},
	} {
		for v, want := range map[cover.LSVersion]float64{cover.LSAH537: c.handbook, cover.LSQuadratic: c.older} {
			r, err := cover.LS(cover.LSSpec{Version: v, Length: 300 * units.Foot, Grade: c.percent / 100})
			require.NoError(t, err)
			require.InDelta(t, want, r.Exponent, 1e-12, "%s at %v %%", v, c.percent)
		}
	}
}

// The exponent of AH-537 by name: steps as function MUSLE.LS of CRAN package VFS 1.0.2
// has them, or lines over what the handbook leaves open.
func TestExponentsByName(t *testing.T) {
	for grade, want := range map[float64][2]float64{0.005: {0.2, 0.2}, 0.01: {0.3, 0.2}, 0.02: {0.3, 0.3}, 0.03: {0.3, 0.3}, 0.034: {0.38, 0.4}, 0.035: {0.4, 0.4}, 0.045: {0.4, 0.4}, 0.049: {0.48, 0.4}, 0.05: {0.5, 0.4}, 0.051: {0.5, 0.5}, 0.2: {0.5, 0.5}} {
		for by, m := range want {
			r, err := cover.LS(cover.LSSpec{Version: cover.LSAH537, Length: 300 * units.Foot, Grade: grade, Exponents: cover.LSExponents(by)})
			require.NoError(t, err)
			require.InDelta(t, m, r.Exponent, 1e-12, "%v by %v", grade, cover.LSExponents(by))
		}
	}
	for _, spec := range []cover.LSSpec{{Version: cover.LSQuadratic, Exponents: cover.LSExponentsSteps}, {Version: cover.LSAH537, Exponents: 7}, {Version: cover.LSAH537, Exponent: 0.4, Exponents: cover.LSExponentsSteps}} {
		spec.Length, spec.Grade = 300*units.Foot, 0.05
		_, err := cover.LS(spec)
		require.ErrorContains(t, err, "exponents")
	}
}
