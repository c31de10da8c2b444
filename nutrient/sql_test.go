package nutrient

import (
	"database/sql"
	"database/sql/driver"
	"testing"

	"github.com/stretchr/testify/require"
)

// stored holds that v goes into a database as the text want and comes back the same,
// also from bytes, and that NULL is read into an sql.Null only.
func stored[T interface {
	comparable
	driver.Valuer
}, P interface {
	*T
	sql.Scanner
}](t *testing.T, v T, want driver.Value) {
	t.Helper()
	got, err := driver.DefaultParameterConverter.ConvertValue(v)
	require.NoError(t, err)
	require.Equal(t, want, got)
	var back T
	require.NoError(t, P(&back).Scan(got))
	require.Equal(t, v, back)
	if text, ok := got.(string); ok {
		require.NoError(t, P(&back).Scan([]byte(text)))
		require.Equal(t, v, back)
		require.NoError(t, P(&back).Scan(text))
	}
	require.Error(t, P(&back).Scan(int64(1)), "no ordinal reads back")
	require.Error(t, P(&back).Scan(nil), "NULL is no value")
	var null sql.Null[T]
	require.NoError(t, null.Scan(nil))
	require.False(t, null.Valid)
	require.Error(t, P(&back).Scan("no such text"))
}

func TestDatabaseForms(t *testing.T) {
	stored(t, LiquidAmount(1000), "1000 m3")
	stored(t, LiquidContent(3.7), "3.7 kg/m3")
	stored(t, SolidRate(2), "2 kg/m2")
	stored(t, SolidPrice(0.005), "0.005 per kg")
	stored(t, AsCap, "cap")
	stored(t, BetweenLinear, "linear")
	stored(t, Solid, "solid")
	stored(t, Zinc, "Zn")
	stored(t, PoolOrganic, "organic")
	stored(t, BasisTotal, "total")
	stored(t, PBasisNone, "none")
	stored(t, NColumnRate, "fertilization rate")
	stored(t, TextureLoam, "loam")
	stored(t, IntakeClay, "clay")
	stored(t, AnnualLimitsApply, "apply")
	stored(t, ReportAsIs, "as is")
	stored(t, RestrictionNone, "none")
	// What was not given has no text, and so no column but through an sql.Null.
	for _, v := range []driver.Valuer{Pool(99), Amount{}, Content{}, Rate{}, UnitPrice{}, Form(0)} {
		got, err := v.Value()
		require.True(t, err != nil || got == "", "%T", v)
	}
	for _, word := range []any{LimitNitrogen, Olsen, SoilPPM, YieldTonne} {
		got, err := driver.DefaultParameterConverter.ConvertValue(word)
		require.NoError(t, err)
		require.IsType(t, "", got)
	}
}
