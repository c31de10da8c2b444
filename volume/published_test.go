package volume_test

import (
	"math"
	"testing"
	"time"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/evidence"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/internal/plantest"
)

// check is a row of evidence.Check.
func check(quantity string, got, want, tol float64, unit, source string, kind evidence.Kind) evidence.Check {
	return evidence.Check{Quantity: quantity, Got: got, Want: want, Tol: tol, Unit: unit, Source: source, Kind: kind}
}

func TestPublishedBasins(t *testing.T) {
	ft, ft2, ft3, yd3 := units.Foot, units.SquareFoot, units.CubicFoot, units.CubicYard
	const (
		sheet    = "USDA NRCS, Agricultural Waste Management Field Handbook (NEH 651), chapter 10, worksheet 10A-2"
		third    = "North Carolina DEQ, filing 3318169"
		lagoon   = "North Carolina DEQ, filing 1131963"
		form     = "North Carolina DEQ, filing 3507688, sludge volumes by mid-area"
		form2020 = "North Carolina DEQ, sludge form of 26 October 2020"
		board    = "University of Regina, Math Central question database, QQ.09.07, excavation 100 x 70 ft"
		frusta   = "nativetreesociety.org, measurement of tree volumes, frustums of cones"
		alberta  = "Nutrient Management Planning Guide, Alberta Agriculture and Food, Agdex 400/28-3, p. 134"
		pile     = "Nutrient Management Planning Guide, Alberta Agriculture and Food, Agdex 400/28-3, p. 124, manure pile"
		shore    = "Ohio State University Extension, fact sheet A-2"
		slides   = "Texas extension slides on pond volume, mean depth of soundings"
		hec      = "FHWA, HEC-22, 4th edition, 2024, equations 10.10-10.11, as given in a third-party summary"
		ah590    = "USDA NRCS, Agriculture Handbook 590, excavated ponds, recalled"
		polynom  = "the area is a quadratic of the height: integral by hand"
	)
	rect := func(l, w, d units.Length, at volume.Reference, z ...float64) *volume.Rectangular {
		return plantest.Must[*volume.Rectangular](t)(volume.NewRectangular(volume.RectangularSpec{Length: l, Width: w, At: at, Depth: d, Slopes: z}))
	}
	floor := func(l, w, d units.Length, z ...float64) *volume.Rectangular {
		return rect(l, w, d, volume.ReferenceFloor, z...)
	}
	height := func(b volume.Basin, v units.Volume) float64 {
		return plantest.Must[units.Length](t)(volume.HeightFor(b, v)).In(ft)
	}
	full := func(b volume.Basin) float64 { return volume.Capacity(b).In(ft3) }

	ck03 := floor(425*ft, 100*ft, 6.2*ft, 3)
	deep := floor(425*ft, 100*ft, 8*ft, 3)
	ck06 := floor(200*ft, 115*ft, 12*ft, 3)
	prism := plantest.Must[units.Volume](t)(volume.Slice(volume.SliceSpec{Method: volume.MethodPrismoidal, Depth: 9.8 * ft,
		Bottom: (115 * ft).Times(200 * ft), Mid: (144.4 * ft).Times(229.4 * ft), Top: (173.8 * ft).Times(258.8 * ft)}))
	pit, channel := floor(19*ft, 19*ft, 8*ft, 0), floor(86*ft, 4.5*ft, 3*ft, 0)
	spread := floor(28*ft, 28*ft, 4*ft, 0)
	sums := volume.Capacity(pit) + volume.Capacity(channel) + volume.Capacity(spread)
	ck12 := plantest.Must[*volume.Rectangular](t)(volume.NewRectangular(volume.RectangularSpec{Length: 578 * ft, Width: 177 * ft,
		At: volume.ReferenceWaterLine, WaterDepth: 6 * ft, Depth: 7 * ft, Slopes: []float64{3}}))
	ck13 := rect(100*ft, 70*ft, 12*ft, volume.ReferenceTop, 2)
	ck17 := floor(100*ft, 40*ft, 12*ft, 4, 2, 2, 2)
	ck17sum := (ck17.AreaAt(12*ft) + 4*ck17.AreaAt(6*ft) + ck17.AreaAt(0)).In(ft2)
	ck18 := rect(194.5*ft, 166*ft, 9*ft, volume.ReferenceTop, 3)
	ck20 := rect(375*ft, 175*ft, 10.1*ft, volume.ReferenceTop, 3)
	layer := func(b volume.Basin, thick units.Length) volume.Layer {
		return plantest.Must[volume.LayersResult](t)(volume.Layers(volume.LayersSpec{Basin: b, FromFloor: []volume.LayerSpec{{Name: "sludge", Thickness: thick}}})).Layers[0]
	}
	mid := func(b volume.Basin, thick units.Length) float64 { return layer(b, thick).MidArea.In(ft3) }
	ml, mw := ck18.SizeAt(0.95 * ft)
	frustum := func(d1, d2, h float64) float64 {
		area := func(d float64) units.Area { return units.Area(math.Pi / 4 * d * d) }
		return plantest.Must[units.Volume](t)(volume.Slice(volume.SliceSpec{Method: volume.MethodConic, Bottom: area(d1), Top: area(d2), Depth: units.Length(h)})).SI()
	}
	alberta70 := plantest.Must[float64](t)(volume.SlopeOfAngle(70))
	circle := plantest.Must[units.Area](t)(volume.ShorelineArea(520 * ft)).In(units.Acre)
	var soundings []units.Length
	for _, d := range []float64{0, 2, 3, 6, 6, 8, 7, 5, 3, 1, 0, 0, 1, 1, 1, 3, 4, 8, 6, 6, 4, 1, 0} {
		soundings = append(soundings, units.Length(d)*ft)
	}
	mean := func(rule volume.ShoreRule) float64 {
		return plantest.Must[units.Length](t)(volume.MeanDepth(volume.MeanDepthSpec{Soundings: soundings, Rule: rule})).In(ft)
	}
	round := plantest.Must[*volume.Circular](t)(volume.NewCircular(volume.CircularSpec{Diameter: 100 * ft, At: volume.ReferenceFloor, Depth: 8 * ft, Slopes: []float64{2}}))
	trap := floor(100*ft, 50*ft, 10*ft, 4)
	runoff := plantest.Must[volume.EmptyingResult](t)(volume.Emptying(volume.EmptyingSpec{
		Basin: ck06, StartLevel: 6 * ft, Start: time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC), Until: time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC),
		Pump: units.GallonPerMinute, HoursPerDay: units.Hour, Months: make([]volume.Weather, 12),
		Days:      []volume.DatedWeather{{Date: time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC), Weather: volume.Weather{Rain: 2.2 * units.Inch}}},
		Catchment: 4.36 * units.Acre, RunoffLoss: 0.5 * units.Inch, RunoffShare: 1,
	})).Total.Runoff.In(units.AcreFoot)

	checks := []evidence.Check{
		check("pond, floor 100 x 400 ft, 3:1, 6 ft", full(floor(400*ft, 100*ft, 6*ft, 3)), 296592, 1e-6, "ft3", sheet+", line 16", evidence.Published),
		check("pond, floor 100 x 425 ft, 3:1, 6 ft", full(floor(425*ft, 100*ft, 6*ft, 3)), 314292, 1e-6, "ft3", sheet+", line 16", evidence.Published),
		check("pond, floor 100 x 425 ft, 3:1, 6.2 ft", full(ck03), 326903, 0.5, "ft3", sheet+", line 16", evidence.Published),
		check("pond, floor 100 x 500 ft, 3:1, 6 ft", full(floor(500*ft, 100*ft, 6*ft, 3)), 367392, 1e-6, "ft3", sheet+", trial 1; the length is inferred from the volume", evidence.Published),
		check("depth of 323,640 ft3, floor 100 x 425 ft", height(deep, 323640*ft3), 6.14847, 5e-6, "ft", polynom+"; the worksheet steps from 6.0, too small, to 6.2 ft", evidence.Identity),
		check("depth of 326,903 ft3, floor 100 x 425 ft", height(deep, 326903*ft3), 6.200001, 5e-7, "ft", polynom, evidence.Identity),
		check("prismoid 115 x 200 ft, 9.8 ft", prism.In(ft3), 327452, 0.5, "ft3", third, evidence.Published),
		check("basin 115 x 200 ft, 3:1, at 9.8 of 12 ft", ck06.VolumeAt(9.8*ft).In(ft3), 327452, 0.5, "ft3", third, evidence.Published),
		check("basin 115 x 200 ft, 3:1, 12 ft", full(ck06), 432816, 1e-6, "ft3", third, evidence.Published),
		// The filing cuts 9.936 to 9.93.
		check("the same in acre-feet", volume.Capacity(ck06).In(units.AcreFoot), 9.93, 0.01, "acre-ft", third+"; cut, not rounded", evidence.Published),
		check("highest level below the crest, 11,539 ft3 on 175 x 260 ft", 1.5+(11539*ft3).Over(ck06.AreaAt(10*ft)).Depth().In(ft), 1.8, 0.05, "ft", third, evidence.Published),
		check("pit 19 x 19 x 8 ft", full(pit), 2888, 1e-6, "ft3", third, evidence.Published),
		check("channel 86 x 4.5 x 3 and 28 x 28 x 4 ft", full(channel)+full(spread), 4297, 1e-6, "ft3", third, evidence.Published),
		check("their content over 17,000 ft2", sums.Over(17000*ft2).Depth().In(units.Inch), 5, 0.5, "in", third, evidence.Published),
		check("3 days of 250 cows at 1.4 gal/d", (250 * 1.4 * 3 * units.Gallon).In(ft3), 1404, 0.5, "ft3", third+"; 1.4 stands for 14", evidence.Slip),
		check("lagoon, water line 578 x 177 ft, 3:1, 6 ft", ck12.VolumeAt(6*ft).In(ft3), 534888, 0.05, "ft3", lagoon, evidence.Published),
		check("its depth back from the volume", height(ck12, 534888*ft3), 6, 1e-9, "ft", lagoon+", water 44.4 to bottom 38.4 ft", evidence.Published),
		check("its depth as printed", height(ck12, 534888*ft3), 5.9, 0.05, "ft", lagoon+"; computed with 6.0 ft", evidence.Slip),
		check("top 100 x 70 ft, 2:1, 12 ft", full(ck13), 44256, 1e-6, "ft3", board, evidence.Published),
		check("top 100 x 70 ft, 2:1, 12 ft, cubic yards", volume.Capacity(ck13).In(yd3), 1639.1, 0.05, "yd3", board, evidence.Published),
		check("frustum 4.8 to 4.1 over 4.5", frustum(4.8, 4.1, 4.5), 70.13213, 5e-6, "units3", frusta, evidence.Published),
		check("frustum 4.1 to 3.9 over 4.5", frustum(4.1, 3.9, 4.5), 56.56045, 5e-6, "units3", frusta, evidence.Published),
		check("frustum 3.9 to 3.2 over 11", frustum(3.9, 3.2, 11), 109.2306, 5e-5, "units3", frusta, evidence.Published),
		check("excavated pond, floor 40 x 100 ft, one ramp 4:1, A + 4B + C", ck17sum, 53952, 1e-6, "ft2", ah590, evidence.Memory),
		check("excavated pond, floor 40 x 100 ft, one ramp 4:1", volume.Capacity(ck17).In(yd3), 3996, 0.5, "yd3", ah590, evidence.Memory),
		check("excavated pond, acre-feet", volume.Capacity(ck17).In(units.AcreFoot), 2.48, 0.005, "acre-ft", ah590, evidence.Memory),
		check("length halfway up 1.9 ft of sludge, top 194.5 x 166 ft", ml.In(ft), 146.2, 1e-9, "ft", form, evidence.Published),
		check("width halfway up 1.9 ft of sludge, top 194.5 x 166 ft", mw.In(ft), 117.7, 1e-9, "ft", form, evidence.Published),
		check("sludge of 1.9 ft, mid-area", mid(ck18, 1.9*ft), 32694.706, 1e-6, "ft3", form, evidence.Published),
		check("sludge of 1.9 ft, exact", layer(ck18, 1.9*ft).Volume.In(ft3), 32715.283, 5e-4, "ft3", "mid-area and S^2 T^3/3", evidence.Identity),
		check("layer of 5.5 ft, exact", layer(ck18, 5.5*ft).Volume.In(ft3), 111458.875, 5e-4, "ft3", "mid-area and S^2 T^3/3", evidence.Identity),
		check("layer of 2.2144 ft, exact", layer(ck18, 2.21439840420709*ft).Volume.In(ft3), 38690.521, 5e-4, "ft3", "mid-area and S^2 T^3/3", evidence.Identity),
		check("layer of 5.5 ft, mid-area", mid(ck18, 5.5*ft), 110959.75, 1e-6, "ft3", form, evidence.Published),
		check("layer of 2.2144 ft, mid-area", mid(ck18, 2.21439840420709*ft), 38657.946134994, 1e-6, "ft3", form, evidence.Published),
		check("share of 1.9 ft in 5.5 ft", mid(ck18, 1.9*ft)/mid(ck18, 5.5*ft), 0.294653746065578, 1e-12, "1", form, evidence.Published),
		check("share of 2.2144 ft in 5.5 ft", mid(ck18, 2.21439840420709*ft)/mid(ck18, 5.5*ft), 0.348396117826455, 1e-12, "1", form, evidence.Published),
		check("layer of 2.2144 ft, gallons at 7.481", mid(ck18, 2.21439840420709*ft)*7.481, 289161.437, 0.5, "gal", form+"; computed with 7.480 where the form says 7.481", evidence.Slip),
		check("sludge of 4.7 ft, top 375 x 175 ft, 10.1 ft, mid-area", mid(ck20, 4.7*ft), 198397.58, 0.005+1e-9, "ft3", form2020, evidence.Published),
		check("sludge of 2.8 ft, same basin, mid-area", mid(ck20, 2.8*ft), 110991.55, 0.005, "ft3", form2020, evidence.Published),
		check("zone of 6.3 ft, same basin, mid-area", mid(ck20, 6.3*ft), 279902.01, 0.005, "ft3", form2020, evidence.Published),
		check("share of 2.8 ft in 6.3 ft", mid(ck20, 2.8*ft)/mid(ck20, 6.3*ft), 0.397, 0.0005, "1", form2020, evidence.Published),
		check("basin 375 x 175 x 10.1 ft against the layers put in it", full(ck20), 516772.53, 0.005, "ft3", form2020+"; layers of 10.3 ft in 10.1 ft", evidence.Slip),
		check("cosine of 20 degrees, wall 70 degrees", plantest.Must[units.Length](t)(volume.SlopeDepth(volume.SlopeDepthSpec{Along: 1, Slope: alberta70})).SI(), 0.9397, 5e-5, "m/m", alberta, evidence.Published),
		check("depth of 8.7 less 2.1 m along a wall of 70 degrees", plantest.Must[units.Length](t)(volume.SlopeDepth(volume.SlopeDepthSpec{Along: 6.6, Slope: alberta70})).SI(), 6.2, 0.05, "m", alberta, evidence.Published),
		check("square feet of C^2 in an acre of pond", 1/plantest.Must[units.Area](t)(volume.ShorelineArea(ft)).In(units.Acre), 547390, 5, "ft2/acre", shore+"; rounded to ten", evidence.Published),
		check("rectangle 80 x 140 ft", floor(140*ft, 80*ft, ft, 0).AreaAt(0).In(units.Acre), 0.2571, 5e-5, "acre", shore, evidence.Published),
		check("circle of 520 ft shoreline", circle, 0.4939, 1e-4, "acre", shore+"; cut, not rounded", evidence.Published),
		check("mean depth of 23 soundings, shore zeros in", mean(volume.ShoreRuleIn), 3.3, 0.05, "ft", slides, evidence.Published),
		check("mean depth of 23 soundings, shore zeros out", mean(volume.ShoreRuleOut), 4.0, 1e-9, "ft", "76 ft over 19 soundings", evidence.Identity),
		// The coefficients are rounded to two decimals, the first by 0.59 %.
		check("circular pond, floor 100 ft, 2:1, 8 ft", full(round), 0.79*100*100*8+1.57*100*2*8*8+1.05*4*8*8*8, 0.006*85446, "ft3", sheet+", circular form with 0.79, 1.57 and 1.05", evidence.Published),
		check("depth of 97,200 ft3, floor 100 x 50 ft, 4:1", height(trap, 97200*ft3), 8.4112, 5e-5, "ft", polynom, evidence.Identity),
		check("the same depth as printed", height(trap, 97200*ft3), 4.5, 0.5, "ft", hec, evidence.Slip),
		check("lot of 4.36 acre, 2.2 in of rain", runoff, 0.62, 0.005, "acre-ft", "Montana State University, CNMP step 3: (P - 0.5 in)/12 x acres", evidence.Published),
	}
	evidence.Run(t, "volume", evidence.Rights(checks, map[string][2]float64{
		"3 days of 250 cows at 1.4 gal/d":                        {140.36, 0.005},
		"its depth as printed":                                   {6, 0.005},
		"layer of 2.2144 ft, gallons at 7.481":                   {289200.095, 0.005},
		"basin 375 x 175 x 10.1 ft against the layers put in it": {506859.612, 0.005},
		"the same depth as printed":                              {8.4112, 5e-05},
	}))
}

