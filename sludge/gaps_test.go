package sludge

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge/geostat"
	"example.org/earthbasin/sludge/internal/fixtures"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// TestGaps holds the places against a search over all candidates, and what is left
// against the best two of them.
func TestGaps(t *testing.T) {
	samples := rounded(60)
	s := surveyOf(t, fixtures.Edge(), samples[:8])
	var candidates []plane.Point
	for _, c := range samples[8:] {
		candidates = append(candidates, c.At)
	}
	widest := func(extra ...plane.Point) (at plane.Point, most units.Length) {
		for _, c := range candidates {
			d := units.Length(math.Inf(1))
			for _, r := range s.Readings() {
				d = min(d, c.Distance(r.At))
			}
			for _, e := range extra {
				d = min(d, c.Distance(e))
			}
			if d > most {
				at, most = c, d
			}
		}
		return at, most
	}
	r, err := s.Gaps(GapsSpec{Candidates: candidates, Most: 2})
	require.NoError(t, err)
	require.Len(t, r.Places, 2)
	var named []plane.Point
	for _, p := range r.Places {
		at, most := widest(named...)
		require.Equal(t, at, p.At)
		require.InEpsilon(t, float64(most), float64(p.Distance), 1e-12)
		named = append(named, p.At)
	}
	_, left := widest(named...)
	require.InEpsilon(t, float64(left), float64(r.Left), 1e-12)
	require.Equal(t, r.Places[0].Distance, r.Widest)
	require.False(t, r.Reached)
	best := left
	for _, a := range candidates {
		for _, b := range candidates {
			_, d := widest(a, b)
			best = min(best, d)
		}
	}
	require.LessOrEqual(t, r.Left, 2*best)
	require.Contains(t, r.String(), "Drowning")
}

// TestGapsLattice: without candidates the places lie inside and off the island, the
// same ones each time, and close the gaps as far as asked for; ties go south, then
// west.
func TestGapsLattice(t *testing.T) {
	island := rectangle(40, 40, 60, 60)
	s := surveyOf(t, rectangle(0, 0, 100, 100), []geostat.Sample{sampleAt(50, 50, 1), sampleAt(50, 20, 1)},
		func(spec *SurveySpec) { spec.Islands = []plane.Polygon{island} })
	r, err := s.Gaps(GapsSpec{Most: 1000, Within: 15})
	require.NoError(t, err)
	require.True(t, r.Reached)
	require.LessOrEqual(t, r.Left, units.Length(15))
	require.Greater(t, r.Places[len(r.Places)-1].Distance, units.Length(15))
	for i, p := range r.Places {
		require.True(t, s.Contains(p.At))
		require.True(t, i == 0 || p.Distance <= r.Places[i-1].Distance)
	}
	again, err := s.Gaps(GapsSpec{Most: 1000, Within: 15})
	require.NoError(t, err)
	require.Equal(t, r, again)

	square := surveyOf(t, rectangle(0, 0, 100, 100), []geostat.Sample{sampleAt(50, 50, 1)})
	r, err = square.Gaps(GapsSpec{Most: 4})
	require.NoError(t, err)
	for i, at := range []plane.Point{at(2.5, 2.5), at(97.5, 2.5), at(2.5, 97.5), at(97.5, 97.5)} {
		require.InDelta(t, 0, float64(at.Distance(r.Places[i].At)), 1e-9)
	}
	r, err = square.Gaps(GapsSpec{Candidates: []plane.Point{at(50, 50)}, Most: 3})
	require.NoError(t, err)
	require.Empty(t, r.Places, "a place that is sounded already helps nothing")
}

func TestGapsFaults(t *testing.T) {
	_, err := (*Survey)(nil).Gaps(GapsSpec{Most: 1})
	require.ErrorContains(t, err, "survey")
	_, err = new(Survey).Gaps(GapsSpec{Most: 1})
	require.ErrorContains(t, err, "survey")
	s := surveyOf(t, rectangle(0, 0, 100, 100), []geostat.Sample{sampleAt(50, 50, 1)})
	_, err = s.Gaps(GapsSpec{Within: -1, Candidates: []plane.Point{at(math.NaN(), 0), at(5, 5), at(101, 5), at(math.Inf(1), 5)}})
	require.Equal(t, []string{"candidates[0]", "candidates[2]", "candidates[3]", "most", "within"}, fields(err))
	_, err = s.Gaps(GapsSpec{Most: 1001, Within: units.Length(math.NaN()), Candidates: make([]plane.Point, maxCandidates+1)})
	require.Equal(t, []string{"candidates", "most", "within"}, fields(err))
	sliver := plane.Polygon{at(0, 0), at(1000, 999.999), at(1000, 1000)}
	_, err = surveyOf(t, sliver, []geostat.Sample{sampleAt(0, 0, 1)}).Gaps(GapsSpec{Most: 1})
	require.Equal(t, []string{"candidates"}, fields(err))
}
