package sludge

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"

	"example.org/earthbasin/sludge/geostat"
	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/units/strict"
)

// surveyOf makes a survey of thicknesses.
func surveyOf(t testing.TB, boundary plane.Polygon, samples []geostat.Sample, more ...func(*SurveySpec)) *Survey {
	t.Helper()
	spec := SurveySpec{Boundary: boundary, Outside: OutsideKeep}
	for i := range samples {
		spec.Soundings = append(spec.Soundings, Sounding{At: samples[i].At, Thickness: &samples[i].Value})
	}
	for _, m := range more {
		m(&spec)
	}
	s, err := NewSurvey(context.Background(), spec)
	require.NoError(t, err)
	return s
}

func walls(s *SurveySpec) { s.Sides = SidesVertical }

// overFloor says that the banks of the simulated basin are known.
func overFloor(s *SurveySpec) { s.Sides, s.Floor = SidesBanks, bankedFloor{} }

var usual = VolumeSpec{Confidence: 0.95}

// gridOf returns samples of a field on a grid of cols by rows over the simulated
// basin, at the middles of its cells.
func gridOf(cols, rows int, f simField) (list []geostat.Sample) {
	for j := range rows {
		for i := range cols {
			x, y := simLong*(float64(i)+0.5)/float64(cols), simWide*(float64(j)+0.5)/float64(rows)
			list = append(list, sampleAt(x, y, f(x, y)))
		}
	}
	return list
}

func volumeOf(t *testing.T, s *Survey, spec VolumeSpec) VolumeResult {
	t.Helper()
	r, err := VolumeWithInterval(context.Background(), s, spec)
	require.NoError(t, err)
	return r
}

func TestVolumeFaults(t *testing.T) {
	_, err := VolumeWithInterval(context.Background(), nil, VolumeSpec{ReadingSD: -1, SharedSD: 11, BankRule: 4, Inlets: []plane.Point{at(math.NaN(), 0)}})
	require.Equal(t, []string{"survey", "confidence", "readingSD", "sharedSD", "inlets[0].x", "bankRule"}, fields(err))
	for _, c := range []float64{0, 1, math.NaN(), -0.95} {
		_, err = VolumeWithInterval(context.Background(), surveyOf(t, rectangle(0, 0, 9, 9), []geostat.Sample{sampleAt(1, 1, 1)}), VolumeSpec{Confidence: c})
		require.Equal(t, []string{"confidence"}, fields(err))
	}
}

// Too few places, or sides that nobody told, have no interval, and the result says
// what would make one.
func TestVolumeWithoutInterval(t *testing.T) {
	basin := rectangle(0, 0, simLong, simWide)
	even := func(x, y float64) float64 { return 1 + 0.01*math.Sin(x+y) }
	one := volumeOf(t, surveyOf(t, basin, gridOf(1, 1, even), walls), usual)
	require.Nil(t, one.Interval)
	require.Zero(t, one.Confidence)
	require.InDelta(t, 6000*even(50, 30), float64(one.Volume), 1e-6)
	require.NotEmpty(t, one.Notes)

	three := volumeOf(t, surveyOf(t, basin, gridOf(3, 1, even), walls), usual)
	require.Nil(t, three.Interval)
	require.NotNil(t, three.Bracket)

	samples := gridOf(6, 4, even)
	unknown := volumeOf(t, surveyOf(t, basin, samples), usual)
	require.Nil(t, unknown.Interval)
	require.Zero(t, unknown.Confidence)
	require.Contains(t, unknown.String(), "nothing is known of the sides")
	require.NotContains(t, unknown.String(), "95 %")
	told := volumeOf(t, surveyOf(t, basin, samples, walls), usual)
	require.NotNil(t, told.Interval)
	require.True(t, unknown.Bracket.Has(told.Volume))
	require.Greater(t, unknown.Bracket.Half(), 4*told.Interval.Half())

	// A waterline without any word of the floor.
	waterline := volumeOf(t, surveyOf(t, basin, samples, func(s *SurveySpec) { s.Sides = SidesBanks }), usual)
	require.Nil(t, waterline.Interval)
	require.Contains(t, waterline.String(), "the floor is not known")
}

