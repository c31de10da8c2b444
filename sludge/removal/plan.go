package removal

import (
	"example.org/earthbasin/units"
)

// planner works out the routes for one sludge volume of a checked spec.
type planner struct {
	spec         PlanSpec
	classes      []SolidsClass
	faults       *units.Faults
	sludge       body
	liquid       body
	constituents []ConstituentResult
}

// plan returns both routes for a sludge volume, which may be 0 at the low end of an
// interval.
func (p *planner) plan(name string, sludge units.Volume) Case {
	spec := p.spec
	liquid := spec.Liquid
	if spec.Contents > 0 {
		liquid = spec.Contents - sludge
	}
	if liquid < minVolume {
		liquid = 0 // the rounding of a difference, and -0
	}
	sludge = noSign(sludge)
	p.holding(p.slurry(liquid, spec.LiquidSolids), p.slurry(sludge, spec.Solids))
	c := Case{Name: name, Sludge: sludge, Liquid: liquid, Constituents: p.constituents}
	if p.faults.Err() != nil {
		return c
	}
	c.Routes = append(c.Routes, p.drawOffDig().total())
	if spec.Agitate != nil && p.faults.Err() == nil { // else what both routes share is told twice
		c.Routes = append(c.Routes, p.agitatePump().total())
	}
	return c
}

// slurry returns a volume with solids of the kind of the spec, none for 0. What it is
// made of has been checked.
func (p *planner) slurry(v units.Volume, solids units.MassFraction) Slurry {
	s, err := NewSlurry(SlurrySpec{Volume: max(v, minVolume), Solids: solids, SolidsGravity: p.spec.SolidsGravity, WaterDensity: p.spec.WaterDensity})
	p.faults.Sub("sludge", err)
	if v == 0 {
		return s.of(0, 0)
	}
	return s
}

// start returns a route with what lies in the basin, and the liquid with what came in
// before the work.
func (p *planner) start(route Route) (r RouteResult, liquid body) {
	r = RouteResult{Route: route, Feasible: true, In: p.sludge.Slurry.with(p.liquid.Slurry)}
	r.Joined, r.Out = r.In.of(0, 0), r.In.of(0, 0)
	// Pump off, agitate, pump, drain and dig at most.
	r.Stages, r.Streams = make([]StageResult, 0, 5), make([]Stream, 0, 5)
	for _, c := range p.constituents {
		r.Balance = append(r.Balance, BalanceResult{Name: c.Name})
	}
	r.in(p.sludge)
	r.in(p.liquid)
	return r, p.exchange(&r, 0, p.liquid)
}

// drawOffDig pumps the liquid off, then what the sludge drains, and digs.
func (p *planner) drawOffDig() RouteResult {
	r, liquid := p.start(RouteDrawOffDig)
	dug, off := p.drained(p.sludge)
	p.move(&r, moving{StagePumpOff, StreamEffluent, "pumpOff", "pump off the liquid"}, liquid, 1, p.spec.PumpOff)
	p.dig(&r, StreamSludge, "dig the sludge", dug, off)
	return r
}

// agitatePump pumps off the liquid that is not needed, agitates, pumps the slurry
// and digs what stays.
func (p *planner) agitatePump() RouteResult {
	a := p.spec.Agitate
	r, liquid := p.start(RouteAgitatePump)
	target := a.target(p.classes)
	if !(liquid.Solids < target) {
		p.faults.Add("agitate.target", target, "more than the solids of the liquid, %v", liquid.Solids)
		return r
	}
	// With a relation, turnovers count over all that is agitated when nothing stays.
	residual := a.Residual
	if a.Machine != nil && len(a.Machine.Residual) > 0 {
		mixed, _, fresh := p.mix(a, p.sludge, liquid, target)
		residual = *a.Machine.agitate(p.sludge.Volume+mixed.Volume+fresh.Volume, a.Agitation).Residual
	}
	stays, lifted := p.split(a, residual)
	mixed, surplus, fresh := p.mix(a, lifted, liquid, target)
	slurry := lifted.with(mixed).with(fresh)
	dug, off := p.drained(stays)
	r.In = r.In.with(fresh.Slurry)
	p.move(&r, moving{StagePumpOff, StreamEffluent, "pumpOff", "pump off the liquid"}, surplus, 1, p.spec.PumpOff)
	before := len(r.Stages)
	p.move(&r, moving{StagePump, StreamSlurry, "agitate.pump", "pump the slurry"}, slurry, 1, a.Pump)
	if lifted.Volume > 0 && len(r.Stages) > before {
		p.agitation(&r, a, residual, slurry.Volume+stays.Volume, fresh.Volume)
	}
	p.dig(&r, StreamResidual, "dig what stays", dug, off)
	if fresh.Volume > 0 {
		r.Notes = append(r.Notes, units.Words("The liquid does not thin the sludge to %v solids: %v of water has to be brought in.", units.As(target, units.Percent, 1), liquidVolume(fresh.Volume)))
	}
	return r
}

