package earthwork

import (
	"math"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/cautions"
)

// DrainKind is a way through a liner that stays in place. The zero value is
// refused.
type DrainKind = units.Enum[drainWords]

// Ways through a liner.
const (
	DrainKindHoles    DrainKind = iota + 1 // "holes": round, on a square grid
	DrainKindTrenches                      // "trenches": parallel, along the length of the floor
)

var drainNames = units.Names{DrainKindHoles: "holes", DrainKindTrenches: "trenches"}

type drainWords struct{}

func (drainWords) Names() units.Names { return drainNames }

// DrainSpec pierces the liner on the floor so that rain that seeps into the fill
// does not stand on it. No numeric rule could be read: spacing and size come from
// the regulator or the engineer.
type DrainSpec struct {
	Kind    DrainKind    `json:"kind"`             // holes or trenches
	Length  units.Length `json:"length,omitzero"`  // of a rectangular floor
	Width   units.Length `json:"width,omitzero"`   // of a rectangular floor
	Area    units.Area   `json:"area,omitzero"`    // of a floor of any other shape, instead of length and width
	Size    units.Length `json:"size"`             // diameter of a hole, width of a trench
	Spacing units.Length `json:"spacing,omitzero"` // at most, centre to centre; or
	Share   float64      `json:"share,omitzero"`   // fraction of the floor to open, 1e-6 to 0.5
	Depth   units.Length `json:"depth"`            // of the liner and what is dug below it
}

// DrainResult is the openings and what is dug for them.
type DrainResult struct {
	Spec     DrainSpec    `json:"spec"`     // what was asked
	Floor    units.Area   `json:"floor"`    // area that is drained
	Rows     int          `json:"rows"`     // of holes across a rectangular floor; 0 for others
	Count    int          `json:"count"`    // of holes, or of trenches as long as the floor; 0 for trenches in an area
	Trenches units.Length `json:"trenches"` // their length together; 0 for holes
	Spacing  units.Length `json:"spacing"`  // that is kept, centre to centre
	Share    float64      `json:"share"`    // of the floor that is open
	Volume   units.Volume `json:"volume"`   // dug, bank; the same space is filled with pervious soil
	Cautions []string     `json:"cautions"` // what can hurt people, and who decides
}

// Drain lays openings out on a square grid, or in lines along the floor, so that
// no spacing is more than asked or at least the asked share of the floor is open:
// a hole for each spacing^2, a line for each spacing of width, whole numbers
// rounded up. Common practice, no source. Errors are [units.FieldError] with the
// json field; openings must fit beside each other.
func Drain(spec DrainSpec) (DrainResult, error) {
	var f units.Faults
	if !drainNames.Has(int(spec.Kind)) {
		f.Add("kind", spec.Kind, drainNames.Want())
	}
	floor := spec.Area
	switch {
	case spec.Area == 0:
		f.UpTo("length", spec.Length, units.MaxLength)
		f.UpTo("width", spec.Width, units.MaxLength)
		floor = spec.Length.Times(spec.Width)
	case spec.Length != 0 || spec.Width != 0:
		f.Fault(units.FaultConflict, "area", spec.Area, "left out beside length and width")
	default:
		f.UpTo("area", spec.Area, units.MaxArea)
	}
	f.UpTo("size", spec.Size, units.MaxLength)
	f.UpTo("depth", spec.Depth, units.MaxLength)
	given := 0
	for _, has := range []bool{spec.Spacing != 0, spec.Share != 0} {
		if has {
			given++
		}
	}
	switch {
	case given != 1:
		f.Count("spacing", given, "measures", "1 of spacing and share")
	case spec.Spacing != 0:
		f.UpTo("spacing", spec.Spacing, units.MaxLength)
	default:
		f.NumberBetween("share", spec.Share, 1e-6, 0.5)
	}
	if err := f.Err(); err != nil {
		return DrainResult{}, err
	}
	hole := spec.Size.Times(spec.Size) * (math.Pi / 4)
	spacing := spec.Spacing
	switch {
	case spacing != 0:
	case spec.Kind == DrainKindHoles:
		spacing = units.Length(math.Sqrt(float64(hole) / spec.Share))
	default:
		spacing = spec.Size / units.Length(spec.Share)
	}
	if across := float64((spec.Length + spec.Width) / spacing); !(max(across, float64(floor)/float64(spacing)/float64(spacing)) <= maxLoads) {
		f.Add("spacing", spacing, "a spacing that needs at most 1e9 openings")
		return DrainResult{}, f.Err()
	}
	r := DrainResult{Spec: spec, Floor: floor, Spacing: spacing, Cautions: append(cautions.Digging(spec.Depth), cautions.Regulator)}
	var open units.Area
	switch {
	case spec.Kind == DrainKindHoles && spec.Area != 0:
		r.Count = max(1, ceil(float64(floor)/float64(spacing.Times(spacing))))
		open = hole * units.Area(r.Count)
	case spec.Kind == DrainKindHoles:
		rows, row := max(1, ceil(float64(spec.Width/spacing))), max(1, ceil(float64(spec.Length/spacing)))
		r.Rows, r.Count = rows, rows*row
		r.Spacing = max(spec.Width/units.Length(rows), spec.Length/units.Length(row))
		spacing = min(spec.Width/units.Length(rows), spec.Length/units.Length(row))
		open = hole * units.Area(r.Count)
	case spec.Area != 0:
		r.Trenches = floor.OverLength(spacing)
	default:
		r.Count = max(1, ceil(float64(spec.Width/spacing)))
		r.Spacing = spec.Width / units.Length(r.Count)
		spacing = r.Spacing
		r.Trenches = spec.Length * units.Length(r.Count)
	}
	if spec.Kind == DrainKindTrenches {
		open = r.Trenches.Times(spec.Size)
	}
	if spec.Size > spacing || open > floor {
		f.Add("size", spec.Size, "openings that fit beside each other, %v apart, on %v", spacing, floor)
		return DrainResult{}, f.Err()
	}
	r.Share = float64(open / floor)
	r.Volume = open.Times(spec.Depth)
	return r, nil
}

// Working shows the openings and what is dug.
func (r DrainResult) Working() units.Working {
	var w units.Working
	w.Add("floor", r.Floor, "")
	switch {
	case r.Rows > 0:
		w.Put(units.Words("%v", r.Spec.Kind), r.Count, units.Words("%v rows of %v", r.Rows, r.Count/r.Rows))
	case r.Spec.Kind == DrainKindHoles:
		w.Put(units.Words("%v", r.Spec.Kind), r.Count, units.Words("floor / spacing^2"))
	case r.Count > 0:
		w.Put(units.Words("%v", r.Spec.Kind), r.Count, units.Words("%v as long as the floor", r.Count))
		w.Add("length of the trenches", r.Trenches, "%v as long as the floor", r.Count)
	default:
		w.Add("length of the trenches", r.Trenches, "floor / spacing")
	}
	w.Add("spacing", r.Spacing, "centre to centre")
	w.Add("share of the floor that is open", r.Share, "openings / floor")
	w.Add("dug, bank", earth(r.Volume), "openings x %v", r.Spec.Depth)
	return w
}

// String prints the working.
func (r DrainResult) String() string { return r.Working().String() }