// What is the same everywhere has a volume that arithmetic knows.
func TestVolumeOfEvenSludge(t *testing.T) {
	basin := rectangle(0, 0, simLong, simWide)
	for _, thickness := range []float64{0, 1e-6, 0.5, 2} {
		r := volumeOf(t, surveyOf(t, basin, gridOf(6, 4, func(x, y float64) float64 { return thickness }), walls), usual)
		require.InDelta(t, 6000*thickness, float64(r.Volume), 0.005*6000*thickness+7, "%g m", thickness)
		require.True(t, r.Interval.Low <= r.Volume && r.Volume <= r.Interval.High)
	}
	// 1 m draped over banks of 3 : 1, full where they rise above it: a frustum.
	r := volumeOf(t, surveyOf(t, basin, gridOf(6, 4, func(x, y float64) float64 { return min(1, banked(x, y)) }), overFloor), usual)
	frustum := (100*60 + 94*54 + 4*97*57) / 6.0
	require.InEpsilon(t, frustum, float64(r.Volume), 0.01)
	// 1 m over the deepest floor, level: the frustum between the floor and 1 m over it.
	r = volumeOf(t, surveyOf(t, basin, gridOf(12, 8, func(x, y float64) float64 { return max(0, banked(x, y)-2) }), overFloor), usual)
	frustum = (82*42 + 88*48 + 4*85*45) / 6.0
	require.InEpsilon(t, frustum, float64(r.Volume), 0.015)
	require.Greater(t, r.Banks[len(r.Banks)-1].Share, 0.9)
	require.Zero(t, r.Counts.OnFloor)
	require.Positive(t, r.Counts.Bare)
}

// The answer depends on the soundings, not on their order, nor on where the origin
// of the map lies or which way it is turned.
func TestVolumeInvariance(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	field := drawn("spherical")(r)
	var samples []geostat.Sample
	for range 24 {
		x, y := simLong*r.Float64(), simWide*r.Float64()
		samples = append(samples, sampleAt(x, y, min(field(x, y), banked(x, y))))
	}
	base := volumeOf(t, surveyOf(t, rectangle(0, 0, simLong, simWide), samples, overFloor), usual)
	shuffled := slices.Clone(samples)
	r.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
	again := volumeOf(t, surveyOf(t, rectangle(0, 0, simLong, simWide), shuffled, overFloor), usual)
	require.InEpsilon(t, float64(base.Volume), float64(again.Volume), 0.005)
	require.InEpsilon(t, float64(base.Interval.High), float64(again.Interval.High), 0.01)

	far := plane.Point{X: 450000, Y: 4.6e6}
	moved := slices.Clone(samples)
	for i := range moved {
		moved[i].At = plane.Point{X: moved[i].At.X + far.X, Y: moved[i].At.Y + far.Y}
	}
	s := surveyOf(t, rectangle(450000, 4.6e6, 450100, 4.6e6+60), moved, func(s *SurveySpec) {
		s.Sides = SidesBanks
		s.Floor = floorFunc(func(p plane.Point) units.Length { return units.Length(banked(float64(p.X-far.X), float64(p.Y-far.Y))) })
	})
	again = volumeOf(t, s, usual)
	require.InEpsilon(t, float64(base.Volume), float64(again.Volume), 0.005)
	require.InEpsilon(t, float64(base.Interval.Low), float64(again.Interval.Low), 0.01)

	turned := slices.Clone(samples)
	for i := range turned {
		turned[i].At = plane.Point{X: turned[i].At.Y, Y: turned[i].At.X}
	}
	s = surveyOf(t, rectangle(0, 0, simWide, simLong), turned, func(s *SurveySpec) {
		s.Sides = SidesBanks
		s.Floor = floorFunc(func(p plane.Point) units.Length { return units.Length(banked(float64(p.Y), float64(p.X))) })
	})
	again = volumeOf(t, s, usual)
	require.InEpsilon(t, float64(base.Volume), float64(again.Volume), 0.005)
}

type floorFunc func(p plane.Point) units.Length

func (f floorFunc) Depth(p plane.Point) (units.Length, bool) { return f(p), true }

