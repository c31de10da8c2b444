package nutrient

import (
	"embed"
	"slices"
	"strconv"
	"strings"

	"example.org/earthbasin/units"
)

//go:embed sets/*.json
var setFiles embed.FS

// setIDs lists the sets that come with the package.
var setIDs = []string{
	"alberta-2006", "minnesota", "new-york-organic", "epa-digested-sludge",
	"ohio-digested-sludge", "nebraska-2021", "illinois-560", "ontario-2013",
}

// PublishedSetIDs returns the ids of the coefficient sets that come with the
// package. Several are partial: [Set.Lacks] says what is missing, and a query
// that needs it is refused.
func PublishedSetIDs() []string { return append([]string(nil), setIDs...) }

// PublishedSet returns a set that comes with the package. An id that is not
// among [PublishedSetIDs] is a [units.FieldError] on set.
func PublishedSet(id string) (*Set, error) {
	if !slices.Contains(setIDs, id) {
		return nil, &units.FieldError{Field: "set", Value: strconv.Quote(id), Want: "one of " + strings.Join(setIDs, ", ")}
	}
	data, err := setFiles.ReadFile("sets/" + id + ".json")
	if err != nil {
		return nil, err
	}
	return parseFile(data, func(spec SetSpec) (*Set, error) {
		if spec.Base == "" {
			return NewSet(spec)
		}
		base, err := PublishedSet(spec.Base)
		if err != nil {
			return nil, err
		}
		return NewSet(spec, base)
	})
}
