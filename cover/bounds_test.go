package cover_test

import (
	"testing"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/units/evidence"
)

// Every number of every spec is held to bounds that no job reaches.
func TestEveryNumberIsBounded(t *testing.T) {
	evidence.Bounded(t, cover.Mix, `{"area":"2 acre","basis":"shares of seeds","method":"drilled","methodFactor":1,"criticalFactor":1,"seedsPerArea":"40 seeds/ft2","want":{"low":"10 seeds/ft2","high":"90 seeds/ft2"},"rowSpacing":"8 in","width":"30 ft",
		"items":[{"species":"timothy","countSource":"W","share":0.5,"lot":{"purity":0.9,"germination":0.7,"hard":0.1,"dormant":0.1},"price":"4 per lb","bag":"50 lb"},{"species":"Mexican hat","countSource":"T","criticalFactor":2,"share":0.5,"lot":{"purity":0.95,"viability":0.9}}]}`)
	evidence.Bounded(t, cover.Mix, `{"area":"2 acre","basis":"shares of PLS weight","method":"broadcast","methodFactor":2,"criticalFactor":1.5,"rate":"20 lb/acre",
		"items":[{"species":"timothy","share":1,"seedsPerMass":"1200000 seeds/lb","lot":{"purity":0.9,"germination":0.7}}]}`)
	evidence.Bounded(t, cover.Mix, `{"area":"2 acre","basis":"shares of pure stand","method":"broadcast","methodFactor":2,"criticalFactor":1.5,
		"items":[{"species":"timothy","countSource":"W","share":1,"pureStand":"9 lb/acre","lot":{"purity":0.9,"germination":0.7}}]}`)
	evidence.Bounded(t, cover.Mix, `{"area":"2 acre","basis":"rates of PLS","method":"broadcast","methodFactor":2,"criticalFactor":1.5,
		"species":[{"common":"a","botanical":"b","form":"forb","counts":[{"low":"1e5 seeds/lb","high":"2e5 seeds/lb","source":"a"}],"rates":[{"low":"1 lb/acre","high":"2 lb/acre","source":"a"}]}],
		"items":[{"species":"a","rate":"3 lb/acre","lot":{"purity":0.9,"germination":0.7}}]}`)
	evidence.Bounded(t, cover.LS, `{"version":"AH-703","length":"9 ft","grade":0.1,"rill":"moderate"}`)
	evidence.Bounded(t, cover.LS, `{"version":"AH-703","length":"9 ft","grade":0.7,"rill":"high"}`)
	evidence.Bounded(t, cover.LS, `{"version":"AH-537","length":"90 ft","grade":0.1,"exponent":0.4}`)
	evidence.Bounded(t, cover.Erodibility, `{"siltAndVeryFineSand":0.6,"clay":0.2,"organicMatter":0.02,"structure":2,"permeability":3}`)
	evidence.Bounded(t, cover.Pasture, `{"canopy":"none","ground":"weeds","cover":0.4,"bare":"0.45 at 10 %"}`)
	evidence.Bounded(t, cover.SoilLoss, `{"system":"SI","r":3000,"k":0.04,"ls":1,"p":1,"bareC":1,"coveredC":0.01,"stages":[{"cover":"straw","c":0.1,"months":3}],"area":"1 ha","begin":5,"monthlyR":[0,0,0,0,1,0,0,0,0,0,0,0],"deliveryRatio":0.3,"tolerance":"4 ton/acre"}`)
	evidence.Bounded(t, cover.Lime, `{"basis":"ECCE","need":"2 ton/acre","referenceECCE":1,"area":"1 acre","material":{"cce":0.9,"fineness":{"pass20":0.9,"pass60":0.6,"pass100":0.4},"price":"30 per ton"}}`)
	evidence.Bounded(t, cover.Lime, `{"basis":"ENM","need":"2 ton/acre","area":"1 acre","material":{"enm":"400 lb/ton"}}`)
	evidence.Bounded(t, cover.Lime, `{"basis":"ENP","need":"2 ton/acre","area":"1 acre","material":{"enp":"1600 lb/ton"}}`)
	evidence.Bounded(t, cover.LimeNeed, `{"method":"North Carolina","ph":5,"goal":6,"acidity":1.2,"credit":"0.1 ton/acre"}`)
	evidence.Bounded(t, cover.LimeNeed, `{"method":"North Carolina","ph":5,"goal":6,"bufferPH":6.2}`)
	evidence.Bounded(t, cover.Fertilizer, `{"need":{"n":"40 lb/acre","p2o5":"10 lb/acre"},"rule":"blend of least cost","grades":[{"name":"a","n":0.46,"price":"500 per ton"},{"name":"b","n":0.11,"p2o5":0.52,"price":"700 per ton","bag":"50 lb"},{"name":"c","n":0.28,"density":"10.7 lb/gal","price":"300 per ton"}],"most":{"n":"50 lb/acre"},"area":"1 acre"}`)
	evidence.Bounded(t, cover.Fertilizer, `{"need":{"n":"40 lb/acre","k2o":"10 lb/acre"},"rule":"single that meets all","grades":[{"name":"a","n":0.12,"p2o5":0.12,"k2o":0.12}],"area":"1 acre"}`)
	evidence.Bounded(t, cover.Mulch, `{"area":"1 acre","rate":"2 ton/acre","slope":4,"anchoring":"crimped","crimp":"3 in","cover":0.9,"thickness":"2 in","bale":"50 lb","price":"90 per ton","rules":["denver-straw"],
		"own":[{"id":"a","jurisdiction":"a","material":"a","source":"a","rate":{"low":"1 ton/acre","high":"2 ton/acre"},"minCover":0.8,"thickness":{"low":"1 in","high":"3 in"},"crimpDepth":"2 in","minSlope":3}]}`)
	evidence.Bounded(t, cover.SoilNeed, `{"rules":"illinois-327","tested":true,"ph":5.6,"p":"20 lb/acre","k":"100 lb/acre","fertilizer":{"n":"10 lb/acre"},"lime":"1 ton/acre"}`)
	evidence.Bounded(t, cover.Nurse, `{"name":"oats","temporaryRate":"64 lb/acre","share":0.5,"mostShare":0.5,"area":"1 acre","bag":"50 lb","price":"0.3 per lb"}`)
	evidence.Bounded(t, cover.Payment, `{"scenarios":[{"name":"a","rate":"129 per acre","area":"1.23 acre","share":1,"cap":100},{"name":"b","cost":100,"share":0.5}],"acres":"tenth up","cap":1000,"cost":500,"withinCost":true}`)
	evidence.Bounded(t, cover.Bids, `{"items":[{"name":"grading","quantity":2,"unit":"acre"}],"bids":[{"bidder":"one","unitPrices":[9],"stated":20},{"bidder":"two","unitPrices":[null]}],"payment":5,"area":"2 acre"}`)
	// Further ways through each computation, for their workings.
	evidence.Bounded(t, cover.Mix, `{"area":"3 acre","basis":"shares of bulk weight","method":"hydroseeded","methodFactor":1.5,"criticalFactor":1.2,"rate":"30 lb/acre","countSources":["P"],"want":{"low":"500 seeds/ft2","high":"900 seeds/ft2"},
		"items":[{"species":"switch grass","share":0.7,"lot":{"purity":0.9,"germination":0.5,"hard":0.2},"price":"8 per lb"},{"species":"oats","share":0.3,"lot":{"purity":0.98,"germination":0.9},"bag":"50 lb"}]}`)
	evidence.Bounded(t, cover.LS, `{"version":"AH-703","length":"12 ft","grade":0.12,"rill":"moderate"}`)
	evidence.Bounded(t, cover.LS, `{"version":"AH-703","length":"150 ft","grade":0.33,"rill":"low"}`)
	evidence.Bounded(t, cover.LS, `{"version":"AH-537 smooth exponent","length":"200 ft","grade":0.04}`)
	evidence.Bounded(t, cover.LS, `{"version":"older quadratic","length":"200 ft","grade":0.04}`)
	evidence.Bounded(t, cover.LS, `{"version":"AH-537","length":"200 ft","grade":0.0325}`)
	evidence.Bounded(t, cover.Erodibility, `{"siltAndVeryFineSand":0.3,"clay":0.2,"organicMatter":0.06,"structure":1,"permeability":1}`)
	evidence.Bounded(t, cover.Pasture, `{"canopy":"trees 50 %","ground":"grass or litter","cover":0.97,"bare":"0.45 at 0 %"}`)
	evidence.Bounded(t, cover.SoilLoss, `{"system":"US","r":150,"k":0.8,"ls":4,"p":0.9,"bareC":1,"coveredC":0.01,"stages":[{"cover":"straw","c":0.1,"months":3},{"cover":"year 1","c":0.05,"months":11}],"area":"2 acre","begin":9,"monthlyR":[0.02,0.02,0.04,0.07,0.12,0.18,0.19,0.16,0.1,0.05,0.03,0.02],"tolerance":"5 ton/acre"}`)
	evidence.Bounded(t, cover.Lime, `{"basis":"CCE","need":"2 ton/acre","area":"3 acre","material":{"cce":0.9,"price":"30 per ton"}}`)
	evidence.Bounded(t, cover.LimeNeed, `{"method":"Penn State","ph":5.4,"goal":6.5,"acidity":6}`)
	evidence.Bounded(t, cover.LimeNeed, `{"method":"Penn State","ph":5.4,"goal":7,"acidity":3}`)
	evidence.Bounded(t, cover.Fertilizer, `{"need":{"n":"40 lb/acre","p2o5":"20 lb/acre","k2o":"60 lb/acre"},"rule":"single without excess","grades":[{"name":"d","n":0.12,"p2o5":0.12,"k2o":0.12,"bag":"50 lb","price":"600 per ton"}],"area":"2 acre"}`)
	evidence.Bounded(t, cover.SoilNeed, `{"rules":"iowa-327","tested":true,"ph":6.5,"fertilizer":{"n":"5 lb/acre","p2o5":"10 lb/acre","k2o":"5 lb/acre"},"lime":"1500 lb/acre"}`)
	evidence.Bounded(t, cover.SoilNeed, `{"rules":"illinois-327","tested":true,"ph":5.2,"p":"10 lb/acre","k":"160 lb/acre","stand":"cool-season grass with legume"}`)
	evidence.Bounded(t, cover.SoilNeed, `{"rules":"wake-nc"}`)
	evidence.Bounded(t, cover.Mulch, `{"area":"2 acre","rate":"1.5 ton/acre","anchoring":"none","price":"90 per ton","rules":["north-carolina","wisconsin-crimped","pennsylvania-compost","colorado-leaflet"]}`)
	evidence.Bounded(t, cover.TopsoilOrder, `{"area":"2 acre","depth":"6 in","loss":0.1,"stock":"500 yd3","price":"20 per yd3"}`)
	evidence.Bounded(t, cover.Payment, `{"scenarios":[{"name":"a","rate":"410 per acre","area":"2.37 acre","share":0.75,"cap":600},{"name":"b","rate":"120 per acre","area":"2.37 acre","share":0.5}],"acres":"whole down","cost":700}`)
	evidence.Bounded(t, cover.Bids, `{"items":[{"name":"fill","quantity":1000,"unit":"yd3"},{"name":"seeding","quantity":2,"unit":"acre"}],"bids":[{"bidder":"A","unitPrices":[4,500],"stated":5000},{"bidder":"B","unitPrices":[3.5,600],"stated":4800},{"bidder":"C","unitPrices":[3,null]}],"payment":1000}`)
}
