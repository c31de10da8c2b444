package sludge

import (
	"context"
	"runtime"
	"runtime/metrics"
	"testing"
	"time"

	"example.org/earthbasin/sludge/internal/fixtures"
	"example.org/earthbasin/units"
)

// BenchmarkPeakMemory reports the most memory that the heap holds, in MB, while a
// million soundings go through each step, with what the steps before left alive.
func BenchmarkPeakMemory(b *testing.B) {
	const n = 1000000
	spec := SurveySpec{Boundary: fixtures.Around()}
	places, z := roundedPlaces(n)
	for i, p := range places {
		spec.Soundings = append(spec.Soundings, Sounding{At: at(p.X, p.Y), Thickness: new(units.Length(max(z[i], 0)))})
	}
	places, z = nil, nil
	var s *Survey
	var tin *TIN
	var err error
	for _, step := range []struct {
		name string
		run  func()
	}{
		{"survey", func() { s, err = NewSurvey(context.Background(), spec) }},
		{"triangulation", func() { spec.Soundings = nil; tin, err = NewTIN(context.Background(), s, TINSpec{Edge: EdgeNearest}) }},
		{"grid", func() { _, err = tin.Grid(context.Background(), GridSpec{Columns: 1000, Rows: 1000}) }},
		{"contours", func() { _, err = tin.Contours(context.Background(), []units.Length{0.8, 1, 1.2}) }},
		{"volume", func() { tin = nil; _, err = VolumeWithInterval(context.Background(), s, VolumeSpec{Confidence: 0.95}) }},
	} {
		b.Run(step.name, func(b *testing.B) {
			b.ReportMetric(peak(step.run), "MB-heap")
			b.ReportMetric(0, "ns/op") // time is measured elsewhere
			if err != nil {
				b.Fatal(err)
			}
		})
	}
}

// peak runs fn and returns the largest size of the heap meanwhile, in MB.
func peak(fn func()) float64 {
	runtime.GC()
	done, most := make(chan struct{}), make(chan uint64)
	go func() {
		heap := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}}
		tick := time.NewTicker(time.Millisecond)
		defer tick.Stop()
		var high uint64
		for {
			metrics.Read(heap)
			high = max(high, heap[0].Value.Uint64())
			select {
			case <-done:
				most <- high
				return
			case <-tick.C:
			}
		}
	}()
	fn()
	close(done)
	return float64(<-most) / 1e6
}
