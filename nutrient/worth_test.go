package nutrient

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// slurryWorth: 5,000 gal/ac of 12 lb N, 15 lb P2O5 a 1000 gal; needs 100 and 40.
func slurryWorth() WorthSpec {
	kgal := 1000 * units.Gallon
	return WorthSpec{
		Nutrients: []WorthNutrient{
			{Name: "N", Holds: lb1000(20), Available: 0.6, Price: units.PricePer(0.5, units.Pound), Need: 100 * units.PoundPerAcre},
			{Name: "P2O5", Holds: lb1000(15), Available: 1, Price: units.PricePer(0.4, units.Pound), Need: 40 * units.PoundPerAcre},
		},
		Rate: LiquidRate(5000 * units.GallonPerAcre), Yield: units.PricePer(10, units.Acre),
		Spread: LiquidPrice(units.PricePer(4, kgal)), HaulPerMile: LiquidPrice(units.PricePer(2, kgal)),
		Distance: 0.5 * units.Mile, Incorporate: units.PricePer(8, units.Acre),
	}
}

func TestWorth(t *testing.T) {
	r, err := Worth(slurryWorth())
	require.NoError(t, err)
	// N 60 of 60 at 0.5 is 30; P2O5 40 of 75 at 0.4 is 16; yield 10.
	require.InDelta(t, 30, r.Parts[0].Value.Of(units.Acre), 1e-9)
	require.InDelta(t, 16, r.Parts[1].Value.Of(units.Acre), 1e-9)
	require.InDelta(t, 56, r.Gross.Of(units.Acre), 1e-9)
	require.InDelta(t, 5*4+5+8, r.Cost.Of(units.Acre), 1e-9)
	require.InDelta(t, 23, r.Net.Of(units.Acre), 1e-9)
	require.Equal(t, "11.20 per 1000 gal", r.GrossUnit.String())
	require.Equal(t, "4.60 per 1000 gal", r.NetUnit.String())
	// (11.2 - 4 - 1.6) / 2
	require.InDelta(t, 2.8, r.BreakEven.In(units.Mile), 1e-9)

	// At the break-even distance nothing is left.
	s := slurryWorth()
	s.Distance = r.BreakEven
	r, err = Worth(s)
	require.NoError(t, err)
	require.InDelta(t, 0, r.Net.Of(units.Acre), 1e-9)

	s.HaulPerMile = LiquidPrice(0)
	r, err = Worth(s)
	require.NoError(t, err)
	require.True(t, r.AnyDistance)
	require.Zero(t, r.BreakEven)
	s.Spread = LiquidPrice(1e6)
	r, err = Worth(s)
	require.NoError(t, err)
	require.False(t, r.AnyDistance)
	require.Zero(t, r.BreakEven)
	require.Negative(t, float64(r.Net))
}

func TestWorthFaults(t *testing.T) {
	_, err := Worth(WorthSpec{})
	require.Equal(t, []string{"rate"}, faultFields(err))
	s := slurryWorth()
	s.Rate = SolidRate(1)
	s.Nutrients[0].Available = 60
	s.Nutrients[1].Price = units.Price[units.Mass](math.NaN())
	s.Distance = -1
	_, err = Worth(s)
	require.Equal(t, []string{"nutrients[0].holds", "nutrients[0].available", "nutrients[1].holds", "nutrients[1].price", "spread", "haulPerMile", "distance"}, faultFields(err))
	s = slurryWorth()
	s.Nutrients[0].Holds, s.Rate = LiquidContent(1e149), LiquidRate(1e149)
	s.Nutrients[1].Price, s.Nutrients[1].Need = 1e149, 1e149
	s.HaulPerMile, s.Distance = LiquidPrice(1e149), 1e149
	_, err = Worth(s)
	require.Equal(t, []string{"rate", "nutrients[0].holds", "nutrients[1].price", "nutrients[1].need", "haulPerMile", "distance"}, faultFields(err))
}

func TestFertilizerPrice(t *testing.T) {
	p, err := FertilizerPrice(units.PricePer(500, units.Ton), 46*units.Percent)
	require.NoError(t, err)
	require.InDelta(t, 0.5435, p.Of(units.Pound), 0.00005)
	_, err = FertilizerPrice(-1, 0)
	require.Equal(t, []string{"price", "x"}, faultFields(err))
}

func TestLandBase(t *testing.T) {
	r, err := LandBase(LandBaseSpec{Stocks: []LandStock{{"N", 1000, 10}, {"P2O5", 900, 3}}, Have: 250})
	require.NoError(t, err)
	require.Equal(t, units.Area(300), r.Area)
	require.Equal(t, []LandNeed{{"P2O5", 300}, {"N", 100}}, r.Needs)
	require.Equal(t, units.Area(50), r.Missing)
	for have, missing := range map[units.Area]units.Area{299.5: 0.5, 300: 0, 301: 0, 0: 300} {
		r, err := LandBase(LandBaseSpec{Stocks: []LandStock{{"N", 1000, 10}, {"P2O5", 900, 3}, {"K2O", 600, 2}, {"S", 0, 1}}, Have: have})
		require.NoError(t, err)
		require.Equal(t, []LandNeed{{"P2O5", 300}, {"K2O", 300}, {"N", 100}, {"S", 0}}, r.Needs, "in the order of the spec where two are alike")
		require.Equal(t, missing, r.Missing)
	}
	_, err = LandBase(LandBaseSpec{Stocks: []LandStock{{"", -1, 0}}, Have: -1})
	require.Equal(t, []string{"stocks[0].name", "stocks[0].mass", "stocks[0].perArea", "have"}, faultFields(err))
	_, err = LandBase(LandBaseSpec{})
	require.Equal(t, []string{"stocks"}, faultFields(err))
}

