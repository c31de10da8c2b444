package volume

import (
	"math"
	"slices"
	"time"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/cautions"
)

// EmptyingSpec is a basin that is pumped down while the weather goes on.
type EmptyingSpec struct {
	Basin Basin `json:"-"` // that is emptied
	// StartLevel and StopLevel are heights of the liquid over the floor: at the
	// start, and where pumping ends, such as the top of the sludge or 0.
	StartLevel units.Length `json:"startLevel"`
	StopLevel  units.Length `json:"stopLevel"` // at most StartLevel
	// Start is the first day; Until, the last one looked at, lies within ten
	// years of it. Only their dates count.
	Start time.Time `json:"start"`
	Until time.Time `json:"until"` // at most ten years after Start
	// Pump runs HoursPerDay, at most 24 h, except on RestDays, RestDates and days that
	// bring WetDay of rain or more, when nothing may go on the land; without a
	// WetDay it runs whatever the weather.
	Pump        units.Flow     `json:"pump"`
	HoursPerDay units.Duration `json:"hoursPerDay"`        // 1 min to 24 h
	RestDays    []time.Weekday `json:"restDays,omitempty"` // 0 is Sunday; at most six
	// RestDates are single days on which the pump rests, such as those on which the soil
	// takes no water; up to 10,000.
	RestDates []time.Time  `json:"restDates,omitempty"`
	WetDay    units.Length `json:"wetDay,omitzero"` // 0 to 2 m; 0 for a pump that runs whatever the weather
	// Months is the mean day of each month, January first; Days replaces single
	// dates.
	Months []Weather      `json:"months"`
	Days   []DatedWeather `json:"days,omitempty"` // from Start to Until, each date once
	// Catchment is the area outside the top of the bank that drains into the
	// basin. Of each day's rain above RunoffLoss the share RunoffShare runs off.
	// The mean day of a month seldom exceeds a loss: give the storms as Days.
	Catchment   units.Area   `json:"catchment,omitzero"`
	RunoffLoss  units.Length `json:"runoffLoss,omitzero"`  // 0 to 2 m
	RunoffShare float64      `json:"runoffShare,omitzero"` // 0 to 1; more than 0 with a Catchment, 0 without
	// Seepage leaves through the area of the liquid surface.
	Seepage units.DepthRate `json:"seepage,omitzero"`
	// Inflow is wastewater that still arrives, over all 24 hours.
	Inflow units.Flow `json:"inflow,omitzero"`
}

// EmptyingDay is one day of a draw-down.
type EmptyingDay struct {
	Date    time.Time    `json:"date"`    // midnight UTC
	Highest units.Length `json:"highest"` // over the floor, with all that came in and nothing out yet
	Level   units.Length `json:"level"`   // over the floor at the end of the day
	Pumped  units.Volume `json:"pumped"`  // to the land
	Rain    units.Volume `json:"rain"`    // on everything inside the top of the bank
	Runoff  units.Volume `json:"runoff"`  // from the catchment
	Inflow  units.Volume `json:"inflow"`  // of wastewater
	Evap    units.Volume `json:"evap"`    // from the liquid surface
	Seeped  units.Volume `json:"seeped"`  // through the floor and banks
	Spilled units.Volume `json:"spilled"` // over the top of the bank
}

// weather shows what came and went of itself.
func (d EmptyingDay) weather(w *units.Working) {
	w.Add("rain", d.Rain, "on the area inside the top of the bank")
	w.Add("runoff", d.Runoff, "from the catchment")
	w.Add("inflow", d.Inflow, "")
	w.Add("evaporation", d.Evap, "from the liquid surface")
	w.Add("seepage", d.Seeped, "through the area of the liquid surface")
	if d.Spilled > 0 {
		w.Add("spilled", d.Spilled, "over the top of the bank")
	}
}

