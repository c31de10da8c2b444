package volume

import (
	"time"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/cautions"
)

// OpenPitSpec is a basin that stays open after the draw-off while the weather goes on,
// until it is filled.
type OpenPitSpec struct {
	Basin Basin `json:"-"` // that stands open
	// StartLevel is the height of what stands on the first day over the floor; 0 for an
	// empty basin.
	StartLevel units.Length `json:"startLevel,omitzero"`
	// Sump is the height over the floor, or over the fill, down to which the pump takes
	// the water; 0 for all of it.
	Sump units.Length `json:"sump,omitzero"`
	// Start is the first day and Filled the last, within ten years of it. Only their
	// dates count.
	Start  time.Time `json:"start"`
	Filled time.Time `json:"filled"` // the last day on which rain can stand in it
	// FillFrom is the first day of filling: from then to Filled soil takes up the room by
	// the same volume each day, up to FillTo. The zero value leaves the pit open at its
	// full depth until Filled, where more water stands than will.
	FillFrom time.Time `json:"fillFrom,omitzero"`
	// FillTo is the height over the floor up to which it is filled; 0 for the top of the
	// bank.
	FillTo units.Length `json:"fillTo,omitzero"`
	// Pump runs HoursPerDay, except on RestDays, RestDates and days that bring WetDay of rain or
	// more, when nothing may go on the land. Without a pump the water stays.
	Pump        units.Flow     `json:"pump,omitzero"`
	HoursPerDay units.Duration `json:"hoursPerDay,omitzero"` // 1 min to 24 h, with a pump
	RestDays    []time.Weekday `json:"restDays,omitempty"`   // 0 is Sunday; at most six
	RestDates   []time.Time    `json:"restDates,omitempty"`  // single days on which the pump rests; up to 10,000
	WetDay      units.Length   `json:"wetDay,omitzero"`      // 0 to 2 m; 0 for a pump that runs whatever the weather
	// Months is the mean day of each month, January first; Days replaces single
	// dates, such as those of storms. Dates outside of Start to Filled are passed over,
	// so that one list serves the draw-off and the open pit.
	Months []Weather      `json:"months"`
	Days   []DatedWeather `json:"days,omitempty"` // each date once
	// Catchment, RunoffLoss and RunoffShare are the ground outside the top of the bank
	// that drains into the basin, as in [EmptyingSpec].
	Catchment   units.Area   `json:"catchment,omitzero"`
	RunoffLoss  units.Length `json:"runoffLoss,omitzero"`  // 0 to 2 m
	RunoffShare float64      `json:"runoffShare,omitzero"` // 0 to 1; more than 0 with a Catchment, 0 without
	// Seepage leaves through the area of the water surface.
	Seepage units.DepthRate `json:"seepage,omitzero"`
	// Inflow is wastewater that still arrives, over all 24 hours.
	Inflow units.Flow `json:"inflow,omitzero"`
}

// OpenPitDay is one day of the open pit.
type OpenPitDay struct {
	EmptyingDay
	Fill units.Length `json:"fill"` // height of the fill over the floor in the evening, 0 before it begins
	// Idle is the level in the evening if nobody pumped from the first day on.
	Idle units.Length `json:"idle"`
}

// OpenPitResult is what the weather brings into the open pit.
type OpenPitResult struct {
	Days []OpenPitDay `json:"days"` // from Start to Filled
	// Total adds up the days; its date and level are those of the last day, its
	// highest level is that of all days. What it pumped is dirty water that has to be
	// spread.
	Total EmptyingDay `json:"total"`
	// Left stands in it on the last day: it is under or in the fill.
	Left units.Volume `json:"left"`
	// PumpDays are the days on which something is pumped, WetDays those on which water
	// stands over the sump in the evening.
	PumpDays int `json:"pumpDays"`
	WetDays  int `json:"wetDays"` // evenings with water over the sump
	// MostPumped is the most that is pumped on one day.
	MostPumped units.Volume `json:"mostPumped"`
	MostOn     time.Time    `json:"mostOn,omitzero"` // the day of that, zero when nothing is pumped
	// IdleHighest is the highest level over the floor if nobody pumped, which IdleOn
	// reaches. IdleFill of it is the fill that the water stands on, 0 before it begins.
	IdleHighest units.Length `json:"idleHighest"`
	IdleOn      time.Time    `json:"idleOn"`            // the day of IdleHighest
	IdleFill    units.Length `json:"idleFill,omitzero"` // height of the fill over the floor in the evening of IdleOn
	Cautions    []string     `json:"cautions"`          // what can hurt people, and who decides
}

// OpenPit works out by the daily balance of [Emptying] what rain, runoff and inflow
// bring into a basin between the draw-off and the day on which it is filled, how much
// of it has to be pumped and spread on which day, and where the level would stand.
// Rain counts on the whole area at the inside top of the bank, also while the fill
// rises. Errors are [units.FieldError] with the json field.
func OpenPit(spec OpenPitSpec) (OpenPitResult, error) {
	if err := checkOpenPit(spec); err != nil {
		return OpenPitResult{}, err
	}
	r := OpenPitResult{Cautions: []string{cautions.Gas, cautions.Drowning, cautions.Drawdown, cautions.Banks, cautions.LandApply}}
	pumped, idle := newPit(spec), newPit(spec)
	idle.perDay = 0
	for day, n := date(spec.Start), 0; !day.After(date(spec.Filled)); day, n = day.AddDate(0, 0, 1), n+1 {
		d, err := pumped.next(day)
		if err != nil {
			return OpenPitResult{}, err
		}
		stands, err := idle.next(day)
		if err != nil {
			return OpenPitResult{}, err
		}
		r.add(OpenPitDay{d, pumped.floor, stands.Level}, pumped)
		if stands.Highest > r.IdleHighest || n == 0 {
			r.IdleHighest, r.IdleOn, r.IdleFill = stands.Highest, day, min(idle.floor, stands.Highest)
		}
	}
	r.Left = pumped.held
	if r.Total.Spilled > 0 {
		r.Cautions = append(r.Cautions, "The water overtops the bank in this run: pump faster, fill sooner or keep the runoff out.")
	}
	return r, nil
}

