package geostat

import (
	"context"
	"math"

	"example.org/earthbasin/units"
)

// LagRule says how pairs are put into classes of distance.
type LagRule = units.Enum[lagWords]

const (
	// LagEqual, "equal classes", makes equal classes from zero to the cut-off; a pair belongs to
	// the class with lower < distance <= upper. Pairs at distance zero belong to
	// none and are counted apart.
	LagEqual LagRule = iota
	// LagCentred, "centred classes", puts a pair into class floor(distance/width + 1/2), so that
	// class 0 is half as wide as the others and is there beside the number of
	// classes asked for (SAS/STAT 12.1 User's Guide, the VARIOGRAM procedure:
	// distance classification).
	LagCentred
)

var lagNames = units.Names{"equal classes", "centred classes"}

type lagWords struct{}

func (lagWords) Names() units.Names { return lagNames }

// Estimator says how the semivariance of a class comes from its N pairs.
type Estimator = units.Enum[estimatorWords]

const (
	// EstimatorClassical, "classical", is sum dz^2 / (2 N).
	EstimatorClassical Estimator = iota
	// EstimatorRobust, "robust", is (mean sqrt|dz|)^4 / (2 (0.457 + 0.494/N)), which a few
	// wild values move less (Cressie and Hawkins).
	EstimatorRobust
)

var estimatorNames = units.Names{"classical", "robust"}

type estimatorWords struct{}

func (estimatorWords) Names() units.Names { return estimatorNames }

// Direction restricts a variogram to pairs that lie along an azimuth.
type Direction struct {
	Azimuth   float64 `json:"azimuth"`   // degrees clockwise from north, -360 to 360
	Tolerance float64 `json:"tolerance"` // degrees to either side, 1e-6 to 90
}

// MaxVariogramSamples is the largest number of samples whose pairs
// [Variogram] compares: beyond it [Thin] them first.
const MaxVariogramSamples = 20000

// VariogramSpec is what an empirical variogram is made of.
type VariogramSpec struct {
	Samples   []Sample     `json:"samples,omitempty"`   // 2 to MaxVariogramSamples
	Lags      LagRule      `json:"lags"`                // zero value: equal classes
	Classes   int          `json:"classes"`             // 0: 15, or as many as Width and Cutoff ask for; for centred classes those above class 0
	Width     units.Length `json:"width"`               // of a class; 0: Cutoff/Classes for equal classes; required for centred ones
	Cutoff    units.Length `json:"cutoff"`              // largest distance; 0: Width times Classes when Width is given, else a third of the diagonal of the box around the samples; equal classes only
	Estimator Estimator    `json:"estimator"`           // zero value: classical
	Direction *Direction   `json:"direction,omitempty"` // nil: all directions
}

// LagClass is one class of distance.
type LagClass struct {
	From     units.Length `json:"from"`     // shortest distance, not of the class itself under equal classes
	To       units.Length `json:"to"`       // longest distance
	Pairs    int          `json:"pairs"`    // number of pairs of samples
	Distance units.Length `json:"distance"` // mean of the pairs
	Gamma    units.Area   `json:"gamma"`    // semivariance
}

// VariogramResult is an empirical variogram with the conventions it follows.
// Classes without pairs are left out.
type VariogramResult struct {
	Lags        LagRule      `json:"lags"`                // rule of the classes
	Estimator   Estimator    `json:"estimator"`           // of the semivariances
	Direction   *Direction   `json:"direction,omitempty"` // of the pairs; nil: all
	Width       units.Length `json:"width"`               // of a class
	Cutoff      units.Length `json:"cutoff"`              // largest distance
	Classes     []LagClass   `json:"classes"`             // with pairs, by distance
	Coincident  LagClass     `json:"coincident"`          // pairs at distance zero under equal classes: a direct view of the nugget
	MaxDistance units.Length `json:"maxDistance"`         // diagonal of the box around the samples
}

