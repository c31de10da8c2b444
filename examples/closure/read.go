package main

import (
	"context"
	"os"
	"slices"
	"strings"

	"example.org/earthbasin/examples/closure/ledger"
	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

// read plans the scenario of a file, of the demo where in is empty, with the records of the
// table done and from the day asOf on where these are told.
func read(ctx context.Context, in, done, asOf string) (*plan.Plan, error) {
	data := plan.Demo()
	var err error
	if in != "" {
		if data, err = os.ReadFile(in); err != nil {
			return nil, err
		}
	}
	var f units.Faults
	var book ledger.Book
	if done != "" {
		table, err := os.ReadFile(done)
		if err != nil {
			return nil, err
		}
		book, err = ledger.ReadCSV(done, table)
		f.Sub("", err)
	}
	var day stage.Date
	if asOf != "" {
		f.Sub("-asOf", day.UnmarshalText([]byte(asOf)))
	}
	if f.Err() != nil {
		return nil, f.Err()
	}
	p, err := strict.Make(data, func(s plan.Scenario) (*plan.Plan, error) {
		s.Done.Records = slices.Concat(s.Done.Records, book.Records)
		if !day.IsZero() {
			s.AsOf = day
		}
		return plan.New(ctx, s)
	})
	for _, x := range units.FieldErrors(err) {
		if done != "" && strings.HasPrefix(x.Field, done) { // a line of the table, and none of the scenario
			x.Line, x.Column = 0, 0
		}
	}
	return p, err
}
