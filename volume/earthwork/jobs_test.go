package earthwork_test

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"regexp"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/earthwork"
)

const (
	ft  = units.Foot
	yd3 = units.CubicYard
)

// job is one use of an exported function: a spec with every field of it at work,
// and the function.
type job struct {
	name string
	spec reflect.Value // pointer to the spec
	run  func(spec any) (any, error)
}

func jobOf[S, R any](name string, spec S, run func(S) (R, error)) job {
	return job{name, reflect.ValueOf(&spec), func(s any) (any, error) { return run(*s.(*S)) }}
}

// clone returns a copy of the spec that shares nothing but what is no data.
func clone(v reflect.Value) reflect.Value {
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() {
			return v
		}
		p := reflect.New(v.Type().Elem())
		p.Elem().Set(clone(v.Elem()))
		return p
	case reflect.Slice:
		if v.IsNil() {
			return v
		}
		s := reflect.MakeSlice(v.Type(), v.Len(), v.Len())
		for i := range v.Len() {
			s.Index(i).Set(clone(v.Index(i)))
		}
		return s
	case reflect.Struct:
		c := reflect.New(v.Type()).Elem()
		c.Set(v)
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				c.Field(i).Set(clone(v.Field(i)))
			}
		}
		return c
	}
	return v
}

// numbers calls fn for every number in v, with its path.
func numbers(v reflect.Value, path string, fn func(path string, v reflect.Value)) {
	switch v.Kind() {
	case reflect.Float64, reflect.Int:
		fn(path, v)
	case reflect.Pointer:
		if !v.IsNil() {
			numbers(v.Elem(), path, fn)
		}
	case reflect.Interface:
		if !v.IsNil() && v.Elem().Kind() == reflect.Float64 {
			fn(path, v.Elem())
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			numbers(v.Index(i), fmt.Sprintf("%s[%d]", path, i), fn)
		}
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[time.Time]() {
			return
		}
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() && f.Tag.Get("json") != "-" {
				numbers(v.Field(i), path+"."+f.Name, fn)
			}
		}
	}
}

// attempt runs the job and demands no panic, numbers in the answer, and faults with
// a place in an error.
func attempt(t *testing.T, j job, spec reflect.Value, what string) (any, error) {
	t.Helper()
	defer func() {
		if p := recover(); p != nil {
			t.Fatalf("%s with %s: panic %v", j.name, what, p)
		}
	}()
	r, err := j.run(spec.Interface())
	if err != nil {
		require.NotEmpty(t, units.FieldErrors(err), "%s with %s: %v", j.name, what, err)
		return nil, err
	}
	numbers(reflect.ValueOf(r), "result", func(path string, v reflect.Value) {
		if v.Kind() == reflect.Float64 {
			require.False(t, math.IsNaN(v.Float()) || math.IsInf(v.Float(), 0), "%s with %s: %s is %v", j.name, what, path, v)
		}
	})
	return r, nil
}

var oddNumbers = []float64{0, 5e-324, 1e-310, 1e-165, 1e-20, 1e-12, 1e-6, 1, 1e3, 1e6, 1e12, 1e20, 1e165, 1e308, math.Inf(1), math.NaN()}

// Every number of every spec, at its turn the oddest there is, gives a sound answer
// or a fault, and 0 with a sign is 0.
func TestOddNumbers(t *testing.T) {
	for _, j := range jobs(t) {
		t.Run(j.name, func(t *testing.T) {
			_, err := attempt(t, j, j.spec, "its own spec")
			require.NoError(t, err)
			count := 0
			numbers(j.spec.Elem(), "", func(string, reflect.Value) { count++ })
			for k := range count {
				set := func(x float64) (reflect.Value, string) {
					spec, at, place := clone(j.spec), 0, ""
					numbers(spec.Elem(), "", func(path string, v reflect.Value) {
						if at++; at-1 != k {
							return
						}
						place = fmt.Sprintf("%s %v", path, x)
						if v.Kind() == reflect.Int {
							v.SetInt(int64(min(max(x, -1e18), 1e18)))
						} else {
							v.SetFloat(x)
						}
					})
					return spec, place
				}
				for _, x := range oddNumbers {
					for _, x := range []float64{x, -x} {
						spec, what := set(x)
						attempt(t, j, spec, what)
					}
				}
				spec, what := set(0)
				plain, err := attempt(t, j, spec, what)
				spec, what = set(math.Copysign(0, -1))
				signed, err2 := attempt(t, j, spec, what)
				require.Equal(t, len(units.FieldErrors(err)), len(units.FieldErrors(err2)), "%s: %v, %v", what, err, err2)
				if err == nil {
					a, b := text(t, plain), text(t, signed)
					require.Equal(t, signedZero.ReplaceAllString(a, "0$1"), signedZero.ReplaceAllString(b, "0$1"), what)
				}
			}
		})
	}
}

