package removal

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

// sameSlurry compares two slurries to the rounding of their sums.
func sameSlurry(t *testing.T, want, got Slurry) {
	t.Helper()
	scale := float64(want.Mass) + float64(want.Water)
	require.InDelta(t, float64(want.Dry), float64(got.Dry), 1e-9*scale)
	require.InDelta(t, float64(want.Water), float64(got.Water), 1e-9*scale)
	require.InDelta(t, float64(want.Mass), float64(got.Mass), 1e-9*scale)
	require.InDelta(t, float64(want.Volume), float64(got.Volume), 1e-9*scale)
	require.InDelta(t, float64(want.Solids), float64(got.Solids), 1e-9)
	require.InDelta(t, want.Gravity, got.Gravity, 1e-9)
}

func randomIn(rng *rand.Rand, low, high float64) float64 { return low + (high-low)*rng.Float64() }

// randomPlan returns a spec that can be planned.
func randomPlan(rng *rand.Rand) PlanSpec {
	fleet := func() *Fleet {
		return &Fleet{
			Trucks: 1 + rng.IntN(8), Capacity: units.Volume(randomIn(rng, 5, 30)), Fill: randomIn(rng, 0.7, 1), Payload: units.Mass(randomIn(rng, 8, 40)) * units.Tonne,
			LoadRate: units.Flow(randomIn(rng, 0.005, 0.1)), Efficiency: randomIn(rng, 0.6, 1), Loading: LoadingRule(1 + rng.IntN(2)),
			Distance: units.Length(randomIn(rng, 0.001, 9)) * units.Kilometre, SpeedOut: units.Speed(randomIn(rng, 4, 12)), SpeedBack: units.Speed(randomIn(rng, 4, 15)),
			Unload: 4 * units.Minute, Wait: 2 * units.Minute,
		}
	}
	cost := StageCost{Fixed: randomIn(rng, 0, 1000), PerVolume: units.PricePer(randomIn(rng, 0, 9), units.CubicMetre), PerMass: units.PricePer(1, units.Tonne), PerHour: units.PricePer(150, units.Hour)}
	hauled := cost
	hauled.PerLoad, hauled.PerTruckHour, hauled.PerVolumeMile = 5, units.PricePer(80, units.Hour), units.PricePer(0.5, units.CubicMetre)
	sludge := units.Volume(randomIn(rng, 100, 5000))
	solids := units.MassFraction(randomIn(rng, 0.04, 0.2))
	s := PlanSpec{
		Sludge: sludge, Interval: &units.Range[units.Volume]{Low: 0.7 * sludge, High: 1.3 * sludge},
		Contents: sludge * units.Volume(randomIn(rng, 1.3, 6)), Solids: solids, LiquidSolids: units.MassFraction(randomIn(rng, 0, 0.01)), SolidsGravity: randomIn(rng, 1.1, 2.6),
		PumpOff: Equipment{Hose: &DragHose{Flow: units.Flow(randomIn(rng, 0.02, 0.2)), Pumping: 0.9, Rate: 0.01, SetArea: 15 * units.Hectare, SetUp: units.Hour}, Cost: cost},
		Dig:     DigSpec{Equipment: Equipment{Fleet: fleet(), Cost: hauled}, Swell: randomIn(rng, 1, 1.3)},
		Agitate: &AgitateSpec{
			Mix: MixRule(1 + rng.IntN(2)), Target: units.MassFraction(randomIn(rng, 0.03, 0.12)), Residual: randomIn(rng, 0, 1),
			Agitation: units.Duration(randomIn(rng, 0, 20)) * units.Hour, Fixed: 300, PerHour: units.PricePer(100, units.Hour), Water: units.PricePer(1, units.CubicMetre),
			Pump: Equipment{Fleet: fleet(), Cost: hauled},
		},
		WorkDay: 9 * units.Hour,
	}
	if rng.IntN(2) == 0 {
		s.Dig.Drained = solids * units.MassFraction(randomIn(rng, 1, 1.8))
		s.Agitate.ResidualSolids = solids * units.MassFraction(randomIn(rng, 1, 1.3))
	}
	return s
}

