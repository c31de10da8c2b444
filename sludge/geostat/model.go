package geostat

import (
	"math"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/plane"
)

// Shape is the form of a variogram model, with h the distance and a the plain
// range.
type Shape = units.Enum[shapeWords]

const (
	Spherical   Shape = iota // "spherical": 1.5 h/a - 0.5 (h/a)^3 up to a, then 1
	Exponential              // "exponential": 1 - exp(-h/a)
	Gaussian                 // "Gaussian": 1 - exp(-(h/a)^2); nearly singular without a nugget
)

var shapeNames = units.Names{"spherical", "exponential", "Gaussian"}

type shapeWords struct{}

func (shapeWords) Names() units.Names { return shapeNames }

// RangeKind says what the range of a model means. The two conventions differ for
// the exponential and the Gaussian shape: an effective range of 10 is a plain
// range of 10/3 (exponential) or 10/sqrt(3) (Gaussian). For the spherical shape
// they are one.
type RangeKind = units.Enum[rangeWords]

const (
	RangePlain     RangeKind = iota // "plain": the a of exp(-h/a) and exp(-(h/a)^2)
	RangeEffective                  // "effective": the a of exp(-3h/a) and exp(-3(h/a)^2), where 95 % of the sill is reached
)

var rangeNames = units.Names{"plain", "effective"}

type rangeWords struct{}

func (rangeWords) Names() units.Names { return rangeNames }

// RatioKind says which way the ratio of an [Anisotropy] is written.
type RatioKind = units.Enum[ratioWords]

const (
	MinorOverMajor RatioKind = iota // "minor/major": the short range over the long one, 0 to 1
	MajorOverMinor                  // "major/minor": the long range over the short one, 1 or more
)

var ratioNames = units.Names{"minor/major", "major/minor"}

type ratioWords struct{}

func (ratioWords) Names() units.Names { return ratioNames }

// RangeAxis says along which axis of an [Anisotropy] the range of a model is
// measured. Libraries that write the ratio as major over minor tend to mean the
// minor axis.
type RangeAxis = units.Enum[axisWords]

const (
	AlongMajor RangeAxis = iota // "major": the axis of the long range
	AlongMinor                  // "minor": across it
)

var axisNames = units.Names{"major", "minor"}

type axisWords struct{}

func (axisWords) Names() units.Names { return axisNames }

// Anisotropy says that values stay alike farther in one direction, the major
// axis, than across it (geometric anisotropy).
type Anisotropy struct {
	Ratio      float64   `json:"ratio"`      // of the ranges, as RatioAs says
	RatioAs    RatioKind `json:"ratioAs"`    // zero value: minor over major
	RangeAlong RangeAxis `json:"rangeAlong"` // that the range of the model is measured along; zero value: the major axis
	Azimuth    float64   `json:"azimuth"`    // of the major axis, degrees clockwise from north, -360 to 360
}

// Model is a variogram model: a nugget plus one structure.
//
// The nugget belongs to C(0), between a measurement and itself, only: the
// covariance over any distance above zero leaves it out. So the estimate at a
// sample is that sample with a standard deviation of zero, and the mean within a
// block has no nugget (An Introduction to Applied Geostatistics, Oxford
// University Press, 1989, chapter 12).
//
// Semivariances are squares of a length and so are a [units.Area]: 0.01 m2 is
// that of differences of about 14 cm.
type Model struct {
	Shape      Shape        `json:"shape"`                // of the structure; zero value: spherical
	Nugget     units.Area   `json:"nugget"`               // 0 or more
	Sill       units.Area   `json:"sill"`                 // of the structure alone, without the nugget; 0 or more, with the nugget above 0
	Range      units.Length `json:"range"`                // as RangeAs says; above 0, not used when Sill is 0
	RangeAs    RangeKind    `json:"rangeAs"`              // zero value: plain
	Anisotropy *Anisotropy  `json:"anisotropy,omitempty"` // nil: alike in all directions
}

// Check reports what is wrong with the model.
func (m Model) Check() error {
	var f units.Faults
	if !shapeNames.Has(int(m.Shape)) {
		f.Add("shape", int(m.Shape), shapeNames.Want())
	}
	if !rangeNames.Has(int(m.RangeAs)) {
		f.Add("rangeAs", int(m.RangeAs), rangeNames.Want())
	}
	f.ZeroOr("nugget", m.Nugget, minSemivariance, maxSemivariance)
	f.ZeroOr("sill", m.Sill, minSemivariance, maxSemivariance)
	if m.Nugget >= 0 && m.Sill >= 0 && m.Nugget+m.Sill < minSemivariance {
		f.Add("sill", m.Sill, "nugget and sill together above 0")
	}
	if m.Sill != 0 || m.Range != 0 {
		f.Between("range", m.Range, 1/maxLength, maxLength*1e6)
	}
	if a := m.Anisotropy; a != nil {
		switch a.RatioAs {
		case MinorOverMajor:
			f.NumberBetween("anisotropy.ratio", a.Ratio, 1e-6, 1)
		case MajorOverMinor:
			f.NumberBetween("anisotropy.ratio", a.Ratio, 1, 1e6)
		default:
			f.Add("anisotropy.ratioAs", int(a.RatioAs), ratioNames.Want())
		}
		if !axisNames.Has(int(a.RangeAlong)) {
			f.Add("anisotropy.rangeAlong", int(a.RangeAlong), axisNames.Want())
		}
		f.NumberBetween("anisotropy.azimuth", a.Azimuth, -360, 360)
	}
	return f.Err()
}

