package main

import (
	"fmt"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/internal/browser"
	"example.org/earthbasin/units/evidence"
)

// styled puts the style into the page, which the look opens alone.
func styled(page string) []byte {
	return []byte(strings.Replace(page, `<link rel="stylesheet" href="/page.css">`, "<style>"+string(style)+"</style>", 1))
}

// The form, its faults and the answer are looked at in a real browser, on a phone and
// on a desk, and printed.
func TestPagesInABrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("opens a browser nine times")
	}
	s := site(t)
	wrong := good()
	wrong.Set("reports[0].tkn", "20 furlongs")
	wrong.Del("query.crop")
	metric := good()
	metric.Set("units", "metric")
	for name, v := range map[string]url.Values{"form": nil, "faults": wrong, "answer": good(), "metric": metric} {
		_, page, _ := get(t, s, v, "")
		for _, width := range []int{390, 1200} {
			require.Empty(t, browser.Faults(t, styled(page), width), "%s at %d px", name, width)
		}
	}
	_, page, _ := get(t, s, good(), "")
	require.LessOrEqual(t, browser.Pages(t, styled(page), ""), 4, "a sheet of the answer, without the form")
}

// What the answer says, word for word, in US and metric units.
func TestAnswerIsAsKept(t *testing.T) {
	s := site(t)
	for _, system := range []string{"US", "metric"} {
		v := good()
		v.Del("needN")
		v.Set("units", system)
		v.Set("query.incorporation", "never")
		v.Set("query.previousCrop", "clover")
		v.Set("earlier[0]", "5,000 gal/acre")
		_, page, _ := get(t, s, v, "")
		_, answer, ok := strings.Cut(page, "<section")
		require.True(t, ok)
		answer, _, _ = strings.Cut(answer, "</section>")
		for _, key := range worked { // a caption names what a table gives, not the key of the file
			require.NotContains(t, answer, ": "+key+"</caption>")
		}
		_, balance, _ := strings.Cut(answer, "<table class=\"stack\"")
		balance, _, _ = strings.Cut(balance, "</table>")
		require.NotRegexp(t, `\d (lb|kg)`, balance, "a number stays with its unit")
		evidence.Golden(t, fmt.Sprintf("testdata/answer.%s.html", strings.ToLower(system)), []byte("<section"+answer+"</section>\n"))
	}
}