// TestPlanBalance: on both routes and at both ends of the interval solids, water
// and volume come out as they went in, and the totals are those of the stages.
func TestPlanBalance(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 400 {
		spec := randomPlan(rng)
		r, err := Plan(spec)
		require.NoError(t, err)
		require.Len(t, r.Cases, 3)
		require.Equal(t, "best", r.Best().Name)
		for _, c := range r.Cases {
			require.InEpsilon(t, float64(spec.Contents), float64(c.Sludge+c.Liquid), 1e-12)
			for _, route := range c.Routes {
				sameSlurry(t, route.In, route.Out)
				require.InEpsilon(t, float64(spec.Contents+route.Fresh), float64(route.In.Volume), 1e-9)
				var cost, hauling float64
				var days int
				for _, s := range route.Stages {
					cost += s.Cost
					hauling += s.Hauling
					require.LessOrEqual(t, s.Hauling, s.Cost)
					if s.Haul == nil {
						require.Zero(t, s.Hauling)
					}
					days += s.Days
					require.GreaterOrEqual(t, float64(s.Days)*float64(spec.WorkDay), float64(s.Hours)*(1-1e-9))
					require.GreaterOrEqual(t, s.Cost, 0.0)
					if s.Kind == StagePump {
						require.LessOrEqual(t, float64(s.Material.Solids), float64(spec.Agitate.Target)*(1+1e-9))
					}
					if h := s.Haul; h != nil {
						require.LessOrEqual(t, float64(h.PerLoad)*float64(h.Loads-1), float64(s.Moved)*(1+1e-9))
						require.GreaterOrEqual(t, float64(h.PerLoad)*float64(h.Loads), float64(s.Moved)*(1-1e-9))
						require.LessOrEqual(t, float64(s.Material.Mass.OverVolume(s.Moved).Times(h.PerLoad)), float64(40*units.Tonne)*(1+1e-9))
					}
				}
				require.InDelta(t, cost, route.Cost, 1e-6)
				require.InDelta(t, hauling, route.Hauling, 1e-6)
				require.Equal(t, days, route.Days)
			}
		}
		// More sludge is never less to dig.
		require.LessOrEqual(t, r.Cases[0].Routes[0].Loads, r.Cases[2].Routes[0].Loads)
	}
}

// TestPlanKeepsOnlyWhatIsNeeded: the slurry comes to the target with the least
// liquid, and what the liquid cannot do fresh water does.
func TestPlanKeepsOnlyWhatIsNeeded(t *testing.T) {
	spec := plainPlan()
	spec.Solids = 0.12
	spec.Agitate = &AgitateSpec{Mix: MixNeeded, Target: 0.06, Pump: spec.PumpOff}
	r, err := Plan(spec)
	require.NoError(t, err)
	route := r.Best().Routes[1]
	require.Equal(t, RouteAgitatePump, route.Route)
	names := []string{}
	for _, s := range route.Stages {
		names = append(names, s.Name)
	}
	require.Equal(t, []string{"pump off the liquid", "agitate", "pump the slurry"}, names)
	require.InEpsilon(t, 0.06, float64(route.Stages[2].Material.Solids), 1e-9)
	require.Zero(t, route.Fresh)

	spec.Contents = 110
	r, err = Plan(spec)
	require.NoError(t, err)
	route = r.Best().Routes[1]
	require.Positive(t, float64(route.Fresh))
	require.Contains(t, fmt.Sprint(route.Notes), "of water has to be brought in")
	require.InEpsilon(t, 0.06, float64(route.Stages[1].Material.Solids), 1e-9)

	// Without a target the slurry stays below the limit of pumping.
	spec.Agitate.Target = 0
	r, err = Plan(spec)
	require.NoError(t, err)
	stages := r.Best().Routes[1].Stages
	require.Equal(t, "pump the slurry", stages[2].Name)
	require.Equal(t, "slurry", stages[2].Class.Name)
}

// TestPlanInPlace: thick sludge has to be dug, or thinned by as much as Dilute says.
func TestPlanInPlace(t *testing.T) {
	spec := plainPlan()
	r, err := Plan(spec)
	require.NoError(t, err)
	require.Equal(t, "semi-solid", r.InPlace.Name)
	thin, err := Dilute(DiluteSpec{In: SlurrySpec{Volume: spec.Sludge, Solids: spec.Solids, SolidsGravity: spec.SolidsGravity}, Solids: 15 * units.Percent})
	require.NoError(t, err)
	require.InEpsilon(t, float64(thin.Added.Volume), float64(r.ToPump), 1e-4)
	require.Contains(t, r.String(), "would make it pumpable")
	spec.Solids = 0.06
	r, err = Plan(spec)
	require.NoError(t, err)
	require.Equal(t, HandlingPump, r.InPlace.Handling)
	require.Zero(t, r.ToPump)
}

