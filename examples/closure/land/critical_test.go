package land

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// Where the caller gives no critical level, that of the rule's state holds, for the crop
// and the extractant of the field: corn 15 ppm of P by Bray P1 and 125 ppm of K, winter
// wheat 25 ppm of P (Critical levels of soil tests of Nebraska, undated page, table of
// critical levels). Above it the nutrient has no worth, and the allocation sees none.
func TestCriticalLevelsOfTheState(t *testing.T) {
	of := func(p, k float64, crop string) FieldResult {
		spec := twoFields()
		spec.Critical = nil
		home := &spec.Fields[0]
		home.Site.SoilTest = &nutrient.SoilTest{Value: p, Unit: nutrient.SoilPPM, Extractant: nutrient.BrayP1}
		home.SoilK = &nutrient.SoilTest{Value: k, Unit: nutrient.SoilPPM, Extractant: nutrient.AmmoniumAcetate}
		for i := range home.Crops {
			home.Crops[i].CriticalCrop = crop
		}
		r, err := Plan(spec)
		require.NoError(t, err)
		return *r.Field("home")
	}
	for _, c := range []struct {
		p, k float64
		crop string
		want Answers
	}{
		{14, 124, "corn", Answers{AnswerCounts, AnswerCounts}},
		{16, 126, "corn", Answers{AnswerEnough, AnswerEnough}},
		{16, 126, "winter wheat", Answers{AnswerCounts, AnswerEnough}},
		{26, 124, "winter wheat", Answers{AnswerEnough, AnswerCounts}},
		{14, 124, "", Answers{AnswerUnknown, AnswerUnknown}}, // corn grain is no name of that table
	} {
		require.Equal(t, c.want, of(c.p, c.k, c.crop).Answers, "%v %v %s", c.p, c.k, c.crop)
	}
	enough := of(16, 126, "corn")
	require.Equal(t, "Critical levels of soil tests of Nebraska", enough.Critical[0].Source.Title)
	why := enough.worth(OfP2O5)
	require.Contains(t, why.String(), "soil test of 16 ppm bray p1 against 15 ppm bray p1, Nebraska, Critical levels of soil tests of Nebraska")

	// The caller's level stands in its place, and the published one is shown beside it.
	spec := twoFields()
	spec.Critical = spec.Critical[:1]
	spec.Critical[0].Level.Value = 50
	spec.Fields[0].Site.SoilTest.Value = 32
	for i := range spec.Fields[0].Crops {
		spec.Fields[0].Crops[i].CriticalCrop = "corn"
	}
	r, err := Plan(spec)
	require.NoError(t, err)
	home := r.Field("home")
	require.Equal(t, Answers{AnswerCounts, AnswerCounts}, home.Answers)
	require.Contains(t, home.worth(OfP2O5).String(), "the caller's; published: 15 ppm bray p1")
	require.Contains(t, home.worth(OfK2O).String(), "Nebraska")
	require.Equal(t, []string{"home"}, r.BeyondPublished())

	// What the tables do not have is asked for once for each field, and a name that they do
	// not have is a fault.
	var keys []string
	for _, o := range r.Open {
		keys = append(keys, o.Key)
	}
	require.Equal(t, []string{"fields.meadow.critical", "rule", "weather"}, slices.Sorted(slices.Values(keys)))
	spec.Fields[0].Crops[0].CriticalCrop = "maize"
	_, err = Plan(spec)
	require.ErrorContains(t, err, "fields[0].crops[0].criticalCrop")
	spec.Fields[0].Crops[0].CriticalCrop = "corn"
	spec.Fields[0].SoilK = &nutrient.SoilTest{Value: -1, Unit: nutrient.SoilPPM, Extractant: nutrient.AmmoniumAcetate}
	_, err = Plan(spec)
	require.Equal(t, "fields[0].soilK.value", units.FieldErrors(err)[0].Field)
}
