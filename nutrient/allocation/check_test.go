package allocation

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

func TestAllocationFaults(t *testing.T) {
	fields := func(change func(*AllocateSpec)) []string {
		t.Helper()
		s := twoByTwo()
		change(&s)
		_, err := allocate(s)
		require.Error(t, err)
		return faultFields(err)
	}
	_, err := allocate(AllocateSpec{})
	require.Equal(t, []string{"seasons", "materials", "fields"}, faultFields(err))
	require.Equal(t, []string{"seasons[1]", "maxRounds"}, fields(func(s *AllocateSpec) {
		s.Seasons, s.MaxRounds = append(s.Seasons, "fall"), -1
	}))
	require.Equal(t, []string{
		"materials[1].name", "materials[0].stock", "materials[0].holds[0].of", "materials[0].holds[1].content", "materials[0].seasons[0]",
		"materials[0].spread", "materials[0].haulPerMile", "materials[0].leavePrice", "materials[0].load", "materials[1].stock", "materials[0].holds",
	}, fields(func(s *AllocateSpec) {
		m := &s.Materials[0]
		m.Name, s.Materials[1].Name = "x", "x"
		m.Stock = nutrient.LiquidAmount(0)
		m.Holds[0].Of = ""
		m.Holds[1].Content = lb1000(-1)
		m.Seasons = []string{"summer"}
		m.Spread = nutrient.SolidPrice(1)
		m.HaulPerMile = nutrient.LiquidPrice(-1)
		m.Leave = nutrient.LiquidPrice(units.Price[units.Volume](math.Inf(1)))
		m.Load = nutrient.SolidAmount(1)
		s.Materials[1].Stock = nutrient.Amount{}
	}))
	require.Equal(t, []string{
		"fields[0].area", "fields[0].distance", "fields[0].distances.straw", "fields[0].limits[0].kind", "fields[0].limits[0].season", "fields[0].limits[0].of",
		"fields[0].limits[1].room", "fields[0].limits[2].kind", "fields[0].limits[2].of", "fields[0].needs[0].of", "fields[0].needs[0].season", "fields[0].needs[0].need",
		"fields[1].limits", "prices[0].of", "prices[2].of", "prices[2].price",
	}, fields(func(s *AllocateSpec) {
		f := &s.Fields[0]
		f.Area, f.Distance = 0, -1
		f.Distances = map[string]units.Length{"straw": 1}
		f.Limits[0] = Limit{Of: "Zn", Room: 1, Season: "never"}
		f.Limits[1].Room = -1
		f.Limits = append(f.Limits, Limit{Kind: "", Of: "N", Rate: nutrient.LiquidRate(1)})
		f.Needs = []Need{{"Zn", -1, "never"}}
		s.Fields[1].Limits = nil
		s.Prices = []Price{{"Zn", 1}, {"N", 1}, {"N", -1}}
	}))
	require.Equal(t, []string{"exceptions[0].field", "exceptions[1].material", "exceptions[2].holds[0].content", "exceptions[2].spread"}, fields(func(s *AllocateSpec) {
		s.Exceptions = []Exception{
			{Field: "nowhere", Forbid: true},
			{Spread: nutrient.LiquidPrice(1)},
			{Material: "sludge", Holds: []Holding{{Of: "N", Content: nutrient.SolidContent(1)}}, Spread: nutrient.SolidPrice(1)},
		}
	}))
	// Water that holds nothing is limited by nothing.
	require.Equal(t, []string{"fields[0].limits", "fields[1].limits"}, fields(func(s *AllocateSpec) {
		for i := range s.Materials[0].Holds {
			s.Materials[0].Holds[i].Content = lb1000(0)
		}
	}))
	// A constituent left out, or spelt otherwise, would slip past its limit.
	require.Equal(t, []string{"materials[1].holds"}, fields(func(s *AllocateSpec) {
		for i := range s.Materials[1].Holds {
			if s.Materials[1].Holds[i].Of == "P2O5" {
				s.Materials[1].Holds[i].Of = "p2o5"
			}
		}
	}))
	require.Equal(t, []string{"materials[0].load"}, fields(func(s *AllocateSpec) {
		s.Materials[0].Load = nutrient.LiquidAmount(1e-9)
	}))
}

// Each wrong value of a material is told alone, where it stands, whatever else is right.
func TestFaultsOfAMaterialOneByOne(t *testing.T) {
	minus := nutrient.LiquidPrice(-1)
	for field, change := range map[string]func(*Material){
		"stock":            func(m *Material) { m.Stock = nutrient.LiquidAmount(-1) },
		"seasons[1]":       func(m *Material) { m.Seasons = []string{"fall", ""} },
		"holds[0].content": func(m *Material) { m.Holds[0].Content = nutrient.SolidContent(0.01) },
		"holds[0].later[1]": func(m *Material) {
			m.Holds[0].Later = []nutrient.Content{lb1000(1), nutrient.SolidContent(0.01)}
		},
		"holds[2].of": func(m *Material) { m.Holds = append(m.Holds, Holding{Of: "N", Content: lb1000(1)}) },
		"spread":      func(m *Material) { m.Spread = minus },
		"haulPerMile": func(m *Material) { m.HaulPerMile = minus },
		"leavePrice":  func(m *Material) { m.Leave = minus },
		"load":        func(m *Material) { m.Load = nutrient.LiquidAmount(-1) },
	} {
		s := twoByTwo()
		change(&s.Materials[1])
		_, err := allocate(s)
		require.Equal(t, []string{"materials[1]." + field}, faultFields(err))
	}
}

