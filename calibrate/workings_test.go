package calibrate

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/evidence"
)

// us is the style of a reader in the United States.
var us = units.Style{}

// An acre-inch an hour over a lane of 43.56 ft, an acre of which is 1,000 ft long, puts
// down an inch at 1,000 ft/h.
var acreInch = SolveSpec{Flow: units.AcreInchPerHour, Speed: units.Speed(1000 * units.Foot / units.Length(units.Hour)), Width: 43.56 * units.Foot, Rate: units.Inch.Applied()}

func TestWorkingOfSolve(t *testing.T) {
	for left, spec := range map[string]SolveSpec{
		"flow": {Speed: acreInch.Speed, Width: acreInch.Width, Rate: acreInch.Rate}, "speed": {Flow: acreInch.Flow, Width: acreInch.Width, Rate: acreInch.Rate},
		"width": {Flow: acreInch.Flow, Speed: acreInch.Speed, Rate: acreInch.Rate}, "rate": {Flow: acreInch.Flow, Speed: acreInch.Speed, Width: acreInch.Width},
	} {
		r := evidence.Done(t, Solve, spec)
		require.Equal(t, left, r.Solved)
		require.InDelta(t, 1, r.Depth.In(units.Inch), 1e-12)
		how := map[string]string{left: map[string]string{"flow": " | rate x speed x width", "speed": " | flow / (rate x width)", "width": " | flow / (rate x speed)", "rate": " | flow / (speed x width)"}[left]}
		evidence.Shows(t, us, r, "flow | 452.6 gpm"+how["flow"]+"\nspeed | 16.67 ft/min"+how["speed"]+"\nwidth | 43.56 ft"+how["width"]+"\nrate | 27,154 gal/acre"+how["rate"])
	}
	// A tank and a course stand in for flow and speed.
	timed := evidence.Done(t, Solve, SolveSpec{Tank: &TimedTank{Volume: units.AcreInch, Time: units.Hour}, Course: &TimedCourse{Distance: 1000 * units.Foot, Time: units.Hour}, Width: acreInch.Width})
	require.InDelta(t, 1, timed.Depth.In(units.Inch), 1e-12)
	for _, spec := range []SolveSpec{acreInch, {Flow: 1, Speed: 1}, {Flow: 1, Tank: &TimedTank{1, 1}, Speed: 1, Width: 1}, {Flow: 1, Speed: 1, Course: &TimedCourse{1, 1}, Width: 1}, {Flow: 1, Speed: -1, Width: 1}} {
		_, err := Solve(spec)
		require.NotEmpty(t, units.FieldErrors(err), "%+v", spec)
	}
}

