package removal

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// basinOf is a basin with everything a plan can have; k is its size, in all volumes,
// areas, flows and machines.
func basinOf(k float64) PlanSpec {
	v := func(x float64) units.Volume { return units.Volume(k * x) }
	hose := Equipment{Hose: &DragHose{Flow: units.Flow(k), Pumping: 0.9, Rate: 0.01, SetArea: units.Area(k * 1e4), SetUp: 10 * units.Minute},
		Cost: StageCost{PerVolume: 3, PerMass: units.PricePer(1, units.Tonne)}}
	dig := Equipment{Fleet: &Fleet{Trucks: 2, Capacity: v(50), Fill: 1, LoadRate: units.Flow(k), Efficiency: 0.8, Loading: LoadingEffective,
		Distance: 1000, SpeedOut: 8, SpeedBack: 10, Unload: 5 * units.Minute}, Cost: StageCost{PerVolumeMile: 1}}
	c := func(x float64) Content { return Content{PerVolume: new(units.Concentration(x))} }
	return PlanSpec{
		Sludge: v(100), Contents: v(260), Solids: 0.18, LiquidSolids: 0.004, SolidsGravity: 1.5, Floor: units.Area(k * 1e4),
		Constituents: []Constituent{{Name: "P2O5", Liquid: c(0.2), Sludge: c(5)}, {Name: "Zn", Liquid: c(0.001), Sludge: Content{PerDry: new(units.MassFraction(0.001))}, WithWater: new(0.0)}},
		Exchanges:    []Exchange{{Name: "rain", Kind: ExchangeRain, Volume: v(40)}},
		PumpOff:      hose, Dig: DigSpec{Equipment: dig, Swell: 1.1, Drained: 0.22, Lost: 0.02},
		Agitate: &AgitateSpec{Mix: MixNeeded, Target: 0.05, ResidualSolids: 0.19, Agitation: units.Hour, Water: 2, Pump: hose,
			Machine: &Agitator{Flow: units.Flow(k), Machines: 1, Power: units.Power(5e6 * k), LeastIntensity: 20, LeastTurnovers: 20, Residual: []ResidualPoint{{2, 0.4}, {9, 0.1}}}},
		WorkDay: 9 * units.Hour,
	}
}

