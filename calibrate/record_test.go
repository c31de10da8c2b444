package calibrate

import (
	"os"
	"testing"
	"time"

	gocmp "github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/evidence"
	"example.org/earthbasin/units/sample"
)

func fullRecord() Record {
	gallons := func(x float64) units.VolumePerArea { return units.VolumePerArea(x) * units.GallonPerAcre }
	return Record{
		Version: RecordVersion, Date: time.Date(2026, 4, 1, 0, 0, 0, 0, time.UTC), Machine: "tank spreader", Material: "agitated slurry",
		Method: RateMethodLoadArea, Gear: "low 4", Speed: 3.6 * units.MilePerHour, Flow: 1200 * units.GallonPerMinute, Gate: 12, Width: 24 * units.Foot,
		Liquid: &Measured[units.VolumePerArea]{Rate: gallons(6875), N: 2, SD: gallons(150), Target: gallons(7000), Decision: DecisionAccept,
			Interval: &units.Range[units.VolumePerArea]{Low: gallons(6500), High: gallons(7250)}, Confidence: 0.9,
			Readings: []RateReading[units.VolumePerArea]{{gallons(6800), 0.25}, {gallons(6900), 0.75}}},
		CV: new(0.18), Christiansen: new(0.86), Note: "wind from the west",
	}
}

// TestRecordForm holds the fields of the stored form: they must not change under
// one version.
func TestRecordForm(t *testing.T) {
	b, err := fullRecord().Encode()
	require.NoError(t, err)
	evidence.Golden(t, "testdata/record.v2.json", b)
	stored, err := os.ReadFile("testdata/record.v2.json")
	require.NoError(t, err)
	back, err := ParseRecord(stored)
	require.NoError(t, err)
	require.Empty(t, gocmp.Diff(fullRecord(), back, cmpopts.EquateApprox(1e-9, 0)))
}

// TestRecordsOfEarlierVersions reads a file of each version that was ever written.
// These files are never changed.
func TestRecordsOfEarlierVersions(t *testing.T) {
	stored, err := os.ReadFile("testdata/record.v1.json")
	require.NoError(t, err)
	r, err := ParseRecord(stored)
	require.NoError(t, err)
	want := fullRecord()
	want.Method = RateMethodFlow
	want.Liquid = &Measured[units.VolumePerArea]{N: 3, Rate: 6875 * units.GallonPerAcre, SD: 150 * units.GallonPerAcre, Target: 7000 * units.GallonPerAcre, Decision: DecisionAccept}
	require.Empty(t, gocmp.Diff(want, r, cmpopts.EquateApprox(1e-9, 0)))
	require.NoError(t, r.Check())
}

// TestRecordKeepsTheReportedRate: the loads cover unequal areas, so that the rate of
// all of them is not the mean of their rates.
func TestRecordKeepsTheReportedRate(t *testing.T) {
	loads, err := LoadArea(LoadAreaSpec[units.Volume]{Confidence: 0.95, Runs: []LoadRun[units.Volume]{
		{Load: 10_000 * units.Gallon, Loads: 1, Area: units.Acre}, {Load: 35_000 * units.Gallon, Loads: 1, Area: 7.5 * units.Acre}}})
	require.NoError(t, err)
	require.InDelta(t, 5294, loads.Rate.In(units.GallonPerAcre), 0.5)
	sheets, err := Sheets(SheetsSpec{Confidence: 0.95, Area: units.SquareMetre, Tare: new(units.Mass), Sheets: []Sheet{{Gross: 2}, {Gross: 3}, {Gross: 2.5}}})
	require.NoError(t, err)
	one, err := Sheets(SheetsSpec{Confidence: 0.95, Area: units.SquareMetre, Tare: new(units.Mass), Sheets: []Sheet{{Gross: 2}}})
	require.NoError(t, err)
	gauges, err := Gauges(GaugesSpec{Confidence: 0.95, System: SystemPivot, Gauges: []Gauge{{Depth: new(0.5 * units.Inch), At: 20}, {Depth: new(0.3 * units.Inch), At: 90}, {Missing: true}}})
	require.NoError(t, err)
	flow, err := Solve(SolveSpec{Flow: 0.1, Speed: 2, Width: 8})
	require.NoError(t, err)

	record := Record{Version: RecordVersion, Date: time.Date(2026, 4, 1, 0, 0, 0, 0, time.UTC), Machine: "a", Material: "b"}
	for _, c := range []struct {
		method   RateMethod
		solid    *Measured[units.MassPerArea]
		liquid   *Measured[units.VolumePerArea]
		rate     float64
		readings int
		interval bool
	}{
		{RateMethodLoadArea, nil, loads.Measured(), float64(loads.Rate), 2, true},
		{RateMethodSheets, sheets.Measured(), nil, float64(sheets.Summary.Mean), 3, true},
		{RateMethodSheets, one.Measured(), nil, 2, 1, false},
		{RateMethodGauges, nil, gauges.Measured(), float64(gauges.Depth()), 2, true},
		{RateMethodFlow, nil, flow.Measured(), float64(flow.Rate), 1, false},
	} {
		record.Method, record.Solid, record.Liquid = c.method, c.solid, c.liquid
		b, err := record.Encode()
		require.NoError(t, err, c.method)
		back, err := ParseRecord(b)
		require.NoError(t, err)
		require.Empty(t, gocmp.Diff(record, back))
		require.InEpsilon(t, c.rate, back.moments().rate, 1e-12)
		if c.solid != nil {
			require.Len(t, c.solid.Readings, c.readings)
			require.Equal(t, c.interval, c.solid.Interval != nil)
		} else {
			require.Len(t, c.liquid.Readings, c.readings)
			require.Equal(t, c.interval, c.liquid.Interval != nil)
		}
	}
	// The standard error that a comparison takes is that of the interval.
	i := loads.Interval
	require.InEpsilon(t, float64(i.Half())/sample.TQuantile(0.95, 1), loads.Measured().standardError(), 1e-12)
}

