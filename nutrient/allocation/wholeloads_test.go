package allocation

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/nutrient/internal/lp"
	"example.org/earthbasin/units"
)

// After rounding no single load has a cheaper place that the limits allow, seen
// from the placements alone; and the plan is within the limits.
func TestNoLoadHasACheaperPlace(t *testing.T) {
	r := rand.New(rand.NewPCG(10, 1))
	var loss, whole float64
	for range 15 {
		s := farm(r, 1+r.IntN(3), 1+r.IntN(6), 1+r.IntN(3))
		m, err := build(&s, false)
		require.NoError(t, err)
		sol, err := m.solve(t.Context())
		require.NoError(t, err)
		p := m.whole(&sol).plan
		// cost of the plan of block k, and whether it is within the limits.
		block := func(k int) (cost float64, fits bool) {
			return costOf(&m.Blocks[k], p.placed[k], 1e-7)
		}
		total := func() (sum float64) {
			for k := range m.Blocks {
				c, fits := block(k)
				require.True(t, fits)
				sum += c
			}
			return sum
		}
		for i, x := range sol.Left {
			require.InDelta(t, 0, x, 1e-6*m.Stock[i])
		}
		loss += total() - sol.Value
		whole += math.Abs(sol.Value)
		for k := range m.Blocks {
			for j, f := range m.Blocks[k].Flows {
				l := s.Materials[f.Material].Load.SI()
				if p.placed[k][j] < l {
					continue
				}
				for k2 := range m.Blocks {
					for j2, g := range m.Blocks[k2].Flows {
						if g.Material != f.Material || k2 == k && j2 == j {
							continue
						}
						was, _ := block(k)
						if k2 != k {
							other, _ := block(k2)
							was += other
						}
						p.placed[k][j] -= l
						p.placed[k2][j2] += l
						now, fits := block(k2)
						if k2 != k {
							other, _ := block(k)
							now += other
						}
						p.placed[k][j] += l
						p.placed[k2][j2] -= l
						require.False(t, fits && now < was-1e-4, "%v cheaper", was-now)
					}
				}
			}
		}
	}
	require.Less(t, loss, 0.05*whole)
}

// crowdedRounder draws a farm of few fields that may be full, on which one season may be
// cheaper, with loads anywhere, of which none is moved yet.
func crowdedRounder(t *testing.T, rnd *rand.Rand) *rounder {
	s := farm(rnd, 1+rnd.IntN(3), 1+rnd.IntN(4), 2+rnd.IntN(2))
	for i := range s.Materials {
		m := &s.Materials[i]
		timesAmount(&m.Load, 10)
		timesAmount(&m.Stock, 8)
		cheap := m.Spread
		timesPrice(&cheap, rnd.Float64())
		s.Exceptions = append(s.Exceptions, Exception{Material: m.Name, Season: s.Seasons[0], Spread: cheap})
		if rnd.IntN(2) == 0 {
			m.Leave = nutrient.LiquidPrice(units.Price[units.Volume](m.Spread.SI() * 2 * rnd.Float64()))
		}
	}
	m, err := build(&s, false)
	require.NoError(t, err)
	m.setLeave(leaveFactor)
	r := &rounder{model: m, plan: plan{left: slices.Clone(m.Stock)}}
	for _, b := range m.Blocks {
		r.used, r.placed, r.loads = append(r.used, make([]float64, b.Rows)), append(r.placed, make([]float64, len(b.Flows))), append(r.loads, make([]int, len(b.Flows)))
	}
	r.setLots()
	for range rnd.IntN(200) {
		l := &r.lots[rnd.IntN(len(r.lots))]
		if p := rnd.IntN(len(l.places)); l.free > 0 && r.fits(l.places[p], l.size) {
			r.shift(l, p, 1)
		}
	}
	return r
}

