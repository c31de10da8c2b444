package allocation

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// A farm of a garden's size is planned as a large one: the same placements, loads, rates and
// prices of a unit, and a part of the amounts, areas and money. A power of two changes no
// digit.
func TestSmallFarmIsPlannedAsALargeOne(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	const k = 1. / 16384
	for n := range 60 {
		s := everything(r)
		for i := range s.Materials {
			if r.IntN(3) > 0 {
				s.Materials[i].Load = amountOf(s.Materials[i].Stock.Form(), 22*s.Materials[i].unit())
			}
			if n%3 == 0 {
				s.Materials[i].Leave = nutrient.UnitPrice{}
			}
		}
		want, err := allocate(s)
		require.NoError(t, err)
		for i := range s.Materials {
			timesAmount(&s.Materials[i].Stock, k)
			if m := &s.Materials[i]; !m.Load.IsZero() {
				timesAmount(&m.Load, k)
			}
		}
		for i := range s.Fields {
			s.Fields[i].Area *= k
		}
		got, err := allocate(s)
		require.NoError(t, err)
		same := func(want, got float64) {
			t.Helper()
			require.InDelta(t, want, got, 1e-9*math.Abs(want))
		}
		same(k*want.Net, got.Net)
		same(k*want.Bound, got.Bound)
		same(k*want.Fractional, got.Fractional)
		require.Len(t, got.Placements, len(want.Placements))
		for i, p := range want.Placements {
			q := got.Placements[i]
			require.Equal(t, []any{p.Material, p.Field, p.Season, p.Loads, p.Apart}, []any{q.Material, q.Field, q.Season, q.Loads, q.Apart})
			same(k*p.Amount.SI(), q.Amount.SI())
			same(p.Rate.SI(), q.Rate.SI())
			same(p.Highest.SI(), q.Highest.SI())
			same(k*float64(p.Least), float64(q.Least))
		}
		for i, m := range want.Materials {
			same(k*m.Left.SI(), got.Materials[i].Left.SI())
			same(m.Marginal.SI(), got.Materials[i].Marginal.SI())
		}
		for i, f := range want.Fields {
			same(float64(f.Acre), float64(got.Fields[i].Acre))
			same(k*float64(f.Mile), float64(got.Fields[i].Mile))
			for j, l := range f.Limits {
				same(float64(l.Worth), float64(got.Fields[i].Limits[j].Worth))
				same(l.PerUnit.SI(), got.Fields[i].Limits[j].PerUnit.SI())
			}
		}
		require.Equal(t, want.Shortage == nil, got.Shortage == nil)
		if a, b := want.Shortage, got.Shortage; a != nil {
			require.Equal(t, a.Like, b.Like)
			same(k*float64(a.Acres), float64(b.Acres))
			require.Len(t, b.Room, len(a.Room))
			for i := range a.Room {
				require.Equal(t, a.Room[i].Of, b.Room[i].Of)
				same(k*float64(a.Room[i].Mass), float64(b.Room[i].Mass))
			}
			for i := range a.Relief {
				require.Equal(t, a.Relief[i].All, b.Relief[i].All)
			}
		}
	}
}

// A stock of whole loads has no short one, whatever the size of a load.
func TestStockOfWholeLoads(t *testing.T) {
	for load := 1e-6; load < 1e5; load *= 3 {
		for n := 1; n < 100; n += 7 {
			s := least()
			s.Materials[0].Load, s.Materials[0].Stock = nutrient.LiquidAmount(units.Volume(load)), nutrient.LiquidAmount(units.Volume(load*float64(n)))
			s.Fields[0].Area = units.Area(load * 1e5)
			r, err := allocate(s)
			require.NoError(t, err)
			require.Len(t, r.Placements, 1)
			require.Equal(t, n, r.Placements[0].Loads, load)
			require.InEpsilon(t, load*float64(n), r.Placements[0].Amount.SI(), 1e-12)
			require.Zero(t, r.Materials[0].Left.SI())
			for _, last := range []float64{0, math.Inf(1)} { // a last digit less or more
				s.Materials[0].Stock = nutrient.LiquidAmount(units.Volume(math.Nextafter(load*float64(n), last)))
				r, err = allocate(s)
				require.NoError(t, err)
				require.Equal(t, n, r.Placements[0].Loads, load)
				require.Zero(t, r.Materials[0].Left.SI())
			}
			s.Materials[0].Stock = nutrient.LiquidAmount(units.Volume(load * (float64(n) + 0.25)))
			r, err = allocate(s)
			require.NoError(t, err)
			require.Equal(t, n+1, r.Placements[0].Loads, load)
		}
	}
}

