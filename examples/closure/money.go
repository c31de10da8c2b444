package main

import (
	"fmt"
	"math"
	"strings"
	"time"

	"example.org/earthbasin/sludge"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
)

// money adds up the costs, takes the payments off and sets the days.
func (p *planner) money() {
	m, r, w := &p.s.Money, p.r, &p.r.Works
	var total float64
	add := func(item, quantity, hours string, amount float64) {
		r.Costs = append(r.Costs, Cost{item, quantity, hours, amount})
		total += amount
	}
	samples := len(p.s.Materials.Effluent.Reports) + len(p.s.Materials.Sludge.Reports)
	add("Survey of the basin", fmt.Sprintf("%d soundings", p.survey.N()), "", m.Survey)
	add("Laboratory", fmt.Sprintf("%d samples", samples), "", m.LabSample*float64(samples))
	for _, s := range p.route.Stages {
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
	add("Plug pipes", concrete.Text(units.CubicFoot, 1)+" concrete", "", m.Concrete.Of(concrete))
	earth := w.Berm.Volume + w.Liner.Volume + w.Crown.Volume
	add("Take down berm, dig soil below the sludge, shape crown", earth.Text(units.CubicYard, 0), "", m.Earthwork.Of(earth))
	add("Soil brought in", fmt.Sprintf("%s loose, %d loads", w.Balance.Import.Loose.Text(units.CubicYard, 0), w.Balance.ImportLoads), "", m.Import.Of(w.Balance.Import.Loose))
	add("Strip and return topsoil", w.Topsoil.Needed.Text(units.CubicYard, 0), "", m.Topsoil.Of(w.Topsoil.Needed))
	c := &r.Cover
	add("Seed", c.Mix.BulkMass.Text(units.Pound, 0)+" bulk", "", c.Mix.Cost)
	add("Nurse crop", c.Nurse.Mass.Text(units.Pound, 0), "", c.Nurse.Cost)
	add("Lime", c.Lime.Mass.Text(units.Ton, 1), "", c.Lime.Cost)
	add("Fertilizer", c.Fertilizer.Rate.Text(units.PoundPerAcre, 0), "", c.Fertilizer.Cost)
	add("Mulch", c.Mulch.Mass.Text(units.Ton, 1), "", m.Mulch.Of(c.Mulch.Mass))
	area := p.s.Works.Topsoil.ReturnArea
	add("Seedbed, drilling, mulching", area.Text(units.Acre, 2), "", m.SeedingWork.Of(area))
	p.payment(total)
	p.order()
}

// checkMoney finds prices that cannot be.
func (p *planner) checkMoney() {
	m := &p.s.Money
	p.faults.NotNegativeNumber("money.survey", m.Survey)
	p.faults.NotNegativeNumber("money.labSample", m.LabSample)
	for _, x := range []struct {
		field string
		price units.Quantity
	}{{"concrete", m.Concrete}, {"earthwork", m.Earthwork}, {"import", m.Import}, {"topsoil", m.Topsoil}, {"mulch", m.Mulch}, {"seedingWork", m.SeedingWork}} {
		p.faults.NotNegative("money."+x.field, x.price)
	}
}

// order sets the steps one after the other, on days that are worked.
func (p *planner) order() {
	w := &p.r.Works
	day := p.workday(time.Time(p.s.Start))
	add := func(name, after string, days int) {
		p.r.WorkOrder = append(p.r.WorkOrder, Task{Name: name, Start: Date(day), Days: days, After: after})
		for range days {
			day = p.workday(day.AddDate(0, 0, 1))
		}
	}
	add("Calibrate every machine at its planned setting", "regulator has agreed to the plan; lines located; gas monitors and lifelines at hand", 1)
	add("Draw off the liquid and spread it", "calibration accepted; no rain in sight; setbacks flagged", 0)
	day = p.workday(p.r.Emptying.EmptyOn.AddDate(0, 0, 1))
	p.r.WorkOrder[1].Days = int(math.Round(p.r.Emptying.EmptyOn.Sub(time.Time(p.s.Start)).Hours()/24)) + 1
	for _, s := range p.route.Stages {
		if s.Kind != sludge.StagePumpOff && s.Days > 0 {
			add(title(s.Name), "people and animals upwind and away; monitors on", s.Days)
		}
	}
	add("Plug pipes and take out pumps and ports", "inflow shut off for good", 1)
	add("Regulator inspects the empty basin; soil samples below the floor", "basin scraped clean", 1)
	add("Dig out or pierce the soil below the sludge", "regulator's decision on the liner", p.earthDays(w.Liner.Volume))
	add("Take down the berm, fill the basin, shape the crown", "inspection signed; erosion controls in place", p.earthDays(w.Balance.Fill.Bank))
	add("Return topsoil, lime and fertilizer", "grade checked with a level", p.earthDays(w.Topsoil.Needed))
	if p.planting(day); p.r.Cover.Planting.Next.Wait > 14 {
		add("Sow the nurse crop as temporary cover", "the window for the mix is far off", 1)
	}
	day = p.r.Cover.Planting.Next.Start
	add("Drill seed and mulch ("+p.r.Cover.Planting.Next.Window.Name+" window)", "firm seedbed; seed tags kept", p.s.Cover.SeedDays)
	add("Final inspection, photographs, survey of the finished grade", "stand judged after the first season", 1)
}

// earthDays is the days that the machines need, at least one.
func (p *planner) earthDays(v units.Volume) int {
	loads, err := volume.Loads(volume.LoadsSpec{Volume: v, State: volume.StateBank, Soil: volume.SoilSpec{Swell: new(float64)},
		Truck: volume.TruckSpec{Volume: p.s.Works.EarthPerDay}})
	p.try("works.earthPerDay", err)
	return max(1, loads.Loads)
}

// workday is day, or the first day after it that is no day of rest.
func (p *planner) workday(day time.Time) time.Time {
	for range 7 {
		rest := false
		for _, d := range p.s.Emptying.RestDays {
			rest = rest || time.Weekday(d) == day.Weekday()
		}
		if !rest {
			break
		}
		day = day.AddDate(0, 0, 1)
	}
	return day
}

func title(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// group puts commas between the thousands of a whole number.
func group(s string) string {
	for i := len(s) - 3; i > 0 && s[i-1] != '-'; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}