// bestMove returns the move of a load of l that saves most, by trying them all: from any
// place with a load, or the heap, to any other with room for it.
func bestMove(r *rounder, l *lot) (from, to int, best float64) {
	for p := behind; p < len(l.places); p++ {
		if p == behind && l.free == 0 || p != behind && l.count[p] == 0 {
			continue
		}
		for q := behind; q < len(l.places); q++ {
			if s := saves(r, l, p, q); p != q && s > best {
				from, to, best = p, q, s
			}
		}
	}
	return from, to, best
}

// The root of the tree of moves holds the best there is, at the change of the cost of the
// fields as the plan stands before and after: for all lots, from plans of any loads, and after
// moves that are not the best.
func TestRootHoldsTheBestMove(t *testing.T) {
	rnd := rand.New(rand.NewPCG(16, 1))
	within, from, to, across, none := 0, 0, 0, 0, 0
	for n := range 20 {
		r := crowdedRounder(t, rnd)
		r.moves = math.MaxInt // so that improve moves none
		r.improve()
		for range 12 {
			for i := range r.lots {
				l := &r.lots[i]
				_, _, best := bestMove(r, l)
				root := l.tree[1]
				require.InDelta(t, best, root.gain, 1e-7*(1+best), "farm %d", n)
				if root.gain == 0 {
					none++
					continue
				}
				require.InDelta(t, root.gain, saves(r, l, root.from, root.to), 1e-7*(1+best), "farm %d: %d to %d", n, root.from, root.to)
				switch {
				case root.from == behind:
					from++
				case root.to == behind:
					to++
				case l.places[root.from].k == l.places[root.to].k:
					within++
				default:
					across++
				}
			}
			// Any move.
			l := &r.lots[rnd.IntN(len(r.lots))]
			p, q := rnd.IntN(len(l.places)), rnd.IntN(len(l.places))
			if l.count[p] > 0 && p != q && !math.IsInf(saves(r, l, p, q), -1) {
				r.move(l, p, -1)
				r.move(l, q, 1)
			}
		}
	}
	require.Greater(t, min(within, from, to, across, none), 10, "%v", []int{within, from, to, across, none})
}

// Loads move one at a time, of all lots the one that saves most first, until none saves
// anything: as they do by trying all moves at every step.
func TestLoadsMoveByWhatTheySave(t *testing.T) {
	moves := 0
	for n := range uint64(25) {
		r, want := crowdedRounder(t, rand.New(rand.NewPCG(n, 17))), crowdedRounder(t, rand.New(rand.NewPCG(n, 17)))
		r.improve()
		steps := 0
		for ; ; steps++ {
			var lot, from, to int
			var best float64
			for i := range want.lots {
				if p, q, s := bestMove(want, &want.lots[i]); s > best+1e-7 {
					lot, from, to, best = i, p, q, s
				}
			}
			if best == 0 {
				break
			}
			for p, n := range map[int]int{from: -1, to: 1} {
				if p != behind {
					want.shift(&want.lots[lot], p, n)
				}
			}
		}
		require.Equal(t, steps, r.moves, n)
		require.Equal(t, want.loads, r.loads, n)
		moves += steps
	}
	require.Greater(t, moves, 200)
}

// costOf returns what a field costs with so much placed by each flow, and whether that is
// within its limits, which are 1, but for the slack.
func costOf(b *lp.Block, placed []float64, slack float64) (cost float64, fits bool) {
	used := make([]float64, b.Rows)
	for j, f := range b.Flows {
		cost += f.Cost * placed[j]
		for i, a := range f.Uses {
			used[i] += a * placed[j]
		}
	}
	for _, e := range b.Extra {
		cost += e.Cost * max(0, used[e.Row]-1)
	}
	return cost, !slices.ContainsFunc(used[:b.Rows-len(b.Extra)], func(u float64) bool { return !(u <= 1+slack) })
}