// Exceptions change one way only.
func TestAllocationExceptions(t *testing.T) {
	s := twoByTwo()
	s.Exceptions = []Exception{
		{Material: "sludge", Field: "near", Forbid: true},
		{Material: "effluent", Spread: nutrient.LiquidPrice(units.PricePer(6, 1000*units.Gallon))},
	}
	r, err := allocate(s)
	require.NoError(t, err)
	require.InDelta(t, 500*8+200*11, r.Net, 1e-6)
	// Effluent with more N, 25 lb, fits near only 5,000 / 25 = 200; 300 go far.
	s.Exceptions[1] = Exception{Material: "effluent", Season: "fall", Holds: []Holding{{Of: "N", Content: lb1000(25)}}}
	r, err = allocate(s)
	require.NoError(t, err)
	require.InDelta(t, 200*7+300*11+200*11, r.Net, 1e-6)
}

// N of an application counts in later seasons: a field that takes its fill in
// one season has less room in the next.
func TestAllocationCarriesOver(t *testing.T) {
	s := twoByTwo()
	s.Seasons = []string{"first", "second"}
	s.Materials = s.Materials[:1]
	s.Materials[0].Holds = []Holding{{Of: "N", Content: lb1000(4), Later: []nutrient.Content{lb1000(2)}}}
	s.Materials[0].Stock = nutrient.LiquidAmount(1600 * 1000 * units.Gallon)
	s.Fields = s.Fields[:1]
	n := Limit{Kind: nutrient.LimitNitrogen, Of: "N", Room: 100 * units.PoundPerAcre}
	first, second := n, n
	first.Season, second.Season = "first", "second"
	s.Fields[0].Limits = []Limit{first, second}
	r, err := allocate(s)
	require.NoError(t, err)
	// x1 <= 5,000 / 4 and 2 x1 + 4 x2 <= 5,000: 1,250 and 625 would be all; 1,600 fit.
	require.Nil(t, r.Shortage)
	require.LessOrEqual(t, r.Fields[0].Limits[1].Applied.In(units.PoundPerAcre), 100.0+1e-9)
	s.Materials[0].Stock = nutrient.LiquidAmount(2000 * 1000 * units.Gallon)
	r, err = allocate(s)
	require.NoError(t, err)
	left, _ := r.Materials[0].Left.Volume()
	require.InDelta(t, 125, left.In(1000*units.Gallon), 1e-6)
	require.InDelta(t, 100, r.Fields[0].Limits[1].Applied.In(units.PoundPerAcre), 1e-9)

	// All seasons together count all that becomes available in them.
	all := n
	all.Room = 120 * units.PoundPerAcre
	s.Fields[0].Limits = append(s.Fields[0].Limits, all)
	r, err = allocate(s)
	require.NoError(t, err)
	// 6 x1 + 4 x2 <= 6,000 as well: x2 = 1,250, x1 = 166.7 by the sum and 0 by the second season.
	require.LessOrEqual(t, r.Fields[0].Limits[2].Applied.In(units.PoundPerAcre), 120.0+1e-9)
}

// Nutrients earn their price up to the need and no more.
func TestAllocationCredit(t *testing.T) {
	s := twoByTwo()
	s.Prices = []Price{{"P2O5", units.PricePer(0.5, units.Pound)}, {"N", units.PricePer(0.1, units.Pound)}}
	for k := range s.Fields {
		s.Fields[k].Needs = []Need{{"P2O5", 20 * units.PoundPerAcre, ""}}
	}
	r, err := allocate(s)
	require.NoError(t, err)
	// Near 1,000 lb and far 2,000 lb are needed at 0.5; the stock brings 4,500 lb.
	require.InDelta(t, 1500, r.Credit, 1e-6)
	require.InDelta(t, r.Cost-1500, r.Net, 1e-6)
	require.InDelta(t, 5400-1500, r.Net, 1e-6)
	near := r.Fields[0].Needs[0]
	require.InDelta(t, 40, near.Applied.In(units.PoundPerAcre), 1e-9)
	require.InDelta(t, 20, near.Excess.In(units.PoundPerAcre), 1e-9)
	require.Zero(t, near.Missing)
}

// Specs and results go through JSON and back.
func TestAllocationJSON(t *testing.T) {
	s := farm(rand.New(rand.NewPCG(11, 1)), 2, 3, 2)
	s.Fields[0].Distances = map[string]units.Length{"material 1": units.Mile}
	s.Fields[1].Limits = append(s.Fields[1].Limits, Limit{Kind: nutrient.LimitWater, Rate: nutrient.LiquidRate(0.02), Material: "material 0", Season: "season 1"})
	s.Materials[0].Seasons = []string{"season 1"}
	s.Materials[1].Leave = nutrient.LiquidPrice(3)
	s.Exceptions = []Exception{{Field: "field 2", Season: "season 0", Forbid: true}, {Material: "material 0", Spread: nutrient.LiquidPrice(2)}}
	text, err := json.Marshal(s)
	require.NoError(t, err)
	var back AllocateSpec
	require.NoError(t, strict.Decode(text, &back))
	require.Equal(t, s, back)

	r, err := allocate(s)
	require.NoError(t, err)
	text, err = json.Marshal(r)
	require.NoError(t, err)
	var plan AllocateResult
	require.NoError(t, strict.Decode(text, &plan))
	require.Equal(t, r, plan)
}