// pit is the state of an open pit in the evening.
type pit struct {
	water
	start, from, filled time.Time
	held, to            units.Volume // water that stands; fill at the end
	floor, sump         units.Length // of the fill, and of the water that is left above it
	perDay              units.Volume
}

func newPit(spec OpenPitSpec) *pit {
	b := spec.Basin
	p := &pit{water: newWater(spec.balance()),
		start: date(spec.Start), from: date(spec.FillFrom), filled: date(spec.Filled), held: b.VolumeAt(spec.StartLevel), to: Capacity(b),
		sump: spec.Sump, perDay: spec.Pump.Times(spec.HoursPerDay)}
	if spec.FillTo > 0 {
		p.to = b.VolumeAt(spec.FillTo)
	}
	if spec.FillFrom.IsZero() {
		p.to = 0
	}
	return p
}

// next carries the pit over a day. Soil that is placed lifts the water that stands.
func (p *pit) next(day time.Time) (EmptyingDay, error) {
	b := p.spec.Basin
	var fill units.Volume // none where there is none at the end
	if !day.Before(p.from) {
		fill = p.to * units.Volume(daysBetween(p.from, day)+1) / units.Volume(daysBetween(p.from, p.filled)+1)
	}
	over := max(p.held-(p.full-fill), 0) // water that the fill pushes out
	p.held -= over
	var err error
	if p.floor, err = HeightFor(b, fill); err != nil {
		return EmptyingDay{}, err
	}
	level, err := HeightFor(b, fill+p.held)
	if err != nil {
		return EmptyingDay{}, err
	}
	stop := b.VolumeAt(min(p.floor+p.sump, b.Depth())) - fill
	d, held, err := p.day(day, p.held, level, fill, max(stop, 0), p.perDay)
	d.Spilled += over
	p.held = held
	return d, err
}

// add appends a day.
func (r *OpenPitResult) add(d OpenPitDay, p *pit) {
	r.Days = append(r.Days, d)
	r.Total.add(d.EmptyingDay)
	if d.Pumped > 0 {
		r.PumpDays++
	}
	if d.Level > (d.Fill+p.sump)*(1+slack) {
		r.WetDays++
	}
	if d.Pumped > r.MostPumped {
		r.MostPumped, r.MostOn = d.Pumped, d.Date
	}
}

// balance is the part of the spec that the daily balance needs.
func (spec OpenPitSpec) balance() EmptyingSpec {
	return EmptyingSpec{Basin: spec.Basin, StartLevel: spec.StartLevel, Start: spec.Start, Until: spec.Filled,
		Pump: spec.Pump, HoursPerDay: spec.HoursPerDay, RestDays: spec.RestDays, RestDates: spec.RestDates, WetDay: spec.WetDay,
		Months: spec.Months, Days: spec.Days, Catchment: spec.Catchment, RunoffLoss: spec.RunoffLoss, RunoffShare: spec.RunoffShare,
		Seepage: spec.Seepage, Inflow: spec.Inflow}
}

func checkOpenPit(spec OpenPitSpec) error {
	var f units.Faults
	checkBasin(&f, spec.Basin)
	if f.Err() == nil {
		depth := spec.Basin.Depth()
		f.ZeroTo("startLevel", spec.StartLevel, depth)
		f.ZeroTo("sump", spec.Sump, depth)
		f.ZeroTo("fillTo", spec.FillTo, depth)
	}
	period := checkPeriod(&f, "filled", spec.Start, spec.Filled)
	if from := date(spec.FillFrom); !spec.FillFrom.IsZero() && period && (from.Before(date(spec.Start)) || from.After(date(spec.Filled))) {
		f.Add("fillFrom", from, "from start to filled, %v to %v", date(spec.Start), date(spec.Filled))
	}
	if spec.FillFrom.IsZero() && spec.FillTo != 0 {
		f.Fault(units.FaultConflict, "fillTo", spec.FillTo, "left out without a first day of filling")
	}
	if spec.Pump != 0 || spec.HoursPerDay != 0 {
		checkPump(&f, spec.balance())
	}
	checkWeather(&f, spec.balance(), false)
	return f.Err()
}

// Working shows the balance over the time in which the pit is open.
func (r OpenPitResult) Working() units.Working {
	var w units.Working
	t := r.Total
	w.Add("open", len(r.Days), "days, to %v", t.Date)
	t.weather(&w)
	w.Add("dirty water to pump and spread", t.Pumped, "on %v days", r.PumpDays)
	if r.MostPumped > 0 {
		w.Add("most on one day", r.MostPumped, "on %v", r.MostOn)
	}
	w.Add("left in it", r.Left, "on the last day")
	w.Add("evenings with water in it", r.WetDays, "")
	if r.IdleFill > 0 {
		w.Add("highest level without pumping", r.IdleHighest, "on %v: %v of water over the fill, which is %v high then", r.IdleOn, r.IdleHighest-r.IdleFill, r.IdleFill)
	} else {
		w.Add("highest level without pumping", r.IdleHighest, "on %v", r.IdleOn)
	}
	return w
}

// String prints the working.
func (r OpenPitResult) String() string { return r.Working().String() }
