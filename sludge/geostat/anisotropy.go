package geostat

import (
	"context"
	"math"

	"example.org/earthbasin/units"
)

// AnisotropySpec says what a model with an anisotropy is fitted to.
type AnisotropySpec struct {
	Samples  []Sample     `json:"samples"`  // 30 to 5000
	Classes  int          `json:"classes"`  // of distance in each direction, 3 to 100; 0: 8
	Cutoff   units.Length `json:"cutoff"`   // largest distance, 1e-6 m or more; 0: half the diagonal of the box around the samples
	Shape    Shape        `json:"shape"`    // zero value: spherical
	Weights  FitWeights   `json:"weights"`  // zero value: Cressie; not iterated ones
	NoNugget bool         `json:"noNugget"` // the nugget is held at zero
	MinPairs int          `json:"minPairs"` // pairs that a class needs to take part, 0: 1
}

// AnisotropyResult is a fitted model with an anisotropy and what it gains over one
// that is alike in all directions.
type AnisotropyResult struct {
	Model     Model           `json:"model"`        // with its range along the major axis, plain
	Status    FitStatus       `json:"status"`       // of the model, as of [Fit]
	Why       units.Phrase    `json:"why,omitzero"` // the reason when Status is not usable
	Objective float64         `json:"objective"`    // weighted sum of squares at the minimum
	Isotropic float64         `json:"isotropic"`    // the same for the best model that is alike in all directions
	Gain      float64         `json:"gain"`         // share of Isotropic that the anisotropy takes away, 0 to 1
	Classes   []DirectedClass `json:"classes"`      // that took part
}

// DirectedClass is a class of distance and direction beside the fitted model.
type DirectedClass struct {
	Azimuth float64 `json:"azimuth"` // of the middle of the class, degrees clockwise from north, 0 to below 180
	FitClass
}

// Directions of the classes, and the ratios of ranges and azimuths that are tried
// before the best is followed down.
const (
	directions   = 8
	mostStretch  = 10
	azimuthsEach = 15.0
)

// FitAnisotropy fits a model whose range differs by direction: the semivariances of
// classes of distance in eight directions are fitted at once by weighted least
// squares, over all ratios of the ranges from 0.1 to 1 and all azimuths of the major
// axis. One field that is alike in all directions looks stretched too, by chance and
// the more so the longer its range beside the basin: take a direction that has a reason,
// such as the way from inlet to outlet, rather than one that the fit alone names.
// Faults are on the fields of the spec; it ends with the error of ctx when that is done.
func FitAnisotropy(ctx context.Context, spec AnisotropySpec) (AnisotropyResult, error) {
	var f units.Faults
	if n := len(spec.Samples); n < 30 || n > 5000 {
		f.Count("samples", n, "samples", "30 to 5000")
	} else {
		checkSamples(&f, spec.Samples, 30)
	}
	if spec.Classes != 0 {
		f.NumberBetween("classes", float64(spec.Classes), 3, 100)
	}
	if spec.Weights == WeightsIterated {
		f.Say("weights", spec.Weights.String(), "weights that are not iterated")
	}
	if err := f.Err(); err != nil {
		return AnisotropyResult{}, err
	}
	v := VariogramSpec{Samples: spec.Samples, Classes: spec.Classes, Cutoff: spec.Cutoff}
	if v.Classes == 0 {
		v.Classes = 8
	}
	reach := diagonal(spec.Samples)
	if v.Cutoff == 0 {
		v.Cutoff = reach / 2
	}
	p, err := newFitProblem(FitSpec{Shape: spec.Shape, Weights: spec.Weights, NoNugget: spec.NoNugget, MinPairs: spec.MinPairs})
	f.Sub("", err)
	var azimuths []float64
	for i := range directions {
		v.Direction = &Direction{Azimuth: float64(i) * 180 / directions, Tolerance: 90.0 / directions}
		r, err := Variogram(ctx, v)
		if ctx.Err() != nil {
			return AnisotropyResult{}, ctx.Err()
		}
		if i == 0 {
			f.Sub("", err)
		}
		for _, c := range r.Classes {
			if p.add(c, spec.MinPairs) {
				azimuths = append(azimuths, v.Direction.Azimuth)
			}
		}
	}
	if err := f.Err(); err != nil {
		return AnisotropyResult{}, err
	}
	r := AnisotropyResult{}
	flat := true
	for i, c := range p.classes {
		r.Classes = append(r.Classes, DirectedClass{azimuths[i], c})
		flat = flat && p.g[i] == 0
	}
	switch {
	case len(p.g) < 8:
		r.Status, r.Why = FitTooFew, units.Words("%v classes with enough pairs, the fit needs 8", len(p.g))
		return r, nil
	case flat:
		r.Status, r.Why = FitFlat, units.Words("all semivariances are zero: the values are one constant and have no variogram")
		return r, nil
	}
	p.anisotropy(azimuths, &r)
	plain := FitResult{Model: r.Model, MaxReach: reach, Classes: []FitClass{p.classes[0]}}
	plain.judge()
	r.Status, r.Why = plain.Status, plain.Why
	return r, nil
}

