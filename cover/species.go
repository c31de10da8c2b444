package cover

import (
	"fmt"
	"slices"
	"strings"

	"example.org/earthbasin/units"
)

// SeedCount is one published number of seeds per mass of a species. It belongs
// to a form of the seed (grain, floret, bur) and to its source: public lists
// differ by a factor of 2.
type SeedCount struct {
	// Low and High are equal for a single figure. A printed range is given as
	// printed; a figure derived from rate and seeds per area spans the rounding
	// of the two. The middle is used.
	Low  units.SeedsPerMass `json:"low"`
	High units.SeedsPerMass `json:"high"` // most, equal to Low for a single figure
	// Source is the ID of a source of the table.
	Source string `json:"source"`
	// Derived says that the source prints a rate and its seeds per area, not
	// the count.
	Derived bool `json:"derived,omitempty"`
}

// Mid returns the middle of the count.
func (c SeedCount) Mid() units.SeedsPerMass {
	return units.Range[units.SeedsPerMass]{Low: c.Low, High: c.High}.Mid()
}

// StandRate is one published rate at which a species is sown alone.
type StandRate struct {
	Low    units.MassPerArea `json:"low"`    // more than 0
	High   units.MassPerArea `json:"high"`   // at least Low
	How    string            `json:"how"`    // method and kind of weight, as the source states them
	Source string            `json:"source"` // ID of a source of the table
}

// Species is a row of a species table.
type Species struct {
	Common    string   `json:"common"`             // name, each once
	Botanical string   `json:"botanical"`          // name, each once
	Synonyms  []string `json:"synonyms,omitempty"` // other names, common or botanical, of no other species
	Form      LifeForm `json:"form"`               // of growth; required
	Season    Season   `json:"season,omitempty"`   // of growth; zero value: unknown
	Nativity  Nativity `json:"nativity,omitempty"` // zero value: unknown
	// Bloom is the periods in which it flowers, the first of them that in which it
	// begins, in the order of the year; empty: unknown.
	Bloom       []Bloom `json:"bloom,omitempty"`
	BloomSource string  `json:"bloomSource,omitempty"` // ID of the source of Bloom
	// Height is that of a grown plant, 0.01 to 30 m; 0: unknown.
	Height       units.Length `json:"height,omitempty"`
	HeightSource string       `json:"heightSource,omitempty"` // ID of the source of Height
	SeedForm     string       `json:"seedForm,omitempty"`     // bur, hulled and so on, where the source says
	Note         string       `json:"note,omitempty"`         // what to mind
	Counts       []SeedCount  `json:"counts"`                 // published numbers of seeds, one for each source
	// Rates are what [MixItemSpec.PureStand] may be; which one fits the method is
	// the caller's choice.
	Rates []StandRate `json:"rates,omitempty"`
}

// count returns the count of the named source, or the first that the preferred
// sources have, or the only one there is.
func (s Species) count(source string, preferred []string) (SeedCount, bool) {
	if source != "" {
		preferred = []string{source}
	}
	for _, id := range preferred {
		if i := slices.IndexFunc(s.Counts, func(c SeedCount) bool { return c.Source == id }); i >= 0 {
			return s.Counts[i], true
		}
	}
	if source == "" && len(s.Counts) == 1 {
		return s.Counts[0], true
	}
	return SeedCount{}, false
}

// countChoices lists the counts for a message.
func (s Species) countChoices() string {
	if len(s.Counts) == 0 {
		return "seedsPerMass, since the table has none for " + s.Common
	}
	var list []string
	for _, c := range s.Counts {
		list = append(list, fmt.Sprintf("%s (%s)", c.Source, c.Mid().Text(units.SeedPerPound, 0)))
	}
	return "seedsPerMass, one of the sources " + strings.Join(list, ", ") + ", or countSources of the mix"
}

// checkSpecies records the faults of a table and of its rows.
// It returns which row each name belongs to.
func checkSpecies(f *units.Faults, list []Species, cited func(f *units.Faults, field, id string)) map[string]int {
	owner := map[string]int{}
	for i, s := range list {
		at := f.At("species", i)
		at.Sub("", s.check())
		if len(s.Bloom) > 0 {
			cited(&at, "bloomSource", s.BloomSource)
		}
		if s.Height > 0 {
			cited(&at, "heightSource", s.HeightSource)
		}
		for j, c := range s.Counts {
			count := at.At("counts", j)
			cited(&count, "source", c.Source)
		}
		for j, r := range s.Rates {
			rate := at.At("rates", j)
			cited(&rate, "source", r.Source)
		}
		once := func(f *units.Faults, field, name string) {
			if other, ok := owner[nameKey(name)]; ok && name != "" && other != i {
				f.Add(field, name, "a name that no other species has")
			}
			owner[nameKey(name)] = i
		}
		once(&at, "common", s.Common)
		once(&at, "botanical", s.Botanical)
		for j, name := range s.Synonyms {
			synonym := at.At("synonyms", j)
			once(&synonym, "", name)
		}
	}
	delete(owner, "")
	return owner
}

// check returns the faults of a row apart from its sources.
func (s Species) check() error {
	var f units.Faults
	if s.Common == "" {
		f.Missing("common", "the common name")
	}
	if s.Botanical == "" {
		f.Missing("botanical", "the botanical name")
	}
	if !lifeForms.Has(int(s.Form)) {
		f.Add("form", s.Form, lifeForms.Want())
	}
	f.Sub("", SpeciesSelector{Season: s.Season, Nativity: s.Nativity}.check())
	for i, b := range s.Bloom {
		at := f.At("bloom", i)
		if b == BloomUnknown || !blooms.Has(int(b)) {
			at.Add("", b, "early, mid or late")
		} else if i > 0 && b <= s.Bloom[i-1] {
			at.Add("", b, "a period after %v", s.Bloom[i-1])
		}
	}
	if s.Height != 0 {
		f.Between("height", s.Height, leastHeight, mostHeight)
	}
	sources := map[string]bool{}
	for i, c := range s.Counts {
		at := f.At("counts", i)
		at.Between("low", c.Low, leastCount, mostCount)
		at.Between("high", c.High, leastCount, mostCount)
		if c.High < c.Low {
			at.Add("high", c.High, "at least low, %v", c.Low)
		}
		if sources[c.Source] {
			at.Add("source", c.Source, "one count of a source")
		}
		sources[c.Source] = true
	}
	for i, r := range s.Rates {
		at := f.At("rates", i)
		at.Positive("low", r.Low)
		at.Positive("high", r.High)
		if r.High < r.Low {
			at.Add("high", r.High, "at least low, %v", r.Low)
		}
	}
	return f.Err()
}

// The span of seed of cover plants, from beans to rushes with room on both
// sides. It stops slips of a decimal point or a unit, not of the species.
const (
	leastCount = 100 * units.SeedPerPound
	mostCount  = 100_000_000 * units.SeedPerPound
)

// The span of heights of cover plants.
const (
	leastHeight = 0.01 * units.Metre
	mostHeight  = 30 * units.Metre
)

// clone returns a copy that shares nothing with s.
func (s Species) clone() Species {
	s.Counts, s.Rates = slices.Clone(s.Counts), slices.Clone(s.Rates)
	s.Synonyms, s.Bloom = slices.Clone(s.Synonyms), slices.Clone(s.Bloom)
	return s
}