// A polygon with an island has its own area, and lattice cells that straddle its
// edges count by what lies inside.
func TestVolumeOfPolygon(t *testing.T) {
	l := plane.Polygon{at(0, 0), at(80, 0), at(80, 30), at(30, 30), at(30, 70), at(0, 70)}
	island := rectangle(40, 10, 52, 19)
	var samples []geostat.Sample
	for x := 5.0; x < 80; x += 10 {
		for y := 5.0; y < 70; y += 10 {
			if p := at(x, y); l.Contains(p) && !island.Contains(p) {
				samples = append(samples, sampleAt(x, y, 1+x/100+y/200))
			}
		}
	}
	r := volumeOf(t, surveyOf(t, l, samples, walls, func(s *SurveySpec) { s.Islands = []plane.Polygon{island} }), usual)
	// A plane over the two rectangles less the island, by their centres.
	mean := func(x, y float64) float64 { return 1 + x/100 + y/200 }
	truth := 80*30*mean(40, 15) + 30*40*mean(15, 50) - 12*9*mean(46, 14.5)
	require.InEpsilon(t, truth, float64(r.Volume), 0.01)
	require.True(t, r.Interval.Has(units.Volume(truth)), "%v in %v", truth, r.Interval)
	require.InDelta(t, 80*30+30*40-12*9, float64(r.Area), 1e-9)
}

// Depths to the floor at the soundings stand in for drawings.
func TestVolumeFloorRead(t *testing.T) {
	spec := SurveySpec{Boundary: rectangle(0, 0, simLong, simWide), Sides: SidesBanks}
	truth := 0.0
	top := func(x, y float64) float64 { return min(banked(x, y), 1.2+0.3*math.Sin(x/20)) }
	for x := 0.25; x < simLong; x += 0.5 {
		for y := 0.25; y < simWide; y += 0.5 {
			truth += top(x, y) / 4
		}
	}
	for _, s := range gridOf(8, 6, top) {
		d := banked(float64(s.At.X), float64(s.At.Y))
		spec.Soundings = append(spec.Soundings, depths(float64(s.At.X), float64(s.At.Y), d-float64(s.Value), d))
	}
	s, err := NewSurvey(context.Background(), spec)
	require.NoError(t, err)
	r := volumeOf(t, s, usual)
	require.InEpsilon(t, truth, float64(r.Volume), 0.02)
	require.True(t, r.Interval.Has(units.Volume(truth)))
	for _, f := range r.Floors {
		require.InDelta(t, 3, f.Slope, 0.3)
		require.InDelta(t, 3, float64(f.Depth), 0.1)
	}
	even := SurfaceFunc(func(p plane.Point) (units.Length, bool) { return 1, true })
	v, err := SurfaceVolume(context.Background(), s, SurfaceVolumeSpec{Surface: even})
	require.NoError(t, err)
	require.InEpsilon(t, (100*60+94*54+4*97*57)/6.0, float64(v.Volume), 0.01, "a surface is cut at the floor that was read")
}

// The share of the banks and the notes say where the doubt comes from.
func TestVolumeSaysWhatToDoubt(t *testing.T) {
	field := drawn("spherical")(rand.New(rand.NewPCG(1, 1)))
	var samples []geostat.Sample
	for _, s := range gridOf(4, 3, field) {
		samples = append(samples, sampleAt(12+0.76*float64(s.At.X), 12+0.6*float64(s.At.Y), float64(s.Value)))
	}
	s := surveyOf(t, rectangle(0, 0, simLong, simWide), samples, overFloor)
	spec := VolumeSpec{Confidence: 0.95, Inlets: []plane.Point{at(1, 59), at(50, 30)}}
	open := volumeOf(t, s, spec)
	require.Greater(t, open.BanksShare, 0.5)
	require.Contains(t, open.String(), "two soundings half way down a bank")
	require.Equal(t, []plane.Point{at(1, 59)}, open.UnsoundedInlets)
	spec.BankRule = BankLevel
	level := volumeOf(t, s, spec)
	spec.BankRule = BankDraped
	draped := volumeOf(t, s, spec)
	require.InDelta(t, 0, level.BanksShare, 1e-9)
	require.Less(t, float64(level.Interval.Half()), 0.6*float64(open.Interval.Half()))
	require.Less(t, float64(level.Volume), float64(draped.Volume))
	require.True(t, open.Interval.Has(level.Volume) && open.Interval.Has(draped.Volume))
	var sum float64
	for _, b := range open.Banks {
		sum += b.Weight
	}
	require.InDelta(t, 1, sum, 1e-12)
	c := open.Counts
	require.Equal(t, c.Places, c.Free+c.OnFloor+c.Bare+c.AtWaterline)
}

