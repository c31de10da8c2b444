package volume

import (
	"example.org/earthbasin/units"
	"example.org/earthbasin/volume/internal/cautions"
)

// DepthRule asks that a share of a pond's surface has at least a depth of water
// below it. Rules come from the standard for ponds of the state.
type DepthRule struct {
	Name  string       `json:"name"`  // what asks for the depth
	Depth units.Length `json:"depth"` // of water, more than 0
	Share float64      `json:"share"` // of the water surface, 0 to 1
}

// PondSpec is the conversion of a basin to a freshwater pond: after the waste is
// out it is rinsed with clean water and pumped out until the refill is clean.
type PondSpec struct {
	Basin      Basin        `json:"-"`                    // that becomes the pond
	WaterLevel units.Length `json:"waterLevel"`           // of the pond over the floor
	DepthRules []DepthRule  `json:"depthRules,omitempty"` // of the standard for ponds; may be empty
	// Left is the liquid that the pump cannot take, 1 mL or more, and LeftN its
	// nitrogen.
	Left  units.Volume        `json:"left"`
	LeftN units.Concentration `json:"leftN"` // 0 to 1000 g/L
	// Rinse is the clean water of one rinse, and CleanN its nitrogen.
	Rinse  units.Volume        `json:"rinse"`
	CleanN units.Concentration `json:"cleanN"` // 0 to 1000 g/L, of the rinse and the refill
	// ReleaseN is what floor and banks give off into each filling.
	ReleaseN units.Mass `json:"releaseN,omitzero"`
	// TargetN is what the pond may have after the refill.
	TargetN   units.Concentration `json:"targetN"`
	MaxRinses int                 `json:"maxRinses"` // rinses tried, 0 to 1000
}

// RinseStep is the basin after a number of rinses.
type RinseStep struct {
	Rinses  int                 `json:"rinses"`  // done so far
	LeftN   units.Concentration `json:"leftN"`   // of the liquid that stays behind
	RefillN units.Concentration `json:"refillN"` // of the pond if it were filled now
	Pumped  units.Volume        `json:"pumped"`  // by this rinse, to the land
	PumpedN units.Mass          `json:"pumpedN"` // nitrogen in it
}

// DepthVerdict is a depth rule and what the pond has.
type DepthVerdict struct {
	Rule  DepthRule `json:"rule"`  // as in the spec
	Share float64   `json:"share"` // of the water surface with the depth of the rule
	Met   bool      `json:"met"`   // Share is that of the rule or more
}

// PondResult is the plan of the conversion.
type PondResult struct {
	Volume     units.Volume        `json:"volume"`     // of the pond
	Refill     units.Volume        `json:"refill"`     // clean water of the last filling
	Depths     []DepthVerdict      `json:"depths"`     // in the order of the rules
	Steps      []RinseStep         `json:"steps"`      // from no rinse on
	Met        bool                `json:"met"`        // the last step reaches the target
	MinN       units.Concentration `json:"minN"`       // what rinsing without end would give
	RinseWater units.Volume        `json:"rinseWater"` // clean water of all rinses, pumped to the land
	RinsedN    units.Mass          `json:"rinsedN"`    // nitrogen in it, for the nutrient plan
	Cautions   []string            `json:"cautions"`   // what can hurt people, and who decides
}

