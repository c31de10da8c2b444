// Package plan is the chain of a whole closure: one scenario in, and out what the
// basin holds, which way to take it out, where it may go and at which rate, what the
// machines have to be set to, the earthwork, the cover, the cost and the work order.
// It does no input or output; package report lays a plan out for readers.
package plan

import (
	"context"
	_ "embed"

	"example.org/earthbasin/units/strict"
)

//go:embed demo.json
var demo string

// Demo is the scenario of an invented farm.
func Demo() []byte { return []byte(demo) }

// Read works out the plan of a scenario in JSON. Every fault is reported, with its
// path in the file. When ctx ends it returns the cause.
func Read(ctx context.Context, data []byte) (*Plan, error) {
	var p *Plan
	s := Scenario{Money: notGiven()}
	err := strict.Check(data, &s, func() (err error) {
		p, err = New(ctx, s)
		return err
	})
	return p, err
}
