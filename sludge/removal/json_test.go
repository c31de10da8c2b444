package removal

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units/evidence"
)

// Every spec and result survives JSON, and shows no US unit to who asks for metric ones.
func TestJSON(t *testing.T) {
	seen := evidence.Trips{}
	const (
		slurry = `{"volume":"10000 gal","solids":"8 %","solidsGravity":1.5}`
		hose   = `{"flow":"1000 gpm","pumping":0.8,"rate":"13000 gal/acre","setArea":"30 acre","setUp":"1 h"}`
		fleet  = `{"trucks":4,"capacity":"3000 gal","fill":0.9,"distance":"3 mi","speedOut":"20 mph","speedBack":"25 mph","unload":"5 min","loadRate":"900 gpm","efficiency":0.8,"loading":"effective"}`
		plan   = `"solids":"18 %","solidsGravity":1.5,"pumpOff":{"hose":` + hose + `},"dig":{"swell":1.1,"fleet":` + fleet + `},"workDay":"10 h"`
	)
	evidence.RoundTrip(t, seen, NewSlurry, slurry)
	evidence.RoundTrip(t, seen, SolidsGravity, `{"parts":[{"dry":"10 lb","gravity":1.1},{"dry":"5 lb","gravity":2.4}]}`)
	evidence.RoundTrip(t, seen, FitHaulTime, `{"runs":[{"distance":"2 mi","time":"8 min"},{"distance":"10 mi","time":"24 min"}]}`)
	evidence.RoundTrip(t, seen, Thicken, `{"in":`+slurry+`,"solids":"20 %","recovery":0.9}`)
	evidence.RoundTrip(t, seen, Dilute, `{"in":`+slurry+`,"solids":"5 %"}`)
	evidence.RoundTrip(t, seen, Pump, `{"volume":"1000000 gal","hose":`+hose+`}`)
	const line = `{"sections":[{"length":"2500 ft","diameter":"6 in","coefficient":140}],"friction":"hazen-williams","slurryFactor":1.2,"lift":"20 ft","outlet":"60 ft","curve":[{"flow":"0 gpm","head":"400 ft"},{"flow":"1500 gpm","head":"200 ft"}]}`
	evidence.RoundTrip(t, seen, Line, line)
	evidence.RoundTrip(t, seen, Pump, `{"volume":"1000000 gal","hose":{"pumping":0.8,"line":`+line+`}}`)
	evidence.RoundTrip(t, seen, Agitation, `{"volume":"500000 gal","flow":"1300 gpm","machines":1}`)
	evidence.RoundTrip(t, seen, Haul, `{"volume":"1000 yd3","fleet":`+fleet+`}`)
	evidence.RoundTrip(t, seen, Plan, `{"sludge":"300000 gal","liquid":"1000000 gal",`+plan+`}`)
	evidence.RoundTrip(t, seen, Plan, `{"sludge":"300000 gal","interval":{"low":"200000 gal","high":"400000 gal"},"liquid":"100000 gal",
		"agitate":{"mix":"all","target":"5 %","residual":0.1,"agitation":"8 h","pump":{"hose":`+hose+`}},`+plan+`}`)
	evidence.RoundTrip(t, seen, Plan, `{"sludge":"300000 gal","liquid":"100000 gal","floor":"1 acre",
		"constituents":[{"name":"P2O5","liquid":{"perVolume":"2 lb/1000 gal"},"sludge":{"perDry":"6 %"}}],
		"exchanges":[{"name":"rain","kind":"rain","stage":"drain","volume":"9000 gal"}],
		"agitate":{"mix":"all","target":"5 %","residual":0.1,"agitation":"8 h","machine":{"flow":"2000 gpm","machines":2},"pump":{"hose":`+hose+`}},`+plan+`}`)
	require.Empty(t, seen.Untried(t, "example.org/earthbasin/sludge/removal"))
}
