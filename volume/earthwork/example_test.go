package earthwork_test

import (
	"fmt"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/earthwork"
)

// clayLoam is a soil of the caller: swell and shrink as measured on the site.
var clayLoam = earthwork.SoilSpec{Swell: new(0.25), Shrink: new(0.10)}

func ExampleNewSoil() {
	clay, err := earthwork.NewSoil(earthwork.SoilSpec{Class: earthwork.SoilClassDenseClay})
	if err != nil {
		fmt.Println(err)
		return
	}
	loose, err := clay.Convert(1000*units.CubicYard, earthwork.StateBank, earthwork.StateLoose)
	fmt.Println(loose.Text(units.CubicYard, 0), err)
	// The source gives no shrink for dense clay, and none is made up.
	_, err = clay.Convert(1000*units.CubicYard, earthwork.StateBank, earthwork.StateCompacted)
	fmt.Println(err)
	// Output:
	// 1,300 yd3 <nil>
	// shrink: missing; want the shrink of this soil, to count it compacted
}

func ExampleSoil_Convert() {
	lb := units.TonPerCubicYard / 2000
	soil, err := earthwork.NewSoil(earthwork.SoilSpec{BankDensity: 3000 * lb, LooseDensity: 2400 * lb, CompactedDensity: 3300 * lb})
	if err != nil {
		fmt.Println(err)
		return
	}
	fill := 500 * units.CubicYard
	bank, _ := soil.Convert(fill, earthwork.StateCompacted, earthwork.StateBank)
	loose, _ := soil.Convert(fill, earthwork.StateCompacted, earthwork.StateLoose)
	fmt.Println(bank.Text(units.CubicYard, 1), "bank", loose.Text(units.CubicYard, 1), "loose")
	// Output: 550.0 yd3 bank 687.5 yd3 loose
}

func ExampleSoilTable() {
	for _, row := range earthwork.SoilTable() {
		fmt.Println(row.Class, *row.Swell, row.Shrink != nil)
	}
	// Output:
	// sand or gravel 0.11 true
	// sand and gravel mix 0.15 true
	// dense clay 0.3 false
}

func ExampleLoads() {
	r, err := earthwork.Loads(earthwork.LoadsSpec{
		Volume: 1000 * units.CubicYard, State: earthwork.StateBank,
		Soil:  earthwork.SoilSpec{Class: earthwork.SoilClassDenseClay},
		Truck: earthwork.TruckSpec{Volume: 7 * units.CubicYard},
	})
	fmt.Println(r.Loads, err)
	// Output: 186 <nil>
}

