// Package calendar turns the tasks of a closure into days: when each may begin at the
// earliest and when it likely does, what it waits for, how far it may slip, which chain
// of tasks settles the end, and, where the plan cannot be kept, which link breaks and
// what date of starting would do.
//
//	r, err := calendar.Schedule(calendar.Spec{Start: stage.DayOf(2026, time.June, 1), Tasks: tasks, Terms: terms})
//	fmt.Print(r)
//	text, err := calendar.ICalendar(r, calendar.ICalendarSpec{Domain: "example.org", Stamp: now})
//
// # What is kept
//
// No task works on a day outside its windows, on a day that is not fit for it, or on a
// day of rest of its crew; none begins before what it needs and the days after it; a
// crew is at one task at a time. What no day within the horizon allows is not placed,
// and the result says why.
//
// # How days are given out
//
// Days are gone through one after the other. On each, a crew goes on with what it has
// begun and then takes the first task, in the order of the list, that is ready and may
// go on that day. A task that a day stops is left and taken up again, while the crew
// does other work; one whose window asks that it be done in one opening is not begun
// unless it can be finished there, and then goes before everything else. Several short
// tasks share a day.
//
// The likely dates are those of this plan, with the likely lags and the likely share
// of fit days. The earliest dates are a bound that no plan comes before: shortest lags,
// every day that may be fit is, and nobody waits for a crew. The latest dates leave the
// likely end of the whole where it is, with the crews' order kept; the float is the days
// from the likely to the latest dates.
//
// Whatever lags, windows and fit days are handed in is the caller's: the package knows no
// weather and no rule of a state.
package calendar
