package allocation

import (
	"cmp"
	"slices"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/nutrient/internal/lp"
	"example.org/earthbasin/units"
)

// Placement is one material on one field in one season.
type Placement struct {
	Material string          `json:"material"` // by name
	Field    string          `json:"field"`    // by name
	Season   string          `json:"season"`   // by name
	Amount   nutrient.Amount `json:"amount"`   // above 0
	Loads    int             `json:"loads"`    // 0 when pumped; the last one may be short
	Rate     nutrient.Rate   `json:"rate"`     // over the whole field
	Highest  nutrient.Rate   `json:"highest"`  // on the least area
	// Least is the least area on which it may be put: above 0, up to the whole field. The
	// limits hold on every piece of the field when each placement is spread evenly on its
	// least area or more, on top of any others but those that it has to be apart from.
	Least units.Area `json:"least"`
	// Apart is the placements of the field with which it may share no ground, unless one
	// of the two is over the whole field. All their least areas and its own have room side
	// by side.
	Apart []Neighbor `json:"apart,omitzero"`
	Cost  float64    `json:"cost"` // of hauling and spreading, in the currency of the prices
}

// MaterialState is where a stock ends.
type MaterialState struct {
	Name           string             `json:"name"`           // of the material
	Stock          nutrient.Amount    `json:"stock"`          // of the spec
	Placed         nutrient.Amount    `json:"placed"`         // stock less what is left
	Left           nutrient.Amount    `json:"left"`           // 0 or more
	LeftFractional nutrient.Amount    `json:"leftFractional"` // before loads were made whole
	Cost           float64            `json:"cost"`           // of hauling and spreading what was placed, in the currency of the prices
	Marginal       nutrient.UnitPrice `json:"marginal"`       // what one more unit of the stock would cost; below 0 when it would earn
	Leave          nutrient.UnitPrice `json:"leavePrice"`     // cost of leaving a unit that the plan was made with
}

// LimitState is where a limit of a field ends.
type LimitState struct {
	Kind    nutrient.LimitKind      `json:"kind"`             // the reason
	Name    string                  `json:"name"`             // of the limit, else its kind
	Season  string                  `json:"season,omitzero"`  // or year; empty: all seasons together
	Room    units.MassPerArea       `json:"room"`             // of the constituent; 0 for a limit on material
	Applied units.MassPerArea       `json:"applied"`          // of the constituent
	Rate    nutrient.Rate           `json:"rate,omitzero"`    // the limit on material
	Used    nutrient.Rate           `json:"used,omitzero"`    // of the limit on material
	Worth   units.Price[units.Mass] `json:"worth"`            // what more room would save, per mass of the constituent
	PerUnit nutrient.UnitPrice      `json:"perUnit,omitzero"` // what a higher limit on material would save
}

// NeedState is what a field gets of a nutrient that it needs.
type NeedState struct {
	nutrient.NutrientState
	Season string `json:"season,omitzero"` // or year; empty: all seasons together
}

// FieldState is where a field ends.
type FieldState struct {
	Name   string                    `json:"name"`           // of the field
	Least  units.Area                `json:"least"`          // that does for all placements; 0: none
	Limits []LimitState              `json:"limits"`         // in the order of the spec
	Needs  []NeedState               `json:"needs,omitzero"` // in the order of the spec
	Acre   units.Price[units.Area]   `json:"acre"`           // what more area of this field would save
	Mile   units.Price[units.Length] `json:"mile"`           // what a shorter way to it would save
}

// AllocateResult is the plan and what bounds it. Money is in the currency of the
// prices.
//
// The prices, Marginal, Worth, Acre and Mile, are those of the plan before loads
// were made whole: what one small step more would change. With something left
// behind they contain the cost of leaving it.
type AllocateResult struct {
	Placements []Placement     `json:"placements"` // by season, field and material
	Materials  []MaterialState `json:"materials"`  // in the order of the spec
	Fields     []FieldState    `json:"fields"`     // in the order of the spec
	Cost       float64         `json:"cost"`       // of hauling and spreading
	Credit     float64         `json:"credit"`     // value of the nutrients that the fields need
	Leaving    float64         `json:"leaving"`    // cost of what is left, at the prices that the spec gives
	Net        float64         `json:"net"`        // cost and leaving less credit
	// Fractional is the net cost of the plan before loads were made whole, the optimum
	// of the linear program when FractionalProved. Like Net it counts nothing for what
	// is left of a material without a price for that.
	Fractional       float64 `json:"fractional"`
	FractionalProved bool    `json:"fractionalProved"` // whether the search came to its end; Net is not proved but by its Gap
	// Bound is what no plan can cost less than, in loads or not, that leaves the
	// same of the materials without a price for leaving. It is Fractional when
	// that is proved and the loads leave no more than it.
	Bound    float64   `json:"bound"`
	Gap      float64   `json:"gap"`               // net less bound, 0 or more: how far at most the plan is above the least
	Rounds   int       `json:"rounds"`            // of the search, 1 to 10,001
	Shortage *Shortage `json:"shortage,omitzero"` // what is missing when the fields cannot take it all
}

