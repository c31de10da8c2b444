package doubt

import (
	"context"
	"errors"
	"math"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/scenarios/study"
	"example.org/earthbasin/units"
)

// ErrOneWay says that there is nothing to decide.
var ErrOneWay = errors.New("only one route can be taken and the study names no alternatives, so that no figure changes a decision")

// ErrFew says that too few draws are left to judge decisions by, or that none can be carried
// out with every figure at its median.
var ErrFew = errors.New("in fewer than 100 draws can any decision be carried out")

// decision is one way to do the job, ready for draws.
type decision struct {
	name     string
	leaves   bool // what no field takes has a price
	variants []*plan.Draws
}

// Knowing says what knowing one figure better is worth to the decision between the routes
// and the alternatives of the spec: what the best decision would gain on average, beside
// the price of the measure of the spec. What a decision brings is the worth of the
// nutrients and the payments less the bill. It works out draws of its own, 100 to 1e6 of
// them, at random from seed; where a decision cannot be carried out in a draw it brings
// there what the worst of the others does. Fewer than two decisions are [ErrOneWay], and
// draws of which nearly all allow none are [ErrFew].
func (s *Study) Knowing(ctx context.Context, draws, seed int64, workers int) (study.KnowingResult, error) {
	var f units.Faults
	f.NumberBetween("draws", float64(draws), leastDraws, 1e6)
	if f.Err() != nil {
		return study.KnowingResult{}, f.Err()
	}
	list, err := s.decisions(ctx)
	if err != nil {
		return study.KnowingResult{}, err
	}
	spec := study.KnowingSpec{Inputs: make([]study.KnowingInput, len(s.inputs))}
	var outputs []study.Output
	for _, d := range list {
		spec.Decisions = append(spec.Decisions, d.name)
		outputs = append(outputs, study.Output{Name: d.name, Unit: s.outputs.currency})
	}
	for i, in := range s.inputs {
		spec.Inputs[i].Path = in.Path
		for _, m := range s.Spec.Measures {
			if m.Path == in.Path {
				spec.Inputs[i].Price, spec.Inputs[i].Measure = m.Price, m.How
			}
		}
	}
	inner := context.WithoutCancel(ctx)
	made, err := s.For("knowing", outputs, func() study.Evaluator {
		c := &comparison{list: list}
		for _, d := range list {
			c.work = append(c.work, s.worker(inner, d.variants))
		}
		return c
	})
	if errors.Is(err, errNone) { // with every input at its median
		err = ErrFew
	}
	if err != nil {
		return study.KnowingResult{}, err
	}
	j, err := made.Start(study.Design{Draws: draws, Seed: seed}, study.Part{})
	if err != nil {
		return study.KnowingResult{}, err
	}
	err = j.Run(ctx, study.Options{Workers: workers, Rows: func(_ int64, values, out []float64, err error) error {
		if err != nil {
			return nil // no decision can be carried out
		}
		for i, v := range values {
			spec.Inputs[i].Values = append(spec.Inputs[i].Values, v)
		}
		spec.Payoffs = append(spec.Payoffs, append([]float64(nil), out...))
		return nil
	}})
	if err != nil {
		return study.KnowingResult{}, err
	}
	if len(spec.Payoffs) < leastDraws {
		return study.KnowingResult{}, ErrFew
	}
	return study.Knowing(spec)
}

const leastDraws = 100

// choice is one way to do the job, as a scenario.
type choice struct {
	name string
	plan.Scenario
}

// choose lists the alternatives of the spec; their faults stand at its figures.
func (s *Study) choose(f *units.Faults) (list []choice) {
	for i, a := range s.Spec.Alternatives {
		own, good := s.scenario, true
		for k, set := range a.Set {
			with, err := patched(own, set.Path, set.Value)
			if err != nil {
				at := f.At("alternatives", i)
				in := at.At("set", k)
				in.Sub("", err)
				good = false
				continue
			}
			own = with
		}
		if good {
			list = append(list, choice{a.Name, own})
		}
	}
	return list
}

// decisions prepares the routes that the plan can take and the alternatives of the spec.
func (s *Study) decisions(ctx context.Context) ([]decision, error) {
	var f units.Faults
	var all []choice
	for _, r := range s.Plan.Results.Routes.Routes {
		if len(r.Out) > 0 || !r.Cost.Complete {
			continue
		}
		own := s.scenario
		decided := *own.Removal
		decided.Route = r.Route
		own.Removal = &decided
		all = append(all, choice{r.Route.String(), own})
	}
	routes := len(all)
	all = append(all, s.choices...)
	if len(all) < 2 {
		return nil, ErrOneWay
	}
	var list []decision
	for i, c := range all {
		d := decision{name: c.name, leaves: true}
		for _, m := range c.Materials {
			d.leaves = d.leaves && m.Leave != nil
		}
		var err error
		if d.variants, err = s.combined(ctx, c.Scenario); i < routes {
			f.Sub("scenario", err)
		} else {
			at := f.At("alternatives", i-routes)
			at.Sub("", err)
		}
		list = append(list, d)
	}
	return list, f.Err()
}

// comparison works out what each decision brings in a draw.
type comparison struct {
	list []decision
	work []func(values []float64) (plan.Outcome, error)
}

var errNone = errors.New("no decision can be carried out")

// Eval works out one draw.
func (c *comparison) Eval(values, out []float64) error {
	worst := math.Inf(1)
	for i, d := range c.list {
		out[i] = math.NaN()
		o, err := c.work[i](values)
		if err != nil {
			return err
		}
		if o.Placed || o.Left > 0 && d.leaves {
			out[i] = -o.Net
			worst = min(worst, out[i])
		}
	}
	if math.IsInf(worst, 1) {
		return errNone
	}
	for i, v := range out {
		if v != v {
			out[i] = worst
		}
	}
	return nil
}
