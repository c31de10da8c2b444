package removal

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// route plans spec and returns one route of its best volume, 0 for drawing off and digging.
func route(t *testing.T, spec PlanSpec, i int) RouteResult {
	t.Helper()
	r, err := Plan(spec)
	require.NoError(t, err)
	return r.Best().Routes[i]
}

// waterCart carries 10 m3 of water, loaded in 100 s.
func waterCart() HaulSpec {
	return HaulSpec{Volume: 10, Density: 1000, Fleet: Fleet{Trucks: 1, Capacity: 10, Fill: 1, LoadRate: 0.1, Efficiency: 1, Loading: LoadingPeak, Travel: 100}}
}

// What limits a load is named only where it takes something away.
func TestLoadIsJustLegal(t *testing.T) {
	for name, c := range map[string]struct {
		payload   units.Mass
		road      *Road
		load      units.Volume
		byPayload bool
		byRoad    string
		legal     units.Mass
	}{
		"no limit":                             {load: 10},
		"payload of a full tank":               {payload: 10_000, load: 10},
		"payload of less":                      {payload: 9_000, load: 9, byPayload: true},
		"payload of a hand cart":               {payload: 0.5, load: 0.0005, byPayload: true},
		"road for a full tank":                 {road: &Road{Gross: 15_000, Tare: 5_000}, load: 10, legal: 10_000},
		"road for less":                        {road: &Road{Gross: 13_000, Tare: 5_000}, load: 8, byPayload: true, byRoad: "gross", legal: 8_000},
		"road for just the payload":            {payload: 8_000, road: &Road{Gross: 13_000, Tare: 5_000}, load: 8, byPayload: true, legal: 8_000},
		"road for a kilogram less":             {payload: 8_000, road: &Road{Gross: 12_999, Tare: 5_000}, load: 7.999, byPayload: true, byRoad: "gross", legal: 7_999},
		"axle as good as the gross limit":      {road: &Road{Gross: 12_000, Tare: 5_000, Axles: []Axle{{"rear", 6_000, 0.5}}}, load: 7, byPayload: true, byRoad: "gross", legal: 7_000},
		"axle that is the limit":               {road: &Road{Gross: 12_000, Tare: 5_000, Axles: []Axle{{"rear", 5_500, 0.5}}}, load: 6, byPayload: true, byRoad: "rear", legal: 6_000},
		"two axles alike, told by the first":   {road: &Road{Gross: 12_000, Tare: 5_000, Axles: []Axle{{"front", 5_500, 0.5}, {"rear", 5_500, 0.5}}}, load: 6, byPayload: true, byRoad: "front", legal: 6_000},
		"axle that is the limit, with payload": {payload: 5_000, road: &Road{Gross: 12_000, Tare: 5_000, Axles: []Axle{{"rear", 5_500, 0.5}}}, load: 5, byPayload: true, legal: 6_000},
	} {
		spec := waterCart()
		spec.Fleet.Payload, spec.Fleet.Road = c.payload, c.road
		r, err := Haul(spec)
		require.NoError(t, err, name)
		require.InEpsilon(t, float64(c.load), float64(r.PerLoad), 1e-12, name)
		require.Equal(t, c.byPayload, r.ByPayload, name)
		require.Equal(t, c.byRoad, r.ByRoad, name)
		require.Equal(t, c.legal, r.Legal, name)
	}
}

// One load is the last one too, and a volume beside it is a trip of its own.
func TestLastLoad(t *testing.T) {
	for volume, want := range map[units.Volume]struct {
		loads int
		last  units.Volume
	}{3: {1, 3}, 10: {1, 10}, 10.5: {2, 0.5}, 20: {2, 10}} {
		spec := waterCart()
		spec.Volume = volume
		r, err := Haul(spec)
		require.NoError(t, err)
		require.Equal(t, want.loads, r.Loads, "%v", volume)
		require.InDelta(t, float64(want.last), float64(r.LastLoad), 1e-9, "%v", volume)
	}
}

