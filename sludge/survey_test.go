package sludge

import (
	"context"
	"encoding/json"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/units/strict"
)

func at(x, y float64) plane.Point { return plane.Point{X: units.Length(x), Y: units.Length(y)} }

func rectangle(x0, y0, x1, y1 float64) plane.Polygon {
	return plane.Polygon{at(x0, y0), at(x1, y0), at(x1, y1), at(x0, y1)}
}

func depths(x, y, toSludge, toFloor float64) Sounding {
	return Sounding{At: at(x, y), ToSludge: new(units.Length(toSludge)), ToFloor: new(units.Length(toFloor))}
}

func core(x, y, thickness float64) Sounding {
	return Sounding{At: at(x, y), Thickness: new(units.Length(thickness))}
}

func TestSurveyFaults(t *testing.T) {
	negative := depths(1, 1, 3, 2)
	negative.Name = "P7"
	both := depths(1, 2, 1, 2)
	both.Thickness = new(1 * units.Metre)
	spec := SurveySpec{
		Boundary: rectangle(0, 0, 10, 10),
		Soundings: []Sounding{
			negative, both, {At: at(2, 2)}, {At: at(3, 3), ToSludge: new(1 * units.Metre)},
			core(20, 5, 1), core(5, 5, 1), core(5, 5, 2), core(math.NaN(), 5, math.Inf(1)), depths(4, 4, -1, 2),
		},
	}
	_, err := NewSurvey(context.Background(), spec)
	var fields []string
	for _, e := range units.FieldErrors(err) {
		fields = append(fields, e.Field)
	}
	require.Equal(t, []string{
		"soundings[0].toFloor", "soundings[1].thickness", "soundings[2].toSludge", "soundings[2].toFloor",
		"soundings[3].toFloor", "soundings[4].at", "soundings[6].at", "soundings[7].at.x", "soundings[7].thickness",
		"soundings[8].toSludge",
	}, fields)
	require.ErrorContains(t, err, "at P7", "the sounding is named")
}

func TestSurveySpecFaults(t *testing.T) {
	one := []Sounding{core(1, 1, 1)}
	box := rectangle(0, 0, 10, 10)
	for name, c := range map[string]struct {
		spec  SurveySpec
		field string
	}{
		"nothing":             {SurveySpec{}, "boundary"},
		"no soundings":        {SurveySpec{Boundary: box}, "soundings"},
		"bow tie":             {SurveySpec{Boundary: plane.Polygon{at(0, 0), at(1, 1), at(1, 0), at(0, 1)}, Soundings: one}, "boundary[2]"},
		"island outside":      {SurveySpec{Boundary: box, Islands: []plane.Polygon{rectangle(20, 0, 21, 1)}, Soundings: one}, "islands[0]"},
		"island on the edge":  {SurveySpec{Boundary: box, Islands: []plane.Polygon{rectangle(0, 2, 1, 3)}, Soundings: one}, "islands[0][0]"},
		"island in island":    {SurveySpec{Boundary: box, Islands: []plane.Polygon{rectangle(2, 2, 8, 8), rectangle(3, 3, 4, 4)}, Soundings: one}, "islands[1]"},
		"duplicates":          {SurveySpec{Boundary: box, Soundings: one, Duplicates: 7}, "duplicates"},
		"outside":             {SurveySpec{Boundary: box, Soundings: one, Outside: -1}, "outside"},
		"tolerance":           {SurveySpec{Boundary: box, Soundings: one, FloorTolerance: -1}, "floorTolerance"},
		"reference, no level": {SurveySpec{Boundary: box, Soundings: one, ReferenceLevel: new(units.Length(1))}, "levels"},
		"level without time":  {SurveySpec{Boundary: box, Soundings: one, Levels: []LevelReading{{}}}, "levels[0].time"},
		"all outside":         {SurveySpec{Boundary: box, Soundings: []Sounding{core(11, 1, 1)}, Outside: OutsideDrop}, "soundings"},
		"far away":            {SurveySpec{Boundary: rectangle(0, 0, 1e300, 1), Soundings: one}, "boundary[1].x"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := NewSurvey(context.Background(), c.spec)
			list := units.FieldErrors(err)
			require.NotEmpty(t, list)
			require.Equal(t, c.field, list[0].Field)
		})
	}
}

