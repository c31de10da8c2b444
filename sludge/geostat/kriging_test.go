package geostat

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge/internal/fixtures"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

func TestKrigingProperties(t *testing.T) {
	samples := rounded(40)
	at := []plane.Point{pointAt(30, 30), pointAt(61, 44), samples[7].At, pointAt(500, 500)}
	base, err := mustKriging(t, KrigingSpec{Samples: samples, Model: mound}).Estimates(context.Background(), at, 1)
	require.NoError(t, err)
	require.Equal(t, Estimate{Value: samples[7].Value}, base[2], "a sample is its own estimate")

	t.Run("the sill scales the variance only", func(t *testing.T) {
		m := mound
		m.Nugget, m.Sill = 9*m.Nugget, 9*m.Sill
		got, err := mustKriging(t, KrigingSpec{Samples: samples, Model: m}).Estimates(context.Background(), at, 1)
		require.NoError(t, err)
		for i := range at {
			require.InDelta(t, float64(base[i].Value), float64(got[i].Value), 1e-12)
			require.InDelta(t, 3*float64(base[i].SD), float64(got[i].SD), 1e-12)
		}
	})
	t.Run("values shift with the samples", func(t *testing.T) {
		moved := make([]Sample, len(samples))
		for i, s := range samples {
			moved[i] = Sample{plane.Point{X: s.At.X + 1e6, Y: s.At.Y - 2e6}, s.Value + 100}
		}
		var there []plane.Point
		for _, p := range at {
			there = append(there, plane.Point{X: p.X + 1e6, Y: p.Y - 2e6})
		}
		there[2] = moved[7].At
		got, err := mustKriging(t, KrigingSpec{Samples: moved, Model: mound}).Estimates(context.Background(), there, 1)
		require.NoError(t, err)
		for i := range at {
			require.InDelta(t, float64(base[i].Value)+100, float64(got[i].Value), 1e-8)
			require.InDelta(t, float64(base[i].SD), float64(got[i].SD), 1e-8)
		}
	})
	t.Run("order does not matter", func(t *testing.T) {
		mixed := append([]Sample(nil), samples...)
		rand.New(rand.NewPCG(1, 1)).Shuffle(len(mixed), func(i, j int) { mixed[i], mixed[j] = mixed[j], mixed[i] })
		got, err := mustKriging(t, KrigingSpec{Samples: mixed, Model: mound}).Estimates(context.Background(), at, 1)
		require.NoError(t, err)
		require.Empty(t, cmp.Diff(base, got, near(1e-12, 0)))
	})
	t.Run("all neighbours are the whole", func(t *testing.T) {
		k := mustKriging(t, KrigingSpec{Samples: samples, Model: mound, Neighbours: 39})
		k.k = 40 // past the constructor's shortcut
		got, err := k.Estimates(context.Background(), at, 1)
		require.NoError(t, err)
		require.Empty(t, cmp.Diff(base, got, near(1e-12, 0)))
	})
	t.Run("a constant stays the constant", func(t *testing.T) {
		flat := make([]Sample, len(samples))
		for i, s := range samples {
			flat[i] = Sample{s.At, 0.7}
		}
		k := mustKriging(t, KrigingSpec{Samples: flat, Model: mound})
		got, err := k.Estimates(context.Background(), at, 1)
		require.NoError(t, err)
		for _, e := range got {
			require.InDelta(t, 0.7, float64(e.Value), 1e-14)
		}
		b, err := k.Block(BlockSpec{Boundary: fixtures.Edge()})
		require.NoError(t, err)
		require.InDelta(t, 0.7, float64(b.Mean), 1e-14)
		v, err := k.Validate(context.Background())
		require.NoError(t, err)
		require.InDelta(t, 0, float64(v.RMSE), 1e-14)
	})
	t.Run("at a sample its weight is 1", func(t *testing.T) {
		s, err := mustKriging(t, KrigingSpec{Samples: samples, Model: mound}).System(samples[7].At)
		require.NoError(t, err)
		require.Equal(t, base[2], s.Estimate)
		require.Zero(t, s.Multiplier)
		for i, w := range s.Weights {
			require.Equal(t, Weight{i, map[bool]float64{true: 1}[i == 7]}, w)
			require.Equal(t, s.Covariances[7][i], s.ToTarget[i])
		}
		require.Equal(t, mound.Nugget+mound.Sill, s.ToTarget[7])
	})
	t.Run("the weights answer for the estimate", func(t *testing.T) {
		s, err := mustKriging(t, KrigingSpec{Samples: samples, Model: mound}).System(at[0])
		require.NoError(t, err)
		var sum, value float64
		variance := float64(mound.Nugget+mound.Sill) - float64(s.Multiplier)
		for i, w := range s.Weights {
			sum += w.Weight
			value += w.Weight * float64(samples[w.Sample].Value)
			variance -= w.Weight * float64(s.ToTarget[i])
			line := float64(s.Multiplier)
			for j, v := range s.Weights {
				line += float64(s.Covariances[i][j]) * v.Weight
			}
			require.InDelta(t, float64(s.ToTarget[i]), line, 1e-14)
		}
		require.InDelta(t, 1, sum, 1e-12)
		require.InDelta(t, float64(base[0].Value), value, 1e-12)
		require.InDelta(t, square(base[0].SD), variance, 1e-12)
	})
}

