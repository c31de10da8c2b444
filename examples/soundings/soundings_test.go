package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
)

func TestDemo(t *testing.T) {
	var out, bad bytes.Buffer
	require.Zero(t, run(nil, &out, &bad), bad.String())
	require.Contains(t, out.String(), "soundings in use")
	require.Contains(t, out.String(), "95 % interval")
	require.Contains(t, out.String(), "floor with banks of")
	require.Contains(t, out.String(), "interval narrower by")
}

func write(t *testing.T, name, text string) string {
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	return path
}

// Sonar: longitude, latitude and the sludge top, over a floor from drawings.
func TestSonar(t *testing.T) {
	edge := write(t, "edge.csv", "lon,lat\n-95.5010,41.2500\n-95.5000,41.2500\n-95.5000,41.2508\n-95.5010,41.2508\n")
	in := write(t, "in.csv", "\ufefflon,lat,toSludge\n-95.5008,41.2502,1.5 m\n-95.5002,41.2502,1.4 m\n-95.5005,41.2506,\"5 ft 3 in\"\n")
	picture := filepath.Join(t.TempDir(), "map.json")
	var out, bad bytes.Buffer
	require.Zero(t, run([]string{"-in", in, "-boundary", edge, "-floor", "9 ft", "-geojson", picture, "-contours", "3 in"}, &out, &bad), bad.String())
	require.Contains(t, out.String(), "soundings over an assumed floor  3")
	require.Contains(t, out.String(), "bracket of the hypotheses", "three places, and no word of the sides")
	text, err := os.ReadFile(picture)
	require.NoError(t, err)
	require.True(t, json.Valid(text))
	require.Equal(t, 2, run([]string{"-in", in, "-boundary", edge}, &out, &bad), "no floor")
	require.Contains(t, bad.String(), "in.csv line 1, toFloor")
}

// read reads a survey from texts.
func read(soundings, boundary []byte) (*input, error) {
	return files{soundings, boundary, "in.csv", "edge.csv"}.read(sludge.SurveySpec{}, 0, 0)
}

func fields(err error) (at []string) {
	for _, f := range units.FieldErrors(err) {
		at = append(at, f.Field)
	}
	return at
}

func TestFaultsNameLineAndColumn(t *testing.T) {
	_, err := read([]byte("x (ft),y (ft),toSludge (ft),toFloor\n1,2,3\n1,2,deep,7\n,2,3,7 ft\n"), []byte("x (ft),y (ft),x\n"))
	require.Equal(t, []string{"edge.csv line 1", "in.csv line 2"}, fields(err))
	_, err = read([]byte("x (ft),y (ft),To sludge (ft),toFloor\n1,2,deep,7\n,2,3,7 ft\n"), []byte("x (ft),y (ft)\n0,0\n9,0\n9,9\n"))
	require.Equal(t, []string{"in.csv line 3, x", "in.csv line 2, To sludge", "in.csv line 2, toFloor"}, fields(err))
	_, err = read([]byte("lon,lat,thickness (in)\n1,2,3\n200,2,3\n1,91,3\n"), []byte("lon,lat\n1,2\n1.001,2\n1.001,2.001\n"))
	require.Equal(t, []string{"in.csv line 3, lon", "in.csv line 4, lat"}, fields(err))
	_, err = read(demoSoundings, []byte("lon,lat\n1,2\n"))
	require.ErrorContains(t, err, "both files")
	_, err = read(nil, nil)
	require.Error(t, err)
}

// What only the library finds is told by the lines of the files, too, and what the
// flags decide by the flag.
func TestFaultsOfTheLibraryNameLines(t *testing.T) {
	const square = "x (ft),y (ft)\n# the north end\n0,0\n90,0\n90,90\n0,90\n"
	for name, c := range map[string]struct {
		in, edge string
		args     []string
		want     string
	}{
		"one place twice":  {"x (ft),y (ft),thickness (ft)\n10,10,3\n# again\n10,10,4\n", square, nil, "a place of its own, not that of in.csv line 2, or duplicates by mean"},
		"outside":          {"x (ft),y (ft),thickness (ft)\n10,10,3\n10,100,4\n", square, nil, "in.csv line 3: "},
		"below the floor":  {"x (ft),y (ft),toSludge (ft),To Floor (ft)\n10,10,5,6\n20,20,5,4\n", square, nil, "in.csv line 3, To Floor: "},
		"crossing":         {"x (ft),y (ft),thickness (ft)\n10,10,3\n", "x (ft),y (ft)\n0,0\n90,90\n90,0\n0,90\n", nil, "edge.csv line 4: "},
		"crossing of what": {"x (ft),y (ft),thickness (ft)\n10,10,3\n", "x (ft),y (ft)\n0,0\n90,90\n90,0\n0,90\n", nil, "the edge from edge.csv line 2"},
		"island":           {"x (ft),y (ft),thickness (ft)\n10,10,3\n", "ring,x (ft),y (ft)\n,0,0\n,90,0\n,90,90\n,0,90\nrock,80,80\nrock,99,80\nrock,80,99\n", nil, "edge.csv line 6: "},
		"confidence":       {"x (ft),y (ft),thickness (ft)\n10,10,3\n", square, []string{"-confidence", "95"}, "-confidence: "},
		"next":             {"x (ft),y (ft),thickness (ft)\n10,10,3\n", square, []string{"-next", "0"}, "-next: "},
		"no floor":         {"x (ft),y (ft),toSludge (ft)\n10,10,3\n", square, nil, "in.csv line 1, toFloor: "},
		"map of x and y":   {"x (ft),y (ft),thickness (ft)\n10,10,3\n", square, []string{"-geojson", "no/such/map"}, "-geojson: "},
	} {
		t.Run(name, func(t *testing.T) {
			t.Chdir(t.TempDir())
			require.NoError(t, os.WriteFile("in.csv", []byte(c.in), 0o600))
			require.NoError(t, os.WriteFile("edge.csv", []byte(c.edge), 0o600))
			var out, bad bytes.Buffer
			require.Equal(t, 2, run(append([]string{"-in", "in.csv", "-boundary", "edge.csv"}, c.args...), &out, &bad))
			require.Contains(t, bad.String(), c.want)
			require.NotContains(t, bad.String(), "soundings[")
			require.Empty(t, out.String())
		})
	}
}

