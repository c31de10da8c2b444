// Package evidence helps the tests of the module: it runs the checks against
// published values and compares output with golden files.
package evidence

import (
	"cmp"
	"encoding/csv"
	"flag"
	"fmt"
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

// Exact is the tolerance of whole numbers and of shares that are given as they are
// printed.
const Exact = 1e-9

// Check is one comparison of a computed value with one from outside the
// project. Tol is the largest absolute difference allowed, more than 0, and follows
// from the rounding of the source, which the Source or a comment says.
//
// A Slip is checked from both sides: Want is what the source prints, from which the
// computed value must differ by more than Tol, and Right what is right, which it must
// meet within Tol. [Rights] sets it.
type Check struct {
	Quantity string  // what is compared, with the inputs that tell cases apart
	Got      float64 // computed, in Unit
	Want     float64 // from the source, in Unit
	Tol      float64
	Right    float64 // of a slip, in Unit
	Unit     string
	Source   string // title, publisher, number, year, table or example
	Kind     Kind
}

// Rights sets what is right in place of each slip, by quantity: the value and its
// tolerance. A quantity that no check has is one of its own that fails.
func Rights(checks []Check, right map[string][2]float64) []Check {
	for i, c := range checks {
		if r, ok := right[c.Quantity]; ok && c.Kind == Slip {
			checks[i].Right, checks[i].Tol = r[0], r[1]
			delete(right, c.Quantity)
		}
	}
	for quantity := range right {
		checks = append(checks, Check{Quantity: quantity + ": no such slip", Got: math.NaN(), Kind: Slip})
	}
	return checks
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
		if fault := c.fault(); fault != "" {
			t.Errorf("%s: %s (%s)", c.Quantity, fault, c.Source)
		}
	}
	page(t, pkg, checks)
}

// fault says what is wrong with a check, "" where it holds.
func (c Check) fault() string {
	off := math.Abs(c.Got - c.Want)
	switch {
	case !(c.Tol > 0 && c.Tol <= math.MaxFloat64):
		return fmt.Sprintf("a tolerance of %v: want one above 0", c.Tol)
	case c.Kind != Slip && c.Right != 0:
		return "a right value beside that of the source: want one for a slip only"
	case c.Kind != Slip && !(off <= c.Tol):
		return fmt.Sprintf("got %v, want %v +- %v %s", c.Got, c.Want, c.Tol, c.Unit)
	case c.Kind == Slip && !(off > c.Tol):
		return fmt.Sprintf("got %v %s, the published slip %v", c.Got, c.Unit, c.Want)
	case c.Kind == Slip && !(math.Abs(c.Got-c.Right) <= c.Tol):
		return fmt.Sprintf("got %v, right is %v +- %v %s in place of the published slip %v", c.Got, c.Right, c.Tol, c.Unit, c.Want)
	}
	return ""
}

var header = []string{"package", "test", "quantity", "got", "source value", "tolerance", "right value", "unit", "kind", "source"}

// row is the check on the page. What was got is told to a thousandth of the tolerance.
func (c Check) row(pkg, test string) []string {
	right := ""
	if c.Kind == Slip {
		right = num(c.Right)
	}
	scale := math.Pow(10, max(0, min(15, 3-math.Floor(math.Log10(c.Tol)))))
	got := num(math.Round(c.Got*scale)/scale + 0)
	return []string{pkg, test, c.Quantity, got, num(c.Want), num(c.Tol), right, c.Unit, string(c.Kind), c.Source}
}

// page compares the rows of this test with the page, or rewrites them.
func page(t *testing.T, pkg string, checks []Check) {
	t.Helper()
	path := filepath.Join(moduleRoot(t), "testdata", "checks.csv")
	var want [][]string
	for _, c := range checks {
		want = append(want, c.row(pkg, t.Name()))
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
		if d := gocmp.Diff(mine, want, gocmp.FilterPath(number, gocmp.Comparer(alike)), gocmp.FilterPath(gotten, gocmp.Ignore())); d != "" {
			t.Errorf("testdata/checks.csv (-) is not what the checks say (+), run with -update:\n%s", d)
			return
		}
		for i, c := range checks {
			if x, err := strconv.ParseFloat(mine[i][3], 64); err != nil || !(math.Abs(x-c.Got) <= max(c.Tol/100, 1e-9*math.Abs(c.Got))) {
				t.Errorf("testdata/checks.csv: %s: got %s there and %v here, run with -update if the change is meant", c.Quantity, mine[i][3], c.Got)
			}
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

// number reports whether a path into the rows leads to a number from outside.
func number(p gocmp.Path) bool { return column(p, 4) || column(p, 5) || column(p, 6) }

// gotten reports whether it leads to what was got.
func gotten(p gocmp.Path) bool { return column(p, 3) }

func column(p gocmp.Path, n int) bool {
	i, ok := p.Last().(gocmp.SliceIndex)
	return ok && len(p) == 3 && i.Key() == n
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
