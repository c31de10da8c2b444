package volume

import (
	"context"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume/internal/plantest"
)

// scaled returns a spec with every length k times, every area k^2 times and every volume
// k^3 times as large.
func scaled[S any](spec S, k float64) S {
	v := reflect.New(reflect.TypeFor[S]()).Elem()
	v.Set(reflect.ValueOf(spec))
	var walk func(v reflect.Value)
	walk = func(v reflect.Value) {
		switch v.Interface().(type) {
		case units.Length:
			v.SetFloat(v.Float() * k)
			return
		case units.Area:
			v.SetFloat(v.Float() * k * k)
			return
		case units.Volume:
			v.SetFloat(v.Float() * k * k * k)
			return
		}
		switch v.Kind() {
		case reflect.Struct:
			for i := range v.NumField() {
				walk(v.Field(i))
			}
		case reflect.Pointer:
			if !v.IsNil() {
				other := reflect.New(v.Type().Elem())
				other.Elem().Set(v.Elem())
				walk(other.Elem())
				v.Set(other)
			}
		case reflect.Slice:
			if !v.IsNil() {
				other := reflect.MakeSlice(v.Type(), v.Len(), v.Len())
				reflect.Copy(other, v)
				for i := range other.Len() {
					walk(other.Index(i))
				}
				v.Set(other)
			}
		}
	}
	walk(v)
	return v.Interface().(S)
}

// Geometry has no size of its own: basins of one form hold k^3 times as much at k times
// the height, have k^2 times the area, and need k^3 times the soil behind them. Powers of
// two keep every digit.
func TestSimilarBasins(t *testing.T) {
	ell := plane.Polygon{plantest.Pt(0, 0), plantest.Pt(60, 0), plantest.Pt(60, 30), plantest.Pt(25, 33), plantest.Pt(22, 70), plantest.Pt(0, 70)}
	plain := mustRectangular(t, RectangularSpec{Length: 60, Width: 40, At: ReferenceFloor, Depth: 4, Slopes: []float64{3}})
	levels := make([][]units.Length, 7)
	r := rand.New(rand.NewPCG(1, 1))
	for i := range levels {
		levels[i] = make([]units.Length, 9)
		for j := range levels[i] {
			levels[i][j] = units.Length(max(math.Abs(float64(i-3)), math.Abs(float64(j-4))*0.8) + 0.3*r.Float64())
		}
	}
	for name, spec := range map[string]BasinSpec{
		"end area":   {Surveyed: &SurveyedSpec{Areas: contours(plain, 8), Method: MethodEndArea}},
		"conic":      {Surveyed: &SurveyedSpec{Areas: contours(plain, 8), Method: MethodConic}},
		"prismoidal": {Surveyed: &SurveyedSpec{Areas: contours(plain, 8), Method: MethodPrismoidal}},
		"floor":      {Floor: &FloorSpec{Grid: &LevelGrid{StepX: 2, StepY: 3, Levels: levels}, Top: 2.5}},
		"polygon":    {Polygon: &PolygonSpec{Outline: ell, At: ReferenceTop, Depth: 4, Slopes: []float64{2, 2, 2.5, 3, 2, 2}}},
		"middle":     {Polygon: &PolygonSpec{Outline: ell, At: ReferenceWaterLine, WaterDepth: 2.5, Depth: 4, Slopes: []float64{2}}},
		"upward":     {Polygon: &PolygonSpec{Outline: ell, At: ReferenceFloor, Depth: 4, Slopes: []float64{3}}},
		"rounded":    {Polygon: &PolygonSpec{Outline: box(60, 40), At: ReferenceTop, Depth: 4, Slopes: []float64{2}, CornerRadius: 5}},
		"walls":      {Polygon: &PolygonSpec{Outline: box(60, 40), At: ReferenceFloor, Depth: 4, Slopes: []float64{0}, CornerRadius: 5}},
		"uneven":     {Rectangular: &RectangularSpec{Length: 60, Width: 40, At: ReferenceFloor, Depth: 4, Slopes: []float64{3, 2, 2.5, 4}}},
		"pyramid":    {Rectangular: &RectangularSpec{Length: 12, Width: 12, At: ReferenceTop, Depth: 3, Slopes: []float64{2}}},
		"circular":   {Circular: &CircularSpec{Diameter: 40, At: ReferenceTop, Depth: 4, Slopes: []float64{2.5}}},
		"cone":       {Circular: &CircularSpec{Diameter: 40, At: ReferenceWaterLine, WaterDepth: 2.5, Depth: 4, Slopes: []float64{5}}},
	} {
		t.Run(name, func(t *testing.T) {
			one, err := NewBasin(context.Background(), spec)
			require.NoError(t, err)
			for _, k := range []float64{1.0 / 64, 1.0 / 8, 4} {
				same := func(want, got units.Quantity, power int, what string) {
					t.Helper()
					require.InDelta(t, want.SI()*math.Pow(k, float64(power)), got.SI(), 1e-9*math.Abs(want.SI())*math.Pow(k, float64(power)), "%s at %v", what, k)
				}
				other, err := NewBasin(context.Background(), scaled(spec, k))
				require.NoError(t, err)
				same(one.Depth(), other.Depth(), 1, "depth")
				for i := range 17 {
					h := one.Depth() * units.Length(i) / 16
					x := h * units.Length(k)
					same(one.AreaAt(h), other.AreaAt(x), 2, "area")
					same(one.VolumeAt(h), other.VolumeAt(x), 3, "volume")
					if l, ok := one.(Lined); ok {
						same(l.SlopeAreaAt(h), other.(Lined).SlopeAreaAt(x), 2, "banks")
					}
					back, err := HeightFor(other, other.VolumeAt(x))
					require.NoError(t, err)
					same(one.VolumeAt(h), other.VolumeAt(back), 3, "height")
					if p, ok := one.(*Polygon); ok {
						a, b := p.SectionAt(h), other.(*Polygon).SectionAt(x)
						require.Len(t, b, len(a))
						for r := range a {
							require.Len(t, b[r], len(a[r]))
							for c := range a[r] {
								require.InDelta(t, float64(a[r][c].X)*k, float64(b[r][c].X), 1e-9*k)
								require.InDelta(t, float64(a[r][c].Y)*k, float64(b[r][c].Y), 1e-9*k)
							}
						}
					}
				}
				for _, method := range LinerMethods(one) {
					a, errA := Liner(LinerSpec{Basin: one, Thickness: 0.5, UpTo: one.Depth() / 2, Method: method})
					b, errB := Liner(LinerSpec{Basin: other, Thickness: units.Length(0.5 * k), UpTo: other.Depth() / 2, Method: method})
					require.Equal(t, errA == nil, errB == nil, "%v %v", errA, errB)
					same(a.Volume, b.Volume, 3, "liner")
				}
			}
		})
	}
}

