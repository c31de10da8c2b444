package geostat

import (
	"context"
	"encoding"
	"encoding/binary"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// FuzzKriging reads samples, a model and a target from bytes: whatever they are,
// there is an error or a finite answer, never a panic.
func FuzzKriging(f *testing.F) {
	number := func(x ...float64) (b []byte) {
		for _, v := range x {
			b = binary.LittleEndian.AppendUint64(b, math.Float64bits(v))
		}
		return b
	}
	f.Add(number(0.1, 1, 10, 5, 5, 0, 0, 1, 3, 0, 2, 0, 4, 3, 9, 9, 1), 0, 0)
	f.Add(number(0, 1e18, 1e-9, 1e9, -1e9, 0, 0, 1e9, 1e-300, 0, 2, 0, 4, -1e9, 9, 9, 1), 2, 2)
	f.Add(number(0, 1, 1e15, 0, 0, 0, 0, 1, 1e-12, 0, 2, 0, 1e-12, 3, 1, 0, 1), 1, 0)
	f.Add(number(5e-324, 5e-324, 1, 0, 0, 0, 0, 1, 1e-170, 0, 2, 0, 1e-160, 3, 1, 0, 1), 0, 3)
	f.Add(number(math.NaN(), math.Inf(1), -1, 0, 0, 0, 0, 1), 0, 1)
	f.Fuzz(func(t *testing.T, data []byte, shape, neighbours int) {
		var x []float64
		for len(data) >= 8 && len(x) < 65 {
			x = append(x, math.Float64frombits(binary.LittleEndian.Uint64(data)))
			data = data[8:]
		}
		if len(x) < 8 {
			return
		}
		spec := KrigingSpec{Model: Model{Shape: Shape(shape), Nugget: units.Area(x[0]), Sill: units.Area(x[1]), Range: units.Length(x[2])},
			Neighbours: neighbours, Average: true}
		target := pointAt(x[3], x[4])
		for i := 5; i+2 < len(x); i += 3 {
			spec.Samples = append(spec.Samples, sampleAt(x[i], x[i+1], x[i+2]))
		}
		v, err := Variogram(context.Background(), VariogramSpec{Samples: spec.Samples, Classes: 5})
		if err == nil {
			for w := WeightsCressie; w <= WeightsEqual; w++ {
				r, err := Fit(FitSpec{Variogram: v, Weights: w})
				require.NoError(t, err)
				finite(t, float64(r.Model.Nugget), float64(r.Model.Sill), float64(r.Model.Range), r.Objective)
			}
		}
		k, err := NewKriging(context.Background(), spec)
		if err != nil {
			require.NotEmpty(t, units.FieldErrors(err))
			return
		}
		e, err := k.Estimate(target)
		if err != nil {
			require.NotEmpty(t, units.FieldErrors(err))
			return
		}
		finite(t, float64(e.Value), float64(e.SD))
		s, err := k.System(target)
		require.NoError(t, err)
		finite(t, s.Corner, float64(s.Multiplier), s.Condition)
		if v, err := k.Validate(context.Background()); err == nil {
			finite(t, v.MSDR, float64(v.RMSE))
		}
		b, err := k.Block(BlockSpec{Boundary: box(0, 0, 10, 20), Step: 2})
		require.NoError(t, err)
		finite(t, float64(b.Mean), float64(b.SD))
	})
}

func finite(t *testing.T, list ...float64) {
	t.Helper()
	for _, x := range list {
		require.False(t, math.IsNaN(x) || math.IsInf(x, 0), "%v", list)
	}
}

// TestNames holds each enumeration to one text that reads back.
func TestNames(t *testing.T) {
	type name interface {
		encoding.TextMarshaler
		String() string
	}
	check := func(v name, back encoding.TextUnmarshaler, get func() any) {
		t.Helper()
		text, err := v.MarshalText()
		require.NoError(t, err)
		require.Equal(t, v.String(), string(text))
		require.NoError(t, back.UnmarshalText(text))
		require.Equal(t, any(v), get())
		require.Error(t, back.UnmarshalText([]byte("nonsense")))
	}
	for i := range 6 {
		w := new(FitWeights)
		check(FitWeights(i), w, func() any { return *w })
	}
	for i := range 5 {
		s := new(FitStatus)
		check(FitStatus(i), s, func() any { return *s })
	}
	for i := range 3 {
		s, v := new(Shape), new(MSDRVerdict)
		check(Shape(i), s, func() any { return *s })
		check(MSDRVerdict(i), v, func() any { return *v })
	}
	for i := range 2 {
		r, a, l, e := new(RangeKind), new(RatioKind), new(LagRule), new(Estimator)
		check(RangeKind(i), r, func() any { return *r })
		check(RatioKind(i), a, func() any { return *a })
		check(LagRule(i), l, func() any { return *l })
		check(Estimator(i), e, func() any { return *e })
		x := new(RangeAxis)
		check(RangeAxis(i), x, func() any { return *x })
		b, w := new(BlockRule), new(Weighting)
		check(BlockRule(i), b, func() any { return *b })
		check(Weighting(i), w, func() any { return *w })
	}
	_, err := Shape(7).MarshalText()
	require.Error(t, err)
}