// result puts the plan p, the least it could cost and the prices of s in the terms of
// the spec.
func (m *model) result(s *lp.Solution, p plan, bound float64) AllocateResult {
	spec := m.spec
	r := AllocateResult{Placements: []Placement{}, Rounds: s.Rounds, FractionalProved: !s.Stopped, Bound: bound}
	r.Materials, r.Fields = make([]MaterialState, 0, len(spec.Materials)), make([]FieldState, 0, len(spec.Fields))
	cost := make([]float64, len(spec.Materials))
	for k := range m.Blocks {
		fd := &spec.Fields[k]
		grounds, all := m.grounds(&p, k)
		for n := range grounds {
			g := &grounds[n]
			x, w := p.placed[k][g.j], &m.ways[k][g.j]
			a := m.amount(w.material, x)
			c := w.price * x
			rate := a.SI() / float64(fd.Area)
			r.Placements = append(r.Placements, Placement{
				Material: spec.Materials[w.material].Name, Field: fd.Name, Season: spec.Seasons[w.season],
				Amount: a, Loads: p.loads[k][g.j], Rate: rateOf(a.Form(), rate), Cost: c,
				Highest: rateOf(a.Form(), rate/g.part), Least: fd.Area * units.Area(g.part), Apart: m.neighbors(k, grounds, g),
			})
			r.Cost += c
			cost[w.material] += c
		}
		st, credit := m.fieldState(s, p, k)
		st.Least = fd.Area * units.Area(all)
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
		form := a.Stock.Form()
		left := m.amount(i, p.left[i])
		r.Materials = append(r.Materials, MaterialState{
			Name: a.Name, Stock: a.Stock, Left: left, LeftFractional: m.amount(i, s.Left[i]), Placed: amountOf(form, a.Stock.SI()-left.SI()), Cost: cost[i],
			Marginal: priceOf(form, s.Worth[i]/u), Leave: priceOf(form, m.Leave[i]/u),
		})
		if !a.Leave.IsZero() {
			r.Leaving += m.Leave[i] * p.left[i]
		}
	}
	r.Net = r.Cost + r.Leaving - r.Credit
	r.Fractional = s.Value - m.imagined(s.Left)
	r.Gap = max(0, r.Net-r.Bound)
	return r
}

// amount returns x units of material i.
func (m *model) amount(i int, x float64) nutrient.Amount {
	return amountOf(m.spec.Materials[i].Stock.Form(), x*m.unit[i])
}

// fieldState returns how the limits of field k end, and the credit of the field.
func (m *model) fieldState(s *lp.Solution, p plan, k int) (FieldState, float64) {
	fd := &m.spec.Fields[k]
	area := float64(fd.Area)
	st := FieldState{Name: fd.Name}
	if m.brief {
		return st, m.credit(p, k)
	}
	st.Limits = make([]LimitState, len(fd.Limits))
	for i, l := range fd.Limits {
		st.Limits[i] = LimitState{Kind: l.Kind, Name: l.label(), Season: l.Season, Room: l.Room, Rate: l.Rate}
		if l.Of == "" {
			st.Limits[i].Used, st.Limits[i].PerUnit = rateOf(l.Rate.Form(), 0), priceOf(l.Rate.Form(), 0)
		}
	}
	var acre, mile float64
	for i, r := range m.rows[k] {
		used := m.used(&r, p, k)
		y := s.Row[k][i]
		acre += y / area
		switch {
		case r.limit < 0: // in the credit
		case r.of < 0:
			st.Limits[r.limit].Used, st.Limits[r.limit].PerUnit = rateOf(r.form, used/area), priceOf(r.form, y/r.room)
		default:
			st.Limits[r.limit].Applied = units.MassPerArea(used / area)
			st.Limits[r.limit].Worth = units.Price[units.Mass](y / r.room)
		}
	}
	for _, n := range fd.Needs {
		r := row{of: m.of[n.Of], in: m.periods.of(n.Season)}
		applied := units.MassPerArea(m.used(&r, p, k) / area)
		st.Needs = append(st.Needs, NeedState{nutrient.NutrientState{
			Name: n.Of, Need: n.Need, Applied: applied, Missing: max(0, n.Need-applied), Excess: max(0, applied-n.Need)}, n.Season})
	}
	for _, c := range m.shut[k] {
		gain := s.Worth[c.Material] - c.Cost
		for i, a := range c.Uses {
			gain -= a * s.Row[k][i]
		}
		// The best use of the first room there would be.
		l := &st.Limits[c.limit]
		if worth := max(0, gain/c.use); l.Used.IsZero() {
			l.Worth = max(l.Worth, units.Price[units.Mass](worth))
		} else {
			l.PerUnit = priceOf(l.PerUnit.Form(), max(l.PerUnit.SI(), worth))
		}
	}
	for j, x := range s.Amount[k] {
		mile += x * m.ways[k][j].mile
	}
	st.Acre = units.Price[units.Area](acre)
	st.Mile = units.PricePer(mile, units.Mile)
	return st, m.credit(p, k)
}

