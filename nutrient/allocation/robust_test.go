package allocation

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// draws is draws in which stock and contents of every material vary by about a share.
func draws(r *rand.Rand, s *AllocateSpec, n int, share float64) []Draw {
	list := make([]Draw, n)
	for i := range list {
		for _, m := range s.Materials {
			d := MaterialDraw{Stock: math.Exp(share * r.NormFloat64())}
			for range m.Holds {
				d.Holds = append(d.Holds, math.Exp(share*r.NormFloat64()))
			}
			list[i].Materials = append(list[i].Materials, d)
		}
	}
	return list
}

// keeps counts the draws in which the placements keep the limits of the spec, from the
// placements alone.
func keeps(s *AllocateSpec, placements []Placement, list []Draw) float64 {
	kept := 0
	for _, d := range list {
		holds := true
		for _, f := range s.Fields {
			for _, l := range f.Limits {
				var sum float64
				for _, p := range placements {
					if p.Field != f.Name || l.Season != "" && l.Season != p.Season || l.Material != "" && l.Material != p.Material {
						continue
					}
					for i, m := range s.Materials {
						if m.Name != p.Material {
							continue
						}
						x := p.Rate.SI() * d.Materials[i].Stock
						if l.Of == "" {
							sum += x
						}
						for j, h := range m.Holds {
							if h.Of == l.Of {
								sum += x * h.Content.SI() * d.Materials[i].Holds[j]
							}
						}
					}
				}
				most := float64(l.Room)
				if l.Of == "" {
					most = l.Rate.SI()
				}
				holds = holds && sum <= most*(1+1e-6)
			}
		}
		if holds {
			kept++
		}
	}
	return float64(kept) / float64(len(list))
}

// By hand: 190,000 gal at 10 lb of N on two fields of 20 acres that take 100 lb, the near
// one free and the far one a mile away for 1 a 1000 gal. The plan puts 95 lb on the near one,
// and half of the draws break it. With N up to 1.2 times as much in 96 of 100 draws the
// room is cut to 100/1.2, and 23,333 gal go far for 23.33. A garden of a 10,000th of the
// stock and of the area pays a 10,000th.
func TestRobustByHand(t *testing.T) {
	field := func(name string, miles units.Length) Field {
		return Field{Name: name, Area: 20 * units.Acre, Distance: miles * units.Mile, Limits: []Limit{{Kind: nutrient.LimitNitrogen, Of: "N", Room: 100 * units.PoundPerAcre}}}
	}
	s := AllocateSpec{Seasons: []string{"spring"},
		Materials: []Material{{Name: "slurry", Stock: nutrient.LiquidAmount(190_000 * units.Gallon), Holds: []Holding{{Of: "N", Content: lb1000(10)}},
			Spread: nutrient.LiquidPrice(0), HaulPerMile: nutrient.LiquidPrice(units.PricePer(1, 1000*units.Gallon))}},
		Fields: []Field{field("near", 0), field("far", 1)}}
	list := make([]Draw, 100)
	for i := range list {
		x := []float64{0.8, 1.2, 0.9, 1.1}[i%4]
		if i < 4 {
			x = 1.6 // in 4 of 100
		}
		list[i] = Draw{Materials: []MaterialDraw{{Stock: 1, Holds: []float64{x}}}}
	}
	for _, k := range []float64{1e-4, 1} {
		s.Materials[0].Stock = nutrient.LiquidAmount(units.Volume(k*190_000) * units.Gallon)
		for i := range s.Fields {
			s.Fields[i].Area = units.Area(k*20) * units.Acre
		}
		r, err := Robust(t.Context(), RobustSpec{Allocate: s, Draws: list, Keep: 0.95})
		require.NoError(t, err)
		require.InDelta(t, 0.48, r.PlainKept, 1e-9)
		require.InDelta(t, 0.96, r.Kept, 1e-9)
		require.InDelta(t, k*(190-200/1.2), r.Price, 1e-6*k)
		require.InDelta(t, k*20, r.ExtraArea.In(units.Acre), 1e-9*k)
		require.Equal(t, []BrokenLimit{{Field: "near", Limit: "nitrogen", Share: 0.52}}, r.Broken)
		require.Zero(t, r.Left[0].SI())
		require.Contains(t, r.String(), "price of the safety")
	}

	// All of them: by the worst, 1.6.
	r, err := Robust(t.Context(), RobustSpec{Allocate: s, Draws: list, Keep: 1})
	require.NoError(t, err)
	require.Equal(t, 1.0, r.Kept)
	require.InDelta(t, 190-125, r.Price, 1e-6)
	// Nothing to do where nothing varies.
	for i := range list {
		list[i].Materials[0].Holds[0] = 1
	}
	r, err = Robust(t.Context(), RobustSpec{Allocate: s, Draws: list, Keep: 0.95})
	require.NoError(t, err)
	require.Equal(t, []float64{1, 0, 0}, []float64{r.Kept, r.Level, r.Price})
	// More stock than the land takes with safety is left.
	s.Materials[0].Stock = nutrient.LiquidAmount(400_000 * units.Gallon)
	for i := range list {
		list[i].Materials[0].Stock = 1.25
	}
	r, err = Robust(t.Context(), RobustSpec{Allocate: s, Draws: list, Keep: 0.95})
	require.NoError(t, err)
	left, _ := r.Left[0].Volume()
	require.InDelta(t, 80_000, left.In(units.Gallon), 1e-3)
	require.NotNil(t, r.Plan.Shortage)
}

