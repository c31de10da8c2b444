package geostat

import (
	"context"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge/internal/fixtures"
	"example.org/earthbasin/units"
)

// mound is the model that the benchmarks and tests of the fixed survey use.
var mound = Model{Nugget: 0.0025, Sill: 0.01, Range: 22}

func mustKriging(t testing.TB, spec KrigingSpec) *Kriging {
	t.Helper()
	k, err := NewKriging(context.Background(), spec)
	require.NoError(t, err)
	return k
}

// near compares quantities with a relative and an absolute tolerance in SI.
func near(relative, absolute float64) cmp.Option {
	return cmp.Options{
		cmpopts.EquateApprox(relative, absolute),
		cmp.Transformer("SI", units.Length.SI),
		cmp.Transformer("SI", units.Area.SI),
	}
}

// fields lists the paths of the faults of err.
func fields(err error) []string {
	var list []string
	for _, f := range units.FieldErrors(err) {
		list = append(list, f.Field)
	}
	return list
}

// rounded returns n samples of the survey of fixtures.
func rounded(n int) []Sample {
	at, values := fixtures.Rounded(n)
	list := make([]Sample, n)
	for i := range list {
		list[i] = Sample{at[i], values[i]}
	}
	return list
}

// table reads samples from a file in testdata at the top of the module.
func table(t testing.TB, name string, value func(float64) float64) []Sample {
	t.Helper()
	at, values, err := fixtures.Table("../../testdata/" + name)
	require.NoError(t, err)
	list := make([]Sample, len(at))
	for i := range list {
		list[i] = Sample{at[i], units.Length(value(float64(values[i])))}
	}
	return list
}