// The short load of a material is of the size and in the place that saves most, one turned
// from a whole one among them: no other size in steps of a hundredth, anywhere, saves more.
func TestShortLoadIsWhereItSavesMost(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1))
	shortened := 0
	for n := range 60 {
		s := farm(r, 1, 1+r.IntN(5), 1+r.IntN(2))
		m := &s.Materials[0]
		timesAmount(&m.Stock, 0.3+1.5*r.Float64())
		timesAmount(&m.Load, 1+4*r.Float64())
		m.Leave = nutrient.LiquidPrice(units.Price[units.Volume](m.Spread.SI() * 2 * r.Float64()))
		model, err := build(&s, false)
		require.NoError(t, err)
		sol, err := model.solve(t.Context())
		require.NoError(t, err)
		p := model.whole(&sol).plan
		load := m.Load.SI()
		// cost of the plan with x more at a place, and whether it keeps the limits.
		cost := func(left float64) (sum float64, fits bool) {
			sum, fits = model.Leave[0]*left, true
			for k := range model.Blocks {
				c, within := costOf(&model.Blocks[k], p.placed[k], 1e-9)
				sum, fits = sum+c, fits && within
			}
			return sum, fits
		}
		left := p.left[0]
		now, fits := cost(left)
		require.True(t, fits, n)
		// Without the short load.
		for k := range p.placed {
			for j, x := range p.placed[k] {
				if short := x - load*math.Floor(x/load+1e-6); short > 1e-6*load {
					p.placed[k][j] -= short
					left += short
					shortened++
				}
			}
		}
		try := func(k, j int, x float64) {
			p.placed[k][j] += x
			if c, ok := cost(left - x); ok {
				require.GreaterOrEqual(t, c, now-1e-7*math.Abs(now), "farm %d: %v more at %d, %d", n, x, k, j)
			}
			p.placed[k][j] -= x
		}
		for k := range p.placed {
			for j, x := range p.placed[k] {
				for part := range 101 {
					try(k, j, min(left, load)*float64(part)/100)
					if x >= load*(1-1e-9) {
						try(k, j, -load*float64(part)/100)
					}
				}
			}
		}
	}
	require.Greater(t, shortened, 20)
}

// What the first of a room that a field has not would save, while its other limits bind, is
// the slope of the cost; hardly ever less.
func TestWorthOfNoRoomIsASlope(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 1))
	slopes, less := 0, 0
	for n := range 200 {
		s := everything(r)
		base, err := allocate(s)
		require.NoError(t, err)
		for k := range s.Fields {
			for i := range s.Fields[k].Limits {
				l := &s.Fields[k].Limits[i]
				const room = 1e-7 // kg/m2 or m3/m2
				worth := float64(base.Fields[k].Limits[i].Worth)
				set := func(room float64) { l.Room = units.MassPerArea(room) }
				if l.Of == "" {
					worth = base.Fields[k].Limits[i].PerUnit.SI()
					set = func(room float64) { l.Rate = rateOf(l.Rate.Form(), room) }
				}
				worth *= float64(s.Fields[k].Area)
				if l.Room != 0 || l.Rate.SI() != 0 {
					continue
				}
				set(room)
				more, err := allocate(s)
				set(0)
				require.NoError(t, err)
				slope := (base.Fractional - more.Fractional) / room
				require.LessOrEqual(t, slope, worth*(1+1e-6)+1e-3, n)
				if slope > 0 {
					slopes++
				}
				if slope < worth*(1-1e-6)-1e-3 {
					less++
				}
			}
		}
	}
	require.Greater(t, slopes, 20)
	require.LessOrEqual(t, less, slopes/20, "where the least of room meets the next limit")
}

// A quantile is the least of the values that a share of them does not pass.
func TestQuantile(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 1))
	for range 300 {
		values := make([]float64, 1+r.IntN(30))
		for i := range values {
			values[i] = float64(r.IntN(20))
		}
		for _, share := range []float64{0, 1. / 512, 0.25, 0.5, 0.9, 511. / 512, 1, r.Float64()} {
			want := math.Inf(1)
			for _, v := range values {
				within := 0
				for _, x := range values {
					if x <= v {
						within++
					}
				}
				if float64(within) >= share*float64(len(values)) {
					want = min(want, v)
				}
			}
			require.Equal(t, want, quantile(slices.Clone(values), share))
		}
	}
}

