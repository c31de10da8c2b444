package plan

import (
	"fmt"
	"maps"
	"slices"
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
func (p *planner) removal(holds bool) bool {
	spec := p.s.Removal.PlanSpec
	if !holds {
		// Any volumes do to find the faults of the machines.
		spec.Sludge, spec.Liquid = 1000*units.Gallon, 1000*units.Gallon
		_, err := removal.Plan(spec)
		p.try("removal", err)
		return false
	}
	v := p.r.Sludge.Volume
	spec.Sludge, spec.Contents, spec.Liquid = v.Volume, p.Basin.VolumeAt(p.s.LiquidDepth), 0
	if v.HasInterval {
		spec.Interval = &v.Interval
	}
	var err error
	if p.r.Removal, err = removal.Plan(spec); !p.try("removal", err) {
		return false
	}
	want := p.s.Removal.Route
	if want == 0 {
		want = p.r.Removal.Cheapest
	}
	if only := p.r.Removal.Best().Routes; want == 0 && len(only) == 1 {
		want = only[0].Route
	}
	p.r.Route = want
	if p.Route = find(p.r.Removal.Best().Routes, want); p.Route == nil {
		p.faults.Add("removal.route", want.String(), "a route that the spec describes, since neither costs less")
		return false
	}
	return true
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

// emptying draws the liquid down with the weather going on.
func (p *planner) emptying(ok bool) bool {
	e, r := &p.s.Emptying, p.s.Removal
	if e.MostDays < 1 || e.MostDays > 3650 {
		p.faults.Add("emptying.mostDays", e.MostDays, "1 to 3650")
		return false
	}
	if !ok {
		return false
	}
	if p.PumpOff() == nil {
		return true // all of it is agitated
	}
	if y := time.Time(p.s.Start).Year(); y < 1900 || y > 9000 {
		p.faults.Say("start", time.Time(p.s.Start).Format(time.DateOnly), "a day of the years 1900 to 9000")
		return false
	}
	// The pump starts when the lines are marked and the machines calibrated.
	start := p.after(p.workday(time.Time(p.s.Start)), daysBefore)
	spec := volume.EmptyingSpec{
		Basin: p.Basin, StartLevel: p.s.LiquidDepth, Start: start, Until: start.AddDate(0, 0, e.MostDays),
		Pump: p.PumpOff().Material.Volume.OverTime(p.PumpOff().Hours), HoursPerDay: r.WorkDay, WetDay: e.WetDay, Months: e.Months, Seepage: e.Seepage,
	}
	for _, d := range e.RestDays {
		spec.RestDays = append(spec.RestDays, time.Weekday(d))
	}
	var paths []string
	for _, day := range slices.SortedFunc(maps.Keys(e.Storms), func(a, b Date) int { return time.Time(a).Compare(time.Time(b)) }) {
		paths = append(paths, fmt.Sprintf("days[%d].", len(spec.Days)), "storms."+time.Time(day).Format(time.DateOnly)+".")
		spec.Days = append(spec.Days, volume.DatedWeather{Date: time.Time(day), Weather: e.Storms[day]})
	}
	var err error
	spec.StopLevel, err = volume.HeightFor(p.Basin, p.Basin.VolumeAt(p.s.LiquidDepth)-p.DrawnOff())
	if !p.try("emptying", err) {
		return false
	}
	if p.r.Emptying, err = volume.Emptying(spec); !p.try("emptying", rename(err, paths...)) {
		return false
	}
	if !p.r.Emptying.Empty {
		p.faults.Say("removal.pumpOff", spec.Pump.Trade()+" on average", "a pump that gets there within mostDays: "+p.r.Emptying.Why)
	}
	return p.r.Emptying.Empty
}

// lab works out what the two materials hold as they go to the land: the liquid
// that is drawn off, and the sludge with the liquid that is agitated with it.
func (p *planner) lab(removal bool) bool {
	m := &p.s.Materials
	if !removal {
		// The reports have their own faults to tell.
		ok := p.material("materials.effluent", m.Effluent, &p.r.Effluent, m.Effluent.samples(0))
		return p.material("materials.sludge", m.Sludge, &p.r.Slurry, m.Sludge.samples(0)) && ok && false
	}
	off, all := p.DrawnOff(), p.r.Basin.Liquid
	ok := p.material("materials.effluent", m.Effluent, &p.r.Effluent, m.Effluent.samples(0))
	var err error
	p.r.Sampled, err = nutrient.Samples(nutrient.SamplesSpec{Samples: m.Sludge.samples(0), Confidence: p.s.Confidence})
	p.try("materials.sludge", rename(err, "samples", "reports", "].report", "]"))
	mixed := m.Sludge.samples(p.r.Sludge.Volume.Volume)
	if all > off && ok { // the faults of the effluent are told once
		mixed = append(mixed, m.Effluent.samples(all-off)...)
	}
	ok = p.material("materials.sludge", m.Sludge, &p.r.Slurry, mixed) && ok
	// What rain adds is spread too; that it dilutes the rest is left out.
	p.r.Effluent.Stock = nutrient.LiquidAmount(off + p.r.Emptying.Extra)
	p.r.Slurry.Stock = nutrient.LiquidAmount(p.r.Sludge.Volume.Volume + all - off)
	return ok
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

func (p *planner) material(path string, m Material, r *MaterialResults, samples []nutrient.Sample) bool {
	set, err := nutrient.PublishedSet(m.Set)
	ok := p.try(path, err)
	r.Samples, err = nutrient.Samples(nutrient.SamplesSpec{Samples: samples, Confidence: p.s.Confidence})
	// The library numbers the samples; the scenario, its reports.
	ok = p.try(path, rename(err, "samples", "reports", "].report", "]")) && ok
	if !ok {
		return false
	}
	a := r.Samples.Analysis
	for _, c := range []struct {
		holds nutrient.Content
		want  string
	}{{a.P, "P or P2O5"}, {a.K, "K or K2O"}, {a.Solids, "the total solids"}} {
		if c.holds.IsZero() {
			p.faults.Missing(path+".reports", c.want+" in every report")
			ok = false
		}
	}
	r.Available, err = nutrient.Available(nutrient.AvailableSpec{Analysis: a, Set: set, Query: m.Query, Years: 3})
	ok = p.try(path, rename(err, "analysis.", "reports.")) && ok
	pass, liquid := m.MostPerPass.VolumePerArea()
	if !liquid {
		p.faults.Missing(path+".mostPerPass", "a volume per area, such as 10,000 gal/acre")
		return false
	}
	p.faults.Between(path+".mostPerPass", pass, units.GallonPerAcre, 1e6*units.GallonPerAcre)
	return ok && pass >= units.GallonPerAcre && pass <= 1e6*units.GallonPerAcre
}

// metals holds a material against the limits on metals.
func (p *planner) metals(path string, table nutrient.MetalTable, r *MaterialResults) bool {
	loads, err := table.Loads(r.Samples.Analysis)
	if !p.try(path+".reports", err) {
		return false
	}
	r.Metals, err = nutrient.Metals(nutrient.MetalsSpec{Table: table, Annual: p.s.Land.AnnualMetals, Metals: loads})
	return p.try(path+".reports", err)
}
