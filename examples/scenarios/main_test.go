package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"math/rand/v2"
	"os"
	"os/signal"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/doubt"
	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/scenarios/study"
	"example.org/earthbasin/units/evidence"
)

// program runs the command and wants it to end well.
func program(t *testing.T, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	require.Zero(t, run(context.Background(), append([]string{"-knowing", "0"}, args...), &out, &errs), errs.String())
	require.Empty(t, errs.String(), "quiet when no terminal listens")
	return out.String()
}

// draws is enough for a few blocks, the last one not full, of a study of one price.
const draws = "2100"

// small writes a study that takes little time.
func small(t *testing.T) string {
	path := filepath.Join(t.TempDir(), "study.json")
	require.NoError(t, os.WriteFile(path, []byte(`{"title": "A price", "inputs": [
		{"path": "closing.prices.import.likely", "kind": "triangular", "low": "6 per yd3", "mode": "7.5 per yd3", "high": "11 per yd3", "levels": ["6 per yd3", "9 per yd3"]}]}`), 0o600))
	return path
}

// The text of the demo, with figures of three digits: processors that fuse a product
// with a sum differ in the last ones, and a load more or less moves the next.
func TestGolden(t *testing.T) {
	var out, errs bytes.Buffer
	require.Zero(t, run(context.Background(), []string{"-draws", "100", "-sampling", "latin", "-knowing", "100"}, &out, &errs), errs.String())
	require.Empty(t, errs.String())
	evidence.Golden(t, "testdata/demo.text", out.Bytes())
}

func TestShardsMergeToTheBit(t *testing.T) {
	small := small(t)
	dir := t.TempDir()
	csv := filepath.Join(dir, "csv")
	figures := func(args ...string) string {
		program(t, append([]string{"-study", small, "-csv", csv}, args...)...)
		text, err := os.ReadFile(csv)
		require.NoError(t, err)
		return string(text)
	}
	want := figures("-draws", draws, "-sampling", "latin", "-workers", "1")
	require.Equal(t, want, figures("-draws", draws, "-sampling", "latin", "-workers", "3"))
	var states []string
	for _, i := range rand.New(rand.NewPCG(1, 1)).Perm(3) { // three shards of two blocks: one is empty
		path := filepath.Join(dir, strconv.Itoa(i))
		require.Empty(t, program(t, "-study", small, "-draws", draws, "-sampling", "latin", "-shard", strconv.Itoa(i+1)+"/3", "-state", path))
		states = append(states, path)
	}
	require.Equal(t, want, figures(append([]string{"-merge"}, states...)...))

	// A finished state is the answer; one that was interrupted goes on.
	whole := filepath.Join(dir, "whole")
	ended, stop := signal.NotifyContext(context.Background(), os.Interrupt) // as main has it
	defer stop()
	self, err := os.FindProcess(os.Getpid())
	require.NoError(t, err)
	require.NoError(t, self.Signal(os.Interrupt))
	<-ended.Done()
	var out, errs bytes.Buffer
	require.Equal(t, statusBroken, run(ended, []string{"-study", small, "-draws", draws, "-sampling", "latin", "-state", whole}, &out, &errs))
	require.Empty(t, out.String())
	require.Contains(t, errs.String(), "goes on from "+whole)
	require.Equal(t, want, figures("-draws", draws, "-sampling", "latin", "-state", whole))
	require.Equal(t, want, figures("-draws", draws, "-sampling", "latin", "-state", whole))
	errs.Reset()
	require.Equal(t, statusBroken, run(ended, []string{"-study", small, "-draws", draws}, &out, &errs))
	require.Contains(t, errs.String(), "the figures are those of 0 of 2100 draws")

	for name, c := range map[string]struct {
		args []string
		want string
	}{
		"none":          {[]string{"-merge"}, "arguments: missing"},
		"missing shard": {[]string{"-study", small, "-merge", states[0]}, "states: without the blocks"},
		"twice":         {append(append([]string{"-study", small, "-merge"}, states...), states...), "again"},
		"other study":   {append([]string{"-merge"}, states...), states[0] + ": id: "},
		"another run":   {[]string{"-study", small, "-draws", draws, "-state", states[0]}, states[0] + ": design: "},
		"no state":      {[]string{"-study", small, "-merge", small}, small + ": line 1: "},
		"shard of what": {[]string{"-shard", "3/2", "-state", "x"}, "-shard"},
		"shard text":    {[]string{"-shard", "1/2/3", "-state", "x"}, "-shard"},
		"shard where":   {[]string{"-shard", "1/2"}, "-state: missing"},
		"merge a shard": {[]string{"-merge", "-state", "a", "b"}, "-merge: together"},
		"rows again":    {[]string{"-study", small, "-draws", draws, "-sampling", "latin", "-state", whole, "-rows", filepath.Join(dir, "rows")}, "-rows: "},
	} {
		t.Run(name, func(t *testing.T) {
			var out, errs bytes.Buffer
			require.Equal(t, 2, run(context.Background(), c.args, &out, &errs), errs.String())
			require.Contains(t, errs.String(), c.want)
			require.Empty(t, out.String())
		})
	}
	require.Equal(t, 1, run(context.Background(), []string{"-merge", filepath.Join(dir, "nowhere")}, &out, &errs))
}

