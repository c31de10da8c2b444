package removal

import (
	"strings"

	"example.org/earthbasin/units"
)

// Content is how much a material holds of a constituent, one of the two.
type Content struct {
	PerVolume *units.Concentration `json:"perVolume,omitempty"` // of the material as it lies, 0 to 5,000 kg/m3
	PerDry    *units.MassFraction  `json:"perDry,omitempty"`    // of its dry solids, 0 to 100
}

// Constituent is something that liquid and sludge hold and that has to be accounted
// for: a nutrient, a metal, a salt.
type Constituent struct {
	Name   string  `json:"name"`            // any word, once in a plan, such as P2O5
	Liquid Content `json:"liquid,omitzero"` // of the liquid above the sludge; needed where there is some
	Sludge Content `json:"sludge"`          // of the sludge as it lies
	// WithWater is the share of what the sludge holds that goes with its water, 0 to 1;
	// the rest goes with the solids. Left out, the water of the sludge holds as much as
	// the water of the liquid above it, all of whose content counts as dissolved.
	WithWater *float64 `json:"withWater,omitempty"`
}

// SplitRule says where the part of a constituent that goes with the water comes from.
type SplitRule = units.Enum[splitWords]

const (
	// SplitGiven, "given": the caller gave the share.
	SplitGiven SplitRule = iota + 1
	// SplitLiquid, "as in the liquid": the water of the sludge holds as much as that of the liquid above it.
	SplitLiquid
	// SplitAll, "all with the water": all goes with the water, since at the content of the liquid above it
	// the water of the sludge would hold more than the sludge does.
	SplitAll
)

var splitNames = units.Names{"", "given", "as in the liquid", "all with the water"}

type splitWords struct{}

func (splitWords) Names() units.Names { return splitNames }

// ConstituentResult is what lies in the basin before the work.
type ConstituentResult struct {
	Name      string     `json:"name"`      // as given
	Liquid    units.Mass `json:"liquid"`    // in the liquid at the survey
	Sludge    units.Mass `json:"sludge"`    // in the sludge
	WithWater float64    `json:"withWater"` // share of what the sludge holds that goes with its water
	Split     SplitRule  `json:"split"`     // where that share comes from
}

// Bounds of contents: no material holds more of a thing than it weighs, but a liquid
// nearly free of solids may hold many times their mass.
const (
	minContent units.Concentration = 1e-12
	maxContent                     = 5000 * units.GramPerLitre
	minPerDry  units.MassFraction  = 1e-12
	maxPerDry  units.MassFraction  = 100
	mostNames                      = 1000
)

// check records what is wrong with the content; solids are those of the material.
func (c Content) check(f *units.Faults, path string, solids units.MassFraction) {
	switch {
	case c.PerVolume != nil && c.PerDry != nil:
		f.Say(path, "per volume and per dry mass", "one of the two")
	case c.PerVolume != nil:
		f.ZeroOr(path+".perVolume", *c.PerVolume, minContent, maxContent)
	case c.PerDry != nil:
		f.ZeroOr(path+".perDry", *c.PerDry, minPerDry, maxPerDry)
		if solids == 0 && *c.PerDry > 0 {
			f.Add(path+".perDry", *c.PerDry, "a content per volume, since the material has no solids")
		}
	default:
		f.Missing(path, "a content per volume or per dry mass, 0 where there is none")
	}
}

// of returns the mass in s.
func (c Content) of(s Slurry) units.Mass {
	switch {
	case c.PerVolume != nil:
		return noSign(c.PerVolume.Times(s.Volume))
	case c.PerDry != nil:
		return noSign(c.PerDry.Times(s.Dry))
	}
	return 0
}

// checkConstituents records what is wrong with the constituents.
func (spec PlanSpec) checkConstituents(f *units.Faults) {
	if n := len(spec.Constituents); n > mostNames {
		f.Count("constituents", n, "constituents", "at most %v", mostNames)
		return
	}
	seen := map[string]bool{}
	for i, c := range spec.Constituents {
		f := f.At("constituents", i)
		f.Name("name", strings.TrimSpace(c.Name), "constituent", seen)
		c.Sludge.check(&f, "sludge", spec.Solids)
		if spec.hasLiquid() || c.Liquid != (Content{}) {
			c.Liquid.check(&f, "liquid", spec.LiquidSolids)
		}
		if c.WithWater != nil {
			f.Fraction("withWater", *c.WithWater)
		} else if c.Liquid == (Content{}) {
			f.Missing("withWater", "the share that goes with the water, or the content of the liquid")
		}
	}
}

