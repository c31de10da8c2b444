package report_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/closure/report"
	"example.org/earthbasin/examples/internal/browser"
	"example.org/earthbasin/units"
)

// The page is looked at in a browser, at a desk and on a phone, and printed.
func TestInBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("opens a browser")
	}
	p, err := plan.Read(t.Context(), plan.Demo())
	require.NoError(t, err)
	for _, system := range []units.System{units.SystemUS, units.SystemMetric} {
		page, err := report.New(p, report.Options{Style: units.Style{System: system}}).HTML()
		require.NoError(t, err)
		for _, width := range []int{1280, 390} {
			require.Empty(t, browser.Faults(t, page, width), "%v at %d px", system, width)
		}
	}
	summary, err := report.New(p, report.Options{Parts: []string{"summary"}}).HTML()
	require.NoError(t, err)
	require.LessOrEqual(t, browser.Pages(t, summary), 2, "the summary is two printed pages")
}
