package plan

import (
	"slices"

	"example.org/earthbasin/examples/closure/land"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
)

// goesOut are the days from the first to the last on which a material is to be spread; none
// where the calendar does not have them.
func (r *Results) goesOut(t *RouteResult, m *MaterialResult) (from, to stage.Date) {
	switch m.Stream.Works {
	case DirtyWater:
		return on(r.Calendar, keyOf("removal", removal.StagePumpOff)).End, on(r.Calendar, "closing.fill").End
	case SoakedSoil:
		d := on(r.Calendar, "closing.soaked")
		return d.Start, d.End
	}
	for _, x := range t.Removal.Streams {
		if x.Kind == m.Stream.Kind {
			d := on(r.Calendar, keyOf("removal", x.Stage))
			return d.Start, d.End
		}
	}
	return from, to
}

// notFit opens a point where a material is to go out on days on none of which its field may
// be spread on, such as while a crop stands there.
func (r *Results) notFit() (list []stage.Open) {
	t := r.Taken()
	if t == nil || t.Spread.Allocated == nil || r.Fields == nil {
		return nil
	}
	said := map[string]bool{}
	for _, x := range t.Spread.Allocated.Placements {
		i := t.Spread.index(x.Material)
		w := r.Fields.Window(x.Field, x.Season)
		if i < 0 || w == nil || said[x.Field+x.Material] {
			continue
		}
		from, to := r.goesOut(t, &t.Spread.Materials[i])
		if from.IsZero() || to.IsZero() {
			continue
		}
		first, last := max(w.From.Until(from), 0), min(w.From.Until(to), len(w.Days)-1)
		if first > last || slices.ContainsFunc(w.Days[first:last+1], func(d land.Day) bool { return d.Fit }) {
			continue // another season, or it is fit
		}
		again := units.Words("nor later in the season")
		if k := slices.IndexFunc(w.Days[last+1:], func(d land.Day) bool { return d.Fit }); k >= 0 {
			again = units.Words("but from %v on", w.From.Plus(last+1+k))
		}
		said[x.Field+x.Material] = true
		list = append(list, stage.Open{Key: "land.days." + x.Field + "." + x.Material, Who: stage.Planner, Stops: true,
			What:  units.Words("when %v goes on %v: it goes out from %v to %v, and on none of these days may the field be spread on, %v", units.Word(x.Material), units.Word(x.Field), from, to, again),
			Needs: units.Words("another field for it, a crop that is off by then, or storage until the field is fit")})
	}
	return list
}
