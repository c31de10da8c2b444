package sludge

import (
	"fmt"
	"math"
	"testing"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// rounded returns n samples of a fixed synthetic survey of a basin of 120 m by
// 80 m with corners rounded at 15 m: two mounds, ripples and noise.
func rounded(n int) []Sample {
	unit := func(seed, k uint64) float64 {
		s := seed + (k+1)*0x9E3779B97F4A7C15
		s = (s ^ s>>30) * 0xBF58476D1CE4E5B9
		s = (s ^ s>>27) * 0x94D049BB133111EB
		s ^= s >> 31
		return float64(s>>11) * 0x1p-53
	}
	var out []Sample
	for k := uint64(0); len(out) < n; k++ {
		x, y := 120*unit(1, k), 80*unit(2, k)
		dx, dy := max(math.Abs(x-60)-45, 0), max(math.Abs(y-40)-25, 0)
		if dx*dx+dy*dy > 225 {
			continue
		}
		i := uint64(len(out))
		z := 0.95 - 0.001*x + 0.20*math.Exp(-((x-30)*(x-30)+(y-25)*(y-25))/500) +
			0.15*math.Exp(-((x-90)*(x-90)+(y-60)*(y-60))/400) +
			0.15*math.Sin(2*math.Pi*x/42+0.4)*math.Cos(2*math.Pi*y/38+1.1)
		z += 0.05 * math.Sqrt(-2*math.Log(1-unit(3, i))) * math.Cos(2*math.Pi*unit(4, i))
		out = append(out, Sample{plane.Point{X: units.Length(x), Y: units.Length(y)}, units.Length(z)})
	}
	return out
}

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
	for _, n := range []int{24, 500, 1000} {
		for _, w := range []int{1, 2} {
			s := rounded(n)
			b.Run(fmt.Sprintf("global/n=%d/workers=%d", n, w), func(b *testing.B) {
				for b.Loop() {
					k, _ := NewKriging(KrigingSpec{Samples: s, Model: m})
					k.Estimates(g, w)
				}
			})
		}
	}
	for _, n := range []int{1e4, 1e5} {
		s := rounded(n)
		b.Run(fmt.Sprintf("k16/n=%d", n), func(b *testing.B) {
			for b.Loop() {
				k, _ := NewKriging(KrigingSpec{Samples: s, Model: m, Neighbours: 16})
				k.Estimates(g, 1)
			}
		})
	}
}

func BenchmarkVariogram(b *testing.B) {
	for _, n := range []int{24, 500, 2000, 10000} {
		s := rounded(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				Variogram(VariogramSpec{Samples: s})
			}
		})
	}
}

func BenchmarkFit(b *testing.B) {
	v, _ := Variogram(VariogramSpec{Samples: rounded(500)})
	for w := WeightsCressie; w <= WeightsEqual; w++ {
		b.Run(w.String(), func(b *testing.B) {
			for b.Loop() {
				Fit(FitSpec{Variogram: v, Weights: w})
			}
		})
	}
}

// roundedEdge is the outline of the basin of rounded.
func roundedEdge() plane.Polygon {
	var p plane.Polygon
	for i, c := range [][2]float64{{105, 65}, {15, 65}, {15, 15}, {105, 15}} {
		for k := range 17 {
			a := (float64(i) + float64(k)/16) * math.Pi / 2
			p = append(p, plane.Point{X: units.Length(c[0] + 15*math.Cos(a)), Y: units.Length(c[1] + 15*math.Sin(a))})
		}
	}
	return p
}

func BenchmarkBlock(b *testing.B) {
	m := Model{Nugget: 0.0025, Sill: 0.01, Range: 22}
	edge := roundedEdge()
	for _, n := range []int{24, 500} {
		for _, step := range []units.Length{4, 2} {
			s := rounded(n)
			b.Run(fmt.Sprintf("n=%d/step=%v", n, step), func(b *testing.B) {
				for b.Loop() {
					k, _ := NewKriging(KrigingSpec{Samples: s, Model: m})
					k.Block(BlockSpec{Boundary: edge, Step: step})
				}
			})
		}
	}
}

func BenchmarkVolumeWithInterval(b *testing.B) {
	rippled := make([]Sample, 24) // the first 24 of rounded have no usable variogram
	for i := range rippled {
		x, y := 10+20*float64(i%6), 10+20*float64(i/6)
		rippled[i] = sampleAt(x, y, 1+0.2*math.Sin(x/15)*math.Cos(y/12))
	}
	for _, samples := range [][]Sample{rippled, rounded(500)} {
		s := surveyOf(b, roundedEdge(), samples)
		b.Run(fmt.Sprintf("n=%d", len(samples)), func(b *testing.B) {
			for b.Loop() {
				r, err := VolumeWithInterval(s, VolumeSpec{Confidence: 0.95})
				if err != nil || r.Used != MethodKriging {
					b.Fatal(err, r.Why)
				}
			}
		})
	}
}