// The most that is planned for: a figure at the limit is taken, one beyond is told.
func TestMostOfAPlan(t *testing.T) {
	// A cycle of 900,000 loadings and of 1,100,000.
	cycle := func(times float64) error {
		spec := waterCart()
		spec.Fleet.LoadRate, spec.Fleet.Travel = 10, units.Duration(times-1)
		_, err := Haul(spec)
		return err
	}
	require.NoError(t, cycle(900_000))
	require.NoError(t, cycle(1_000_000))
	require.ErrorContains(t, cycle(1_100_000), "volume: got")
	// Ten million sets of a square metre, and one more.
	sets := func(n float64) error {
		_, err := Pump(PumpSpec{Volume: units.Volume(0.01 * n), Hose: DragHose{Flow: 1, Pumping: 1, Rate: 0.01, SetArea: 1}})
		return err
	}
	require.NoError(t, sets(10_000_000))
	require.ErrorContains(t, sets(10_000_001), "volume: got")
	// Ten million days of a minute.
	days := func(n float64) error {
		spec := plainPlan()
		spec.WorkDay, spec.Contents = units.Minute, 0
		spec.Sludge, spec.Dig.Equipment = units.Volume(0.06*n), Equipment{Hose: &DragHose{Flow: 0.001, Pumping: 1}}
		_, err := Plan(spec)
		return err
	}
	require.NoError(t, days(10_000_000))
	require.ErrorContains(t, days(10_000_001), "dig: got")
	// The first stage of a route that cannot be worked out is told, and nothing else.
	spec := plainPlan()
	spec.Contents, spec.Solids = 0, 0.08
	slow := *spec.Dig.Fleet
	slow.Capacity = 0.001
	spec.Sludge, spec.Agitate = 1e6, &AgitateSpec{Mix: MixAll, Pump: Equipment{Fleet: &slow}}
	_, err := Plan(spec)
	require.Len(t, units.FieldErrors(err), 1)
	require.Equal(t, "agitate.pump", units.FieldErrors(err)[0].Field)
}

// Sets of less than a square metre, a film on a small floor, a short reach and a way of a
// step are counted as any.
func TestSmallAreas(t *testing.T) {
	step := waterCart()
	step.Fleet.Travel, step.Fleet.Distance, step.Fleet.SpeedOut, step.Fleet.SpeedBack = 0, 0.5, 0.25, 0.125
	way, err := Haul(step)
	require.NoError(t, err)
	require.InDelta(t, 0.5/0.25+0.5/0.125, float64(way.Travel), 1e-12)
	require.InDelta(t, 1, float64(way.Driven), 1e-12)
	r, err := Pump(PumpSpec{Volume: 1, Hose: DragHose{Flow: 1, Pumping: 1, Rate: 0.01, SetArea: 0.5}})
	require.NoError(t, err)
	require.Equal(t, 200, r.Sets)
	jet, err := Agitation(AgitationSpec{Volume: 1, Agitator: Agitator{Flow: 1, Machines: 1, Reach: 0.5, Access: AgitatorBoat, Length: 1, Width: 0.5}})
	require.NoError(t, err)
	require.Equal(t, 2, jet.Positions)
	spec := plainPlan()
	spec.Floor = 0.5
	require.InEpsilon(t, 200, float64(route(t, spec, 0).Stages[1].Layer), 1e-12)
}

// A line just reaches the outlet, the end of its curve and the suction head that the pump
// asks for: enough is enough, and a hand's breadth less is told.
func TestLineJustReaches(t *testing.T) {
	for _, short := range []units.Length{0, 0.1} {
		l := sixInch()
		l.Curve = l.Curve[1:]
		l.Curve[0].Head = l.resists(l.Curve[0].Flow) - short
		l.Curve[1].Head = 1
		r, err := Line(l)
		if short > 0 {
			require.ErrorContains(t, err, "curve: got", "the least flow of the pump is not reached")
		} else {
			require.NoError(t, err)
			require.Equal(t, l.Curve[0].Flow, r.Flow)
		}

		l = sixInch()
		l.Curve[2].Head = l.resists(l.Curve[2].Flow) + short
		l.Curve[1].Head, l.Curve[0].Head = l.Curve[2].Head+1, l.Curve[2].Head+2
		r, err = Line(l)
		require.NoError(t, err)
		require.Equal(t, l.Curve[2].Flow, r.Flow)
		require.InDelta(t, float64(short), float64(r.Throttle), 1e-12)
		require.Len(t, r.Notes, map[bool]int{false: 1, true: 2}[short > 0], "%v", r.Notes) // that suction is not checked

		l = sixInch()
		l.Suction = &Suction{Atmosphere: 10, Vapour: 0.5, Lift: 4, Loss: 2.5, Required: 3 + short}
		r, err = Line(l)
		require.NoError(t, err)
		require.Equal(t, units.Length(3), r.SuctionHead)
		require.Equal(t, short > 0, r.Cavitates)
	}
	// By a curve that begins above 0.
	l := sixInch()
	l.Curve[0].Flow = 0.01
	r, err := Line(l)
	require.NoError(t, err)
	require.InDelta(t, float64(l.resists(r.Flow)), float64(r.Head), 1e-9)
}