// On random farms the plan keeps as many draws as it says, counted from its placements,
// and no fewer than asked.
func TestRobustKeepsWhatItSays(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	rounded := 0 // of what is left
	for n := range 16 {
		s := farm(r, 1+r.IntN(3), 2+r.IntN(5), 1)
		if n%2 == 0 { // more than the fields take, in loads that leave some room
			for i := range s.Materials {
				timesAmount(&s.Materials[i].Stock, 6)
				timesAmount(&s.Materials[i].Load, 4)
			}
		}
		list := draws(r, &s, 60, 0.1)
		got, err := Robust(t.Context(), RobustSpec{Allocate: s, Draws: list, Keep: 0.9})
		require.NoError(t, err)
		require.GreaterOrEqual(t, got.Kept, 0.9, n)
		require.InDelta(t, keeps(&s, got.Plan.Placements, list), got.Kept, 1e-9, n)
		require.InDelta(t, keeps(&s, got.Plain.Placements, list), got.PlainKept, 1e-9, n)
		for i, left := range got.Left {
			plan, plain := got.Plan.Materials[i], got.Plain.Materials[i]
			require.InDelta(t, max(0, plan.Left.SI()-plain.Left.SI()), left.SI(), 1e-9, n)
			if left.SI() > 1 && min(plan.Left.SI()-plan.LeftFractional.SI(), plain.Left.SI()-plain.LeftFractional.SI()) > 1 {
				rounded++
			}
		}
		for i := 1; i < len(got.Broken); i++ {
			require.GreaterOrEqual(t, got.Broken[i-1].Share, got.Broken[i].Share)
		}
	}
	require.Positive(t, rounded)
}

// The constituents that bind are told in the order in which the materials hold them.
func TestShortageInTheOrderOfTheMaterial(t *testing.T) {
	names := []string{"N", "K2O", "P2O5"}
	s := AllocateSpec{Seasons: []string{"spring"}, Materials: []Material{{Name: "slurry", Stock: nutrient.LiquidAmount(900_000 * units.Gallon), Spread: nutrient.LiquidPrice(0), HaulPerMile: nutrient.LiquidPrice(0)}}}
	for i, name := range names {
		s.Materials[0].Holds = append(s.Materials[0].Holds, Holding{Of: name, Content: lb1000(float64(10 + i))})
		s.Fields = append(s.Fields, Field{Name: name, Area: units.Acre, Limits: []Limit{{Kind: nutrient.LimitNitrogen, Of: name, Room: 100 * units.PoundPerAcre}}})
	}
	for range 20 { // whatever the order of a map
		r, err := allocate(s)
		require.NoError(t, err)
		var got []string
		for _, room := range r.Shortage.Room {
			got = append(got, room.Of)
		}
		require.Equal(t, names, got)
	}
}

func TestRobustFaults(t *testing.T) {
	s := twoSeasons()
	bad := make([]Draw, 20)
	for i := range bad {
		bad[i] = Draw{Materials: []MaterialDraw{{Stock: 1}}}
	}
	bad[3] = Draw{}
	bad[4] = Draw{Materials: []MaterialDraw{{Stock: math.NaN(), Holds: []float64{1, 2}}}}
	bad[5] = Draw{Materials: []MaterialDraw{{Stock: 1, Holds: []float64{-1}}}}
	_, err := Robust(t.Context(), RobustSpec{Allocate: s, Draws: bad, Keep: 2})
	require.Equal(t, []string{"keep", "draws[3].materials", "draws[4].materials[0].stock", "draws[4].materials[0].holds", "draws[5].materials[0].holds[0]"}, faultFields(err))
	_, err = Robust(t.Context(), RobustSpec{})
	require.Equal(t, []string{"draws", "keep", "allocate.seasons", "allocate.materials", "allocate.fields"}, faultFields(err))
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = Robust(ctx, RobustSpec{Allocate: s, Draws: bad[6:], Keep: 0.9})
	require.Error(t, err)
	for i := range bad {
		bad[i] = Draw{Materials: []MaterialDraw{{Stock: 1}}}
	}
	_, err = Robust(ctx, RobustSpec{Allocate: s, Draws: bad, Keep: 0.9})
	require.ErrorIs(t, err, context.Canceled)
}

func TestRobustSurvivesJSON(t *testing.T) {
	s := least()
	spec := RobustSpec{Allocate: s, Keep: 0.9}
	for i := range 20 {
		spec.Draws = append(spec.Draws, Draw{Materials: []MaterialDraw{{Stock: 1 + 0.01*float64(i)}}})
	}
	require.Equal(t, spec, back(t, spec))
	r, err := Robust(t.Context(), spec)
	require.NoError(t, err)
	require.Equal(t, r, back(t, r))
}

// 1,000 draws of a farm of 60 fields.
func BenchmarkRobust(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 1))
	s := farm(r, 3, 60, 1)
	spec := RobustSpec{Allocate: s, Draws: draws(r, &s, 1000, 0.1), Keep: 0.95}
	for b.Loop() {
		if _, err := Robust(b.Context(), spec); err != nil {
			b.Fatal(err)
		}
	}
}
