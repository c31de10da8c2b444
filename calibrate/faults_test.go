package calibrate

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// TestFaults: every wrong field is named, and all of them at once.
func TestFaults(t *testing.T) {
	nan := math.NaN()
	pounds := func(x float64) *units.Mass { return new(units.Mass(x) * units.Pound) }
	row := Pattern{Trays: []float64{1, 2, 1}, Spacing: 1, Line: 1}
	rest := func(_ any, err error) error { return err }
	for _, c := range []struct {
		name   string
		err    error
		fields []string
	}{
		{"no sheets", rest(Sheets(SheetsSpec{})), []string{"sheets", "confidence"}},
		{"below tare, no area", rest(Sheets(SheetsSpec{Confidence: 0.95, Tare: pounds(5), Sheets: []Sheet{{Gross: units.Pound}}})), []string{"sheets[0].area", "sheets[0].gross"}},
		{"no tare", rest(Sheets(SheetsSpec{Confidence: 0.95, Area: 1, Sheets: []Sheet{{Gross: 1}}})), []string{"sheets[0].tare"}},
		{"nothing fell", rest(Sheets(SheetsSpec{Confidence: 0.95, Area: 1, Tare: pounds(0), Sheets: []Sheet{{}, {}}})), []string{"sheets"}},
		{"options", rest(Sheets(SheetsSpec{Confidence: 0.95, Area: -1, Tare: pounds(-1), Within: -1, Needed: 7, Sheets: []Sheet{{Gross: units.Mass(nan), Area: 1}}})), []string{"area", "tare", "within", "needed", "sheets[0].gross"}},
		{"beyond any sheet", rest(Sheets(SheetsSpec{Confidence: 0.95, Area: 1e-310, Tare: new(units.Mass(1e-310)), Sheets: []Sheet{{Gross: 1e308}, {Gross: 1e15, Tare: pounds(0), Area: 1e15}, {Gross: 1}}})), []string{"area", "tare", "sheets[0].gross", "sheets[1].area", "sheets[1].gross"}},
		{"confidence", rest(Sheets(SheetsSpec{Area: 1, Tare: pounds(0), Confidence: 1, Sheets: []Sheet{{Gross: 1}}})), []string{"confidence"}},
		{"out of reach", rest(Sheets(SheetsSpec{Confidence: 0.95, Area: 1, Tare: pounds(0), Within: 1e-5, Sheets: []Sheet{{Gross: 1}, {Gross: 2}}})), []string{"within"}},
		{"out of reach, pilot", rest(Sheets(SheetsSpec{Confidence: 0.95, Area: 1, Tare: pounds(0), Within: 1e-5, Needed: NeededPilot, Sheets: []Sheet{{Gross: 1}, {Gross: 2}}})), []string{"within"}},
		{"shortcut", rest(ShortcutError(0)), []string{"area"}},
		{"no runs", rest(LoadArea(LoadAreaSpec[units.Mass]{})), []string{"runs", "confidence"}},
		{"empty run", rest(LoadArea(LoadAreaSpec[units.Mass]{Confidence: 0.95, Runs: []LoadRun[units.Mass]{{}}})), []string{"runs[0].load", "runs[0].loads", "runs[0].area"}},
		{"area and swath", rest(LoadArea(LoadAreaSpec[units.Mass]{Confidence: 0.95, Runs: []LoadRun[units.Mass]{{Load: 1, Loads: 1, Area: 1, Width: 1}}})), []string{"runs[0].area"}},
		{"no distance", rest(LoadArea(LoadAreaSpec[units.Mass]{Confidence: 0.95, Runs: []LoadRun[units.Mass]{{Load: 1, Loads: 1, Width: 1}}})), []string{"runs[0].distance"}},
		{"no reach", rest(EmptyDistance[units.Volume](0, -1, 0)), []string{"load", "width", "rate"}},
		{"no hold", rest(LoadCapacity(LoadCapacitySpec{})), []string{"hold"}},
		{"box", rest(LoadCapacity(LoadCapacitySpec{Hold: HoldBox, Rated: 1, Heap: -1, Density: -1})), []string{"rated", "length", "width", "depth", "heap", "fill", "density"}},
		{"rated", rest(LoadCapacity(LoadCapacitySpec{Hold: HoldRated, Length: 1, Heap: 1, Fill: 2})), []string{"rated", "length", "heap", "fill"}},
		{"nothing to solve", rest(Solve(SolveSpec{})), []string{"flow", "speed", "width", "rate"}},
		{"all four", rest(Solve(SolveSpec{Flow: 1, Speed: 1, Width: 1, Rate: 1})), []string{"rate"}},
		{"negative", rest(Solve(SolveSpec{Flow: -1, Speed: units.Speed(nan), Width: 1})), []string{"flow", "speed"}},
		{"timed twice", rest(Solve(SolveSpec{Flow: 1, Tank: &TimedTank{}, Speed: 1, Course: &TimedCourse{}})), []string{"tank.volume", "tank.time", "flow", "course.distance", "course.time", "speed"}},
		{"no gears", rest(GearTable(GearTableSpec{})), []string{"target", "gears", "flow", "width"}},
		{"gear without speed", rest(GearTable(GearTableSpec{Flow: 1, Width: 1, Target: 1, Gears: []Gear{{}, {Speed: -1}}})), []string{"gears[0].speed", "gears[1].speed"}},
		{"two gears without speed", rest(GearTable(GearTableSpec{Flow: 1, Width: 1, Target: 1, Gears: []Gear{{}, {}, {Speed: 2}, {Speed: 1}, {Speed: 1}}})), []string{"gears[0].speed", "gears[1].speed"}},
		{"standing", rest(StandingCatch(0, 0, 0, 0)), []string{"rate", "speed", "width", "time"}},
		{"hose", rest(HoseSets(HoseSetsSpec{SetUp: -1, Limits: &units.Range[units.Speed]{Low: 2, High: 1}})), []string{"flow", "rate", "width", "area", "setArea", "setUp", "pumping", "limits.low"}},
		{"too many sets", rest(HoseSets(HoseSetsSpec{Flow: 1, Rate: 1, Width: 1, Area: units.Acre, SetArea: units.SquareInch, Pumping: 1})), []string{"setArea"}},
		{"no gauges", rest(Gauges(GaugesSpec{})), []string{"system", "gauges", "confidence"}},
		{"gauges", rest(Gauges(GaugesSpec{Confidence: 0.95, System: SystemPivot, Gauges: []Gauge{{}, {Depth: new(units.Length(1)), Caught: new(units.Volume(1)), At: 1}, {Depth: new(units.Length(-1)), At: 1}, {Caught: new(units.Volume(1)), At: 1}}})), []string{"gauges[0].at", "gauges[0]", "gauges[1]", "gauges[2].depth", "opening"}},
		{"gauge options", rest(Gauges(GaugesSpec{Confidence: 0.95, System: SystemGun, Gauges: depths(units.Inch, 1), Opening: -1, LowQuarter: 9, Spread: 9, Window: 2, Flag: -1, Wind: new(units.Speed(-1)), Carries: map[string]units.Concentration{"N": -1}})), []string{"opening", "lowQuarter", "spread", "window", "flag", "wind", "carries.N"}},
		{"missing with a reading", rest(Gauges(GaugesSpec{Confidence: 0.95, System: SystemGun, Gauges: []Gauge{{Depth: new(units.Inch)}, {Depth: new(units.Inch), Missing: true}}})), []string{"gauges[1].missing"}},
		{"all missing", rest(Gauges(GaugesSpec{Confidence: 0.95, System: SystemGun, Gauges: []Gauge{{Missing: true}}})), []string{"gauges"}},
		{"all zero", rest(Gauges(GaugesSpec{Confidence: 0.95, System: SystemGun, Gauges: depths(units.Inch, 0, 0)})), []string{"gauges"}},
		{"evaporation", rest(Gauges(GaugesSpec{Confidence: 0.95, System: SystemGun, Gauges: depths(units.Inch, 1), Evaporation: &Evaporation{Cans: []ControlCan{{Before: 1, After: 2}}}})), []string{"evaporation.over", "evaporation.cans[0].after", "opening", "gauges[0].after"}},
		{"no control cans", rest(Gauges(GaugesSpec{Confidence: 0.95, System: SystemGun, Opening: 1, Gauges: []Gauge{{Depth: new(units.Inch), After: 60}}, Evaporation: &Evaporation{Over: 60}})), []string{"evaporation.cans"}},
		{"solid set", rest(SolidSet(SolidSetSpec{Run: -1})), []string{"flow", "along", "between", "run", "efficiency"}},
		{"gross", rest(GrossNet(GrossNetSpec{Net: -1, Carry: -1})), []string{"flow", "time", "area", "net", "carry"}},
		{"lanes", rest(Lanes(LanesSpec{Lane: 2, Wetted: 1, Wind: new(units.Speed(-1))})), []string{"flow", "depth", "length", "lane", "wind"}},
		{"no pattern", rest(Overlap(OverlapSpec{})), []string{"pattern.trays", "pattern.spacing", "drive", "maxCV"}},
		{"pattern", rest(Overlap(OverlapSpec{Pattern: Pattern{Trays: []float64{0, -1, nan}, Spacing: 1, Line: 9}, Drive: DriveCircuit, MaxCV: 1})), []string{"pattern.trays[1]", "pattern.trays[2]", "pattern.line"}},
		{"widths", rest(Overlap(OverlapSpec{Pattern: row, Drive: DriveCircuit, MaxCV: 1, Widths: []units.Length{2, 1, 100}})), []string{"widths[1]", "widths[2]"}},
		{"no rule", rest(EffectiveWidth(EffectiveWidthSpec{})), []string{"rule"}},
		{"two passes", rest(EffectiveWidth(EffectiveWidthSpec{Rule: WidthTwoPasses})), []string{"twoPasses"}},
		{"row too short", rest(EffectiveWidth(EffectiveWidthSpec{Rule: WidthHalfMaximum, Pattern: Pattern{Trays: []float64{3, 4, 3}, Spacing: 1, Line: 1}})), []string{"pattern.trays[0]", "pattern.trays"}},
		{"dry centre", rest(EffectiveWidth(EffectiveWidthSpec{Rule: WidthHalfCentre, Pattern: Pattern{Trays: []float64{1, 0, 1}, Spacing: 1, Line: 1}})), []string{"pattern.line"}},
		{"correct", rest(Correct(CorrectSpec[units.MassPerArea]{})), []string{"measured", "target", "tolerance", "target"}},
		{"controls", rest(Correct(CorrectSpec[units.MassPerArea]{Measured: 1, Target: 1, Tolerance: 0.1, Accept: 9, Interval: &units.Range[units.MassPerArea]{Low: 2, High: 3},
			Speed: &Control[units.Speed]{Limits: &units.Range[units.Speed]{Low: 2, High: 1}}, Gate: &Control[float64]{Now: nan}})), []string{"accept", "interval", "speed.now", "speed.limits.low", "gate.now"}},
		{"record", Record{}.Check(), []string{"version", "date", "machine", "material", "method", "solid"}},
		{"records", rest(Compare(CompareSpec{Confidence: 2})), []string{"records", "confidence"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var fields []string
			for _, f := range units.FieldErrors(c.err) {
				fields = append(fields, f.Field)
			}
			require.Equal(t, c.fields, fields, "%v", c.err)
		})
	}
}

