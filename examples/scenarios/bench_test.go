package main

import (
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
)

// shortChain is the land that the nitrogen of a prismoid of sludge needs: depth,
// content, availability and need are uncertain.
func shortChain(tb testing.TB) *model {
	basin, err := volume.NewRectangular(volume.RectangularSpec{Length: 60, Width: 40, At: volume.ReferenceFloor, Depth: 3, Slopes: []float64{2.5}})
	require.NoError(tb, err)
	m := &model{outputs: []output{{name: "land", unit: "acre"}}, inputs: []input{
		{name: "depth", quantile: distuv.Normal{Mu: 1, Sigma: 0.1}.Quantile},
		{name: "content", quantile: distuv.Normal{Mu: 3, Sigma: 0.3}.Quantile},
		{name: "available", quantile: distuv.Uniform{Min: 0.25, Max: 0.45}.Quantile},
		{name: "need", quantile: distuv.NewTriangle(0.01, 0.02, 0.014, nil).Quantile},
	}}
	m.start = func() func(x, y []float64) error {
		return func(x, y []float64) error {
			n := (units.Concentration(x[1]) * units.Concentration(x[2])).Times(basin.VolumeAt(units.Length(x[0])))
			y[0] = n.OverRate(units.MassPerArea(x[3])).In(units.Acre)
			return nil
		}
	}
	require.NoError(tb, m.settle())
	return m
}

func perDraw(b *testing.B) {
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/blockDraws, "ns/draw")
}

// BenchmarkShortChain is one block of the short chain on one core, by how much of the
// work is done: the evaluation alone, with the draws, and with moments, quantiles
// and effects.
func BenchmarkShortChain(b *testing.B) {
	m := shortChain(b)
	d, err := newDesign(m, "", SamplingRandom, blockDraws, 1)
	require.NoError(b, err)
	w := newWorker(m, d)
	d.fill(m, 0, w.points)
	draws := func() {
		for r := range blockDraws {
			if err := w.draw(w.points.x[4*r:][:4], w.y); err != nil {
				b.Fatal(err)
			}
		}
	}
	b.Run("evaluate", func(b *testing.B) {
		for b.Loop() {
			draws()
		}
		perDraw(b)
	})
	b.Run("draw", func(b *testing.B) {
		for b.Loop() {
			d.fill(m, 0, w.points)
			draws()
		}
		perDraw(b)
	})
	b.Run("study", func(b *testing.B) {
		for b.Loop() {
			w.block(0)
		}
		perDraw(b)
	})
}

// BenchmarkStudy is one block of the whole chain.
func BenchmarkStudy(b *testing.B) {
	_, m, err := readStudy(demo)
	require.NoError(b, err)
	d, err := newDesign(m, "", SamplingRandom, blockDraws, 1)
	require.NoError(b, err)
	w := newWorker(m, d)
	b.ReportAllocs()
	for b.Loop() {
		w.block(0)
	}
	perDraw(b)
}
