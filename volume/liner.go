package volume

import (
	"math"
	"slices"

	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/cautions"
	"example.org/earthbasin/volume/internal/skeleton"
)

// LinerMethod names how the volume of a layer along floor and banks is worked out.
// The zero value is refused.
type LinerMethod = units.Enum[linerWords]

// Liner conventions.
const (
	// LinerMethodArea, "area x thickness", is the true area times the thickness. It leaves
	// out the wedges at the toe and the corners.
	LinerMethodArea LinerMethod = iota + 1
	// LinerMethodOffset, "offset solid", is the solid between the basin and one whose floor and
	// banks lie the thickness behind, measured square to them. Rectangular and
	// circular basins and polygons have it.
	LinerMethodOffset
)

var linerNames = units.Names{LinerMethodArea: "area x thickness", LinerMethodOffset: "offset solid"}

type linerWords struct{}

func (linerWords) Names() units.Names { return linerNames }

// Lined is a basin whose banks have a known area.
type Lined interface {
	Basin
	// SlopeAreaAt returns the area of the banks below height h, measured along the
	// slope.
	SlopeAreaAt(h units.Length) units.Area
}

// solid is a basin that has an offset solid: the one whose floor and banks lie t
// behind its own.
type solid interface {
	Basin
	behind(t units.Length) (Basin, error)
}

// LinerMethods returns the methods by which [Liner] can work out a layer in b, the
// best first.
func LinerMethods(b Basin) []LinerMethod {
	if _, ok := b.(solid); ok && !units.IsNil(b) {
		return []LinerMethod{LinerMethodOffset, LinerMethodArea}
	}
	return []LinerMethod{LinerMethodArea}
}

// LinerSpec is a layer of even thickness on floor and banks: a liner, or the soil
// that a rule wants removed over the whole interior (8 Ill. Adm. Code 900.608 asks
// for at least 6 in below waste and sludge).
type LinerSpec struct {
	// Basin is any basin; the banks of one that is no [Lined] are taken as round.
	Basin     Basin        `json:"-"`
	Thickness units.Length `json:"thickness"` // square to the surface
	Method    LinerMethod  `json:"method"`    // how the volume is worked out
	// UpTo is the height over the floor to which the layer reaches, such as the highest
	// level that stood; 0 for the top of the bank.
	UpTo units.Length `json:"upTo,omitzero"`
}

// LinerResult is the layer, in place (bank volume when it is dug).
type LinerResult struct {
	Method LinerMethod  `json:"method"` // as asked
	UpTo   units.Length `json:"upTo"`   // height that the layer reaches over the floor
	Floor  units.Area   `json:"floor"`  // level floor
	Banks  units.Area   `json:"banks"`  // along the slope, up to that height
	// Round says that the basin does not know its banks, so that they count as round: the
	// least that banks of those level areas can have, 2 % less than those of a rectangle of
	// 3 by 2 with banks of 2.5:1, and lower still for a longer or steeper basin.
	Round     bool         `json:"round,omitzero"`
	Area      units.Area   `json:"area"`      // floor and banks
	Thickness units.Length `json:"thickness"` // as asked, square to the surface
	Volume    units.Volume `json:"volume"`    // of the layer, in place
	Cautions  []string     `json:"cautions"`  // what can hurt people, and who decides
}

// Liner returns the soil in a layer on the floor and the banks up to a height. For
// the offset solid a bank of slope z goes back t sqrt(1 + z^2) at each level and the
// floor down by t (geometry). Errors are [units.FieldError] with the json field.
func Liner(spec LinerSpec) (LinerResult, error) {
	var f units.Faults
	checkBasin(&f, spec.Basin)
	f.UpTo("thickness", spec.Thickness, 100*units.Metre)
	if !linerNames.Has(int(spec.Method)) {
		f.Add("method", spec.Method, linerNames.Want())
	}
	if f.Err() == nil {
		f.ZeroTo("upTo", spec.UpTo, spec.Basin.Depth())
	}
	if err := f.Err(); err != nil {
		return LinerResult{}, err
	}
	b, top := spec.Basin, spec.UpTo
	if top == 0 {
		top = b.Depth()
	}
	r := LinerResult{Method: spec.Method, UpTo: top, Thickness: spec.Thickness, Floor: b.AreaAt(0)}
	if lined, ok := b.(Lined); ok {
		r.Banks = lined.SlopeAreaAt(top)
	} else {
		r.Banks, r.Round = roundBanks(b, top), true
	}
	r.Area = r.Floor + r.Banks
	r.Cautions = append(cautions.Digging(spec.Thickness), cautions.Banks, cautions.Drowning, cautions.Regulator)
	if spec.Method != LinerMethodOffset {
		r.Volume = r.Area.Times(spec.Thickness)
		return r, nil
	}
	inner, ok := b.(solid)
	if !ok {
		f.Add("method", spec.Method, "%v: this basin has no offset solid", units.Word(LinerMethodArea.String()))
		return LinerResult{}, f.Err()
	}
	outer, err := inner.behind(spec.Thickness)
	if err != nil {
		f.Sub("", err)
		return LinerResult{}, f.Err()
	}
	r.Volume = outer.VolumeAt(top+spec.Thickness) - b.VolumeAt(top)
	return r, nil
}

