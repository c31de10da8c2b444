package plan

import (
	"context"
	"slices"

	"example.org/earthbasin/examples/closure/closing"
	"example.org/earthbasin/examples/closure/land"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
)

// WorksKind is what leaves the site while the empty basin is closed, and goes to the land
// as a material of its own.
type WorksKind = units.Enum[worksWords]

// What the works of closing bring. The zero value stands for none.
const (
	DirtyWater WorksKind = iota + 1 // "dirty water": rain pumped from the open pit, and rinse water of a pond
	SoakedSoil                      // "soaked soil": dug from floor and banks
)

var worksNames = units.Names{"", "dirty water", "soaked soil"}

type worksWords struct{}

func (worksWords) Names() units.Names { return worksNames }

// brought is the material of a kind, nil where the scenario has none that can be planned.
// Rain on the floor of the empty basin is no stronger than the liquid that stood there, so
// that dirty water needs no report of its own where that liquid was sampled; what rinses a
// pond does.
func (s *Scenario) brought(kind WorksKind) *Material {
	i := slices.IndexFunc(s.Materials, func(m Material) bool { return m.Works == kind })
	if i < 0 || s.Land == nil || len(s.Materials[i].Reports) == 0 && !s.asLiquid(kind) {
		return nil
	}
	return &s.Materials[i]
}

// asLiquid is whether a kind counts as strong as the liquid that stood in the basin.
func (s *Scenario) asLiquid(kind WorksKind) bool {
	return kind == DirtyWater && s.Closing != nil && s.Closing.Chosen != closing.AlternativePond &&
		slices.ContainsFunc(s.Materials, func(m Material) bool { return m.Works == 0 && m.liquid() && len(m.Reports) > 0 })
}

// budgeted is what of the works has its place in the land plan, whose limits then hold for
// it; of what no field takes the land plan says so.
func (s *Scenario) budgeted(told closing.Budgeted) closing.Budgeted {
	told.Water = told.Water || s.brought(DirtyWater) != nil
	told.Soil = told.Soil || s.brought(SoakedSoil) != nil
	return told
}

// broughtBy is how much of a kind a way of closing brings, as it lies; 0 for none, or where
// nobody knows.
func broughtBy(kind WorksKind, o *closing.Outcome, pit units.Volume) units.Volume {
	switch {
	case o == nil:
	case kind == DirtyWater && o.Pond != nil:
		return pit + o.Pond.RinseWater
	case kind == DirtyWater:
		return pit
	case o.Soaked != nil:
		return o.Soaked.Volume
	}
	return 0
}

// pitWater is the dirty water that is pumped from the open pit, 0 where nobody knows.
func (r *Results) pitWater() units.Volume {
	if r.Pit == nil {
		return 0
	}
	return r.Pit.Total.Pumped
}

// worksStreams are the materials that a way of closing brings to the land, by their own
// reports, or as strong as the liquid before.
func (s *Scenario) worksStreams(in *Sampled, o *closing.Outcome, pit units.Volume) (list []Stream) {
	for _, kind := range []WorksKind{DirtyWater, SoakedSoil} {
		m, v := s.brought(kind), broughtBy(kind, o, pit)
		if m == nil || v <= 0 {
			continue
		}
		a, err := m.asItLies()
		if err != nil {
			continue // told with the reports
		}
		if len(m.Reports) == 0 {
			a = in.Effluent.Analysis
		}
		mass := a.Density.Times(v)
		solids, _ := a.Solids.Concentration()
		dry := min(solids.Times(v), mass)
		x := Stream{Material: m.Name, Works: kind, Analysis: &a, Slurry: removal.Slurry{Volume: v, Mass: mass, Dry: dry, Water: mass - dry, WaterDensity: units.KilogramPerCubicMetre * 1000}}
		x.settle()
		list = append(list, x)
	}
	return list
}

// asItLies is the mean of the reports on what the works bring, by volume as it lies.
func (m *Material) asItLies() (nutrient.Analysis, error) {
	var f units.Faults
	var list []nutrient.Analysis
	for j, report := range m.Reports {
		at := f.At("reports", j)
		a, err := nutrient.Analyze(report)
		at.Sub("", err)
		told(&at, &report, &a, err)
		if at.Err() != nil || a.Density == 0 {
			continue
		}
		if a.Form == nutrient.Solid {
			density := a.Density
			a = turned(a, func(c nutrient.Content) nutrient.Content {
				if c.IsZero() {
					return c
				}
				c, err := c.As(nutrient.Liquid, density)
				at.Sub("", err)
				return c
			})
			a.Form = nutrient.Liquid
		}
		list = append(list, a)
	}
	if f.Err() != nil || len(list) == 0 {
		return nutrient.Analysis{}, f.Err()
	}
	return average(list), nil
}

// onlyOn forbids a material all fields but one; nothing where that is no field.
func onlyOn(l *land.Spec, field string) []land.Way {
	var others []string
	found := false
	for i := range l.Fields {
		if l.Fields[i].Name == field {
			found = true
		} else {
			others = append(others, l.Fields[i].Name)
		}
	}
	if !found || others == nil {
		return nil
	}
	return []land.Way{{Fields: others, Forbid: true}}
}

