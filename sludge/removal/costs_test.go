package removal

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// Every stage of random plans, priced, timed and doubted a second time by the words of
// its fields.
func TestStagesInWords(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	seen := map[string]int{}
	for range 500 {
		spec := withConstituents(rng, randomPlan(rng))
		spec.Agitate.Target = max(spec.Agitate.Target, 0.04)
		if rng.IntN(2) == 0 {
			spec.Floor = units.Area(randomIn(rng, 200, 9000))
		}
		if rng.IntN(2) == 0 {
			spec.Agitate.Again = units.Duration(randomIn(rng, 0.5, 3)) * units.Hour
		}
		haul := units.PricePer(randomIn(rng, 0, 1), units.CubicMetre)
		spec.Dig.Cost.Haul, spec.PumpOff.Cost.Haul = haul, haul
		for _, e := range []*Equipment{&spec.PumpOff, &spec.Dig.Equipment, &spec.Agitate.Pump} {
			if rng.IntN(3) == 0 {
				e.Solids = &units.Range[units.MassFraction]{Low: 0, High: units.MassFraction(randomIn(rng, 0.02, 0.3))}
			}
			if fl := e.Fleet; fl != nil {
				if rng.IntN(2) == 0 {
					fl.Payload = 0
				}
				if rng.IntN(2) == 0 {
					fl.Fill = 1.1
				}
				if rng.IntN(3) == 0 {
					fl.LoadRate = 0
					fl.Bucket = &Bucket{Size: 1.5, Fill: randomIn(rng, 0.9, 1.2), Cycle: 30}
					if rng.IntN(2) == 0 {
						fl.Bucket.Width, fl.Bucket.Pass = 1.5, 4
					}
				}
			}
		}
		switch rng.IntN(3) {
		case 0:
			spec.Agitate.Machine = &Agitator{Flow: units.Flow(randomIn(rng, 0.05, 0.3)), Machines: 1 + rng.IntN(2), LeastTurnovers: randomIn(rng, 0, 4)}
		case 1:
			spec.Agitate.Machine = &Agitator{Flow: units.Flow(randomIn(rng, 0.05, 0.3)), Machines: 1 + rng.IntN(2), Residual: []ResidualPoint{{0.5, 0.7}, {3, 0.2}}}
			spec.Agitate.Residual, spec.Agitate.Agitation = 0, units.Duration(randomIn(rng, 1, 20))*units.Hour
		}
		plan, err := Plan(spec)
		require.NoError(t, err)
		middle := plan.Cases[1]
		require.Equal(t, spec.Sludge, middle.Sludge)
		require.Equal(t, middle, plan.Best())
		for _, c := range plan.Cases {
			for _, route := range c.Routes {
				stagesInWords(t, spec, route, seen)
			}
		}
	}
	for _, what := range []string{"fresh", "overnight", "assumption", "weighs", "heap", "thick", "again", "layer", "free", "classes", "takes", "turnovers"} {
		require.Greater(t, seen[what], 10, what)
	}
}

