// Package evidence helps the tests of the module: it runs the checks against
// published values and compares output with golden files.
package evidence

import (
	"cmp"
	"encoding/csv"
	"flag"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	gocmp "github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "rewrite golden files and testdata/checks.csv")

// Kind says where the wanted value of a check comes from.
type Kind string

const (
	Published Kind = "published"         // printed in the source
	Reference Kind = "reference library" // computed with a general-purpose library named in the source
	Identity  Kind = "identity"          // follows from definitions named in the source
	Memory    Kind = "from memory"       // recalled; follows exactly from its inputs
	Slip      Kind = "published slip"    // an error in the source, which must not be reproduced
)

// Check is one comparison of a computed value with one from outside the
// project. Tol is the largest absolute difference allowed and follows from the
// rounding of the source, which the Source or a comment says. For a Slip the
// computed value must differ from Want by more than Tol.
type Check struct {
	Quantity string  // what is compared, with the inputs that tell cases apart
	Got      float64 // computed, in Unit
	Want     float64 // from the source, in Unit
	Tol      float64
	Unit     string
	Source   string // title, publisher, number, year, table or example
	Kind     Kind
}

// Run tests the checks of pkg, the folder name of the package under test, and
// holds them against the rows of testdata/checks.csv at the top of the module,
// the one page on which a reviewer sees all evidence. With -update it writes
// these rows instead.
func Run(t *testing.T, pkg string, checks []Check) {
	t.Helper()
	seen := map[string]bool{}
	for _, c := range checks {
		if c.Source == "" || c.Unit == "" || c.Kind == "" {
			t.Errorf("%s: a check needs unit, source and kind", c.Quantity)
		}
		if seen[c.Quantity] {
			t.Errorf("%s: two checks of one name", c.Quantity)
		}
		seen[c.Quantity] = true
		diff := math.Abs(c.Got - c.Want)
		switch {
		case c.Kind == Slip && !(diff > c.Tol):
			t.Errorf("%s: got %v %s, the published slip %v (%s)", c.Quantity, c.Got, c.Unit, c.Want, c.Source)
		case c.Kind != Slip && !(diff <= c.Tol):
			t.Errorf("%s: got %v, want %v +- %v %s (%s)", c.Quantity, c.Got, c.Want, c.Tol, c.Unit, c.Source)
		}
	}
	page(t, pkg, checks)
}

var header = []string{"package", "test", "quantity", "value", "tolerance", "unit", "kind", "source"}

// page compares the rows of this test with the page, or rewrites them.
func page(t *testing.T, pkg string, checks []Check) {
	t.Helper()
	path := filepath.Join(moduleRoot(t), "testdata", "checks.csv")
	var want [][]string
	for _, c := range checks {
		want = append(want, []string{pkg, t.Name(), c.Quantity, num(c.Want), num(c.Tol), c.Unit, string(c.Kind), c.Source})
	}
	var before, mine, after [][]string
	if f, err := os.Open(path); err == nil {
		rows, err := csv.NewReader(f).ReadAll()
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range rows[1:] {
			switch k := strings.Compare(r[0]+"\x00"+r[1], pkg+"\x00"+t.Name()); {
			case k < 0:
				before = append(before, r)
			case k > 0:
				after = append(after, r)
			default:
				mine = append(mine, r)
			}
		}
	} else if !*update {
		t.Fatal(err)
	}
	if !*update {
		if d := gocmp.Diff(mine, want, gocmp.FilterPath(number, gocmp.Comparer(alike))); d != "" {
			t.Errorf("testdata/checks.csv (-) is not what the checks say (+), run with -update:\n%s", d)
		}
		return
	}
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	w := csv.NewWriter(f)
	rows := slices.Concat(before, want, after)
	slices.SortStableFunc(rows, func(a, b []string) int {
		return cmp.Or(strings.Compare(a[0], b[0]), strings.Compare(a[1], b[1]))
	})
	if err := w.WriteAll(append([][]string{header}, rows...)); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
}

func num(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

// number reports whether a path into the rows leads to the value or the tolerance.
func number(p gocmp.Path) bool {
	i, ok := p.Last().(gocmp.SliceIndex)
	return ok && len(p) == 3 && (i.Key() == 3 || i.Key() == 4)
}

// Golden compares got with the file at path, relative to the package under
// test. With -update it writes the file instead. Numbers of eleven figures and
// more are compared to nine, because processors that fuse a product with a sum or
// keep more digits than a float64 differ in the last ones; all else is compared as
// it stands.
func Golden(t *testing.T, path string, got []byte) {
	t.Helper()
	if *update {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if d := gocmp.Diff(lines(want), lines(got), gocmp.Comparer(alike)); d != "" {
		t.Errorf("%s (-want +got), run with -update if the change is meant:\n%s", path, d)
	}
}

func lines(text []byte) []string { return strings.Split(string(text), "\n") }

var decimal = regexp.MustCompile(`-?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?`)

// alike reports whether two lines differ in nothing but the last figures of long
// numbers.
func alike(a, b string) bool {
	if a == b {
		return true
	}
	if decimal.ReplaceAllString(a, "#") != decimal.ReplaceAllString(b, "#") {
		return false
	}
	x, y := decimal.FindAllString(a, -1), decimal.FindAllString(b, -1)
	for i := range x {
		if x[i] == y[i] {
			continue
		}
		if max(figures(x[i]), figures(y[i])) < 11 {
			return false
		}
		p, err := strconv.ParseFloat(x[i], 64)
		q, err2 := strconv.ParseFloat(y[i], 64)
		if err != nil || err2 != nil || !(math.Abs(p-q) <= 1e-9*max(math.Abs(p), math.Abs(q))) {
			return false
		}
	}
	return true
}

// figures counts the digits of a number without its exponent and leading zeros.
func figures(s string) int {
	mantissa, _, _ := strings.Cut(strings.ToLower(s), "e")
	return len(strings.TrimLeft(strings.NewReplacer(".", "", "-", "").Replace(mantissa), "0"))
}

// moduleRoot walks up to the folder that holds go.mod.
func moduleRoot(t *testing.T) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		up := filepath.Dir(dir)
		if up == dir {
			t.Fatal("no go.mod above the package")
		}
		dir = up
	}
}
