package report

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/nutrient/allocation"
	"example.org/earthbasin/units"
)

// A figure has no more digits than its interval bears.
func TestAbout(t *testing.T) {
	us, metric := figures{units.Style{Currency: "$"}}, figures{units.Style{System: units.SystemMetric}}
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

// The allocation that holds tells of land only where it takes other land, and of what it
// leaves without a place.
func TestSafetyTellsOfLandAndWhatIsLeft(t *testing.T) {
	p := &pages{figures: figures{units.Style{Currency: "$"}}}
	r := &allocation.RobustResult{PlainKept: .19, Kept: .95, Price: 1350, ExtraArea: units.Acre / 100}
	const plain = "The fields and rates of this plan keep every limit in 19\u00a0% of the draws. Those in the annex do in 95\u00a0% and cost $1,350 more"
	require.Equal(t, plain+".", p.safety(r))
	r.ExtraArea = -r.ExtraArea
	require.Equal(t, plain+".", p.safety(r))
	r.ExtraArea = 12 * units.Acre
	r.Plan.Materials = []allocation.MaterialState{{Name: "liquid"}, {Name: "sludge", Left: nutrient.LiquidAmount(5000 * units.Gallon)}}
	require.Equal(t, plain+"; they take 12.0 acre more land; 5,000 gal of sludge then finds no place.", p.safety(r))
}