// A basin of a bucketful is planned as a large one is: the same stages, hours, shares and
// notes, and a part of the volumes, masses and costs. No amount is so small that it is
// taken for none.
func TestSmallBasinIsPlannedAsALargeOne(t *testing.T) {
	const k = 1. / 50_000 // half a gallon of sludge
	lines := map[float64]int{}
	plan := func(k float64) Case {
		r, err := Plan(basinOf(k))
		require.NoError(t, err)
		lines[k] = len(r.Working())
		return r.Best()
	}
	large, small := plan(1), plan(k)
	same := func(want, got float64, what string) {
		t.Helper()
		require.InDelta(t, want, got, 1e-8*math.Abs(want)+1e-12, what)
	}
	require.Len(t, large.Routes, 2)
	require.Len(t, small.Routes, 2)
	require.Equal(t, lines[1], lines[k], "lines of the working")
	for i, want := range large.Routes {
		got := small.Routes[i]
		require.Equal(t, want.Feasible, got.Feasible)
		require.Len(t, got.Notes, len(want.Notes), "%v\n%v", want.Notes, got.Notes)
		same(k*float64(want.Fresh), float64(got.Fresh), "fresh")
		same(k*float64(want.Joined.Volume), float64(got.Joined.Volume), "joined")
		same(k*want.Cost, got.Cost, "cost")
		require.Positive(t, got.Cost)
		require.Len(t, got.Stages, len(want.Stages))
		for j, a := range want.Stages {
			b := got.Stages[j]
			require.Equal(t, a.Kind, b.Kind)
			require.Equal(t, a.Days, b.Days, a.Name)
			same(float64(a.Hours), float64(b.Hours), a.Name)
			same(float64(a.Layer), float64(b.Layer), a.Name)
			same(float64(a.Material.Solids), float64(b.Material.Solids), a.Name)
			same(a.Material.Gravity, b.Material.Gravity, a.Name)
			same(k*float64(a.Material.Mass), float64(b.Material.Mass), a.Name)
			if a.Haul != nil {
				require.Equal(t, a.Haul.Loads, b.Haul.Loads)
				same(k*float64(a.Haul.LastLoad), float64(b.Haul.LastLoad), "last load")
			}
			if a.Hose != nil {
				same(k*float64(a.Hose.Area), float64(b.Hose.Area), "area")
				require.Equal(t, a.Hose.Sets, b.Hose.Sets)
			}
			if a.Agitation != nil {
				same(a.Agitation.Turnovers, b.Agitation.Turnovers, "turnovers")
				same(*a.Agitation.Residual, *b.Agitation.Residual, "stays")
			}
		}
		require.Len(t, got.Streams, len(want.Streams))
		for j, a := range want.Streams {
			for n, x := range a.Constituents {
				y := got.Streams[j].Constituents[n]
				same(k*float64(x.Mass), float64(y.Mass), x.Name)
				same(k*float64(x.WithWater), float64(y.WithWater), x.Name)
				same(float64(x.PerVolume), float64(y.PerVolume), x.Name)
				same(float64(x.PerDry), float64(y.PerDry), x.Name)
				same(float64(x.PerMass), float64(y.PerMass), x.Name)
			}
		}
	}
	agitated := large.Routes[1]
	require.Positive(t, float64(agitated.Fresh), "the liquid does not do")
	require.Equal(t, StageAgitate, agitated.Stages[0].Kind)
	dug := agitated.Streams[len(agitated.Streams)-1]
	require.Equal(t, StreamResidual, dug.Kind)
	// What the liquid holds is never parted from it.
	for _, x := range large.Routes[0].Streams[0].Constituents {
		require.Equal(t, StreamEffluent, large.Routes[0].Streams[0].Kind)
		require.Equal(t, x.Mass, x.WithWater, x.Name)
		require.Positive(t, float64(x.Mass), x.Name)
	}
}

// With a bucket of solids in it and nothing but, a mixture has a gravity; a slurry of
// less than a kilogram is thickened.
func TestSmallSlurries(t *testing.T) {
	g, err := SolidsGravity(SolidsGravitySpec{Parts: []SolidsPart{{0.3, 1.2}, {0.3, 2.4}}})
	require.NoError(t, err)
	require.InDelta(t, 1.6, g, 1e-12)
	r, err := Thicken(ThickenSpec{In: SlurrySpec{Volume: 0.002, Solids: 0.05, SolidsGravity: 1.5}, Solids: 0.2, Recovery: 0.9})
	require.NoError(t, err)
	require.InDelta(t, 0.1, float64(r.Off.Dry/r.In.Dry), 1e-9)
	require.InDelta(t, 0.2, float64(r.Thick.Solids), 1e-9)
}

