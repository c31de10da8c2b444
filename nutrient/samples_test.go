package nutrient

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

func reports(tkn ...float64) []Sample {
	var list []Sample
	for _, x := range tkn {
		list = append(list, Sample{Report: AnalyzeSpec{Form: Liquid, TKN: perGallons(x), AmmoniumN: perGallons(x / 2), Elements: map[Element]Content{Copper: perGallons(0.1)}}})
	}
	return list
}

func TestSamplesMeanAndInterval(t *testing.T) {
	r, err := Samples(SamplesSpec{Samples: reports(20, 24, 28), Confidence: 0.95})
	require.NoError(t, err)
	total := r.Contents[0]
	require.Equal(t, "totalN", total.Name)
	require.InDelta(t, perGallons(24).SI(), total.Mean.SI(), 1e-12)
	require.InDelta(t, perGallons(4).SI(), total.SD.SI(), 1e-12)
	// t(0.975, 2) = 4.30265; half = t 4/sqrt(3).
	require.InDelta(t, perGallons(24-4.302653*4/1.7320508).SI(), total.Interval.Low.SI(), 1e-6)
	require.InDelta(t, perGallons(24).SI(), r.Analysis.TotalN.SI(), 1e-12)
	require.InDelta(t, perGallons(12).SI(), r.Analysis.OrganicN.SI(), 1e-12)
	require.InDelta(t, perGallons(0.1).SI(), r.Analysis.Elements[Copper].SI(), 1e-12)
	require.False(t, r.Weighted)
}

func TestSamplesWeighted(t *testing.T) {
	list := reports(10, 40)
	list[0].Amount, list[1].Amount = LiquidAmount(900000*units.Gallon), LiquidAmount(100000*units.Gallon)
	r, err := Samples(SamplesSpec{Samples: list, Confidence: 0.9})
	require.NoError(t, err)
	require.InDelta(t, perGallons(13).SI(), r.Analysis.TotalN.SI(), 1e-12)
	require.InDelta(t, perGallons(25).SI(), r.Contents[0].Mean.SI(), 1e-12)
	require.Contains(t, r.String(), "weighted by amount")
}

func TestSamplesOutlier(t *testing.T) {
	r, err := Samples(SamplesSpec{Samples: reports(20, 21, 22, 20, 21, 60), Confidence: 0.95})
	require.NoError(t, err)
	o := r.Contents[0].Outlier
	require.True(t, o.IsOut)
	require.Equal(t, 5, o.Sample)
	require.InDelta(t, perGallons(20.8).SI(), o.Without.SI(), 1e-9)
	require.InDelta(t, 20.8*6/164-1, o.Change, 1e-9)
	require.Contains(t, r.String(), "sample 6 stands out")
}

func TestThreeSamplesHaveNoOutlier(t *testing.T) {
	r, err := Samples(SamplesSpec{Samples: reports(20, 20, 21), Confidence: 0.95})
	require.NoError(t, err)
	require.Nil(t, r.Contents[0].Outlier)
	require.Contains(t, r.String(), "total N, mean")
	require.NotContains(t, r.String(), "nitrate", "the material holds none")
}

func TestSamplesLeaveOutWhatSomeLack(t *testing.T) {
	list := reports(20, 22)
	list[1].Report.AmmoniumN = Content{}
	r, err := Samples(SamplesSpec{Samples: list, Confidence: 0.95})
	require.NoError(t, err)
	require.True(t, r.Analysis.AmmoniumN.IsZero())
	require.False(t, r.Analysis.TotalN.IsZero())
}

func TestSamplesFaults(t *testing.T) {
	_, err := Samples(SamplesSpec{})
	require.Equal(t, []string{"samples", "confidence"}, fields(err))
	list := reports(20, 22, 24)
	list[0].Amount = LiquidAmount(units.Gallon)
	list[1].Amount = SolidAmount(units.Ton)
	list[2].Report = AnalyzeSpec{Form: Solid, Oxides: units.OxidesCoarse, TKN: percent(-1)}
	list[2].Amount = LiquidAmount(-1)
	_, err = Samples(SamplesSpec{Samples: list, Confidence: 2})
	require.Equal(t, []string{"confidence", "samples[1].amount", "samples[2].report.tkn", "samples[2].report.form", "samples[2].report.oxides", "samples[2].amount"}, fields(err), "%v", err)
}

func TestOneSampleHasNoInterval(t *testing.T) {
	r, err := Samples(SamplesSpec{Samples: reports(20), Confidence: 0.95})
	require.NoError(t, err)
	require.Nil(t, r.Contents[0].Interval)
	require.Contains(t, r.String(), "no interval")
}
