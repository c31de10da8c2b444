package nutrient

import "slices"

var publishedStates published[*State] // set by init, since a state may stand on one of them

func init() {
	publishedStates = publish("state", "states/", parsePublishedState, "minnesota")
}

// parsePublishedState reads a state that is known by its id alone.
func parsePublishedState(data []byte) (*State, error) {
	s, err := ParseState(data)
	if err == nil {
		s.published = true
	}
	return s, err
}

// PublishedStateIDs returns the ids of the states whose rules come with the package.
// Most are partial: [State.Lacks] says what is missing, and a query that needs it is
// refused.
func PublishedStateIDs() []string { return slices.Clone(publishedStates.ids) }

// PublishedState returns a state that comes with the package, which is read and proven
// once and shared. An id that is not among [PublishedStateIDs] is a
// [units.FieldError] on state.
func PublishedState(id string) (*State, error) { return publishedStates.get(id) }