// The liquid drops 0.2 m while sounding: depths are brought to the first level,
// thickness does not notice.
func TestSurveyLevels(t *testing.T) {
	start := time.Date(2026, 5, 4, 8, 0, 0, 0, time.UTC)
	early, late := depths(1, 1, 1.0, 3.0), Sounding{At: at(2, 2), ToSludge: new(0.9 * units.Metre)}
	early.Time, late.Time = start.Add(time.Hour), start.Add(2*time.Hour)
	spec := SurveySpec{
		Boundary:  rectangle(0, 0, 10, 10),
		Soundings: []Sounding{early, late},
		Levels:    []LevelReading{{start, 5}, {start.Add(2 * time.Hour), 4.8}},
		Floor:     FlatFloor(3.1),
	}
	s, err := NewSurvey(context.Background(), spec)
	require.NoError(t, err)
	got := s.Readings()
	require.InDelta(t, 2.0, float64(got[0].Thickness), 1e-12)
	require.InDelta(t, 1.1, float64(got[0].ToSludge), 1e-12)
	require.False(t, got[0].FloorAssumed)
	require.InDelta(t, 1.1, float64(got[1].ToSludge), 1e-12)
	require.InDelta(t, 2.0, float64(got[1].Thickness), 1e-12)
	require.True(t, got[1].FloorAssumed)

	spec.ReferenceLevel = new(4.8 * units.Metre)
	s, err = NewSurvey(context.Background(), spec)
	require.NoError(t, err)
	require.InDelta(t, 0.9, float64(s.Readings()[1].ToSludge), 1e-12)

	spec.Soundings[1].Time = start.Add(3 * time.Hour)
	spec.Soundings[0].LevelRise = 0.1
	_, err = NewSurvey(context.Background(), spec)
	require.ErrorContains(t, err, "soundings[0].levelRise")
	require.ErrorContains(t, err, "soundings[1].time")

	spec.Levels = nil
	spec.ReferenceLevel = nil
	s, err = NewSurvey(context.Background(), spec)
	require.NoError(t, err)
	require.InDelta(t, 0.9, float64(s.Readings()[0].ToSludge), 1e-12)
}

func TestSurveyAssumedFloor(t *testing.T) {
	spec := SurveySpec{
		Boundary:  rectangle(0, 0, 10, 10),
		Soundings: []Sounding{{At: at(1, 1), ToSludge: new(3.05 * units.Metre)}, {At: at(2, 1), ToSludge: new(1 * units.Metre)}},
		Floor:     FlatFloor(3),
	}
	_, err := NewSurvey(context.Background(), spec)
	require.ErrorContains(t, err, "soundings[0].toSludge")
	spec.FloorTolerance = 0.1
	s, err := NewSurvey(context.Background(), spec)
	require.NoError(t, err)
	require.Equal(t, []units.Length{0, 2}, s.Thicknesses())
	require.Equal(t, 1, s.SetToZero())
}

func TestSurveyRules(t *testing.T) {
	spec := SurveySpec{
		Boundary:   rectangle(0, 0, 10, 10),
		Islands:    []plane.Polygon{rectangle(4, 4, 6, 6)},
		Soundings:  []Sounding{core(1, 1, 1), core(1, 1, 2), core(5, 5, 9), core(4, 5, 3), core(1, 1, 6)},
		Duplicates: DuplicatesMean,
		Outside:    OutsideDrop,
	}
	s, err := NewSurvey(context.Background(), spec)
	require.NoError(t, err)
	require.Equal(t, 96*units.SquareMetre, s.Area())
	require.Equal(t, []units.Length{3, 3}, s.Thicknesses())
	require.Equal(t, 3, s.Readings()[0].Merged)
	require.Equal(t, 1, s.Dropped())

	spec.Outside = OutsideKeep
	s, err = NewSurvey(context.Background(), spec)
	require.NoError(t, err)
	require.Equal(t, 3, s.N())
	require.True(t, s.Readings()[1].Outside)
}

