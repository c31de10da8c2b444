package units_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

func TestDurationConverts(t *testing.T) {
	var d units.Duration
	require.NoError(t, d.UnmarshalText([]byte("1h30m")))
	require.Equal(t, units.DurationOf(d.Std()), d)
	require.Equal(t, 90.0, d.In(units.Minute))
}

func TestSeedsConvert(t *testing.T) {
	c, err := units.ParseSeedsPerMass("200,000 seeds/lb")
	require.NoError(t, err)
	n := (10 * units.PoundPerAcre).Seeds(c)
	require.InDelta(t, 45.9137, n.In(units.SeedPerSquareFoot), 5e-5) // 2,000,000/43,560
	require.Equal(t, "45.91 seeds/ft2", n.Trade())
	require.InDelta(t, 10, n.OverCount(c).In(units.PoundPerAcre), 1e-12)

	for _, s := range []string{"40 seeds per ft2", "40 seeds/ft2", "40 seeds per square foot"} {
		a, err := units.ParseSeedsPerArea(s)
		require.NoError(t, err, s)
		require.Equal(t, 40*units.SeedPerSquareFoot, a)
	}
	_, err = units.ParseSeedsPerArea("40 seeds/lb")
	require.ErrorContains(t, err, "seeds/ft2")
	_, err = units.ParseMassFraction("2 seeds")
	require.ErrorContains(t, err, "mass fraction")
	text, err := c.MarshalText()
	require.NoError(t, err)
	var back units.SeedsPerMass
	require.NoError(t, back.UnmarshalText(text))
	require.Equal(t, c, back)
}

// A unit whose definition divides whole numbers must not come out as 0.
func TestUnitsPerHour(t *testing.T) {
	require.InEpsilon(t, 1/3.6, float64(units.KilometrePerHour), 1e-15)
	require.InEpsilon(t, 1/3600.0, float64(units.MetrePerHour), 1e-15)
	require.InEpsilon(t, 1/3600.0, float64(units.CubicMetrePerHour), 1e-15)
	for _, s := range []string{"9 km/h", "9 m/h"} {
		v, err := units.ParseSpeed(s)
		require.NoError(t, err)
		require.Positive(t, float64(v), s)
	}
	f, err := units.ParseFlow("9 m3/h")
	require.NoError(t, err)
	require.InEpsilon(t, 9.0, f.In(units.CubicMetrePerHour), 1e-15)
}

// A depth rate of less than a hundredth of an inch in an hour is told in a day.
func TestSlowDepthRates(t *testing.T) {
	for rate, want := range map[units.DepthRate]string{0.0099 * units.InchPerHour: "0.2376 in/d", 0.0101 * units.InchPerHour: "0.0101 in/h", 0.02 * units.InchPerHour: "0.02 in/h"} {
		require.Equal(t, want, rate.Trade())
	}
}
