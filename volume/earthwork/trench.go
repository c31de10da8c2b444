package earthwork

import (
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/internal/cautions"
)

// TrenchPoint is the depth of a trench at a station along it.
type TrenchPoint struct {
	Station units.Length `json:"station"` // growing from point to point
	Depth   units.Length `json:"depth"`   // below the ground, straight from point to point
}

// TrenchSpec is a trench, its pipe and its backfill.
type TrenchSpec struct {
	Points      []TrenchPoint `json:"points"`               // 2 or more
	BottomWidth units.Length  `json:"bottomWidth"`          // 0 or more
	SideSlopes  [2]float64    `json:"sideSlopes"`           // left and right, horizontal per vertical, 0 to 1000
	Method      volume.Method `json:"method"`               // between the points
	PipeOutside units.Length  `json:"pipeOutside,omitzero"` // diameter of a pipe over the whole length; 0 for none
	Bedding     units.Length  `json:"bedding,omitzero"`     // thickness of other material on the bottom, below the pipe
	Soil        SoilSpec      `json:"soil"`                 // needs swell and shrink
}

// TrenchResult is what is dug and what goes back. One of Surplus and Shortage is 0.
type TrenchResult struct {
	Spec       TrenchSpec   `json:"spec"`       // what was asked
	Length     units.Length `json:"length"`     // from the first station to the last
	Deepest    units.Length `json:"deepest"`    // depth at any point
	TopWidth   units.Length `json:"topWidth"`   // at the deepest point
	Excavation units.Volume `json:"excavation"` // bank
	Spoil      units.Volume `json:"spoil"`      // the excavation, loose
	Pipe       units.Volume `json:"pipe"`       // taken by the pipe
	Bedding    units.Volume `json:"bedding"`    // compacted
	Backfill   units.Volume `json:"backfill"`   // compacted: excavation less pipe and bedding
	Surplus    units.Volume `json:"surplus"`    // spoil left over, loose
	Shortage   units.Volume `json:"shortage"`   // soil missing, loose
	Cautions   []string     `json:"cautions"`   // what can hurt people, and who decides
}

// Trench returns excavation and backfill. A section of depth h is b h + s h^2, s
// the mean of the side slopes, and the sections are joined by the named method;
// prismoidal is exact here because the depth runs straight. Errors are
// [units.FieldError] with the json field; a pipe and bedding that stand out of the
// trench are among them, and so is a pipe wider than the bottom.
func Trench(spec TrenchSpec) (TrenchResult, error) {
	var f units.Faults
	if len(spec.Points) < 2 {
		f.Count("points", len(spec.Points), "points", "2 or more")
	}
	for i, p := range spec.Points {
		at := f.At("points", i)
		at.Between("station", p.Station, -units.MaxCoordinate, units.MaxCoordinate)
		at.ZeroTo("depth", p.Depth, units.MaxLength)
		if i > 0 && !(p.Station > spec.Points[i-1].Station) {
			at.Add("station", p.Station, "more than the station before, %v", spec.Points[i-1].Station)
		}
	}
	f.ZeroTo("bottomWidth", spec.BottomWidth, units.MaxLength)
	for i, z := range spec.SideSlopes {
		at := f.At("sideSlopes", i)
		at.NumberZeroTo("", z, units.MaxSlope)
	}
	checkMethod(&f, spec.Method, volume.MethodEndArea, volume.MethodConic, volume.MethodPrismoidal, volume.MethodMidArea)
	f.ZeroTo("pipeOutside", spec.PipeOutside, units.MaxLength)
	f.ZeroTo("bedding", spec.Bedding, units.MaxLength)
	if spec.PipeOutside > spec.BottomWidth {
		f.Add("pipeOutside", spec.PipeOutside, "at most the bottom width of %v", spec.BottomWidth)
	}
	for i, p := range spec.Points {
		if in := spec.PipeOutside + spec.Bedding; p.Depth < in*(1-slack) {
			at := f.At("points", i)
			at.Add("depth", p.Depth, "at least pipe and bedding, %v", in)
		}
	}
	soil := soilFor(&f, "soil", spec.Soil, StateLoose, StateCompacted)
	if err := f.Err(); err != nil {
		return TrenchResult{}, err
	}
	b, s := float64(spec.BottomWidth), (spec.SideSlopes[0]+spec.SideSlopes[1])/2
	section := func(h float64) units.Area { return units.Area(h * (b + s*h)) }
	r := TrenchResult{Spec: spec}
	for i, p := range spec.Points {
		r.Deepest = max(r.Deepest, p.Depth)
		if i == 0 {
			continue
		}
		q := spec.Points[i-1]
		h0, h1 := float64(q.Depth), float64(p.Depth)
		r.Excavation += slice(f.At("points", i), spec.Method, section(h0), section((h0+h1)/2), section(h1), p.Station-q.Station)
	}
	if err := f.Err(); err != nil {
		return TrenchResult{}, err
	}
	r.Length = spec.Points[len(spec.Points)-1].Station - spec.Points[0].Station
	r.TopWidth = units.Length(b + 2*s*float64(r.Deepest))
	r.Spoil = soil.convert(r.Excavation, StateBank, StateLoose)
	r.Pipe = cylinder(spec.PipeOutside, r.Length)
	r.Bedding = section(float64(spec.Bedding)).Times(r.Length)
	r.Backfill = max(r.Excavation-r.Pipe-r.Bedding, 0)
	need := soil.convert(r.Backfill, StateCompacted, StateLoose)
	r.Surplus, r.Shortage = max(r.Spoil-need, 0), max(need-r.Spoil, 0)
	r.Cautions = cautions.Digging(r.Deepest)
	return r, nil
}

// Working shows what is dug and what goes back.
func (r TrenchResult) Working() units.Working {
	var w units.Working
	w.Add("length", r.Length, "")
	w.Add("deepest", r.Deepest, "top width %v", r.TopWidth)
	w.Add("excavation, bank", earth(r.Excavation), "sections b h + s h^2, %v", r.Spec.Method)
	w.Add("spoil, loose", earth(r.Spoil), "bank x (1 + swell)")
	w.Add("pipe", earth(r.Pipe), "outside of the pipe x length")
	w.Add("bedding, compacted", earth(r.Bedding), "section up to the bedding x length")
	w.Add("backfill, compacted", earth(r.Backfill), "excavation - pipe - bedding")
	w.Add("spoil left over, loose", earth(r.Surplus), "")
	w.Add("soil missing, loose", earth(r.Shortage), "")
	return w
}

// String prints the working.
func (r TrenchResult) String() string { return r.Working().String() }
