package plan

import (
	"fmt"
	"math"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
	"example.org/earthbasin/volume/earthwork"
)

// slack is how far measures of one thing, taken on different days with different
// tapes, may lie apart (common practice, no source).
const slack = 0.05

// mostAround is how many times the basin with its berm may go into an area that is
// stripped or sown (no source: wide enough for any site, and small enough to find a
// wrong unit).
const mostAround = 6

// surveyFits holds the boundary of the survey against the liquid surface of the basin.
func (p *planner) surveyFits() {
	length, width := p.Basin.SizeAt(p.level)
	if surface := length.Times(width); p.Survey.Area() > surface*(1+slack) {
		p.faults.Add("survey.boundary", p.Survey.Area(), "at most the liquid surface of the basin, %v", surface)
		return
	}
	boundary, _ := p.Survey.Boundary()
	longest := units.Length(math.Hypot(float64(length), float64(width)))
	if across := reach(boundary); across > longest*(1+slack) {
		p.faults.Add("survey.boundary", across, "from end to end at most the diagonal of the liquid surface, %v", longest)
	}
}

// reach is the longest distance between two of the points.
func reach(points []plane.Point) units.Length {
	var most float64
	for i, a := range points {
		for _, b := range points[:i] {
			most = max(most, math.Hypot(float64(a.X-b.X), float64(a.Y-b.Y)))
		}
	}
	return units.Length(most)
}

// derive fills in what the earthwork has from the basin where the scenario leaves it
// out: the berm runs along the top of the bank, the drain lies on the floor.
func (p *planner) derive(known bool) {
	w, basin := &p.s.Works, p.Basin
	if !known {
		basin = p.other().Basin
	}
	if b := &w.Berm; b.Line == 0 && b.Length == 0 && b.Width == 0 && b.Plan == nil {
		b.Line = earthwork.BermLineInnerEdge
		b.Length, b.Width = basin.SizeAt(basin.Depth())
	}
	if d := &w.Drain; d.Length == 0 && d.Width == 0 && d.Area == 0 {
		d.Length, d.Width = basin.SizeAt(0)
	}
}

// worksFit holds what the scenario says of the earthwork against the basin.
func (p *planner) worksFit() {
	w := &p.s.Works
	length, width := p.Basin.SizeAt(p.Basin.Depth())
	if b := w.Berm; b.Plan == nil {
		// The inside top of the bank is that of the basin; other lines of the berm lie
		// outside of it by no more than the berm is wide, or inside by the bank.
		out, in := units.Length(0), units.Length(0)
		for _, s := range b.Sides {
			if b.Line != earthwork.BermLineInnerEdge {
				out = max(out, 2*(s.CrestWidth+units.Length(s.OuterSlope)*s.Height))
				in = max(in, 2*units.Length(s.InnerSlope)*s.Height)
			}
		}
		fits := func(field string, got, top units.Length) {
			p.faults.Between("works.berm."+field, got, (top-in)*(1-slack), (top+out)*(1+slack))
		}
		fits("length", b.Length, length)
		fits("width", b.Width, width)
	}
	for i, s := range w.Berm.Sides {
		if s.Height >= p.Basin.Depth() {
			p.faults.Add(fmt.Sprintf("works.berm.sides[%d].height", i), s.Height, "less than the basin is deep, %v", p.Basin.Depth())
		}
	}
	floorLength, floorWidth := p.Basin.SizeAt(0)
	floor := floorLength.Times(floorWidth)
	if d := w.Drain; d.Area == 0 {
		p.faults.Between("works.drain.length", d.Length, units.Length(0), floorLength*(1+slack))
		p.faults.Between("works.drain.width", d.Width, units.Length(0), floorWidth*(1+slack))
	} else {
		p.faults.Between("works.drain.area", d.Area, units.Area(0), floor*(1+slack))
	}
	ring := units.Length(0)
	for _, s := range w.Berm.Sides {
		ring = max(ring, s.CrestWidth+units.Length(s.OuterSlope)*s.Height)
	}
	site := mostAround * (length + 2*ring).Times(width+2*ring)
	for field, area := range map[string]units.Area{"stripArea": w.Topsoil.StripArea, "returnArea": w.Topsoil.ReturnArea} {
		if area > site {
			p.faults.Add("works.topsoil."+field, area, "at most %v times the basin with its berm, %v", mostAround, site)
		}
	}
}
