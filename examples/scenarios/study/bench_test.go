package study

import (
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// shortChain is the land that the nitrogen of a prismoid of sludge needs, in SI units:
// depth, content, availability and need are uncertain.
func shortChain() Model {
	return Model{ID: "short", Outputs: []Output{{Name: "land", Unit: "m2"}}, Inputs: []Input{
		{Path: "depth", Quantile: distuv.Normal{Mu: 1, Sigma: 0.1}.Quantile},
		{Path: "content", Quantile: distuv.Normal{Mu: 3, Sigma: 0.3}.Quantile},
		{Path: "available", Quantile: between(0.25, 0.45)},
		{Path: "need", Quantile: distuv.NewTriangle(0.01, 0.02, 0.014, nil).Quantile},
	}, Evaluator: func() Evaluator { return prismoid{} }}
}

type prismoid struct{}

func (prismoid) land(depth, content, available, need float64) float64 {
	const length, width, slope = 60, 40, 2.5
	v := depth * (length*width + depth*(slope*(length+width)+depth*4*slope*slope/3))
	return v * content * available / need
}

func (p prismoid) Eval(x, y []float64) error {
	y[0] = p.land(x[0], x[1], x[2], x[3])
	return nil
}

func (p prismoid) EvalBatch(x, y [][]float64) error {
	land := y[0]
	n := len(land)
	depth, content, available, need := x[0][:n], x[1][:n], x[2][:n], x[3][:n]
	for r := range land {
		land[r] = p.land(depth[r], content[r], available[r], need[r])
	}
	return nil
}

func perDraw(b *testing.B) {
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/blockRows, "ns/draw")
}

// BenchmarkShortChain is one block of the short chain on one core, by how much of the
// work is done: the evaluation alone, with the draws, with quantiles, too, and the study
// with moments and effects. Of a draw, in ns of user CPU on one core of a Xeon at
// 2.5 GHz, go1.26 beside numpy 1.24 (Generator of PCG64, columns of 10^6; the
// quantiles at 0.05, 0.5 and 0.95) run by turns:
//
//	           here  numpy
//	evaluate      4     12
//	draw         39     64
//	quantiles    42     89
//	study        56
//
// Here a quantile is within sketchError, and numpy's is a value of the sample.
func BenchmarkShortChain(b *testing.B) {
	d, err := made(b, shortChain()).design(Design{Draws: blockRows, Seed: 1})
	require.NoError(b, err)
	w := d.worker()
	d.fill(0, w.points)
	evaluate := func() {
		if err := w.batch.EvalBatch(w.points.x, w.y); err != nil {
			b.Fatal(err)
		}
	}
	b.Run("evaluate", func(b *testing.B) {
		for b.Loop() {
			evaluate()
		}
		perDraw(b)
	})
	b.Run("draw", func(b *testing.B) {
		for b.Loop() {
			d.fill(0, w.points)
			evaluate()
		}
		perDraw(b)
	})
	b.Run("quantiles", func(b *testing.B) {
		var s sketch
		for b.Loop() {
			d.fill(0, w.points)
			evaluate()
			for _, y := range w.y[0][:blockRows] {
				s.count(y)
			}
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
