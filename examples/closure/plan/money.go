package plan

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/examples/closure/closing"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
)

// Money is the prices that no other part names, and the payments. A price that is left
// out leaves the cost of its line open.
type Money struct {
	Currency    string                   `json:"currency,omitzero"`  // name or sign of the money
	Survey      *float64                 `json:"survey,omitzero"`    // of the basin
	LabSample   *float64                 `json:"labSample,omitzero"` // of one sample
	Mulch       *units.Price[units.Mass] `json:"mulch,omitzero"`
	SeedingWork *units.Price[units.Area] `json:"seedingWork,omitzero"` // seedbed, drilling, mulching
	// Doubt is by how much of itself the price of each line may be lower or higher, 0 to
	// 0.9: what bids usually differ by.
	Doubt float64 `json:"doubt,omitzero"`
	// Ranges are the low and the high of single prices of materials, removal, cover and money,
	// in place of Doubt; at most 100.
	Ranges []PriceRange `json:"ranges,omitzero"`
	// Contingency is the share of the cost that is kept for what nobody foresaw, 0 to 1;
	// it is a line of its own in the high end. It leaves out the lines of a closing that
	// has a contingency of its own.
	Contingency  float64            `json:"contingency,omitzero"`
	Others       []OtherCost        `json:"others,omitzero"`       // that no quantity of the plan settles
	Payment      *cover.PaymentSpec `json:"payment,omitzero"`      // areas and cost come from the plan
	PaymentUnits []string           `json:"paymentUnits,omitzero"` // of each payment scenario: basin, or cover
}

// OtherCost is a line that no quantity of the plan settles, such as a permit.
type OtherCost struct {
	Item     string         `json:"item"`
	Quantity string         `json:"quantity,omitzero"`
	Hours    units.Duration `json:"hours,omitzero"`
	Cost     float64        `json:"cost"`
	// Low and High are the ends of Cost, as bids or quotes tell them; left out: those of the
	// doubt of all lines.
	Low  *float64 `json:"low,omitzero"`
	High *float64 `json:"high,omitzero"`
}

// Bill is the quantities, hours and cost of the whole plan. The headline and the cost
// page are both made of it.
type Bill struct {
	stage.Rows `json:"-"`
	Cost       stage.Cost           `json:"cost"`               // of the lines that have a price, with their doubt and that of the sludge volume
	Unpriced   []string             `json:"unpriced,omitempty"` // keys of the lines that have none
	Drivers    []Driver             `json:"drivers,omitempty"`  // up to 3 lines that the range of Cost hangs most on
	PerUnit    []closing.Figure     `json:"perUnit,omitempty"`  // what a bid can be held against, besides those of the closing
	Worth      float64              `json:"worth"`              // of the nutrients that fields need, not in Cost
	Payment    *cover.PaymentResult `json:"payment,omitempty"`  // nil where no program pays
	Net        stage.Cost           `json:"net"`                // cost less payment
}

// Driver is a line of the bill by which the cost may be lower or higher.
type Driver struct {
	Key   string       `json:"key"`   // of the line
	What  units.Phrase `json:"what"`  // the line
	Share float64      `json:"share"` // of the range from the low to the high of the cost
}

// drivers are the lines with the widest ranges.
func drivers(items []stage.Item, all stage.Cost) (list []Driver) {
	width := all.High - all.Low
	for _, x := range items {
		if x.Cost != nil && x.Cost.High > x.Cost.Low && width > 0 {
			list = append(list, Driver{x.Key, x.What.Item, (x.Cost.High - x.Cost.Low) / width})
		}
	}
	slices.SortStableFunc(list, func(a, b Driver) int { return cmp.Compare(b.Share, a.Share) })
	return list[:min(len(list), 3)]
}

// Bounds of money that no closure reaches: of an amount, and of a price for each SI
// unit.
const (
	mostMoney = 1e12
	mostPrice = 1e9
)

// priced is the cost of a quantity, nil without a price.
func priced[Q interface {
	~float64
	units.Quantity
}](p *units.Price[Q], q Q) *stage.Cost {
	if p == nil {
		return nil
	}
	return stage.Sure(p.Of(q))
}

