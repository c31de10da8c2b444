package allocation

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// twoByTwo is a case that a pencil solves. In 1000 gal:
//
//	effluent  500   4 lb N   1 lb P2O5 each
//	sludge    200  10 lb N  20 lb P2O5
//	near   50 ac  5,000 lb N   2,000 lb P2O5  5 + 1 x 2 =  7 each
//	far   100 ac 10,000 lb N   6,000 lb P2O5  5 + 3 x 2 = 11 each
//
// Each 1000 gal on the near field instead of the far one saves 4, so as many as
// possible go there: 4 e + 10 s <= 5,000 and e + 20 s <= 2,000. All effluent
// (e = 500) leaves room for s = 1,500 / 20 = 75 by P and 300 by N; a swap of
// effluent for sludge loses 20 for 1. The other 125 of sludge go far, within
// 10,000 / 10 and 6,000 / 20. Cost 575 x 7 + 125 x 11 = 5,400.
func twoByTwo() AllocateSpec {
	field := func(name string, acres units.Area, miles units.Length, p2o5 units.MassPerArea) Field {
		return Field{Name: name, Area: acres * units.Acre, Distance: miles * units.Mile, Limits: []Limit{
			{Kind: nutrient.LimitNitrogen, Of: "N", Room: 100 * units.PoundPerAcre, Season: "fall"},
			{Kind: nutrient.LimitPhosphorus, Of: "P2O5", Room: p2o5 * units.PoundPerAcre},
		}}
	}
	material := func(name string, stock, n, p float64) Material {
		return Material{Name: name, Stock: nutrient.LiquidAmount(units.Volume(stock) * 1000 * units.Gallon),
			Holds:  []Holding{{Of: "N", Content: lb1000(n)}, {Of: "P2O5", Content: lb1000(p)}},
			Spread: nutrient.LiquidPrice(units.PricePer(5, 1000*units.Gallon)), HaulPerMile: nutrient.LiquidPrice(units.PricePer(2, 1000*units.Gallon))}
	}
	return AllocateSpec{
		Seasons:   []string{"fall"},
		Materials: []Material{material("effluent", 500, 4, 1), material("sludge", 200, 10, 20)},
		Fields:    []Field{field("near", 50, 1, 40), field("far", 100, 3, 60)},
	}
}

func TestHandSolvedAllocation(t *testing.T) {
	r, err := allocate(twoByTwo())
	require.NoError(t, err)
	require.InDelta(t, 5400, r.Net, 1e-6)
	require.InDelta(t, 5400, r.Bound, 1e-6)
	require.True(t, r.FractionalProved)
	require.Nil(t, r.Shortage)
	var got []float64
	for _, p := range r.Placements {
		v, _ := p.Amount.Volume()
		got = append(got, v.In(1000*units.Gallon))
	}
	require.InDeltaSlice(t, []float64{500, 75, 125}, got, 1e-6) // near effluent, near sludge, far sludge
	// Sludge far at the highest rate, 60 lb of P2O5: 3,000 gal/ac on 41.7 ac.
	highest, _ := r.Placements[2].Highest.VolumePerArea()
	require.InDelta(t, 3000, highest.In(units.GallonPerAcre), 1e-6)
	require.InDelta(t, 125.0/3, r.Placements[2].Least.In(units.Acre), 1e-6)

	// One more lb of P2O5 room near moves 1/20 of sludge, which saves 4/20; an acre
	// has 40 lb. A mile off the near way saves 2 x 575.
	near := r.Fields[0]
	require.InDelta(t, 0.2, near.Limits[1].Worth.Of(units.Pound), 1e-9)
	require.Zero(t, near.Limits[0].Worth)
	require.InDelta(t, 8, near.Acre.Of(units.Acre), 1e-9)
	require.InDelta(t, 1150, near.Mile.Of(units.Mile), 1e-6)
	require.InDelta(t, 250, r.Fields[1].Mile.Of(units.Mile), 1e-6)
	require.InDelta(t, 40, near.Limits[1].Applied.In(units.PoundPerAcre), 1e-9)
	// One more of effluent goes near, for 7, and pushes 1/20 of sludge out, for 0.2;
	// one more of sludge goes far.
	require.Equal(t, "7.20 per 1000 gal", r.Materials[0].Marginal.String())
	require.Equal(t, "11.00 per 1000 gal", r.Materials[1].Marginal.String())
}

