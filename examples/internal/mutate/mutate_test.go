package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// A small module of which some places are held by its test and some are not.
func TestPlacesAndFates(t *testing.T) {
	if testing.Short() {
		t.Skip("builds programs")
	}
	t.Chdir(t.TempDir())
	for name, text := range map[string]string{
		"go.mod": "module toy\n\ngo 1.26\n",
		"toy/toy.go": `package toy

import (
	_ "embed"
	"encoding/json"
	"toy/units"
)

//go:embed rates.json
var data []byte

type table struct {
	Title       string
	Low, High   float64
}

const mostArea = 5

const mostNames = 80

var list []string

// Held is 3 low + 1.
func Held() float64 {
	var t table
	if json.Unmarshal(data, &t) != nil {
		return 0
	}
	return 3*t.Low + 1
}

// check bounds an input.
func check(f *units.Faults, x float64) {
	f.ZeroTo("x", x, 20*mostArea)
	mostSum := x * 50 // read beyond the check
	if x > mostSum {
		f.Positive("x", x-mostSum)
	}
	_ = mostSum
	for range list[:min(len(list), mostNames)] {
		_ = min(x, 70)
	}
	if at := f.At("y"); x < 30 {
		at.Positive("y", x)
	}
	var w units.Working
	w.Add("x", 40)
}

// Loose is held by nothing.
func Loose(x float64) float64 { return x * 7 }
`,
		"units/units.go": `package units

type Faults struct{}

func (f *Faults) ZeroTo(field string, x, hi float64) {}
func (f *Faults) Positive(field string, x float64) {}
func (f *Faults) At(field string) Faults { return Faults{} }

type Working struct{}

func (w *Working) Add(field string, x float64) {}
`,
		"toy/rates.json": `{"Title": "table 12", "Low": 2.5, "High": 4}`,
		"toy/toy_test.go": `package toy

import "testing"

func TestHeld(t *testing.T) {
	if Held() != 8.5 {
		t.Fatal("8.5")
	}
}
`,
	} {
		require.NoError(t, os.MkdirAll(filepath.Dir(name), 0o755))
		require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
	}
	t.Setenv("GOFLAGS", "")
	all, err := places("toy")
	require.NoError(t, err)
	var list []string
	at := map[string]place{}
	for _, p := range all {
		key := p.kind + " " + p.old + " " + p.new
		at[key] = p
		list = append(list, key)
	}
	require.ElementsMatch(t, []string{"cell 2.5 3.0", "cell 4 5", "bound 5 6", "bound 20 24", "bound < <=", "bound * /", "bound 30 36", "number 40 48", "bound 80 96", "operator min max", "number 70 84", "bound > >=", "bound - +", "number 50 60", "operator * /", "field Low High", "number 0 1", "number 3 4", "operator * /", "number 1 2", "operator + -", "operator != ==", "operator * /", "number 7 8"}, list)
	// Places that an earlier run told are drawn again, and no others.
	earlier := options{kinds: allKinds, sample: 1, again: at["number 7 8"].String() + "\n" + at["cell 4 5"].String() + "\n"}
	require.Equal(t, []place{at["cell 4 5"], at["number 7 8"]}, earlier.draw(all))
	o := options{timeout: time.Minute}
	b, err := o.newBench("toy", t.TempDir(), all)
	require.NoError(t, err)
	require.Contains(t, b.numbers, at["number 7 8"])
	require.NotContains(t, b.numbers, at["bound 5 6"], "of a constant")
	for key, want := range map[string]fate{"cell 2.5 3.0": noticed, "cell 4 5": survived, "number 7 8": survived, "number 3 4": noticed, "operator + -": noticed,
		"operator != ==": noticed, "field Low High": noticed, "bound 5 6": survived} {
		got, err := b.try(at[key])
		require.NoError(t, err)
		require.Equal(t, want, got, key)
	}
	broken := at["number 7 8"]
	broken.new = `"x"`
	got, err := b.try(broken)
	require.NoError(t, err)
	require.Equal(t, notBuilt, got)
}