// check finds what cannot be in the prices.
func (m *Money) check() error {
	var f units.Faults
	at := f.At("money")
	for _, x := range []struct {
		field string
		of    *float64
	}{{"survey", m.Survey}, {"labSample", m.LabSample}} {
		if x.of != nil {
			at.NumberBetween(x.field, *x.of, 0, mostMoney)
		}
	}
	if m.Mulch != nil {
		at.NumberBetween("mulch", m.Mulch.SI(), 0, mostPrice)
	}
	if m.SeedingWork != nil {
		at.NumberBetween("seedingWork", m.SeedingWork.SI(), 0, mostPrice)
	}
	at.NumberBetween("doubt", m.Doubt, 0, 0.9)
	at.NumberBetween("contingency", m.Contingency, 0, 1)
	at.CountBetween("others", len(m.Others), "lines", 0, mostParts)
	for i, o := range m.Others {
		other := at.At("others", i)
		other.NumberBetween("cost", o.Cost, 0, mostMoney)
		if o.Low != nil {
			other.NumberBetween("low", *o.Low, 0, o.Cost)
		}
		if o.High != nil {
			other.NumberBetween("high", *o.High, o.Cost, mostMoney)
		}
		other.Between("hours", o.Hours, units.Duration(0), 1e6*units.Hour)
		if o.Item == "" {
			other.Missing("item", "what is paid for")
		}
	}
	_, err := m.payment(1, 1, 1e5) // any areas and cost find its faults
	f.Sub("", err)
	return f.Err()
}

// payment is what the program pays, by the areas of the plan; nil for none.
func (m *Money) payment(basin, sown units.Area, cost float64) (*cover.PaymentResult, error) {
	if m.Payment == nil {
		return nil, nil
	}
	var f units.Faults
	at := f.At("money")
	spec := *m.Payment
	spec.Cost = cost
	spec.Scenarios = append([]cover.PaymentScenario(nil), spec.Scenarios...)
	for i, name := range m.PaymentUnits {
		unit := at.At("paymentUnits", i)
		switch {
		case i >= len(spec.Scenarios):
			unit.Add("", name, "as many as there are payment scenarios")
		case name == "basin":
			spec.Scenarios[i].Area = basin
		case name == "cover":
			spec.Scenarios[i].Area = sown
		default:
			unit.Add("", name, "basin or cover")
		}
	}
	r := answered(&at, "payment", &spec, cover.Payment)
	return r, f.Err()
}

// bill adds up the plan. in is what the stages before found, by which prices with a low and
// a high are worked out again; nil: without them.
func bill(s *Scenario, in *inputs, c *Contents, routes *Routes, w *closing.Outcome, v *CoverResult) (Bill, error) {
	b := Bill{Rows: stage.Rows{Items: make([]stage.Item, 0, mostLines)}}
	m := s.Money
	if m == nil {
		m = &Money{}
		b.Open = append(b.Open, stage.Open{Key: "money", Who: stage.Producer,
			What:  units.Words("what most lines of the bill cost, and what a program pays"),
			Needs: units.Words("prices of earthwork, soil, topsoil and seeding, of samples and of the survey")})
	}
	b.lines(s, c, routes, v)
	if in != nil && in.prices != nil {
		if err := b.ranged(s, in, routes, v); err != nil {
			return b, err
		}
	} else {
		for i := range b.Items {
			if x := b.Items[i].Cost; x != nil {
				b.Items[i].Cost = &stage.Cost{Low: x.Low * (1 - m.Doubt), Likely: x.Likely, High: x.High * (1 + m.Doubt)}
			}
		}
	}
	for i, o := range m.Others {
		cost := b.Items[len(b.Items)-len(m.Others)+i].Cost // they stand last
		if o.Low != nil {
			cost.Low = *o.Low
		}
		if o.High != nil {
			cost.High = *o.High
		}
	}
	if w != nil {
		b.Items = append(b.Items, w.Items...) // with a doubt of their own
	}
	b.contingency(m.Contingency, w)
	b.Cost, b.Unpriced = stage.Total(b.Items)
	for _, key := range b.Unpriced {
		if s.Money == nil || strings.HasPrefix(key, "closing.") {
			continue // said for all of them, or by the closing
		}
		b.Open = append(b.Open, stage.Open{Key: "money." + key, Who: stage.Contractor, What: units.Words("what the line %v of the bill costs", units.Word(key)), Needs: units.Words("its price")})
	}
	if t := routes.taken(); t != nil && t.Spread.Allocated != nil {
		b.Worth = t.Spread.Allocated.Credit
	}
	b.Net = b.Cost
	if m.Payment == nil {
		return b, nil
	}
	var basin units.Area
	if c.Solid != nil {
		basin = c.Solid.AreaAt(c.Depth)
	}
	if basin == 0 || v == nil || v.Area == 0 {
		return b, nil
	}
	var err error
	if b.Payment, err = m.payment(basin, v.Area, b.Cost.Likely); err != nil {
		return b, err
	}
	paid := b.Payment.Payment
	b.Net = stage.Cost{Low: b.Cost.Low - paid, Likely: b.Cost.Likely - paid, High: b.Cost.High - paid}
	return b, nil
}