// By the curve of the pump: refused where it does not begin above the line, in whichever
// point the line crosses it, and throttled by what is left at its end.
func TestLineCrossesTheCurve(t *testing.T) {
	for _, c := range []struct {
		lift     units.Length
		curve    []PumpPoint
		from, to units.Flow
		throttle units.Length // 0: none
		ok       bool
	}{
		{99.5, []PumpPoint{{0, 120}, {1e-4, 110}, {2e-4, 90}, {3e-4, 0}}, 1e-4, 2e-4, 0, true},
		{115, []PumpPoint{{0, 120}, {1e-4, 110}, {2e-4, 90}, {3e-4, 0}}, 1e-5, 1e-4, 0, true},
		{40, []PumpPoint{{0, 120}, {1e-4, 110}, {2e-4, 90}, {3e-4, 0}}, 2e-4, 3e-4, 0, true},
		{89.5, []PumpPoint{{0, 120}, {1e-4, 110}, {2e-4, 90}}, 2e-4, 2e-4, 0.5, true},
		{120, []PumpPoint{{0, 120}, {1e-4, 110}, {2e-4, 90}}, 0, 0, 0, false},
		{110, []PumpPoint{{1e-4, 100}, {2e-4, 90}}, 0, 0, 0, false},
	} {
		l := LineSpec{Sections: []HoseSection{{Length: 10, Diameter: 6 * units.Inch, Coefficient: 140}}, Friction: FrictionHazenWilliams, SlurryFactor: 1, Lift: c.lift, Curve: c.curve}
		r, err := Line(l)
		if !c.ok {
			require.Error(t, err, "%v", c)
			continue
		}
		require.NoError(t, err)
		require.True(t, c.from <= r.Flow && r.Flow <= c.to, "%v in %v to %v", float64(r.Flow), c.from, c.to)
		require.InDelta(t, float64(c.throttle), float64(r.Throttle), 1e-3)
		told := fmt.Sprint(r.Notes)
		if c.throttle > 0 {
			require.Contains(t, told, "left over")
			require.Contains(t, r.Working().String(), "throttled")
		} else {
			require.NotContains(t, told, "left over")
		}
	}
}

// A stage costs its prices times what it moves, weighs and works: by hand.
func TestCostOfAStage(t *testing.T) {
	spec := plainPlan()
	spec.Dig.Swell = 1.2
	cost := StageCost{Fixed: 7, PerVolume: 2, PerMass: 0.3, PerHour: units.PricePer(50, units.Hour)}
	spec.Dig.Cost, spec.PumpOff.Cost = cost, cost
	r, err := Plan(spec)
	require.NoError(t, err)
	for _, s := range r.Best().Routes[0].Stages {
		require.InEpsilon(t, 7+2*float64(s.Moved)+0.3*float64(s.Material.Mass)+50*s.Hours.In(units.Hour), s.Cost, 1e-12, s.Name)
	}
	dug := r.Best().Routes[0].Stages[1]
	require.InEpsilon(t, 120, float64(dug.Moved), 1e-12)
	require.InEpsilon(t, 100, float64(dug.Material.Volume), 1e-12)
	s, err := NewSlurry(SlurrySpec{Dry: 0.5, Solids: 0.25, SolidsGravity: 1.5})
	require.NoError(t, err)
	require.InEpsilon(t, 2, float64(s.Mass), 1e-12)
}

// The edges of what is told: just enough is enough.
func TestJustEnough(t *testing.T) {
	a := AgitationSpec{Volume: 3600, Time: 2 * units.Hour, Agitator: Agitator{Flow: 1, Machines: 1, LeastTurnovers: 2, Power: 3600, LeastIntensity: 1}}
	r, err := Agitation(a)
	require.NoError(t, err)
	require.Equal(t, 2.0, r.Turnovers)
	require.Empty(t, r.Doubts)
	fl := *plainPlan().Dig.Fleet
	fl.LoadRate, fl.Bucket = 0, &Bucket{Size: 2, Fill: 1, Cycle: 20, Width: 2, Pass: 4}
	h, err := Haul(HaulSpec{Volume: 100, Fleet: fl, Layer: 0.25})
	require.NoError(t, err)
	require.False(t, h.ByLayer, "the bucket is just filled")
	h, err = Haul(HaulSpec{Volume: 100, Fleet: fl, Layer: 0.125})
	require.NoError(t, err)
	require.True(t, h.ByLayer)
	require.InDelta(t, 1, float64(h.PerBucket), 1e-12)
	for field, x := range map[string]*units.Duration{"fleet.unload": &fl.Unload, "fleet.wait": &fl.Wait, "fleet.travel": &fl.Travel} {
		old := *x
		*x = -1
		_, err := Haul(HaulSpec{Volume: 100, Fleet: fl})
		*x = old
		require.Len(t, units.FieldErrors(err), 1)
		require.Equal(t, field, units.FieldErrors(err)[0].Field)
	}
	// A pumping of just one day needs no agitation of another morning.
	spec := plainPlan()
	hose := Equipment{Hose: &DragHose{Flow: 0.1, Pumping: 1}}
	spec.Agitate = &AgitateSpec{Mix: MixAll, Agitation: units.Hour, Pump: hose}
	for _, overnight := range []bool{false, true} {
		if overnight {
			hose.Hose.Flow = 0.01
		}
		r, err := Plan(spec)
		require.NoError(t, err)
		pumping := r.Best().Routes[1].Stages[1]
		require.Equal(t, StagePump, pumping.Kind)
		require.Equal(t, overnight, pumping.Days > 1)
		told := fmt.Sprint(r.Best().Routes[1].Notes)
		require.Equal(t, overnight, strings.Contains(told, "settle overnight"), told)
	}
}