// What stays by a relation of one point, by one that begins without turnovers, and in a
// plan: the relation is no assumption, whatever else is doubted.
func TestShortRelationOfWhatStays(t *testing.T) {
	stays := func(turnovers float64, relation ...ResidualPoint) AgitationResult {
		r, err := Agitation(AgitationSpec{Volume: 1000, Time: units.Duration(1000 * turnovers), Agitator: Agitator{Flow: 1, Machines: 1, Residual: relation}})
		require.NoError(t, err)
		return r
	}
	one := ResidualPoint{Turnovers: 2, Residual: 0.4}
	require.InDelta(t, 0.7, *stays(1, one).Residual, 1e-12)
	require.InDelta(t, 0.4, *stays(3, one).Residual, 1e-12)
	require.Len(t, stays(3, one).Doubts, 1)
	begun := ResidualPoint{Turnovers: 0, Residual: 0.8}
	require.InDelta(t, 0.8, *stays(0, begun, one).Residual, 1e-12)
	require.InDelta(t, 0.6, *stays(1, begun, one).Residual, 1e-12)

	spec := plainPlan()
	spec.Solids = 0.12
	spec.Agitate = &AgitateSpec{Mix: MixAll, Agitation: 250, Machine: &Agitator{Flow: 1, Machines: 2, LeastTurnovers: 5, Residual: []ResidualPoint{one}}, Pump: spec.PumpOff}
	r := route(t, spec, 1) // one turnover of 500 m3
	last := r.Stages[len(r.Stages)-1]
	require.Equal(t, StageDig, last.Kind)
	require.InEpsilon(t, 0.7, float64(last.Material.Dry/(last.Material.Dry+r.Stages[1].Material.Dry)), 1e-9)
	require.NotContains(t, fmt.Sprint(r.Notes), "assumption")
	// Turnovers count over all that is agitated when nothing stays, with the water that is
	// brought in and without the liquid that is pumped off.
	spec.Agitate.Mix, spec.Agitate.Target, spec.Agitate.Agitation = MixNeeded, 0.06, 100
	for _, contents := range []units.Volume{500, 110} {
		spec.Contents = contents
		r = route(t, spec, 1)
		thin, err := Dilute(DiluteSpec{In: SlurrySpec{Volume: 100, Solids: 0.12, SolidsGravity: 1.5}, Solids: 0.06})
		require.NoError(t, err)
		last = r.Stages[len(r.Stages)-1]
		require.InEpsilon(t, 1-0.3*200/float64(thin.Out.Volume), float64(last.Material.Dry/r.In.Dry), 1e-9)
	}
}

// With all of the solids staying, or none lifted, there is nothing to agitate, and with
// no sludge there is nothing to stay, drain or dig.
func TestAllStaysAndNothingThere(t *testing.T) {
	spec := plainPlan()
	spec.Agitate = &AgitateSpec{Mix: MixAll, Residual: 1, Pump: spec.PumpOff}
	r := route(t, spec, 1)
	require.Len(t, r.Stages, 2)
	require.Equal(t, StagePump, r.Stages[0].Kind)
	require.Zero(t, float64(r.Stages[0].Material.Dry))
	require.Equal(t, StageDig, r.Stages[1].Kind)
	require.InEpsilon(t, 100, float64(r.Stages[1].Material.Volume), 1e-9)

	spec = plainPlan()
	spec.Interval = &units.Range[units.Volume]{Low: 0, High: 100}
	spec.Dig.Drained = 0.2
	spec.Agitate = &AgitateSpec{Mix: MixAll, Residual: 0.3, Pump: spec.PumpOff}
	for _, machine := range []*Agitator{nil, {Flow: 1, Machines: 1, Residual: []ResidualPoint{{2, 0.4}}}} {
		if spec.Agitate.Machine = machine; machine != nil {
			spec.Agitate.Residual = 0
		}
		plan, err := Plan(spec)
		require.NoError(t, err)
		for i, want := range []StageKind{StagePumpOff, StagePump} {
			stages := plan.Cases[0].Routes[i].Stages
			require.Len(t, stages, 1)
			require.Equal(t, want, stages[0].Kind)
			require.InEpsilon(t, 500, float64(stages[0].Moved), 1e-9)
		}
	}
	// Without liquid and with sludge that is thin enough nothing is mixed in.
	spec = plainPlan()
	spec.Solids, spec.Contents = 0.04, 0
	spec.Agitate = &AgitateSpec{Mix: MixNeeded, Target: 0.06, Pump: spec.PumpOff}
	r = route(t, spec, 1)
	require.Len(t, r.Stages, 2)
	require.InEpsilon(t, 100, float64(r.Stages[1].Moved), 1e-9)
	require.Zero(t, float64(r.Fresh))
	require.Empty(t, r.Joined.Volume)
}

