package sludge

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// The parts drawn of many hypotheses, one of each light one, stand for all of them: the
// ends of the interval stay within a tenth of its half-width.
func TestDrawnPartsStandForAll(t *testing.T) {
	require.Equal(t, []int{1, 2, 2, 8, 16}, []int{usualDraw(0.03), usualDraw(0.04), usualDraw(0.12), usualDraw(0.5), usualDraw(1)})
	cases := simCases()
	for _, name := range []string{"d-draped", "f-settled"} {
		c := cases[slices.IndexFunc(cases, func(c simCase) bool { return c.name == name && c.design == "off-banks" })]
		for seed := range uint64(3) {
			s, _, err := c.survey(24, rand.New(rand.NewPCG(11, seed)), false)
			require.NoError(t, err)
			ends := func(o estimateOptions) (low, high float64, parts int) {
				e, err := newEstimate(context.Background(), s, usual, o)
				require.NoError(t, err)
				low, high = e.between(e.mixture(nil), 0.95)
				return low, high, len(e.parts)
			}
			low, high, parts := ends(estimateOptions{})
			wantLow, wantHigh, all := ends(estimateOptions{every: true})
			require.InDelta(t, wantLow, low, 0.1*(wantHigh-wantLow)/2, "%s %d", name, seed)
			require.InDelta(t, wantHigh, high, 0.1*(wantHigh-wantLow)/2, "%s %d", name, seed)
			require.Less(t, parts, 30, "of %d", all)
		}
	}
}