// A cell of another length is altered within the length of the file.
func TestSameLength(t *testing.T) {
	text := "{\n  \"a\": 9,\n  \"b\": [1, 20]\n}\n"
	for _, c := range []struct{ old, new, want string }{
		{"9", "11", "{\n \"a\": 11,\n  \"b\": [1, 20]\n}\n"},
		{"20", "2", "{\n  \"a\": 9,\n  \"b\": [1, 2]\n}\n "},
		{"9", "123456", text},
	} {
		got := sameLength([]byte(text), place{at: strings.Index(text, c.old), old: c.old, new: c.new})
		require.Equal(t, c.want, string(got))
	}
}

// What no test could notice is told by rule, and what looks like it is not.
func TestEquivalent(t *testing.T) {
	name := filepath.Join(t.TempDir(), "toy.go")
	require.NoError(t, os.WriteFile(name, []byte(`package toy

const slack = 1e-9

func ok(x float64) (float64, bool) {
	if x == 10 {
		return 11, false // 11
	}
	return 12, true
}

func pair(x float64) (inside, edge bool) { return true, false }

func reads(x float64) (v float64, rest, want string) {
	if x == 49 {
		return 50, "", "a number" // 50
	}
	if want = words(x); want != "" {
		return 51, "", want // 51
	}
	return 52, "", ""
}

func fails(x float64) (float64, error) {
	v, err := g(x)
	if err != nil {
		return 13, err // 13
	}
	if v > 14+slack { // > +
		return 15, fmt.Errorf("no") // 15
	}
	if v == 54 {
		return 55, ErrOdd // 55
	}
	if v == 56 {
		return 57, lp.ErrUnsolved // 57
	}
	if v == 16 {
		f.Add("x", v, "other")
		return 17, f.Err() // 17
	}
	if f.Err() != nil {
		return 41, f.Err() // 41
	}
	if err != nil || v > 42 {
		return 43, err
	}
	return 18, f.Err()
}

func rest(n int, x float64) {
	list := make([]int, 20, 21*n) // 21 *
	index := make(map[int]int, 22) // 22
	grown := make([]int, 23)
	x = math.Inf(-24) // 24
	_ = math.IsInf(x, 0)
	_ = bySize(named{"in", 31}, named{"ft", 32}) // 31
	if x < 25 { // <
		x = 25
	}
	if x > 26 {
		x = 27
	}
	slices.SortFunc(list, func(a, b int) int {
		if a > b {
			return 33 // 33
		}
		return -34 // 34
	})
	first, last, next := -35, -36, -37 // 35
	if first < 0 && last < 0 && next < 0 {
		_ = last + 38
		next++
	}
	for range 100 { // 100
		if x > 28 {
			return 29
		}
	}
	for range 101 {
		x *= 2
	}
	for i := range 102 {
		if i > 30 {
			break
		}
	}
	for range 103 {
		for range 104 { // 104
			break
		}
	}
	_ = x < 1e-7 // < 1e-7
	_ = x > 44*(1+1e-9) // > 1e-9 +
	x, _ = strconv.ParseFloat("45", 64) // 64
	_ = strconv.FormatFloat(x, 'f', -1, 46) // 1
	_ = strconv.FormatFloat(x, 'f', 2, 64)
	_ = strconv.AppendFloat(nil, x, 'f', -1, 46) // 1
	_ = strconv.AppendFloat(nil, x, 'f', 3, 64)
	_ = 47 * slack // 47
	_ = 48 * x
	_ = x <= 39*(1-slack) // <= -
	_ = x - (40*slack) // 40
	_ = 1.5e-7 + 1e-3
	var _ Mass = 1e-9
	_ = []float64{1e-9}
}
`), 0o644))
	set := token.NewFileSet()
	tree, err := parser.ParseFile(set, name, nil, parser.SkipObjectResolution)
	require.NoError(t, err)
	list := codePlaces(set, []*source{{name: name, tree: tree}}, &types.Info{})
	var got []string
	for _, p := range list {
		if p.unseen {
			got = append(got, p.old)
		}
	}
	require.ElementsMatch(t, []string{"1e-9", "11", "13", ">", "+", "15", "17", "21", "*", "22", "24", "<", "<", "1e-7", "<=", "-", "31", "33", "34", "35", "100", "104", "41", ">", "+", "1e-9", "64", "1", "1", "47", "40", "50", "51", "55", "57"}, got)
}