// Water that comes and goes: none of it changes nothing, a cubic metre counts, and no
// stage loses all its water.
func TestExchangeOfLittleAndOfAll(t *testing.T) {
	spec := plainPlan()
	spec.Contents = 101 // a cubic metre of clear liquid
	for volume, want := range map[units.Volume]units.Volume{0: 1, 1: 2, 2: 3} {
		spec.Exchanges = []Exchange{{Name: "rain", Kind: ExchangeRain, Stage: StagePumpOff, Volume: volume}}
		r := route(t, spec, 0)
		require.InDelta(t, float64(want), float64(r.Stages[0].Moved), 1e-9)
		require.InDelta(t, float64(volume), float64(r.Joined.Volume), 1e-9)
	}
	for volume, ok := range map[units.Volume]bool{0: true, 0.999: true, 1: false, 1.5: false} {
		spec.Exchanges = []Exchange{{Name: "sun", Kind: ExchangeEvaporation, Stage: StagePumpOff, Volume: volume}}
		plan, err := Plan(spec)
		require.Equal(t, ok, err == nil, "%v: %v", volume, err)
		if ok {
			r := plan.Best().Routes[0]
			require.InDelta(t, 1-float64(volume), float64(r.Stages[0].Moved), 1e-9)
			require.InDelta(t, float64(volume), float64(r.Evaporated), 1e-9)
		} else {
			require.ErrorContains(t, err, "exchanges[0].volume: got")
		}
	}
	// Nothing evaporates from where nothing is.
	spec = plainPlan()
	spec.Contents = 0
	spec.Exchanges = []Exchange{{Name: "sun", Kind: ExchangeEvaporation, Stage: StageDrain, Volume: 0}}
	require.Len(t, route(t, spec, 0).Stages, 1)
}

// What is asked for only where there is liquid.
func TestAskedForWithLiquidOnly(t *testing.T) {
	given := Constituent{Name: "Zn", Sludge: Content{PerVolume: new(units.Concentration(0.1))}, WithWater: new(0.0)}
	for what, c := range map[string]struct {
		liquid, contents units.Volume
		asked            bool
	}{"none": {0, 0, false}, "liquid": {0.5, 0, true}, "contents": {0, 0.5, true}} {
		spec := plainPlan()
		spec.Sludge, spec.Liquid, spec.Contents, spec.Constituents = 0.2, c.liquid, c.contents, []Constituent{given}
		_, err := Plan(spec)
		if c.asked {
			require.ErrorContains(t, err, "constituents[0].liquid: missing", what)
		} else {
			require.NoError(t, err, what)
		}
	}
	// Rain on what is dug or pumped as slurry needs no pump for liquid; rain that drains does.
	hose := Equipment{Hose: &DragHose{Flow: 0.1, Pumping: 1}}
	for stage, asked := range map[StageKind]bool{StageDig: false, StagePump: false, StageDrain: true, StagePumpOff: true, 0: true} {
		spec := plainPlan()
		spec.Contents, spec.Solids, spec.PumpOff, spec.Agitate = 0, 0.08, Equipment{}, &AgitateSpec{Mix: MixAll, Pump: hose}
		spec.Exchanges = []Exchange{{Name: "rain", Kind: ExchangeRain, Stage: stage, Volume: 5}}
		_, err := Plan(spec)
		require.Equal(t, asked, err != nil, "%v: %v", stage, err)
	}
	// Contents of half a cubic metre hold no more sludge than that, and no liquid beside it.
	for field, change := range map[string]func(*PlanSpec){
		"contents": func(s *PlanSpec) { s.Sludge = 0.6 },
		"liquid":   func(s *PlanSpec) { s.Liquid = 0.1 },
	} {
		spec := plainPlan()
		spec.Sludge, spec.Contents = 0.2, 0.5
		change(&spec)
		_, err := Plan(spec)
		require.Len(t, units.FieldErrors(err), 1)
		require.Equal(t, field, units.FieldErrors(err)[0].Field)
	}
	// What is given is checked, needed or not.
	spec := plainPlan()
	spec.Contents, spec.PumpOff = 0, Equipment{Hose: &DragHose{}}
	_, err := Plan(spec)
	require.ErrorContains(t, err, "pumpOff.hose.flow")
	spec.PumpOff, spec.Constituents = Equipment{}, []Constituent{given}
	spec.Constituents[0].Liquid.PerVolume = new(units.Concentration(-1))
	_, err = Plan(spec)
	require.ErrorContains(t, err, "constituents[0].liquid.perVolume")
}

