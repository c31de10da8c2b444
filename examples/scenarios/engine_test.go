package main

import (
	"bytes"
	"context"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"
)

var allowSketch = cmp.AllowUnexported(spread{})

// program runs the command and wants it to end well.
func program(t *testing.T, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	require.Zero(t, run(context.Background(), args, &out, &errs), errs.String())
	require.Empty(t, errs.String(), "quiet when no terminal listens")
	return out.String()
}

// draws is enough for four blocks, the last one not full.
const draws = "13000"

func TestSameBitsForAnyWorkers(t *testing.T) {
	m := ishigami(t)
	for _, s := range []Sampling{SamplingRandom, SamplingLatin} {
		one := finished(t, m, s, 42_000, 1).done.total(m)
		for _, workers := range []int{2, 5} {
			require.Empty(t, cmp.Diff(one, finished(t, m, s, 42_000, workers).done.total(m), allowSketch))
		}
	}
	require.Equal(t, program(t, "-draws", draws, "-workers", "1"), program(t, "-draws", draws, "-workers", "3"))
}

// Blocks may come in any order, as from many machines.
func TestSameBitsInAnyOrder(t *testing.T) {
	m := ishigami(t)
	d, err := newDesign(m, "test", SamplingRandom, 20*blockDraws+1, 7)
	require.NoError(t, err)
	want := finished(t, m, SamplingRandom, d.Draws, 1).done.total(m)
	w, r := newWorker(m, d), rand.New(rand.NewPCG(1, 1))
	for range 5 {
		f := forest{}
		for _, b := range r.Perm(d.blocks()) {
			f.add(spot{0, b}, w.block(b))
		}
		require.LessOrEqual(t, len(f), 3) // 21 = 16 + 4 + 1
		require.Empty(t, cmp.Diff(want, f.total(m), allowSketch))
		require.Empty(t, cmp.Diff(want, f.total(m), allowSketch), "a total leaves the sums alone")
	}
}

func TestShardsMergeToTheBit(t *testing.T) {
	want := program(t, "-draws", draws, "-sampling", "latin")
	for _, n := range []int{2, 3, 6} { // six shards of four blocks: some are empty
		dir := t.TempDir()
		args := []string{"-merge"}
		for _, i := range rand.New(rand.NewPCG(1, 1)).Perm(n) {
			path := filepath.Join(dir, strconv.Itoa(i))
			require.Empty(t, program(t, "-draws", draws, "-sampling", "latin", "-shard", strconv.Itoa(i+1)+"/"+strconv.Itoa(n), "-state", path))
			args = append(args, path)
		}
		require.Equal(t, want, program(t, args...))
	}
}

// A run that is broken off keeps the blocks that are complete, and goes on from
// there without doing them again.
func TestResumeToTheBit(t *testing.T) {
	m := ishigami(t)
	want := finished(t, m, SamplingRandom, 42_000, 1).done.total(m)
	path := filepath.Join(t.TempDir(), "state")
	ctx, stop := context.WithCancel(context.Background())
	var drawn atomic.Int64
	start := m.start
	m.start = func() func(x, y []float64) error {
		draw := start()
		return func(x, y []float64) error {
			if drawn.Add(1) == 3*blockDraws {
				stop()
			}
			return draw(x, y)
		}
	}
	job := func() *job {
		d, err := newDesign(m, "test", SamplingRandom, 42_000, 7)
		require.NoError(t, err)
		j := &job{model: m, design: d, end: d.blocks(), done: forest{}, workers: 2}
		require.NoError(t, j.resume(path))
		return j
	}
	j := job()
	require.ErrorIs(t, j.run(ctx), context.Canceled)
	require.NoError(t, j.write(path))
	kept := j.drawn()
	require.True(t, kept >= 2*blockDraws && kept < 42_000, "%d", kept)

	drawn.Store(0)
	again := job()
	require.Equal(t, kept, again.drawn())
	require.NoError(t, again.run(context.Background()))
	require.Equal(t, 42_000-kept, drawn.Load())
	require.Empty(t, cmp.Diff(want, again.done.total(m), allowSketch))
}

