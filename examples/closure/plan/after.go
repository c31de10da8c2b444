package plan

import (
	"example.org/earthbasin/examples/closure/closing"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
)

// closed works out what becomes of the empty basin; nil where that is not planned. pit is
// the rain of the days from the draw-off until it is filled, nil where nobody knows.
func closed(s *Scenario, c *Contents, after []stage.Need, pit *volume.OpenPitResult) (*closing.Result, stage.Rows, error) {
	var f units.Faults
	var rows stage.Rows
	if s.Closing == nil {
		rows.Open = append(rows.Open, stage.Open{Key: "closing", Who: stage.Regulator,
			What:  units.Words("what becomes of the empty basin: fill, breach or pond; berm, liner, pipes and topsoil"),
			Needs: units.Words("the regulator's word on the ways that are allowed, and the berm, the soil, the pipes and the topsoil as measured")})
		return nil, rows, nil
	}
	spec := *s.Closing
	spec.Budgeted = s.budgeted(spec.Budgeted)
	spec.Basin, spec.Pit, spec.Floor, spec.Datum = c.Solid, pit, s.Basin.Floor, s.Basin.Datum
	if c.Solid == nil {
		spec.Basin = box(spec.Ground)
	}
	if spec.After == nil {
		spec.After = after
	}
	r, err := closing.Plan(spec)
	f.Sub("closing", err)
	if err != nil || c.Solid == nil {
		return nil, rows, f.Err()
	}
	return &r, rows, nil
}

// box is a basin without any fault that is higher than a level, on which the faults of a
// part are found while the basin of the scenario is not known.
func box(level units.Length) *volume.Rectangular {
	depth := units.Length(4)
	if level > 0 && level < 1000 {
		depth = max(depth, 2*level)
	}
	b, err := volume.NewRectangular(volume.RectangularSpec{Length: 100 * depth, Width: 80 * depth, At: volume.ReferenceTop, Depth: depth, Slopes: []float64{3}})
	if err != nil {
		panic(err) // of a constant
	}
	return b
}

// outcome is the alternative that the plan goes on with, nil where the closing is not
// planned.
func outcome(r *closing.Result) *closing.Outcome {
	if r == nil {
		return nil
	}
	o := r.Of(r.Chosen)
	return &o
}

// rowsOf is the rows of the alternative that the plan goes on with.
func rowsOf(o *closing.Outcome) stage.Rows {
	if o == nil {
		return stage.Rows{}
	}
	return stage.Rows{Open: o.Open, Tasks: o.Tasks, Evidence: o.Evidence, Cautions: o.Cautions}
}

// sown is the ground that the closing leaves to be seeded, 0 where it is not known.
func sown(o *closing.Outcome) units.Area {
	if o == nil {
		return 0
	}
	return o.Bare
}

// opened works out what the weather brings into the pit from the end of the draw-off
// until it is filled; nil where the days or the weather are not known.
func opened(s *Scenario, in *inputs, from, fill, filled stage.Date, route *RouteResult) *volume.OpenPitResult {
	c := &in.contents
	if s.Weather == nil || from.IsZero() || filled.IsZero() || filled.Before(from) || c.Solid == nil || route == nil {
		return nil
	}
	w := s.Weather.spec(s.basinDays(), from, mostDays)
	spec := volume.OpenPitSpec{Basin: c.Solid, Start: w.Start, WetDay: w.WetDay, Months: w.Months, Days: w.Days, Seepage: w.Seepage, Inflow: w.Inflow,
		RestDays: s.restDays(), HoursPerDay: s.Removal.WorkDay}
	if list, ok := unfit(in.fit, from, min(from.Until(filled)+1, 10_000)); ok {
		spec.RestDates, spec.WetDay = list, 0
	}
	if i := pumpOff(&route.Removal); i >= 0 {
		off := &route.Removal.Stages[i]
		spec.Pump = off.Material.Volume.OverTime(off.Hours)
	}
	if spec.Pump == 0 {
		spec.HoursPerDay = 0
	}
	spec.Filled, spec.FillFrom = w.Start.AddDate(0, 0, from.Until(filled)), w.Start.AddDate(0, 0, from.Until(fill))
	if s.Closing != nil {
		spec.FillTo = s.Closing.Ground
	}
	r, err := volume.OpenPit(spec)
	if err != nil {
		return nil // the parts are checked each for itself; the days do not go together
	}
	return &r
}
