package removal_test

import (
	"fmt"

	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
)

// pumpedOrDug is a small basin: 300,000 gal of sludge at 9 % under a million gallons
// of liquid.
func pumpedOrDug() removal.PlanSpec {
	return removal.PlanSpec{
		Sludge:        300000 * units.Gallon,
		Interval:      &units.Range[units.Volume]{Low: 240000 * units.Gallon, High: 360000 * units.Gallon},
		Contents:      1300000 * units.Gallon,
		Solids:        9 * units.Percent,
		LiquidSolids:  0.5 * units.Percent,
		SolidsGravity: 1.5,
		PumpOff: removal.Equipment{
			Hose: &removal.DragHose{Flow: 1200 * units.GallonPerMinute, Pumping: 0.9, Rate: 13000 * units.GallonPerAcre, SetArea: 40 * units.Acre, SetUp: 1.5 * units.Hour},
			Cost: removal.StageCost{PerVolume: units.PricePer(9, 1000*units.Gallon)},
		},
		Dig: removal.DigSpec{
			Equipment: removal.Equipment{
				Fleet: &removal.Fleet{
					Trucks: 4, Capacity: 14 * units.CubicYard, Fill: 0.9, Payload: 14 * units.Ton,
					Bucket:     &removal.Bucket{Size: 1.5 * units.CubicYard, Fill: 0.85, Cycle: 30 * units.Second},
					Efficiency: 0.75, Loading: removal.LoadingEffective,
					Distance: 2 * units.Mile, SpeedOut: 25 * units.MilePerHour, SpeedBack: 30 * units.MilePerHour,
					Unload: 4 * units.Minute, Wait: 2 * units.Minute,
				},
				Cost: removal.StageCost{Fixed: 2500, PerHour: units.PricePer(180, units.Hour), PerTruckHour: units.PricePer(95, units.Hour)},
			},
			Swell: 1, Drained: 16 * units.Percent,
		},
		Agitate: &removal.AgitateSpec{
			Mix: removal.MixNeeded, Target: 6 * units.Percent, Residual: 0.15, ResidualSolids: 14 * units.Percent,
			Agitation: 8 * units.Hour, Fixed: 800, PerHour: units.PricePer(140, units.Hour),
			Pump: removal.Equipment{
				Hose: &removal.DragHose{Flow: 1000 * units.GallonPerMinute, Pumping: 0.85, Rate: 8000 * units.GallonPerAcre, SetArea: 40 * units.Acre, SetUp: 1.5 * units.Hour},
				Cost: removal.StageCost{PerVolume: units.PricePer(14, 1000*units.Gallon)},
			},
		},
		WorkDay: 10 * units.Hour,
	}
}

func ExamplePlan() {
	r, err := removal.Plan(pumpedOrDug())
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	for _, route := range r.Best().Routes {
		fmt.Println(route.Route, route.Notes)
	}
	// Output:
	// sludge                                  300,000 gal       best figure; slurry as it lies: pump
	// liquid                                  1,000,000 gal     above it
	// draw off and dig: pump off the liquid   1,000,000 gal     4,180 ton at 0.5 % solids, 20.9 ton dry: liquid
	//   hose sets                             2                 on 76.92 acre
	//   time                                  18.43 h           days 2; cost 9,000.00
	// draw off and dig: pump off what drains  135,309 gal       564.6 ton at 0.0 % solids, 0 lb dry: liquid
	//   hose sets                             1                 on 10.41 acre
	//   time                                  3.588 h           days 1; cost 1,217.78
	// draw off and dig: dig the sludge        815.4 yd3         725.9 ton at 16.0 % solids, 116.1 ton dry: semi-solid
	//   loads                                 65                of 12.6 yd3; cycle 21.39 min; 4 trucks keep the loader busy, 3 never queue; bottleneck with 4: loader
	//   time                                  7.137 h           days 1; cost 6,496.86
	// agitate and pump: pump off the liquid   874,891 gal       3,657 ton at 0.5 % solids, 36,568 lb dry: liquid
	//   hose sets                             2                 on 67.3 acre
	//   time                                  16.5 h            days 2; cost 7,874.02
	// agitate and pump: agitate               8 h               before pumping
	//   time                                  8 h               days 1; cost 3,428.92
	// agitate and pump: pump the slurry       396,678 gal       1,689 ton at 6.0 % solids, 101.3 ton dry: slurry
	//   hose sets                             2                 on 49.58 acre
	//   time                                  10.78 h           days 2; cost 5,553.49
	// agitate and pump: pump off what drains  3,728 gal         31,111 lb at 0.0 % solids, 0 lb dry: liquid
	//   hose sets                             1                 on 0.2868 acre
	//   time                                  1.558 h           days 1; cost 33.55
	// agitate and pump: dig what stays        122.3 yd3         108.9 ton at 16.0 % solids, 34,844 lb dry: semi-solid
	//   loads                                 10                of 12.6 yd3; cycle 21.39 min; 4 trucks keep the loader busy, 3 never queue; bottleneck with 4: loader
	//   time                                  1.098 h           days 1; cost 3,114.90
	// low, draw off and dig                   16,211.72         sludge 240,000 gal; 1,300,000 gal moved, loads 52, 29.74 h, days 5
	// low, agitate and pump                   19,101.90         sludge 240,000 gal; 1,300,000 gal moved, loads 8, 35.96 h, days 6
	// best, draw off and dig                  16,714.65         sludge 300,000 gal; 1,300,000 gal moved, loads 65, 29.16 h, days 4
	// best, agitate and pump                  20,004.88         sludge 300,000 gal; 1,300,000 gal moved, loads 10, 37.93 h, days 7
	// high, draw off and dig                  17,217.58         sludge 360,000 gal; 1,300,000 gal moved, loads 78, 30.08 h, days 4
	// high, agitate and pump                  20,697.85         sludge 360,000 gal; 1,300,000 gal moved, loads 12, 38.41 h, days 7
	// cheapest                                draw off and dig  also at the low and the high sludge volume
	// fastest                                 draw off and dig  also at the low and the high sludge volume
	//
	// draw off and dig []
	// agitate and pump [That 15 % of the solids stay is an assumption: measure what stays while pumping goes on. Pumping takes days 2, and solids settle overnight: agitate again before each.]
}

