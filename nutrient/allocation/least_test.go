package allocation

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// shared is a field of 36 acres for 372 lb/acre of P2O5, with slurry of which 1,000 gal
// hold 10 lb and effluent of which they hold 1 lb, of which the given lb/acre go on.
func shared(slurry, effluent float64) AllocateSpec {
	material := func(name string, lb, holds float64) Material {
		return Material{Name: name, Stock: nutrient.LiquidAmount(units.Volume(36*lb/holds) * 1000 * units.Gallon), Holds: []Holding{{Of: "P2O5", Content: lb1000(holds)}},
			Spread: nutrient.LiquidPrice(2), HaulPerMile: nutrient.LiquidPrice(0.5)}
	}
	return AllocateSpec{
		Seasons: []string{"fall"}, Materials: []Material{material("slurry", slurry, 10), material("effluent", effluent, 1)},
		Fields: []Field{{Name: "forty", Area: 36 * units.Acre, Limits: []Limit{{Kind: nutrient.LimitPhosphorus, Of: "P2O5", Room: 372 * units.PoundPerAcre}}}},
	}
}

// Worked by hand. The slurry has the room that the effluent over the field leaves.
func TestLeastAreaCountsWhatElseIsOnTheField(t *testing.T) {
	for _, c := range []struct {
		slurry, effluent float64 // lb/acre
		areas            []float64
		apart            bool
		all              float64
	}{
		{186, 0.36, []float64{36 * 186 / 371.64, 36 * 0.36 / 186}, true, 36 * (186/371.64 + 0.36/186)},
		{354, 14.75, []float64{36 * 354 / 357.25, 36}, false, 36}, // the effluent alone: 29.5 acres; no room beside the slurry
		{230, 142, []float64{36, 36}, false, 36},                  // the limit is full
		{100, 100, []float64{36 * 100.0 / 272, 36 * 100.0 / 272}, true, 36 * 200.0 / 272},
	} {
		r, err := allocate(shared(c.slurry, c.effluent))
		require.NoError(t, err)
		require.InDelta(t, c.all, r.Fields[0].Least.In(units.Acre), 1e-6)
		for i, p := range r.Placements {
			require.InDelta(t, c.areas[i], p.Least.In(units.Acre), 1e-6)
			require.InEpsilon(t, p.Rate.SI()*36/c.areas[i], p.Highest.SI(), 1e-7)
			require.Equal(t, c.apart, len(p.Apart) == 1)
			if c.apart {
				require.Equal(t, Neighbor{r.Placements[1-i].Material, "fall"}, p.Apart[0])
				require.Contains(t, r.String(), ", on separate ground from "+r.Placements[1-i].Material+" of fall")
			}
		}
	}
	// Limits of their own: on top of each other each on its own least area.
	s := shared(186, 93)
	s.Materials[1].Holds = []Holding{{Of: "P2O5", Content: lb1000(0)}, {Of: "N", Content: lb1000(1)}}
	s.Materials[0].Holds = append(s.Materials[0].Holds, Holding{Of: "N", Content: lb1000(0)})
	s.Fields[0].Limits = append(s.Fields[0].Limits, Limit{Kind: nutrient.LimitNitrogen, Of: "N", Room: 372 * units.PoundPerAcre})
	r, err := allocate(s)
	require.NoError(t, err)
	require.InDelta(t, 18, r.Placements[0].Least.In(units.Acre), 1e-6)
	require.InDelta(t, 9, r.Placements[1].Least.In(units.Acre), 1e-6)
	require.InDelta(t, 18, r.Fields[0].Least.In(units.Acre), 1e-6)
	require.Empty(t, slices.Concat(r.Placements[0].Apart, r.Placements[1].Apart))
}

// Placements that share a limit, also over a third one, go apart from each other, and one that
// shares none with them may lie on top of either. By hand: two bring a third of the phosphorus
// each and have half of the field, a third one half of the potash.
func TestOnlyWhatSharesALimitGoesApart(t *testing.T) {
	s := shared(372./3, 372./3)
	water := s.Materials[0]
	water.Name, water.Stock = "wash water", nutrient.LiquidAmount(36*18.6*kgal) // 186 lb/acre
	water.Holds = []Holding{{Of: "P2O5", Content: lb1000(0)}, {Of: "K2O", Content: lb1000(10)}}
	for i := range s.Materials {
		s.Materials[i].Holds = append(s.Materials[i].Holds, Holding{Of: "K2O", Content: lb1000(0)})
	}
	s.Materials = append(s.Materials, water)
	s.Fields[0].Limits = append(s.Fields[0].Limits, Limit{Kind: "potash", Of: "K2O", Room: 372 * units.PoundPerAcre})
	r, err := allocate(s)
	require.NoError(t, err)
	var apart []int
	for _, p := range r.Placements {
		require.InDelta(t, 18, p.Least.In(units.Acre), 1e-6)
		apart = append(apart, len(p.Apart))
	}
	require.Equal(t, []int{1, 1, 0}, apart)
	require.InDelta(t, 36, r.Fields[0].Least.In(units.Acre), 1e-6)
	// With a little phosphorus in the water it is apart, too, and there is no ground for that:
	// what is on it is on all of the field, but for the largest.
	s.Materials[2].Holds[0].Content = lb1000(0.1)
	r, err = allocate(s)
	require.NoError(t, err)
	for _, p := range r.Placements {
		require.Empty(t, p.Apart)
	}
}

