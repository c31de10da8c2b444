package plan_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/plan"
)

func BenchmarkRead(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		_, err := plan.Read(b.Context(), plan.Demo())
		require.NoError(b, err)
	}
}
