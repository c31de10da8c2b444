package calendar

import (
	"bytes"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
)

// ICalendarSpec is what an iCalendar file needs beside the days.
type ICalendarSpec struct {
	// Domain follows the key of each task in its UID, such as "north-basin.example.org". A
	// later file with the same domain and keys replaces the entries of an earlier one.
	Domain string `json:"domain"`
	// Stamp is when the file was made.
	Stamp time.Time `json:"stamp"`
	// Name is that of the calendar; empty for none.
	Name string `json:"name,omitempty"`
	// Style writes the texts.
	Style units.Style `json:"-"`
}

// longestPause is the days without work, such as a weekend and a holiday, that do not
// part an event.
const longestPause = 3

// stretches are the days of a task, parted where work stops for longer.
func (r Row) stretches() (list []Dates) {
	for i, w := range r.Worked {
		if i == 0 || list[len(list)-1].End.Until(w.Day) > longestPause+1 {
			list = append(list, Dates{w.Day, w.Day})
		}
		list[len(list)-1].End = w.Day
	}
	return list
}

// ICalendar returns the tasks that have days as an iCalendar file (RFC 5545): events of
// whole days, one for each task, or several where it stops for more than three days, and
// one for each renewal. A result without days is a fault, since the format has no empty
// calendar.
func ICalendar(r Result, spec ICalendarSpec) ([]byte, error) {
	var f units.Faults
	if spec.Domain == "" || len(spec.Domain) > 200 || strings.ContainsFunc(spec.Domain, func(r rune) bool {
		return !strings.ContainsRune("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-.", r)
	}) {
		f.Add("domain", spec.Domain, "up to 200 letters, digits, points and hyphens, such as north-basin.example.org")
	}
	if spec.Stamp.IsZero() {
		f.Missing("stamp", "when the file is made")
	} else {
		stage.Date(spec.Stamp).Check(&f, "stamp")
	}
	rows := r.ByStart()
	if len(rows) == 0 || !rows[0].Placed {
		f.Missing("rows", "a task that has days")
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	w := &writer{spec: spec}
	w.line("BEGIN", "VCALENDAR")
	w.line("VERSION", "2.0")
	w.line("PRODID", "-//example.org//earthbasin closure calendar//EN")
	w.line("CALSCALE", "GREGORIAN")
	if spec.Name != "" {
		w.text("NAME", spec.Name)
	}
	for _, row := range rows {
		if !row.Placed {
			continue
		}
		for i, days := range row.stretches() {
			part := ""
			if i > 0 {
				part = strconv.Itoa(i + 1)
			}
			w.event(row.Task.Key, part, days, spec.Style.Phrase(row.Task.Name), row.Task.Crew, w.about(row))
		}
	}
	for _, a := range r.Renewals {
		says := units.Words("Ask again: %v", units.Word(a.Key))
		w.event(a.Key, a.On.String(), Dates{a.On, a.On}, spec.Style.Phrase(says), "",
			spec.Style.Phrase(units.Words("what there was ends after %v", a.Ends)))
	}
	w.line("END", "VCALENDAR")
	return w.Bytes(), nil
}

// writer writes content lines.
type writer struct {
	bytes.Buffer
	spec ICalendarSpec
}

// about is what stands in an event: what the task waited for, what has to be in place,
// and the cautions.
func (w *writer) about(row Row) string {
	s := w.spec.Style
	lines := []string{s.Phrase(waited(row.Waits))}
	if len(row.Pauses) > 0 {
		lines = append(lines, s.Phrase(units.Words("stopped %v", waited(row.Pauses))))
	}
	for _, h := range row.Task.Hold {
		lines = append(lines, s.Phrase(units.Words("Before it begins: %v", h)))
	}
	return strings.Join(append(lines, row.Task.Cautions...), "\n")
}

// event writes an event; part tells several of one key apart, which has no @ itself.
func (w *writer) event(key, part string, days Dates, summary, crew, about string) {
	const day, stamp = "20060102", "20060102T150405Z"
	w.line("BEGIN", "VEVENT")
	if part != "" {
		part += "."
	}
	w.text("UID", key+"@"+part+w.spec.Domain)
	w.line("DTSTAMP", w.spec.Stamp.UTC().Format(stamp))
	w.line("DTSTART;VALUE=DATE", time.Time(days.Start).Format(day))
	w.line("DTEND;VALUE=DATE", time.Time(days.End.Plus(1)).Format(day)) // the day after the last
	w.text("SUMMARY", summary)
	if about != "" {
		w.text("DESCRIPTION", about)
	}
	if crew != "" {
		w.text("CATEGORIES", crew)
	}
	w.line("TRANSP", "TRANSPARENT")
	w.line("END", "VEVENT")
}

// escapes are those of a TEXT value (RFC 5545, 3.3.11).
var escapes = strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`, "\r\n", `\n`, "\n", `\n`, "\r", `\n`)

// text writes a property with a TEXT value. Control characters, which it cannot have,
// become spaces.
func (w *writer) text(name, value string) {
	value = escapes.Replace(strings.ToValidUTF8(value, "\ufffd"))
	w.line(name, strings.Map(func(r rune) rune {
		if r < ' ' && r != '\t' || r == 0x7f {
			return ' '
		}
		return r
	}, value))
}

// line writes a content line, folded so that none is longer than 75 octets (RFC 5545,
// 3.1), and never within a character.
func (w *writer) line(name, value string) {
	rest := name + ":" + value
	for room := 75; len(rest) > room; room = 74 { // a space stands before what follows
		cut := room
		for !utf8.RuneStart(rest[cut]) {
			cut--
		}
		w.WriteString(rest[:cut] + "\r\n ")
		rest = rest[cut:]
	}
	w.WriteString(rest + "\r\n")
}