// Nodes add up to the area and reproduce the integral of a plane, for a concave
// boundary with an island that no cell fits.
func TestNodes(t *testing.T) {
	spec := SurveySpec{
		Boundary:  plane.Polygon{at(0, 0), at(30, 2), at(28, 19), at(17, 6), at(9, 23)},
		Islands:   []plane.Polygon{{at(5, 5), at(9, 5), at(7, 8)}},
		Soundings: []Sounding{core(1, 1, 1)},
	}
	s, err := NewSurvey(context.Background(), spec)
	require.NoError(t, err)
	want := 0.0
	for _, r := range s.rings {
		c := r.Centroid()
		want += float64(r.SignedArea()) * (3 + 2*float64(c.X) - 5*float64(c.Y))
	}
	for _, spacing := range []units.Length{0.7, 2, 11, 100} {
		nodes, err := s.Nodes(spacing)
		require.NoError(t, err)
		area, sum := 0.0, 0.0
		for _, n := range nodes {
			area += float64(n.Area)
			sum += float64(n.Area) * (3 + 2*float64(n.At.X) - 5*float64(n.At.Y))
		}
		require.InEpsilon(t, float64(s.Area()), area, 1e-12)
		require.InEpsilon(t, want, sum, 1e-10)
	}
	for _, spacing := range []units.Length{0, -1, 1e-9, units.Length(math.NaN())} {
		_, err := s.Nodes(spacing)
		require.Error(t, err)
	}
}

// A sounding whose place was left out does not lie at the origin, which is often a
// corner of the basin.
func TestSoundingInJSON(t *testing.T) {
	for text, want := range map[string][]string{
		`{"at":{"x":"0 ft","y":"0 ft"},"thickness":"2 ft"}`:               nil,
		`{"thickness":"2 ft"}`:                                            {"soundings[0].at"},
		`{"at":{"x":"3 ft"},"thickness":"2 ft"}`:                          {"soundings[0].at.y"},
		`{"thickness":2,"colour":"brown"}`:                                {"soundings[0].thickness", "soundings[0].colour", "soundings[0].at"},
		`{"at":{"x":"1 m","y":"1 m"},"time":"2026-04-01T08:00:00+02:00"}`: nil,
	} {
		var spec SurveySpec
		text = `{"soundings":[` + text + `]}`
		err := strict.Decode([]byte(text), &spec)
		var got []string
		for _, f := range units.FieldErrors(err) {
			got = append(got, f.Field)
		}
		require.Equal(t, want, got, text)
		var again SurveySpec
		require.Equal(t, err == nil, json.Unmarshal([]byte(text), &again) == nil, text)
		if err == nil {
			require.Equal(t, spec, again)
			back, err := json.Marshal(spec.Soundings)
			require.NoError(t, err)
			require.NoError(t, json.Unmarshal(back, &again.Soundings))
			require.Equal(t, spec, again)
		}
	}
}

// TestLargeBoundary: a boundary of 100,000 corners is read, soundings in it are found,
// and it has a grid and nodes whose areas are its own.
func TestLargeBoundary(t *testing.T) {
	const corners = 100000
	var ring plane.Polygon
	for i := range corners {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / corners)
		r := 50 + 1e-3*float64(i%2)
		ring = append(ring, at(r*cos, r*sin))
	}
	spec := SurveySpec{Boundary: ring, Outside: OutsideDrop}
	for i := range 10000 {
		spec.Soundings = append(spec.Soundings, core(-60+1.2*float64(i%100), -60+1.2*float64(i/100), 1))
	}
	s, err := NewSurvey(context.Background(), spec)
	require.NoError(t, err)
	require.InDelta(t, 10000*math.Pi*2500/(120*120), float64(s.N()), 60)
	require.Equal(t, 10000, s.N()+s.Dropped())
	nodes, err := s.Nodes(5)
	require.NoError(t, err)
	var area units.Area
	for _, n := range nodes {
		area += n.Area
	}
	require.InEpsilon(t, float64(s.Area()), float64(area), 1e-9)
	g, err := SurfaceGrid(context.Background(), s, SurfaceFunc(func(plane.Point) (units.Length, bool) { return 1, true }), GridSpec{Columns: 100, Rows: 100})
	require.NoError(t, err)
	require.InDelta(t, 7854, float64(len(g.inside())), 40)
}

