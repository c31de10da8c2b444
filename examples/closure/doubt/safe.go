package doubt

import (
	"context"
	"errors"
	"slices"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/scenarios/study"
	"example.org/earthbasin/nutrient/allocation"
)

// Safe plans the fields and rates of the route that the plan takes so that every limit
// holds in a share keep of the draws, 0.5 to 1, and says what that safety costs against
// the plain plan. It works out draws of its own, 20 to 10,000 of them, by Latin hypercube
// from seed: how much of each material comes out of the basin, and what it holds. What the
// fields may take is as the scenario has it. Nil where there is nothing to spread.
func (s *Study) Safe(ctx context.Context, draws, seed int64, keep float64, workers int) (*allocation.RobustResult, error) {
	base, err := s.question(ctx)
	if base == nil || err != nil {
		return nil, err
	}
	outputs := make([]study.Output, 0, 4*len(base.Materials))
	for _, m := range base.Materials {
		outputs = append(outputs, study.Output{Name: m.Name, Unit: "1"})
		for _, h := range m.Holds {
			outputs = append(outputs, study.Output{Name: h.Of + " of " + m.Name, Unit: "1"})
		}
	}
	inner := context.WithoutCancel(ctx)
	made, err := s.For("safe", outputs, func() study.Evaluator {
		work := working(s, s.variants, func(d *plan.Draws) func([]float64) (*allocation.AllocateSpec, error) { return d.Questions(inner) })
		return study.EvaluatorFunc(func(values, out []float64) error {
			q, err := work(values)
			if err != nil {
				return err
			}
			return times(base, q, out)
		})
	})
	if err != nil {
		return nil, err
	}
	j, err := made.Start(study.Design{Sampling: study.SamplingLatin, Draws: draws, Seed: seed}, study.Part{})
	if err != nil {
		return nil, err
	}
	spec := allocation.RobustSpec{Allocate: *base, Keep: keep}
	err = j.Run(ctx, study.Options{Workers: workers, Rows: func(_ int64, _, out []float64, err error) error {
		if err != nil {
			return nil // no plan can have it
		}
		var d allocation.Draw
		for _, m := range base.Materials {
			n := 1 + len(m.Holds)
			d.Materials = append(d.Materials, allocation.MaterialDraw{Stock: out[0], Holds: slices.Clone(out[1:n])})
			out = out[n:]
		}
		spec.Draws = append(spec.Draws, d)
		return nil
	}})
	if err != nil {
		return nil, err
	}
	r, err := allocation.Robust(ctx, spec)
	return &r, err
}

// question is what the plan itself asks.
func (s *Study) question(ctx context.Context) (*allocation.AllocateSpec, error) {
	p, err := plan.Prepare(ctx, s.scenario)
	if err != nil {
		return nil, err
	}
	d, err := p.With(nil)
	if err != nil {
		return nil, err
	}
	return d.Questions(ctx)(nil)
}

var (
	errOther = errors.New("other materials come out of the basin")
	errFar   = errors.New("a material comes out at less than a hundredth or more than a hundred times what it is by the plan")
)

// times writes how much of each material a draw has and holds, against the plan.
func times(base, q *allocation.AllocateSpec, out []float64) error {
	if q == nil || len(q.Materials) != len(base.Materials) {
		return errOther
	}
	at := 0
	put := func(x, of float64) (ok bool) {
		switch {
		case x == of:
			out[at] = 1
		case of > 0:
			out[at] = x / of
		default:
			out[at] = 101
		}
		at++
		return out[at-1] <= 100
	}
	for i, m := range q.Materials {
		of := &base.Materials[i]
		if m.Name != of.Name || len(m.Holds) != len(of.Holds) {
			return errOther
		}
		good := put(m.Stock.SI(), of.Stock.SI()) && out[at-1] >= 0.01
		for k := range m.Holds {
			good = put(m.Holds[k].Content.SI(), of.Holds[k].Content.SI()) && good
		}
		if !good {
			return errFar
		}
	}
	return nil
}