// anisotropy searches for the stretch of the ranges and the azimuth.
func (p *fitProblem) anisotropy(azimuths []float64, r *AnisotropyResult) {
	distance := make([]float64, len(p.classes))
	for i, c := range p.classes {
		distance[i] = float64(c.Distance)
	}
	at := func(stretch, azimuth float64) fitted {
		for i, d := range distance {
			sin, cos := math.Sincos((azimuths[i] - azimuth) * math.Pi / 180)
			p.h[i] = d * math.Hypot(cos, stretch*sin)
		}
		return p.minimum()
	}
	best := at(1, 0)
	r.Isotropic = best.objective
	stretch, azimuth := 1.0, 0.0
	try := func(s, a float64) bool {
		s = min(max(s, 1), mostStretch)
		m := at(s, a)
		if !(m.objective < best.objective) {
			return false
		}
		best, stretch, azimuth = m, s, a
		return true
	}
	for s := 1.4; s <= mostStretch; s *= 1.4 {
		for a := 0.0; a < 180; a += azimuthsEach {
			try(s, a)
		}
	}
	// Down the valley with steps that halve.
	ds, da := 0.2, azimuthsEach/2
	for range 200 {
		if !try(stretch*(1+ds), azimuth) && !try(stretch/(1+ds), azimuth) && !try(stretch, azimuth+da) && !try(stretch, azimuth-da) {
			if ds, da = ds/2, da/2; da < 0.05 {
				break
			}
		}
	}
	r.Objective = best.objective
	if r.Isotropic > 0 {
		r.Gain = 1 - best.objective/r.Isotropic
	}
	r.Model = Model{Shape: p.shape, Nugget: units.Area(best.nugget), Sill: units.Area(best.sill), Range: units.Length(best.plain)}
	if stretch > 1 {
		r.Model.Anisotropy = &Anisotropy{Ratio: 1 / stretch, Azimuth: math.Mod(azimuth+360, 180)}
	}
	at(stretch, azimuth)
	s := p.structure(best.plain)
	for i := range r.Classes {
		r.Classes[i].Model = units.Area(best.gamma(s, i))
	}
}

// Working returns the model and what the anisotropy gains.
func (r AnisotropyResult) Working() units.Working {
	var w units.Working
	w.Put(units.Words("fit"), r.Status, r.Why)
	if r.Status != FitTooFew && r.Status != FitFlat {
		w = append(w, r.Model.Working()...)
		w.Add("gain of the anisotropy", units.Words("%.3f", r.Gain), "share of the squared deviations without it")
	}
	return w
}

// String returns the working as a table.
func (r AnisotropyResult) String() string { return r.Working().String() }
