package volume

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/plantest"
)

func formBasin(t testing.TB) *Rectangular {
	return mustRectangular(t, RectangularSpec{Length: 375 * ft, Width: 175 * ft, At: ReferenceTop, Depth: 10.1 * ft, Slopes: []float64{3}})
}

func TestLayersFillTheBasin(t *testing.T) {
	b := formBasin(t)
	r, err := Layers(LayersSpec{
		Basin:     b,
		FromFloor: []LayerSpec{{Name: "sludge", Thickness: 2.8 * ft}, {Name: "liquid", Volume: 150000 * units.CubicFoot}},
		FromTop:   []LayerSpec{{Name: "freeboard", Thickness: 1 * ft}, {Name: "storm", Volume: 40000 * units.CubicFoot}},
	})
	require.NoError(t, err)
	require.Len(t, r.Layers, 4)
	var sum units.Volume
	last := units.Length(0)
	for i, name := range []string{"sludge", "liquid", "storm", "freeboard"} {
		l := r.Layers[i]
		require.Equal(t, name, l.Name)
		sum += l.Volume
		if name == "storm" {
			require.InDelta(t, float64(r.Unused.Bottom), float64(last), 1e-12)
			last = r.Unused.Top
		}
		require.InDelta(t, float64(last), float64(l.Bottom), 1e-12)
		last = l.Top
		// F2 against mid-area: low by ab T3/12.
		low := l.Volume - l.MidArea
		require.InDelta(t, 36*cube(float64(l.Thickness()))/12, float64(low), 1e-6)
	}
	require.InDelta(t, float64(Capacity(b)), float64(sum+r.Unused.Volume), 1e-6)
	require.InDelta(t, 150000, r.Layers[1].Volume.In(units.CubicFoot), 1e-4)
	require.InDelta(t, 40000, r.Layers[2].Volume.In(units.CubicFoot), 1e-4)
}

func cube(x float64) float64 { return x * x * x }

func TestLayersDeeperThanTheBasin(t *testing.T) {
	b := formBasin(t)
	sludge := LayerSpec{Name: "sludge", Thickness: 4.7 * ft}
	for name, c := range map[string]struct {
		spec  LayersSpec
		field string
	}{
		// A permit form accepted these two layers, 10.3 ft in a basin of 10.1 ft.
		"thickness": {LayersSpec{Basin: b, FromFloor: []LayerSpec{sludge, {Name: "liquid", Thickness: 5.6 * ft}}}, "fromFloor[1].thickness"},
		"volume":    {LayersSpec{Basin: b, FromFloor: []LayerSpec{sludge, {Name: "liquid", Volume: 400000 * units.CubicFoot}}}, "fromFloor[1].volume"},
		"freeboard": {LayersSpec{Basin: b, FromFloor: []LayerSpec{sludge}, FromTop: []LayerSpec{{Name: "freeboard", Thickness: 5.6 * ft}}}, "fromTop[0]"},
		"storm":     {LayersSpec{Basin: b, FromFloor: []LayerSpec{sludge}, FromTop: []LayerSpec{{Name: "storm", Volume: 400000 * units.CubicFoot}}}, "fromTop[0]"},
		"flood":     {LayersSpec{Basin: b, FromTop: []LayerSpec{{Name: "storm", Volume: 600000 * units.CubicFoot}}}, "fromTop[0].volume"},
		"both":      {LayersSpec{Basin: b, FromFloor: []LayerSpec{{Name: "sludge", Thickness: 1, Volume: 1}}}, "fromFloor[0].thickness"},
		"none":      {LayersSpec{Basin: b}, "fromFloor"},
		"no basin":  {LayersSpec{FromFloor: []LayerSpec{sludge}}, "basin"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := Layers(c.spec)
			plantest.RequireFields(t, err, c.field)
		})
	}
	_, err := Layers(LayersSpec{Basin: b, FromFloor: []LayerSpec{{Name: "sludge", Surface: triangles{}}}})
	plantest.RequireFields(t, err, "fromFloor[0].surface")
	// Layers that fill the basin to the brim are legal, rounding included.
	r, err := Layers(LayersSpec{Basin: b, FromFloor: []LayerSpec{sludge, {Name: "liquid", Thickness: 5.4 * ft}}})
	require.NoError(t, err)
	require.InDelta(t, 0, float64(r.Unused.Thickness()), 1e-9)
}

