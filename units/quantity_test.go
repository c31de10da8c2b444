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
