package removal

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// Trucks that are sent round one loader, trip by trip, come to the output, the waits and
// the bottleneck of the formulas.
func TestHaulSimulated(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for i := range 300 {
		fl := Fleet{Trucks: 1 + rng.IntN(9), Capacity: units.Volume(randomIn(rng, 5, 30)), Fill: randomIn(rng, 0.6, 1.2), LoadRate: units.Flow(randomIn(rng, 0.01, 0.1)),
			Efficiency: randomIn(rng, 0.5, 1), Loading: LoadingEffective, Unload: units.Duration(randomIn(rng, 1, 600)), Wait: units.Duration(randomIn(rng, 1, 300))}
		if i%2 == 0 {
			fl.Travel = units.Duration(randomIn(rng, 60, 3000))
		} else {
			fl.Distance, fl.SpeedOut, fl.SpeedBack = units.Length(randomIn(rng, 100, 9000)), units.Speed(randomIn(rng, 3, 15)), units.Speed(randomIn(rng, 3, 15))
		}
		volume := units.Volume(randomIn(rng, 10, 4000))
		r, err := Haul(HaulSpec{Volume: volume, Fleet: fl})
		require.NoError(t, err)

		perLoad := fl.Fill * float64(fl.Capacity)
		load := perLoad / (float64(fl.LoadRate) * fl.Efficiency)
		away := float64(fl.Travel + fl.Unload + fl.Wait)
		if fl.Distance > 0 {
			away += float64(fl.Distance)/float64(fl.SpeedOut) + float64(fl.Distance)/float64(fl.SpeedBack)
		}
		back := make([]float64, fl.Trucks) // when a truck stands at the loader again
		var free, waited, idle, since float64
		const rounds, warm = 400, 200
		for trip := range rounds * fl.Trucks {
			n := trip % fl.Trucks
			start := max(free, back[n])
			if trip == warm*fl.Trucks {
				since = start
			}
			if trip >= warm*fl.Trucks {
				waited += start - back[n]
				idle += start - free
			}
			free = start + load
			back[n] = free + away
		}
		trips := float64((rounds - warm) * fl.Trucks)
		// From the first truck of the round after the last, which starts when it is back
		// and the loader is free.
		whole := max(free, back[0]) - since
		require.InEpsilon(t, trips/whole*3600, r.LoadsPerHour, 1e-9)
		require.InEpsilon(t, trips/whole*perLoad, float64(r.Rate), 1e-9)
		require.InDelta(t, waited/trips, float64(r.TruckWaits), 1e-6)
		require.InDelta(t, idle/trips*float64(fl.Trucks), float64(r.LoaderWaits), 1e-6*float64(r.Cycle)+1e-6)

		loads := math.Ceil(float64(volume) / perLoad)
		require.Equal(t, int(loads), r.Loads)
		require.InDelta(t, float64(volume)-(loads-1)*perLoad, float64(r.LastLoad), 1e-9*float64(volume))
		require.InEpsilon(t, loads/trips*whole, float64(r.Time), 1e-9)
		require.InDelta(t, 2*loads*float64(fl.Distance), float64(r.Driven), 1e-6)
		require.Equal(t, map[bool]Bottleneck{true: BottleneckTrucks, false: BottleneckLoader}[float64(fl.Trucks)*load < load+away], r.Bottleneck)
		require.Equal(t, int(math.Ceil((load+away)/load)), r.TrucksNeeded)
		require.Equal(t, int(math.Floor((load+away)/load)), r.TrucksNoQueue)

		// At the peak rate a load takes less, and the fleet gives its share of the hour.
		fl.Loading = LoadingPeak
		peak, err := Haul(HaulSpec{Volume: volume, Fleet: fl})
		require.NoError(t, err)
		require.InEpsilon(t, load*fl.Efficiency, float64(peak.Load), 1e-12)
		require.InEpsilon(t, fl.Efficiency*min(float64(fl.Trucks)/(load*fl.Efficiency+away), 1/(load*fl.Efficiency))*3600, peak.LoadsPerHour, 1e-12)
	}
	// A match of loader and fleet is no bottleneck: two loads a minute each, one truck away.
	even := Fleet{Trucks: 4, Capacity: 6, Fill: 1, LoadRate: 0.1, Efficiency: 1, Loading: LoadingEffective, Travel: 120, Unload: 60}
	r, err := Haul(HaulSpec{Volume: 60, Fleet: even})
	require.NoError(t, err)
	require.Equal(t, BottleneckNone, r.Bottleneck)
	require.Zero(t, r.TruckWaits)
	require.Zero(t, r.LoaderWaits)
	require.Equal(t, [2]int{4, 4}, [2]int{r.TrucksNeeded, r.TrucksNoQueue})
	// The most loads that there are.
	even.Capacity, even.LoadRate = 1, 1
	r, err = Haul(HaulSpec{Volume: maxLoads, Fleet: even})
	require.NoError(t, err)
	require.Equal(t, int(maxLoads), r.Loads)
	_, err = Haul(HaulSpec{Volume: maxLoads + 1, Fleet: even})
	require.Error(t, err)
}