// EmptyingResult is a draw-down day by day.
type EmptyingResult struct {
	Empty   bool          `json:"empty"`            // the stop level was reached
	EmptyOn time.Time     `json:"emptyOn,omitzero"` // the day on which it was, zero when it was not
	Why     units.Phrase  `json:"why,omitzero"`     // why it was not, empty when it was
	Days    []EmptyingDay `json:"days"`             // from Start on
	// Total adds up the days; its date and level are those of the last day, its
	// highest level is that of all days.
	Total EmptyingDay `json:"total"`
	// Stored is what stood between the start and the stop level.
	Stored units.Volume `json:"stored"`
	// Extra is what has to be land applied beyond Stored when the basin was
	// emptied, less than 0 where evaporation and seepage take more than rain,
	// runoff and inflow bring. When it was not emptied, it is what came in less
	// what went out otherwise than by the pump.
	Extra units.Volume `json:"extra"`
	// ForRain is what has to be land applied because of rain and runoff, now or, when
	// the basin was not emptied, later: Extra less what it would be in the same
	// weather without rain, where the draw-down would be DryDays long. Part of the
	// rain may evaporate, seep or spill.
	ForRain units.Volume `json:"forRain"`
	DryDays int          `json:"dryDays"` // of the same draw-down without rain
	// PumpDays is how many days the pump would need for Stored alone.
	PumpDays float64 `json:"pumpDays"`
	// Highest is the greatest level of all days, the start included.
	Highest units.Length `json:"highest"`
	// Fall is the greatest fall of the level from one evening to the next, which the
	// caution on wet banks asks a licensed engineer about.
	Fall     units.Length `json:"fall"`
	FallOn   time.Time    `json:"fallOn,omitzero"` // the day of that fall, zero when it never fell
	Cautions []string     `json:"cautions"`        // what can hurt people, and who decides
}

// Emptying works out a draw-down by daily water balance: what stands in the
// basin, plus rain on the area inside the top of the bank, runoff and inflow,
// less evaporation and seepage on the liquid surface of the morning, less what
// the pump takes. A storm can fall within hours, before the pump or the sun have
// taken anything: what a day brings is held against the bank first, and what
// does not fit spills. Rain counts on the area at the inside top of the bank, not on
// the water, since what falls on the banks runs in (as in North Carolina DEQ,
// filing 1131963).
func Emptying(spec EmptyingSpec) (EmptyingResult, error) {
	if err := checkEmptying(spec); err != nil {
		return EmptyingResult{}, err
	}
	balance := newWater(spec)
	r, err := balance.drawDown()
	if err != nil {
		return EmptyingResult{}, err
	}
	balance.dry = true
	dry, err := balance.drawDown()
	if err != nil {
		return EmptyingResult{}, err
	}
	r.ForRain, r.DryDays = r.Extra-dry.Extra, len(dry.Days)
	return r, nil
}

// drawDown runs a checked spec day by day.
func (w *water) drawDown() (EmptyingResult, error) {
	spec, b := &w.spec, w.spec.Basin
	stop := b.VolumeAt(spec.StopLevel)
	held, level := b.VolumeAt(spec.StartLevel), spec.StartLevel
	perDay := spec.Pump.Times(spec.HoursPerDay)
	r := EmptyingResult{Stored: held - stop, Highest: level, PumpDays: float64((held - stop) / perDay),
		Cautions: []string{cautions.Gas, cautions.Drawdown, cautions.Drowning, cautions.LandApply}}
	r.Days = make([]EmptyingDay, 0, int(min(r.PumpDays, 100))+8)
	var err error
	for day := date(spec.Start); !day.After(date(spec.Until)); day = day.AddDate(0, 0, 1) {
		var d EmptyingDay
		if d, held, err = w.day(day, held, level, 0, stop, perDay); err != nil {
			return EmptyingResult{}, err
		}
		if fall := level - d.Level; fall > r.Fall {
			r.Fall, r.FallOn = fall, day
		}
		level = d.Level
		r.add(d)
		if held-stop <= units.Volume(slack)*w.full {
			r.Empty, r.EmptyOn = true, day
			break
		}
	}
	t := r.Total
	r.Extra = t.Rain + t.Runoff + t.Inflow - t.Evap - t.Seeped - t.Spilled
	if !r.Empty {
		r.Why = why(len(r.Days), t.Pumped, r.Extra, held-stop)
	}
	if t.Spilled > 0 {
		r.Cautions = append(r.Cautions, "The liquid overtops the bank in this run: start earlier, pump faster or keep the runoff out.")
	}
	return r, nil
}

// water is the daily balance of a basin.
type water struct {
	spec  EmptyingSpec
	top   units.Area   // that rain falls on and runs in from
	full  units.Volume // of the whole basin
	storm map[time.Time]Weather
	rests []bool // by days from the start
	dry   bool   // without the rain
}

