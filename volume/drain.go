package volume

import (
	"fmt"
	"math"

	"example.org/earthbasin/units"
)

// DrainKind is a way through a liner that stays in place. The zero value is
// refused.
type DrainKind int

// Ways through a liner.
const (
	DrainKindHoles    DrainKind = iota + 1 // round holes on a square grid
	DrainKindTrenches                      // parallel trenches along the length of the floor
)

var drainNames = units.Names{DrainKindHoles: "holes", DrainKindTrenches: "trenches"}

// String returns the name that MarshalText writes.
func (k DrainKind) String() string { return drainNames.String(int(k)) }

// MarshalText writes the name; a value that is no kind is an error.
func (k DrainKind) MarshalText() ([]byte, error) { return drainNames.Marshal(int(k)) }

// UnmarshalText reads a name; the error lists the names.
func (k *DrainKind) UnmarshalText(text []byte) error { return units.UnmarshalName(drainNames, text, k) }

// DrainSpec pierces the liner on a rectangular floor so that rain that seeps into
// the fill does not stand on it. No numeric rule could be read: spacing and size
// come from the regulator or the engineer.
type DrainSpec struct {
	Kind    DrainKind    `json:"kind"`
	Length  units.Length `json:"length"`           // of the floor
	Width   units.Length `json:"width"`            //
	Size    units.Length `json:"size"`             // diameter of a hole, width of a trench
	Spacing units.Length `json:"spacing,omitzero"` // centre to centre; or
	Share   float64      `json:"share,omitzero"`   // fraction of the floor to open, more than 0 to 0.5
	Depth   units.Length `json:"depth"`            // of the liner and what is dug below it
}

// DrainResult is the openings and what is dug for them.
type DrainResult struct {
	Kind    DrainKind    `json:"kind"`
	Count   int          `json:"count"`
	Rows    int          `json:"rows"`    // across the width: rows of holes, or trenches
	PerRow  int          `json:"perRow"`  // holes in a row; 1 for a trench
	Spacing units.Length `json:"spacing"` // at most, centre to centre
	Share   float64      `json:"share"`   // of the floor that is open
	Volume  units.Volume `json:"volume"`  // dug, bank; the same space is filled with pervious soil
	shown
	Cautions []string `json:"cautions"`
}

// Drain lays openings out so that no spacing is more than asked, rows = width /
// spacing and holes in a row = length / spacing, both rounded up, or so that at
// least the asked share of the floor is open, from the spacing that gives it
// (hole area / spacing^2, trench width / spacing). Common practice, no source.
// Errors are [units.FieldError] with the json field; openings must fit beside each
// other.
func Drain(spec DrainSpec) (DrainResult, error) {
	var f units.Faults
	if !drainNames.Has(int(spec.Kind)) {
		f.Add("kind", spec.Kind.String(), drainNames.Want())
	}
	positive(&f, "length", spec.Length, longest)
	positive(&f, "width", spec.Width, longest)
	positive(&f, "size", spec.Size, longest)
	positive(&f, "depth", spec.Depth, longest)
	switch {
	case (spec.Spacing != 0) == (spec.Share != 0):
		f.Add("spacing", "given with share, or neither is", "one of spacing and share")
	case spec.Spacing != 0:
		positive(&f, "spacing", spec.Spacing, longest)
	case !(spec.Share > 0 && spec.Share <= 0.5):
		f.Add("share", spec.Share, "more than 0, at most 0.5")
	}
	if err := f.Err(); err != nil {
		return DrainResult{}, err
	}
	r := DrainResult{Kind: spec.Kind, PerRow: 1, Cautions: append(digging(spec.Depth), cautionRegulator)}
	opening := spec.Size.Times(spec.Length)
	spacing := spec.Size / units.Length(spec.Share)
	if spec.Kind == DrainKindHoles {
		opening = spec.Size.Times(spec.Size) * (math.Pi / 4)
		spacing = units.Length(math.Sqrt(float64(opening) / spec.Share))
	}
	if spec.Spacing != 0 {
		spacing = spec.Spacing
	}
	rows, perRow := float64(spec.Width/spacing), 1.0
	if spec.Kind == DrainKindHoles {
		perRow = float64(spec.Length / spacing)
	}
	if !(rows*perRow <= maxLoads && max(rows, perRow) <= maxLoads) {
		f.Add("spacing", spacing, "a spacing that needs at most 1e9 openings")
		return DrainResult{}, f.Err()
	}
	r.Rows, r.PerRow = ceil(rows), ceil(perRow)
	r.Count = r.Rows * r.PerRow
	r.Spacing = spec.Width / units.Length(r.Rows)
	if spec.Kind == DrainKindHoles {
		r.Spacing = max(r.Spacing, spec.Length/units.Length(r.PerRow))
	}
	if least := min(spec.Width/units.Length(r.Rows), spec.Length/units.Length(r.PerRow)); spec.Size > least {
		f.Add("size", spec.Size, "less than the distance between openings, "+least.Trade())
		return DrainResult{}, f.Err()
	}
	open := opening * units.Area(r.Count)
	floor := spec.Length.Times(spec.Width)
	r.Share = float64(open / floor)
	r.Volume = open.Times(spec.Depth)
	r.lines.Add("floor", floor, "")
	r.lines.Add(spec.Kind.String(), r.Count, fmt.Sprintf("%d x %d, at most %s apart", r.Rows, r.PerRow, r.Spacing.Trade()))
	r.lines.Add("share of the floor that is open", r.Share, "openings / floor")
	r.lines.Add("dug, bank", cubicYards(r.Volume), "openings x "+spec.Depth.Trade())
	return r, nil
}
