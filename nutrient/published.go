package nutrient

import (
	"embed"
	"slices"
	"strings"
	"sync"

	"example.org/earthbasin/units"
)

//go:embed states/*.json
var files embed.FS

// published is the states that come with the package, by id. Each is read and proven
// when it is first asked for, and then shared: it does not change. It is set by init,
// since a state may stand on one of them.
var published map[string]func() (*State, error)

var publishedIDs = []string{
	"alberta", "british-columbia", "connecticut", "england", "idaho", "illinois", "indiana", "kansas", "manitoba", "maryland", "michigan",
	"minnesota", "missouri", "montana", "nebraska", "new-jersey", "new-york", "north-carolina", "north-dakota", "northern-ireland", "ohio", "oklahoma", "ontario",
	"quebec", "south-carolina", "texas", "united-kingdom", "us-epa-1983", "us-sludge", "utah", "vermont", "virginia", "wisconsin",
}

func init() {
	published = map[string]func() (*State, error){}
	for _, id := range publishedIDs {
		published[id] = sync.OnceValues(func() (*State, error) {
			data, err := files.ReadFile("states/" + id + ".json")
			if err != nil {
				return nil, err
			}
			s, err := ParseState(data)
			if err == nil {
				s.published = true
			}
			return s, err
		})
	}
}

// PublishedStateIDs returns the ids of the states whose rules come with the package,
// sorted. Most are partial: [State.Lacks] says what is missing, and a query that needs
// it is refused.
func PublishedStateIDs() []string { return slices.Clone(publishedIDs) }

// PublishedState returns a state that comes with the package, which is read and proven
// once and shared. An id that is not among [PublishedStateIDs] is a
// [units.FieldError] on state.
func PublishedState(id string) (*State, error) {
	load, ok := published[id]
	if !ok {
		return nil, units.Fault(units.FaultName, "state", id, "one of %v", units.Word(strings.Join(publishedIDs, ", ")))
	}
	return load()
}
