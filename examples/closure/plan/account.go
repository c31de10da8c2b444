package plan

import (
	"context"
	"slices"
	"time"

	"example.org/earthbasin/examples/closure/land"
	"example.org/earthbasin/examples/closure/ledger"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/nutrient/allocation"
	"example.org/earthbasin/units"
)

// account holds what was done until the day of the account against the plan that was made
// for the start; nil where no day is told.
func account(s *Scenario, r *Results) (*ledger.Result, error) {
	t := r.Taken()
	if s.AsOf.IsZero() || r.Fields == nil || t == nil || t.Spread.Allocated == nil {
		return nil, nil
	}
	var f units.Faults
	spec := ledger.Spec{AsOf: s.AsOf, Book: s.Done}
	for i := range r.Fields.Fields {
		if room := &r.Fields.Fields[i]; room.Out == nil {
			spec.Fields = append(spec.Fields, allowed(r.Fields, room))
		}
	}
	first := s.Start
	for _, x := range s.Done.Records {
		if !x.Day.IsZero() && (first.IsZero() || x.Day.Before(first)) {
			first = x.Day
		}
	}
	if first.IsZero() || s.AsOf.Before(first) {
		first = s.AsOf
	}
	for i := range t.Spread.Materials {
		m := &t.Spread.Materials[i]
		holds := ledger.Totals(m.Analysis)
		if m.Available != nil {
			holds[nutrient.LimitNitrogen] = m.Available.Years[0].N.High
		}
		spec.Materials = append(spec.Materials, ledger.Material{Name: m.Name, Form: m.Stock.Form(), Density: m.Stream.Slurry.Density(),
			Stock: []ledger.Stock{{Day: first, Amount: m.Stock}}, Holds: holds})
	}
	for i := range s.Materials { // of what the plan has none of somebody may have spread
		m := &s.Materials[i]
		if !slices.ContainsFunc(spec.Materials, func(x ledger.Material) bool { return x.Name == m.Name }) {
			none := nutrient.LiquidAmount(0)
			if m.form() == nutrient.Solid {
				none = nutrient.SolidAmount(0)
			}
			spec.Materials = append(spec.Materials, ledger.Material{Name: m.Name, Form: m.form(), Stock: []ledger.Stock{{Day: first, Amount: none}}})
		}
	}
	for _, x := range t.Spread.Allocated.Placements {
		spec.Planned = append(spec.Planned, ledger.Placement{Field: x.Field, Material: x.Material, Amount: x.Amount})
	}
	a, err := ledger.Account(spec)
	for _, e := range units.FieldErrors(err) {
		switch {
		case units.PathWithin(e.Field, "book"):
			f.Sub("done", e.At(e.Field[min(len("book."), len(e.Field)):]))
		default:
			f.Sub("", e)
		}
	}
	return &a, f.Err()
}

// allowed is what a field may take, by crop year and over the years of its phosphorus.
func allowed(fields *land.Result, room *land.FieldResult) ledger.Field {
	out := ledger.Field{Name: room.Name, Area: room.Area}
	for _, y := range room.Years {
		from, to := period(fields, y.Year)
		out.Allowances = append(out.Allowances, ledger.Allowance{Kind: nutrient.LimitNitrogen, Name: "N of " + y.Crop.Crop, From: from, To: to, Room: y.Nitrogen.Room})
		if p := y.Phosphorus; p != nil && p.Limited && p.Years <= 1 {
			out.Allowances = append(out.Allowances, ledger.Allowance{Kind: nutrient.LimitPhosphorus, Name: "P2O5 of " + y.Crop.Crop, From: from, To: to, Room: p.Room})
		}
	}
	if len(room.Years) > 0 {
		if p := room.Years[0].Phosphorus; p != nil && p.Limited && p.Years > 1 {
			from, _ := period(fields, room.Years[0].Year)
			out.Allowances = append(out.Allowances, ledger.Allowance{Kind: nutrient.LimitPhosphorus, Name: "P2O5 of the years of the grant", From: from, To: from.Plus(365 * (p.Years + p.Rest)), Room: p.Room})
		}
	}
	return out
}

// period is the days of the seasons that feed the crop of a year.
func period(fields *land.Result, year int) (from, to stage.Date) {
	for _, x := range fields.Seasons {
		of := x.CropYear
		if of == 0 {
			of = time.Time(x.From).Year()
		}
		if of != year {
			continue
		}
		if from.IsZero() || x.From.Before(from) {
			from = x.From
		}
		if to.Before(x.To) {
			to = x.To
		}
	}
	return from, to
}

// fromNow asks where the rest of the materials goes: with the stock that is left, and the
// room and the passes that are left on each field. A field on which something went over
// gets nothing more.
func fromNow(spec *allocation.AllocateSpec, a *ledger.Result) {
	left := map[string]nutrient.Amount{}
	for _, x := range a.Stocks {
		left[x.Material] = x.Left
	}
	materials := spec.Materials[:0:0]
	for _, m := range spec.Materials {
		if m.Stock = left[m.Name]; m.Stock.SI() > 0 {
			materials = append(materials, m)
		}
	}
	spec.Materials = materials
	used := map[string]map[nutrient.LimitKind]units.MassPerArea{}
	for _, room := range a.Rooms {
		if used[room.Field] == nil {
			used[room.Field] = map[nutrient.LimitKind]units.MassPerArea{}
		}
		used[room.Field][room.Allowance.Kind] += room.Used
	}
	put := map[[2]string]float64{} // by field and material, SI units
	for _, x := range a.Lines {
		put[[2]string{x.Record.Field, x.Record.Material}] += x.Amount.SI()
		put[[2]string{x.Record.Field, ""}] += x.Amount.SI()
	}
	fields := make([]allocation.Field, len(spec.Fields))
	for i, field := range spec.Fields {
		limits := make([]allocation.Limit, len(field.Limits))
		for k, l := range field.Limits {
			if l.Of != "" {
				l.Room = max(0, l.Room-used[field.Name][l.Kind])
			} else if on := put[[2]string{field.Name, l.Material}]; on > 0 && l.Kind != nutrient.LimitMetal {
				l.Rate = less(l.Rate, on/float64(field.Area))
			}
			limits[k] = l
		}
		needs := make([]allocation.Need, len(field.Needs))
		for k, n := range field.Needs {
			kind := map[string]nutrient.LimitKind{OfN: nutrient.LimitNitrogen, OfP2O5: nutrient.LimitPhosphorus}[n.Of]
			n.Need = max(0, n.Need-used[field.Name][kind])
			needs[k] = n
		}
		field.Limits, field.Needs = limits, needs
		fields[i] = field
	}
	spec.Fields = fields
	for _, over := range a.Over {
		spec.Exceptions = append(spec.Exceptions, allocation.Exception{Field: over.Field, Forbid: true})
	}
}

// rest is where what is left goes.
func rest(ctx context.Context, s *Scenario, in *inputs, route *RouteResult) (*Spread, error) {
	var list []Stream
	for _, m := range route.Spread.Materials {
		list = append(list, m.Stream)
	}
	r, err := spread(ctx, s, in, list)
	return &r, err
}

// less is a rate from which so much, in SI units, is taken.
func less(r nutrient.Rate, by float64) nutrient.Rate {
	if r.Form() == nutrient.Solid {
		return nutrient.SolidRate(units.MassPerArea(max(0, r.SI()-by)))
	}
	return nutrient.LiquidRate(units.VolumePerArea(max(0, r.SI()-by)))
}