// The same figures with sludge by the ton: liquid and solid share the rooms, but
// not a limit on liquid.
func TestHandSolvedAllocationOfTwoForms(t *testing.T) {
	s := twoByTwo()
	s.Materials[1] = Material{
		Name: "sludge", Stock: nutrient.SolidAmount(200 * units.Ton),
		Holds:  []Holding{{Of: "N", Content: nutrient.SolidContent(10 * units.PoundPerTon)}, {Of: "P2O5", Content: nutrient.SolidContent(20 * units.PoundPerTon)}},
		Spread: nutrient.SolidPrice(units.PricePer(5, units.Ton)), HaulPerMile: nutrient.SolidPrice(units.PricePer(2, units.Ton)),
		Load: nutrient.SolidAmount(15 * units.Ton),
	}
	r, err := allocate(s)
	require.NoError(t, err)
	require.InDelta(t, 5400, r.Fractional, 1e-6)
	require.Equal(t, "11.00 per ton", r.Materials[1].Marginal.String())
	require.Equal(t, 5, r.Placements[1].Loads) // 75 ton
	require.Equal(t, 9, r.Placements[2].Loads) // 8 and the last, short one
	// At most 400 of liquid near: 100 of effluent go far, which makes room for 5 ton.
	s.Fields[0].Limits = append(s.Fields[0].Limits, Limit{Kind: nutrient.LimitWater, Rate: nutrient.LiquidRate(8000 * units.GallonPerAcre), Season: "fall"})
	r, err = allocate(s)
	require.NoError(t, err)
	require.InDelta(t, 5400+100*4-5*4, r.Fractional, 1e-6)
}

func TestHandSolvedLoads(t *testing.T) {
	s := twoByTwo()
	// Loads of 7: 75 is 10 loads (70) and 125 is 17 (119); 11 are left. The near
	// field has room for 5, so one load goes far and the last, short one of 4 near.
	s.Materials[1].Load = nutrient.LiquidAmount(7000 * units.Gallon)
	r, err := allocate(s)
	require.NoError(t, err)
	require.Equal(t, []int{0, 11, 18}, []int{r.Placements[0].Loads, r.Placements[1].Loads, r.Placements[2].Loads})
	require.InDelta(t, 574*7+126*11, r.Net, 1e-6)
	require.InDelta(t, 5400, r.Fractional, 1e-6)
	require.InDelta(t, 0, r.Materials[1].Left.SI(), 1e-9)
}

func TestAllocationShortage(t *testing.T) {
	s := twoByTwo()
	// 500 of effluent and 400 of sludge bring 8,500 lb of P2O5, for which there are
	// 8,000 lb of room. Least is left when it is the sludge that stays: 500 / 20.
	s.Materials[1].Stock = nutrient.LiquidAmount(400 * 1000 * units.Gallon)
	r, err := allocate(s)
	require.NoError(t, err)
	require.NotNil(t, r.Shortage)
	left, _ := r.Materials[1].Left.Volume()
	require.InDelta(t, 25, left.In(1000*units.Gallon), 1e-6)
	require.InDelta(t, 0, r.Materials[0].Left.SI(), 1e-9)
	require.Equal(t, "P2O5", r.Shortage.Room[0].Of)
	require.InDelta(t, 500, r.Shortage.Room[0].Mass.In(units.Pound), 1e-6)
	// 500 lb at 60 lb/ac; at 40 lb/ac it would be 12.5 ac.
	require.Equal(t, "far", r.Shortage.Like)
	require.InDelta(t, 500.0/60, r.Shortage.Acres.In(units.Acre), 1e-6)
	require.Len(t, r.Shortage.Relief, 1)
	require.Equal(t, nutrient.LimitPhosphorus, r.Shortage.Relief[0].Kind)
	require.True(t, r.Shortage.Relief[0].All)
	require.Contains(t, r.String(), "missing land")

	// The land it asks for is enough.
	s.Fields[1].Area += r.Shortage.Acres * (1 + 1e-9)
	r, err = allocate(s)
	require.NoError(t, err)
	require.Nil(t, r.Shortage)
}