// TestNothingNotFinite throws the values that break arithmetic at every function:
// what comes back without an error must be writable as JSON, which NaN and
// infinities are not.
func TestNothingNotFinite(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	odd := []float64{0, 1, 2, 0.5, 0.95, 3, -1, math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, 1e200, 1e-200, math.SmallestNonzeroFloat64}
	x := func() float64 { return odd[rng.IntN(len(odd))] }
	chance := func(p float64) bool { return rng.Float64() < p }
	pick := func() float64 { // mostly sound, so that deep code is reached
		if chance(0.75) {
			return odd[1+rng.IntN(5)]
		}
		return x()
	}
	q := pick
	answered := map[string]int{}
	check := func(name string, result any, err error) {
		t.Helper()
		if err != nil {
			require.NotEmpty(t, units.FieldErrors(err), "%s: %v", name, err)
			return
		}
		answered[name]++
		_, err = json.Marshal(result)
		require.NoError(t, err, "%s: %#v", name, result)
		if s, ok := result.(fmt.Stringer); ok {
			require.NotContains(t, s.String(), "NaN", name)
		}
	}
	n := 10000
	if testing.Short() {
		n = 1000
	}
	for range n {
		sheets, err := Sheets(SheetsSpec{Area: units.Area(q()), Tare: new(units.Mass(q())), Within: q(), Confidence: q(), Needed: NeededRule(rng.IntN(2)),
			Sheets: []Sheet{{Gross: units.Mass(q())}, {Gross: units.Mass(q()), Area: units.Area(q())}, {Gross: 3}}})
		check("sheets", sheets, err)
		runs, err := LoadArea(LoadAreaSpec[units.Volume]{Confidence: q(), Runs: []LoadRun[units.Volume]{{Load: units.Volume(q()), Loads: q(), Width: units.Length(q()), Distance: units.Length(q())}, {Load: units.Volume(q()), Loads: q(), Area: units.Area(q())}}})
		check("loads", runs, err)
		reach, err := EmptyDistance(units.Mass(q()), units.Length(q()), units.MassPerArea(q()))
		check("reach", reach, err)
		hold, err := LoadCapacity(LoadCapacitySpec{Hold: HoldBox, Length: units.Length(q()), Width: units.Length(q()), Depth: units.Length(q()), Heap: units.Length(q()), Fill: q(), Density: units.Density(q())})
		check("capacity", hold, err)
		four := []float64{q(), q(), q(), q()}
		four[rng.IntN(4)] = 0
		solved, err := Solve(SolveSpec{Flow: units.Flow(four[0]), Speed: units.Speed(four[1]), Width: units.Length(four[2]), Rate: units.VolumePerArea(four[3])})
		check("solve", solved, err)
		gears, err := GearTable(GearTableSpec{Flow: units.Flow(q()), Width: units.Length(q()), Target: units.VolumePerArea(q()), Gears: []Gear{{Speed: units.Speed(q())}, {Course: &TimedCourse{units.Length(q()), units.Duration(q())}}}})
		check("gears", gears, err)
		hose, err := HoseSets(HoseSetsSpec{Flow: units.Flow(q()), Rate: units.VolumePerArea(q()), Width: units.Length(q()), Area: units.Area(q()), SetArea: units.Area(q()), SetUp: units.Duration(q()), Pumping: q()})
		check("hose", hose, err)
		gauge := func() Gauge {
			return Gauge{Depth: new(units.Length(q())), At: units.Length(q()), After: units.Duration(q())}
		}
		gauges := GaugesSpec{Confidence: 0.95, System: System(1 + rng.IntN(3)), Opening: units.Area(q()), Gauges: []Gauge{gauge(), gauge(), {Caught: new(units.Volume(q())), At: units.Length(q()), After: 1}},
			LowQuarter: LowQuarterRule(rng.IntN(3)), Spread: SpreadRule(rng.IntN(2)), Window: rng.IntN(4), Flag: q(), Carries: map[string]units.Concentration{"N": units.Concentration(q())}}
		if chance(0.3) {
			gauges.Evaporation = &Evaporation{Over: units.Duration(q()), Cans: []ControlCan{{units.Volume(q()), units.Volume(q())}}}
		}
		caught, err := Gauges(gauges)
		check("gauges", caught, err)
		solid, err := SolidSet(SolidSetSpec{Flow: units.Flow(q()), Along: units.Length(q()), Between: units.Length(q()), Efficiency: q(), Run: units.Duration(q())})
		check("solid set", solid, err)
		gross, err := GrossNet(GrossNetSpec{Flow: units.Flow(q()), Time: units.Duration(q()), Area: units.Area(q()), Net: units.Length(q()), Carry: units.Concentration(q())})
		check("gross", gross, err)
		lanes, err := Lanes(LanesSpec{Flow: units.Flow(q()), Wetted: units.Length(q()), Lane: units.Length(q()), Depth: units.Length(q()), Length: units.Length(q()), Wind: new(units.Speed(q()))})
		check("lanes", lanes, err)
		pattern := Pattern{Trays: []float64{q(), q(), q(), q()}, Spacing: units.Length(q()), Line: units.Length(q())}
		overlap, err := Overlap(OverlapSpec{Pattern: pattern, Drive: Drive(1 + rng.IntN(2)), MaxCV: q()})
		check("overlap", overlap, err)
		width, err := EffectiveWidth(EffectiveWidthSpec{Rule: WidthRule(1 + rng.IntN(3)), TwoPasses: units.Length(q()), Pattern: pattern, Centre: units.Length(q())})
		check("width", width, err)
		mean := q()
		correct, err := Correct(CorrectSpec[units.MassPerArea]{Measured: units.MassPerArea(mean), Target: units.MassPerArea(q()), Tolerance: q(), Accept: AcceptRule(rng.IntN(2)),
			Interval: &units.Range[units.MassPerArea]{Low: units.MassPerArea(mean - q()), High: units.MassPerArea(mean + q())},
			Speed:    &Control[units.Speed]{Now: units.Speed(q()), Limits: &units.Range[units.Speed]{Low: units.Speed(q()), High: units.Speed(q())}}, Gate: &Control[float64]{Now: q()}})
		check("correct", correct, err)
		record := func(year int) Record {
			return Record{Version: RecordVersion, Date: time.Date(year, 4, 1, 0, 0, 0, 0, time.UTC), Machine: "a", Material: "b", Method: RateMethodFlow,
				Liquid: &Measured[units.VolumePerArea]{N: 2, Rate: units.VolumePerArea(q()), SD: units.VolumePerArea(q()), Target: units.VolumePerArea(q())}}
		}
		compared, err := Compare(CompareSpec{Records: []Record{record(2026), record(2025)}, Confidence: q()})
		check("compare", compared, err)
	}
	require.Len(t, answered, 15, "%v", answered)
}

