package cover

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"
	"sync"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

// Source names where a row of a table comes from.
type Source struct {
	ID    string `json:"id"`    // short name by which rows refer to it
	Title string `json:"title"` // title, publisher, number, year, page
	URL   string `json:"url"`   // address, may be empty
}

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
	Common    string      `json:"common"`             // name, each once
	Botanical string      `json:"botanical"`          // name, each once
	Form      LifeForm    `json:"form"`               // of growth; required
	Season    Season      `json:"season,omitempty"`   // of growth; zero value: unknown
	Nativity  Nativity    `json:"nativity,omitempty"` // zero value: unknown
	Bloom     Bloom       `json:"bloom,omitempty"`    // zero value: unknown
	Stature   Stature     `json:"stature,omitempty"`  // zero value: unknown
	SeedForm  string      `json:"seedForm,omitempty"` // bur, hulled and so on, where the source says
	Note      string      `json:"note,omitempty"`     // other names, and what to mind
	Counts    []SeedCount `json:"counts"`             // published numbers of seeds, one for each source
	// Rates are what [MixItemSpec.PureStand] may be; which one fits the method is
	// the caller's choice.
	Rates []StandRate `json:"rates,omitempty"`
}

// Is reports whether name is the common or the botanical name, without regard
// to case.
func (s Species) Is(name string) bool {
	return name != "" && (strings.EqualFold(s.Common, name) || strings.EqualFold(s.Botanical, name))
}

// count returns the count of the named source, or the only one there is.
func (s Species) count(source string) (SeedCount, bool) {
	if source == "" {
		if len(s.Counts) == 1 {
			return s.Counts[0], true
		}
		return SeedCount{}, false
	}
	i := slices.IndexFunc(s.Counts, func(c SeedCount) bool { return c.Source == source })
	if i < 0 {
		return SeedCount{}, false
	}
	return s.Counts[i], true
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
	return "seedsPerMass, or one of the sources " + strings.Join(list, ", ")
}

// SpeciesTable is a list of species with the sources of its rows.
type SpeciesTable struct {
	Sources []Source  `json:"sources"` // of the rows
	Species []Species `json:"species"` // each once
}

// ParseSpecies reads a table from JSON, strictly: unknown keys, names given
// twice, counts that are not positive or not in order and sources that are not
// listed are errors, all reported at once.
func ParseSpecies(data []byte) (*SpeciesTable, error) {
	var t SpeciesTable
	var f units.Faults
	f.Sub("", strict.Decode(data, &t))
	if f.Err() != nil {
		return nil, f.Err()
	}
	t.check(&f)
	if err := f.Err(); err != nil {
		return nil, err
	}
	return &t, nil
}

func (t *SpeciesTable) check(f *units.Faults) {
	sources := map[string]bool{}
	for i, s := range t.Sources {
		at := f.At("sources", i)
		if s.ID == "" || sources[s.ID] {
			at.Add("id", s.ID, "a name of its own")
		}
		required(&at, "title", s.Title)
		sources[s.ID] = true
	}
	f.CountBetween("species", len(t.Species), "species", 1, 100_000)
	names := map[string]bool{}
	for i, s := range t.Species {
		at := f.At("species", i)
		at.Sub("", s.check())
		for j, c := range s.Counts {
			if count := at.At("counts", j); !sources[c.Source] {
				count.Add("source", c.Source, "the id of a listed source")
			}
		}
		for j, r := range s.Rates {
			if rate := at.At("rates", j); !sources[r.Source] {
				rate.Add("source", r.Source, "the id of a listed source")
			}
		}
		common, botanical := strings.ToLower(s.Common), strings.ToLower(s.Botanical)
		if names[common] {
			at.Add("common", s.Common, "a name that no other species has")
		}
		if names[botanical] {
			at.Add("botanical", s.Botanical, "a name that no other species has")
		}
		names[common], names[botanical] = s.Common != "", s.Botanical != ""
	}
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
	f.Sub("", SpeciesSelector{Season: s.Season, Nativity: s.Nativity, Bloom: s.Bloom, Stature: s.Stature}.check())
	for i, c := range s.Counts {
		at := f.At("counts", i)
		at.Between("low", c.Low, leastCount, mostCount)
		at.Between("high", c.High, leastCount, mostCount)
		if c.High < c.Low {
			at.Add("high", c.High, "at least low, %v", c.Low)
		}
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

// clone returns a copy that shares nothing with s.
func (s Species) clone() Species {
	s.Counts, s.Rates = slices.Clone(s.Counts), slices.Clone(s.Rates)
	return s
}

// Find returns the species of a common or botanical name, without regard to
// case.
func (t *SpeciesTable) Find(name string) (Species, bool) {
	i := slices.IndexFunc(t.Species, func(s Species) bool { return s.Is(name) })
	if i < 0 {
		return Species{}, false
	}
	return t.Species[i], true
}

//go:embed data/species.json
var speciesJSON []byte

var published = sync.OnceValue(func() *SpeciesTable { return must(ParseSpecies(speciesJSON)) })

// PublishedSpecies returns a copy of the table that comes with the package:
// cover species with the numbers of seeds per pound that public sources print.
// Life form, season and nativity are general botany; so is bloom, and it is left
// unknown where it depends on the climate.
func PublishedSpecies() *SpeciesTable {
	t := published()
	return &SpeciesTable{Sources: slices.Clone(t.Sources), Species: clones(t.Species, Species.clone)}
}
