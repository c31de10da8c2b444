package allocation

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/evidence"
)

// carriage returns the allocation that is a plain transportation problem: costs
// by material and field as miles at one a mile, limits by amount.
func carriage(costs [][]float64, supply, demand []float64) AllocateSpec {
	s := AllocateSpec{Seasons: []string{"once"}}
	for k, d := range demand {
		f := Field{Name: fmt.Sprint("to ", k), Area: units.Hectare, Distances: map[string]units.Length{},
			Limits: []Limit{{Kind: nutrient.LimitPass, Rate: nutrient.LiquidRate(units.VolumePerArea(d) * units.CubicMetrePerHectare)}}}
		for i := range costs {
			f.Distances[fmt.Sprint("from ", i)] = units.Length(costs[i][k]) * units.Mile
		}
		s.Fields = append(s.Fields, f)
	}
	for i, x := range supply {
		s.Materials = append(s.Materials, Material{Name: fmt.Sprint("from ", i), Stock: nutrient.LiquidAmount(units.Volume(x)),
			Spread: nutrient.LiquidPrice(0), HaulPerMile: nutrient.LiquidPrice(1)})
	}
	return s
}

// splitmix returns the n first numbers, uniform in [0, 1), of the stream with the
// given seed.
func splitmix(seed uint64, n int) []float64 {
	u := make([]float64, n)
	for k := range u {
		s := seed + uint64(k+1)*0x9E3779B97F4A7C15
		s = (s ^ s>>30) * 0xBF58476D1CE4E5B9
		s = (s ^ s>>27) * 0x94D049BB133111EB
		u[k] = float64((s^s>>31)>>11) * 0x1p-53
	}
	return u
}

// drawn returns three sources of 2000 m3, fields of 60 to 200 m3, costs of 1 to
// 10 for each m3.
func drawn(fields int) AllocateSpec {
	costs := make([][]float64, 3)
	for i, u := range splitmix(5, 3*fields) {
		costs[i/fields] = append(costs[i/fields], math.Round((1+9*u)*1e4)/1e4)
	}
	demand := splitmix(6, fields)
	for i, u := range demand {
		demand[i] = math.Round((60+140*u)*1e3) / 1e3
	}
	return carriage(costs, []float64{2000, 2000, 2000}, demand)
}

func TestPublishedAllocations(t *testing.T) {
	var checks []evidence.Check
	add := func(quantity string, s AllocateSpec, want, tol float64, source string, kind evidence.Kind) {
		r, err := allocate(s)
		require.NoError(t, err)
		require.True(t, r.FractionalProved)
		checks = append(checks, evidence.Check{Quantity: quantity, Got: r.Fractional, Want: want, Tol: tol, Unit: "$", Source: source, Kind: kind})
	}
	add("least cost, three power plants, four cities", carriage(
		[][]float64{{8, 6, 10, 9}, {9, 12, 13, 7}, {14, 9, 16, 5}}, []float64{35, 50, 40}, []float64{45, 20, 30, 30}),
		1020, 1e-6, "Operations Research: Applications and Algorithms, chapter on transportation problems, first example", evidence.Memory)
	add("least cost, three canneries, four warehouses", carriage(
		[][]float64{{464, 513, 654, 867}, {352, 416, 690, 791}, {995, 682, 388, 685}}, []float64{75, 125, 100}, []float64{80, 65, 70, 85}),
		152535, 1e-4, "Introduction to Operations Research, chapter on transportation problems, prototype example", evidence.Memory)
	add("least cost, three car plants, two centers", carriage(
		[][]float64{{80, 215}, {100, 108}, {102, 68}}, []float64{1000, 1500, 1200}, []float64{2300, 1400}),
		313200, 1e-4, "Operations Research: An Introduction, chapter on transportation models, first example", evidence.Memory)
	highs := "HiGHS dual simplex through SciPy 1.10.1 linprog, problem drawn in the test"
	add("least cost, 3 drawn sources, 60 fields", drawn(60), 15245.780722, 1e-5, highs, evidence.Reference)
	add("least cost, 3 drawn sources, 600 fields", drawn(600), 6760.2506706, 1e-5, highs, evidence.Reference)
	add("least cost, 5 drawn materials, 200 fields, 3 seasons, carry-over and credits",
		farm(rand.New(rand.NewPCG(1, 1)), 5, 200, 3), 67651.29294, 1e-4, highs, evidence.Reference)
	evidence.Run(t, "nutrient/allocation", checks)
}
