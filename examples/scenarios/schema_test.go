package main

import (
	"testing"

	"example.org/earthbasin/examples/closure/doubt"
	"example.org/earthbasin/examples/internal/schema"
)

func TestSchema(t *testing.T) {
	schema.Hold(t, schema.File[doubt.Spec]{Schema: "study.schema.json", Title: "Study of a closure", Root: "../..", Examples: []string{"demo.json"},
		Load: func(data []byte) error { _, err := doubt.Read(data); return err }})
}
