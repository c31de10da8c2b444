package nutrient

import (
	"cmp"
	"fmt"
	"slices"

	"example.org/earthbasin/units"
)

// result puts the plan p, the least it could cost and the prices of s in the terms of
// the spec.
func (m *allocation) result(s *solution, p plan, bound float64) AllocationResult {
	spec := m.spec
	r := AllocationResult{Rounds: s.rounds, FractionalProved: !s.stopped, Bound: bound}
	cost := make([]float64, len(spec.Materials))
	for k := range m.blocks {
		fd := &spec.Fields[k]
		for j, x := range p.placed[k] {
			if x == 0 {
				continue
			}
			w := &m.ways[k][j]
			a := m.amount(w.material, x)
			c := w.price * x
			most := m.blocks[k].flows[j].size
			r.Placements = append(r.Placements, Placement{
				Material: spec.Materials[w.material].Name, Field: fd.Name, Season: spec.Seasons[w.season],
				Amount: a, Loads: p.loads[k][j], Rate: Rate{measure{a.form, a.value / float64(fd.Area)}}, Cost: c,
				Highest: Rate{measure{a.form, most * m.unit[w.material] / float64(fd.Area)}}, Least: fd.Area * units.Area(min(1, x/most)),
			})
			r.Cost += c
			cost[w.material] += c
		}
		st, credit := m.fieldState(s, p, k)
		r.Fields = append(r.Fields, st)
		r.Credit += credit
	}
	order := map[string]int{}
	for t, name := range spec.Seasons {
		order[name] = t
	}
	// Fields and materials stand in their order already.
	slices.SortStableFunc(r.Placements, func(a, b Placement) int { return cmp.Compare(order[a.Season], order[b.Season]) })
	for i, a := range spec.Materials {
		u := m.unit[i]
		form := a.Stock.form
		left := m.amount(i, p.left[i])
		r.Materials = append(r.Materials, MaterialState{
			Name: a.Name, Stock: a.Stock, Left: left, LeftFractional: m.amount(i, s.left[i]), Placed: Amount{measure{form, a.Stock.value - left.value}}, Cost: cost[i],
			Marginal: UnitPrice{measure{form, s.worth[i] / u}}, Leave: UnitPrice{measure{form, m.leave[i] / u}},
		})
		if a.Leave.form != 0 {
			r.Leaving += m.leave[i] * p.left[i]
		}
	}
	r.Net = r.Cost + r.Leaving - r.Credit
	r.Fractional = s.value - m.imagined(s.left)
	r.Gap = max(0, r.Net-r.Bound)
	return r
}

// amount returns x units of material i.
func (m *allocation) amount(i int, x float64) Amount {
	return Amount{measure{m.spec.Materials[i].Stock.form, x * m.unit[i]}}
}

// fieldState returns how the limits of field k end, and the credit of the field.
func (m *allocation) fieldState(s *solution, p plan, k int) (FieldState, float64) {
	fd := &m.spec.Fields[k]
	area := float64(fd.Area)
	st := FieldState{Name: fd.Name, Limits: make([]FieldLimitState, len(fd.Limits))}
	for i, l := range fd.Limits {
		st.Limits[i] = FieldLimitState{Kind: l.Kind, Name: l.Kind.label(l.Name), Season: l.Season, Room: l.Room, Rate: l.Rate}
		if l.Of == "" {
			st.Limits[i].Used.form = l.Rate.form
			st.Limits[i].PerUnit.form = l.Rate.form
		}
	}
	var credit, acre, mile float64
	for i, r := range m.rows[k] {
		used := m.used(&r, p, k)
		y := s.row[k][i]
		acre += y / area
		switch {
		case r.limit < 0:
			n := &m.blocks[k].extra[i-(m.blocks[k].rows-len(m.blocks[k].extra))]
			credit += n.cost / r.room * min(used, r.room)
		case r.of < 0:
			st.Limits[r.limit].Used.value = used / area
			st.Limits[r.limit].PerUnit.value = y / r.room
		default:
			st.Limits[r.limit].Applied = units.MassPerArea(used / area)
			st.Limits[r.limit].Worth = units.Price[units.Mass](y / r.room)
		}
	}
	for _, n := range fd.Needs {
		r := row{of: m.of[n.Of], season: slices.Index(m.spec.Seasons, n.Season)}
		st.Needs = append(st.Needs, FieldNeedState{newNutrientState(n.Of, n.Need, units.MassPerArea(m.used(&r, p, k)/area)), n.Season})
	}
	for _, c := range m.shut[k] {
		gain := s.worth[c.material] - c.cost
		for i, a := range c.a {
			gain -= a * s.row[k][i]
		}
		// The best use of the first room there would be.
		l := &st.Limits[c.limit]
		if worth := max(0, gain/c.use); l.Used.form == 0 {
			l.Worth = max(l.Worth, units.Price[units.Mass](worth))
		} else {
			l.PerUnit.value = max(l.PerUnit.value, worth)
		}
	}
	for j, x := range s.amount[k] {
		mile += x * m.ways[k][j].mile
	}
	st.Acre = units.Price[units.Area](acre)
	st.Mile = units.PricePer(mile, units.Mile)
	return st, credit
}

