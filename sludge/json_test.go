package sludge

import (
	"context"
	"encoding/json"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/evidence"
	"example.org/earthbasin/units/plane"
)

// Every spec and result survives JSON, and shows no US unit to who asks for metric ones.
func TestJSON(t *testing.T) {
	seen := evidence.Trips{}
	ctx := t.Context()
	edge := rectangle(0, 0, simLong, simWide)
	samples := gridOf(6, 4, drawn("smooth")(rand.New(rand.NewPCG(1, 1))))
	s := surveyOf(t, edge, samples, overFloor)
	later := surveyOf(t, edge, gridOf(5, 5, drawn("smooth")(rand.New(rand.NewPCG(2, 1)))), overFloor)
	blind := surveyOf(t, edge, samples)
	few := surveyOf(t, edge, samples[:2])
	walled := surveyOf(t, edge, samples, walls)
	const usual = `{"confidence":0.95}`

	for _, of := range []*Survey{s, blind, few, walled} {
		evidence.RoundTrip(t, seen, func(spec VolumeSpec) (VolumeResult, error) { return VolumeWithInterval(ctx, of, spec) },
			`{"confidence":0.95,"inlets":[{"x":"0 m","y":"0 m"}]}`)
	}
	evidence.RoundTrip(t, seen, func(spec NextSpec) (NextResult, error) { return Next(ctx, s, spec) }, `{"volume":`+usual+`,"most":2,"halfWidth":"1000 m3"}`)
	evidence.RoundTrip(t, seen, func(spec DifferenceSpec) (DifferenceResult, error) {
		spec.Before, spec.After = s, later
		return Difference(ctx, spec)
	}, `{"volume":`+usual+`}`)
	evidence.RoundTrip(t, seen, func(spec SurfaceVolumeSpec) (SurfaceVolumeResult, error) {
		spec.Surface = tinOf(t, s, EdgeNearest)
		return SurfaceVolume(ctx, s, spec)
	}, `{"spacing":"3 m"}`)
	evidence.RoundTrip(t, seen, func(spec MeanVolumeSpec) (MeanVolumeResult, error) { return MeanVolume(ctx, s, spec) }, `{"bankRule":"level","weighting":"area","confidence":0.95}`)
	evidence.RoundTrip(t, seen, Contents, `{"volume":"1000 yd3","sd":"50 yd3","samples":["5 lb/kgal","6 lb/kgal"],"confidence":0.95}`)
	evidence.RoundTrip(t, seen, s.Gaps, `{"candidates":null,"most":3,"within":"0 m"}`)
	evidence.RoundTrip(t, seen, TreatmentZone, `{"maxToPresent":"1 ft","maxToMin":"3 ft","toFloor":"9 ft","toSludge":"5 ft","allowed":0.5}`)
	evidence.RoundTrip(t, seen, Accumulation, `{"thickness":"3 ft","liquidZone":"4 ft","age":"3650 day","ahead":"365 day"}`)
	evidence.RoundTrip(t, seen, func(spec TINSpec) (TINVolume, error) {
		tin, err := NewTIN(context.Background(), s, spec)
		return tin.Volume(), err
	}, `{"edge":"nearest"}`)
	evidence.RoundTrip(t, seen, func(level units.Length) (LevelResult, error) { return tinOf(t, s, EdgeNearest).Split(level) }, `"1 ft"`)
	evidence.RoundTrip(t, seen, func(spec IDWSpec) (units.Length, error) {
		w, err := NewIDW(s, spec)
		z, _ := w.At(at(3, 4))
		return z, err
	}, `{"power":2}`)
	grid := func(spec GridSpec) (units.Range[units.Length], error) {
		g, err := tinOf(t, s, EdgeNearest).Grid(ctx, spec)
		r, _ := g.Range()
		return r, err
	}
	evidence.RoundTrip(t, seen, grid, `{"spacing":"5 m"}`)
	evidence.RoundTrip(t, seen, grid, `{"columns":3,"rows":2}`)
	evidence.RoundTrip(t, seen, func(spec ContourSpec) (*Contours, error) {
		return SurfaceContours(ctx, s, tinOf(t, s, EdgeNearest), spec)
	}, `{"levels":["1 ft","2 ft"],"spacing":"5 m"}`)
	evidence.RoundTrip(t, seen, func(spec SlopedFloorSpec) (units.Length, error) {
		f, err := NewSlopedFloor(spec)
		d, _ := f.Depth(at(20, 20))
		return d, err
	}, `{"waterline":[{"x":"0 m","y":"0 m"},{"x":"60 m","y":"0 m"},{"x":"60 m","y":"40 m"}],"slopes":[3],"depth":"9 ft"}`)
	evidence.RoundTrip(t, seen, func(spec TangentPlaneSpec) (plane.Point, error) {
		p, err := NewTangentPlane(spec)
		require.NoError(t, err)
		return p.Local(LonLat{-90, 40.1})
	}, `{"origin":{"lon":-90,"lat":40}}`)
	survey, err := json.Marshal(SurveySpec{Boundary: edge, Sides: SidesVertical, Soundings: []Sounding{core(1, 1, 2), depths(3, 3, 1, 2)}})
	require.NoError(t, err)
	evidence.RoundTrip(t, seen, func(spec SurveySpec) (shown, error) {
		s, err := NewSurvey(context.Background(), spec)
		return shown{s.Working()}, err
	}, string(survey))
	require.Equal(t, []string{"GeoJSONSpec"}, seen.Untried(t, "example.org/earthbasin/sludge")) // of a plane, a survey and contours
}

// shown is a working as a result.
type shown struct{ Lines units.Working }

func (s shown) Working() units.Working { return s.Lines }

// Faults and notes are shown in the units that are asked for, too.
func TestMetricFaultsAndNotes(t *testing.T) {
	style := units.Style{System: units.SystemMetric}
	edge := rectangle(0, 0, 9, 9)
	for _, spec := range []SurveySpec{
		{Boundary: edge, Soundings: []Sounding{core(20, 20, 1)}},
		{Boundary: edge, Soundings: []Sounding{core(1, 1, 1), core(1, 1, 2)}},
		{Boundary: edge, Soundings: []Sounding{depths(1, 1, 3, 2)}},
		{Boundary: edge, Floor: FlatFloor(2), Soundings: []Sounding{{At: at(1, 1), Name: "B", ToSludge: new(units.Length(3))}}},
		{Boundary: edge, Soundings: []Sounding{{At: at(1, 1), ToSludge: new(units.Length(-3))}}},
	} {
		_, err := NewSurvey(context.Background(), spec)
		require.Error(t, err)
		require.NotRegexp(t, `[0-9] (ft|in|yd3|gal)\b`, style.Faults(err))
	}
	r := volumeOf(t, surveyOf(t, edge, rounded(2)), VolumeSpec{Confidence: 0.9, Inlets: []plane.Point{at(9, 9)}})
	for _, n := range r.Notes {
		require.NotRegexp(t, `[0-9] (ft|in|yd3|gal)\b`, style.Phrase(n))
	}
}
