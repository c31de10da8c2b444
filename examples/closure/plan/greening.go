package plan

import (
	"fmt"
	"time"

	"example.org/earthbasin/cover"
)

// cover is what is sown and what the bare ground would lose.
func (p *planner) cover() {
	c, r, d := &p.s.Cover, &p.r.Cover, p.other
	area := p.s.Works.Topsoil.ReturnArea
	c.Mix.Area, c.Fertilizer.Area, c.Mulch.Area, c.SoilLoss.Area, c.Nurse.Area = area, area, area, area, area
	var err error
	r.Mix, err = cover.Mix(c.Mix)
	mixed := p.try("cover.mix", err)
	rules, err := cover.PublishedRuleSet(c.Rules)
	if p.try("cover.rules", lookedUp(err)) && mixed {
		r.Findings = rules.Judge(r.Mix)
	}
	r.Nurse, err = cover.Nurse(c.Nurse)
	p.try("cover.nurse", err)
	if r.LimeNeed, err = cover.LimeNeed(c.LimeTest); !p.try("cover.limeTest", err) {
		r.LimeNeed = d().r.Cover.LimeNeed
	}
	r.Lime, err = cover.Lime(cover.LimeSpec{Basis: r.LimeNeed.Basis, Need: r.LimeNeed.Need, Material: c.Lime, Area: area})
	p.try("cover.lime", rename(err, "material.", ""))
	r.Fertilizer, err = cover.Fertilizer(c.Fertilizer)
	p.try("cover.fertilizer", err)
	r.Mulch, err = cover.Mulch(c.Mulch)
	p.try("cover.mulch", err)
	ls, err := cover.LS(c.Slope)
	if !p.try("cover.slope", err) {
		ls.LS = d().s.Cover.SoilLoss.LS
	}
	c.SoilLoss.LS = ls.LS
	p.soilLoss(time.Time(p.s.Start))
	if !p.sound(func() { p.faults.NumberBetween("cover.seedDays", float64(c.SeedDays), 1, 365) }) {
		c.SeedDays = d().s.Cover.SeedDays
	}
	p.planting(time.Time(p.s.Start))
}

// soilLoss is what runs off the ground that lies bare from a day on.
func (p *planner) soilLoss(bare time.Time) {
	c := &p.s.Cover
	c.SoilLoss.Begin = bare.Month()
	var err error
	p.r.Cover.SoilLoss, err = cover.SoilLoss(c.SoilLoss)
	p.try("cover.soilLoss", err)
}

// planting finds the first window after the earthwork.
func (p *planner) planting(ready time.Time) {
	var err error
	p.r.Cover.Planting, err = cover.Planting(cover.PlantingSpec{Ready: ready, Days: p.s.Cover.SeedDays, Windows: p.s.Cover.Windows})
	p.try("", rename(err, "ready", "start", "days", "cover.seedDays", "windows", "cover.windows"))
}

// payment is what the program pays, by the areas of the plan.
func (p *planner) payment(cost float64) {
	spec := p.s.Money.Payment // the areas are filled in below
	spec.Cost = cost
	for i, name := range p.s.Money.PaymentUnits {
		path := fmt.Sprintf("money.paymentUnits[%d]", i)
		switch {
		case i >= len(spec.Scenarios):
			p.faults.Add(path, name, "as many as there are payment scenarios")
		case name == "basin":
			spec.Scenarios[i].Area = p.Basin.AreaAt(p.Basin.Depth())
		case name == "cover":
			spec.Scenarios[i].Area = p.s.Works.Topsoil.ReturnArea
		default:
			p.faults.Add(path, name, "basin or cover")
		}
	}
	var err error
	p.r.Cover.Payment, err = cover.Payment(spec)
	p.try("money.payment", err)
}
