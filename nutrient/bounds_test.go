package nutrient

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// No method of a content, an amount, a rate or a price makes a number that is not
// finite out of what it takes without a fault.
func TestMeasuresStayFinite(t *testing.T) {
	awkward := []float64{0, math.Copysign(0, -1), 5e-324, 1e-310, 1e-12, 1, 1e6, 1e150, 1e308, math.Inf(1), math.NaN(), -1}
	finite := func(x float64, err error) {
		t.Helper()
		if err == nil {
			require.False(t, math.IsNaN(x) || math.IsInf(x, 0), x)
		}
	}
	for _, form := range []Form{0, Liquid, Solid} {
		for _, x := range awkward {
			for _, y := range awkward {
				m, o := measure{form, x}, measure{form, y}
				c, a, r, p := Content{m}, Amount{m}, Rate{m}, UnitPrice{m}
				mass, err := c.Times(Amount{o})
				finite(float64(mass), err)
				scaled, err := c.Scale(y)
				finite(scaled.SI(), err)
				other, err := c.As(Solid, units.Density(y))
				finite(other.SI(), err)
				area, err := a.Over(Rate{o})
				finite(float64(area), err)
				amount, err := a.As(Liquid, units.Density(y))
				finite(amount.SI(), err)
				load, err := r.Carrying(Content{o})
				finite(float64(load), err)
				faster, err := r.Scale(y)
				finite(faster.SI(), err)
				put, err := r.Times(units.Area(y))
				finite(put.SI(), err)
				rate, err := RateFor(units.MassPerArea(x), Content{o})
				finite(rate.SI(), err)
				money, err := p.Of(Amount{o})
				finite(money, err)
			}
		}
	}
}

func TestBoundsSayWhatIsAllowed(t *testing.T) {
	for _, c := range []struct {
		x    units.MassPerArea
		want string
	}{{-1, "0 or more"}, {1e308, "at most"}, {1e-310, "0, or at least 1e-12 kg/m2"}} {
		var f units.Faults
		notNegative(&f, "x", c.x)
		require.Contains(t, units.FieldErrors(f.Err())[0].Want.String(), c.want)
	}
	var f units.Faults
	positive(&f, "x", units.MassPerArea(math.Copysign(0, -1)))
	require.Equal(t, "more than 0", units.FieldErrors(f.Err())[0].Want.String())
	require.Contains(t, LiquidPrice(1e308).Check(Liquid).Error(), "at most")
	require.NoError(t, SolidContent(0).Check(Solid))
	require.Error(t, SolidContent(1.01).Check(Solid))
	require.Error(t, SolidContent(0.5).Check(Liquid))
}

// What each kind of quantity may be beside 0, in SI, and the first numbers below and above.
func TestBoundsOfQuantities(t *testing.T) {
	for _, c := range []struct {
		of          units.Quantity
		least, most float64
	}{
		{units.MassFraction(0), 1e-15, 1}, {units.Concentration(0), 1e-12, 1000}, {units.MassPerArea(0), 1e-12, 1e4}, {units.VolumePerArea(0), 1e-12, 100},
		{units.Length(0), 1e-9, 1e8}, {units.DepthRate(0), 1e-15, 1}, {units.Duration(0), 1e-3, 1e10}, {units.Area(0), 1e-6, 1e14},
		{units.Volume(0), 1e-15, 1e15}, {units.Mass(0), 1e-15, 1e15}, {units.Price[units.Mass](0), 1e-15, 1e12},
	} {
		b := boundsOf(c.of)
		require.Equal(t, bounds{c.least, c.most}, b, "%T", c.of)
		for x, want := range map[float64]bool{
			0: true, math.Copysign(0, -1): true, c.least: true, c.most: true, math.Sqrt(c.least * c.most): true,
			math.Nextafter(c.least, 0): false, math.Nextafter(c.most, math.Inf(1)): false, -c.least: false, -c.most: false, math.Inf(1): false, math.NaN(): false,
		} {
			require.Equal(t, want, b.has(x), "%T of %v", c.of, x)
		}
	}
	require.Equal(t, bounds{1e-12, 1e12}, numberBounds)
	// Of a material the bounds are those of the quantity that its form makes it.
	for _, c := range []struct {
		of    *measured
		forms [2]units.Quantity
	}{{amountOf, [2]units.Quantity{units.Volume(0), units.Mass(0)}}, {contentOf, [2]units.Quantity{units.Concentration(0), units.MassFraction(0)}},
		{rateOf, [2]units.Quantity{units.VolumePerArea(0), units.MassPerArea(0)}}, {unitPriceOf, [2]units.Quantity{units.Price[units.Volume](0), units.Price[units.Mass](0)}}} {
		for i, form := range []Form{Liquid, Solid} {
			b := boundsOf(c.forms[i])
			require.Equal(t, b, c.of.bounds[form])
			for _, x := range []float64{0, b.least, b.most} {
				require.True(t, c.of.has(measure{form, x}, form))
				require.False(t, c.of.has(measure{form, x}, Liquid+Solid-form), "of the other form")
				require.False(t, c.of.has(measure{0, x}, 0), "of no form")
				require.NoError(t, measure{form, x}.check(form, true, c.of))
				require.Equal(t, x == 0, measure{form, x}.check(form, false, c.of) != nil)
			}
			require.Error(t, measure{form, 2 * b.most}.check(form, true, c.of))
		}
	}
}

// What is wanted in place of a number says which end it is beyond, in a unit in which the
// end does not print as 0.
func TestWhatBoundsWant(t *testing.T) {
	for _, c := range []struct {
		record func(f *units.Faults)
		want   string
	}{
		{func(f *units.Faults) { positive(f, "x", units.Length(2e8)) }, "at most 62,137 mi"},
		{func(f *units.Faults) { positive(f, "x", units.DepthRate(2)) }, "at most 141,732 in/h"},
		{func(f *units.Faults) { positive(f, "x", units.Length(1e-10)) }, "at least 1e-09 m"},
		{func(f *units.Faults) { positive(f, "x", units.Length(-1)) }, "more than 0"},
		{func(f *units.Faults) { positive(f, "x", units.MassFraction(1.5)) }, "at most 100 %"},
		{func(f *units.Faults) { notNegative(f, "x", units.Length(1e-10)) }, "0, or at least 1e-09 m"},
		{func(f *units.Faults) { notNegative(f, "x", units.Length(-1)) }, "0 or more"},
		{func(f *units.Faults) { notNegativeNumber(f, "x", 1e13) }, "at most 1e+12"},
		{func(f *units.Faults) { notNegativeNumber(f, "x", 1e-13) }, "0, or at least 1e-12"},
		{func(f *units.Faults) { upTo(f, "x", 15, 14) }, "at most 14"},
		{func(f *units.Faults) { upTo(f, "x", 1e-10, 14) }, "0, or at least 1e-09"},
		{func(f *units.Faults) { f.Sub("x", LiquidRate(0).check(Liquid, false, rateOf)) }, "more than 0"},
		{func(f *units.Faults) { f.Sub("x", LiquidRate(1e-13).check(Liquid, false, rateOf)) }, "at least 1e-12 m3/m2"},
		{func(f *units.Faults) { f.Sub("x", Rate{}.check(Liquid, false, rateOf)) }, "a value with its unit"},
		{func(f *units.Faults) { f.Sub("x", SolidRate(1).check(Liquid, false, rateOf)) }, "the form of the material: liquid (a density converts)"},
	} {
		var f units.Faults
		c.record(&f)
		require.Equal(t, c.want, units.FieldErrors(f.Err())[0].Want.String())
	}
}
