// Package plan is the chain of a whole closure, for any farm: one scenario in, and out
// what the basin holds, which way to take it out, where it may go and at which rate, what
// the machines have to be set to, the earthwork, the cover, the bill and the work order.
//
// All but the basin may be left out of a scenario. What hangs on a part that is missing is
// no figure of the plan but one of its open points ([stage.Open]): what is not planned,
// what to measure or decide, and who answers.
//
// The chain is a row of stages, each a function of the scenario and of the answers of the
// stages before it: contents, sampled, removed (the routes by the library), fields, routes
// (each taken to the fields by spread), machines, closed (the ways to close), vegetation,
// bill, and order, which gives every task its days. The faults of all stages come at once;
// a stage whose inputs are at fault still checks its own part.
//
// [Prepare] makes a scenario ready to be worked out many times with other figures, as a
// study of its doubts does:
//
//	p, err := plan.Prepare(ctx, scenario)
//	draws, err := p.With([]string{plan.SludgeVolume, "materials[1].reports[0].p2o5"})
//	draw := draws.Worker(ctx) // one for each goroutine
//	outcome, err := draw([]float64{1560, 5.6}) // in SI units
//
// The package does no input or output; package report lays a plan out for readers.
package plan

import (
	"context"
	_ "embed"

	"example.org/earthbasin/units/strict"
)

//go:embed demo.json
var demo string

//go:embed scenario.schema.json
var schema string

// Schema is the JSON Schema (draft 2020-12) of a scenario.
func Schema() []byte { return []byte(schema) }

// Demo is the scenario of an invented farm.
func Demo() []byte { return []byte(demo) }

// Read works out the plan of a scenario in JSON. Every fault is reported, with its
// path in the file. When ctx ends it returns the cause.
func Read(ctx context.Context, data []byte) (*Plan, error) {
	return strict.Make(data, func(s Scenario) (*Plan, error) { return New(ctx, s) })
}