// The room of a limit to which two materials bring as much is cut by a quantile of their
// mean, by hand: the one brings 0.8 to 1.2 times its N, and 1.6 times in 4 of 100, the other
// what was analysed. That of one material is cut by its own.
func TestRoomIsCutByTheMix(t *testing.T) {
	s := AllocateSpec{Seasons: []string{"spring"}, Materials: []Material{tenPounds("slurry", 100), tenPounds("effluent", 50)}, Fields: []Field{spreadFree("near", 0, 90), spreadFree("far", 1, 90)}}
	list := twentyFour(2)
	for i := range list {
		list[i].Materials[1].Holds = nil
	}
	spec := RobustSpec{Allocate: s, Draws: list}
	m, err := build(&s, false)
	require.NoError(t, err)
	plans := []brought{{field: 0, limit: 1, of: 0, by: []float64{0.25, 0.25}}, {field: 1, limit: 1, of: 0, by: []float64{0.8, 0}}}
	for level, cut := range map[float64][2]float64{0.95: {1.1, 1.2}, 0.7: {1.05, 1.1}, 0.98: {1.3, 1.6}, 0.1: {1, 1}} {
		tight := spec.tightened(m, plans, level)
		for k := range cut {
			require.InDelta(t, 100/cut[k], tight.Fields[k].Limits[1].Room.In(units.PoundPerAcre), 1e-9, level)
			require.InDelta(t, 90, tight.Fields[k].Limits[0].Room.In(units.PoundPerAcre), 1e-9, level)
		}
	}
	require.InDelta(t, 100, s.Fields[0].Limits[1].Room.In(units.PoundPerAcre), 1e-9, "the spec stays")
}

// A limit to which the plan brings nothing is cut by the material that varies most in it, also
// where a material that holds none of it is on the field: here by the 1.2 times N of sludge,
// which goes nowhere near, while wash water that holds no N does.
func TestRoomThatNothingUsesIsCutByTheWorst(t *testing.T) {
	s := AllocateSpec{Seasons: []string{"spring"}, Materials: []Material{tenPounds("wash water", 95), tenPounds("sludge", 95)}, Fields: []Field{spreadFree("near", 0, 90), spreadFree("far", 1, 90)},
		Exceptions: []Exception{{Material: "sludge", Field: "near", Forbid: true}}}
	s.Materials[0].Holds[0].Content = lb1000(0)
	list := twentyFour(2)
	for i := range list {
		list[i].Materials[0].Holds = nil
	}
	m, err := build(&s, false)
	require.NoError(t, err)
	_, p, err := m.allocate(t.Context())
	require.NoError(t, err)
	spec := RobustSpec{Allocate: s, Draws: list}
	tight := spec.tightened(m, m.brings(&p), 0.95)
	require.InDelta(t, 100/1.2, tight.Fields[0].Limits[1].Room.In(units.PoundPerAcre), 1e-9)
	require.InDelta(t, 90, tight.Fields[0].Limits[0].Room.In(units.PoundPerAcre), 1e-9)
}

// What is sent away from one field changes the mix of another, which is cut by the new one:
// by hand. Slurry, whose N varies, fills the near field with 95 of 100 lb and effluent, whose N
// does not, the next one with 90. Cut to 100/1.2 the near one sends slurry on; 10 lb of it on
// the next would bring 90 + 12 there, so that its room is cut by 1.02, and the rest goes far.
func TestRoomIsCutByTheNewMix(t *testing.T) {
	s := AllocateSpec{Seasons: []string{"spring"}, Materials: []Material{tenPounds("slurry", 190), tenPounds("effluent", 180)},
		Fields: []Field{spreadFree("near", 0, 90), spreadFree("next", 1, 90), spreadFree("far", 3, 90)}, Exceptions: []Exception{{Material: "effluent", Field: "near", Forbid: true}}}
	s.Fields[1].Distances = map[string]units.Length{"effluent": 0}
	list := twentyFour(2)
	for i := range list {
		list[i].Materials[1].Holds = nil
	}
	r, err := Robust(t.Context(), RobustSpec{Allocate: s, Draws: list, Keep: 0.95})
	require.NoError(t, err)
	require.Equal(t, math.Ceil(0.72*512)/512, r.Level)
	require.InDelta(t, 0.96, r.Kept, 1e-9)
	next := 20. / 10 * (100/1.02 - 90)
	require.InDelta(t, next+3*(190-200/1.2-next), r.Price, 1e-6)
}

