package ledger

import (
	"slices"

	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units"
)

// Over is a limit that was passed.
type Over struct {
	Field    string `json:"field"`
	Material string `json:"material"` // of the record with which it was passed
	// Day is that of the record with which it was passed.
	Day stage.Date `json:"day"`
	// Limit is the name of the allowance, or "one day" for the most of a pass.
	Limit string             `json:"limit"`
	Kind  nutrient.LimitKind `json:"kind"`
	// Was and Most are what was put on by now and what was allowed, and By the excess, of
	// one type: a mass per area, or a rate of the material.
	Was  any `json:"-"`
	Most any `json:"-"`
	By   any `json:"-"`
	// Share is the excess as part of what was allowed; 0 where nothing was.
	Share float64 `json:"share"`
	// Part is the area that it stands on where that is less than the field.
	Part units.Area `json:"part,omitempty"`
	// Why says it in words, Do what usually follows.
	Why units.Phrase   `json:"why"`
	Do  []units.Phrase `json:"do"`
}

// slack is what rounding of areas and amounts may add.
const slack = 1e-9

// rooms sums what each allowance has taken, and names what went over.
func (a *account) rooms(r *Result) {
	for i := range a.spec.Fields {
		field := &a.spec.Fields[i]
		for _, w := range field.Allowances {
			a.room(r, field, w)
		}
		a.passes(r, field)
	}
	slices.SortStableFunc(r.Over, func(x, y Over) int { return y.Day.Until(x.Day) })
}

// has reports whether a day lies in the period of the allowance.
func (w Allowance) has(d stage.Date) bool { return !d.Before(w.From) && !w.To.Before(d) }

func (a *account) room(r *Result, field *Field, w Allowance) {
	room := Room{Field: field.Name, Allowance: w, Counted: w.has(a.spec.AsOf)}
	var mass units.Mass
	var passed *Line
	for i := range r.Lines {
		line := &r.Lines[i]
		if line.Record.Field != field.Name || !w.has(line.Record.Day) {
			continue
		}
		k := slices.IndexFunc(line.Loads, func(l Load) bool { return l.Kind == w.Kind })
		if k < 0 {
			note := units.Words("%v on %v counts nothing against %v: its content of %v is not known",
				units.Word(line.Record.Material), units.Word(field.Name), units.Word(w.Name), units.Word(string(w.Kind)))
			if !slices.ContainsFunc(r.Notes, func(n units.Phrase) bool { return n.String() == note.String() }) {
				r.Notes = append(r.Notes, note)
			}
			continue
		}
		put := line.Loads[k].Put
		mass += put.Times(line.Area)
		room.Used = over(mass, field.Area)
		if passed == nil && room.Used > w.Room*(1+slack) {
			passed = line
		}
		if passed == nil && line.Area < field.Area*(1-slack) && put > w.Room*(1+slack) {
			r.Over = append(r.Over, w.over(line, put, line.Area))
		}
	}
	room.Left = max(0, w.Room-room.Used)
	if passed != nil {
		r.Over = append(r.Over, w.over(passed, room.Used, 0))
	}
	r.Rooms = append(r.Rooms, room)
}

// over is an allowance that was passed, on a part of the field where one is given.
func (w Allowance) over(line *Line, was units.MassPerArea, part units.Area) Over {
	o := Over{Field: line.Record.Field, Material: line.Record.Material, Day: line.Record.Day, Limit: w.Name, Kind: w.Kind,
		Was: was, Most: w.Room, By: was - w.Room, Part: part, Do: means(w.Kind)}
	o.Share = share(was.SI(), w.Room.SI())
	o.Why = units.Words("%v has %v of %v and may take %v: %v too much, passed on %v", units.Word(o.Field), was, units.Word(w.Name), w.Room, was-w.Room, o.Day)
	if part > 0 {
		o.Why = o.Why.And(", on %v of it", part)
	}
	return o
}

// share is the excess as part of what was allowed, 0 where that is nothing.
func share(was, most float64) float64 {
	if most < 1e-12 {
		return 0
	}
	return (was - most) / most
}

// passes names days on which a field got more of a material than one day may put on.
func (a *account) passes(r *Result, field *Field) {
	type day struct {
		material string
		date     stage.Date
	}
	sums := map[day]float64{}
	named := map[day]bool{}
	for i := range r.Lines {
		line := &r.Lines[i]
		most, ok := field.Pass[line.Record.Material]
		if line.Record.Field != field.Name || !ok {
			continue
		}
		// Passes of one day on parts of a field could lie beside each other: each counts on
		// its own area, and together on the whole.
		d := day{line.Record.Material, line.Record.Day}
		sums[d] += line.Amount.SI()
		was := max(line.Rate.SI(), sums[d]/field.Area.SI())
		if was <= most.SI()*(1+slack) || named[d] {
			continue
		}
		named[d] = true
		got := rate(amount(line.Amount.Form(), was), 1)
		by := rate(amount(line.Amount.Form(), was-most.SI()), 1)
		o := Over{Field: field.Name, Material: d.material, Day: d.date, Limit: "one day", Kind: nutrient.LimitPass, Was: got, Most: most, By: by,
			Why: units.Words("%v got %v of %v on %v, where one day may put on %v: %v too much", units.Word(field.Name), got, units.Word(d.material), d.date, most, by),
			Do:  means(nutrient.LimitPass), Share: share(was, most.SI())}
		r.Over = append(r.Over, o)
	}
}

// means is what usually follows when a limit was passed (common practice, no source; the
// permit and the state's rules go before it).
func means(kind nutrient.LimitKind) []units.Phrase {
	list := []units.Phrase{units.Words("Stop on this field and write down what happened, why, and what was done")}
	add := func(text string) { list = append(list, units.Words(text)) }
	switch kind {
	case nutrient.LimitPass, nutrient.LimitWater:
		add("Walk the field, its low places, tile outlets and ditches at once and after the next rain; stop and hold back what runs off, and report a discharge as the permit says")
		add("Check the calibration of the machine before it goes on")
	case nutrient.LimitNitrogen:
		add("Ask the nutrient planner whether it has to be reported to the regulator; many permits set a number of days")
		add("No more N on this field in this crop year, from fertilizer either; plant a crop that takes it up, and credit what is left to the next by a soil nitrate test")
	case nutrient.LimitPhosphorus:
		add("Ask the nutrient planner whether it has to be reported to the regulator; many permits set a number of days")
		add("It comes off what the field may take in the years that follow: no more P before crops have removed it")
	case nutrient.LimitPotassium:
		add("Tell the owner of the animals to have the forage tested for potassium before it is fed")
		add("It counts for the next crop: no K fertilizer there")
	case nutrient.LimitMetal, nutrient.LimitSalt:
		add("Report it to the regulator: a load of all years does not go away")
		add("Take soil samples, and no more of this material on this field")
	default:
		add("Ask the nutrient planner whether it has to be reported to the regulator, and what the field may take from now on")
	}
	return list
}
