package evidence

import (
	"strings"
	"testing"

	gocmp "github.com/google/go-cmp/cmp"

	"example.org/earthbasin/units"
)

// Done returns the result of a function that answers.
func Done[S, R any](t *testing.T, run func(S) (R, error), spec S) R {
	t.Helper()
	r, err := run(spec)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Shows demands the lines of a working in the style, "item | value | how", where how may
// be missing. They may be indented by two tabs, as the code around them is.
func Shows(t *testing.T, s units.Style, r interface{ Working() units.Working }, want string) {
	t.Helper()
	var got []string
	for _, l := range s.Lines(r.Working()) {
		got = append(got, strings.TrimRight(l.Item+" | "+l.Value+" | "+l.How, "| "))
	}
	if d := gocmp.Diff(lines([]byte(strings.Trim(strings.ReplaceAll(want, "\n\t\t", "\n"), "\n\t"))), got); d != "" {
		t.Fatal(d)
	}
}
