package sludge

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge/geostat"
	"example.org/earthbasin/sludge/internal/field"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// rippled is a thickness with waves of several lengths.
func rippled(x, y float64) float64 {
	return 1 + 0.3*math.Sin(x/11+y/17) + 0.2*math.Cos(y/7) + 0.1*math.Sin(5*x+3*y)
}

// rollingBanks is the floor of the simulated basin, a tenth deeper here and shallower there.
func rollingBanks(x, y float64) float64 {
	return banked(x, y) * math.Exp(0.1*math.Sin(x/13)*math.Cos(y/9))
}

// What a result says of ways at the banks, fields, ranges and floors is that of its parts
// by their weights, and the interval that of their mixture, a little wider.
func TestResultByParts(t *testing.T) {
	ctx := context.Background()
	fields := rippled
	over := surveyOf(t, rectangle(0, 0, simLong, simWide), gridOf(5, 4, func(x, y float64) float64 { return min(banked(x, y), fields(x, y)) }), overFloor)
	var read SurveySpec
	read.Boundary, read.Sides = rectangle(0, 0, simLong, simWide), SidesBanks
	floor := rollingBanks
	for _, s := range gridOf(6, 4, func(x, y float64) float64 { return max(0, floor(x, y)-3+fields(x, y)) }) {
		d := floor(float64(s.At.X), float64(s.At.Y))
		read.Soundings = append(read.Soundings, depths(float64(s.At.X), float64(s.At.Y), d-float64(s.Value), d))
	}
	overRead, err := NewSurvey(ctx, read)
	require.NoError(t, err)
	for name, s := range map[string]*Survey{"drawn": over, "read": overRead} {
		e, err := newEstimate(ctx, s, usual, estimateOptions{})
		require.NoError(t, err)
		r := e.result(usual)
		var sum, mean, second, reach, nugget, log, floorOnly float64
		byShare, volumes := map[float64]float64{}, map[float64]float64{}
		byFloor, byFamily := map[*floorGuess]float64{}, map[field.Family]float64{}
		overFloors := map[*floorGuess]float64{}
		for _, p := range e.parts {
			st := p.structure()
			df := p.df()
			inner := p.scale * p.scale * df / max(df-2, 0.5)
			sum += p.weight
			mean += p.weight * p.volume
			second += p.weight * (inner + p.volume*p.volume)
			reach += p.weight * st.Range
			nugget += p.weight * st.Share
			if p.of.log {
				log += p.weight
			}
			byShare[p.of.share] += p.weight
			volumes[p.of.share] += p.weight * p.volume
			byFloor[p.of.floor] += p.weight
			overFloors[p.of.floor] += p.weight * p.volume
			byFamily[st.Family] += p.weight
			floorOnly += p.weight * p.floor * df / max(df-2, 0.5)
		}
		variance := second - mean*mean
		require.InDelta(t, 1, sum, 1e-12)
		require.InEpsilon(t, mean, float64(r.Volume), 1e-12)
		require.InEpsilon(t, math.Sqrt(variance), float64(r.SD), 1e-6)
		require.InEpsilon(t, mean/6000, float64(r.Mean), 1e-12)
		require.InEpsilon(t, reach, float64(r.Range), 1e-12)
		require.InEpsilon(t, nugget, r.Nugget, 1e-12)
		require.InDelta(t, log, r.Log, 1e-12)
		var banks float64
		require.Len(t, r.Banks, len(byShare))
		for i, b := range r.Banks {
			require.True(t, i == 0 || b.Share > r.Banks[i-1].Share)
			require.InDelta(t, byShare[b.Share], b.Weight, 1e-12)
			require.InEpsilon(t, volumes[b.Share]/byShare[b.Share], float64(b.Volume), 1e-12)
			banks += b.Weight * (float64(b.Volume) - mean) * (float64(b.Volume) - mean) / variance
		}
		require.InDelta(t, banks, r.BanksShare, 1e-6)
		require.Len(t, r.Fields, 3)
		for k, f := range r.Fields {
			require.InDelta(t, byFamily[field.Family(k)], f.Weight, 1e-12)
			require.Equal(t, []string{"rough", "once differentiable", "twice differentiable"}[k], f.Smoothness)
		}
		require.Len(t, r.Floors, len(byFloor))
		k := 0
		for _, g := range e.floors {
			if byFloor[g] == 0 {
				continue
			}
			require.InDelta(t, byFloor[g], r.Floors[k].Weight, 1e-12)
			require.InDelta(t, g.deepest, float64(r.Floors[k].Depth), 1e-12)
			require.Equal(t, g.slope, r.Floors[k].Slope)
			if off := overFloors[g]/byFloor[g] - mean; len(e.floors) > 1 {
				floorOnly += byFloor[g] * off * off
			}
			k++
		}
		require.InDelta(t, min(1, floorOnly/variance), r.FloorShare, 1e-6, name)
		require.Equal(t, name == "read", r.FloorShare > 0)
		require.Len(t, r.Parts, 5)
		weights := make([]float64, len(e.parts))
		for i, p := range e.parts {
			weights[i] = p.weight
		}
		slices.Sort(weights)
		for i, p := range r.Parts {
			require.Equal(t, weights[len(weights)-1-i], p.Weight)
			at := slices.IndexFunc(e.parts, func(q portion) bool { return q.weight == p.Weight && q.volume == float64(p.Volume) })
			require.GreaterOrEqual(t, at, 0)
			q := e.parts[at]
			require.Equal(t, VolumePart{q.weight, q.of.share, q.of.log, smoothnessNames[q.structure().Family], units.Length(q.structure().Range), q.structure().Share, q.df(), units.Volume(q.volume), units.Volume(q.scale)}, p)
		}
		m := e.mixture(nil)
		low, high := m.Quantile(0.025, 0, 4*mean), m.Quantile(0.975, 0, 4*mean)
		require.InEpsilon(t, mean-1.03*(mean-low), float64(r.Interval.Low), 1e-6)
		require.InEpsilon(t, mean+1.03*(high-mean), float64(r.Interval.High), 1e-6)
	}
}