// Variogram returns the empirical variogram of the samples: half the mean squared
// difference of the pairs of each class of distance, or the robust form
// (SAS/STAT 13.1 User's Guide, the VARIOGRAM procedure, theoretical and
// computational details).
// Faults are on the fields of the spec; it ends with the error of ctx when that is done.
func Variogram(ctx context.Context, spec VariogramSpec) (VariogramResult, error) {
	if err := spec.complete(); err != nil {
		return VariogramResult{}, err
	}
	r := VariogramResult{Lags: spec.Lags, Estimator: spec.Estimator, Direction: spec.Direction,
		Width: spec.Width, Cutoff: spec.Cutoff, MaxDistance: diagonal(spec.Samples)}
	bins := make([]lagBin, spec.Classes) // and class 0 of centred classes
	if spec.Lags == LagCentred {
		bins = append(bins, lagBin{})
	}
	var zero lagBin
	if err := spec.sum(ctx, bins, &zero); err != nil {
		return VariogramResult{}, err
	}
	for i := range bins {
		from, to := spec.bounds(i)
		if c := bins[i].class(from, to, spec.Estimator); c.Pairs > 0 {
			r.Classes = append(r.Classes, c)
		}
	}
	if spec.Lags == LagEqual {
		r.Coincident = zero.class(0, 0, spec.Estimator)
	}
	return r, nil
}

// bounds returns the limits of class i, counted from 0.
func (s *VariogramSpec) bounds(i int) (from, to units.Length) {
	if s.Lags == LagCentred {
		return max(0, (units.Length(i)-0.5)*s.Width), (units.Length(i) + 0.5) * s.Width
	}
	return units.Length(i) * s.Width, min(s.Cutoff, units.Length(i+1)*s.Width)
}

// complete checks the spec and fills in what was left at zero.
func (s *VariogramSpec) complete() error {
	var f units.Faults
	checkSamples(&f, s.Samples, 2)
	if len(s.Samples) > MaxVariogramSamples {
		f.Count("samples", len(s.Samples), "samples", "at most %v; thin them first", MaxVariogramSamples)
	}
	if s.Classes == 0 {
		s.Classes = 15
		if w := float64(s.Cutoff / s.Width); s.Lags == LagEqual && w >= 1 && w < 10000 {
			s.Classes = int(math.Ceil(w))
		}
	}
	f.NumberBetween("classes", float64(s.Classes), 1, 10000)
	f.ZeroOr("width", s.Width, units.MinLength, maxLength)
	f.ZeroOr("cutoff", s.Cutoff, units.MinLength, maxLength)
	if !estimatorNames.Has(int(s.Estimator)) {
		f.Add("estimator", int(s.Estimator), estimatorNames.Want())
	}
	s.Direction.check(&f, "direction")
	switch s.Lags {
	case LagEqual:
		if s.Width > 0 && s.Cutoff > 0 && s.Width*units.Length(s.Classes) < s.Cutoff*(1-1e-12) {
			f.Add("classes", s.Classes, "enough classes of this width to reach the cut-off")
		}
	case LagCentred:
		f.Between("width", s.Width, units.MinLength, maxLength)
		if s.Cutoff != 0 {
			f.Add("cutoff", s.Cutoff, "0: width and number of classes set it under centred classes")
		}
	default:
		f.Add("lags", int(s.Lags), lagNames.Want())
	}
	if err := f.Err(); err != nil {
		return err
	}
	switch {
	case s.Lags == LagCentred:
		s.Cutoff = (units.Length(s.Classes) + 0.5) * s.Width
	case s.Cutoff == 0 && s.Width > 0:
		s.Cutoff = s.Width * units.Length(s.Classes)
	case s.Cutoff == 0:
		s.Cutoff = diagonal(s.Samples) / 3
	}
	if s.Cutoff == 0 {
		f.Say("samples", "all at one place", "samples at two places or more")
		return f.Err()
	}
	if s.Width == 0 {
		s.Width = s.Cutoff / units.Length(s.Classes)
	}
	return nil
}

// diagonal returns the diagonal of the box around the samples.
func diagonal(samples []Sample) units.Length {
	low, high := samples[0].At, samples[0].At
	for _, s := range samples {
		low.X, low.Y = min(low.X, s.At.X), min(low.Y, s.At.Y)
		high.X, high.Y = max(high.X, s.At.X), max(high.Y, s.At.Y)
	}
	return low.Distance(high)
}

