package removal

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// sixInch is a line of 6 in hose to a field 10 m up.
func sixInch() LineSpec {
	return LineSpec{
		Sections: []HoseSection{{Length: 800, Diameter: 6 * units.Inch, Coefficient: 140}}, Friction: FrictionHazenWilliams, SlurryFactor: 1.3, Lift: 10, Outlet: 20,
		Curve: []PumpPoint{{0, 120}, {0.04, 100}, {0.08, 60}},
	}
}

// TestLine: at the flow found pump and line have the same head; a longer or higher line
// lets less through, and one that is out of reach is refused.
func TestLine(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		l := sixInch()
		l.Friction = Friction(1 + rng.IntN(2))
		if l.Friction == FrictionDarcyWeisbach {
			l.Sections[0].Coefficient = randomIn(rng, 0.01, 0.05)
		}
		l.Sections[0].Length, l.Lift, l.SlurryFactor = units.Length(randomIn(rng, 100, 5000)), units.Length(randomIn(rng, -20, 90)), randomIn(rng, 1, 4)
		r, err := Line(l)
		require.NoError(t, err)
		require.InDelta(t, float64(r.Head), float64(r.Static+r.Friction[0]+r.Throttle), 1e-6)
		require.InEpsilon(t, float64(l.resists(r.Flow)+r.Throttle), float64(r.Head), 1e-9)
		l.Sections[0].Length *= 2
		longer, err := Line(l)
		require.NoError(t, err)
		require.LessOrEqual(t, float64(longer.Flow), float64(r.Flow))
		l.Lift = 101
		_, err = Line(l)
		require.ErrorContains(t, err, "curve: got")
	}
	easy := sixInch()
	easy.Sections[0].Length = 1
	easy.Lift = -15
	r, err := Line(easy)
	require.NoError(t, err)
	require.Equal(t, units.Flow(0.08), r.Flow)
	require.InEpsilon(t, 60-5-float64(r.Friction[0]), float64(r.Throttle), 1e-9)
	require.Contains(t, fmt.Sprint(r.Notes), "beyond its curve")

	deep := sixInch()
	deep.Suction = &Suction{Atmosphere: 10, Vapour: 0.3, Lift: 5, Loss: 2, Required: 3}
	r, err = Line(deep)
	require.NoError(t, err)
	require.InDelta(t, 2.7, float64(r.SuctionHead), 1e-12)
	require.True(t, r.Cavitates)
	require.Contains(t, fmt.Sprint(r.Notes), "cavitates")
	deep.Suction.Lift = 4
	r, err = Line(deep)
	require.NoError(t, err)
	require.False(t, r.Cavitates)
}

// TestPumpThroughLine: the flow of a hose follows from its line, and each set takes
// longer by the hose that is moved.
func TestPumpThroughLine(t *testing.T) {
	line := sixInch()
	works, err := Line(line)
	require.NoError(t, err)
	hose := DragHose{Line: &line, Pumping: 0.8, Rate: 0.01, SetArea: 10 * units.Hectare, SetUp: units.Hour, Moved: 400, Laying: 2000 * units.MetrePerHour}
	r, err := Pump(PumpSpec{Volume: 5000, Hose: hose})
	require.NoError(t, err)
	require.Equal(t, works.Flow, r.Flow)
	require.Equal(t, 5, r.Sets)
	require.InEpsilon(t, 5*(3600+0.2*3600), float64(r.Moving), 1e-12)
	require.InEpsilon(t, 5000/(0.8*float64(works.Flow)), float64(r.LaidOut), 1e-12)
	spec := plainPlan()
	spec.PumpOff.Hose = &hose
	plan, err := Plan(spec)
	require.NoError(t, err)
	require.Contains(t, fmt.Sprint(plan.Best().Routes[0].Notes), "pump off the liquid: Suction head is not checked.")
	hose.Flow, line.Lift, hose.Laying, line.SlurryFactor = 1, 400, 0, math.NaN()
	_, err = Pump(PumpSpec{Volume: 5000, Hose: hose})
	require.ErrorContains(t, err, "hose.flow: got")
	require.ErrorContains(t, err, "hose.line.slurryFactor: got")
	require.ErrorContains(t, err, "hose.laying: got")
}