func TestKrigingAnisotropy(t *testing.T) {
	// A plane stretched along an azimuth is isotropic once it is shrunk again.
	samples := rounded(30)
	m := mound
	m.Anisotropy = &Anisotropy{Ratio: 0.25, Azimuth: 90} // east-west is the long way
	shrunk := make([]Sample, len(samples))
	for i, s := range samples {
		shrunk[i] = Sample{plane.Point{X: s.At.X, Y: s.At.Y * 4}, s.Value}
	}
	a, err := mustKriging(t, KrigingSpec{Samples: samples, Model: m}).Estimate(pointAt(40, 30))
	require.NoError(t, err)
	b, err := mustKriging(t, KrigingSpec{Samples: shrunk, Model: mound}).Estimate(pointAt(40, 120))
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(b, a, near(1e-12, 0)))
}

func TestKrigingBitsAtAnyNumberOfWorkers(t *testing.T) {
	at := grid100()[:2000]
	for _, neighbours := range []int{0, 12} {
		k := mustKriging(t, KrigingSpec{Samples: rounded(60), Model: mound, Neighbours: neighbours})
		one, err := k.Estimates(context.Background(), at, 1)
		require.NoError(t, err)
		three, err := k.Estimates(context.Background(), at, 3)
		require.NoError(t, err)
		require.Equal(t, one, three)
		single, err := k.Estimate(at[77])
		require.NoError(t, err)
		require.Empty(t, cmp.Diff(one[77], single, near(0, 1e-12)))
	}
}

func TestKrigingDuplicates(t *testing.T) {
	samples := append(rounded(10), Sample{rounded(3)[2].At, 2})
	_, err := NewKriging(context.Background(), KrigingSpec{Samples: samples, Model: mound})
	require.Equal(t, []string{"samples[10].at"}, fields(err))
	k := mustKriging(t, KrigingSpec{Samples: samples, Model: mound, Average: true})
	e, err := k.Estimate(samples[10].At)
	require.NoError(t, err)
	require.InDelta(t, float64(samples[2].Value+2)/2, float64(e.Value), 1e-15)
}

