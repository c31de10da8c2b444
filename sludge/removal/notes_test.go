package removal

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

func texts(list []units.Phrase) (out []string) {
	for _, p := range list {
		out = append(out, p.String())
	}
	return out
}

// What is noted of a route, and said against it, tells its own figures in whole sentences;
// by hand, for sludge as heavy as water of 8 lb/gal.
func TestNotesTellTheirFigures(t *testing.T) {
	const gal, gpm = units.Gallon, units.GallonPerMinute
	pump := Equipment{Hose: &DragHose{Flow: 1000 * gpm, Pumping: 1}}
	for name, c := range map[string]struct {
		route int
		spec  func(*PlanSpec)
		notes []string
		why   []string
	}{
		"weight of a load": {0, func(s *PlanSpec) { s.Dig.Swell, s.Dig.Fleet.Payload = 1.25, 0 },
			[]string{"dig the sludge: a load weighs 19,200 lb, and no payload and no legal limit of the road is given to hold it against."}, nil},
		"thin layer": {0, func(s *PlanSpec) { s.Floor = s.Sludge.OverRate(units.VolumePerArea(9 * units.Inch)) },
			[]string{"dig the sludge: it lies 9 in thick. A bucket does not fill in a layer so thin as in a cut: give the width of the bucket and the length of a pass, or a rate that was timed in such a layer."}, nil},
		"heaped": {0, func(s *PlanSpec) { s.Dig.Fleet.Fill = 1.1; s.Solids = 0.16 },
			[]string{"dig the sludge: semi-solid does not heap: a fill above 1 of bucket or box is too much for it."}, nil},
		"brought in, assumed, overnight": {1, func(s *PlanSpec) {
			s.Solids, s.Agitate = 0.16, &AgitateSpec{Mix: MixNeeded, Target: 0.08, Residual: 0.25, Pump: pump}
			s.WorkDay = 100 * units.Minute
		}, []string{
			"That 25 % of the solids stay is an assumption: measure what stays while pumping goes on.", "Pumping takes days 2, and solids settle overnight: agitate again before each.",
			"The liquid does not thin the sludge to 8.0 % solids: 75,000 gal of water has to be brought in."}, nil},
		"runs from a bucket": {0, func(s *PlanSpec) { s.Solids = 0.123 }, nil,
			[]string{"dig the sludge: at 12.3 % solids it is slurry by the classes and runs from a bucket. Drain it first or pump it."}},
		"does not flow": {0, func(s *PlanSpec) { s.Dig.Equipment = pump }, nil,
			[]string{"dig the sludge: at 20.0 % solids it is solid by the classes and does not flow to a pump."}},
		"outside": {0, func(s *PlanSpec) { s.Dig.Solids = &units.Range[units.MassFraction]{Low: 0.25, High: 0.5} }, nil,
			[]string{"dig the sludge: at 20.0 % solids it is outside what the equipment takes, 25.0 % to 50.0 %."}},
		"of the line": {0, func(s *PlanSpec) {
			l := sixInch()
			l.Suction = &Suction{Atmosphere: 30 * units.Foot, Lift: 12 * units.Foot, Loss: 4 * units.Foot, Required: 15 * units.Foot}
			s.Contents, s.PumpOff = 200_000*gal, Equipment{Hose: &DragHose{Line: &l, Pumping: 1}}
		}, []string{"pump off the liquid: The site gives 14 ft of suction head and the pump requires 15 ft: it cavitates. Set it lower, shorten the suction, or pump less."}, nil},
	} {
		spec := plainPlan()
		spec.Sludge, spec.Contents, spec.Solids, spec.SolidsGravity, spec.WaterDensity = 100_000*gal, 0, 0.2, 1, 8*units.PoundPerGallon
		spec.Dig.Fleet.Capacity, spec.Dig.Fleet.Payload = 3000*gal, 1e6
		c.spec(&spec)
		r := route(t, spec, c.route)
		require.Equal(t, c.notes, texts(r.Notes), name)
		require.Equal(t, c.why, texts(r.Why), name)
	}
}

// What speaks against an agitation tells its own figures; by hand.
func TestDoubtsTellTheirFigures(t *testing.T) {
	spec := AgitationSpec{Volume: 120_000 * units.Gallon, Time: units.Hour, Agitator: Agitator{Flow: 1000 * units.GallonPerMinute, Machines: 1, LeastTurnovers: 3,
		Reach: 40 * units.Foot, Access: AgitatorOneBank, Length: 200 * units.Foot, Width: 100 * units.Foot}}
	unreached := "From one bank a reach of 40 ft leaves 65 % of the area without a jet: a boat or a longer boom is needed there."
	for time, want := range map[units.Duration]string{
		units.Hour:     "In 1 h not all of 120,000 gal passes through the agitator once, but 0.50 of it: more sludge stays than after full agitation.",
		3 * units.Hour: "1.50 turnovers are less than the 3.00 that are held to be enough.",
	} {
		spec.Time = time
		r, err := Agitation(spec)
		require.NoError(t, err)
		require.Equal(t, []string{want, unreached}, texts(r.Doubts))
	}
	spec.Time, spec.Residual, spec.Access = 10*units.Hour, []ResidualPoint{{1, 0.5}, {4, 0.1}}, AgitatorBoat
	spec.Power, spec.LeastIntensity = 60*units.Horsepower, units.Horsepower.Over(1000*units.Gallon)
	r, err := Agitation(spec)
	require.NoError(t, err)
	require.Equal(t, []string{"0.5 hp/1000 gal of mixing is less than the 1 hp/1000 gal that are held to be enough.",
		"The relation of what stays ends at 4.00 turnovers; beyond it nothing is taken to improve."}, texts(r.Doubts))
	l := sixInch()
	last := &l.Curve[len(l.Curve)-1]
	last.Head = l.resists(last.Flow) + 7*units.Foot
	l.Curve[1].Head, l.Curve[0].Head = last.Head+1, last.Head+2
	works, err := Line(l)
	require.NoError(t, err)
	require.Equal(t, []string{"At the end of the pump's curve 7 ft of head are left over: throttle it, or slow it down, so that it does not run beyond its curve.",
		"Suction head is not checked."}, texts(works.Notes))
}

// The words of what can be told apart, as their docs have them.
func TestWords(t *testing.T) {
	for want, got := range map[string]interface{ String() string }{
		"draw off and dig": RouteDrawOffDig, "agitate and pump": RouteAgitatePump,
		"needed": MixNeeded, "all": MixAll,
		"pump off": StagePumpOff, "agitate": StageAgitate, "pump": StagePump, "dig": StageDig, "drain": StageDrain,
		"effluent": StreamEffluent, "slurry": StreamSlurry, "filtrate": StreamFiltrate, "sludge": StreamSludge, "residual": StreamResidual,
		"rain": ExchangeRain, "inflow": ExchangeInflow, "evaporation": ExchangeEvaporation,
		"given": SplitGiven, "as in the liquid": SplitLiquid, "all with the water": SplitAll,
		"boat": AgitatorBoat, "one bank": AgitatorOneBank, "both banks": AgitatorBothBanks,
		"hazen-williams": FrictionHazenWilliams, "darcy-weisbach": FrictionDarcyWeisbach,
		"peak": LoadingPeak, "effective": LoadingEffective,
		"none": BottleneckNone, "trucks": BottleneckTrucks, "loader": BottleneckLoader,
	} {
		require.Equal(t, want, got.String())
	}
	require.Equal(t, "pump", HandlingPump.String())
	require.Equal(t, "dig", HandlingDig.String())
}