// TestAgitation: turnovers, what stays between the points of the relation, and the
// positions that the basin asks for, by hand.
func TestAgitation(t *testing.T) {
	spec := AgitationSpec{Volume: 1000, Time: 5 * units.Hour, Agitator: Agitator{Flow: 0.1, Machines: 2, LeastTurnovers: 5, Residual: []ResidualPoint{{2, 0.4}, {4, 0.2}}}}
	r, err := Agitation(spec)
	require.NoError(t, err)
	require.InEpsilon(t, 3.6, r.Turnovers, 1e-12)
	require.InEpsilon(t, 0.24, *r.Residual, 1e-12)
	require.Contains(t, fmt.Sprint(r.Doubts), "3.60 turnovers are less than the 5.00")
	spec.Time = units.Hour
	r, err = Agitation(spec)
	require.NoError(t, err)
	require.InEpsilon(t, 1-0.36*0.6, *r.Residual, 1e-12) // from 1 without agitation
	require.Contains(t, fmt.Sprint(r.Doubts), "but 0.72 of it")
	spec.Time = 10 * units.Hour
	r, err = Agitation(spec)
	require.NoError(t, err)
	require.InEpsilon(t, 0.2, *r.Residual, 1e-12)
	require.Contains(t, fmt.Sprint(r.Doubts), "ends at 4.00")

	spec.Power, spec.LeastIntensity = 30*units.Kilowatt, 70*units.WattPerCubicMetre
	r, err = Agitation(spec)
	require.NoError(t, err)
	require.InEpsilon(t, 60.0, r.Intensity.In(units.WattPerCubicMetre), 1e-12)
	require.Contains(t, fmt.Sprint(r.Doubts), "of mixing is less than")

	spec.Reach, spec.Length, spec.Width = 20, 100, 50
	for _, c := range []struct {
		access    AgitatorAccess
		positions int
		unreached float64
	}{
		{AgitatorBoat, 4 * 2, 0},                              // squares of 28.3 m
		{AgitatorOneBank, 5, 1 - 20*math.Sqrt(0.75)/50},       // 17.3 of 50 m, every 20 m
		{AgitatorBothBanks, 2 * 5, 1 - 20*math.Sqrt(0.75)/25}, // 17.3 of 25 m
	} {
		spec.Access = c.access
		r, err = Agitation(spec)
		require.NoError(t, err)
		require.Equal(t, c.positions, r.Positions, c.access)
		require.InDelta(t, c.unreached, r.Unreached, 1e-9)
		require.Equal(t, c.unreached > 0, strings.Contains(fmt.Sprint(r.Doubts), "without a jet"), c.access)
		require.InEpsilon(t, 2*36000/float64(c.positions), float64(r.Each), 1e-9)
	}
	spec.Width, spec.Access = 24, AgitatorBothBanks // chords of 2 x 16 m at 12 m
	r, err = Agitation(spec)
	require.NoError(t, err)
	require.Equal(t, 2*4, r.Positions)
	require.Zero(t, r.Unreached)
}