// newWater is the balance of a spec whose parts were checked.
func newWater(spec EmptyingSpec) water {
	w := water{spec: spec, top: spec.Basin.AreaAt(spec.Basin.Depth()), full: Capacity(spec.Basin), storm: storms(spec.Days)}
	days := daysBetween(date(spec.Start), date(spec.Until))
	w.rests = make([]bool, days+1)
	for _, d := range spec.RestDates {
		if i := daysBetween(date(spec.Start), date(d)); i >= 0 && i <= days {
			w.rests[i] = true
		}
	}
	return w
}

// resting is whether the pump rests on a day that was named.
func (w *water) resting(day time.Time) bool {
	return w.rests[daysBetween(date(w.spec.Start), day)]
}

// daysBetween is how many days one midnight in UTC comes after another.
func daysBetween(from, to time.Time) int { return int(to.Sub(from) / (24 * time.Hour)) }

func storms(days []DatedWeather) map[time.Time]Weather {
	m := map[time.Time]Weather{}
	for _, d := range days {
		m[date(d.Date)] = d.Weather
	}
	return m
}

// day carries what is held above a fill, whose surface stood at a level in the morning,
// over one day, on which the pump takes perDay at most and leaves stop.
func (w *water) day(day time.Time, held units.Volume, level units.Length, fill, stop, perDay units.Volume) (EmptyingDay, units.Volume, error) {
	s, b := &w.spec, w.spec.Basin
	weather, ok := w.storm[day]
	if !ok {
		weather = s.Months[day.Month()-1]
	}
	if w.dry {
		weather.Rain = 0
	}
	surface := b.AreaAt(level)
	d := EmptyingDay{
		Date: day, Rain: w.top.Times(weather.Rain), Inflow: s.Inflow.Times(units.Day),
		Runoff: units.Volume(s.RunoffShare) * s.Catchment.Times(max(weather.Rain-s.RunoffLoss, 0)),
		Evap:   surface.Times(weather.Evaporation), Seeped: surface.Times(s.Seepage.Times(units.Day)),
	}
	there := held + d.Rain + d.Runoff + d.Inflow
	d.Spilled = max(there-(w.full-fill), 0)
	there -= d.Spilled
	var err error
	if d.Highest, err = HeightFor(b, fill+there); err != nil {
		return d, 0, err
	}
	// The sun and the soil cannot take more than there is.
	if loss := d.Evap + d.Seeped; loss > there {
		d.Evap *= there / loss
		d.Seeped = there - d.Evap
	}
	held = there - d.Evap - d.Seeped
	if rests := slices.Contains(s.RestDays, day.Weekday()) || w.resting(day); !rests && (s.WetDay == 0 || weather.Rain < s.WetDay) {
		d.Pumped = min(max(held-stop, 0), perDay)
	}
	held -= d.Pumped
	d.Level, err = HeightFor(b, fill+held)
	return d, held, err
}

// add appends a day and adds it to the total.
func (r *EmptyingResult) add(d EmptyingDay) {
	r.Days = append(r.Days, d)
	r.Total.add(d)
	r.Highest = max(r.Highest, d.Highest)
	r.Total.Highest = r.Highest
}

// add counts a day into a total, whose date and level are those of the last day.
func (t *EmptyingDay) add(d EmptyingDay) {
	t.Date, t.Level, t.Highest = d.Date, d.Level, max(t.Highest, d.Highest)
	t.Pumped += d.Pumped
	t.Rain += d.Rain
	t.Runoff += d.Runoff
	t.Inflow += d.Inflow
	t.Evap += d.Evap
	t.Seeped += d.Seeped
	t.Spilled += d.Spilled
}

// why says what kept the basin from being emptied in so many days.
func why(days int, pumped, extra, left units.Volume) units.Phrase {
	net := units.Words("%v more came in than left otherwise", extra)
	if extra < 0 {
		net = units.Words("%v more left otherwise than came in", -extra)
	}
	pace := units.Words("the pump does not keep up")
	more := math.Ceil(float64(left/(pumped-extra)) * float64(days))
	if more > 0 && more < 36525 {
		pace = units.Words("at that pace %.0f days more are needed", more)
	}
	return units.Words("in %v days the pump took %v while %v; %v is still above the stop level: %v", days, pumped, net, left, pace)
}

func checkEmptying(spec EmptyingSpec) error {
	var f units.Faults
	checkBasin(&f, spec.Basin)
	if f.Err() == nil {
		f.ZeroTo("startLevel", spec.StartLevel, spec.Basin.Depth())
		f.ZeroTo("stopLevel", spec.StopLevel, spec.StartLevel)
	}
	checkPeriod(&f, "until", spec.Start, spec.Until)
	checkPump(&f, spec)
	checkWeather(&f, spec, true)
	return f.Err()
}

