package plan_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/closure/report"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
)

// What agitation leaves lies as a film on the floor of 164 ft by 90 ft, and a bucket 4 ft
// wide that is drawn 12 ft through it every 30 s takes no more than that holds: less than
// half of what it does in a cut, 1.5 x 0.8 yd3.
func TestFilmIsNotLoadedLikeACut(t *testing.T) {
	dug := func(r *plan.Results) removal.StageResult {
		for _, s := range r.Taken().Removal.Stages {
			if s.Kind == removal.StageDig {
				return s
			}
		}
		t.Fatal("nothing is dug")
		return removal.StageResult{}
	}
	r := read(t, nil)
	s := dug(r)
	layer := s.Material.Volume.In(units.CubicFoot) / (164 * 90)
	require.InEpsilon(t, layer, s.Layer.In(units.Foot), 1e-9)
	require.Less(t, layer, 0.3)
	rate := layer * 1.05 * 4 * 12 / 27 / 30 * 3600 * 0.8 // yd3 an hour, loose, at an efficiency of 0.8
	require.InEpsilon(t, s.Moved.In(units.CubicYard)/rate, s.Hours.In(units.Hour), 0.15, "but for the first and the last trip")
	require.Greater(t, s.Moved.In(units.CubicYard)/rate, 2*s.Moved.In(units.CubicYard)/(1.5*0.8/30*3600*0.8))

	// Without the width the plan says that it cannot tell, also on paper.
	p, err := plan.Read(t.Context(), edit(t, told(map[string]any{"removal.dig.fleet.bucket.width": nil, "removal.dig.fleet.bucket.pass": nil, "removal.agitate.machine.flow": "1300 gpm"})))
	require.NoError(t, err)
	text, err := report.New(p, report.Options{Parts: []string{"annex"}}).JSON()
	require.NoError(t, err)
	page := strings.ReplaceAll(string(text), "\u00a0", " ")
	require.Contains(t, page, "A bucket does not fill in a layer so thin as in a cut")
	// 6 h at 1,300 gpm are 468,000 gal.
	require.Contains(t, page, "passes through the agitator once")
	for _, x := range p.Results.Taken().Removal.Stages {
		if x.Kind == removal.StageAgitate {
			require.InEpsilon(t, 468_000/x.Agitation.Volume.In(units.Gallon), x.Agitation.Turnovers, 1e-9)
			require.Less(t, x.Agitation.Turnovers, 1.0)
		}
	}
}
