package report

import (
	"slices"
	"strings"
	"time"

	"example.org/earthbasin/examples/closure/calendar"
	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/examples/internal/chart"
	"example.org/earthbasin/units"
)

// placedRows are the rows of the calendar that have days, by their start.
func (p *pages) placedRows() []calendar.Row {
	if p.r.Calendar == nil {
		return nil
	}
	var list []calendar.Row
	for _, row := range p.r.Calendar.ByStart() {
		if row.Placed {
			list = append(list, row)
		}
	}
	return list
}

// when is the span of the work, or why there is none.
func (p *pages) when() string {
	rows := p.placedRows()
	if len(rows) == 0 {
		return "No first day is set."
	}
	end := lastDay(rows)
	for _, row := range rows { // what comes after the final inspection is looking after the site
		if row.Task.Kind == stage.FinalInspection {
			end = row.Likely.End
		}
	}
	s := p.say("%v to %v.", p.date(rows[0].Likely.Start), p.date(end))
	if last := lastDay(rows); end.Before(last) {
		s += p.say(" Inspections of the closed site go on to %v.", p.date(last))
	}
	for _, b := range p.r.Calendar.Broken {
		s += " CANNOT BE KEPT: " + p.Phrase(b.Why) + "; " + p.Phrase(b.Do) + "."
	}
	return s
}

func lastDay(rows []calendar.Row) stage.Date {
	var last stage.Date
	for _, row := range rows {
		if last.IsZero() || last.Before(row.Likely.End) {
			last = row.Likely.End
		}
	}
	return last
}

// calendar is the bars of the work order.
func (p *pages) calendar() (Page, bool) {
	var rows []calendar.Row
	for _, row := range p.placedRows() {
		if row.Task.Work > 0 { // moments have no bar
			rows = append(rows, row)
		}
	}
	if len(rows) < 2 { // one bar says no more than its days
		return Page{}, false
	}
	first, last := rows[0].Likely.Start, lastDay(rows)
	days := float64(first.Until(last)) + 1
	c := &chart.Chart{ID: "calendar", Title: "When", XMax: days, XTicks: months(first, last)}
	t := &Table{Head: []string{"Step", "First day", "Last day"}, Left: 3}
	for i, row := range rows {
		t.Rows = append(t.Rows, []string{title(p.Phrase(row.Task.Name)), short(row.Likely.Start), short(row.Likely.End)})
		c.YNames = append(c.YNames, title(p.Phrase(row.Task.Name)))
		from := float64(first.Until(row.Likely.Start))
		style := chart.Light
		if row.Critical {
			style = chart.Solid
		}
		c.Span(style, i, from, max(float64(first.Until(row.Likely.End))+1, from+days/200))
	}
	c.Key(chart.Solid, "a day lost here is a day lost at the end")
	c.Key(chart.Light, "may slip, by the days that the work order has")
	c.Desc = p.say("Bars from the first to the last day of each step, from %v to %v. The work order has the days and what each step waits for.", p.date(first), p.date(last))
	return Page{Key: "calendar", Name: "When", Blocks: []Block{{Caption: c.Title, Picture: c, Shows: t}}}, true
}

// months are the ticks of a calendar, at most some 14.
func months(first, last stage.Date) []chart.Tick {
	t := time.Time(first)
	step := 1 + first.Until(last)/30/14
	var list []chart.Tick
	from := time.Date(t.Year(), t.Month(), 1, 0, 0, 0, 0, time.UTC)
	if next := from.AddDate(0, 1, 0); t.Day() > 1 && !time.Time(last).Before(next) {
		from = next
	}
	for at := from; !time.Time(last).Before(at) && len(list) < 40; at = at.AddDate(0, step, 0) {
		text := at.Format("Jan")
		if at.Month() == time.January || len(list) == 0 {
			text = at.Format("Jan 2006")
		}
		list = append(list, chart.Tick{At: max(0, at.Sub(t).Hours()/24), Text: text})
	}
	return list
}

