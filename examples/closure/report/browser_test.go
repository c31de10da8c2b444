package report_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/doubt"
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
		require.Empty(t, browser.PaperFaults(t, page), "%v on paper", system)
	}
	mapped := read(t, "../testdata/scenarios/circular-metric.json") // with a map of a field
	page, err := report.New(mapped, report.Options{Style: units.Style{System: units.SystemMetric}, Parts: []string{"summary", "sheets"}}).HTML()
	require.NoError(t, err)
	require.Contains(t, string(page), "<title id=\"field1-340-t\">")
	require.Empty(t, browser.Faults(t, page, 390))
}

// The ledger of a closing that is under way has more columns than a page is wide.
func TestLedgerInBrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("opens a browser")
	}
	p := read(t, "../testdata/scenarios/re-plan-half-way.json")
	page, err := report.New(p, report.Options{Parts: []string{"sheets"}}).HTML()
	require.NoError(t, err)
	require.Empty(t, browser.Faults(t, page, 1280))
}

// The summary of every farm is two printed pages at most.
func TestSummaryIsTwoPages(t *testing.T) {
	if testing.Short() {
		t.Skip("opens a browser")
	}
	for _, name := range farms(t) {
		p := read(t, name)
		in, err := doubt.Of(t.Context(), p, 1)
		require.NoError(t, err)
		page, err := report.New(p, report.Options{Parts: []string{"summary"}, Doubt: in}).HTML()
		require.NoError(t, err)
		require.LessOrEqual(t, browser.Pages(t, page, ""), 2, name)
	}
}

// Every sheet to carry is one printed page, on Letter and A4 by turns: of the demo, and
// of every third farm, since a browser takes seconds a print.
func TestSheetsAreOnePageEach(t *testing.T) {
	if testing.Short() {
		t.Skip("opens a browser")
	}
	for i, name := range farms(t) {
		if i%3 != 0 {
			continue // the demo is number 12
		}
		p := read(t, name)
		for paper, system := range map[string]units.System{"Letter": units.SystemUS, "A4": units.SystemMetric} {
			if (paper == "A4") != (i%2 == 1) && i < 12 {
				continue
			}
			d := report.New(p, report.Options{Parts: []string{"sheets"}, Style: units.Style{System: system}})
			page, err := d.HTML()
			require.NoError(t, err)
			// Each begins a page, so that there are more pages than sheets where one does not fit.
			require.Equal(t, len(d.Parts[0].Pages), browser.Pages(t, page, paper), "%s on %s", name, paper)
			for _, sheet := range d.Parts[0].Pages {
				require.True(t, sheet.Alone, sheet.Key)
			}
		}
	}
}

// farms are the files of the twelve farms, and that of the demo last.
func farms(t *testing.T) []string {
	list, err := filepath.Glob("../testdata/scenarios/*.json")
	require.NoError(t, err)
	require.Len(t, list, 12)
	return append(list, "../plan/demo.json")
}

func read(t *testing.T, name string) *plan.Plan {
	file, err := os.ReadFile(name)
	require.NoError(t, err)
	p, err := plan.Read(t.Context(), file)
	require.NoError(t, err)
	return p
}
