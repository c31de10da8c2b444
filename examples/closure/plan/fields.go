package plan

import (
	"context"
	"fmt"
	"slices"
	"time"

	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/nutrient/allocation"
	"example.org/earthbasin/units"
)

// Names of the constituents that limits and prices of a scenario are about.
const (
	OfN    = "available N"
	OfP2O5 = "P2O5"
	OfK2O  = "K2O"
)

const onePass = "most in one pass"

// Bounds of a field that no farm reaches.
const (
	mostField    = 1e5 * units.Acre
	mostDistance = 1000 * units.Mile
	mostYield    = 1e4
)

// fields works out what each field may take and at which rate.
func (p *planner) fields() {
	l, d := &p.s.Land, p.other
	crops, err := nutrient.PublishedCropTable(l.CropTable)
	cropped := p.try("land.cropTable", lookedUp(err))
	rule, err := nutrient.PublishedSiteRule(l.SiteRule)
	ruled := p.try("land.siteRule", lookedUp(err))
	metals, err := nutrient.PublishedMetalTable(l.MetalTable)
	limited := p.try("land.metalTable", lookedUp(err))
	if b := l.Banking; b != nil && !p.sound(func() {
		p.faults.NumberBetween("land.banking.years", float64(b.Years), 1, 20)
		p.faults.NumberBetween("land.banking.rest", float64(b.Rest), 0, 20)
	}) {
		l.Banking = d().s.Land.Banking
	}
	if l.AnnualMetals == 0 {
		p.faults.Missing("land.annualMetals", "apply, or do not apply: whether the limits of one year bind what is spread")
		l.AnnualMetals = d().s.Land.AnnualMetals
	}
	if limited {
		p.metals("materials.effluent", metals, &p.s.Materials.Effluent, &p.r.Effluent)
		p.metals("materials.sludge", metals, &p.s.Materials.Sludge, &p.r.Slurry)
	}
	if len(l.Fields) == 0 {
		p.faults.Missing("land.fields", "at least one field")
		l.Fields, p.r.Fields = d().s.Land.Fields, d().r.Fields
		return
	}
	var water nutrient.Limit
	if slices.ContainsFunc(l.Fields, func(f Field) bool { return f.Effluent }) {
		soil, err := nutrient.Hydraulic(l.Soil)
		if p.try("land.soil", err) {
			water = soil.Limit
		}
	}
	for i, f := range l.Fields {
		path := fmt.Sprintf("land.fields[%d]", i)
		r := FieldResults{Name: f.Name, Area: f.Area - f.Setback}
		if !p.sound(func() { p.field(path, f) }) {
			r.Area, l.Fields[i].Distance = d().r.Fields[0].Area, d().s.Land.Fields[0].Distance
		}
		good := cropped
		if cropped {
			r.Crop, err = crops.For(f.Crop, f.Yield)
			good = p.try(path, err)
		}
		if !good {
			r.Crop = d().r.Fields[0].Crop
		}
		p.nitrogen(path, f, &r)
		good = ruled
		if ruled {
			r.SiteLimit, err = rule.Limit(f.Site)
			good = p.try(path+".site", err)
		}
		if !good {
			r.SiteLimit = d().r.Fields[0].SiteLimit
		}
		p.rates(path, f, &r, water)
		p.r.Fields = append(p.r.Fields, r)
	}
}

// field checks the figures of a field that no table looks at.
func (p *planner) field(path string, f Field) {
	p.faults.Between(path+".area", f.Area, 0.01*units.Acre, units.Area(mostField))
	p.faults.Between(path+".distance", f.Distance, units.Foot, units.Length(mostDistance))
	p.faults.NumberBetween(path+".yield.perAcre", f.Yield.PerAcre+f.Yield.PerHectare, 0.001, mostYield)
	if t := f.Site.SoilTest; t != nil && t.Value == 0 {
		p.faults.Missing(path+".site.soilTest.value", "a figure above 0; the limit of detection where less was found")
	}
	p.faults.Between(path+".setback", f.Setback, units.Area(0), max(0, f.Area))
}

