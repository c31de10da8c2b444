package main

import (
	"bytes"
	"context"
	"encoding/xml"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/evidence"
)

// The figures of a small study, to nine digits: processors that fuse a product with
// a sum differ in the last ones.
func TestGolden(t *testing.T) {
	figures := regexp.MustCompile(`-?\d+\.\d+(e[-+]\d+)?`).ReplaceAllStringFunc(program(t, "-draws", "200", "-sampling", "latin"), func(s string) string {
		x, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		return strconv.FormatFloat(x, 'g', 9, 64)
	})
	evidence.Golden(t, "testdata/latin.csv", []byte(figures))
}

func TestOutputFiles(t *testing.T) {
	dir := t.TempDir()
	csv, svg := filepath.Join(dir, "csv"), filepath.Join(dir, "svg")
	for _, s := range []string{"latin", "factorial"} {
		require.Empty(t, program(t, "-draws", "5000", "-sampling", s, "-csv", csv, "-svg", svg))
		figures, err := os.ReadFile(csv)
		require.NoError(t, err)
		require.True(t, strings.HasPrefix(string(figures), "output,unit,figure,input,value\nstudy,,draws,,"))
		picture, err := os.ReadFile(svg)
		require.NoError(t, err)
		require.NoError(t, xml.Unmarshal(picture, new(struct{})))
		require.Contains(t, string(picture), "What net worth hangs on")
		require.NotContains(t, string(picture), "NaN")
	}
}

// Every fault of a study is told at once, with its path in the file.
func TestStudyFaults(t *testing.T) {
	text := string(demo)
	for _, change := range [][2]string{
		{`"low": "9.3 ft"`, `"low": "13 ft"`},
		{`"kind": "interval", "low": "2.9 ft"`, `"kind": "interval", "mode": "3 ft", "low": "3.8 ft"`},
		{`"mean": "4.4 lb/1000 gal"`, `"mean": "0.2 lb/1000 gal"`},
		{`"low": "2.3 lb/1000 gal"`, `"low": "2.3 lb/acre"`},
		{`"mode": "1.4 lb/1000 gal"`, `"mode": "2.4 lb/1000 gal"`},
		{`"method": "sprinkler"`, `"method": "pipeline"`},
		{`"mostPerPass": "54000 gal/acre"`, `"mostPerPass": "12 ton/acre"`},
		{`"distance": "0.5 mi"`, `"distance": "-0.5 mi"`},
		{`"sd": 0.1,`, `"sd": -0.1,`},
		{`"high": 1.2, "confidence": 0.95`, `"high": 1.2, "confidence": 95`},
		{`"levels": [ 0.8, 1, 1.2 ]`, `"levels": [ 0.8, 0.7, 12 ]`},
		{`"kind": "fixed", "value": "240 lb/acre"`, `"kind": "fixed"`},
		{`"trucks": 3`, `"trucks": 0`},
		{`"kind": "triangular", "low": "0.42 per lb"`, `"low": "0.42 per lb"`},
		{`"currency": "$"`, `"currency": ""`},
		{`"net worth"`, `"gross worth"`},
	} {
		require.Contains(t, text, change[0])
		text = strings.Replace(text, change[0], change[1], 1)
	}
	path := filepath.Join(t.TempDir(), "study.json")
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	var out, errs bytes.Buffer
	require.Equal(t, 2, run(context.Background(), []string{"-study", path}, &out, &errs))
	require.Empty(t, out.String())
	var got []string
	for _, line := range strings.Split(strings.TrimSpace(errs.String()), "\n")[1:] {
		field, _, _ := strings.Cut(strings.TrimSpace(line), ":")
		got = append(got, field)
	}
	require.ElementsMatch(t, []string{
		"liquidDepth.low", "sludgeDepth.mode", "effluent.tkn.kind", "effluent.ammoniumN.low", "effluent.p2o5.mode",
		"effluent.query.method", "effluent.mostPerPass", "effluent.distance", "effluent.calibration.sd",
		"effluent.calibration.levels[1]", "effluent.calibration.levels[2]", "sludge.calibration.confidence",
		"land.needP2O5.value", "fleet.trucks", "prices.n.kind", "currency", "show[0]",
	}, got, errs.String())
}

func TestCommandFaults(t *testing.T) {
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"-draws", "1"}, "-draws: got 1"},
		{[]string{"-workers", "0"}, "-workers: got 0"},
		{[]string{"more"}, "arguments: "},
		{[]string{"-sampling", "guess"}, "one of random, latin, factorial"},
		{[]string{"-no-such-flag"}, "not defined"},
		{[]string{"-study", "/dev/null"}, "not JSON"},
	} {
		var out, errs bytes.Buffer
		require.Equal(t, 2, run(context.Background(), c.args, &out, &errs), c.args)
		require.Contains(t, errs.String(), c.want)
	}
	var out, errs bytes.Buffer
	require.Equal(t, 0, run(context.Background(), []string{"-h"}, &out, &errs))
	require.Equal(t, 1, run(context.Background(), []string{"-study", "no such file"}, &out, &errs))
	require.Equal(t, 1, run(context.Background(), []string{"-draws", "10", "-csv", "no/such/folder/x"}, &out, &errs))
}

