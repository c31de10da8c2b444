package schema

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Links to Go lose their brackets; those of an example stay.
func TestBracketsOfExamplesStay(t *testing.T) {
	require.Equal(t, `"5 [10]" as units.Range, Table and State.Crop say, [a b]`, oneLine("\"5 [10]\" as [units.Range],\n [Table] and [*State.Crop] say, [a b]"))
}