// withWorks places what the works bring beside the streams of the route taken, all within
// the same limits of the fields, and at the ends of the sludge volume. Without any nothing
// changes.
func (r *Routes) withWorks(ctx context.Context, s *Scenario, in *inputs, works []Stream) error {
	if len(works) == 0 {
		return nil
	}
	for _, t := range []*RouteResult{r.taken(), r.Low, r.High} {
		if t == nil {
			continue
		}
		spread, err := spread(ctx, s, in, append(slices.Clip(t.streams), works...))
		if err != nil {
			return err
		}
		for _, o := range spread.Rows.Open {
			if t == r.taken() && !slices.ContainsFunc(r.Open, func(x stage.Open) bool { return x.Key == o.Key }) {
				r.Open = append(r.Open, o)
			}
		}
		t.Spread = spread
		t.priceStreams()
	}
	return nil
}

// priceStreams sets the cost of the route's own streams again, which may lie elsewhere now.
func (r *RouteResult) priceStreams() {
	a := r.Spread.Allocated
	if a == nil {
		return
	}
	c := &r.Cost
	c.Spread, c.Leaving = 0, 0
	for i := range a.Materials {
		state := &a.Materials[i]
		if r.Spread.works(state.Name) {
			continue
		}
		c.Spread += state.Cost
		if x, err := state.Leave.Of(state.Left); err == nil {
			c.Leaving += x
		}
	}
	c.Complete = r.Spread.complete()
	c.Net = c.Removal + c.Spread + c.Leaving - c.Worth
}

// complete is whether everything that leaves the basin is placed or has a price.
func (r *Spread) complete() bool {
	return r.Allocated != nil && !slices.ContainsFunc(r.Unplaced, func(name string) bool { return !r.works(name) })
}

// index is the place of a material among those that are spread, below 0 for none.
func (r *Spread) index(name string) int {
	return slices.IndexFunc(r.Materials, func(m MaterialResult) bool { return m.Name == name })
}

// works is whether a material comes from the works of closing.
func (r *Spread) works(name string) bool {
	return slices.ContainsFunc(r.Materials, func(m MaterialResult) bool { return m.Name == name && m.Stream.Works != 0 })
}

// Beside is what the works bring to no field's budget.
type Beside struct {
	Kind   WorksKind    `json:"kind"`
	Volume units.Volume `json:"volume"` // as it lies
	// P2O5 and N are the most that the water can bring: as much as the liquid that stood
	// there; 0 for soil, and where that was not sampled.
	P2O5 units.Mass `json:"p2o5,omitempty"`
	N    units.Mass `json:"n,omitempty"`
	Area units.Area `json:"area,omitempty"` // that soil covers when it is laid thinly; 0 for water
}

// thin is how thick soil is laid on a field that is tilled after it (common practice, no
// source).
const thin = units.Inch

// besides lists what the works bring and no material takes, with the room that it needs.
func (r *Results) besides(s *Scenario) (list []Beside) {
	for _, kind := range []WorksKind{DirtyWater, SoakedSoil} {
		v := broughtBy(kind, outcome(r.Closing), r.pitWater())
		told := s.Closing != nil && (kind == DirtyWater && s.Closing.Budgeted.Water || kind == SoakedSoil && s.Closing.Budgeted.Soil)
		if v <= 0 || told || s.brought(kind) != nil {
			continue
		}
		b := Beside{Kind: kind, Volume: v}
		if kind == SoakedSoil {
			b.Area = units.Area(float64(v) / float64(thin))
		} else if e := r.Sampled.Effluent; e != nil {
			n, _ := e.Analysis.TotalN.Concentration()
			p, _ := e.Analysis.P2O5().Concentration()
			b.N, b.P2O5 = n.Times(v), p.Times(v)
		}
		list = append(list, b)
	}
	return list
}

// Why says what it is and which room it needs.
func (b *Beside) Why() units.Phrase {
	if b.Kind == SoakedSoil {
		return units.Words("%v of soaked soil, in place, have no material, rate or field in this plan; laid %v thick they cover %v, and samples of them say how much N and P2O5 that field must have room for", units.As(b.Volume, units.CubicYard, 0), thin, b.Area)
	}
	if b.P2O5 == 0 {
		return units.Words("%v of dirty water from the open pit have no material, rate or field in this plan; samples say how much N and P2O5 a field must have room for", b.Volume)
	}
	return units.Words("%v of dirty water from the open pit have no material, rate or field in this plan; a field must have room for %v of N and %v of P2O5, were it as strong as the liquid before", b.Volume, b.N, b.P2O5)
}

// calibrated opens what has to be calibrated before the works spread: a material whose
// machine was measured with another one is not (common practice, no source).
func (r *Machines) calibrated(s *Scenario, route *RouteResult) {
	for i := range route.Spread.Materials {
		m := &route.Spread.Materials[i]
		if m.Stream.Works == 0 || s.Materials[m.Index].Machine == "" {
			continue
		}
		if len(s.Materials[m.Index].Reports) == 0 {
			r.Open = append(r.Open, stage.Open{Key: "materials." + m.Name + ".reports", Who: stage.Laboratory,
				What:  units.Words("what %v holds: it counts as strong as the liquid before", units.Word(m.Name)),
				Needs: units.Words("a sample from the open pit, before the first of it is spread")})
		}
		machine := s.Materials[m.Index].Machine
		k := slices.IndexFunc(s.Machines, func(x Machine) bool { return x.Name == machine })
		r.Open = append(r.Open, stage.Open{Key: "machines." + machine + ".works." + m.Name, Who: stage.Contractor,
			What:  units.Words("whether %v puts %v on at its rate", units.Word(machine), units.Word(m.Name)),
			Needs: units.Words("a calibration with it before it spreads: %v", units.Word(sheetOf[s.Machines[k].Kind]))})
	}
}
