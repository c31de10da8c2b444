package plan_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/closure/report"
)

// Fill compacted to 92 % settles by 8 %, and a crown of 4.5 % no longer sheds water: the
// summary says that it is built steeper, and the cost has its soil. The grade that leaves 2 %
// over a bank of 2.5 to 1 is (0.02 + 0.08/2.5)/0.92 = 5.65 %.
func TestSummarySaysThatTheCrownIsSteeper(t *testing.T) {
	summary := func(percent float64) (string, *plan.Plan) {
		p, err := plan.Read(t.Context(), edit(t, told(map[string]any{"closing.settlement": nil, "closing.compaction.percent": percent})))
		require.NoError(t, err)
		text, err := report.New(p, report.Options{Parts: []string{"summary"}}).JSON()
		require.NoError(t, err)
		return strings.ReplaceAll(string(text), "\u00a0", " "), p
	}
	text, firm := summary(0.95)
	require.NotContains(t, text, "would not shed water")
	text, loose := summary(0.92)
	require.Contains(t, text, "the crown would not shed water when the fill has settled: it is built at 5.7 % in place of 4.5 %")
	require.InEpsilon(t, (0.02+0.08/2.5)/0.92, loose.Results.Closing.Outcomes[0].Crown.Build.Spec.Grade, 1e-9)
	require.Greater(t, loose.Results.Bill.Cost.Likely, firm.Results.Bill.Cost.Likely+1000)
}
