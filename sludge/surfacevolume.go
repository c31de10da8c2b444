package sludge

import (
	"context"
	"math"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// SurfaceVolumeSpec asks for the volume under a surface of thickness.
type SurfaceVolumeSpec struct {
	Surface Surface `json:"-"` // a TIN, an IDW, kriging or any other; thickness, or what an uncut survey has
	// Spacing is the most width and height of the cells that the surface is summed
	// over, above 0 and as gives at most four million; 0: as gives about 10,000.
	Spacing units.Length `json:"spacing,omitzero"`
}

// SurfaceVolumeResult is the volume under a surface, cut at zero and at the floor.
type SurfaceVolumeResult struct {
	Volume    units.Volume   `json:"volume"`          // 0 or more
	Uncut     units.Volume   `json:"uncut"`           // of the surface as it is
	BelowZero units.Volume   `json:"belowZero"`       // added by raising it to zero
	AtFloor   units.Volume   `json:"atFloor"`         // taken off by cutting it at the floor
	CutArea   units.Area     `json:"cutArea"`         // where either happened
	Area      units.Area     `json:"area"`            // inside the boundary less the islands
	Without   units.Area     `json:"without"`         // where the surface has no value, such as beyond the hull: not in the volume
	Cells     int            `json:"cells"`           // summed over
	Spacing   units.Length   `json:"spacing"`         // as used
	Notes     []units.Phrase `json:"notes,omitempty"` // what to doubt
}

// surfaceCells is about the number of cells when no spacing is given.
const surfaceCells = 10000

// SurfaceVolume returns the volume under any surface inside the boundary, which is cut
// where it lies below zero and where it is thicker than the basin is deep: by the
// floor of the survey, or one kriged from the depths that were read. It has no interval:
// see [VolumeWithInterval]. A surface of thickness between soundings takes what a bank
// does to the sludge for the sludge; one of an [Survey.Uncut] survey, given with that,
// does not. Faults are on survey, surface, which is one where its value is infinite or
// beyond any basin, and spacing; it ends with the error of ctx when that is done.
func SurfaceVolume(ctx context.Context, s *Survey, spec SurfaceVolumeSpec) (SurfaceVolumeResult, error) {
	var f units.Faults
	s.checkUsable(&f)
	if units.IsNil(spec.Surface) {
		f.Missing("surface", "a surface of thickness")
	}
	if err := f.Err(); err != nil {
		return SurfaceVolumeResult{}, err
	}
	if spec.Spacing == 0 {
		spec.Spacing = units.Length(math.Sqrt(s.area / surfaceCells))
	}
	nodes, err := s.Nodes(spec.Spacing)
	if err != nil {
		return SurfaceVolumeResult{}, err
	}
	c, err := s.cuts(ctx)
	if err != nil {
		return SurfaceVolumeResult{}, err
	}
	r := SurfaceVolumeResult{Area: s.Area(), Cells: len(nodes), Spacing: spec.Spacing}
	if c.note != "" {
		r.Notes = append(r.Notes, units.Words(c.note))
	}
	highest := s.highestTop(c)
	var above units.Volume
	for _, n := range nodes {
		if err := ctx.Err(); err != nil {
			return SurfaceVolumeResult{}, err
		}
		z, ok := spec.Surface.At(n.At)
		if !ok || math.IsNaN(float64(z)) {
			r.Without += n.Area
			continue
		}
		if !(math.Abs(float64(z)) <= maxDepth) {
			return SurfaceVolumeResult{}, noThickness(float64(z), n.At)
		}
		before := r.Volume
		if r.add(n.Area, z, s, c, n.At); len(c.floors) > 0 && r.Volume > before {
			t := (r.Volume - before).Over(n.Area).Depth()
			above += n.Area.Times(min(t, max(0, highest-(c.depth(n.At)-t))))
		}
	}
	if r.Without > 0 {
		r.Notes = append(r.Notes, units.Words("the surface has no value over %.1f %% of the area", 100*float64(r.Without/r.Area)))
	}
	if s.uncut == BankOpen && above > muchAbove*r.Volume {
		r.Notes = append(r.Notes, units.Words("%.0f %% of it lies on the banks, higher than the sludge top at any sounding: the surface carries the sludge up to the waterline, where a level top ends lower", 100*float64(above/r.Volume)))
	}
	return r, nil
}

// muchAbove is the share of a volume over all tops that were read from which a note is
// made.
const muchAbove = 0.03

// highestTop returns the least depth to the sludge top at a sounding.
func (s *Survey) highestTop(c *cuts) units.Length {
	least := units.Length(math.Inf(1))
	for i := range s.n {
		top := units.Length(s.toSludge[i])
		if math.IsNaN(s.toSludge[i]) {
			z := units.Length(s.z[i])
			if s.uncut == BankLevel {
				top = units.Length(s.deepest) - z
			} else {
				top = c.depth(s.at(i)) - z
			}
		}
		least = min(least, max(0, top))
	}
	return least
}

// add adds a surface of value z over an area at p, cut at zero and at the floors.
func (r *SurfaceVolumeResult) add(area units.Area, z units.Length, s *Survey, c *cuts, p plane.Point) {
	if len(c.floors) == 0 {
		r.cut(area, z, units.Length(math.Inf(1)))
		return
	}
	for _, g := range c.floors {
		d, t := g.depth(p), z
		if s.uncut == BankLevel {
			t -= units.Length(s.deepest) - d
		}
		r.cut(units.Area(g.weight)*area, t, d)
	}
}

// cut adds a thickness over an area, cut at zero and at a depth.
func (r *SurfaceVolumeResult) cut(area units.Area, t, depth units.Length) {
	r.Uncut += area.Times(t)
	switch {
	case t < 0:
		r.BelowZero -= area.Times(t)
		r.CutArea += area
	case t > depth:
		r.AtFloor += area.Times(t - depth)
		r.CutArea += area
		r.Volume += area.Times(depth)
	default:
		r.Volume += area.Times(t)
	}
}

// Working returns the parts of the volume.
func (r SurfaceVolumeResult) Working() units.Working {
	var w units.Working
	w.Add("under the surface", r.Uncut, "%v cells of at most %v", r.Cells, r.Spacing)
	w.Add("raised to zero", r.BelowZero, "")
	w.Add("cut at the floor", r.AtFloor, "")
	w.Add("volume", r.Volume, "under the surface + raised - cut")
	w.Add("area cut", r.CutArea, "of %v", r.Area)
	for _, n := range r.Notes {
		w.Put(units.Words("note"), "", n)
	}
	return w
}

// String returns the working as a table.
func (r SurfaceVolumeResult) String() string { return r.Working().String() }