// body is a slurry with its constituents: of each the part that goes with the water
// and the part that goes with the solids.
type body struct {
	Slurry
	held []held
}

// held is what a body holds of a constituent.
type held struct{ water, solids units.Mass }

// each works out what s, made of b, holds of every constituent.
func (b body) each(s Slurry, of func(i int, h held) held) body {
	r := body{Slurry: s, held: make([]held, len(b.held))}
	for i, h := range b.held {
		r.held[i] = of(i, h)
	}
	return r
}

// only returns s without any constituent.
func (b body) only(s Slurry) body {
	return b.each(s, func(int, held) held { return held{} })
}

func (b body) with(o body) body {
	return b.each(b.Slurry.with(o.Slurry), func(i int, h held) held { return held{h.water + o.held[i].water, h.solids + o.held[i].solids} })
}

// less returns what is left of b without part, whose slurry is worked out already.
func (b body) less(part body, rest Slurry) body {
	return b.each(rest, func(i int, h held) held {
		return held{max(0, h.water-part.held[i].water), max(0, h.solids-part.held[i].solids)}
	})
}

// cut returns the part of b with the given mass, at most all of it, and the rest.
func (b body) cut(mass units.Mass) (part, rest body) {
	if !less(mass, b.Mass) {
		return b, b.only(b.of(0, 0))
	}
	share := mass / b.Mass
	part = b.each(b.of(share*b.Dry, share*b.Water), func(_ int, h held) held { return held{share * h.water, share * h.solids} })
	return part, b.less(part, b.of(b.Dry-part.Dry, b.Water-part.Water))
}

// thickened splits b: each part keeps what goes with its water and with its solids.
func (b body) thickened(solids units.MassFraction, recovery float64) (thick, off body, ok bool) {
	in, out, ok := b.Slurry.thickened(solids, recovery)
	if !ok {
		return body{}, body{}, false
	}
	share := in.Water / b.Water
	thick = b.each(in, func(_ int, h held) held { return held{share * h.water, units.Mass(recovery) * h.solids} })
	return thick, b.less(thick, out), true
}

// mass returns what b holds of a constituent.
func (b body) mass(i int) units.Mass { return b.held[i].water + b.held[i].solids }

// holding sets the liquid and the sludge of the case with their constituents.
func (p *planner) holding(liquid, sludge Slurry) {
	empty := body{held: make([]held, len(p.spec.Constituents))}
	p.liquid, p.sludge = empty.only(liquid), empty.only(sludge)
	p.constituents = nil
	// What a cubic metre of the liquid and of the sludge hold, whether there is any.
	inLiquid, inSludge := p.slurry(units.CubicMetre, p.spec.LiquidSolids), p.slurry(units.CubicMetre, p.spec.Solids)
	for i, c := range p.spec.Constituents {
		f := p.faults.At("constituents", i)
		heavy(&f, "liquid", c.Liquid.of(inLiquid), inLiquid)
		heavy(&f, "sludge", c.Sludge.of(inSludge), inSludge)
		r := ConstituentResult{Name: c.Name, Liquid: c.Liquid.of(liquid), Sludge: c.Sludge.of(sludge), Split: SplitGiven}
		p.liquid.held[i].water = r.Liquid // never parted from its solids
		if c.WithWater != nil {
			r.WithWater = noSign(*c.WithWater)
		} else if dissolved := float64(c.Liquid.of(inLiquid) / inLiquid.Water * inSludge.Water); dissolved > 0 {
			r.Split, r.WithWater = SplitLiquid, dissolved/float64(c.Sludge.of(inSludge))
			if !(r.WithWater <= 1) {
				r.Split, r.WithWater = SplitAll, 1
			}
		} else {
			r.Split = SplitLiquid
		}
		water := units.Mass(r.WithWater) * r.Sludge
		p.sludge.held[i] = held{water, r.Sludge - water}
		p.constituents = append(p.constituents, r)
	}
}

// heavy records that a cubic metre of s would hold more of a constituent than it weighs.
func heavy(f *units.Faults, field string, m units.Mass, s Slurry) {
	if m > s.Mass {
		f.Add(field, m.Dissolved(s.Volume), "at most the density of the material, %v", s.Density())
	}
}