// Stretched fields have together the prior weight of the others, at most three ways of
// stretching count, and the way that the field was made with comes out.
func TestStretchedFields(t *testing.T) {
	// A wave that runs across azimuth 120: long that way, short the other.
	sin, cos := math.Sincos(120 * math.Pi / 180)
	wave := func(x, y float64) float64 { return 1 + 0.3*math.Sin((x*cos-y*sin)/6) }
	s := surveyOf(t, rectangle(0, 0, simLong, simWide), gridOf(10, 6, wave), walls)
	e, err := newEstimate(t.Context(), s, usual, estimateOptions{})
	require.NoError(t, err)
	metrics := map[field.Metric]float64{}
	for _, st := range e.structures {
		earned := 0.0
		if st.Share == 0.0001 {
			earned = math.Log(0.25)
		}
		if st.Metric == field.Isotropic {
			require.InDelta(t, earned, st.LogPrior, 1e-12)
			continue
		}
		metrics[st.Metric] = 0
		require.InDelta(t, earned-math.Log(8*4), st.LogPrior, 1e-12)
	}
	require.NotEmpty(t, metrics)
	require.LessOrEqual(t, len(metrics), 3)
	var all float64
	for _, p := range e.parts {
		if m := p.structure().Metric; m != field.Isotropic {
			metrics[m] += p.weight
			all += p.weight
		}
	}
	r := e.result(usual)
	require.InDelta(t, all, r.Stretch.Weight, 1e-12)
	require.InDelta(t, 120, r.Stretch.Azimuth, 12)
	var heaviest field.Metric
	for m, w := range metrics {
		if w > metrics[heaviest] {
			heaviest = m
		}
	}
	angle, ratio := heaviest.Axis()
	require.Equal(t, ratio, r.Stretch.Ratio)
	require.InDelta(t, math.Mod(450-angle*180/math.Pi, 180), r.Stretch.Azimuth, 1e-9)
	// Evidence is that of all structures, the stretched ones too.
	for _, h := range e.hypotheses {
		require.Len(t, h.fits, len(e.structures))
	}
	along := volumeOf(t, surveyOf(t, rectangle(0, 0, simLong, simWide), gridOf(10, 6, func(x, y float64) float64 { return 1 + 0.3*math.Sin((x-y)/7) }), walls), usual)
	require.InDelta(t, 45, along.Stretch.Azimuth, 1e-9, "one of the ways that are tried")
	require.InDelta(t, 10, along.Stretch.Ratio, 1e-9, "the most")
	few := surveyOf(t, rectangle(0, 0, simLong, simWide), gridOf(23, 1, wave), walls)
	r = volumeOf(t, few, usual)
	require.Nil(t, r.Stretch, "too few to tell")
}

