package calendar

import (
	"math/rand/v2"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
)

// property is a content line as a reader sees it.
type property struct{ name, params, value string }

// readICalendar reads a file by the rules of RFC 5545, apart from the writer: lines end
// with CRLF and have at most 75 octets (3.1); a line that begins with a space goes on
// with the one before; a backslash stands before what it escapes (3.3.11).
func readICalendar(t *testing.T, data []byte) (events []map[string]property) {
	text := string(data)
	require.True(t, utf8.ValidString(text))
	require.True(t, strings.HasSuffix(text, "\r\n"))
	require.Equal(t, strings.Count(text, "\n"), strings.Count(text, "\r\n"))
	require.Equal(t, strings.Count(text, "\r"), strings.Count(text, "\r\n"))
	var lines []string
	for _, line := range strings.Split(strings.TrimSuffix(text, "\r\n"), "\r\n") {
		require.LessOrEqual(t, len(line), 75)
		require.True(t, utf8.ValidString(line), "folded within a character")
		if rest, ok := strings.CutPrefix(line, " "); ok {
			lines[len(lines)-1] += rest
		} else {
			lines = append(lines, line)
		}
	}
	require.Equal(t, []string{"BEGIN:VCALENDAR", "VERSION:2.0"}, lines[:2])
	require.Equal(t, "END:VCALENDAR", lines[len(lines)-1])
	var event map[string]property
	for _, line := range lines[1 : len(lines)-1] {
		head, value, ok := strings.Cut(line, ":")
		require.True(t, ok, line)
		name, params, _ := strings.Cut(head, ";")
		switch {
		case line == "BEGIN:VEVENT":
			require.Nil(t, event)
			event = map[string]property{}
		case line == "END:VEVENT":
			for _, need := range []string{"UID", "DTSTAMP", "DTSTART", "DTEND", "SUMMARY"} { // 3.6.1
				require.Contains(t, event, need)
			}
			events, event = append(events, event), nil
		case event != nil:
			require.NotContains(t, event, name, "once in an event")
			event[name] = property{name, params, unescape(t, name, value)}
		}
	}
	require.Nil(t, event)
	require.NotEmpty(t, events)
	return events
}

func unescape(t *testing.T, name, value string) string {
	var b strings.Builder
	for i := 0; i < len(value); i++ {
		c := value[i]
		if c == '\\' {
			i++
			require.Less(t, i, len(value))
			require.Contains(t, `\;,nN`, string(value[i]))
			if c = value[i]; c == 'n' || c == 'N' {
				c = '\n'
			}
		} else if name == "SUMMARY" || name == "DESCRIPTION" || name == "UID" || name == "CATEGORIES" {
			require.NotContains(t, ",;", string(c), "%s: %s", name, value)
		}
		b.WriteByte(c)
	}
	return b.String()
}

var stamp = time.Date(2026, 5, 20, 6, 30, 0, 0, time.FixedZone("", -5*3600))

