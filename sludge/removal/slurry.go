package removal

import (
	"example.org/earthbasin/units"
)

// waterDensity is the unit weight of water of FE Reference Handbook, NCEES, 2020,
// specific gravity of a solids slurry: 1000 kg/m3, printed beside it as 62.4 lb/ft3
// and 8.34 lb/gal.
const waterDensity = 1000 * units.KilogramPerCubicMetre

// SlurrySpec describes water with solids by two of volume, dry mass and solids.
type SlurrySpec struct {
	Volume        units.Volume       `json:"volume,omitempty"`       // as it lies
	Dry           units.Mass         `json:"dry,omitempty"`          // of the solids
	Solids        units.MassFraction `json:"solids,omitempty"`       // dry mass over total mass, 0 to below 1
	SolidsGravity float64            `json:"solidsGravity"`          // specific gravity of the dry solids, 0.5 to 8
	WaterDensity  units.Density      `json:"waterDensity,omitempty"` // 0 means 1000 kg/m3
}

// Slurry is water with solids: supernatant, sludge or a mixture of the two.
type Slurry struct {
	Volume        units.Volume       `json:"volume"`        // of solids and water
	Mass          units.Mass         `json:"mass"`          // of solids and water
	Dry           units.Mass         `json:"dry"`           // mass of the solids
	Water         units.Mass         `json:"water"`         // mass of the water
	Solids        units.MassFraction `json:"solids"`        // dry mass over mass
	Gravity       float64            `json:"gravity"`       // of the slurry
	SolidsGravity float64            `json:"solidsGravity"` // specific gravity of the dry solids
	WaterDensity  units.Density      `json:"waterDensity"`  // of the water alone
}

// Density returns the density of s, 0 when there is none of it.
func (s Slurry) Density() units.Density { return units.Density(s.Gravity) * s.WaterDensity }

// NewSlurry works out volume, mass and solids: the specific gravity of the slurry
// is S = (Ww + Ws)/(Ww/1.00 + Ws/Ss) and its volume Ws/(s S gamma), s the solids as
// a mass fraction (FE Reference Handbook, NCEES, 2020). A volume and a dry mass give
// the solids. One or three of volume, dry mass and solids, more dry mass than fits
// the volume, and quantities out of range are [units.FieldError]; a solids of 0 with
// a volume is clear water.
func NewSlurry(spec SlurrySpec) (Slurry, error) {
	var f units.Faults
	f.ZeroOr("volume", spec.Volume, minVolume, maxVolume)
	f.ZeroOr("dry", spec.Dry, minMass, maxMass)
	checkSolids(&f, "solids", spec.Solids)
	water := checkKind(&f, spec.SolidsGravity, spec.WaterDensity)
	if err := f.Err(); err != nil {
		return Slurry{}, err
	}
	spec.Solids = noSign(spec.Solids)
	s := Slurry{SolidsGravity: spec.SolidsGravity, WaterDensity: water}
	solidVolume := func(dry units.Mass) units.Volume {
		return dry.OverDensity(units.Density(spec.SolidsGravity) * water)
	}
	switch {
	case spec.Volume > 0 && spec.Dry > 0 && spec.Solids == 0:
		room := spec.Volume - solidVolume(spec.Dry)
		if room < 0 {
			f.Add("dry", spec.Dry, "at most the mass of solids that fills the volume")
			break
		}
		s = s.of(spec.Dry, water.Times(room))
	case spec.Volume > 0 && spec.Dry == 0:
		gravity := 1 / (1 - float64(spec.Solids) + float64(spec.Solids)/spec.SolidsGravity)
		mass := (units.Density(gravity) * water).Times(spec.Volume)
		s = s.of(spec.Solids.Times(mass), (1 - spec.Solids).Times(mass))
	case spec.Volume == 0 && spec.Dry > 0 && spec.Solids > 0:
		s = s.of(spec.Dry, units.Mass(float64(spec.Dry)*(1/float64(spec.Solids)-1)))
	default:
		got := "beside dry mass and solids"
		if spec.Volume == 0 {
			got = "left out without dry mass and solids"
		}
		f.Say("volume", got, "two of volume, dry mass and solids, or a volume alone, which is clear water")
	}
	if err := f.Err(); err != nil {
		return Slurry{}, err
	}
	return s, nil
}

// checkKind records what is wrong with dry solids and water, and returns the density of
// the water.
func checkKind(f *units.Faults, solidsGravity float64, water units.Density) units.Density {
	f.NumberBetween("solidsGravity", solidsGravity, 0.5, 8)
	if water == 0 {
		water = waterDensity
	}
	f.Between("waterDensity", water, 900*units.KilogramPerCubicMetre, 1100*units.KilogramPerCubicMetre)
	return water
}

// Solids of a slurry other than clear water. Dry solids have none of its water left
// to tell apart.
const (
	minSolids units.MassFraction = 1e-9
	maxSolids units.MassFraction = 1 - 1e-9
)

func checkSolids(f *units.Faults, field string, x units.MassFraction) {
	f.ZeroOr(field, x, minSolids, maxSolids)
}

// of returns the slurry of a dry mass and a mass of water, of the kind of s.
func (s Slurry) of(dry, water units.Mass) Slurry {
	s.Dry, s.Water, s.Mass = dry, water, dry+water
	s.Volume = water.OverDensity(s.WaterDensity) + dry.OverDensity(units.Density(s.SolidsGravity)*s.WaterDensity)
	s.Solids, s.Gravity = 0, 0
	if s.Volume > 0 {
		s.Solids = s.Dry.OverMass(s.Mass)
		s.Gravity = float64(s.Mass.OverVolume(s.Volume) / s.WaterDensity)
	}
	return s
}