// Gaps: the share of the area that is farther from every place than the square root of the
// area for each, by cells, and the inlets that nobody sounded.
func TestGapsShare(t *testing.T) {
	s := bentBasin(t)
	r := volumeOf(t, s, VolumeSpec{Confidence: 0.95, Inlets: []plane.Point{at(20, 41), at(88, 6), at(11, 74), at(12, 6)}})
	reach := math.Sqrt(s.area / 4)
	require.InEpsilon(t, reach, float64(r.Reach), 1e-12)
	far := func(p plane.Point) bool {
		for _, q := range s.Samples() {
			if float64(p.Distance(q.At)) <= reach {
				return false
			}
		}
		return true
	}
	nodes, err := s.Nodes(0.5)
	require.NoError(t, err)
	var share float64
	for _, n := range nodes {
		if far(n.At) {
			share += float64(n.Area) / s.area
		}
	}
	require.InDelta(t, share, r.GapsShare, 0.02)
	require.Equal(t, 4, r.Counts.Places)
	var unsounded []plane.Point
	for _, p := range []plane.Point{at(20, 41), at(88, 6), at(11, 74), at(12, 6)} {
		if far(p) {
			unsounded = append(unsounded, p)
		}
	}
	require.Equal(t, unsounded, r.UnsoundedInlets)

	// Corners of a plain basin that lie just beyond the reach.
	corner := surveyOf(t, rectangle(0, 0, 100, 100), []geostat.Sample{sampleAt(50, 50, 1)}, walls)
	r = volumeOf(t, corner, usual)
	require.Zero(t, r.GapsShare)
	two := volumeOf(t, surveyOf(t, rectangle(0, 0, 100, 100), []geostat.Sample{sampleAt(10, 50, 1), sampleAt(12, 50, 1)}, walls), usual)
	require.InDelta(t, 0.22, two.GapsShare, 0.03)
}

// Candidates stand for the cell that they lie in, as the middles of the cells do.
func TestNextCandidates(t *testing.T) {
	s := bentBasin(t)
	e, err := newEstimate(t.Context(), s, usual, estimateOptions{})
	require.NoError(t, err)
	own := &joint{}
	e.place(own, nil)
	require.Greater(t, len(own.at), 100)
	given := &joint{}
	e.place(given, own.at)
	require.Equal(t, own.at, given.at)
	require.Equal(t, own.node, given.node)
	for i, p := range own.at {
		k := own.node[i]
		require.GreaterOrEqual(t, e.cellOf[k], 0)
		c := e.cells.list[e.cellOf[k]]
		require.Equal(t, e.targets.Used[k], c.node)
		x, y := e.cells.Node(c.node)
		require.InDelta(t, float64(p.X), 10+x+c.dx, 1e-9)
		require.InDelta(t, float64(p.Y), 5+y+c.dy, 1e-9)
	}
}