func TestRecordFaults(t *testing.T) {
	for _, c := range []struct {
		name, json string
		fields     []string
	}{
		{"not JSON", `{"version": 1`, []string{""}},
		{"a version in words", `{"version": "two", "date": "2026-04-01", "machine": "a", "material": "b", "method": "flow", "liquid": {"n": 1, "rate": "1 gal/ac"}}`, []string{"version"}},
		{"another version", `{"version": 3, "date": "2026-04-01T00:00:00Z", "machine": "a", "material": "b", "method": "flow", "liquid": {"n": 1, "rate": "1 gal/ac"}}`, []string{"version"}},
		{"all at once", `{"version": 1, "machine": "", "material": 7, "method": "guess", "solid": {"n": 0, "mean": "-1 ton/ac", "sd": "1 gal"}, "cv": -1, "speed": "5"}`,
			[]string{"material", "method", "solid.sd", "speed", "date", "machine", "solid.n", "solid.mean", "cv"}},
		{"one measurement with a spread", `{"version": 1, "date": "2026-04-01T00:00:00Z", "machine": "a", "material": "b", "method": "sheets", "solid": {"n": 1, "mean": "1 ton/ac", "sd": "1 ton/ac", "target": "0 ton/ac"}, "liquid": {"n": 2, "mean": "1 gal/ac", "sd": "0 gal/ac", "target": "0 gal/ac"}}`,
			[]string{"solid", "solid.sd"}},
		{"readings that are others", `{"version": 2, "date": "2026-04-01", "machine": "a", "material": "b", "method": "sheets", "solid": {"n": 2, "rate": "1 ton/ac", "confidence": 0.9,
			"readings": [{"rate": "2 ton/ac", "weight": 0.5}, {"rate": "3 ton/ac", "weight": 0.5}]}}`, []string{"solid.confidence", "solid.rate"}},
		{"weights", `{"version": 2, "date": "2026-04-01", "machine": "a", "material": "b", "method": "sheets", "solid": {"n": 2, "rate": "1 ton/ac", "interval": {"low": "2 ton/ac", "high": "3 ton/ac"},
			"readings": [{"rate": "2 ton/ac", "weight": 0.5}]}}`, []string{"solid.confidence", "solid.interval", "solid.readings", "solid.readings"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := ParseRecord([]byte(c.json))
			require.Error(t, err)
			var fields []string
			for _, f := range units.FieldErrors(err) {
				fields = append(fields, f.Field)
			}
			require.Equal(t, c.fields, fields, "%v", err)
		})
	}
	_, err := Record{}.Encode()
	require.Error(t, err)
}

func FuzzParseRecord(f *testing.F) {
	b, err := fullRecord().Encode()
	require.NoError(f, err)
	f.Add(b)
	f.Add([]byte(`{"version": 1, "date": "1999-12-31T23:59:59.5+05:30", "machine": "a", "material": "\u0000", "method": "SHEETS", "solid": {"n": 2, "mean": "1e-300 kg/m2", "sd": "3 lb/ac", "target": "5 t/ha", "verdict": "adjust"}}`))
	f.Add([]byte(`{"version": 1, "date": "x", "liquid": []}`))
	f.Add([]byte(`null`))
	f.Add([]byte(`[[[`))
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := ParseRecord(data)
		if err != nil {
			require.Empty(t, gocmp.Diff(Record{}, r))
			return
		}
		b, err := r.Encode()
		require.NoError(t, err)
		back, err := ParseRecord(b)
		require.NoError(t, err)
		require.Empty(t, gocmp.Diff(r, back))
	})
}