// The same shortage at any size of stocks and fields.
func TestAllocationShortageOfAnySize(t *testing.T) {
	for _, k := range []float64{1e-7, 1e-3, 1, 1e3} {
		s := twoByTwo()
		s.Materials[1].Stock = nutrient.LiquidAmount(400 * kgal)
		for i := range s.Materials {
			timesAmount(&s.Materials[i].Stock, k)
			s.Fields[i].Area *= units.Area(k)
		}
		r, err := allocate(s)
		require.NoError(t, err)
		require.NotNil(t, r.Shortage, k)
		left, _ := r.Materials[1].Left.Volume()
		require.InEpsilon(t, 25*k, left.In(kgal), 1e-6)
		require.InEpsilon(t, 500*k/60, r.Shortage.Acres.In(units.Acre), 1e-6)
		require.True(t, r.Shortage.Relief[0].All)
		// Of one that is nearly enough nothing counts as left.
		s.Fields[1].Area += r.Shortage.Acres * (1 - 1e-8)
		r, err = allocate(s)
		require.NoError(t, err)
		require.Nil(t, r.Shortage, k)
	}
}

func TestAllocationShortageOfStorage(t *testing.T) {
	s := twoByTwo()
	s.Seasons = []string{"fall", "spring"}
	for k := range s.Fields {
		spring := s.Fields[k].Limits[0]
		spring.Season = "spring"
		s.Fields[k].Limits = append(s.Fields[k].Limits, spring)
		s.Fields[k].Limits[1].Room = 200 * units.PoundPerAcre
	}
	// 15,000 lb of N room in fall takes 3,750 of effluent.
	s.Materials[0].Stock = nutrient.LiquidAmount(4000 * 1000 * units.Gallon)
	s.Materials = s.Materials[:1]
	s.Materials[0].Seasons = []string{"fall"}
	r, err := allocate(s)
	require.NoError(t, err)
	require.NotNil(t, r.Shortage)
	left, _ := r.Materials[0].Left.Volume()
	require.InDelta(t, 250, left.In(1000*units.Gallon), 1e-6)
	// 250 of 4 lb N at 100 lb/ac in fall only.
	require.InDelta(t, 10, r.Shortage.Acres.In(units.Acre), 1e-6)
	require.True(t, r.Shortage.Relief[0].Storage)
	require.True(t, r.Shortage.Relief[0].All)
}

// Materials of different seasons are left: the missing land takes each in its own.
func TestAllocationShortageOfTwoSeasons(t *testing.T) {
	s := twoByTwo()
	s.Seasons = []string{"fall", "spring"}
	for k := range s.Fields {
		s.Fields[k].Limits[0].Season = "" // 100 lb N/ac over both, 15,000 lb in all
		s.Fields[k].Limits[1].Room = 1000 * units.PoundPerAcre
	}
	s.Materials[0].Seasons, s.Materials[1].Seasons = []string{"fall"}, []string{"spring"}
	s.Materials[0].Stock = nutrient.LiquidAmount(3000 * 1000 * units.Gallon) // 12,000 lb N
	s.Materials[1].Stock = nutrient.LiquidAmount(1000 * 1000 * units.Gallon) // 10,000 lb N
	r, err := allocate(s)
	require.NoError(t, err)
	require.NotNil(t, r.Shortage)
	require.Equal(t, "N", r.Shortage.Room[0].Of)
	require.InDelta(t, 7000, r.Shortage.Room[0].Mass.In(units.Pound), 1e-6)
	require.InDelta(t, 70, r.Shortage.Acres.In(units.Acre), 1e-6)
	// With a price on what is left of the sludge only effluent counts.
	s.Materials[0].Stock = nutrient.LiquidAmount(5000 * 1000 * units.Gallon)
	s.Materials[1].Leave = nutrient.LiquidPrice(0)
	r, err = allocate(s)
	require.NoError(t, err)
	require.InDelta(t, 5000, r.Shortage.Room[0].Mass.In(units.Pound), 1e-6)
	require.InDelta(t, 50, r.Shortage.Acres.In(units.Acre), 1e-6)
}

// A field without P room still tells what the first of it would be worth.
func TestAllocationWorthOfNoRoom(t *testing.T) {
	s := twoByTwo()
	s.Fields[0].Limits[1].Room = 0
	s.Fields[1].Limits[1].Room = 120 * units.PoundPerAcre
	r, err := allocate(s)
	require.NoError(t, err)
	require.Nil(t, r.Shortage)
	// All goes far for 700 x 11. One lb of room near takes one of effluent and saves 4.
	require.InDelta(t, 7700, r.Net, 1e-6)
	require.InDelta(t, 4, r.Fields[0].Limits[1].Worth.Of(units.Pound), 1e-9)
	s.Fields[0].Limits[1].Room = 1e-3 * units.PoundPerAcre
	after, err := allocate(s)
	require.NoError(t, err)
	require.InDelta(t, 4*50*1e-3, r.Net-after.Net, 1e-6)

	// The same by a rate.
	s.Fields[0].Limits = append(s.Fields[0].Limits[:1], Limit{Kind: nutrient.LimitPass, Rate: nutrient.LiquidRate(0)})
	r, err = allocate(s)
	require.NoError(t, err)
	require.Equal(t, "4.00 per 1000 gal", r.Fields[0].Limits[1].PerUnit.String())
}

