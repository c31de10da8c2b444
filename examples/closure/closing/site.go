package closing

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/earthwork"
)

// site is what all alternatives start from.
type site struct {
	Spec
	top         units.Area   // of the section at the top of the bank
	at          units.Area   // of the section at the ground
	pit         units.Volume // below the ground
	berm        *earthwork.BermResult
	soaked      *volume.LinerResult    // up to the highest level
	soakedBelow units.Volume           // of that below the ground; the rest lies in the berm
	pipeWork    []pipeWork             // in the order of the pipes
	ways        *earthwork.DrainResult // through a liner that stays
	pond        *volume.PondResult
}

// pipeWork is the work on a pipe, nil where its plug or its trench is missing.
type pipeWork struct {
	plug   *earthwork.PlugResult
	trench *earthwork.TrenchResult
}

// read checks the parts of the spec, each once, and works out what all alternatives
// need.
func read(spec Spec, f *units.Faults) *site {
	s := &site{Spec: spec}
	if units.IsNil(spec.Basin) {
		f.Missing("basin", "a basin")
	}
	if !alternativeNames.Has(int(spec.Chosen)) {
		f.Add("alternative", spec.Chosen, alternativeNames.Want())
	}
	s.checkParts(f)
	s.checkAlternatives(f)
	s.readPipes(f)
	if units.IsNil(spec.Basin) {
		return s
	}
	b, depth := spec.Basin, spec.Basin.Depth()
	f.Between("ground", spec.Ground, units.Millimetre, depth)
	if spec.HighestLevel != 0 {
		f.Between("highestLevel", spec.HighestLevel, units.Millimetre, depth)
	}
	s.readBerm(f)
	s.readLiner(f)
	s.readPond(f)
	if f.Err() != nil {
		return s
	}
	s.top, s.at, s.pit = b.AreaAt(depth), b.AreaAt(spec.Ground), b.VolumeAt(spec.Ground)
	s.readSoaked(f)
	s.areasFit(f)
	return s
}

// checkParts checks what more than one alternative uses.
func (s *site) checkParts(f *units.Faults) {
	soil := func(field string, spec *earthwork.SoilSpec) bool {
		if spec == nil {
			return false
		}
		made, err := earthwork.NewSoil(*spec)
		if err == nil {
			_, err = made.Convert(1, earthwork.StateLoose, earthwork.StateCompacted)
		}
		f.Sub(field, err)
		return err == nil
	}
	sound := soil("soil", s.Soil)
	soil("import", s.Import)
	if s.Topsoil != nil {
		soil("topsoil.soil", &s.Topsoil.Soil)
		at := f.At("topsoil")
		at.Between("strip", s.Topsoil.Strip, units.Length(0), 10*units.Metre)
		at.Between("return", s.Topsoil.Return, units.Length(0), 10*units.Metre)
		at.NumberBetween("loss", s.Topsoil.Loss, 0, 0.9)
		at.Between("workArea", s.Topsoil.WorkArea, units.Area(0), 1e10*units.SquareMetre)
	}
	if s.Borrow != nil {
		soil("borrow.soil", s.Borrow.Soil)
	}
	if s.Truck != nil && sound {
		_, err := earthwork.Loads(earthwork.LoadsSpec{Volume: 1, State: earthwork.StateLoose, Soil: *s.Soil, Truck: *s.Truck})
		f.Sub("", err)
	}
	if s.Soaked != nil {
		at := f.At("soaked")
		at.Between("thickness", s.Soaked.Thickness, units.Millimetre, 10*units.Metre)
		at.CountBetween("samples", s.Soaked.Samples, "samples", 0, 1000)
	}
	if s.Liner != nil {
		at := f.At("liner")
		if !linerNames.Has(int(s.Liner.Way)) {
			at.Add("way", s.Liner.Way, linerNames.Want())
		}
		at.Between("till", s.Liner.Till, units.Length(0), 3*units.Metre)
	}
	s.checkRates(f)
	for _, l := range []struct {
		field string
		days  int
		least int
	}{{"least", s.LabDays.Least, 0}, {"likely", s.LabDays.Likely, s.LabDays.Least}} {
		at := f.At("labDays")
		at.CountBetween(l.field, l.days, "days", l.least, 365)
	}
	for _, key := range slices.Sorted(maps.Keys(s.Answers)) {
		if !slices.Contains(conditionKeys, key) {
			at := f.Named("answers", key)
			at.Add("", key, "the key of a condition: %v", units.Word(strings.Join(conditionKeys, ", ")))
		}
	}
	if d := s.EarthDoubt; d != nil {
		at := f.At("earthDoubt")
		at.NumberBetween("likely", d.Likely, 1, 1)
		low, high := d.Range()
		at.NumberBetween("low", low, 0, 1)
		at.NumberBetween("high", high, 1, 10)
	}
	f.CountBetween("ticketLife", s.TicketLife, "days", 0, 365)
	s.Prices.check(f)
}

