package calibrate

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/unitstest"
)

func fullRecord() Record {
	return Record{
		Version: RecordVersion, Date: time.Date(2026, 4, 1, 0, 0, 0, 0, time.UTC), Machine: "tank spreader", Material: "agitated slurry",
		Method: MethodFlow, Gear: "low 4", Speed: 3.6 * units.MilePerHour, Flow: 1200 * units.GallonPerMinute, Gate: 12, Width: 24 * units.Foot,
		Liquid: &Measured[units.VolumePerArea]{N: 3, Mean: 6875 * units.GallonPerAcre, SD: 150 * units.GallonPerAcre, Target: 7000 * units.GallonPerAcre, Verdict: VerdictAccept},
		CV:     new(0.18), Christiansen: new(0.86), Note: "wind from the west",
	}
}

// TestRecordForm holds the fields of the stored form: they must not change under
// one version.
func TestRecordForm(t *testing.T) {
	b, err := fullRecord().Encode()
	require.NoError(t, err)
	unitstest.Golden(t, "testdata/record.golden.json", b)
	back, err := ParseRecord(b)
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(fullRecord(), back))
}

func TestRecordFaults(t *testing.T) {
	for _, c := range []struct {
		name, json string
		fields     []string
	}{
		{"not JSON", `{"version": 1`, nil},
		{"another version", `{"version": 2, "date": "2026-04-01T00:00:00Z", "machine": "a", "material": "b", "method": "flow", "liquid": {"n": 1, "mean": "1 gal/ac", "sd": "0 gal/ac", "target": "0 gal/ac"}}`, []string{"version"}},
		{"all at once", `{"version": 1, "machine": "", "material": 7, "method": "guess", "solid": {"n": 0, "mean": "-1 ton/ac", "sd": "1 gal"}, "cv": -1, "speed": "5"}`,
			[]string{"material", "method", "solid.sd", "speed", "date", "machine", "solid.n", "solid.mean", "cv"}},
		{"one measurement with a spread", `{"version": 1, "date": "2026-04-01T00:00:00Z", "machine": "a", "material": "b", "method": "sheets", "solid": {"n": 1, "mean": "1 ton/ac", "sd": "1 ton/ac", "target": "0 ton/ac"}, "liquid": {"n": 2, "mean": "1 gal/ac", "sd": "0 gal/ac", "target": "0 gal/ac"}}`,
			[]string{"solid", "solid.sd"}},
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
			require.Empty(t, cmp.Diff(Record{}, r))
			return
		}
		b, err := r.Encode()
		require.NoError(t, err)
		back, err := ParseRecord(b)
		require.NoError(t, err)
		require.Empty(t, cmp.Diff(r, back))
	})
}