func TestPublishedStages(t *testing.T) {
	ft, ft2, ft3 := units.Foot, units.SquareFoot, units.CubicFoot
	surveyed := func(m volume.Method, step units.Length, areas ...units.Area) *volume.Surveyed {
		s := volume.SurveyedSpec{Method: m}
		for i, a := range areas {
			s.Areas = append(s.Areas, volume.SurveyedArea{Elevation: units.Length(i) * step, Area: a})
		}
		return plantest.Must[*volume.Surveyed](t)(volume.NewSurveyed(s))
	}
	ck30 := surveyed(volume.MethodEndArea, 2.5*ft, 78400*ft2, 89162*ft2)
	ck31 := surveyed(volume.MethodEndArea, ft, 8205*ft2, 9628*ft2)
	ck33 := surveyed(volume.MethodEndArea, units.Metre, 2000, 10650, 12400, 12630, 15320, 18160)
	checks := []evidence.Check{
		check("78,400 ft2 at 14.50 and 89,162 ft2 at 17.00 ft", volume.Capacity(ck30).In(ft3), 209452.50, 1e-6, "ft3", "North Carolina DEQ, stormwater filing 1321379", evidence.Published),
		check("the area at 16.50 ft", ck30.AreaAt(2*ft).In(ft2), 87010, 0.5, "ft2", "North Carolina DEQ, stormwater filing 1321379", evidence.Published),
		check("8,205 ft2 at 39.0 and 9,628 ft2 at 40.0 ft", volume.Capacity(ck31).In(ft3), 8916.50, 1e-6, "ft3", "North Carolina DEQ, filing 1609154", evidence.Published),
		check("six contours at 1 m, trapezoids", volume.Capacity(ck33).SI(), 61080, 1e-6, "m3", "web page on earthwork volume from a contour map, trapezoidal formula", evidence.Published),
	}
	// How far the methods differ, worked out by hand from the sections.
	for _, c := range []struct {
		name                   string
		length, width, depth   float64
		slopes                 []float64
		exact, end, mid, conic float64
	}{
		{"425 x 100 x 6.2 ft, 3:1", 425, 100, 6.2, []float64{3}, 326902.936, 328332.904, 326187.952, 326178.030},
		{"200 x 115 x 9.8 ft, 3:1", 200, 115, 9.8, []float64{3}, 327452.104, 333099.256, 324628.528, 327135.452},
		{"542 x 141 x 6 ft, 3:1", 542, 141, 6, []float64{3}, 534888.000, 536184.000, 534240.000, 534299.763},
		{"100 x 40 x 12 ft, 4:1 and 2:1", 100, 40, 12, []float64{4, 2, 2, 2}, 107904.000, 114816.000, 104448.000, 107668.010},
	} {
		b := plantest.Must[*volume.Rectangular](t)(volume.NewRectangular(volume.RectangularSpec{Length: units.Length(c.length) * ft,
			Width: units.Length(c.width) * ft, At: volume.ReferenceFloor, Depth: units.Length(c.depth) * ft, Slopes: c.slopes}))
		for _, m := range plantest.Must[[]volume.MethodVolume](t)(volume.CompareMethods(volume.CompareMethodsSpec{Basin: b, Low: 0, High: b.Depth()})) {
			want := map[volume.Method]float64{volume.MethodEndArea: c.end, volume.MethodConic: c.conic,
				volume.MethodPrismoidal: c.exact, volume.MethodMidArea: c.mid}[m.Method]
			checks = append(checks, check(c.name+", "+m.Method.String(), m.Volume.In(ft3), want, 5e-4, "ft3",
				"definitions of the methods and the sections of the solid", evidence.Identity))
		}
	}
	evidence.Run(t, "volume", checks)
}
