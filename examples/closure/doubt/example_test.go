package doubt_test

import (
	"context"
	"fmt"

	"example.org/earthbasin/examples/closure/doubt"
	"example.org/earthbasin/examples/closure/plan"
	"example.org/earthbasin/examples/scenarios/study"
)

// How sure is the cost of the demo, should the price of soil and its shrinkage be in doubt?
func Example() {
	ctx := context.Background()
	p, err := plan.Read(ctx, plan.Demo())
	if err != nil {
		fmt.Println(err)
		return
	}
	spec, err := study.ReadSpec([]byte(`{"inputs": [
		{"path": "closing.prices.import.likely", "kind": "triangular", "low": "6 per yd3", "mode": "7.5 per yd3", "high": "11 per yd3"},
		{"path": "closing.soil.shrink", "kind": "pert", "low": 0.05, "mode": 0.1, "high": 0.18}]}`))
	if err != nil {
		fmt.Println(err)
		return
	}
	s, err := doubt.New(ctx, p.Scenario, spec, "example")
	if err != nil {
		fmt.Println(err)
		return
	}
	job, err := s.Start(study.Design{Sampling: study.SamplingLatin, Draws: 500, Seed: 1}, study.Part{})
	if err != nil {
		fmt.Println(err)
		return
	}
	if err := job.Run(ctx, study.Options{Workers: 2}); err != nil {
		fmt.Println(err)
		return
	}
	cost := job.Result().Outputs[0]
	fmt.Println(cost.Name, "hangs most on", cost.Drivers(1)[0].Input)
	// Output:
	// cost hangs most on closing.prices.import.likely
}
