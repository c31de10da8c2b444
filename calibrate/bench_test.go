package calibrate

import (
	"testing"

	"example.org/earthbasin/units"
)

func BenchmarkSheets(b *testing.B) {
	spec := SheetsSpec{Confidence: 0.95, Area: 22 * units.SquareFoot, Tare: new(3 * units.Pound)}
	for _, lb := range []units.Mass{11.2, 9.6, 12.4, 10.1, 8.7} {
		spec.Sheets = append(spec.Sheets, Sheet{Gross: (lb + 3) * units.Pound})
	}
	for b.Loop() {
		if _, err := Sheets(spec); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkGauges157(b *testing.B) {
	spec := GaugesSpec{Confidence: 0.95, System: SystemPivot, Opening: 0.005}
	for i := range 157 {
		spec.Gauges = append(spec.Gauges, Gauge{At: units.Length(5 + i/2), Caught: new(units.Volume(10+i%7) * units.Millilitre)})
	}
	for b.Loop() {
		if _, err := Gauges(spec); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkOverlap60Trays(b *testing.B) {
	p := Pattern{Trays: make([]float64, 60), Spacing: units.Foot, Line: 29.5 * units.Foot}
	for i := range p.Trays {
		p.Trays[i] = float64(min(i, 59-i))
	}
	for b.Loop() {
		if _, err := Overlap(OverlapSpec{Pattern: p, Drive: DriveToAndFro, MaxCV: 0.2}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkParseRecord(b *testing.B) {
	data, err := fullRecord().Encode()
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := ParseRecord(data); err != nil {
			b.Fatal(err)
		}
	}
}
