package cover_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/units"
)

// printedPasture is C of pasture, range and idle land at 0, 20, 40, 60, 80 and 95 percent
// of cover, typed from SCS Agronomy Note 50, Colorado DRMS document 732832, page 11.
var printedPasture = []struct {
	canopy cover.Canopy
	ground cover.GroundCover
	c      [6]float64
}{
	{cover.CanopyNone, cover.GroundGrassOrLitter, [6]float64{.45, .20, .10, .042, .013, .003}},
	{cover.CanopyNone, cover.GroundWeeds, [6]float64{.45, .24, .15, .090, .043, .011}},
	{cover.CanopyForbs25, cover.GroundGrassOrLitter, [6]float64{.36, .17, .09, .038, .012, .003}},
	{cover.CanopyForbs50, cover.GroundGrassOrLitter, [6]float64{.26, .13, .07, .035, .012, .003}},
	{cover.CanopyForbs75, cover.GroundGrassOrLitter, [6]float64{.17, .10, .06, .031, .011, .003}},
	{cover.CanopyBrush25, cover.GroundGrassOrLitter, [6]float64{.40, .18, .09, .040, .013, .003}},
	{cover.CanopyBrush50, cover.GroundGrassOrLitter, [6]float64{.34, .16, .085, .038, .012, .003}},
	{cover.CanopyBrush75, cover.GroundGrassOrLitter, [6]float64{.28, .14, .08, .036, .012, .003}},
	{cover.CanopyTrees25, cover.GroundGrassOrLitter, [6]float64{.42, .19, .10, .041, .013, .003}},
	{cover.CanopyTrees50, cover.GroundGrassOrLitter, [6]float64{.39, .18, .09, .040, .013, .003}},
	{cover.CanopyTrees75, cover.GroundGrassOrLitter, [6]float64{.36, .17, .09, .039, .012, .003}},
}

func TestPastureIsAsPrinted(t *testing.T) {
	at := [6]float64{0, .20, .40, .60, .80, .95}
	for _, row := range printedPasture {
		read := func(covered float64, bare cover.BareColumn) float64 {
			r, err := cover.Pasture(cover.PastureSpec{Canopy: row.canopy, Ground: row.ground, Cover: covered, Bare: bare})
			require.NoError(t, err)
			return r.C
		}
		for i, x := range at {
			require.InDelta(t, row.c[i], read(x, cover.BareAtZero), 1e-12, "%s, %s, %v", row.canopy, row.ground, x)
			if i > 0 { // half way between the columns
				require.InDelta(t, (row.c[i-1]+row.c[i])/2, read((at[i-1]+x)/2, cover.BareAtZero), 1e-12)
			}
		}
		require.InDelta(t, row.c[5], read(1, cover.BareAtZero), 1e-12)
		// The other printing heads the first column 10 percent and has 1.0 at 0.
		require.InDelta(t, 1, read(0, cover.BareAtTen), 1e-12)
		require.InDelta(t, row.c[0], read(0.10, cover.BareAtTen), 1e-12)
		require.InDelta(t, row.c[1], read(0.20, cover.BareAtTen), 1e-12)
		require.InDelta(t, (1+row.c[0])/2, read(0.05, cover.BareAtTen), 1e-12)
	}
}

// LS of AH-703 and of the smooth exponent, worked out with the formulas on paper.
func TestSlopeFactorsByHand(t *testing.T) {
	work := func(spec cover.LSSpec) cover.LSResult {
		r, err := cover.LS(spec)
		require.NoError(t, err)
		return r
	}
	revised := func(grade float64, rill cover.RillRatio, feet float64) cover.LSResult {
		return work(cover.LSSpec{Version: cover.LSAH703, Length: units.Length(feet) * units.Foot, Grade: grade, Rill: rill})
	}
	// 33 percent: sin 0.313377, b at moderate ratio 3.497516/1.745702 = 2.003502.
	for rill, m := range map[cover.RillRatio]float64{cover.RillLow: 0.500437, cover.RillModerate: 0.667055, cover.RillHigh: 0.800280} {
		r := revised(0.33, rill, 150)
		require.InDelta(t, m, r.Exponent, 5e-6, rill.String())
		require.InDelta(t, 4.764741, r.S, 5e-6)
		require.InDelta(t, math.Pow(150/72.6, m)*4.764741, r.LS, 1e-4)
	}
	// S changes its line at 9 percent, sin 0.0896377 there.
	require.InDelta(t, 16.8*0.0896377-0.50, revised(0.09, cover.RillModerate, 72.6).S, 1e-5)
	require.InDelta(t, 10.8*0.0895397+0.03, revised(0.0899007, cover.RillModerate, 72.6).S, 1e-4)
	// The curve of the smooth exponent: 0.6 (1 - exp(-35.835 x 0.03)) = 0.6 x 0.658718.
	smooth := work(cover.LSSpec{Version: cover.LSSmooth, Length: 100 * units.Foot, Grade: 0.03})
	require.InDelta(t, 0.395232, smooth.Exponent, 1e-6)
	require.InDelta(t, 65.41*0.0299865*0.0299865+4.56*0.0299865+0.065, smooth.S, 1e-6)
	require.InDelta(t, math.Pow(30.48/22.1, 0.395232)*smooth.S, smooth.LS, 1e-6)
	require.InDelta(t, 0.180703, work(cover.LSSpec{Version: cover.LSSmooth, Length: 100 * units.Foot, Grade: 0.01}).Exponent, 1e-6)
}

