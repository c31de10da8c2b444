package main

import (
	"bytes"
	"encoding/xml"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/plotter"

	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
)

// The views of the library are what the plotters ask for.
var (
	_ plotter.GridXYZ = sludge.GridView{}
	_ plotter.XYer    = units.Series{}
)

func TestPictures(t *testing.T) {
	for _, format := range []string{"png", "svg"} {
		dir := filepath.Join(t.TempDir(), "made")
		var out, errs bytes.Buffer
		require.Zero(t, run([]string{"-out", dir, "-format", format}, &out, &errs), errs.String())
		paths := strings.Fields(out.String())
		require.Len(t, paths, 4)
		entries, err := os.ReadDir(dir)
		require.NoError(t, err)
		require.Len(t, entries, 4, "nothing is left beside the pictures")
		for _, path := range paths {
			data, err := os.ReadFile(path)
			require.NoError(t, err)
			if format == "svg" {
				require.NoError(t, xml.Unmarshal(data, new(struct{})))
				require.NotContains(t, string(data), "NaN")
				continue
			}
			image, err := png.Decode(bytes.NewReader(data))
			require.NoError(t, err)
			colours := map[any]bool{}
			for x := range image.Bounds().Dx() {
				colours[image.At(x, image.Bounds().Dy()/2)] = true
			}
			require.Greater(t, len(colours), 1, "%s is not blank", path)
		}
	}
}

func TestCommandFaults(t *testing.T) {
	var out, errs bytes.Buffer
	require.Equal(t, 2, run([]string{"-format", "bmp"}, &out, &errs))
	require.Equal(t, 2, run([]string{"more"}, &out, &errs))
	require.Equal(t, 2, run([]string{"-no-such-flag"}, &out, &errs))
	require.Equal(t, 0, run([]string{"-h"}, &out, &errs))
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	require.Equal(t, 1, run([]string{"-out", file}, &out, &errs))
	require.Empty(t, out.String())
}