// Where even the worst but one in a thousand draws breaks a limit, rooms are cut by the
// worst of all; a limit that is broken once is told, of many the twenty that are broken most;
// and levels are halved nine times.
func TestRobustByTheWorst(t *testing.T) {
	s := AllocateSpec{Seasons: []string{"spring"}, Materials: []Material{tenPounds("slurry", 190), tenPounds("sludge", 0.001)},
		Fields: []Field{spreadFree("near", 0, 90), spreadFree("far", 1, 90)}}
	list := make([]Draw, 1100)
	for i := range list {
		list[i].Materials = []MaterialDraw{{Stock: 1}, {Stock: 1}}
	}
	list[700].Materials[0].Holds = []float64{2, 1} // N
	r, err := Robust(t.Context(), RobustSpec{Allocate: s, Draws: list, Keep: 1})
	require.NoError(t, err)
	require.Equal(t, []BrokenLimit{{Field: "near", Limit: "nitrogen", Share: 1. / 1100}}, r.Broken)
	require.Equal(t, 1., r.Level)
	require.Equal(t, 1., r.Kept)
	require.InDelta(t, 1099./1100, r.PlainKept, 1e-12)
	require.InDelta(t, 50, r.Plan.Fields[0].Limits[1].Room.In(units.PoundPerAcre), 1e-9)
	require.InDelta(t, 90, r.Plan.Fields[0].Limits[0].Room.In(units.PoundPerAcre), 1e-9)
	// More stock, and rates with it.
	list[700].Materials[0] = MaterialDraw{Stock: 2}
	s.Fields[0].Limits[1] = Limit{Kind: nutrient.LimitPass, Rate: nutrient.LiquidRate(10_000 * units.GallonPerAcre)}
	r, err = Robust(t.Context(), RobustSpec{Allocate: s, Draws: list, Keep: 1})
	require.NoError(t, err)
	rate, _ := r.Plan.Fields[0].Limits[1].Rate.VolumePerArea()
	require.InDelta(t, 5000, rate.In(units.GallonPerAcre), 1e-6)

	for range 25 {
		s.Fields = append(s.Fields, spreadFree(fmt.Sprint("near ", len(s.Fields)), 0, 90))
	}
	s.Materials[0].Stock = nutrient.LiquidAmount(190 * 27 * kgal)
	s.Fields[0].Limits[1] = s.Fields[1].Limits[1]
	list = list[:100]
	for i := range 20 {
		list[i].Materials[0] = MaterialDraw{Stock: 1, Holds: []float64{1.5, 1}}
	}
	r, err = Robust(t.Context(), RobustSpec{Allocate: s, Draws: list, Keep: 0.85})
	require.NoError(t, err)
	require.Len(t, r.Broken, 20)
	require.InDelta(t, 0.2, r.Broken[19].Share, 1e-12)
	// Of the draws 80 in 100 bring no more: a level above keeps them all.
	require.Equal(t, math.Ceil(0.8*512+1e-9)/512, r.Level)
	// Contents of 0 and of 100 times what was analysed may turn out, and no more.
	for x, ok := range map[float64]bool{0: true, 100: true, 100.1: false} {
		list[3].Materials[0].Holds = []float64{x, 1}
		_, err = Robust(t.Context(), RobustSpec{Allocate: s, Draws: list, Keep: 0.85})
		require.Equal(t, ok, err == nil, "%v: %v", x, err)
	}
}

// The cost of leaving a unit that a plan is made with: ten times the highest price of a way,
// ten thousand times where something is left at that, ten where nothing costs anything, and
// what the spec gives before all; and how often the prices are revised.
func TestCostOfLeaving(t *testing.T) {
	of := func(s AllocateSpec) float64 {
		r, err := allocate(s)
		require.NoError(t, err)
		return r.Materials[0].Leave.SI()
	}
	perUnit := func(dollars float64) float64 { return float64(units.PricePer(dollars, 1000*units.Gallon)) }
	s := twoByTwo()
	require.InEpsilon(t, 10*perUnit(11), of(s), 1e-9)
	s.Materials[1].Stock = nutrient.LiquidAmount(400 * kgal) // is short
	require.InEpsilon(t, 1e4*perUnit(11), of(s), 1e-9)
	s.Materials[0].Leave = nutrient.LiquidPrice(units.PricePer(3, 1000*units.Gallon))
	require.InEpsilon(t, perUnit(3), of(s), 1e-9)
	s = least()
	s.Materials[0].Stock, s.Materials[0].Spread, s.Materials[0].HaulPerMile = nutrient.LiquidAmount(10), nutrient.LiquidPrice(0), nutrient.LiquidPrice(0)
	require.InEpsilon(t, 10, of(s), 1e-9)
	m, err := build(&s, false)
	require.NoError(t, err)
	require.Equal(t, 2000, m.rounds)
}