// With a price for leaving, the plan leaves what costs more to place.
func TestAllocationLeaves(t *testing.T) {
	s := twoByTwo()
	s.Materials[1].Leave = nutrient.LiquidPrice(units.PricePer(9, 1000*units.Gallon))
	r, err := allocate(s)
	require.NoError(t, err)
	require.Nil(t, r.Shortage)
	require.InDelta(t, 575*7, r.Cost, 1e-6)
	require.InDelta(t, 125*9, r.Leaving, 1e-6)
	require.InDelta(t, r.Net, r.Fractional, 1e-6)
}

// One material on fields of one limit each: the nearest fields first.
func TestAllocationOfOneSourceIsGreedy(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1))
	for i := range 300 {
		n := 1 + r.IntN(10)
		costs, room, supply := make([]float64, n), make([]float64, n), 0.0
		size := []float64{1e-4, 1, 1e3}[i%3]
		for k := range n {
			costs[k], room[k] = 1+9*r.Float64(), size*(0.1+0.9*r.Float64())
			if k > 0 && r.IntN(4) == 0 {
				room[k] = 0
			}
			supply += room[k]
		}
		// Also exactly all that fits, where a simplex with a first phase goes astray.
		if r.IntN(3) > 0 {
			supply *= r.Float64()
		}
		got, err := allocate(carriage([][]float64{costs}, []float64{supply}, room))
		require.NoError(t, err)
		var want float64
		used := make([]bool, n)
		for left := supply; left > 1e-13*supply; {
			best := -1
			for k := range n {
				if !used[k] && (best < 0 || costs[k] < costs[best]) {
					best = k
				}
			}
			if best < 0 {
				break
			}
			used[best] = true // fields of no room too
			x := min(left, room[best])
			want += x * costs[best]
			left -= x
		}
		require.InEpsilon(t, want, got.Fractional, 1e-9)
		require.Nil(t, got.Shortage)
	}
}

// The net cost is convex in rooms, areas and stocks and concave in distances:
// every price lies between the slopes on its two sides.
func TestAllocationPricesAreSlopes(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 1))
	tried := 0
	for range 40 {
		s := farm(r, 1+r.IntN(3), 1+r.IntN(5), 1+r.IntN(2))
		base, err := allocate(s)
		require.NoError(t, err)
		if base.Shortage != nil {
			continue
		}
		tried++
		const step = 1e-4
		between := func(price, was float64, set func(float64), convex bool) {
			t.Helper()
			at := func(x float64) float64 {
				set(x)
				got, err := allocate(s)
				require.NoError(t, err)
				require.Nil(t, got.Shortage)
				return got.Fractional
			}
			down := (base.Fractional - at(was*(1-step))) / (was * step)
			up := (at(was*(1+step)) - base.Fractional) / (was * step)
			set(was)
			if !convex {
				down, up = up, down
			}
			tol := 1e-9 * base.Cost / (was * step)
			require.LessOrEqual(t, down-tol, price)
			require.GreaterOrEqual(t, up+tol, price)
		}
		k := r.IntN(len(s.Fields))
		f := &s.Fields[k]
		between(-float64(base.Fields[k].Acre), float64(f.Area), func(x float64) { f.Area = units.Area(x) }, true)
		between(float64(base.Fields[k].Mile), float64(f.Distance), func(x float64) { f.Distance = units.Length(x) }, false)
		for i := range f.Limits {
			if f.Limits[i].Of != "" {
				between(-float64(base.Fields[k].Limits[i].Worth)*float64(f.Area), float64(f.Limits[i].Room), func(x float64) { f.Limits[i].Room = units.MassPerArea(x) }, true)
			} else {
				between(-base.Fields[k].Limits[i].PerUnit.SI()*float64(f.Area), f.Limits[i].Rate.SI(), func(x float64) { f.Limits[i].Rate = rateOf(nutrient.Liquid, x) }, true)
			}
		}
		between(base.Materials[0].Marginal.SI(), s.Materials[0].Stock.SI(), func(x float64) { s.Materials[0].Stock = amountOf(nutrient.Liquid, x) }, true)
	}
	require.Greater(t, tried, 10)
}

