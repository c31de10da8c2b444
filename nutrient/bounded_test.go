package nutrient

import (
	"testing"

	"example.org/earthbasin/units/evidence"
)

// Every number of every spec is held to bounds that no job reaches.
func TestEveryNumberIsBounded(t *testing.T) {
	const analysis = `{"form":"liquid","density":"1010 kg/m3","solids":"60 kg/m3","totalN":"4 kg/m3","ammoniumN":"1.5 kg/m3","organicN":"2.5 kg/m3","nitrateN":"0.01 kg/m3","p":"1 kg/m3","k":"2 kg/m3","elements":{"Cu":"0.01 kg/m3"},"ec":12,"ph":7.5}`
	const query = `{"method":"injected","compost":"fresh","dryMatter":"5.9 %"}`
	evidence.Bounded(t, Analyze, `{"form":"liquid","solids":"6 %","density":"1010 kg/m3","totalN":"4 kg/m3","tkn":"4 kg/m3","organicN":"2.5 kg/m3","ammoniumN":"1.5 kg/m3","nh4":"1.93 kg/m3","nitrateN":"0.01 kg/m3","no3":"0.0443 kg/m3","p":"1 kg/m3","p2o5":"2.29 kg/m3","k":"2 kg/m3","k2o":"2.41 kg/m3","elements":{"Cu":"0.01 kg/m3"},"ec":12,"ph":7.5}`)
	evidence.Bounded(t, Samples, `{"confidence":0.95,"samples":[{"amount":"1000 gal","report":{"form":"liquid","tkn":"4 kg/m3","density":"1010 kg/m3","ec":3,"ph":7}},{"amount":"3000 gal","report":{"form":"liquid","tkn":"5 kg/m3","density":"1020 kg/m3"}}]}`)
	evidence.Bounded(t, Available, `{"analysis":`+analysis+`,"state":"alberta","query":`+query+`,"years":3}`)
	evidence.Bounded(t, CarryOver, `{"first":2026,"seasons":3,"applications":[{"season":2025,"rate":"5,000 gal/acre","analysis":`+analysis+`,"state":"alberta","query":`+query+`}]}`)
	evidence.Bounded(t, Budget, `{"first":2026,"seasons":3,"rotation":[{"crop":"corn","yield":{"perAcre":150,"unit":"bu"},"n":{"low":"130 lb/acre","high":"140 lb/acre"},"p2o5":{"low":"50 lb/acre","high":"60 lb/acre"},"k2o":{"low":"40 lb/acre","high":"45 lb/acre"}}],
		"applications":[{"season":2026,"manure":true,"p2o5":"100 lb/acre","k2o":"90 lb/acre","nCap":"120 lb/acre"}],
		"banking":{"years":5,"rest":4,"available":0.8},"soilP":{"value":30,"unit":"ppm","extractant":"olsen"},"soilK":{"value":150,"unit":"lb/acre","extractant":"ammonium acetate"},
		"p2o5PerPpm":{"low":"18 lb/acre","high":"20 lb/acre"},"k2oPerPpm":{"low":"6 lb/acre","high":"10 lb/acre"}}`)
	evidence.Bounded(t, FieldRate, `{"limits":[{"kind":"nitrogen","holds":"12 lb/1000 gal","room":"120 lb/acre"},{"kind":"pass","rate":"9,000 gal/acre"}],"needs":[{"name":"N","holds":"12 lb/1000 gal","need":"120 lb/acre"}]}`)
	evidence.Bounded(t, NitrogenRoom, `{"need":"180 lb/acre","ceiling":"150 lb/acre","legume":"40 lb/acre","irrigationNitrate":"10 mg/L","irrigationDepth":"6 in","soilNitrate":"3 mg/kg","soilNitrateCredit":"8 lb/acre","starter":"5 lb/acre","earlierManure":"12 lb/acre"}`)
	evidence.Bounded(t, Metals, `{"table":{"id":"x","limits":[{"metal":"Zn","ceiling":"7500 mg/kg","low":"2800 mg/kg","cumulative":"2800 kg/ha","annual":"140 kg/ha"}]},"annual":"apply","metals":[{"metal":"Zn","dry":"2000 mg/kg","holds":"400 mg/kg","before":"100 kg/ha","thisYear":"10 kg/ha"}],"yearly":"10 ton/acre"}`)
	evidence.Bounded(t, Hydraulic, `{"layers":[{"depth":"2 ft","texture":"loam"},{"depth":"1 ft","holds":{"low":0.1,"high":0.2}}],"depleted":0.5,"target":"6 in","evapotranspiration":"0.2 in/d","application":"0.4 in/h","intake":"0.5 in/h"}`)
	evidence.Bounded(t, SaltRatings, `{"ec":2,"dissolved":"1000 mg/L","sar":5,"sodium":"100 mg/L","chloride":"150 mg/L","boron":"0.5 mg/L","nitrate":"20 mg/L"}`)
	evidence.Bounded(t, Worth, `{"nutrients":[{"name":"N","holds":"20 lb/1000 gal","available":0.6,"price":"0.5 per lb","need":"100 lb/acre"}],"rate":"5,000 gal/acre","yield":"10 per acre","spread":"4 per 1000 gal","haulPerMile":"2 per 1000 gal","distance":"0.5 mi","incorporate":"8 per acre"}`)
}