func TestICalendarIsReadBack(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	letters := []rune("abc ,;:\\\n\"üß水\t😀" + "xyz")
	read := 0
	for range 60 {
		s := random(r)
		names := map[string]string{}
		for i := range s.Tasks {
			var name strings.Builder
			for range 1 + r.IntN(120) {
				name.WriteRune(letters[r.IntN(len(letters))])
			}
			s.Tasks[i].Name = units.Words(strings.ReplaceAll(name.String(), "%", ""))
			names[s.Tasks[i].Key] = s.Tasks[i].Name.String()
		}
		result, err := Schedule(s)
		require.NoError(t, err)
		text, err := ICalendar(result, ICalendarSpec{Domain: "north-basin.example.org", Stamp: stamp, Name: "North; basin"})
		if rows := result.ByStart(); !rows[0].Placed {
			require.ErrorContains(t, err, "rows: missing")
			continue
		}
		require.NoError(t, err)
		seen := map[string]bool{}
		shown := map[string]bool{}
		events := 0
		for _, e := range readICalendar(t, text) {
			uid := e["UID"].value
			require.False(t, seen[uid], "a UID twice")
			seen[uid] = true
			task, of, _ := strings.Cut(uid, "@")
			part, ok := strings.CutSuffix(of, "north-basin.example.org")
			require.True(t, ok)
			require.Equal(t, "20260520T113000Z", e["DTSTAMP"].value)
			require.Equal(t, "VALUE=DATE", e["DTSTART"].params)
			if strings.Contains(part, "-") { // asked for again, on a day
				continue
			}
			require.Equal(t, names[task], e["SUMMARY"].value)
			start, err := time.Parse("20060102", e["DTSTART"].value)
			require.NoError(t, err)
			end, err := time.Parse("20060102", e["DTEND"].value)
			require.NoError(t, err)
			require.True(t, start.Before(end), "the end is the day after the last")
			for d := stage.Date(start); d.Before(stage.Date(end)); d = d.Plus(1) {
				shown[task+d.String()] = true
			}
			events++
		}
		for _, row := range result.Rows {
			for _, d := range row.Worked {
				require.Equal(t, row.Placed, shown[row.Task.Key+d.Day.String()])
			}
		}
		placed := 0
		for _, row := range result.Rows {
			if row.Placed {
				placed++
			}
		}
		require.GreaterOrEqual(t, events, placed)
		read++
	}
	require.Greater(t, read, 40)
}

// Work that winter stops is two events, one that a Sunday stops is one.
func TestICalendarPartsStretches(t *testing.T) {
	spread := named("spread", 40, "crew")
	spread.Fit = stage.SpreadDay
	s := plan("2026-11-28", spread)
	s.Crew.RestDays = []stage.Weekday{stage.Weekday(time.Sunday)}
	s.Weather = []FitDays{{Fit: stage.SpreadDay, ByMonth: []float64{0, 0, 0, 1, 1, 1, 1, 1, 1, 1, 1, 0}}}
	text, err := ICalendar(must(t, s), ICalendarSpec{Domain: "a.example.org", Stamp: stamp})
	require.NoError(t, err)
	events := readICalendar(t, text)
	require.Len(t, events, 2)
	require.Equal(t, "spread@a.example.org", events[0]["UID"].value)
	require.Equal(t, "spread@2.a.example.org", events[1]["UID"].value)
	require.Equal(t, []string{"20261128", "20261201", "20270401", "20270403"}, []string{events[0]["DTSTART"].value, events[0]["DTEND"].value, events[1]["DTSTART"].value, events[1]["DTEND"].value})
}

func TestICalendarRefusesInOneRound(t *testing.T) {
	_, err := ICalendar(Result{}, ICalendarSpec{Domain: "north basin"})
	require.EqualError(t, err, `domain: got "north basin", want up to 200 letters, digits, points and hyphens, such as north-basin.example.org
stamp: missing; want when the file is made
rows: missing; want a task that has days`)
}

// The examples of folding and of escapes that the standard prints.
func TestICalendarFoldsAndEscapes(t *testing.T) {
	w := &writer{}
	w.text("DESCRIPTION", "Project XYZ Final Review\nConference Room - 3B\nCome Prepared.")
	require.Equal(t, `DESCRIPTION:Project XYZ Final Review\nConference Room - 3B\nCome Prepared.`, strings.ReplaceAll(w.String(), "\r\n", ""), "RFC 5545, 3.3.11, from memory")
	for n := range 400 {
		w := &writer{}
		w.line("X", strings.Repeat("é", n))
		for i, line := range strings.Split(strings.TrimSuffix(w.String(), "\r\n"), "\r\n") {
			require.LessOrEqual(t, len(line), 75)
			require.Equal(t, i > 0, strings.HasPrefix(line, " "))
			require.NotEqual(t, " ", line)
		}
	}
}
