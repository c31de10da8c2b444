package sludge

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

func TestZoneFaults(t *testing.T) {
	_, err := TreatmentZone(ZoneSpec{})
	require.Len(t, units.FieldErrors(err), 2, "floor and allowed share")
	nan := units.Length(math.NaN())
	_, err = TreatmentZone(ZoneSpec{nan, nan, nan, nan, math.NaN()})
	require.NotEmpty(t, units.FieldErrors(err))
	_, err = TreatmentZone(ZoneSpec{MaxToMin: 3, ToFloor: 2, ToSludge: 1, Allowed: 0.5})
	require.ErrorContains(t, err, "maxToMin")
	_, err = TreatmentZone(ZoneSpec{ToFloor: 2, ToSludge: 3, Allowed: 0.5})
	require.ErrorContains(t, err, "toSludge")
	_, err = Accumulation(AccumulationSpec{})
	require.ErrorContains(t, err, "age")
	_, err = Accumulation(AccumulationSpec{Age: 365 * units.Day})
	require.ErrorContains(t, err, "liquidZone")
}

// Sludge above the minimum level fills more than the zone.
func TestZoneFull(t *testing.T) {
	r, err := TreatmentZone(ZoneSpec{MaxToPresent: 0, MaxToMin: 1, ToFloor: 3, ToSludge: 0.5, Allowed: 0.5})
	require.NoError(t, err)
	require.InDelta(t, -0.5, float64(r.LiquidZone), 1e-15)
	require.InDelta(t, 1.25, r.Share, 1e-15)
	require.True(t, r.OverAllowed)
	require.Contains(t, r.String(), "volumes")
}