func TestWorkingOfLanesAndSets(t *testing.T) {
	lanes := LanesSpec{Flow: acreInch.Flow, Wetted: 87.12 * units.Foot, Lane: acreInch.Width, Depth: units.Inch, Length: 1000 * units.Foot}
	evidence.Shows(t, us, evidence.Done(t, Lanes, lanes), `
		speed | 16.67 ft/min | flow / (depth x lane)
		lane | 50 % | of the wetted diameter; overlap 43.56 ft
		one pull | 1 acre | lane x length
		time of a pull | 1 h | length / speed
		volume of a pull | 27,154 gal | flow x time`)
	for wind, notes := range map[units.Speed]int{4: 0, 7: 0, 7.1: 1, 12: 1, 12.1: 0} {
		lanes.Wind = new(wind * units.MilePerHour)
		require.Len(t, evidence.Done(t, Lanes, lanes).Notes, notes, "%v mph", float64(wind))
	}
	// 10 acres in sets of 4: 3 sets. 4 acre-inches take 8 hours at half an acre-inch an hour.
	hose := HoseSetsSpec{Flow: acreInch.Flow, Rate: acreInch.Rate, Width: acreInch.Width, Area: 10 * units.Acre, SetArea: 4 * units.Acre, SetUp: units.Hour / 2, Pumping: 0.5}
	evidence.Shows(t, us, evidence.Done(t, HoseSets, hose), `
		speed | 16.67 ft/min | flow / (rate x width)
		sets | 3 | field / set area, rounded up
		one full set | 8 h | rate x set area / (flow x share pumping)
		volume | 271,543 gal | rate x field
		spreading | 20 h | volume / (flow x share pumping)
		moving the hose | 1.5 h | sets x set-up
		total | 21.5 h | spreading + moving`)
	for area, sets := range map[units.Area]int{8: 2, 8.001: 3, 12: 3, 3.999: 1} {
		hose.Area = area * units.Acre
		require.Equal(t, sets, evidence.Done(t, HoseSets, hose).Sets, "%v acres", float64(area))
	}
	for _, c := range []struct {
		low, high units.Speed
		in        bool
	}{{0, 16.7, true}, {16.6, 17, true}, {16.7, 17, false}, {0, 16.6, false}} {
		hose.Limits = &units.Range[units.Speed]{Low: c.low * units.FootPerMinute, High: c.high * units.FootPerMinute}
		r := evidence.Done(t, HoseSets, hose)
		require.Equal(t, c.in, r.InLimits)
		require.Equal(t, !c.in, strings.Contains(r.String(), "outside the limits of the tractor"))
	}
	// 2 acre-inches an hour for 3 hours on 4 acres are 1.5 in; 10 lb in each acre-inch.
	gross := GrossNetSpec{Flow: 2 * units.AcreInchPerHour, Time: 3 * units.Hour, Area: 4 * units.Acre, Net: 1.2 * units.Inch, Carry: 10 * units.PoundPerAcreInch}
	evidence.Shows(t, us, evidence.Done(t, GrossNet, gross), `
		gross depth | 1.5 in | flow x time / area
		net depth | 1.2 in | mean of the gauges
		efficiency | 80 % | net / gross
		loss | 0.3 in | gross - net
		carried | 15 lb/acre | gross x concentration`)
	// Ten cells of 43.56 by 100 ft are an acre; 96.25 x 10/4,356 in/h.
	evidence.Shows(t, us, evidence.Done(t, SolidSet, SolidSetSpec{Flow: 10 * units.GallonPerMinute, Along: 43.56 * units.Foot, Between: 100 * units.Foot, Efficiency: 0.5}), `
		sprinklers per acre | 10.00 | acre / (along x between)
		gross rate | 0.221 in/h | flow / (along x between)
		net rate | 0.1105 in/h | gross x efficiency`)
}

