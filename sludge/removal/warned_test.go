package removal

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/units"
)

// A hose is warned of wherever it is used, and where there is none it is not.
func TestHoseIsWarnedOfOnEveryStage(t *testing.T) {
	hose, trucks := Equipment{Hose: &DragHose{Flow: 0.1, Pumping: 1}}, plainPlan().Dig.Equipment
	plan := func(off, dig Equipment, agitate *AgitateSpec) PlanSpec {
		s := plainPlan()
		s.PumpOff, s.Dig.Equipment, s.Agitate = off, dig, agitate
		return s
	}
	for name, c := range map[string]struct {
		spec PlanSpec
		want bool
	}{
		"pumped off":  {plan(hose, trucks, nil), true},
		"dug":         {plan(trucks, hose, nil), true},
		"agitated":    {plan(trucks, trucks, &AgitateSpec{Pump: hose}), true},
		"trucks only": {plan(trucks, trucks, &AgitateSpec{Pump: trucks}), false},
	} {
		require.Equal(t, c.want, strings.Contains(strings.Join(cautions(c.spec), "\n"), "Hose:"), name)
	}
}

// A hose without an area that one set reaches is laid out once.
func TestHoseIsLaidOutOnce(t *testing.T) {
	r, err := Pump(PumpSpec{Volume: 1e6 * units.Gallon, Hose: DragHose{Flow: 1000 * units.GallonPerMinute, Pumping: 1, SetUp: units.Hour}})
	require.NoError(t, err)
	require.Equal(t, 1, r.Sets)
	require.InDelta(t, 1e6/1000/60+1, r.Time.In(units.Hour), 1e-9)
}

// That the relation of what stays ends is told beyond its last point only.
func TestEndOfTheRelationOfWhatStays(t *testing.T) {
	for turnovers, want := range map[float64]bool{1.5: false, 2: false, 2.5: true} {
		volume := 500_000 * units.Gallon
		r, err := Agitation(AgitationSpec{Volume: volume, Time: units.Duration(turnovers) * volume.OverFlow(1000*units.GallonPerMinute),
			Agitator: Agitator{Flow: 1000 * units.GallonPerMinute, Machines: 1, Residual: []ResidualPoint{{Turnovers: 1, Residual: 0.4}, {Turnovers: 2, Residual: 0.2}}}})
		require.NoError(t, err)
		told := false
		for _, d := range r.Doubts {
			told = told || strings.Contains(d.String(), "relation of what stays ends")
		}
		require.Equal(t, want, told, "%v turnovers", turnovers)
	}
}

// A stage warns of the hose that works on it.
func TestStageWarnsOfItsHose(t *testing.T) {
	r, err := Plan(plainPlan())
	require.NoError(t, err)
	hoses := 0
	for _, route := range r.Best().Routes {
		for _, s := range route.Stages {
			require.Equal(t, s.Hose != nil, strings.Contains(strings.Join(s.Cautions, "\n"), "Hose:"), s.Kind)
			if s.Hose != nil {
				hoses++
			}
		}
	}
	require.Positive(t, hoses)
}
