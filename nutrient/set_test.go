package nutrient

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestPublishedSetsLoad(t *testing.T) {
	for _, id := range PublishedSets() {
		s, err := PublishedSet(id)
		require.NoError(t, err, id)
		require.Equal(t, id, s.ID())
	}
}