// TestPlanFeasible: digging what runs and pumping what does not flow is out, unless the
// caller says what his equipment takes; neither cheapest nor fastest comes from it.
func TestPlanFeasible(t *testing.T) {
	spec := plainPlan()
	spec.Solids = 0.09
	spec.Agitate = &AgitateSpec{Mix: MixNeeded, Target: 0.06, Fixed: 1e6, Pump: spec.PumpOff} // dear, but it can be done
	r, err := Plan(spec)
	require.NoError(t, err)
	dig := r.Best().Routes[0]
	require.False(t, dig.Feasible)
	require.Contains(t, dig.Why[0].String(), "dig the sludge: at 9.0 % solids it is slurry by the classes and runs from a bucket")
	require.Less(t, dig.Cost, r.Best().Routes[1].Cost)
	require.Equal(t, RouteAgitatePump, r.Cheapest)
	require.Equal(t, RouteAgitatePump, r.Fastest)
	require.Contains(t, r.String(), "cannot be done")

	spec.Dig.Solids = &units.Range[units.MassFraction]{Low: 0.08, High: 0.6}
	r, err = Plan(spec)
	require.NoError(t, err)
	require.True(t, r.Best().Routes[0].Feasible)
	require.Equal(t, RouteDrawOffDig, r.Cheapest)
	spec.Dig.Solids.Low = 0.12
	r, err = Plan(spec)
	require.NoError(t, err)
	require.Contains(t, r.Best().Routes[0].Why[0].String(), "outside what the equipment takes, 12.0 % to 60.0 %")

	spec = plainPlan()
	spec.Dig.Equipment = spec.PumpOff
	r, err = Plan(spec)
	require.NoError(t, err)
	require.Contains(t, r.Best().Routes[0].Why[0].String(), "does not flow")
	require.Zero(t, r.Cheapest)
}

// TestPlanCautions: what can hurt stands in the plan and in the stages.
func TestPlanCautions(t *testing.T) {
	spec := plainPlan()
	r, err := Plan(spec)
	require.NoError(t, err)
	require.Contains(t, fmt.Sprint(r.Cautions), "Drowning")
	require.NotContains(t, fmt.Sprint(r.Cautions), "agitation sets hydrogen sulfide")
	dig := r.Best().Routes[0].Stages[1]
	require.Contains(t, fmt.Sprint(dig.Cautions), "caves in")
	require.Contains(t, fmt.Sprint(dig.Cautions), "hydrogen sulfide")
	spec.Agitate = &AgitateSpec{Mix: MixAll, Pump: spec.PumpOff}
	r, err = Plan(spec)
	require.NoError(t, err)
	require.Contains(t, r.Cautions[0], "hydrogen sulfide")
	for _, s := range r.Best().Routes[1].Stages {
		require.Contains(t, s.Cautions[0], "hydrogen sulfide", s.Name)
	}
	spec.Exchanges = []Exchange{{Name: "wash water", Kind: ExchangeInflow, Volume: 10}}
	r, err = Plan(spec)
	require.NoError(t, err)
	require.Contains(t, fmt.Sprint(r.Cautions), "while the herd stays")
}

// TestPlanChoice: which route is cheaper may turn within the interval, and the
// result says so.
func TestPlanChoice(t *testing.T) {
	spec := plainPlan()
	spec.Interval = &units.Range[units.Volume]{Low: 0, High: 400}
	spec.Dig.Cost = StageCost{PerVolume: units.PricePer(10, units.CubicMetre)}
	spec.Agitate = &AgitateSpec{Mix: MixNeeded, Target: 0.10, Fixed: 900, Pump: spec.PumpOff}
	r, err := Plan(spec)
	require.NoError(t, err)
	require.Equal(t, RouteAgitatePump, r.Cheapest) // 900 against 1,000
	require.False(t, r.CheapestHolds)              // without sludge nothing is dug or agitated
	spec.Interval.Low = 95
	r, err = Plan(spec)
	require.NoError(t, err)
	require.True(t, r.CheapestHolds)
	require.Contains(t, r.String(), "also at the low and the high")
	spec.Interval.Low = 50
	r, err = Plan(spec)
	require.NoError(t, err)
	require.False(t, r.CheapestHolds)
	require.Contains(t, r.String(), "does not settle")
}

