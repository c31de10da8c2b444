package nutrient

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A slip in the name of an extractant is told with what was meant; names that differ in
// a digit, and words of a state, are no slips.
func TestExtractantSlips(t *testing.T) {
	for word, meant := range map[Extractant]string{
		"kelowa": "kelowna", "lancastr": "lancaster", "modified morgen": "modified morgan",
		"olson": "olsen", "olsn": "olsen", "bray p 1": "bray p1", "mehlich 3 icpp": "mehlich 3 icp", "amonium acetate": "ammonium acetate",
	} {
		require.ErrorContains(t, SoilTest{Value: 20, Unit: SoilPPM, Extractant: word}.Check(), `extractant: got "`+string(word)+`", want `+meant)
		require.NoError(t, SoilTest{Value: 20, Unit: SoilPPM, Extractant: word}.check([]string{string(word)}))
	}
	for _, word := range append([]Extractant{"bray p2", "mehlich 2", "morgan", "modified morgan", "mehlich 3", "egner"}, extractants...) {
		require.NoError(t, SoilTest{Value: 20, Unit: SoilPPM, Extractant: word}.Check(), word)
	}
	level := CriticalLevel{Level: SoilTest{Value: 15, Unit: SoilPPM, Extractant: Olsen}}
	_, err := level.Answers(SoilTest{Value: 38, Unit: SoilPPM, Extractant: "olson"})
	require.ErrorContains(t, err, "test.extractant: got \"olson\", want olsen")
	rule, err := PublishedState("alberta")
	require.NoError(t, err)
	_, err = rule.SiteLimit(Site{SoilTest: &SoilTest{Value: 38, Unit: SoilPPM, Extractant: "olson"}}, nil)
	require.ErrorContains(t, err, "soilTest.extractant: got \"olson\", want olsen")
}
