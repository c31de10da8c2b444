package main

import (
	"testing"

	"example.org/earthbasin/examples/internal/schema"
)

func TestSchema(t *testing.T) {
	schema.Hold(t, schema.File[Study]{Schema: "study.schema.json", Title: "Study of a closure", Root: "../..", Examples: []string{"demo.json"},
		Load: func(data []byte) error { _, _, err := readStudy(data); return err }})
}
