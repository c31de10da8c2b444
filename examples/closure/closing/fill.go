package closing

import (
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/earthwork"
)

// Names of the soils and the fills of the account.
const (
	bermName    = "soil of the berm"
	topsoilName = "topsoil"
	soakedName  = "soaked soil"
	importName  = "soil brought in"
	basinFill   = "basin up to the ground"
	soakedFill  = "where soaked soil was dug out"
	crownFill   = "crown"
	bridgeFill  = "lift that sinks into the soft floor"
)

// fill is fill and crown.
func fill(site *site, f *units.Faults) Outcome {
	s := newSheet(site, AlternativeFill)
	s.begin()
	s.liner(AlternativeFill)
	s.softFloor(f)
	s.settledCrown(f)
	s.stakes()
	s.o.FillLevel = s.Ground
	s.fillAccount(f)
	s.fillRows(f)
	s.lumps()
	s.stays("the fill, which settles for years")
	s.condition(fillAgreed, units.Words("the regulator agrees to fill and crown after the inspection"), stage.Regulator)
	s.keep("levels", "levels of the finished grade on a grid, with a bench mark", "before topsoil, and again when it is down", "closing.levels", stage.Engineer, common)
	s.keep("settlement", "the crown looked at for hollows and its levels taken; hollows filled and reseeded", "after 1, 3, 6 and 12 months and after storms", "closing.levels", stage.Producer, common).Phase = stage.After
	return s.done()
}

// settledCrown is the crown to build so that it still sheds water when all has settled.
func (s *sheet) settledCrown(f *units.Faults) {
	if s.Crown == nil {
		s.unsure(units.Words("the crown is missing"))
		s.open(stage.Open{Key: "closing.crown", What: units.Words("crown: a fill that ends at the ground settles into a hollow that holds water"), Needs: units.Words("a least grade that shall be left"), Who: stage.Engineer, Stops: true})
		return
	}
	spec, bank, ok := s.crown()
	if !ok {
		s.unsure(units.Words("the outline of the fill at the ground, or the slope of its banks, is missing"))
		s.open(stage.Open{Key: "closing.crown.outline", What: units.Words("crown: the basin is not known by its outline or its banks"), Needs: units.Words("the outline of the fill at the ground, and the steepest bank under it"), Who: stage.Engineer, Stops: true})
		return
	}
	settlement := s.Settlement
	if settlement == nil && s.Compaction != nil {
		settlement = &earthwork.SettlementSpec{Rule: earthwork.SettlementRulePlaced, Share: min(max(1-s.Compaction.Percent, 0), 0.6)}
	}
	if s.Settlement != nil && s.Compaction != nil && s.Settlement.Share < 1-s.Compaction.Percent-1e-9 {
		s.open(stage.Open{Key: "closing.settlement.low", What: units.Words("the settlement of the plan, %v, is less than fill compacted to %v of its test density may settle", units.Share(s.Settlement.Share), units.Share(s.Compaction.Percent)),
			Needs: units.Words("the engineer's word on the settlement, or leave it to the compaction"), Who: stage.Engineer})
	}
	if settlement == nil {
		s.open(stage.Open{Key: "closing.settlement", What: units.Words("how much the fill settles: the crown is built for none"), Needs: units.Words("a settlement allowance, or how the fill is compacted"), Who: stage.Engineer, Stops: true})
		settlement = &earthwork.SettlementSpec{Rule: earthwork.SettlementRuleDesign}
	}
	r, err := earthwork.CrownFor(earthwork.SettledCrownSpec{Crown: spec, FillDepth: s.Ground, BankSlope: bank, Settlement: *settlement, MinGrade: s.Crown.LeastGrade})
	f.Sub("", moved(err, "crown", "crown", "bankSlope", "crown.bankSlope", "settlement", "settlement", "minGrade", "crown.leastGrade", "fillDepth", "ground"))
	if err != nil {
		return
	}
	s.o.Crown = &r
	s.warn(r.Cautions)
	if r.Steeper {
		s.open(stage.Open{Key: "closing.crown.grade", What: units.Words("the crown of the plan, at a grade of %.3f, would not shed water when it has settled; it is built at %.3f, for %v more soil", spec.Grade, r.Build.Spec.Grade, shown(r.Extra)),
			Needs: units.Words("the engineer's agreement, or a better compaction"), Who: stage.Engineer})
	}
}

// crownVolume is the soil in the crown without the topsoil that is laid on it.
func (s *sheet) crownVolume() (soil, topsoil units.Volume) {
	if s.Topsoil != nil {
		topsoil = s.at.Times(s.Topsoil.Return)
	}
	if s.o.Crown != nil {
		soil = s.o.Crown.Build.Volume
	}
	return soil, topsoil
}

// fillAccount is the account of every soil of fill and crown.
func (s *sheet) fillAccount(f *units.Faults) {
	if s.Soil == nil {
		s.lacksSoil()
		return
	}
	crown, cover := s.crownVolume()
	// The finished grade is the top of the topsoil, so that topsoil stands in the place of
	// the fill: the crown's first, and the basin's under it where the crown is thin.
	basin := max(s.pit-max(cover-crown, 0), 0)
	fills := []earthwork.AccountFill{{Name: basinFill, Volume: basin, State: earthwork.StateCompacted}, {Name: crownFill, Volume: max(crown-cover, 0), State: earthwork.StateCompacted}}
	if s.soakedBelow > 0 {
		fills = append(fills, earthwork.AccountFill{Name: soakedFill, Volume: s.soakedBelow, State: earthwork.StateCompacted})
	}
	if b := s.o.Bridging; b != nil {
		fills = append(fills, earthwork.AccountFill{Name: bridgeFill, Volume: b.Volume.Compacted - b.Above, State: earthwork.StateCompacted})
	}
	for i := range fills {
		fills[i].Soils = []string{bermName, importName}
	}
	s.account(f, fills, true)
}

