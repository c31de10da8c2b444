package closing

import (
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/earthwork"
)

// fillRows writes the bill and the tasks of fill and crown.
func (s *sheet) fillRows(f *units.Faults) {
	strip := s.stripping()
	berm := s.bermRow("take the berm down")
	work := berm
	var place units.Duration
	if s.o.Account != nil {
		how, placed := units.Words("compacted: basin, soil dug out below it, and crown"), s.placed()
		if b := s.o.Bridging; b != nil {
			placed = max(placed-b.Volume.Compacted, 0)
			how = how.And("; without the bridging lift")
		}
		s.leftOver()
		place = s.earth("closing.fill.place", "place, compact and crown the fill", placed, how, s.Rates.Place, "place", s.Prices.Place, "place")
		s.importRow()
	} else {
		crown, cover := s.crownVolume()
		s.row("closing.fill.place", "place, compact and crown the fill", shown(s.pit+s.soakedBelow+max(crown-cover, 0)), units.Words("compacted; what of it the berm gives is open"), 0, nil)
	}
	s.compaction(f)
	s.task(stage.Task{Key: "closing.fill", Name: units.Words("take the berm down, fill the basin in lifts, shape the crown"), Kind: stage.EarthMoving, Work: work + place, Fit: stage.EarthDay, Crew: crew,
		Needs:    append(s.clean(), s.needs("closing.locate", "closing.erosion", "closing.liner", "closing.soft", "closing.strip", "closing.borrow")...),
		Cautions: unique(append(append([]string(nil), s.fillCautions()...), gas, traffic, overtake)),
		Hold:     []units.Phrase{units.Words("laboratory results of floor and banks"), units.Words("erosion controls in place"), units.Words("water pumped off")}})
	s.task(stage.Task{Key: "closing.levels", Name: units.Words("levels of the finished grade"), Needs: s.needs("closing.fill")})
	s.returning(strip)
}

// placed is the soil that the fills take, compacted; topsoil is none of it.
func (s *sheet) placed() units.Volume {
	var v units.Volume
	for _, m := range s.o.Account.Moves {
		if m.Soil != topsoilName {
			v += m.Volume
		}
	}
	return v
}

// fillCautions are those of what stands in the account and the compaction.
func (s *sheet) fillCautions() []string {
	var list []string
	if s.o.Account != nil {
		list = append(list, s.o.Account.Cautions...)
	}
	if s.o.Compaction != nil {
		list = append(list, s.o.Compaction.Cautions...)
	}
	return list
}

// bermRow is the berm that comes down, or is opened.
func (s *sheet) bermRow(item string) units.Duration {
	switch {
	case s.berm != nil:
		s.o.Berm = s.berm
		s.warn(s.berm.Cautions)
		v := s.berm.Volume
		how := units.Words("bank")
		if s.Topsoil != nil {
			v -= min(s.berm.Footprint.Times(s.Topsoil.Strip), v)
			how = units.Words("bank, without the topsoil on it")
		}
		if s.soaked != nil {
			how = how.And("; %v of it soaked and hauled away", shown(s.soaked.Volume-s.soakedBelow))
			v -= min(s.soaked.Volume-s.soakedBelow, v) // dug with the soaked soil
		}
		return s.earth("closing.berm", item, v, how, s.Rates.Dig, "dig", s.Prices.Dig, "dig")
	case s.Berm != nil:
		s.lacks("berm.plan", "soil in the berm: the basin does not know its outline", "the plan of the berm: the line of its crest", stage.Engineer)
	case s.Ground < s.Basin.Depth():
		s.lacks("berm", "soil that the berm gives", "the section of the berm: crest width and slopes", stage.Engineer)
	}
	return 0
}

// leftOver is soil that the fills do not take.
func (s *sheet) leftOver() {
	row := s.o.Account.Row(bermName)
	if row.Waste.Bank <= 0 {
		return
	}
	how := units.Words("loose; what the fills do not take")
	if row.WasteLoads > 0 {
		how = how.And(", %v loads", row.WasteLoads)
	}
	v := row.Waste.Loose
	s.soil("closing.fill.leftOver", "soil left over, hauled away", v, how, 0, s.Prices.Haul, "haul")
	s.lacks("leftOver", "where the soil that is left over goes", "a place for it, or a higher crown", stage.Producer)
}

