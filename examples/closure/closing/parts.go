package closing

import (
	"cmp"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/earthwork"
)

// standIn serves where a part is checked that another part, which may be wrong or
// missing, would complete.
var standIn = struct {
	soil    earthwork.SoilSpec
	section earthwork.BermSection
	none    earthwork.SettlementSpec
}{
	soil:    earthwork.SoilSpec{Swell: new(0.2), Shrink: new(0.1)},
	section: earthwork.BermSection{Height: 1, CrestWidth: 1, InnerSlope: 2, OuterSlope: 2},
	none:    earthwork.SettlementSpec{Rule: earthwork.SettlementRuleDesign},
}

// checkAlternatives checks the parts that only one alternative uses, so that their faults
// are told in the same round as all others.
func (s *site) checkAlternatives(f *units.Faults) {
	s.checkCrown(f)
	if c := s.Compaction; c != nil {
		_, err := earthwork.Compaction(c.of(units.CubicMetre, max(c.Lift, units.Centimetre)))
		f.Sub("compaction", moved(err, "depth", drop))
	}
	if b := s.SoftFloor; b != nil {
		spec := *b
		spec.Area = cmp.Or(spec.Area, units.SquareMetre)
		if spec.Soil == (earthwork.SoilSpec{}) {
			spec.Soil = standIn.soil
		}
		_, err := earthwork.Bridging(spec)
		f.Sub("softFloor", err)
	}
	if b := s.Borrow; b != nil {
		at := f.At("borrow")
		at.Between("depth", b.Depth, units.Centimetre, 100*units.Metre)
		at.NumberBetween("slope", b.Slope, 0, 1000)
		at.Between("topsoil", b.Topsoil, units.Length(0), 10*units.Metre)
	}
	if b := s.Breach; b != nil {
		_, err := earthwork.Breach(earthwork.BreachSpec{Berm: standIn.section, Depth: standIn.section.Height, BottomWidth: b.BottomWidth, SideSlope: b.SideSlope})
		f.Sub("breach", err)
		at := f.At("breach")
		if b.Outlet != nil {
			at.Between("outlet", *b.Outlet, -units.Kilometre, units.Kilometre)
		}
		at.Between("run", b.Run, units.Length(0), 100*units.Kilometre)
		at.NumberBetween("leastGrade", b.LeastGrade, 0, 0.5)
		if c := b.Channel; c != nil {
			spec := *c
			if spec.Soil == (earthwork.SoilSpec{}) {
				spec.Soil = standIn.soil
			}
			_, err := earthwork.Trench(spec)
			f.Sub("breach.channel", err)
		}
	}
	if p := s.Pond; p != nil {
		at := f.At("pond")
		at.CountBetween("samples", p.Samples, "samples", 0, 1000)
	}
}

// checkCrown checks crown and settlement over any ground.
func (s *site) checkCrown(f *units.Faults) {
	spec := earthwork.SettledCrownSpec{Crown: earthwork.CrownSpec{Shape: earthwork.CrownShapeHip, Length: 2, Width: 1, Grade: 0.01}, BankSlope: 1, Settlement: standIn.none}
	if s.Settlement != nil {
		spec.Settlement = *s.Settlement
	}
	if c := s.Crown; c != nil {
		at := f.At("crown")
		at.NumberBetween("leastGrade", c.LeastGrade, 0.001, 0.5)
		if c.Grade != 0 {
			spec.Crown.Grade = c.Grade
		}
		if c.BankSlope != 0 {
			spec.BankSlope = c.BankSlope
		}
		if len(c.Outline) > 0 {
			spec.Crown = earthwork.CrownSpec{Shape: earthwork.CrownShapeHip, Outline: c.Outline, Grade: spec.Crown.Grade}
		} else if c.Shape != 0 {
			spec.Crown.Shape = c.Shape
			if c.Shape == earthwork.CrownShapeCone {
				spec.Crown.Length = spec.Crown.Width
			}
		}
	}
	_, err := earthwork.SettledCrown(spec)
	f.Sub("", moved(err, "bankSlope", "crown.bankSlope"))
}

// of is the compaction of a fill.
func (c Compaction) of(v units.Volume, depth units.Length) earthwork.CompactionSpec {
	return earthwork.CompactionSpec{Volume: v, Depth: depth, Lift: c.Lift, Passes: c.Passes, Test: c.Test, Percent: c.Percent, MaxDensity: c.MaxDensity, BankDensity: c.BankDensity,
		Moisture: c.Moisture, TestEvery: c.TestEvery, Roller: c.Roller}
}

// readLiner works out the ways through a liner that stays.
func (s *site) readLiner(f *units.Faults) {
	if s.Liner == nil || s.Liner.Ways == nil || s.Liner.Way != LinerWayPierce {
		return
	}
	spec := *s.Liner.Ways
	if spec.Length == 0 && spec.Width == 0 && spec.Area == 0 {
		spec.Area = s.Basin.AreaAt(0)
	}
	r, err := earthwork.Drain(spec)
	f.Sub("liner.ways", err)
	s.ways = &r
}

// readPond works out the rinses and the refill.
func (s *site) readPond(f *units.Faults) {
	if s.Pond == nil {
		return
	}
	spec := s.Pond.PondSpec
	spec.Basin = s.Basin
	r, err := volume.Pond(spec)
	f.Sub("pond", err)
	s.pond = &r
}
