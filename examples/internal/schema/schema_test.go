package schema_test

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/internal/schema"
	"example.org/earthbasin/nutrient"
)

// Each file that people write has its schema beside the data, as the types say.
func TestSchemas(t *testing.T) {
	t.Run("state", func(t *testing.T) {
		schema.Hold(t, schema.File[nutrient.StateSpec]{Schema: "../../../nutrient/states/state.schema.json", Title: "Rules of a state", Root: "../../..", Examples: states(t),
			Load: func(data []byte) error { _, err := nutrient.ParseState(data); return err }})
	})
	t.Run("cover state", func(t *testing.T) {
		schema.Hold(t, schema.File[cover.StateSpec]{Schema: "../../../cover/data/state.schema.json", Title: "Ground cover rules of a state", Root: "../../..", Examples: names(t, "../../../cover/data/states/*.json"),
			Load: func(data []byte) error { _, err := cover.ParseState(data); return err }})
	})
	t.Run("scenario", func(t *testing.T) {
		schema.Hold(t, schema.File[plan.Scenario]{Schema: "../../closure/plan/scenario.schema.json", Title: "Scenario of a closure", Root: "../../..", Examples: []string{"../../closure/plan/demo.json"},
			Load: func(data []byte) error { _, err := plan.Read(t.Context(), data); return err }})
	})
}

func names(t *testing.T, pattern string) []string {
	list, err := filepath.Glob(pattern)
	require.NoError(t, err)
	return list
}

// states are files of states that have every part of the form between them.
func states(t *testing.T) (list []string) {
	for _, id := range []string{"england", "illinois", "minnesota", "ohio", "south-carolina"} {
		list = append(list, names(t, "../../../nutrient/states/"+id+".json")...)
	}
	require.Len(t, list, 5)
	require.Len(t, names(t, "../../../nutrient/states/*.json"), 1+len(nutrient.PublishedStateIDs()), "a file that is not on the list of states, or a state without a file")
	return list
}
