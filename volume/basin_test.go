package volume

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/units/strict"
	"example.org/earthbasin/volume/internal/plantest"
)

func TestBasinsThatNobodyMade(t *testing.T) {
	for _, b := range []Basin{nil, (*Rectangular)(nil), (*Circular)(nil), (*Polygon)(nil), (*Surveyed)(nil), (*Floor)(nil)} {
		_, err := HeightFor(b, 1)
		plantest.RequireFields(t, err, "basin")
		_, err = StageStorage(StageStorageSpec{Basin: b, Step: 1})
		plantest.RequireFields(t, err, "basin")
	}
	for _, b := range []Basin{&Rectangular{}, &Circular{}, &Polygon{}, &Surveyed{}, &Floor{}} {
		require.Zero(t, b.Depth())
		require.Zero(t, b.VolumeAt(1))
		require.Zero(t, b.AreaAt(1))
		_, err := StageStorage(StageStorageSpec{Basin: b, Step: 1})
		plantest.RequireFields(t, err, "basin")
		_, err = HeightFor(b, 1)
		plantest.RequireFields(t, err, "volume")
	}
	require.Empty(t, (&Polygon{}).SectionAt(1))
}

// requireBasin holds b to the rules of the interface.
func requireBasin(t *testing.T, b Basin) {
	t.Helper()
	d, full := b.Depth(), Capacity(b)
	require.True(t, d > 0 && !math.IsInf(float64(d), 0), "%v", d)
	require.True(t, full > 0 && !math.IsInf(float64(full), 0), "%v", full)
	require.Equal(t, units.Volume(0), b.VolumeAt(-1))
	require.Equal(t, full, b.VolumeAt(2*d))
	last := units.Volume(0)
	for i := range 17 {
		h := d * units.Length(i) / 16
		a, v := b.AreaAt(h), b.VolumeAt(h)
		require.True(t, a >= 0 && !math.IsInf(float64(a), 0), "%v", a)
		require.True(t, v >= last-full*1e-9, "%v below %v at %v", v, last, h)
		got, err := HeightFor(b, v)
		require.NoError(t, err)
		require.True(t, got >= 0 && got <= d)
		require.InDelta(t, float64(v), float64(b.VolumeAt(got)), 1e-9*float64(full))
		last = v
	}
}

func TestBasinRules(t *testing.T) {
	for name, b := range everySolid(t) {
		t.Run(name, func(t *testing.T) { requireBasin(t, b) })
	}
}

func FuzzNewBasin(f *testing.F) {
	for _, s := range []string{
		`{}`,
		`{"rectangular": {"length": "60 ft", "width": "40 ft", "at": "top of bank", "depth": "6 ft", "slopes": [3, 2, 2, 0]}}`,
		`{"circular": {"diameter": "30 m", "at": "water line", "waterDepth": "2 m", "depth": "3 m", "slopes": [2.5]}}`,
		`{"polygon": {"outline": [{"x": "0 m", "y": "0 m"}, {"x": "12 m", "y": "0 m"}, {"x": "3 m", "y": "3 m"}, {"x": "0 m", "y": "12 m"}], "at": "floor", "depth": "3 m", "slopes": [2, 1, 1, 2]}}`,
		`{"surveyed": {"areas": [{"elevation": "1 m", "area": "4 m2"}, {"elevation": "2 m", "area": "5 m2"}, {"elevation": "3 m", "area": "9 m2"}], "method": "prismoidal"}}`,
		`{"floor": {"top": "3 m", "grid": {"origin": {"x": "0 m", "y": "0 m"}, "stepX": "2 m", "stepY": "1 m", "levels": [["1 m", "1 m"], ["0 m", "0 m"]]}}}`,
		`{"floor": {"top": "3 m", "grid": {"levels": []}}}`,
		`{"rectangular": {"length": "1e300 m", "width": "-1 m", "depth": "1e-300 m", "slopes": [1e308]}}`,
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var spec BasinSpec
		if strict.Decode(data, &spec) != nil {
			return
		}
		b, err := NewBasin(context.Background(), spec)
		if err != nil {
			require.Nil(t, b)
			return
		}
		requireBasin(t, b)
	})
}