// workOrder is the steps with their days and what each waits for.
func (p *pages) workOrder() (Page, bool) {
	c := p.r.Calendar
	if c == nil {
		return Page{}, false
	}
	head, left := []string{"Start", "Step", "Only after", "Danger", "End", "May slip, days"}, 5
	if p.r.Planned != nil {
		head, left = []string{"Start", "Step", "So far", "Only after", "Danger", "End", "Was planned", "May slip, days"}, 7
	}
	tables := map[stage.Phase]*Table{}
	for _, phase := range stage.Phases() {
		tables[phase] = &Table{Head: head, Left: left}
	}
	var dangers []string // the numbers of their sheet
	rows := c.ByStart()
	phases := phasesOf(rows)
	for i, row := range rows {
		from, to := "no day", ""
		if row.Placed {
			from, to = short(row.Likely.Start), short(row.Likely.End)
		}
		if to == from {
			to = ""
		}
		cells := []string{from, title(p.Phrase(row.Task.Name)), strings.Join(p.phrases(row.Task.Hold), "; "), p.danger(row.Task.Cautions, &dangers), to, p.Text(row.Float)}
		if p.r.Planned != nil {
			cells = slices.Insert(p.asItGoes(cells, row), 2, p.state(row.State))
		}
		t := tables[phases[i]]
		t.Rows = append(t.Rows, cells)
	}
	page := Page{Key: "order", Name: "Work order", Alone: true,
		Intro: []string{"Weather moves everything after it. The fence, its gate and its signs stay until the basin is filled; the stand is judged after its first season."}}
	if open := p.r.Open; len(open) > 0 && open[0].Stops { // those that stop the work come first
		page.Intro = append([]string{"NOTHING STARTS before the open points that stop the work are answered."}, page.Intro...)
	}
	var notes []string
	for _, b := range c.Broken {
		notes = append(notes, title(p.Phrase(b.Why))+": "+p.Phrase(b.Do)+".")
	}
	page.Blocks = byPhase(tables)
	if n := len(page.Blocks); n > 0 {
		for _, note := range p.phrases(c.Notes) {
			notes = append(notes, sentence(note))
		}
		page.Blocks[n-1].Notes = notes
	}
	return page, len(page.Blocks) > 0
}

// phaseNames head what belongs to a phase.
var phaseNames = map[stage.Phase]string{
	stage.Before: "Before the basin is touched", stage.While: "While the basin is emptied and closed", stage.After: "After the basin is closed",
}

// byPhase is the tables that have rows, in the order of the phases.
func byPhase(tables map[stage.Phase]*Table) []Block {
	var list []Block
	for _, phase := range stage.Phases() {
		if t := tables[phase]; len(t.Rows) > 0 {
			list = append(list, Block{Caption: phaseNames[phase], Table: t.filled()})
		}
	}
	return list
}

// filled is the table without the columns in which no row has anything.
func (t *Table) filled() *Table {
	out := &Table{Rows: make([][]string, len(t.Rows))}
	for j, head := range t.Head {
		if !slices.ContainsFunc(t.Rows, func(row []string) bool { return row[j] != "" }) {
			continue
		}
		out.Head = append(out.Head, head)
		if j < t.Left {
			out.Left++
		}
		for i, row := range t.Rows {
			out.Rows[i] = append(out.Rows[i], row[j])
		}
	}
	return out
}

// onTheBasin are the kinds of work with which the basin is touched.
var onTheBasin = []stage.Kind{stage.DrawOff, stage.Agitation, stage.SpreadLiquid, stage.SpreadSlurry, stage.SpreadSolids, stage.DigSludge, stage.PipeWork,
	stage.Inspection, stage.DigLiner, stage.EarthMoving, stage.Refilling}

// phasesOf are the phases of tasks that stand in the order of their days: the work begins
// with the first at the basin itself, and is over with the final inspection. What ends when
// it begins comes before it.
func phasesOf(rows []calendar.Row) []stage.Phase {
	phases := make([]stage.Phase, len(rows))
	first := slices.IndexFunc(rows, func(r calendar.Row) bool { return slices.Contains(onTheBasin, r.Task.Kind) })
	last := slices.IndexFunc(rows, func(r calendar.Row) bool { return r.Task.Kind == stage.FinalInspection })
	for i := range phases {
		switch {
		case first < 0 && last < 0, i < first, first >= 0 && i > first && !rows[first].Likely.Start.Before(rows[i].Likely.End) && !slices.Contains(onTheBasin, rows[i].Task.Kind):
			phases[i] = stage.Before
		case last >= 0 && i > last:
			phases[i] = stage.After
		}
	}
	return phases
}