// mix returns the liquid that is agitated with what is lifted, the rest of it, and the
// clean water that has to be brought in.
func (p *planner) mix(a *AgitateSpec, lifted, liquid body, target units.MassFraction) (mixed, surplus, fresh body) {
	need := lifted.liquidFor(target, liquid.Solids)
	mixed, surplus, fresh = liquid, liquid.only(liquid.of(0, 0)), liquid.only(liquid.of(0, 0))
	if a.Mix == MixNeeded {
		mixed, surplus = liquid.cut(need.Mass)
	}
	if less(liquid.Mass, need.Mass) {
		// All liquid goes in, and clean water on top.
		fresh = lifted.only(lifted.with(liquid).liquidFor(target, 0))
	}
	return mixed, surplus, fresh
}

// split returns the sludge that stays on the floor and that which is lifted.
func (p *planner) split(a *AgitateSpec, residual float64) (stays, lifted body) {
	none := p.sludge.only(p.sludge.of(0, 0))
	if residual == 0 || p.sludge.Volume == 0 {
		return none, p.sludge
	}
	solids := a.ResidualSolids
	if solids == 0 {
		solids = p.sludge.Solids
	}
	stays, lifted, ok := p.sludge.thickened(solids, residual)
	if !ok {
		p.faults.Add("agitate.residualSolids", solids, "solids that leave no more water than the sludge has")
		return none, none
	}
	return stays, lifted
}

// drained returns sludge as it is dug and the water it gives off before.
func (p *planner) drained(b body) (dug, off body) {
	if p.spec.Dig.Drained <= b.Solids || b.Volume == 0 {
		return b, b.only(b.of(0, 0))
	}
	dug, off, ok := b.thickened(p.spec.Dig.Drained, 1-p.spec.Dig.Lost)
	if !ok {
		p.faults.Add("dig.drained", p.spec.Dig.Drained, "solids that leave no more water than the sludge has")
	}
	return dug, off
}

// agitation adds its stage before the last one, the pumping of the slurry, through
// which it goes on.
func (p *planner) agitation(r *RouteResult, a *AgitateSpec, residual float64, volume, fresh units.Volume) {
	last := len(r.Stages) - 1
	pumping := r.Stages[last]
	r.Stages = r.Stages[:last]
	s := StageResult{Kind: StageAgitate, Name: "agitate", Hours: noSign(a.Agitation), Fresh: fresh}
	s.Cost = noSign(a.Fixed + a.PerHour.Of(s.Hours+pumping.Hours) + a.Water.Of(fresh))
	doubt := units.Words("That %v of the solids stay is an assumption: measure what stays while pumping goes on.", units.As(units.MassFraction(residual), units.Percent, 0))
	if a.Machine != nil {
		s.Agitation = new(a.Machine.agitate(volume, a.Agitation))
		r.Notes = append(r.Notes, s.Agitation.Doubts...)
		if len(a.Machine.Residual) == 0 && len(s.Agitation.Doubts) > 0 {
			r.Notes = append(r.Notes, doubt)
		}
	} else {
		r.Notes = append(r.Notes, doubt)
	}
	if pumping.Days > 1 && a.Again == 0 {
		r.Notes = append(r.Notes, units.Words("Pumping takes days %v, and solids settle overnight: agitate again before each.", pumping.Days))
	}
	p.add(r, "agitate", s)
	r.Stages = append(r.Stages, pumping)
}

// dig drains and digs b.
func (p *planner) dig(r *RouteResult, kind StreamKind, name string, dug, off body) {
	p.move(r, moving{StageDrain, StreamFiltrate, "pumpOff", "pump off what drains"}, off, 1, p.spec.PumpOff)
	p.move(r, moving{StageDig, kind, "dig", name}, dug, p.spec.Dig.Swell, p.spec.Dig.Equipment)
}

// moving is what a stage does, with the path of its equipment.
type moving struct {
	stage      StageKind
	stream     StreamKind
	path, name string
}

