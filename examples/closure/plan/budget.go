package plan

import (
	"cmp"
	"slices"
	"time"

	"example.org/earthbasin/examples/closure/land"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/nutrient/allocation"
	"example.org/earthbasin/units"
)

// Budget is P and K of one field over the years that the plan serves.
type Budget struct {
	Field  string                `json:"field"`
	Budget nutrient.BudgetResult `json:"budget"`
}

// LandBase is the land that all of it would take, on the crop of the first field that
// may be spread on, were P held to removal everywhere.
type LandBase struct {
	Field   string                   `json:"field"` // whose crop counts
	All     nutrient.LandBaseResult  `json:"all"`
	OneYear *nutrient.LandBaseResult `json:"oneYear,omitempty"` // should several years of P not be allowed
}

// Brings is what a placement puts on its field of the contents that of returns for its
// material.
func (r *RouteResult) Brings(x allocation.Placement, of func(*MaterialResult) nutrient.Content) units.MassPerArea {
	for i := range r.Spread.Materials {
		if m := &r.Spread.Materials[i]; m.Name == x.Material {
			load, _ := x.Rate.Carrying(of(m)) // both are of one material and so of one form
			return load
		}
	}
	return 0
}

// afterwards follows the fields over the years after the plan.
func afterwards(s *Scenario, r *Results) ([]Budget, *LandBase, error) {
	t := r.Taken()
	if t == nil || t.Spread.Allocated == nil {
		return nil, nil, nil
	}
	var f units.Faults
	var list []Budget
	for i := range r.Fields.Fields {
		if budget, ok := budget(&f, s, r, t, i); ok {
			list = append(list, budget)
		}
	}
	base, err := landBase(r, t)
	f.Sub("land", err)
	return list, base, f.Err()
}

// budget follows P and K of field i; ok is false where nothing is put on it. A grant of
// several years holds where the rule limits P; a field that N limits needs none.
func budget(f *units.Faults, s *Scenario, r *Results, t *RouteResult, i int) (out Budget, ok bool) {
	field, room := &s.Land.Fields[i], &r.Fields.Fields[i]
	if len(room.Years) == 0 {
		return out, false
	}
	first := room.Years[0].Year
	spec := nutrient.BudgetSpec{First: first, Seasons: room.Years[len(room.Years)-1].Year - first + 1}
	for _, y := range room.Years {
		spec.Rotation = append(spec.Rotation, y.Crop)
	}
	if p := room.Years[0].Phosphorus; p != nil && p.Grant != nil {
		spec.Seasons += p.Rest
		if p.Limited {
			spec.Banking = &p.Grant.Banking
		}
	}
	for _, x := range t.Spread.Allocated.Placements {
		if x.Field != field.Name {
			continue
		}
		season := slices.IndexFunc(r.Fields.Seasons, func(y land.SeasonResult) bool { return y.Name == x.Season })
		year := cmp.Or(r.Fields.Seasons[season].CropYear, time.Time(r.Fields.Seasons[season].From).Year())
		spec.Applications = append(spec.Applications, nutrient.BudgetApplication{Season: year, Manure: true,
			P2O5: t.Brings(x, func(m *MaterialResult) nutrient.Content { return m.Analysis.P2O5() }),
			K2O:  t.Brings(x, func(m *MaterialResult) nutrient.Content { return m.Analysis.K2O() })})
	}
	if len(spec.Applications) == 0 || spec.Seasons > 50 {
		return out, false
	}
	result, err := nutrient.Budget(spec)
	f.Sub("land", err)
	return Budget{field.Name, result}, err == nil
}

// landBase asks for the land that the whole content of the basin needs, on the crop of
// the first field that takes something.
func landBase(r *Results, t *RouteResult) (*LandBase, error) {
	first := slices.IndexFunc(r.Fields.Fields, func(x land.FieldResult) bool {
		return slices.ContainsFunc(t.Spread.Allocated.Placements, func(p allocation.Placement) bool { return p.Field == x.Name })
	})
	if first < 0 {
		return nil, nil
	}
	room := &r.Fields.Fields[first].Years[0]
	p := room.Phosphorus
	if p == nil || room.Nitrogen.Room == 0 || p.Removal == 0 {
		return nil, nil // nothing to count the land by
	}
	spec := func(p2o5 units.MassPerArea) nutrient.LandBaseSpec {
		var n, ph units.Mass
		for _, m := range t.Spread.Materials {
			n, ph = n+m.Holds[OfN], ph+m.Holds[OfP2O5]
		}
		out := nutrient.LandBaseSpec{Stocks: []nutrient.LandStock{{Name: OfN, Mass: n, PerArea: room.Nitrogen.Room}, {Name: OfP2O5, Mass: ph, PerArea: p2o5}}}
		for _, x := range r.Fields.Fields {
			if x.Out == nil {
				out.Have += x.Area
			}
		}
		return out
	}
	years := units.MassPerArea(max(1, p.Years))
	all, err := nutrient.LandBase(spec(years * p.Removal))
	if err != nil {
		return nil, err
	}
	out := &LandBase{Field: r.Fields.Fields[first].Name, All: all}
	if years > 1 {
		one, err := nutrient.LandBase(spec(p.Removal))
		if err != nil {
			return nil, err
		}
		out.OneYear = &one
	}
	return out, nil
}