// nitrogen works out how much nitrogen a field has room for.
func (p *planner) nitrogen(path string, f Field, r *FieldResults) {
	n := f.Nitrogen
	if n.Need == 0 {
		n.Need = r.Crop.N.Low
	}
	if n.Need == 0 && r.Crop.NRule != "" {
		p.faults.Missing(path+".nitrogen.need", "what the crop needs, since the table says of its N: "+r.Crop.NRule)
	}
	var err error
	if r.Nitrogen, err = nutrient.NitrogenRoom(n); !p.try(path+".nitrogen", err) {
		r.Nitrogen = p.other().r.Fields[0].Nitrogen
	}
}

// rates finds the rate of each material on one field and the limit that sets it;
// water is the limit of the soil where effluent is irrigated.
func (p *planner) rates(path string, f Field, r *FieldResults, water nutrient.Limit) {
	if room, limited := r.SiteLimit.Cap(p.Banked(r.Crop.P2O5.Low)); limited {
		r.P2O5 = &room
	}
	if f.Effluent {
		list := limits(&p.r.Effluent, r)
		if water != (nutrient.Limit{}) {
			list = append(list, water)
		}
		list = append(list, nutrient.Limit{Kind: nutrient.LimitPass, Name: onePass, Rate: p.s.Materials.Effluent.MostPerPass, Source: "machine"})
		rate, err := nutrient.FieldRate(nutrient.FieldRateSpec{Limits: list, Needs: p.needs(&p.r.Effluent, r)})
		p.try(path, err)
		r.Effluent = &rate
	}
	list := append(limits(&p.r.Slurry, r),
		nutrient.Limit{Kind: nutrient.LimitPass, Name: onePass, Rate: p.s.Materials.Sludge.MostPerPass, Source: "machine"})
	var err error
	r.Sludge, err = nutrient.FieldRate(nutrient.FieldRateSpec{Limits: list, Needs: p.needs(&p.r.Slurry, r)})
	p.try(path, err)
}

// limits lists the limits that nutrients and metals set to one material. The
// high end of the available N counts, so that no field gets more than it needs.
func limits(m *MaterialResults, r *FieldResults) []nutrient.Limit {
	a := m.Samples.Analysis
	list := []nutrient.Limit{{Kind: nutrient.LimitNitrogen, Holds: m.Available.Years[0].N.High, Room: r.Nitrogen.Room, Source: r.Crop.Table}}
	if r.P2O5 != nil {
		list = append(list, nutrient.Limit{Kind: nutrient.LimitPhosphorus, Holds: a.P2O5(), Room: *r.P2O5, Source: r.SiteLimit.Source.Title})
	}
	return append(list, m.Metals.Limits...)
}

// needs lists what the crop needs, to tell what a rate leaves missing.
func (p *planner) needs(m *MaterialResults, r *FieldResults) []nutrient.NutrientNeed {
	a := m.Samples.Analysis
	return []nutrient.NutrientNeed{
		{Name: OfN, Holds: m.Available.Years[0].N.Low, Need: r.Nitrogen.Room},
		{Name: OfP2O5, Holds: a.P2O5(), Need: p.Banked(r.Crop.P2O5.High)},
		{Name: OfK2O, Holds: a.K2O(), Need: r.Crop.K2O.High},
	}
}

// allocate spreads both materials over the fields at least cost.
func (p *planner) allocate(ctx context.Context) {
	l, d := &p.s.Land, p.other
	if len(l.Seasons) == 0 {
		p.faults.Missing("land.seasons", "one season or more, the effluent in the first and the sludge in the last")
		l.Seasons = d().s.Land.Seasons
	}
	spec, ok := p.allocation()
	if ok {
		var err error
		p.r.Allocated, err = allocation.Allocate(ctx, spec)
		ok = p.try("", rename(err, "materials[0]", "materials."+spec.Materials[0].Name, "materials[1]", "materials.sludge",
			"seasons", "land.seasons", "prices[", "land.prices[", "fields[", "land.fields["))
	}
	if !ok {
		p.r.Allocated = d().r.Allocated
	}
	for i := range p.r.Fields {
		p.budget(i)
	}
	if p.faults.Err() != nil {
		return
	}
	if v := p.r.Sludge.Volume; v.Interval != nil {
		more := slices.Clone(spec.Materials)
		stock, _ := p.r.Slurry.Stock.Volume()
		more[len(more)-1].Stock = nutrient.LiquidAmount(stock + v.Interval.High - v.Volume)
		spec.Materials = more
		high, err := allocation.Allocate(ctx, spec)
		p.try("land", err)
		p.r.AllocatedHigh = &high
	}
	p.effluentWorth()
	taker := p.FirstTaker()
	if p.r.Fields[taker].Sludge.Rate.SI() == 0 {
		return // no crop to count the land by
	}
	var err error
	p.r.LandBase, err = nutrient.LandBase(p.landBase(p.Banked))
	p.try("land", err)
	if l.Banking != nil {
		one, err := nutrient.LandBase(p.landBase(func(r units.MassPerArea) units.MassPerArea { return r }))
		p.try("land", err)
		p.r.OneYear = &one
	}
	p.worth(p.s.Materials.Sludge, &p.r.Slurry, taker, p.r.Fields[taker].Sludge.Rate)
}