// Where the part that goes with the water comes from, at its ends: none of it anywhere, and
// as much in the water of the sludge as the sludge holds.
func TestSplitAtItsEnds(t *testing.T) {
	for _, c := range []struct {
		liquid, sludge float64
		split          SplitRule
		share          float64
	}{{0, 0, SplitLiquid, 0}, {0, 1, SplitLiquid, 0}, {1, 0, SplitAll, 1}, {1, 2, SplitLiquid, 0.5}, {1, 1, SplitLiquid, 1}, {1, 0.999, SplitAll, 1}} {
		spec := plainPlan()
		// In contents of the water of a cubic metre of the sludge, whose liquid is clear.
		sludge, err := NewSlurry(SlurrySpec{Volume: units.CubicMetre, Solids: spec.Solids, SolidsGravity: spec.SolidsGravity})
		require.NoError(t, err)
		liquid, err := NewSlurry(SlurrySpec{Volume: units.CubicMetre, SolidsGravity: spec.SolidsGravity})
		require.NoError(t, err)
		whole := float64(units.Concentration(c.liquid).Times(units.CubicMetre) / liquid.Water * sludge.Water)
		if c.liquid == 0 {
			whole = 1
		}
		spec.Constituents = []Constituent{{Name: "Cl", Liquid: Content{PerVolume: new(units.Concentration(c.liquid))}, Sludge: Content{PerVolume: new(units.Concentration(c.sludge * whole))}}}
		plan, err := Plan(spec)
		require.NoError(t, err)
		got := plan.Best().Constituents[0]
		require.Equal(t, c.split, got.Split, "%+v", c)
		require.InDelta(t, c.share, got.WithWater, 1e-12, "%+v", c)
	}
}

// A slurry of little volume and little mass by any two of its three figures; clear water
// has no solids to thicken, and what is thickened to what it is gives nothing off.
func TestSlurryAtItsEnds(t *testing.T) {
	for _, s := range []SlurrySpec{{Volume: 0.5, Dry: 300, SolidsGravity: 1.5}, {Volume: 4, Dry: 0.5, SolidsGravity: 1.5}, {Volume: 0.5, Dry: 0.5, SolidsGravity: 1.5}} {
		r, err := NewSlurry(s)
		require.NoError(t, err)
		require.InEpsilon(t, float64(s.Volume), float64(r.Volume), 1e-12)
		require.Equal(t, s.Dry, r.Dry)
		require.InEpsilon(t, 1000*(float64(s.Volume)-float64(s.Dry)/1500), float64(r.Water), 1e-12)
	}
	for i, ok := range []bool{false, true, false, true, false, true, true, false} { // of none, volume, dry mass, both, solids and so on
		s := SlurrySpec{SolidsGravity: 1.5}
		if i&1 > 0 {
			s.Volume = 2
		}
		if i&2 > 0 {
			s.Dry = 300
		}
		if i&4 > 0 {
			s.Solids = 0.1
		}
		_, err := NewSlurry(s)
		require.Equal(t, ok, err == nil, "%+v: %v", s, err)
	}
	_, err := Thicken(ThickenSpec{In: SlurrySpec{Volume: 1, SolidsGravity: 1.5}, Solids: 0.2, Recovery: 1})
	require.ErrorContains(t, err, "solids: got")
	same, err := Thicken(ThickenSpec{In: SlurrySpec{Volume: 7, Solids: 0.2, SolidsGravity: 1.5}, Solids: 0.2, Recovery: 1})
	require.NoError(t, err)
	require.InDelta(t, 1, same.Share, 1e-12)
	require.InDelta(t, 0, float64(same.Off.Volume), 1e-9)
	require.False(t, math.Signbit(float64(same.Off.Water)))
	require.Zero(t, Stream{}.Density())
	_, ok := Stream{Constituents: []Carried{{Name: "N"}}}.Of("P2O5")
	require.False(t, ok)
	require.InEpsilon(t, 1200, float64(Stream{Material: Slurry{Mass: 1200}, Moved: 1}.Density()), 1e-12)
	require.Equal(t, units.MassFraction(1), pumpLimit([]SolidsClass{{Handling: HandlingPump}}))
}

// Without a target the slurry comes as near to the end of pumping as can be told apart, and
// is pumped still; the liquid that would make sludge pumpable does the same, and there is
// none where the liquid has as much solids itself.
func TestThinnedToTheLimit(t *testing.T) {
	spec := plainPlan()
	spec.Contents = 200
	for _, solids := range []units.MassFraction{0.151, 0.18, 0.3, 0.7} {
		for _, liquid := range []units.MassFraction{0, 0.004, 0.1, 0.1499} {
			spec.Solids, spec.LiquidSolids = solids, liquid
			spec.Agitate = &AgitateSpec{Mix: MixNeeded, Pump: spec.PumpOff}
			plan, err := Plan(spec)
			require.NoError(t, err)
			for _, s := range plan.Best().Routes[1].Stages {
				if s.Kind == StagePump {
					require.Equal(t, HandlingPump, s.Class.Handling)
					require.InEpsilon(t, 0.15, float64(s.Material.Solids), 1e-8)
				}
			}
			thin, err := Dilute(DiluteSpec{In: SlurrySpec{Volume: 100, Solids: solids, SolidsGravity: 1.5}, Solids: 0.15, Liquid: liquid})
			require.NoError(t, err)
			require.InEpsilon(t, float64(thin.Added.Volume), float64(plan.ToPump), 2e-6) // 0.1499 is near the limit
		}
	}
	spec.Agitate, spec.Solids, spec.LiquidSolids = nil, 0.18, justBelow(0.15)
	plan, err := Plan(spec)
	require.NoError(t, err)
	require.Zero(t, float64(plan.ToPump))
}