// An island holds no sludge.
func TestIslands(t *testing.T) {
	in, err := read([]byte("x (ft),y (ft),thickness (ft)\n10,10,3\n"),
		[]byte("ring;x (ft);y (ft)\nedge;0;0\nedge;90;0\nedge;90;90\nedge;0;90\nrock;70;70\nrock;80;70\nrock;80;80\nrock;70;80\n"))
	require.NoError(t, err)
	survey, err := sludge.NewSurvey(context.Background(), in.spec)
	require.NoError(t, err)
	require.InDelta(t, 90*90-10*10, survey.Area().In(units.SquareFoot), 1e-9)
}

// A sonar track of 200,000 pings, of which some fall on one place, over a floor from
// drawings: refused with the lines, or merged by a flag, and never taken as places at
// random.
func TestManyPings(t *testing.T) {
	const n = 200_000
	var b strings.Builder
	b.WriteString("x (m);y (m);Depth to sludge\n")
	for i := range n {
		line, along := i/(n/40), i%(n/40)
		if i%10_000 == 9_999 {
			along-- // the boat stood still
		}
		fmt.Fprintf(&b, "%.3f;%.2f;%.3f m\n", 1+98*float64(along)/(n/40), 1+58*float64(line)/39, 2+math.Sin(float64(along)/700)/3)
	}
	edge := write(t, "edge.csv", "x (m),y (m)\n0,0\n100,0\n100,60\n0,60\n")
	in := write(t, "in.csv", strings.Replace(b.String(), "Depth to sludge", "toSludge", 1))
	var out, bad bytes.Buffer
	require.Equal(t, 2, run([]string{"-in", in, "-boundary", edge, "-floor", "3 m"}, &out, &bad))
	require.Contains(t, bad.String(), "in.csv line 10001: ")
	require.Equal(t, 1+20, strings.Count(bad.String(), "\n"), bad.String())
	require.Zero(t, run([]string{"-in", in, "-boundary", edge, "-floor", "3 m", "-duplicates", "mean"}, &out, &bad), bad.String())
	require.Regexp(t, `soundings merged into another +20 `, out.String())
	require.Contains(t, out.String(), "were thinned to")
}

func FuzzRead(f *testing.F) {
	f.Add(demoSoundings, demoBoundary)
	f.Add([]byte("lon,lat,thickness (in)\n1,2,3\n"), []byte("lon,lat\n1,2\n"))
	f.Fuzz(func(t *testing.T, soundings, boundary []byte) {
		in, err := read(soundings, boundary)
		if err != nil || len(in.spec.Boundary) > 500 {
			return
		}
		s, err := sludge.NewSurvey(context.Background(), in.spec)
		if err != nil {
			require.Error(t, in.cite(err))
			return
		}
		require.Positive(t, float64(s.Area()))
	})
}

// What a track shares makes the volume less sure, and the more so the fewer tracks.
func TestTracks(t *testing.T) {
	edge := write(t, "edge.csv", "x (m),y (m)\n0,0\n100,0\n100,60\n0,60\n")
	deviation := func(name func(line int) string) float64 {
		var b strings.Builder
		b.WriteString("x (m),y (m),thickness (m),track\n")
		for i := range 24 {
			line, along := i/6, i%6
			fmt.Fprintf(&b, "%d,%d,%.2f,%s\n", 10+16*along, 8+15*line, 1+0.1*math.Sin(float64(i)), name(line))
		}
		in := write(t, "in.csv", b.String())
		var out, bad bytes.Buffer
		require.Zero(t, run([]string{"-in", in, "-boundary", edge, "-sides", "vertical", "-shared", "0.1 m"}, &out, &bad), bad.String())
		_, rest, ok := strings.Cut(out.String(), "standard deviation")
		require.True(t, ok, out.String())
		number, _, _ := strings.Cut(strings.TrimSpace(rest), " gal")
		sd, err := strconv.ParseFloat(strings.ReplaceAll(number, ",", ""), 64)
		require.NoError(t, err, number)
		return sd
	}
	one := deviation(func(int) string { return "the only one" })
	four := deviation(func(line int) string { return fmt.Sprintf("track %d", line) })
	require.Greater(t, one, 1.5*four)
}