func TestWorkingOfSheetsAndLoads(t *testing.T) {
	// On 21.78 ft2 a pound is a ton to the acre: 10, 14 and 12, s 2. Half of the interval is
	// 4.3027 x 2/1.7321 = 4.968; (4.3027 x 0.16667/0.2)2 = 12.9 sheets.
	sheets := SheetsSpec{Area: 21.78 * units.SquareFoot, Tare: new(units.Pound), Sheets: []Sheet{{Gross: 11 * units.Pound}, {Gross: 15 * units.Pound}, {Gross: 13 * units.Pound}}, Confidence: 0.95, Within: 0.2, Needed: NeededPilot}
	evidence.Shows(t, us, evidence.Done(t, Sheets, sheets), `
		sheet 1 | 10 ton/acre | net weight / sheet area
		sheet 2 | 14 ton/acre | net weight / sheet area
		sheet 3 | 12 ton/acre | net weight / sheet area
		mean | 12 ton/acre | of 3
		standard deviation | 2 ton/acre | n - 1; CV 16.7 %
		interval | 7.032 ton/acre to 16.97 ton/acre | 95 %, two-sided, t 4.3027
		sheets needed | 13 | for ±20 % of the mean, t by the pilot rule; 10 more
		farthest from the mean | sheet 1, 10 ton/acre | Grubbs G 1.000 against 1.154, not an outlier; mean without it 13 ton/acre`)
	sheets.Sheets = sheets.Sheets[:1]
	evidence.Shows(t, us, evidence.Done(t, Sheets, sheets), `
		sheet 1 | 10 ton/acre | net weight / sheet area
		mean | 10 ton/acre | of 1
		interval | not available | one measurement has no spread`)
	evidence.Shows(t, us, evidence.Done(t, LoadArea[units.Mass, units.MassPerArea], LoadAreaSpec[units.Mass]{Confidence: 0.95, Runs: []LoadRun[units.Mass]{{Load: 8 * units.Ton, Loads: 3, Area: 2 * units.Acre}}}), `
		put down | 24 ton | loads x load
		area covered | 2 acre | width x distance, or as measured
		rate | 12 ton/acre | put down / area covered`)
	// 100 ft3 of 7.4805 gal, and 0.8 x 50 in the heap, 0.9 filled: 126 ft3 of 50 lb.
	box := LoadCapacitySpec{Hold: HoldBox, Length: 10 * units.Foot, Width: 5 * units.Foot, Depth: 2 * units.Foot, Heap: units.Foot, Fill: 0.9, Density: 50 * units.PoundPerCubicFoot}
	evidence.Shows(t, us, evidence.Done(t, LoadCapacity, box), `
		struck | 748.1 gal | by the box rule
		load | 942.5 gal | with heap and fill
		mass | 6,300 lb | density x load`)
	for hold, feet := range map[Hold]float64{HoldBox: 90, HoldTank: 70.6858, HoldTankTrade: 72} {
		spec := box
		spec.Hold, spec.Heap, spec.Density = hold, 0, 0
		r := evidence.Done(t, LoadCapacity, spec)
		require.InDelta(t, feet, r.Volume.In(units.CubicFoot), 5e-5, hold)
		require.InDelta(t, feet/0.9, r.Struck.In(units.CubicFoot), 6e-5, hold)
		require.Nil(t, r.Mass)
	}
	evidence.Shows(t, us, evidence.Done(t, LoadCapacity, LoadCapacitySpec{Hold: HoldRated, Rated: 1000 * units.Gallon, Fill: 1.3}), `
		struck | 1,000 gal | by the rated rule
		load | 1,300 gal | with heap and fill`)
}

