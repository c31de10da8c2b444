package removal

import (
	"math"

	"example.org/earthbasin/sludge/internal/limits"
	"example.org/earthbasin/units"
)

// planner works out the routes for one sludge volume of a checked spec.
type planner struct {
	spec    PlanSpec
	classes []SolidsClass
	faults  *units.Faults
	sludge  Slurry
	liquid  Slurry
}

// plan returns both routes for a sludge volume, which may be 0 at the low end of an
// interval.
func (p *planner) plan(name string, sludge units.Volume) Case {
	spec := p.spec
	liquid := spec.Liquid
	if spec.Contents > 0 {
		liquid = spec.Contents - sludge
	}
	if liquid < limits.MinVolume {
		liquid = 0 // the rounding of a difference, and -0
	}
	sludge = limits.NoSign(sludge)
	p.sludge = p.slurry("sludge", sludge, spec.Solids)
	p.liquid = p.slurry("liquid", liquid, spec.LiquidSolids)
	c := Case{Name: name, Sludge: sludge, Liquid: liquid}
	if p.faults.Err() != nil {
		return c
	}
	c.Routes = append(c.Routes, p.total(p.drawOffDig()))
	if spec.Agitate != nil {
		c.Routes = append(c.Routes, p.total(p.agitatePump()))
	}
	return c
}

// slurry returns a volume of the material of the spec; none for 0.
func (p *planner) slurry(field string, v units.Volume, solids units.MassFraction) Slurry {
	spec := SlurrySpec{Volume: 1, Solids: solids, SolidsGravity: p.spec.SolidsGravity, WaterDensity: p.spec.WaterDensity}
	if v > 0 {
		spec.Volume = v
	}
	s, err := NewSlurry(spec)
	p.faults.Sub(field, err)
	if v == 0 {
		return s.of(0, 0)
	}
	return s
}

// drawOffDig pumps the liquid off, with the water that the sludge drains, and digs.
func (p *planner) drawOffDig() RouteResult {
	r := RouteResult{Route: RouteDrawOffDig, In: p.sludge.with(p.liquid)}
	dug, off := p.drained(p.sludge)
	p.move(&r, StagePumpOff, "pumpOff", "pump off the liquid", p.liquid.with(off), 1, p.spec.PumpOff)
	p.dig(&r, "dig the sludge", dug)
	return r
}

// agitatePump pumps off the liquid that is not needed, agitates, pumps the slurry
// and digs what stays.
func (p *planner) agitatePump() RouteResult {
	a := p.spec.Agitate
	r := RouteResult{Route: RouteAgitatePump}
	stays, lifted := p.split(a)
	target := a.target(p.classes)
	need := lifted.liquidFor(target, limits.NoSign(p.spec.LiquidSolids))
	mixed, surplus, fresh := p.liquid, p.liquid.of(0, 0), p.liquid.of(0, 0)
	if a.Mix == MixNeeded {
		mixed, surplus = p.liquid.cut(need.Mass)
	}
	if need.Mass > p.liquid.Mass {
		// All liquid goes in, and clean water on top.
		fresh = lifted.with(p.liquid).liquidFor(target, 0)
	}
	slurry := lifted.with(mixed).with(fresh)
	dug, off := p.drained(stays)
	r.In = p.sludge.with(p.liquid).with(fresh)
	p.move(&r, StagePumpOff, "pumpOff", "pump off the liquid", surplus.with(off), 1, p.spec.PumpOff)
	before := len(r.Stages)
	p.move(&r, StagePump, "agitate.pump", "pump the slurry", slurry, 1, a.Pump)
	if lifted.Dry > 0 && len(r.Stages) > before {
		p.agitation(&r, a, fresh.Volume)
	}
	p.dig(&r, "dig what stays", dug)
	if fresh.Volume > 0 {
		r.Notes = append(r.Notes, units.Words("The liquid does not thin the sludge to %v solids: %v of water has to be brought in.", units.As(target, units.Percent, 1), liquid(fresh.Volume)))
	}
	return r
}

// split returns the sludge that stays on the floor and that which is lifted.
func (p *planner) split(a *AgitateSpec) (stays, lifted Slurry) {
	none := p.sludge.of(0, 0)
	if a.Residual == 0 || p.sludge.Dry == 0 {
		return none, p.sludge
	}
	solids := a.ResidualSolids
	if solids == 0 {
		solids = p.sludge.Solids
	}
	stays, lifted, ok := p.sludge.thickened(solids, a.Residual)
	if !ok {
		p.faults.Add("agitate.residualSolids", solids, "solids that leave no more water than the sludge has")
		return none, none
	}
	return stays, lifted
}

// cut returns the part of s with the given mass, at most all of it, and the rest.
func (s Slurry) cut(mass units.Mass) (part, rest Slurry) {
	if s.Mass == 0 || mass >= s.Mass {
		return s, s.of(0, 0)
	}
	share := mass / s.Mass
	part = s.of(share*s.Dry, share*s.Water)
	return part, s.of(s.Dry-part.Dry, s.Water-part.Water)
}

