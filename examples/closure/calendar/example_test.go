package calendar_test

import (
	"fmt"
	"strings"
	"time"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/examples/closure/calendar"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
)

// basin is the tasks of a small closure, and what crew and weather allow.
func basin() calendar.Spec {
	const pump, earth = "pump crew", "earthwork crew"
	return calendar.Spec{
		Start: stage.DayOf(2026, time.April, 6),
		Tasks: []stage.Task{
			{Key: "approval", Name: units.Words("Regulator agrees to the plan"), Kind: stage.Approval},
			{Key: "locate", Name: units.Words("Ask for buried lines to be marked"), Kind: stage.Locating},
			{Key: "agitate", Name: units.Words("Agitate"), Kind: stage.Agitation, Work: 16 * units.Hour, Crew: "agitator", Needs: []stage.Need{{Key: "approval", Least: 20, Likely: 40}}},
			{Key: "calibrate", Name: units.Words("Calibrate the hose"), Kind: stage.CalibrateSlurry, Work: 3 * units.Hour, Crew: pump, Needs: []stage.Need{{Key: "agitate", FromStart: true}}},
			{Key: "spread", Name: units.Words("Spread the slurry"), Kind: stage.SpreadSlurry, Fit: stage.SpreadDay, Work: 60 * units.Hour, Crew: pump, Needs: []stage.Need{{Key: "calibrate"}}},
			{Key: "controls", Name: units.Words("Silt fence and entrance"), Kind: stage.ErosionControl, Work: 6 * units.Hour, Crew: earth, Needs: []stage.Need{{Key: "approval", Likely: 30}}},
			{Key: "fill", Name: units.Words("Take down the berm and fill"), Kind: stage.EarthMoving, Fit: stage.EarthDay, Work: 90 * units.Hour, Crew: earth,
				Needs: []stage.Need{{Key: "spread", Least: 2, Likely: 5}, {Key: "controls"}, {Key: "locate", Least: 2, Likely: 3, Life: 15}}},
			{Key: "seed", Name: units.Words("Drill the mix"), Kind: stage.Seeding, Fit: stage.PlantingDay, Work: 9 * units.Hour, Crew: earth, Needs: []stage.Need{{Key: "fill", Within: 14}}},
		},
		Terms: calendar.Terms{
			Crew: calendar.Crew{Hours: 9 * units.Hour, RestDays: []stage.Weekday{stage.Weekday(time.Sunday)}, Holidays: []stage.Date{stage.DayOf(2026, time.May, 25)}},
			Weather: []calendar.FitDays{
				{Fit: stage.SpreadDay, ByMonth: []float64{0, 0, 0.2, 0.4, 0.5, 0.6, 0.7, 0.7, 0.6, 0.5, 0.3, 0}, Source: "the caller's"},
				{Fit: stage.EarthDay, ByMonth: []float64{0, 0, 0.1, 0.3, 0.5, 0.7, 0.8, 0.8, 0.7, 0.6, 0.3, 0}, Source: "the caller's"},
			},
			Windows: []calendar.Window{
				calendar.Planting("planting of the mix", []cover.PlantingWindow{
					{Name: "spring", From: cover.MonthDay{Month: time.April, Day: 15}, To: cover.MonthDay{Month: time.June, Day: 30}},
					{Name: "dormant", From: cover.MonthDay{Month: time.November, Day: 1}, To: cover.MonthDay{Month: time.March, Day: 15}},
				}, "seed"),
			},
		},
	}
}

func ExampleSchedule() {
	r, err := calendar.Schedule(basin())
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, row := range r.ByStart() {
		fmt.Println(row.Likely.Start, row.Likely.End, row.Task.Name, "float", row.Float)
	}
	for _, a := range r.Renewals {
		fmt.Println("ask again for", a.Key, "on", a.On)
	}
	fmt.Println("kept:", r.Kept, "until", r.End)
	// Output:
	// 2026-04-06 2026-04-06 Regulator agrees to the plan float 3
	// 2026-05-06 2026-05-06 Silt fence and entrance float 31
	// 2026-05-16 2026-05-18 Agitate float 3
	// 2026-05-16 2026-05-16 Calibrate the hose float 3
	// 2026-05-19 2026-06-03 Spread the slurry float 0
	// 2026-06-05 2026-06-05 Ask for buried lines to be marked float 0
	// 2026-06-08 2026-06-24 Take down the berm and fill float 0
	// 2026-06-25 2026-06-25 Drill the mix float 0
	// ask again for locate on 2026-06-20
	// kept: true until 2026-06-25
}

