package study

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"example.org/earthbasin/units"
)

// Kind is the kind of a distribution. The zero value is none and is refused.
type Kind = units.Enum[kindWords]

const (
	// KindFixed is one value.
	KindFixed Kind = 1 + iota
	// KindUniform is any value between low and high, all alike.
	KindUniform
	// KindTriangular rises from low to mode and falls to high.
	KindTriangular
	// KindNormal has a mean and a standard deviation.
	KindNormal
	// KindLognormal has a mean and a standard deviation, those of the value itself; its
	// logarithm is normal. For what cannot be below 0 and may be far above the usual.
	KindLognormal
	// KindPERT goes from low over mode to high as a beta distribution with the mean
	// (low + 4 mode + high) / 6.
	KindPERT
	// KindInterval is the normal whose interval at the confidence is low to high:
	// what a survey or a calibration reports.
	KindInterval
	// KindList takes each of some values equally often, such as those of past years.
	KindList
)

var kindNames = units.Names{"", "fixed", "uniform", "triangular", "normal", "lognormal", "pert", "interval", "list"}

type kindWords struct{}

func (kindWords) Names() units.Names { return kindNames }

// InputSpec is what is known of the quantity at a path. Which of its figures belong to
// it depends on the kind; the others are left out. A figure is what stands at the path
// in a file: a text with a unit, or a number where the quantity has none.
type InputSpec struct {
	// Path is the place of the quantity in the file that is studied, such as
	// "fields[2].area".
	Path string `json:"path"`
	Name string `json:"name,omitzero"` // for people, such as "price of soil brought in"; the path when left out
	Kind Kind   `json:"kind"`

	Value      Figure   `json:"value,omitzero"`       // fixed
	Low        Figure   `json:"low,omitzero"`         // uniform, triangular, pert, interval
	Mode       Figure   `json:"mode,omitzero"`        // triangular, pert
	High       Figure   `json:"high,omitzero"`        // as low
	Mean       Figure   `json:"mean,omitzero"`        // normal, lognormal
	SD         Figure   `json:"sd,omitzero"`          // normal, lognormal; in the unit of the mean
	Confidence *float64 `json:"confidence,omitempty"` // of an interval, 0.5 to 0.999999
	Values     []Figure `json:"values,omitempty"`     // list, 1 to 10,000

	// Levels are the values that a factorial tries, ascending; the median when left out.
	Levels []Figure `json:"levels,omitempty"`
}

// Scale is how the figures at a path are read.
type Scale struct {
	// Read returns a figure as a number; an error says what is wrong with it.
	Read func(figure any) (float64, error)
	// Show writes a number as a figure, for faults.
	Show func(x float64) string
	// Least and Most are the ends of what the quantity may be.
	Least, Most float64
	// Named says that figures are choices without order or middle, so that only a list
	// or a fixed one can be drawn.
	Named bool
}

// mostCut is the largest part of a distribution that may lie outside the values that
// its quantity can take; draws there are moved to the nearest end.
const mostCut = 0.01

const mostValues = 10000

// Input checks what is known of a quantity whose figures are read as scale says.
func (d InputSpec) Input(scale Scale) (Input, error) {
	r := reading{spec: d, scale: scale}
	r.known()
	in := Input{Path: d.Path}
	if r.f.Len() == 0 {
		in.Quantile = r.quantile()
	}
	for i, l := range d.Levels {
		at := r.f.At("levels", i)
		x, ok := r.figure(&at, "", l)
		if n := len(in.Levels); ok && n > 0 && !(x > in.Levels[n-1]) {
			at.Say("", scale.Show(x), "more than the level before")
		}
		if ok {
			in.Levels = append(in.Levels, x)
		}
	}
	r.f.CountBetween("levels", len(d.Levels), "levels", 0, mostLevels)
	return in, r.f.Err()
}

// reading reads one spec.
type reading struct {
	f     units.Faults
	spec  InputSpec
	scale Scale

	value, low, mode, high, mean, sd float64
	values                           []float64
}

// figure reads a figure, which has to lie within the scale.
func (r *reading) figure(f *units.Faults, name string, v Figure) (x float64, ok bool) {
	x, err := r.scale.Read(v.value)
	switch {
	case err != nil:
		f.Sub(name, err)
		return 0, false
	case !(x >= r.scale.Least && x <= r.scale.Most):
		f.Say(name, r.scale.Show(x), "%s to %s", r.scale.Show(r.scale.Least), r.scale.Show(r.scale.Most))
		return 0, false
	}
	return x, true
}

