package plan

import (
	"example.org/earthbasin/examples/closure/land"
	"example.org/earthbasin/examples/closure/stage"
	"example.org/earthbasin/nutrient"
	"example.org/earthbasin/sludge/removal"
	"example.org/earthbasin/units"
	"fmt"
	"slices"
)

// check finds what is wrong with the scenario's own figures.
func (s *Scenario) check() error {
	var f units.Faults
	for _, x := range []struct {
		field string
		day   stage.Date
	}{{"date", s.Date}, {"start", s.Start}} {
		if !x.day.IsZero() {
			x.day.Check(&f, x.field)
		}
	}
	s.checkDone(&f)
	if s.Doubt != nil {
		f.Sub("doubt", s.Doubt.check())
	}
	if s.Land != nil && len(s.Land.Fields) <= mostParts {
		for i := range s.Land.Fields {
			for j, name := range s.Land.Fields[i].Reach {
				if !slices.ContainsFunc(s.Machines, func(m Machine) bool { return m.Name == name }) {
					f.Fault(units.FaultName, fmt.Sprintf("land.fields[%d].reach[%d]", i, j), name, "the name of one of the machines")
				}
			}
		}
	}
	if s.Confidence != 0 {
		f.NumberBetween("confidence", s.Confidence, leastConfidence, mostConfidence)
	}
	return f.Err()
}

// queries checks how the materials are put on against their sets, by the analysis of the
// laboratory or by any where that is at fault.
func queries(s *Scenario, lib library, in *Sampled) error {
	var f units.Faults
	for i, m := range s.Materials {
		if lib.states[i] == nil {
			continue
		}
		a := anyAnalysis()
		if of := in.Effluent; of != nil && m.liquid() {
			a = of.Analysis
		}
		if of := in.Sludge; of != nil && !m.liquid() {
			a = of.Analysis
		}
		at := f.At("materials", i)
		if m.Works != 0 {
			own, err := m.asItLies()
			if err != nil {
				continue // told with the reports
			}
			switch {
			case len(m.Reports) > 0:
				a = own
			case in.Effluent != nil:
				a = in.Effluent.Analysis
			}
		}
		held, _, err := (Stream{Analysis: &a, Slurry: removal.Slurry{Volume: 1}}).in(m.form())
		at.Sub("", err)
		ask := func(f *units.Faults, q nutrient.Query) {
			_, err := nutrient.Available(nutrient.AvailableSpec{Analysis: held, State: lib.states[i], Query: q, Years: 1})
			reported(f, err)
		}
		if err != nil {
			continue
		}
		ask(&at, m.Query)
		for j, way := range m.Ways {
			if way.Query != nil {
				in := at.At("ways", j)
				ask(&in, *way.Query)
			}
		}
	}
	return f.Err()
}

// anyAnalysis is an analysis that lacks nothing.
func anyAnalysis() nutrient.Analysis {
	one := nutrient.LiquidContent(units.GramPerLitre)
	return nutrient.Analysis{Form: nutrient.Liquid, Density: 1020, Solids: nutrient.LiquidContent(50 * units.GramPerLitre),
		TotalN: nutrient.LiquidContent(2 * units.GramPerLitre), OrganicN: one, AmmoniumN: one, NitrateN: nutrient.LiquidContent(0), P: one, K: one}
}

// checkDone finds records that name nothing of the scenario, and a book without the day of
// its account.
func (s *Scenario) checkDone(f *units.Faults) {
	if len(s.Done.Records)+len(s.Done.Reports)+len(s.Done.Steps) == 0 {
		return
	}
	if s.AsOf.IsZero() {
		f.Missing("asOf", "the day of the account of what was done")
	}
	for i, x := range s.Done.Records[:min(len(s.Done.Records), 20*mostParts)] {
		done := f.At("done")
		at := x.At(f, &done, i)
		x.Day.Check(&at, "day")
		if !s.AsOf.IsZero() && s.AsOf.Before(x.Day) {
			at.Add("day", x.Day, "the day of the account, %v, or before", s.AsOf)
		}
		if s.Land != nil && !slices.ContainsFunc(s.Land.Fields, func(l land.Field) bool { return l.Name == x.Field }) {
			at.Fault(units.FaultName, "field", x.Field, "the name of one of the fields")
		}
		if !slices.ContainsFunc(s.Materials, func(m Material) bool { return m.Name == x.Material }) {
			at.Fault(units.FaultName, "material", x.Material, "the name of one of the materials")
		}
	}
	done := f.At("done")
	done.CountBetween("steps", len(s.Done.Steps), "steps", 0, mostSteps)
	for i, x := range s.Done.Steps[:min(len(s.Done.Steps), mostSteps)] {
		at := done.At("steps", i)
		x.From.Check(&at, "from")
		if !x.To.IsZero() {
			x.To.Check(&at, "to")
		}
	}
}

const mostSteps = 2000
