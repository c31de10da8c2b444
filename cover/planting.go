package cover

import (
	"fmt"
	"slices"
	"time"

	"example.org/earthbasin/units"
)

// MonthDay is a day of any year. Its text is "15 May" or "May 15".
type MonthDay struct {
	Month time.Month // January to December
	Day   int        // 1 to the last day of the month, 29 in February
}

// String returns the text that MarshalText writes.
func (d MonthDay) String() string {
	if d.Month < time.January || d.Month > time.December {
		return fmt.Sprintf("day %d of month %d", d.Day, int(d.Month))
	}
	return fmt.Sprintf("%d %s", d.Day, d.Month)
}

// midnight is the beginning of a day in UTC.
func midnight(year int, month time.Month, day int) time.Time {
	return time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
}

// valid reports whether the day occurs in a leap year.
func (d MonthDay) valid() bool {
	t := midnight(2000, d.Month, d.Day)
	return t.Day() == d.Day && t.Month() == d.Month
}

// check records a fault unless d occurs in some year.
func (d MonthDay) check(f *units.Faults, field string) {
	switch {
	case d == MonthDay{}:
		f.Missing(field, "a day of the year such as 15 May")
	case !d.valid():
		f.Fault(units.FaultRange, field, units.Word(d.String()), "a day of the year such as 15 May")
	}
}

// MarshalText writes "15 May".
func (d MonthDay) MarshalText() ([]byte, error) {
	if !d.valid() {
		return nil, units.Fault(units.FaultRange, "", units.Word(d.String()), "a day of the year such as 15 May")
	}
	return []byte(d.String()), nil
}

// UnmarshalText reads "15 May", "15 Jun" or "May 15".
func (d *MonthDay) UnmarshalText(b []byte) error {
	for _, layout := range [...]string{"2 January", "2 Jan", "January 2", "Jan 2"} {
		// In a leap year, so that 29 February is read.
		if t, err := time.Parse("2006 "+layout, "2000 "+string(b)); err == nil {
			*d = MonthDay{t.Month(), t.Day()}
			return nil
		}
	}
	return units.Fault(units.FaultMalformed, "", string(b), "a day of the year such as 15 May")
}

// in returns the day in a year. The 29th of February is the 28th in a common year
// as the end of a window and the 1st of March as its start.
func (d MonthDay) in(year int, end bool) time.Time {
	t := midnight(year, d.Month, d.Day)
	if end && t.Month() != d.Month {
		return t.AddDate(0, 0, -1)
	}
	return t
}

// PlantingWindow is a span of the year in which seed may go in, both days
// included. It runs across new year when To is before From.
type PlantingWindow struct {
	Name string   `json:"name"` // kind of mix and place
	From MonthDay `json:"from"` // first day
	To   MonthDay `json:"to"`   // last day
	// Dormant seeding rests in the ground until spring.
	Dormant bool   `json:"dormant"`
	Note    string `json:"note,omitempty"`   // further words of the source
	Source  string `json:"source,omitempty"` // ID of a source of the state, or title, publisher, number, year
	Place   string `json:"place,omitempty"`  // page or table of the source
}

// check records the faults of a window.
func (w PlantingWindow) check(f *units.Faults) {
	required(f, "name", w.Name)
	w.From.check(f, "from")
	w.To.check(f, "to")
}

// PlantingSpec is ground that will be ready at a date.
type PlantingSpec struct {
	Ready   time.Time        `json:"ready"`   // first day on which the seedbed is ready; the time of day does not count
	Days    int              `json:"days"`    // days that the seeding takes, 1 or more
	Windows []PlantingWindow `json:"windows"` // 1 to 1000, any of which will do
}

// Opening is the first occurrence of a window in which the seeding fits.
type Opening struct {
	Window PlantingWindow `json:"window"` // as in the spec
	Start  time.Time      `json:"start"`  // first day of work
	Last   time.Time      `json:"last"`   // latest day on which the work may begin
	Wait   int            `json:"wait"`   // days from Ready to Start
}

// PlantingResult is when to seed. Dates are midnight UTC.
type PlantingResult struct {
	Spec     PlantingSpec `json:"spec"`     // what it was worked out from
	Next     Opening      `json:"next"`     // the earliest of Openings
	Now      bool         `json:"now"`      // Next starts on the day the ground is ready
	Openings []Opening    `json:"openings"` // one per window that is long enough, by date
	TooShort []string     `json:"tooShort"` // names of windows shorter than the work
	Cautions []string     `json:"cautions"` // about ground that waits
}

// Planting finds the next date on which the seeding fits in a window from its
// first day of work to its last. No window long enough is an error.
func Planting(spec PlantingSpec) (PlantingResult, error) {
	var f units.Faults
	if y := spec.Ready.Year(); spec.Ready.IsZero() || y < 1900 || y > 9000 {
		f.Say("ready", spec.Ready.Format(time.DateOnly), "a date from 1900 to 9000")
	}
	if spec.Days < 1 || spec.Days > 366 {
		f.Add("days", spec.Days, "1 to 366")
	}
	f.CountBetween("windows", len(spec.Windows), "windows", 1, mostLines)
	for i, w := range spec.Windows {
		at := f.At("windows", i)
		w.check(&at)
	}
	if err := f.Err(); err != nil {
		return PlantingResult{}, err
	}
	ready := midnight(spec.Ready.Date())
	r := PlantingResult{Spec: spec, Openings: []Opening{}, TooShort: []string{}, Cautions: []string{}}
	for _, w := range spec.Windows {
		if o, ok := w.next(ready, spec.Days); ok {
			r.Openings = append(r.Openings, o)
		} else {
			r.TooShort = append(r.TooShort, w.Name)
		}
	}
	if len(r.Openings) == 0 {
		f.Add("days", spec.Days, "a seeding that fits in one of the windows")
		return PlantingResult{}, f.Err()
	}
	slices.SortStableFunc(r.Openings, func(a, b Opening) int { return a.Start.Compare(b.Start) })
	r.Next = r.Openings[0]
	r.Now = r.Next.Wait == 0
	if !r.Now {
		r.Cautions = append(r.Cautions, "The ground lies bare until the window opens: mulch it or sow a temporary cover; some states ask that within days.")
	}
	return r, nil
}

// next returns the first occurrence of the window that holds days from ready on.
// A leap day makes a window longer once in up to eight years.
func (w PlantingWindow) next(ready time.Time, days int) (Opening, bool) {
	for year := ready.Year() - 1; year <= ready.Year()+8; year++ {
		from, to := w.From.in(year, false), w.To.in(year, true)
		if to.Before(from) {
			to = w.To.in(year+1, true)
		}
		last := to.AddDate(0, 0, 1-days)
		start := from
		if ready.After(from) {
			start = ready
		}
		if !start.After(last) {
			return Opening{w, start, last, int(start.Sub(ready).Hours() / 24)}, true
		}
	}
	return Opening{}, false
}

// Working shows the openings.
func (r PlantingResult) Working() units.Working {
	var w units.Working
	day := func(t time.Time) time.Time { return midnight(t.Date()) }
	w.Add("ground ready", day(r.Spec.Ready), "")
	w.Add("days of seeding", r.Spec.Days, "")
	for _, o := range r.Openings {
		w.Add(o.Window.Name, day(o.Start), "%s to %s, begin by %v, wait %d days", o.Window.From, o.Window.To, day(o.Last), o.Wait)
	}
	for _, name := range r.TooShort {
		w.Add(name, "too short", "")
	}
	return w
}

// String prints the working.
func (r PlantingResult) String() string { return r.Working().String() }
