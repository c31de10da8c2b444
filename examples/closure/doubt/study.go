package doubt

import (
	"context"
	"slices"

	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/scenarios/study"
	"example.org/earthbasin/units"
)

// Study is a study of a closure.
type Study struct {
	*study.Study
	Spec    study.Spec
	Plan    *plan.Plan     // with every figure as the scenario has it
	Outputs []study.Output // of a draw

	scenario plan.Scenario // with the fixed figures and the decisions of the plan
	inputs   []input
	outputs  outputs
	variants []*plan.Draws // of the choices
	choices  []choice      // the alternatives of the spec
}

// mostVariants bounds the combinations of choices, each of which is a scenario of its
// own.
const mostVariants = 64

// New checks a spec against a scenario and makes a study of it. ID tells the program and
// its input from others; see [study.Model]. The plan of the scenario itself must have a
// route.
func New(ctx context.Context, s plan.Scenario, spec study.Spec, id string) (*Study, error) {
	var f units.Faults
	f.Sub("", spec.Check())
	base, err := plan.Prepare(ctx, s)
	if err != nil {
		f.Sub("scenario", err)
		return nil, f.Err()
	}
	st := &Study{Spec: spec, scenario: s, Plan: base.Plan()}
	for i, in := range spec.Inputs {
		at := f.At("inputs", i)
		at.Sub("", st.read(base, i, in))
	}
	route := st.Plan.Results.Routes.Taken
	if route == 0 {
		f.Missing("scenario.removal", "a route that can be taken; the plan of the scenario lists what stands in the way")
	}
	if f.Err() != nil {
		return nil, f.Err()
	}
	if !slices.ContainsFunc(spec.Inputs, func(in study.InputSpec) bool { return in.Path == "removal.route" }) {
		decided := *st.scenario.Removal
		decided.Route = route
		st.scenario.Removal = &decided
	}
	st.stated()
	st.outputs = newOutputs(&st.scenario)
	st.Outputs = st.outputs.list()
	for i, name := range spec.Show {
		if !slices.ContainsFunc(st.Outputs, func(o study.Output) bool { return o.Name == name && !o.Share }) {
			at := f.At("show", i)
			at.Say("", name, "an output that is no share: %s", st.outputs.names())
		}
	}
	st.choices = st.choose(&f)
	if st.variants, err = st.combined(ctx, st.scenario); err != nil {
		f.Sub("scenario", err)
		return nil, f.Err()
	}
	inner := context.WithoutCancel(ctx) // a draw that was begun ends
	if f.Err() == nil {
		st.ends(&f, &draws{st.worker(inner, st.variants), st.outputs.put})
	}
	if f.Err() != nil {
		return nil, f.Err()
	}
	m := study.Model{ID: id, Outputs: st.Outputs, Correlations: spec.Correlations, Evaluator: func() study.Evaluator {
		return &draws{st.worker(inner, st.variants), st.outputs.put}
	}}
	for _, in := range st.inputs {
		m.Inputs = append(m.Inputs, in.Input)
	}
	st.Study, err = study.New(m)
	return st, err
}

// stated puts the volume of a survey in place of the survey where the volume itself is
// drawn, so that no draw works the survey out again. What the survey costs stays.
func (s *Study) stated() {
	found := s.Plan.Results.Contents.Sludge
	drawn := slices.ContainsFunc(s.inputs, func(in input) bool { return in.Path == plan.SludgeVolume })
	if !drawn || found == nil || s.scenario.Sludge == nil || s.scenario.Sludge.Survey == nil {
		return
	}
	s.scenario.Sludge = &plan.Sludge{Volume: &plan.StatedVolume{Volume: found.Volume, Source: "the survey of the scenario"}}
	if m := s.scenario.Money; m != nil && m.Survey != nil {
		money := *m
		money.Others = append(slices.Clone(m.Others), plan.OtherCost{Item: "survey of the basin", Cost: *m.Survey})
		s.scenario.Money = &money
	}
}