// saves returns what the move of a load from one place to another saves, by the costs of the
// fields and of the heap before and after; minus infinity where the limits do not allow it.
func saves(r *rounder, l *lot, from, to int) float64 {
	fits := true
	total := func() float64 {
		sum := r.Leave[l.material] * r.left[l.material]
		for k := range r.Blocks {
			cost, within := costOf(&r.Blocks[k], r.placed[k], 1e-9)
			sum, fits = sum+cost, fits && within
		}
		return sum
	}
	put := func(p int, x float64) {
		if p != behind {
			r.placed[l.places[p].k][l.places[p].j] += x
			r.left[l.material] -= x
		}
	}
	was := total()
	put(from, -l.size)
	put(to, l.size)
	fits = true
	now := total()
	put(from, l.size)
	put(to, -l.size)
	if !fits {
		return math.Inf(-1)
	}
	return was - now
}

// spreadOnce is 300,000 gal at 30 lb N on 100 acres that need 30 lb of it each: the
// first 100,000 gal earn 18 for the 12 of spreading them, the others nothing, and
// leaving them costs 1.
func spreadOnce(load units.Volume) AllocateSpec {
	s := AllocateSpec{
		Seasons: []string{"fall"},
		Materials: []Material{{Name: "slurry", Stock: nutrient.LiquidAmount(300_000 * units.Gallon), Holds: []Holding{{Of: "N", Content: lb1000(30)}},
			Spread: nutrient.LiquidPrice(units.PricePer(12, 1000*units.Gallon)), HaulPerMile: nutrient.LiquidPrice(0), Leave: nutrient.LiquidPrice(units.PricePer(1, 1000*units.Gallon))}},
		Fields: []Field{{Name: "all", Area: 100 * units.Acre,
			Limits: []Limit{{Kind: nutrient.LimitNitrogen, Of: "N", Room: 150 * units.PoundPerAcre}},
			Needs:  []Need{{Of: "N", Need: 30 * units.PoundPerAcre}}}},
		Prices: []Price{{"N", units.PricePer(0.6, units.Pound)}},
	}
	if load > 0 {
		s.Materials[0].Load = nutrient.LiquidAmount(load)
	}
	return s
}

// Nothing goes where it costs more than leaving it: credits end where needs do.
func TestNothingIsPlacedThatCostsMoreThanLeavingIt(t *testing.T) {
	// By hand: 100 x (12 - 18) + 200 x 1 = -400. Loads of 4,000 gal fit the need 25
	// times, those of 30,000 gal three times and then a third of one.
	for _, load := range []units.Volume{0, 4000 * units.Gallon, 30_000 * units.Gallon, 250_000 * units.Gallon} {
		r, err := allocate(spreadOnce(load))
		require.NoError(t, err)
		require.InDelta(t, -400, r.Net, 1e-6)
		require.InDelta(t, -400, r.Fractional, 1e-6)
		require.InDelta(t, -400, r.Bound, 1e-6)
		require.InDelta(t, 0, r.Gap, 1e-6)
		require.InDelta(t, 1800, r.Credit, 1e-6)
	}
}

// Where the price of leaving is not given, all goes out, also where the credit takes
// back the cost but for a cent and nothing is earned above the need.
func TestAllIsPlacedWhereCreditsCancelCosts(t *testing.T) {
	for _, spread := range []float64{18, 18.0001, 17.9999, 12} {
		s := spreadOnce(0)
		s.Materials[0].Leave = nutrient.UnitPrice{}
		s.Materials[0].Spread = nutrient.LiquidPrice(units.PricePer(spread, 1000*units.Gallon))
		r, err := allocate(s)
		require.NoError(t, err)
		require.Nil(t, r.Shortage)
		require.Zero(t, r.Materials[0].Left.SI())
		require.InDelta(t, 300*spread-1800, r.Net, 1e-6)
	}
}

