package sludge

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// sonarMemory bounds, in MB, what a process asks of the operating system that holds a
// million sonar readings on tracks, makes a survey of them and works out its volume
// with an interval: the readings themselves take 110 of them.
const sonarMemory = 400

// TestSonarMemory runs the work in a process of its own, so that nothing else counts.
func TestSonarMemory(t *testing.T) {
	const child = "EARTHBASIN_SONAR_MEMORY"
	if os.Getenv(child) != "" {
		v := sonarVolume(t, 999996)
		require.NotNil(t, v.Interval)
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		fmt.Printf("%s=%d\n", child, m.Sys)
		return
	}
	if testing.Short() {
		t.Skip("a million readings")
	}
	cmd := exec.Command(os.Args[0], "-test.run=^TestSonarMemory$")
	cmd.Env = append(os.Environ(), child+"=1", "GOGC=100", "GOMEMLIMIT=off")
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, "%s", out)
	_, figure, ok := strings.Cut(string(out), child+"=")
	require.True(t, ok, "%s", out)
	figure, _, _ = strings.Cut(figure, "\n")
	bytes, err := strconv.ParseFloat(figure, 64)
	require.NoError(t, err)
	t.Logf("%.0f MB", bytes/1e6)
	require.Less(t, bytes/1e6, float64(sonarMemory))
}

// sonarVolume returns the volume of a banked basin from n readings along six tracks.
func sonarVolume(t testing.TB, n int) VolumeResult {
	c := simCase{field: drawn("spherical"), settled: true}
	z := c.thickness(c.field(rand.New(rand.NewPCG(1, 1))), banked)
	spec := SurveySpec{Boundary: rectangle(0, 0, simLong, simWide), Sides: SidesBanks, Floor: bankedFloor{}, Soundings: make([]Sounding, n)}
	for i := range spec.Soundings {
		track, along := i%6, float64(i/6)
		x, y := 4+(simLong-8)*(along+0.5)/float64(n/6), 4+(simWide-8)*(float64(track)+0.5)/6
		spec.Soundings[i] = core(x, y, max(0, z(x, y)))
		spec.Soundings[i].Track = track
	}
	s, err := NewSurvey(context.Background(), spec)
	require.NoError(t, err)
	spec.Soundings = nil
	v, err := VolumeWithInterval(context.Background(), s, VolumeSpec{Confidence: 0.95})
	require.NoError(t, err)
	return v
}
