package removal

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// TestHaulSides: with fewer trucks than the ratio the loader waits and output grows
// with trucks; with more, trucks wait and output is the loader's.
func TestHaulSides(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		fl := Fleet{Capacity: units.Volume(randomIn(rng, 5, 30)), Fill: 0.9, LoadRate: units.Flow(randomIn(rng, 0.005, 0.1)), Efficiency: randomIn(rng, 0.5, 1), Loading: LoadingRule(1 + rng.IntN(2)),
			Travel: units.Duration(randomIn(rng, 0, 3000)), Unload: units.Duration(randomIn(rng, 0, 600))}
		limit := units.Flow(fl.Efficiency) * fl.LoadRate
		last := units.Flow(0)
		for n := 1; n < 15; n++ {
			fl.Trucks = n
			r, err := Haul(HaulSpec{Volume: 1000, Fleet: fl})
			require.NoError(t, err)
			require.LessOrEqual(t, r.TrucksNoQueue, r.TrucksNeeded)
			require.LessOrEqual(t, r.TrucksNeeded-r.TrucksNoQueue, 1)
			require.GreaterOrEqual(t, float64(r.Rate), float64(last)*(1-1e-12))
			require.LessOrEqual(t, float64(r.Rate), float64(limit)*(1+1e-12))
			switch {
			case n >= r.TrucksNeeded:
				require.InEpsilon(t, float64(limit), float64(r.Rate), 1e-9)
				require.Zero(t, r.LoaderWaits)
			default:
				require.Equal(t, BottleneckTrucks, r.Bottleneck)
				require.Positive(t, float64(r.LoaderWaits))
			}
			if n <= r.TrucksNoQueue {
				require.Zero(t, r.TruckWaits)
			}
			require.InEpsilon(t, float64(r.Loads)*float64(r.PerLoad)/float64(r.Rate), float64(r.Time), 1e-9)
			last = r.Rate
		}
	}
}

// TestLargerTank: a tank larger by a fifth hauls 1.2/(1 + 0.2 f) times as much, f the
// share of the cycle that grows with the load; f, and with it what a faster road
// takes, changes with distance as reported by the trade press (a larger tank gains
// more, the farther the field).
func TestLargerTank(t *testing.T) {
	rate := func(capacity units.Volume, miles, mph float64) HaulResult {
		r, err := Haul(HaulSpec{Volume: 1000, Fleet: Fleet{Trucks: 1, Capacity: capacity, Fill: 1, LoadRate: 0.05, Efficiency: 1, Loading: LoadingPeak,
			Distance: units.Length(miles) * units.Mile, SpeedOut: units.Speed(mph) * units.MilePerHour, SpeedBack: units.Speed(mph) * units.MilePerHour, Unload: 3 * units.Minute}})
		require.NoError(t, err)
		return r
	}
	lastF := 1.0
	for _, miles := range []float64{0.5, 3, 5} {
		small, large := rate(20, miles, 20), rate(24, miles, 20)
		f := float64(small.Load / small.Cycle)
		require.InEpsilon(t, 1.2/(1+0.2*f), float64(large.Rate/small.Rate), 1e-9)
		require.Less(t, f, lastF)
		lastF = f
		g := float64(small.Travel / small.Cycle)
		faster := rate(20, miles, 24)
		require.InEpsilon(t, 1/(1-g*(1-1/1.2)), float64(faster.Rate/small.Rate), 1e-9)
		require.Less(t, f+g, 1.0)
	}
}

// TestSlurryTwoOfThree: volume, dry mass and solids agree whichever two are given.
func TestSlurryTwoOfThree(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		a, err := NewSlurry(SlurrySpec{Volume: units.Volume(randomIn(rng, 1, 1e4)), Solids: units.MassFraction(randomIn(rng, 0.01, 0.6)), SolidsGravity: randomIn(rng, 0.8, 3)})
		require.NoError(t, err)
		for _, s := range []SlurrySpec{{Volume: a.Volume, Dry: a.Dry}, {Dry: a.Dry, Solids: a.Solids}} {
			s.SolidsGravity = a.SolidsGravity
			b, err := NewSlurry(s)
			require.NoError(t, err)
			sameSlurry(t, a, b)
		}
		require.InEpsilon(t, float64(a.Mass), float64(a.Density().Times(a.Volume)), 1e-12)
	}
	clear, err := NewSlurry(SlurrySpec{Volume: 2, SolidsGravity: 1.5})
	require.NoError(t, err)
	require.InDelta(t, 2000, float64(clear.Mass), 1e-9)
}

// TestThickenDilute: thickening and mixing back, and diluting to what was wanted.
func TestThickenDilute(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		in := SlurrySpec{Volume: units.Volume(randomIn(rng, 1, 1e4)), Solids: units.MassFraction(randomIn(rng, 0.02, 0.15)), SolidsGravity: randomIn(rng, 1, 2.6)}
		thick, err := Thicken(ThickenSpec{In: in, Solids: in.Solids * units.MassFraction(randomIn(rng, 1, 3)), Recovery: randomIn(rng, 0.5, 1)})
		require.NoError(t, err)
		sameSlurry(t, thick.In, thick.Thick.with(thick.Off))
		target := in.Solids * units.MassFraction(randomIn(rng, 0.2, 1))
		thin, err := Dilute(DiluteSpec{In: in, Solids: target, Liquid: target / 4})
		require.NoError(t, err)
		require.InEpsilon(t, float64(target), float64(thin.Out.Solids), 1e-9)
		require.InEpsilon(t, float64(thin.In.Volume+thin.Added.Volume), float64(thin.Out.Volume), 1e-9)
		none, err := Dilute(DiluteSpec{In: in, Solids: in.Solids * 2})
		require.NoError(t, err)
		require.Zero(t, none.Added.Volume)
	}
}
