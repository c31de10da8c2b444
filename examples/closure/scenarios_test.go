package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/closure/report"
	"example.org/earthbasin/units/evidence"
)

// The farms of testdata/scenarios, each with one thing that a chain for one kind of farm
// would not take: what their plans come to, beside each.
func TestScenarios(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("testdata", "scenarios", "*.json"))
	require.NoError(t, err)
	require.Len(t, files, 12)
	for _, name := range files {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".json"), func(t *testing.T) {
			data, err := os.ReadFile(name)
			require.NoError(t, err)
			p, err := plan.Read(t.Context(), data)
			require.NoError(t, err)
			evidence.Golden(t, strings.TrimSuffix(name, ".json")+".text", []byte(gist(p)))
			for _, render := range []func(*report.Document) ([]byte, error){(*report.Document).Text, (*report.Document).JSON, (*report.Document).HTML} {
				text, err := render(report.New(p, report.Options{}))
				require.NoError(t, err)
				require.NotContains(t, string(text), "NaN")
			}
		})
	}
}

// gist is what a plan comes to, by its rows.
func gist(p *plan.Plan) string {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	r := p.Results
	line("%s\n%s\n", p.Scenario.Title, p.Scenario.Site)
	c := &r.Contents
	if c.Liquid != nil {
		line("liquid %s", c.Liquid.Trade())
	}
	if v := c.Sludge; v != nil {
		line("sludge %s, %v", v.Volume.Trade(), v.From)
		if v.Interval != nil {
			line("  %s to %s", v.Interval.Low.Trade(), v.Interval.High.Trade())
		}
	}
	if r.Taken() != nil {
		line("\n%v", r.Routes.Why())
	}
	for _, route := range r.Routes.Routes {
		line("%v: at the basin %.0f, to the fields %.0f, left %.0f, worth %.0f, net %.0f, %d days", route.Route, route.Cost.Removal, route.Cost.Spread, route.Cost.Leaving, route.Cost.Worth, route.Cost.Net, route.Days)
	}
	placements(line, r.Taken())
	if r.Closing != nil {
		line("")
		for _, o := range r.Closing.Outcomes {
			line("%v: %v, %.0f (%.0f to %.0f) %v", o.Alternative, o.Verdict, o.Cost.Likely, o.Cost.Low, o.Cost.High, o.Why)
		}
	}
	line("\nbill %.0f (%.0f to %.0f), without a price: %s", r.Bill.Cost.Likely, r.Bill.Cost.Low, r.Bill.Cost.High, strings.Join(r.Bill.Unpriced, ", "))
	if cal := r.Calendar; cal != nil {
		line("\ncalendar kept: %v", cal.Kept)
		for _, x := range cal.ByStart() {
			if x.Placed {
				line("  %v to %v  %v%v", x.Likely.Start, x.Likely.End, x.Task.Name, map[bool]string{true: ", " + string(x.State)}[x.State != ""])
			}
		}
		if cal.Kept && p.Scenario.Start.Before(cal.LatestStart) {
			line("  a start by %v ends no later", cal.LatestStart)
		}
		for _, x := range cal.Notes {
			line("  note: %v", x)
		}
		for _, x := range cal.Broken {
			line("  BREAKS %v: %v", x.Why, x.Do)
		}
	}
	if a := r.Account; a != nil {
		line("\naccount of %v", a.AsOf)
		for _, x := range a.Stocks {
			line("  %s: put on %v, left %v", x.Material, x.Put, x.Left)
		}
		for _, x := range a.Over {
			line("  OVER %v", x.Why)
		}
		if r.Rest != nil {
			placements(line, &plan.RouteResult{Spread: *r.Rest})
		}
	}
	line("\nopen")
	for _, o := range r.Open {
		stops := ""
		if o.Stops {
			stops = ", stops the work"
		}
		line("  %s (%s%s): %v", o.Key, o.Who, stops, o.What)
	}
	return b.String()
}

// placements lists what goes where.
func placements(line func(string, ...any), t *plan.RouteResult) {
	if t == nil || t.Spread.Allocated == nil {
		return
	}
	for _, x := range t.Spread.Allocated.Placements {
		line("  %s, %s: %v of %s", x.Season, x.Field, x.Amount, x.Material)
	}
	for _, m := range t.Spread.Allocated.Materials {
		if m.Left.SI() > 0 {
			line("  no field takes %v of %s", m.Left, m.Name)
		}
	}
}