// Short slopes are read from table 4-2 of AH-703, moderate ratio, at 3, 6, 9, 12 and
// 15 ft, and by straight lines between its cells.
func TestShortSlopesAreAsPrinted(t *testing.T) {
	ls := func(feet, grade float64) float64 {
		r, err := cover.LS(cover.LSSpec{Version: cover.LSAH703, Length: units.Length(feet) * units.Foot, Grade: grade, Rill: cover.RillModerate})
		require.NoError(t, err)
		require.Equal(t, feet < 15, r.Table)
		return r.LS
	}
	ten, fourteen := []float64{.46, .48, .50, .51, .52}, []float64{.48, .58, .65, .70, .75}
	for i, feet := range []float64{3, 6, 9, 12} {
		require.InDelta(t, ten[i], ls(feet, 0.10), 1e-12)
		require.InDelta(t, fourteen[i], ls(feet, 0.14), 1e-12)
		require.InDelta(t, (ten[i]+fourteen[i])/2, ls(feet, 0.12), 1e-12)
		require.InDelta(t, (ten[i]+ten[i+1])/2, ls(feet+1.5, 0.10), 1e-12)
		require.InDelta(t, (fourteen[i]+fourteen[i+1])/2, ls(feet+1.5, 0.14), 1e-12)
		require.InDelta(t, (ls(feet, 0.08)+ten[i])/2, ls(feet, 0.09), 1e-12)
		require.InDelta(t, ls(15, 0.06), ls(feet, 0.06), 1e-12, "constant up to 15 ft")
	}
}

// Each term of the nomograph equation on its own: a class of structure is 0.0325, one of
// permeability 0.025, a percent of organic matter a twelfth of the first term.
func TestErodibilityTerms(t *testing.T) {
	k := func(structure, permeability int, organic float64) float64 {
		r, err := cover.Erodibility(cover.ErodibilitySpec{SiltAndVeryFineSand: 0.65, Clay: 0.05, OrganicMatter: organic, Structure: structure, Permeability: permeability})
		require.NoError(t, err)
		require.InDelta(t, r.US*0.1317136, r.SI, 1e-7)
		return r.US
	}
	first := 2.1e-4 * math.Pow(65*95, 1.14) * 12 / 100
	require.InDelta(t, first, k(2, 3, 0), 1e-12)
	for s := 1; s <= 4; s++ {
		require.InDelta(t, 0.0325*float64(s-2), k(s, 3, 0)-first, 1e-12)
	}
	for p := 1; p <= 6; p++ {
		require.InDelta(t, 0.025*float64(p-3), k(2, p, 0)-first, 1e-12)
	}
	require.InDelta(t, first*10/12, k(2, 3, 0.02), 1e-12)
}

// The kinds of viable seed are told apart in the fault of a lot, and bulk of a bag in
// the order of a mix.
func TestViableSeed(t *testing.T) {
	l, err := cover.NewLot(cover.LotSpec{Purity: 0.9, Germination: 0.6, Hard: 0.2, Dormant: 0.1})
	require.NoError(t, err)
	require.InDelta(t, 0.9, l.Viable(), 1e-12)
	require.Contains(t, l.String(), "germination 60 % + hard 20 % + dormant 10 %")
	require.InDelta(t, 0.81, float64(l.PLS()), 1e-12)
}

// Any figure of a soil test without the word that it is one is a fault, each on its own.
func TestAnyFigureOfATestIsATest(t *testing.T) {
	for _, spec := range []cover.SoilNeedSpec{{PH: 6}, {P: units.PoundPerAcre}, {K: units.PoundPerAcre}, {Lime: units.PoundPerAcre}, {Fertilizer: cover.Nutrients{K2O: units.PoundPerAcre}}} {
		spec.Rules = "iowa-327"
		_, err := cover.SoilNeed(spec)
		require.Equal(t, []string{"tested"}, fields(err))
	}
}

