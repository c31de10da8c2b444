package removal

import (
	"slices"

	"example.org/earthbasin/units"
)

// check records what is wrong with the spec.
func (spec PlanSpec) check(f *units.Faults) {
	f.Between("sludge", spec.Sludge, minVolume, maxVolume)
	high := spec.Sludge
	if i := spec.Interval; i != nil {
		f.ZeroOr("interval.low", i.Low, minVolume, maxVolume)
		f.ZeroOr("interval.high", i.High, minVolume, maxVolume)
		if !i.Has(spec.Sludge) {
			f.Fault(units.FaultConflict, "interval", *i, "an interval that holds the best volume, %v", spec.Sludge)
		}
		high = max(high, i.High)
	}
	f.ZeroOr("liquid", spec.Liquid, minVolume, maxVolume)
	f.ZeroOr("contents", spec.Contents, minVolume, maxVolume)
	if spec.Contents > 0 {
		if spec.Liquid != 0 {
			f.Add("liquid", spec.Liquid, "either liquid or contents, not both")
		}
		if spec.Contents < high {
			f.Add("contents", spec.Contents, "the largest sludge volume, %v, or more", high)
		}
	}
	checkSolids(f, "solids", spec.Solids)
	if spec.Solids == 0 {
		f.Missing("solids", "the solids of the sludge, more than 0 %")
	}
	checkSolids(f, "liquidSolids", spec.LiquidSolids)
	if spec.LiquidSolids >= spec.Solids && spec.Solids > 0 {
		f.Add("liquidSolids", spec.LiquidSolids, "less than the solids of the sludge, %v", spec.Solids)
	}
	checkKind(f, spec.SolidsGravity, spec.WaterDensity)
	checkClasses(f, spec.Classes)
	f.ZeroOr("floor", spec.Floor, minArea, maxArea)
	spec.checkConstituents(f)
	spec.checkExchanges(f)
	pumped := slices.ContainsFunc(spec.Exchanges, func(x Exchange) bool { return x.Stage != StagePump && x.Stage != StageDig })
	if pumped || spec.Contents > 0 || spec.Liquid > 0 || spec.Dig.Drained > 0 || spec.PumpOff != (Equipment{}) {
		spec.PumpOff.check(f, "pumpOff")
	}
	spec.Dig.check(f, "dig")
	f.NumberBetween("dig.swell", spec.Dig.Swell, 1, 2)
	checkSolids(f, "dig.drained", spec.Dig.Drained)
	if d := spec.Dig.Drained; d != 0 && d < spec.Solids {
		f.Add("dig.drained", d, "the solids of the sludge, %v, or more", spec.Solids)
	}
	f.NumberBetween("dig.lost", spec.Dig.Lost, 0, 0.9)
	if spec.Dig.Lost > 0 && spec.Dig.Drained == 0 {
		f.Missing("dig.drained", "the solids after draining, with what goes with it")
	}
	f.Between("workDay", spec.WorkDay, units.Minute, units.Day)
	if a := spec.Agitate; a != nil {
		a.check(f, spec)
	}
}

func (a AgitateSpec) check(f *units.Faults, spec PlanSpec) {
	if !mixNames.Has(int(a.Mix)) {
		f.Add("agitate.mix", a.Mix, mixNames.Want())
	}
	checkSolids(f, "agitate.target", a.Target)
	f.Fraction("agitate.residual", a.Residual)
	checkSolids(f, "agitate.residualSolids", a.ResidualSolids)
	if s := a.ResidualSolids; s != 0 && s < spec.Solids {
		f.Add("agitate.residualSolids", s, "the solids of the sludge, %v, or more", spec.Solids)
	}
	f.ZeroOr("agitate.agitation", a.Agitation, minDuration, maxDuration)
	if a.Machine != nil {
		var inner units.Faults
		a.Machine.check(&inner)
		f.Sub("agitate.machine", inner.Err())
		if len(a.Machine.Residual) > 0 && a.Residual != 0 {
			f.Add("agitate.residual", a.Residual, "either a share or the relation of the machine, not both")
		}
	}
	if a.Again != 0 && !(a.Again >= minDuration && a.Again < spec.WorkDay) {
		f.Add("agitate.again", a.Again, "0, or less than the working day, %v", spec.WorkDay)
	}
	f.Money("agitate.fixed", a.Fixed)
	f.Price("agitate.perHour", a.PerHour)
	f.Price("agitate.water", a.Water)
	a.Pump.check(f, "agitate.pump")
	classes := spec.Classes
	if len(classes) == 0 {
		classes = DefaultClasses()
	}
	limit := pumpLimit(classes)
	if target := a.target(classes); target >= limit && limit > 0 {
		f.Add("agitate.target", target, "less than the solids at which pumping ends in the classes, %v", limit)
	} else if !(target > spec.LiquidSolids) {
		f.Add("agitate.target", target, "more than the solids of the liquid, %v", spec.LiquidSolids)
	}
}

// target returns the most solids of the slurry.
func (a AgitateSpec) target(classes []SolidsClass) units.MassFraction {
	if a.Target > 0 {
		return a.Target
	}
	return justBelow(pumpLimit(classes))
}

// justBelow returns solids that still are in the class below the limit: at the limit
// itself a material has to be dug already.
func justBelow(limit units.MassFraction) units.MassFraction { return limit * (1 - 1e-9) }

func (e Equipment) check(f *units.Faults, path string) {
	var inner units.Faults
	switch {
	case e.Fleet != nil && e.Hose != nil:
		f.Say(path, "a fleet and a hose", "one of the two")
	case e.Fleet != nil:
		e.Fleet.check(&inner)
		f.Sub(path+".fleet", inner.Err())
	case e.Hose != nil:
		e.Hose.check(&inner)
		f.Sub(path+".hose", inner.Err())
	default:
		f.Missing(path, "a fleet or a hose")
	}
	if s := e.Solids; s != nil {
		f.ZeroOr(path+".solids.low", s.Low, minSolids, maxSolids)
		f.Between(path+".solids.high", s.High, minSolids, units.MassFraction(1))
		if s.Low > s.High {
			f.Fault(units.FaultConflict, path+".solids", *s, "a low end below the high end")
		}
	}
	e.Cost.check(f, path+".cost.")
	if e.Fleet == nil && (e.Cost.PerLoad > 0 || e.Cost.PerTruckHour > 0) {
		f.Say(path+".cost", "a price per load or truck", "a fleet with it")
	}
	if e.Cost.PerVolumeMile > 0 && (e.Fleet == nil || e.Fleet.Travel > 0) {
		f.Add(path+".cost.perVolumeMile", e.Cost.PerVolumeMile, "a fleet with a distance")
	}
}

func (c StageCost) check(f *units.Faults, path string) {
	f.Money(path+"fixed", c.Fixed)
	f.Price(path+"perVolume", c.PerVolume)
	f.Price(path+"perVolumeMile", c.PerVolumeMile)
	f.Price(path+"perMass", c.PerMass)
	f.Money(path+"perLoad", c.PerLoad)
	f.Price(path+"perHour", c.PerHour)
	f.Price(path+"perTruckHour", c.PerTruckHour)
	f.Price(path+"haul", c.Haul)
}
