package cover

import (
	"slices"

	"example.org/earthbasin/units"
)

// SpeciesSelector picks species of a mix. Fields that are given must all fit; an empty
// selector picks all.
type SpeciesSelector struct {
	Forms    []LifeForm `json:"forms,omitempty"`    // any of these; empty for all
	Season   Season     `json:"season,omitempty"`   // zero value: any
	Nativity Nativity   `json:"nativity,omitempty"` // zero value: any
	Bloom    Bloom      `json:"bloom,omitempty"`    // a period in which they flower; zero value: any
	// MaxHeight picks species of which the grown plant is at most so tall; 0: any.
	MaxHeight units.Length `json:"maxHeight,omitempty"`
	Species   []string     `json:"species,omitempty"` // common or botanical names, or synonyms
}

func (s SpeciesSelector) clone() SpeciesSelector {
	s.Forms, s.Species = slices.Clone(s.Forms), slices.Clone(s.Species)
	return s
}

// check refuses values that have no name.
func (s SpeciesSelector) check() error {
	var f units.Faults
	for i, l := range s.Forms {
		if !lifeForms.Has(int(l)) {
			at := f.At("forms", i)
			at.Add("", l, lifeForms.Want())
		}
	}
	for _, c := range [...]struct {
		field string
		names units.Names
		value int
	}{
		{"season", seasons, int(s.Season)}, {"nativity", nativities, int(s.Nativity)},
		{"bloom", blooms, int(s.Bloom)},
	} {
		if !c.names.Has(c.value) {
			f.Add(c.field, c.value, c.names.Want())
		}
	}
	if s.MaxHeight != 0 {
		f.Between("maxHeight", s.MaxHeight, leastHeight, mostHeight)
	}
	return f.Err()
}

// fit is whether a species is picked: met, not met, or cannot say when the table
// does not know what the selector asks.
func (s SpeciesSelector) fit(sp Species) Verdict {
	if len(s.Forms) > 0 && !slices.Contains(s.Forms, sp.Form) {
		return VerdictNotMet
	}
	if len(s.Species) > 0 && !slices.ContainsFunc(s.Species, sp.Is) {
		return VerdictNotMet
	}
	v := VerdictMet
	for _, c := range [...]struct{ asked, known, fits bool }{
		{s.Season != 0, sp.Season != 0, s.Season == sp.Season},
		{s.Nativity != 0, sp.Nativity != 0, s.Nativity == sp.Nativity},
		{s.Bloom != 0, len(sp.Bloom) > 0, slices.Contains(sp.Bloom, s.Bloom)},
		{s.MaxHeight > 0, sp.Height > 0, sp.Height <= s.MaxHeight},
	} {
		switch {
		case !c.asked || c.known && c.fits:
		case !c.known:
			v = VerdictCannotSay
		default:
			return VerdictNotMet
		}
	}
	return v
}