// signedZero is a 0 with a sign, as a result repeats it from its spec.
var signedZero = regexp.MustCompile(`-0([] ,}])`)

func text(t *testing.T, v any) string {
	b, err := json.Marshal(v)
	require.NoError(t, err)
	return string(b)
}

// Numbers of any size together give a sound answer or a fault, the same one twice.
func TestRandomNumbers(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for _, j := range jobs(t) {
		t.Run(j.name, func(t *testing.T) {
			accepted := 0
			for range 300 {
				spec := clone(j.spec)
				share := r.Float64()
				numbers(spec.Elem(), "", func(_ string, v reflect.Value) {
					if v.Kind() == reflect.Float64 && r.Float64() < share {
						v.SetFloat(v.Float() * math.Pow(10, 24*r.Float64()*r.Float64()*r.Float64()-12*r.Float64()*r.Float64()))
					}
				})
				what := text(t, spec.Elem().Interface())
				if a, err := attempt(t, j, spec, what); err == nil {
					accepted++
					b, _ := j.run(spec.Interface())
					require.Equal(t, text(t, a), text(t, b))
				}
			}
			t.Log(accepted, "accepted")
		})
	}
}

func jobs(t *testing.T) []job {
	must := func(b volume.Basin, err error) volume.Basin {
		require.NoError(t, err)
		return b
	}
	square := plane.Polygon{{}, {X: 60 * ft}, {X: 60 * ft, Y: 60 * ft}, {X: 30 * ft, Y: 50 * ft}, {Y: 60 * ft}}
	rectangular := volume.RectangularSpec{Length: 300 * ft, Width: 180 * ft, At: volume.ReferenceTop, Depth: 10 * ft, Slopes: []float64{3, 3, 2, 2}}
	basin := must(volume.NewRectangular(rectangular))
	polygon := must(volume.NewPolygon(volume.PolygonSpec{Outline: square, At: volume.ReferenceTop, Depth: 4 * ft, Slopes: []float64{2}}))
	grid := volume.LevelGrid{StepX: 30 * ft, StepY: 30 * ft, Levels: [][]units.Length{{3, 2, 1}, {3, 2.5, 1}, {3, 2, 1}}}
	soil := earthwork.SoilSpec{Swell: new(0.25), Shrink: new(0.1), LooseDensity: 90 * units.PoundPerCubicFoot}
	truck := earthwork.TruckSpec{Volume: 12 * yd3, Payload: 15 * units.Ton}
	berm := earthwork.BermSection{Height: 4 * ft, CrestWidth: 10 * ft, InnerSlope: 3, OuterSlope: 2.5}
	settlement := earthwork.SettlementSpec{Rule: earthwork.SettlementRulePlaced, Share: 0.05}
	hip := earthwork.CrownSpec{Shape: earthwork.CrownShapeHip, Length: 300 * ft, Width: 180 * ft, Grade: 0.03}
	start := time.Date(2026, 4, 1, 0, 0, 0, 0, time.UTC)
	// What a basin holds, in place of the basin.
	held := func(b volume.Basin, err error) (any, error) {
		if err != nil {
			return nil, err
		}
		table, err := volume.StageStorage(volume.StageStorageSpec{Basin: b, Step: b.Depth() / 7})
		if lined, ok := b.(volume.Lined); ok {
			return struct {
				Table volume.StageTable
				Slope units.Area
			}{table, lined.SlopeAreaAt(lined.Depth())}, err
		}
		return table, err
	}
	return []job{
		jobOf("NewRectangular", rectangular, func(s volume.RectangularSpec) (any, error) {
			b, err := volume.NewRectangular(s)
			return held(b, err)
		}),
		jobOf("NewCircular", volume.CircularSpec{Diameter: 90 * ft, At: volume.ReferenceWaterLine, WaterDepth: 7 * ft, Depth: 8 * ft, Slopes: []float64{2}}, func(s volume.CircularSpec) (any, error) {
			b, err := volume.NewCircular(s)
			return held(b, err)
		}),
		jobOf("NewPolygon", volume.PolygonSpec{Outline: square, At: volume.ReferenceTop, Depth: 4 * ft, Slopes: []float64{2, 2, 1, 1.5, 2}}, func(s volume.PolygonSpec) (any, error) {
			b, err := volume.NewPolygon(s)
			return held(b, err)
		}),
		jobOf("NewPolygon/round", volume.PolygonSpec{Outline: plane.Polygon{{}, {X: 30}, {X: 30, Y: 30}, {Y: 30}}, At: volume.ReferenceTop, Depth: 2, Slopes: []float64{2}, CornerRadius: 5}, func(s volume.PolygonSpec) (any, error) {
			b, err := volume.NewPolygon(s)
			return held(b, err)
		}),
		jobOf("NewSurveyed", volume.SurveyedSpec{Areas: []volume.SurveyedArea{{Elevation: 9 * ft, Area: 90}, {Elevation: 10 * ft, Area: 150}, {Elevation: 11 * ft, Area: 220}}, Method: volume.MethodPrismoidal}, func(s volume.SurveyedSpec) (any, error) {
			b, err := volume.NewSurveyed(s)
			return held(b, err)
		}),
		jobOf("NewFloor", volume.FloorSpec{Grid: &grid, Top: 5}, func(s volume.FloorSpec) (any, error) {
			b, err := volume.NewFloor(context.Background(), s)
			return held(b, err)
		}),
		jobOf("Slice", volume.SliceSpec{Method: volume.MethodPrismoidal, Bottom: 3, Mid: 4, Top: 5, Depth: 2}, volume.Slice),
		jobOf("HeightFor", struct{ Volume units.Volume }{1000}, func(s struct{ Volume units.Volume }) (units.Length, error) {
			return volume.HeightFor(basin, s.Volume)
		}),
		jobOf("StageStorage", volume.StageStorageSpec{Basin: basin, Step: 1 * ft}, volume.StageStorage),
		jobOf("CompareMethods", volume.CompareMethodsSpec{Basin: basin, Low: 1 * ft, High: 8 * ft}, volume.CompareMethods),
		jobOf("SlopeDepth", volume.SlopeDepthSpec{Along: 9 * ft, Slope: 3}, volume.SlopeDepth),
		jobOf("SlopeOfAngle", struct{ Degrees float64 }{20}, func(s struct{ Degrees float64 }) (float64, error) { return volume.SlopeOfAngle(s.Degrees) }),
		jobOf("ShorelineArea", struct{ Shoreline units.Length }{900 * ft}, func(s struct{ Shoreline units.Length }) (units.Area, error) {
			return volume.ShorelineArea(s.Shoreline)
		}),
		jobOf("MeanDepth", volume.MeanDepthSpec{Soundings: []units.Length{1, 0, 3}, Rule: volume.ShoreRuleOut}, volume.MeanDepth),
		jobOf("Layers", volume.LayersSpec{Basin: basin, FromFloor: []volume.LayerSpec{{Name: "sludge", Thickness: 2 * ft}, {Name: "liquid", Volume: 900}}, FromTop: []volume.LayerSpec{{Name: "freeboard", Thickness: 1 * ft}}}, volume.Layers),
		jobOf("Emptying", volume.EmptyingSpec{Basin: basin, StartLevel: 8 * ft, StopLevel: 2 * ft, Start: start, Until: start.AddDate(0, 1, 0), Pump: 400 * units.GallonPerMinute,
			HoursPerDay: 8 * units.Hour, RestDays: []time.Weekday{0}, WetDay: units.Inch, Months: slices.Repeat([]volume.Weather{{Rain: 0.1 * units.Inch, Evaporation: 0.12 * units.Inch}}, 12),
			Days: []volume.DatedWeather{{Date: start, Weather: volume.Weather{Rain: 2 * units.Inch}}}, Catchment: units.Acre, RunoffLoss: 0.2 * units.Inch, RunoffShare: 0.5, Seepage: 0.01 * units.InchPerDay, Inflow: units.GallonPerMinute}, volume.Emptying),
		jobOf("OpenPit", volume.OpenPitSpec{Basin: basin, StartLevel: 1 * ft, Sump: 0.5 * ft, Start: start, Filled: start.AddDate(0, 1, 0), FillFrom: start.AddDate(0, 0, 10), FillTo: 8 * ft, Pump: 400 * units.GallonPerMinute,
			HoursPerDay: 8 * units.Hour, RestDays: []time.Weekday{0}, WetDay: units.Inch, Months: slices.Repeat([]volume.Weather{{Rain: 0.1 * units.Inch, Evaporation: 0.12 * units.Inch}}, 12),
			Days: []volume.DatedWeather{{Date: start, Weather: volume.Weather{Rain: 2 * units.Inch}}}, Catchment: units.Acre, RunoffLoss: 0.2 * units.Inch, RunoffShare: 0.5, Seepage: 0.01 * units.InchPerDay, Inflow: units.GallonPerMinute}, volume.OpenPit),
		jobOf("Pond", volume.PondSpec{Basin: basin, WaterLevel: 6 * ft, DepthRules: []volume.DepthRule{{Name: "deep", Depth: 5 * ft, Share: 0.2}}, Left: 10, LeftN: 0.3, Rinse: 500, CleanN: 0.001, ReleaseN: 1, TargetN: 0.02, MaxRinses: 3}, volume.Pond),
		jobOf("Liner", volume.LinerSpec{Basin: basin, Thickness: 1 * ft, Method: volume.LinerMethodOffset, UpTo: 6 * ft}, volume.Liner),
		jobOf("Liner/polygon", volume.LinerSpec{Basin: polygon, Thickness: 1 * ft, Method: volume.LinerMethodOffset}, volume.Liner),

		jobOf("NewSoil", earthwork.SoilSpec{Class: earthwork.SoilClassDenseClay, BankDensity: 1800, CompactedDensity: 2000}, func(s earthwork.SoilSpec) (any, error) {
			soil, err := earthwork.NewSoil(s)
			if err != nil {
				return nil, err
			}
			return soil.Convert(1000, earthwork.StateLoose, earthwork.StateCompacted)
		}),
		jobOf("Loads", earthwork.LoadsSpec{Volume: 900, State: earthwork.StateBank, Soil: soil, Truck: truck}, earthwork.Loads),
		jobOf("Berm", earthwork.BermSpec{Line: earthwork.BermLineCentre, Length: 300 * ft, Width: 200 * ft, Sides: []earthwork.BermSection{berm}}, earthwork.Berm),
		jobOf("Berm/plan", earthwork.BermSpec{Line: earthwork.BermLineInnerEdge, Plan: square, Sides: []earthwork.BermSection{berm}}, earthwork.Berm),
		jobOf("BermSection.Area", berm, earthwork.BermSection.Area),
		jobOf("CrestWidth", struct{ Height units.Length }{9 * ft}, func(s struct{ Height units.Length }) (units.Length, error) { return earthwork.CrestWidth(s.Height) }),
		jobOf("Breach", earthwork.BreachSpec{Berm: berm, BottomWidth: 8 * ft, SideSlope: 3, Depth: 4 * ft}, earthwork.Breach),
		jobOf("Crown", hip, earthwork.Crown),
		jobOf("Crown/outline", earthwork.CrownSpec{Shape: earthwork.CrownShapeHip, Outline: square, Grade: 0.04}, earthwork.Crown),
		jobOf("CrownFor", earthwork.SettledCrownSpec{Crown: hip, FillDepth: 9 * ft, BankSlope: 3, Settlement: settlement, MinGrade: 0.02}, earthwork.CrownFor),
		jobOf("Account", earthwork.AccountSpec{Truck: &truck, Soils: []earthwork.AccountSoil{{Name: "berm", Soil: soil, Cuts: []earthwork.EarthPart{{"berm", 900, earthwork.StateBank, 20}}, Loss: 0.05, Reserve: 10},
			{Name: "borrow", Soil: soil, BroughtIn: true}}, Fills: []earthwork.AccountFill{{"basin", 2000, earthwork.StateCompacted, []string{"berm", "borrow"}}}}, earthwork.Account),
		jobOf("Borrow", earthwork.BorrowSpec{Volume: 2000, State: earthwork.StateBank, Depth: 8 * ft, Slope: 3, Topsoil: 0.5 * ft, Loss: 0.05, Soil: soil}, earthwork.Borrow),
		jobOf("Bridging", earthwork.BridgingSpec{Area: 1000, Thickness: 2 * ft, Sinks: 0.5 * ft, Fabric: true, Overlap: 0.1, Soil: soil}, earthwork.Bridging),
		jobOf("Compaction", earthwork.CompactionSpec{Volume: 2000, Depth: 9 * ft, Lift: 8 * units.Inch, Passes: 6, Test: earthwork.ProctorTestModified, Percent: 0.9, MaxDensity: 1900, BankDensity: 1500,
			Moisture: units.Range[float64]{Low: 0.1, High: 0.14}, TestEvery: 500, Roller: &earthwork.RollerSpec{Width: 2, Speed: 4 * units.KilometrePerHour, Efficiency: 0.75}}, earthwork.Compaction),
		jobOf("SettledCrown", earthwork.SettledCrownSpec{Crown: hip, FillDepth: 9 * ft, BankSlope: 3, Settlement: settlement, MinGrade: 0.02}, earthwork.SettledCrown),
		jobOf("NewHipCrown", earthwork.HipCrownSpec{Outline: square, Foot: 100 * ft, Grade: 0.04}, func(s earthwork.HipCrownSpec) ([]float64, error) {
			c, err := earthwork.NewHipCrown(s)
			if err != nil {
				return nil, err
			}
			low, high := s.Outline.Bounds()
			return []float64{float64(c.Peak()), float64(c.Volume()), float64(c.LevelAt(plane.Point{X: (low.X + high.X) / 2, Y: (low.Y + high.Y) / 3}))}, nil
		}),
		jobOf("Overbuild", earthwork.OverbuildSpec{Design: 3 * ft, Volume: 900, Settlement: settlement}, earthwork.Overbuild),
		jobOf("RolledSettlement", earthwork.RolledSettlementSpec{Depth: 9 * ft, Shrink: 0.1}, earthwork.RolledSettlement),
		jobOf("Drain", earthwork.DrainSpec{Kind: earthwork.DrainKindHoles, Length: 100 * ft, Width: 90 * ft, Size: 2 * ft, Spacing: 20 * ft, Depth: 2 * ft}, earthwork.Drain),
		jobOf("Drain/share", earthwork.DrainSpec{Kind: earthwork.DrainKindTrenches, Area: 9000, Size: 2 * ft, Share: 0.01, Depth: 2 * ft}, earthwork.Drain),
		jobOf("Grade", earthwork.GradeSpec{Ground: grid, Outline: square, Final: earthwork.Plane{Level: 2, East: 0.01}}, earthwork.Grade),
		jobOf("FitPlane", earthwork.FitPlaneSpec{Ground: grid, Outline: square, MinGrade: 0.01, Fall: new(30.0), Level: earthwork.PlaneLevelBalanced, Soil: soil}, earthwork.FitPlane),
		jobOf("Haul", earthwork.HaulSpec{Cuts: []earthwork.HaulSite{{Name: "a", At: plane.Point{X: 9}, Volume: 900, Price: 1}, {Name: "b", Volume: 50, Optional: true}}, Fills: []earthwork.HaulSite{{Name: "c", At: plane.Point{Y: 90}, Volume: 800}}, Truck: 12, Travel: 0.01}, earthwork.Haul),
		jobOf("Haul/distances", earthwork.HaulSpec{Cuts: []earthwork.HaulSite{{Name: "a", Volume: 900}, {Name: "b", Volume: 50}}, Fills: []earthwork.HaulSite{{Name: "c", Volume: 800}}, Distances: [][]units.Length{{90}, {30}}}, earthwork.Haul),
		jobOf("Pipe", earthwork.PipeSpec{Inside: 1 * ft, Outside: 1.2 * ft, Length: 90 * ft}, earthwork.Pipe),
		jobOf("Plug", earthwork.PlugSpec{Inside: 1 * ft, PlugLength: 3 * ft, Plugs: 2, Waste: 0.1, Yield: 0.6 * units.CubicFoot}, earthwork.Plug),
		jobOf("BasinProfile", earthwork.BasinProfileSpec{Ground: 100 * ft, FloorWidth: 90 * ft, Depth: 8 * ft, Left: earthwork.ProfileSide{3, berm, 9 * ft}, Right: earthwork.ProfileSide{2, berm, 0}, CrownGrade: 0.03, Settlement: settlement}, earthwork.BasinProfile),
		jobOf("GroundProfile", earthwork.GroundProfileSpec{Existing: grid, Final: earthwork.Plane{Level: 2, North: 0.01}, From: plane.Point{X: 1}, To: plane.Point{X: 60, Y: 9}, Stations: 9}, earthwork.GroundProfile),
		jobOf("Sections", earthwork.SectionsSpec{Sections: []earthwork.Section{{0, 9, 0}, {10, 8, 2}, {20, 0, 5}}, Method: volume.MethodPrismoidal, Soil: &soil}, earthwork.Sections),
		jobOf("Trench", earthwork.TrenchSpec{Points: []earthwork.TrenchPoint{{0, 4 * ft}, {30 * ft, 5 * ft}}, BottomWidth: 3 * ft, SideSlopes: [2]float64{1, 1.5}, Method: volume.MethodPrismoidal, PipeOutside: 1 * ft, Bedding: 0.5 * ft, Soil: soil}, earthwork.Trench),
	}
}
