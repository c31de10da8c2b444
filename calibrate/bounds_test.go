package calibrate

import (
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// TestEveryNumberIsBounded puts the numbers that no job has in every number of sound
// specs, one at a time: each is a fault at its path or gives a result of finite numbers
// that prints, and -0 is 0.
func TestEveryNumberIsBounded(t *testing.T) {
	bounded(t, Sheets, `{"area":"36 ft2","tare":"2 lb","sheets":[{"gross":"18 lb"},{"gross":"9 kg","tare":"1 lb","area":"30 ft2"},{"gross":"16 lb"}],"confidence":0.95,"within":0.2}`)
	bounded(t, LoadArea[units.Mass, units.MassPerArea], `{"runs":[{"load":"8 ton","loads":2.5,"width":"20 ft","distance":"1500 ft"},{"load":"8 ton","loads":3,"area":"2 acre"}],"confidence":0.9}`)
	bounded(t, LoadCapacity, `{"hold":"box","length":"12 ft","width":"6 ft","depth":"3 ft","heap":"1 ft","fill":1,"density":"55 lb/ft3"}`)
	bounded(t, LoadCapacity, `{"hold":"rated","rated":"3000 gal","fill":0.9}`)
	bounded(t, Solve, `{"tank":{"volume":"3000 gal","time":"6 min"},"course":{"distance":"300 ft","time":"60 s"},"width":"15 ft"}`)
	bounded(t, Solve, `{"flow":"500 gpm","speed":"3 mph","rate":"5000 gal/acre"}`)
	bounded(t, GearTable, `{"flow":"500 gpm","width":"15 ft","target":"6000 gal/acre","gears":[{"name":"1","speed":"2 mph"},{"name":"2","course":{"distance":"300 ft","time":"60 s"}}]}`)
	bounded(t, HoseSets, `{"flow":"1500 gpm","rate":"9000 gal/acre","width":"20 ft","area":"95 acre","setArea":"40 acre","setUp":"1 h","pumping":0.9,"limits":{"low":"2 mph","high":"6 mph"}}`)
	bounded(t, Gauges, `{"system":"pivot","gauges":[{"caught":"9 mL","at":"20 ft","after":"60 min"},{"caught":"8 mL","at":"40 ft","after":"65 min"},{"missing":true,"at":"60 ft"}],"opening":"50 cm2","evaporation":{"cans":[{"before":"50 mL","after":"48 mL"}],"over":"135 min"},"confidence":0.95,"flag":0.2,"wind":"6 mph","carries":{"N":"5 lb/1000 gal"}}`)
	bounded(t, Gauges, `{"system":"gun","gauges":[{"depth":"0.5 in"},{"depth":"0.4 in"}],"confidence":0.95}`)
	bounded(t, Lanes, `{"flow":"400 gpm","wetted":"320 ft","lane":"220 ft","depth":"0.5 in","length":"1000 ft","wind":"9 mph"}`)
	bounded(t, GrossNet, `{"flow":"400 gpm","time":"10 h","area":"18 acre","net":"0.4 in","carry":"5 lb/1000 gal"}`)
	bounded(t, SolidSet, `{"flow":"10 gpm","along":"40 ft","between":"60 ft","efficiency":0.8,"run":"2 h"}`)
	bounded(t, Overlap, `{"pattern":{"trays":[0,2,5,8,10,9,8,6,2,0],"spacing":"4 ft","line":"18 ft"},"drive":"circuit","maxCV":0.15,"widths":["9 ft","24 ft"]}`)
	bounded(t, EffectiveWidth, `{"rule":"half of centre","pattern":{"trays":[0,1,2,1,0],"spacing":"1 m","line":"2 m"},"centre":"1 m"}`)
	bounded(t, EffectiveWidth, `{"rule":"two passes","twoPasses":"9 m"}`)
	bounded(t, Correct[units.MassPerArea], `{"measured":"9 ton/acre","interval":{"low":"8 ton/acre","high":"10 ton/acre"},"target":"8 ton/acre","tolerance":0.1,"accept":"interval","speed":{"now":"3 mph","limits":{"low":"1 mph","high":"9 mph"}},"gate":{"now":5}}`)
	bounded(t, Correct[units.VolumePerArea], `{"measured":"9000 gal/acre","target":"8000 gal/acre","tolerance":0.1,"flow":{"now":"300 gpm"}}`)
	bounded(t, Compare, `{"confidence":0.95,"records":[{"version":2,"date":"2025-04-01","machine":"m","material":"x","method":"sheets","speed":"3 mph","flow":"9 gpm","gate":3,"width":"9 ft","cv":0.2,"christiansen":0.8,
		"solid":{"n":2,"rate":"9 ton/acre","sd":"1 ton/acre","interval":{"low":"8 ton/acre","high":"10 ton/acre"},"confidence":0.9,"target":"8 ton/acre","readings":[{"rate":"8 ton/acre","weight":0.5},{"rate":"10 ton/acre","weight":0.5}]}},
		{"version":2,"date":"2026-04-01","machine":"m","material":"x","method":"sheets","solid":{"n":5,"rate":"5 ton/acre","sd":"0.4 ton/acre"}}]}`)
}

// oddNumbers are what no job has.
var oddNumbers = []float64{math.SmallestNonzeroFloat64, 1e-310, 1e-200, -1e-310, 1e200, 1e308, -1e308, math.Inf(1), math.Inf(-1), math.NaN()}

// bounded runs a computation with each number of a sound spec replaced.
func bounded[S any, R fmt.Stringer](t *testing.T, run func(S) (R, error), text string) {
	t.Helper()
	var sound S
	require.NoError(t, units.Decode([]byte(text), &sound))
	_, err := run(sound)
	require.NoError(t, err, text)
	_, paths := leaves(reflect.ValueOf(&sound), "")
	for i, path := range paths {
		with := func(x float64) (R, error) {
			var spec S
			require.NoError(t, units.Decode([]byte(text), &spec))
			numbers, _ := leaves(reflect.ValueOf(&spec), "")
			numbers[i].SetFloat(x)
			return run(spec)
		}
		for _, x := range oddNumbers {
			r, err := with(x)
			if err != nil {
				require.NotEmpty(t, units.FieldErrors(err), "%T %s %g: %v", sound, path, x, err)
				for _, f := range units.FieldErrors(err) {
					require.NotEmpty(t, f.Field, "%T %s %g: %v", sound, path, x, err)
				}
				continue
			}
			require.LessOrEqual(t, math.Abs(x), 1e-200, "%T: %s may be %g", sound, path, x)
			_, err = json.Marshal(r)
			require.NoError(t, err, "%T: %s %g", sound, path, x)
			require.NotContains(t, r.String(), "NaN", "%T: %s %g", sound, path, x)
			require.NotContains(t, r.String(), "Inf", "%T: %s %g", sound, path, x)
		}
		zero, zeroErr := with(0)
		minus, minusErr := with(math.Copysign(0, -1))
		require.Equal(t, zeroErr == nil, minusErr == nil, "%T: %s is -0", sound, path)
		if zeroErr == nil {
			require.Equal(t, zero.String(), minus.String(), "%T: %s is -0", sound, path)
		}
	}
}

// leaves lists the numbers within v with their paths.
func leaves(v reflect.Value, path string) (numbers []reflect.Value, paths []string) {
	add := func(v reflect.Value, path string) {
		n, p := leaves(v, path)
		numbers, paths = append(numbers, n...), append(paths, p...)
	}
	switch v.Kind() {
	case reflect.Float64:
		return []reflect.Value{v}, []string{path}
	case reflect.Pointer:
		if !v.IsNil() {
			add(v.Elem(), path)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() {
				add(v.Field(i), path+"."+f.Name)
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			add(v.Index(i), fmt.Sprintf("%s[%d]", path, i))
		}
	}
	return numbers, paths
}