func ExampleBerm() {
	section := earthwork.BermSection{Height: 4 * units.Foot, CrestWidth: 10 * units.Foot, InnerSlope: 3, OuterSlope: 3}
	r, err := earthwork.Berm(earthwork.BermSpec{
		Line: earthwork.BermLineInnerToe, Length: 300 * units.Foot, Width: 200 * units.Foot,
		Sides: []earthwork.BermSection{section},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// plan            inner toe    4 sides
	// side 1          1,088.6 yd3  section 88.0 ft2 x 334.0 ft at its centroid, 17.0 ft from the inner toe
	// side 2          762.7 yd3    section 88.0 ft2 x 234.0 ft at its centroid, 17.0 ft from the inner toe
	// side 3          1,088.6 yd3  section 88.0 ft2 x 334.0 ft at its centroid, 17.0 ft from the inner toe
	// side 4          762.7 yd3    section 88.0 ft2 x 234.0 ft at its centroid, 17.0 ft from the inner toe
	// berm            3,702.5 yd3  sum of the sides
	// ground covered  0.8867 acre
}

func ExampleSections() {
	// An embankment on falling ground.
	spec := earthwork.SectionsSpec{Method: volume.MethodEndArea}
	for i, h := range []float64{0, 3, 5, 4, 0} {
		berm := earthwork.BermSection{Height: units.Length(h) * units.Foot, CrestWidth: 10 * units.Foot, InnerSlope: 3, OuterSlope: 2}
		area, err := berm.Area()
		if err != nil {
			fmt.Println(err)
			return
		}
		spec.Sections = append(spec.Sections, earthwork.Section{Station: units.Length(50*i) * units.Foot, Fill: area})
	}
	r, err := earthwork.Sections(spec)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// 0.0 ft to 50.0 ft     0.0 yd3    cut, and fill 48.6 yd3
	// 50.0 ft to 100.0 ft   0.0 yd3    cut, and fill 152.8 yd3
	// 100.0 ft to 150.0 ft  0.0 yd3    cut, and fill 178.2 yd3
	// 150.0 ft to 200.0 ft  0.0 yd3    cut, and fill 74.1 yd3
	// cut, bank             0.0 yd3    average end area
	// fill, compacted       453.7 yd3  average end area
}

func ExampleBreach() {
	r, err := earthwork.Breach(earthwork.BreachSpec{
		Berm:        earthwork.BermSection{Height: 4 * units.Foot, CrestWidth: 10 * units.Foot, InnerSlope: 3, OuterSlope: 3},
		BottomWidth: 10 * units.Foot, SideSlope: 3, Depth: 4 * units.Foot,
	})
	fmt.Println(r.TopWidth.Text(units.Foot, 0), r.Volume.Text(units.CubicYard, 1), r.Through, err)
	// Output: 34 ft 64.6 yd3 true <nil>
}

func ExampleCrestWidth() {
	w, err := earthwork.CrestWidth(15 * units.Foot)
	fmt.Println(w.Text(units.Foot, 1), err)
	// Output: 10.0 ft <nil>
}

func ExampleCrown() {
	r, err := earthwork.Crown(earthwork.CrownSpec{Shape: earthwork.CrownShapeHip, Length: 300 * units.Foot, Width: 200 * units.Foot, Grade: 0.03})
	fmt.Println(r.Peak.Text(units.Foot, 2), r.Volume.Text(units.CubicFoot, 0), err)
	// Output: 3.00 ft 70,000 ft3 <nil>
}

func ExampleSettledCrown() {
	r, err := earthwork.SettledCrown(earthwork.SettledCrownSpec{
		Crown:     earthwork.CrownSpec{Shape: earthwork.CrownShapeHip, Length: 300 * units.Foot, Width: 200 * units.Foot, Grade: 0.03},
		FillDepth: 10 * units.Foot, BankSlope: 3,
		Settlement: earthwork.SettlementSpec{Rule: earthwork.SettlementRulePlaced, Share: 0.05},
		MinGrade:   0.02,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("sheds water %v: %.2f %% is left over the banks, %.2f %% has to be built\n", r.ShedsWater, 100*r.GradeOverBank, 100*r.GradeNeeded)
	// Output: sheds water false: 1.18 % is left over the banks, 3.86 % has to be built
}

func ExampleOverbuild() {
	for _, rule := range []earthwork.SettlementRule{earthwork.SettlementRuleDesign, earthwork.SettlementRulePlaced} {
		r, err := earthwork.Overbuild(earthwork.OverbuildSpec{Design: 10 * units.Foot, Settlement: earthwork.SettlementSpec{Rule: rule, Share: 0.05}})
		fmt.Println(r.Built.Text(units.Foot, 3), r.Spec.Settlement.Rule, err)
	}
	// Output:
	// 10.500 ft share of design height <nil>
	// 10.526 ft share of placed height <nil>
}

func ExampleSettlementTable() {
	for _, row := range earthwork.SettlementTable() {
		fmt.Printf("%s: %g to %g\n", row.Fill, row.Share.Low, row.Share.High)
	}
	// Output:
	// impoundment embankment, at least: 0.05 to 0.05
	// small dam: 0.1 to 0.1
	// pond dyke, built by machine: 0.05 to 0.1
	// pond dyke, coastal soil rich in peat: 0.2 to 0.25
}

func ExampleRolledSettlement() {
	s, err := earthwork.RolledSettlement(earthwork.RolledSettlementSpec{Depth: 48 * units.Inch, Shrink: 0.2})
	fmt.Println(s.Text(units.Inch, 1), err)
	// Output: 4.8 in <nil>
}

func ExampleLiner() {
	basin, err := volume.NewRectangular(volume.RectangularSpec{
		Length: 425 * units.Foot, Width: 100 * units.Foot, At: volume.ReferenceFloor,
		Depth: 6.2 * units.Foot, Slopes: []float64{3},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, m := range []volume.LinerMethod{volume.LinerMethodArea, volume.LinerMethodOffset} {
		r, err := volume.Liner(volume.LinerSpec{Basin: basin, Thickness: 6 * units.Inch, Method: m})
		fmt.Println(r.Volume.Text(units.CubicYard, 0), r.Method, err)
	}
	// Output:
	// 1,195 yd3 area x thickness <nil>
	// 1,214 yd3 offset solid <nil>
}

func ExampleDrain() {
	r, err := earthwork.Drain(earthwork.DrainSpec{
		Kind: earthwork.DrainKindHoles, Length: 425 * units.Foot, Width: 100 * units.Foot,
		Size: 3 * units.Foot, Spacing: 25 * units.Foot, Depth: 2 * units.Foot,
	})
	fmt.Printf("%d holes open %.1f %% of the floor, %s, %v\n", r.Count, 100*r.Share, r.Volume.Text(units.CubicYard, 1), err)
	// Output: 68 holes open 1.1 % of the floor, 35.6 yd3, <nil>
}

func ExampleTrench() {
	r, err := earthwork.Trench(earthwork.TrenchSpec{
		Points:      []earthwork.TrenchPoint{{Station: 0, Depth: 5 * units.Foot}, {Station: 120 * units.Foot, Depth: 6.5 * units.Foot}},
		BottomWidth: 3 * units.Foot, SideSlopes: [2]float64{1, 1}, Method: volume.MethodPrismoidal,
		PipeOutside: 1 * units.Foot, Soil: clayLoam,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.Excavation.Text(units.CubicYard, 1), "out,", r.Backfill.Text(units.CubicYard, 1), "back")
	fmt.Println(r.Cautions[len(r.Cautions)-2])
	// Output:
	// 224.4 yd3 out, 221.0 yd3 back
	// At 5 ft and deeper nobody is in the trench without sloping, shoring or a shield that a competent person has chosen (29 CFR 1926.652).
}

func ExamplePipe() {
	r, err := earthwork.Pipe(earthwork.PipeSpec{Inside: 8 * units.Inch, Length: 150 * units.Foot})
	fmt.Println(r.Bore.Text(units.Gallon, 0), err)
	// Output: 392 gal <nil>
}

func ExamplePlug() {
	r, err := earthwork.Plug(earthwork.PlugSpec{
		Inside: 8 * units.Inch, PlugLength: 3 * units.Foot, Plugs: 4, Waste: 0.1, Yield: 0.6 * units.CubicFoot,
	})
	fmt.Println(r.Concrete.Text(units.CubicFoot, 2), r.Bags, "bags", err)
	// Output: 4.61 ft3 8 bags <nil>
}

func ExampleHaul() {
	yd3, ft := units.CubicYard, units.Foot
	r, err := earthwork.Haul(earthwork.HaulSpec{
		Cuts: []earthwork.HaulSite{
			{Name: "north berm", Volume: 1800 * yd3},
			{Name: "south berm", Volume: 1500 * yd3},
			{Name: "borrow pit", Volume: 9000 * yd3, Optional: true, Price: units.PricePer(2.0, yd3)},
		},
		Fills:     []earthwork.HaulSite{{Name: "west half", Volume: 2500 * yd3}, {Name: "east half", Volume: 2500 * yd3}},
		Distances: [][]units.Length{{200 * ft, 350 * ft}, {150 * ft, 400 * ft}, {4000 * ft, 3600 * ft}},
		Truck:     14 * yd3, Travel: units.PricePer(6.0, units.Mile),
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// north berm to west half  1,000.0 yd3  over 200 ft
	// north berm to east half  800.0 yd3    over 350 ft
	// south berm to west half  1,500.0 yd3  over 150 ft
	// borrow pit to east half  1,700.0 yd3  over 3,600 ft
	// left at borrow pit       7,300.0 yd3
	// mean haul, one way       1,365 ft     volume x distance / 5,000.0 yd3
	// cost                     4,507.95     loads x two ways x price of travel, and site prices
}

// Every soil is counted once: the berm fills the basin, topsoil goes back on top.
func ExampleAccount() {
	earth := earthwork.SoilSpec{Swell: new(0.25), Shrink: new(0.1)}
	r, err := earthwork.Account(earthwork.AccountSpec{
		Soils: []earthwork.AccountSoil{
			{Name: "berm soil", Soil: earth, Cuts: []earthwork.EarthPart{{Name: "berm", Volume: 1500 * units.CubicYard, State: earthwork.StateBank, Unsuitable: 100 * units.CubicYard}}},
			{Name: "borrow", Soil: earth, BroughtIn: true},
			{Name: "topsoil", Soil: earth, Loss: 0.05, Cuts: []earthwork.EarthPart{{Name: "berm", Volume: 400 * units.CubicYard, State: earthwork.StateBank}}},
		},
		Fills: []earthwork.AccountFill{
			{Name: "basin", Volume: 3000 * units.CubicYard, State: earthwork.StateCompacted, Soils: []string{"berm soil", "borrow"}},
			{Name: "crown", Volume: 350 * units.CubicYard, State: earthwork.StateBank, Soils: []string{"topsoil"}},
		},
		Truck: &earthwork.TruckSpec{Volume: 14 * units.CubicYard},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// berm soil: dug               1,500.0 yd3  bank; 1,875.0 yd3 loose, 1,350.0 yd3 compacted
	// berm soil: placed            1,400.0 yd3  bank; 1,750.0 yd3 loose, 1,260.0 yd3 compacted
	// berm soil: not fit for fill  100.0 yd3    bank; 125.0 yd3 loose, 90.0 yd3 compacted, 9 loads
	// borrow: brought in           1,933.3 yd3  bank; 2,416.7 yd3 loose, 1,740.0 yd3 compacted, 173 loads
	// borrow: placed               1,933.3 yd3  bank; 2,416.7 yd3 loose, 1,740.0 yd3 compacted
	// topsoil: dug                 400.0 yd3    bank; 500.0 yd3 loose, 360.0 yd3 compacted
	// topsoil: placed              350.0 yd3    bank; 437.5 yd3 loose, 315.0 yd3 compacted
	// topsoil: lost in handling    20.0 yd3     bank; 25.0 yd3 loose, 18.0 yd3 compacted
	// topsoil: left over           30.0 yd3     bank; 37.5 yd3 loose, 27.0 yd3 compacted, 3 loads
	// into basin                   1,260.0 yd3  berm soil
	// into basin                   1,740.0 yd3  borrow, brought in
	// into crown                   350.0 yd3    topsoil
}

// A fill at 95 % of standard Proctor in lifts of 8 in.
func ExampleCompaction() {
	r, err := earthwork.Compaction(earthwork.CompactionSpec{
		Volume: 9000 * units.CubicYard, Depth: 9 * units.Foot, Lift: 8 * units.Inch, Passes: 6,
		Test: earthwork.ProctorTestStandard, Percent: 0.95, MaxDensity: 108 * units.PoundPerCubicFoot, BankDensity: 92 * units.PoundPerCubicFoot,
		Moisture: units.Range[float64]{Low: 0.14, High: 0.18}, TestEvery: 500 * units.CubicYard,
		Roller: &earthwork.RollerSpec{Width: 6 * units.Foot, Speed: 2.5 * units.MilePerHour, Efficiency: 0.75},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// fill, compacted                         9,000.0 yd3
	// lifts                                   14            9 ft / 8 in, rounded up, 6 passes each
	// compaction                              0.95          share of the greatest dry density of the standard Proctor test
	// dry density to reach                    102.6 lb/ft3  0.95 x 108 lb/ft3
	// moisture                                0.14 to 0.18  water by dry mass while it is compacted
	// shrink                                  0.1033        1 - 92 lb/ft3 in place / dry density to reach
	// density tests                           18            one for each 500.0 yd3, and one for each lift at least
	// rolled in an hour, compacted            244.4 yd3     width x speed x lift x 0.75 / passes
	// hours of the roller                     36.82 h       fill / rolled
	// most that it settles by growing denser  0.05          1 - compaction, share of placed height
}

// A pit 8 ft deep that gives what the fill lacks.
func ExampleBorrow() {
	r, err := earthwork.Borrow(earthwork.BorrowSpec{
		Volume: 8000 * units.CubicYard, State: earthwork.StateCompacted, Depth: 8 * units.Foot, Slope: 3,
		Topsoil: 8 * units.Inch, Loss: 0.05, Soil: earthwork.SoilSpec{Shrink: new(0.1)},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// soil taken, bank        8,888.9 yd3  from 8,000.0 yd3 compacted
	// floor of the pit        148.6 ft     side s of s²d + 2szd² + 4/3 z²d³, 8 ft deep at 3:1
	// side at the ground      196.6 ft     s + 2zd
	// ground taken            0.8878 acre  side squared
	// topsoil stripped, bank  954.8 yd3    0.8878 acre x 8 in
	// topsoil returned, bank  907.1 yd3    less the loss of 0.05, 7.6 in thick
}

// A first lift over a floor that does not carry.
func ExampleBridging() {
	r, err := earthwork.Bridging(earthwork.BridgingSpec{
		Area: 0.3 * units.Acre, Thickness: 2 * units.Foot, Sinks: 6 * units.Inch, Fabric: true, Overlap: 0.15,
		Soil: earthwork.SoilSpec{Swell: new(0.25), Shrink: new(0.1)},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// soft ground          0.3 acre
	// lift, compacted      1,210.0 yd3  area x (2 ft + 6 in that sinks in)
	// of that in the fill  968.0 yd3    area x thickness
	// fabric               0.345 acre   area x (1 + 0.15)
}

// A crown at 4.5 % over 9 ft of fill no longer sheds water when 8 % has settled.
func ExampleCrownFor() {
	r, err := earthwork.CrownFor(earthwork.SettledCrownSpec{
		Crown:     earthwork.CrownSpec{Shape: earthwork.CrownShapeHip, Length: 213.5 * units.Foot, Width: 135 * units.Foot, Grade: 0.045},
		FillDepth: 9 * units.Foot, BankSlope: 2.5, MinGrade: 0.02,
		Settlement: earthwork.SettlementSpec{Rule: earthwork.SettlementRuleDesign, Share: 0.08},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// shape                            hip
	// plan                             0.6617 acre
	// grade                            0.0536       rise per run
	// peak                             3.618 ft     grade x width/2
	// fill in the crown                1,524.1 yd3  grade x width^2 (3 length - width)/12
	// more than at the grade given     244.5 yd3    a grade of 0.045
	// height left per height placed k  0.9259       share of design height
	// peak as built                    3.618 ft
	// peak left                        2.683 ft     k peak - (1 - k) fill depth 9 ft
	// grade left over the banks        0.02         k grade - (1 - k)/bank slope
	// grade left over the floor        0.04963      k grade
	// grade to build                   0.0536       (least grade + (1 - k)/bank slope)/k
	// sheds water                      yes          least grade left is 0.02 or more
}

// What a published liner asks for, beside the engineer's own demands.
func ExampleCompactionRules() {
	for _, r := range earthwork.CompactionRules() {
		fmt.Printf("%s: %.0f %% of %s\n", r.Use, 100*r.Percent, r.Test)
	}
	// Output:
	// liner: 95 % of standard Proctor
	// slope: 90 % of standard Proctor
	// clay plug: 90 % of modified Proctor
}
