package earthwork

import (
	"fmt"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume"
	"example.org/earthbasin/volume/internal/cautions"
	"example.org/earthbasin/volume/internal/limits"
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
	Method     volume.Method `json:"method"`
	Length     units.Length  `json:"length"`
	Deepest    units.Length  `json:"deepest"`
	TopWidth   units.Length  `json:"topWidth"`   // at the deepest point
	Excavation units.Volume  `json:"excavation"` // bank
	Spoil      units.Volume  `json:"spoil"`      // the excavation, loose
	Pipe       units.Volume  `json:"pipe"`       // taken by the pipe
	Bedding    units.Volume  `json:"bedding"`    // compacted
	Backfill   units.Volume  `json:"backfill"`   // compacted: excavation less pipe and bedding
	Surplus    units.Volume  `json:"surplus"`    // spoil left over, loose
	Shortage   units.Volume  `json:"shortage"`   // soil missing, loose
	Cautions   []string      `json:"cautions"`
	shown
}

// Trench returns excavation and backfill. A section of depth h is b h + s h^2, s
// the mean of the side slopes, and the sections are joined by the named method;
// prismoidal is exact here because the depth runs straight. Errors are
// [units.FieldError] with the json field; a pipe and bedding that stand out of the
// trench are among them, and so is a pipe wider than the bottom.
func Trench(spec TrenchSpec) (TrenchResult, error) {
	var f units.Faults
	if len(spec.Points) < 2 {
		f.Add("points", len(spec.Points), "2 or more points")
	}
	for i, p := range spec.Points {
		at := fmt.Sprintf("points[%d].", i)
		limits.Signed(&f, at+"station", p.Station, limits.MaxCoordinate)
		limits.OrZero(&f, at+"depth", p.Depth, limits.MaxLength)
		if i > 0 && !(p.Station > spec.Points[i-1].Station) {
			f.Add(at+"station", p.Station, "more than the station before, "+spec.Points[i-1].Station.Trade())
		}
	}
	limits.OrZero(&f, "bottomWidth", spec.BottomWidth, limits.MaxLength)
	for i, z := range spec.SideSlopes {
		limits.OrZero(&f, fmt.Sprintf("sideSlopes[%d]", i), z, limits.MaxSlope)
	}
	checkMethod(&f, spec.Method, volume.MethodEndArea, volume.MethodConic, volume.MethodPrismoidal, volume.MethodMidArea)
	limits.OrZero(&f, "pipeOutside", spec.PipeOutside, limits.MaxLength)
	limits.OrZero(&f, "bedding", spec.Bedding, limits.MaxLength)
	if spec.PipeOutside > spec.BottomWidth {
		f.Add("pipeOutside", spec.PipeOutside, "at most the bottom width "+spec.BottomWidth.Trade())
	}
	for i, p := range spec.Points {
		if in := spec.PipeOutside + spec.Bedding; p.Depth < in*(1-limits.Slack) {
			f.Add(fmt.Sprintf("points[%d].depth", i), p.Depth, "at least pipe and bedding, "+in.Trade())
		}
	}
	soil := soilFor(&f, "soil", spec.Soil, StateLoose, StateCompacted)
	if err := f.Err(); err != nil {
		return TrenchResult{}, err
	}
	b, s := float64(spec.BottomWidth), (spec.SideSlopes[0]+spec.SideSlopes[1])/2
	section := func(h float64) units.Area { return units.Area(h * (b + s*h)) }
	r := TrenchResult{Method: spec.Method}
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
	r.lines.Add("length", r.Length, "")
	r.lines.Add("deepest", r.Deepest, "top width "+r.TopWidth.Trade())
	r.lines.Add("excavation, bank", cubicYards(r.Excavation), "sections b h + s h^2, "+spec.Method.String())
	r.lines.Add("spoil, loose", cubicYards(r.Spoil), "bank x (1 + swell)")
	r.lines.Add("pipe", cubicYards(r.Pipe), "outside of the pipe x length")
	r.lines.Add("bedding, compacted", cubicYards(r.Bedding), "section up to the bedding x length")
	r.lines.Add("backfill, compacted", cubicYards(r.Backfill), "excavation - pipe - bedding")
	r.lines.Add("spoil left over, loose", cubicYards(r.Surplus), "")
	r.lines.Add("soil missing, loose", cubicYards(r.Shortage), "")
	return r, nil
}