// Each day of pumping after the first begins with agitation: on a last day that is just
// filled, on one that is just begun, and of a second.
func TestAgitatedAgainEachDay(t *testing.T) {
	spec := plainPlan()
	spec.Solids, spec.Contents = 0.08, 0
	hose := &DragHose{Flow: 0.01, Pumping: 1}
	spec.Agitate = &AgitateSpec{Mix: MixAll, Pump: Equipment{Hose: hose}}
	for _, c := range []struct {
		pumping, again units.Duration
		mornings, days int
	}{
		{9 * units.Hour, 2 * units.Hour, 0, 1}, {10 * units.Hour, 2 * units.Hour, 0, 1}, {10*units.Hour + 0.5, 2 * units.Hour, 1, 2},
		{18 * units.Hour, 2 * units.Hour, 1, 2}, {18*units.Hour + 1, 2 * units.Hour, 2, 3}, {11 * units.Hour, units.Second, 1, 2},
	} {
		spec.Agitate.Again = c.again
		hose.Flow = spec.Sludge.OverTime(c.pumping)
		pump := route(t, spec, 1).Stages[1]
		require.Equal(t, StagePump, pump.Kind)
		require.InDelta(t, float64(c.mornings)*float64(c.again), float64(pump.Again), 1e-6, "%+v", c)
		require.InDelta(t, float64(c.pumping+pump.Again), float64(pump.Hours), 1e-6, "%+v", c)
		require.Equal(t, c.days, pump.Days, "%+v", c)
	}
}

// Routes that cost the same, or of which one cannot be done, or that are one: none is the
// cheapest of equals, and of one alone nothing is said.
func TestLeastOfEqualRoutes(t *testing.T) {
	made := func(feasible [2]bool, values ...float64) (c Case) {
		for i, v := range values {
			c.Routes = append(c.Routes, RouteResult{Route: RouteDrawOffDig + Route(i), Feasible: feasible[i], Cost: v})
		}
		return c
	}
	both, first := [2]bool{true, true}, [2]bool{true, false}
	cost := func(r RouteResult) float64 { return r.Cost }
	tenth, fifth := 0.1, 0.2
	sum := tenth + fifth // 0.30000000000000004
	for name, c := range map[string]struct {
		cases []Case
		route Route
		holds bool
	}{
		"first":                     {[]Case{made(both, 1, 2)}, RouteDrawOffDig, true},
		"second":                    {[]Case{made(both, 2, 1)}, RouteAgitatePump, true},
		"equal but for rounding":    {[]Case{made(both, sum, 0.3), made(both, 0.3, sum), made(both, -0.3, -sum)}, 0, false},
		"one of no known cost":      {[]Case{made(both, 1, math.NaN()), made(both, 1, math.NaN()), made(both, 1, 2)}, RouteDrawOffDig, true},
		"none of a known cost":      {[]Case{made(both, math.NaN(), math.NaN())}, 0, false},
		"earned":                    {[]Case{made(both, -2, -1)}, RouteDrawOffDig, true},
		"nothing":                   {[]Case{made(both, 0, 1)}, RouteDrawOffDig, true},
		"equal":                     {[]Case{made(both, 2, 2)}, 0, false},
		"one":                       {[]Case{made(both, 2)}, 0, false},
		"second cannot be done":     {[]Case{made(first, 2, 1)}, RouteDrawOffDig, true},
		"none can be done":          {[]Case{made([2]bool{}, 2, 1)}, 0, false},
		"holds":                     {[]Case{made(both, 1, 3), made(both, 1, 2), made(both, 4, 5)}, RouteDrawOffDig, true},
		"turns at the low volume":   {[]Case{made(both, 3, 2), made(both, 1, 2), made(both, 4, 5)}, RouteDrawOffDig, false},
		"equal at the high volume":  {[]Case{made(both, 1, 2), made(both, 1, 2), made(both, 5, 5)}, RouteDrawOffDig, false},
		"equal at the best volume":  {[]Case{made(both, 1, 2), made(both, 2, 2), made(both, 1, 5)}, 0, false},
		"equal at all volumes":      {[]Case{made(both, 1, 1), made(both, 2, 2), made(both, 3, 3)}, 0, false},
		"cannot be done at the low": {[]Case{made(first, 2, 1), made(both, 2, 1), made(both, 2, 1)}, RouteAgitatePump, false},
	} {
		least, holds := PlanResult{Cases: c.cases}.Least(cost)
		require.Equal(t, c.route, least, name)
		require.Equal(t, c.holds, holds, name)
	}
	require.Empty(t, PlanResult{}.Best())
}