func stagesInWords(t *testing.T, spec PlanSpec, route RouteResult, seen map[string]int) {
	t.Helper()
	want := map[string]int{}
	note := func(what string, is bool) {
		if is {
			want[what]++
			seen[what]++
		}
	}
	reasons := 0
	for i, s := range route.Stages {
		require.InDelta(t, math.Ceil(float64(s.Hours/spec.WorkDay)-1e-9), float64(s.Days), 1e-9)
		require.InDelta(t, s.Cost-s.Hauling, s.AtBasin, 1e-6)
		if s.Kind == StageAgitate {
			a := spec.Agitate
			require.InDelta(t, float64(a.Agitation), float64(s.Hours), 1e-6)
			require.InDelta(t, a.Fixed+100*(float64(s.Hours+route.Stages[i+1].Hours)/3600)+float64(s.Fresh), s.Cost, 1e-6)
			require.Equal(t, a.Machine != nil, s.Agitation != nil)
			doubts := 0
			if m := a.Machine; m != nil {
				doubts = len(s.Agitation.Doubts)
				require.InEpsilon(t, float64(s.Hours)*float64(m.Machines)*float64(m.Flow)/float64(s.Agitation.Volume)+1, s.Agitation.Turnovers+1, 1e-9)
				note("turnovers", doubts > 0)
			}
			note("assumption", a.Machine == nil || len(a.Machine.Residual) == 0 && doubts > 0)
			note("overnight", route.Stages[i+1].Days > 1 && a.Again == 0)
			continue
		}
		e := map[StageKind]Equipment{StagePumpOff: spec.PumpOff, StageDrain: spec.PumpOff, StagePump: spec.Agitate.Pump, StageDig: spec.Dig.Equipment}[s.Kind]
		c := e.Cost
		fixed := c.Fixed
		if s.Kind == StageDrain && route.Stages[0].Kind == StagePumpOff {
			fixed = 0 // the pump is there
			seen["free"]++
		}
		moved := float64(s.Material.Volume)
		if s.Kind == StageDig {
			moved *= spec.Dig.Swell
		}
		require.InDelta(t, moved, float64(s.Moved), 1e-9*moved)
		working := 0.0
		hauling := float64(c.Haul) * moved
		if fl := e.Fleet; fl != nil {
			working = float64(s.Haul.Time)
			hauling += float64(c.PerVolumeMile)*moved*float64(fl.Distance)/1609.344 + c.PerLoad*float64(s.Haul.Loads) + float64(fl.Trucks)*float64(c.PerTruckHour)*float64(s.Hours)
			require.InDelta(t, math.Ceil(moved/float64(s.Haul.PerLoad)-1e-9), float64(s.Haul.Loads), 1e-9)
			note("weighs", fl.Payload == 0)
			heaped := fl.Fill > 1 || fl.Bucket != nil && fl.Bucket.Fill > 1
			note("heap", s.Kind == StageDig && heaped && s.Class != DefaultClasses()[len(DefaultClasses())-1])
			note("thick", s.Kind == StageDig && s.Layer > 0 && s.Layer < units.Foot && (fl.Bucket == nil || fl.Bucket.Width == 0))
		} else {
			working = float64(s.Hose.Time)
		}
		if s.Kind == StagePump && spec.Agitate.Again > 0 && working > float64(spec.WorkDay) {
			day, again := float64(spec.WorkDay), float64(spec.Agitate.Again)
			later := math.Ceil((working-day)/(day-again) - 1e-9)
			require.InDelta(t, later*again, float64(s.Again), 1e-6)
			working += later * again
			seen["again"]++
		} else {
			require.Zero(t, s.Again)
		}
		require.InDelta(t, working, float64(s.Hours), 1e-6)
		require.InDelta(t, hauling, s.Hauling, 1e-6*(1+hauling))
		cost := fixed + float64(c.PerVolume)*moved + float64(c.PerMass)*float64(s.Material.Mass) + float64(c.PerHour)*working + hauling
		require.InDelta(t, cost, s.Cost, 1e-6*(1+cost))
		if s.Kind == StageDig && spec.Floor > 0 {
			require.InEpsilon(t, float64(s.Material.Volume)/float64(spec.Floor), float64(s.Layer), 1e-12)
			seen["layer"]++
		} else {
			require.Zero(t, s.Layer)
		}
		class := DefaultClasses()[0]
		for _, k := range DefaultClasses() {
			if s.Material.Solids >= k.From {
				class = k
			}
		}
		require.Equal(t, class, s.Class)
		digs := s.Kind == StageDig && e.Fleet != nil
		switch {
		case e.Solids != nil:
			if s.Material.Solids < e.Solids.Low || s.Material.Solids > e.Solids.High {
				reasons++
				seen["takes"]++
			}
		case digs && class.Handling == HandlingPump, !digs && class.Handling == HandlingDig:
			reasons++
			seen["classes"]++
		}
	}
	note("fresh", route.Fresh > 0)
	require.Len(t, route.Why, reasons)
	require.Equal(t, reasons == 0, route.Feasible)
	got := map[string]int{}
	for _, n := range route.Notes {
		for what, words := range map[string]string{"fresh": "has to be brought in", "overnight": "settle overnight", "assumption": "is an assumption", "weighs": "a load weighs", "heap": "does not heap", "thick": "A bucket does not fill", "turnovers": "turnover"} {
			if text := n.String(); strings.Contains(text, words) || what == "turnovers" && strings.Contains(text, "passes through the agitator once") {
				got[what]++
			}
		}
	}
	delete(want, "turnovers") // one or more doubts
	delete(got, "turnovers")
	require.Equal(t, want, got)
}
