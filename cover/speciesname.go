package cover

import (
	"cmp"
	"slices"
	"strings"
	"unicode"

	"example.org/earthbasin/units"
)

// nameKey is a name without case, spaces, hyphens and points, so that "Indian grass",
// "indiangrass" and "Indian-grass" are one.
func nameKey(name string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, name)
}

// names lists the names of a species.
func (s Species) names() []string { return append([]string{s.Common, s.Botanical}, s.Synonyms...) }

// Is reports whether name is the common or the botanical name or a synonym, without
// regard to case, spaces and hyphens.
func (s Species) Is(name string) bool {
	key := nameKey(name)
	return key != "" && s.has(key)
}

// has is Is for a key.
func (s Species) has(key string) bool {
	return slices.ContainsFunc(s.names(), func(n string) bool { return nameKey(n) == key })
}

// near returns, to end a sentence with, up to three species whose names are written much
// like name, or hold it, as common milkweed does milkweed; empty for none.
func near(list []Species, name string) units.Phrase {
	type hit struct {
		name     string
		distance int
	}
	var found []hit
	key := nameKey(name)
	if len(key) < 3 || len(key) > 80 {
		return units.Phrase{}
	}
	most := 1 + len(key)/6
	for _, s := range list {
		best := most + 1
		for _, n := range s.names() {
			n = nameKey(n)
			best = min(best, units.Edits(key, n, most))
			if len(key) >= 5 && strings.Contains(n, key) {
				best = min(best, most)
			}
		}
		if best <= most {
			found = append(found, hit{s.Common, best})
		}
	}
	slices.SortStableFunc(found, func(a, b hit) int { return cmp.Compare(a.distance, b.distance) })
	var words []string
	for _, n := range found[:min(3, len(found))] {
		words = append(words, n.name)
	}
	if len(words) == 0 {
		return units.Phrase{}
	}
	return units.Words(", such as %v", units.Word(strings.Join(words, ", ")))
}