// roundBanks returns the area that the banks of b up to a height would have if its
// sections were circles: the lateral area of a cone between each two levels.
func roundBanks(b Basin, top units.Length) units.Area {
	const steps = 1000
	radius := func(i int) float64 { return math.Sqrt(float64(b.AreaAt(top*units.Length(i)/steps)) / math.Pi) }
	var sum float64
	last, rise := radius(0), float64(top)/steps
	for i := range steps {
		next := radius(i + 1)
		sum += math.Pi * (last + next) * math.Hypot(next-last, rise)
		last = next
	}
	return units.Area(sum)
}

// Working shows the areas and the layer.
func (r LinerResult) Working() units.Working {
	how := "area x thickness"
	if r.Method == LinerMethodOffset {
		how = "outer solid - basin"
	}
	var w units.Working
	w.Add("floor", r.Floor, "")
	banks := "along the slope up to %v over the floor"
	if r.Round {
		banks = "along the slope up to %v over the floor, taken as round, the least that they can be"
	}
	w.Add("banks", r.Banks, banks, r.UpTo)
	w.Add("thickness", r.Thickness, "square to the surface")
	w.Add("layer", units.As(r.Volume, units.CubicYard, 1), how)
	return w
}

// String prints the working.
func (r LinerResult) String() string { return r.Working().String() }

// behind returns the solid whose floor and banks lie t behind.
func (r *Rectangular) behind(t units.Length) (Basin, error) {
	out := *r
	x := float64(t)
	out.depth += x
	for i, z := range r.slopes {
		// At the level of the new floor, t below the old one.
		e := x / (skeleton.Slant(z) + z) // x (slant - z) without cancellation
		if i < 2 {
			out.length += e
		} else {
			out.width += e
		}
	}
	return &out, nil
}

func (c *Circular) behind(t units.Length) (Basin, error) {
	x := float64(t)
	return &Circular{radius: c.radius + x/(skeleton.Slant(c.slope)+c.slope), depth: c.depth + x, slope: c.slope}, nil
}

// behind uses that a bank moved back is the same bank moved down. Where all slopes
// are one, the outer solid is the basin lowered, with all its events, cut off at
// the new floor and at the top. Otherwise it is lowered until the flattest banks
// are in place, and the outline of the others moves out by what they still lack; a
// side lost on the way could not come back below, where it may have a length, so
// that thickness is refused.
func (p *Polygon) behind(t units.Length) (Basin, error) {
	b, x := p.banks, float64(t)
	// By how much the flattest bank lies lower; next to a wall that is too far to be
	// exact.
	down := 0.0
	if z := slices.Max(b.slopes); z > 1e-3 {
		down = x * skeleton.Slant(z) / z
	}
	lack := make([]float64, len(b.slopes))
	for i, z := range b.slopes {
		lack[i] = max(x*skeleton.Slant(z)-down*z, 0)
	}
	if slices.Max(lack) > slack*x {
		var err error
		if b, err = b.widened(lack, t); err != nil {
			return nil, err
		}
	}
	b.level, b.depth = b.level-down+x, b.depth+x
	outer, err := b.solid()
	if err != nil {
		var f units.Faults
		f.Add("thickness", t, "a smaller thickness, behind which banks do not meet in a way that cannot be followed")
		return nil, f.Err()
	}
	return outer, nil
}

// widened moves the sides of the outline out, each by its own way, and keeps all of
// them.
func (b banks) widened(by []float64, t units.Length) (banks, error) {
	corners, back := skeleton.Backward(b.outline, by)
	out, err := skeleton.Follow(corners, back, 1)
	if err != nil || len(out.Rings) != 1 {
		var f units.Faults
		last := 0.0
		if err == nil && len(out.Rings) > 0 {
			last = out.Rings[0].Until
		}
		f.Add("thickness", t, "at most about %v, where %v is lost between banks of other slopes, or the method %v", units.Length(last)*t, b.lost(out), LinerMethodArea)
		return banks{}, f.Err()
	}
	ring, slopes := out.Rings[0], make([]float64, 0, len(b.slopes))
	corners = corners[:0]
	_, original := skeleton.Backward(b.outline, b.slopes)
	for k, c := range ring.Corner {
		corners = append(corners, c.Add(ring.Move[k], 1))
		slopes = append(slopes, original[ring.Edges[k]])
	}
	b.outline, b.slopes = skeleton.Backward(corners, slopes)
	if b.radius > 0 {
		b.radius += by[0] // walls all around, as rounded corners have one slope
	}
	return b, nil
}

// lost names the first side that the wavefront out has lost.
func (b banks) lost(out *skeleton.Skeleton) units.Phrase {
	if out != nil && len(out.Rings) > 1 {
		for k, e := range out.Rings[0].Edges {
			gone := !slices.ContainsFunc(out.Rings[1:], func(r skeleton.Ring) bool { return slices.Contains(r.Edges, e) })
			if c := out.Rings[0].Corner[k]; gone {
				return units.Words("the side near %v east, %v north of the middle", units.As(units.Length(c.X), units.Foot, 1), units.As(units.Length(c.Y), units.Foot, 1))
			}
		}
	}
	return units.Words("a side")
}
