package plan

import (
	"fmt"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
)

// works is the earthwork from the plugged pipes to the topsoil.
func (p *planner) works(holds bool) bool {
	w, r := &p.s.Works, &p.r.Works
	ok := true
	p.faults.Between("works.earthRate", w.EarthRate, units.CubicYard.OverTime(units.Day), (1e6 * units.CubicYard).OverTime(units.Day))
	p.faults.PositiveNumber("works.leastGrade", w.LeastGrade)
	var err error
	for i, pipe := range w.Plugs {
		plug, err := volume.Plug(pipe.Plug)
		ok = p.try(fmt.Sprintf("works.plugs[%d].plug", i), err) && ok
		r.Plugs = append(r.Plugs, plug)
	}
	r.Drain, err = volume.Drain(w.Drain)
	ok = p.try("works.drain", err) && ok
	r.Berm, err = volume.Berm(w.Berm)
	ok = p.try("works.berm", err) && ok
	r.Topsoil, err = volume.Topsoil(w.Topsoil)
	ok = p.try("works.topsoil", err) && ok
	if len(w.Berm.Sides) == 0 || !ok || !holds {
		return false
	}

	// The fill ends at the ground, from which the berm rises to the top of the
	// bank; the soil below the sludge is dug out up to there.
	ground := p.Basin.Depth() - w.Berm.Sides[0].Height
	slopes := p.Basin.Slopes()
	length, width := p.Basin.SizeAt(0)
	pit, err := volume.NewRectangular(volume.RectangularSpec{Length: length, Width: width, At: volume.ReferenceFloor, Depth: ground, Slopes: slopes[:]})
	if !p.try("works.berm.sides[0].height", err) {
		return false
	}
	w.Crown.Length, w.Crown.Width = pit.SizeAt(ground)
	r.Crown, err = volume.Crown(w.Crown)
	ok = p.try("works.crown", err) && ok
	r.Liner, err = volume.Liner(volume.LinerSpec{Basin: pit, Thickness: w.LinerDepth, Method: volume.LinerMethodOffset})
	ok = p.try("works.linerDepth", err) && ok
	r.Settled, err = volume.SettledCrown(volume.SettledCrownSpec{Crown: w.Crown, FillDepth: ground,
		BankSlope: min(slopes[0], slopes[1], slopes[2], slopes[3]), Settlement: w.Settlement, LeastGrade: w.LeastGrade})
	ok = p.try("", rename(err, "bankSlope", "basin.slopes", "fillDepth", "basin.depth", "crown", "works.crown",
		"settlement", "works.settlement", "leastGrade", "works.leastGrade")) && ok
	r.Balance, err = volume.Balance(volume.BalanceSpec{
		Cuts: []volume.EarthPart{{Name: "berm", Volume: r.Berm.Volume, State: volume.StateBank}},
		Fills: []volume.EarthPart{
			{Name: "basin up to the ground", Volume: volume.Capacity(pit), State: volume.StateCompacted},
			{Name: "soil taken out below the sludge", Volume: r.Liner.Volume, State: volume.StateCompacted},
			{Name: "crown", Volume: r.Crown.Volume, State: volume.StateCompacted},
		},
		Soil: w.Soil, Truck: w.Truck,
	})
	ok = p.try("works", err) && ok
	side := func(slope float64, section volume.BermSection) volume.ProfileSide {
		return volume.ProfileSide{BankSlope: slope, Berm: section, Beyond: 20 * units.Foot}
	}
	r.Profile, err = volume.BasinProfile(volume.BasinProfileSpec{
		Ground: ground, FloorWidth: width, Depth: ground, Left: side(slopes[2], w.Berm.Sides[0]), Right: side(slopes[3], w.Berm.Sides[0]),
		CrownGrade: w.Crown.Grade, GradeBuilt: true, Settlement: w.Settlement,
	})
	return p.try("works", err) && ok
}