func TestWorkingOfGauges(t *testing.T) {
	// Cans of 100 cm2 lose 10 mL in the hour, a millimetre: 9 and 19 mm are 10 and 20. The
	// outer gauge stands for twice the area: (10 + 2 x 20)/3, where alike they make 15.
	spec := GaugesSpec{System: SystemPivot, Opening: 100 * units.SquareCentimetre, Confidence: 0.95, Flag: 0.3, Wind: new(3 * units.MilePerHour), Carries: map[string]units.Concentration{"N": units.GramPerLitre},
		Gauges:      []Gauge{{Depth: new(9 * units.Millimetre), At: 100, After: units.Hour}, {Caught: new(190 * units.Millilitre), At: 200, After: units.Hour}},
		Evaporation: &Evaporation{Cans: []ControlCan{{Before: 100 * units.Millilitre, After: 92 * units.Millilitre}, {Before: 100 * units.Millilitre, After: 88 * units.Millilitre}}, Over: units.Hour}}
	r := evidence.Done(t, Gauges, spec)
	evidence.Shows(t, units.Style{System: units.SystemMetric}, r, `
		as read: mean depth | 15.67 mm | 2 gauges, weighted by radius
		as read: uniformity | 71.63 % | Heermann-Hein: 1 - sum r|x - m| / sum r x
		as read: low quarter | 57.45 % | mean of the lowest quarter / mean, fractional rule
		as read: scheduling coefficient | 1.741 | mean / lowest mean of a window of 1
		as read: statistical uniformity | 49.49 % | 1 - s/mean, sample s
		evaporation | 1 mm/h | mean loss of the control cans per time
		corrected: mean depth | 16.67 mm | 2 gauges, weighted by radius
		corrected: uniformity | 73.33 % | Heermann-Hein: 1 - sum r|x - m| / sum r x
		corrected: low quarter | 60 % | mean of the lowest quarter / mean, fractional rule
		corrected: scheduling coefficient | 1.667 | mean / lowest mean of a window of 1
		corrected: statistical uniformity | 52.86 % | 1 - s/mean, sample s
		gauges alike: mean depth | 15 mm | 2 gauges, gauges alike
		gauges alike: uniformity | 66.67 % | Christiansen: 1 - sum|x - m| / (n m)
		gauges alike: low quarter | 66.67 % | mean of the lowest quarter / mean, fractional rule
		gauges alike: scheduling coefficient | 1.500 | mean / lowest mean of a window of 1
		gauges alike: statistical uniformity | 52.86 % | 1 - s/mean, sample s
		interval | -39.81 mm to 73.14 mm | 95 %, two-sided, weighted by radius; nothing lies below 0: too few or too uneven to tell
		far off gauges | 1 | more than 30 % from the mean
		N | 166.7 kg/ha | depth x concentration`)
	require.Equal(t, []int{0}, r.Flagged)
	require.InDelta(t, 1.0/3, r.Readings[0].Weight, 1e-12)
	require.InDelta(t, 50/3.0, float64(r.Depth())*1000, 1e-9)
	// The notes: of wind from 5 mph on, of a gun with fewer than 16 gauges, of what is missing.
	notes := func(n int, wind *units.Speed, missing bool) (list []string) {
		x := make([]float64, n)
		for i := range x {
			x[i] = 1
		}
		spec := GaugesSpec{System: SystemGun, Gauges: depths(units.Inch, x...), Confidence: 0.95, Wind: wind}
		if missing {
			spec.Gauges = append(spec.Gauges, Gauge{Missing: true})
		}
		for _, p := range evidence.Done(t, Gauges, spec).Notes {
			first, _, _ := strings.Cut(p.String(), " ")
			list = append(list, first)
		}
		return list
	}
	require.Equal(t, []string{"Not"}, notes(16, new(4.99*units.MilePerHour), false))
	require.Equal(t, []string{"Wind", "Not"}, notes(16, new(5*units.MilePerHour), false))
	require.Equal(t, []string{"The", "1", "Not", "15"}, notes(15, nil, true))
	// Nothing in a window of two: no time of running is long enough.
	dry := evidence.Done(t, Gauges, GaugesSpec{System: SystemGun, Gauges: depths(units.Inch, 0, 0, 1), Confidence: 0.95, Window: 2})
	require.Contains(t, dry.String(), "nothing fell in a window of 2")
	require.InDelta(t, (1/3.0)/0.25, *evidence.Done(t, Gauges, GaugesSpec{System: SystemGun, Gauges: depths(units.Inch, 0, 0.5, 0.5), Confidence: 0.95, Window: 2}).AsRead.Scheduling, 1e-12)
}

