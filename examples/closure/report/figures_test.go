package report

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// A figure has no more digits than its interval bears.
func TestAbout(t *testing.T) {
	us, metric := figures{currency: "$"}, figures{Style: units.Style{System: units.SystemMetric}}
	half := 22594 * units.Gallon
	v := 402540 * units.Gallon
	r := &units.Range[units.Volume]{Low: v - half, High: v + half}
	require.Equal(t, "403,000 gal (380,000 gal to 425,000 gal)", about(us, liquid, v, r))
	require.Equal(t, "1,524 m3 (1,438 m3 to 1,609 m3)", about(metric, liquid, v, r))
	require.Equal(t, "403,000 gal", about(us, liquid, v, nil))
	require.Equal(t, "12.3 acre", about(us, acres, 12.34*units.Acre, nil))
	require.Equal(t, "0 gal", about(us, liquid, 0, nil))
	require.Equal(t, "-$1,235", us.cash(-1234.6))
	require.Equal(t, "$0", us.cash(-0.2))
	require.Equal(t, "$151,000 ($123,000 to $190,000)", us.aboutCash(123456, 151234, 189999))
	require.Equal(t, "$5", us.aboutCash(5, 5, 5))
}

func TestNumbersStayWithTheirUnits(t *testing.T) {
	require.Equal(t, "put 12\u00a0gal/acre on 3\u00a0May (2\u00a0of them)", unparted("put 12 gal/acre on 3 May (2 of them)"))
	require.Equal(t, "12 gal", parted("12\u00a0gal"))
}
