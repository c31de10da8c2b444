package allocation

import (
	"slices"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/nutrient/internal/lp"
	"example.org/earthbasin/units"
)

// model is an [AllocateSpec] as numbers. Amounts count in m3 and tonnes, so
// that liquids and solids are of one size.
type model struct {
	lp.Transport
	spec   *AllocateSpec
	rounds int
	unit   []float64 // SI units of amount in one unit of the program, by material
	hold   [][]lags  // by material and constituent
	of     map[string]int
	periods
	open  bool
	brief bool
	ways  [][]way // by block and flow
	rows  [][]row // by block and row
	shut  [][]shutWay
	check check
	mem   memory
}

// memory is what the parts of a model are taken from, so that the next model needs no more.
type memory struct {
	numbers []float64
	holds   []lags
	flows   []lp.Flow
	extra   []lp.Extra
	ways    []way
	rows    []row
	tables  lp.Memory
}

// free gives back all that was taken.
func (m *memory) free() {
	m.numbers, m.holds = m.numbers[:0], m.holds[:0]
	m.flows, m.extra, m.ways, m.rows = m.flows[:0], m.extra[:0], m.ways[:0], m.rows[:0]
}

// zeros are n of them, for as long as the model is.
func (m *model) zeros(n int) []float64 {
	list := room(&m.mem.numbers, n)[:n]
	clear(list)
	return list
}

// room is an empty list for up to n of something.
func room[T any](of *[]T, n int) []T {
	if cap(*of)-len(*of) < n {
		*of = make([]T, 0, max(n, 2*cap(*of)))
	}
	at := len(*of)
	*of = (*of)[:at+n]
	return (*of)[at : at : at+n]
}

// lags is what one unit of a material holds of a constituent, kg, by years after
// the application.
type lags []float64

// way is what a flow stands for.
type way struct {
	material, season int
	price            float64 // of hauling and spreading one unit
	mile             float64 // part of the price for each mile
	hold             []lags
}

// shutWay is a way that one limit without room shuts, kept to tell what the first
// of the room would be worth.
type shutWay struct {
	lp.Flow
	limit int
	use   float64
}

// row is what a row of a block stands for.
type row struct {
	limit    int // index in the limits of the field, or one of the names below
	of       int // constituent; noneOf for a limit on material
	form     nutrient.Form
	material int // noneOf: any
	in       period
	room     float64
}

// noneOf is no number of a list.
const noneOf = -1

const (
	rowNeed   = -1 - iota // what a need is worth
	rowStocks             // the stocks, where nothing else limits
)

// use returns how much of what r is about one unit brings that goes the way w.
func (m *model) use(r *row, w *way) float64 {
	if r.of >= 0 {
		return m.periods.brings(w.hold[r.of], w.season, r.in)
	}
	if r.form != m.spec.Materials[w.material].Stock.Form() || r.material >= 0 && r.material != w.material || !m.periods.has(r.in, w.season) {
		return 0
	}
	return m.unit[w.material]
}

// build checks s and puts it in numbers. A way without a limit is a
// fault, or else open: limited by nothing but the stocks.
func build(s *AllocateSpec, open bool) (*model, error) {
	m := new(model)
	if err := m.build(s, open); err != nil {
		return nil, err
	}
	return m, nil
}

// build makes m the model of s, in the memory that it has.
func (m *model) build(s *AllocateSpec, open bool) error {
	m.spec, m.rounds, m.open = s, s.MaxRounds, open
	if m.rounds == 0 {
		m.rounds = 2000
	}
	c := &m.check
	c.reset(s, open)
	if err := c.faults.Err(); err != nil {
		return err
	}
	m.of, m.periods = c.of.index, c.periods
	m.mem.free()
	m.Memory = &m.mem.tables
	m.Stock, m.Blocks, m.unit, m.hold = m.Stock[:0], m.Blocks[:0], m.unit[:0], m.hold[:0]
	m.ways, m.rows, m.shut = m.ways[:0], m.rows[:0], m.shut[:0]
	for _, a := range s.Materials {
		u := 1.0
		if a.Stock.Form() == nutrient.Solid {
			u = float64(units.Tonne)
		}
		m.unit = append(m.unit, u)
		m.Stock = append(m.Stock, a.Stock.SI()/u)
		hold := room(&m.mem.holds, len(m.of))[:len(m.of)]
		clear(hold)
		m.setHoldings(hold, a.Holds, u)
		m.hold = append(m.hold, hold)
	}
	for k := range s.Fields {
		m.field(k, c)
	}
	return c.faults.Err()
}

// setHoldings puts the holdings of a material whose unit is u in their places.
func (m *model) setHoldings(to []lags, holds []Holding, u float64) {
	for _, h := range holds {
		l := append(lags(room(&m.mem.numbers, 1+len(h.Later))), h.Content.SI()*u)
		for _, x := range h.Later {
			l = append(l, x.SI()*u)
		}
		to[m.of[h.Of]] = l
	}
}

