package closing

import (
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/earthwork"
)

// breach is breach and grade: the berm goes into the basin as far as it goes, and the
// basin drains through the notch. No soil is brought in.
func breach(site *site, f *units.Faults) Outcome {
	s := newSheet(site, AlternativeBreach)
	s.begin()
	s.liner(AlternativeBreach)
	b := s.Breach
	if b == nil {
		s.unsure(units.Words("nothing is said about a breach"))
		s.open(stage.Open{Key: "closing.breach", What: units.Words("breach and grade"), Needs: units.Words("the notch, the level of the place where its water runs off, and the state's word"), Who: stage.Engineer})
	}
	s.ownSoil(f)
	if b != nil {
		s.notch(f)
		s.drains()
	}
	s.stays("the hollow of the basin, graded, with its outlet kept open")
	s.condition(breachAllowed, units.Words("the state allows a breach: the basin cannot hold water again, and nothing in it may wash out"), stage.Regulator)
	s.condition(breachWord, units.Words("a licensed engineer has said how the berm is opened, and that it is no dam or that the dam office agrees"), stage.Engineer)
	s.condition(breachClean, units.Words("waste is out and the samples of floor and banks are within the state's limits"), stage.Laboratory)
	s.breachRows()
	s.lumps()
	s.keep("breach.levels", "levels of notch, channel and graded floor, and water seen to run off", "after grading, and after the first storm", "closing.levels", stage.Engineer, common)
	return s.done()
}

// ownSoil puts the soil of the berm into the basin: first where soaked soil was dug out,
// then on the floor as high as it reaches.
func (s *sheet) ownSoil(f *units.Faults) {
	if s.Soil == nil {
		s.lacksSoil()
		s.unsure(units.Words("swell and shrink of the soil are missing, so that nobody can say how high it reaches"))
		return
	}
	var fills []earthwork.AccountFill
	put := func(name string, v units.Volume) {
		fills = append(fills, earthwork.AccountFill{Name: name, Volume: v, State: earthwork.StateCompacted, Soils: []string{bermName}})
	}
	if s.soakedBelow > 0 {
		put(soakedFill, s.soakedBelow)
	}
	put(basinFill, s.pit)
	s.account(f, fills, false)
	if s.o.Account == nil {
		return
	}
	got, _ := s.o.Account.Placed(basinFill)
	level, err := volume.HeightFor(s.Basin, got)
	f.Sub("basin", err)
	s.o.FillLevel = level
}

// notch is the opening of the berm.
func (s *sheet) notch(f *units.Faults) {
	if s.berm == nil || s.berm.Spec.Sides[0].Height == 0 {
		return
	}
	section := s.berm.Spec.Sides[0]
	r, err := earthwork.Breach(earthwork.BreachSpec{Berm: section, BottomWidth: s.Breach.BottomWidth, SideSlope: s.Breach.SideSlope, Depth: section.Height})
	f.Sub("breach", err)
	if err != nil {
		return
	}
	s.o.Breach = &r
	s.warn(r.Cautions)
	s.row("closing.breach.notch", "first cut: the notch", shown(r.Volume), units.Words("bank; %v wide at the crest; its cost and hours are in those of the berm", r.TopWidth), 0, &stage.Cost{})
	if s.Breach.Channel == nil {
		return
	}
	c := s.trench(f, "breach.channel", *s.Breach.Channel)
	if c == nil {
		s.lacksSoil()
		return
	}
	s.earth("closing.breach.channel", "channel to the outlet", c.Excavation, units.Words("bank: %v long, %v at the deepest; its soil is left over", c.Length, c.Deepest), s.Rates.Trench, "trench", s.Prices.Dig, "dig")
	s.warn(c.Cautions)
}

// drains says whether the graded floor reaches its outlet.
func (s *sheet) drains() {
	b := s.Breach
	if b.Outlet == nil {
		s.unsure(units.Words("the level of the outlet is missing"))
		s.open(stage.Open{Key: "closing.breach.outlet", What: units.Words("whether the graded basin drains"), Needs: units.Words("levels from the floor to the place where its water runs off"), Who: stage.Engineer, Stops: true})
		return
	}
	grade := b.LeastGrade
	if grade == 0 && s.Crown != nil {
		grade = s.Crown.LeastGrade
	}
	if b.Run == 0 || grade == 0 {
		s.unsure(units.Words("the way of the water over the floor, or its least grade, is missing"))
		s.open(stage.Open{Key: "closing.breach.run", What: units.Words("whether the graded basin drains"), Needs: units.Words("the longest way of the water over the floor, and the least grade"), Who: stage.Engineer, Stops: true})
		return
	}
	if s.o.Account == nil {
		return
	}
	// The floor rises from the notch to the far side, its mean as high as the soil reaches.
	low := s.o.FillLevel - b.Run*units.Length(grade)/2
	if low >= *b.Outlet-units.Millimetre {
		return
	}
	need := *b.Outlet + b.Run*units.Length(grade)/2
	why := units.Words("the berm fills the basin to %v over the floor; at a grade of %.3f over %v its low end lies at %v, below the outlet at %v, so that water stands", s.o.FillLevel, grade, b.Run, low, *b.Outlet)
	if need <= s.Basin.Depth() {
		got, _ := s.o.Account.Placed(basinFill)
		why = why.And("; %v more would have to be brought in, compacted", shown(s.Basin.VolumeAt(need)-got))
	}
	s.cannot(why)
}

// breachRows writes the bill and the tasks.
func (s *sheet) breachRows() {
	strip := s.stripping()
	work := s.bermRow("open the berm and spread it in the basin")
	var area units.Area
	if s.o.FillLevel > 0 {
		area = s.Basin.AreaAt(s.o.FillLevel)
	} else {
		area = s.Basin.AreaAt(0)
	}
	if s.o.Account != nil {
		s.leftOver()
		work += s.earth("closing.breach.place", "place and compact the soil of the berm", s.placed(), units.Words("compacted, up to %v over the floor", s.o.FillLevel), s.Rates.Place, "place", s.Prices.Place, "place")
	}
	s.row("closing.grade", "grade the floor and the banks", s.top, units.Words("all that lies inside the top of the bank; the floor %v of it", area), 0, s.price(s.Prices.Grade.For(float64(s.top)), "grade"))
	var cautions []string
	if s.o.Breach != nil {
		cautions = s.o.Breach.Cautions
	}
	s.task(stage.Task{Key: "closing.fill", Name: units.Words("open the berm, spread it in the basin, grade to the outlet"), Kind: stage.EarthMoving, Work: work, Fit: stage.EarthDay, Crew: crew,
		Needs:    append(s.clean(), s.needs("closing.locate", "closing.erosion", "closing.liner", "closing.strip")...),
		Cautions: unique(append(append([]string(nil), cautions...), gas, overtake)),
		Hold:     []units.Phrase{units.Words("laboratory results of floor and banks"), units.Words("the engineer's word on the berm"), units.Words("erosion controls below the outlet")}})
	s.task(stage.Task{Key: "closing.levels", Name: units.Words("levels of the graded floor and the outlet"), Needs: s.needs("closing.fill")})
	s.returning(strip)
}
