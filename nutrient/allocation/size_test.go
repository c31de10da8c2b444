package allocation

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// Work, in numbers looked at and loads moved, grows little faster than the fields.
func TestAllocationWorkGrowsWithTheFields(t *testing.T) {
	work := func(fields int) (numbers, moves int) {
		s := farm(rand.New(rand.NewPCG(1, 1)), 3, fields, 2)
		m, err := build(&s, false)
		require.NoError(t, err)
		sol, err := m.solve(t.Context())
		require.NoError(t, err)
		r := m.whole(&sol)
		return sol.Work, r.moves
	}
	first, _ := work(50)
	for n, was, moved := 100, first, 0; n <= 800; n *= 2 {
		numbers, moves := work(n)
		require.Less(t, float64(numbers), 2.7*float64(was), n)
		require.LessOrEqual(t, float64(numbers), float64(first)*float64(n)/50*math.Log(float64(n))/math.Log(50), n)
		require.Less(t, moves, 2*moved+60, n)
		was, moved = numbers, moves
	}
}

// What would take too long is refused by its size, with every path.
func TestAllocationSizes(t *testing.T) {
	field := func(s *AllocateSpec) *Field { return &s.Fields[0] }
	for path, enlarge := range map[string]func(s *AllocateSpec){
		"materials": func(s *AllocateSpec) {
			for i := range 5000 {
				m := s.Materials[0]
				m.Name = fmt.Sprint(i)
				s.Materials = append(s.Materials, m)
			}
		},
		"seasons": func(s *AllocateSpec) {
			for i := range 100 {
				s.Seasons = append(s.Seasons, fmt.Sprint(i))
			}
		},
		"fields[0].limits": func(s *AllocateSpec) {
			for range 10_000 {
				field(s).Limits = append(field(s).Limits, field(s).Limits[0])
			}
		},
		"fields[0].distances": func(s *AllocateSpec) {
			field(s).Distances = map[string]units.Length{}
			for i := range 100 {
				field(s).Distances[fmt.Sprint(i)] = 1
			}
		},
		"fields": func(s *AllocateSpec) { s.Fields = make([]Field, 20_000) },
		"materials[1].holds[0].later": func(s *AllocateSpec) {
			s.Materials[1].Holds[0].Later = make([]nutrient.Content, 1000)
		},
		"materials[0].holds":   func(s *AllocateSpec) { s.Materials[0].Holds = make([]Holding, 1000) },
		"materials[0].seasons": func(s *AllocateSpec) { s.Materials[0].Seasons = make([]string, 1000) },
		"prices":               func(s *AllocateSpec) { s.Prices = make([]Price, 1000) },
		"exceptions":           func(s *AllocateSpec) { s.Exceptions = make([]Exception, 200_000) },
		"exceptions[0].holds":  func(s *AllocateSpec) { s.Exceptions = []Exception{{Holds: make([]Holding, 1000)}} },
		"maxRounds":            func(s *AllocateSpec) { s.MaxRounds = 1e9 },
	} {
		s := twoByTwo()
		enlarge(&s)
		_, err := allocate(s)
		require.Equal(t, []string{path}, faultFields(err))
	}
	// 1,500 fields of 5 limits and needs, and 3 materials in 60 seasons.
	s := farm(rand.New(rand.NewPCG(1, 1)), 3, 1500, 1)
	for i := range 59 {
		s.Seasons = append(s.Seasons, fmt.Sprint(i))
	}
	_, err := allocate(s)
	require.Equal(t, []string{"fields"}, faultFields(err))
}

// -0 is 0, and comes back as 0.
func TestAllocationTakesMinusZeroForZero(t *testing.T) {
	minus := -1.0
	minus *= 0
	build := func(zero float64) AllocateSpec {
		s := twoByTwo()
		s.Fields[0].Distance = units.Length(zero)
		s.Fields[0].Limits[0].Room = units.MassPerArea(zero)
		s.Fields[1].Needs = []Need{{Of: "N", Need: units.MassPerArea(zero)}}
		s.Materials[0].Spread = nutrient.LiquidPrice(units.Price[units.Volume](zero))
		s.Materials[1].Leave = nutrient.LiquidPrice(units.Price[units.Volume](zero))
		s.Materials[0].Holds[1].Content = nutrient.LiquidContent(units.Concentration(zero))
		s.Prices = []Price{{"N", units.Price[units.Mass](zero)}}
		return s
	}
	want, err := allocate(build(0))
	require.NoError(t, err)
	got, err := allocate(build(minus))
	require.NoError(t, err)
	require.Equal(t, fmt.Sprintf("%+v", want), fmt.Sprintf("%+v", got))
}