// lines are the rows of the plan but those of the closing, without the doubt of prices.
func (b *Bill) lines(s *Scenario, c *Contents, routes *Routes, v *CoverResult) {
	m := s.Money
	if m == nil {
		m = &Money{}
	}
	add := func(key, item string, value any, cost *stage.Cost) {
		b.Items = append(b.Items, stage.Item{Key: key, What: units.Line{Item: units.Words(item), Value: value}, Cost: cost})
	}
	sure := func(x *float64, n float64) *stage.Cost {
		if x == nil {
			return nil
		}
		return stage.Sure(*x * n)
	}
	if c.Sludge != nil && c.Sludge.Survey != nil {
		add("survey", "survey of the basin, soundings", c.Sludge.Survey.N(), sure(m.Survey, 1))
	}
	samples := 0
	for _, x := range s.Materials {
		samples += len(x.Reports)
	}
	if samples > 0 {
		add("laboratory", "laboratory, samples", samples, sure(m.LabSample, float64(samples)))
	}
	if t := routes.taken(); t != nil {
		b.removal(t, routes)
	}
	b.cover(m, v)
	b.Items = append(b.Items, m.stopItems(s.Cover, v.Stops)...)
	for i, o := range m.Others {
		b.Items = append(b.Items, stage.Item{Key: "others." + strconv.Itoa(i+1), Hours: o.Hours, Cost: stage.Sure(o.Cost),
			What: units.Line{Item: units.Words("%v", units.Word(o.Item)), How: units.Words("%v", units.Word(o.Quantity))}})
	}
}

// mostLines is how many lines a bill usually has at most.
const mostLines = 64

// perUnit is the cost of emptying for each volume that leaves the basin, and of the cover
// for each area.
func (b *Bill) perUnit(c *Contents, t *RouteResult, v *CoverResult) {
	sum := func(prefixes ...string) (s stage.Cost) {
		for _, x := range b.Items {
			if x.Cost != nil && slices.ContainsFunc(prefixes, func(p string) bool { return strings.HasPrefix(x.Key, p) }) {
				s = *s.Plus(x.Cost)
			}
		}
		return s
	}
	figure := func(key, what string, cost stage.Cost, per func(float64) any) {
		if cost.High > 0 {
			b.PerUnit = append(b.PerUnit, closing.Figure{Key: key, What: units.Words(what), Low: per(cost.Low), Likely: per(cost.Likely), High: per(cost.High)})
		}
	}
	if t != nil && c.Held > 0 {
		figure("removal.perVolume", "emptying and spreading, for each volume of liquid and sludge", sum("removal.", "spread."), func(x float64) any { return units.PricePer(x, c.Held) })
		if s := c.Sludge; s != nil && s.Volume > 0 {
			figure("removal.perSludge", "emptying and spreading, for each volume of sludge as it lies", sum("removal.", "spread."),
				func(x float64) any { return units.Shown{Quantity: units.PricePer(x, s.Volume), Unit: "yd3"} })
		}
	}
	if v != nil && v.Area > 0 {
		figure("cover.perArea", "lime, fertilizer, seed, mulch and their work, for each area", sum("cover."), func(x float64) any { return units.PricePer(x, v.Area) })
	}
}

// contingency is the line for what nobody foresaw, on the rows that have none yet.
func (b *Bill) contingency(share float64, w *closing.Outcome) {
	sum, _ := stage.Total(b.Items)
	how := units.Words("%v of the rows above, in the high end alone", units.Share(share))
	if w != nil && w.Item("closing.contingency").Cost != nil {
		sum.Likely -= w.Cost.Likely
		how = units.Words("%v of the rows above without those of the closing, which have their own; in the high end alone", units.Share(share))
	}
	if kept := share * max(sum.Likely, 0); kept > 0 {
		b.Items = append(b.Items, stage.Item{Key: "contingency", What: units.Line{Item: units.Words("contingency of the plan"), How: how}, Cost: &stage.Cost{High: kept}})
	}
}

