package report

import (
	_ "embed"

	"example.org/earthbasin/examples/closure/doubt"
	"example.org/earthbasin/examples/closure/plan"
)

var (
	//go:embed document.schema.json
	documentSchema []byte
	//go:embed results.schema.json
	resultsSchema []byte
)

// Results is what a plan answers, with how sure that is, as data.
type Results struct {
	plan.Results
	Doubt *doubt.Result `json:"doubt,omitempty"` // nil: not worked out
}

// Schemas are the JSON Schemas (draft 2020-12) of the files that a closure reads and
// writes: "scenario", "json" (a [Document]) and "results" ([Results]).
func Schemas() map[string][]byte {
	return map[string][]byte{"scenario": plan.Schema(), "json": documentSchema, "results": resultsSchema}
}
