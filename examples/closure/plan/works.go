package plan

import (
	"fmt"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/earthwork"
)

// works is the earthwork from the plugged pipes to the topsoil; known says that the
// basin is that of the scenario.
func (p *planner) works(known bool) {
	w, r, d := &p.s.Works, &p.r.Works, p.other
	if !p.sound(func() {
		p.faults.Between("works.earthRate", w.EarthRate, units.CubicYard.OverTime(units.Day), (1e6 * units.CubicYard).OverTime(units.Day))
	}) {
		w.EarthRate = d().s.Works.EarthRate
	}
	if !p.sound(func() { p.faults.NumberBetween("works.leastGrade", w.LeastGrade, 0.001, 0.2) }) {
		w.LeastGrade = d().s.Works.LeastGrade
	}
	for i, pipe := range w.Plugs {
		plug, err := earthwork.Plug(pipe.Plug)
		p.try(fmt.Sprintf("works.plugs[%d].plug", i), err)
		r.Plugs = append(r.Plugs, plug)
	}
	p.derive(known)
	var err error
	r.Drain, err = earthwork.Drain(w.Drain)
	p.try("works.drain", err)
	r.Berm, err = earthwork.Berm(w.Berm)
	if !p.try("works.berm", err) {
		r.Berm, w.Berm, known = d().r.Works.Berm, d().s.Works.Berm, false
	}
	r.Topsoil, err = earthwork.Topsoil(w.Topsoil)
	if !p.try("works.topsoil", err) {
		r.Topsoil, w.Topsoil = d().r.Works.Topsoil, d().s.Works.Topsoil
	}
	if known {
		known = p.sound(p.worksFit)
	}
	basin, height := p.Basin, w.Berm.Sides[0].Height
	if !known {
		basin, height = d().Basin, d().s.Works.Berm.Sides[0].Height
	}
	p.fill(basin, basin.Depth()-height)
}

// fill is what goes into the basin and over it. The fill ends at the ground, from
// which the berm rises to the top of the bank; the soil below the sludge is dug out up
// to there.
func (p *planner) fill(basin *volume.Rectangular, ground units.Length) {
	w, r := &p.s.Works, &p.r.Works
	slopes := basin.Slopes()
	length, width := basin.SizeAt(0)
	pit, err := volume.NewRectangular(volume.RectangularSpec{Length: length, Width: width, At: volume.ReferenceFloor, Depth: ground, Slopes: slopes[:]})
	if !p.try("works.berm.sides[0].height", rename(err, "depth", "")) {
		return
	}
	w.Crown.Length, w.Crown.Width = pit.SizeAt(ground)
	r.Crown, err = earthwork.Crown(w.Crown)
	crown := p.try("works.crown", err)
	r.Liner, err = volume.Liner(volume.LinerSpec{Basin: pit, Thickness: w.LinerDepth, Method: volume.LinerMethodOffset})
	p.try("works", rename(err, "thickness", "linerDepth"))
	if !crown { // told already
		w.Crown = p.other().s.Works.Crown
		r.Crown = p.other().r.Works.Crown
	}
	r.Settled, err = earthwork.SettledCrown(earthwork.SettledCrownSpec{Crown: w.Crown, FillDepth: ground,
		BankSlope: min(slopes[0], slopes[1], slopes[2], slopes[3]), Settlement: w.Settlement, MinGrade: w.LeastGrade})
	settled := p.try("", rename(err, "bankSlope", "basin.slopes", "fillDepth", "basin.depth", "crown", "works.crown",
		"settlement", "works.settlement", "minGrade", "works.leastGrade"))
	r.Balance, err = earthwork.Balance(earthwork.BalanceSpec{
		Cuts: []earthwork.EarthPart{{Name: "berm", Volume: r.Berm.Volume, State: earthwork.StateBank}},
		Fills: []earthwork.EarthPart{
			{Name: "basin up to the ground", Volume: volume.Capacity(pit), State: earthwork.StateCompacted},
			{Name: "soil taken out below the sludge", Volume: r.Liner.Volume, State: earthwork.StateCompacted},
			{Name: "crown", Volume: r.Crown.Volume, State: earthwork.StateCompacted},
		},
		Soil: w.Soil, Truck: w.Truck,
	})
	p.try("works", err)
	if !settled { // told already
		return
	}
	side := func(slope float64, section earthwork.BermSection) earthwork.ProfileSide {
		return earthwork.ProfileSide{BankSlope: slope, Berm: section, Beyond: 20 * units.Foot}
	}
	r.Profile, err = earthwork.BasinProfile(earthwork.BasinProfileSpec{
		Ground: ground, FloorWidth: width, Depth: ground, Left: side(slopes[2], w.Berm.Sides[0]), Right: side(slopes[3], w.Berm.Sides[0]),
		CrownGrade: w.Crown.Grade, GradeBuilt: true, Settlement: w.Settlement,
	})
	p.try("works", err)
}