// checkPeriod reports whether the two days make sense.
func checkPeriod(f *units.Faults, field string, start, end time.Time) bool {
	switch {
	case start.IsZero():
		f.Missing("start", "the first day")
	case date(end).Before(date(start)) || date(end).After(date(start).AddDate(10, 0, 0)):
		f.Add(field, date(end), "from %v to ten years later", date(start))
	default:
		return true
	}
	return false
}

func checkPump(f *units.Faults, spec EmptyingSpec) {
	f.UpTo("pump", spec.Pump, units.MaxFlow)
	if !(spec.HoursPerDay >= units.Minute && spec.HoursPerDay <= units.Day) {
		f.Add("hoursPerDay", spec.HoursPerDay, "1 min to 24 h")
	}
}

// checkWeather checks what the balance needs; inside says that each date has to lie in
// the period.
func checkWeather(f *units.Faults, spec EmptyingSpec, inside bool) {
	rest := map[time.Weekday]bool{}
	for i, d := range spec.RestDays {
		if d < time.Sunday || d > time.Saturday {
			at := f.At("restDays", i)
			at.Add("", int(d), "0 (Sunday) to 6 (Saturday)")
		}
		rest[d] = true
	}
	if len(rest) > 6 {
		f.Count("restDays", len(rest), "days of the week", "at most %v", 6)
	}
	f.CountBetween("restDates", len(spec.RestDates), "days", 0, 10_000)
	if len(spec.Months) != 12 {
		f.Count("months", len(spec.Months), "months", "12, the mean day of each")
	}
	for i, m := range spec.Months {
		at := f.At("months", i)
		m.check(&at, maxMeanRain, maxMeanEvaporation, "0 to %v, the mean day and not the whole month")
	}
	start, until := date(spec.Start), date(spec.Until)
	inside = inside && !spec.Start.IsZero() && !until.Before(start)
	seen := map[time.Time]bool{}
	for i, d := range spec.Days {
		at := f.At("days", i)
		switch {
		case d.Date.IsZero():
			at.Missing("date", "a date")
		case seen[date(d.Date)]:
			at.Fault(units.FaultConflict, "date", date(d.Date), "each date once")
		case inside && (date(d.Date).Before(start) || date(d.Date).After(until)):
			at.Add("date", date(d.Date), "from start to until, %v to %v", start, until)
		}
		seen[date(d.Date)] = true
		d.check(&at, maxRain, maxEvaporation, "0 to %v")
	}
	f.ZeroTo("wetDay", spec.WetDay, maxRain)
	f.ZeroTo("catchment", spec.Catchment, units.MaxArea)
	f.ZeroTo("runoffLoss", spec.RunoffLoss, maxRain)
	f.NumberZeroTo("runoffShare", spec.RunoffShare, 1)
	if (spec.Catchment > 0) != (spec.RunoffShare > 0) {
		f.Add("runoffShare", spec.RunoffShare, "more than 0 with a catchment, left out without one")
	}
	f.ZeroTo("seepage", spec.Seepage, units.InchPerHour)
	f.ZeroTo("inflow", spec.Inflow, units.MaxFlow)
}

// Working shows the balance over the whole draw-down.
func (r EmptyingResult) Working() units.Working {
	var w units.Working
	t := r.Total
	w.Add("stored above the stop level", r.Stored, "%.1f days of pumping by itself", r.PumpDays)
	t.weather(&w)
	w.Add("land applied", t.Pumped, "")
	w.Add("more than was stored", r.Extra, "rain + runoff + inflow - evaporation - seepage - spill")
	w.Add("because of rain", r.ForRain, "beyond the same weather without rain, where it takes %d days", r.DryDays)
	if r.Fall > 0 {
		w.Add("greatest fall of the level in a day", r.Fall, "on %v; wet banks slump when it is fast: ask a licensed engineer whether it may be", r.FallOn)
	}
	if r.Empty {
		w.Add("empty on", r.EmptyOn, "after %d days", len(r.Days))
	} else {
		w.Put(units.Words("not empty by"), t.Date, r.Why)
	}
	return w
}

// String prints the working.
func (r EmptyingResult) String() string { return r.Working().String() }
