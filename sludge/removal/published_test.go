package removal

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/evidence"
)

// TestPublished holds slurry, haul, hose and cost arithmetic against printed
// cases.
func TestPublished(t *testing.T) {
	const (
		srcClosure  = "National Hog Farmer, Farming Lagoon Closures Costly (8 closures of 1998)"
		srcGo       = "Ag Proud, Is your manure equipment ready to go the distance"
		srcExt      = "eXtension, pages 38761, hauling time"
		srcCost     = "National Hog Farmer, What Does Manure Application Cost (41 answers)"
		srcHaul     = "Progressive Dairy, What is efficient liquid manure transport and land application"
		srcTruck    = "earthmoving course, truck cycle with 7 mile haul"
		srcShovel   = "construction methods problem: shovel 300 yd3/h and 12 yd3 trucks; answers recomputed by hand"
		srcLine     = "solid waste course, module 5, lecture 11, haul time table"
		srcTime     = "Michigan State University Extension, Time Is Money when Hauling Manure"
		srcSurvey   = "North Carolina DEQ, filing 2855392"
		srcRatios   = "ASAE papers 024132 and 034156, sludge accumulation ratios"
		srcAccum    = "trade press, Why Sludge Matters; conversion by definition"
		srcHandbook = "FE Reference Handbook, NCEES, 2020, solids slurry; inputs of a published digestion problem"
		srcWQ326    = "University of Missouri Extension, WQ326, settled 15 % to drained 25 %"
		srcEpanet   = "EPANET 2.3.05, US Environmental Protection Agency: pipe network computed with it"
		srcClasses  = "eXtension, pages 13825, Manure Collection and Handling Systems"
		srcSolid    = "LPE Learning Center, Manure Collection"
		srcPumps    = "University of Missouri Extension, EQ350"
		ident       = "follows from the definitions of the units and the formula cited at the function"
	)
	var checks []evidence.Check
	add := func(kind evidence.Kind, quantity string, got, want, tol float64, unit, source string) {
		checks = append(checks, evidence.Check{Quantity: quantity, Got: got, Want: want, Tol: tol, Unit: unit, Source: source, Kind: kind})
	}
	const pub, own, memory, slip = evidence.Published, evidence.Identity, evidence.Memory, evidence.Slip
	haul := func(v units.Volume, fl Fleet) HaulResult {
		t.Helper()
		if fl.Fill == 0 {
			fl.Fill = 1
		}
		if fl.Efficiency == 0 {
			fl.Efficiency = 1
		}
		if fl.Loading == 0 {
			fl.Loading = LoadingPeak
		}
		r, err := Haul(HaulSpec{Volume: v, Fleet: fl})
		require.NoError(t, err)
		return r
	}

	// Where one class ends the next begins.
	for _, c := range []struct {
		name string
		from float64
		what string
		src  string
	}{{"slurry", 5, "slurry, not liquid", srcClasses}, {"semi-solid", 15, "no slurry any more", srcClasses}, {"solid", 20, "solid", srcSolid}} {
		for _, class := range DefaultClasses() {
			if class.Name == c.name {
				add(pub, "solids from which it is "+c.what, class.From.In(units.Percent), c.from, 1e-9, "%", c.src)
			}
		}
	}
	dug := slices.IndexFunc(DefaultClasses(), func(c SolidsClass) bool { return c.Handling == HandlingDig })
	add(pub, "solids up to which open-impeller centrifugal pumps do", DefaultClasses()[dug].From.In(units.Percent), 15, 1e-9, "%", srcPumps)

	// The cost of closures by their price per 1,000 gal, through a plan of liquid
	// alone beside a gallon of sludge that costs nothing.
	closure := func(price float64) float64 {
		spec := plainPlan()
		spec.Sludge, spec.Contents = units.Gallon, 750001*units.Gallon
		spec.PumpOff.Cost = StageCost{PerVolume: units.PricePer(price, 1000*units.Gallon)}
		r, err := Plan(spec)
		require.NoError(t, err)
		return r.Best().Routes[0].Cost
	}
	add(pub, "750,000 gal at $5 per 1,000 gal", closure(5), 3750, 1e-6, "$", srcClosure)
	add(pub, "750,000 gal at $32 per 1,000 gal", closure(32), 24000, 1e-6, "$", srcClosure)
	cents := func(dollars float64) float64 { return 100 * units.PricePer(dollars, units.CubicFoot).Of(units.Gallon) }
	add(own, "$0.30 per ft3 in cents per gal", cents(0.30), 4.010, 0.001, "cent", srcClosure+"; conversion by definition")
	add(own, "$0.38 per ft3 in cents per gal", cents(0.38), 5.080, 0.001, "cent", srcClosure+"; conversion by definition")

	far := haul(8e6*units.Gallon, Fleet{Trucks: 1, Capacity: 9500 * units.Gallon, LoadRate: units.CubicMetrePerSecond, Distance: 5 * units.Mile, SpeedOut: 10, SpeedBack: 10})
	// The source rounds 842.1 down and leaves a thousand gallons behind.
	add(slip, "8,000,000 gal in loads of 9,500 gal: trips", float64(far.Loads), 842, 0.5, "1", srcGo)
	add(own, "8,000,000 gal in loads of 9,500 gal: trips, rounded up", float64(far.Loads), 843, evidence.Exact, "1", ident)
	add(slip, "8,000,000 gal in loads of 9,500 gal: miles", far.Driven.In(units.Mile), 8420, 0.5, "mile", srcGo)
	add(own, "8,000,000 gal in loads of 9,500 gal: miles, rounded up", far.Driven.In(units.Mile), 8430, 1e-6, "mile", ident)
	add(own, "last load of 8,000,000 gal", far.LastLoad.In(units.Gallon), 1000, 1e-3, "gal", ident)

	away := func(miles float64) units.Duration {
		v := 15 * units.MilePerHour
		return haul(1, Fleet{Trucks: 1, Capacity: 1, LoadRate: 1, Distance: units.Length(miles) * units.Mile, SpeedOut: v, SpeedBack: v}).Cycle
	}
	// The source counts the way out only.
	add(slip, "field at 3 miles instead of 1 at 15 mph: more time per load", (away(3) - away(1)).In(units.Minute), 8, 0.5, "min", srcExt)
	add(own, "field at 3 miles instead of 1 at 15 mph: out and back", (away(3) - away(1)).In(units.Minute), 16, 1e-9, "min", ident)

	distance := plainPlan()
	distance.Contents, distance.Sludge = 1000*units.Gallon, 1000*units.Gallon
	distance.Dig.Fleet = &Fleet{Trucks: 1, Capacity: 1, Fill: 1, LoadRate: 1, Efficiency: 1, Loading: LoadingPeak, Distance: units.Mile, SpeedOut: 10, SpeedBack: 10}
	distance.Dig.Cost = StageCost{PerVolume: units.PricePer(0.010, units.Gallon), PerVolumeMile: units.PricePer(0.0035, units.Gallon)}
	mile, err := Plan(distance)
	require.NoError(t, err)
	// The mean of a class of answers, not computed from the line.
	add(pub, "0.010 + 0.0035 x miles at one mile", mile.Best().Routes[0].Cost/1000, 0.013, 0.0006, "$/gal", srcCost)

	near := haul(27600*units.Gallon, Fleet{Trucks: 1, Capacity: 7000 * units.Gallon, LoadRate: (7000 * units.Gallon).OverTime(units.Minute), Travel: (7000 * units.Gallon).OverFlow(27600*units.GallonPerHour) - units.Minute})
	// "3 to 4 loads an hour".
	add(pub, "27,600 gal/h in loads of 7,000 gal", near.LoadsPerHour, 3.5, 0.5, "1/h", srcHaul)
	add(own, "27,600 gal/h in loads of 7,000 gal: cycle", near.Cycle.In(units.Minute), 15.217, 0.0005, "min", ident)

	truck := haul(1250*units.CubicYard, Fleet{Trucks: 5, Capacity: 12 * units.CubicYard, LoadRate: 95 * units.CubicYardPerHour,
		Distance: 7 * units.Mile, SpeedOut: 30 * units.MilePerHour, SpeedBack: 40 * units.MilePerHour, Unload: 3 * units.Minute})
	// Printed as the sum of rounded parts.
	add(pub, "12 yd3 truck, 7 miles: cycle", truck.Cycle.In(units.Hour), 0.584, 0.001, "h", srcTruck)
	add(pub, "12 yd3 truck, 7 miles: loading", truck.Load.In(units.Hour), 0.126, 0.0005, "h", srcTruck)
	add(slip, "12 yd3 truck, 7 miles: trucks", float64(truck.TrucksNeeded), 9, 0.5, "1", srcTruck)
	add(own, "12 yd3 truck, 7 miles: trucks that keep the loader busy", float64(truck.TrucksNeeded), 5, evidence.Exact, "1", ident)
	add(own, "12 yd3 truck, 7 miles: trucks that never queue", float64(truck.TrucksNoQueue), 4, evidence.Exact, "1", ident)

	for _, c := range []struct {
		rule                               LoadingRule
		load, cycle, ratio, rate, unitCost float64
	}{
		{LoadingPeak, 2.4, 12.4, 5.16667, 232.258, 0.602778},
		{LoadingEffective, 3.0, 13.0, 4.33333, 240, 0.583333},
	} {
		h := haul(1000*units.CubicYard, Fleet{Trucks: 5, Capacity: 12 * units.CubicYard, LoadRate: 300 * units.CubicYardPerHour, Efficiency: 0.8, Loading: c.rule, Travel: 8 * units.Minute, Unload: 2 * units.Minute})
		name := "shovel and 12 yd3 trucks, " + c.rule.String() + " rate: "
		add(own, name+"loading", h.Load.In(units.Minute), c.load, 1e-4, "min", srcShovel)
		add(own, name+"cycle", h.Cycle.In(units.Minute), c.cycle, 1e-4, "min", srcShovel)
		add(own, name+"cycle / loading", h.Ratio, c.ratio, 1e-4, "1", srcShovel)
		add(own, name+"output of five", h.Rate.In(units.CubicYardPerHour), c.rate, 1e-3, "yd3/h", srcShovel)
		add(own, name+"cost of a cubic yard at $140 an hour", 140/h.Rate.In(units.CubicYardPerHour), c.unitCost, 1e-5, "$", srcShovel)
	}

	distances := []float64{2, 5, 8, 12, 16, 20, 25}
	speeds := []float64{17, 28, 32, 36, 40, 42, 45}
	printed := []float64{0.12, 0.18, 0.25, 0.33, 0.40, 0.48, 0.56}
	var exact, rounded []HaulRun
	for i, d := range distances {
		way := units.Length(d) * units.Kilometre
		exact = append(exact, HaulRun{way, way.OverSpeed(units.Speed(speeds[i]) * units.KilometrePerHour)})
		rounded = append(rounded, HaulRun{way, units.Duration(printed[i]) * units.Hour})
	}
	for i, h := range printed {
		add(pub, fmt.Sprintf("round trip of %g km at %g km/h", distances[i], speeds[i]), exact[i].Time.In(units.Hour), h, 0.005, "h", srcLine)
	}
	for _, c := range []struct {
		name string
		runs []HaulRun
		a, b float64
	}{{"exact hours", exact, 0.089436, 0.019150}, {"printed hours", rounded, 0.089160, 0.019271}} {
		line, err := FitHaulTime(HaulLineSpec{c.runs})
		require.NoError(t, err)
		add(own, "haul time line, "+c.name+": fixed", line.Fixed.In(units.Hour), c.a, 1e-5, "h", srcLine+"; least squares")
		add(own, "haul time line, "+c.name+": slope", 1/line.Speed.In(units.KilometrePerHour), c.b, 1e-5, "h/km", srcLine+"; least squares")
	}

	// Rates of tank spreaders with distance; the source gives whole tens of percent.
	wagon := func(miles float64) float64 {
		v := 23 * units.MilePerHour
		return haul(1, Fleet{Trucks: 1, Capacity: 1, LoadRate: units.Flow(1 / (17.14 * 60)), Distance: units.Length(miles) * units.Mile, SpeedOut: v, SpeedBack: v}).LoadsPerHour
	}
	for _, c := range []struct{ miles, want float64 }{{1, 20}, {2, 40}, {3, 50}} {
		add(pub, fmt.Sprintf("fall of the rate of a wagon at %g miles, 23 mph", c.miles), 100*(1-wagon(c.miles)/wagon(0)), c.want, 5, "%", srcTime)
	}

	hose, err := Pump(PumpSpec{Volume: 2e6 * units.Gallon, Hose: DragHose{Flow: 1500 * units.GallonPerMinute, Pumping: 0.9, Rate: 8000 * units.GallonPerAcre, SetArea: 40 * units.Acre, SetUp: 1.5 * units.Hour}})
	require.NoError(t, err)
	add(own, "2,000,000 gal by hose: area", hose.Area.In(units.Acre), 250, 1e-9, "acre", ident)
	add(own, "2,000,000 gal by hose: laid out", hose.LaidOut.In(units.Hour), 24.691, 0.0005, "h", ident)
	add(own, "2,000,000 gal by hose: sets", float64(hose.Sets), 7, evidence.Exact, "1", ident)
	add(own, "2,000,000 gal by hose: time", hose.Time.In(units.Hour), 35.191, 0.0005, "h", ident)

	// The same pipes in EPANET, whose formula has 4.727 and 4.871 in feet: one or two thousandths off.
	for _, c := range []struct{ length, bore, c, flow, loss, velocity float64 }{
		{2000, 6, 140, 800, 85.5399, 9.07773}, {660, 5, 140, 800, 68.6080, 13.07193}, {5280, 8, 120, 1500, 237.0173, 9.57417}, {1000, 4, 100, 300, 93.4575, 7.65933},
	} {
		s := HoseSection{Length: units.Length(c.length) * units.Foot, Diameter: units.Length(c.bore) * units.Inch, Coefficient: c.c}
		flow := units.Flow(c.flow) * units.GallonPerMinute
		l := LineSpec{Friction: FrictionHazenWilliams, SlurryFactor: 1}
		name := fmt.Sprintf("%g ft of %g in, C %g, %g gpm: ", c.length, c.bore, c.c, c.flow)
		add(evidence.Reference, name+"friction by Hazen-Williams", l.friction(s, flow).In(units.Foot), c.loss, 0.002*c.loss, "ft", srcEpanet)
		add(evidence.Reference, name+"velocity", s.velocity(flow).In(units.FootPerSecond), c.velocity, 1e-4*c.velocity, "ft/s", srcEpanet)
	}
	// By Darcy-Weisbach with the factor of Swamee and Jain at a roughness of 0.05 and 0.5
	// thousandths of a foot, which EPANET finds from the flow.
	for _, c := range []struct{ length, bore, roughness, flow, loss float64 }{{2000, 6, 0.05e-3, 800, 75.7692}, {5280, 8, 0.5e-3, 1500, 215.0870}} {
		s := HoseSection{Length: units.Length(c.length) * units.Foot, Diameter: units.Length(c.bore) * units.Inch}
		flow := units.Flow(c.flow) * units.GallonPerMinute
		const viscosity = 1.1e-5 // ft2/s, the default of EPANET
		reynolds := s.velocity(flow).In(units.FootPerSecond) * s.Diameter.In(units.Foot) / viscosity
		x := math.Log10(c.roughness/s.Diameter.In(units.Foot)/3.7 + 5.74/math.Pow(reynolds, 0.9))
		s.Coefficient = 0.25 / (x * x)
		l := LineSpec{Friction: FrictionDarcyWeisbach, SlurryFactor: 1}
		add(evidence.Reference, fmt.Sprintf("%g ft of %g in, roughness %g ft, %g gpm: friction by Darcy-Weisbach", c.length, c.bore, c.roughness, c.flow), l.friction(s, flow).In(units.Foot), c.loss, 0.002*c.loss, "ft", srcEpanet)
	}
	point := func(gpm, feet float64) PumpPoint {
		return PumpPoint{units.Flow(gpm) * units.GallonPerMinute, units.Length(feet) * units.Foot}
	}
	works, err := Line(LineSpec{
		Sections: []HoseSection{{2000 * units.Foot, 6 * units.Inch, 140}, {660 * units.Foot, 5 * units.Inch, 140}}, Friction: FrictionHazenWilliams, SlurryFactor: 1,
		Lift: 100 * units.Foot, Outlet: 16 * units.Foot, Curve: []PumpPoint{point(0, 420), point(300, 405), point(600, 380), point(900, 330), point(1200, 250)},
	})
	require.NoError(t, err)
	add(evidence.Reference, "pump of five points on two hoses, 116 ft static: flow", works.Flow.In(units.GallonPerMinute), 933.3797, 0.5, "gpm", srcEpanet)
	add(evidence.Reference, "pump of five points on two hoses, 116 ft static: head", works.Head.In(units.Foot), 321.0987, 0.15, "ft", srcEpanet)
	turns, err := Agitation(AgitationSpec{Volume: 557000 * units.Gallon, Time: 6 * units.Hour, Agitator: Agitator{Flow: 1300 * units.GallonPerMinute, Machines: 1}})
	require.NoError(t, err)
	add(own, "6 h at 1,300 gpm in 557,000 gal: turnovers", turns.Turnovers, 1300.*60*6/557000, 1e-9, "1", ident)

	slurry := func(s SlurrySpec) Slurry { t.Helper(); r, err := NewSlurry(s); require.NoError(t, err); return r }
	add(pub, "1,799,055 gal at 10 lb/1000 gal", (10 * units.PoundPer1000Gallon).Times(1799055*units.Gallon).In(units.Pound), 17990.55, 0.005, "lb", srcSurvey)
	trade := slurry(SlurrySpec{Volume: 1799055 * units.Gallon, Dry: 600 * units.Ton, SolidsGravity: 1, WaterDensity: 8.34 * units.PoundPerGallon})
	add(own, "600 dry tons in 1,799,055 gal at 8.34 lb/gal", trade.Solids.In(units.Percent), 8.00, 0.005, "%", srcSurvey+"; inputs printed, solids by formula")
	add(own, "600 dry tons in 1,799,055 gal, each 1,000 gal", trade.Dry.Dissolved(trade.Volume).In(units.PoundPer1000Gallon), 667, 0.5, "lb", srcSurvey+"; inputs printed")

	perPound := func(cubicMetre float64) float64 {
		return (units.Volume(cubicMetre) * units.CubicMetre).In(units.CubicFoot) / units.Kilogram.In(units.Pound)
	}
	// A whole last digit: the printed 0.0486 comes from 0.003034.
	add(pub, "0.00303 m3/kg in ft3/lb", perPound(0.00303), 0.0486, 0.0001, "ft3/lb", srcRatios)
	add(pub, "0.0045 m3/kg in ft3/lb", perPound(0.0045), 0.072, 0.0005, "ft3/lb", srcRatios)
	add(pub, "0.0020 m3/kg in ft3/lb", perPound(0.0020), 0.032, 0.0005, "ft3/lb", srcRatios)
	add(own, "0.545 gal/lb in ft3/lb", (0.545 * units.Gallon).In(units.CubicFoot), 0.07286, 5e-6, "ft3/lb", srcAccum)

	raw, err := SolidsGravity(SolidsGravitySpec{[]SolidsPart{{Dry: 40, Gravity: 1}, {Dry: 10, Gravity: 2.5}}})
	require.NoError(t, err)
	digested, err := SolidsGravity(SolidsGravitySpec{[]SolidsPart{{Dry: 16, Gravity: 1}, {Dry: 10, Gravity: 2.5}}})
	require.NoError(t, err)
	before := slurry(SlurrySpec{Dry: 50, Solids: 0.04, SolidsGravity: raw})
	after := slurry(SlurrySpec{Dry: 26, Solids: 0.30, SolidsGravity: digested})
	add(memory, "50 kg dry at 4 %: volume", before.Volume.In(units.CubicMetre), 1.24, 0.005, "m3", srcHandbook)
	add(memory, "26 kg dry at 30 %: volume", after.Volume.In(units.CubicMetre), 0.08, 0.005, "m3", srcHandbook)
	add(memory, "digestion and dewatering: reduction of volume", 100*(1-float64(after.Volume/before.Volume)), 93.5, 0.05, "%", srcHandbook)
	add(own, "26 kg dry at 30 %: gravity", after.Gravity, 1.0744, 5e-5, "1", srcHandbook)
	add(own, "50 kg dry at 4 %: volume, more digits", before.Volume.In(units.CubicMetre), 1.2440, 5e-5, "m3", srcHandbook)

	drained, err := Thicken(ThickenSpec{In: SlurrySpec{Volume: 1, Solids: 0.15, SolidsGravity: 1}, Solids: 0.25, Recovery: 1})
	require.NoError(t, err)
	add(own, "15 % to 25 % at equal densities: share of the volume", drained.Share, 0.60, 1e-12, "1", srcWQ326)
	heavy, err := Thicken(ThickenSpec{In: SlurrySpec{Volume: 1, Solids: 0.04, SolidsGravity: 1.4}, Solids: 0.20, Recovery: 0.9})
	require.NoError(t, err)
	add(own, "V2/V1 = r s1 S1/(s2 S2), 4 % to 20 %, recovery 0.9", heavy.Share, 0.9*0.04*heavy.In.Gravity/(0.20*heavy.Thick.Gravity), 1e-12, "1", srcHandbook)

	evidence.Run(t, "sludge/removal", evidence.Rights(checks, map[string][2]float64{
		"8,000,000 gal in loads of 9,500 gal: trips":                  {843, evidence.Exact},
		"8,000,000 gal in loads of 9,500 gal: miles":                  {8430, evidence.Exact},
		"field at 3 miles instead of 1 at 15 mph: more time per load": {16, evidence.Exact},
		"12 yd3 truck, 7 miles: trucks":                               {5, evidence.Exact},
	}))
}

// plainPlan is the smallest spec that can be planned: a hose and one large truck
// without prices.
func plainPlan() PlanSpec {
	return PlanSpec{
		Sludge: 100, Contents: 500, Solids: 0.18, SolidsGravity: 1.5,
		PumpOff: Equipment{Hose: &DragHose{Flow: 0.1, Pumping: 1}},
		Dig: DigSpec{Swell: 1, Equipment: Equipment{Fleet: &Fleet{
			Trucks: 2, Capacity: 10, Fill: 1, LoadRate: 0.02, Efficiency: 0.8, Loading: LoadingEffective, Travel: 20 * units.Minute, Unload: 5 * units.Minute}}},
		WorkDay: 10 * units.Hour,
	}
}
