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
	const tables = "../../../nutrient/tables/"
	crops, rules := names(t, tables+"*.json"), []string(nil)
	crops = filter(crops, func(name string) bool {
		for _, id := range nutrient.PublishedCropTableIDs() {
			if name == tables+id+".json" {
				return true
			}
		}
		return false
	})
	rules = names(t, tables+"rule-*.json")
	t.Run("crop table", func(t *testing.T) {
		schema.Hold(t, schema.File[nutrient.CropTableSpec]{Schema: tables + "crop-table.schema.json", Title: "Crop table", Root: "../../..", Examples: crops,
			Load: func(data []byte) error { _, err := nutrient.ParseCropTable(data); return err }})
	})
	t.Run("site rule", func(t *testing.T) {
		schema.Hold(t, schema.File[nutrient.SiteRuleSpec]{Schema: tables + "site-rule.schema.json", Title: "Phosphorus rule of a site", Root: "../../..", Examples: rules,
			Load: func(data []byte) error { _, err := nutrient.ParseSiteRule(data); return err }})
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

func filter(list []string, keep func(string) bool) (kept []string) {
	for _, s := range list {
		if keep(s) {
			kept = append(kept, s)
		}
	}
	return kept
}
