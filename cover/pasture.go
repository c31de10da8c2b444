package cover

import (
	"slices"

	"example.org/earthbasin/units"
)

// Canopy is the canopy of the pasture table.
type Canopy = units.Enum[canopiesWords]

// Canopies. The number is the percentage of the ground under the canopy.
const (
	CanopyNone    Canopy = iota // "none"
	CanopyForbs25               // "forbs 25 %": tall forbs, 0.5 m fall height
	CanopyForbs50               // "forbs 50 %"
	CanopyForbs75               // "forbs 75 %"
	CanopyBrush25               // "brush 25 %": brush, 2 m
	CanopyBrush50               // "brush 50 %"
	CanopyBrush75               // "brush 75 %"
	CanopyTrees25               // "trees 25 %": trees, 4 m
	CanopyTrees50               // "trees 50 %"
	CanopyTrees75               // "trees 75 %"
)

var canopies = units.Names{"none", "forbs 25 %", "forbs 50 %", "forbs 75 %", "brush 25 %", "brush 50 %", "brush 75 %", "trees 25 %", "trees 50 %", "trees 75 %"}

type canopiesWords struct{}

func (canopiesWords) Names() units.Names { return canopies }

// GroundCover is what covers the ground under the canopy.
type GroundCover = units.Enum[groundCoversWords]

// Kinds of ground cover. The zero value is not one.
const (
	GroundGrassOrLitter GroundCover = iota + 1 // "grass or litter": grass, grasslike plants, decaying litter: type G
	GroundWeeds                                // "weeds": broadleaved herbs with little lateral root: type W
)

var groundCovers = units.Names{"", "grass or litter", "weeds"}

type groundCoversWords struct{}

func (groundCoversWords) Names() units.Names { return groundCovers }

// BareColumn is how the first column of the pasture table is read, on which its
// printings disagree.
type BareColumn = units.Enum[bareColumnsWords]

// Readings. The zero value is not one.
const (
	// BareAtZero, "0.45 at 0 %", puts 0.45 at no ground cover (Colorado DRMS document 732832, page
	// 11): ground undisturbed for years, whose roots still hold.
	BareAtZero BareColumn = iota + 1
	// BareAtTen, "0.45 at 10 %", puts 0.45 at 10 percent and 1.0 at none (document 944539, page 8):
	// the one for freshly graded ground.
	BareAtTen
)

var bareColumns = units.Names{"", "0.45 at 0 %", "0.45 at 10 %"}

type bareColumnsWords struct{}

func (bareColumnsWords) Names() units.Names { return bareColumns }

// PastureSpec is a stand on pasture, range or idle land.
type PastureSpec struct {
	Canopy Canopy      `json:"canopy"` // over the ground cover; zero value: none
	Ground GroundCover `json:"ground"` // weeds without canopy only
	Cover  float64     `json:"cover"`  // fraction of the ground covered
	Bare   BareColumn  `json:"bare"`   // how the first column is read; required
}

// pastureCovers are the columns of the table. The last is 95 percent and more.
var pastureCovers = [6]float64{0, 0.20, 0.40, 0.60, 0.80, 0.95}

// pastureRows are the rows of type G by canopy, SCS Agronomy Note 50 as printed in
// Colorado DRMS document 732832, page 11.
var pastureRows = [...][6]float64{
	CanopyNone:    {0.45, 0.20, 0.10, 0.042, 0.013, 0.003},
	CanopyForbs25: {0.36, 0.17, 0.09, 0.038, 0.012, 0.003},
	CanopyForbs50: {0.26, 0.13, 0.07, 0.035, 0.012, 0.003},
	CanopyForbs75: {0.17, 0.10, 0.06, 0.031, 0.011, 0.003},
	CanopyBrush25: {0.40, 0.18, 0.09, 0.040, 0.013, 0.003},
	CanopyBrush50: {0.34, 0.16, 0.085, 0.038, 0.012, 0.003},
	CanopyBrush75: {0.28, 0.14, 0.08, 0.036, 0.012, 0.003},
	CanopyTrees25: {0.42, 0.19, 0.10, 0.041, 0.013, 0.003},
	CanopyTrees50: {0.39, 0.18, 0.09, 0.040, 0.013, 0.003},
	CanopyTrees75: {0.36, 0.17, 0.09, 0.039, 0.012, 0.003},
}

// pastureWeeds is type W without canopy, the only one that was seen.
var pastureWeeds = [6]float64{0.45, 0.24, 0.15, 0.090, 0.043, 0.011}

// PastureResult is C as read from the pasture table.
type PastureResult struct {
	Spec PastureSpec `json:"spec"` // what it was worked out from
	C    float64     `json:"c"`    // soil loss over that of bare fallow, 0.003 to 1
}

// Pasture reads C of pasture, range and idle land from the table by ground cover
// and canopy, with straight lines between the columns (SCS Agronomy Note 50).
func Pasture(spec PastureSpec) (PastureResult, error) {
	var f units.Faults
	if !canopies.Has(int(spec.Canopy)) {
		f.Add("canopy", spec.Canopy, canopies.Want())
	}
	if !groundCovers.Has(int(spec.Ground)) {
		f.Add("ground", spec.Ground, groundCovers.Want())
	}
	if spec.Ground == GroundWeeds && spec.Canopy != CanopyNone {
		f.Add("canopy", spec.Canopy, "no value with weeds")
	}
	f.Fraction("cover", spec.Cover)
	if !bareColumns.Has(int(spec.Bare)) {
		f.Add("bare", spec.Bare, bareColumns.Want())
	}
	if err := f.Err(); err != nil {
		return PastureResult{}, err
	}
	row := pastureWeeds
	if spec.Ground == GroundGrassOrLitter {
		row = pastureRows[spec.Canopy]
	}
	x, y := slices.Clone(pastureCovers[:]), row[:]
	if spec.Bare == BareAtTen {
		x[0] = 0.10
		x, y = append([]float64{0}, x...), append([]float64{1}, y...)
	}
	i := 1
	for i < len(x)-1 && x[i] < spec.Cover {
		i++
	}
	at := min(spec.Cover, x[i])
	return PastureResult{spec, y[i-1] + (y[i]-y[i-1])*(at-x[i-1])/(x[i]-x[i-1])}, nil
}

// Working shows what C was read for.
func (r PastureResult) Working() units.Working {
	var w units.Working
	w.Add("canopy", r.Spec.Canopy, "")
	w.Add("ground cover", units.Share(r.Spec.Cover), "%v", r.Spec.Ground)
	w.Add("C", rounded(r.C, 3), "SCS Agronomy Note 50, %v", r.Spec.Bare)
	return w
}

// String prints the working.
func (r PastureResult) String() string { return r.Working().String() }