// The command itself: broken off at once it says so and ends with its own status;
// the same command goes on.
func TestInterruptedCommand(t *testing.T) {
	path := filepath.Join(t.TempDir(), "state")
	ended, stop := context.WithCancel(context.Background())
	stop()
	var out, errs bytes.Buffer
	require.Equal(t, statusBroken, run(ended, []string{"-draws", draws, "-state", path}, &out, &errs))
	require.Empty(t, out.String())
	require.Contains(t, errs.String(), "goes on from "+path)
	require.Equal(t, program(t, "-draws", draws), program(t, "-draws", draws, "-state", path))
	require.Equal(t, program(t, "-draws", draws), program(t, "-draws", draws, "-state", path), "a finished state is the answer")

	errs.Reset()
	require.Equal(t, statusBroken, run(ended, []string{"-draws", draws}, &out, &errs))
	require.Contains(t, out.String(), "study,,draws,,0\n")
	require.Contains(t, errs.String(), "the figures are those of 0 of 13000 draws")
}

// A place where a state or an output cannot be written is told before the work, and
// a run that fails leaves the files of the one before as they were.
func TestOutputsAreOpenedFirst(t *testing.T) {
	dir := t.TempDir()
	csv := filepath.Join(dir, "csv")
	require.NoError(t, os.WriteFile(csv, []byte("old"), 0o600))
	for _, args := range [][]string{
		{"-state", "no/such/folder/state"},
		{"-svg", "no/such/folder/svg"},
		{"-csv", "no/such/folder/csv"},
		{"-shard", "1/2", "-state", "no/such/folder/state"},
		{"-csv", csv, "-svg", dir},
	} {
		var out, errs bytes.Buffer
		require.Equal(t, 1, run(context.Background(), append([]string{"-draws", "1000000000000"}, args...), &out, &errs), args)
		require.Empty(t, out.String())
		old, err := os.ReadFile(csv)
		require.NoError(t, err)
		require.Equal(t, "old", string(old))
		entries, err := os.ReadDir(dir)
		require.NoError(t, err)
		require.Len(t, entries, 1, "nothing is left beside")
	}
}

// Memory does not grow with the number of draws: the sums that a run holds are
// counted, and so is what it holds of the heap while it runs.
func TestMemoryIsFlat(t *testing.T) {
	m := ishigami(t)
	live := func(blocks int64) (most uint64, sums int) {
		d, err := newDesign(m, "test", SamplingLatin, blocks*blockDraws, 7)
		require.NoError(t, err)
		j := &job{model: m, design: d, end: d.blocks(), done: forest{}, workers: 2}
		j.progress = func(int64) {
			sums = max(sums, len(j.done))
			if drawn := j.drawn() / blockDraws; drawn%(blocks/4) == 0 {
				var s runtime.MemStats
				runtime.GC()
				runtime.ReadMemStats(&s)
				most = max(most, s.HeapAlloc)
			}
		}
		require.NoError(t, j.run(context.Background()))
		return most, sums
	}
	few, fewSums := live(8)
	many, manySums := live(256)
	require.Less(t, many, few+1<<20, "a megabyte more at most, of 8 million inputs in 32 times the draws")
	require.LessOrEqual(t, fewSums, 3+3)
	require.LessOrEqual(t, manySums, 8+3)
}

