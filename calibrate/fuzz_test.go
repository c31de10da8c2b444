package calibrate

import (
	"encoding/json"
	"fmt"
	"testing"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

// FuzzSpecs runs every computation on whatever decodes. A result that is given out
// has only finite numbers and named values, which is when it can be written.
func FuzzSpecs(f *testing.F) {
	for _, s := range []string{
		`{"sheets":{"area":"36 ft2","tare":"2 lb","sheets":[{"gross":"18 lb"},{"gross":"9 kg","tare":"1 lb","area":"30 ft2"},{"gross":"16 lb"}],"within":0.2,"needed":"pilot","confidence":0.95}}`,
		`{"loads":{"confidence":0.95,"runs":[{"load":"8 ton","loads":2.5,"width":"20 ft","distance":"1500 ft"},{"load":"8 ton","loads":3,"area":"2 acre"}]},"tanks":{"runs":[{"load":"3000 gal","loads":1,"area":"1 acre"}],"confidence":0.9}}`,
		`{"capacity":{"hold":"box","length":"12 ft","width":"6 ft","depth":"3 ft","heap":"1 ft","fill":1,"density":"55 lb/ft3"}}`,
		`{"solve":{"tank":{"volume":"3000 gal","time":"6 min"},"course":{"distance":"300 ft","time":"60 s"},"width":"15 ft"},"gears":{"flow":"500 gpm","width":"15 ft","target":"6000 gal/acre","gears":[{"name":"1","speed":"2 mph"}]}}`,
		`{"hose":{"flow":"1500 gpm","rate":"9000 gal/acre","width":"20 ft","area":"95 acre","setArea":"40 acre","setUp":"1 h","pumping":0.9,"limits":{"low":"2 mph","high":"6 mph"}}}`,
		`{"gauges":{"system":"pivot","gauges":[{"caught":"9 mL","at":"20 ft","after":"60 min"},{"caught":"8 mL","at":"40 ft","after":"65 min"},{"missing":true,"at":"60 ft"}],"opening":"50 cm2","evaporation":{"cans":[{"before":"50 mL","after":"48 mL"}],"over":"135 min"},"wind":"6 mph","confidence":0.95,"carries":{"N":"5 lb/1000 gal"}}}`,
		`{"lanes":{"flow":"400 gpm","wetted":"320 ft","lane":"220 ft","depth":"0.5 in","length":"1000 ft","wind":"9 mph"},"gross":{"flow":"400 gpm","time":"10 h","area":"18 acre","net":"0.4 in","carry":"5 lb/1000 gal"},"solidSet":{"flow":"10 gpm","along":"40 ft","between":"60 ft","efficiency":0.8,"run":"2 h"}}`,
		`{"overlap":{"pattern":{"trays":[0,2,5,8,10,9,8,6,2,0],"spacing":"4 ft","line":"18 ft"},"drive":"circuit","maxCV":0.15,"widths":["9 ft","24 ft"]},"width":{"rule":"half of maximum","pattern":{"trays":[0,1,2,1,0],"spacing":"1 m","line":"2 m"}}}`,
		`{"solid":{"measured":"9 ton/acre","target":"8 ton/acre","tolerance":0.1,"accept":"interval","speed":{"now":"3 mph"},"gate":{"now":5}},"liquid":{"measured":"9000 gal/acre","target":"8000 gal/acre","tolerance":0.1,"flow":{"now":"300 gpm"}}}`,
		`{"compare":{"confidence":0.9,"records":[{"version":2,"date":"2025-04-01","machine":"m","material":"x","method":"sheets","solid":{"n":5,"rate":"9 ton/acre","sd":"1 ton/acre"}},{"version":2,"date":"2026-04-01","machine":"m","material":"x","method":"sheets","solid":{"n":5,"rate":"5 ton/acre","sd":"0 t/ha"}}]}}`,
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		var s struct {
			Sheets   *SheetsSpec                       `json:"sheets"`
			Loads    *LoadAreaSpec[units.Mass]         `json:"loads"`
			Tanks    *LoadAreaSpec[units.Volume]       `json:"tanks"`
			Capacity *LoadCapacitySpec                 `json:"capacity"`
			Solve    *SolveSpec                        `json:"solve"`
			Gears    *GearTableSpec                    `json:"gears"`
			Hose     *HoseSetsSpec                     `json:"hose"`
			Gauges   *GaugesSpec                       `json:"gauges"`
			Lanes    *LanesSpec                        `json:"lanes"`
			Gross    *GrossNetSpec                     `json:"gross"`
			SolidSet *SolidSetSpec                     `json:"solidSet"`
			Overlap  *OverlapSpec                      `json:"overlap"`
			Width    *EffectiveWidthSpec               `json:"width"`
			Solid    *CorrectSpec[units.MassPerArea]   `json:"solid"`
			Liquid   *CorrectSpec[units.VolumePerArea] `json:"liquid"`
			Compare  *CompareSpec                      `json:"compare"`
		}
		if strict.Decode(text, &s) != nil {
			return
		}
		fuzzed(t, s.Sheets, Sheets)
		fuzzed(t, s.Loads, LoadArea)
		fuzzed(t, s.Tanks, LoadArea)
		fuzzed(t, s.Capacity, LoadCapacity)
		fuzzed(t, s.Solve, Solve)
		fuzzed(t, s.Gears, GearTable)
		fuzzed(t, s.Hose, HoseSets)
		fuzzed(t, s.Gauges, Gauges)
		fuzzed(t, s.Lanes, Lanes)
		fuzzed(t, s.Gross, GrossNet)
		fuzzed(t, s.SolidSet, SolidSet)
		fuzzed(t, s.Overlap, Overlap)
		fuzzed(t, s.Width, EffectiveWidth)
		fuzzed(t, s.Solid, Correct)
		fuzzed(t, s.Liquid, Correct)
		fuzzed(t, s.Compare, Compare)
	})
}

func fuzzed[S any, R fmt.Stringer](t *testing.T, spec *S, run func(S) (R, error)) {
	t.Helper()
	if spec == nil {
		return
	}
	r, err := run(*spec)
	if err != nil {
		return
	}
	_ = r.String()
	if _, err := json.Marshal(r); err != nil {
		t.Errorf("%T: %v", r, err)
	}
}