// Without liquid nothing else lies in the basin than its sludge, and the sludge of an
// empty one is dug by nobody.
func TestNothingIsNothing(t *testing.T) {
	spec := plainPlan()
	spec.Sludge, spec.Contents = 0.002, 0.002
	r, err := Plan(spec)
	require.NoError(t, err)
	c := r.Best()
	require.Zero(t, float64(c.Liquid))
	require.Len(t, c.Routes[0].Stages, 1)
	require.InEpsilon(t, 0.002, float64(c.Routes[0].In.Volume), 1e-9)
	require.Zero(t, c.Routes[0].Joined.Gravity)
	require.Zero(t, float64(c.Routes[0].Joined.Solids))
	spec.Sludge, spec.Contents, spec.Interval = 0.002, 0.004, &units.Range[units.Volume]{Low: 0, High: 0.003}
	r, err = Plan(spec)
	require.NoError(t, err)
	low := r.Cases[0]
	require.Zero(t, float64(low.Sludge))
	require.Len(t, low.Routes[0].Stages, 1)
	require.Equal(t, StagePumpOff, low.Routes[0].Stages[0].Kind)
	require.InEpsilon(t, 0.004, float64(low.Routes[0].In.Volume), 1e-9)
}

// Whatever there is to pump off asks for what pumps it, however little it is.
func TestPumpOffIsAskedFor(t *testing.T) {
	for what, change := range map[string]func(*PlanSpec){
		"contents": func(s *PlanSpec) { s.Contents = 0.5 },
		"liquid":   func(s *PlanSpec) { s.Liquid, s.Contents = 0.5, 0 },
		"drained":  func(s *PlanSpec) { s.Contents, s.Dig.Drained = 0, 0.2 },
		"rain": func(s *PlanSpec) {
			s.Contents, s.Exchanges = 0, []Exchange{{Name: "rain", Kind: ExchangeRain, Stage: StageDrain, Volume: 0.5}}
		},
	} {
		spec := plainPlan()
		spec.Sludge, spec.PumpOff = 0.2, Equipment{}
		change(&spec)
		_, err := Plan(spec)
		require.ErrorContains(t, err, "pumpOff", what)
	}
	spec := plainPlan()
	spec.Contents, spec.PumpOff = 0, Equipment{}
	_, err := Plan(spec)
	require.NoError(t, err)
}

// One class given is the one that counts: with all of it pumped, 17 % is a target.
func TestOneClassGiven(t *testing.T) {
	spec := plainPlan()
	spec.Solids, spec.Classes = 0.3, []SolidsClass{{Name: "slurry", Handling: HandlingPump}}
	spec.Agitate = &AgitateSpec{Mix: MixAll, Target: 0.17, Pump: Equipment{Hose: &DragHose{Flow: 0.1, Pumping: 1}}}
	_, err := Plan(spec)
	require.NoError(t, err)
	spec.Classes = nil
	_, err = Plan(spec)
	require.ErrorContains(t, err, "agitate.target")
}
