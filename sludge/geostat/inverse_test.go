package geostat

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// TestManyTargets has many targets at once, which go by the inverse, and few, which go by
// the factor: two ways to the same answer, with samples at random, along tracks and
// crowded, on a plane that is long in x or in y or turned. Samples that are next to one without a nugget stay with the factor.
func TestManyTargets(t *testing.T) {
	models := map[string]Model{
		"nugget":      mound,
		"hardly any":  {Nugget: 1e-5, Sill: 0.01, Range: 22},
		"none":        {Sill: 0.01, Range: 15},
		"anisotropic": {Nugget: 0.001, Sill: 0.01, Range: 30, Anisotropy: &Anisotropy{Ratio: 0.4, Azimuth: 30}},
		"short":       {Nugget: 0.001, Sill: 0.01, Range: 2},
	}
	designs := map[string]func(rng *rand.Rand) (x, y float64){
		"random": func(rng *rand.Rand) (float64, float64) { return 120 * rng.Float64(), 80 * rng.Float64() },
		"tall":   func(rng *rand.Rand) (float64, float64) { return 30 * rng.Float64(), 200 * rng.Float64() },
		"tracks": func(rng *rand.Rand) (float64, float64) { return 120 * rng.Float64(), 10 + 20*float64(rng.IntN(4)) },
		"pairs":  pairs(),
		"crowded": func(rng *rand.Rand) (float64, float64) {
			u := rng.Float64()
			return 120 * u * u * u, 80 * rng.Float64()
		},
	}
	for design, place := range designs {
		for name, m := range models {
			t.Run(design+"/"+name, func(t *testing.T) {
				rng := rand.New(rand.NewPCG(1, 1))
				spec := KrigingSpec{Model: m, Average: true}
				for range 300 {
					x, y := place(rng)
					spec.Samples = append(spec.Samples, Sample{plane.Point{X: units.Length(x), Y: units.Length(y)}, units.Length(1 + 0.1*rng.NormFloat64())})
				}
				k := mustKriging(t, spec)
				points := []plane.Point{spec.Samples[7].At, {X: 1e4, Y: -1e4}}
				for range 900 {
					x, y := place(rng)
					points = append(points, plane.Point{X: units.Length(x + 3*rng.NormFloat64()), Y: units.Length(y + 3*rng.NormFloat64())})
				}
				many, err := k.Estimates(context.Background(), points, 1)
				require.NoError(t, err)
				three, err := k.Estimates(context.Background(), points, 3)
				require.NoError(t, err)
				require.Equal(t, many, three)
				for from := 0; from < len(points); from += 100 {
					few, err := k.Estimates(context.Background(), points[from:min(from+100, len(points))], 1)
					require.NoError(t, err)
					for i, e := range few {
						m := many[from+i]
						require.InDelta(t, float64(e.Value), float64(m.Value), 1e-12)
						require.InDelta(t, float64(e.SD*e.SD), float64(m.SD*m.SD), 1e-12)
					}
				}
				require.Equal(t, design != "pairs" || m.Nugget > 0, k.usesInverse(len(points)))
				require.False(t, k.usesInverse(300)) // for which it is more work
			})
		}
	}
}

// pairs returns places of which every second is as good as that before it.
func pairs() func(rng *rand.Rand) (x, y float64) {
	var x, y float64
	second := true
	return func(rng *rand.Rand) (float64, float64) {
		if second = !second; second {
			return x + 1e-7, y
		}
		x, y = 120*rng.Float64(), 80*rng.Float64()
		return x, y
	}
}