// credit returns what the nutrients that field k needs are worth.
func (m *model) credit(p plan, k int) (sum float64) {
	b := &m.Blocks[k]
	for _, e := range b.Extra {
		r := &m.rows[k][e.Row]
		sum += e.Cost / r.room * min(m.used(r, p, k), r.room)
	}
	return sum
}

// used returns how much of what r is about the plan p brings to field k.
func (m *model) used(r *row, p plan, k int) (sum float64) {
	for j, x := range p.placed[k] {
		sum += x * m.use(r, &m.ways[k][j])
	}
	return sum
}

// Working shows the placements, the stocks and what the plan costs.
func (r AllocateResult) Working() units.Working {
	var w units.Working
	for _, p := range r.Placements {
		how := units.Words("%v", p.Rate)
		switch {
		case p.Loads == 1:
			how = how.And(", 1 load")
		case p.Loads > 1:
			how = how.And(", %v", units.Count{N: p.Loads, Of: "loads"})
		}
		how = how.And(", on %v or more", p.Least)
		for i, x := range p.Apart {
			link := " and %s of %s"
			if i == 0 {
				link = ", on separate ground from %s of %s"
			}
			how = how.And(link, units.Word(x.Material), units.Word(x.Season))
		}
		w.Put(units.Words("%s: %s to %s", units.Word(p.Season), units.Word(p.Material), units.Word(p.Field)), p.Amount, how)
	}
	for _, m := range r.Materials {
		w.Put(units.Words("%s left", units.Word(m.Name)), m.Left, units.Words("of %v", m.Stock))
	}
	w.Add("hauling and spreading", units.Money(r.Cost), "")
	w.Add("nutrients the fields need", units.Money(r.Credit), "credit")
	w.Add("leaving behind", units.Money(r.Leaving), "")
	if r.Shortage != nil { // the prices would be those of leaving material behind
		w.Add("net cost", units.Money(r.Net), "of what is placed")
		return append(w, r.Shortage.lines()...)
	}
	how := units.Words("proved to be the least")
	if !r.FractionalProved {
		how = units.Words("when the search was stopped; no plan is below %v", units.Money(r.Bound))
	}
	if slices.ContainsFunc(r.Placements, func(p Placement) bool { return p.Loads > 0 }) {
		w.Put(units.Words("net cost before loads were made whole"), units.Money(r.Fractional), how)
		how = units.Words("no more than %v above the least", units.Money(r.Gap))
	}
	w.Put(units.Words("net cost"), units.Money(r.Net), how)
	for _, f := range r.Fields {
		f.worth(&w)
	}
	return w
}

// worth adds what one more of everything about the field would save, as far as it
// would save anything.
func (f FieldState) worth(w *units.Working) {
	field := units.Word(f.Name)
	if f.Acre > 0 {
		w.Put(units.Words("more area of %s", field), f.Acre, units.Words("saved"))
	}
	if f.Mile > 0 {
		w.Put(units.Words("%v less to %s", units.Mile, field), units.Money(f.Mile.Of(units.Mile)), units.Words("saved"))
	}
	for _, l := range f.Limits {
		name := units.Words("%s, %s", field, units.Word(l.Name))
		if l.Season != "" {
			name = name.And(" in %s", units.Word(l.Season))
		}
		if l.Worth > 0 {
			w.Put(units.Words("more room on %v", name), l.Worth, units.Words("saved"))
		}
		if l.PerUnit.SI() > 0 {
			w.Put(units.Words("a higher limit on %v", name), l.PerUnit, units.Words("saved"))
		}
	}
}

// String is the table of the working.
func (r AllocateResult) String() string { return r.Working().String() }