// Pumped beside loads: 60,000 gal of a second material in loads of 40,000 gal that
// earns more meet the need in part, and no more is pumped than the rest. A garden of a
// 10,000th of it all is planned in the same way.
func TestPumpedBesideLoads(t *testing.T) {
	for _, k := range []float64{1e-4, 1} {
		s := spreadOnce(0)
		second := s.Materials[0]
		second.Name, second.Stock, second.Load = "sludge", nutrient.LiquidAmount(60_000*units.Gallon), nutrient.LiquidAmount(40_000*units.Gallon)
		second.Spread = nutrient.LiquidPrice(units.PricePer(10, 1000*units.Gallon))
		s.Materials = append(s.Materials, second)
		s.Fields[0].Area *= units.Area(k)
		for i := range s.Materials {
			timesAmount(&s.Materials[i].Stock, k)
		}
		timesAmount(&s.Materials[1].Load, k)
		r, err := allocate(s)
		require.NoError(t, err)
		// 60 x (10 - 18) + 40 x (12 - 18) + 260 x 1.
		require.InDelta(t, k*(-480-240+260), r.Net, 1e-6*k)
		require.Equal(t, 2, r.Placements[1].Loads)
	}
}

// Where whole loads bring more than the program had them, less is pumped. By hand, in
// 1000 gal: each of two fields needs 100 and takes at most 40 of slurry, so that 60 of the
// 120 of sludge go to each; in loads of 40 it is 80 and 40, and 20 of slurry are left, at 1.
func TestLessIsPumpedWhereLoadsBringMore(t *testing.T) {
	for _, k := range []float64{1e-4, 1} {
		s := spreadOnce(0)
		second := s.Materials[0]
		second.Name, second.Stock, second.Load = "sludge", nutrient.LiquidAmount(120_000*units.Gallon), nutrient.LiquidAmount(40_000*units.Gallon)
		second.Spread = nutrient.LiquidPrice(units.PricePer(8, 1000*units.Gallon))
		s.Materials[0].Stock = nutrient.LiquidAmount(80_000 * units.Gallon)
		s.Materials = append(s.Materials, second)
		for i := range s.Materials {
			timesAmount(&s.Materials[i].Stock, k)
		}
		timesAmount(&s.Materials[1].Load, k)
		s.Fields[0].Area *= units.Area(k)
		s.Fields[0].Limits = append(s.Fields[0].Limits, Limit{Kind: nutrient.LimitWater, Rate: nutrient.LiquidRate(400 * units.GallonPerAcre), Material: "slurry"})
		s.Fields = append(s.Fields, s.Fields[0])
		s.Fields[1].Name = "other"
		r, err := allocate(s)
		require.NoError(t, err)
		require.InDelta(t, k*(120*8+80*12-200*18), r.Fractional, 1e-6*k)
		require.InDelta(t, k*(120*8+60*12+20-180*18), r.Net, 1e-6*k)
		left, _ := r.Materials[0].Left.Volume()
		require.InDelta(t, k*20, left.In(kgal), 1e-9)
	}
}

// The bound of whole loads that leave more than the program is that of the same leavings, also
// beside a material of which the program leaves some already. By hand, in 1000 gal at 10 each:
// one field takes 60 of 100 of slurry, which is pumped, and two others 50 each of 100 of sludge,
// of which in loads of 20 there go two on each and a short one of 10 on either.
func TestBoundLeavesWhatTheLoadsLeave(t *testing.T) {
	material := func(name string) Material {
		return Material{Name: name, Stock: nutrient.LiquidAmount(100 * kgal), Spread: nutrient.LiquidPrice(units.PricePer(10, kgal)), HaulPerMile: nutrient.LiquidPrice(0)}
	}
	field := func(name string, gallons units.VolumePerArea) Field {
		return Field{Name: name, Area: units.Acre, Limits: []Limit{{Kind: nutrient.LimitWater, Rate: nutrient.LiquidRate(gallons * units.GallonPerAcre)}}}
	}
	s := AllocateSpec{Seasons: []string{"fall"}, Materials: []Material{material("slurry"), material("sludge")},
		Fields:     []Field{field("low", 60_000), field("one", 50_000), field("two", 50_000)},
		Exceptions: []Exception{{Material: "slurry", Field: "one", Forbid: true}, {Material: "slurry", Field: "two", Forbid: true}, {Material: "sludge", Field: "low", Forbid: true}}}
	s.Materials[1].Load = nutrient.LiquidAmount(20 * kgal)
	r, err := allocate(s)
	require.NoError(t, err)
	left := func(i int) float64 { v, _ := r.Materials[i].Left.Volume(); return v.In(kgal) }
	require.InDelta(t, 40, left(0), 1e-6)
	require.InDelta(t, 10, left(1), 1e-6)
	require.InDelta(t, 600+1000, r.Fractional, 1e-6)
	require.InDelta(t, 600+900, r.Net, 1e-6)
	require.InDelta(t, 600+900, r.Bound, 1e-6)
	require.InDelta(t, 0, r.Gap, 1e-6)
}