// Of exceptions for one way the last price and the last contents count, whether they are
// about the field or about all.
func TestLastExceptionCounts(t *testing.T) {
	price := func(x float64) nutrient.UnitPrice {
		return nutrient.LiquidPrice(units.PricePer(x, 1000*units.Gallon))
	}
	one := Exception{Material: "effluent", Field: "near", Spread: price(6), Holds: []Holding{{Of: "N", Content: lb1000(2)}}}
	all := Exception{Material: "effluent", Spread: price(8), Holds: []Holding{{Of: "N", Content: lb1000(3)}}}
	for _, c := range []struct {
		exceptions []Exception
		price, n   float64
	}{{[]Exception{one}, 6, 2}, {[]Exception{all}, 8, 3}, {[]Exception{one, all}, 8, 3}, {[]Exception{all, one}, 6, 2}, {[]Exception{all, {Field: "far", Forbid: true}, one, all}, 8, 3}} {
		s := twoByTwo()
		s.Materials = s.Materials[:1]
		s.Exceptions = c.exceptions
		r, err := allocate(s)
		require.NoError(t, err)
		require.Len(t, r.Placements, 1)
		require.Equal(t, "near", r.Placements[0].Field)
		require.InDelta(t, 500*(c.price+2), r.Cost, 1e-6, "%v", c)
		require.InDelta(t, 500*c.n/50, r.Fields[0].Limits[0].Applied.In(units.PoundPerAcre), 1e-9)
	}
}

// A field that nothing limits is told once, however many materials could go there; the
// name of a constituent that is missing is told where it is missing.
func TestFaultsToldOnce(t *testing.T) {
	s := twoByTwo()
	for i := range s.Materials {
		for j := range s.Materials[i].Holds {
			s.Materials[i].Holds[j].Content = lb1000(0)
		}
	}
	_, err := allocate(s)
	require.Equal(t, []string{"fields[0].limits", "fields[1].limits"}, faultFields(err))
	s = twoByTwo()
	s.Materials[0].Holds = append(s.Materials[0].Holds, Holding{Content: lb1000(1)})
	s.Fields[0].Needs = []Need{{Of: "", Need: 1}}
	s.Prices = []Price{{Of: "", Price: 1}}
	_, err = allocate(s)
	require.Equal(t, []string{"materials[0].holds[2].of", "fields[0].needs[0].of", "prices[0].of"}, faultFields(err))
}

// What would be left without the limits of a kind, where nothing else limits: nothing, also
// of several materials on one field; where no field takes a material there is no land like it.
func TestShortageOfOneField(t *testing.T) {
	for _, n := range []int{1, 2} {
		s := twoByTwo()
		s.Materials, s.Fields = s.Materials[:n], s.Fields[:1]
		s.Fields[0].Limits = s.Fields[0].Limits[:1]
		timesAmount(&s.Materials[0].Stock, 10)
		r, err := allocate(s)
		require.NoError(t, err)
		require.Len(t, r.Shortage.Relief, 1)
		require.Equal(t, nutrient.LimitNitrogen, r.Shortage.Relief[0].Kind)
		require.True(t, r.Shortage.Relief[0].All)
		require.Zero(t, r.Shortage.Relief[0].Left[0].SI())
		require.Equal(t, "near", r.Shortage.Like)
	}
	s := twoByTwo()
	s.Exceptions = []Exception{{Material: "sludge", Forbid: true}}
	r, err := allocate(s)
	require.NoError(t, err)
	require.NotNil(t, r.Shortage)
	require.Zero(t, r.Shortage.Acres)
	require.Empty(t, r.Shortage.Like)
	// On one field only: the effluent makes room there, and 100 of 20 lb are left.
	s.Exceptions[0].Field = "far"
	r, err = allocate(s)
	require.NoError(t, err)
	require.Equal(t, "near", r.Shortage.Like)
	require.InDelta(t, 100*20/40., r.Shortage.Acres.In(units.Acre), 1e-6)

	// What is left brings its contents of later years, too, as from the first season.
	s = twoSeasons()
	s.Materials[0].Stock = nutrient.LiquidAmount(900_000 * units.Gallon)
	s.Materials[0].Holds[0].Later = []nutrient.Content{lb1000(3), lb1000(50)}
	r, err = allocate(s)
	require.NoError(t, err)
	left, _ := r.Materials[0].Left.Volume()
	require.Positive(t, float64(left))
	require.InDelta(t, left.In(kgal)*13, r.Shortage.Room[0].Mass.In(units.Pound), 1e-6)
}

