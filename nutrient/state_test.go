package nutrient

import (
	"maps"
	"testing"

	"github.com/stretchr/testify/require"
)

// Each state that comes with the package is proven when it is read: its own examples
// too.
func TestPublishedStates(t *testing.T) {
	for _, id := range PublishedStateIDs() {
		s, err := PublishedState(id)
		require.NoError(t, err, id)
		require.Equal(t, id, s.ID())
	}
}

func answered(t *testing.T, s *State, gives string, q StateQuery) Answer {
	t.Helper()
	r, err := s.Answer(gives, q)
	require.NoError(t, err)
	return r
}

func TestMinnesota(t *testing.T) {
	s, err := PublishedState("minnesota")
	require.NoError(t, err)
	beef := StateQuery{"year": "1", "species": "beef", "method": "broadcast", "incorporation": "2 days"}
	require.Equal(t, 45.0, answered(t, s, "totalN", beef).Figure.Low)
	for name, c := range map[string]struct {
		change StateQuery
		fields []string
	}{
		"missing":            {StateQuery{"incorporation": ""}, []string{"incorporation"}},
		"no column":          {StateQuery{"incorporation": "never"}, []string{"incorporation"}},
		"does not occur":     {StateQuery{"species": "poultry", "method": "injected with sweeps"}, []string{"species"}},
		"not a unit of time": {StateQuery{"incorporation": "2 ft"}, []string{"incorporation"}},
		"without unit":       {StateQuery{"incorporation": "2"}, []string{"incorporation"}},
		"several":            {StateQuery{"incorporation": "-1 h", "species": "goat", "colour": "brown", "year": "0"}, []string{"colour", "incorporation", "species", "year"}},
	} {
		q := maps.Clone(beef)
		maps.Copy(q, c.change)
		_, err := s.Answer("totalN", q)
		require.Equal(t, c.fields, faultFields(err), name)
	}
	near := StateQuery{"soilP": "50 ppm", "extractant": "bray p1", "distance": "100 ft", "filterStrip": "no"}
	for loss, want := range map[string]string{"8 ton/acre": "none", "3 ton/acre": ""} {
		near["soilLoss"] = loss
		l, ok, err := s.Limit("allow", AsCap, near)
		require.NoError(t, err)
		require.True(t, ok)
		require.Equal(t, want, l.Word, loss)
	}
	_, _, err = s.Limit("allow", AsCap, StateQuery{"soilP": "44 lb/acre", "extractant": "bray p1", "distance": "30 m"})
	require.Equal(t, []string{"filterStrip", "soilLoss"}, faultFields(err))
}