// TestPlanAgitator: the relation of the machine gives what stays, a residual that few
// turnovers speak against is doubted, and later days begin with agitation.
func TestPlanAgitator(t *testing.T) {
	spec := plainPlan()
	spec.Solids = 0.12
	spec.Agitate = &AgitateSpec{Mix: MixAll, Residual: 0.1, ResidualSolids: 0.16, Agitation: units.Hour, Machine: &Agitator{Flow: 0.05, Machines: 1}, Pump: spec.PumpOff}
	route := func() RouteResult {
		r, err := Plan(spec)
		require.NoError(t, err)
		return r.Best().Routes[1]
	}
	r := route()
	require.InEpsilon(t, 180./500, r.Stages[0].Agitation.Turnovers, 1e-9)
	require.Contains(t, fmt.Sprint(r.Notes), "but 0.36 of it")
	require.Contains(t, fmt.Sprint(r.Notes), "10 % of the solids stay is an assumption")

	spec.Agitate.Machine.Residual = []ResidualPoint{{1, 0.5}, {3, 0.1}}
	_, err := Plan(spec)
	require.ErrorContains(t, err, "agitate.residual: got")
	spec.Agitate.Residual, spec.Agitate.Agitation = 0, 20000*units.Second // 2 turnovers of 500 m3
	r = route()
	last := r.Stages[len(r.Stages)-1]
	dry := r.Stages[1].Material.Dry + last.Material.Dry
	require.InEpsilon(t, 0.3, float64(last.Material.Dry/dry), 1e-9)
	require.NotContains(t, fmt.Sprint(r.Notes), "assumption")

	spec.Agitate.Pump.Hose = &DragHose{Flow: 0.008, Pumping: 1} // 17 h in days of 10 h
	require.Contains(t, fmt.Sprint(route().Notes), "solids settle overnight")
	spec.Agitate.Again = 2 * units.Hour
	r = route()
	require.Equal(t, 2*units.Hour, r.Stages[1].Again)
	require.Equal(t, 2, r.Stages[1].Days)
	require.NotContains(t, fmt.Sprint(r.Notes), "overnight")
	spec.Agitate.Again = 10 * units.Hour
	_, err = Plan(spec)
	require.ErrorContains(t, err, "agitate.again: got")
}

// TestThinLayer: a bucket takes no more from a layer than it sweeps, so that a film
// takes longer than a cut; by hand: 3 in x 5 ft x 12 ft = 0.556 yd3.
func TestThinLayer(t *testing.T) {
	fl := Fleet{Trucks: 9, Capacity: 10 * units.CubicYard, Fill: 1, Bucket: &Bucket{Size: 1.5 * units.CubicYard, Fill: 0.8, Cycle: 30 * units.Second, Width: 5 * units.Foot, Pass: 12 * units.Foot},
		Efficiency: 0.8, Loading: LoadingEffective}
	deep, err := Haul(HaulSpec{Volume: 100 * units.CubicYard, Fleet: fl})
	require.NoError(t, err)
	require.InEpsilon(t, 1.2*120*0.8, deep.Rate.In(units.CubicYardPerHour), 1e-9) // 115 yd3/h
	thin, err := Haul(HaulSpec{Volume: 100 * units.CubicYard, Layer: 3 * units.Inch, Fleet: fl})
	require.NoError(t, err)
	require.True(t, thin.ByLayer)
	require.InEpsilon(t, 15./27, thin.PerBucket.In(units.CubicYard), 1e-9)
	require.InEpsilon(t, 15./27*120*0.8, thin.Rate.In(units.CubicYardPerHour), 1e-9) // 53 yd3/h

	spec := plainPlan()
	spec.Floor = 1000
	r, err := Plan(spec)
	require.NoError(t, err)
	require.InEpsilon(t, 0.1, float64(r.Best().Routes[0].Stages[1].Layer), 1e-9)
	require.Contains(t, fmt.Sprint(r.Best().Routes[0].Notes), "does not fill in a layer so thin")
	fl.Capacity = 10
	spec.Dig.Fleet = &fl
	r, err = Plan(spec)
	require.NoError(t, err)
	require.NotContains(t, fmt.Sprint(r.Best().Routes[0].Notes), "so thin")
	require.Contains(t, fmt.Sprint(r.Best().Routes[0].Notes), "no payload and no legal limit")
	require.InEpsilon(t, 0.1*float64(5*units.Foot*12*units.Foot), float64(r.Best().Routes[0].Stages[1].Haul.PerBucket), 1e-9)
	fl.Bucket.Fill, fl.Payload = 1.1, 9000
	r, err = Plan(spec)
	require.NoError(t, err)
	require.Equal(t, "[dig the sludge: semi-solid does not heap: a fill above 1 of bucket or box is too much for it.]", fmt.Sprint(r.Best().Routes[0].Notes))
	fl.Bucket.Pass = 0
	_, err = Haul(HaulSpec{Volume: 1, Fleet: fl})
	require.ErrorContains(t, err, "fleet.bucket.pass: got")
}

