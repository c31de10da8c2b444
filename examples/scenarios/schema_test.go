package main

import (
	"testing"

	"example.org/earthbasin/examples/internal/schema"
	"example.org/earthbasin/examples/scenarios/study"
)

func TestSchema(t *testing.T) {
	schema.Hold(t, schema.File[study.Spec]{Schema: "study.schema.json", Title: "Study of a closure", Root: "../..", Examples: []string{"testdata/two-prices.json"},
		Load: func(data []byte) error { _, err := study.ReadSpec(data); return err }})
}