func TestVolumeResultJSON(t *testing.T) {
	r := volumeOf(t, surveyOf(t, rectangle(0, 0, simLong, simWide), gridOf(6, 4, drawn("smooth")(rand.New(rand.NewPCG(1, 1)))), overFloor), usual)
	text, err := json.Marshal(r)
	require.NoError(t, err)
	var back VolumeResult
	require.NoError(t, json.Unmarshal(text, &back))
	require.Equal(t, r, back)
	require.Equal(t, r.Working(), back.Working(), "the working is made from the fields")
	var spec VolumeSpec
	require.NoError(t, strict.Decode([]byte(`{"confidence":0.9,"readingSD":"0.1 ft","bankRule":"level"}`), &spec))
	require.Equal(t, VolumeSpec{Confidence: 0.9, ReadingSD: 0.1 * units.Foot, BankRule: BankLevel}, spec)
}

// Readings that share an error along a track are no better than their tracks.
func TestVolumeSharedError(t *testing.T) {
	c := simCases()[slices.IndexFunc(simCases(), func(c simCase) bool { return c.name == "t-pile" })]
	s, _, err := c.survey(1800, rand.New(rand.NewPCG(1, 1)), false)
	require.NoError(t, err)
	alone := volumeOf(t, s, usual)
	shared := volumeOf(t, s, VolumeSpec{Confidence: 0.95, SharedSD: 0.03})
	// Six tracks of 0.03 m each: about 0.03/sqrt(6) over what is not cut.
	extra := math.Sqrt(float64(shared.SD)*float64(shared.SD) - float64(alone.SD)*float64(alone.SD))
	require.InEpsilon(t, 0.03/math.Sqrt(6)*6000, extra, 0.4)
	require.Positive(t, float64(alone.Counts.ThinnedBy))
}

func TestSlopedFloor(t *testing.T) {
	_, err := NewSlopedFloor(SlopedFloorSpec{Waterline: plane.Polygon{at(0, 0), at(1, 1)}, Slopes: []float64{1, -1, 101}, Depth: 0})
	require.Equal(t, []string{"waterline", "slopes", "slopes[1]", "slopes[2]", "depth"}, fields(err))
	f, err := NewSlopedFloor(SlopedFloorSpec{Waterline: rectangle(0, 0, 100, 60), Slopes: []float64{3}, Depth: 3})
	require.NoError(t, err)
	r := rand.New(rand.NewPCG(1, 1))
	for range 1000 {
		x, y := 120*r.Float64()-10, 80*r.Float64()-10
		d, ok := f.Depth(at(x, y))
		require.True(t, ok)
		require.InDelta(t, banked(x, y), float64(d), 1e-12)
	}
	each, err := NewSlopedFloor(SlopedFloorSpec{Waterline: rectangle(0, 0, 100, 60), Slopes: []float64{2, 0, 4, 1}, Depth: 3})
	require.NoError(t, err)
	for p, want := range map[plane.Point]float64{at(50, 2): 1, at(99.9, 30): 3, at(50, 58): 0.5, at(2, 30): 2} {
		d, _ := each.Depth(p)
		require.InDelta(t, want, float64(d), 1e-12)
	}
	// A corner that juts in: the bank runs round it.
	l, err := NewSlopedFloor(SlopedFloorSpec{Waterline: plane.Polygon{at(0, 0), at(80, 0), at(80, 30), at(30, 30), at(30, 70), at(0, 70)}, Slopes: []float64{2}, Depth: 3})
	require.NoError(t, err)
	d, _ := l.Depth(at(27, 26))
	require.InDelta(t, 2.5, float64(d), 1e-12)
	solid := SolidFloor{Solid: hollow{}, Liquid: 2}
	d, ok := solid.Depth(at(1, 0))
	require.True(t, ok)
	require.InDelta(t, 1.5, float64(d), 1e-12)
	d, _ = solid.Depth(at(9, 0))
	require.Zero(t, d)
	_, ok = SurfaceFloor{}.Depth(at(0, 0))
	require.False(t, ok)
}

