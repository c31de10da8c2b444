package ledger

import (
	"math"
	"slices"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// beside sets planned beside done, the plan's fields first and then others that got
// something.
func (a *account) beside(r *Result) {
	row := func(field, material string) *Beside {
		k := slices.IndexFunc(r.Beside, func(b Beside) bool { return b.Field == field && b.Material == material })
		if k < 0 {
			none := amount(a.materials[material].Form, 0)
			r.Beside = append(r.Beside, Beside{Field: field, Material: material, Planned: none, Done: none})
			k = len(r.Beside) - 1
		}
		return &r.Beside[k]
	}
	for _, p := range a.spec.Planned {
		b := row(p.Field, p.Material)
		b.Planned = plus(b.Planned, p.Amount)
	}
	for _, line := range r.Lines {
		b := row(line.Record.Field, line.Record.Material)
		b.Done = plus(b.Done, line.Amount)
	}
	for i := range r.Beside {
		b := &r.Beside[i]
		b.Left = less(b.Planned, b.Done)
		b.Haul = b.Left
		if takes, ok := a.takes(r, b.Field, b.Material); ok {
			b.Takes = takes
			b.Haul = amount(takes.Form(), min(takes.SI(), b.Left.SI()))
		}
		a.commit(b)
	}
}

// constituent is one of a field.
type constituent struct {
	field string
	kind  nutrient.LimitKind
}

// commit keeps the room that what is still to be hauled to a field will use.
func (a *account) commit(b *Beside) {
	m := a.materials[b.Material]
	c, _, err := a.holds(m, b.Field, a.spec.AsOf)
	if err != nil {
		return
	}
	for kind, holds := range c {
		a.hauled[constituent{b.Field, kind}] += units.Mass(holds.SI() * b.Haul.SI())
	}
}

// takes is how much of a material the allowances of a field that count on the day still
// let on it, beside what is planned to be hauled there; ok is false where none counts what
// the material holds.
func (a *account) takes(r *Result, field, material string) (most nutrient.Amount, ok bool) {
	m := a.materials[material]
	c, _, err := a.holds(m, field, a.spec.AsOf)
	if err != nil {
		return most, false
	}
	least := math.Inf(1)
	for _, room := range r.Rooms {
		kind := room.Allowance.Kind
		holds, counts := c[kind]
		if room.Field != field || !room.Counted || !counts || holds.SI() <= 0 {
			continue
		}
		left := room.Left.Times(a.fields[field].Area) - a.hauled[constituent{field, kind}]
		least = min(least, max(0, left.SI())/holds.SI())
	}
	if least >= 1e15 {
		return most, false
	}
	return amount(m.Form, least), true
}

// stocks is what is left of each material.
func (a *account) stocks(r *Result) {
	for _, m := range a.spec.Materials {
		left := Left{Material: m.Name, Was: a.stock(m)}
		put, placed := 0.0, 0.0
		for _, line := range r.Lines {
			if line.Record.Material == m.Name && !line.Record.Day.Before(left.Was.Day) {
				put += line.Amount.SI()
			}
		}
		for _, b := range r.Beside {
			if b.Material == m.Name {
				placed += b.Haul.SI()
			}
		}
		was := left.Was.Amount.SI()
		left.Put, left.Left, left.Short = amount(m.Form, put), amount(m.Form, max(0, was-put)), amount(m.Form, max(0, put-was))
		left.Placed = amount(m.Form, min(placed, left.Left.SI()))
		left.Unplaced = amount(m.Form, left.Left.SI()-left.Placed.SI())
		r.Stocks = append(r.Stocks, left)
	}
}

// stock is the stock that counts on the day: the last one by then, and of two of one day
// the later in the list; the first of all where each is after it.
func (a *account) stock(m Material) Stock {
	list := slices.Clone(m.Stock)
	slices.SortStableFunc(list, func(x, y Stock) int { return y.Day.Until(x.Day) })
	s := list[0]
	for _, next := range list {
		if !a.spec.AsOf.Before(next.Day) {
			s = next
		}
	}
	return s
}

func plus(a, b nutrient.Amount) nutrient.Amount { return amount(a.Form(), a.SI()+b.SI()) }

func less(a, b nutrient.Amount) nutrient.Amount { return amount(a.Form(), max(0, a.SI()-b.SI())) }

// rateDoubt is how far the rate of the machine may lie from what went on before a note
// says so.
const rateDoubt = 0.10

// notes says what looks wrong in the records and what has no place.
func (a *account) notes(r *Result) {
	type once struct {
		day, field, material, machine, amount string
	}
	seen := map[once]bool{}
	for _, line := range r.Lines {
		rec := line.Record
		k := once{rec.Day.String(), rec.Field, rec.Material, rec.Machine, line.Amount.String()}
		if seen[k] {
			r.Notes = append(r.Notes, units.Words("%v of %v on %v on %v stands twice: is it one job entered twice?", line.Amount, units.Word(rec.Material), units.Word(rec.Field), rec.Day))
		}
		seen[k] = true
		a.uncounted(r, line)
		if !rec.Rate.IsZero() && rec.Rate.Form() == line.Rate.Form() && math.Abs(rec.Rate.SI()-line.Rate.SI()) > rateDoubt*line.Rate.SI() {
			r.Notes = append(r.Notes, units.Words("the record of %v on %v says %v, and what went on is %v: check the calibration, the area or the loads", units.Word(rec.Field), rec.Day, rec.Rate, line.Rate))
		}
	}
	for _, s := range r.Stocks {
		if s.Short.SI() > 0 {
			r.Notes = append(r.Notes, units.Words("%v more of %v was put on than the stock of %v: measure the basin again, or look at what ran in", s.Short, units.Word(s.Material), s.Was.Day))
		}
		if s.Unplaced.SI() > slack*s.Was.Amount.SI() {
			r.Notes = append(r.Notes, units.Words("%v of %v has no place that is planned and may take it", s.Unplaced, units.Word(s.Material)))
			for _, f := range a.spec.Fields {
				if takes, ok := a.takes(r, f.Name, s.Material); ok && takes.SI() > slack*s.Was.Amount.SI() {
					r.Notes = append(r.Notes, units.Words("%v could take %v of %v more", units.Word(f.Name), takes, units.Word(s.Material)))
				}
			}
		}
	}
}

// uncounted says that a record lies outside the days of every allowance for something it
// carries, though its field has one: it counts against none.
func (a *account) uncounted(r *Result, line Line) {
	field := a.fields[line.Record.Field]
	for _, l := range line.Loads {
		of, counts := false, false
		for _, w := range field.Allowances {
			if w.Kind == l.Kind {
				of, counts = true, counts || w.has(line.Record.Day)
			}
		}
		if of && !counts {
			r.Notes = append(r.Notes, units.Words("%v of %v on %v on %v counts against no allowance: the day lies in the period of none", l.Put, units.Word(string(l.Kind)), units.Word(field.Name), line.Record.Day))
		}
	}
}