// TestKrigingOutOfRange holds samples of which most are out of range of each other and
// of the targets, along either axis and under a model without end, against the equations
// of all of them: the estimate does not change with its company, by no bit where it is
// not so many that another way to them is shorter.
func TestKrigingOutOfRange(t *testing.T) {
	for _, model := range []Model{mound, {Shape: Spherical, Nugget: 0.0025, Sill: 0.01, Range: 9}, {Shape: Exponential, Sill: 0.01, Range: 9}} {
		for _, turn := range []bool{false, true} {
			samples, at := rounded(400), grid100()[:5000]
			if turn {
				for i, s := range samples {
					samples[i].At = plane.Point{X: s.At.Y, Y: s.At.X}
				}
			}
			k := mustKriging(t, KrigingSpec{Samples: samples, Model: model})
			one, err := k.Estimates(context.Background(), at, 1)
			require.NoError(t, err)
			three, err := k.Estimates(context.Background(), at, 3)
			require.NoError(t, err)
			require.Equal(t, one, three)
			var some []plane.Point
			for i := 0; i < len(at); i += 611 {
				some = append(some, at[i])
			}
			few, err := k.Estimates(context.Background(), some, 1)
			require.NoError(t, err)
			for i := 0; i < len(at); i += 611 {
				single, err := k.Estimate(at[i])
				require.NoError(t, err)
				require.Empty(t, cmp.Diff(one[i], single, near(1e-12, 1e-12)))
				require.Equal(t, few[i/611], single)
				x, y := k.cov.place(at[i].Sub(k.origin))
				c0 := make([]float64, len(samples))
				k.cov.row(c0, k.x, k.y, x, y)
				want := estimateAt(k.all.target(c0, k.cov.zero()))
				require.Empty(t, cmp.Diff(want, single, near(1e-12, 1e-12)))
			}
		}
	}
}

// TestKrigingOrder: many targets go strip by strip along the longer axis of the samples,
// each once; few, and those of few samples, as they come.
func TestKrigingOrder(t *testing.T) {
	points := grid100()[:20*batch]
	rand.New(rand.NewPCG(1, 1)).Shuffle(len(points), func(i, j int) { points[i], points[j] = points[j], points[i] })
	for _, turn := range []bool{false, true} {
		samples := rounded(batch)
		along := func(p plane.Point) float64 { return float64(p.X) }
		if turn {
			for i, s := range samples {
				samples[i].At = plane.Point{X: s.At.Y, Y: s.At.X}
			}
			along = func(p plane.Point) float64 { return float64(p.Y) }
		}
		k := mustKriging(t, KrigingSpec{Samples: samples, Model: mound})
		require.Equal(t, !turn, k.long)
		for i := range batch - 1 { // from the one end to the middle, then from the other
			if a, b := along(k.samples[i].At), along(k.samples[i+1].At); i < batch/2-1 {
				require.Less(t, a, b)
			} else if i > batch/2-1 {
				require.Greater(t, a, b)
			}
		}
		low, high := math.Inf(1), math.Inf(-1)
		for _, p := range points {
			low, high = min(low, along(p)), max(high, along(p))
		}
		seen := make([]bool, len(points))
		last := 0
		for _, i := range k.order(points) {
			require.False(t, seen[i])
			seen[i] = true
			strip := int((along(points[i]) - low) / (high - low) * 19)
			require.GreaterOrEqual(t, strip, last)
			last = strip
		}
		require.Equal(t, 19, last)
		few := points[:2*batch-1]
		for i, j := range k.order(few) {
			require.Equal(t, i, j)
		}
		for i, j := range mustKriging(t, KrigingSpec{Samples: samples[:batch-1], Model: mound}).order(points) {
			require.Equal(t, i, j)
		}
		for i, j := range mustKriging(t, KrigingSpec{Samples: samples, Model: mound, Neighbours: 5}).order(points) {
			require.Equal(t, i, j)
		}
	}
}

