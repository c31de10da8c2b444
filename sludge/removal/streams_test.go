package removal

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// withConstituents gives a random plan constituents of every kind and exchanges.
func withConstituents(rng *rand.Rand, spec PlanSpec) PlanSpec {
	volume := func(low, high float64) *units.Concentration {
		return new(units.Concentration(randomIn(rng, low, high)))
	}
	spec.Constituents = []Constituent{
		{Name: "P2O5", Liquid: Content{PerVolume: volume(0, 0.4)}, Sludge: Content{PerVolume: volume(2, 8)}},
		{Name: "ammonium N", Liquid: Content{PerVolume: volume(0, 1)}, Sludge: Content{PerVolume: volume(0, 2)}},
		{Name: "K2O", Liquid: Content{PerVolume: volume(0.5, 1)}, Sludge: Content{PerVolume: volume(0.5, 1)}, WithWater: new(rng.Float64())},
		{Name: "Zn", Liquid: Content{PerVolume: volume(0, 0.001)}, Sludge: Content{PerDry: new(units.MassFraction(randomIn(rng, 0, 0.003)))}, WithWater: new(0.0)},
	}
	inflow := map[string]units.Concentration{}
	for _, c := range spec.Constituents {
		inflow[c.Name] = units.Concentration(rng.Float64())
	}
	for _, stage := range []StageKind{0, StagePumpOff, StagePump, StageDrain, StageDig} {
		if rng.IntN(2) == 0 {
			spec.Exchanges = append(spec.Exchanges, Exchange{Name: "rain", Kind: ExchangeRain, Route: Route(rng.IntN(2)) * RouteAgitatePump, Stage: stage, Volume: spec.Sludge * units.Volume(randomIn(rng, 0, 0.2))})
		}
		if rng.IntN(3) == 0 {
			spec.Exchanges = append(spec.Exchanges, Exchange{Name: "barns", Kind: ExchangeInflow, Stage: stage, Volume: spec.Sludge * units.Volume(randomIn(rng, 0, 0.2)), Solids: 0.01, Contents: inflow})
		}
	}
	if rng.IntN(2) == 0 && spec.Agitate.Mix == MixAll {
		spec.Exchanges = append(spec.Exchanges, Exchange{Name: "sun", Kind: ExchangeEvaporation, Volume: 0.5 * (spec.Contents - spec.Interval.High)})
	}
	return spec
}

// TestStreamsBalance: over random routes, drained shares, residuals, rain, inflow and
// evaporation what comes in of solids, water and each constituent goes out in the streams.
func TestStreamsBalance(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	kinds := map[StreamKind]int{}
	for range 600 {
		spec := withConstituents(rng, randomPlan(rng))
		spec.Agitate.Target = max(spec.Agitate.Target, 0.04)
		if spec.Dig.Drained > 0 && rng.IntN(2) == 0 {
			spec.Dig.Lost = randomIn(rng, 0, 0.1)
		}
		r, err := Plan(spec)
		require.NoError(t, err)
		for _, c := range r.Cases {
			for _, route := range c.Routes {
				sameSlurry(t, route.In, route.Out)
				require.Len(t, route.Balance, len(spec.Constituents))
				require.Len(t, c.Constituents, len(spec.Constituents))
				moved := units.Volume(0)
				for _, s := range route.Streams {
					kinds[s.Kind]++
					moved += s.Moved
					for _, x := range s.Constituents {
						require.InEpsilon(t, float64(x.Mass)+1e-9, float64(x.PerVolume.Times(s.Moved))+1e-9, 1e-9)
						require.InEpsilon(t, float64(x.Mass)+1e-9, float64(x.PerMass.Times(s.Material.Mass))+1e-9, 1e-9)
						require.LessOrEqual(t, float64(x.WithWater), float64(x.Mass))
						require.GreaterOrEqual(t, float64(x.WithWater), 0.0)
					}
				}
				require.InEpsilon(t, float64(route.Moved), float64(moved), 1e-9)
				for i, b := range route.Balance {
					in := c.Constituents[i].Liquid + c.Constituents[i].Sludge
					for _, x := range spec.Exchanges {
						if x.Route == 0 || x.Route == route.Route {
							if x.Stage != StagePump || route.Route == RouteAgitatePump {
								in += x.Contents[b.Name].Times(x.Volume)
							}
						}
					}
					require.InEpsilon(t, float64(in), float64(b.In), 1e-9, b.Name)
					require.InEpsilon(t, float64(b.In), float64(b.Out), 1e-9, b.Name)
				}
			}
		}
	}
	require.Len(t, kinds, 5)
}