// hollow is a solid whose floor rises by half a metre for each metre east.
type hollow struct{}

func (hollow) FloorAt(p plane.Point) (units.Length, bool) { return p.X / 2, true }

func TestSurfaceVolume(t *testing.T) {
	s := surveyOf(t, rectangle(0, 0, simLong, simWide), gridOf(3, 2, func(x, y float64) float64 { return 1 }), overFloor)
	r, err := SurfaceVolume(context.Background(), s, SurfaceVolumeSpec{Surface: SurfaceFunc(func(p plane.Point) (units.Length, bool) { return (p.X - 50) / 50, p.X < 90 })})
	require.NoError(t, err)
	require.InDelta(t, 1500, float64(r.BelowZero), 1)
	require.InDelta(t, 600, float64(r.Without), 1)
	require.Len(t, r.Notes, 2) // beyond x = 90, and up the banks
	require.InDelta(t, float64(r.Uncut+r.BelowZero-r.AtFloor), float64(r.Volume), 1e-9)
	require.Positive(t, float64(r.AtFloor))
	_, err = SurfaceVolume(context.Background(), s, SurfaceVolumeSpec{})
	require.Equal(t, []string{"surface"}, fields(err))
	_, err = SurfaceVolume(context.Background(), s, SurfaceVolumeSpec{Surface: &TIN{}, Spacing: -1})
	require.Equal(t, []string{"spacing"}, fields(err))
}

// Where the banks are open the next soundings are on the banks; the gain that was
// promised comes about when they are taken.
func TestNext(t *testing.T) {
	var promised, kept, onBanks float64
	const surveys = 12
	for seed := range uint64(surveys) {
		r := rand.New(rand.NewPCG(1, seed))
		field := drawn("spherical")(r)
		top := func(x, y float64) float64 { d := banked(x, y); return max(0, min(d, d-(3-field(x, y)))) }
		var samples []geostat.Sample
		for _, s := range gridOf(4, 3, func(x, y float64) float64 { return 0 }) {
			x, y := 9+0.82*float64(s.At.X), 9+0.7*float64(s.At.Y)
			samples = append(samples, sampleAt(x, y, top(x, y)))
		}
		s := surveyOf(t, rectangle(0, 0, simLong, simWide), samples, overFloor)
		next, err := Next(context.Background(), s, NextSpec{Volume: usual, Most: 6})
		require.NoError(t, err)
		require.Len(t, next.Places, 6)
		before := next.Volume.SD
		for _, p := range next.Places {
			require.LessOrEqual(t, p.SD, before)
			before = p.SD
			x, y := float64(p.At.X), float64(p.At.Y)
			samples = append(samples, sampleAt(x, y, top(x, y)))
		}
		if first := next.Places[0].At; banked(float64(first.X), float64(first.Y)) < 2.9 {
			onBanks++
		}
		after := volumeOf(t, surveyOf(t, rectangle(0, 0, simLong, simWide), samples, overFloor), usual)
		promised += next.Places[5].Narrower / surveys
		kept += (1 - float64(after.Interval.Half()/next.Volume.Interval.Half())) / surveys
	}
	t.Logf("promised %.2f, kept %.2f, on the banks %.0f of %d", promised, kept, onBanks, surveys)
	require.Greater(t, onBanks, 0.8*surveys)
	require.InDelta(t, promised, kept, 0.2)
}

