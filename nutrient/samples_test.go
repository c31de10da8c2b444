package nutrient

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

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

// Mean, scatter, interval and weights against gonum's statistics, of each constituent.
func TestSamplesAgainstGonum(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 100 {
		n, weighted := 2+r.IntN(7), r.IntN(2) == 0
		var list []Sample
		values := map[string][]float64{}
		var weights []float64
		for range n {
			total, p := 20+20*r.Float64(), 3+5*r.Float64()
			ammonium, k, zinc := total*(0.3+0.3*r.Float64()), 10+5*r.Float64(), 0.1+r.Float64()
			s := Sample{Report: AnalyzeSpec{Form: Liquid, Density: units.Density(1000 + 20*r.Float64()), Solids: perGallons(500), TotalN: perGallons(total), AmmoniumN: perGallons(ammonium), NitrateN: perGallons(1), P: perGallons(p), K: perGallons(k),
				Elements: map[Element]Content{Zinc: perGallons(zinc)}, EC: 5, PH: 7}}
			weights = append(weights, 1)
			if weighted {
				gallons := 1000 + 9000*r.Float64()
				s.Amount, weights[len(weights)-1] = LiquidAmount(units.Volume(gallons)*units.Gallon), gallons
			}
			list = append(list, s)
			for name, x := range map[string]float64{"solids": 500, "totalN": total, "ammoniumN": ammonium, "organicN": total - ammonium - 1, "nitrateN": 1, "p": p, "k": k, "Zn": zinc} {
				values[name] = append(values[name], x)
			}
		}
		got, err := Samples(SamplesSpec{Samples: list, Confidence: 0.9})
		require.NoError(t, err)
		require.Equal(t, weighted, got.Weighted)
		require.Len(t, got.Contents, len(values))
		analysis := map[string]Content{"solids": got.Analysis.Solids, "totalN": got.Analysis.TotalN, "ammoniumN": got.Analysis.AmmoniumN, "organicN": got.Analysis.OrganicN, "nitrateN": got.Analysis.NitrateN, "p": got.Analysis.P, "k": got.Analysis.K, "Zn": got.Analysis.Elements[Zinc]}
		in := func(c Content) float64 { return c.SI() / units.PoundPer1000Gallon.SI() }
		for _, c := range got.Contents {
			x := values[c.Name]
			mean, sd := stat.MeanStdDev(x, nil)
			half := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(n - 1)}.Quantile(0.95) * sd / math.Sqrt(float64(n))
			require.Equal(t, n, c.N)
			require.InDelta(t, mean, in(c.Mean), 1e-9, c.Name)
			require.InDelta(t, sd, in(c.SD), 1e-9, c.Name)
			require.InDelta(t, sd/mean, c.CV, 1e-12, c.Name)
			require.InDelta(t, mean-half, in(c.Interval.Low), 1e-8, c.Name)
			require.InDelta(t, mean+half, in(c.Interval.High), 1e-8, c.Name)
			require.InDelta(t, stat.Mean(x, weights), in(analysis[c.Name]), 1e-9, c.Name)
			if weighted {
				require.InDelta(t, stat.Mean(x, weights), in(c.Weighted), 1e-9, c.Name)
			} else {
				require.True(t, c.Weighted.IsZero())
			}
			require.Equal(t, n >= 4 && sd > 0, c.Outlier != nil, c.Name)
			if o := c.Outlier; o != nil { // the farthest from the mean
				for _, other := range x {
					require.LessOrEqual(t, math.Abs(other-mean), math.Abs(x[o.Sample]-mean)+1e-9)
				}
				require.InDelta(t, x[o.Sample], in(o.Value), 1e-9)
				require.InDelta(t, math.Abs(x[o.Sample]-mean)/sd, o.G, 1e-9)
				require.Equal(t, o.G > o.Critical, o.IsOut)
				others := slices.Delete(slices.Clone(x), o.Sample, o.Sample+1)
				without, spread := stat.MeanStdDev(others, nil)
				half := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(n - 2)}.Quantile(0.95) * spread / math.Sqrt(float64(n-1))
				require.InDelta(t, without, in(o.Without), 1e-9)
				require.InDelta(t, without-half, in(o.Interval.Low), 1e-8)
				require.InDelta(t, without+half, in(o.Interval.High), 1e-8)
				require.InDelta(t, without/mean-1, o.Change, 1e-9)
			}
		}
		density := 0.0
		for _, s := range list {
			density += float64(s.Report.Density) / float64(n)
		}
		require.InDelta(t, density, float64(got.Analysis.Density), 1e-9)
		require.Zero(t, got.Analysis.EC+got.Analysis.PH, "they do not average")
		list[n-1].Report.Density = 0
		got, err = Samples(SamplesSpec{Samples: list, Confidence: 0.9})
		require.NoError(t, err)
		require.Zero(t, got.Analysis.Density, "one was not weighed")
	}
}

// An element that some samples lack is left out, and a constituent of which there is none
// has no change to tell.
func TestSamplesWithoutSomething(t *testing.T) {
	list := reports(20, 22, 24, 20)
	list[2].Report.Elements = nil
	r, err := Samples(SamplesSpec{Samples: list, Confidence: 0.95})
	require.NoError(t, err)
	require.Empty(t, r.Analysis.Elements)
	for i := range list {
		list[i].Report.Elements = map[Element]Content{Copper: perGallons(0)}
	}
	r, err = Samples(SamplesSpec{Samples: list, Confidence: 0.95})
	require.NoError(t, err)
	require.Equal(t, map[Element]Content{Copper: perGallons(0)}, r.Analysis.Elements)
}
