package nutrient

import (
	"example.org/earthbasin/units"
)

// Application is one application of a material to a field.
type Application struct {
	Season   int      `json:"season"`            // calendar year of the season for which it was applied
	Rate     Rate     `json:"rate,omitzero"`     // of the material, 0 or more
	Analysis Analysis `json:"analysis,omitzero"` // of the material
	State    *State   `json:"state"`             // its JSON is the id of a state of the package, or the whole of another
	Query    Query    `json:"query,omitzero"`    // how and when it was applied
}

// CarryOverSpec asks for the N that applications to one field make available in
// a run of seasons. Seasons that had no application are simply not in the list.
type CarryOverSpec struct {
	Applications []Application `json:"applications"` // in any order, at least one
	First        int           `json:"first"`        // first season asked for
	Seasons      int           `json:"seasons"`      // how many, 1 to 50
}

// CarryOverResult is the available N of a field, season by season.
type CarryOverResult struct {
	Seasons []SeasonNitrogen `json:"seasons"` // in order
}

// SeasonNitrogen is the N that is available in one season.
type SeasonNitrogen struct {
	Season  int                              `json:"season"`  // calendar year
	Applied units.Range[units.MassPerArea]   `json:"applied"` // from applications of this season
	Earlier units.Range[units.MassPerArea]   `json:"earlier"` // from applications of earlier seasons: a credit
	N       units.Range[units.MassPerArea]   `json:"n"`       // both together
	Parts   []units.Range[units.MassPerArea] `json:"parts"`   // by application
}

// CarryOver adds up what every application makes available in each season, each
// by its own state and query. An application counts from its season on. Faults are
// [units.FieldError] with paths such as applications[1].query.weather.
//
// The rate that leaves room for the credit is S(t) = (need - credit)/PAN(1)
// (Organic Waste Recycling: Technology and Management, Eq. 9.4).
func CarryOver(spec CarryOverSpec) (CarryOverResult, error) {
	var f units.Faults
	if len(spec.Applications) == 0 {
		f.Missing("applications", "at least one application")
	}
	f.NumberBetween("seasons", float64(spec.Seasons), 1, maxYear)
	f.NumberBetween("first", float64(spec.First), 1, 9999)
	schedules := make([]*Schedule, len(spec.Applications))
	for i, a := range spec.Applications {
		at := f.At("applications", i)
		at.NumberBetween("season", float64(a.Season), 1, 9999)
		at.Sub("rate", a.Rate.Check(a.Analysis.Form))
		c, err := a.State.scheduleFor(&a.Analysis, a.Query)
		// The last year that is asked for needs all that the years before need.
		if last := spec.First + spec.Seasons - a.Season; err == nil && last >= 1 {
			_, err = c.Nitrogen(a.Analysis, last)
		}
		at.Sub("", err)
		schedules[i] = c
	}
	if f.Err() != nil {
		return CarryOverResult{}, f.Err()
	}
	var r CarryOverResult
	for season := spec.First; season < spec.First+spec.Seasons; season++ {
		y := SeasonNitrogen{Season: season}
		for i, a := range spec.Applications {
			var part units.Range[units.MassPerArea]
			if season >= a.Season {
				n, _ := schedules[i].Nitrogen(a.Analysis, season-a.Season+1)
				part = units.Range[units.MassPerArea]{
					Low:  units.MassPerArea(a.Rate.value * n.N.Low.value),
					High: units.MassPerArea(a.Rate.value * n.N.High.value),
				}
			}
			y.Parts = append(y.Parts, part)
			if season == a.Season {
				y.Applied = addRanges(y.Applied, part)
			} else {
				y.Earlier = addRanges(y.Earlier, part)
			}
		}
		y.N = addRanges(y.Applied, y.Earlier)
		r.Seasons = append(r.Seasons, y)
	}
	return r, nil
}

func addRanges[Q ~float64](a, b units.Range[Q]) units.Range[Q] {
	return units.Range[Q]{Low: a.Low + b.Low, High: a.High + b.High}
}

// Working returns the seasons as lines.
func (r CarryOverResult) Working() units.Working {
	var w units.Working
	for _, y := range r.Seasons {
		for i, p := range y.Parts {
			if p.High > 0 {
				w.Put(units.Words("%d: application %d", y.Season, i+1), Span[units.MassPerArea](p), units.Words("rate x available N of that year"))
			}
		}
		w.Put(units.Words("%d: available N", y.Season), Span[units.MassPerArea](y.N), units.Words("of it %v from earlier seasons", Span[units.MassPerArea](y.Earlier)))
	}
	return w
}

// String returns the working as a table.
func (r CarryOverResult) String() string { return r.Working().String() }