func TestWorkingOfPatterns(t *testing.T) {
	// 1 4 1: mean 2, s 1.7321. Two metres apart the field goes from 1 to 4 and back: mean 2.5,
	// s 3/3.4641 = 0.866.
	spec := OverlapSpec{Pattern: Pattern{Trays: []float64{1, 4, 1}, Spacing: units.Metre, Line: units.Metre}, Drive: DriveCircuit, MaxCV: 0.3, Widths: []units.Length{2}}
	metric := units.Style{System: units.SystemMetric}
	evidence.Shows(t, metric, evidence.Done(t, Overlap, spec), `
		one pass alone | 86.6 % | CV of the trays, n - 1
		right against left | 0 % | (right - left) / all; centre 0 m from the driving line, right positive
		2 m | 34.64 % | CV of circuit passes, above the limit
		widest | none | no width has a CV of at most 30 %
		row of trays | too short | an end tray caught more than a twentieth of the most`)
	spec.Pattern.Trays = []float64{1, 20, 0}
	require.False(t, evidence.Done(t, Overlap, spec).Cut)
	spec.Pattern.Trays = []float64{0, 19.9, 1}
	require.True(t, evidence.Done(t, Overlap, spec).Cut)
	// 4 4 4 4 between 0s on the right: even at 4 m, and at 2 m; not at 3.
	skewed := evidence.Done(t, Overlap, OverlapSpec{Pattern: Pattern{Trays: []float64{0, 0, 0, 4, 4, 4, 4, 0}, Spacing: 1, Line: 3}, Drive: DriveCircuit, MaxCV: 0.1, Widths: []units.Length{3, 4}})
	lines := metric.Lines(skewed.Working())
	require.Equal(t, units.LineText{Item: "right against left", Value: "75 %", How: "(right - left) / all; centre 1.5 m from the driving line, right positive"}, lines[1])
	require.Equal(t, units.LineText{Item: "widest", Value: "4 m", How: "largest with CV at most 10 %; 1 smaller widths miss it"}, lines[4])
	trapezoid := EffectiveWidthSpec{Rule: WidthHalfMaximum, Pattern: Pattern{Trays: []float64{0, 2, 4, 4, 4, 2, 0}, Spacing: 3 * units.Foot, Line: 6 * units.Foot}}
	r := evidence.Done(t, EffectiveWidth, trapezoid)
	evidence.Shows(t, us, r, `
		catch at the edge | 2 | half of the reference rate
		left, right | 3 ft, 9 ft | from the driving line
		thrown | 18 ft | from empty tray to empty tray
		effective width | 12 ft | by the rule half of maximum`)
	require.InDelta(t, 1.0/3, r.Overlap, 1e-12)
	evidence.Shows(t, us, evidence.Done(t, EffectiveWidth, EffectiveWidthSpec{Rule: WidthTwoPasses, TwoPasses: 18 * units.Foot}), "effective width | 9 ft | by the rule two passes")
	// Trays a hand apart, with less than a unit in each, are a row like others.
	tiny := evidence.Done(t, EffectiveWidth, EffectiveWidthSpec{Rule: WidthHalfMaximum, Pattern: Pattern{Trays: []float64{0, 0.1, 0.2, 0.2, 0.1, 0}, Spacing: 0.1, Line: 0.25}})
	require.InDeltaSlice(t, []float64{0.3, 0.5, 0.4}, []float64{float64(tiny.Width), float64(tiny.Thrown), tiny.Overlap}, 1e-12)
	// What was thrown reaches to the empty tray on either side, where there is one.
	for _, c := range []struct {
		trays  []float64
		thrown float64
	}{{[]float64{0, 0, 4, 4, 0, 0, 0}, 3}, {[]float64{1, 4, 4, 1}, 3}, {[]float64{0, 4, 4, 1}, 3}, {[]float64{1, 4, 4, 0, 0}, 3}, {[]float64{0, 0, 9, 0, 0}, 2}} {
		r := evidence.Done(t, EffectiveWidth, EffectiveWidthSpec{Rule: WidthHalfMaximum, Pattern: Pattern{Trays: c.trays, Spacing: 1, Line: 2}})
		require.InDelta(t, c.thrown, float64(r.Thrown), 1e-12, "%v", c.trays)
	}
}

func TestWorkingOfCorrections(t *testing.T) {
	// 8 for 10: the gate from 4 to 5, the speed from 4 to 3.2 mph, of which 3.6 gives 8.889.
	spec := CorrectSpec[units.MassPerArea]{Measured: 8 * units.TonPerAcre, Interval: &units.Range[units.MassPerArea]{Low: 7 * units.TonPerAcre, High: 9 * units.TonPerAcre}, Target: 10 * units.TonPerAcre, Tolerance: 0.1, Accept: AcceptInterval,
		Gate: &Control[float64]{Now: 4}, Speed: &Control[units.Speed]{Now: 4 * units.MilePerHour, Limits: &units.Range[units.Speed]{Low: 3.6 * units.MilePerHour, High: 5 * units.MilePerHour}}}
	r := evidence.Done(t, Correct[units.MassPerArea], spec)
	evidence.Shows(t, us, r, `
		target | 10 ton/acre
		measured | 20.0 % | below the target
		decision | measure more | tolerance 10 %, by the interval
		new speed | 3.6 mph | speed x measured / target, stopped at the limit of the machine; gives 8.889 ton/acre, -11.1 %, still outside the tolerance, 7.778 ton/acre to 10 ton/acre
		new gate | 5 | opening x target / measured; gives 10 ton/acre, +0.0 %, still outside the tolerance, 8.75 ton/acre to 11.25 ton/acre`)
	require.InDelta(t, 3.2, r.Speed.Wanted.In(units.MilePerHour), 1e-12)
	// A setting that is wanted at the limit itself is not limited.
	spec.Speed.Limits.Low = 3.2 * units.MilePerHour * (1 - 1e-12)
	require.False(t, evidence.Done(t, Correct[units.MassPerArea], spec).Speed.Limited)
	spec.Interval, spec.Accept, spec.Speed, spec.Gate = nil, AcceptMean, nil, nil
	spec.Measured = 10 * units.TonPerAcre
	evidence.Shows(t, us, evidence.Done(t, Correct[units.MassPerArea], spec), `
		target | 10 ton/acre
		measured | 0.0 % | above the target
		decision | accept | tolerance 10 %, by the mean`)
	spec.Measured, spec.Interval = 12*units.TonPerAcre, &units.Range[units.MassPerArea]{Low: 9 * units.TonPerAcre, High: 15 * units.TonPerAcre}
	evidence.Shows(t, us, evidence.Done(t, Correct[units.MassPerArea], spec), `
		target | 10 ton/acre
		measured | 20.0 % | above the target
		decision | measure more | tolerance 10 %, by the mean; the target lies inside the interval, so the rate may be right`)
}