// A change is the same seen from the other end with its sign turned, a survey and itself
// with so much more have so much between them, and one without an interval leaves the
// change without.
func TestDifferenceBothWays(t *testing.T) {
	fields := rippled
	early := surveyOf(t, rectangle(0, 0, simLong, simWide), gridOf(4, 3, fields), walls)
	late := surveyOf(t, rectangle(0, 0, simLong, simWide), gridOf(4, 3, func(x, y float64) float64 { return fields(x, y) + 0.25 }), walls)
	other := surveyOf(t, rectangle(0, 0, simLong, simWide), gridOf(5, 2, func(x, y float64) float64 { return fields(x, y) + 0.1 }), walls)
	of := func(a, b *Survey) DifferenceResult {
		d, err := Difference(t.Context(), DifferenceSpec{Before: a, After: b, Volume: usual})
		require.NoError(t, err)
		return d
	}
	for _, after := range []*Survey{late, other} {
		there, back := of(early, after), of(after, early)
		require.InDelta(t, float64(there.Change), -float64(back.Change), 3)
		require.InEpsilon(t, float64(there.SD), float64(back.SD), 0.01)
		require.InDelta(t, there.Likeness, back.Likeness, 0.01)
		require.InDelta(t, float64(there.Interval.Low), -float64(back.Interval.High), 0.02*float64(there.SD)+3)
		require.InDelta(t, float64(there.After.Volume-there.Before.Volume), float64(there.Change), 0.3*float64(there.SD))
		require.True(t, there.Interval.Has(there.Change))
		require.Equal(t, 0.95, there.Confidence)
	}
	same := of(early, late)
	require.InDelta(t, 0.25*6000, float64(same.Change), 30)
	require.Greater(t, same.Likeness, 0.6, "errors at gaps are the same")
	require.Less(t, float64(same.SD), 0.7*float64(same.Before.SD))

	one := surveyOf(t, rectangle(0, 0, simLong, simWide), gridOf(1, 1, fields), walls)
	for _, d := range []DifferenceResult{of(early, one), of(one, early)} {
		require.Nil(t, d.Interval)
		require.Zero(t, d.Confidence)
		require.Len(t, d.Notes, 1)
		require.Equal(t, d.After.Volume-d.Before.Volume, d.Change)
	}
}

// A bracket reaches from the lowest to the highest end of the intervals of the hypotheses.
func TestBracketByHypotheses(t *testing.T) {
	s := surveyOf(t, rectangle(0, 0, simLong, simWide), gridOf(3, 2, rippled))
	e, err := newEstimate(t.Context(), s, usual, estimateOptions{})
	require.NoError(t, err)
	r := e.result(usual)
	require.Nil(t, r.Interval)
	low, high := math.Inf(1), math.Inf(-1)
	for _, h := range e.hypotheses {
		if m := e.mixture(func(p *portion) bool { return p.of == h }); len(m) > 0 {
			a, b := e.between(m, 0.95)
			low, high = min(low, a), max(high, b)
		}
	}
	require.Equal(t, units.Range[units.Volume]{Low: units.Volume(low), High: units.Volume(high)}, *r.Bracket)
	// Where the sides are open walls have half of the weight.
	var walled float64
	for _, f := range r.Floors {
		if f.Vertical {
			walled += f.Weight
		}
	}
	var prior float64
	for _, g := range e.floors {
		prior += g.weight
		if g.vertical {
			require.Equal(t, 0.5, g.weight)
		}
	}
	require.InDelta(t, 1, prior, 1e-12)
	require.Positive(t, walled)
	// What has no interval reaches no half-width.
	next, err := Next(t.Context(), s, NextSpec{Volume: usual, Most: 2, HalfWidth: 1000})
	require.NoError(t, err)
	require.False(t, next.Reached)
	require.Zero(t, next.Needed)
	require.Zero(t, next.Places[0].HalfWidth)
}

// Soundings count by what they say under the heaviest hypothesis.
func TestCounts(t *testing.T) {
	samples := []geostat.Sample{
		sampleAt(50, 30, 1), sampleAt(40, 28, 1.02), sampleAt(62, 33, 0.98), sampleAt(30, 30, 1.01), // free
		sampleAt(3*0.5, 30, 0.5), sampleAt(98.5, 25, 0.5), // full on a bank
		sampleAt(50, 1.8, 0),                                                  // bare
		sampleAt(0.1, 30, 0), sampleAt(50, 0.15, 0.05), sampleAt(20, 59.9, 0), // at the waterline
	}
	r := volumeOf(t, surveyOf(t, rectangle(0, 0, simLong, simWide), samples, overFloor), usual)
	c := r.Counts
	require.Equal(t, [6]int{10, 10, 4, 2, 1, 3}, [6]int{c.Soundings, c.Places, c.Free, c.OnFloor, c.Bare, c.AtWaterline})
	require.NotNil(t, r.Interval)
	four := volumeOf(t, surveyOf(t, rectangle(0, 0, simLong, simWide), samples[:4], overFloor), usual)
	require.NotNil(t, four.Interval, "four are enough")
	three := volumeOf(t, surveyOf(t, rectangle(0, 0, simLong, simWide), samples[:3], overFloor), usual)
	require.Nil(t, three.Interval)
}

