package ledger

import (
	"slices"
	"time"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// Table is the ledger as a regulator asks for it: a head, and a row for each record with
// what it put on and the running totals of the field. A [units.Style] shows it.
func (r Result) Table() [][]any {
	var kinds []nutrient.LimitKind
	for _, line := range r.Lines {
		for _, l := range line.Loads {
			if !slices.Contains(kinds, l.Kind) {
				kinds = append(kinds, l.Kind)
			}
		}
	}
	slices.Sort(kinds)
	head := []any{units.Word("day"), units.Word("field"), units.Word("material"), units.Word("machine"), units.Word("operator"), units.Word("amount"), units.Word("area"), units.Word("rate")}
	for _, k := range kinds {
		head = append(head, units.Word(string(k)), units.Words("%v, field so far", units.Word(string(k))))
	}
	rows := [][]any{append(head, units.Word("material, field so far"), units.Word("weather"), units.Word("note"))}
	for _, line := range r.Lines {
		rec := line.Record
		row := []any{time.Time(rec.Day), units.Word(rec.Field), units.Word(rec.Material), units.Word(rec.Machine), units.Word(rec.Operator), line.Amount, line.Area, line.Rate}
		for _, k := range kinds {
			put, total := any(units.Word("not known")), any(units.Word("not known"))
			for _, l := range line.Loads {
				if l.Kind == k {
					put, total = l.Put, l.Total
				}
			}
			row = append(row, put, total)
		}
		note := rec.Note
		if line.Estimated {
			note = "amount from the rate; " + note
		}
		rows = append(rows, append(row, line.Total, units.Word(rec.Weather), units.Word(note)))
	}
	return rows
}

// Working is the account as lines: what went over first, then stock, room, planned
// beside done, and notes.
func (r Result) Working() units.Working {
	var w units.Working
	w.Add("Account of", r.AsOf, "%v", units.Count{N: len(r.Lines), Of: "records"})
	for _, o := range r.Over {
		w.Put(units.Words("Over: %v", units.Word(o.Field)), o.By, o.Why)
		for _, d := range o.Do {
			w.Put(units.Words("Do"), nil, d)
		}
	}
	for _, s := range r.Stocks {
		w.Put(units.Words("Left of %v", units.Word(s.Material)), s.Left, units.Words("%v on %v less %v put on; %v of it still has a place", s.Was.Amount, s.Was.Day, s.Put, s.Placed))
	}
	for _, m := range r.Rooms {
		if m.Counted {
			w.Put(units.Words("Room on %v", units.Word(m.Field)), m.Left, units.Words("%v: %v less %v used", units.Word(m.Allowance.Name), m.Allowance.Room, m.Used))
		}
	}
	for _, b := range r.Beside {
		w.Put(units.Words("Haul to %v", units.Word(b.Field)), b.Haul, units.Words("%v: %v planned, %v done", units.Word(b.Material), b.Planned, b.Done))
	}
	for _, n := range r.Notes {
		w.Put(units.Words("Note"), nil, n)
	}
	return w
}

// String returns the working as a table.
func (r Result) String() string { return r.Working().String() }