// removal is the lines of the route that the plan takes, with the low and the high end of
// the sludge volume.
func (b *Bill) removal(t *RouteResult, all *Routes) {
	for _, s := range t.Removal.Stages {
		cost := stage.Sure(s.AtBasin)
		low, high := s.Moved, s.Moved
		for _, end := range []*RouteResult{all.Low, all.High} {
			if end == nil {
				continue
			}
			for _, x := range end.Removal.Stages {
				if x.Kind == s.Kind {
					cost.Low, cost.High = min(cost.Low, x.AtBasin), max(cost.High, x.AtBasin)
					low, high = min(low, x.Moved), max(high, x.Moved)
				}
			}
		}
		item := stage.Item{Key: keyOf("removal", s.Kind), What: units.Line{Item: units.Words("%v", units.Word(s.Name))}, Hours: s.Hours, Cost: cost}
		if s.Moved > 0 {
			item.What.Value = s.Moved
			if high > low {
				item.Low, item.High = low, high
			}
		}
		if s.Kind == removal.StagePumpOff && t.Drawdown != nil {
			item.What.How = units.Words("with %v of rain less evaporation while it is pumped", t.Drawdown.Extra)
		}
		b.Items = append(b.Items, item)
	}
	a := t.Spread.Allocated
	if a == nil {
		return
	}
	for i, x := range a.Materials {
		cost := stage.Sure(x.Cost)
		low, high := x.Placed, x.Placed
		for _, end := range []*RouteResult{all.Low, all.High} {
			if end == nil || end.Spread.Allocated == nil || i >= len(end.Spread.Allocated.Materials) {
				continue
			}
			other := &end.Spread.Allocated.Materials[i]
			cost.Low, cost.High = min(cost.Low, other.Cost), max(cost.High, other.Cost)
			if other.Placed.SI() < low.SI() {
				low = other.Placed
			}
			if other.Placed.SI() > high.SI() {
				high = other.Placed
			}
		}
		for _, o := range t.Spread.Open {
			if o.Key == "materials."+x.Name+".spread" {
				cost = nil
			}
		}
		key := "spread."
		if t.Spread.works(x.Name) {
			key = "works.spread."
		}
		item := stage.Item{Key: key + x.Name, What: units.Line{Item: units.Words("haul and spread %v", units.Word(x.Name)), Value: x.Placed.UnitsValue()}, Cost: cost}
		if high.SI() > low.SI() {
			item.Low, item.High = low.UnitsValue(), high.UnitsValue()
		}
		b.Items = append(b.Items, item)
		if x.Left.SI() > 0 {
			left := stage.Item{Key: "leave." + x.Name, What: units.Line{Item: units.Words("%v that no field takes", units.Word(x.Name)), Value: x.Left.UnitsValue()}}
			if !slices.Contains(t.Spread.Unplaced, x.Name) {
				if price, err := x.Leave.Of(x.Left); err == nil {
					left.Cost = stage.Sure(price)
				}
			}
			b.Items = append(b.Items, left)
			b.Open = append(b.Open, stage.Open{Key: "leave." + x.Name, Who: stage.Planner, Stops: left.Cost == nil,
				What:  units.Words("where %v of %v go, which no field may take", x.Left.UnitsValue(), units.Word(x.Name)),
				Needs: units.Words("more land with room for it, storage until the next season, or export, each with the regulator's agreement")})
		}
	}
}

// cover is the lines of the vegetation.
func (b *Bill) cover(m *Money, v *CoverResult) {
	if v == nil || v.Area == 0 {
		return
	}
	add := func(key, item string, q any, cost *stage.Cost) {
		b.Items = append(b.Items, stage.Item{Key: key, What: units.Line{Item: units.Words(item), Value: q}, Cost: cost})
	}
	if v.Mix != nil {
		add("cover.mix", "seed", units.As(v.Mix.BulkMass, units.Pound, 0), stage.Sure(v.Mix.Cost))
	}
	if v.Nurse != nil {
		add("cover.nurse", "nurse crop", units.As(v.Nurse.Mass, units.Pound, 0), stage.Sure(v.Nurse.Cost))
	}
	if v.Lime != nil {
		add("cover.lime", "lime", units.As(v.Lime.Mass, units.Ton, 1), stage.Sure(v.Lime.Cost))
	}
	if v.Fertilizer != nil {
		add("cover.fertilizer", "fertilizer", units.As(v.Fertilizer.Rate.Times(v.Area), units.Pound, 0), stage.Sure(v.Fertilizer.Cost))
	}
	if v.Mulch != nil {
		add("cover.mulch", "mulch", units.As(v.Mulch.Mass, units.Ton, 1), priced(m.Mulch, v.Mulch.Mass))
	}
	if v.Mix != nil {
		add("cover.work", "seedbed, drilling, mulching", units.As(v.Area, units.Acre, 2), priced(m.SeedingWork, v.Area))
	}
}
