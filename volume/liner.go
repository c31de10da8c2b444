package volume

import "example.org/earthbasin/units"

// LinerMethod names how the volume of a layer along floor and banks is worked out.
// The zero value is refused.
type LinerMethod int

// Liner conventions.
const (
	// LinerMethodArea is the true area times the thickness. It leaves
	// out the wedges at the toe and the corners.
	LinerMethodArea LinerMethod = iota + 1
	// LinerMethodOffset is the solid between the basin and one whose floor and
	// banks lie the thickness behind, measured square to them. Rectangular and
	// circular basins have it, and polygons without rounded corners.
	LinerMethodOffset
)

var linerNames = units.Names{LinerMethodArea: "area x thickness", LinerMethodOffset: "offset solid"}

// String returns the name that MarshalText writes.
func (m LinerMethod) String() string { return linerNames.String(int(m)) }

// MarshalText writes the name; a value that is no method is an error.
func (m LinerMethod) MarshalText() ([]byte, error) { return linerNames.Marshal(int(m)) }

// UnmarshalText reads a name; the error lists the names.
func (m *LinerMethod) UnmarshalText(text []byte) error {
	return units.UnmarshalName(linerNames, text, m)
}

// Lined is a basin whose banks have a true area.
type Lined interface {
	Basin
	// SlopeArea returns the area of the banks measured along the slope.
	SlopeArea() units.Area
}

// LinerSpec is a layer of even thickness on floor and banks: a liner, or the soil
// that a rule wants removed over the whole interior (8 Ill. Adm. Code 900.608 asks
// for at least 6 in below waste and sludge).
type LinerSpec struct {
	Basin     Lined        `json:"-"`
	Thickness units.Length `json:"thickness"` // square to the surface
	Method    LinerMethod  `json:"method"`
}

// LinerResult is the layer, in place (bank volume when it is dug).
type LinerResult struct {
	Method    LinerMethod  `json:"method"`
	Floor     units.Area   `json:"floor"`
	Banks     units.Area   `json:"banks"` // along the slope
	Area      units.Area   `json:"area"`  // floor and banks
	Thickness units.Length `json:"thickness"`
	Volume    units.Volume `json:"volume"`
	Cautions  []string     `json:"cautions"`
	shown
}

// Liner returns the soil in a layer on the floor and the banks up to the top of
// the bank. For the offset solid a bank of slope z goes back t sqrt(1 + z^2) at
// each level and the floor down by t (geometry). Errors are [units.FieldError]
// with the json field.
func Liner(spec LinerSpec) (LinerResult, error) {
	var f units.Faults
	if missing(spec.Basin) {
		f.Missing("basin", "a basin whose banks have an area")
	}
	positive(&f, "thickness", spec.Thickness, 100*units.Metre)
	if !linerNames.Has(int(spec.Method)) {
		f.Add("method", spec.Method, linerNames.Want())
	}
	if err := f.Err(); err != nil {
		return LinerResult{}, err
	}
	r := LinerResult{
		Method: spec.Method, Thickness: spec.Thickness,
		Floor: spec.Basin.AreaAt(0), Banks: spec.Basin.SlopeArea(),
		Cautions: []string{cautionBanks, cautionDrowning, cautionRegulator, cautionQuantities},
	}
	r.Area = r.Floor + r.Banks
	how := "area x thickness"
	if spec.Method == LinerMethodOffset {
		solid, ok := spec.Basin.(interface {
			behind(t units.Length) (units.Volume, bool)
		})
		if ok {
			r.Volume, ok = solid.behind(spec.Thickness)
		}
		if !ok {
			f.Add("method", spec.Method, LinerMethodArea.String()+": this basin has no offset solid")
			return LinerResult{}, f.Err()
		}
		how = "outer solid - basin"
	} else {
		r.Volume = r.Area.Times(spec.Thickness)
	}
	r.lines.Add("floor", r.Floor, "")
	r.lines.Add("banks", r.Banks, "along the slope")
	r.lines.Add("thickness", r.Thickness, "square to the surface")
	r.lines.Add("layer", cubicYards(r.Volume), how)
	return r, nil
}

// behind returns the volume between the basin and the solid that lies t behind.
func (r *Rectangular) behind(t units.Length) (units.Volume, bool) {
	out := *r
	x := float64(t)
	out.depth += x
	for i, z := range r.slopes {
		// At the level of the new floor, t below the old one.
		e := x * (slant(z) - z)
		if i < 2 {
			out.length += e
		} else {
			out.width += e
		}
	}
	return Capacity(&out) - Capacity(r), true
}

func (c *Circular) behind(t units.Length) (units.Volume, bool) {
	x := float64(t)
	out := Circular{radius: c.radius + x*(slant(c.slope)-c.slope), depth: c.depth + x, slope: c.slope}
	return Capacity(&out) - Capacity(c), true
}

// behind moves the sides at the top of the bank out by what each of them goes back,
// and follows them down to the floor that lies t deeper.
func (p *Polygon) behind(t units.Length) (units.Volume, bool) {
	top, ok := p.top()
	if !ok || p.radius > 0 {
		return 0, false
	}
	back := make([]float64, len(top.slopes))
	for k, z := range top.slopes {
		back[k] = float64(t) * slant(z)
	}
	out, err := follow(top.corners, back, 1)
	if err != nil {
		return 0, false
	}
	moved, ok := out.at(1, top.slopes)
	if !ok {
		return 0, false
	}
	depth := p.depth + float64(t)
	corners, slopes := backward(moved.corners, moved.slopes)
	in, err := follow(corners, slopes, depth)
	if err != nil || in.last() < depth*(1-slack) {
		return 0, false
	}
	return in.volume() - Capacity(p), true
}

// bankTop is a ring of corners whose outside lies to the left, with the slope of
// each edge.
type bankTop struct {
	corners []vec
	slopes  []float64
}

// top returns the top of the bank, false when it is in several rings.
func (p *Polygon) top() (bankTop, bool) {
	s, at := p.outward, p.depth-p.level
	if at == 0 {
		s = p.inward
	}
	slopes := make([]float64, len(s.fronts))
	for i, f := range s.fronts {
		slopes[i] = f.w
	}
	top, ok := s.at(at, slopes)
	if at == 0 {
		top.corners, top.slopes = backward(top.corners, top.slopes)
	}
	return top, ok
}

// at returns the wavefront at the time t with the slopes by front, false when it is
// not one ring.
func (s *skeleton) at(t float64, slopes []float64) (bankTop, bool) {
	var top bankTop
	n := 0
	for _, r := range s.rings {
		// A time at which one ring follows another belongs to the later, unless
		// it is the end.
		if t < r.from || t > r.until || t == r.until && t < s.end {
			continue
		}
		n++
		top = bankTop{}
		for k, c := range r.corner {
			top.corners = append(top.corners, c.add(r.move[k], t-r.from))
			top.slopes = append(top.slopes, slopes[r.edges[k]])
		}
	}
	return top, n == 1
}

// volume returns the content that the wavefront sweeps, time taken for height.
func (s *skeleton) volume() units.Volume {
	var v float64
	for _, r := range s.rings {
		a, b, c := r.area()
		x := r.until - r.from
		v += x * (a + x*(b/2+x*c/3))
	}
	return units.Volume(v)
}
