package nutrient

import (
	"math"

	"example.org/earthbasin/units"
)

// SoilLayer is one layer of the root zone. What it holds is given by its texture,
// from the table of [AvailableWater], or measured.
type SoilLayer struct {
	Depth   units.Length         `json:"depth"`            // thickness, above 0
	Texture Texture              `json:"texture,omitzero"` // instead of holds
	Holds   units.Range[float64] `json:"holds,omitzero"`   // available water as a part of the depth, 0 to 1; instead of Texture
}

// check records the faults of l.
func (l SoilLayer) check(f *units.Faults) {
	f.Between("depth", l.Depth, units.Millimetre, 100*units.Metre)
	switch {
	case l.Texture != 0 && l.Holds != units.Range[float64]{}:
		f.Say("holds", "given beside texture", "either holds or texture")
	case l.Texture != 0 && !textureNames.Has(int(l.Texture)):
		f.Add("texture", l.Texture, textureNames.Want())
	case l.Texture == 0 && l.Holds == units.Range[float64]{}:
		f.Missing("texture", "a texture, or else what the layer holds")
	}
	upTo(f, "holds.low", l.Holds.Low, 1)
	f.NumberBetween("holds.high", l.Holds.High, l.Holds.Low, 1)
}

const mostLayers = 100

// checkLayers records the faults of a root zone.
func checkLayers(f *units.Faults, layers []SoilLayer) {
	if len(layers) == 0 {
		f.Missing("layers", "at least one layer of the root zone")
	}
	f.CountBetween("layers", len(layers), "layers", 0, mostLayers)
	for i, l := range layers[:min(len(layers), mostLayers)] {
		at := f.At("layers", i)
		l.check(&at)
	}
}

// water returns the depth of available water that l holds; l is sound.
func (l SoilLayer) water() units.Range[units.Length] {
	h := l.Holds
	if l.Texture != 0 {
		h, _ = AvailableWater(l.Texture)
	}
	return units.Range[units.Length]{Low: l.Depth * units.Length(h.Low), High: l.Depth * units.Length(h.High)}
}

// HydraulicSpec is what [Hydraulic] works from.
type HydraulicSpec struct {
	Layers             []SoilLayer     `json:"layers"`               // of the root zone
	Depleted           float64         `json:"depleted"`             // part of the available water that is missing on the day, 0 to 1
	Target             units.Length    `json:"target"`               // depth wanted over the season, above 0
	Evapotranspiration units.DepthRate `json:"evapotranspiration"`   // water the crop uses until the next pass, above 0
	Application        units.DepthRate `json:"application,omitzero"` // of the sprinkler or gun; 0: spread by a machine, not judged
	Intake             units.DepthRate `json:"intake,omitzero"`      // that the soil takes in without runoff; needed with application
}

// HydraulicResult is how much liquid the soil can hold and take in.
type HydraulicResult struct {
	Depleted    float64                   `json:"depleted"`             // as in the spec
	Target      units.Length              `json:"target"`               // as in the spec
	Application units.DepthRate           `json:"application,omitzero"` // as in the spec
	Intake      units.DepthRate           `json:"intake,omitzero"`      // as in the spec
	Available   units.Range[units.Length] `json:"available"`            // water that the root zone holds for plants
	Pass        units.Length              `json:"pass"`                 // the most in one pass: the missing part of the lower available water
	Passes      int                       `json:"passes"`               // to put down the target; 0 when the soil is full
	Each        units.Length              `json:"each"`                 // depth of one of these passes
	Between     units.Duration            `json:"between"`              // until the crop has used up one pass
	Hours       units.Duration            `json:"hours"`                // to put down one pass; 0 without an application rate
	TooFast     bool                      `json:"tooFast"`              // the application is faster than the intake
	Limit       Limit                     `json:"limit"`                // for [FieldRateSpec], of one pass; no room when TooFast
	Cautions    []string                  `json:"cautions,omitzero"`    // to be shown to whoever irrigates
}

// Hydraulic returns the most liquid that one pass may bring so that it stays in
// the root zone, sum over the layers of depth x available water, of which the
// part that is missing; the passes in which a target depth goes down; and the
// days between them (common practice, no source). Which part is missing on a day, and
// whether the day is fit, is what [SoilWater] keeps. Published available water is a
// range, of whose low end the pass is worked out. Wrong values are a
// [units.FieldError].
func Hydraulic(spec HydraulicSpec) (HydraulicResult, error) {
	var f units.Faults
	checkLayers(&f, spec.Layers)
	upTo(&f, "depleted", spec.Depleted, 1)
	f.Between("target", spec.Target, units.Millimetre/1000, 100*units.Metre)
	positive(&f, "evapotranspiration", spec.Evapotranspiration)
	notNegative(&f, "application", spec.Application)
	if notNegative(&f, "intake", spec.Intake); spec.Application > 0 && spec.Intake == 0 {
		f.Missing("intake", "how fast the soil takes water in, since there is an application rate")
	}
	if err := f.Err(); err != nil {
		return HydraulicResult{}, err
	}
	r := HydraulicResult{
		Depleted: spec.Depleted + 0, Target: spec.Target, Application: spec.Application + 0, Intake: spec.Intake + 0,
		TooFast: spec.Application > 0 && spec.Application > spec.Intake}
	for _, l := range spec.Layers {
		w := l.water()
		r.Available.Low += w.Low
		r.Available.High += w.High
	}
	r.Pass = r.Available.Low * units.Length(r.Depleted)
	r.Limit = Limit{Kind: LimitWater, Name: "water the soil can hold", Rate: LiquidRate(r.Pass.Applied())}
	if n := math.Ceil(float64(spec.Target/r.Pass) * (1 - 1e-12)); n < 1e9 { // not endless, as over no pass at all
		r.Passes = int(n)
		r.Each = spec.Target / units.Length(n)
		r.Between = units.Duration(float64(r.Each) / float64(spec.Evapotranspiration))
		if spec.Application > 0 {
			r.Hours = units.Duration(float64(r.Each) / float64(spec.Application))
		}
	} else {
		r.Cautions = append(r.Cautions, "The soil has no room for more water: anything put on runs off or leaches. Wait until the crop has used some.")
	}
	if r.TooFast {
		r.Limit = Limit{Kind: LimitWater, Name: "application faster than the soil takes it in", Rate: LiquidRate(0)}
		r.Cautions = append(r.Cautions, "The liquid comes down faster than the soil takes it in and will run off: use smaller nozzles, a lower pressure or a faster reel.")
	}
	return r, nil
}

// Working shows the water balance of a pass.
func (r HydraulicResult) Working() units.Working {
	var w units.Working
	if r.Target == 0 {
		return w
	}
	w.Add("available water, low", r.Available.Low, "sum of depth x part, low end of the range")
	w.Add("available water, high", r.Available.High, "high end")
	w.Add("missing", r.Depleted, "part of it, on the day")
	w.Add("one pass, at most", r.Pass, "low available water x missing part")
	w.Add("passes", r.Passes, "target %v over one pass, rounded up", r.Target)
	w.Add("each pass", r.Each, "target over passes")
	w.Add("between passes", r.Between, "pass over evapotranspiration")
	if r.Application > 0 {
		w.Add("application rate", r.Application, "soil takes in %v", r.Intake)
		w.Add("hours of a pass", r.Hours, "pass over application rate")
	}
	return w
}

// String is the table of the working.
func (r HydraulicResult) String() string { return r.Working().String() }
