package calibrate

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/evidence"
)

// Every spec with only its required fields set, and its result, go through JSON and
// back.
func TestJSONBothWays(t *testing.T) {
	seen := evidence.Trips{}
	evidence.RoundTrip(t, seen, Sheets, `{"area":"36 ft2","tare":"0 lb","sheets":[{"gross":"18 lb"}],"confidence":0.95}`)
	evidence.RoundTrip(t, seen, Sheets, `{"area":"36 ft2","tare":"0 lb","sheets":[{"gross":"18 lb"},{"gross":"14 lb"},{"gross":"17 lb"}],"confidence":0.95}`)
	evidence.RoundTrip(t, seen, LoadArea[units.Mass, units.MassPerArea], `{"runs":[{"load":"8 ton","loads":2.5,"area":"2 acre"}],"confidence":0.9}`)
	evidence.RoundTrip(t, seen, LoadArea[units.Volume, units.VolumePerArea], `{"runs":[{"load":"3000 gal","loads":2.5,"width":"20 ft","distance":"1500 ft"},{"load":"3000 gal","loads":1,"area":"1 acre"}],"confidence":0.9}`)
	evidence.RoundTrip(t, seen, LoadCapacity, `{"hold":"rated","rated":"3000 gal","fill":0.9}`)
	evidence.RoundTrip(t, seen, Solve, `{"flow":"500 gpm","speed":"3 mph","rate":"5000 gal/acre"}`)
	evidence.RoundTrip(t, seen, GearTable, `{"flow":"500 gpm","width":"15 ft","target":"6000 gal/acre","gears":[{"speed":"2 mph"}]}`)
	evidence.RoundTrip(t, seen, HoseSets, `{"flow":"1500 gpm","rate":"9000 gal/acre","width":"20 ft","area":"95 acre","setArea":"40 acre","pumping":0.9}`)
	evidence.RoundTrip(t, seen, Gauges, `{"system":"gun","gauges":[{"depth":"0.5 in"}],"confidence":0.95}`)
	evidence.RoundTrip(t, seen, Gauges, `{"system":"gun","gauges":[{"depth":"0 in"},{"depth":"0.5 in"}],"confidence":0.95}`)
	evidence.RoundTrip(t, seen, Lanes, `{"flow":"400 gpm","wetted":"320 ft","lane":"220 ft","depth":"0.5 in","length":"1000 ft"}`)
	evidence.RoundTrip(t, seen, GrossNet, `{"flow":"400 gpm","time":"10 h","area":"18 acre","net":"0.4 in"}`)
	evidence.RoundTrip(t, seen, SolidSet, `{"flow":"10 gpm","along":"40 ft","between":"60 ft","efficiency":0.8}`)
	evidence.RoundTrip(t, seen, Overlap, `{"pattern":{"trays":[0,2,5,2,0],"spacing":"4 ft","line":"8 ft"},"drive":"circuit","maxCV":0.15}`)
	evidence.RoundTrip(t, seen, EffectiveWidth, `{"rule":"two passes","twoPasses":"9 m"}`)
	evidence.RoundTrip(t, seen, EffectiveWidth, `{"rule":"half of maximum","pattern":{"trays":[0,1,2,1,0],"spacing":"1 m","line":"2 m"}}`)
	evidence.RoundTrip(t, seen, Correct[units.MassPerArea], `{"measured":"9 ton/acre","target":"8 ton/acre","tolerance":0.1}`)
	evidence.RoundTrip(t, seen, Correct[units.VolumePerArea], `{"measured":"9000 gal/acre","target":"8000 gal/acre","tolerance":0.1,"flow":{"now":"300 gpm"},"gate":{"now":3}}`)
	evidence.RoundTrip(t, seen, Compare, `{"confidence":0.95,"records":[{"version":2,"date":"2025-04-01","machine":"m","material":"x","method":"sheets","solid":{"n":1,"rate":"9 ton/acre"}},
		{"version":2,"date":"2026-04-01","machine":"m","material":"x","method":"sheets","solid":{"n":1,"rate":"5 ton/acre"}}]}`)
	require.Empty(t, seen.Untried(t, "example.org/earthbasin/calibrate"))
}
