package nutrient

import (
	"math"
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
	_, err = LandBase(LandBaseSpec{Stocks: []LandStock{{"", -1, 0}}, Have: -1})
	require.Equal(t, []string{"stocks[0].name", "stocks[0].mass", "stocks[0].perArea", "have"}, faultFields(err))
	_, err = LandBase(LandBaseSpec{})
	require.Equal(t, []string{"stocks"}, faultFields(err))
}