// TestRoad: the least of the gross limit and the axles, less the empty truck, is what a
// truck may carry; by hand.
func TestRoad(t *testing.T) {
	fl := Fleet{Trucks: 1, Capacity: 100, Fill: 1, LoadRate: 1, Efficiency: 1, Loading: LoadingPeak,
		Road: &Road{Gross: 80000 * units.Pound, Tare: 30000 * units.Pound, Axles: []Axle{{"steer", 12000 * units.Pound, 0.14}, {"drive tandem", 34000 * units.Pound, 0.44}}}}
	spec := HaulSpec{Volume: 100, Density: 1000, Fleet: fl}
	r, err := Haul(spec)
	require.NoError(t, err)
	require.InEpsilon(t, 34000/0.44-30000, r.Legal.In(units.Pound), 1e-9)
	require.Equal(t, "drive tandem", r.ByRoad)
	require.InEpsilon(t, float64(r.Legal)/1000, float64(r.PerLoad), 1e-9)
	fl.Road.Axles = nil
	r, err = Haul(spec)
	require.NoError(t, err)
	require.InEpsilon(t, 50000, r.Legal.In(units.Pound), 1e-9)
	require.Equal(t, "gross", r.ByRoad)
	spec.Fleet.Payload = 40000 * units.Pound
	r, err = Haul(spec)
	require.NoError(t, err)
	require.Empty(t, r.ByRoad)
	require.True(t, r.ByPayload)
	spec.Density = 0
	fl.Road.Tare = 90000 * units.Pound
	fl.Road.Axles = []Axle{{"", 1, 0.9}, {"b", 1, 0.9}}
	_, err = Haul(spec)
	for _, want := range []string{"density: missing", "fleet.road.axles[0].name: missing", "fleet.road.axles: got", "fleet.road.tare: got"} {
		require.ErrorContains(t, err, want)
	}
}

// TestMachinesNotFinite: odd values give a fault or finite numbers.
func TestMachinesNotFinite(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	odd := []float64{0, math.Copysign(0, -1), -1, math.NaN(), math.Inf(1), math.MaxFloat64, 1e200, 1e-310}
	for range 4000 {
		l := sixInch()
		l.Suction = &Suction{Atmosphere: 10, Required: 3}
		a := AgitationSpec{Volume: 1000, Time: 3600, Agitator: Agitator{Flow: 0.1, Machines: 1, Reach: 20, Access: AgitatorAccess(1 + rng.IntN(3)), Length: 90, Width: 40, Residual: []ResidualPoint{{2, 0.4}, {4, 0.2}}}}
		fields := []*float64{
			(*float64)(&l.Sections[0].Length), (*float64)(&l.Sections[0].Diameter), &l.Sections[0].Coefficient, &l.SlurryFactor, (*float64)(&l.Lift), (*float64)(&l.Outlet),
			(*float64)(&l.Curve[0].Flow), (*float64)(&l.Curve[0].Head), (*float64)(&l.Curve[2].Flow), (*float64)(&l.Curve[2].Head), (*float64)(&l.Suction.Lift), (*float64)(&l.Suction.Required),
			(*float64)(&a.Volume), (*float64)(&a.Time), (*float64)(&a.Flow), (*float64)(&a.Reach), (*float64)(&a.Length), (*float64)(&a.Width), &a.LeastTurnovers, &a.Residual[0].Turnovers, &a.Residual[1].Residual,
		}
		*fields[rng.IntN(len(fields))] = odd[rng.IntN(len(odd))]
		finite := func(x float64) { require.False(t, math.IsNaN(x) || math.IsInf(x, 0) || math.Signbit(x) && x == 0) }
		if r, err := Line(l); err == nil {
			finite(float64(r.Flow))
			finite(float64(r.Head))
			finite(float64(r.SuctionHead))
			require.Positive(t, float64(r.Flow))
		} else {
			require.NotEmpty(t, units.FieldErrors(err))
		}
		if r, err := Agitation(a); err == nil {
			finite(r.Turnovers)
			finite(float64(r.Each))
			finite(r.Unreached)
			finite(*r.Residual)
		} else {
			require.NotEmpty(t, units.FieldErrors(err))
		}
	}
}