func TestPlanFaults(t *testing.T) {
	rest := func(_ any, err error) error { return err }
	spec := plainPlan()
	agitate := plainPlan()
	agitate.Classes = []SolidsClass{{Name: "all", From: 0, Handling: HandlingPump}, {Name: "thick", From: 0.1, Handling: HandlingDig}, {From: 0.05, Handling: 7}, {Name: "x", From: 0.3, Handling: HandlingPump}}
	agitate.Agitate = &AgitateSpec{Target: 0.1, Residual: 2, ResidualSolids: 0.1, Agitation: -1, Fixed: -1, PerHour: -1, Water: -1}
	doubled := plainPlan()
	doubled.Liquid = 1
	doubled.Interval = &units.Range[units.Volume]{Low: -1, High: 50}
	doubled.PumpOff.Fleet = doubled.Dig.Fleet
	doubled.Dig.Fleet = nil
	doubled.Dig.Cost = StageCost{Fixed: -1, PerLoad: 1, PerVolumeMile: 1}
	doubled.Dig.Swell, doubled.Dig.Drained = 3, 0.1
	doubled.LiquidSolids = 0.5
	large := plainPlan()
	large.Interval = &units.Range[units.Volume]{Low: 1, High: 600}
	slow := plainPlan()
	slow.Dig.Fleet.Capacity, slow.Sludge, slow.Contents = 0.0004, 1e6, 2e6
	for _, c := range []struct {
		name   string
		err    error
		fields []string
	}{
		{"nothing", rest(Plan(PlanSpec{})), []string{"sludge", "solids", "solidsGravity", "dig", "dig.swell", "workDay"}},
		{"agitation", rest(Plan(agitate)), []string{"classes[2].name", "classes[2].handling", "classes[2].from",
			"agitate.mix", "agitate.residual", "agitate.residualSolids", "agitate.agitation", "agitate.fixed", "agitate.perHour", "agitate.water", "agitate.pump", "agitate.target"}},
		{"doubled", rest(Plan(doubled)), []string{"interval.low", "interval", "liquid", "liquidSolids", "pumpOff", "dig", "dig.cost.fixed", "dig.cost", "dig.cost.perVolumeMile", "dig.swell", "dig.drained"}},
		{"too much sludge", rest(Plan(large)), []string{"contents"}},
		{"too many loads", rest(Plan(slow)), []string{"dig"}},
		{"haul", rest(Haul(HaulSpec{Fleet: Fleet{Payload: 1, Bucket: &Bucket{}, LoadRate: 1, Distance: 1, Travel: 1, Unload: -1, Wait: -1}})),
			[]string{"volume", "fleet.trucks", "fleet.capacity", "fleet.fill", "fleet.bucket.size", "fleet.bucket.fill", "fleet.bucket.cycle", "fleet.loadRate", "fleet.efficiency", "fleet.loading", "fleet.speedOut", "fleet.speedBack", "fleet.travel", "fleet.unload", "fleet.wait", "density"}},
		{"endless haul", rest(Haul(HaulSpec{Volume: 1e300, Fleet: *spec.Dig.Fleet})), []string{"volume"}},
		{"pump", rest(Pump(PumpSpec{Hose: DragHose{SetArea: 1, SetUp: -1}})), []string{"volume", "hose.flow", "hose.pumping", "hose.rate", "hose.setUp"}},
		{"endless pump", rest(Pump(PumpSpec{Volume: 1e300, Hose: DragHose{Flow: 1, Pumping: 1, Rate: 0.1, SetArea: 1}})), []string{"volume"}},
		{"no slurry", rest(NewSlurry(SlurrySpec{SolidsGravity: 1})), []string{"volume"}},
		{"slurry", rest(NewSlurry(SlurrySpec{Volume: -1, Dry: -1, Solids: 1, WaterDensity: 1})), []string{"volume", "dry", "solids", "solidsGravity", "waterDensity"}},
		{"too heavy", rest(NewSlurry(SlurrySpec{Volume: 1, Dry: 3000, SolidsGravity: 2})), []string{"dry"}},
		{"parts", rest(SolidsGravity(SolidsGravitySpec{[]SolidsPart{{Dry: -1, Gravity: 1}, {Dry: 1}}})), []string{"parts[0].dry", "parts[1].gravity"}},
		{"no parts", rest(SolidsGravity(SolidsGravitySpec{})), []string{"parts"}},
		{"thinner", rest(Thicken(ThickenSpec{In: SlurrySpec{Volume: 1, Solids: 0.1, SolidsGravity: 1}, Solids: 0.05, Recovery: 1})), []string{"solids"}},
		{"thicken", rest(Thicken(ThickenSpec{Solids: 1})), []string{"in.solidsGravity", "solids", "recovery"}},
		{"dilute", rest(Dilute(DiluteSpec{In: SlurrySpec{Volume: 1, Solids: 0.1, SolidsGravity: 1}, Solids: 0.05, Liquid: 0.05})), []string{"solids"}},
		{"one distance", rest(FitHaulTime(HaulLineSpec{[]HaulRun{{1000, 60}, {1000, 70}}})), []string{"runs"}},
		{"falling times", rest(FitHaulTime(HaulLineSpec{[]HaulRun{{1000, 60}, {2000, 30}}})), []string{"runs"}},
		{"no time", rest(FitHaulTime(HaulLineSpec{[]HaulRun{{1000, 0}, {0, 30}}})), []string{"runs[0].time", "runs[1].distance"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var fields []string
			for _, f := range units.FieldErrors(c.err) {
				fields = append(fields, f.Field)
			}
			require.Equal(t, c.fields, fields, "%v", c.err)
		})
	}
}