// Limits that keep sums and ratios of semivariances finite. Differences of
// 1e-15 m are rounding.
const (
	minSemivariance units.Area = 1e-30
	maxSemivariance            = units.Area(maxLength * maxLength)
)

// EffectiveRange returns the distance, along the axis of the range, at which the
// structure reaches its sill (spherical) or 95 % of it (exponential, Gaussian).
func (m Model) EffectiveRange() units.Length { return m.plainRange() * effectiveOf(m.Shape) }

// effectiveOf returns the effective over the plain range.
func effectiveOf(s Shape) units.Length {
	switch s {
	case Exponential:
		return 3
	case Gaussian:
		return units.Length(math.Sqrt(3))
	}
	return 1
}

func (m Model) plainRange() units.Length {
	if m.RangeAs == RangeEffective {
		return m.Range / effectiveOf(m.Shape)
	}
	return m.Range
}

// Gamma returns the semivariance between measurements at p and q. At one and the
// same place it is 0. The model must pass [Model.Check].
func (m Model) Gamma(p, q plane.Point) units.Area {
	if p == q {
		return 0
	}
	c := newCovariance(m)
	x, y := c.place(p.Sub(q))
	return m.Nugget + m.Sill - units.Area(c.at(x*x+y*y))
}

// Working returns the parameters of the model with their conventions.
func (m Model) Working() units.Working {
	var w units.Working
	w.Add("variogram model", m.Shape, "")
	w.Add("nugget", m.Nugget, "counts only between a measurement and itself")
	w.Add("sill of the structure", m.Sill, "without the nugget")
	w.Add("range", m.Range, "%v", m.RangeAs)
	if a := m.Anisotropy; a != nil {
		w.Add("anisotropy ratio", a.Ratio, "%v", a.RatioAs)
		w.Add("range measured along", a.RangeAlong, "axis of the anisotropy")
		w.Add("azimuth of the major axis", a.Azimuth, "degrees clockwise from north")
	}
	return w
}

// covariance evaluates a model in plain SI numbers. Its place turns and scales
// the plane so that the range is 1 in all directions.
type covariance struct {
	shape          Shape
	nugget, sill   float64
	xx, xy, yx, yy float64
}

func newCovariance(m Model) covariance {
	c := covariance{shape: m.Shape, nugget: float64(m.Nugget), sill: float64(m.Sill)}
	one := 1.0 // over the range
	if m.Sill != 0 {
		one = 1 / float64(m.plainRange())
	}
	c.xx, c.yy = one, one
	if a := m.Anisotropy; a != nil {
		ratio := a.Ratio // of major over minor
		if a.RatioAs == MinorOverMajor {
			ratio = 1 / a.Ratio
		}
		major, minor := one, one*ratio
		if a.RangeAlong == AlongMinor {
			major, minor = one/ratio, one
		}
		sin, cos := math.Sincos(a.Azimuth * math.Pi / 180)
		c.xx, c.xy = major*sin, major*cos // along the major axis
		c.yx, c.yy = minor*cos, -minor*sin
	}
	return c
}

// place returns the coordinates of p in ranges.
func (c *covariance) place(p plane.Point) (x, y float64) {
	px, py := float64(p.X), float64(p.Y)
	return c.xx*px + c.xy*py, c.yx*px + c.yy*py
}

// zero returns C(0), the nugget included.
func (c *covariance) zero() float64 { return c.nugget + c.sill }

// at returns the covariance over a squared distance h2 in ranges, without the
// nugget.
func (c *covariance) at(h2 float64) float64 { return c.sill * correlation(c.shape, h2) }

// correlation returns one minus the structure of a model of sill 1 and plain
// range 1 at the squared distance h2.
func correlation(s Shape, h2 float64) float64 {
	switch s {
	case Exponential:
		return math.Exp(-math.Sqrt(h2))
	case Gaussian:
		return math.Exp(-h2)
	}
	if h2 >= 1 {
		return 0
	}
	return 1 - math.Sqrt(h2)*(1.5-0.5*h2)
}

// row fills dst with the covariances between the place (x, y) and the places
// (xs, ys), without the nugget. It reports whether any is not zero.
func (c *covariance) row(dst, xs, ys []float64, x, y float64) bool {
	xs, ys = xs[:len(dst)], ys[:len(dst)]
	if c.shape != Spherical {
		for i := range dst {
			dx, dy := xs[i]-x, ys[i]-y
			dst[i] = c.at(dx*dx + dy*dy)
		}
		return c.sill != 0
	}
	any := false
	for i := range dst {
		dx, dy := xs[i]-x, ys[i]-y
		h2 := dx*dx + dy*dy
		v := 0.0
		if h2 < 1 {
			v = c.sill * (1 - math.Sqrt(h2)*(1.5-0.5*h2))
			any = true
		}
		dst[i] = v
	}
	return any && c.sill != 0
}