// What the doubts of agitation turn on, at the figure itself and on either side of it.
func TestAgitationDoubts(t *testing.T) {
	doubts := func(turnovers float64, a Agitator) int {
		a.Flow, a.Machines = 1, 1
		r, err := Agitation(AgitationSpec{Volume: 1000, Time: units.Duration(1000 * turnovers), Agitator: a})
		require.NoError(t, err)
		require.InDelta(t, turnovers, r.Turnovers, 1e-12)
		return len(r.Doubts)
	}
	relation := []ResidualPoint{{Turnovers: 1, Residual: 0.5}, {Turnovers: 2, Residual: 0.25}}
	for _, c := range []struct {
		turnovers float64
		a         Agitator
		want      int
	}{
		{0.99, Agitator{}, 1}, {1, Agitator{}, 0}, {1.5, Agitator{}, 0},
		{2, Agitator{LeastTurnovers: 2}, 0}, {1.99, Agitator{LeastTurnovers: 2}, 1}, {0.5, Agitator{LeastTurnovers: 2}, 1},
		{2, Agitator{Power: 500, LeastIntensity: 0.5}, 0}, {2, Agitator{Power: 499, LeastIntensity: 0.5}, 1},
		{2, Agitator{Residual: relation}, 0}, {2.01, Agitator{Residual: relation}, 1},
	} {
		require.Equal(t, c.want, doubts(c.turnovers, c.a), "%+v", c)
	}
	for x, want := range map[float64]float64{0: 1, 0.5: 0.75, 1: 0.5, 1.5: 0.375, 2: 0.25, 9: 0.25} {
		require.InDelta(t, want, Agitator{Residual: relation}.stays(x), 1e-12)
	}
}

// The positions of an agitator cover the basin: from the banks half circles that meet
// reach as deep as is said, and a boat leaves no corner out; fewer would not do.
func TestPositionsReach(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		reach := randomIn(rng, 5, 40)
		width := randomIn(rng, 5, 80)
		length := width * randomIn(rng, 1, 4)
		for _, access := range []AgitatorAccess{AgitatorBoat, AgitatorOneBank, AgitatorBothBanks} {
			a := AgitationSpec{Volume: 1000, Time: 3600, Agitator: Agitator{Flow: 1, Machines: 2, Reach: units.Length(reach), Access: access, Length: units.Length(length), Width: units.Length(width)}}
			r, err := Agitation(a)
			require.NoError(t, err)
			require.InEpsilon(t, 3600*2/float64(r.Positions), float64(r.Each), 1e-9)
			if access == AgitatorBoat {
				cols, rows := math.Ceil(length/(reach*math.Sqrt2)), math.Ceil(width/(reach*math.Sqrt2))
				require.Equal(t, int(cols*rows), r.Positions)
				require.Zero(t, r.Unreached)
				continue
			}
			banks := map[AgitatorAccess]float64{AgitatorOneBank: 1, AgitatorBothBanks: 2}[access]
			deep := (1 - r.Unreached) * width / banks
			apart := length / (float64(r.Positions) / banks)
			// Between two positions the circles meet at the depth or beyond.
			require.GreaterOrEqual(t, math.Sqrt(reach*reach-apart*apart/4), deep-1e-9)
			if n := float64(r.Positions)/banks - 1; n >= 1 {
				require.Less(t, math.Sqrt(max(0, reach*reach-length*length/n/n/4)), deep+1e-9)
			}
			require.Equal(t, r.Unreached > 0, width/banks > reach*math.Sqrt(3)/2)
			require.InDelta(t, min(width/banks, reach*math.Sqrt(3)/2), deep, 1e-9)
		}
	}
}

// A class begins at its solids.
func TestClassesBegin(t *testing.T) {
	classes := []SolidsClass{{Name: "a"}, {Name: "b", From: 0.05}, {Name: "c", From: 0.15}}
	for solids, want := range map[units.MassFraction]string{0: "a", 0.0499: "a", 0.05: "b", 0.149: "b", 0.15: "c", 0.9: "c"} {
		require.Equal(t, want, classOf(classes, solids).Name)
	}
}