func (s *site) checkRates(f *units.Faults) {
	at, r := f.At("rates"), s.Rates
	// Work that goes slower than a cubic foot a day is none.
	flow := func(field string, q units.Flow) {
		if q != 0 {
			at.Between(field, q, units.CubicFoot.OverTime(units.Day), 1000*units.CubicMetrePerSecond)
		}
	}
	flow("dig", r.Dig)
	flow("place", r.Place)
	flow("topsoil", r.Topsoil)
	flow("trench", r.Trench)
	flow("water", r.Water)
	at.Between("plug", r.Plug, units.Duration(0), 365*units.Day)
	if r.Till != 0 {
		at.Between("till", r.Till, units.SquareFoot, 1e10*units.SquareMetre)
	}
}

// readBerm works out the berm. One without a plan runs along the inside top of the bank.
func (s *site) readBerm(f *units.Faults) {
	if s.Berm == nil {
		return
	}
	spec := *s.Berm
	depth := s.Basin.Depth()
	for i, side := range spec.Sides {
		at := f.At("berm.sides", i)
		at.Between("height", side.Height, units.Length(0), depth)
	}
	if (spec.Line == 0 || spec.Line == earthwork.BermLineInnerEdge) && spec.Length == 0 && spec.Width == 0 && spec.Diameter == 0 && len(spec.Plan) == 0 {
		spec.Line = earthwork.BermLineInnerEdge
		switch b := s.Basin.(type) {
		case *volume.Rectangular:
			spec.Length, spec.Width = b.SizeAt(depth)
		case *volume.Circular:
			spec.Diameter = b.DiameterAt(depth)
		case *volume.Polygon:
			if rings := b.SectionAt(depth); len(rings) == 1 {
				spec.Plan = rings[0]
			}
		}
		if spec.Length == 0 && spec.Diameter == 0 && len(spec.Plan) == 0 {
			return // open: the basin does not know its outline
		}
	}
	r, err := earthwork.Berm(spec)
	f.Sub("berm", err)
	if err == nil {
		s.berm = &r
		s.bermFits(f, spec)
	}
}

// slack is how far measures of one thing, taken on different days with different tapes,
// may lie apart (common practice, no source).
const slack = 0.05

// bermFits holds the plan of the berm against the inside top of the bank: another line of
// the berm lies outside of it by no more than the berm is wide, or inside by its bank.
func (s *site) bermFits(f *units.Faults, spec earthwork.BermSpec) {
	var out, in units.Length
	for _, side := range spec.Sides {
		if spec.Line != earthwork.BermLineInnerEdge {
			out = max(out, 2*(side.CrestWidth+units.Length(side.OuterSlope)*side.Height))
			in = max(in, 2*units.Length(side.InnerSlope)*side.Height)
		}
	}
	at := f.At("berm")
	fits := func(field string, got, top units.Length) {
		if got != 0 {
			at.Between(field, got, (top-in)*(1-slack), (top+out)*(1+slack))
		}
	}
	switch b := s.Basin.(type) {
	case *volume.Rectangular:
		length, width := b.SizeAt(b.Depth())
		fits("length", spec.Length, length)
		fits("width", spec.Width, width)
	case *volume.Circular:
		fits("diameter", spec.Diameter, b.DiameterAt(b.Depth()))
	}
}

// mostAround is how many times the basin with its berm may go into the work area (no
// source: wide enough for any site, and small enough to find a wrong unit).
const mostAround = 6

// areasFit holds areas that the spec has against those of the basin.
func (s *site) areasFit(f *units.Faults) {
	around := s.top
	if s.berm != nil {
		around += s.berm.Footprint
	}
	if t := s.Topsoil; t != nil && t.WorkArea > mostAround*around {
		f.Add("topsoil.workArea", t.WorkArea, "at most %v times the basin with its berm, %v", mostAround, around)
	}
	// A floor that runs to a line or a point has none to hold against.
	floor := max(s.Basin.AreaAt(0), s.Basin.AreaAt(s.Ground)/2)
	if s.ways != nil && s.ways.Floor > floor*(1+slack) {
		f.Add("liner.ways.area", s.ways.Floor, "at most the floor of the basin, %v", floor)
	}
	if k := s.SoftFloor; k != nil && k.Area > s.at*(1+slack) {
		f.Add("softFloor.area", k.Area, "at most the basin at the ground, %v", s.at)
	}
}

