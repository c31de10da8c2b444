package sludge

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"example.org/earthbasin/sludge/internal/fixtures"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

func benchSurvey(b *testing.B, n int) *Survey {
	b.Helper()
	places, z := roundedPlaces(n)
	return surveyAt(b, fixtures.Around(), nil, places, func(i int) float64 { return max(z[i], 0) })
}

func BenchmarkTINGrid(b *testing.B) {
	for _, c := range [][2]int{{24, 100}, {1000, 100}, {10000, 500}, {100000, 1000}, {1000000, 1000}} {
		s := benchSurvey(b, c[0])
		for _, workers := range []int{1, 2} {
			b.Run(fmt.Sprintf("n=%d/grid=%d/workers=%d", c[0], c[1], workers), func(b *testing.B) {
				for b.Loop() {
					tin, err := NewTIN(context.Background(), s, TINSpec{EdgeNearest, workers})
					if err != nil {
						b.Fatal(err)
					}
					if _, err := tin.Grid(context.Background(), GridSpec{Columns: c[1], Rows: c[1], Workers: workers}); err != nil {
						b.Fatal(err)
					}
					tin.Volume()
				}
			})
		}
	}
}

func BenchmarkIDWGrid(b *testing.B) {
	for _, c := range [][2]int{{1000, 100}, {10000, 500}, {100000, 1000}, {1000000, 1000}} {
		s := benchSurvey(b, c[0])
		for _, workers := range []int{1, 2} {
			b.Run(fmt.Sprintf("n=%d/grid=%d/workers=%d", c[0], c[1], workers), func(b *testing.B) {
				for b.Loop() {
					w, err := NewIDW(s, IDWSpec{2, 12})
					if err != nil {
						b.Fatal(err)
					}
					if _, err := w.Grid(context.Background(), GridSpec{Columns: c[1], Rows: c[1], Workers: workers}); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

func BenchmarkTINVolume(b *testing.B) {
	s := benchSurvey(b, 24)
	for b.Loop() {
		tin, err := NewTIN(context.Background(), s, TINSpec{Edge: EdgeNearest})
		if err != nil {
			b.Fatal(err)
		}
		tin.Volume()
	}
}

func BenchmarkNewSurvey(b *testing.B) {
	spec := SurveySpec{Boundary: fixtures.Around()}
	for _, s := range rounded(1000000) {
		spec.Soundings = append(spec.Soundings, Sounding{At: s.At, Thickness: new(max(s.Value, 0))})
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := NewSurvey(context.Background(), spec); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkContours(b *testing.B) {
	levels := []units.Length{0.8, 0.9, 1, 1.1, 1.2}
	for _, n := range []int{24, 10000, 1000000} {
		s := benchSurvey(b, n)
		tin, err := NewTIN(context.Background(), s, TINSpec{Edge: EdgeNearest})
		if err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprintf("triangles/n=%d", n), func(b *testing.B) {
			for b.Loop() {
				if _, err := tin.Contours(context.Background(), levels); err != nil {
					b.Fatal(err)
				}
			}
		})
		b.Run(fmt.Sprintf("squares/n=%d", n), func(b *testing.B) {
			for b.Loop() {
				if _, err := SurfaceContours(context.Background(), s, tin, ContourSpec{levels, 0.5}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkVolumeWithInterval(b *testing.B) {
	cases := simCases()
	for _, name := range []string{"a-spherical random", "b-pile random", "d-draped off-banks", "f-settled off-banks", "f-settled random", "t-settled tracks"} {
		for _, c := range cases {
			for _, n := range append(c.sizes, 99996) {
				if c.name+" "+c.design != name || n > 48 && c.design != "tracks" {
					continue
				}
				s, _, err := c.survey(n, rand.New(rand.NewPCG(1, 1)), false)
				if err != nil {
					b.Fatal(err)
				}
				b.Run(fmt.Sprintf("%s/n=%d", name, n), func(b *testing.B) {
					least := time.Hour // of one call, which says more than the mean where other work goes on
					for b.Loop() {
						start := time.Now()
						if _, err := VolumeWithInterval(context.Background(), s, VolumeSpec{Confidence: 0.95}); err != nil {
							b.Fatal(err)
						}
						least = min(least, time.Since(start))
					}
					b.ReportMetric(least.Seconds()*1e3, "least-ms")
				})
			}
		}
	}
}

// BenchmarkNewTIN has the corners of the boundary, and of an island, among the soundings.
func BenchmarkNewTIN(b *testing.B) {
	island := []plane.Polygon{{{X: 40, Y: 30}, {X: 60, Y: 30}, {X: 62, Y: 45}, {X: 41, Y: 47}}}
	for _, islands := range [][]plane.Polygon{nil, island} {
		for _, n := range []int{10000, 100000, 1000000} {
			places, z := roundedPlaces(n)
			s := surveyAt(b, fixtures.Around(), islands, places, func(i int) float64 { return max(z[i], 0) })
			b.Run(fmt.Sprintf("n=%d/islands=%d", n, len(islands)), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					if _, err := NewTIN(context.Background(), s, TINSpec{Edge: EdgeNearest}); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
