package schema_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/cover"
	"example.org/earthbasin/examples/closure/doubt"
	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/closure/report"
	"example.org/earthbasin/examples/internal/schema"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/units/evidence"
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

// What the program of the closure writes follows its schemas, for every farm.
func TestOutputSchemas(t *testing.T) {
	farms := append(names(t, "../../closure/testdata/scenarios/*.json"), "../../closure/plan/demo.json")
	require.Len(t, farms, 13)
	schemas := map[string]*schema.Schema{}
	for path, of := range map[string]struct {
		title string
		value any
		keys  []string
	}{
		"../../closure/report/document.schema.json": {"Pages of a closure plan", report.Document{}, []string{"title", "parts"}},
		"../../closure/report/results.schema.json":  {"Results of a closure plan", report.Results{}, []string{"contents", "routes", "bill", "open"}},
	} {
		text, err := schema.Of("https://example.org/earthbasin/"+filepath.Base(path), of.title, "../../..", of.value, of.keys)
		require.NoError(t, err)
		evidence.Golden(t, path, text)
		schemas[filepath.Base(path)], err = schema.Read(text)
		require.NoError(t, err)
	}
	for _, farm := range farms {
		data, err := os.ReadFile(farm)
		require.NoError(t, err)
		p, err := plan.Read(t.Context(), data)
		require.NoError(t, err)
		sure, err := doubt.Of(t.Context(), p, 1)
		require.NoError(t, err)
		document, err := report.New(p, report.Options{Doubt: sure}).JSON()
		require.NoError(t, err)
		results, err := json.Marshal(report.Results{Results: *p.Results, Doubt: sure})
		require.NoError(t, err)
		for name, text := range map[string][]byte{"document.schema.json": document, "results.schema.json": results} {
			var file any
			require.NoError(t, json.Unmarshal(text, &file))
			require.Empty(t, schemas[name].Fault("", file), "%s of %s", name, farm)
		}
	}
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