func TestWorkingOfComparisons(t *testing.T) {
	record := func(year int, rate float64) Record {
		return Record{Version: RecordVersion, Date: time.Date(year, 4, 1, 0, 0, 0, 0, time.UTC), Machine: "m", Material: "a", Method: RateMethodSheets, Solid: &Measured[units.MassPerArea]{N: 1, Rate: units.MassPerArea(rate) * units.TonPerAcre}}
	}
	compare := func(edit func(*Record)) CompareResult {
		second := record(2026, 12)
		edit(&second)
		return evidence.Done(t, Compare, CompareSpec{Records: []Record{second, record(2025, 10)}, Confidence: 0.95})
	}
	evidence.Shows(t, us, compare(func(r *Record) { r.Solid.Target = 8 * units.TonPerAcre }), `
		2025-04-01 | 10 ton/acre | sheets
		2026-04-01 | 12 ton/acre | sheets, 150.0 % of the target, +20.0 % since the one before (no spread to judge it by)`)
	for name, edit := range map[string]func(*Record){
		"material": func(r *Record) { r.Material = "b" }, "method": func(r *Record) { r.Method = RateMethodLoadArea }, "gear": func(r *Record) { r.Gear = "2" }, "speed": func(r *Record) { r.Speed = 1 }, "flow": func(r *Record) { r.Flow = 1 },
		"gate": func(r *Record) { r.Gate = 1 }, "width": func(r *Record) { r.Width = 1 },
	} {
		r := compare(edit)
		require.Equal(t, []string{name}, r.Rows[1].Reset)
		require.Contains(t, r.String(), "; other "+name)
		require.Empty(t, r.Rows[0].Reset)
	}
	liquid := func(year int, rate units.VolumePerArea) Record {
		r := record(year, 1)
		r.Solid, r.Liquid = nil, &Measured[units.VolumePerArea]{N: 1, Rate: rate * units.GallonPerAcre, Target: 4000 * units.GallonPerAcre}
		return r
	}
	evidence.Shows(t, us, evidence.Done(t, Compare, CompareSpec{Records: []Record{liquid(2025, 5000), liquid(2026, 4000)}, Confidence: 0.95}), `
		2025-04-01 | 5,000 gal/acre | sheets, 125.0 % of the target
		2026-04-01 | 4,000 gal/acre | sheets, 100.0 % of the target, -20.0 % since the one before (no spread to judge it by)`)
	// Spreads that leave the range of numbers, or none, judge nothing.
	for _, se := range []float64{0, 1e300, math.Inf(1), math.NaN()} {
		_, ok := welch(moments{n: 3, rate: 1e-10, standardError: se}, moments{n: 3, rate: 1e-10, standardError: se})
		require.False(t, ok, "%v", se)
	}
	_, err := Compare(CompareSpec{Records: []Record{record(2025, 10), liquid(2026, 4000)}, Confidence: 0.95})
	require.ErrorContains(t, err, "records[1].solid: solid and liquid in one comparison")
}
