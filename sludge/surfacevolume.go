package sludge

import (
	"context"
	"math"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// SurfaceVolumeSpec asks for the volume under a surface of thickness.
type SurfaceVolumeSpec struct {
	Surface Surface `json:"-"` // a TIN, an IDW, kriging or any other; thickness
	// Spacing is the most width and height of the cells that the surface is summed
	// over, above 0 and as gives at most ten million; 0: as gives about 10,000.
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
// floor of the survey, or one fitted to the depths that were read. It has no interval:
// see [VolumeWithInterval]. Faults are on survey, surface and spacing; it ends with the
// error of ctx when that is done.
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
	r := SurfaceVolumeResult{Area: s.Area(), Cells: len(nodes), Spacing: spec.Spacing}
	floors, note := s.cuts()
	if note != "" {
		r.Notes = append(r.Notes, units.Words(note))
	}
	for _, n := range nodes {
		if err := ctx.Err(); err != nil {
			return SurfaceVolumeResult{}, err
		}
		t, ok := spec.Surface.At(n.At)
		if !ok || math.IsNaN(float64(t)) {
			r.Without += n.Area
			continue
		}
		r.Uncut += n.Area.Times(t)
		if t < 0 {
			r.BelowZero -= n.Area.Times(t)
			r.CutArea += n.Area
			continue
		}
		var over units.Length
		for _, g := range floors {
			if d := g.depth(n.At); t > d {
				over += units.Length(g.weight) * (t - d)
			}
		}
		if over > 0 {
			r.AtFloor += n.Area.Times(over)
			r.CutArea += n.Area
		}
		r.Volume += n.Area.Times(t - over)
	}
	if r.Without > 0 {
		r.Notes = append(r.Notes, units.Words("the surface has no value over %.1f %% of the area", 100*float64(r.Without/r.Area)))
	}
	return r, nil
}

// cut is a floor that surfaces are cut at, with its weight.
type cut struct {
	weight float64
	depth  func(p plane.Point) units.Length
}

// cuts returns the floors of the survey: as told, as read, none with walls. The note
// says what is not known.
func (s *Survey) cuts() (list []cut, note string) {
	if s.floor != nil {
		return []cut{{1, func(p plane.Point) units.Length {
			if d, ok := s.floor.Depth(p); ok {
				return max(0, d)
			}
			return units.Length(math.Inf(1))
		}}}, ""
	}
	if s.sides == SidesVertical {
		return nil, ""
	}
	sites, _ := s.sites()
	fitted := s.fitFloor(sites, 0)
	if s.sides == SidesUnknown || len(fitted) == 0 {
		return nil, "not cut at banks: nothing is known of the sides or of the floor"
	}
	for _, o := range fitted {
		list = append(list, cut{o.weight, func(p plane.Point) units.Length {
			return units.Length(min(o.flat, s.toEdge(p)/o.slope))
		}})
	}
	return list, ""
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
