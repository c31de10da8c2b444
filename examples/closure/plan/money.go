package plan

import (
	"fmt"
	"math"
	"strings"

	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
)

// money adds up the costs and takes the payments off.
func (p *planner) money() {
	m, r, w := &p.s.Money, p.r, &p.r.Works
	if p.faults.Err() != nil {
		p.payment(1e5) // any cost finds its faults
		return
	}
	var total float64
	add := func(item, quantity, hours string, amount float64) {
		r.Costs = append(r.Costs, Cost{item, quantity, hours, amount})
		total += amount
	}
	samples := len(p.s.Materials.Effluent.Reports) + len(p.s.Materials.Sludge.Reports)
	add("Survey of the basin", fmt.Sprintf("%d soundings", p.Survey.N()), "", m.Survey)
	add("Laboratory", fmt.Sprintf("%d samples", samples), "", m.LabSample*float64(samples))
	for _, s := range p.Route.Stages {
		quantity := s.Moved.Text(units.Gallon, 0)
		if s.Moved == 0 {
			quantity = ""
		}
		add(title(s.Name), quantity, s.Hours.Text(units.Hour, 0), s.Cost-s.Hauling)
	}
	for _, s := range r.Allocated.Materials {
		add("Haul and spread "+s.Name, s.Placed.String(), "", s.Cost)
	}
	var concrete units.Volume
	for _, plug := range w.Plugs {
		concrete += plug.Concrete
	}
	yards := func(v units.Volume) string { return v.Text(units.CubicYard, 0) }
	add("Plug pipes", concrete.Text(units.CubicFoot, 1)+" concrete", "", m.Concrete.Of(concrete))
	add("Dig the soil below the sludge", yards(w.Liner.Volume)+" bank", p.days("dig"), m.Earthwork.Of(w.Liner.Volume))
	add("Take down the berm", yards(w.Berm.Volume)+" bank", "", m.Earthwork.Of(w.Berm.Volume))
	add("Soil brought in", fmt.Sprintf("%s loose, %d loads", yards(w.Balance.Import.Loose), w.Balance.ImportLoads), "", m.Import.Of(w.Balance.Import.Loose))
	add("Place, compact and crown the fill", yards(w.Balance.Fill.Compacted)+" compacted", p.days("fill"), m.Compaction.Of(w.Balance.Fill.Compacted))
	add("Strip and return topsoil", yards(w.Topsoil.Needed), p.days("topsoil"), m.Topsoil.Of(w.Topsoil.Needed))
	add("Topsoil brought in", yards(w.Topsoil.Shortage)+" loose", "", m.TopsoilImport.Of(w.Topsoil.Shortage))
	c := &r.Cover
	area := p.s.Works.Topsoil.ReturnArea
	add("Seed", c.Mix.BulkMass.Text(units.Pound, 0)+" bulk", "", c.Mix.Cost)
	add("Nurse crop", c.Nurse.Mass.Text(units.Pound, 0), "", c.Nurse.Cost)
	add("Lime", c.Lime.Mass.Text(units.Ton, 1), "", c.Lime.Cost)
	add("Fertilizer", c.Fertilizer.Rate.Times(area).Text(units.Pound, 0), "", c.Fertilizer.Cost)
	add("Mulch", c.Mulch.Mass.Text(units.Ton, 1), "", m.Mulch.Of(c.Mulch.Mass))
	add("Seedbed, drilling, mulching", area.Text(units.Acre, 2), p.days("seed"), m.SeedingWork.Of(area))
	for _, o := range m.Others {
		add(o.Item, o.Quantity, o.Hours, o.Amount)
	}
	p.payment(total)
}

// notGiven is Money before it is read. JSON has no NaN, so what still is one
// afterwards was left out; a price of 0 has to be written.
func notGiven() Money {
	n := math.NaN()
	perVolume := units.Price[units.Volume](n)
	return Money{Survey: n, LabSample: n, Concrete: perVolume, Earthwork: perVolume, Compaction: perVolume, Import: perVolume,
		Topsoil: perVolume, TopsoilImport: perVolume, Mulch: units.Price[units.Mass](n), SeedingWork: units.Price[units.Area](n)}
}

// Bounds of money that no closure reaches: of an amount, and of a price for each SI
// unit.
const (
	mostMoney = 1e12
	mostPrice = 1e9
)

// checkMoney finds prices that were left out or cannot be: a cost page that
// lacks one is worse than none.
func (p *planner) checkMoney() {
	m := &p.s.Money
	for _, x := range []struct {
		field string
		amount,
		most float64
	}{{"survey", m.Survey, mostMoney}, {"labSample", m.LabSample, mostMoney},
		{"concrete", m.Concrete.SI(), mostPrice}, {"earthwork", m.Earthwork.SI(), mostPrice}, {"compaction", m.Compaction.SI(), mostPrice},
		{"import", m.Import.SI(), mostPrice}, {"topsoil", m.Topsoil.SI(), mostPrice}, {"topsoilImport", m.TopsoilImport.SI(), mostPrice},
		{"mulch", m.Mulch.SI(), mostPrice}, {"seedingWork", m.SeedingWork.SI(), mostPrice}} {
		if math.IsNaN(x.amount) {
			p.faults.Missing("money."+x.field, "a price; 0 where it costs nothing")
			continue
		}
		p.faults.NumberBetween("money."+x.field, x.amount, 0, x.most)
	}
	r := p.s.Removal
	priced := func(field string, costs bool) {
		if !costs {
			p.faults.Missing("removal."+field, "at least one price above 0, since the routes are compared by cost")
		}
	}
	priced("pumpOff.cost", r.PumpOff.Cost != removal.StageCost{})
	priced("dig.cost", r.Dig.Cost != removal.StageCost{})
	if a := r.Agitate; a != nil {
		priced("agitate.perHour", a.Fixed != 0 || a.PerHour != 0)
		priced("agitate.pump.cost", a.Pump.Cost != removal.StageCost{})
	}
	for i, o := range m.Others {
		p.faults.NumberBetween(fmt.Sprintf("money.others[%d].cost", i), o.Amount, 0, mostMoney)
	}
}

func title(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
