package land

import (
	"time"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// days makes the weather of all seasons once.
func (p *planner) days() {
	s := p.spec
	if len(s.Fields) == 0 || len(p.r.Seasons) == 0 {
		return
	}
	if s.Rule == nil {
		p.open("rule", stage.Regulator, units.Words("which days are fit for spreading: all days that are not closed count as fit"), "how much rain on the day and forecast forbids spreading, on which soil, and the closed days of the state")
	}
	if s.Weather == nil {
		p.open("weather", stage.Planner, units.Words("how much water the soil can take, and which days are dry enough"), "rain, reference evapotranspiration and soil temperature of each month with its wet days, or of a year of days from the nearest station")
		return
	}
	spec := *s.Weather
	first, last := p.r.Seasons[0].From, p.r.Seasons[0].To
	for _, x := range p.r.Seasons {
		if last.Before(x.To) {
			last = x.To
		}
	}
	if spec.First.IsZero() {
		spec.First = time.Time(first)
	}
	if spec.Last.IsZero() {
		spec.Last = time.Time(last)
	}
	at := p.f.At("weather")
	if spec.First.After(time.Time(first)) {
		at.Fault(units.FaultConflict, "first", spec.First, "%v, the first day of the seasons, or a day before it", first)
	}
	if spec.Last.Before(time.Time(last)) {
		at.Fault(units.FaultConflict, "last", spec.Last, "%v, the last day of the seasons, or a day after it", last)
	}
	r, err := nutrient.DailyWeather(spec)
	at.Sub("", err)
	p.weather, p.r.Notes = r.Days, append(p.r.Notes, r.Notes...)
}

// soil is the balance of a field, without passes; ok is false where something of it is
// missing.
func (p *planner) soil(in *Field) (spec nutrient.SoilWaterSpec, path string, ok bool) {
	path = "soil"
	from := p.spec.Soil
	if in.Soil != nil {
		from, path = in.Soil, "fields."+in.Name+".soil"
	}
	if from == nil || p.spec.Rule == nil || p.weather == nil {
		return spec, path, false
	}
	spec = *from
	spec.Weather, spec.Rule = p.weather, *p.spec.Rule
	spec.Rule.Closed = p.shut(in)
	return spec, path, true
}

// bans are the closed days of every year around the seasons.
func (p *planner) bans() {
	for i, b := range p.spec.Closed {
		at := p.f.At("closed", i)
		for _, x := range []struct {
			field string
			day   cover.MonthDay
		}{{"from", b.From}, {"to", b.To}} {
			if _, err := x.day.MarshalText(); err != nil {
				at.Fault(units.FaultRange, x.field, units.Word(x.day.String()), "a day of the year such as 15 December")
			}
		}
		if len(p.r.Seasons) == 0 {
			continue
		}
		first, last := time.Time(p.r.Seasons[0].From).Year()-1, time.Time(p.r.Seasons[len(p.r.Seasons)-1].To).Year()+1
		for year := first; year <= last; year++ {
			from := time.Date(year, b.From.Month, b.From.Day, 0, 0, 0, 0, time.UTC)
			to := time.Date(year, b.To.Month, b.To.Day, 0, 0, 0, 0, time.UTC)
			if to.Before(from) {
				to = time.Date(year+1, b.To.Month, b.To.Day, 0, 0, 0, 0, time.UTC)
			}
			p.closed = append(p.closed, nutrient.ClosedDays{From: from, To: to, Why: b.Why})
		}
	}
}

// shut are the days on which nothing may be spread on a field: those of the rule, of
// every year, of the field, and of crops that stand.
func (p *planner) shut(in *Field) (list []nutrient.ClosedDays) {
	if p.spec.Rule != nil {
		list = append(list, p.spec.Rule.Closed...)
	}
	list = append(list, p.closed...)
	list = append(list, in.Closed...)
	for _, c := range in.Crops {
		if !c.Planted.IsZero() {
			list = append(list, nutrient.ClosedDays{From: time.Time(c.Planted), To: time.Time(c.Harvested), Why: c.Crop + " stands"})
		}
	}
	return list
}

// windows finds the days of each field in each season.
func (p *planner) windows() {
	if len(p.r.Seasons) == 0 {
		return
	}
	for i := range p.spec.Fields {
		in := &p.spec.Fields[i]
		spec, path, ok := p.soil(in)
		spec.Applied = nil // what goes on is not known yet
		var water *nutrient.SoilWaterResult
		var rule []nutrient.Unfit // of each day of the weather
		var err error
		if ok {
			r, err := nutrient.SoilWater(spec)
			p.ofSoil(path, err)
			if err != nil {
				return
			}
			water = &r
		} else if p.spec.Rule != nil && p.weather != nil {
			if rule, err = p.byRule(in); err != nil {
				return
			}
			p.open("fields."+in.Name+".soil", stage.Planner, units.Words("how much water %s can take, and on which days", units.Word(in.Name)), "depth and texture of the root zone, how wet it is on a known day, drainage, and the crop's coefficients")
		}
		shut := p.shut(in)
		for _, x := range p.r.Seasons {
			w := Window{Field: in.Name, Season: x.Name, From: x.From, Days: make([]Day, x.From.Until(x.To)+1), Water: water}
			for d := range w.Days {
				w.Days[d] = p.day(x.From.Plus(d), water, rule, shut)
			}
			if water != nil {
				full, err := nutrient.SoilFill(nutrient.SoilFillSpec{SoilWaterSpec: spec, First: time.Time(x.From), Last: time.Time(x.To), Least: leastPass})
				p.ofSoil(path, err)
				for _, d := range full.Days {
					w.Most += d.Applied
				}
			}
			p.r.Windows = append(p.r.Windows, w)
		}
	}
}

// byRule judges the days by the rule alone, where the soil of a field is not known.
func (p *planner) byRule(in *Field) ([]nutrient.Unfit, error) {
	rule := *p.spec.Rule
	rule.Closed = p.shut(in)
	list, err := rule.Days(p.weather)
	p.f.Sub("rule", err)
	return list, err
}

// day is one day of a window.
func (p *planner) day(day stage.Date, water *nutrient.SoilWaterResult, rule []nutrient.Unfit, shut []nutrient.ClosedDays) Day {
	if rule != nil {
		if i := stage.DateOf(p.weather[0].Date).Until(day); i >= 0 && i < len(rule) {
			return Day{Fit: rule[i] == nutrient.UnfitNone, Reason: rule[i]}
		}
	}
	if water == nil {
		for _, c := range shut {
			if !day.Before(stage.DateOf(c.From)) && !stage.DateOf(c.To).Before(day) {
				return Day{Reason: nutrient.UnfitClosed}
			}
		}
		return Day{Fit: true}
	}
	i := stage.DateOf(water.Days[0].Date).Until(day)
	if i < 0 || i >= len(water.Days) {
		return Day{Reason: nutrient.UnfitClosed}
	}
	d := &water.Days[i]
	return Day{Fit: d.Fit, Reason: d.Reason, Room: d.Room}
}

// leastPass is a depth below which nobody goes out.
const leastPass = 0.05 * units.Inch

// Water is the balance of a field with the passes that went on it, or will: those of all
// materials. It is an error where its soil, the weather or the rule is missing.
func (r *Result) Water(field string, passes []nutrient.WaterApplied) (nutrient.SoilWaterResult, error) {
	var f units.Faults
	for i := range r.spec.Fields {
		in := &r.spec.Fields[i]
		if in.Name != field {
			continue
		}
		p := planner{spec: r.spec, weather: r.weather, closed: r.closed}
		spec, path, ok := p.soil(in)
		if !ok {
			f.Missing(path, "soil, weather and a rule, for the water that the field can take")
			return nutrient.SoilWaterResult{}, f.Err()
		}
		spec.Applied = passes
		return nutrient.SoilWater(spec)
	}
	f.Fault(units.FaultName, "field", field, "the name of a field of the plan")
	return nutrient.SoilWaterResult{}, f.Err()
}

// ofSoil puts the faults of a balance at the soil of path, and those of the rule and the
// weather, which all soils share, at their own places.
func (p *planner) ofSoil(path string, err error) {
	for _, e := range units.FieldErrors(err) {
		if units.PathWithin(e.Field, "rule") || units.PathWithin(e.Field, "weather") {
			p.f.Sub("", e)
		} else {
			p.f.Sub(path, e)
		}
	}
}
