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
	evidence.RoundTrip(t, seen, Thicken, `{"in":`+slurry+`,"solids":"20 %","recovery":0.9}`)
	evidence.RoundTrip(t, seen, Dilute, `{"in":`+slurry+`,"solids":"5 %"}`)
	evidence.RoundTrip(t, seen, Pump, `{"volume":"1000000 gal","hose":`+hose+`}`)
	evidence.RoundTrip(t, seen, Haul, `{"volume":"1000 yd3","fleet":`+fleet+`}`)
	evidence.RoundTrip(t, seen, Plan, `{"sludge":"300000 gal","liquid":"1000000 gal",`+plan+`}`)
	evidence.RoundTrip(t, seen, Plan, `{"sludge":"300000 gal","interval":{"low":"200000 gal","high":"400000 gal"},"liquid":"100000 gal",
		"agitate":{"mix":"all","target":"5 %","residual":0.1,"agitation":"8 h","pump":{"hose":`+hose+`}},`+plan+`}`)
	require.Empty(t, seen.Untried(t, "example.org/earthbasin/sludge/removal"))
}