// Draws that the library refuses are counted, told, and left out.
func TestRefusedDraws(t *testing.T) {
	path := filepath.Join(t.TempDir(), "study.json")
	text := strings.Replace(string(demo), `"high": "2.8 lb/1000 gal"`, `"high": "4.8 lb/1000 gal"`, 1)
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	var out, errs bytes.Buffer
	require.Equal(t, 0, run(context.Background(), []string{"-study", path, "-draws", "5000"}, &out, &errs))
	require.Regexp(t, `\d+ of 5000 draws refused, the first one because effluent\.ammoniumN: got`, errs.String())
	require.NotContains(t, out.String(), "study,,refused,,0\n")
}

func TestDistributions(t *testing.T) {
	q := func(v float64) *float64 { return &v }
	for name, c := range map[string]struct {
		d    Dist[float64]
		want [3]float64 // at 0.025, 0.5 and 0.975
	}{
		"fixed":      {Dist[float64]{Kind: KindFixed, Value: q(3)}, [3]float64{3, 3, 3}},
		"uniform":    {Dist[float64]{Kind: KindUniform, Low: q(0), High: q(4)}, [3]float64{0.1, 2, 3.9}},
		"triangular": {Dist[float64]{Kind: KindTriangular, Low: q(0), Mode: q(2), High: q(4)}, [3]float64{math.Sqrt(0.2), 2, 4 - math.Sqrt(0.2)}},
		"normal":     {Dist[float64]{Kind: KindNormal, Mean: q(10), SD: q(1)}, [3]float64{10 - 1.959964, 10, 10 + 1.959964}},
		"interval":   {Dist[float64]{Kind: KindInterval, Low: q(6), High: q(9), Confidence: q(0.95)}, [3]float64{6, 7.5, 9}},
		"cut":        {Dist[float64]{Kind: KindNormal, Mean: q(98), SD: q(0.82)}, [3]float64{96.392830, 98, 99.607170}},
	} {
		t.Run(name, func(t *testing.T) {
			var f units.Faults
			quantile, ok := c.d.law(&f, 0, 100)
			require.NoError(t, f.Err())
			require.True(t, ok)
			for i, p := range []float64{0.025, 0.5, 0.975} {
				require.InDelta(t, c.want[i], quantile(p), 1e-6)
			}
			require.True(t, quantile(0x1p-54) >= 0 && quantile(1-0x1p-53) <= 100)
		})
	}
}

// A draw with the availability at the ends of the set's ranges is the low and the
// high answer of the library, and the land is its land base.
func TestDrawAgainstLibrary(t *testing.T) {
	s, m, err := readStudy(demo)
	require.NoError(t, err)
	x, y := make([]float64, len(m.inputs)), make([]float64, len(m.outputs))
	at := func(name string) float64 {
		for k, o := range m.outputs {
			if o.name == name {
				return y[k]
			}
		}
		t.Fatal(name)
		return 0
	}
	set, err := nutrient.NewSet(s.Sets[0])
	require.NoError(t, err)
	content := func(m Dist[units.Concentration]) nutrient.Content {
		var f units.Faults
		q, _ := m.law(&f, 0, mostContent)
		return nutrient.LiquidContent(units.Concentration(q(0.5)))
	}
	a, err := nutrient.Analyze(nutrient.AnalyzeSpec{Form: nutrient.Liquid, TKN: content(s.Sludge.TKN), AmmoniumN: content(s.Sludge.AmmoniumN), P2O5: content(s.Sludge.P2O5)})
	require.NoError(t, err)
	r, err := nutrient.Available(nutrient.AvailableSpec{Analysis: a, Set: set, Query: s.Sludge.Query, Years: 1})
	require.NoError(t, err)
	for place, want := range []nutrient.Content{r.Years[0].N.Low, r.Years[0].N.High} {
		for i, in := range m.inputs {
			x[i] = in.quantile(0.5)
			if strings.HasSuffix(in.name, ".ammonium") || strings.HasSuffix(in.name, ".organic") {
				x[i] = float64(place)
			}
		}
		require.NoError(t, m.start()(x, y))
		stock := nutrient.LiquidAmount(units.Volume(at("sludge volume")) * 1000 * units.Gallon)
		mass, err := want.Times(stock)
		require.NoError(t, err)
		require.InEpsilon(t, mass.In(units.Pound), at("sludge available N"), 1e-12)
		total := units.Mass(at("sludge available N")+at("effluent available N")) * units.Pound
		need := units.MassPerArea(x[index(m, "land.needN")])
		base, err := nutrient.LandBase(nutrient.LandBaseSpec{Stocks: []nutrient.LandStock{{Name: "N", Mass: total, PerArea: need}}})
		require.NoError(t, err)
		require.InEpsilon(t, base.Area.In(units.Acre), at("land by N"), 1e-12)
	}
}

func index(m *model, name string) int {
	for i, in := range m.inputs {
		if in.name == name {
			return i
		}
	}
	return -1
}

func FuzzStudy(f *testing.F) {
	f.Add(demo)
	f.Add([]byte(`{"basin":{"length":"1e300 ft"},"liquidDepth":{"kind":"normal","mean":"1e300 ft","sd":"1e-300 ft"}}`))
	f.Add([]byte(`{"sludge":{"calibration":{"kind":"interval","low":1,"high":1,"levels":[]}}}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		_, m, err := readStudy(data)
		if err != nil {
			return
		}
		d, err := newDesign(m, "", SamplingLatin, 16, 1)
		if err != nil {
			return
		}
		sum := newWorker(m, d).block(0)
		if sum.Draws+sum.Refused != 16 {
			t.Fatalf("%d draws and %d refused", sum.Draws, sum.Refused)
		}
	})
}