// What stands for none in what a function returns is any number below 0 where its callers
// ask no more of it.
func TestNoneReturned(t *testing.T) {
	name := filepath.Join(t.TempDir(), "toy.go")
	require.NoError(t, os.WriteFile(name, []byte(`package toy

func first(list []int) int {
	best := -11 // 11
	for i := range list {
		if list[i] > 0 {
			best = i
		}
	}
	return best
}

func shown(list []int) int {
	best := -12
	return best
}

func compared() int {
	best := -13
	if best == 3 {
		best = 4
	}
	return best
}

func Exported() int {
	best := -14
	return best
}

func use(list []int) int {
	a := first(list)
	if a < 0 {
		return 0
	}
	if b := first(list); b >= 0 {
		return list[b]
	}
	c, d, e := 0, 0, 0
	c = shown(list)
	d = compared()
	e = Exported()
	if c < 0 || d < 0 || e < 0 {
		return 1
	}
	return list[a] + shown(list)
}
`), 0o644))
	got := unseenIn(t, name, allKinds...)
	require.Equal(t, []string{"11"}, got)
}

// The length of a list may be asked of one that always has the same, and of no other.
func TestOneLength(t *testing.T) {
	name := filepath.Join(t.TempDir(), "toy.go")
	require.NoError(t, os.WriteFile(name, []byte(`package toy

type rows struct {
	a, b, c []float64
}

type made struct{ d, e []float64 }

type Open struct{ F, G []float64 }

type cut struct{ h, i []float64 }

func (r *rows) add(x float64) {
	r.a, r.b = append(r.a, x), append(r.b, x)
	r.c = append(r.c, x)
}

func of(n int) (m *made, o Open, r rows, p cut) {
	m = &made{d: make([]float64, n), e: make([]float64, n)}
	o = Open{F: make([]float64, n), G: make([]float64, n)}
	p = cut{h: make([]float64, n), i: make([]float64, n)}
	p.h, p.i = p.h[:1], p.i[:1]
	for i := range m.d { // d
		_ = len(m.e) + i // e
	}
	for _, v := range m.d {
		_ = v
	}
	_ = len(o.F) + len(p.h)
	_ = len(r.a) + // a
		len(r.b) + len(r.c)
	return m, o, r, p
}
`), 0o644))
	got := unseenIn(t, name, "field")
	require.Equal(t, []string{"d", "e", "a"}, got) // b would become c, c a
}

// A method of units.Faults that records a fault checks an input, by whatever name; one of
// the same name of another type does not.
func TestBoundCalls(t *testing.T) {
	for _, name := range []string{"Add", "Between", "ZeroOr", "ZeroTo", "NumberZeroTo", "NumberUpTo", "UpTo", "Positive", "Price", "Money", "Count", "Name", "Fault", "Confidence"} {
		require.True(t, boundCalls[name], name)
	}
	for _, name := range []string{"Sub", "At", "Named", "Err", "Len"} {
		require.False(t, boundCalls[name], name)
	}
}

// unseenIn returns what stands at the places of the kinds, in a file of a package of its
// own, that the rules take for not to be noticed.
func unseenIn(t *testing.T, name string, kinds ...string) (got []string) {
	t.Helper()
	set := token.NewFileSet()
	tree, err := parser.ParseFile(set, name, nil, parser.SkipObjectResolution)
	require.NoError(t, err)
	info := newInfo()
	_, err = (&types.Config{}).Check("toy", set, []*ast.File{tree}, info)
	require.NoError(t, err)
	for _, p := range codePlaces(set, []*source{{name: name, tree: tree}}, info) {
		if p.unseen && slices.Contains(kinds, p.kind) {
			got = append(got, p.old)
		}
	}
	return got
}