// importRow is what is brought in, from the farm's own area or bought.
func (s *sheet) importRow() {
	row := s.o.Account.Row(importName)
	if row.Import.Bank == 0 {
		return
	}
	how := units.Words("loose; %v compacted", shown(row.Import.Compacted))
	if row.ImportLoads > 0 {
		how = how.And(", %v loads", row.ImportLoads)
	} else {
		s.lacks("truck", "loads", "the truck: how much it carries", stage.Contractor)
	}
	v := row.Import.Loose
	if s.Borrow == nil {
		s.earth("closing.fill.import", "soil brought in", v, how, 0, "", s.Prices.Import, "import")
		return
	}
	b := s.o.Borrow
	strip := s.hours(b.Stripped, s.Rates.Topsoil, "topsoil")
	work := strip + s.earth("closing.fill.borrow", "soil from the borrow area", v, how, s.Rates.Dig, "dig", s.Prices.Borrow, "borrow")
	s.row("closing.borrow.area", "borrow area, stripped before and closed after", b.Area, units.Words("%v deep, %v of topsoil stripped, %v put back; its cost is in those of the soil and the topsoil", b.Spec.Depth, shown(b.Stripped), shown(b.Returned)), strip, &stage.Cost{})
	s.task(stage.Task{Key: "closing.borrow", Name: units.Words("strip the borrow area and open it"), Kind: stage.EarthMoving, Work: work, Fit: stage.EarthDay, Crew: crew, Needs: s.needs("closing.inspect", "closing.locate", "closing.erosion"), Cautions: append(b.Cautions, traffic)})
	s.keep("borrow.closed", "the borrow area shaped so that it drains, its topsoil back, seeded", "with the final cover", "closing.topsoil", stage.Contractor, common)
}

// stripping is topsoil off the berm and the work area; it returns the time of the return.
func (s *sheet) stripping() units.Duration {
	t := s.Topsoil
	if t == nil {
		s.lacks("topsoil", "topsoil: what is stripped and what is returned", "its thickness on the berm and around, and how thick it shall lie", stage.Contractor)
		return 0
	}
	var off units.Volume
	if s.berm != nil {
		off += min(s.berm.Footprint.Times(t.Strip), s.berm.Volume)
	}
	off += t.WorkArea.Times(t.Strip)
	hours := s.hours(off, s.Rates.Topsoil, "topsoil")
	s.task(stage.Task{Key: "closing.strip", Name: units.Words("strip topsoil from berm and work area and heap it apart"), Kind: stage.EarthMoving, Work: hours, Fit: stage.EarthDay, Crew: crew, Needs: s.needs("closing.locate", "closing.erosion"), Cautions: []string{edge}})
	return hours
}

// returning is topsoil back on everything that was opened.
func (s *sheet) returning(strip units.Duration) {
	if s.Topsoil == nil {
		return
	}
	var work units.Duration
	if a := s.o.Account; a != nil {
		row := a.Row(topsoilName)
		back := s.hours(row.Placed.Bank, s.Rates.Topsoil, "topsoil")
		work = back
		s.soil("closing.topsoil", "strip topsoil and return it", row.Placed.Bank, units.Words("bank: on the filled basin, where the berm stood and on the work area, each once; %v stripped", shown(row.Cut.Bank)), strip+back, s.Prices.Topsoil, "topsoil")
		if left := row.Waste.Loose; left > 0 {
			s.row("closing.topsoil.leftOver", "topsoil left in the stockpile", shown(left), units.Words("loose"), 0, &stage.Cost{})
		}
		if v := row.Import.Loose; v > 0 {
			how := units.Words("loose")
			if row.ImportLoads > 0 {
				how = units.Words("loose, %v loads", row.ImportLoads)
			}
			s.earth("closing.topsoil.import", "topsoil brought in", v, how, 0, "", s.Prices.TopsoilBuy, "topsoilBuy")
		}
	}
	s.task(stage.Task{Key: "closing.topsoil", Name: units.Words("return the topsoil"), Kind: stage.ReturnTopsoil, Work: work, Fit: stage.EarthDay, Crew: crew, Needs: s.needs("closing.levels", "closing.fill", "closing.grade"),
		Hold: []units.Phrase{units.Words("grade checked with a level")}})
}

// compaction is how the fill is placed, and its tests.
func (s *sheet) compaction(f *units.Faults) {
	c := s.Compaction
	if c == nil {
		s.open(stage.Open{Key: "closing.compaction", What: units.Words("how the fill is compacted and tested"), Needs: units.Words("lift, passes, moisture and the share of which Proctor test, and how much fill for one density test"), Who: stage.Engineer})
		return
	}
	if s.o.Account == nil {
		return
	}
	placed := s.placed()
	if placed == 0 {
		return
	}
	r, err := earthwork.Compaction(c.of(placed, max(s.o.FillLevel, c.Lift)))
	f.Sub("compaction", err)
	if err != nil {
		return
	}
	s.o.Compaction = &r
	s.warn(r.Cautions)
	if c.MaxDensity == 0 {
		s.lacks("compaction.density", "dry density that the tests have to show", "a Proctor test of the soil that is placed", stage.Laboratory)
	}
	if r.Tests == 0 {
		s.lacks("compaction.tests", "number of density tests", "how much fill for one test", stage.Engineer)
	} else {
		s.row("closing.fill.tests", "density tests", r.Tests, units.Words("one for each %v, and one for each of %v lifts at least", shown(c.TestEvery), r.Lifts), 0, s.pieces(s.Prices.DensityTest, r.Tests, "densityTest"))
	}
	s.keep("compaction.log", "each lift: date, thickness, passes, moisture, density, place and level of the test, and what was done where it failed", "each day of filling", "closing.fill", stage.Engineer, common)
}