func TestWrongStates(t *testing.T) {
	dir := t.TempDir()
	part := func(name, shard string, more ...string) string {
		path := filepath.Join(dir, name)
		program(t, append([]string{"-draws", draws, "-shard", shard, "-state", path}, more...)...)
		return path
	}
	a, b, other := part("a", "1/2"), part("b", "2/2"), part("other", "2/2", "-seed", "9")
	text, err := os.ReadFile(a)
	require.NoError(t, err)
	// As a program with faults of its own would write it: the checksum is right.
	_, body, _ := strings.Cut(string(text), "\n")
	spoil := func(name, old, new string) string {
		path := filepath.Join(dir, name)
		require.Contains(t, body, old)
		wrong := strings.Replace(body, old, new, 1)
		require.NoError(t, os.WriteFile(path, []byte(checksum([]byte(wrong))+wrong), 0o600))
		return path
	}
	old := filepath.Join(dir, "old")
	require.NoError(t, os.WriteFile(old, []byte(body), 0o600))
	for name, c := range map[string]struct {
		args []string
		want string
	}{
		"none":           {[]string{"-merge"}, "arguments: missing"},
		"missing shard":  {[]string{"-merge", a}, "-merge: files without the blocks 2 to 4"},
		"twice":          {[]string{"-merge", a, b, a}, "sums[0]: blocks 0 to 2 again"},
		"other seed":     {[]string{"-merge", a, other}, "other: design: study"},
		"another run":    {[]string{"-draws", draws, "-state", a}, "a: design: study"},
		"no checksum":    {[]string{"-merge", old, b}, "old: line 1: "},
		"other program":  {[]string{"-merge", spoil("program", `"program":"`, `"program":"x`), b}, "program: design.program: "},
		"go on of other": {[]string{"-draws", draws, "-shard", "1/2", "-state", spoil("goon", `"program":"`, `"program":"x`)}, "goon: design: "},
		"unknown key":    {[]string{"-merge", spoil("key", `"first"`, `"from"`), b}, "key: from"},
		"not JSON":       {[]string{"-merge", spoil("json", `{`, `[`), b}, "not JSON"},
		"wrong count":    {[]string{"-merge", spoil("count", `"draws":8192`, `"draws":8191`), b}, "count: sums[0].tally.draws: got 8191"},
		"outside":        {[]string{"-merge", spoil("outside", `"level":1`, `"level":9`), b}, "outside: sums[0].index"},
		"no such level":  {[]string{"-merge", spoil("level", `"level":1`, `"level":99`), b}, "level: sums[0].level"},
		"fewer outputs":  {[]string{"-merge", spoil("outputs", `"outputs":[{`, `"outputs":[],"fault":"","inputs":[],"refused":0,"x":[{`), b}, "outputs:"},
		"shard of what":  {[]string{"-shard", "3/2", "-state", a}, "-shard"},
		"shard text":     {[]string{"-shard", "1/2/3", "-state", a}, "-shard"},
		"shard to where": {[]string{"-shard", "1/2"}, "-state: missing"},
		"merge a shard":  {[]string{"-merge", "-state", a, b}, "-merge: together"},
	} {
		t.Run(name, func(t *testing.T) {
			var out, errs bytes.Buffer
			require.Equal(t, 2, run(context.Background(), c.args, &out, &errs), errs.String())
			require.Contains(t, errs.String(), c.want)
			require.Empty(t, out.String())
		})
	}
	var out, errs bytes.Buffer
	require.Equal(t, 1, run(context.Background(), []string{"-merge", filepath.Join(dir, "nowhere")}, &out, &errs))
}

// Any flipped bit of a state file is found.
func TestFlippedBits(t *testing.T) {
	m := &model{inputs: []input{{name: "x", quantile: func(p float64) float64 { return p }, levels: []float64{0}}}, outputs: []output{{name: "y"}}, centre: []float64{0}}
	m.start = func() func(x, y []float64) error {
		return func(x, y []float64) error { y[0] = x[0]; return nil }
	}
	d, err := newDesign(m, "test", SamplingRandom, 2, 7)
	require.NoError(t, err)
	j := &job{model: m, design: d, end: 1, done: forest{}, workers: 1}
	require.NoError(t, j.run(context.Background()))
	path := filepath.Join(t.TempDir(), "state")
	require.NoError(t, j.write(path))
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	_, err = parseState(path, data, m)
	require.NoError(t, err)
	for i := range data {
		for bit := range 8 {
			data[i] ^= 1 << bit
			_, err := parseState(path, data, m)
			require.Error(t, err, "bit %d of byte %d", bit, i)
			data[i] ^= 1 << bit
		}
	}
}

// Whatever stands in a state file, it is refused or can be added up.
func FuzzState(f *testing.F) {
	m := ishigami(f)
	d, err := newDesign(m, "test", SamplingRandom, 3*blockDraws, 7)
	require.NoError(f, err)
	w := newWorker(m, d)
	j := &job{model: m, design: d, end: d.blocks(), done: forest{}}
	j.done.add(spot{0, 0}, w.block(0))
	j.done.add(spot{0, 2}, w.block(2))
	path := filepath.Join(f.TempDir(), "state")
	require.NoError(f, j.write(path))
	text, err := os.ReadFile(path)
	require.NoError(f, err)
	_, body, _ := bytes.Cut(text, []byte("\n"))
	f.Add(body)
	f.Add([]byte(`{"design":{"study":"","sampling":"latin","draws":9,"seed":0},"first":0,"end":1,"sums":[{"level":40,"index":0}]}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		path := filepath.Join(t.TempDir(), "state")
		require.NoError(t, os.WriteFile(path, append([]byte(checksum(text)), text...), 0o600))
		if merged, err := mergeStates(m, "test", []string{path}); err == nil {
			sum := merged.done.total(m)
			_, err := renderCSV(m, merged.design, sum)
			require.NoError(t, err)
		}
	})
}
