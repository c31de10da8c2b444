package land

import (
	"fmt"
	"slices"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/nutrient/allocation"
	"example.org/earthbasin/units"
)

// Allocation is what the materials hold in each place, and the question for
// [allocation.Allocate].
type Allocation struct {
	Spec   allocation.AllocateSpec `json:"spec"`
	Counts []Counts                `json:"counts"` // by material, the usual way first
}

// Counts is what becomes available of a material in the way it is put on.
type Counts struct {
	Material  string                   `json:"material"`
	Way       int                      `json:"way"`              // index in the ways of the material; -1: the usual one
	Fields    []string                 `json:"fields,omitzero"`  // none: all others
	Seasons   []string                 `json:"seasons,omitzero"` // none: all
	Available nutrient.AvailableResult `json:"available"`
}

// Allocation puts the rooms of the fields and the contents of the materials into the
// question for [allocation.Allocate]. Available N is the high end of what the set says
// of the method, the place and the season in which the material really goes, so that no
// field gets more than it needs. Faults are [units.FieldError] with the path from
// materials on; ok is false where there is nothing to spread or no field that may take
// it.
func (r *Result) Allocation(materials []Material) (a Allocation, ok bool, err error) {
	var f units.Faults
	if r.spec == nil {
		f.Missing("land", "a result of Plan")
		return a, false, f.Err()
	}
	n := len(materials)
	for i := range materials {
		n += len(materials[i].Ways)
	}
	a.Counts, a.Spec.Materials = make([]Counts, 0, n), make([]allocation.Material, 0, len(materials))
	a.Spec.Seasons, a.Spec.Years = make([]string, 0, len(r.Seasons)), make([]string, 0, len(r.Seasons))
	for i := range r.Seasons {
		a.Spec.Seasons = append(a.Spec.Seasons, r.Seasons[i].Name)
		a.Spec.Years = append(a.Spec.Years, r.Seasons[i].Year)
	}
	a.Spec.Prices = r.spec.Prices
	for i := range materials {
		at := f.At("materials", i)
		r.material(&at, &a, &materials[i])
	}
	if err := f.Err(); err != nil {
		return a, false, err
	}
	a.Spec.Fields = make([]allocation.Field, 0, len(r.Fields))
	for i := range r.Fields {
		if r.Fields[i].Out == nil {
			a.Spec.Fields = append(a.Spec.Fields, r.limits(&a, i, materials))
		}
	}
	return a, len(materials) > 0 && len(a.Spec.Fields) > 0 && len(r.Seasons) > 0, nil
}

// WithPrices is the same land with other prices of nutrients, on which no room hangs. The
// allocation checks them.
func (r *Result) WithPrices(prices []allocation.Price) *Result {
	own, spec := *r, *r.spec
	spec.Prices = prices
	own.spec = &spec
	return &own
}

// years is for how many years after an application its N counts.
func (r *Result) years() int {
	n := 1
	for i := 1; i < len(r.Seasons); i++ {
		if r.Seasons[i].Year != r.Seasons[i-1].Year {
			n++
		}
	}
	return n
}

// material adds a material with what it holds by its usual way and by its others.
func (r *Result) material(f *units.Faults, a *Allocation, m *Material) {
	usual, available := r.holds(f, m, m.Query, -1)
	a.Counts = append(a.Counts, Counts{Material: m.Name, Way: -1, Available: available})
	a.Spec.Materials = append(a.Spec.Materials, allocation.Material{Name: m.Name, Stock: m.Stock, Holds: usual, Seasons: m.Seasons,
		Spread: m.Spread, HaulPerMile: m.HaulPerMile, Load: m.Load, Leave: m.Leave})
	for i, way := range m.Ways {
		at := f.At("ways", i)
		for j, name := range way.Fields {
			if r.Field(name) == nil && len(r.Fields) > 0 {
				field := at.At("fields", j)
				field.Fault(units.FaultName, "", name, "the name of a field")
			}
		}
		for j, name := range way.Seasons {
			if !slices.ContainsFunc(r.Seasons, func(x SeasonResult) bool { return x.Name == name }) {
				season := at.At("seasons", j)
				season.Fault(units.FaultName, "", name, "the name of a season")
			}
		}
		e := allocation.Exception{Material: m.Name, Forbid: way.Forbid, Spread: way.Spread}
		if way.Query != nil {
			e.Holds, available = r.holds(&at, m, *way.Query, i)
			a.Counts = append(a.Counts, Counts{m.Name, i, way.Fields, way.Seasons, available})
		}
		for _, e := range everywhere(e, way.Fields, way.Seasons) {
			if of := r.Field(e.Field); e.Field == "" || of != nil && of.Out == nil { // one that is out is in no question
				a.Spec.Exceptions = append(a.Spec.Exceptions, e)
			}
		}
	}
	for i := range r.Fields {
		in := &r.spec.Fields[i]
		if m.Needs != "" && !slices.Contains(in.Reach, m.Needs) && r.Fields[i].Out == nil {
			a.Spec.Exceptions = append(a.Spec.Exceptions, allocation.Exception{Material: m.Name, Field: in.Name, Forbid: true})
		}
	}
}

// everywhere is e for each of the fields and seasons; none stands for all.
func everywhere(e allocation.Exception, fields, seasons []string) (list []allocation.Exception) {
	if len(fields) == 0 {
		fields = []string{""}
	}
	if len(seasons) == 0 {
		seasons = []string{""}
	}
	for _, e.Field = range fields {
		for _, e.Season = range seasons {
			list = append(list, e)
		}
	}
	return list
}