// allocation is what has to be spread, and where it may go.
func (p *planner) allocation() (spec allocation.AllocateSpec, ok bool) {
	l := &p.s.Land
	spec = allocation.AllocateSpec{Seasons: l.Seasons, Prices: l.Prices}
	ok = true
	add := func(name, season string, in Material, m *MaterialResults) {
		a := m.Samples.Analysis
		holds := []allocation.Holding{
			{Of: OfN, Content: m.Available.Years[0].N.High}, {Of: OfP2O5, Content: a.P2O5()}, {Of: OfK2O, Content: a.K2O()}}
		m.Holds = map[string]units.Mass{}
		for _, h := range append(holds, allocation.Holding{Of: "total N", Content: a.TotalN}) {
			mass, err := h.Content.Times(m.Stock)
			ok = p.try("materials."+name, err) && ok
			m.Holds[h.Of] = mass
		}
		spec.Materials = append(spec.Materials, allocation.Material{Name: name, Stock: m.Stock, Holds: holds,
			Seasons: []string{season}, Spread: in.Spread, HaulPerMile: in.HaulPerMile, Load: in.Load})
	}
	draws := p.PumpOff() != nil
	if draws {
		add("effluent", l.Seasons[0], p.s.Materials.Effluent, &p.r.Effluent)
	}
	add("sludge", l.Seasons[len(l.Seasons)-1], p.s.Materials.Sludge, &p.r.Slurry)
	for i, f := range l.Fields {
		r := p.r.Fields[i]
		field := allocation.Field{Name: f.Name, Area: r.Area, Distance: f.Distance}
		for _, season := range l.Seasons {
			field.Limits = append(field.Limits, allocation.Limit{Kind: nutrient.LimitNitrogen, Of: OfN, Room: r.Nitrogen.Room, Season: season})
			field.Needs = append(field.Needs,
				allocation.Need{Of: OfN, Need: r.Nitrogen.Room, Season: season},
				allocation.Need{Of: OfK2O, Need: r.Crop.K2O.Low, Season: season})
		}
		field.Needs = append(field.Needs, allocation.Need{Of: OfP2O5, Need: p.Banked(r.Crop.P2O5.Low)})
		if r.P2O5 != nil {
			field.Limits = append(field.Limits, allocation.Limit{Kind: nutrient.LimitPhosphorus, Of: OfP2O5, Room: *r.P2O5})
		}
		field.Limits = append(field.Limits, allocation.Limit{Kind: nutrient.LimitPass, Name: "rate of sludge", Rate: r.Sludge.Rate, Material: "sludge"})
		switch {
		case !draws:
		case f.Effluent:
			field.Limits = append(field.Limits, allocation.Limit{Kind: nutrient.LimitPass, Name: "rate of effluent", Rate: r.Effluent.Rate, Material: "effluent"})
		default:
			spec.Exceptions = append(spec.Exceptions, allocation.Exception{Material: "effluent", Field: f.Name, Forbid: true})
		}
		spec.Fields = append(spec.Fields, field)
	}
	return spec, ok
}

// FirstTaker is the index of the first field that may take slurry, which stands for all where
// one is looked at; the first of all when none may.
func (p *Plan) FirstTaker() int {
	return max(0, slices.IndexFunc(p.Results.Fields, func(f FieldResults) bool { return f.Sludge.Rate.SI() > 0 }))
}

// effluentWorth is the worth of the effluent on the first field that its pipe
// reaches and that may take it.
func (p *planner) effluentWorth() {
	for i, r := range p.r.Fields {
		if r.Effluent != nil && r.Effluent.Rate.SI() > 0 {
			p.worth(p.s.Materials.Effluent, &p.r.Effluent, i, r.Effluent.Rate)
			return
		}
	}
}

