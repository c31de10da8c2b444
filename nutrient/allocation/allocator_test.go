package allocation

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// One allocator for farms of any size, one after the other, gives the results of each on
// its own, also after a fault; and what it gave stays.
func TestAllocatorKeepsNothing(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	var full Allocator
	brief := Allocator{Brief: true}
	var before, kept AllocateResult
	for i := range 30 {
		s := farm(r, 1+r.IntN(4), 1+r.IntN(12), 1+r.IntN(3))
		want, err := allocate(s)
		require.NoError(t, err)
		got, err := full.Allocate(t.Context(), s)
		require.NoError(t, err)
		require.Equal(t, want, got, i)
		require.Equal(t, kept, before, i)
		before, kept = got, want

		short, err := brief.Allocate(t.Context(), s)
		require.NoError(t, err)
		want.Fields = slices.Clone(want.Fields)
		for k, x := range want.Fields {
			want.Fields[k] = FieldState{Name: x.Name, Least: x.Least}
		}
		require.Equal(t, want, short, i)
		if i%5 == 0 {
			s.Materials[0].Name = ""
			_, err = full.Allocate(t.Context(), s)
			require.Error(t, err)
		}
	}
}

// The memory of an allocation serves the next: what is allocated is the result.
func TestAllocatorMemory(t *testing.T) {
	s := farm(rand.New(rand.NewPCG(1, 1)), 3, 10, 1)
	var a Allocator
	again := func() {
		_, err := a.Allocate(t.Context(), s)
		require.NoError(t, err)
	}
	again()
	own := testing.AllocsPerRun(20, again)
	alone := testing.AllocsPerRun(20, func() { _, _ = allocate(s) })
	require.Less(t, own, 0.6*alone, "of %v", alone)
}