// TestManyIslands: thousands that overlap give a page of faults, not a book.
func TestManyIslands(t *testing.T) {
	spec := SurveySpec{Boundary: rectangle(0, 0, 100, 100), Soundings: []Sounding{NewSounding(90, 90, 1)}}
	for i := range 2000 {
		x := 1 + 0.01*float64(i)
		spec.Islands = append(spec.Islands, rectangle(x, 5, x+30, 40))
	}
	_, err := NewSurvey(context.Background(), spec)
	require.Len(t, units.FieldErrors(err), 20)
	require.Less(t, len(err.Error()), 5000)
}

// Told the slope of their banks, islands are part of the floor that a survey is cut at,
// whatever that floor is; inside they have none.
func TestIslandsHaveBanks(t *testing.T) {
	spec := SurveySpec{
		Boundary: rectangle(0, 0, 60, 40), Islands: []plane.Polygon{rectangle(20, 15, 30, 25)}, IslandSlope: 2,
		Sides: SidesVertical, Floor: FlatFloor(3),
		Soundings: []Sounding{{At: at(33, 20), ToSludge: new(units.Length(1))}, {At: at(10, 20), ToSludge: new(units.Length(1))}},
	}
	s, err := NewSurvey(context.Background(), spec)
	require.NoError(t, err)
	require.InDeltaSlice(t, []float64{0.5, 2}, []float64{float64(s.Thicknesses()[0]), float64(s.Thicknesses()[1])}, 1e-12)
	for p, want := range map[plane.Point]float64{at(25, 20): 0, at(31, 20): 0.5, at(33, 29): 2.5, at(5, 5): 3} {
		d, ok := s.Floor().Depth(p)
		require.True(t, ok)
		require.InDelta(t, want, float64(d), 1e-12)
	}
	// Full to the liquid it holds what the basin does: 3 m less the island and its banks,
	// a frustum with rounded corners.
	full, err := SurfaceVolume(context.Background(), s, SurfaceVolumeSpec{Surface: SurfaceFunc(func(plane.Point) (units.Length, bool) { return 9, true }), Spacing: 0.5})
	require.NoError(t, err)
	banks := 40*3*6/2.0 + math.Pi*6*6*3/3
	require.InEpsilon(t, 3*2300-banks, float64(full.Volume), 1e-3)
	spec.IslandSlope = 101
	_, err = NewSurvey(context.Background(), spec)
	require.Equal(t, []string{"islandSlope"}, fields(err))
}

// Soundings that are dropped as outside need no floor there.
func TestDroppedNeedNoFloor(t *testing.T) {
	box := SurfaceFloor{SurfaceFunc(func(p plane.Point) (units.Length, bool) { return 3, p.X <= 10 })}
	spec := SurveySpec{Boundary: rectangle(0, 0, 10, 10), Floor: box, Outside: OutsideDrop,
		Soundings: []Sounding{{At: at(12, 1), ToSludge: new(units.Length(1))}, {At: at(2, 1), ToSludge: new(units.Length(1))}}}
	s, err := NewSurvey(context.Background(), spec)
	require.NoError(t, err)
	require.Equal(t, 1, s.Dropped())
	spec.Outside = OutsideKeep
	_, err = NewSurvey(context.Background(), spec)
	require.Equal(t, []string{"soundings[0].toFloor"}, fields(err))
}