// TestKrigingWholePanels: systems of whole panels and batches, many targets on one line and
// at one place, against the equations of each alone: to the last bit under a model without
// end, and where the many go by the inverse to its rounding.
func TestKrigingWholePanels(t *testing.T) {
	endless := mound
	endless.Shape = Exponential
	for _, n := range []int{panel - 1, panel, panel + 1, 2 * panel, 3 * panel, batch, batch + panel, -panel, -3 * panel} {
		model := mound
		if n < 0 {
			n, model = -n, endless
		}
		samples := rounded(n)
		k := mustKriging(t, KrigingSpec{Samples: samples, Model: model})
		s, err := k.System(pointAt(60, 40))
		require.NoError(t, err)
		require.Zero(t, s.Added)
		var sum float64
		for i, w := range s.Weights {
			sum += w.Weight
			line := float64(s.Multiplier)
			for j, v := range s.Weights {
				line += float64(s.Covariances[i][j]) * v.Weight
			}
			require.InDelta(t, float64(s.ToTarget[i]), line, 1e-13)
		}
		require.InDelta(t, 1, sum, 1e-10)
		for name, at := range map[string]func(i int) plane.Point{
			"across": func(i int) plane.Point { return pointAt(60, float64(i%80)) },
			"along":  func(i int) plane.Point { return pointAt(float64(i%120), 40) },
			"one":    func(int) plane.Point { return pointAt(60, 40) },
		} {
			places := make([]plane.Point, 3*batch)
			for i := range places {
				places[i] = at(i)
			}
			list, err := k.Estimates(context.Background(), places, 1)
			require.NoError(t, err)
			values, err := k.Values(context.Background(), places, 1)
			require.NoError(t, err)
			for i := 0; i < len(places); i += 37 {
				single, err := k.Estimate(places[i])
				require.NoError(t, err)
				if k.usesInverse(len(places)) {
					require.Empty(t, cmp.Diff(single, list[i], near(1e-12, 1e-12)), name)
				} else {
					require.Equal(t, single, list[i], name)
				}
				require.InDelta(t, float64(single.Value), float64(values[i]), 1e-12, name)
			}
		}
	}
}

// TestKrigingNearDuplicates puts samples next to each other under models that
// can hardly tell them apart: answers stay finite, between sane limits, and the
// system says so.
func TestKrigingNearDuplicates(t *testing.T) {
	smooth := func(p plane.Point) units.Length {
		return units.Length(1 + 0.3*math.Sin(float64(p.X)/40)*math.Cos(float64(p.Y)/50))
	}
	for _, shape := range []Shape{Spherical, Exponential, Gaussian} {
		for _, gap := range []float64{1e-3, 1e-6, 1e-9, 1e-12} {
			var samples []Sample
			for i, s := range rounded(40) {
				samples = append(samples, Sample{s.At, smooth(s.At)})
				if i < 15 {
					by := plane.Point{X: s.At.X + units.Length(gap), Y: s.At.Y}
					samples = append(samples, Sample{by, smooth(by)})
				}
			}
			k := mustKriging(t, KrigingSpec{Samples: samples, Model: Model{Shape: shape, Sill: 0.01, Range: 60}, Average: true})
			e, err := k.Estimate(pointAt(40, 41))
			require.NoError(t, err)
			require.InDelta(t, float64(smooth(pointAt(40, 41))), float64(e.Value), 0.05, "%v %v", shape, gap)
			require.False(t, math.IsNaN(float64(e.SD)))
			s, err := k.System(pointAt(40, 41))
			require.NoError(t, err)
			if s.Added > 0 {
				require.NotEmpty(t, s.Notes)
			}
			_, err = k.Block(BlockSpec{Boundary: fixtures.Edge(), Step: 8})
			require.NoError(t, err)
		}
	}
}

func TestKrigingFaults(t *testing.T) {
	_, err := NewKriging(context.Background(), KrigingSpec{Neighbours: -1})
	require.Equal(t, []string{"samples", "model.sill", "neighbours"}, fields(err))
	k := mustKriging(t, KrigingSpec{Samples: rounded(3), Model: mound})
	_, err = k.Estimates(context.Background(), []plane.Point{pointAt(math.Inf(1), math.NaN())}, -1)
	require.Equal(t, []string{"points[0].x", "points[0].y", "workers"}, fields(err))
	none, err := k.Estimates(context.Background(), nil, 4)
	require.NoError(t, err)
	require.Empty(t, none)
	alone := mustKriging(t, KrigingSpec{Samples: rounded(1), Model: mound})
	e, err := alone.Estimate(pointAt(0, 0))
	require.NoError(t, err)
	require.Equal(t, rounded(1)[0].Value, e.Value)
	_, err = alone.Validate(context.Background())
	require.Equal(t, []string{"samples"}, fields(err))
	_, err = alone.Influences(context.Background(), BlockSpec{Boundary: fixtures.Edge()})
	require.Equal(t, []string{"samples"}, fields(err))
	_, err = NewKriging(context.Background(), KrigingSpec{Samples: rounded(MaxGlobal + 1), Model: mound})
	require.Equal(t, []string{"neighbours"}, fields(err))
}