// permits is who has to be asked, told or waited for, and by when.
func (p *pages) permits() (Page, bool) {
	c := p.r.Calendar
	if c == nil {
		return Page{}, false
	}
	t := &Table{Head: []string{"Permit, notice, sample or word", "By", "Who", "Confirmed by", "Number or name", "On"}, Left: 6}
	for _, row := range c.ByStart() {
		if row.Task.Who == "" {
			continue
		}
		by := "no day"
		if row.Placed {
			by = short(row.Likely.End)
		}
		t.Rows = append(t.Rows, []string{title(p.Phrase(row.Task.Name)), by, string(row.Task.Who), Blank, Blank, Blank})
	}
	return Page{Key: "permits", Name: "Permits and notices", Alone: true,
		Intro:  []string{"An answer counts when it is in writing: its number or the name of who gave it, and its day, go into the boxes."},
		Blocks: []Block{{Caption: "Asked for, told and answered", Table: t, Sign: []string{"Producer"}}}}, len(t.Rows) > 0
}

// dangers is what the numbers in the work order stand for.
func (p *pages) dangers() (Page, bool) {
	if p.r.Calendar == nil {
		return Page{}, false
	}
	var list []string
	for _, row := range p.r.Calendar.ByStart() {
		p.danger(row.Task.Cautions, &list)
	}
	t := &Table{Head: []string{"Danger", "What it is and what to do"}, Left: 2}
	for i, d := range list {
		t.Rows = append(t.Rows, []string{p.say("%v", i+1), d})
	}
	return Page{Key: "dangers", Name: "Dangers of the work order", Alone: true, Blocks: []Block{{Caption: "Dangers by their numbers", Table: t}}}, len(list) > 0
}

// asItGoes puts the day that was planned at first into a row of the work order; what is done
// has no day to slip, and needs nothing more.
func (p *pages) asItGoes(cells []string, row calendar.Row) []string {
	was := ""
	if planned, ok := p.r.Planned.Row(row.Task.Key); ok && planned.Placed {
		was = short(planned.Likely.Start)
	}
	switch row.State {
	case calendar.DoneBy:
		cells[0], cells[4] = "", short(row.Likely.End)
		fallthrough
	case calendar.Done:
		cells[2], cells[3], cells[5] = "", "", ""
	}
	return slices.Insert(cells, 5, was)
}

// state says how far a step is.
func (p *pages) state(s calendar.State) string {
	if s == calendar.DoneBy {
		return "due by then; not written down"
	}
	return p.Phrase(units.Words(string(s)))
}

// danger names the cautions of a step by what stands before their colon and by their
// numbers in the list.
func (p *pages) danger(cautions []string, list *[]string) string {
	var names []string
	for _, c := range cautions {
		i := slices.Index(*list, c)
		if i < 0 {
			i = len(*list)
			*list = append(*list, c)
		}
		if name, _, ok := strings.Cut(c, ":"); ok && len(name) <= longestDanger {
			names = append(names, p.say("%v (%v)", name, i+1))
		} else {
			names = append(names, p.say("%v", i+1))
		}
	}
	return strings.Join(names, ", ")
}

// longestDanger is how long the name of a danger may be.
const longestDanger = 24

// ICalendar is the work order for a calendar program (RFC 5545). The stamp is that of
// the plan's own date.
func ICalendar(of *plan.Plan, style units.Style) ([]byte, error) {
	var f units.Faults
	if of.Scenario.Date.IsZero() {
		f.Missing("date", "the day of the plan, with which the file is marked")
	}
	if of.Results.Calendar == nil {
		f.Missing("start", "the first day of work on the site, without which no task has days")
	}
	if f.Err() != nil {
		return nil, f.Err()
	}
	return calendar.ICalendar(*of.Results.Calendar, calendar.ICalendarSpec{Domain: "closure.example.org", Name: of.Scenario.Title, Stamp: time.Time(of.Scenario.Date), Style: style})
}