func TestNextNeeded(t *testing.T) {
	s := surveyOf(t, rectangle(0, 0, simLong, simWide), gridOf(4, 3, drawn("spherical")(rand.New(rand.NewPCG(1, 1)))), walls)
	now := volumeOf(t, s, usual)
	r, err := Next(context.Background(), s, NextSpec{Volume: usual, Most: 1, HalfWidth: now.Interval.Half() * 0.8})
	require.NoError(t, err)
	require.True(t, r.Reached)
	require.Greater(t, r.Needed, 1)
	require.Len(t, r.Places, 1)
	r, err = Next(context.Background(), s, NextSpec{Volume: usual, Most: 1, HalfWidth: now.Interval.Half() * 2})
	require.NoError(t, err)
	require.True(t, r.Reached)
	require.Zero(t, r.Needed)
	r, err = Next(context.Background(), s, NextSpec{Volume: usual, Most: 3, HalfWidth: 1e-6})
	require.NoError(t, err)
	require.False(t, r.Reached)
	require.Zero(t, r.Needed)
	one, err := Next(context.Background(), s, NextSpec{Volume: usual, Most: 1, Candidates: []plane.Point{at(1, 1)}})
	require.NoError(t, err)
	require.Equal(t, at(1, 1), one.Places[0].At)
	_, err = Next(context.Background(), s, NextSpec{Candidates: []plane.Point{at(-1, 1)}, HalfWidth: -1})
	require.Equal(t, []string{"volume.confidence", "candidates[0]", "most", "halfWidth"}, fields(err))
}

// The change between two surveys at other places: intervals of 95 % hold it, and are
// narrower than the two volumes taken apart where the fields are alike.
func TestDifference(t *testing.T) {
	if testing.Short() {
		t.Skip("a simulation")
	}
	const surveys = 40
	held, together, apart := 0, 0.0, 0.0
	for seed := range uint64(surveys) {
		r := rand.New(rand.NewPCG(2, seed))
		field := drawn("spherical")(r)
		sound := func(more float64) *Survey {
			var samples []geostat.Sample
			for range 24 {
				x, y := simLong*r.Float64(), simWide*r.Float64()
				samples = append(samples, sampleAt(x, y, field(x, y)+more))
			}
			return surveyOf(t, rectangle(0, 0, simLong, simWide), samples, walls)
		}
		d, err := Difference(context.Background(), DifferenceSpec{Before: sound(0), After: sound(0.25), Volume: usual})
		require.NoError(t, err)
		if d.Interval.Has(0.25 * 6000) {
			held++
		}
		together += float64(d.Interval.Half())
		apart += math.Hypot(float64(d.Before.Interval.Half()), float64(d.After.Interval.Half()))
	}
	t.Logf("held %d of %d; width %.2f of that of two volumes apart", held, surveys, together/apart)
	require.GreaterOrEqual(t, held, 35)
	require.Less(t, together, 0.8*apart)
	_, err := Difference(context.Background(), DifferenceSpec{})
	require.Equal(t, []string{"before", "after"}, fields(err))
	one := surveyOf(t, rectangle(0, 0, 9, 9), gridOf(1, 1, func(x, y float64) float64 { return 1 }))
	other := surveyOf(t, rectangle(0, 0, 9, 8), gridOf(1, 1, func(x, y float64) float64 { return 1 }))
	_, err = Difference(context.Background(), DifferenceSpec{Before: one, After: other, Volume: usual})
	require.Equal(t, []string{"after"}, fields(err))
	d, err := Difference(context.Background(), DifferenceSpec{Before: one, After: one, Volume: usual})
	require.NoError(t, err)
	require.Nil(t, d.Interval)
	require.NotEmpty(t, d.Notes)
}

// Contents against what simulated volumes and samples give.
func TestContents(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	held := 0
	const trials = 2000
	for range trials {
		spec := ContentsSpec{Volume: units.Volume(1000 + 60*r.NormFloat64()), SD: 60, Confidence: 0.95}
		for range 5 {
			spec.Samples = append(spec.Samples, units.Concentration(80+8*r.NormFloat64()))
		}
		c, err := Contents(spec)
		require.NoError(t, err)
		if c.Interval.Has(80000) {
			held++
		}
	}
	require.InDelta(t, 0.95, float64(held)/trials, 0.015)
	_, err := Contents(ContentsSpec{SD: -1, Samples: []units.Concentration{-1}})
	require.Equal(t, []string{"volume", "sd", "samples", "samples[0]", "confidence"}, fields(err))
	zero, err := Contents(ContentsSpec{Volume: 1, Samples: []units.Concentration{0, 0}, Confidence: 0.9})
	require.NoError(t, err)
	require.Zero(t, zero.Interval.High)
}

