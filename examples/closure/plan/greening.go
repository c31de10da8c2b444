package plan

import (
	"fmt"
	"time"

	"example.org/earthbasin/cover"
)

// cover is what is sown and what the bare ground would lose.
func (p *planner) cover() bool {
	c, r := &p.s.Cover, &p.r.Cover
	area := p.s.Works.Topsoil.ReturnArea
	c.Mix.Area, c.Fertilizer.Area, c.Mulch.Area, c.SoilLoss.Area = area, area, area, area
	var err error
	r.Mix, err = cover.Mix(c.Mix)
	ok := p.try("cover.mix", err)
	rules, err := cover.PublishedRuleSet(c.Rules)
	if p.try("cover.rules", err) && ok {
		r.Findings = rules.Judge(r.Mix)
	}
	c.Nurse.Area = area
	r.Nurse, err = cover.Nurse(c.Nurse)
	ok = p.try("cover.nurse", err) && ok
	if r.LimeNeed, err = cover.LimeNeed(c.LimeTest); p.try("cover.limeTest", err) {
		r.Lime, err = cover.Lime(cover.LimeSpec{Basis: r.LimeNeed.Basis, Need: r.LimeNeed.Need, Material: c.Lime, Area: area})
		ok = p.try("cover.lime", rename(err, "material.", "")) && ok
	}
	r.Fertilizer, err = cover.Fertilizer(c.Fertilizer)
	ok = p.try("cover.fertilizer", err) && ok
	r.Mulch, err = cover.Mulch(c.Mulch)
	ok = p.try("cover.mulch", err) && ok
	return p.soilLoss(time.Time(p.s.Start)) && ok && p.faults.Err() == nil
}

// soilLoss is what runs off the ground that lies bare from a day on.
func (p *planner) soilLoss(bare time.Time) bool {
	c := &p.s.Cover
	ls, err := cover.LS(c.Slope)
	if !p.try("cover.slope", err) {
		return false
	}
	c.SoilLoss.LS, c.SoilLoss.Begin = ls.LS, bare.Month()
	p.r.Cover.SoilLoss, err = cover.SoilLoss(c.SoilLoss)
	return p.try("cover.soilLoss", err)
}

// planting finds the first window after the earthwork.
func (p *planner) planting(ready time.Time) {
	var err error
	p.r.Cover.Planting, err = cover.Planting(cover.PlantingSpec{Ready: ready, Days: p.s.Cover.SeedDays, Windows: p.s.Cover.Windows})
	p.try("", rename(err, "ready", "start", "days", "cover.seedDays", "windows", "cover.windows"))
}

// payment is what the program pays, by the areas of the plan.
func (p *planner) payment(cost float64) {
	spec := p.s.Money.Payment
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