// A triangle along its slope by its sides (Heron's formula), over its plan.
func TestSlantOfTriangle(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	heron := func(a, b, c [3]float64) float64 {
		side := func(p, q [3]float64) float64 { return math.Hypot(math.Hypot(p[0]-q[0], p[1]-q[1]), p[2]-q[2]) }
		x, y, z := side(a, b), side(b, c), side(c, a)
		s := (x + y + z) / 2
		return math.Sqrt(s * (s - x) * (s - y) * (s - z))
	}
	for range 200 {
		var corners [3]plane.Point
		var levels [3]units.Length
		var solid, flat [3][3]float64
		for k := range 3 {
			x, y, z := 10*r.Float64()-5, 10*r.Float64()-5, 4*r.Float64()
			corners[k], levels[k] = plantest.Pt(x, y), units.Length(z)
			solid[k], flat[k] = [3]float64{x, y, z}, [3]float64{x, y}
		}
		plan := heron(flat[0], flat[1], flat[2])
		if plan < 0.1 {
			continue
		}
		require.InEpsilon(t, heron(solid[0], solid[1], solid[2])/plan, slantOf(corners, levels), 1e-9)
	}
}

func TestSizeOfGrid(t *testing.T) {
	rows, cols := LevelGrid{}.Size()
	require.Equal(t, [2]int{}, [2]int{rows, cols})
	rows, cols = LevelGrid{Levels: [][]units.Length{{1, 2, 3}, {4, 5, 6}}}.Size()
	require.Equal(t, [2]int{2, 3}, [2]int{rows, cols})
}