// A volume, the places to sound next, a change and contours end with their context.
func TestContextEndsVolumes(t *testing.T) {
	s := surveyOf(t, rectangle(0, 0, 60, 40), rounded(16), overFloor)
	tin := tinOf(t, s, EdgeNearest)
	spec := VolumeSpec{Confidence: 0.95}
	volume := func(ctx context.Context) (any, error) { return VolumeWithInterval(ctx, s, spec) }
	whole, err := volume(context.Background())
	require.NoError(t, err)
	for name, run := range map[string]func(ctx context.Context) (any, error){
		"volume": volume,
		"next":   func(ctx context.Context) (any, error) { return Next(ctx, s, NextSpec{Volume: spec, Most: 2}) },
		"difference": func(ctx context.Context) (any, error) {
			return Difference(ctx, DifferenceSpec{Before: s, After: s, Volume: spec})
		},
		"surface volume": func(ctx context.Context) (any, error) { return SurfaceVolume(ctx, s, SurfaceVolumeSpec{Surface: tin}) },
		"contours": func(ctx context.Context) (any, error) {
			return SurfaceContours(ctx, s, tin, ContourSpec{Levels: []units.Length{1}, Spacing: 2})
		},
		"squares and strip": func(ctx context.Context) (any, error) {
			q, err := newQuilt(ctx, s, mesh.Lattice{Cols: 6, Rows: 4, DX: 10, DY: 10})
			if err != nil {
				return nil, err
			}
			return q, nil
		},
	} {
		// Asked so often, the context ends: wherever that falls there is no half answer.
		for _, times := range []int64{0, 1, 3, 20, 60, 200} {
			ctx := &endsAfter{Context: context.Background()}
			ctx.left.Store(times)
			got, err := run(ctx)
			if err == nil {
				require.Positive(t, times, name)
				continue
			}
			require.ErrorIs(t, err, context.Canceled, name)
			require.Zero(t, got, name)
		}
	}
	again, err := volume(context.Background())
	require.NoError(t, err)
	require.Equal(t, whole, again)
}

// endsAfter is a context that is done once it was asked a number of times.
type endsAfter struct {
	context.Context
	left atomic.Int64
}

func (c *endsAfter) Err() error {
	if c.left.Add(-1) < 0 {
		return context.Canceled
	}
	return nil
}

// A mass by hand: the exact variance of a product, the degrees of freedom of Satterthwaite
// and an interval that is symmetric on the logarithm, with the mean of the mass as its own.
func TestContentsByHand(t *testing.T) {
	r, err := Contents(ContentsSpec{Volume: 2000, SD: 150, Samples: []units.Concentration{70, 76, 81, 93}, Confidence: 0.9})
	require.NoError(t, err)
	const c = (70 + 76 + 81 + 93) / 4.0
	s2 := ((70-c)*(70-c) + (76-c)*(76-c) + (81-c)*(81-c) + (93-c)*(93-c)) / 3 / 4 // of the mean
	variance := 2000*2000*s2 + c*c*150*150 + s2*150*150
	require.InDelta(t, 2000*c, float64(r.Mass), 1e-9)
	require.InDelta(t, c, float64(r.Mean), 1e-12)
	require.InDelta(t, math.Sqrt(s2), float64(r.MeanSD), 1e-12)
	require.InEpsilon(t, math.Sqrt(variance), float64(r.SD), 1e-12)
	a := c * c * 150 * 150 / variance
	require.InEpsilon(t, a, r.VolumeShare, 1e-12)
	df := 1 / (a*a/60 + (1-a)*(1-a)/3)
	require.InEpsilon(t, df, r.DF, 1e-12)
	l := math.Log(1 + variance/(2000*2000*c*c))
	half := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile(0.95) * math.Sqrt(l)
	require.InEpsilon(t, 2000*c*math.Exp(-l/2-half), float64(r.Interval.Low), 1e-9)
	require.InEpsilon(t, 2000*c*math.Exp(-l/2+half), float64(r.Interval.High), 1e-9)
	require.Equal(t, 0.9, r.Confidence)
	sure, err := Contents(ContentsSpec{Volume: 2000, Samples: []units.Concentration{70, 70}, Confidence: 0.9})
	require.NoError(t, err)
	require.Equal(t, units.Point(units.Mass(140000)), sure.Interval)
	require.Zero(t, sure.SD)
}

