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
