package sludge

import (
	"cmp"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/sludge/geostat"
	"example.org/earthbasin/sludge/internal/fixtures"
	"example.org/earthbasin/sludge/internal/mesh"
	"example.org/earthbasin/units"
)

// mound is the model that the tests of the fixed survey use.
var mound = geostat.Model{Nugget: 0.0025, Sill: 0.01, Range: 22}

// rounded returns n samples of the survey of fixtures.
func rounded(n int) []geostat.Sample {
	at, values := fixtures.Rounded(n)
	list := make([]geostat.Sample, n)
	for i := range list {
		list[i] = geostat.Sample{At: at[i], Value: values[i]}
	}
	return list
}

// roundedPlaces returns the places and the values of rounded(n), written with six
// decimals as in a file.
func roundedPlaces(n int) (places []mesh.XY, z []float64) {
	round := func(v units.Length) float64 { return math.Round(float64(v)*1e6) / 1e6 }
	for _, s := range rounded(n) {
		places, z = append(places, mesh.XY{X: round(s.At.X), Y: round(s.At.Y)}), append(z, round(s.Value))
	}
	return places, z
}

// xys returns places from x, y, x, y and so on.
func xys(list ...float64) []mesh.XY {
	places := make([]mesh.XY, len(list)/2)
	for i := range places {
		places[i] = mesh.XY{X: list[2*i], Y: list[2*i+1]}
	}
	return places
}

func sampleAt(x, y, z float64) geostat.Sample {
	return geostat.Sample{At: at(x, y), Value: units.Length(z)}
}

// fields lists the paths of the faults of err.
func fields(err error) []string {
	var list []string
	for _, f := range units.FieldErrors(err) {
		list = append(list, f.Field)
	}
	return list
}

// table reads samples from a file in testdata at the top of the module.
func table(t testing.TB, name string) []geostat.Sample {
	t.Helper()
	at, values, err := fixtures.Table("../testdata/" + name)
	require.NoError(t, err)
	list := make([]geostat.Sample, len(at))
	for i := range list {
		list[i] = geostat.Sample{At: at[i], Value: values[i]}
	}
	return list
}

func finite(t *testing.T, list ...float64) {
	t.Helper()
	for _, x := range list {
		require.False(t, math.IsNaN(x) || math.IsInf(x, 0), "%v", list)
	}
}

// convexHull returns the corners of the hull, counterclockwise (Andrew's monotone chain).
func convexHull(places []mesh.XY) (hull []mesh.XY) {
	list := slices.Clone(places)
	slices.SortFunc(list, func(a, b mesh.XY) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	for range 2 {
		from := len(hull)
		for _, p := range list {
			for len(hull) >= from+2 && mesh.Orient(hull[len(hull)-2], hull[len(hull)-1], p) <= 0 {
				hull = hull[:len(hull)-1]
			}
			hull = append(hull, p)
		}
		hull = hull[:len(hull)-1]
		slices.Reverse(list)
	}
	return hull
}