// holds is what a material holds when it is put on as the query of a way says, -1 for the
// usual one.
func (r *Result) holds(f *units.Faults, m *Material, q nutrient.Query, way int) ([]allocation.Holding, nutrient.AvailableResult) {
	spec := nutrient.AvailableSpec{Analysis: m.Analysis, State: m.State, Query: q, Years: max(1, r.years())}
	if way+1 < len(m.Schedules) {
		spec.Schedule = m.Schedules[way+1]
	}
	available, err := nutrient.Available(spec)
	f.Sub("", err)
	for _, c := range []struct {
		content nutrient.Content
		name    string
	}{{m.Analysis.P2O5(), OfP2O5}, {m.Analysis.K2O(), OfK2O}} {
		if c.content.IsZero() {
			f.Missing("analysis", "%s in every report", units.Word(c.name))
		}
	}
	if f.Err() != nil {
		return nil, available
	}
	n := allocation.Holding{Of: OfN, Content: available.Years[0].N.High}
	for _, y := range available.Years[1:] {
		n.Later = append(n.Later, y.N.High)
	}
	return []allocation.Holding{n, {Of: OfP2O5, Content: m.Analysis.P2O5()}, {Of: OfK2O, Content: m.Analysis.K2O()}}, available
}

// limits is the field i with its limits and what has a worth on it.
func (r *Result) limits(a *Allocation, i int, materials []Material) allocation.Field {
	in, room := &r.spec.Fields[i], &r.Fields[i]
	out := allocation.Field{Name: in.Name, Area: room.Area, Distance: in.Distance}
	need := func(of string, x units.MassPerArea, period string, counts bool) {
		if counts {
			out.Needs = append(out.Needs, allocation.Need{Of: of, Need: x, Season: period})
		}
	}
	most := 2*len(room.Years) + len(r.Seasons)*(1+len(materials))
	for j := range materials {
		most += len(materials[j].Metals)
	}
	out.Limits, out.Needs = make([]allocation.Limit, 0, most), make([]allocation.Need, 0, 3*len(room.Years))
	banked := slices.ContainsFunc(room.Years, func(y YearResult) bool { return y.Phosphorus != nil && y.Phosphorus.Years > 1 })
	for _, y := range room.Years {
		period := yearName(y.Year)
		out.Limits = append(out.Limits, allocation.Limit{Kind: nutrient.LimitNitrogen, Of: OfN, Room: y.Nitrogen.Room, Season: period})
		need(OfN, y.Nitrogen.Room, period, true)
		need(OfK2O, y.Crop.K2O.Low, period, room.Answers.K2O == AnswerCounts)
		if !banked {
			need(OfP2O5, y.Crop.P2O5.Low, period, room.Answers.P2O5 == AnswerCounts)
			if p := y.Phosphorus; p != nil && p.Limited {
				out.Limits = append(out.Limits, allocation.Limit{Kind: nutrient.LimitPhosphorus, Of: OfP2O5, Room: p.Room, Season: period})
			}
		}
	}
	if banked { // once, over all seasons: the years of the grant hold those of the plan
		p := room.Years[0].Phosphorus
		serves := p.Room
		if !p.Limited { // its crops take up the same years of it, though nothing caps it
			serves = units.MassPerArea(p.Years) * p.Removal
		}
		need(OfP2O5, serves, "", room.Answers.P2O5 == AnswerCounts)
		if p.Limited {
			out.Limits = append(out.Limits, allocation.Limit{Kind: nutrient.LimitPhosphorus, Of: OfP2O5, Room: p.Room})
		}
	}
	for j := range materials {
		m := &materials[j]
		for _, l := range m.Metals {
			if rate, ok := metalRate(l); ok {
				out.Limits = append(out.Limits, allocation.Limit{Kind: l.Kind, Name: l.Name, Rate: rate, Material: m.Name})
			}
		}
	}
	for _, x := range r.Seasons {
		w := r.Window(in.Name, x.Name)
		if w == nil || w.FitDays() == 0 {
			a.Spec.Exceptions = append(a.Spec.Exceptions, allocation.Exception{Field: in.Name, Season: x.Name, Forbid: true})
			continue
		}
		if w.Water != nil {
			out.Limits = append(out.Limits, allocation.Limit{Kind: nutrient.LimitWater, Name: "water the soil can take",
				Rate: nutrient.LiquidRate(w.Most.Applied()), Season: x.Name})
		}
		for j := range materials {
			m := &materials[j]
			if pass := m.MostPerPass; !pass.IsZero() {
				times := min(max(1, m.Passes), w.FitDays())
				out.Limits = append(out.Limits, allocation.Limit{Kind: nutrient.LimitPass, Name: passes(m.Name, times),
					Rate: timesRate(pass, times), Material: m.Name, Season: x.Name})
			}
		}
	}
	return out
}

func passes(material string, n int) string {
	if n == 1 {
		return "one pass of " + material
	}
	return fmt.Sprintf("%d passes of %s", n, material)
}

func timesRate(r nutrient.Rate, n int) nutrient.Rate {
	if r.Form() == nutrient.Solid {
		return nutrient.SolidRate(units.MassPerArea(r.SI() * float64(n)))
	}
	return nutrient.LiquidRate(units.VolumePerArea(r.SI() * float64(n)))
}

// metalRate is the most material that a limit on a metal allows; ok is false for a
// metal that the material does not hold.
func metalRate(l nutrient.Limit) (nutrient.Rate, bool) {
	if !l.Rate.IsZero() {
		return l.Rate, true
	}
	if !(l.Holds.SI() > 0) {
		return nutrient.Rate{}, false
	}
	x := float64(l.Room) / l.Holds.SI()
	if l.Holds.Form() == nutrient.Solid {
		return nutrient.SolidRate(units.MassPerArea(x)), true
	}
	return nutrient.LiquidRate(units.VolumePerArea(x)), true
}