// with returns s and other in one; both are of one kind.
func (s Slurry) with(other Slurry) Slurry { return s.of(s.Dry+other.Dry, s.Water+other.Water) }

// SolidsPart is one kind of dry solids in a mixture.
type SolidsPart struct {
	Dry     units.Mass `json:"dry"`     // 0 or more
	Gravity float64    `json:"gravity"` // 0.5 to 8
}

// SolidsGravitySpec is dry solids of several kinds.
type SolidsGravitySpec struct {
	Parts []SolidsPart `json:"parts"` // at least one with a mass
}

// SolidsGravity returns the specific gravity of mixed dry solids, such as volatile
// and fixed: sum W / sum(W/S). Parts out of range, and no mass at all, are
// [units.FieldError].
func SolidsGravity(spec SolidsGravitySpec) (float64, error) {
	var f units.Faults
	var mass, volume float64
	for i, p := range spec.Parts {
		at := f.At("parts", i)
		at.ZeroOr("dry", p.Dry, minMass, maxMass)
		at.NumberBetween("gravity", p.Gravity, 0.5, 8)
		mass += float64(p.Dry)
		volume += float64(p.Dry) / p.Gravity
	}
	if err := f.Err(); err != nil {
		return 0, err
	}
	if !(mass > 0) {
		f.Add("parts", units.Mass(mass), "solids of more than 0 in all")
		return 0, f.Err()
	}
	return mass / volume, nil
}

// ThickenSpec is a slurry that gives off water: by draining, settling or a press.
type ThickenSpec struct {
	In       SlurrySpec         `json:"in"`       // what comes in
	Solids   units.MassFraction `json:"solids"`   // of the thick part
	Recovery float64            `json:"recovery"` // share of the dry solids that ends in it, above 0 to 1
}

// ThickenResult is the solids balance.
type ThickenResult struct {
	In    Slurry  `json:"in"`    // what came in
	Thick Slurry  `json:"thick"` // with the solids wanted
	Off   Slurry  `json:"off"`   // water with the solids that were not recovered
	Share float64 `json:"share"` // Thick.Volume / In.Volume
}

// Thicken returns the solids balance of a slurry that is thickened: V2/V1 =
// r (s1 S1)/(s2 S2) with recovery r (FE Reference Handbook, NCEES, 2020). Solids at
// which the thick part would hold more water than came in, and the faults of
// [NewSlurry], are [units.FieldError].
func Thicken(spec ThickenSpec) (ThickenResult, error) {
	var f units.Faults
	in, err := NewSlurry(spec.In)
	f.Sub("in", err)
	f.Between("solids", spec.Solids, minSolids, maxSolids)
	f.NumberBetween("recovery", spec.Recovery, minShare, 1)
	if err := f.Err(); err != nil {
		return ThickenResult{}, err
	}
	thick, off, ok := in.thickened(spec.Solids, spec.Recovery)
	if !ok {
		f.Add("solids", spec.Solids, "more than what came in has at that recovery, %v before it", in.Solids)
		return ThickenResult{}, f.Err()
	}
	return ThickenResult{In: in, Thick: thick, Off: off, Share: float64(thick.Volume / in.Volume)}, nil
}

// thickened splits s; ok is false when there is not enough water for the solids.
func (s Slurry) thickened(solids units.MassFraction, recovery float64) (thick, off Slurry, ok bool) {
	dry := units.Mass(recovery) * s.Dry
	keeps := units.Mass(float64(dry) * (1/float64(solids) - 1))
	if less(s.Water, keeps) || dry == 0 {
		return Slurry{}, Slurry{}, false
	}
	if !less(keeps, s.Water) {
		keeps = s.Water // thickened to what it is already
	}
	return s.of(dry, keeps), s.of(s.Dry-dry, s.Water-keeps), true
}

// DiluteSpec is a slurry that is to be thinned so that it can be pumped.
type DiluteSpec struct {
	In     SlurrySpec         `json:"in"`               // what is too thick
	Solids units.MassFraction `json:"solids"`           // wanted, more than those of the liquid
	Liquid units.MassFraction `json:"liquid,omitempty"` // solids of the liquid mixed in, 0 for clean water
}

// DiluteResult is the liquid to mix in.
type DiluteResult struct {
	In    Slurry `json:"in"`    // what was too thick
	Added Slurry `json:"added"` // none when it is thin enough already
	Out   Slurry `json:"out"`   // In and Added together
}

// Dilute returns the liquid that brings a slurry down to the wanted solids:
// m = (Ws - s W)/(s - sl) for a slurry of mass W with dry mass Ws. The faults are
// those of [NewSlurry] and a liquid with as many solids as are wanted.
func Dilute(spec DiluteSpec) (DiluteResult, error) {
	var f units.Faults
	in, err := NewSlurry(spec.In)
	f.Sub("in", err)
	checkSolids(&f, "solids", spec.Solids)
	checkSolids(&f, "liquid", spec.Liquid)
	if !(spec.Solids > spec.Liquid) {
		f.Add("solids", spec.Solids, "more than the solids of the liquid, %v", spec.Liquid)
	}
	if err := f.Err(); err != nil {
		return DiluteResult{}, err
	}
	added := in.liquidFor(spec.Solids, noSign(spec.Liquid))
	return DiluteResult{In: in, Added: added, Out: in.with(added)}, nil
}

// liquidFor returns the liquid that thins s to the wanted solids.
func (s Slurry) liquidFor(solids, liquid units.MassFraction) Slurry {
	mass := units.Mass(max(0, (float64(s.Dry)-float64(solids)*float64(s.Mass))/float64(solids-liquid)))
	return s.of(liquid.Times(mass), (1 - liquid).Times(mass))
}