// A layer of a foot is dug in one cut, a box and a bucket that are level do not heap, and a
// narrow bucket is one whose width is known.
func TestNothingToDoubt(t *testing.T) {
	doubted := func(change func(*PlanSpec)) []string {
		spec := plainPlan()
		spec.Dig.Fleet.Payload = 1e6
		spec.Dig.Fleet.LoadRate, spec.Dig.Fleet.Bucket = 0, &Bucket{Size: 1, Fill: 1, Cycle: 30}
		change(&spec)
		return texts(route(t, spec, 0).Notes)
	}
	require.Empty(t, doubted(func(*PlanSpec) {}))
	require.Len(t, doubted(func(s *PlanSpec) { s.Dig.Fleet.Fill = 1.01 }), 1)
	require.Len(t, doubted(func(s *PlanSpec) { s.Dig.Fleet.Bucket.Fill = 1.01 }), 1)
	tried := 0
	for i := range 50 {
		spec := plainPlan()
		spec.Sludge = units.Volume(100 + i)
		v := route(t, spec, 0).Stages[1].Material.Volume
		foot := func(s *PlanSpec) { s.Sludge, s.Floor = spec.Sludge, units.Area(float64(v)/float64(units.Foot)) }
		foot(&spec)
		if route(t, spec, 0).Stages[1].Layer == units.Foot { // else the quotient was rounded
			require.Empty(t, doubted(foot))
			tried++
		}
		thin := func(s *PlanSpec) { foot(s); s.Floor *= 1.01 }
		require.Len(t, doubted(thin), 1)
		require.Empty(t, doubted(func(s *PlanSpec) { thin(s); s.Dig.Fleet.Bucket.Width, s.Dig.Fleet.Bucket.Pass = 0.9, 3 }))
	}
	require.Positive(t, tried)
}

// A stream is pumped or dug as its stage moves it: through a hose all is pumped.
func TestStreamIsHandledAsItIsMoved(t *testing.T) {
	spec := plainPlan()
	kinds := func() (list []Handling) {
		for _, s := range route(t, spec, 0).Streams {
			list = append(list, s.Handling)
		}
		return list
	}
	require.Equal(t, []Handling{HandlingPump, HandlingDig}, kinds())
	spec.Dig.Equipment = spec.PumpOff
	require.Equal(t, []Handling{HandlingPump, HandlingPump}, kinds())
	spec.PumpOff = plainPlan().Dig.Equipment
	require.Equal(t, []Handling{HandlingPump, HandlingPump}, kinds())
}

// Solids that stand just at the end of what equipment takes, or at which a class begins, are
// within, whatever the last digit of the mass and the volume that they are worked out from.
func TestSolidsJustAtTheEnd(t *testing.T) {
	for n := 3; n < 60; n++ {
		for _, gravity := range []float64{1.1, 1.5, 2.3, 2.65} {
			spec := plainPlan()
			at := units.MassFraction(n) * units.Percent
			spec.SolidsGravity, spec.Solids, spec.Contents = gravity, at, 0
			for _, ends := range []units.Range[units.MassFraction]{{Low: at, High: 1}, {Low: 0, High: at}} {
				spec.Dig.Solids = &ends
				require.Empty(t, texts(route(t, spec, 0).Why), "%v, %v", n, gravity)
			}
			spec.Classes = []SolidsClass{{Name: "thin", Handling: HandlingPump}, {Name: "thick", From: at, Handling: HandlingDig}}
			plan, err := Plan(spec)
			require.NoError(t, err)
			require.Equal(t, "thick", plan.InPlace.Name)
			require.Equal(t, "thick", plan.Best().Routes[0].Stages[0].Class.Name, "%v, %v", n, gravity)
			// Drained to it, and thinned to it.
			spec.Dig.Drained, spec.Solids, spec.PumpOff = at, at*0.7, Equipment{Hose: &DragHose{Flow: 0.1, Pumping: 1}}
			r := route(t, spec, 0)
			require.Equal(t, "thick", r.Stages[len(r.Stages)-1].Class.Name, "%v, %v", n, gravity)
			require.Empty(t, texts(r.Why), "%v, %v", n, gravity)
			spec.Classes, spec.Dig.Drained, spec.Solids = []SolidsClass{{Name: "thin", Handling: HandlingPump}}, 0, at*1.2
			spec.Agitate = &AgitateSpec{Mix: MixNeeded, Target: at, Pump: Equipment{Hose: spec.PumpOff.Hose, Solids: &units.Range[units.MassFraction]{Low: 0, High: at}}}
			require.Empty(t, texts(route(t, spec, 1).Why), "%v, %v", n, gravity)
		}
	}
}