// move adds the stage that moves b with what joins it, unless there is none of it.
func (p *planner) move(r *RouteResult, m moving, b body, swell float64, e Equipment) {
	b = p.exchange(r, m.stage, b)
	if b.Volume == 0 {
		return
	}
	stage := StageResult{Kind: m.stage, Name: m.name, Material: b.Slurry, Moved: units.Volume(swell) * b.Volume, Class: classOf(p.classes, b.Solids)}
	if m.stage == StageDig && p.spec.Floor > 0 {
		stage.Layer = units.Length(float64(b.Volume) / float64(p.spec.Floor))
	}
	ok := true
	fl := e.Fleet
	if fl != nil {
		var h HaulResult
		h, ok = fl.haul(stage.Moved, b.Mass.OverVolume(stage.Moved), units.Length(swell)*stage.Layer)
		stage.Haul, stage.Hours = &h, h.Time
	} else {
		var h PumpResult
		h, ok = e.Hose.pump(stage.Moved)
		stage.Hose, stage.Hours = &h, h.Time
	}
	if !ok {
		p.faults.Add(m.path, stage.Moved, "equipment that moves it with at most %v loads or hose sets", int(maxLoads))
		return
	}
	if a := p.spec.Agitate; m.stage == StagePump && a.Again > 0 {
		// Each day after the first begins with agitation.
		rest := max(0, stage.Hours-p.spec.WorkDay)
		stage.Again = units.Duration(ceil(float64(rest/(p.spec.WorkDay-a.Again)))) * a.Again
		stage.Hours += stage.Again
	}
	p.doable(r, stage, e)
	c := e.Cost
	fixed := c.Fixed
	if m.stage == StageDrain && len(r.Stages) > 0 && r.Stages[0].Kind == StagePumpOff {
		fixed = 0 // the equipment has been brought in
	}
	stage.Hauling = noSign(c.Haul.Of(stage.Moved))
	if fl != nil {
		stage.Hauling += noSign(fl.Distance.In(units.Mile)*c.PerVolumeMile.Of(stage.Moved) + c.PerLoad*float64(stage.Haul.Loads) + float64(fl.Trucks)*c.PerTruckHour.Of(stage.Hours))
	}
	stage.Cost = noSign(fixed + c.PerVolume.Of(stage.Moved) + c.PerMass.Of(b.Mass) + c.PerHour.Of(stage.Hours) + stage.Hauling)
	p.add(r, m.path, stage)
	r.stream(m.stream, stage, b)
}

// doable records whether the equipment of a stage can take its material.
func (p *planner) doable(r *RouteResult, s StageResult, e Equipment) {
	name := units.Word(s.Name)
	out := func(why string, last any) {
		r.Why = append(r.Why, units.Words(why, name, units.As(s.Material.Solids, units.Percent, 1), last))
	}
	dig := s.Kind == StageDig && e.Fleet != nil
	switch {
	case e.Solids != nil && !within(*e.Solids, s.Material.Solids):
		out("%v: at %v solids it is outside what the equipment takes, %v.", units.Span{Low: units.As(e.Solids.Low, units.Percent, 1), High: units.As(e.Solids.High, units.Percent, 1)})
	case e.Solids != nil:
	case dig && s.Class.Handling == HandlingPump:
		out("%v: at %v solids it is %v by the classes and runs from a bucket. Drain it first or pump it.", units.Word(s.Class.Name))
	case !dig && s.Class.Handling == HandlingDig:
		out("%v: at %v solids it is %v by the classes and does not flow to a pump.", units.Word(s.Class.Name))
	}
	r.Feasible = len(r.Why) == 0
	if h := s.Hose; h != nil && h.Line != nil {
		for _, n := range h.Line.Notes {
			r.Notes = append(r.Notes, units.Words("%v: %v", name, n))
		}
	}
	if h := s.Haul; h != nil && e.Fleet.Payload == 0 && e.Fleet.Road == nil {
		load := s.Material.Mass.OverVolume(s.Moved).Times(h.PerLoad)
		r.Notes = append(r.Notes, units.Words("%v: a load weighs %v, and no payload and no legal limit of the road is given to hold it against.", name, load))
	}
	if dig && s.Class != p.classes[len(p.classes)-1] && (e.Fleet.Fill > 1 || e.Fleet.Bucket != nil && e.Fleet.Bucket.Fill > 1) {
		r.Notes = append(r.Notes, units.Words("%v: %v does not heap: a fill above 1 of bucket or box is too much for it.", name, units.Word(s.Class.Name)))
	}
	if thin := s.Layer > 0 && less(s.Layer, thinLayer); thin && dig && !(e.Fleet.Bucket != nil && e.Fleet.Bucket.Width > 0) {
		r.Notes = append(r.Notes, units.Words("%v: it lies %v thick. A bucket does not fill in a layer so thin as in a cut: give the width of the bucket and the length of a pass, or a rate that was timed in such a layer.", name, s.Layer))
	}
}

// thinLayer is below what an excavator takes in one cut (common practice, no source).
const thinLayer = units.Foot

// add appends a stage with its days and cautions.
func (p *planner) add(r *RouteResult, path string, s StageResult) {
	days := ceil(float64(s.Hours / p.spec.WorkDay))
	if !(days <= maxLoads) {
		p.faults.Add(path, s.Hours, "work of at most %v days", int(maxLoads))
		return
	}
	s.Days = int(days)
	s.AtBasin = s.Cost - s.Hauling
	s.Cautions = s.cautions()
	r.Stages = append(r.Stages, s)
}

// total sums the stages.
func (r RouteResult) total() RouteResult {
	r.In = r.In.with(r.Joined)
	r.Out = r.Out.of(0, r.Out.WaterDensity.Times(r.Evaporated))
	for _, s := range r.Stages {
		r.Out = r.Out.with(s.Material)
		r.Moved += s.Moved
		r.Fresh += s.Fresh
		r.Hours += s.Hours
		r.Days += s.Days
		r.Cost += s.Cost
		r.Hauling += s.Hauling
		r.AtBasin += s.AtBasin
		if s.Haul != nil {
			r.Loads += s.Haul.Loads
		}
	}
	return r
}