// A need just below the waiver is waived, one at it is not; no need is no waiver.
func TestWaiversAtTheirEdges(t *testing.T) {
	for _, c := range []struct {
		n, lime float64
		want    []string
	}{{25, 2000, []string{}}, {24.9, 2000, []string{"fertilizer"}}, {25, 1999, []string{"lime"}}, {24.9, 1999, []string{"fertilizer", "lime"}}, {0, 0, []string{}}} {
		spec := cover.SoilNeedSpec{Rules: "iowa-327", Tested: true, PH: 6, Fertilizer: cover.Nutrients{N: units.MassPerArea(c.n) * units.PoundPerAcre}, Lime: units.MassPerArea(c.lime) * units.PoundPerAcre}
		if c.n == 0 {
			spec.Rules, spec.P, spec.K = "illinois-327", 20*units.PoundPerAcre, 200*units.PoundPerAcre
		}
		r, err := cover.SoilNeed(spec)
		require.NoError(t, err)
		require.Equal(t, c.want, r.Waived)
	}
}

// Steps by soil test are taken below their figure and not at it.
func TestStepsBySoilTestAtTheirEdges(t *testing.T) {
	apply := 40 * units.PoundPerAcre
	own := cover.SoilRules{ID: "own", Jurisdiction: "own", Source: "sheet", MinPH: new(5.8), LimeTo: new(6.2), P: &cover.SoilStep{Below: 30 * units.PoundPerAcre, Apply: apply}, K: &cover.SoilStep{Below: 200 * units.PoundPerAcre, Apply: 2 * apply}}
	for _, c := range []struct {
		ph, p, k, limeTo float64
		p2o5, k2o        units.MassPerArea
	}{{5.8, 30, 200, 0, 0, 0}, {5.79, 30, 200, 6.2, 0, 0}, {5.8, 29.9, 200, 0, apply, 0}, {5.8, 30, 199.9, 0, 0, 2 * apply}} {
		r, err := cover.SoilNeed(cover.SoilNeedSpec{Own: &own, Tested: true, PH: c.ph, P: units.MassPerArea(c.p) * units.PoundPerAcre, K: units.MassPerArea(c.k) * units.PoundPerAcre})
		require.NoError(t, err)
		require.Equal(t, c.limeTo, r.LimeTo)
		require.Equal(t, cover.Nutrients{P2O5: c.p2o5, K2O: c.k2o}, r.Need)
	}
	own.LimeTo = nil // to the least pH itself
	r, err := cover.SoilNeed(cover.SoilNeedSpec{Own: &own, Tested: true, PH: 5, P: units.TonPerAcre, K: units.TonPerAcre})
	require.NoError(t, err)
	require.Equal(t, 5.8, r.LimeTo)
}

// A slope a last digit shorter than 15 ft is read at the end of the table, and one of 14 % at its
// last row.
func TestShortSlopesEndAtTheirTable(t *testing.T) {
	for feet, want := range map[float64]float64{14.999999999: .75, 12: .70, 3: .48} {
		r, err := cover.LS(cover.LSSpec{Version: cover.LSAH703, Length: units.Length(feet) * units.Foot, Grade: 0.14, Rill: cover.RillModerate})
		require.NoError(t, err)
		require.InDelta(t, want, r.LS, 1e-9)
	}
	r, err := cover.LS(cover.LSSpec{Version: cover.LSAH703, Length: units.Length(math.Nextafter(float64(15*units.Foot), 0)), Grade: 0.14, Rill: cover.RillModerate})
	require.NoError(t, err)
	require.InDelta(t, .75, r.LS, 1e-9)
	require.True(t, r.Table)
}

// Work for less than one of money is paid in its share, too.
func TestPaymentOfLittle(t *testing.T) {
	r, err := cover.Payment(cover.PaymentSpec{Cost: 0.5, Scenarios: []cover.PaymentScenario{{Name: "twine", Cost: 0.5, Share: 0.6}}})
	require.NoError(t, err)
	require.InDelta(t, 0.6, r.ShareOfCost, 1e-12)
	r, err = cover.Payment(cover.PaymentSpec{Cost: 2, Cap: 0.5, Scenarios: []cover.PaymentScenario{{Name: "twine", Cost: 2, Share: 0.6, Cap: 0.8}}})
	require.NoError(t, err)
	require.Equal(t, []any{0.8, 0.5, "cap"}, []any{r.Sum, r.Payment, r.Limit})
}

// A grade is a nutrient itself, or a hundredth of a percent of it, and no more or less.
func TestGradesAtTheirEnds(t *testing.T) {
	for share, ok := range map[float64]bool{1: true, 1e-4: true, 0.99e-4: false, 1.001: false} {
		r, err := cover.Fertilizer(cover.FertilizerSpec{Need: cover.Nutrients{N: units.PoundPerAcre}, Rule: cover.FertilizerSingleMeetsAll, Grades: []cover.FertilizerGrade{{Name: "a", N: share}}, Area: units.Acre})
		require.Equal(t, ok, err == nil, "%v: %v", share, err)
		if ok {
			require.InDelta(t, 1/share, r.Rate.In(units.PoundPerAcre), 1e-9/share)
		}
	}
}
