package plan

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
)

// Removal is the machines that empty the basin. The volumes come from the plan.
// Hauling counts when the routes are compared; the cost page takes it from the
// allocation to the fields instead.
type Removal struct {
	Route removal.Route `json:"route,omitzero"` // none: the one that costs least
	removal.PlanSpec
}

// removal compares the routes and chooses one.
func (p *planner) removal() bool {
	spec, v := p.s.Removal.PlanSpec, p.r.Sludge.Volume
	spec.Sludge, spec.Contents, spec.Liquid = v.Volume, p.held, 0
	spec.Interval = v.Interval
	var err error
	p.r.Removal, err = removal.Plan(spec)
	ok := p.try("removal", err)
	if ok {
		want := p.s.Removal.Route
		if want == 0 {
			want = p.r.Removal.Cheapest
		}
		if only := p.r.Removal.Best().Routes; want == 0 && len(only) == 1 {
			want = only[0].Route
		}
		p.r.Route = want
		if p.Route = find(p.r.Removal.Best().Routes, want); p.Route == nil {
			p.faults.Add("removal.route", want, "a route that the spec describes, since neither costs less")
			ok = false
		}
	}
	if !ok {
		d := p.other
		p.r.Removal, p.r.Route, p.Route, p.s.Removal = d().r.Removal, d().r.Route, d().Route, d().s.Removal
	}
	return ok
}

func find(routes []removal.RouteResult, want removal.Route) *removal.RouteResult {
	for i := range routes {
		if routes[i].Route == want {
			return &routes[i]
		}
	}
	return nil
}

// PumpOff is the stage that takes liquid off before the sludge is touched, nil
// for none.
func (p *Plan) PumpOff() *removal.StageResult {
	for i := range p.Route.Stages {
		if s := &p.Route.Stages[i]; s.Kind == removal.StagePumpOff && s.Material.Volume > 0 {
			return s
		}
	}
	return nil
}

// DrawnOff is the liquid that is pumped off, without the rain of those days.
func (p *Plan) DrawnOff() units.Volume {
	if s := p.PumpOff(); s != nil {
		return s.Material.Volume
	}
	return 0
}

// emptying draws the liquid down with the weather going on. Where the basin or its
// pump is not known, that of the demo finds the faults of the weather.
func (p *planner) emptying(known bool) {
	e, d := &p.s.Emptying, p.other
	if !p.sound(func() { p.faults.NumberBetween("emptying.mostDays", float64(e.MostDays), 1, 3650) }) {
		e.MostDays = d().s.Emptying.MostDays
	}
	of := p
	if !known || p.PumpOff() == nil { // where all of it is agitated the weather has to be right all the same
		of = d()
	}
	// The pump starts when the lines are marked and the machines calibrated.
	start := p.after(p.workday(time.Time(p.s.Start)), daysBefore)
	spec := volume.EmptyingSpec{
		Basin: of.Basin, StartLevel: of.level, Start: start, Until: start.AddDate(0, 0, e.MostDays),
		Pump: of.PumpOff().Material.Volume.OverTime(of.PumpOff().Hours), HoursPerDay: of.s.Removal.WorkDay, WetDay: e.WetDay, Months: e.Months, Seepage: e.Seepage,
	}
	for _, day := range e.RestDays {
		spec.RestDays = append(spec.RestDays, time.Weekday(day))
	}
	var paths []string
	for _, day := range slices.SortedFunc(maps.Keys(e.Storms), func(a, b Date) int { return time.Time(a).Compare(time.Time(b)) }) {
		paths = append(paths, fmt.Sprintf("days[%d].", len(spec.Days)), "storms."+time.Time(day).Format(time.DateOnly)+".")
		spec.Days = append(spec.Days, volume.DatedWeather{Date: time.Time(day), Weather: e.Storms[day]})
	}
	paths = append(paths, "hoursPerDay", "workDay")
	var err error
	spec.StopLevel, err = volume.HeightFor(of.Basin, of.Basin.VolumeAt(of.level)-of.DrawnOff())
	var result volume.EmptyingResult
	if ok := p.try("emptying", err); ok {
		result, err = volume.Emptying(spec)
		ok = p.try("emptying", rename(err, paths...))
		switch {
		case of != p || !ok:
		case !result.Empty:
			p.faults.Add("removal.pumpOff", spec.Pump, "a pump that gets there within emptying.mostDays: %v", result.Why)
		default:
			p.r.Emptying = result
		}
	}
}