// drained returns sludge as it is dug and the water it gives off before.
func (p *planner) drained(s Slurry) (dug, off Slurry) {
	if p.spec.Dig.Drained <= s.Solids || s.Dry == 0 {
		return s, s.of(0, 0)
	}
	dug, off, _ = s.thickened(p.spec.Dig.Drained, 1)
	return dug, off
}

// agitation adds its stage before the last one, the pumping of the slurry, through
// which it goes on.
func (p *planner) agitation(r *RouteResult, a *AgitateSpec, fresh units.Volume) {
	last := len(r.Stages) - 1
	pumping := r.Stages[last]
	r.Stages = r.Stages[:last]
	s := StageResult{Kind: StageAgitate, Name: "agitate", Hours: limits.NoSign(a.Agitation), Fresh: fresh}
	s.Cost = limits.NoSign(a.Fixed + a.PerHour.Of(s.Hours+pumping.Hours) + a.Water.Of(fresh))
	p.add(r, "agitate", s)
	r.Stages = append(r.Stages, pumping)
}

func (p *planner) dig(r *RouteResult, name string, s Slurry) {
	p.move(r, StageDig, "dig", name, s, p.spec.Dig.Swell, p.spec.Dig.Equipment)
	if class := classOf(p.classes, s.Solids); s.Volume > 0 && class.Handling == HandlingPump {
		r.Notes = append(r.Notes, units.Words("At %v solids what is to be dug is %v by the classes and runs from a bucket: drain it first or pump it.", units.As(s.Solids, units.Percent, 1), units.Word(class.Name)))
	}
}

// move adds the stage that moves s, unless there is none of it.
func (p *planner) move(r *RouteResult, kind StageKind, path, name string, s Slurry, swell float64, e Equipment) {
	if s.Volume == 0 {
		return
	}
	stage := StageResult{Kind: kind, Name: name, Material: s, Moved: units.Volume(swell) * s.Volume, Class: classOf(p.classes, s.Solids)}
	loads, trucks, miles := 0, 0, 0.0
	ok := true
	if fl := e.Fleet; fl != nil {
		var h HaulResult
		h, ok = fl.haul(stage.Moved, s.Mass.OverVolume(stage.Moved))
		stage.Haul, stage.Hours = &h, h.Time
		loads, trucks, miles = h.Loads, h.Trucks, fl.Distance.In(units.Mile)
	} else {
		var h PumpResult
		h, ok = e.Hose.pump(stage.Moved)
		stage.Hose, stage.Hours = &h, h.Time
		if stage.Class.Handling == HandlingDig {
			r.Notes = append(r.Notes, units.Words("%v: at %v solids it is %v by the classes and does not flow to a pump.", units.Word(name), units.As(s.Solids, units.Percent, 1), units.Word(stage.Class.Name)))
		}
	}
	if !ok {
		p.faults.Add(path, stage.Moved, "equipment that moves it in a finite time, with at most %v loads or hose sets", int(maxLoads))
		return
	}
	c := e.Cost
	stage.Hauling = limits.NoSign(miles*c.PerVolumeMile.Of(stage.Moved) + c.PerLoad*float64(loads) + float64(trucks)*c.PerTruckHour.Of(stage.Hours))
	stage.Cost = limits.NoSign(c.Fixed + c.PerVolume.Of(stage.Moved) + c.PerMass.Of(s.Mass) + c.PerHour.Of(stage.Hours) + stage.Hauling)
	p.add(r, path+".cost", stage)
}

// add appends a stage with its days.
func (p *planner) add(r *RouteResult, path string, s StageResult) {
	days := math.Ceil(float64(s.Hours/p.spec.WorkDay) * (1 - 1e-12))
	if !(days <= maxLoads) || !finiteCost(s.Cost) {
		p.faults.Add(path, s.Cost, "prices and times whose product is a finite number")
		return
	}
	s.Days = int(days)
	r.Stages = append(r.Stages, s)
}

// total sums the stages.
func (p *planner) total(r RouteResult) RouteResult {
	r.Out = p.sludge.of(0, 0)
	for _, s := range r.Stages {
		r.Out = r.Out.with(Slurry{Dry: s.Material.Dry, Water: s.Material.Water})
		r.Moved += s.Moved
		r.Fresh += s.Fresh
		r.Hours += s.Hours
		r.Days += s.Days
		r.Cost += s.Cost
		r.Hauling += s.Hauling
		if s.Haul != nil {
			r.Loads += s.Haul.Loads
		}
	}
	if !finiteCost(r.Cost) || !finiteCost(float64(r.Hours)) {
		p.faults.Add("workDay", r.Cost, "prices and times whose sum is a finite number")
	}
	return r
}