// readSoaked works out the soil that is soaked up to the highest level.
func (s *site) readSoaked(f *units.Faults) {
	if s.Soaked == nil {
		return
	}
	layer := func(upTo units.Length) (volume.LinerResult, error) {
		var err error
		for _, m := range volume.LinerMethods(s.Basin) {
			var r volume.LinerResult
			if r, err = volume.Liner(volume.LinerSpec{Basin: s.Basin, Thickness: s.Soaked.Thickness, Method: m, UpTo: upTo}); err == nil {
				return r, nil
			}
		}
		return volume.LinerResult{}, err
	}
	all, err := layer(s.HighestLevel)
	f.Sub("soaked", err)
	if err != nil {
		return
	}
	s.soaked, s.soakedBelow = &all, all.Volume
	if all.UpTo > s.Ground {
		below, err := layer(s.Ground)
		f.Sub("soaked", err)
		s.soakedBelow = min(below.Volume, all.Volume)
	}
}

func (s *site) readPipes(f *units.Faults) {
	for i, p := range s.Pipes {
		at := f.At("pipes", i)
		if p.Name == "" {
			at.Missing("name", "what the pipe is")
		}
		if !pipeNames.Has(int(p.Way)) {
			at.Add("way", p.Way, pipeNames.Want())
		}
		var work pipeWork
		switch {
		case p.Way == PipeWayPlug && p.Plug != nil:
			r, err := earthwork.Plug(*p.Plug)
			at.Sub("plug", err)
			work.plug = &r
		case p.Way == PipeWayPull && p.Dig != nil:
			work.trench = s.trench(&at, "trench", *p.Dig)
		}
		s.pipeWork = append(s.pipeWork, work)
	}
}

// trench is a trench whose soil may be left out: that of the site, without which it is
// nil.
func (s *site) trench(f *units.Faults, field string, spec earthwork.TrenchSpec) *earthwork.TrenchResult {
	if spec.Soil == (earthwork.SoilSpec{}) {
		if s.Soil == nil {
			return nil
		}
		spec.Soil = *s.Soil
	}
	r, err := earthwork.Trench(spec)
	f.Sub(field, err)
	return &r
}

// crown is the crown over the fill at the ground, and the steepest bank under it; ok is
// false where the basin does not know its outline or its banks and the caller has not
// told them.
func (s *site) crown() (spec earthwork.CrownSpec, bank float64, ok bool) {
	c := s.Crown
	spec = earthwork.CrownSpec{Shape: c.Shape, Grade: c.Grade}
	var outline plane.Polygon
	switch b := s.Basin.(type) {
	case *volume.Rectangular:
		length, width := b.SizeAt(s.Ground)
		spec.Length, spec.Width = max(length, width), min(length, width)
		z := b.Slopes()
		bank = min(z[0], z[1], z[2], z[3])
		if spec.Shape == 0 {
			spec.Shape = earthwork.CrownShapeHip
		}
	case *volume.Circular:
		spec.Shape, spec.Length, spec.Width = earthwork.CrownShapeCone, b.DiameterAt(s.Ground), b.DiameterAt(s.Ground)
		bank = b.Slope()
	case *volume.Polygon:
		if rings := b.SectionAt(s.Ground); len(rings) == 1 {
			outline = rings[0]
		}
		bank = 1000
		for _, z := range b.Slopes() {
			bank = min(bank, z)
		}
	}
	if len(c.Outline) > 0 {
		outline, spec.Length, spec.Width = c.Outline, 0, 0
	}
	if len(outline) > 0 {
		spec.Shape, spec.Outline = earthwork.CrownShapeHip, outline
	}
	if c.BankSlope != 0 {
		bank = c.BankSlope
	}
	return spec, bank, (spec.Length > 0 || len(outline) > 0) && bank > 0
}

// check records what is wrong with the prices.
func (p Prices) check(f *units.Faults) {
	at := f.At("prices")
	for _, c := range []struct {
		field string
		price interface{ Check(*units.Faults, string) }
	}{{"dig", p.Dig}, {"place", p.Place}, {"import", p.Import}, {"borrow", p.Borrow}, {"haul", p.Haul}, {"topsoil", p.Topsoil}, {"topsoilBuy", p.TopsoilBuy},
		{"pervious", p.Pervious}, {"till", p.Till}, {"fabric", p.Fabric}, {"grade", p.Grade}, {"concrete", p.Concrete}, {"plug", p.Plug}, {"trench", p.Trench},
		{"dirtyWater", p.DirtyWater}, {"cleanWater", p.CleanWater}, {"densityTest", p.DensityTest}, {"sample", p.Sample}, {"mobilization", p.Mobilization},
		{"permits", p.Permits}, {"engineer", p.Engineer}, {"erosion", p.Erosion}} {
		c.price.Check(&at, c.field)
	}
	if c := p.Contingency; c != nil {
		c.Check(&at, "contingency")
		_, high := c.Range()
		at.NumberBetween("contingency", high, 0, 1)
	}
}

// pipeName is how a pipe is spoken of.
func pipeName(i int, p Pipe) string {
	if p.Name != "" {
		return p.Name
	}
	return fmt.Sprintf("pipe %d", i+1)
}