// TestStreamsDrained: sludge that drains to 20 % keeps its P2O5 and metals, and its
// ammonium leaves with the water, however much the volume shrinks; by hand.
func TestStreamsDrained(t *testing.T) {
	per := func(x float64) Content {
		return Content{PerVolume: new(units.Concentration(x) * units.PoundPer1000Gallon)}
	}
	spec := plainPlan()
	spec.Sludge, spec.Contents, spec.Liquid = 400000*units.Gallon, 0, 1e6*units.Gallon
	spec.Solids, spec.LiquidSolids = 0.09, 0.005
	spec.Constituents = []Constituent{
		{Name: "P2O5", Liquid: per(1.4), Sludge: per(47), WithWater: new(0.0)},
		{Name: "ammonium N", Liquid: per(3.5), Sludge: per(3.5), WithWater: new(1.0)},
		{Name: "total N", Liquid: per(4.4), Sludge: per(24)},
	}
	inSludge := map[float64]units.Mass{}
	for _, drained := range []float64{0, 0.20} {
		spec.Dig.Drained = units.MassFraction(drained)
		r, err := Plan(spec)
		require.NoError(t, err)
		streams := r.Best().Routes[0].Streams
		dug := streams[len(streams)-1]
		require.Equal(t, StreamSludge, dug.Kind)
		p, ok := dug.Of("P2O5")
		require.True(t, ok)
		inSludge[drained] = p.Mass
		if drained == 0 {
			require.Len(t, streams, 2)
			continue
		}
		filtrate := streams[1]
		require.Equal(t, StreamFiltrate, filtrate.Kind)
		require.Zero(t, float64(filtrate.Material.Dry))
		// Water stays by (1 - 0.2)/0.2 x 0.09/(1 - 0.09) of what there was.
		n, _ := dug.Of("ammonium N")
		require.InEpsilon(t, 400*3.5*4*0.09/0.91, n.Mass.In(units.Pound), 1e-9)
		off, _ := filtrate.Of("ammonium N")
		require.InEpsilon(t, 400*3.5*(1-4*0.09/0.91), off.Mass.In(units.Pound), 1e-9)
		require.InEpsilon(t, 47*0.4*float64(units.Gallon*1e6)/float64(dug.Moved), p.PerVolume.In(units.PoundPer1000Gallon), 1e-9)
		// The water of the sludge holds as much total N as that of the liquid.
		total := r.Best().Constituents[2]
		require.Equal(t, SplitLiquid, total.Split)
		water := func(s float64) float64 { g := 1 / (1 - s + s/1.5); return g * (1 - s) } // of a volume
		require.InEpsilon(t, 4.4/24*water(0.09)/water(0.005), total.WithWater, 1e-9)
	}
	require.InEpsilon(t, 400*47, inSludge[0].In(units.Pound), 1e-9)
	require.InEpsilon(t, float64(inSludge[0]), float64(inSludge[0.20]), 1e-12)
}

// TestStreamsSplit: where the liquid holds more in its water than the sludge does, all
// goes with the water.
func TestStreamsSplit(t *testing.T) {
	spec := plainPlan()
	spec.Constituents = []Constituent{{Name: "Cl", Liquid: Content{PerVolume: new(units.Concentration(2.0))}, Sludge: Content{PerVolume: new(units.Concentration(1.0))}}}
	r, err := Plan(spec)
	require.NoError(t, err)
	require.Equal(t, SplitAll, r.Best().Constituents[0].Split)
	require.Equal(t, 1.0, r.Best().Constituents[0].WithWater)
}

// TestStreamsResidual: what stays is a material of its own, and rain on it thins it.
func TestStreamsResidual(t *testing.T) {
	spec := plainPlan()
	spec.Solids = 0.12
	spec.Constituents = []Constituent{{Name: "P2O5", Liquid: Content{PerVolume: new(units.Concentration(0.1))}, Sludge: Content{PerVolume: new(units.Concentration(6.0))}, WithWater: new(0.1)}}
	spec.Agitate = &AgitateSpec{Mix: MixNeeded, Target: 0.06, Residual: 0.2, ResidualSolids: 0.16, Pump: spec.PumpOff}
	last := func() Stream {
		r, err := Plan(spec)
		require.NoError(t, err)
		streams := r.Best().Routes[1].Streams
		return streams[len(streams)-1]
	}
	dry := last()
	require.Equal(t, StreamResidual, dry.Kind)
	require.InEpsilon(t, 0.16, float64(dry.Material.Solids), 1e-9)
	// A fifth of what goes with the solids, and of the water what 16 % leaves.
	water := 0.2 * (0.84 / 0.16) / (0.88 / 0.12)
	require.InEpsilon(t, 600*(0.9*0.2+0.1*water), float64(dry.Constituents[0].Mass), 1e-9)
	spec.Exchanges = []Exchange{{Name: "rain on what stays", Kind: ExchangeRain, Stage: StageDig, Volume: 3}}
	wet := last()
	require.InDelta(t, float64(dry.Constituents[0].Mass), float64(wet.Constituents[0].Mass), 1e-9)
	require.InEpsilon(t, float64(dry.Material.Volume+3), float64(wet.Material.Volume), 1e-9)
	require.Less(t, float64(wet.Material.Solids), 0.16)
	_, ok := wet.Of("K2O")
	require.False(t, ok)
	require.Zero(t, Stream{}.Density())
}

