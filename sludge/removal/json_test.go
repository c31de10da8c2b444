package removal

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units/evidence"
)

// Every spec and result survives JSON, and shows no US unit to who asks for metric ones.
func TestJSON(t *testing.T) {
	evidence.KeepWorkings(t, "testdata/workings/json.txt")
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

// What the plans, fleets, lines and agitators of many kinds come to, with every note.
func TestWorkings(t *testing.T) {
	evidence.KeepWorkings(t, "testdata/workings/kinds.txt")
	const (
		hose    = `"hose":{"flow":"900 gpm","pumping":0.8,"rate":"12000 gal/acre","setArea":"20 acre","setUp":"1 h","moved":"2600 ft","laying":"2 mph"}`
		costs   = `"cost":{"fixed":800,"perVolume":"0.9 per yd3","perVolumeMile":"0.2 per yd3","perMass":"0.4 per ton","perLoad":3,"perHour":"190 per h","perTruckHour":"95 per h","haul":"0.11 per yd3"}`
		pumping = `"cost":{"fixed":700,"perVolume":"0.9 per yd3","perMass":"0.4 per ton","perHour":"190 per h","haul":"0.11 per yd3"}`
		bucket  = `"bucket":{"size":"2 yd3","fill":1.1,"cycle":"30 s","width":"4 ft","pass":"12 ft"}`
		trucks  = `"trucks":3,"capacity":"14 yd3","fill":1.05,"distance":"4 mi","speedOut":"25 mph","speedBack":"30 mph","unload":"6 min","wait":"2 min","efficiency":0.8`
		machine = `"machine":{"flow":"1500 gpm","machines":2,"power":"90 hp","leastIntensity":"9 W/m3","leastTurnovers":3,"residual":[{"turnovers":0.5,"residual":0.6},{"turnovers":4,"residual":0.2}],"reach":"90 ft","access":"one bank","length":"400 ft","width":"200 ft"}`
		common  = `"solidsGravity":1.6,"liquidSolids":"0.5 %","workDay":"9 h"`
	)
	for _, text := range []string{
		// Thick sludge, thin layer, drained before it is dug.
		`{"sludge":"2000 yd3","contents":"9000 yd3","solids":"14 %",` + common + `,"floor":"2 acre","pumpOff":{` + hose + `,` + pumping + `},
			"dig":{"swell":1.15,"drained":"19 %","lost":0.05,"fleet":{` + trucks + `,"loading":"effective",` + bucket + `},` + costs + `},
			"agitate":{"mix":"needed","target":"7 %","residualSolids":"16 %","agitation":"6 h","again":"1 h","fixed":500,"perHour":"120 per h","water":"4 per 1000 gal",` + machine + `,"pump":{` + hose + `,` + pumping + `}}}`,
		// Little liquid: water is brought in; what stays is an assumption.
		`{"sludge":"600000 gal","liquid":"100000 gal","solids":"16 %",` + common + `,"floor":"1 acre","pumpOff":{` + hose + `},
			"dig":{"swell":1,"fleet":{` + trucks + `,"loading":"peak","loadRate":"700 gpm"},` + costs + `},
			"agitate":{"mix":"all","target":"6 %","residual":0.15,"agitation":"4 h","water":"4 per 1000 gal","pump":{` + hose + `,` + pumping + `}}}`,
		// Thin sludge in a box, and equipment that does not take it.
		`{"sludge":"600000 gal","liquid":"900000 gal","solids":"6 %",` + common + `,"pumpOff":{` + hose + `},"dig":{"swell":1,"fleet":{` + trucks + `,"loading":"peak",` + bucket + `}},
			"agitate":{"mix":"all","target":"5 %","residual":0,"agitation":"1 h","machine":{"flow":"1000 gpm","machines":1},"pump":{"fleet":{` + trucks + `,"loading":"peak","loadRate":"900 gpm"},"solids":{"low":"0 %","high":"2 %"}}}}`,
		// Constituents, rain, inflow and evaporation.
		`{"sludge":"600000 gal","interval":{"low":"400000 gal","high":"700000 gal"},"contents":"2500000 gal","solids":"9 %",` + common + `,
			"constituents":[{"name":"P2O5","liquid":{"perVolume":"2 lb/1000 gal"},"sludge":{"perDry":"6 %"}},{"name":"K2O","liquid":{"perVolume":"9 lb/1000 gal"},"sludge":{"perVolume":"10 lb/1000 gal"},"withWater":0.9}],
			"exchanges":[{"name":"rain","kind":"rain","stage":"drain","volume":"9000 gal"},{"name":"barns","kind":"inflow","route":"agitate and pump","stage":"pump","volume":"20000 gal","solids":"1 %","contents":{"P2O5":"1 lb/1000 gal","K2O":"3 lb/1000 gal"}},
				{"name":"sun","kind":"evaporation","volume":"30000 gal"}],
			"pumpOff":{` + hose + `},"dig":{"swell":1.1,"drained":"15 %","fleet":{` + trucks + `,"loading":"effective","loadRate":"700 gpm"}},
			"agitate":{"mix":"all","target":"5 %","residual":0.1,"residualSolids":"11 %","agitation":"8 h","pump":{` + hose + `}}}`,
	} {
		evidence.RoundTrip(t, evidence.Trips{}, Plan, text)
	}
	for _, text := range []string{
		`{"volume":"900 yd3","density":"1300 kg/m3","layer":"7 in","fleet":{` + trucks + `,"loading":"effective",` + bucket + `}}`,
		`{"volume":"900 yd3","density":"1300 kg/m3","fleet":{` + trucks + `,"loading":"peak",` + bucket + `,"payload":"15 ton","road":{"gross":"80000 lb","tare":"30000 lb","axles":[{"name":"drive tandem","limit":"34000 lb","share":0.5},{"name":"steer","limit":"20000 lb","share":0.2}]}}}`,
		`{"volume":"900 yd3","density":"1300 kg/m3","fleet":{"trucks":9,"capacity":"14 yd3","fill":1,"travel":"12 min","unload":"4 min","efficiency":0.8,"loading":"effective","loadRate":"300 gpm","road":{"gross":"48000 lb","tare":"30000 lb"}}}`,
	} {
		evidence.RoundTrip(t, evidence.Trips{}, Haul, text)
	}
	const curve = `"curve":[{"flow":"0 gpm","head":"420 ft"},{"flow":"800 gpm","head":"390 ft"},{"flow":"1500 gpm","head":"250 ft"}]`
	for _, text := range []string{
		`{"sections":[{"length":"2500 ft","diameter":"6 in","coefficient":0.018},{"length":"1000 ft","diameter":"5 in","coefficient":0.02}],"friction":"darcy-weisbach","slurryFactor":1.4,"lift":"20 ft","outlet":"60 ft",` + curve + `,
			"suction":{"atmosphere":"33 ft","vapour":"1 ft","lift":"15 ft","loss":"6 ft","required":"14 ft"}}`,
		`{"sections":[{"length":"100 ft","diameter":"8 in","coefficient":140}],"friction":"hazen-williams","slurryFactor":1,"lift":"-10 ft","outlet":"30 ft",` + curve + `,"suction":{"atmosphere":"33 ft","vapour":"1 ft","lift":"-3 ft","loss":"2 ft","required":"9 ft"}}`,
		`{"sections":[{"length":"9000 ft","diameter":"6 in","coefficient":140}],"friction":"hazen-williams","slurryFactor":6,"lift":"40 ft","outlet":"60 ft",` + curve + `}`,
	} {
		evidence.RoundTrip(t, evidence.Trips{}, Line, text)
	}
	for _, text := range []string{
		`{"volume":"900000 gal","time":"20 h","flow":"1500 gpm","machines":2,"power":"90 hp","leastIntensity":"1 W/m3","leastTurnovers":2,"residual":[{"turnovers":1,"residual":0.5},{"turnovers":3,"residual":0.2}],"reach":"90 ft","access":"boat","length":"400 ft","width":"200 ft"}`,
		`{"volume":"900000 gal","time":"9 h","flow":"1500 gpm","machines":2,"power":"20 hp","leastIntensity":"9 W/m3","leastTurnovers":3,"reach":"90 ft","access":"both banks","length":"400 ft","width":"200 ft"}`,
		`{"volume":"900000 gal","time":"2 h","flow":"1500 gpm","machines":1,"residual":[{"turnovers":1,"residual":0.5},{"turnovers":3,"residual":0.2}],"reach":"90 ft","access":"one bank","length":"400 ft","width":"70 ft"}`,
	} {
		evidence.RoundTrip(t, evidence.Trips{}, Agitation, text)
	}
	for _, text := range []string{`{"volume":"10000 gal","solids":"8 %","solidsGravity":1.5}`, `{"volume":"10000 gal","dry":"7000 lb","solidsGravity":1.5,"waterDensity":"998 kg/m3"}`, `{"dry":"7000 lb","solids":"8 %","solidsGravity":1.5}`, `{"volume":"10000 gal","solidsGravity":1.5}`} {
		evidence.RoundTrip(t, evidence.Trips{}, NewSlurry, text)
	}
}