// known reads the figures that belong to the kind and refuses the others.
func (r *reading) known() {
	d, f := r.spec, &r.f
	if !kindNames.Has(int(d.Kind)) || d.Kind == 0 {
		f.Missing("kind", kindNames.Want())
		return
	}
	if r.scale.Named && d.Kind != KindFixed && d.Kind != KindList {
		f.Add("kind", d.Kind, "fixed or list, since the values at this path are choices")
		return
	}
	ends := []Kind{KindUniform, KindTriangular, KindPERT, KindInterval}
	for _, p := range []struct {
		name string
		v    Figure
		to   *float64
		of   []Kind
	}{
		{"value", d.Value, &r.value, []Kind{KindFixed}},
		{"low", d.Low, &r.low, ends},
		{"mode", d.Mode, &r.mode, []Kind{KindTriangular, KindPERT}},
		{"high", d.High, &r.high, ends},
		{"mean", d.Mean, &r.mean, []Kind{KindNormal, KindLognormal}},
		{"sd", d.SD, &r.sd, []Kind{KindNormal, KindLognormal}},
	} {
		belongs := slices.Contains(p.of, d.Kind)
		switch {
		case belongs && p.v.IsZero():
			f.Missing(p.name, "a value, since the kind is %v", d.Kind)
		case !belongs && !p.v.IsZero():
			f.Say(p.name, "given", "nothing, since the kind is %v", d.Kind)
		case belongs && p.name == "sd":
			x, err := r.scale.Read(p.v.value)
			if err != nil {
				f.Sub(p.name, err)
			} else if !(x > 0 && x <= mostOutput) {
				f.Say(p.name, r.scale.Show(x), "more than 0")
			}
			*p.to = x
		case belongs:
			*p.to, _ = r.figure(f, p.name, p.v)
		}
	}
	switch {
	case d.Kind != KindInterval && d.Confidence != nil:
		f.Add("confidence", *d.Confidence, "nothing, since the kind is %v", d.Kind)
	case d.Kind == KindInterval && d.Confidence == nil:
		f.Missing("confidence", "of the interval, such as 0.95")
	case d.Kind == KindInterval:
		f.NumberBetween("confidence", *d.Confidence, 0.5, 0.999999)
	}
	switch {
	case d.Kind != KindList && d.Values != nil:
		f.Say("values", "given", "nothing, since the kind is %v", d.Kind)
	case d.Kind == KindList:
		f.CountBetween("values", len(d.Values), "values", 1, mostValues)
		for i, v := range d.Values {
			at := f.At("values", i)
			x, _ := r.figure(&at, "", v)
			r.values = append(r.values, x)
		}
	}
}

// quantile returns the quantile function of a distribution that has its figures.
func (r *reading) quantile() func(float64) float64 {
	f, show := &r.f, r.scale.Show
	switch r.spec.Kind {
	case KindFixed:
		v := r.value
		return func(float64) float64 { return v }
	case KindList:
		values := slices.Sorted(slices.Values(r.values))
		return func(p float64) float64 {
			return values[min(int(p*float64(len(values))), len(values)-1)]
		}
	case KindNormal:
		return r.cut(distuv.Normal{Mu: r.mean, Sigma: r.sd})
	case KindLognormal:
		if !(r.mean > 0) {
			f.Say("mean", show(r.mean), "more than 0")
			return nil
		}
		s2 := math.Log1p(r.sd / r.mean * (r.sd / r.mean))
		return r.cut(distuv.LogNormal{Mu: math.Log(r.mean) - s2/2, Sigma: math.Sqrt(s2)})
	}
	if !(r.low < r.high) {
		f.Say("high", show(r.high), "more than low, %s", show(r.low))
		return nil
	}
	low, width := r.low, r.high-r.low
	switch r.spec.Kind {
	case KindUniform:
		return func(p float64) float64 { return low + p*width }
	case KindInterval:
		z := distuv.UnitNormal.Quantile((1 + *r.spec.Confidence) / 2)
		return r.cut(distuv.Normal{Mu: low + width/2, Sigma: width / 2 / z})
	}
	if !(r.low <= r.mode && r.mode <= r.high) {
		f.Say("mode", show(r.mode), "low, %s, to high, %s", show(r.low), show(r.high))
		return nil
	}
	if r.spec.Kind == KindTriangular {
		return distuv.NewTriangle(r.low, r.high, r.mode, nil).Quantile
	}
	// Four times the weight of an end for the mode: from memory, common practice.
	beta := distuv.Beta{Alpha: 1 + 4*(r.mode-low)/width, Beta: 1 + 4*(r.high-r.mode)/width}
	return func(p float64) float64 { return low + width*beta.Quantile(p) }
}

// cut moves what lies outside the scale to its ends; it may not be much.
func (r *reading) cut(d interface {
	CDF(float64) float64
	Survival(float64) float64
	Quantile(float64) float64
}) func(float64) float64 {
	least, most := r.scale.Least, r.scale.Most
	if cut := d.CDF(least) + d.Survival(most); !(cut <= mostCut) {
		r.f.Say("kind", r.spec.Kind.String()+" that goes outside", "at most %v of it outside %s to %s", mostCut, r.scale.Show(least), r.scale.Show(most))
		return nil
	}
	return func(p float64) float64 { return min(max(d.Quantile(p), least), most) }
}