// TestStreamsFaults: each fault is told at its place.
func TestStreamsFaults(t *testing.T) {
	spec := plainPlan()
	kg := func(x float64) Content { return Content{PerVolume: new(units.Concentration(x))} }
	spec.Constituents = []Constituent{
		{}, {Name: "N", Liquid: kg(-1), Sludge: kg(1), WithWater: new(2.0)}, {Name: "N", Liquid: kg(1), Sludge: Content{PerVolume: new(units.Concentration(1)), PerDry: new(units.MassFraction(1))}},
		{Name: "P", Liquid: Content{PerDry: new(units.MassFraction(0.1))}, Sludge: kg(1)},
	}
	spec.Exchanges = []Exchange{
		{}, {Name: "a", Kind: ExchangeInflow, Stage: StageAgitate, Volume: -1, Contents: map[string]units.Concentration{"N": 1, "Q": 1}},
		{Name: "b", Kind: ExchangeEvaporation, Stage: StagePump, Solids: 0.1, Volume: 1},
	}
	spec.Floor = -1
	_, err := Plan(spec)
	var fields []string
	for _, f := range units.FieldErrors(err) {
		fields = append(fields, f.Field)
	}
	require.Equal(t, []string{"floor", "constituents[0].name", "constituents[0].sludge", "constituents[0].liquid", "constituents[0].withWater",
		"constituents[1].liquid.perVolume", "constituents[1].withWater", "constituents[2].name", "constituents[2].sludge", "constituents[3].liquid.perDry",
		"exchanges[0].name", "exchanges[0].kind", "exchanges[1].stage", "exchanges[1].volume", "exchanges[1].contents.Q", `exchanges[1].contents[""]`, "exchanges[1].contents.P",
		"exchanges[2].stage", "exchanges[2].contents"}, fields, "%v", err)

	spec = plainPlan()
	spec.Constituents = []Constituent{{Name: "N", Liquid: kg(1200), Sludge: kg(2000)}}
	_, err = Plan(spec)
	require.ErrorContains(t, err, "constituents[0].liquid: got")
	require.ErrorContains(t, err, "constituents[0].sludge: got")
	spec.Constituents = nil
	spec.Exchanges = []Exchange{{Name: "sun", Kind: ExchangeEvaporation, Stage: StageDrain, Volume: 1}}
	_, err = Plan(spec)
	require.ErrorContains(t, err, "exchanges[0].volume: got")
}

// TestAtBasin: who prices the way to the land elsewhere compares without hauling.
func TestAtBasin(t *testing.T) {
	spec := plainPlan()
	spec.PumpOff.Cost = StageCost{Haul: units.PricePer(2, units.CubicMetre), PerVolume: units.PricePer(1, units.CubicMetre)}
	spec.Dig.Cost = StageCost{PerVolume: units.PricePer(10, units.CubicMetre), PerLoad: 1000}
	spec.Solids = 0.17
	spec.Agitate = &AgitateSpec{Mix: MixNeeded, Target: 0.10, Fixed: 2000, Pump: spec.PumpOff}
	r, err := Plan(spec)
	require.NoError(t, err)
	dig, agitate := r.Best().Routes[0], r.Best().Routes[1]
	require.InDelta(t, 800+10*1000, dig.Hauling, 1e-6)
	require.InDelta(t, 400+1000, dig.AtBasin, 1e-6)
	require.InDelta(t, dig.Cost, dig.Hauling+dig.AtBasin, 1e-9)
	require.Equal(t, RouteAgitatePump, r.Cheapest)
	least, _ := r.Least(func(x RouteResult) float64 { return x.AtBasin })
	require.Equal(t, RouteDrawOffDig, least)
	require.Less(t, dig.AtBasin, agitate.AtBasin, fmt.Sprint(agitate.Stages))
	least, holds := r.Least(nil)
	require.Zero(t, least)
	require.False(t, holds)
}
