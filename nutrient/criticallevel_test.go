package nutrient

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// Responses of corn after corn end at 20 ppm by Bray P1 and 16 by Olsen in Minnesota, those
// of soybean to potassium at 100 ppm (states/minnesota.json, with its source beside).
func TestCriticalLevelOfAState(t *testing.T) {
	s, err := PublishedState("minnesota")
	require.NoError(t, err)
	test := SoilTest{Value: 30, Unit: SoilPPM, Extractant: Olsen}
	level, err := s.CriticalLevel(GivesCriticalP, "corn after corn", test)
	require.NoError(t, err)
	require.Equal(t, SoilTest{Value: 16, Unit: SoilPPM, Extractant: Olsen}, level.Level)
	require.NotEmpty(t, level.Source.Title)
	yes, err := level.Answers(test)
	require.NoError(t, err)
	require.False(t, yes)

	// The table of potassium names no extractant: the level counts as one of that of the test.
	level, err = s.CriticalLevel(GivesCriticalK, "soybean", SoilTest{Value: 90, Unit: SoilPPM, Extractant: AmmoniumAcetate})
	require.NoError(t, err)
	require.Equal(t, SoilTest{Value: 100, Unit: SoilPPM, Extractant: AmmoniumAcetate}, level.Level)

	for _, c := range []struct {
		gives, crop string
		test        SoilTest
		field       string
	}{
		{GivesCriticalP, "maize", test, "crop"},
		{GivesCriticalP, "soybean", SoilTest{Value: 30, Unit: SoilPPM, Extractant: Mehlich1}, "extractant"},
		{GivesCriticalP, "soybean", SoilTest{Value: -1, Unit: SoilPPM, Extractant: Olsen}, "test.value"},
		{"criticalS", "soybean", test, "gives"},
	} {
		_, err = s.CriticalLevel(c.gives, c.crop, c.test)
		require.Error(t, err)
		require.Equal(t, c.field, units.FieldErrors(err)[0].Field, c.gives)
	}
}
