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
