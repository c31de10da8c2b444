package nutrient

import (
	"embed"
	"strings"

	"example.org/earthbasin/units"
)

//go:embed sets/*.json
var setFiles embed.FS

// setIDs lists the sets that come with the package, bases before the sets that
// build on them.
var setIDs = []string{
	"alberta-2006", "minnesota", "new-york-organic", "epa-digested-sludge",
	"ohio-digested-sludge", "nebraska-2021", "illinois-560", "ontario-2013",
}

// PublishedSets returns the ids of the coefficient sets that come with the
// package. Several are partial: [Set.Lacks] says what is missing, and a query
// that needs it is refused.
func PublishedSets() []string { return append([]string(nil), setIDs...) }

// PublishedSet returns a set that comes with the package. An id that is not
// among [PublishedSets] is a [units.FieldError] on set.
func PublishedSet(id string) (*Set, error) {
	var bases []*Set
	for _, name := range setIDs {
		if name != id && name != "epa-digested-sludge" {
			continue
		}
		data, err := setFiles.ReadFile("sets/" + name + ".json")
		if err != nil {
			return nil, err
		}
		s, err := ParseSet(data, bases...)
		if err != nil {
			return nil, err
		}
		if name == id {
			return s, nil
		}
		bases = append(bases, s)
	}
	return nil, &units.FieldError{Field: "set", Value: id, Want: "one of " + strings.Join(setIDs, ", ")}
}
