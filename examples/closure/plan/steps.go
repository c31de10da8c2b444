package plan

import (
	"context"
	"slices"

	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
)

// mostBands is how many greys of a map the eye tells apart (common practice, no source).
const mostBands = 6

// StagesIn is stage and storage of the basin in round steps of a system of units.
func (c *Contents) StagesIn(system units.System) volume.StageTable {
	step := units.Foot
	if system == units.SystemMetric {
		step = units.Metre / 4
	}
	table, err := volume.StageStorage(volume.StageStorageSpec{Basin: c.Solid, Step: stageStep(c.Depth, step)})
	if err != nil {
		return c.Stages
	}
	return table
}

// stageStep is step, doubled or halved until a table of the depth has 4 to 40 rows.
func stageStep(depth, step units.Length) units.Length {
	for depth > 40*step {
		step *= 2
	}
	for depth < 4*step {
		step /= 2
	}
	return step
}

// Contours are those of the thickness of the sludge at round levels of a system of units,
// few enough for a map in greys; nil where there is no surface.
func (r *SludgeResult) Contours(system units.System) *sludge.Contours {
	if r.Surface == nil {
		return nil
	}
	unit := units.Foot
	if system == units.SystemMetric {
		unit = units.Metre
	}
	thickest := slices.Max(r.Survey.Thicknesses())
	var levels []units.Length
	for step := 0.1 * unit; ; step *= 10 {
		if levels = upTo(thickest, step, 2*step, 2.5*step, 5*step); levels != nil || step > 1e3*unit {
			break
		}
	}
	if len(levels) == 0 {
		return nil
	}
	c, err := r.Surface.Contours(context.Background(), levels)
	if err != nil {
		return nil
	}
	return c
}

// upTo are levels below most in the first of the steps that gives few bands; nil where
// each gives too many.
func upTo(most units.Length, steps ...units.Length) (levels []units.Length) {
	for _, step := range steps {
		if most > mostBands*step {
			continue
		}
		levels = []units.Length{}
		for i := units.Length(1); i*step < most; i++ {
			levels = append(levels, i*step)
		}
		return levels
	}
	return nil
}