// The worksheet a second time, per acre and in pounds, for random materials; at the edge
// of the need and of the critical level all of it counts.
func TestWorthReckonedAgain(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	outcomes := map[string]int{}
	for range 1000 {
		liquid := r.IntN(2) == 0
		per := func(x float64) units.Price[units.Mass] { return units.PricePer(x, units.Pound) }
		content, rate, amount := perTon, SolidRate(units.MassPerArea(1+20*r.Float64())*units.TonPerAcre), "ton"
		price := func(x float64) UnitPrice { return SolidPrice(units.PricePer(x, units.Ton)) }
		if liquid {
			content, rate, amount = perGallons, LiquidRate(units.VolumePerArea(1000+9000*r.Float64())*units.GallonPerAcre), "1000 gal"
			price = func(x float64) UnitPrice { return LiquidPrice(units.PricePer(x, 1000*units.Gallon)) }
		}
		count := rate.SI() / map[string]float64{"ton": units.TonPerAcre.SI(), "1000 gal": 1000 * units.GallonPerAcre.SI()}[amount]
		yield, spread, haul, miles, work := 20*r.Float64(), 6*r.Float64(), float64(r.IntN(3))*r.Float64(), 5*r.Float64(), 10*r.Float64()
		s := WorthSpec{Rate: rate, Yield: units.PricePer(yield, units.Acre), Spread: price(spread), HaulPerMile: price(haul), Distance: units.Length(miles) * units.Mile, Incorporate: units.PricePer(work, units.Acre)}
		gross := yield
		for range 1 + r.IntN(3) {
			holds, share, cost, need := 20*r.Float64(), r.Float64(), r.Float64(), 150*r.Float64()
			n := WorthNutrient{Name: "x", Holds: content(holds), Available: share, Price: per(cost), Need: units.MassPerArea(need) * units.PoundPerAcre}
			counted := min(count*holds*share, need)
			if r.IntN(2) == 0 {
				test := float64(r.IntN(5))
				n.Test, n.Critical = bray(test), &CriticalLevel{Level: *bray(2), CountAbove: r.IntN(2) == 0}
				if test > 2 && !n.Critical.CountAbove {
					counted = 0
				}
			}
			s.Nutrients = append(s.Nutrients, n)
			gross += counted * cost
		}
		got, err := Worth(s)
		require.NoError(t, err)
		cost := count*(spread+haul*miles) + work
		require.InDelta(t, gross, got.Gross.Of(units.Acre), 1e-9)
		require.InDelta(t, cost, got.Cost.Of(units.Acre), 1e-9)
		require.InDelta(t, gross-cost, got.Net.Of(units.Acre), 1e-9)
		require.InDelta(t, gross/count, got.GrossUnit.value/price(1).value, 1e-9)
		require.InDelta(t, (gross-cost)/count, got.NetUnit.value/price(1).value, 1e-9)
		require.Equal(t, s.Distance, got.Distance)
		left := gross - count*spread - work
		switch {
		case left <= 0:
			require.Zero(t, got.BreakEven)
			require.False(t, got.AnyDistance)
			outcomes["none"]++
		case haul == 0:
			require.Zero(t, got.BreakEven)
			require.True(t, got.AnyDistance)
			outcomes["any"]++
		default: // the distance at which the cost of hauling takes all that is left
			require.InDelta(t, left, count*haul*got.BreakEven.In(units.Mile), 1e-6)
			require.False(t, got.AnyDistance)
			outcomes["some"]++
		}
	}
	require.Len(t, outcomes, 3)
}

// A soil test is held against the critical level by the extractant of the level.
func TestAnswersAtTheCriticalLevel(t *testing.T) {
	for _, c := range []struct {
		level, test SoilTest
		above       bool
		want        bool
		fault       string
	}{
		{*bray(15), *bray(15), false, true, ""}, {*bray(15), *bray(15.01), false, false, ""}, {*bray(15), *bray(15.01), true, true, ""},
		{*bray(15), SoilTest{30, SoilPoundPerAcre, BrayP1}, false, true, ""}, {*bray(15), SoilTest{30.1, SoilPoundPerAcre, BrayP1}, false, false, ""}, {*bray(15), SoilTest{30.1, SoilPoundPerAcre, BrayP1}, true, true, ""},
		{SoilTest{30, SoilPoundPerAcre, BrayP1}, *bray(15), false, true, ""}, {SoilTest{30, SoilPoundPerAcre, BrayP1}, *bray(15.1), false, false, ""},
		{SoilTest{8.56, SoilPPM, BrayP1}, SoilTest{20, SoilPPM, Mehlich3ICP}, false, true, ""}, // 0.832 x 20 - 8.08
		{SoilTest{8.55, SoilPPM, BrayP1}, SoilTest{20, SoilPPM, Mehlich3ICP}, false, false, ""},
		{SoilTest{3, "index", Olsen}, SoilTest{3, "index", Olsen}, false, true, ""}, {SoilTest{3, "index", Olsen}, SoilTest{3, SoilPPM, Olsen}, false, false, "test.unit"},
		{*bray(15), SoilTest{15, SoilPPM, Olsen}, true, false, "test.extractant"}, {SoilTest{-1, SoilPPM, Olsen}, SoilTest{15, SoilPPM, Olsen}, true, false, "critical.level.value"},
	} {
		level := CriticalLevel{Level: c.level, CountAbove: c.above}
		got, err := level.Answers(c.test)
		require.Equal(t, c.want, got, "%v against %v", c.test, c.level)
		if c.fault == "" {
			require.NoError(t, err)
		} else {
			require.Equal(t, []string{c.fault}, fields(err))
		}
	}
	_, err := (*CriticalLevel)(nil).Answers(*bray(1))
	require.Equal(t, []string{"critical"}, fields(err))
}