// Numbers from anywhere give a fault or a plan within all limits.
func TestAllocateExtremes(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 1))
	plans := 0
	for i := range 600 {
		s := farm(r, 1+r.IntN(3), 1+r.IntN(4), 1+r.IntN(2))
		wild := func() float64 {
			if r.IntN(5) == 0 {
				return 0
			}
			if i%2 == 0 {
				return math.Pow(10, 240*(r.Float64()-0.5))
			}
			return math.Pow(10, 6*r.NormFloat64())
		}
		for range 1 + r.IntN(4) {
			f := &s.Fields[r.IntN(len(s.Fields))]
			m := &s.Materials[r.IntN(len(s.Materials))]
			switch r.IntN(8) {
			case 0:
				f.Area *= units.Area(wild())
			case 1:
				f.Distance *= units.Length(wild())
			case 2:
				f.Limits[0].Room *= units.MassPerArea(wild())
			case 3:
				timesRate(&f.Limits[1].Rate, wild())
			case 4:
				timesAmount(&m.Stock, wild())
			case 5:
				timesContent(&m.Holds[0].Content, wild())
			case 6:
				timesAmount(&m.Load, wild())
			case 7:
				timesPrice(&m.Spread, wild())
			}
		}
		got, err := allocate(s)
		if err != nil {
			require.NotEmpty(t, units.FieldErrors(err))
			continue
		}
		plans++
		require.False(t, math.IsNaN(got.Net) || math.IsInf(got.Net, 0))
		require.False(t, math.IsNaN(got.Bound) || math.IsInf(got.Bound, 0))
		for _, f := range got.Fields {
			for _, l := range f.Limits {
				require.LessOrEqual(t, float64(l.Applied), float64(l.Room)*(1+1e-6))
				require.LessOrEqual(t, l.Used.SI(), l.Rate.SI()*(1+1e-6))
				require.False(t, math.IsNaN(float64(l.Worth)) || math.IsInf(float64(l.Worth), 0))
			}
		}
	}
	require.Greater(t, plans, 150)
}

func TestMoreRoomNeverCostsMore(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 1))
	for range 30 {
		s := farm(r, 1+r.IntN(3), 1+r.IntN(6), 1+r.IntN(3))
		before, err := allocate(s)
		require.NoError(t, err)
		f := &s.Fields[r.IntN(len(s.Fields))]
		l := &f.Limits[r.IntN(len(f.Limits))]
		l.Room *= 1.2
		if !l.Rate.IsZero() {
			timesRate(&l.Rate, 1.2)
		}
		after, err := allocate(s)
		require.NoError(t, err)
		if before.Shortage == nil {
			require.LessOrEqual(t, after.Fractional, before.Fractional+1e-7*before.Cost)
		}
	}
}

func TestAllocationStoppedEarlyShowsItsBound(t *testing.T) {
	s := farm(rand.New(rand.NewPCG(7, 1)), 4, 40, 2)
	best, err := allocate(s)
	require.NoError(t, err)
	require.True(t, best.FractionalProved)
	s.MaxRounds = 12
	r, err := allocate(s)
	require.NoError(t, err)
	require.False(t, r.FractionalProved)
	require.LessOrEqual(t, r.Bound, best.Fractional)
	require.GreaterOrEqual(t, r.Fractional, best.Fractional-1e-6)
	require.Contains(t, r.String(), "when the search was stopped; no plan is below")
}

// Credits that nearly cancel the cost must not keep the program from its end.
func TestAllocationOfNoNetCost(t *testing.T) {
	for seed := range uint64(12) {
		s := farm(rand.New(rand.NewPCG(seed, 1)), 5, 60, 3)
		for i := range s.Materials {
			timesAmount(&s.Materials[i].Stock, 2)
		}
		r, err := allocate(s)
		require.NoError(t, err)
		require.True(t, r.FractionalProved, seed)
		require.Less(t, r.Rounds, 200)
		text, err := json.Marshal(r)
		require.NoError(t, err)
		require.NotContains(t, string(text), "NaN")
	}
}

func TestAllocationIsTheSameEachTime(t *testing.T) {
	s := farm(rand.New(rand.NewPCG(8, 1)), 4, 30, 2)
	a, err := allocate(s)
	require.NoError(t, err)
	b, err := allocate(s)
	require.NoError(t, err)
	require.Equal(t, a, b)
}