func TestNamesRoundTrip(t *testing.T) {
	for name, pair := range map[string][2]any{
		"needed":    {NeededPilot, new(NeededRule)},
		"hold":      {HoldTankTrade, new(Hold)},
		"system":    {SystemPivot, new(System)},
		"quarter":   {LowQuarterCeil, new(LowQuarterRule)},
		"spread":    {SpreadPopulation, new(SpreadRule)},
		"weighting": {GaugeWeightingRadius, new(GaugeWeighting)},
		"drive":     {DriveToAndFro, new(Drive)},
		"width":     {WidthHalfCentre, new(WidthRule)},
		"accept":    {AcceptInterval, new(AcceptRule)},
		"decision":  {DecisionMeasureMore, new(Decision)},
		"method":    {RateMethodGauges, new(RateMethod)},
	} {
		b, err := json.Marshal(pair[0])
		require.NoError(t, err, name)
		require.NoError(t, json.Unmarshal(b, pair[1]), name)
		again, err := json.Marshal(pair[1])
		require.NoError(t, err, name)
		require.Equal(t, string(b), string(again), name)
		require.Error(t, json.Unmarshal([]byte(`"no such name"`), pair[1]), name)
	}
}

// The rate of the centre is the mean of the trays within the strip, those on its edge
// counted.
func TestCentreStrip(t *testing.T) {
	p := Pattern{Trays: []float64{0, 4, 6, 7, 10, 7, 6, 4, 0}, Spacing: 2 * units.Foot, Line: 8 * units.Foot}
	for feet, want := range map[units.Length]float64{0: 10, 3.9: 10, 4: 8, 8: 7.2, 12: 44.0 / 7} {
		r, err := EffectiveWidth(EffectiveWidthSpec{Rule: WidthHalfCentre, Centre: feet * units.Foot, Pattern: p})
		require.NoError(t, err)
		require.InDelta(t, want/2, r.Half, 1e-12, "a strip of %v ft", float64(feet))
	}
}