// Where there is no ground for two side by side, the larger keeps its part, and the other gets
// what does on top of it; the field needs the larger of the two. By hand: in fall slurry takes
// 0.8 of the nitrogen of the season and 0.1 of the phosphorus of the year, in spring effluent
// 0.5 of that. The slurry on 0.8 of the field brings 0.125 of the phosphorus there, and the
// effluent 0.875 on 0.5/0.875 of it.
func TestLeastAreaOnTopOfTheLarger(t *testing.T) {
	s := shared(0.1*372, 0.5*372)
	s.Seasons = []string{"fall", "spring"}
	s.Materials[0].Seasons, s.Materials[1].Seasons = []string{"fall"}, []string{"spring"}
	for i := range s.Materials {
		s.Materials[i].Holds = append(s.Materials[i].Holds, Holding{Of: "N", Content: s.Materials[i].Holds[0].Content})
	}
	for _, season := range s.Seasons {
		s.Fields[0].Limits = append(s.Fields[0].Limits, Limit{Kind: nutrient.LimitNitrogen, Of: "N", Room: 0.1 * 372 / 0.8 * units.PoundPerAcre, Season: season})
	}
	s.Fields[0].Limits[2].Room = 372 * 10 * units.PoundPerAcre
	r, err := allocate(s)
	require.NoError(t, err)
	require.InDelta(t, 36*0.8, r.Placements[0].Least.In(units.Acre), 1e-6)
	require.InDelta(t, 36*0.5/0.875, r.Placements[1].Least.In(units.Acre), 1e-6)
	require.InDelta(t, 36*0.8, r.Fields[0].Least.In(units.Acre), 1e-6)
	require.Empty(t, slices.Concat(r.Placements[0].Apart, r.Placements[1].Apart))
}

// Each placement on its least area, on top of all the others or on separate ground as
// the plan says: no limit is broken on any piece of ground.
func TestLeastAreasKeepLimitsEverywhere(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 1))
	apart, part, crowded := 0, 0, 0
	for range 150 {
		s := farm(rnd, 1+rnd.IntN(4), 1+rnd.IntN(6), 1+rnd.IntN(3))
		for i := range s.Materials { // from nearly empty fields to full ones
			timesAmount(&s.Materials[i].Stock, 0.1+rnd.Float64())
			s.Materials[i].Load = nutrient.Amount{}
		}
		r, err := allocate(s)
		require.NoError(t, err)
		m, err := build(&s, false)
		require.NoError(t, err)
		for k, f := range s.Fields {
			var on []Placement
			for _, p := range r.Placements {
				if p.Field == f.Name {
					on = append(on, p)
				}
			}
			for n, p := range on {
				require.Positive(t, p.Least)
				require.LessOrEqual(t, float64(p.Least), float64(f.Area)*(1+1e-12))
				require.LessOrEqual(t, float64(p.Least), float64(r.Fields[k].Least)*(1+1e-12))
				require.InEpsilon(t, p.Rate.SI()*float64(f.Area), p.Highest.SI()*float64(p.Least), 1e-9)
				side := p.Least
				for _, x := range p.Apart {
					o := slices.IndexFunc(on, func(p Placement) bool { return p.Material == x.Material && p.Season == x.Season })
					require.Contains(t, on[o].Apart, Neighbor{p.Material, p.Season}, "%v", n)
					side += on[o].Least
				}
				require.LessOrEqual(t, float64(side), float64(f.Area)*(1+1e-9))
				if len(p.Apart) > 0 {
					apart++
				} else if p.Least < f.Area*(1-1e-6) {
					part++
					if len(on) > 1 {
						crowded++
					}
				}
			}
			// The densest ground there may be of each limit: everything on top of each other,
			// but of those that are apart from each other one only.
			for _, l := range m.rows[k][:m.Blocks[k].Rows-len(m.Blocks[k].Extra)] {
				dense := map[Neighbor]float64{} // by the first of those that are apart
				for _, p := range on {
					j := slices.IndexFunc(m.ways[k], func(w way) bool {
						return s.Materials[w.material].Name == p.Material && s.Seasons[w.season] == p.Season
					})
					w := &m.ways[k][j]
					first := slices.MinFunc(append(slices.Clone(p.Apart), Neighbor{p.Material, p.Season}), func(a, b Neighbor) int {
						return strings.Compare(a.Material+a.Season, b.Material+b.Season)
					})
					dense[first] = max(dense[first], p.Amount.SI()/m.unit[w.material]*m.use(&l, w)*float64(f.Area/p.Least))
				}
				sum := 0.0
				for _, x := range dense {
					sum += x
				}
				require.LessOrEqual(t, sum, l.room*(1+1e-7))
			}
		}
	}
	require.Greater(t, min(apart, part, crowded), 20) // each case was met
}

// Two placements that fill a third of a limit each just have room side by side, on half of
// the field: whatever the last digit of the numbers says.
func TestJustRoomSideBySide(t *testing.T) {
	for lb := 60.0; lb < 400; lb += 7.3 {
		s := shared(lb/3, lb/3)
		s.Fields[0].Limits[0].Room = units.MassPerArea(lb) * units.PoundPerAcre
		r, err := allocate(s)
		require.NoError(t, err)
		for _, p := range r.Placements {
			require.Len(t, p.Apart, 1, lb)
			require.InDelta(t, 18, p.Least.In(units.Acre), 1e-6)
		}
		require.InDelta(t, 36, r.Fields[0].Least.In(units.Acre), 1e-6)
		require.LessOrEqual(t, r.Fields[0].Least, s.Fields[0].Area)
	}
}