// Area, sets and hours of a hose in words, with and without a rate, sets and hose that is
// drawn over.
func TestPumpInWords(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for i := range 400 {
		volume := randomIn(rng, 0.5, 9000)
		h := DragHose{Flow: units.Flow(randomIn(rng, 0.01, 0.2)), Pumping: randomIn(rng, 0.3, 1)}
		area, sets, each := 0.0, 1.0, 0.0
		if i%2 == 0 {
			h.Rate = units.VolumePerArea(randomIn(rng, 0.005, 0.02))
			area = volume / float64(h.Rate)
			if i%4 == 0 {
				h.SetArea = units.Area(randomIn(rng, 500, 90_000))
				sets = math.Ceil(area / float64(h.SetArea))
			}
		}
		if i%3 == 0 {
			h.SetUp = units.Duration(randomIn(rng, 60, 7200))
			each += float64(h.SetUp)
		}
		if i%5 == 0 {
			h.Moved, h.Laying = units.Length(randomIn(rng, 0.4, 900)), units.Speed(randomIn(rng, 0.3, 2))
			if i%10 == 0 {
				h.Moved = units.Length(randomIn(rng, 0.4, 0.9))
			}
			each += float64(h.Moved) / float64(h.Laying)
		}
		r, err := Pump(PumpSpec{Volume: units.Volume(volume), Hose: h})
		require.NoError(t, err)
		require.InDelta(t, area, float64(r.Area), 1e-9*area)
		require.Equal(t, int(sets), r.Sets)
		require.InEpsilon(t, volume/(float64(h.Flow)*h.Pumping), float64(r.LaidOut), 1e-12)
		require.InDelta(t, sets*each, float64(r.Moving), 1e-9*(1+sets*each))
		require.InEpsilon(t, float64(r.LaidOut+r.Moving), float64(r.Time), 1e-12)
	}
}

// The flow of a line is where what the pump gives meets what lift, outlet and friction
// take, found in small steps along the curve.
func TestLineByWalking(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	count := map[bool]int{}
	for range 300 {
		l := LineSpec{Friction: Friction(1 + rng.IntN(2)), SlurryFactor: randomIn(rng, 1, 3), Lift: units.Length(randomIn(rng, -5, 20)), Outlet: units.Length(randomIn(rng, 0, 30))}
		for range 1 + rng.IntN(3) {
			s := HoseSection{Length: units.Length(randomIn(rng, 30, 1200)), Diameter: units.Length(randomIn(rng, 0.1, 0.25)), Coefficient: randomIn(rng, 100, 150)}
			if l.Friction == FrictionDarcyWeisbach {
				s.Coefficient = randomIn(rng, 0.01, 0.03)
			}
			l.Sections = append(l.Sections, s)
		}
		flow, head := 0.0, randomIn(rng, 60, 150)
		for range 2 + rng.IntN(4) {
			l.Curve = append(l.Curve, PumpPoint{units.Flow(flow), units.Length(head)})
			flow, head = flow+randomIn(rng, 0.005, 0.05), head-randomIn(rng, 1, 25)
			head = max(head, float64(l.Curve[len(l.Curve)-1].Head)/2)
		}
		friction := func(q float64, s HoseSection) float64 {
			d, length := float64(s.Diameter), float64(s.Length)
			if l.Friction == FrictionHazenWilliams {
				return l.SlurryFactor * 10.67 * length * math.Pow(q, 1.852) / (math.Pow(s.Coefficient, 1.852) * math.Pow(d, 4.8704))
			}
			v := q / (math.Pi * d * d / 4)
			return l.SlurryFactor * s.Coefficient * length / d * v * v / (2 * 9.80665)
		}
		takes := func(q float64) float64 {
			sum := float64(l.Lift + l.Outlet)
			for _, s := range l.Sections {
				sum += friction(q, s)
			}
			return sum
		}
		gives := func(q float64) float64 {
			for i := 1; i < len(l.Curve); i++ {
				a, b := l.Curve[i-1], l.Curve[i]
				if q <= float64(b.Flow) || i == len(l.Curve)-1 {
					return float64(a.Head) + (q-float64(a.Flow))/float64(b.Flow-a.Flow)*float64(b.Head-a.Head)
				}
			}
			return 0
		}
		r, err := Line(l)
		if gives(0) < takes(0) {
			require.Error(t, err)
			continue
		}
		require.NoError(t, err)
		last := float64(l.Curve[len(l.Curve)-1].Flow)
		const steps = 4000
		q := 0.0
		for i := 1; i <= steps && gives(last*float64(i)/steps) >= takes(last*float64(i)/steps); i++ {
			q = last * float64(i) / steps
		}
		require.InDelta(t, q, float64(r.Flow), 1.01*last/steps)
		require.InDelta(t, gives(float64(r.Flow)), float64(r.Head), 1e-6)
		require.InDelta(t, float64(l.Lift+l.Outlet), float64(r.Static), 1e-9)
		sum := float64(r.Static)
		for i, s := range l.Sections {
			require.InDelta(t, friction(float64(r.Flow), s), float64(r.Friction[i]), 1e-9*(1+math.Abs(sum)))
			require.InEpsilon(t, float64(r.Flow)/(math.Pi*float64(s.Diameter)*float64(s.Diameter)/4), float64(r.Velocity[i]), 1e-9)
			sum += float64(r.Friction[i])
		}
		require.InDelta(t, float64(r.Head)-sum, float64(r.Throttle), 1e-6)
		count[r.Throttle > 0]++
	}
	require.Greater(t, count[true], 20)
	require.Greater(t, count[false], 20)
}