// sum puts every pair of samples into its class, until ctx is done.
func (s *VariogramSpec) sum(ctx context.Context, bins []lagBin, zero *lagBin) error {
	n := len(s.Samples)
	x, y, z := make([]float64, n), make([]float64, n), make([]float64, n)
	for i, p := range s.Samples {
		x[i], y[i], z[i] = float64(p.At.X), float64(p.At.Y), float64(p.Value)
	}
	// The limit in squares is a little wide: the class of the distance decides.
	cut, width := float64(s.Cutoff), float64(s.Width)
	cut2 := cut * cut * (1 + 1e-9)
	robust := s.Estimator == EstimatorRobust
	within := s.Direction.filter()
	for i := range n {
		if err := ctx.Err(); err != nil {
			return err
		}
		xi, yi, zi := x[i], y[i], z[i]
		xr, yr, zr := x[i+1:], y[i+1:], z[i+1:]
		yr, zr = yr[:len(xr)], zr[:len(xr)]
		for j, xj := range xr {
			dx, dy := xj-xi, yr[j]-yi
			h2 := dx*dx + dy*dy
			if h2 > cut2 || within != nil && !within(dx, dy) {
				continue
			}
			h, d := math.Sqrt(h2), zr[j]-zi
			k := 0
			switch {
			case s.Lags == LagCentred:
				k = int(h/width + 0.5)
			case h == 0:
				zero.add(0, d, robust)
				continue
			case h > cut:
				continue
			default:
				q := h / width
				if k = int(q); float64(k) == q || k == s.Classes {
					k-- // the upper limit belongs to the class, the cut-off to the last
				}
			}
			if k < len(bins) {
				bins[k].add(h, d, robust)
			}
		}
	}
	return nil
}

func (d *Direction) check(f *units.Faults, path string) {
	if d != nil {
		f.NumberBetween(path+".azimuth", d.Azimuth, -360, 360)
		f.NumberBetween(path+".tolerance", d.Tolerance, 1e-6, 90)
	}
}

// check records what is wrong with a variogram that may not come from
// [Variogram].
func (r *VariogramResult) check(f *units.Faults) {
	if !lagNames.Has(int(r.Lags)) {
		f.Add("lags", int(r.Lags), lagNames.Want())
	}
	if !estimatorNames.Has(int(r.Estimator)) {
		f.Add("estimator", int(r.Estimator), estimatorNames.Want())
	}
	r.Direction.check(f, "direction")
	f.Between("width", r.Width, units.Length(0), maxLength)
	f.Between("cutoff", r.Cutoff, units.Length(0), 10000*maxLength)
	f.Between("maxDistance", r.MaxDistance, units.Length(0), 3*maxLength)
	zero := f.At("coincident")
	r.Coincident.check(&zero)
	for i, c := range r.Classes {
		at := f.At("classes", i)
		c.check(&at)
		if i > 0 && c.Distance <= r.Classes[i-1].Distance {
			at.Add("distance", c.Distance, "longer than that of the class before")
		}
	}
}

func (c LagClass) check(f *units.Faults) {
	f.NumberBetween("pairs", float64(c.Pairs), 0, 1e12)
	f.Between("from", c.From, units.Length(0), 10000*maxLength)
	f.Between("to", c.To, units.Length(0), 10001*maxLength)
	f.Between("distance", c.Distance, units.Length(0), 3*maxLength)
	f.Between("gamma", c.Gamma, units.Area(0), 10*maxSemivariance)
}

// filter returns the test of a pair's direction, nil when all are wanted.
func (d *Direction) filter() func(dx, dy float64) bool {
	if d == nil || d.Tolerance == 90 {
		return nil
	}
	sin, cos := math.Sincos(d.Azimuth * math.Pi / 180)
	least := math.Cos(d.Tolerance*math.Pi/180) - 1e-12 // pairs on the limit count
	return func(dx, dy float64) bool {
		along := math.Abs(dx*sin + dy*cos)
		return along >= least*math.Sqrt(dx*dx+dy*dy)
	}
}

// lagBin sums the pairs of a class.
type lagBin struct {
	pairs     int
	distance  float64
	deviation float64 // of dz^2, or of sqrt|dz| for the robust form
}

func (b *lagBin) add(h, d float64, robust bool) {
	b.pairs++
	b.distance += h
	if robust {
		b.deviation += math.Sqrt(math.Abs(d))
	} else {
		b.deviation += d * d
	}
}

func (b *lagBin) class(from, to units.Length, e Estimator) LagClass {
	c := LagClass{From: from, To: to, Pairs: b.pairs}
	if b.pairs == 0 {
		return c
	}
	n := float64(b.pairs)
	c.Distance = units.Length(b.distance / n)
	if e == EstimatorRobust {
		c.Gamma = units.Area(math.Pow(b.deviation/n, 4) / (2 * (0.457 + 0.494/n)))
	} else {
		c.Gamma = units.Area(b.deviation / (2 * n))
	}
	return c
}
