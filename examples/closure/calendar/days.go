package calendar

import (
	"math"
	"slices"
	"time"

	"example.org/earthbasin/examples/closure/stage"
)

const (
	usualHorizon  = 1096
	usualPatience = 14
	// around is the days before and after the start that are tried as another start.
	around = 366
	// dayLong is the seconds of a day, of which a task without a crew uses all.
	dayLong = 86400
)

// grid is what each day allows. Days are counted from around days before the start.
type grid struct {
	from    stage.Date
	days    int
	seconds [][]int  // by crew and day
	open    [][]bool // by window and day
	best    [][]bool // by entry of the weather and day: may be fit
	likely  [][]bool // and is likely to be
}

func (s *Spec) grid(crews []Crew) *grid {
	g := &grid{from: s.Start.Plus(-around), days: 2*around + s.Horizon}
	for _, c := range crews {
		g.seconds = append(g.seconds, c.seconds(g))
	}
	for _, w := range s.Windows {
		g.open = append(g.open, w.open(g))
	}
	for _, w := range s.Weather {
		best, likely := w.fit(g)
		g.best, g.likely = append(g.best, best), append(g.likely, likely)
	}
	return g
}

// date is a day by its number.
func (g *grid) date(d int) stage.Date { return g.from.Plus(d) }

// seconds is how long the crew works on each day.
func (c Crew) seconds(g *grid) []int {
	list := make([]int, g.days)
	weekday := int(time.Time(g.from).Weekday())
	for d := range list {
		if !slices.Contains(c.RestDays, stage.Weekday((weekday+d)%7)) {
			list[d] = int(c.Hours.SI())
		}
	}
	for _, h := range c.Holidays {
		if d := g.from.Until(h); d >= 0 && d < g.days {
			list[d] = 0
		}
	}
	return list
}

// open is on which days the window lets work go on.
func (w Window) open(g *grid) []bool {
	list := make([]bool, g.days)
	for d := range list {
		day := g.date(d)
		within := slices.ContainsFunc(w.Spans, func(s Span) bool { return s.has(day) })
		list[d] = within != w.Closed
	}
	return list
}

// has reports whether the span has the day.
func (s Span) has(d stage.Date) bool {
	if s.Every != nil {
		_, m, day := time.Time(d).Date()
		// Of 29 February a window that ends then has the 28th in a common year, and one that
		// begins then the 1st of March, without a word.
		now, from, to := int(m)*100+day, int(s.Every.From.Month)*100+s.Every.From.Day, int(s.Every.To.Month)*100+s.Every.To.Day
		if from <= to {
			return from <= now && now <= to
		}
		return now >= from || now <= to
	}
	return !d.Before(s.From) && (s.To.IsZero() || !s.To.Before(d))
}

// fit is on which days work may go on at best and is likely to.
func (w FitDays) fit(g *grid) (best, likely []bool) {
	best, likely = make([]bool, g.days), make([]bool, g.days)
	for d := range best {
		best[d], likely[d] = w.On(g.date(d))
	}
	return best, likely
}

// On is whether work may go on on a day at best, and whether it is likely to.
func (w FitDays) On(d stage.Date) (best, likely bool) {
	if len(w.Days) > 0 {
		if i := w.From.Until(d); i >= 0 && i < len(w.Days) {
			return w.Days[i], w.Days[i]
		}
	}
	if len(w.ByMonth) < 12 {
		return false, false
	}
	_, m, day := time.Time(d).Date()
	share := w.ByMonth[m-1]
	// Spread evenly: so many fit days up to this one as its share of the month says, to
	// the nearest.
	upTo := func(n int) float64 { return math.Floor(float64(n)*share + 0.5) }
	return share > 0, upTo(day) > upTo(day-1)
}

// DaysFrom is the given days of a fitness, by a function that is asked for n days from
// a first one, up to 7,320.
func DaysFrom(fit stage.Fitness, first stage.Date, n int, isFit func(stage.Date) bool) FitDays {
	w := FitDays{Fit: fit, From: first, Days: make([]bool, min(max(0, n), 2*mostDays+1))}
	for i := range w.Days {
		w.Days[i] = isFit(first.Plus(i))
	}
	return w
}
