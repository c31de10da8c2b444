package evidence

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"testing"

	"example.org/earthbasin/units"
)

// kept holds the workings of the tests that asked for them, by name.
var kept = map[string]*bytes.Buffer{}

// KeepWorkings compares the results that [Bounded] and [RoundTrip] work out in this
// test with a golden file: the working as it is printed, in US and in metric units, and
// the result as JSON. So no figure, word or unit of a result changes unnoticed.
func KeepWorkings(t *testing.T, path string) {
	t.Helper()
	kept[t.Name()] = new(bytes.Buffer)
	t.Cleanup(func() {
		Golden(t, path, kept[t.Name()].Bytes())
		delete(kept, t.Name())
	})
}

// keep writes a result down where the test asked for it.
func keep(t *testing.T, spec string, r any) {
	t.Helper()
	b := kept[t.Name()]
	if b == nil {
		return
	}
	text, err := json.MarshalIndent(r, "", " ")
	if err != nil {
		t.Error(err)
	}
	fmt.Fprintf(b, "%T of %s\n\n", r, spec)
	if w, ok := r.(interface{ Working() units.Working }); ok {
		fmt.Fprintf(b, "%v\n%s\n", r, units.Style{System: units.SystemMetric}.Working(w.Working()))
	}
	fmt.Fprintf(b, "%s\n\n", decimal.ReplaceAllFunc(text, sixFigures))
}

// sixFigures rounds a number, so that the last digits, which differ from processor to
// processor, and what is 0 but for rounding do not count.
func sixFigures(number []byte) []byte {
	if !bytes.ContainsAny(number, ".eE") {
		return number
	}
	x, err := strconv.ParseFloat(string(number), 64)
	if err != nil || math.Abs(x) < 1e-12 {
		x = 0
	}
	return strconv.AppendFloat(nil, x, 'g', 6, 64)
}
