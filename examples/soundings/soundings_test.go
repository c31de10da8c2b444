package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
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
	require.Contains(t, out.String(), "block kriging")
	require.Contains(t, out.String(), "standard deviation once it is taken")
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
	require.Zero(t, run([]string{"-in", in, "-boundary", edge, "-floor", "9 ft", "-geojson", picture}, &out, &bad), bad.String())
	require.Contains(t, out.String(), "soundings over an assumed floor  3")
	require.Contains(t, out.String(), "widest gap now", "too few for a model")
	text, err := os.ReadFile(picture)
	require.NoError(t, err)
	require.True(t, json.Valid(text))
	require.Equal(t, 2, run([]string{"-in", in, "-boundary", edge}, &out, &bad), "no floor")
	require.Contains(t, bad.String(), "soundings[0].toFloor")
}

func TestFaultsNameLineAndColumn(t *testing.T) {
	_, _, err := read([]byte("x (ft),y (ft),toSludge (ft),toFloor\n1,2,3\n1,2,deep,7\n,2,3,7 ft\n"), []byte("x (ft),y (ft),x\n"))
	require.ErrorContains(t, err, "boundary line 1")
	require.ErrorContains(t, err, "soundings line 2")
	_, _, err = read([]byte("x (ft),y (ft),toSludge (ft),toFloor\n1,2,deep,7\n,2,3,7 ft\n"), []byte("x (ft),y (ft)\n0,0\n9,0\n9,9\n"))
	var at []string
	for _, f := range units.FieldErrors(err) {
		at = append(at, f.Field)
	}
	require.Equal(t, []string{"soundings line 3, x", "soundings line 2, toSludge", "soundings line 2, toFloor"}, at)
	_, _, err = read([]byte("lon,lat,thickness (in)\n1,2,3\n200,2,3\n1,91,3\n"), []byte("lon,lat\n1,2\n1.001,2\n1.001,2.001\n"))
	at = nil
	for _, f := range units.FieldErrors(err) {
		at = append(at, f.Field)
	}
	require.Equal(t, []string{"soundings line 3.lon", "soundings line 4.lat"}, at)
	_, _, err = read(demoSoundings, []byte("lon,lat\n1,2\n"))
	require.ErrorContains(t, err, "both files")
	_, _, err = read(nil, nil)
	require.Error(t, err)
}

func FuzzRead(f *testing.F) {
	f.Add(demoSoundings, demoBoundary)
	f.Add([]byte("lon,lat,thickness (in)\n1,2,3\n"), []byte("lon,lat\n1,2\n"))
	f.Fuzz(func(t *testing.T, soundings, boundary []byte) {
		spec, _, err := read(soundings, boundary)
		if err != nil || len(spec.Boundary) > 500 {
			return
		}
		if s, err := sludge.NewSurvey(spec); err == nil {
			require.Positive(t, float64(s.Area()))
		}
	})
}