// The limits of a field as those on one material alone: of its form, of its name or of no
// name, with what it holds of the constituent.
func TestRateLimitsOfOneMaterial(t *testing.T) {
	slurry := Material{Name: "slurry", Stock: nutrient.LiquidAmount(1), Holds: []Holding{{Of: "N", Content: lb1000(10)}, {Of: "P2O5", Content: lb1000(4)}}}
	rate := nutrient.LiquidRate(0.01)
	f := Field{Limits: []Limit{
		{Kind: nutrient.LimitPhosphorus, Name: "index", Of: "P2O5", Room: 0.02}, {Kind: nutrient.LimitPass, Rate: rate}, {Kind: nutrient.LimitPass, Rate: nutrient.SolidRate(3)},
		{Kind: nutrient.LimitWater, Rate: rate, Material: "slurry"}, {Kind: nutrient.LimitWater, Rate: rate, Material: "effluent"}, {Kind: nutrient.LimitNitrogen, Of: "N", Room: 0.03}, {Kind: nutrient.LimitMetal, Of: "Zn", Room: 1},
	}}
	require.Equal(t, []nutrient.Limit{
		{Kind: nutrient.LimitPhosphorus, Name: "index", Room: 0.02, Holds: lb1000(4)}, {Kind: nutrient.LimitPass, Rate: rate}, {Kind: nutrient.LimitWater, Rate: rate},
		{Kind: nutrient.LimitNitrogen, Room: 0.03, Holds: lb1000(10)}, {Kind: nutrient.LimitMetal, Room: 1},
	}, f.RateLimits(slurry))
}

// Where not all finds room the least is left, a cubic metre and a tonne counted alike: of
// what takes 1.0 kg of the room in each, and what takes a tenth more or less in each of the
// other form, the one that takes more stays.
func TestLeftAreCountedAlike(t *testing.T) {
	for _, solid := range []float64{0.9, 1.1} {
		s := least()
		s.Materials[0].Stock, s.Materials[0].Holds = nutrient.LiquidAmount(80), []Holding{{Of: "N", Content: nutrient.LiquidContent(1)}}
		s.Materials = append(s.Materials, Material{Name: "compost", Stock: nutrient.SolidAmount(80 * units.Tonne), Holds: []Holding{{Of: "N", Content: nutrient.SolidContent(units.MassFraction(solid / 1000))}},
			Spread: nutrient.SolidPrice(0.002), HaulPerMile: nutrient.SolidPrice(0)})
		r, err := allocate(s) // 100 kg of room
		require.NoError(t, err)
		left := []float64{r.Materials[0].Left.SI(), r.Materials[1].Left.SI() / 1000}
		stays := 0
		if solid > 1 {
			stays = 1
		}
		require.InDelta(t, 0, left[1-stays], 1e-6, "%v", left)
		require.InDelta(t, (80+80*solid-100)/[]float64{1, solid}[stays], left[stays], 1e-6, "%v", left)
	}
}

// A need of nothing earns nothing, and contents of an exception are held to the material
// whether or not it has a price.
func TestNeedOfNothing(t *testing.T) {
	s := twoByTwo()
	s.Prices = []Price{{"N", units.PricePer(0.5, units.Pound)}}
	s.Fields[0].Needs = []Need{{Of: "N"}}
	r, err := allocate(s)
	require.NoError(t, err)
	require.InDelta(t, 5400, r.Net, 1e-6)
	require.Zero(t, r.Credit)
	require.InDelta(t, float64(r.Fields[0].Limits[0].Applied), float64(r.Fields[0].Needs[0].Excess), 1e-15)
	solid := []Holding{{Of: "N", Content: nutrient.SolidContent(0.01)}}
	s.Exceptions = []Exception{{Material: "sludge", Holds: solid}, {Holds: []Holding{{Of: "N", Content: lb1000(1)}}}, {Material: "sludge", Holds: []Holding{{Of: "Zn", Content: lb1000(1)}}}}
	_, err = allocate(s)
	require.Equal(t, []string{"exceptions[0].holds[0].content", "exceptions[1].material", "exceptions[2].holds[0].of"}, faultFields(err))
}