// TestPlanNothingNotFinite: odd values give an error or a result that JSON can
// hold, which has no room for NaN and infinities.
func TestPlanNothingNotFinite(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	odd := []float64{0, -1, math.NaN(), math.Inf(1), math.MaxFloat64, 1e200, 1e-200, math.SmallestNonzeroFloat64}
	planned := 0
	for range 4000 {
		spec := randomPlan(rng)
		x := odd[rng.IntN(len(odd))]
		fields := []*float64{
			(*float64)(&spec.Sludge), (*float64)(&spec.Interval.Low), (*float64)(&spec.Interval.High), (*float64)(&spec.Contents), (*float64)(&spec.Liquid),
			(*float64)(&spec.Solids), (*float64)(&spec.LiquidSolids), &spec.SolidsGravity, (*float64)(&spec.WaterDensity), (*float64)(&spec.WorkDay),
			(*float64)(&spec.PumpOff.Hose.Flow), &spec.PumpOff.Hose.Pumping, (*float64)(&spec.PumpOff.Hose.Rate), (*float64)(&spec.PumpOff.Hose.SetArea), (*float64)(&spec.PumpOff.Hose.SetUp),
			&spec.PumpOff.Cost.Fixed, (*float64)(&spec.PumpOff.Cost.PerVolume), (*float64)(&spec.PumpOff.Cost.PerMass), (*float64)(&spec.PumpOff.Cost.PerHour),
			&spec.Dig.Swell, (*float64)(&spec.Dig.Drained), (*float64)(&spec.Dig.Fleet.Capacity), &spec.Dig.Fleet.Fill, (*float64)(&spec.Dig.Fleet.Payload), (*float64)(&spec.Dig.Fleet.LoadRate),
			&spec.Dig.Fleet.Efficiency, (*float64)(&spec.Dig.Fleet.Distance), (*float64)(&spec.Dig.Fleet.SpeedOut), (*float64)(&spec.Dig.Fleet.Unload), (*float64)(&spec.Dig.Cost.PerVolumeMile), &spec.Dig.Cost.PerLoad, (*float64)(&spec.Dig.Cost.PerTruckHour),
			(*float64)(&spec.Agitate.Target), &spec.Agitate.Residual, (*float64)(&spec.Agitate.ResidualSolids), (*float64)(&spec.Agitate.Agitation), &spec.Agitate.Fixed, (*float64)(&spec.Agitate.PerHour), (*float64)(&spec.Agitate.Water),
		}
		*fields[rng.IntN(len(fields))] = x
		r, err := Plan(spec)
		if err != nil {
			require.NotEmpty(t, units.FieldErrors(err), "%v", err)
			continue
		}
		planned++
		_, err = json.Marshal(r)
		require.NoError(t, err, "%+v", spec)
	}
	require.Positive(t, planned)
}

