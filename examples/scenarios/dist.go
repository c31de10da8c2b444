package main

import (
	"encoding/json"
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"example.org/earthbasin/units"
)

// Kind is the kind of a distribution. The zero value is none and is refused.
type Kind int

const (
	// KindFixed is one value.
	KindFixed Kind = 1 + iota
	// KindUniform is any value between low and high, all alike.
	KindUniform
	// KindTriangular rises from low to mode and falls to high.
	KindTriangular
	// KindNormal has a mean and a standard deviation.
	KindNormal
	// KindInterval is the normal whose interval at the confidence is low to high:
	// what a survey or a calibration reports.
	KindInterval
)

var kindNames = units.Names{"", "fixed", "uniform", "triangular", "normal", "interval"}

// String returns the name that MarshalText writes.
func (k Kind) String() string { return kindNames.String(int(k)) }

// MarshalText writes the name.
func (k Kind) MarshalText() ([]byte, error) { return kindNames.Marshal(int(k)) }

// UnmarshalText reads a name; the error lists the names.
func (k *Kind) UnmarshalText(text []byte) error { return units.UnmarshalName(kindNames, text, k) }

// Dist is what is known of a quantity. Which of its values belong to it depends
// on the kind; the others are left out. Levels are the values that a factorial
// study tries; without them it takes the median.
type Dist[Q ~float64] struct {
	Kind       Kind     `json:"kind"`
	Value      *Q       `json:"value,omitempty"`
	Low        *Q       `json:"low,omitempty"`
	Mode       *Q       `json:"mode,omitempty"`
	High       *Q       `json:"high,omitempty"`
	Mean       *Q       `json:"mean,omitempty"`
	SD         *Q       `json:"sd,omitempty"`
	Confidence *float64 `json:"confidence,omitempty"`
	Levels     []Q      `json:"levels,omitempty"`
}

// mostCut is the largest part of a normal distribution that may lie outside the
// values that its quantity can take; draws there are moved to the nearest part
// inside.
const mostCut = 0.01

// mostLevels bounds a factorial, and is the number of classes of an input over
// which its effect is measured.
const mostLevels = 64

// input is one uncertain quantity of a study, in SI units.
type input struct {
	name     string
	quantile func(p float64) float64 // 0 < p < 1
	levels   []float64               // one when the study lists none
}

// law checks d, whose values may lie from least to most, and returns its quantile
// function; ok is false when something is wrong.
func (d Dist[Q]) law(f *units.Faults, least, most Q) (quantile func(float64) float64, ok bool) {
	var sub units.Faults
	parts := []struct {
		name string
		q    *Q
		of   []Kind
	}{
		{"value", d.Value, []Kind{KindFixed}},
		{"low", d.Low, []Kind{KindUniform, KindTriangular, KindInterval}},
		{"mode", d.Mode, []Kind{KindTriangular}},
		{"high", d.High, []Kind{KindUniform, KindTriangular, KindInterval}},
		{"mean", d.Mean, []Kind{KindNormal}},
		{"sd", d.SD, []Kind{KindNormal}},
	}
	if !kindNames.Has(int(d.Kind)) {
		f.Missing("kind", kindNames.Want())
		return nil, false
	}
	for _, p := range parts {
		belongs := false
		for _, k := range p.of {
			belongs = belongs || k == d.Kind
		}
		switch {
		case belongs && p.q == nil:
			sub.Missing(p.name, "a value, since the kind is "+d.Kind.String())
		case !belongs && p.q != nil:
			sub.Say(p.name, shown(*p.q), "nothing, since the kind is "+d.Kind.String())
		case belongs && p.name == "sd":
			if !(*p.q > 0) || math.IsInf(float64(*p.q), 0) {
				sub.Say(p.name, shown(*p.q), "more than 0")
			}
		case belongs && !(*p.q >= least && *p.q <= most):
			sub.Say(p.name, shown(*p.q), shown(least)+" to "+shown(most))
		}
	}
	if d.Kind == KindInterval {
		if d.Confidence == nil {
			sub.Missing("confidence", "of the interval, such as 0.95")
		} else if !(*d.Confidence >= 0.5 && *d.Confidence < 1) {
			sub.Add("confidence", *d.Confidence, "0.5 or more and less than 1")
		}
	} else if d.Confidence != nil {
		sub.Add("confidence", *d.Confidence, "nothing, since the kind is "+d.Kind.String())
	}
	if len(d.Levels) > mostLevels {
		sub.Add("levels", len(d.Levels), fmt.Sprintf("at most %d", mostLevels))
	}
	for i, l := range d.Levels {
		if !(l >= least && l <= most) {
			sub.Say(fmt.Sprintf("levels[%d]", i), shown(l), shown(least)+" to "+shown(most))
		} else if i > 0 && !(l > d.Levels[i-1]) {
			sub.Say(fmt.Sprintf("levels[%d]", i), shown(l), "more than the level before")
		}
	}
	if sub.Err() == nil {
		quantile = d.inverse(&sub, float64(least), float64(most))
	}
	f.Sub("", sub.Err())
	return quantile, sub.Err() == nil
}

// inverse returns the quantile function of a distribution that has its values.
func (d Dist[Q]) inverse(f *units.Faults, least, most float64) func(float64) float64 {
	switch d.Kind {
	case KindFixed:
		return func(float64) float64 { return float64(*d.Value) }
	case KindUniform:
		if !(*d.Low < *d.High) {
			f.Say("high", shown(*d.High), "more than low, "+shown(*d.Low))
			return nil
		}
		return distuv.Uniform{Min: float64(*d.Low), Max: float64(*d.High)}.Quantile
	case KindTriangular:
		if !(*d.Low < *d.High && *d.Low <= *d.Mode && *d.Mode <= *d.High) {
			f.Say("mode", shown(*d.Mode), "from low, "+shown(*d.Low)+", to a high that is more, "+shown(*d.High))
			return nil
		}
		return distuv.NewTriangle(float64(*d.Low), float64(*d.High), float64(*d.Mode), nil).Quantile
	}
	n := distuv.Normal{}
	if d.Kind == KindNormal {
		n.Mu, n.Sigma = float64(*d.Mean), float64(*d.SD)
	} else {
		if !(*d.Low < *d.High) {
			f.Say("high", shown(*d.High), "more than low, "+shown(*d.Low))
			return nil
		}
		r := units.Range[Q]{Low: *d.Low, High: *d.High}
		n.Mu, n.Sigma = float64(r.Mid()), float64(r.Half())/distuv.UnitNormal.Quantile((1+*d.Confidence)/2)
	}
	if cut := n.CDF(least) + n.Survival(most); cut > mostCut {
		f.Say("kind", fmt.Sprintf("%v with %.2g of it outside %s to %s", d.Kind, cut, shown(Q(least)), shown(Q(most))),
			fmt.Sprintf("at most %v outside", mostCut))
		return nil
	}
	return func(p float64) float64 { return min(max(n.Quantile(p), least), most) }
}

// shown writes a quantity in its trade unit and a plain number as it is.
func shown[Q ~float64](q Q) string {
	if t, ok := any(q).(units.Quantity); ok {
		return t.Trade()
	}
	text, err := json.Marshal(float64(q))
	if err != nil {
		return fmt.Sprint(float64(q))
	}
	return string(text)
}