// In round numbers of the trade what is just enough is enough, whatever the last digit of
// the metric numbers that are reckoned with.
func TestJustEnoughInRoundNumbers(t *testing.T) {
	const gal, gpm, lb, ft = units.Gallon, units.GallonPerMinute, units.Pound, units.Foot
	for n := 1.0; n < 80; n++ {
		// n hours of 10 n more gpm than 600 are n/4 turnovers of what flows in four.
		flow := 600 + 10*n
		a := Agitator{Flow: units.Flow(flow) * gpm, Machines: 1, LeastTurnovers: n, Power: units.Power(n) * units.Horsepower,
			LeastIntensity: (units.Power(n) * units.Horsepower).Over(units.Volume(flow*60) * gal), Residual: []ResidualPoint{{Turnovers: n, Residual: 0.1}}}
		r, err := Agitation(AgitationSpec{Volume: units.Volume(flow*60) * gal, Time: units.Duration(n) * units.Hour, Agitator: a})
		require.NoError(t, err)
		require.Empty(t, texts(r.Doubts), n)

		l := sixInch()
		l.Suction = &Suction{Atmosphere: 34 * ft, Vapour: units.Length(n) / 10 * ft, Lift: 12 * ft, Loss: 2 * ft, Required: units.Length(20-n/10) * ft}
		works, err := Line(l)
		require.NoError(t, err)
		require.False(t, works.Cavitates, n)

		spec := waterCart()
		spec.Density = 8.34 * units.PoundPerGallon
		spec.Fleet.Capacity, spec.Fleet.Payload = units.Volume(100*n)*gal, units.Mass(834*n)*lb
		h, err := Haul(spec)
		require.NoError(t, err)
		require.False(t, h.ByPayload, n)
		spec.Fleet.Payload = units.Mass(833*n) * lb
		spec.Fleet.Road = &Road{Gross: units.Mass(30_000+833*n) * lb, Tare: 30_000 * lb, Axles: []Axle{{"rear", units.Mass(30_000+833*n) * 0.44 * lb, 0.44}}}
		h, err = Haul(spec)
		require.NoError(t, err)
		require.True(t, h.ByPayload, n)
		require.Empty(t, h.ByRoad, n)
		spec.Fleet.Payload = 0
		h, err = Haul(spec)
		require.NoError(t, err)
		require.Equal(t, "gross", h.ByRoad, n)

		spec = waterCart()
		spec.Fleet.LoadRate = 0
		spec.Fleet.Bucket = &Bucket{Size: units.Volume(n) / 9 * units.CubicYard, Fill: 1, Cycle: 30, Width: 3 * ft, Pass: 12 * ft}
		spec.Layer = units.Length(n) * units.Inch
		h, err = Haul(spec)
		require.NoError(t, err)
		require.False(t, h.ByLayer, n)

		plan := plainPlan()
		plan.Sludge, plan.Contents, plan.Floor = units.Volume(n*43560)*units.CubicFoot, 0, units.Area(n)*units.Acre
		plan.Dig.Fleet.Payload = 1e6
		require.Empty(t, texts(route(t, plan, 0).Notes), n)
	}
}

// Liquid that just thins the sludge leaves none to pump off first and none to bring in, and
// sludge that is drained to what it has already drains nothing: no stage, cost or note comes
// of the last digit.
func TestJustThinnedAndDrained(t *testing.T) {
	kinds := func(r RouteResult) (list []StageKind) {
		for _, s := range r.Stages {
			list = append(list, s.Kind)
		}
		return list
	}
	for n := 1.0; n < 60; n++ {
		spec := plainPlan()
		spec.SolidsGravity, spec.Sludge, spec.Contents = 1, units.Volume(1000*n)*units.Gallon, units.Volume(2000*n)*units.Gallon
		spec.Solids = units.MassFraction(4+n/10) * units.Percent
		spec.Agitate = &AgitateSpec{Mix: MixNeeded, Target: spec.Solids / 2, Pump: spec.PumpOff}
		r := route(t, spec, 1)
		require.Equal(t, []StageKind{StageAgitate, StagePump}, kinds(r), n)
		require.Zero(t, float64(r.Fresh), n)
		require.NotContains(t, texts(r.Notes), "has to be brought in")
		spec.Dig.Drained = spec.Solids
		require.Equal(t, []StageKind{StagePumpOff, StageDig}, kinds(route(t, spec, 0)), n)
		spec.SolidsGravity = 1 + n/40
		spec.Dig.Drained = spec.Solids * 1.1
		spec.Agitate.Target, spec.Agitate.Residual, spec.Agitate.ResidualSolids = 0.03, n/61, spec.Dig.Drained
		require.NotContains(t, kinds(route(t, spec, 1)), StageDrain, n)
	}
}