// A surface is summed over about 10,000 cells when no spacing is told, cut at zero and at
// the floor cell by cell, and the note says what lies higher than any top that was read.
func TestSurfaceVolumeByHand(t *testing.T) {
	s := surveyOf(t, rectangle(0, 0, simLong, simWide), gridOf(3, 2, func(x, y float64) float64 { return 1 }), overFloor)
	flat := SurfaceFunc(func(plane.Point) (units.Length, bool) { return 1, true })
	r, err := SurfaceVolume(t.Context(), s, SurfaceVolumeSpec{Surface: flat})
	require.NoError(t, err)
	require.InDelta(t, 10000, r.Cells, 400)
	require.InDelta(t, math.Sqrt(0.6), float64(r.Spacing), 1e-12)
	require.InDelta(t, 6000, float64(r.Area), 1e-9)
	wavy := SurfaceFunc(func(p plane.Point) (units.Length, bool) { return units.Length(1.5 * math.Sin(float64(p.X)/7)), true })
	r, err = SurfaceVolume(t.Context(), s, SurfaceVolumeSpec{Surface: wavy, Spacing: 2})
	require.NoError(t, err)
	require.Equal(t, 50*30, r.Cells)
	require.Equal(t, 2*units.Metre, r.Spacing)
	var uncut, below, above, cut, volume float64
	for i := range 50 {
		for j := range 30 {
			x, y := 1+2*float64(i), 1+2*float64(j)
			z, d := 1.5*math.Sin(x/7), banked(x, y)
			uncut += 4 * z
			volume += 4 * max(0, min(z, d))
			below += 4 * max(0, -z)
			above += 4 * max(0, z-d)
			if z < 0 || z > d {
				cut += 4
			}
		}
	}
	require.InDelta(t, uncut, float64(r.Uncut), 1e-6)
	require.InDelta(t, volume, float64(r.Volume), 1e-6)
	require.InDelta(t, below, float64(r.BelowZero), 1e-6)
	require.InDelta(t, above, float64(r.AtFloor), 1e-6)
	require.InDelta(t, cut, float64(r.CutArea), 1e-6)
	// A depth that a basin could just have.
	for z, ok := range map[units.Length]bool{maxDepth: true, -maxDepth: true, maxDepth + 1: false} {
		_, err := SurfaceVolume(t.Context(), s, SurfaceVolumeSpec{Surface: SurfaceFunc(func(plane.Point) (units.Length, bool) { return z, true })})
		require.Equal(t, ok, err == nil, "%v", z)
	}

	// Tops at most 0.6 m below the liquid were read; a surface that fills the banks to the
	// liquid has its upper 0.6 m from nowhere.
	deep := surveyOf(t, rectangle(0, 0, simLong, simWide), []geostat.Sample{sampleAt(50, 30, 2.4), sampleAt(20, 30, 2.1)}, overFloor)
	full := SurfaceFunc(func(p plane.Point) (units.Length, bool) {
		return units.Length(banked(float64(p.X), float64(p.Y))), true
	})
	r, err = SurfaceVolume(t.Context(), deep, SurfaceVolumeSpec{Surface: full, Spacing: 1})
	require.NoError(t, err)
	var over float64
	for i := range 100 {
		for j := range 60 {
			over += min(0.6, banked(0.5+float64(i), 0.5+float64(j)))
		}
	}
	require.Len(t, r.Notes, 1)
	require.Contains(t, r.Notes[0].String(), fmt.Sprintf("%.0f %% of it lies on the banks", 100*over/float64(r.Volume)))
}
