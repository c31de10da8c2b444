package calibrate

import (
	"testing"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/evidence"
)

// Every number of every spec is held to bounds that no job reaches.
func TestEveryNumberIsBounded(t *testing.T) {
	evidence.Bounded(t, Sheets, `{"area":"36 ft2","tare":"2 lb","sheets":[{"gross":"18 lb"},{"gross":"9 kg","tare":"1 lb","area":"30 ft2"},{"gross":"16 lb"}],"confidence":0.95,"within":0.2}`)
	evidence.Bounded(t, LoadArea[units.Mass, units.MassPerArea], `{"runs":[{"load":"8 ton","loads":2.5,"width":"20 ft","distance":"1500 ft"},{"load":"8 ton","loads":3,"area":"2 acre"}],"confidence":0.9}`)
	evidence.Bounded(t, LoadCapacity, `{"hold":"box","length":"12 ft","width":"6 ft","depth":"3 ft","heap":"1 ft","fill":1,"density":"55 lb/ft3"}`)
	evidence.Bounded(t, LoadCapacity, `{"hold":"rated","rated":"3000 gal","fill":0.9}`)
	evidence.Bounded(t, Solve, `{"tank":{"volume":"3000 gal","time":"6 min"},"course":{"distance":"300 ft","time":"60 s"},"width":"15 ft"}`)
	evidence.Bounded(t, Solve, `{"flow":"500 gpm","speed":"3 mph","rate":"5000 gal/acre"}`)
	evidence.Bounded(t, GearTable, `{"flow":"500 gpm","width":"15 ft","target":"6000 gal/acre","gears":[{"name":"1","speed":"2 mph"},{"name":"2","course":{"distance":"300 ft","time":"60 s"}}]}`)
	evidence.Bounded(t, HoseSets, `{"flow":"1500 gpm","rate":"9000 gal/acre","width":"20 ft","area":"95 acre","setArea":"40 acre","setUp":"1 h","pumping":0.9,"limits":{"low":"2 mph","high":"6 mph"}}`)
	evidence.Bounded(t, Gauges, `{"system":"pivot","gauges":[{"caught":"9 mL","at":"20 ft","after":"60 min"},{"caught":"8 mL","at":"40 ft","after":"65 min"},{"missing":true,"at":"60 ft"}],"opening":"50 cm2","evaporation":{"cans":[{"before":"50 mL","after":"48 mL"}],"over":"135 min"},"confidence":0.95,"flag":0.2,"wind":"6 mph","carries":{"N":"5 lb/1000 gal"}}`)
	evidence.Bounded(t, Gauges, `{"system":"gun","gauges":[{"depth":"0.5 in"},{"depth":"0.4 in"}],"confidence":0.95}`)
	evidence.Bounded(t, Lanes, `{"flow":"400 gpm","wetted":"320 ft","lane":"220 ft","depth":"0.5 in","length":"1000 ft","wind":"9 mph"}`)
	evidence.Bounded(t, GrossNet, `{"flow":"400 gpm","time":"10 h","area":"18 acre","net":"0.4 in","carry":"5 lb/1000 gal"}`)
	evidence.Bounded(t, SolidSet, `{"flow":"10 gpm","along":"40 ft","between":"60 ft","efficiency":0.8,"run":"2 h"}`)
	evidence.Bounded(t, Overlap, `{"pattern":{"trays":[0,2,5,8,10,9,8,6,2,0],"spacing":"4 ft","line":"18 ft"},"drive":"circuit","maxCV":0.15,"widths":["9 ft","24 ft"]}`)
	evidence.Bounded(t, EffectiveWidth, `{"rule":"half of centre","pattern":{"trays":[0,1,2,1,0],"spacing":"1 m","line":"2 m"},"centre":"1 m"}`)
	evidence.Bounded(t, EffectiveWidth, `{"rule":"two passes","twoPasses":"9 m"}`)
	evidence.Bounded(t, Correct[units.MassPerArea], `{"measured":"9 ton/acre","interval":{"low":"8 ton/acre","high":"10 ton/acre"},"target":"8 ton/acre","tolerance":0.1,"accept":"interval","speed":{"now":"3 mph","limits":{"low":"1 mph","high":"9 mph"}},"gate":{"now":5}}`)
	evidence.Bounded(t, Correct[units.VolumePerArea], `{"measured":"9000 gal/acre","target":"8000 gal/acre","tolerance":0.1,"flow":{"now":"300 gpm"}}`)
	evidence.Bounded(t, Compare, `{"confidence":0.95,"records":[{"version":2,"date":"2025-04-01","machine":"m","material":"x","method":"sheets","speed":"3 mph","flow":"9 gpm","gate":3,"width":"9 ft","cv":0.2,"christiansen":0.8,
		"solid":{"n":2,"rate":"9 ton/acre","sd":"1 ton/acre","interval":{"low":"8 ton/acre","high":"10 ton/acre"},"confidence":0.9,"target":"8 ton/acre","readings":[{"rate":"8 ton/acre","weight":0.5},{"rate":"10 ton/acre","weight":0.5}]}},
		{"version":2,"date":"2026-04-01","machine":"m","material":"x","method":"sheets","solid":{"n":5,"rate":"5 ton/acre","sd":"0.4 ton/acre"}}]}`)
}