// A summer start comes past the spring window of the mix.
func ExampleSchedule_broken() {
	spec := basin()
	spec.Start = stage.DayOf(2026, time.June, 1)
	r, err := calendar.Schedule(spec)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, b := range r.Broken {
		fmt.Println(b.Key)
		fmt.Println(b.Why)
		fmt.Println(b.Do)
	}
	fmt.Println("starts that can be kept:", r.Sooner, "and", r.Later)
	for _, n := range r.Notes {
		fmt.Println(n)
	}
	// Output:
	// seed
	// Drill the mix is due by 2026-08-21, 14 days after Take down the berm and fill, and begins on 2026-11-02
	// bridge the 73 days, such as by a temporary cover, or move the work before it
	// starts that can be kept: 2026-04-13 and 2026-08-03
	// Drill the mix is ready on 2026-08-07 and waits 86 days for planting of the mix; it begins on 2026-11-02
	// a start on 2026-08-17 ends on the same day, 2026-11-02
}

func ExampleICalendar() {
	spec := basin()
	spec.Tasks = spec.Tasks[:1]
	spec.Windows = nil
	r, err := calendar.Schedule(spec)
	if err != nil {
		fmt.Println(err)
		return
	}
	text, err := calendar.ICalendar(r, calendar.ICalendarSpec{Domain: "basin.example.org", Stamp: time.Date(2026, 3, 1, 8, 0, 0, 0, time.UTC)})
	fmt.Print(strings.ReplaceAll(string(text), "\r\n", "\n"), err)
	// Output:
	// BEGIN:VCALENDAR
	// VERSION:2.0
	// PRODID:-//example.org//earthbasin closure calendar//EN
	// CALSCALE:GREGORIAN
	// BEGIN:VEVENT
	// UID:approval@basin.example.org
	// DTSTAMP:20260301T080000Z
	// DTSTART;VALUE=DATE:20260406
	// DTEND;VALUE=DATE:20260407
	// SUMMARY:Regulator agrees to the plan
	// DESCRIPTION:from the start
	// TRANSP:TRANSPARENT
	// END:VEVENT
	// END:VCALENDAR
	// <nil>
}

func ExampleUnmet() {
	tasks := basin().Tasks
	tasks[6].Needs = tasks[6].Needs[:1] // without erosion controls and marked lines
	for _, l := range calendar.Unmet(tasks, calendar.Customs()) {
		fmt.Printf("%s needs %s: %s\n", l.Key, l.Custom.After, l.Custom.Why)
	}
	// Output:
	// spread needs laboratory: rates rest on a laboratory report
	// fill needs locating: buried lines are marked before anybody digs
	// fill needs erosion controls: erosion controls stand before soil is moved
	// fill needs inspection: nothing is covered before the empty basin is inspected
}

func ExampleNotBefore() {
	w := calendar.NotBefore("stormwater permit", stage.DayOf(2026, time.May, 1), "fill")
	fmt.Println(w.Name, w.Spans[0].From)
	// Output: stormwater permit 2026-05-01
}

func ExampleNotAfter() {
	w := calendar.NotAfter("end of the permit", stage.DayOf(2026, time.October, 31), "spread")
	fmt.Println(w.Name, w.Spans[0].To)
	// Output: end of the permit 2026-10-31
}

func ExamplePlanting() {
	w := calendar.Planting("planting of the mix", []cover.PlantingWindow{{Name: "spring", From: cover.MonthDay{Month: time.April, Day: 15}, To: cover.MonthDay{Month: time.June, Day: 30}}}, "seed")
	fmt.Println(w.Whole, len(w.Spans))
	// Output: true 1
}

func ExampleDaysFrom() {
	rain := map[string]bool{"2026-06-02": true}
	w := calendar.DaysFrom(stage.DryDay, stage.DayOf(2026, time.June, 1), 3, func(d stage.Date) bool { return !rain[d.String()] })
	fmt.Println(w.Days)
	// Output: [true false true]
}
