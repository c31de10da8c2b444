package browser_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/internal/browser"
)

// What the look finds has to be found: a page with every fault.
func TestFindsFaults(t *testing.T) {
	page := `<!doctype html><html><body style="background:#fff"><h1>a</h1><h3>b</h3><p style="font-size:9px">small</p><p style="color:#bbb">pale</p>
<table><tbody><tr><td>x</td></tr></tbody></table><div style="width:900px">wide</div><a href="#none">c</a><input name="f">
<svg role="img" viewBox="0 0 100 20" width="100" height="20"><text x="80" y="12">cut off here</text></svg></body></html>`
	all := strings.Join(browser.Faults(t, []byte(page), 390), "\n")
	for _, want := range []string{"wider than the window", "text too small", "contrast", "table without a caption", "row without a head",
		"heading skips a level", "link to nowhere", "field without a label", "no language", "no main part", "picture without title"} {
		require.Contains(t, all, want)
	}
	good := `<!doctype html><html lang="en"><body style="background:#fff;color:#000"><main><h1>a</h1><h2>b</h2><p>text</p></main></body></html>`
	require.Empty(t, browser.Faults(t, []byte(good), 390))
	require.Equal(t, 1, browser.Pages(t, []byte(good), "A4"))
	printed := strings.Replace(good, "<body", "<head><style>@media print{p{font-size:6pt}}@media screen{p{font-size:5pt}}</style></head><body", 1)
	require.Equal(t, []string{`text too small: p "text" 8.0 px`}, browser.PaperFaults(t, []byte(printed)))
}