// lab works out what the two materials hold as they go to the land: the liquid
// that is drawn off, and the sludge with the liquid that is agitated with it.
func (p *planner) lab() {
	m, d := &p.s.Materials, p.other
	off, all, sludge := p.DrawnOff(), p.r.Basin.Liquid, p.r.Sludge.Volume.Volume
	effluent := p.material("materials.effluent", &m.Effluent, &p.r.Effluent, m.Effluent.samples(0))
	var err error
	p.r.Sampled, err = nutrient.Samples(nutrient.SamplesSpec{Samples: m.Sludge.samples(0), Confidence: p.s.Confidence})
	slurry := p.try("materials.sludge", rename(err, "samples", "reports", "].report", "]"))
	if slurry {
		mixed := m.Sludge.samples(sludge)
		if all > off && effluent { // the faults of the effluent are told once
			mixed = append(mixed, m.Effluent.samples(all-off)...)
		}
		slurry = p.material("materials.sludge", &m.Sludge, &p.r.Slurry, mixed)
	}
	if !effluent {
		p.r.Effluent = d().r.Effluent
	}
	if !slurry {
		p.r.Slurry, p.r.Sampled = d().r.Slurry, d().r.Sampled
	}
	// What rain adds is spread too; that it dilutes the rest is left out.
	p.r.Effluent.Stock = nutrient.LiquidAmount(off + p.r.Emptying.Extra)
	p.r.Slurry.Stock = nutrient.LiquidAmount(sludge + all - off)
}

// samples shares the amount out over the reports, 0 for none.
func (m Material) samples(amount units.Volume) []nutrient.Sample {
	var list []nutrient.Sample
	for _, r := range m.Reports {
		s := nutrient.Sample{Report: r}
		if amount > 0 {
			s.Amount = nutrient.LiquidAmount(amount / units.Volume(len(m.Reports)))
		}
		list = append(list, s)
	}
	return list
}

// material works out what a material holds and how much of it counts.
func (p *planner) material(path string, m *Material, r *MaterialResults, samples []nutrient.Sample) bool {
	set, err := nutrient.PublishedSet(m.Set)
	ok := p.try(path+".set", lookedUp(err))
	pass, liquid := m.MostPerPass.VolumePerArea()
	if !p.sound(func() {
		if !liquid {
			p.faults.Missing(path+".mostPerPass", "a volume per area, such as 10,000 gal/acre")
			return
		}
		p.faults.Between(path+".mostPerPass", pass, units.GallonPerAcre, 1e6*units.GallonPerAcre)
	}) {
		m.MostPerPass = p.other().s.Materials.Sludge.MostPerPass
	}
	r.Samples, err = nutrient.Samples(nutrient.SamplesSpec{Samples: samples, Confidence: p.s.Confidence})
	// The library numbers the samples; the scenario, its reports.
	if !p.try(path, rename(err, "samples", "reports", "].report", "]")) {
		return false
	}
	a := r.Samples.Analysis
	for _, c := range []struct {
		holds nutrient.Content
		keys  []string
		want  string
	}{{a.P, []string{"p2o5", "p"}, "P or P2O5"}, {a.K, []string{"k2o", "k"}, "K or K2O"}, {a.Solids, []string{"solids"}, "the total solids"}} {
		if c.holds.IsZero() {
			p.faults.Missing(path+"."+m.lacking(c.keys...), c.want+" in every report")
			ok = false
		}
	}
	if !ok {
		return false
	}
	r.Available, err = nutrient.Available(nutrient.AvailableSpec{Analysis: a, Set: set, Query: m.Query, Years: 3})
	return p.try(path, moved(err, func(field string) string {
		if key, of := strings.CutPrefix(field, "analysis."); of {
			return m.lacking(key)
		}
		return field
	}))
}

// lacking is the place of the first report that has none of the keys.
func (m *Material) lacking(keys ...string) string {
	for i, report := range m.Reports {
		has := map[string]any{}
		text, err := json.Marshal(report)
		if err != nil || json.Unmarshal(text, &has) != nil {
			break
		}
		if !slices.ContainsFunc(keys, func(key string) bool { return has[key] != nil }) {
			return fmt.Sprintf("reports[%d].%s", i, keys[0])
		}
	}
	return "reports"
}

// metals holds a material against the limits on metals.
func (p *planner) metals(path string, table nutrient.MetalTable, m *Material, r *MaterialResults) {
	loads, err := table.Loads(r.Samples.Analysis)
	if !p.try(path, moved(err, func(field string) string { return m.lacking(field) })) {
		return
	}
	result, err := nutrient.Metals(nutrient.MetalsSpec{Table: table, Annual: p.s.Land.AnnualMetals, Metals: loads})
	if p.try(path+".reports", err) {
		r.Metals = result
	}
}