// TestPlanReadsJSON: a scenario can hold the spec, and reads back the same.
func TestPlanReadsJSON(t *testing.T) {
	spec := randomPlan(rand.New(rand.NewPCG(1, 1)))
	spec.Classes = DefaultClasses()
	b, err := json.Marshal(spec)
	require.NoError(t, err)
	var back PlanSpec
	require.NoError(t, strict.Decode(b, &back))
	require.Empty(t, cmp.Diff(spec, back))
}

func TestPlanNames(t *testing.T) {
	for _, pair := range [][2]any{
		{RouteAgitatePump, new(Route)}, {MixAll, new(MixRule)}, {HandlingDig, new(Handling)}, {LoadingEffective, new(LoadingRule)}, {BottleneckLoader, new(Bottleneck)}, {StageDig, new(StageKind)},
	} {
		b, err := json.Marshal(pair[0])
		require.NoError(t, err)
		require.NoError(t, json.Unmarshal(b, pair[1]))
		again, err := json.Marshal(pair[1])
		require.NoError(t, err)
		require.Equal(t, string(b), string(again))
		require.Error(t, json.Unmarshal([]byte(`"no such name"`), pair[1]))
	}
}

// TestPlanWithoutDigging: a table of classes in which all can be pumped has no
// limit to thin the sludge to.
func TestPlanWithoutDigging(t *testing.T) {
	spec := plainPlan()
	spec.Classes = []SolidsClass{{Name: "pumpable", Handling: HandlingPump}}
	spec.Agitate = &AgitateSpec{Mix: MixNeeded, Pump: spec.PumpOff}
	r, err := Plan(spec)
	require.NoError(t, err)
	slurry := r.Best().Routes[1].Stages[2]
	require.InEpsilon(t, float64(spec.Sludge), float64(slurry.Moved), 1e-9)

	spec.Classes[0].Handling = HandlingDig
	_, err = Plan(spec)
	require.ErrorContains(t, err, "agitate.target")
}

func BenchmarkPlan(b *testing.B) {
	spec := randomPlan(rand.New(rand.NewPCG(1, 1)))
	for b.Loop() {
		if _, err := Plan(spec); err != nil {
			b.Fatal(err)
		}
	}
}

// TestNumbersNextToZero: what is no job is refused, and -0 counts as 0.
func TestNumbersNextToZero(t *testing.T) {
	fields := func(_ any, err error) (list []string) {
		for _, e := range units.FieldErrors(err) {
			list = append(list, e.Field)
		}
		return list
	}
	in := SlurrySpec{Volume: 1, Solids: 0.1, SolidsGravity: 1.5}
	require.Equal(t, []string{"solids"}, fields(Thicken(ThickenSpec{In: in, Solids: units.MassFraction(math.Copysign(0, -1)), Recovery: 1})))
	in.Volume, in.Dry = 0, 5e-324
	require.Equal(t, []string{"in.dry"}, fields(Thicken(ThickenSpec{In: in, Solids: 0.2, Recovery: 1})))
	minus := math.Copysign(0, -1)
	hose := DragHose{Flow: 0.1, Pumping: 1, SetUp: units.Duration(minus), Rate: units.VolumePerArea(minus)}
	r, err := Pump(PumpSpec{Volume: 100, Hose: hose})
	require.NoError(t, err)
	require.False(t, math.Signbit(float64(r.Moving)))
	require.Equal(t, []string{"hose.flow", "hose.pumping"}, fields(Pump(PumpSpec{Volume: 100, Hose: DragHose{Flow: 1e-310, Pumping: 1e-310}})))
	fleet := *plainPlan().Dig.Fleet
	fleet.SpeedOut = units.Speed(math.NaN())
	require.Contains(t, fields(Haul(HaulSpec{Volume: 1, Fleet: fleet})), "fleet.speedOut", "not used, but kept")
}