// Pond plans the conversion. Each rinse mixes the liquid that was left with clean
// water and what the floor gives off, c' = (Vc + Rw + m)/(V + R), and the same
// volume V is left by the pump; the refill is one such mixture up to the water
// level. Steps run until the refill reaches the target or MaxRinses is used up.
// Volumes must fit into the basin.
func Pond(spec PondSpec) (PondResult, error) {
	if err := checkPond(spec); err != nil {
		return PondResult{}, err
	}
	b := spec.Basin
	r := PondResult{Volume: b.VolumeAt(spec.WaterLevel),
		Cautions: []string{cautions.Gas, cautions.Impound, cautions.PondWater, cautions.Regulator}}
	r.Refill = r.Volume - spec.Left
	for _, rule := range spec.DepthRules {
		var share float64
		if rule.Depth <= spec.WaterLevel {
			share = float64(b.AreaAt(spec.WaterLevel-rule.Depth) / b.AreaAt(spec.WaterLevel))
		}
		r.Depths = append(r.Depths, DepthVerdict{rule, share, share >= rule.Share})
	}
	mix := func(c units.Concentration, clean units.Volume) units.Concentration {
		return (c.Times(spec.Left) + spec.CleanN.Times(clean) + spec.ReleaseN).Dissolved(spec.Left + clean)
	}
	// Rinsing without end leaves c = w + m/R behind.
	r.MinN = mix(spec.CleanN+spec.ReleaseN.Dissolved(spec.Rinse), r.Refill)
	step := RinseStep{LeftN: spec.LeftN, RefillN: mix(spec.LeftN, r.Refill)}
	r.Steps = []RinseStep{step}
	for step.RefillN > spec.TargetN && step.Rinses < spec.MaxRinses {
		step.Rinses++
		step.LeftN = mix(step.LeftN, spec.Rinse)
		step.RefillN = mix(step.LeftN, r.Refill)
		step.Pumped, step.PumpedN = spec.Rinse, step.LeftN.Times(spec.Rinse)
		r.RinseWater += step.Pumped
		r.RinsedN += step.PumpedN
		r.Steps = append(r.Steps, step)
	}
	r.Met = step.RefillN <= spec.TargetN
	return r, nil
}

func checkPond(spec PondSpec) error {
	var f units.Faults
	checkBasin(&f, spec.Basin)
	// No pump leaves less, and what is given off into it stays a number.
	f.Between("left", spec.Left, units.Millilitre, units.MaxVolume)
	f.Between("rinse", spec.Rinse, units.Millilitre, units.MaxVolume)
	// No liquid holds more nitrogen than a kilogram per litre.
	const most = 1000 * units.GramPerLitre
	f.ZeroTo("leftN", spec.LeftN, most)
	f.ZeroTo("cleanN", spec.CleanN, most)
	f.ZeroTo("releaseN", spec.ReleaseN, 1e6*units.Tonne)
	f.UpTo("targetN", spec.TargetN, most)
	if spec.MaxRinses < 0 || spec.MaxRinses > 1000 {
		f.Add("maxRinses", spec.MaxRinses, "0 to 1000")
	}
	for i, r := range spec.DepthRules {
		at := f.At("depthRules", i)
		if r.Name == "" {
			at.Missing("name", "what asks for the depth")
		}
		at.UpTo("depth", r.Depth, units.MaxLength)
		at.NumberZeroTo("share", r.Share, 1)
	}
	if f.Err() != nil {
		return f.Err()
	}
	b := spec.Basin
	if !(spec.WaterLevel > 0 && spec.WaterLevel <= b.Depth()) {
		f.Add("waterLevel", spec.WaterLevel, "more than 0 and at most the depth of %v", b.Depth())
		return f.Err()
	}
	if pond := b.VolumeAt(spec.WaterLevel); !(spec.Left < pond) {
		f.Add("left", spec.Left, "less than the pond of %v", pond)
	}
	if room := Capacity(b) - spec.Left; !(spec.Rinse <= room) {
		f.Add("rinse", spec.Rinse, "at most %v, the room above what is left", room)
	}
	return f.Err()
}

// Working shows the depths, the rinses and the refill.
func (r PondResult) Working() units.Working {
	var w units.Working
	w.Add("pond", r.Volume, "")
	for _, d := range r.Depths {
		verdict := "met"
		if !d.Met {
			verdict = "not met"
		}
		w.Add(d.Rule.Name, verdict, "%s or deeper below %.0f %% of the surface, %.0f %% wanted", d.Rule.Depth, 100*d.Share, 100*d.Rule.Share)
	}
	for _, s := range r.Steps {
		item := units.Words("without a rinse")
		if s.Rinses > 0 {
			item = units.Words("after rinse %v", s.Rinses)
		}
		w.Put(item, s.RefillN, units.Words("nitrogen if refilled now"))
	}
	w.Add("rinse water", r.RinseWater, "carries %v of nitrogen to the land", r.RinsedN)
	if !r.Met {
		w.Add("target", "not reached", "rinsing without end gives %v", r.MinN)
	}
	return w
}

// String prints the working.
func (r PondResult) String() string { return r.Working().String() }