// The tails of a stretched field are those of its scores: 2 n / (k - 1) degrees of freedom
// by their kurtosis, where that is beyond two standard deviations of 3.
func TestTails(t *testing.T) {
	c := simCases()[slices.IndexFunc(simCases(), func(c simCase) bool { return c.name == "o-crest" && c.design == "grid" })]
	heavy := 0
	for seed := range uint64(4) {
		s, _, err := c.survey(48, rand.New(rand.NewPCG(6, seed)), false)
		require.NoError(t, err)
		e, err := newEstimate(t.Context(), s, usual, estimateOptions{})
		require.NoError(t, err)
		for _, h := range e.hypotheses {
			best, _ := field.Best(h.fits)
			scores := h.factors.Scores(best, h.values)
			n := float64(len(scores))
			var s2, s4 float64
			for _, z := range scores {
				s2, s4 = s2+z*z, s4+z*z*z*z
			}
			k := s4 * n / (s2 * s2)
			want := math.Inf(1)
			if h.factors.Structures[best.Structure].Metric != field.Isotropic && k > 3+2*math.Sqrt(24/n) {
				want = max(3, 2*n/(k-1))
				heavy++
			}
			if math.IsInf(want, 1) {
				require.True(t, math.IsInf(h.df, 1))
			} else {
				require.InEpsilon(t, want, h.df, 1e-9)
			}
			for _, p := range e.parts {
				if p.of == h {
					require.Equal(t, math.Floor(min(p.fit.DF, h.df)), p.df())
				}
			}
		}
	}
	require.Positive(t, heavy)
}

// An error that all soundings of a track share moves a change by the tracks of both surveys.
func TestDifferenceSharedError(t *testing.T) {
	fields := rippled
	sound := func(tracks int, more float64) *Survey {
		return surveyOf(t, rectangle(0, 0, simLong, simWide), gridOf(3, 2, func(x, y float64) float64 { return fields(x, y) + more }), walls, func(s *SurveySpec) {
			for i := range s.Soundings {
				s.Soundings[i].Track = i % tracks
			}
		})
	}
	of := func(shared units.Length) float64 {
		d, err := Difference(t.Context(), DifferenceSpec{Before: sound(2, 0), After: sound(3, 0.2), Volume: VolumeSpec{Confidence: 0.95, SharedSD: shared}})
		require.NoError(t, err)
		return float64(d.SD) * float64(d.SD)
	}
	extra := (of(0.2) - of(0)) / (0.2 * 0.2 * 6000 * 6000)
	require.InEpsilon(t, (1.0/2+1.0/3)*10/8, extra, 1e-6) // as a t with 10 degrees of freedom has it
}

// The floor of a change is one that was drawn, whichever survey has it, the earlier one's
// where both have one.
func TestDifferenceFloor(t *testing.T) {
	survey := func(floor Floor) *Survey {
		spec := SurveySpec{Boundary: rectangle(0, 0, simLong, simWide), Sides: SidesBanks, Floor: floor}
		for _, s := range gridOf(6, 4, func(x, y float64) float64 { return max(0, banked(x, y)-1.5) }) {
			x, y := float64(s.At.X), float64(s.At.Y)
			spec.Soundings = append(spec.Soundings, depths(x, y, banked(x, y)-float64(s.Value), banked(x, y)))
		}
		s, err := NewSurvey(t.Context(), spec)
		require.NoError(t, err)
		return s
	}
	lower := floorFunc(func(p plane.Point) units.Length { return units.Length(1.1 * banked(float64(p.X), float64(p.Y))) })
	read, drawn, other := survey(nil), survey(bankedFloor{}), survey(lower)
	for _, c := range []struct {
		before, after *Survey
		deepest       float64
		drawn         bool
	}{{read, drawn, 3, true}, {drawn, read, 3, true}, {drawn, other, 3, true}, {other, drawn, 3.3, true}, {read, read, 3, false}} {
		w := newPairWork(t.Context(), DifferenceSpec{Before: c.before, After: c.after, Volume: usual})
		for g, e := range w.each {
			require.Equal(t, c.drawn, e.floors[0].slope == 0)
			require.InDelta(t, c.deepest, e.floors[0].deepest, 0.02)
			require.Len(t, e.floors[0].at, len(e.sites))
			for i, p := range e.sites {
				require.InDelta(t, c.deepest/3*banked(p.x, p.y), e.floors[0].at[i], 0.02, "survey %d", g)
			}
		}
	}
}