// The scale of a flow is the most that the limits would allow of it alone: with it the largest
// of what it uses of them is one, as the smallest pivot of the program presumes.
func TestScaleOfAFlow(t *testing.T) {
	r := rand.New(rand.NewPCG(18, 1))
	for range 20 {
		s := drawnAllocation(r)
		m, err := build(&s, false)
		require.NoError(t, err)
		for _, b := range m.Blocks {
			for _, f := range b.Flows {
				require.InDelta(t, 1, slices.Max(f.Uses[:b.Rows-len(b.Extra)])*f.Size, 1e-12)
			}
		}
	}
}

// drawnAllocation draws a farm of which some materials are pumped and some may stay
// behind for a price.
func drawnAllocation(r *rand.Rand) AllocateSpec {
	s := farm(r, 1+r.IntN(4), 1+r.IntN(12), 1+r.IntN(3))
	for i := range s.Materials {
		m := &s.Materials[i]
		if r.IntN(4) == 0 {
			m.Load = nutrient.Amount{}
		}
		if r.IntN(3) == 0 {
			m.Leave = nutrient.LiquidPrice(units.Price[units.Volume](m.Spread.SI() * 2 * r.Float64()))
		}
		timesAmount(&m.Stock, 0.5+2*r.Float64())
	}
	return s
}

// Where nothing goes in loads the plan is the optimum of the program.
func TestPumpedPlanIsTheOptimum(t *testing.T) {
	r := rand.New(rand.NewPCG(14, 1))
	for range 100 {
		s := drawnAllocation(r)
		for i := range s.Materials {
			s.Materials[i].Load = nutrient.Amount{}
		}
		got, err := allocate(s)
		require.NoError(t, err)
		require.True(t, got.FractionalProved)
		money := got.Cost + got.Credit + got.Leaving
		require.InDelta(t, got.Fractional, got.Net, 1e-8*money)
		require.InDelta(t, got.Bound, got.Net, 1e-8*money)
	}
}

// No plan beats its bound, and whole loads are within 1 % of it by the money that
// moves; where credits nearly pay for the hauling that may be more than 1 % of the
// little net cost, and the gap says so.
func TestWholeLoadsAreNearTheBound(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 1))
	near := 0
	for i := range 200 {
		s := drawnAllocation(r)
		got, err := allocate(s)
		require.NoError(t, err)
		money := got.Cost + got.Credit + got.Leaving
		require.GreaterOrEqual(t, got.Net, got.Bound-1e-8*money, i)
		require.InDelta(t, got.Net-got.Bound, got.Gap, 1e-8*money, i)
		require.LessOrEqual(t, got.Gap, 0.01*money, i)
		if got.Gap <= 0.01*math.Abs(got.Bound) {
			near++
		}
		// What whole loads leave over the program is little.
		fractional, whole := leftOf(&s, &got)
		require.LessOrEqual(t, whole-fractional, float64(6000*units.Gallon)*float64(len(s.Materials)), i)
	}
	require.Greater(t, near, 170)
	t.Log(near)
}