// account puts the soils of the site against the fills. The area of the borrow follows
// from what has to be brought in, and its topsoil goes back to it; where the account says
// how much that is, it is drawn up again.
func (s *sheet) account(f *units.Faults, fills []earthwork.AccountFill, imports bool) {
	first := s.accountSpec(fills, imports)
	r, err := earthwork.Account(first)
	f.Sub("", moved(err, "truck", "truck"))
	if err != nil {
		return
	}
	if bank := r.Row(importName).Import.Bank; s.Borrow != nil && bank > 0 {
		soil := s.importSoil()
		pit, err := earthwork.Borrow(earthwork.BorrowSpec{Volume: max(bank, units.CubicMetre), State: earthwork.StateBank, Depth: s.Borrow.Depth, Slope: s.Borrow.Slope, Topsoil: s.Borrow.Topsoil, Loss: s.loss(), Soil: soil})
		f.Sub("borrow", err)
		if err != nil {
			return
		}
		s.o.Borrow = &pit
		if s.Topsoil != nil && pit.Stripped > 0 {
			i := topsoilAt(first)
			first.Soils[i].Cuts = append(first.Soils[i].Cuts, earthwork.EarthPart{Name: "borrow area", Volume: pit.Stripped, State: earthwork.StateBank})
			first.Fills = append([]earthwork.AccountFill{{Name: "topsoil back on the borrow area", Volume: pit.Returned, State: earthwork.StateBank, Soils: []string{topsoilName}}}, first.Fills...)
		}
		if r, err = earthwork.Account(first); err != nil {
			f.Sub("", err)
			return
		}
	}
	s.o.Account = &r
	s.warn(r.Cautions)
}

func topsoilAt(spec earthwork.AccountSpec) int {
	for i, x := range spec.Soils {
		if x.Name == topsoilName {
			return i
		}
	}
	return 0
}

func (s *sheet) loss() float64 {
	if s.Topsoil == nil {
		return 0
	}
	return s.Topsoil.Loss
}

// importSoil is the soil that is brought in.
func (s *sheet) importSoil() earthwork.SoilSpec {
	switch {
	case s.Borrow != nil && s.Borrow.Soil != nil:
		return *s.Borrow.Soil
	case s.Import != nil:
		return *s.Import
	}
	return *s.Soil
}

// accountSpec is the account before the borrow area: the berm less its topsoil, of which
// the face is soaked; topsoil; and the soaked soil below the ground, all of it spoil.
func (s *sheet) accountSpec(fills []earthwork.AccountFill, imports bool) earthwork.AccountSpec {
	a := earthwork.AccountSpec{Fills: fills, Truck: s.Truck}
	berm := earthwork.AccountSoil{Name: bermName, Soil: *s.Soil}
	var stripped units.Volume
	if s.berm != nil {
		if s.Topsoil != nil {
			stripped = min(s.berm.Footprint.Times(s.Topsoil.Strip), s.berm.Volume)
		}
		soil := s.berm.Volume - stripped
		face := units.Volume(0)
		if s.soaked != nil {
			face = min(s.soaked.Volume-s.soakedBelow, soil)
		}
		berm.Cuts = []earthwork.EarthPart{{Name: "berm", Volume: soil, State: earthwork.StateBank, Unsuitable: face}}
	}
	a.Soils = append(a.Soils, berm)
	if s.soaked != nil {
		a.Soils = append(a.Soils, earthwork.AccountSoil{Name: soakedName, Soil: *s.Soil,
			Cuts: []earthwork.EarthPart{{Name: "floor and banks below the ground", Volume: s.soakedBelow, State: earthwork.StateBank, Unsuitable: s.soakedBelow}}})
	}
	a.Soils = append(a.Soils, earthwork.AccountSoil{Name: importName, Soil: s.importSoil(), BroughtIn: imports})
	if t := s.Topsoil; t != nil {
		top := earthwork.AccountSoil{Name: topsoilName, Soil: t.Soil, Loss: t.Loss, BroughtIn: true}
		if stripped > 0 {
			top.Cuts = append(top.Cuts, earthwork.EarthPart{Name: "berm", Volume: stripped, State: earthwork.StateBank})
		}
		if t.WorkArea > 0 {
			top.Cuts = append(top.Cuts, earthwork.EarthPart{Name: "work area", Volume: t.WorkArea.Times(t.Strip), State: earthwork.StateBank})
		}
		a.Soils = append(a.Soils, top)
		put := func(name string, area units.Area) {
			if area > 0 && t.Return > 0 {
				a.Fills = append(a.Fills, earthwork.AccountFill{Name: name, Volume: area.Times(t.Return), State: earthwork.StateBank, Soils: []string{topsoilName}})
			}
		}
		put("topsoil on the filled basin", s.at)
		if s.berm != nil {
			put("topsoil where the berm stood", s.berm.Footprint)
		}
		put("topsoil back on the work area", t.WorkArea)
	}
	return a
}