// The parts of a change stand for even steps of the weight: sixteen in all, and three at
// least of a pair of hypotheses.
func TestDifferenceParts(t *testing.T) {
	early := surveyOf(t, rectangle(0, 0, simLong, simWide), gridOf(4, 3, rippled), walls)
	late := surveyOf(t, rectangle(0, 0, simLong, simWide), gridOf(5, 2, rippled), walls)
	w := newPairWork(t.Context(), DifferenceSpec{Before: early, After: late, Volume: usual})
	w.run()
	weight := map[[2]*hypothesis]float64{}
	var all float64
	for _, p := range w.parts {
		weight[p.of] += p.weight
		all += p.weight
	}
	require.InDelta(t, 1, all, 1e-12)
	require.Greater(t, len(weight), 1)
	for _, p := range w.parts {
		steps := max(3, math.Ceil(16*weight[p.of]))
		hits := p.weight / weight[p.of] * steps
		require.Positive(t, hits)
		require.InDelta(t, math.Round(hits), hits, 1e-9)
	}
}

// Sludge that is the same everywhere leaves no doubt but that of the lattice.
func TestScaleOfEvenSludge(t *testing.T) {
	s := surveyOf(t, rectangle(0, 0, simLong, simWide), gridOf(6, 4, func(x, y float64) float64 { return 0.01 }), walls)
	e, err := newEstimate(t.Context(), s, usual, estimateOptions{})
	require.NoError(t, err)
	for _, p := range e.parts {
		if !p.of.log {
			require.InEpsilon(t, 60, p.volume, 1e-6)
			require.InEpsilon(t, 0.0015*p.volume, p.scale, 0.01)
		}
	}
}

// Hypotheses over the same sites share their factors; others, those that begin alike too,
// have their own, which say what factors of these sites alone would.
func TestSharedFactors(t *testing.T) {
	s := surveyOf(t, rectangle(0, 0, simLong, simWide), gridOf(4, 3, rippled), walls)
	e := newGround(t.Context(), s, usual, estimateOptions{})
	first := e.factorsOf([]int{0, 1, 2, 3, 4, 6})
	require.Same(t, first, e.factorsOf([]int{0, 1, 2, 3, 4, 6}))
	seen := []*field.Factors{first}
	for _, index := range [][]int{{0, 1, 2, 3, 4}, {0, 1, 2, 3, 4, 6, 7}, {0, 1, 2, 5}, {2, 3, 4, 6}} {
		got := e.factorsOf(index)
		require.NotContains(t, seen, got)
		require.Same(t, got, e.factorsOf(index))
		seen = append(seen, got)
		var sites field.Sites
		var y []float64
		for _, i := range index {
			sites.X, sites.Y, sites.Readings = append(sites.X, e.sites[i].x), append(sites.Y, e.sites[i].y), append(sites.Readings, e.sites[i].readings)
			y = append(y, e.sites[i].thickness)
		}
		require.Equal(t, sites, got.Sites)
		want := field.NewFactors(sites, e.structures).Fits(0, field.Values{Y: y})[0]
		for k, f := range got.Fits(0, field.Values{Y: y})[0] {
			require.InDelta(t, want[k].LogLikelihood, f.LogLikelihood, 1e-8)
		}
	}
}