func TestLayerFromSurface(t *testing.T) {
	// Half of this ramp of thicknesses lies below 0, where there is no sludge.
	var s triangles
	s.add([3]float64{0, 0, -1}, [3]float64{20, 0, 1}, [3]float64{20, 10, 1})
	s.add([3]float64{0, 0, -1}, [3]float64{20, 10, 1}, [3]float64{0, 10, -1})
	r, err := Layers(LayersSpec{Basin: formBasin(t), FromFloor: []LayerSpec{{Name: "sludge", Surface: s}}})
	require.NoError(t, err)
	require.InDelta(t, 50, float64(r.Layers[0].Volume), 1e-9)
	all, err := VolumeUnder(s, -1)
	require.NoError(t, err)
	require.InDelta(t, 200, float64(all), 1e-9)
	none, err := VolumeUnder(s, 1.5)
	require.NoError(t, err)
	require.Zero(t, none)
	_, err = VolumeUnder(nil, units.Length(math.NaN()))
	plantest.RequireFields(t, err, "level", "surface")
	flat := triangles{}
	flat.add([3]float64{0, 0, 0}, [3]float64{20, 0, 0}, [3]float64{20, 10, 0})
	_, err = Layers(LayersSpec{Basin: formBasin(t), FromFloor: []LayerSpec{{Name: "sludge", Surface: flat}}})
	plantest.RequireFields(t, err, "fromFloor[0].surface")
}

// Layers by hand in a tank of 1,000 m2 and 4 m: thin ones by volume count as thick ones
// do, and those that just fill it leave nothing between.
func TestLayersByHand(t *testing.T) {
	b := tank(t)
	r, err := Layers(LayersSpec{Basin: b, FromFloor: []LayerSpec{{Name: "grit", Volume: 0.5}, {Name: "sludge", Thickness: 1}}, FromTop: []LayerSpec{{Name: "freeboard", Volume: 0.25}, {Name: "storm", Thickness: 0.5}}})
	require.NoError(t, err)
	for i, want := range []Layer{{"grit", 0, 0.0005, 0.5, 0.5}, {"sludge", 0.0005, 1.0005, 1000, 1000}, {"storm", 3.49975, 3.99975, 500, 500}, {"freeboard", 3.99975, 4, 0.25, 0.25}} {
		l := r.Layers[i]
		require.Equal(t, want.Name, l.Name)
		require.InDeltaSlice(t, []float64{want.Bottom.SI(), want.Top.SI(), want.Volume.SI(), want.MidArea.SI()}, []float64{l.Bottom.SI(), l.Top.SI(), l.Volume.SI(), l.MidArea.SI()}, 1e-9, want.Name)
	}
	require.InDelta(t, 3.49975-1.0005, r.Unused.Thickness().SI(), 1e-9)
	for _, full := range []LayersSpec{
		{FromFloor: []LayerSpec{{Name: "sludge", Volume: 4000}}},
		{FromTop: []LayerSpec{{Name: "storm", Volume: 4000}}},
		{FromFloor: []LayerSpec{{Name: "sludge", Thickness: 4}}},
		{FromTop: []LayerSpec{{Name: "storm", Thickness: 4}}},
		{FromFloor: []LayerSpec{{Name: "sludge", Thickness: 1}}, FromTop: []LayerSpec{{Name: "storm", Volume: 3000}}},
		{FromFloor: []LayerSpec{{Name: "sludge", Volume: 1000}}, FromTop: []LayerSpec{{Name: "storm", Thickness: 3}}},
	} {
		full.Basin = b
		r, err = Layers(full)
		require.NoError(t, err)
		require.InDelta(t, 0, r.Unused.Thickness().SI(), 1e-9)
		require.InDelta(t, 0, r.Unused.Volume.SI(), 1e-6)
		require.GreaterOrEqual(t, r.Unused.Thickness(), units.Length(0))
	}
}