// field appends the block of field k.
func (m *model) field(k int, c *check) {
	s := m.spec
	rows, shut := m.limitRows(&s.Fields[k], c)
	limits := len(rows)
	rows, prices := m.needRows(rows, &s.Fields[k], c)
	needs := rows[limits:]
	b := lp.Block{Rows: len(rows), Extra: room(&m.mem.extra, len(needs))}
	for i, r := range needs {
		b.Extra = append(b.Extra, lp.Extra{Row: limits + i, Cost: prices[i] * r.room})
	}
	rows = rows[:limits]
	n := len(s.Materials) * len(s.Seasons)
	ways := room(&m.mem.ways, n)
	b.Flows = room(&m.mem.flows, n)
	numbers := room(&m.mem.numbers, n*b.Rows)[:n*b.Rows]
	var closed []shutWay
	unlimited := false // told once a field
	own := c.exceptionsOf(s.Fields[k].Name)
	for i := range s.Materials {
		for t := range s.Seasons {
			w, ok := m.way(k, i, t, own)
			if !ok {
				continue
			}
			a := numbers[:b.Rows:b.Rows]
			numbers = numbers[b.Rows:]
			f, most := m.flow(&w, rows, needs, prices, a)
			switch by := m.shutBy(&w, shut); {
			case len(by) == 1:
				closed = append(closed, shutWay{f, by[0].limit, m.use(&by[0], &w)})
			case len(by) > 1:
			case most == 0 && unlimited:
			case most == 0:
				unlimited = true
				at := c.faults.At("fields", k)
				at.Say("limits", "none", "a limit on %v in %v, by what it holds or by its rate", units.Word(s.Materials[i].Name), units.Word(s.Seasons[t]))
			default:
				f.Size = 1 / most
				b.Flows = append(b.Flows, f)
				ways = append(ways, w)
			}
		}
	}
	m.Blocks = append(m.Blocks, b)
	m.ways = append(m.ways, ways)
	m.rows = append(m.rows, rows[:b.Rows])
	m.shut = append(m.shut, closed)
}

// limitRows returns the limits of a field that have room, and those that have
// none.
func (m *model) limitRows(fd *Field, c *check) (rows, shut []row) {
	rows = room(&m.mem.rows, len(fd.Limits)+1+len(fd.Needs))
	for i, l := range fd.Limits {
		r := row{limit: i, of: noneOf, form: l.Rate.Form(), material: noneOf, in: c.periods.of(l.Season), room: l.Rate.SI() * float64(fd.Area)}
		switch {
		case l.Of != "":
			r.of, r.room = m.of[l.Of], float64(l.Room)*float64(fd.Area)
		case l.Material != "":
			r.material = c.materials.index[l.Material]
		}
		if r.room == 0 {
			shut = append(shut, r)
		} else {
			rows = append(rows, r)
		}
	}
	if m.open {
		rows = append(rows, row{limit: rowStocks})
	}
	return rows, shut
}

// needRows adds the needs of a field that earn a credit, and returns their prices.
func (m *model) needRows(rows []row, fd *Field, c *check) (_ []row, prices []float64) {
	prices = room(&m.mem.numbers, len(fd.Needs))
	for _, n := range fd.Needs {
		i := slices.IndexFunc(m.spec.Prices, func(p Price) bool { return p.Of == n.Of })
		if i >= 0 && n.Need > 0 && m.spec.Prices[i].Price > 0 {
			rows = append(rows, row{limit: rowNeed, of: m.of[n.Of], in: c.periods.of(n.Season), room: float64(n.Need) * float64(fd.Area)})
			prices = append(prices, float64(m.spec.Prices[i].Price))
		}
	}
	return rows, prices
}

// flow returns the flow of a way, its uses in a, and the most that one unit uses
// of any limit.
func (m *model) flow(w *way, rows, needs []row, prices, a []float64) (f lp.Flow, most float64) {
	f = lp.Flow{Material: w.material, Cost: w.price, Uses: a}
	for i := range rows {
		if rows[i].limit == rowStocks {
			// The sum over the materials cannot pass their number.
			a[i] = 1 / m.Stock[w.material] / float64(len(m.Stock))
		} else {
			a[i] = m.use(&rows[i], w) / rows[i].room
		}
		most = max(most, a[i])
	}
	for i := range needs {
		u := m.use(&needs[i], w)
		a[len(rows)+i] = u / needs[i].room
		f.Cost -= prices[i] * u
	}
	return f, most
}

// shutBy returns the limits without room that w would use.
func (m *model) shutBy(w *way, shut []row) (by []row) {
	for i := range shut {
		if m.use(&shut[i], w) > 0 {
			by = append(by, shut[i])
		}
	}
	return by
}

// way returns the way of material i to field k in season t; ok is false when none
// may go it. Own are the numbers of the exceptions that may be about the field.
func (m *model) way(k, i, t int, own []int) (w way, ok bool) {
	s := m.spec
	a, fd := &s.Materials[i], &s.Fields[k]
	if len(a.Seasons) > 0 && !slices.Contains(a.Seasons, s.Seasons[t]) {
		return w, false
	}
	w = way{material: i, season: t, hold: m.hold[i]}
	spread, forbid := a.Spread.SI(), false
	for _, n := range own {
		e := &s.Exceptions[n]
		if e.Material != "" && e.Material != a.Name || e.Season != "" && e.Season != s.Seasons[t] {
			continue
		}
		forbid = forbid || e.Forbid
		if len(e.Holds) > 0 {
			w.hold = slices.Clone(w.hold)
			m.setHoldings(w.hold, e.Holds, m.unit[i])
		}
		if !e.Spread.IsZero() {
			spread = e.Spread.SI()
		}
	}
	d, set := fd.Distances[a.Name]
	if !set {
		d = fd.Distance
	}
	w.mile = a.HaulPerMile.SI() * m.unit[i]
	w.price = spread*m.unit[i] + w.mile*d.In(units.Mile)
	return w, !forbid
}