// worth values the nutrients of a material that field i needs.
func (p *planner) worth(in Material, m *MaterialResults, i int, rate nutrient.Rate) {
	a, f := m.Samples.Analysis, p.r.Fields[i]
	spec := nutrient.WorthSpec{Rate: rate, Spread: in.Spread, HaulPerMile: in.HaulPerMile, Distance: p.s.Land.Fields[i].Distance}
	for _, n := range []nutrient.WorthNutrient{
		{Name: OfN, Holds: m.Available.Years[0].N.Low, Need: f.Nitrogen.Room},
		{Name: OfP2O5, Holds: a.P2O5(), Need: p.Banked(f.Crop.P2O5.Low)},
		{Name: OfK2O, Holds: a.K2O(), Need: f.Crop.K2O.Low},
	} {
		n.Available = 1
		for _, price := range p.s.Land.Prices {
			if price.Of == n.Name {
				n.Price = price.Price
			}
		}
		spec.Nutrients = append(spec.Nutrients, n)
	}
	worth, err := nutrient.Worth(spec)
	m.Worth = &worth
	p.try("land", rename(err, "nutrients[", "prices["))
}

// Brings is what a placement puts on its field of the contents that of returns
// for its material.
func (p *Plan) Brings(x allocation.Placement, of func(*MaterialResults) nutrient.Content) units.MassPerArea {
	m := &p.Results.Effluent
	if x.Material == "sludge" {
		m = &p.Results.Slurry
	}
	load, _ := x.Rate.Carrying(of(m)) // both are of one material and so of one form
	return load
}

// budget follows P and K of one field over the years that the plan serves. The
// banking rule holds where the site rule limits P; an N-based field needs none.
func (p *planner) budget(i int) {
	l, f, r := &p.s.Land, p.s.Land.Fields[i], &p.r.Fields[i]
	year := time.Time(p.s.Start).Year()
	spec := nutrient.BudgetSpec{First: year, Seasons: len(l.Seasons), Rotation: []nutrient.CropNutrients{r.Crop}, SoilP: f.Site.SoilTest, P2O5PerPPM: l.P2O5PerPPM}
	if l.Banking != nil {
		if r.P2O5 != nil {
			spec.Banking = l.Banking
		}
		spec.Seasons += l.Banking.Rest
	}
	for _, x := range p.r.Allocated.Placements {
		if x.Field != f.Name {
			continue
		}
		spec.Applications = append(spec.Applications, nutrient.BudgetApplication{Season: year + slices.Index(l.Seasons, x.Season), Manure: true,
			P2O5: p.Brings(x, func(m *MaterialResults) nutrient.Content { return m.Samples.Analysis.P2O5() }),
			K2O:  p.Brings(x, func(m *MaterialResults) nutrient.Content { return m.Samples.Analysis.K2O() })})
	}
	var err error
	r.Budget, err = nutrient.Budget(spec)
	p.try("land", rename(err, "soilP", fmt.Sprintf("fields[%d].site.soilTest", i)))
}

// Banked is the P2O5 of the years that one application may serve.
func (p *Plan) Banked(removal units.MassPerArea) units.MassPerArea {
	if b := p.Scenario.Land.Banking; b != nil {
		return b.Room(removal)
	}
	return removal
}

// landBase asks for the land that the whole content of the basin needs, on the
// crop of the first field that may take slurry, when room tells how much P2O5 its
// removal in a year allows.
func (p *planner) landBase(room func(units.MassPerArea) units.MassPerArea) nutrient.LandBaseSpec {
	first := p.r.Fields[p.FirstTaker()]
	spec := nutrient.LandBaseSpec{Stocks: []nutrient.LandStock{
		{Name: OfN, Mass: p.r.Effluent.Holds[OfN] + p.r.Slurry.Holds[OfN], PerArea: first.Nitrogen.Room},
		{Name: OfP2O5, Mass: p.r.Effluent.Holds[OfP2O5] + p.r.Slurry.Holds[OfP2O5], PerArea: room(first.Crop.P2O5.Low)},
	}}
	for _, f := range p.r.Fields {
		spec.Have += f.Area
	}
	return spec
}
