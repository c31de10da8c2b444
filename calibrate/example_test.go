package calibrate_test

import (
	"fmt"
	"time"

	"example.org/earthbasin/calibrate"
	"example.org/earthbasin/units"
)

func Example() {
	sheets, err := calibrate.Sheets(calibrate.SheetsSpec{Confidence: 0.95,
		Area:   (8 * units.Foot).Times(8 * units.Foot),
		Tare:   new(2 * units.Pound),
		Sheets: []calibrate.Sheet{{Gross: 38 * units.Pound}, {Gross: 33 * units.Pound}, {Gross: 36 * units.Pound}, {Gross: 35 * units.Pound}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fix, err := calibrate.Correct(calibrate.CorrectSpec[units.MassPerArea]{
		Measured: sheets.Summary.Mean, Interval: sheets.Summary.Interval,
		Target: 10 * units.TonPerAcre, Tolerance: 0.10,
		Speed: &calibrate.Control[units.Speed]{Now: 4 * units.MilePerHour},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(sheets)
	fmt.Println(fix)
	// Output:
	// sheet 1                 12.25 ton/acre                    net weight / sheet area
	// sheet 2                 10.55 ton/acre                    net weight / sheet area
	// sheet 3                 11.57 ton/acre                    net weight / sheet area
	// sheet 4                 11.23 ton/acre                    net weight / sheet area
	// mean                    11.4 ton/acre                     of 4
	// standard deviation      1,417 lb/acre                     n - 1; CV 6.2 %
	// interval                10.27 ton/acre to 12.53 ton/acre  95 %, two-sided, t 3.1824
	// sheets needed           4                                 for ±10 % of the mean, t by the iterated rule; 0 more
	// farthest from the mean  sheet 1, 12.25 ton/acre           Grubbs G 1.201 against 1.481, not an outlier; mean without it 11.12 ton/acre
	//
	// target     10 ton/acre
	// measured   14.0 %       above the target
	// decision   adjust       tolerance 10 %, by the mean
	// new speed  4.56 mph     speed x measured / target; gives 10 ton/acre, +0.0 %, 9.011 ton/acre to 10.99 ton/acre
}

func ExampleSheets() {
	_, err := calibrate.Sheets(calibrate.SheetsSpec{Confidence: 0.95,
		Sheets: []calibrate.Sheet{{Gross: 3 * units.Pound, Tare: new(4 * units.Pound), Area: 22 * units.SquareFoot}, {Gross: 5 * units.Pound}},
	})
	fmt.Println(err)
	// Output:
	// sheets[0].gross: got 3 lb, want the tare of 4 lb or more
	// sheets[1].area: missing; want the area of the sheet, or one for all in area
	// sheets[1].tare: missing; want the weight of sheet and bucket, or one for all in tare; 0 lb when the weights are net
}

func ExampleShortcutError() {
	high, err := calibrate.ShortcutError(22 * units.SquareFoot)
	fmt.Printf("%+.2f %% %v\n", 100*high, err)
	// Output:
	// +1.01 % <nil>
}

func ExampleLoadArea() {
	r, err := calibrate.LoadArea(calibrate.LoadAreaSpec[units.Volume]{Confidence: 0.95, Runs: []calibrate.LoadRun[units.Volume]{
		{Load: 2700 * units.Gallon, Loads: 1, Width: 20 * units.Foot, Distance: 1200 * units.Foot},
		{Load: 2700 * units.Gallon, Loads: 1.5, Width: 20 * units.Foot, Distance: 1740 * units.Foot},
		{Load: 2700 * units.Gallon, Loads: 2, Area: 1.12 * units.Acre},
	}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// put down            12,150 gal                        loads x load
	// area covered        2.47 acre                         width x distance, or as measured
	// rate                4,919 gal/acre                    put down / area covered
	// interval            4,572 gal/acre to 5,267 gal/acre  95 %, 3 runs, each counting by its area
	// spread of the runs  126.7 gal/acre                    n - 1; CV 2.6 %
}

func ExampleLoadCapacity() {
	r, err := calibrate.LoadCapacity(calibrate.LoadCapacitySpec{
		Hold: calibrate.HoldBox, Length: 10 * units.Foot, Width: 5 * units.Foot, Depth: 2 * units.Foot, Heap: 1 * units.Foot,
		Fill: 1, Density: 55 * units.PoundPerCubicFoot,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.Volume.Text(units.CubicFoot, 0), r.Mass.Text(units.Ton, 2))
	// Output:
	// 140 ft3 3.85 ton
}

func ExampleEmptyDistance() {
	d, err := calibrate.EmptyDistance(3000*units.Gallon, 20*units.Foot, 5000*units.GallonPerAcre)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(d.Text(units.Foot, 0))
	// Output:
	// 1,307 ft
}

func ExampleSolve() {
	r, err := calibrate.Solve(calibrate.SolveSpec{
		Tank:   &calibrate.TimedTank{Volume: 4000 * units.Gallon, Time: 5 * units.Minute},
		Course: &calibrate.TimedCourse{Distance: 300 * units.Foot, Time: 50 * units.Second},
		Width:  20 * units.Foot,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// flow   800 gpm
	// speed  4.091 mph
	// width  20 ft
	// rate   4,840 gal/acre  flow / (speed x width)
}

func ExampleGearTable() {
	r, err := calibrate.GearTable(calibrate.GearTableSpec{
		Flow: 1200 * units.GallonPerMinute, Width: 24 * units.Foot, Target: 7000 * units.GallonPerAcre,
		Gears: []calibrate.Gear{{Name: "low 3", Speed: 2.9 * units.MilePerHour}, {Name: "low 4", Speed: 3.6 * units.MilePerHour}, {Name: "high 1", Speed: 4.8 * units.MilePerHour}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// low 3   8,534 gal/acre  at 2.9 mph, +21.9 % off the target
	// low 4   6,875 gal/acre  at 3.6 mph, -1.8 % off the target, nearest
	// high 1  5,156 gal/acre  at 4.8 mph, -26.3 % off the target
}

func ExampleStandingCatch() {
	m, err := calibrate.StandingCatch(300*units.KilogramPerHectare, 8*units.KilometrePerHour, 18*units.Metre, units.Minute)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(m.Text(units.Kilogram, 1))
	// Output:
	// 72.0 kg
}

func ExampleHoseSets() {
	r, err := calibrate.HoseSets(calibrate.HoseSetsSpec{
		Flow: 1500 * units.GallonPerMinute, Rate: 8000 * units.GallonPerAcre, Width: 20 * units.Foot,
		Area: 250 * units.Acre, SetArea: 40 * units.Acre, SetUp: 1.5 * units.Hour, Pumping: 0.9,
		Limits: &units.Range[units.Speed]{Low: 1.5 * units.MilePerHour, High: 4 * units.MilePerHour},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// speed            4.641 mph      flow / (rate x width); outside the limits of the tractor
	// sets             7              field / set area, rounded up
	// one full set     3.951 h        rate x set area / (flow x share pumping)
	// volume           2,000,000 gal  rate x field
	// spreading        24.69 h        volume / (flow x share pumping)
	// moving the hose  10.5 h         sets x set-up
	// total            35.19 h        spreading + moving
}

func ExampleGauges() {
	gauge := func(inches float64) calibrate.Gauge {
		return calibrate.Gauge{Depth: new(units.Length(inches) * units.Inch)}
	}
	r, err := calibrate.Gauges(calibrate.GaugesSpec{Confidence: 0.95,
		System: calibrate.SystemGun,
		Gauges: []calibrate.Gauge{gauge(0.4), gauge(0.5), gauge(0.6), gauge(0.5), gauge(0.6), {Missing: true}, gauge(0.5), gauge(0.4), gauge(0.3)},
		Wind:   new(3 * units.MilePerHour),
		Carries: map[string]units.Concentration{
			"total N": 0.4 * units.GramPerLitre,
		},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// as read: mean depth              0.475 in                8 gauges, gauges alike
	// as read: uniformity              82.89 %                 Christiansen: 1 - sum|x - m| / (n m)
	// as read: low quarter             73.68 %                 mean of the lowest quarter / mean, fractional rule
	// as read: scheduling coefficient  1.583                   mean / lowest mean of a window of 1
	// as read: statistical uniformity  78.21 %                 1 - s/mean, sample s
	// interval                         0.3885 in to 0.5615 in  95 %, two-sided, gauges alike
	// far off gauges                   3                       more than 20 % from the mean
	// total N                          43.06 lb/acre           depth x concentration
	// note                                                     1 of 9 gauges have no value and were left out.
	// note                                                     Not corrected for evaporation from the gauges.
	// note                                                     8 gauges; field calibration of a gun asks for 16 or more, at most 25 ft apart.
}

func ExampleSolidSet() {
	r, err := calibrate.SolidSet(calibrate.SolidSetSpec{
		Flow: 4 * units.GallonPerMinute, Along: 40 * units.Foot, Between: 50 * units.Foot, Efficiency: 0.8, Run: 2 * units.Hour,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// sprinklers per acre  21.78        acre / (along x between)
	// gross rate           0.1925 in/h  flow / (along x between)
	// net rate             0.154 in/h   gross x efficiency
	// in one run           0.308 in     net; gross 0.385 in
}

func ExampleGrossNet() {
	r, err := calibrate.GrossNet(calibrate.GrossNetSpec{
		Flow: 500 * units.GallonPerMinute, Time: 8 * units.Hour, Area: 8 * units.Acre, Net: 0.95 * units.Inch,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// gross depth  1.105 in   flow x time / area
	// net depth    0.95 in    mean of the gauges
	// efficiency   85.99 %    net / gross
	// loss         0.1548 in  gross - net
}

func ExampleLanes() {
	r, err := calibrate.Lanes(calibrate.LanesSpec{
		Flow: 500 * units.GallonPerMinute, Wetted: 400 * units.Foot, Lane: 280 * units.Foot,
		Depth: 0.75 * units.Inch, Length: 1000 * units.Foot, Wind: new(5 * units.MilePerHour),
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// speed             3.819 ft/min  flow / (depth x lane)
	// lane              70 %          of the wetted diameter; overlap 120 ft
	// one pull          6.428 acre    lane x length
	// time of a pull    4.364 h       length / speed
	// volume of a pull  130,909 gal   flow x time
	// note                            The lane is 70 % of the wetted diameter; sprinklers on a square are set at 50 % in a wind of 5 mph. Check the pattern with gauges.
}

func ExampleSquareSpacing() {
	share, ok := calibrate.SquareSpacing(6 * units.MilePerHour)
	fmt.Println(share, ok)
	// Output:
	// 0.5 true
}

func ExampleOverlap() {
	r, err := calibrate.Overlap(calibrate.OverlapSpec{
		Pattern: calibrate.Pattern{Trays: []float64{0, 1, 3, 5, 6, 6, 5, 4, 3, 1, 0}, Spacing: 3 * units.Foot, Line: 15 * units.Foot},
		Drive:   calibrate.DriveToAndFro, MaxCV: 0.20,
		Widths: []units.Length{12 * units.Foot, 15 * units.Foot, 18 * units.Foot, 21 * units.Foot, 24 * units.Foot},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// one pass alone      74.42 %   CV of the trays, n - 1
	// right against left  -5.882 %  (right - left) / all; centre -3.176 in from the driving line, right positive
	// 12 ft               7.594 %   CV of to-and-fro passes, within the limit
	// 15 ft               9.974 %   CV of to-and-fro passes, within the limit
	// 18 ft               7.204 %   CV of to-and-fro passes, within the limit
	// 21 ft               15.93 %   CV of to-and-fro passes, within the limit
	// 24 ft               30.94 %   CV of to-and-fro passes, above the limit
	// widest              21 ft     largest with CV at most 20 %
}

func ExampleEffectiveWidth() {
	pattern := calibrate.Pattern{Trays: []float64{0, 2, 5, 7, 6, 6, 6, 7, 5, 2, 0}, Spacing: 3 * units.Foot, Line: 15 * units.Foot}
	for _, rule := range []calibrate.WidthRule{calibrate.WidthHalfMaximum, calibrate.WidthHalfCentre} {
		r, err := calibrate.EffectiveWidth(calibrate.EffectiveWidthSpec{Rule: rule, Pattern: pattern})
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Println(rule, r.Width.Text(units.Foot, 1))
	}
	// Output:
	// half of maximum 21.0 ft
	// half of centre 22.0 ft
}

func ExampleCorrect() {
	r, err := calibrate.Correct(calibrate.CorrectSpec[units.VolumePerArea]{
		Measured: 6000 * units.GallonPerAcre, Target: 4500 * units.GallonPerAcre, Tolerance: 0.10,
		Speed: &calibrate.Control[units.Speed]{Now: 3 * units.MilePerHour, Limits: &units.Range[units.Speed]{Low: units.MilePerHour, High: 3.5 * units.MilePerHour}},
		Flow:  &calibrate.Control[units.Flow]{Now: 900 * units.GallonPerMinute},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// target     4,500 gal/acre
	// measured   33.3 %          above the target
	// decision   adjust          tolerance 10 %, by the mean
	// new speed  3.5 mph         speed x measured / target, stopped at the limit of the machine; gives 5,143 gal/acre, +14.3 %, still outside the tolerance
	// new flow   675 gpm         flow x target / measured; gives 4,500 gal/acre, +0.0 %
}

func ExampleParseRecord() {
	_, err := calibrate.ParseRecord([]byte(`{"version": 1, "machine": "box spreader", "method": "sheet",
		"solid": {"n": 4, "mean": 12, "sd": "1 ton/ac", "target": "12 ton/ac"}, "colour": "red"}`))
	for _, f := range units.FieldErrors(err) {
		fmt.Println(f)
	}
	// Output:
	// method: got "sheet", want one of sheets, load area, flow, gauges (line 1, column 53)
	// solid.mean: got 12, want text: a mass per area with its unit, such as lb/acre, ton/acre, kg/ha, t/ha, lb/1000 ft2, oz/ft2 (line 2, column 29)
	// colour: an unknown key; want one of christiansen, cv, date, flow, gate, gear, liquid, machine, material, method, note, solid, speed, version, width (line 2, column 85)
	// date: 0001-01-01T00:00:00Z; want the day of the calibration, such as 2026-04-01 (line 1, column 1)
	// material: missing; want a name for the material (line 1, column 1)
}

func ExampleRecord() {
	loads, err := calibrate.LoadArea(calibrate.LoadAreaSpec[units.Volume]{Confidence: 0.95, Runs: []calibrate.LoadRun[units.Volume]{
		{Load: 10 * units.CubicMetre, Loads: 5, Area: units.Hectare},
		{Load: 10 * units.CubicMetre, Loads: 18, Area: 3 * units.Hectare},
	}})
	if err != nil {
		fmt.Println(err)
		return
	}
	r := calibrate.Record{
		Version: calibrate.RecordVersion, Date: time.Date(2026, time.April, 1, 0, 0, 0, 0, time.UTC),
		Machine: "tank spreader", Material: "agitated slurry", Method: calibrate.RateMethodLoadArea, Speed: 2 * units.MetrePerSecond,
		Liquid: loads.Measured(),
	}
	data, err := r.Encode()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(string(data))
	back, err := calibrate.ParseRecord(data)
	fmt.Println(back.Machine, err)
	// Output:
	// {
	//   "version": 2,
	//   "date": "2026-04-01T00:00:00Z",
	//   "machine": "tank spreader",
	//   "material": "agitated slurry",
	//   "method": "load area",
	//   "speed": "2 m/s",
	//   "liquid": {
	//     "rate": "0.00575 m3/m2",
	//     "n": 2,
	//     "sd": "0.0007071067811865476 m3/m2",
	//     "interval": {
	//       "low": "0.0009851732239344905 m3/m2",
	//       "high": "0.010514826776065508 m3/m2"
	//     },
	//     "confidence": 0.95,
	//     "readings": [
	//       {
	//         "rate": "0.005 m3/m2",
	//         "weight": 0.25
	//       },
	//       {
	//         "rate": "0.006 m3/m2",
	//         "weight": 0.75
	//       }
	//     ]
	//   }
	// }
	// tank spreader <nil>
}

func ExamplePattern_Series() {
	p := calibrate.Pattern{Trays: []float64{0, 3, 5, 3, 0}, Spacing: 2 * units.Foot, Line: 4 * units.Foot}
	s := p.Series(units.Foot)
	for i := range s.Len() {
		fmt.Println(s.XY(i))
	}
	// Output:
	// -4 0
	// -2 3
	// 0 5
	// 2.0000000000000004 3
	// 4 0
}

func ExampleCompare() {
	record := func(year int, rates ...units.MassPerArea) calibrate.Record {
		spec := calibrate.SheetsSpec{Confidence: 0.95, Area: units.SquareMetre, Tare: new(0 * units.Kilogram)}
		for _, rate := range rates {
			spec.Sheets = append(spec.Sheets, calibrate.Sheet{Gross: (rate * units.TonPerAcre).Times(units.SquareMetre)})
		}
		sheets, err := calibrate.Sheets(spec)
		if err != nil {
			fmt.Println(err)
		}
		solid := sheets.Measured()
		solid.Target = 12 * units.TonPerAcre
		return calibrate.Record{
			Version: calibrate.RecordVersion, Date: time.Date(year, time.April, 10, 0, 0, 0, 0, time.UTC),
			Machine: "box spreader", Material: "bedded manure", Method: calibrate.RateMethodSheets, Gear: "low 3",
			Solid: solid,
		}
	}
	r, err := calibrate.Compare(calibrate.CompareSpec{Confidence: 0.95, Records: []calibrate.Record{
		record(2026, 14.1, 13.2, 14.4, 13.9), record(2024, 11.8, 12.4, 12.9, 11.5), record(2025, 12.0, 12.6, 11.7, 12.9),
	}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r)
	// Output:
	// 2024-04-10  12.15 ton/acre  sheets, 101.2 % of the target
	// 2025-04-10  12.3 ton/acre   sheets, 102.5 % of the target, +1.2 % since the one before (p 0.731: within the spread)
	// 2026-04-10  13.9 ton/acre   sheets, 115.8 % of the target, +13.0 % since the one before (p 0.005: changed)
}

func ExampleOverlapResult_Series() {
	r, err := calibrate.Overlap(calibrate.OverlapSpec{
		Pattern: calibrate.Pattern{Trays: []float64{0, 3, 5, 3, 0}, Spacing: 2 * units.Foot, Line: 4 * units.Foot},
		Drive:   calibrate.DriveCircuit, MaxCV: 0.20, Widths: []units.Length{4 * units.Foot, 5 * units.Foot},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range r.Series(units.Foot) { // for a plot of CV against width
		fmt.Printf("%.0f ft %.1f %%\n", p[0], p[1])
	}
	for _, p := range r.Rows[0].Profile { // for a plot of the field at 4 ft
		fmt.Printf("%.0f ft %.1f\n", p.At.In(units.Foot), p.Catch)
	}
	// Output:
	// 4 ft 5.2 %
	// 5 ft 5.4 %
	// 0 ft 5.0
	// 2 ft 6.0
	// 4 ft 5.0
}

func ExampleGaugesResult_Measured() {
	r, err := calibrate.Gauges(calibrate.GaugesSpec{
		System: calibrate.SystemPivot, Confidence: 0.95, Wind: new(3 * units.MilePerHour),
		Gauges: []calibrate.Gauge{
			{Depth: new(0.5 * units.Inch), At: 100 * units.Foot},
			{Depth: new(0.4 * units.Inch), At: 200 * units.Foot},
			{Depth: new(0.4 * units.Inch), At: 300 * units.Foot},
		},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	kept := r.Measured() // for Record.Liquid
	fmt.Println(kept.Rate.Text(units.GallonPerAcre, 0), "from", kept.N, "gauges")
	for _, x := range kept.Readings {
		fmt.Printf("%s for %.0f %% of the area\n", x.Rate.Text(units.GallonPerAcre, 0), 100*x.Weight)
	}
	// Output:
	// 11,314 gal/acre from 3 gauges
	// 13,577 gal/acre for 17 % of the area
	// 10,862 gal/acre for 33 % of the area
	// 10,862 gal/acre for 50 % of the area
}