// read takes one input of the spec; a fixed one without levels is put into the scenario.
func (s *Study) read(base *plan.Prepared, i int, spec study.InputSpec) error {
	in := input{spec: i}
	var err error
	if in.paths, err = expand(base, spec.Path); err == nil {
		in.Input, err = spec.Input(scale(base, in.paths[0]))
	} else {
		in.paths = nil
		in.Input, in.choices, err = choose(s.scenario, spec)
	}
	if err != nil {
		return err
	}
	if spec.Kind == study.KindFixed && len(spec.Levels) == 0 && spec.Path != plan.SludgeVolume {
		s.scenario, err = patched(s.scenario, spec.Path, spec.Value)
		return err
	}
	s.inputs = append(s.inputs, in)
	return nil
}

// combined prepares the scenario with each combination of the choices; one without
// choices. The choices of the first input count fastest.
func (s *Study) combined(ctx context.Context, of plan.Scenario) ([]*plan.Draws, error) {
	list := []plan.Scenario{of}
	for _, in := range s.inputs {
		if in.choices == nil {
			continue
		}
		var more []plan.Scenario
		for _, choice := range in.choices {
			for _, x := range list {
				with, err := patched(x, in.Path, choice)
				if err != nil {
					return nil, err
				}
				more = append(more, with)
			}
		}
		if list = more; len(list) > mostVariants {
			var f units.Faults
			f.Count("inputs", len(list), "combinations of choices", "at most %d", mostVariants)
			return nil, f.Err()
		}
	}
	var paths []string
	for _, in := range s.inputs {
		paths = append(paths, in.paths...)
	}
	var out []*plan.Draws
	for _, x := range list {
		p, err := plan.Prepare(ctx, x)
		if err != nil {
			return nil, err
		}
		d, err := p.With(paths)
		if err != nil {
			return nil, err
		}
		out = append(out, d)
	}
	return out, nil
}

// worker returns what works out one plan after the other.
func (s *Study) worker(ctx context.Context, variants []*plan.Draws) func(values []float64) (plan.Outcome, error) {
	return working(s, variants, func(d *plan.Draws) func([]float64) (plan.Outcome, error) { return d.Worker(ctx) })
}

// working returns what works out one draw after the other, of the variant that the values
// choose.
func working[T any](s *Study, variants []*plan.Draws, of func(*plan.Draws) func([]float64) (T, error)) func(values []float64) (T, error) {
	list := make([]func([]float64) (T, error), len(variants))
	var figures []float64
	return func(values []float64) (T, error) {
		figures = figures[:0]
		variant, count := 0, 1
		for i, in := range s.inputs {
			if in.choices != nil {
				variant += int(values[i]) * count
				count *= len(in.choices)
				continue
			}
			for range in.paths {
				figures = append(figures, values[i])
			}
		}
		if list[variant] == nil {
			list[variant] = of(variants[variant])
		}
		return list[variant](figures)
	}
}

// draws works out draws for one worker.
type draws struct {
	work func(values []float64) (plan.Outcome, error)
	put  func(o *plan.Outcome, out []float64)
}

// Eval works out one plan.
func (d *draws) Eval(values, out []float64) error {
	o, err := d.work(values)
	if err == nil {
		d.put(&o, out)
	}
	return err
}

// ends takes each input to its ends, with the others at their medians, so that a
// distribution that the scenario cannot have is told before the draws.
func (s *Study) ends(f *units.Faults, d *draws) {
	x, y := make([]float64, len(s.inputs)), make([]float64, len(s.Outputs))
	for i, in := range s.inputs {
		x[i] = in.Quantile(0.5)
	}
	if d.Eval(x, y) != nil {
		return // told when the study is made
	}
	for i, in := range s.inputs {
		for _, p := range []float64{0.001, 0.999} {
			x[i] = in.Quantile(p)
			if err := d.Eval(x, y); units.FieldErrors(err) != nil {
				at := f.At("inputs", in.spec)
				at.Add("kind", units.Words("values of which some give a fault: %v", units.Word(err.Error())), "values that the scenario may have")
				break
			}
		}
		x[i] = in.Quantile(0.5)
	}
}
