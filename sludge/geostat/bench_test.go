package geostat

import (
	"context"
	"fmt"
	"testing"

	"example.org/earthbasin/sludge/internal/fixtures"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

func grid100() []plane.Point {
	var out []plane.Point
	for j := range 100 {
		for i := range 100 {
			out = append(out, plane.Point{X: units.Length((float64(i) + .5) * 1.2), Y: units.Length((float64(j) + .5) * .8)})
		}
	}
	return out
}

func BenchmarkKriging(b *testing.B) {
	m := Model{Nugget: 0.0025, Sill: 0.01, Range: 22}
	g := grid100()
	for _, n := range []int{24, 500, 1000, 2000} {
		for _, w := range []int{1, 2} {
			s := rounded(n)
			b.Run(fmt.Sprintf("global/n=%d/workers=%d", n, w), func(b *testing.B) {
				for b.Loop() {
					k, _ := NewKriging(context.Background(), KrigingSpec{Samples: s, Model: m})
					k.Estimates(context.Background(), g, w)
				}
			})
		}
	}
	for _, n := range []int{1e4, 1e5} {
		s := rounded(n)
		b.Run(fmt.Sprintf("k16/n=%d", n), func(b *testing.B) {
			for b.Loop() {
				k, _ := NewKriging(context.Background(), KrigingSpec{Samples: s, Model: m, Neighbours: 16})
				k.Estimates(context.Background(), g, 1)
			}
		})
	}
}

// BenchmarkSolve is what all estimates from 2,000 samples share.
func BenchmarkSolve(b *testing.B) {
	spec := KrigingSpec{Samples: rounded(2000), Model: Model{Nugget: 0.0025, Sill: 0.01, Range: 22}}
	for b.Loop() {
		if _, err := NewKriging(context.Background(), spec); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkVariogram(b *testing.B) {
	for _, n := range []int{24, 500, 2000, 10000} {
		s := rounded(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				Variogram(context.Background(), VariogramSpec{Samples: s})
			}
		})
	}
}

func BenchmarkFit(b *testing.B) {
	v, _ := Variogram(context.Background(), VariogramSpec{Samples: rounded(500)})
	for w := WeightsCressie; w <= WeightsEqual; w++ {
		b.Run(w.String(), func(b *testing.B) {
			for b.Loop() {
				Fit(FitSpec{Variogram: v, Weights: w})
			}
		})
	}
}

func BenchmarkBlock(b *testing.B) {
	m := Model{Nugget: 0.0025, Sill: 0.01, Range: 22}
	edge := fixtures.Edge()
	for _, n := range []int{24, 500} {
		for _, step := range []units.Length{4, 2} {
			s := rounded(n)
			b.Run(fmt.Sprintf("n=%d/step=%v", n, step), func(b *testing.B) {
				for b.Loop() {
					k, _ := NewKriging(context.Background(), KrigingSpec{Samples: s, Model: m})
					k.Block(BlockSpec{Boundary: edge, Step: step})
				}
			})
		}
	}
}