// A place where a state or an output cannot be written is told before the work, and
// a run that fails leaves the files of the one before as they were.
func TestOutputsAreOpenedFirst(t *testing.T) {
	small, dir := small(t), t.TempDir()
	csv := filepath.Join(dir, "csv")
	require.NoError(t, os.WriteFile(csv, []byte("old"), 0o600))
	for _, args := range [][]string{
		{"-state", "no/such/folder/state"},
		{"-svg", "no/such/folder/svg"},
		{"-rows", "no/such/folder/rows"},
		{"-csv", "no/such/folder/csv"},
		{"-shard", "1/2", "-state", "no/such/folder/state"},
		{"-csv", csv, "-svg", dir},
	} {
		var out, errs bytes.Buffer
		require.Equal(t, 1, run(context.Background(), append([]string{"-study", small, "-draws", "1000000000000"}, args...), &out, &errs), args)
		require.Empty(t, out.String())
		old, err := os.ReadFile(csv)
		require.NoError(t, err)
		require.Equal(t, "old", string(old))
		entries, err := os.ReadDir(dir)
		require.NoError(t, err)
		require.Len(t, entries, 1, "nothing is left beside")
	}
}

func TestOutputFiles(t *testing.T) {
	small, dir := small(t), t.TempDir()
	figures, rows, svg := filepath.Join(dir, "csv"), filepath.Join(dir, "rows"), filepath.Join(dir, "svg")
	for _, s := range []string{"latin", "halton", "factorial", "indices", "screen"} {
		program(t, "-study", small, "-draws", "40", "-sampling", s, "-csv", figures, "-rows", rows, "-svg", svg)
		text, err := os.ReadFile(figures)
		require.NoError(t, err)
		require.True(t, strings.HasPrefix(string(text), "output,unit,figure,input,value\nstudy,,draws,,"))
		require.NotContains(t, string(text), "NaN")
		file, err := os.Open(rows)
		require.NoError(t, err)
		list, err := csv.NewReader(file).ReadAll()
		require.NoError(t, err)
		require.NoError(t, file.Close())
		want := map[string]int{"latin": 40, "halton": 40, "factorial": 2, "indices": 120, "screen": 80}[s]
		require.Len(t, list, 1+want, s)
		require.Equal(t, []string{"draw", "closing.prices.import.likely", "cost"}, list[0][:3])
		picture, err := os.ReadFile(svg)
		require.NoError(t, err)
		require.NoError(t, xml.Unmarshal(picture, new(struct{})))
		require.NotContains(t, string(picture), "NaN")
	}
}

func TestCommandFaults(t *testing.T) {
	small := small(t)
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"-study", small, "-draws", "1"}, "draws: got 1"},
		{[]string{"-study", small, "-workers", "0"}, "-workers: got 0"},
		{[]string{"-study", small, "more"}, "arguments: "},
		{[]string{"-sampling", "guess"}, "one of random, latin, halton, factorial, indices, screen"},
		{[]string{"-no-such-flag"}, "not defined"},
		{[]string{"-study", "/dev/null"}, "not JSON"},
		{[]string{"-scenario", "/dev/null"}, "not JSON"},
	} {
		var out, errs bytes.Buffer
		require.Equal(t, 2, run(context.Background(), c.args, &out, &errs), c.args)
		require.Contains(t, errs.String(), c.want)
	}
	var out, errs bytes.Buffer
	require.Equal(t, 0, run(context.Background(), []string{"-h"}, &out, &errs))
	require.Equal(t, 1, run(context.Background(), []string{"-study", "no such file"}, &out, &errs))
}

var demoScenario plan.Scenario

// Whatever stands in a short study file, it is refused or can be drawn.
func FuzzStudy(f *testing.F) {
	p, err := plan.Read(f.Context(), plan.Demo())
	require.NoError(f, err)
	demoScenario = p.Scenario
	demo, err := json.Marshal(p.Scenario.Doubt.Spec)
	require.NoError(f, err)
	f.Add(demo)
	f.Add([]byte(`{"inputs":[{"path":"basin.liquidDepth","kind":"normal","mean":"1e300 ft","sd":"1e-300 ft"}]}`))
	f.Add([]byte(`{"inputs":[{"path":"materials[*].reports[*].p2o5","kind":"lognormal","mean":"30 lb/1000 gal","sd":"3 lb/1000 gal","levels":[]}]}`))
	f.Add([]byte(`{"inputs":[{"path":"materials[1].machine","kind":"list","values":["tank spreader","drag hose"]}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		spec, err := study.ReadSpec(data)
		if err != nil || len(spec.Inputs) > 3 {
			return
		}
		s, err := doubt.New(t.Context(), demoScenario, spec, "fuzz")
		if err != nil {
			return
		}
		j, err := s.Start(study.Design{Sampling: study.SamplingLatin, Draws: 4}, study.Part{})
		if err != nil {
			return
		}
		require.NoError(t, j.Run(t.Context(), study.Options{Workers: 1}))
		r := j.Result()
		require.EqualValues(t, 4, r.Draws+r.Refused)
	})
}