func FuzzNewPolygon(f *testing.F) {
	f.Add([]byte{0, 0, 90, 0, 90, 40, 30, 40, 30, 90, 0, 90}, uint8(1), uint8(2), true)
	f.Add([]byte{0, 0, 90, 0, 90, 40, 30, 40, 30, 90, 0, 90}, uint8(0), uint8(200), false)
	f.Add([]byte{10, 0, 40, 10, 90, 0, 60, 50, 90, 90, 40, 70, 0, 90, 20, 50}, uint8(3), uint8(7), false)
	f.Fuzz(func(t *testing.T, xy []byte, slope, depth uint8, floor bool) {
		uniform := slope%5 == 0
		// Corners on a coarse grid meet as often as they can.
		var p plane.Polygon
		var z []float64
		for i := 0; i+1 < len(xy) && i < 60; i += 2 {
			p = append(p, plantest.Pt(float64(xy[i]), float64(xy[i+1])))
			z = append(z, float64(1+(int(slope)*(i+1))%5)/2)
		}
		s := PolygonSpec{Outline: p, At: ReferenceTop, Depth: units.Length(depth) / 16, Slopes: z}
		if floor {
			s.At = ReferenceFloor
		}
		b, err := NewPolygon(s)
		if err != nil {
			require.Nil(t, b)
			if uniform {
				// With one slope every plan can be followed.
				require.NotContains(t, err.Error(), "cannot be followed", "%v", s)
			}
			return
		}
		requireBasin(t, b)
		for i := range 16 {
			require.GreaterOrEqual(t, float64(b.AreaAt(b.Depth()*units.Length(i+1)/16)), float64(b.AreaAt(b.Depth()*units.Length(i)/16))*(1-1e-9))
		}
	})
}

// foreign is a solid of a caller: a block of one metre all ways.
type foreign struct{ area units.Area }

func (b *foreign) Depth() units.Length                  { return 1 }
func (b *foreign) AreaAt(units.Length) units.Area       { return b.area }
func (b *foreign) VolumeAt(h units.Length) units.Volume { return b.area.Times(max(0, min(h, 1))) }
func (b *foreign) Len() int                             { return len(b.area.Trade()) }
func (b *foreign) Triangle(int) (c [3]plane.Point, l [3]units.Length) {
	return c, [3]units.Length{units.Length(b.area)}
}
func (b *foreign) At(plane.Point) (units.Length, bool) { return units.Length(b.area), true }

// A nil pointer of a type that the package has never seen is a fault, as no basin
// and no surface is.
func TestNilOfForeignType(t *testing.T) {
	var none *foreign
	require.Zero(t, Capacity(none))
	_, err := HeightFor(none, 1)
	plantest.RequireFields(t, err, "basin")
	_, err = StageStorage(StageStorageSpec{Basin: none, Step: 1})
	plantest.RequireFields(t, err, "basin")
	_, err = CompareMethods(CompareMethodsSpec{Basin: none, Low: 0, High: 1})
	plantest.RequireFields(t, err, "basin")
	_, err = Layers(LayersSpec{Basin: none, FromFloor: []LayerSpec{{Name: "sludge", Surface: none}}})
	plantest.RequireFields(t, err, "basin", "fromFloor[0].thickness")
	spec := emptyingSpec(none)
	_, err = Emptying(spec)
	plantest.RequireFields(t, err, "basin")
	_, err = Pond(PondSpec{Basin: none, Left: 1, Rinse: 1, TargetN: 1})
	plantest.RequireFields(t, err, "basin")
	_, err = NewFloor(context.Background(), FloorSpec{Surface: none, Top: 3})
	plantest.RequireFields(t, err, "surface")
	_, err = NewFloor(context.Background(), FloorSpec{Sampled: &SampledSpec{Places: none, Outline: box(9, 9), Step: 1}, Top: 3})
	plantest.RequireFields(t, err, "sampled.places")
	_, err = VolumeUnder(none, 0)
	plantest.RequireFields(t, err, "surface")
	h, err := HeightFor(&foreign{2}, 1)
	require.NoError(t, err)
	require.InDelta(t, 0.5, float64(h), 1e-12)
}