// used returns how much of what r is about the plan p brings to field k.
func (m *allocation) used(r *row, p plan, k int) (sum float64) {
	for j, x := range p.placed[k] {
		sum += x * m.use(r, &m.ways[k][j])
	}
	return sum
}

// Working shows the placements, the stocks and what the plan costs.
func (r AllocationResult) Working() units.Working {
	var w units.Working
	for _, p := range r.Placements {
		how := p.Rate.String()
		switch {
		case p.Loads == 1:
			how += ", 1 load"
		case p.Loads > 1:
			how += fmt.Sprintf(", %d loads", p.Loads)
		}
		w = append(w, units.Line{Item: p.Season + ": " + p.Material + " to " + p.Field, Value: p.Amount.String(), How: how})
	}
	for _, m := range r.Materials {
		w = append(w, units.Line{Item: m.Name + " left", Value: m.Left.String(), How: "of " + m.Stock.String()})
	}
	w.Add("hauling and spreading", units.Money(r.Cost), "")
	w.Add("nutrients the fields need", units.Money(r.Credit), "credit")
	w.Add("leaving behind", units.Money(r.Leaving), "")
	if r.Shortage != nil { // the prices would be those of leaving material behind
		w.Add("net cost", units.Money(r.Net), "of what is placed")
		return append(w, r.Shortage.lines()...)
	}
	how := "proved to be the least"
	if !r.FractionalProved {
		how = "when the search was stopped; no plan is below " + units.Money(r.Bound)
	}
	if slices.ContainsFunc(r.Placements, func(p Placement) bool { return p.Loads > 0 }) {
		w.Add("net cost before loads were made whole", units.Money(r.Fractional), how)
		how = "no more than " + units.Money(r.Gap) + " above the least"
	}
	w.Add("net cost", units.Money(r.Net), how)
	for _, f := range r.Fields {
		f.worth(&w)
	}
	return w
}

// worth adds what one more of everything about the field would save, as far as it
// would save anything.
func (f FieldState) worth(w *units.Working) {
	add := func(what string, money float64) {
		if money > 0 {
			w.Add(what, units.Money(money), "saved")
		}
	}
	add("one more acre of "+f.Name, f.Acre.Of(units.Acre))
	add("one mile less to "+f.Name, f.Mile.Of(units.Mile))
	for _, l := range f.Limits {
		name := f.Name + ", " + l.Name
		if l.Season != "" {
			name += " in " + l.Season
		}
		add("one more lb of room on "+name, l.Worth.Of(units.Pound))
		if l.PerUnit.value > 0 {
			*w = append(*w, units.Line{Item: "a higher limit on " + name, Value: l.PerUnit.String(), How: "saved"})
		}
	}
}

// String is the table of the working.
func (r AllocationResult) String() string { return r.Working().String() }