func ExampleHaul() {
	r, err := removal.Haul(removal.HaulSpec{
		Volume: 900 * units.CubicYard,
		Fleet: removal.Fleet{
			Trucks: 5, Capacity: 12 * units.CubicYard, Fill: 1, LoadRate: 300 * units.CubicYardPerHour, Efficiency: 0.8,
			Loading: removal.LoadingPeak, Travel: 8 * units.Minute, Unload: 2 * units.Minute,
		},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// one load                          2,424 gal  capacity x fill
	// loads                             75         volume / load, rounded up; the last is 2,424 gal
	// loading                           2.4 min    at the peak rate
	// travel                            8 min      out and back
	// cycle                             12.4 min   load, travel, unload and fixed waits
	// trucks that keep the loader busy  6          cycle / loading = 5.167, rounded up
	// trucks that never queue           5          rounded down
	// trucks                            5          the loader waits 24 s in each round
	// output                            781.8 gpm  19.355 loads an hour
	// time                              3.875 h    loads / output
}

func ExamplePump() {
	r, err := removal.Pump(removal.PumpSpec{
		Volume: 2000000 * units.Gallon,
		Hose: removal.DragHose{
			Flow: 1500 * units.GallonPerMinute, Pumping: 0.9, Rate: 8000 * units.GallonPerAcre, SetArea: 40 * units.Acre, SetUp: 1.5 * units.Hour,
		},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// area      250 acre  volume / rate
	// sets      7         area / set area, rounded up
	// laid out  24.69 h   volume / (flow x share pumping)
	// moving    10.5 h    sets x (set-up + hose moved / laying)
	// time      35.19 h   laid out + moving
}

func ExampleNewSlurry() {
	s, err := removal.NewSlurry(removal.SlurrySpec{Volume: 1000 * units.Gallon, Solids: 8 * units.Percent, SolidsGravity: 1.4})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(s.Mass.Text(units.Pound, 0), s.Dry.Text(units.Pound, 0), s.Density().Text(units.PoundPerGallon, 3))
	// Output:
	// 8,541 lb 683 lb 8.541 lb/gal
}

func ExampleSolidsGravity() {
	g, err := removal.SolidsGravity(removal.SolidsGravitySpec{Parts: []removal.SolidsPart{{Dry: 40 * units.Kilogram, Gravity: 1}, {Dry: 10 * units.Kilogram, Gravity: 2.5}}})
	fmt.Printf("%.4f %v\n", g, err)
	// Output:
	// 1.1364 <nil>
}

func ExampleThicken() {
	r, err := removal.Thicken(removal.ThickenSpec{
		In:     removal.SlurrySpec{Volume: 1000 * units.CubicYard, Solids: 15 * units.Percent, SolidsGravity: 1.5},
		Solids: 25 * units.Percent, Recovery: 1,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.Thick.Volume.Text(units.CubicYard, 0), r.Off.Volume.Text(units.CubicYard, 0))
	// Output:
	// 579 yd3 421 yd3
}

func ExampleDilute() {
	r, err := removal.Dilute(removal.DiluteSpec{
		In:     removal.SlurrySpec{Volume: 100000 * units.Gallon, Solids: 12 * units.Percent, SolidsGravity: 1.5},
		Solids: 6 * units.Percent, Liquid: 0.5 * units.Percent,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.Added.Volume.Text(units.Gallon, 0), r.Out.Volume.Text(units.Gallon, 0))
	// Output:
	// 113,447 gal 213,447 gal
}

func ExampleFitHaulTime() {
	line, err := removal.FitHaulTime(removal.HaulLineSpec{Runs: []removal.HaulRun{
		{Distance: 2 * units.Mile, Time: 8 * units.Minute}, {Distance: 5 * units.Mile, Time: 13 * units.Minute}, {Distance: 10 * units.Mile, Time: 22 * units.Minute},
	}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(line.Fixed.Text(units.Minute, 2), line.Speed.Text(units.MilePerHour, 1), line.Time(7*units.Mile).Text(units.Minute, 1))
	// Output:
	// 4.39 min 34.2 mph 16.7 min
}

func ExampleDefaultClasses() {
	for _, c := range removal.DefaultClasses() {
		fmt.Printf("%s from %s: %v\n", c.Name, c.From.Text(units.Percent, 0), c.Handling)
	}
	// Output:
	// liquid from 0 %: pump
	// slurry from 5 %: pump
	// semi-solid from 15 %: dig
	// solid from 20 %: dig
}

// Travel times of two known trips give that of a third.
func ExampleHaulLine_Time() {
	line, err := removal.FitHaulTime(removal.HaulLineSpec{Runs: []removal.HaulRun{
		{Distance: 2 * units.Mile, Time: 8 * units.Minute}, {Distance: 10 * units.Mile, Time: 24 * units.Minute},
	}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(line.Time(6 * units.Mile).Trade())
	// Output:
	// 16 min
}

func ExamplePlanResult_Best() {
	r, err := removal.Plan(pumpedOrDug())
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, route := range r.Best().Routes {
		fmt.Println(route.Route, "in", route.Days, "days")
	}
	// Output:
	// draw off and dig in 4 days
	// agitate and pump in 7 days
}

func ExampleSlurry_Density() {
	s, err := removal.NewSlurry(removal.SlurrySpec{Volume: 1000 * units.Gallon, Solids: 9 * units.Percent, SolidsGravity: 1.5})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(s.Density().Trade())
	// Output:
	// 64.36 lb/ft3
}

// Contents of the laboratory in lb per 1000 gal go in; each stream comes out with what
// an analysis of it would say, for the budget of the fields.
func ExampleStream() {
	per1000 := func(lb float64) removal.Content {
		return removal.Content{PerVolume: new(units.Concentration(lb) * units.PoundPer1000Gallon)}
	}
	spec := pumpedOrDug()
	spec.Interval = nil
	spec.Constituents = []removal.Constituent{
		{Name: "total N", Liquid: per1000(4.4), Sludge: per1000(24), WithWater: new(7.2 / 24)}, // its ammonium
		{Name: "ammonium N", Liquid: per1000(3.5), Sludge: per1000(7.2), WithWater: new(1.0)},
		{Name: "P2O5", Liquid: per1000(1.4), Sludge: per1000(46)}, // what is dissolved follows from the liquid
	}
	r, err := removal.Plan(spec)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range r.Best().Constituents {
		fmt.Printf("%s: %.0f %% of what the sludge holds goes with the water: %v\n", c.Name, 100*c.WithWater, c.Split)
	}
	for _, route := range r.Best().Routes {
		fmt.Println(route.Route)
		for _, s := range route.Streams {
			fmt.Printf("  %v, %v: %s at %s solids\n", s.Kind, s.Handling, s.Moved.Text(units.Gallon, 0), s.Material.Solids.Text(units.Percent, 1))
			for _, c := range s.Constituents {
				fmt.Printf("    %s %s: %s or %s\n", c.Name, c.Mass.Text(units.Pound, 0), c.PerVolume.Text(units.PoundPer1000Gallon, 1), c.PerMass.Text(units.PoundPerTon, 1))
			}
		}
	}
	// Output:
	// total N: 30 % of what the sludge holds goes with the water: given
	// ammonium N: 100 % of what the sludge holds goes with the water: given
	// P2O5: 3 % of what the sludge holds goes with the water: as in the liquid
	// draw off and dig
	//   effluent, pump: 1,000,000 gal at 0.5 % solids
	//     total N 4,400 lb: 4.4 lb/1000 gal or 1.1 lb/ton
	//     ammonium N 3,500 lb: 3.5 lb/1000 gal or 0.8 lb/ton
	//     P2O5 1,400 lb: 1.4 lb/1000 gal or 0.3 lb/ton
	//   filtrate, pump: 135,309 gal at 0.0 % solids
	//     total N 1,038 lb: 7.7 lb/1000 gal or 1.8 lb/ton
	//     ammonium N 1,038 lb: 7.7 lb/1000 gal or 1.8 lb/ton
	//     P2O5 190 lb: 1.4 lb/1000 gal or 0.3 lb/ton
	//   sludge, dig: 164,691 gal at 16.0 % solids
	//     total N 6,162 lb: 37.4 lb/1000 gal or 8.5 lb/ton
	//     ammonium N 1,122 lb: 6.8 lb/1000 gal or 1.5 lb/ton
	//     P2O5 13,610 lb: 82.6 lb/1000 gal or 18.7 lb/ton
	// agitate and pump
	//   effluent, pump: 874,891 gal at 0.5 % solids
	//     total N 3,850 lb: 4.4 lb/1000 gal or 1.1 lb/ton
	//     ammonium N 3,062 lb: 3.5 lb/1000 gal or 0.8 lb/ton
	//     P2O5 1,225 lb: 1.4 lb/1000 gal or 0.3 lb/ton
	//   slurry, pump: 396,678 gal at 6.0 % solids
	//     total N 6,798 lb: 17.1 lb/1000 gal or 4.0 lb/ton
	//     ammonium N 2,401 lb: 6.1 lb/1000 gal or 1.4 lb/ton
	//     P2O5 11,928 lb: 30.1 lb/1000 gal or 7.1 lb/ton
	//   filtrate, pump: 3,728 gal at 0.0 % solids
	//     total N 29 lb: 7.7 lb/1000 gal or 1.8 lb/ton
	//     ammonium N 29 lb: 7.7 lb/1000 gal or 1.8 lb/ton
	//     P2O5 5 lb: 1.4 lb/1000 gal or 0.3 lb/ton
	//   residual, dig: 24,704 gal at 16.0 % solids
	//     total N 924 lb: 37.4 lb/1000 gal or 8.5 lb/ton
	//     ammonium N 168 lb: 6.8 lb/1000 gal or 1.5 lb/ton
	//     P2O5 2,041 lb: 82.6 lb/1000 gal or 18.7 lb/ton
}

// Six hours at 1,300 gpm do not move half a million gallons once.
func ExampleAgitation() {
	r, err := removal.Agitation(removal.AgitationSpec{
		Volume: 557000 * units.Gallon, Time: 6 * units.Hour,
		Agitator: removal.Agitator{
			Flow: 1300 * units.GallonPerMinute, Machines: 1, Power: 60 * units.Horsepower,
			Reach: 60 * units.Foot, Access: removal.AgitatorBothBanks, Length: 300 * units.Foot, Width: 100 * units.Foot,
		},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// volume        557,000 gal
	// one turnover  7.141 h             volume / (machines x flow)
	// turnovers     0.8402              in 6 h
	// intensity     0.1077 hp/1000 gal  machines x power / volume
	// positions     10                  36 min in each; 0 % of the area unreached
	// note                              In 6 h not all of 557,000 gal passes through the agitator once, but 0.84 of it: more sludge stays than after full agitation.
}

// A pump on half a mile of hose to a toolbar that needs 35 psi, 81 ft of water.
func ExampleLine() {
	r, err := removal.Line(removal.LineSpec{
		Sections: []removal.HoseSection{
			{Length: 2000 * units.Foot, Diameter: 6 * units.Inch, Coefficient: 140},
			{Length: 660 * units.Foot, Diameter: 5 * units.Inch, Coefficient: 140},
		},
		Friction: removal.FrictionHazenWilliams, SlurryFactor: 1.2,
		Lift: 35 * units.Foot, Outlet: 81 * units.Foot,
		Curve: []removal.PumpPoint{
			{Flow: 0, Head: 420 * units.Foot}, {Flow: 600 * units.GallonPerMinute, Head: 380 * units.Foot}, {Flow: 1200 * units.GallonPerMinute, Head: 250 * units.Foot},
		},
		Suction: &removal.Suction{Atmosphere: 33 * units.Foot, Vapour: units.Foot, Lift: 8 * units.Foot, Loss: 4 * units.Foot, Required: 12 * units.Foot},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// static head       116 ft     lift + outlet
	// friction 1        115.9 ft   clear water x slurry factor, at 9.7 ft/s
	// friction 2        92.95 ft   clear water x slurry factor, at 14.0 ft/s
	// head of the pump  324.8 ft   static head + friction
	// flow              854.6 gpm  where pump and line have the same head
	// suction head      20 ft      atmosphere - vapour - lift - loss
}
